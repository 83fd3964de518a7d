// Every word that the page says by itself, room by room, so that it can be translated in one place.
"use strict";

/** @type {any} */
const cavata = window.cavata = window.cavata || {};

cavata.words = {
  core: {
    note: "Note",
    offers: "What if",
    compare: "Then and now",
    messages: "Messages",
    saved: "as last saved",
    mistakes: "The script has mistakes; this is how it was before them.",
    none: "The script has mistakes, and there is no page of it yet.",
    lost: "The desk was closed. Begin it again to go on.",
    unprinted: "Systems break differently in print.",
    noMessages: "The compiler has nothing to say.",
    atLine: "line {line}",
    atBar: "bar {bar}",
    toMend: "To mend",
    error: "Mistake",
    warning: "Warning",
    undo: "Take back",
    undone: "Taken back: {what}",
    nothing: "This cannot be shown: {reason}",
  },
  sound: {
    play: "Play",
    stop: "Stop",
    place: "{movement}, bar {bar}",
    loop: "Loop",
    from: "from bar",
    to: "to bar",
    pace: "Pace",
    paces: { "1": "as written", "5/4": "a little slower", "3/2": "slower", "2": "half as fast" },
    parts: "Parts",
    front: "In front",
    alone: "Alone",
    silent: "There is no sound here: {reason}.",
  },
};
