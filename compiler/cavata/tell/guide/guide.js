// Lights the note heads of each picture while it is heard; where there is no sound, a button has them lit in the same
// time. Nothing is fetched, and without this script the page says the same.
"use strict";

(() => {
  /** Stops whatever follows now, so that one example is heard at a time. */
  let stop = () => {};

  /**
   * @param {HTMLElement} figure
   * @param {HTMLElement} sheet
   */
  const marked = (figure, sheet) => (figure.dataset.heads ?? "").split(";").map((row) => {
    const [x, y, begin, end] = row.split(" ").map(Number);
    const mark = document.createElement("i");
    mark.style.left = `${x * 100}%`;
    mark.style.top = `${y * 100}%`;
    mark.setAttribute("aria-hidden", "true");
    sheet.append(mark);
    return { mark, begin, end };
  });

  for (const figure of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("figure[data-heads]"))) {
    const sheet = /** @type {HTMLElement | null} */ (figure.querySelector(".sheet"));
    if (sheet === null) continue;
    const heads = marked(figure, sheet);
    const length = Math.max(...heads.map((head) => head.end));
    let frame = 0;

    /** @param {number} seconds */
    const show = (seconds) => {
      for (const { mark, begin, end } of heads) mark.classList.toggle("lit", begin <= seconds && seconds < end);
    };

    /** @param {() => number} now Where it is, in seconds; below nothing once it is over. */
    const follow = (now) => {
      cancelAnimationFrame(frame);
      const step = () => {
        const seconds = now();
        show(seconds);
        if (seconds >= 0) frame = requestAnimationFrame(step);
      };
      step();
    };

    const audio = figure.querySelector("audio");
    if (audio !== null) {
      const pause = () => audio.pause();
      audio.addEventListener("play", () => {
        if (stop !== pause) stop();
        stop = pause;
        follow(() => (audio.paused ? -1 : audio.currentTime));
      });
      audio.addEventListener("seeked", () => show(audio.paused ? -1 : audio.currentTime));
      continue;
    }

    const button = document.createElement("button");
    button.type = "button";
    button.textContent = figure.dataset.follow ?? "";
    button.setAttribute("aria-pressed", "false");
    let begun = -1;
    const end = () => {
      begun = -1;
      button.setAttribute("aria-pressed", "false");
    };
    button.addEventListener("click", () => {
      if (begun >= 0) { end(); return; }
      if (stop !== end) stop();
      stop = end;
      begun = performance.now();
      button.setAttribute("aria-pressed", "true");
      follow(() => {
        const seconds = begun < 0 ? -1 : (performance.now() - begun) / 1000;
        if (seconds >= length) end();
        return begun < 0 ? -1 : seconds;
      });
    });
    figure.append(button);
  }
})();
