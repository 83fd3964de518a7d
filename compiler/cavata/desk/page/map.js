// The map as the way through the piece: the place that is seen, the place that is heard, and a touch goes there.
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.map;
  const { made, filled } = cavata;
  const SVG = "http://www.w3.org/2000/svg";
  const NARROW = 640;
  /** What the view `map` says. @type {any} */
  let map = null;
  let state = 0;
  /** @type {any} */
  let seen = null;
  /** @type {any[]} */
  let places = [];
  const strip = made("div", { class: "strip", role: "slider", tabindex: "0", "aria-label": words.label, "aria-describedby": "map-keys" });
  const keys = made("p", { id: "map-keys", class: "aside" }, words.keys);

  const layer = document.createElementNS(SVG, "g");

  /** @param {string} tag @param {Record<string, any>} attributes */
  const drawn = (tag, attributes) => {
    const node = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, String(value));
    return node;
  };

  /** @param {number} seconds */
  const x = (seconds) => map.left + (map.length ? seconds / map.length : 0) * (map.right - map.left);

  /** When a bar begins, and when the next one does. @param {string} name @param {number} bar */
  const when = (name, bar) => {
    const number = map.movements.findIndex((/** @type {any} */ each) => each.name === name);
    if (number < 0) return null;
    const bars = map.movements[number].bars;
    const index = bars.findIndex((/** @type {any} */ each) => each[0] === bar);
    if (index < 0) return null;
    const after = bars[index + 1] ? bars[index + 1][1] : map.movements[number + 1]?.begins ?? map.length;
    return [bars[index][1], after];
  };

  /** The bar at a moment. @param {number} seconds */
  const barAt = (seconds) => {
    let found = { movement: map.movements[0].name, bar: map.movements[0].bars[0][0] };
    for (const movement of map.movements) {
      for (const [bar, begins] of movement.bars) if (begins <= seconds + 1e-6) found = { movement: movement.name, bar };
    }
    return found;
  };

  const marked = () => {
    if (!map) return;
    const foot = map.height - 16;
    /** @type {Element[]} */
    const inside = places.flatMap(({ movement, bar, color }) => {
      const at = when(movement, bar);
      return at ? [drawn("rect", { x: x(at[0]), y: foot, width: Math.max(2, x(at[1]) - x(at[0])), height: 4, class: "lit-place", fill: color || "currentColor" })] : [];
    });
    const from = seen && when(seen.movement, seen.first);
    const to = seen && when(seen.movement, seen.last);
    if (from && to) {
      inside.push(drawn("rect", { x: x(from[0]), y: 2, width: Math.max(4, x(to[1]) - x(from[0])), height: foot - 2, class: "seen", rx: 2 }));
      const title = map.movements.find((/** @type {any} */ each) => each.name === seen.movement).title;
      strip.setAttribute("aria-valuenow", String(Math.round(from[0])));
      strip.setAttribute("aria-valuetext", filled(words.value, { movement: title, bar: seen.first }));
    }
    if (heard) inside.push(drawn("line", { x1: x(heard[0]), x2: x(heard[0]), y1: 0, y2: foot, class: "heard" }));
    layer.replaceChildren(...inside);
  };

  /** @type {number[] | null} */
  let heard = null;

  /** @param {MouseEvent} event */
  const touched = (event) => {
    const mark = /** @type {Element} */ (event.target).closest(".mark");
    const bar = mark?.getAttribute("data-bar");
    if (mark && bar) {
      cavata.tell("here", { movement: mark.getAttribute("data-movement"), bar: Number(bar), id: null });
      return;
    }
    const box = strip.getBoundingClientRect();
    const at = ((event.clientX - box.left) / box.width) * map.width;
    const seconds = ((at - map.left) / (map.right - map.left)) * map.length;
    cavata.tell("here", { ...barAt(Math.max(0, Math.min(map.length, seconds))), id: null });
  };

  const typed = (/** @type {KeyboardEvent} */ event) => {
    if (!map || !seen) return;
    const bars = map.movements.flatMap((/** @type {any} */ each) => each.bars.map((/** @type {any} */ [bar]) => ({ movement: each.name, bar })));
    const here = bars.findIndex((/** @type {any} */ each) => each.movement === seen.movement && each.bar === (goal ?? seen.first));
    const movement = map.movements.findIndex((/** @type {any} */ each) => each.name === seen.movement);
    const firstOf = (/** @type {number} */ number) => {
      const found = map.movements[Math.max(0, Math.min(map.movements.length - 1, number))];
      return { movement: found.name, bar: found.bars[0][0] };
    };
    const to = {
      ArrowRight: () => bars[Math.min(bars.length - 1, here + 1)], ArrowUp: () => bars[Math.min(bars.length - 1, here + 1)],
      ArrowLeft: () => bars[Math.max(0, here - 1)], ArrowDown: () => bars[Math.max(0, here - 1)],
      PageUp: () => firstOf(movement + 1), PageDown: () => firstOf(movement - 1),
      Home: () => bars[0], End: () => bars[bars.length - 1],
    }[event.key];
    if (!to) return;
    event.preventDefault();
    const found = to();
    cavata.tell("here", { ...found, id: null });
    seen = { movement: found.movement, first: found.bar, last: found.bar };
    goal = found.bar;
    marked();
  };
  /** The bar to which the keys went, as long as nothing else moved. @type {number | null} */
  let goal = null;

  const load = async () => {
    const room = window.innerWidth < NARROW ? "narrow" : "wide";
    const asked = state;
    const found = await cavata.ask("map", { state, room }).catch((/** @type {Error} */ reason) => cavata.failed(asked, reason));
    await cavata.calm();
    if (asked !== state) return;
    if (found) put(found);
    cavata.stands("map");
  };

  /** @param {any} found */
  const put = (found) => {
    const isOther = found.svg !== map?.svg;
    map = found;
    if (isOther) {
      const picture = cavata.picture(found.svg);
      picture.setAttribute("aria-hidden", "true");
      picture.append(layer);
      strip.replaceChildren(picture);
    }
    strip.setAttribute("aria-valuemin", "0");
    strip.setAttribute("aria-valuemax", String(Math.ceil(found.length)));
    if (!strip.hasAttribute("aria-valuenow")) strip.setAttribute("aria-valuenow", "0");
    if (!strip.isConnected) {
      cavata.element("map").append(strip, keys);
      new ResizeObserver(measured).observe(cavata.element("map"));
    }
    marked();
  };

  /** What lies under the strip must know how high it is. */
  const measured = () => {
    document.documentElement.style.setProperty("--map", `${Math.ceil(cavata.element("map").offsetHeight)}px`);
  };

  strip.addEventListener("click", touched);
  strip.addEventListener("keydown", typed);
  cavata.on("listed", (/** @type {any} */ listed) => {
    state = listed.state;
    load();
  });
  cavata.on("seen", (/** @type {any} */ detail) => {
    if (goal !== null && detail.movement === seen?.movement && detail.first <= goal && goal <= detail.last) return;
    goal = null;
    seen = detail;
    marked();
  });
  cavata.on("lit", (/** @type {any} */ { places: found, kind, color }) => {
    if (kind !== "name") return;
    places = (found || []).map((/** @type {any} */ each) => ({ ...each, color }));
    marked();
  });
  cavata.on("heard", (/** @type {any} */ { movement, bar }) => {
    heard = movement && map ? when(movement, bar) : null;
    marked();
  });
})();
