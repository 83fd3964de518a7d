// What if: cards with what the piece could have instead; each is seen and heard in its place, taken, and taken back.
//
//   cavata.glimpse(state, movement, bar)   a promise of the picture of one system of any state
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.offers;
  const { made, filled } = cavata;
  /** For each kind what is asked, by the key that the server knows. @type {Record<string, string[]>} */
  const KINDS = {
    cipher: ["name"], reading: ["name"], together: ["motif", "other", "part"], instrument: ["part", "instrument"],
    length: ["length", "movement"],
  };
  /** @type {any} */
  let choices = { names: [], motifs: [], parts: [], movements: [] };
  let looking = 0;

  // ------------------------------------------------------------ a picture of a place in any state

  /** @param {number} state @param {string} movement @param {number} bar @returns {Promise<Element>} */
  const glimpse = async (state, movement, bar) => {
    const asked = { state, copy: cavata.score?.copy || "score", room: "narrow" };
    const { systems } = await cavata.ask("score", asked);
    const own = systems.filter((/** @type {any} */ each) => each.movement === movement);
    const found = own.find((/** @type {any} */ each) => each.bars.includes(bar)) || own[0];
    if (!found) throw new Error(filled(cavata.words.core.nothing, { reason: movement }));
    const picture = cavata.music(await cavata.ask("system", { ...asked, system: systems.indexOf(found) }));
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", filled(cavata.words.core.atBar, { bar: found.bars[0] }));
    return made("figure", { class: "glimpse" }, picture);
  };

  // ------------------------------------------------------------ what is asked

  /** @param {string} id @param {string[]} values @param {string[]} [texts] */
  const select = (id, values, texts = values) => made("select", { id },
    ...values.map((value, number) => made("option", { value }, texts[number])));

  /** @param {string} key */
  const field = (key) => {
    const id = `offer-${key}`;
    const parts = choices.parts.map((/** @type {any} */ each) => each.name);
    const input = {
      name: () => select(id, choices.names), motif: () => select(id, choices.motifs), other: () => select(id, choices.motifs),
      part: () => select(id, parts), movement: () => select(id, ["", ...choices.movements], [words.whole, ...choices.movements]),
    }[key] || (() => made("input", { id, type: "text", autocomplete: "off", placeholder: words.as[key] }));
    return made("p", { class: "field" }, made("label", { for: id }, words.fields[key]), " ", input());
  };

  const kind = () => /** @type {HTMLSelectElement} */ (cavata.element("offer-kind")).value;

  const showFields = () => {
    const before = /** @type {Record<string, string>} */ ({});
    const place = cavata.element("offer-fields"), focused = document.activeElement;
    for (const each of place.querySelectorAll("select, input")) before[each.id] = /** @type {HTMLInputElement} */ (each).value;
    place.replaceChildren(...KINDS[kind()].map(field));
    for (const each of place.querySelectorAll("select, input")) {
      const input = /** @type {HTMLInputElement} */ (each);
      if (before[each.id]) input.value = before[each.id];
      if (input.value === "" && input.tagName === "SELECT") /** @type {any} */ (input).selectedIndex = 0;
    }
    if (focused?.id && !focused.isConnected) document.getElementById(focused.id)?.focus();
  };

  /** @param {Event} event */
  const look = async (event) => {
    event.preventDefault();
    const turn = ++looking;
    /** @type {Record<string, string>} */
    const asked = { kind: kind() };
    for (const key of KINDS[kind()]) asked[key] = /** @type {HTMLInputElement} */ (cavata.element(`offer-${key}`)).value;
    say(words.looking);
    cavata.element("offer-cards").replaceChildren();
    try {
      const { cards, said } = await cavata.ask("offers", { ...asked, state: cavata.now.good });
      await cavata.calm();
      if (turn !== looking) return;
      say(said || (cards.length ? filled(words.found, { count: cards.length }) : words.none));
      cavata.element("offer-cards").replaceChildren(...cards.map(card));
    } catch (reason) {
      if (turn === looking) say(/** @type {Error} */ (reason).message);
    }
  };

  /** @param {string} text */
  const say = (text) => { cavata.element("offer-said").textContent = text; };

  // ------------------------------------------------------------ cards

  /** @param {any} told */
  const card = (told) => {
    const place = made("div", { class: "shown" }), answer = made("p", { role: "status" });
    /** @type {Promise<any> | null} */
    let tried = null;
    const trial = () => {
      tried = tried || cavata.ask("offer", { card: told.card, state: cavata.now.good });
      return tried;
    };
    /** @param {(found: any) => any} use */
    const with_trial = (use) => async () => {
      answer.textContent = words.looking;
      try {
        const found = await trial();
        if (!found.state) answer.textContent = filled(words.wrong, { reason: found.wrong.join("; ") });
        else if (found.movement === undefined) answer.textContent = words.same;
        else {
          await use(found);
          answer.textContent = "";
        }
      } catch (reason) {
        answer.textContent = /** @type {Error} */ (reason).message;
      }
    };
    const see = async (/** @type {any} */ found) => {
      const picture = await glimpse(found.state, found.movement, found.bar);
      await cavata.calm();
      place.replaceChildren(picture);
      place.scrollIntoView({ block: "nearest" });
      cavata.tell("here", { movement: found.movement, bar: found.bar, id: null });
    };
    const hear = (/** @type {any} */ found) => cavata.sound.play({
      state: found.state, movement: found.movement, bar: found.bar, bars: Math.max(found.last - found.bar + 1, 1),
    });
    const take = async () => {
      try {
        await cavata.do("take", { card: told.card });
        cavata.element("offer-cards").replaceChildren();
        say(filled(words.taken, { title: told.title }));
      } catch (reason) {
        answer.textContent = /** @type {Error} */ (reason).message;
      }
    };
    /** @param {string} word @param {() => any} act */
    const button = (word, act) => made("button", { type: "button", onclick: act, "aria-label": `${word}: ${told.title}` }, word);
    return made("li", { class: "card" }, made("h3", {}, told.title),
      ...told.facts.map((/** @type {string} */ fact) => made("p", { class: "fact" }, fact)),
      made("details", {}, made("summary", {}, words.rows), made("pre", {}, told.rows.join("\n"))),
      made("p", { class: "acts" }, button(words.see, with_trial(see)), button(words.hear, with_trial(hear)), button(words.take, take)),
      answer, place);
  };

  const build = () => {
    if (cavata.isFolder) return;
    const kinds = select("offer-kind", Object.keys(KINDS), Object.keys(KINDS).map((each) => words.kinds[each]));
    kinds.addEventListener("change", showFields);
    cavata.element("offers").replaceChildren(
      made("form", { onsubmit: look }, made("fieldset", { id: "offer-form", disabled: true },
        made("p", { class: "field" }, made("label", { for: "offer-kind" }, words.what), " ", kinds),
        made("div", { id: "offer-fields" }), made("button", { type: "submit" }, words.look))),
      made("p", { id: "offer-said", role: "status" }), made("ul", { id: "offer-cards" }));
    showFields();
  };

  document.addEventListener("DOMContentLoaded", build);
  cavata.on("listed", async (/** @type {any} */ { state }) => {
    if (cavata.isFolder) return;
    try {
      const found = await cavata.ask("choices", { state });
      if (state !== cavata.now.good) return; // the next save has its own
      if (JSON.stringify(found) !== JSON.stringify(choices)) {
        choices = found;
        showFields(); // only now: who is choosing keeps what is in use
      }
      /** @type {HTMLFieldSetElement} */ (cavata.element("offer-form")).disabled = false;
    } catch {
      // the next save has them
    }
  });
  cavata.glimpse = glimpse;
})();
