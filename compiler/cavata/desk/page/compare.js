// Then and now: any two of saves, commits, revisions and versions; their changes told, lit, seen and heard at one bar.
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.compare;
  const { made, filled } = cavata;
  const REVISION = "revision:", BARS = 2;
  let turn = 0;

  /** @param {string} id @returns {any} */
  const input = (id) => cavata.element(id);

  /** What a side can be: its values and how they are called. @param {any} sides @returns {[string, string][]} */
  const options = (sides) => [
    ["now", words.now],
    ...[...sides.saves].reverse().slice(1, 60).map((/** @type {[number, number]} */ [number, seconds]) => /** @type {[string, string]} */ (
      [`save:${number}`, filled(words.save, { number, time: new Date(seconds * 1000).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" }) })])),
    ...(sides.commit ? [/** @type {[string, string]} */ (["commit", filled(words.commit, { commit: sides.commit })]), /** @type {[string, string]} */ ([REVISION, words.revision])] : []),
    ...sides.versions.map((/** @type {string} */ each) => [`version:${each}`, filled(words.version, { name: each })]),
  ];

  /** @param {string} id @param {[string, string][]} found @param {string} usual */
  const fill = (id, found, usual) => {
    if (!cavata.differs(input(id), found)) return;
    const before = input(id).value;
    input(id).replaceChildren(...found.map(([value, text]) => made("option", { value }, text)));
    const values = found.map(([value]) => value);
    input(id).value = values.includes(before) && before !== "now" ? before : values.includes(usual) ? usual : "now";
    revisionShown();
  };

  const revisionShown = () => {
    input("compare-revision").hidden = ![input("compare-before").value, input("compare-after").value].includes(REVISION);
    input("compare-revision-label").hidden = input("compare-revision").hidden;
  };

  /** @param {string} id */
  const side = (id) => (input(id).value === REVISION ? REVISION + input("compare-revision").value : input(id).value);

  /** @param {Event} event */
  const compare = async (event) => {
    event.preventDefault();
    const own = ++turn;
    say(words.looking);
    cavata.element("compare-changes").replaceChildren();
    cavata.tell("lit", { ids: [], kind: "compare" });
    try {
      const found = await cavata.ask("then", {
        before: side("compare-before"), after: side("compare-after"), copy: cavata.score?.copy || "score", state: cavata.now.good,
      });
      await cavata.calm();
      if (own !== turn) return;
      if (found.said) {
        say(found.said);
        return;
      }
      const count = found.changes.length + found.left;
      say(found.same ? words.same : filled(count === 1 ? words.one : words.found, { count }) + (found.longer ? `; ${found.longer}` : ""));
      cavata.element("compare-changes").replaceChildren(...found.changes.map((/** @type {any} */ change) => item(change, found)));
    } catch (reason) {
      if (own === turn) say(/** @type {Error} */ (reason).message);
    }
  };

  /** @param {string} text */
  const say = (text) => { cavata.element("compare-said").textContent = text; };

  /** @param {any} change @param {any} found */
  const item = (change, found) => {
    const place = made("div", { class: "shown" });
    const now = { state: found.after, movement: change.movement, bar: change.bar, bars: BARS };
    const then = { ...now, state: found.before, bar: change.was ?? change.bar };
    const see = async () => {
      cavata.tell("here", { movement: change.movement, bar: change.bar, id: null });
      cavata.tell("lit", { ids: change.ids, kind: "compare" });
      place.textContent = words.looking;
      try {
        const pictures = await Promise.all([then, now].map((each) => cavata.glimpse(each.state, each.movement, each.bar)));
        marked(pictures[0], change.before);
        marked(pictures[1], change.ids);
        await cavata.calm();
        place.replaceChildren(made("p", { class: "side" }, words.then), pictures[0], made("p", { class: "side" }, words.now), pictures[1]);
        place.scrollIntoView({ block: "nearest" });
      } catch (reason) {
        place.textContent = /** @type {Error} */ (reason).message;
      }
    };
    const both = () => cavata.sound.play({ ...then, after: () => cavata.sound.play(now) });
    /** @param {string} word @param {() => any} act */
    const button = (word, act) => made("button", { type: "button", onclick: act, "aria-label": `${word}: ${change.text}` }, word);
    const acts = change.bar === null ? [] : [made("p", { class: "acts" }, button(words.see, see),
      button(words.hearThen, () => cavata.sound.play(then)), button(words.hearNow, () => cavata.sound.play(now)),
      button(words.both, both))];
    const { movements } = cavata.now.about, title = movements.find((/** @type {any} */ each) => each.name === change.movement)?.title;
    const where = movements.length > 1 && change.movement ? [made("p", { class: "fact" }, title || change.movement)] : [];
    return made("li", { class: "card" }, ...where, made("p", {}, change.text), ...acts, place);
  };

  /** @param {Element} picture @param {string[]} ids */
  const marked = (picture, ids) => {
    const wanted = new Set(ids);
    for (const note of picture.querySelectorAll("[data-id]")) {
      if (wanted.has(/** @type {SVGElement} */ (note).dataset.id || "")) note.classList.add("lit", "lit-compare");
    }
  };

  const build = () => {
    if (cavata.isFolder) return;
    /** @param {string} id @param {string} text */
    const chooser = (id, text) => made("p", { class: "field" }, made("label", { for: id }, text), " ",
      made("select", { id, onchange: revisionShown }));
    cavata.element("compare").replaceChildren(
      made("form", { onsubmit: compare }, made("fieldset", { id: "compare-form", disabled: true }, chooser("compare-before", words.before), chooser("compare-after", words.after),
        made("p", { class: "field" },
          made("label", { for: "compare-revision", id: "compare-revision-label", hidden: true }, words.which), " ",
          made("input", { id: "compare-revision", type: "text", value: "HEAD~1", hidden: true })),
        made("button", { type: "submit" }, words.compare))),
      made("p", { id: "compare-said", role: "status" }), made("ul", { id: "compare-changes" }));
  };

  document.addEventListener("DOMContentLoaded", build);
  cavata.on("listed", async (/** @type {any} */ { state }) => {
    if (cavata.isFolder) return;
    try {
      const found = options(await cavata.ask("sides", { state }));
      const usual = (found.find(([value]) => value.startsWith("save:")) || found.find(([value]) => value === "commit") || ["now"])[0];
      await cavata.calm();
      fill("compare-before", found, usual);
      fill("compare-after", found, "now");
      input("compare-form").disabled = false;
    } catch {
      // the next save has them
    }
  });
})();
