// What all rooms of the page use: questions to the desk, its events, the panels, the line of status, the messages.
//
//   cavata.ask(view, params, signal)
//                              a promise of what a view answers, JSON or text or (audio and the like) an ArrayBuffer
//   cavata.do(deed, body)      the same of a deed
//   cavata.on(event, fn), cavata.tell(event, detail)
//       state   {state, good, messages, highlight}   something was saved; `good` is the state whose page is shown
//       soon    the same, before anything else of that state was asked for
//       listed  {state}                              its systems have their places, or cannot be had; whatever is asked for
//                                                    after them can be asked for now
//       put     {element}                            a system was drawn, in its figure
//       about   what the view `about` says of that state
//       here    {movement, bar, id}                  the place that is looked at
//       seen    {movement, first, last}              the place in view: a system, by its first and its last bar
//       copy    {copy, room}                         another copy of the piece is shown
//       lit     {ids, kind, places, color}           notes to be shown lit; places of them on the map, and a color, for names
//       touched {id, movement, bar, copy, room, state}
//                                                    a note was touched
//       heard   {ids, movement, bar, state}          the place that is sounding; without a bar nothing is
//   cavata.later(fn)           a listener that is called when nothing was told for a while
//   cavata.calm()              a promise of the moment in which no pointer is down: what lies under it must not be taken
//                              away or moved before it is up, or its click would be lost
//   cavata.stands(section)     about, names or map is there: when all are, what can be pressed below them is shown
//   cavata.differs(element, value)
//                              whether an element is to show something other than it did when this was asked last
//   cavata.picture(svg)        an SVG text as an element that can be put into the page
//   cavata.failed(state, reason)
//                              say why something of a state could not be had, unless the next one is on its way
//   cavata.made(tag, attributes, ...inside), cavata.filled(text, values), cavata.status(text)
//   cavata.panel(name)         show one of the panels: note, offers, compare, messages
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.core;
  const INLINE = /** @type {any} */ (window).cavataData;
  const PANELS = INLINE ? ["note"] : ["note", "offers", "compare", "messages"];
  /** Milliseconds after which what can wait is done. */
  const CALM = 1000;
  /** Milliseconds for which is said what is out of sight. */
  const SAID = 6000;
  /** Milliseconds after which a finger that was lifted has clicked. */
  const TAPPED = 300;
  /** What has been seen of the piece last. */
  const now = { state: 0, good: 0, about: /** @type {any} */ (null), messages: /** @type {any[]} */ ([]) };
  /** @type {Record<string, ((detail: any) => void)[]>} */
  const listeners = {};

  /** @param {string} id @returns {HTMLElement} */
  const element = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

  /** A text with its places filled in. @param {string} text @param {Record<string, any>} values */
  const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));

  /** A new element. @param {string} tag @param {Record<string, any>} attributes @param {...(Node | string)} inside */
  const made = (tag, attributes = {}, ...inside) => {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
      else if (value === true) node.setAttribute(name, "");
      else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
    }
    node.append(...inside);
    return node;
  };

  /** A picture of ours as an element: nothing in it can act, and no style is in it that the page does not allow.
   * @param {string} svg @returns {SVGSVGElement} */
  const picture = (svg) => {
    const read = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    for (const each of read.querySelectorAll("script, style, foreignObject")) each.remove();
    return /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.importNode(read, true)));
  };

  /** @param {string} event @param {(detail: any) => void} fn */
  const on = (event, fn) => { (listeners[event] = listeners[event] || []).push(fn); };

  /** @param {string} event @param {any} detail */
  const tell = (event, detail) => { for (const fn of listeners[event] || []) fn(detail); };

  /** The name of a question, the same for the same question: by it the folder form finds its answer.
   * @param {string} view @param {Record<string, any>} params */
  const question = (view, params) => {
    const asked = Object.keys(params).filter((name) => params[name] !== undefined && params[name] !== null).sort();
    const query = asked.map((name) => `${encodeURIComponent(name)}=${encodeURIComponent(params[name])}`).join("&");
    return query ? `${view}?${query}` : view;
  };

  /** @param {Response} answer */
  const content = async (answer) => {
    const kind = answer.headers.get("content-type") || "";
    const isJson = kind.startsWith("application/json");
    const body = isJson ? await answer.json() : await (/^(text\/|image\/svg)/.test(kind) ? answer.text() : answer.arrayBuffer());
    if (!answer.ok) throw new Error(isJson && body.error ? body.error : answer.statusText);
    return body;
  };

  /** @param {string} view @param {Record<string, any>} params @param {AbortSignal} [signal] @returns {Promise<any>} */
  const ask = async (view, params = {}, signal = undefined) => {
    if (INLINE) return inline(view, params);
    return content(await fetch(`view/${question(view, params)}`, { signal }));
  };

  /** What the folder has: there is one state, and what is the same in all rooms stands there once.
   * @param {string} view @param {Record<string, any>} params */
  const inline = async (view, params) => {
    const { state, ...asked } = params, { room, ...everywhere } = asked;
    const known = INLINE.views[question(view, asked)] ?? INLINE.views[question(view, everywhere)];
    if (known === undefined) throw new Error(`${view} is not in this folder`);
    if (!known || !known.packed) return known;
    const body = bytes(known.packed);
    if (!known.kind) return body;
    const text = await new Response(new Blob([body]).stream().pipeThrough(new DecompressionStream("deflate-raw"))).text();
    return known.kind === "json" ? JSON.parse(text) : text;
  };

  /** Until this a pointer is down. */
  let calm = Promise.resolve(), up = () => {};

  const pressing = () => {
    const capture = { capture: true, passive: true };
    let isDown = false;
    window.addEventListener("pointerdown", () => {
      isDown = true;
      up();
      calm = new Promise((done) => { up = () => done(undefined); });
    }, capture);
    /** The click comes after it, of a finger some time after. @param {PointerEvent} event */
    const released = (event) => {
      if (isDown) setTimeout(up, event.pointerType === "mouse" ? 0 : TAPPED);
      isDown = false;
    };
    window.addEventListener("pointerup", released, capture);
    window.addEventListener("pointercancel", released, capture);
    // Of a scroll bar that was let go nothing else is told.
    window.addEventListener("pointermove", (event) => { if (!event.buttons) released(event); }, capture);
    window.addEventListener("blur", () => up());
  };

  /** What must be there before what can be pressed below it is shown, or it would move away under a hand. */
  const coming = new Set(["about", "names", "map"]);

  /** @param {string} section */
  const stands = (section) => {
    coming.delete(section);
    if (!coming.size) document.body.classList.remove("coming");
  };

  /** What elements show, as JSON. @type {WeakMap<HTMLElement, string>} */
  const contents = new WeakMap();

  /** What is the same stays as it stands. @param {HTMLElement} place @param {any} value */
  const differs = (place, value) => {
    const before = contents.get(place), told = JSON.stringify(value);
    contents.set(place, told);
    return told !== before;
  };

  /** What can wait until a save has been seen: done once when nothing was saved for a while.
   * @param {(detail: any) => void} fn */
  const later = (fn) => {
    let waiting = 0;
    return (/** @type {any} */ detail) => {
      clearTimeout(waiting);
      waiting = setTimeout(() => fn(detail), CALM);
    };
  };

  /** @param {string} text in base64 @returns {ArrayBuffer} */
  const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;

  /** @param {string} deed @param {Record<string, any>} body @returns {Promise<any>} */
  const act = async (deed, body = {}) => {
    if (INLINE) throw new Error(`${deed} needs the desk itself`);
    const token = document.querySelector("meta[name=cavata-token]")?.getAttribute("content") || "";
    const headers = { "Content-Type": "application/json", "X-Cavata-Token": token };
    return content(await fetch(`do/${deed}`, { method: "POST", headers, body: JSON.stringify(body) }));
  };

  /** The line of status once more, for a while, where that is out of sight; a screen reader was told already. */
  const aloud = made("p", { id: "aloud", "aria-hidden": "true", hidden: true });
  let ending = 0;
  /** How it stands with the script: said as long as there is nothing else to say. */
  let standing = "";

  /** @param {string} text */
  const status = (text) => {
    const line = element("status");
    line.textContent = text || standing;
    aloud.textContent = text;
    aloud.hidden = !text || line.getBoundingClientRect().bottom > 0;
    clearTimeout(ending);
    ending = setTimeout(() => { aloud.hidden = true; }, SAID);
  };

  /** Where the page is narrow, the panels lie over the score and can be closed. */
  const narrow = window.matchMedia("(max-width: 59.99rem)");

  /** Show a panel; without a name none, where the page is narrow. @param {string} name */
  const panel = (name) => {
    const shown = name || narrow.matches ? name : PANELS[0];
    for (const each of PANELS) {
      element(each).hidden = each !== shown;
      const tab = element(`tab-${each}`);
      tab.setAttribute("aria-selected", String(each === shown));
      tab.tabIndex = each === (shown || PANELS[0]) ? 0 : -1;
    }
    element("close").hidden = !shown || !narrow.matches;
    element("close").parentElement?.parentElement?.classList.toggle("open", Boolean(shown));
  };

  /** Close what lies over the score, and go back to its tab. */
  const closed = () => {
    const name = PANELS.find((each) => !element(each).hidden) || PANELS[0];
    panel("");
    element(`tab-${name}`).focus();
  };

  /** Let the panels lie above the bar of sound, however high that is. */
  const stacked = () => {
    const sound = element("sound");
    new ResizeObserver(() => {
      document.documentElement.style.setProperty("--sound", `${sound.offsetHeight}px`);
    }).observe(sound);
  };

  /** The arrows go from tab to tab. @param {KeyboardEvent} event */
  const turned = (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    const shown = Math.max(0, PANELS.findIndex((each) => element(`tab-${each}`).tabIndex === 0));
    const next = PANELS[(shown + step + PANELS.length) % PANELS.length];
    panel(next);
    element(`tab-${next}`).focus();
    event.preventDefault();
  };

  const tabs = () => {
    const list = element("tabs");
    list.addEventListener("keydown", turned);
    for (const name of PANELS) {
      const attributes = { id: `tab-${name}`, role: "tab", type: "button", "aria-controls": name, onclick: () => panel(name) };
      list.append(made("button", attributes, words[name]));
    }
    const close = element("close");
    close.textContent = "✕";
    close.setAttribute("aria-label", words.close);
    close.addEventListener("click", closed);
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && !close.hidden) closed();
    });
    narrow.addEventListener("change", () => panel(PANELS.find((each) => !element(each).hidden) || ""));
    panel("");
    stacked();
  };

  /** One message with its cure and its places. @param {any} message */
  const messageItem = (message) => {
    const item = made("li", { class: message.severity });
    item.append(made("strong", {}, words[message.severity] || ""), ` ${message.text}`);
    if (message.label) item.append(made("p", { class: "label" }, message.label));
    if (message.cure) item.append(made("p", { class: "cure" }, `${words.toMend}: ${message.cure}`));
    const places = made("p", { class: "places" });
    if (message.file) places.append(`${message.file}, ${filled(words.atLine, message)} (${message.code}) `);
    if (message.bar) {
      const go = () => tell("here", { ...message.bar, id: null });
      places.append(made("button", { type: "button", onclick: go }, filled(words.atBar, message.bar)));
    }
    item.append(places);
    return item;
  };

  const showMessages = () => {
    const place = element("messages");
    if (INLINE || !differs(place, now.messages)) return;
    const list = made("ul", {}, ...now.messages.map(messageItem));
    place.replaceChildren(now.messages.length ? list : made("p", {}, words.noMessages));
    element("tab-messages").classList.toggle("wrong", now.messages.some(isMistake));
    element("tab-messages").textContent = words.messages + (now.messages.length ? ` (${now.messages.length})` : "");
  };

  /** What the line of status says of what was saved. @param {any} event */
  const said = ({ state, good, messages }) => {
    const hasMistakes = messages.some(isMistake);
    return good === state ? words.saved : good ? words.mistakes : hasMistakes ? words.none : words.nothingYet;
  };

  /** @param {string} text */
  const stand = (text) => {
    standing = INLINE ? "" : text;
    status(standing);
  };

  /** @param {any} message */
  const isMistake = (message) => message.severity === "error";

  /** Say why something of a state could not be had, unless the next one is on its way. @param {number} state @param {Error} reason */
  const failed = (state, reason) => {
    if (state === now.good) status(filled(words.nothing, { reason: reason.message }));
  };

  /** @param {any} event */
  const arrived = async (event) => {
    const isNew = event.state !== now.state || event.good !== now.good || !now.about;
    Object.assign(now, { state: event.state, good: event.good, messages: event.messages });
    calm.then(showMessages);
    if (!event.good) for (const section of coming) stands(section);
    stand(now.about || !event.good ? said(event) : words.coming);
    if (isNew && event.good) {
      tell("soon", event);
      const about = await ask("about", { state: event.good }).catch(() => null);
      if (!about || event.good !== now.good) return; // the next state is on its way
      if (!now.about) stand(said(event));
      now.about = about;
      element("title").textContent = document.title = about.title;
      element("undo").hidden = !about.undo;
      tell("about", about);
      stands("about");
    }
    if (isNew) tell("state", event);
    if (event.highlight) tell("lit", { ids: event.highlight, kind: "editor" });
    if (event.here) tell("here", event.here);
  };

  const takenBack = () => {
    act("undo").then((told) => status(filled(words.undone, { what: told.undone })), (reason) => status(reason.message));
  };

  const begin = () => {
    document.body.append(aloud);
    tabs();
    pressing();
    const undo = element("undo");
    undo.textContent = words.undo;
    undo.addEventListener("click", takenBack);
    if (INLINE) {
      setTimeout(() => arrived(INLINE.event)); // when every room has built its part
      return;
    }
    stand(words.coming);
    const events = new EventSource("events");
    events.onmessage = (event) => { arrived(JSON.parse(event.data)); };
    events.onerror = () => status(words.lost);
  };

  Object.assign(cavata, {
    ask, do: act, on, tell, later, calm: () => calm, stands, differs, panel, status, failed, element, made, picture, filled,
    now, isFolder: Boolean(INLINE),
  });
  document.addEventListener("DOMContentLoaded", begin);
})();
