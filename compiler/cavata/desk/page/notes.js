// Notes that are chosen: by a finger or a pointer, or by the arrows, from note to note and from staff to staff.
//
//   tells `touched` when one is to tell where it came from
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.score;
  const { filled } = cavata;
  /** Pixels around a head that belong to it. */
  const REACH = 18;
  /** Where the keyboard is: a note stays chosen while its system is drawn anew.
   * @type {{id: string, movement: string, bar: number} | null} */
  let chosen = null;
  /** Whether that note is to be touched when the piece is there. */
  let isWaiting = false;

  /** @param {any} named */
  const choose = (named) => {
    for (const each of cavata.score.list.querySelectorAll(".chosen")) each.classList.remove("chosen");
    chosen = named;
    isWaiting = false;
    tellPlace();
    const note = chosenNote();
    note?.classList.add("chosen");
    note?.scrollIntoView({ block: "nearest", inline: "nearest" });
  };

  /** Say where the chosen note is, as far as that is known. */
  const tellPlace = () => {
    if (!chosen) return;
    const part = partOf(chosen.id);
    cavata.score.place.textContent = filled(part ? words.noteOf : words.note, { bar: chosen.bar, part });
  };

  /** What is remembered of a note. @param {Element} note */
  const named = (note) => ({
    id: note.getAttribute("data-id") || "", movement: cavata.score.systemOf(cavata.score.figureOf(note)).movement,
    bar: Number(note.closest(".measure")?.getAttribute("data-bar")),
  });

  /** The note that is chosen, where it is drawn. @returns {Element | null} */
  const chosenNote = () => chosen && cavata.score.list.querySelector(`[data-id="${CSS.escape(chosen.id)}"]`);

  /** How the page calls the part that has it; empty where no copy is called so. An id is `MOVEMENT-PART.STAFF-...`.
   * @param {string} id */
  const partOf = (id) => {
    const [, name] = id.split(/[-.]/);
    return cavata.now.about?.copies.find((/** @type {any} */ each) => each.copy === `part:${name}`)?.title || "";
  };

  /** Have it told where the chosen note came from, when that can be known. */
  const touch = () => {
    if (!chosen) return;
    const { copy, room, state } = cavata.score;
    isWaiting = !state;
    if (state) cavata.tell("touched", { ...chosen, copy, room, state });
    uncovered();
  };

  /** Where the panel lies over the score, it does not lie over the note. */
  const uncovered = () => {
    const note = chosenNote()?.getBoundingClientRect(), panel = document.querySelector("aside.open")?.getBoundingClientRect();
    if (note && panel && panel.left < note.left && note.bottom + REACH > panel.top) window.scrollBy(0, note.bottom + REACH - panel.top);
  };

  // ------------------------------------------------------------ by the arrows

  /** @param {Element} note */
  const middleOf = (note) => {
    const box = (note.querySelector(".notehead") || note).getBoundingClientRect();
    return { x: box.left + box.width / 2, y: box.top + box.height / 2 };
  };

  const notesOf = (/** @type {Element} */ system) => [...system.querySelectorAll(".note[data-id]")];

  /** The staff of a note, counted in its measure. @param {Element} note */
  const staffOf = (note) => {
    const staff = note.closest(".staff");
    return staff ? [...(staff.parentElement?.querySelectorAll(":scope > .staff") || [])].indexOf(staff) : 0;
  };

  /** The first note of the place that was gone to, or else of what is seen, or of what comes after it. */
  const first = async () => {
    const figures = cavata.score.figures(), here = cavata.score.here();
    const seen = figures.findIndex((/** @type {any} */ each) => cavata.score.isSeen(cavata.score.systemOf(each)));
    const gone = here ? figures.indexOf(cavata.score.figureAt(here)) : -1;
    const found = await beyond(figures, Math.max(gone < 0 ? seen : gone, 0) - 1, 1, -1);
    const bar = gone >= 0 && found && cavata.score.figureOf(found) === figures[gone] ? here.bar : 0;
    return (found && notesOf(cavata.score.figureOf(found)).find((each) => named(each).bar >= bar)) || found;
  };

  /** The nearest note of a staff, or else of any, in the systems after one, or before it; they are drawn for that.
   * @param {any[]} figures @param {number} place @param {number} ahead @param {number} staff @returns {Promise<Element | null>} */
  const beyond = async (figures, place, ahead, staff) => {
    for (let at = place + ahead; at >= 0 && at < figures.length; at += ahead) {
      await cavata.score.draw(figures[at]);
      if (!figures[at].isConnected || !figures[at].dataset.drawn) return null;
      const notes = notesOf(figures[at]), own = notes.filter((each) => staffOf(each) === staff);
      const found = own.length ? own : notes;
      if (found.length) return ahead > 0 ? found[0] : found[found.length - 1];
    }
    return null;
  };

  /** The nearest note in a direction. @param {Element} note @param {string} key @returns {Promise<Element | null>} */
  const next = async (note, key) => {
    const system = cavata.score.figureOf(note), here = middleOf(note), staff = staffOf(note);
    if (key === "ArrowLeft" || key === "ArrowRight") {
      const ahead = key === "ArrowRight" ? 1 : -1;
      const row = notesOf(system).filter((each) => staffOf(each) === staff && (middleOf(each).x - here.x) * ahead > 1);
      row.sort((a, b) => (middleOf(a).x - middleOf(b).x) * ahead);
      const figures = cavata.score.figures();
      return row[0] || beyond(figures, figures.indexOf(system), ahead, staff);
    }
    const down = key === "ArrowDown" ? 1 : -1;
    const others = notesOf(system).filter((each) => (staffOf(each) - staff) * down > 0);
    const away = (/** @type {Element} */ each) => Math.abs(staffOf(each) - staff) * 10000 + Math.abs(middleOf(each).x - here.x);
    others.sort((a, b) => away(a) - away(b));
    return others[0] || null;
  };

  /** @param {string} key */
  const step = async (key) => {
    const figure = chosen && cavata.score.figureAt(chosen);
    if (figure && cavata.score.isNear(figure)) await cavata.score.draw(figure);
    const note = chosenNote();
    const found = await (note ? next(note, key) : first());
    if (found) choose(named(found));
  };

  /** Keys are done one after another: each begins where the one before has led. */
  let steps = Promise.resolve();
  const typed = (/** @type {KeyboardEvent} */ event) => {
    if (event.target !== cavata.score.list || event.altKey || event.ctrlKey || event.metaKey) return;
    const isArrow = /^Arrow(Left|Right|Up|Down)$/.test(event.key);
    if (!isArrow && event.key !== "Enter") return;
    event.preventDefault();
    steps = steps.then(() => (isArrow ? step(event.key) : touch()));
  };

  // ------------------------------------------------------------ by a finger

  /** The note that a finger meant: heads are small, and those of long notes are hollow. @param {MouseEvent} event */
  const meant = (event) => {
    const target = /** @type {Element} */ (event.target);
    const system = cavata.score.figureOf(target);
    const note = target.closest(".note[data-id]");
    if (note || !system) return note;
    let least = REACH;
    let found = null;
    for (const each of system.querySelectorAll(".note[data-id], .rest[data-id], .mRest[data-id]")) {
      const { x, y } = middleOf(each);
      const away = Math.hypot(event.clientX - x, event.clientY - y);
      if (away < least) [least, found] = [away, each];
    }
    return found;
  };

  const clicked = (/** @type {MouseEvent} */ event) => {
    const note = meant(event);
    if (!note) return;
    choose(named(note));
    if (note.matches(".note")) touch();
  };

  document.addEventListener("DOMContentLoaded", () => {
    cavata.score.list.addEventListener("keydown", typed);
    cavata.score.list.addEventListener("click", clicked);
  });
  cavata.on("put", (/** @type {any} */ { element }) => {
    if (element.contains(chosenNote())) chosenNote()?.classList.add("chosen");
  });
  cavata.on("about", tellPlace);
  cavata.on("listed", () => { if (isWaiting) touch(); });
  cavata.on("here", (/** @type {any} */ { movement, bar, id }) => { if (id) choose({ id, movement, bar }); });
})();
