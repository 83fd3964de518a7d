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
    asked = { what, said };
    button.setAttribute("aria-pressed", "true");
    await light();
  };

  const light = async () => {
    if (!asked) return;
    const { what, said } = asked;
    const mine = ++turn;
    const { copy, room } = cavata.score;
    const found = await cavata.ask("sounding", { state: cavata.now.good, copy, room, ...what }).catch(() => null);
    if (mine !== turn || !found) return;
    cavata.tell("lit", { ids: found.ids, places: found.places, kind: "name", color: found.color });
    const count = found.ids.length;
    cavata.status(filled(count ? words.sounds : words.never, { what: said, count, bars: found.places.length }));
  };

  /** @param {any} name @param {any} letter */
  const letterOf = (name, letter) => {
    if (!letter.position) return made("span", { class: "between", "aria-hidden": "true" }, letter.text);
    const more = filled(letter.note ? words.letter : words.silentLetter, { position: letter.position, name: name.text });
    const said = [letter.text, letter.note, more].filter(Boolean).join(", ");
    const button = made("button", {
      type: "button", class: "spelled", "aria-pressed": "false", disabled: !letter.heard,
      "data-key": `${name.name} ${letter.position}`,
      onclick: () => press(button, { name: name.name, position: letter.position }, said),
    }, made("span", { class: "letter" }, letter.text), made("span", { class: "tone" }, letter.note), made("span", { class: "aside" }, more));
    return button;
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
    const box = made("div", { class: "spelling" }, head, made("div", { class: "letters" }, ...name.letters.map((/** @type {any} */ each) => letterOf(name, each))), themes);
    if (name.color) box.style.setProperty("--name", name.color);
    return box;
  };

  /** @param {number} state */
  const show = async (state) => {
    const found = await cavata.ask("names", { state }).catch(() => null);  // the next state is on its way
    await cavata.calm();
    if (state !== cavata.score.state) return;
    if (found && cavata.differs(cavata.element("names"), found.names)) put(found.names);
    cavata.stands("names");
    if (asked) light();
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

  cavata.on("drawn", (/** @type {any} */ { state }) => { show(state); });
  cavata.on("copy", light);
})();
