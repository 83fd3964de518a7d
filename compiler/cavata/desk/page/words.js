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
};
