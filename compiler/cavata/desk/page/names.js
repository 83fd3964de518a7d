// The names of the piece, letter over note: a letter lights its notes wherever they sound, a name shows its themes.
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.names;
  const { made, filled } = cavata;
  /** What is lit now: the button, and what was asked for. */
  let pressed = /** @type {HTMLElement | null} */ (null);
  let asked = /** @type {any} */ (null);
  /** The names whose themes are open. @type {Set<string>} */
  const open = new Set();
  let turn = 0;

  /** Light what a button stands for, or nothing if it is lit. @param {HTMLElement} button @param {any} what @param {string} said */
  const press = async (button, what, said) => {
    const same = pressed === button;
    pressed?.setAttribute("aria-pressed", "false");
    pressed = asked = null;
    turn += 1; // what was asked for before is not lit when it comes
    if (same) {
      cavata.tell("lit", { ids: [], places: [], kind: "name" });
      cavata.status("");
      return;
    }
    pressed = button;
    asked = { what, said, isTold: false };
    button.setAttribute("aria-pressed", "true");
    await light();
  };

  /** Light what is asked for; after a save without a word, if it was told of: what that changed is told then. */
  const light = async (isSaved = false) => {
    if (!asked) return;
    const own = asked, { what, said } = own;
    const mine = ++turn;
    const { copy, room } = cavata.score;
    const nothing = { ids: [], places: [] }, state = cavata.now.good;
    const found = state ? await cavata.ask("sounding", { state, copy, room, ...what }).catch(() => null) : nothing;
    if (mine !== turn || !found) return;
    cavata.tell("lit", { ids: found.ids, places: found.places, kind: "name", color: found.color });
    if (isSaved && own.isTold) return;
    own.isTold = true;
    const notes = counted(found.ids.length, words.oneNote, words.notes), bars = counted(found.places.length, words.oneBar, words.bars);
    cavata.status(filled(found.ids.length ? words.sounds : words.never, { what: said, notes, bars }));
  };

  /** @param {number} count @param {string} one @param {string} many */
  const counted = (count, one, many) => filled(count === 1 ? one : many, { count });

  /** @param {any} name @param {any} letter */
  const letterOf = (name, letter) => {
    if (!letter.position) return made("span", { class: "between", "aria-hidden": "true" }, letter.text);
    const more = filled(letter.heard ? words.letter : letter.note ? words.unheardLetter : words.silentLetter, { position: letter.position, name: name.text });
    const said = [letter.text, letter.note, more].filter(Boolean).join(", ");
    const button = made("button", {
      type: "button", class: "spelled", "aria-pressed": "false", disabled: !letter.heard, tabindex: -1,
      "data-key": `${name.name} ${letter.position}`,
      onclick: () => press(button, { name: name.name, position: letter.position }, said),
    }, made("span", { class: "letter" }, letter.text), made("span", { class: "tone" }, letter.note), made("span", { class: "aside" }, more));
    return button;
  };

  /** The letters of a name are one stop of the keyboard; the arrows go from letter to letter. @param {any} name */
  const lettersOf = (name) => {
    const letters = name.letters.map((/** @type {any} */ each) => letterOf(name, each));
    /** @returns {HTMLElement[]} */
    const heard = () => letters.filter((/** @type {any} */ each) => each.matches(".spelled:enabled"));
    if (heard().length) heard()[0].tabIndex = 0;
    return made("div", {
      class: "letters", role: "toolbar", "aria-label": filled(words.letters, { name: name.text }),
      onfocusin: (/** @type {FocusEvent} */ event) => {
        for (const each of heard()) each.tabIndex = each === event.target ? 0 : -1;
      },
      onkeydown: (/** @type {KeyboardEvent} */ event) => {
        const all = heard(), at = all.indexOf(/** @type {HTMLElement} */ (event.target));
        const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: all.length - 1 }[event.key];
        if (to === undefined || at < 0) return;
        event.preventDefault();
        all[Math.max(0, Math.min(all.length - 1, to))].focus();
      },
    }, ...letters);
  };

  /** @param {any} name */
  const nameOf = (name) => {
    const id = `themes-${name.name}`;
    const themes = made("div", { class: "themes", id, hidden: !open.has(name.name) });
    themes.append(made("span", { class: "label" }, name.themes.length ? filled(words.themes, { name: name.text }) : words.noThemes));
    for (const theme of name.themes) {
      const button = made("button", {
        type: "button", "aria-pressed": "false", "data-key": `theme ${theme}`,
        onclick: () => press(button, { theme }, theme.replaceAll("_", " ")),
      }, theme.replaceAll("_", " "));
      themes.append(button);
    }
    const head = made("button", {
      type: "button", class: "name", "data-key": `name ${name.name}`, "aria-expanded": String(open.has(name.name)), "aria-controls": id,
      onclick: () => {
        themes.hidden = !themes.hidden;
        if (themes.hidden) open.delete(name.name);
        else open.add(name.name);
        head.setAttribute("aria-expanded", String(!themes.hidden));
      },
    }, name.text);
    const box = made("div", { class: "spelling" }, head, lettersOf(name), themes);
    if (name.color) box.style.setProperty("--name", name.color);
    return box;
  };

  /** Those of a state; of one that has no music, what is known of them. @param {number} state */
  const show = async (state) => {
    const found = await cavata.ask("names", { state }).catch((/** @type {Error} */ reason) => cavata.failed(state, reason));
    await cavata.calm();
    if (state !== (cavata.now.good || cavata.now.state)) return;
    if (found && cavata.differs(cavata.element("names"), found.names)) put(found.names);
    cavata.stands("names");
    light(true);
  };

  /** @param {any[]} names */
  const put = (names) => {
    const place = cavata.element("names");
    const key = pressed?.dataset.key;
    const focused = document.activeElement instanceof HTMLElement && place.contains(document.activeElement) ? document.activeElement.dataset.key : "";
    place.replaceChildren(...names.map(nameOf));
    pressed = key ? place.querySelector(`[data-key="${CSS.escape(key)}"]`) : null;
    pressed?.setAttribute("aria-pressed", "true");
    if (!pressed) asked = null;
    if (focused) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${CSS.escape(focused)}"]`))?.focus();
  };

  cavata.on("listed", (/** @type {any} */ { state }) => { show(state); });
  cavata.on("state", (/** @type {any} */ { state, good }) => { if (!good) show(state); });
  cavata.on("copy", () => light());
})();
