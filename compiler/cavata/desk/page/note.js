// A note that was touched: where it came from, each transform with the music before and after it, seen and heard.
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.origin;
  const { made, filled } = cavata;
  /** Seconds of a quarter of a stage that is heard. */
  const QUARTER = 0.6;
  let turn = 0;

  // ------------------------------------------------------------ a stage heard

  /** Notes by themselves end; what plays of the piece goes on. */
  const silence = () => {
    if (!cavata.sound.isPlaying) cavata.sound.stop();
  };

  /** Play keys with their onsets and lengths in quarters. @param {[number, number, number][]} notes */
  const hear = (notes) => cavata.sound.tones(notes.map(([key, onset, length]) => [key, onset * QUARTER, length * QUARTER]));

  // ------------------------------------------------------------ what is told

  /** @param {any} found @param {any} head */
  const headOf = (found, head) => {
    const part = made("div", { class: "head" });
    for (const name of head.names) {
      const text = filled(words.letter, { letter: name.letter, position: name.position, name: name.text, form: name.form });
      const line = made("p", { class: "came" }, text, ...(name.inflection ? [`; ${filled(words.inflected, name)}`] : []));
      if (name.color) line.style.setProperty("--name", name.color);
      part.append(line);
    }
    if (!head.names.length) part.append(made("p", { class: "label" }, words.noName));
    return [made("h2", {}, filled(words.heading, { pitch: signed(head.pitch), bar: found.bar })), part];
  };

  /** @param {string} pitch */
  const signed = (pitch) => pitch.replace(/^(.)(b+|#+|x)/, (_, letter, sign) =>
    letter + sign.replace("bb", "𝄫").replace("b", "♭").replace("##", "𝄪").replace("x", "𝄪").replace("#", "♯"));

  /** @param {any} asked @param {any} stage @param {number} number */
  const stageOf = (asked, stage, number) => {
    const picture = made("div", { class: "picture", "aria-busy": "true" });
    const label = filled(words.hearOf, { number: number + 1 });
    const item = made("li", {}, made("code", {}, stage.done));
    if (stage.sentence) item.append(made("p", {}, stage.sentence));
    item.append(picture, made("button", { type: "button", "aria-label": label, onclick: () => hear(stage.notes) }, words.hear));
    cavata.ask("stage", { ...asked, stage: number }).then((/** @type {string} */ svg) => {
      const drawn = cavata.music(svg);
      const width = Number(drawn.getAttribute("viewBox")?.split(" ")[2] || 1000);
      drawn.style.width = `min(100%, ${Math.round(width / 4)}px)`;
      drawn.setAttribute("role", "img");
      drawn.setAttribute("aria-label", filled(words.picture, { number: number + 1 }));
      return cavata.calm().then(() => picture.replaceChildren(drawn));
    }).catch(() => {}).finally(() => picture.removeAttribute("aria-busy"));
    return item;
  };

  /** @param {any} found */
  const rowOf = (found) => {
    const { row } = found;
    const answer = made("p", { class: "label", role: "status" });
    const open = async () => {
      const place = await cavata.do("show", { id: found.id });
      if (place.shown) answer.textContent = words.opened;
      else if (place.link) window.location.href = place.link;
      else answer.textContent = filled(words.noEditor, place);
    };
    const inside = [made("h3", {}, words.row), made("pre", {}, made("code", {}, row.text)),
      made("p", { class: "label" }, `${row.file}, ${filled(cavata.words.core.atLine, row)}`)];
    const failed = (/** @type {Error} */ error) => { answer.textContent = error.message; };
    return [...inside, made("button", { type: "button", onclick: () => open().catch(failed) }, words.open), answer];
  };

  /** What all notes of a copy came from, where there is no desk to ask for one. @type {Map<string, any>} */
  const known = new Map();

  /** What is told of a note. @param {any} asked */
  const told = async (asked) => {
    if (!cavata.isFolder) return cavata.ask("note", asked);
    const { copy, id } = asked;
    if (!known.has(copy)) known.set(copy, await cavata.ask("came", { copy }));
    const { heads, notes } = known.get(copy);
    const [bar, found] = notes[id];
    return { id, bar, heads: found.map((/** @type {number} */ each) => heads[each]), stages: [] };
  };

  /** The note that is told of. */
  let shown = "";

  /** Tell of a note that was touched, or that is told of already. @param {any} touched @param {boolean} isTouched */
  const show = async ({ id, copy, room, state }, isTouched) => {
    const place = cavata.element("note");
    const mine = ++turn;
    const asked = { state, copy, room, id };
    shown = id;
    if (isTouched) {
      cavata.tell("lit", { ids: [id], kind: "touched" });
      cavata.panel("note");
    }
    const found = await told(asked).catch(() => null);
    await cavata.calm();
    if (mine !== turn || (!cavata.differs(place, found) && !isTouched)) return;
    if (!found) {
      place.replaceChildren(made("p", {}, words.gone));
      return;
    }
    if (isTouched) silence();
    const stages = found.stages.map((/** @type {any} */ stage, /** @type {number} */ number) => stageOf(asked, stage, number));
    const way = stages.length ? [made("h3", {}, words.way), made("ol", { class: "stages" }, ...stages)] : [];
    place.replaceChildren(...found.heads.flatMap((/** @type {any} */ head) => headOf(found, head)), ...(found.row ? rowOf(found) : []), ...way);
  };

  cavata.on("touched", (/** @type {any} */ detail) => {
    const { copy, room, state } = cavata.score;
    show({ copy, room, state, ...detail }, true);
  });
  cavata.on("listed", cavata.later(() => {
    const { copy, room, state } = cavata.score;
    if (shown) show({ id: shown, copy, room, state }, false);
  }));
  document.addEventListener("DOMContentLoaded", () => {
    cavata.element("note").append(made("p", { class: "label" }, words.none));
  });
})();
