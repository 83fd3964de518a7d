// The score, system by system: only those around the place that is looked at are drawn, each by its number, so that
// what a save did not change stays where it is.
//
//   cavata.music(svg)      a picture of music as an element; its glyphs are shared by all pictures of the page
//   cavata.score           copy, room and state that are shown; for `notes.js` the systems and how one is drawn
//   tells `seen` when another place comes into view, `put` when a system was drawn, and `listed`
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.score;
  const { made, filled } = cavata;
  const NARROW = 640;
  /** Pixels of a staff in a system that was not drawn yet, room around it included. */
  const STAFF = 46;
  /** Of fewer changed systems the pictures are waited for: each takes the place of the old one only when it is drawn. */
  const FEW = 4;
  /** How many pictures are asked for at once: one process draws them all, and names and map are asked for meanwhile. */
  const AT_ONCE = 2;
  /** How many mistakes without a bar are told above the score. */
  const MOST_ABOVE = 3;
  /** How long what changed glows once it is seen, in milliseconds. */
  const GLOW = 6000;
  const SVG = "http://www.w3.org/2000/svg";

  const shown = { state: 0, copy: "", room: "", systems: /** @type {any[]} */ ([]) };
  /** The copy that was chosen; it is shown when it has come. */
  let wanted = "";
  /** Systems by their numbers. @type {Map<number, HTMLElement>} */
  let figures = new Map();
  /** Ids of each kind that are lit, with their color. @type {Map<string, {ids: Set<string>, color: string}>} */
  const lit = new Map();
  /** What glows: ids, and bars as `barKey` has them. @type {Set<string>} */
  let glowing = new Set();
  /** @type {any} */
  let about = null;
  let asked = 0;
  /** How many states or copies are being asked for. */
  let loading = 0;
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
  const copies = made("select", { id: "copy", onchange: () => {
    wanted = copies.value;
    load(cavata.now.good, false);
  } });
  const follow = made("input", { type: "checkbox", id: "follow", checked: true });
  const place = made("p", { class: "place", role: "status" });  // of the note where the keyboard is

  const bar = () => made("div", { class: "score-bar" },
    made("label", { for: "copy" }, words.copy), copies,
    ...(cavata.isFolder ? [] : [made("label", { class: "check" }, follow, words.follow)]),
    made("span", { class: "print" }, words.print));

  /** @param {any} system */
  const called = (system) => filled(system.bars.length > 1 ? words.system : words.oneBar, {
    movement: titleOf(system.movement), first: system.bars[0], last: system.bars[system.bars.length - 1],
  });

  /** Say which system it is, and its picture too. @param {HTMLElement} element @param {any} system */
  const label = (element, system) => {
    for (const each of [element, element.querySelector(":scope > svg")]) each?.setAttribute("aria-label", called(system));
  };

  /** @param {any} system @returns {{movement: string, bar: number}} */
  const placeOf = (system) => ({ movement: system.movement, bar: system.bars[0] });

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
      label(element, system);
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
    for (const element of near) draw(element);
    marginal();
  };

  // ------------------------------------------------------------ drawing what is near

  /** @type {Set<HTMLElement>} */
  const near = new Set();
  /** @param {IntersectionObserverEntry[]} entries */
  const looked = (entries) => {
    for (const { target, isIntersecting } of entries) {
      const element = /** @type {HTMLElement} */ (target);
      if (isIntersecting) {
        near.add(element);
        draw(element);
      } else {
        near.delete(element);
        drawing.get(element)?.away.abort();
        clear(element);
      }
    }
    tellSeen();
  };
  const observer = new IntersectionObserver(looked, { rootMargin: "900px 0px" });

  /** What is done when the window was drawn once more and it is known what is near. @param {() => void} act */
  const whenLooked = (act) => requestAnimationFrame(() => setTimeout(() => {
    looked(observer.takeRecords());
    act();
  }));

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
    picture.remove();
    element.removeAttribute("data-drawn");
  };

  /** What is being drawn, and what ends that where it went away meanwhile: what is near must not wait for it.
   * @type {Map<HTMLElement, {done: Promise<void>, away: AbortController}>} */
  const drawing = new Map();
  /** Those that wait for their turn. @type {(() => void)[]} */
  const queue = [];
  let turns = AT_ONCE;

  /** What is done in its turn. @param {() => Promise<void>} act */
  const inTurn = async (act) => {
    if (turns) turns -= 1;
    else await new Promise((go) => { queue.push(() => go(undefined)); });
    try {
      await act();
    } finally {
      const next = queue.shift();
      if (next) next();
      else turns += 1;
    }
  };

  /** Draw a system that is not drawn yet; it was tried when this is over. @param {HTMLElement} element */
  const draw = (element) => {
    if (element.dataset.drawn || early) return Promise.resolve();
    const going = drawing.get(element);
    if (going) return going.done;
    const away = new AbortController(), done = inTurn(() => asking(element, away.signal)).finally(() => {
      drawing.delete(element);
      if (away.signal.aborted && near.has(element)) draw(element); // it came back
      settle();
    });
    drawing.set(element, { done, away });
    return done;
  };

  /** @param {HTMLElement} element @param {AbortSignal} signal @returns {Promise<void>} */
  const asking = async (element, signal) => {
    const system = systemOf(element);
    const { state, copy, room } = shown;
    element.setAttribute("aria-busy", "true");
    try {
      const text = await cavata.ask("system", { state, copy, room, system: element.dataset.index }, signal);
      await cavata.calm();
      if (figures.get(system.number) !== element || element.dataset.drawn) return;
      put(element, music(text), system);
      if (!near.has(element)) { // it is looked at again whether it is far
        observer.unobserve(element);
        observer.observe(element);
      }
    } catch (error) {
      if (signal.aborted || figures.get(system.number) !== element || element.dataset.drawn) return;
      if (state !== shown.state) return await asking(element, signal); // the one that was asked about is gone
      element.textContent = filled(cavata.words.core.nothing, { reason: /** @type {Error} */ (error).message });
    } finally {
      element.removeAttribute("aria-busy");
    }
  };

  /** @param {HTMLElement} element @param {SVGSVGElement} picture @param {any} system */
  const put = (element, picture, system) => {
    picture.setAttribute("role", "img");
    element.replaceChildren(made("figcaption", { "aria-hidden": "true" }, String(system.bars[0])), picture);
    element.style.minHeight = "";
    label(element, system);
    element.dataset.drawn = "yes";
    for (const kind of lit.keys()) light(element, kind);
    glow(element);
    tellWrong(element);
    markHere(element);
    cavata.tell("put", { element });
    settle();
  };

  // ------------------------------------------------------------ states and copies

  /** The first system may be there before the rest: nothing else can be asked for until then. */
  const beginning = async () => {
    const room = roomNow();
    const found = await cavata.ask("first", { room }).catch(() => null);
    if (!found?.system || shown.state) return;
    early = true;
    wanted = wanted || found.copy;
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
    if (cavata.differs(copies, all)) {
      copies.replaceChildren(...all.map((/** @type {any} */ each) => made("option", { value: each.copy }, each.title)));
    }
    if (!all.some((/** @type {any} */ each) => each.copy === wanted)) wanted = all.length ? all[0].copy : "score";
    copies.value = wanted;
  };

  /** A state may be gone when it is asked for: the next one is on its way. @param {Error} reason */
  const failed = (reason) => cavata.status(filled(cavata.words.core.nothing, { reason: reason.message }));

  /** The state that was told last to be listed. */
  let toldListed = 0;

  /** Show a state, in the copy that is chosen; `compared` with the one that is shown, what is other glows.
   * @param {number} state @param {boolean} compared */
  const load = async (state, compared) => {
    const turn = ++asked, copy = wanted, room = roomNow(), goalBefore = goal;
    const isSame = copy === shown.copy && room === shown.room;
    const since = compared && isSame && shown.state && shown.state !== state ? shown.state : undefined;
    loading += 1;
    try {
      const found = await cavata.ask("score", { state, copy, room, since });
      const fresh = found.systems.filter((/** @type {any} */ each) => !figures.has(each.number));
      const first = early && fresh[0] === found.systems[0] ? fresh.slice(0, 1) : since && fresh.length < FEW ? fresh : [];
      const texts = await Promise.all(first.map((/** @type {any} */ system) =>
        cavata.ask("system", { state, copy, room, system: found.systems.indexOf(system) }).catch(() => "")));
      await cavata.calm();
      if (turn !== asked) return;
      const seen = isSame || !shown.state ? null : current();
      if (!isSame) lit.clear();
      early = false;
      Object.assign(shown, { state, copy, room, systems: found.systems });
      glowing = new Set([...(found.changed || []), ...(found.bars || []).map((/** @type {[string, number]} */ each) => barKey(...each))]);
      laidOut();
      first.forEach((/** @type {any} */ system, /** @type {number} */ number) => {
        const element = figures.get(system.number);
        if (element && texts[number]) put(element, music(texts[number]), system);
      });
      for (const element of figures.values()) glow(element);
      const isElsewhere = goal !== null && goal !== goalBefore; // where somebody went meanwhile
      arrived(found, isElsewhere ? null : seen, since && !isElsewhere ? fresh : []);
      if (!isSame) cavata.tell("copy", { copy, room });
    } catch (reason) {
      if (turn === asked) failed(/** @type {Error} */ (reason));
    } finally {
      if (turn === asked && toldListed !== state) {
        toldListed = state;
        cavata.tell("listed", { state });
      }
      loading -= 1;
      settle();
    }
  };

  /** What is told of a state that stands now, and where the page goes.
   * @param {any} found @param {any} seen the system that was seen before, in another copy @param {any[]} fresh */
  const arrived = (found, seen, fresh) => {
    tellSeen();
    const count = found.changed?.length, bars = found.bars?.length;
    if (count) cavata.status(count === 1 ? words.oneChanged : filled(words.changed, { count }));
    else if (bars) cavata.status(bars === 1 ? words.oneBarChanged : filled(words.barsChanged, { count: bars }));
    if (seen) goTo(goal || placeOf(seen));
    else if (fresh.length && follow.checked && !fresh.some(isSeen)) goTo(placeOf(fresh[0]));
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

  /** Where the page goes: what is drawn meanwhile must not move it away. @type {{movement: string, bar: number} | null} */
  let goal = null;

  /** The figure of a place; where there is no such bar, the first of its movement. @param {{movement: string, bar: number}} where */
  const figureAt = ({ movement, bar }) => {
    const system = systemAt(movement, bar) || shown.systems.find((each) => each.movement === movement);
    return system && figures.get(system.number);
  };

  /** @param {{movement: string, bar: number}} where */
  const goTo = (where) => {
    goal = where;
    settle();
  };

  /** Until all that is near is drawn. */
  const settle = () => {
    const own = goal, element = own && figureAt(own);
    if (!element && shown.state && !loading) goal = null; // it is not in this copy
    if (!own || !element) return;
    const high = element.getBoundingClientRect().height > window.innerHeight * 0.6;
    element.scrollIntoView({ block: high ? "start" : "center", behavior: "instant" });
    whenLooked(() => {
      if (goal === own && !loading && !drawing.size) goal = null;
    });
  };

  /** The bar that was gone to. @type {{movement: string, bar: number} | null} */
  let here = null;

  /** @param {HTMLElement} element */
  const markHere = (element) => {
    const found = here && systemOf(element)?.movement === here.movement ? here.bar : null;
    element.querySelector(`.measure[data-bar="${found}"]`)?.classList.add("here");
  };

  /** @param {{movement: string, bar: number}} where */
  const go = ({ movement, bar }) => {
    here = { movement, bar };
    goTo(here);
    for (const each of list.querySelectorAll(".measure.here")) each.classList.remove("here");
    const element = figureAt(here);
    if (element) markHere(element);
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
  };

  /** @param {string} movement @param {number | string | undefined} number */
  const barKey = (movement, number) => `${movement} ${number}`;

  /** What of a system can glow, by what it is known. @param {HTMLElement} element @returns {[Element, string][]} */
  const glowers = (element) => [...element.querySelectorAll("[data-id], .measure[data-bar]")].map((each) => {
    const { id, bar: number } = /** @type {SVGElement} */ (each).dataset;
    return [each, id || barKey(systemOf(element)?.movement, number)];
  });

  /** What changed glows, until it was seen for a while. @param {HTMLElement} element */
  const glow = (element) => {
    let isGlowing = false;
    for (const [each, key] of glowing.size || element.querySelector(".glow, .glow-bar") ? glowers(element) : []) {
      const has = glowing.has(key);
      each.classList.toggle(each.matches(".measure") ? "glow-bar" : "glow", has);
      isGlowing ||= has;
    }
    if (isGlowing) seenOnce.observe(element);
  };

  const seenOnce = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) continue;
      seenOnce.unobserve(target);
      const own = glowers(/** @type {HTMLElement} */ (target)).filter(([each]) => each.matches(".glow, .glow-bar"));
      setTimeout(() => {
        for (const each of target.querySelectorAll(".glow, .glow-bar")) each.classList.remove("glow", "glow-bar");
        for (const [, key] of own) glowing.delete(key);
      }, GLOW);
    }
  }, { threshold: 0.3 });

  // ------------------------------------------------------------ messages at their bars

  const wrong = () => cavata.now.messages.filter((/** @type {any} */ each) => each.bar);

  /** A message by itself, with its place. @param {any} message @param {string} where */
  const atPlace = (message, where) => made("details", { class: `at-bar ${message.severity}` },
    made("summary", {}, made("strong", {}, where), ` ${message.text}`),
    made("p", {}, message.cure ? `${cavata.words.core.toMend}: ${message.cure}` : message.label || message.code));

  /** Each message stands above the system of its bar; mistakes that made none, above everything. */
  const marginal = () => {
    for (const each of list.querySelectorAll(".at-bar")) each.remove();
    for (const message of wrong()) {
      const { movement, bar: number } = message.bar;
      const system = systemAt(movement, number);
      figures.get(system?.number)?.before(atPlace(message, filled(words.atBar, { bar: number })));
    }
    const above = cavata.now.messages.filter((/** @type {any} */ each) => each.severity === "error" && !each.bar);
    const files = new Set(cavata.now.messages.map((/** @type {any} */ each) => each.file));
    const items = above.slice(0, MOST_ABOVE).map((/** @type {any} */ each) =>
      atPlace(each, each.line ? filled(files.size > 1 ? words.atLineOf : words.atLine, each) : ""));
    if (above.length > MOST_ABOVE) items.push(made("p", { class: "at-bar" }, filled(words.more, cavata.words.core)));
    list.prepend(...items);
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

  // ------------------------------------------------------------ beginning

  const begin = () => {
    cavata.element("score").append(bar(), place, list);
    loadFont().catch(() => {});
    if (!cavata.isFolder) beginning();
    for (const own of ["wheel", "touchstart", "pointerdown", "keydown"]) {
      window.addEventListener(own, () => { goal = null; }, { passive: true, capture: true });
    }
    // A browser goes to the beginning of what the keyboard comes to; the score goes on from its place.
    list.addEventListener("focus", () => {
      if (here && list.matches(":focus-visible")) goTo(here);
    });
    let waiting = 0;
    window.addEventListener("scroll", () => {
      if (!waiting) waiting = window.setTimeout(() => { waiting = 0; tellSeen(); }, 80);
    }, { passive: true });
    window.addEventListener("resize", () => {
      if (!about || roomNow() === shown.room) return;
      fillCopies();
      load(cavata.now.good, false);
    });
  };

  cavata.on("about", (/** @type {any} */ found) => {
    about = found;
    const before = wanted;
    fillCopies();
    if (!asked || wanted !== before) load(found.state, false);
    for (const title of list.querySelectorAll("h2[data-name]")) title.textContent = titleOf(title.dataset.name);
    for (const element of figures.values()) label(element, systemOf(element));
  });
  cavata.on("soon", (/** @type {any} */ event) => {
    if (event.good === shown.state) return;
    if (!wanted && roomNow() === "wide") wanted = "score";
    if (wanted) load(event.good, Boolean(shown.state));
  });
  cavata.on("state", () => cavata.calm().then(marginal));
  cavata.on("here", go);
  cavata.on("lit", lighten);
  cavata.on("heard", (/** @type {any} */ { ids, movement, bar: number }) => {
    lighten({ ids: ids || [], kind: "heard" });
    const system = systemAt(movement, number);
    if (system && !isSeen(system)) goTo({ movement, bar: number });
  });
  Object.assign(cavata, {
    music, score: Object.assign(shown, {
      list, place, draw, systemOf, figureOf, figureAt, isSeen, isNear: (/** @type {HTMLElement} */ each) => near.has(each),
      here: () => here, figures: () => shown.systems.map((each) => figures.get(each.number)),
    }),
  });
  document.addEventListener("DOMContentLoaded", begin);
})();
