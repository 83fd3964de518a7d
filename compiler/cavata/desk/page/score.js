// The score, system by system: only those around the place that is looked at are drawn, each by its number, so that
// what a save did not change stays where it is.
//
//   cavata.music(svg)      a picture of music as an element; its glyphs are shared by all pictures of the page
//   cavata.score           copy, room and state that are shown
//   tells `seen` when another place comes into view, and `drawn`
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.score;
  const { made, filled } = cavata;
  const NARROW = 640;
  /** Pixels of a staff in a system that was not drawn yet, room around it included. */
  const STAFF = 46;
  /** How long what changed glows once it is seen, in milliseconds. */
  const GLOW = 6000;
  /** For how long, in milliseconds, the page is held where it went. */
  const SETTLING = 1500;
  /** Pixels around a head that belong to it. */
  const REACH = 18;
  const SVG = "http://www.w3.org/2000/svg";

  const shown = { state: 0, copy: "", room: "", systems: /** @type {any[]} */ ([]) };
  /** Systems by their numbers. @type {Map<number, HTMLElement>} */
  let figures = new Map();
  /** Ids of each kind that are lit, with their color. @type {Map<string, {ids: Set<string>, color: string}>} */
  const lit = new Map();
  /** @type {Set<string>} */
  let glowing = new Set();
  /** Where the keyboard is. @type {Element | null} */
  let chosen = null;
  /** @type {any} */
  let about = null;
  let asked = 0;
  /** Whether only the first system is shown, while the piece is looked at for the first time. */
  let early = false;

  // ------------------------------------------------------------ pictures

  const glyphs = document.createElementNS(SVG, "svg");
  glyphs.setAttribute("class", "glyphs");
  glyphs.setAttribute("aria-hidden", "true");

  /** @param {string} text @returns {SVGSVGElement} */
  const music = (text) => {
    const picture = cavata.picture(text);
    if (!glyphs.isConnected) document.body.append(glyphs);
    for (const glyph of picture.querySelectorAll("defs > [id]")) {
      if (!glyphs.querySelector(`[id="${glyph.id}"]`)) glyphs.append(glyph);
    }
    picture.querySelector("defs")?.remove();
    picture.classList.add("music");
    return picture;
  };

  const loadFont = async () => {
    const face = new FontFace("Leipzig", cavata.isFolder ? await cavata.ask("font") : "url(page/music.woff2)");
    document.fonts.add(await face.load());
  };

  // ------------------------------------------------------------ what stands in the section

  const list = made("div", { class: "systems", tabindex: "0", role: "group", "aria-label": words.keys });
  const copies = made("select", { id: "copy", onchange: () => change(copies.value) });
  const follow = made("input", { type: "checkbox", id: "follow", checked: true });
  const place = made("p", { class: "place", role: "status" });

  const bar = () => made("div", { class: "score-bar" },
    made("label", { for: "copy" }, words.copy), copies,
    made("label", { class: "check" }, follow, words.follow),
    made("span", { class: "print" }, words.print));

  /** @param {any} system */
  const called = (system) => filled(system.bars.length > 1 ? words.system : words.oneBar, {
    movement: titleOf(system.movement), first: system.bars[0], last: system.bars[system.bars.length - 1],
  });

  /** The system in which a bar stands. @param {string} movement @param {number} number */
  const systemAt = (movement, number) => shown.systems.find((each) => each.movement === movement && each.bars.includes(number));

  /** @param {string} name */
  const titleOf = (name) => about?.movements.find((/** @type {any} */ each) => each.name === name)?.title || name;

  /** @param {any} system */
  const figure = (system) => {
    const element = made("figure", { class: "system", "data-number": system.number });
    element.style.minHeight = `${Math.round(system.staves * STAFF)}px`;
    element.style.width = `${system.width * 100}%`;
    observer.observe(element);
    return element;
  };

  /** The systems that are listed, those that were there before with their pictures. */
  const laidOut = () => {
    const before = figures;
    figures = new Map();
    /** @type {Node[]} */
    const nodes = [];
    let movement = "";
    for (const [index, system] of shown.systems.entries()) {
      if (system.movement !== movement) {
        movement = system.movement;
        nodes.push(made("h2", { class: "movement", "data-name": movement }, titleOf(movement)));
      }
      const element = before.get(system.number) || figure(system);
      element.dataset.index = String(index);
      element.setAttribute("aria-label", called(system));
      figures.set(system.number, element);
      nodes.push(element);
    }
    for (const [number, element] of before) {
      if (figures.has(number)) continue;
      observer.unobserve(element);
      seenOnce.unobserve(element);
      near.delete(element);
    }
    // What stays is not touched: whatever is put in again, the browser lays out again.
    const kept = new Set(nodes);
    for (const each of [...list.childNodes]) if (!kept.has(each)) each.remove();
    for (const [index, node] of nodes.entries()) {
      if (list.childNodes[index] !== node) list.insertBefore(node, list.childNodes[index] || null);
    }
    marginal();
  };

  // ------------------------------------------------------------ drawing what is near

  /** @type {Set<HTMLElement>} */
  const near = new Set();
  const observer = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      const element = /** @type {HTMLElement} */ (target);
      if (isIntersecting) {
        near.add(element);
        draw(element);
      } else {
        near.delete(element);
        clear(element);
      }
    }
    tellSeen();
  }, { rootMargin: "900px 0px" });

  /** @param {HTMLElement} element */
  const systemOf = (element) => shown.systems[Number(element.dataset.index)];

  /** The figure in which something of a picture stands; the picture has a group of that class too.
   * @param {Element} inside @returns {HTMLElement | null} */
  const figureOf = (inside) => inside.closest("figure.system");

  /** A picture that is far away makes room; its place stays as high as it was. @param {HTMLElement} element */
  const clear = (element) => {
    const picture = element.querySelector("svg");
    if (!picture) return;
    element.style.minHeight = `${Math.round(element.getBoundingClientRect().height)}px`;
    if (chosen && picture.contains(chosen)) chosen = null;
    picture.remove();
    element.removeAttribute("data-drawn");
  };

  /** @param {HTMLElement} element */
  const draw = async (element) => {
    const system = systemOf(element);
    if (!system || element.dataset.drawn || early) return;
    element.dataset.drawn = "asked";
    element.setAttribute("aria-busy", "true");
    const { state, copy, room } = shown;
    try {
      const text = await cavata.ask("system", { state, copy, room, system: element.dataset.index });
      if (figures.get(system.number) !== element || element.dataset.drawn !== "asked") return;
      put(element, music(text), system);
    } catch (error) {
      element.textContent = filled(cavata.words.core.nothing, { reason: /** @type {Error} */ (error).message });
      element.removeAttribute("data-drawn");
    }
    element.removeAttribute("aria-busy");
  };

  /** @param {HTMLElement} element @param {SVGSVGElement} picture @param {any} system */
  const put = (element, picture, system) => {
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", called(system));
    element.replaceChildren(made("figcaption", { "aria-hidden": "true" }, String(system.bars[0])), picture);
    element.style.minHeight = "";
    element.dataset.drawn = "yes";
    for (const kind of lit.keys()) light(element, kind);
    glow(element);
    tellWrong(element);
    settle();
    tellDrawn();
  };

  let toldDrawn = 0;
  const tellDrawn = () => {
    if (toldDrawn === shown.state || early) return;
    toldDrawn = shown.state;
    requestAnimationFrame(() => setTimeout(() => cavata.tell("drawn", { state: toldDrawn })));
  };

  // ------------------------------------------------------------ states and copies

  /** The first system may be there before the rest: nothing else can be asked for until then. */
  const beginning = async () => {
    const room = roomNow();
    const found = await cavata.ask("first", { room }).catch(() => null);
    if (!found?.system || shown.state) return;
    early = true;
    Object.assign(shown, { copy: found.copy, room, systems: [found.system] });
    laidOut();
    for (const title of list.querySelectorAll("h2")) title.textContent = found.title || found.system.movement;
    const element = figures.get(found.system.number);
    if (element) put(element, music(found.picture), found.system);
  };

  const roomNow = () => (cavata.element("score").clientWidth < NARROW ? "narrow" : "wide");

  const fillCopies = () => {
    const narrow = roomNow() === "narrow";
    const all = about ? [...about.copies] : [];
    if (narrow) all.sort((/** @type {any} */ a, /** @type {any} */ b) => Number(a.copy === "score") - Number(b.copy === "score"));
    copies.replaceChildren(...all.map((/** @type {any} */ each) => made("option", { value: each.copy }, each.title)));
    if (!all.some((/** @type {any} */ each) => each.copy === shown.copy)) shown.copy = all.length ? all[0].copy : "score";
    copies.value = shown.copy;
  };

  /** @param {string} copy */
  const change = async (copy) => {
    const seen = current();
    shown.copy = copy;
    lit.clear();
    glowing.clear();
    await load(cavata.now.good, false);
    if (seen) go({ movement: seen.movement, bar: seen.bars[0] });
    cavata.tell("copy", { copy, room: shown.room });
  };

  /** A state may be gone when it is asked for: the next one is on its way. @param {Error} reason */
  const failed = (reason) => cavata.status(filled(cavata.words.core.nothing, { reason: reason.message }));

  /** @param {number} state @param {boolean} compared */
  const load = async (state, compared) => {
    const turn = ++asked;
    const room = roomNow();
    const since = compared && room === shown.room && shown.state && shown.state !== state ? shown.state : undefined;
    const found = await cavata.ask("score", { state, copy: shown.copy, room, since }).catch(failed);
    if (turn !== asked || !found) return;
    const fresh = found.systems.filter((/** @type {any} */ each) => !figures.has(each.number));
    Object.assign(shown, { state, room, systems: found.systems });
    await swapped(early && fresh[0] === found.systems[0] ? fresh.slice(0, 1) : since ? fresh : []);
    glowing = new Set(found.changed || []);
    for (const element of figures.values()) glow(element);
    if (!fresh.length) tellDrawn();
    const count = found.changed?.length;
    if (count) cavata.status(count === 1 ? words.oneChanged : filled(words.changed, { count }));
    if (since && fresh.length && follow.checked && !fresh.some(isSeen)) goTo(figures.get(fresh[0].number));
  };

  /** A changed system that is near takes the place of the old one only when it is drawn. @param {any[]} fresh */
  const swapped = async (fresh) => {
    const wanted = fresh.length < 4 ? fresh : [];
    const { state, copy, room } = shown;
    const texts = await Promise.all(wanted.map((system) =>
      cavata.ask("system", { state, copy, room, system: shown.systems.indexOf(system) }).catch(() => "")));
    if (state !== shown.state || copy !== shown.copy) return;
    early = false;
    laidOut();
    wanted.forEach((system, number) => {
      const element = figures.get(system.number);
      if (element && texts[number]) put(element, music(texts[number]), system);
    });
    tellSeen();
  };

  /** Whether most of a system, or of what has room, stands between the map and the bar of sound. @param {any} system */
  const isSeen = (system) => {
    const box = figures.get(system.number)?.getBoundingClientRect();
    if (!box) return false;
    const top = Math.max(0, cavata.element("map").getBoundingClientRect().bottom);
    const bottom = window.innerHeight - cavata.element("sound").offsetHeight;
    const visible = Math.min(bottom, box.bottom) - Math.max(top, box.top);
    return visible > 0.6 * Math.min(box.height, bottom - top);
  };

  // ------------------------------------------------------------ places

  /** The system in the middle of the window. */
  const current = () => {
    const middle = window.innerHeight / 2;
    let best = null;
    let least = Infinity;
    for (const element of near) {
      const box = element.getBoundingClientRect();
      const away = box.top > middle ? box.top - middle : box.bottom < middle ? middle - box.bottom : 0;
      if (away < least && element.isConnected) {
        least = away;
        best = systemOf(element);
      }
    }
    return best;
  };

  let told = "";
  const tellSeen = () => {
    const system = current();
    if (!system || early) return;
    const seen = { movement: system.movement, first: system.bars[0], last: system.bars[system.bars.length - 1] };
    const key = JSON.stringify(seen);
    if (key !== told) {
      told = key;
      cavata.tell("seen", seen);
    }
  };

  /** Where the page goes: systems that are drawn meanwhile must not move it away. @type {{element: HTMLElement, until: number} | null} */
  let goal = null;

  /** @param {HTMLElement | null | undefined} element */
  const goTo = (element) => {
    if (!element) return;
    goal = { element, until: Date.now() + SETTLING };
    settle();
  };

  const settle = () => {
    if (!goal || Date.now() > goal.until || !goal.element.isConnected) return;
    const high = goal.element.getBoundingClientRect().height > window.innerHeight * 0.6;
    goal.element.scrollIntoView({ block: high ? "start" : "center", behavior: "instant" });
  };

  /** @param {{movement: string, bar: number, id?: string | null}} where */
  const go = ({ movement, bar, id }) => {
    const system = systemAt(movement, bar) || shown.systems.find((each) => each.movement === movement);
    if (!system) return;
    const element = figures.get(system.number);
    goTo(element);
    for (const each of list.querySelectorAll(".measure.here")) each.classList.remove("here");
    const measure = element?.querySelector(`.measure[data-bar="${bar}"]`);
    measure?.classList.add("here");
    if (id) choose(element?.querySelector(`[data-id="${CSS.escape(id)}"]`) || null);
  };

  // ------------------------------------------------------------ light

  /** @param {HTMLElement} element @param {string} kind */
  const light = (element, kind) => {
    const { ids, color } = lit.get(kind) || { ids: new Set(), color: "" };
    const name = `lit-${kind}`;
    for (const each of element.querySelectorAll(`.${CSS.escape(name)}`)) each.classList.remove("lit", name);
    if (!ids.size) return;
    for (const note of element.querySelectorAll("[data-id]")) {
      if (!ids.has(/** @type {SVGElement} */ (note).dataset.id || "")) continue;
      note.classList.add("lit", name);
      if (color) /** @type {SVGElement} */ (note).style.setProperty("--lit", color);
      else /** @type {SVGElement} */ (note).style.removeProperty("--lit");
    }
  };

  /** @param {any} detail */
  const lighten = ({ ids, kind, color }) => {
    lit.set(kind, { ids: new Set(ids), color: color || "" });
    for (const element of near) light(element, kind);
    if (kind === "editor" && ids.length) {
      const first = list.querySelector(".lit-editor");
      if (first) goTo(figureOf(first));
      else where(ids[0]);
    }
  };

  /** Go where a note is that is not drawn. @param {string} id */
  const where = async (id) => {
    try {
      const found = await cavata.ask("note", { state: shown.state, copy: shown.copy, room: shown.room, id });
      go({ movement: found.movement, bar: found.bar });
    } catch {
      // it is in another copy
    }
  };

  /** What changed glows, until it was seen for a while. @param {HTMLElement} element */
  const glow = (element) => {
    const found = [...element.querySelectorAll("[data-id]")].filter((each) => glowing.has(/** @type {SVGElement} */ (each).dataset.id || ""));
    for (const each of element.querySelectorAll(".glow")) each.classList.remove("glow");
    if (!found.length) return;
    for (const each of found) each.classList.add("glow");
    seenOnce.observe(element);
  };

  const seenOnce = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) continue;
      seenOnce.unobserve(target);
      const ids = [...target.querySelectorAll(".glow")].map((each) => /** @type {SVGElement} */ (each).dataset.id || "");
      setTimeout(() => {
        for (const each of target.querySelectorAll(".glow")) each.classList.remove("glow");
        for (const id of ids) glowing.delete(id);
      }, GLOW);
    }
  }, { threshold: 0.3 });

  // ------------------------------------------------------------ messages at their bars

  const wrong = () => cavata.now.messages.filter((/** @type {any} */ each) => each.bar);

  /** Each message stands above the system of its bar. */
  const marginal = () => {
    for (const each of list.querySelectorAll(".at-bar")) each.remove();
    for (const message of wrong()) {
      const { movement, bar: number } = message.bar;
      const system = systemAt(movement, number);
      const element = system && figures.get(system.number);
      if (!element) continue;
      const summary = made("summary", {}, made("strong", {}, filled(words.atBar, { bar: number })), ` ${message.text}`);
      const cure = made("p", {}, message.cure ? `${cavata.words.core.toMend}: ${message.cure}` : message.label || message.code);
      element.before(made("details", { class: `at-bar ${message.severity}` }, summary, cure));
    }
    for (const element of near) tellWrong(element);
  };

  /** @param {HTMLElement} element */
  const tellWrong = (element) => {
    for (const each of element.querySelectorAll(".measure.wrong")) each.classList.remove("wrong");
    const system = systemOf(element);
    for (const { bar: at } of wrong()) {
      if (system && at.movement === system.movement) element.querySelector(`.measure[data-bar="${at.bar}"]`)?.classList.add("wrong");
    }
  };

  // ------------------------------------------------------------ touching notes

  /** @param {Element | null} note */
  const choose = (note) => {
    chosen?.classList.remove("chosen");
    chosen = note;
    if (!note) return;
    note.classList.add("chosen");
    const part = partOf(note);
    place.textContent = filled(part ? words.noteOf : words.note, { bar: barOf(note), part });
    note.scrollIntoView({ block: "nearest", inline: "nearest" });
  };

  /** How the page calls the part that has it; empty where no copy is called so. An id is `MOVEMENT-PART.STAFF-...`.
   * @param {Element} note */
  const partOf = (note) => {
    const [, name] = (note.getAttribute("data-id") || "").split(/[-.]/);
    return about?.copies.find((/** @type {any} */ each) => each.copy === `part:${name}`)?.title || "";
  };

  /** The printed number of its bar. @param {Element} note */
  const barOf = (note) => note.closest(".measure")?.getAttribute("data-bar") || "";

  /** @param {Element} note */
  const touch = (note) => {
    if (early) return;
    const { copy, room, state } = shown;
    const { movement } = systemOf(/** @type {HTMLElement} */ (figureOf(note)));
    cavata.tell("touched", { id: note.getAttribute("data-id"), movement, bar: Number(barOf(note)), copy, room, state });
  };

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

  /** The nearest note in a direction. @param {string} key @returns {Element | null} */
  const next = (key) => {
    const begins = list.querySelector(".system[data-drawn=yes] .note[data-id]");
    if (!chosen || !chosen.isConnected) {
      const system = [...near].find((each) => each.dataset.drawn === "yes" && isSeen(systemOf(each)));
      return system ? notesOf(system)[0] || begins : begins;
    }
    const system = /** @type {HTMLElement} */ (figureOf(chosen));
    const here = middleOf(chosen);
    const staff = staffOf(chosen);
    const ahead = key === "ArrowRight" ? 1 : -1;
    if (key === "ArrowLeft" || key === "ArrowRight") {
      const row = notesOf(system).filter((each) => staffOf(each) === staff && (middleOf(each).x - here.x) * ahead > 1);
      row.sort((a, b) => (middleOf(a).x - middleOf(b).x) * ahead);
      if (row[0]) return row[0];
      const drawn = [...list.querySelectorAll(".system[data-drawn=yes]")];
      const other = drawn[drawn.indexOf(system) + ahead];
      const found = other ? notesOf(other).filter((each) => staffOf(each) === staff) : [];
      return (ahead > 0 ? found[0] : found[found.length - 1]) || (other ? notesOf(other)[0] : null) || null;
    }
    const down = key === "ArrowDown" ? 1 : -1;
    const others = notesOf(system).filter((each) => (staffOf(each) - staff) * down > 0);
    const away = (/** @type {Element} */ each) => Math.abs(staffOf(each) - staff) * 10000 + Math.abs(middleOf(each).x - here.x);
    others.sort((a, b) => away(a) - away(b));
    return others[0] || null;
  };

  const typed = (/** @type {KeyboardEvent} */ event) => {
    if (event.target !== list || event.altKey || event.ctrlKey || event.metaKey) return;
    if (/^Arrow(Left|Right|Up|Down)$/.test(event.key)) {
      const found = next(event.key);
      if (found) choose(found);
      event.preventDefault();
    } else if (event.key === "Enter" && chosen) {
      touch(chosen);
      event.preventDefault();
    }
  };

  /** The note that a finger meant: heads are small, and those of long notes are hollow. @param {MouseEvent} event */
  const meant = (event) => {
    const target = /** @type {Element} */ (event.target);
    const system = figureOf(target);
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
    choose(note);
    if (note.matches(".note")) touch(note);
  };

  // ------------------------------------------------------------ beginning

  const begin = () => {
    cavata.element("score").append(bar(), place, list);
    list.addEventListener("keydown", typed);
    list.addEventListener("click", clicked);
    loadFont().catch(() => {});
    if (!cavata.isFolder) beginning();
    for (const own of ["wheel", "touchstart", "pointerdown", "keydown"]) {
      window.addEventListener(own, () => { goal = null; }, { passive: true, capture: true });
    }
    let waiting = 0;
    window.addEventListener("scroll", () => {
      if (!waiting) waiting = window.setTimeout(() => { waiting = 0; tellSeen(); }, 80);
    }, { passive: true });
    window.addEventListener("resize", () => {
      if (about && roomNow() !== shown.room) {
        const seen = current();
        fillCopies();
        load(cavata.now.good, false).then(() => { if (seen) go({ movement: seen.movement, bar: seen.bars[0] }); });
      }
    });
  };

  cavata.on("about", (/** @type {any} */ found) => {
    const first = !about;
    about = found;
    fillCopies();
    if (first && !asked) load(found.state, false);
    for (const title of list.querySelectorAll("h2[data-name]")) title.textContent = titleOf(title.dataset.name);
  });
  cavata.on("soon", (/** @type {any} */ event) => {
    if (event.good === shown.state) return;
    if (!shown.copy && roomNow() === "wide") shown.copy = "score";
    if (shown.copy) load(event.good, Boolean(shown.state));
  });
  cavata.on("state", marginal);
  cavata.on("here", go);
  cavata.on("lit", lighten);
  cavata.on("heard", (/** @type {any} */ { ids, movement, bar: number }) => {
    lighten({ ids: ids || [], kind: "heard" });
    const system = systemAt(movement, number);
    if (system && !isSeen(system)) goTo(figures.get(system.number));
  });
  Object.assign(cavata, { music, score: shown });
  document.addEventListener("DOMContentLoaded", begin);
})();
