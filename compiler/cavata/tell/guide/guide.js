// Lights the note heads of each picture while it is heard; where there is no sound, a button has them lit in the same
// time. A theme with several pictures has one button for them all. Nothing is fetched, and without this script the page
// says the same.
"use strict";

(() => {
  /** Stops whatever follows now, so that one example is heard at a time. */
  let stop = () => {};
  /** How each figure is begun. @type {Map<Element, () => void>} */
  const begins = new Map();

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

  /** @param {string | undefined} text */
  const button = (text) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text ?? "";
    made.setAttribute("aria-pressed", "false");
    return made;
  };

  /**
   * Tells the page that a figure has `begun`, is `over`, or was `left` before its end.
   * @param {Element} figure
   * @param {"begun" | "over" | "left"} what
   */
  const tell = (figure, what) => figure.dispatchEvent(new Event(what, { bubbles: true }));

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
        tell(figure, "begun");
        follow(() => (audio.paused ? -1 : audio.currentTime));
      });
      audio.addEventListener("seeked", () => show(audio.paused ? -1 : audio.currentTime));
      audio.addEventListener("pause", () => audio.ended || tell(figure, "left"));
      audio.addEventListener("ended", () => tell(figure, "over"));
      begins.set(figure, () => {
        audio.currentTime = 0;
        void audio.play();
      });
      continue;
    }

    const pressed = button(figure.dataset.follow);
    let begun = -1;
    /** @param {"over" | "left"} what */
    const ended = (what) => {
      if (begun < 0) return;
      begun = -1;
      pressed.setAttribute("aria-pressed", "false");
      tell(figure, what);
    };
    const leave = () => ended("left");
    const begin = () => {
      if (stop !== leave) stop();
      stop = leave;
      begun = performance.now();
      pressed.setAttribute("aria-pressed", "true");
      tell(figure, "begun");
      follow(() => {
        const seconds = begun < 0 ? -1 : (performance.now() - begun) / 1000;
        if (seconds >= length) ended("over");
        return begun < 0 ? -1 : seconds;
      });
    };
    pressed.addEventListener("click", () => (begun < 0 ? begin() : leave()));
    begins.set(figure, begin);
    figure.append(pressed);
  }

  for (const steps of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".steps[data-whole]"))) {
    const figures = [...steps.querySelectorAll("figure")].filter((figure) => begins.has(figure));
    const whole = button(steps.dataset.whole);
    let at = -1;
    /** @param {number} next */
    const go = (next) => {
      at = next < figures.length ? next : -1;
      whole.setAttribute("aria-pressed", String(at >= 0));
      if (at >= 0) begins.get(figures[at])?.();
    };
    whole.className = "whole";
    whole.addEventListener("click", () => {
      if (at < 0) { go(0); return; }
      go(figures.length);
      stop();
    });
    steps.addEventListener("over", (event) => event.target === figures[at] && go(at + 1));
    steps.addEventListener("left", (event) => event.target === figures[at] && go(figures.length));
    document.addEventListener("begun", (event) => at >= 0 && event.target !== figures[at] && go(figures.length));
    steps.before(whole);
  }
})();
