// The piece as it sounds: from any note, in a loop, parts alone, muted or in front, slower; the place goes along.
//
//   cavata.sound.play({movement, bar, id, state, bars, after})   from a bar or a note; of another state; so many bars;
//                                                                what is done after them
//   cavata.sound.stop()
//   cavata.sound.tones(notes, program)                     [[key, begin, length in seconds], ...] by themselves
//
// The server gives a movement in pieces of some seconds. They are put one after another by the clock of the sound card,
// each fading into the next; where the place is, is told by that clock and by the times that the server gave.
"use strict";

(() => {
  /** @type {any} */
  const cavata = window.cavata;
  const words = cavata.words.sound;
  const { made, filled } = cavata;
  /** Seconds by which files of parts may be away from each other; by how much one goes faster or slower till then; and
   * how many milliseconds are waited for them. */
  const DRIFT = 0.02, NUDGE = 0.05, READY = 1000;
  const AHEAD = 1.5, BEHIND = 0.316, HEADER = 44, SOON = 0.06;
  const PACES = ["1", "5/4", "3/2", "2"];
  /** What is chosen. */
  const chosen = {
    movement: "", bar: 0, id: /** @type {string | null} */ (null), loop: /** @type {[number, number] | null} */ (null),
    slower: "1", front: "", muted: /** @type {Set<string>} */ (new Set()), playing: false,
  };
  /** How movements are divided, by state, movement and pace. @type {Map<string, Promise<any>>} */
  const divided = new Map();
  /** @type {AudioContext | null} */
  let context = null;
  /** @type {AnalyserNode | null} */
  let meter = null;
  /** What is playing now. @type {any} */
  let run = null;
  let drawn = "";

  // ------------------------------------------------------------ what the server has

  /** @param {number} state @param {string} movement @returns {Promise<any>} */
  const division = (state, movement, anew = false) => {
    const key = `${state} ${movement} ${chosen.slower}`;
    if (anew || !divided.has(key)) {
      if (divided.size > 12) divided.clear();
      const params = cavata.isFolder ? { movement } : { state, movement, slower: chosen.slower, anew: anew ? 1 : undefined };
      const asked = cavata.ask("heard", params).then((/** @type {any} */ told) => {
        if (told.silent) throw new Error(filled(words.silent, { reason: told.silent }));
        return told;
      });
      asked.catch(() => divided.delete(key));
      divided.set(key, asked);
    }
    return /** @type {Promise<any>} */ (divided.get(key));
  };

  /** The ids that begin in a piece, with their seconds. @param {number} state @param {string} movement @param {number} piece */
  const times = async (state, movement, piece) => {
    if (cavata.isFolder) return (await allTimes(movement))[piece] ?? [];
    const asked = { movement, copy: cavata.score?.copy || "score", piece, state, slower: chosen.slower };
    return cavata.ask("times", asked).catch(() => []);
  };

  /** In a folder: those of every piece. @param {string} movement @returns {Promise<any[]>} */
  const allTimes = (movement) =>
    cavata.ask("times", { movement, copy: cavata.score?.copy || "score" }).catch(() => []);

  /** A WAV file of ours as buffers of two channels. @param {ArrayBuffer} body */
  const buffers = (body) => {
    const head = new DataView(body), channels = head.getUint16(22, true), rate = head.getUint32(24, true);
    const samples = new Int16Array(body, HEADER), frames = samples.length / channels;
    const found = [];
    for (let pair = 0; pair < channels; pair += 2) {
      const buffer = audio().createBuffer(2, Math.max(frames, 1), rate);
      for (const side of [0, 1]) {
        const data = buffer.getChannelData(side);
        for (let at = 0; at < frames; at++) data[at] = samples[at * channels + pair + side] / 32768;
      }
      found.push(buffer);
    }
    return found;
  };

  const audio = () => {
    if (!context) {
      context = new AudioContext({ latencyHint: "interactive" });
      meter = context.createAnalyser();
      meter.connect(context.destination);
    }
    return context;
  };

  // ------------------------------------------------------------ parts

  const apart = () => chosen.front !== "" || chosen.muted.size > 0;
  /** @param {string} part */
  const gainOf = (part) => (chosen.muted.has(part) ? 0 : chosen.front && chosen.front !== part ? BEHIND : 1);

  const mixed = () => {
    if (!run) return;
    if (run.apart !== apart()) {
      again();
      return;
    }
    for (const [part, file] of run.files || []) if (part) file.volume = gainOf(part);
    for (const [part, gain] of run.gains || []) gain.gain.setTargetAtTime(gainOf(part), audio().currentTime, 0.02);
  };

  // ------------------------------------------------------------ one run: pieces one after another

  /** Where a bar begins; the first time that it is played. @param {any} told @param {number} bar its printed number */
  const secondOf = (told, bar) => (told.bars.find((/** @type {any} */ each) => each[0] >= bar) || told.bars[0])[2];
  /** @param {any} told @param {number} bar */
  const secondAfter = (told, bar) => {
    const later = told.bars.find((/** @type {any} */ each) => each[0] > bar);
    return later ? later[2] : told.seconds;
  };
  /** @param {any} told @param {number} second */
  const pieceAt = (told, second) => {
    let piece = 0;
    while (piece + 1 < told.pieces.length && told.pieces[piece + 1] <= second + 1e-4) piece += 1;
    return piece;
  };
  /** @param {any} told @param {number} second */
  const barAt = (told, second) => {
    let found = told.bars[0];
    for (const bar of told.bars) if (bar[2] <= second + 1e-4) found = bar;
    return found;
  };

  /** @param {any} from movement, bar, id, state, bars */
  const begin = async (from) => {
    end();
    const own = { ...from, from, queue: [], sources: [], apart: apart(), gains: new Map(), over: false };
    run = own;
    chosen.playing = true;
    show();
    try {
      own.state = from.state ?? cavata.now.good;
      own.told = await division(own.state, from.movement, own.anew);
      own.at = from.second ?? (await secondOfNote(own, from)) ?? secondOf(own.told, from.bar ?? own.told.bars[0][0]);
      own.until = from.bars ? secondAfter(own.told, (from.bar ?? 1) + from.bars - 1) : null;
      if (run !== own) return;
      await (cavata.isFolder ? playFile(own) : audio().resume());
      cavata.status("");
      if (own.file) await fill(own);
      else {
        own.next = audio().currentTime + SOON;
        feed(own);
      }
      follow();
    } catch (reason) {
      if (run === own) {
        cavata.status(reason instanceof Error ? reason.message : String(reason));
        end();
      }
    }
  };

  /** The second at which a touched note is heard. @param {any} own @param {any} from */
  const secondOfNote = async (own, from) => {
    if (!from.id) return null;
    const first = pieceAt(own.told, secondOf(own.told, from.bar ?? 0));
    for (let piece = Math.max(first - 1, 0); piece < Math.min(first + 4, own.told.pieces.length); piece++) {
      const note = (await times(own.state, from.movement, piece)).find((/** @type {any} */ each) => each[0] === from.id);
      if (note) return note[1];
    }
    return null;
  };

  /** Put the next pieces after those that are there, as long as the run goes on. @param {any} own */
  const feed = async (own) => {
    while (run === own && !own.over) {
      if (own.next - audio().currentTime > AHEAD) {
        await new Promise((done) => setTimeout(done, 100));
        continue;
      }
      const loop = own.bars ? null : looped(own.told);
      const last = own.until ?? (loop ? loop[1] : own.told.seconds);
      if (own.at >= last - 1e-3) {
        if (loop) own.at = loop[0];
        else if (!(await onward(own))) break;
        continue;
      }
      const { told, at, state, movement } = own, piece = pieceAt(told, at);
      const stop = Math.min(told.pieces[piece + 1] ?? told.seconds, last);
      const params = { state, movement, piece, slower: chosen.slower, parts: own.apart ? "apart" : "all" };
      const [body, ids] = await Promise.all([cavata.ask("sound", params), times(state, movement, piece)]);
      // What was saved meanwhile is asked for instead.
      if (run === own && own.told === told) put(own, buffers(body), { piece, from: at, to: stop, ids, told, movement });
    }
  };

  /** @param {any} told @returns {[number, number] | null} */
  const looped = (told) => {
    if (!chosen.loop || told.movement !== chosen.movement) return null;
    const [first, last] = chosen.loop;
    const begins = secondOf(told, first), ends = secondAfter(told, Math.max(first, last));
    return ends > begins ? [begins, ends] : null;
  };

  /** Schedule one piece, or what of it is wanted. @param {any} own @param {AudioBuffer[]} sounds @param {any} part */
  const put = (own, sounds, part) => {
    const begins = Math.max(own.next, audio().currentTime + 0.01), seam = part.told.seam;
    const offset = Math.max(part.from - part.told.pieces[part.piece], 0), lasts = part.to - part.from;
    const isLast = part.to >= part.told.seconds - 1e-3;
    sounds.forEach((sound, number) => {
      const source = new AudioBufferSourceNode(audio(), { buffer: sound });
      const fade = new GainNode(audio(), { gain: 0 });
      fade.gain.setValueAtTime(0, begins);
      fade.gain.linearRampToValueAtTime(1, begins + (offset || own.sources.length ? seam : 0.002));
      if (!isLast) {
        fade.gain.setValueAtTime(1, begins + lasts);
        fade.gain.linearRampToValueAtTime(0, begins + lasts + seam);
      }
      source.connect(fade).connect(own.apart ? gainNode(own, part.told.parts[number].name) : /** @type {any} */ (meter));
      source.start(begins, offset, isLast ? undefined : lasts + seam);
      source.onended = () => { own.sources = own.sources.filter((/** @type {any} */ each) => each !== source); };
      own.sources.push(source);
    });
    own.queue.push({ ...part, begins, ends: begins + lasts });
    own.queue = own.queue.slice(-8);
    own.next = begins + lasts;
    own.at = part.to;
  };

  /** @param {any} own @param {string} part */
  const gainNode = (own, part) => {
    if (!own.gains.has(part)) {
      const gain = new GainNode(audio(), { gain: gainOf(part) });
      gain.connect(/** @type {any} */ (meter));
      own.gains.set(part, gain);
    }
    return own.gains.get(part);
  };

  /** Into the next movement, or to the end. @param {any} own */
  const onward = async (own) => {
    const movements = cavata.now.about ? cavata.now.about.movements : [];
    const place = movements.findIndex((/** @type {any} */ each) => each.name === own.movement);
    const following = own.bars ? null : movements[place + 1];
    if (following) {
      const { told: before, state } = own;
      const told = await division(state, following.name);
      if (own.state === state) Object.assign(own, { told, movement: following.name, at: 0, next: own.next + before.pause });
      return true; // if something was saved meanwhile, it is asked for again
    }
    own.over = true;
    const wait = Math.max(own.next - audio().currentTime + 0.5, 0) * 1000;
    setTimeout(() => { if (run === own) end(); }, wait);
    return false;
  };

  // ------------------------------------------------------------ in a folder: one file for the piece, one for each part

  /** @param {any} own */
  const playFile = async (own) => {
    const wanted = own.apart ? own.told.parts.map((/** @type {any} */ part) => [part.name, part.file]) : [["", own.told.file]];
    own.files = wanted.map((/** @type {[string, string]} */ [part, address]) => [part, new Audio(address)]);
    own.file = own.files[0][1]; // the others go along with it
    own.pace = 1 / fraction(chosen.slower);
    for (const [part, file] of own.files) {
      file.preservesPitch = true;
      file.playbackRate = own.pace;
      if (part) file.volume = gainOf(part);
    }
    allAt(own, own.told.offset + own.at);
    own.file.onended = () => { if (run === own) end(); };
    // They begin together, where the browser has them before they are played.
    const all = Promise.all(own.files.map((/** @type {any} */ [, file]) => ready(file)));
    if (own.apart) await Promise.race([all, new Promise((done) => setTimeout(done, READY))]);
    if (run === own) await Promise.all(own.files.map((/** @type {any} */ [, file]) => file.play()));
  };

  /** @param {HTMLAudioElement} file @returns {Promise<void>} when it can be played from where it is */
  const ready = (file) => new Promise((done) => { file.addEventListener("canplay", () => done(), { once: true }); });

  /** Let all files be at a second. @param {any} own @param {number} second */
  const allAt = (own, second) => { for (const [, file] of own.files) file.currentTime = second; };

  /** A file that is behind the first one goes a little faster, one that is before it a little slower. @param {any} own */
  const together = (own) => {
    for (const [, file] of own.files) {
      const behind = own.file.currentTime - file.currentTime;
      const pace = own.pace * (Math.abs(behind) < DRIFT ? 1 : 1 + Math.sign(behind) * NUDGE);
      if (file.playbackRate !== pace) file.playbackRate = pace;
    }
  };

  /** Everything of the piece is known at once. @param {any} own */
  const fill = async (own) => {
    const about = cavata.now.about;
    for (const movement of about.movements) {
      const told = await division(own.state, movement.name);
      const all = await allTimes(movement.name);
      told.pieces.forEach((/** @type {number} */ from, /** @type {number} */ piece) => own.queue.push({
        piece, from, to: told.pieces[piece + 1] ?? told.seconds, ids: all[piece] ?? [], told, movement: movement.name,
        begins: told.offset + from,
      }));
    }
  };

  /** Where the file is; it goes back at the end of a loop. */
  const placeInFile = () => {
    let part = run.queue[0];
    for (const each of run.queue) if (each.begins <= run.file.currentTime + 1e-3) part = each;
    const second = run.file.currentTime - part.told.offset, loop = run.bars ? null : looped(part.told);
    const last = run.until ?? (loop ? loop[1] : Infinity);
    if (second >= last) {
      if (!loop) {
        run.over = true;
        return end();
      }
      allAt(run, part.told.offset + loop[0]);
    }
    together(run);
    return { part, second: Math.min(second, part.to) };
  };

  /** @param {string} text as `3/2` */
  const fraction = (text) => text.split("/").map(Number).reduce((a, b) => a / b);

  // ------------------------------------------------------------ the place goes along

  /** The part of the run that is heard now, and the second of its movement. */
  const place = () => {
    if (!run || !run.queue.length) return null;
    if (run.file) return placeInFile();
    const now = audio().currentTime - (audio().outputLatency || 0);
    let part = run.queue[0];
    for (const each of run.queue) if (each.begins <= now) part = each;
    return { part, second: Math.min(part.from + Math.max(now - part.begins, 0), part.to) };
  };

  const follow = () => {
    const here = place();
    if (!run) return;
    if (here) {
      const index = run.queue.indexOf(here.part), before = run.queue[index - 1];
      const notes = [...(before ? before.ids : []), ...here.part.ids];
      const ids = notes.filter((each) => each[1] <= here.second + 0.01 && here.second < each[2]).map((each) => each[0]);
      const [bar] = barAt(here.part.told, here.second), told = `${here.part.movement} ${bar} ${ids.join(" ")}`;
      run.second = here.second;
      run.heardIn = here.part.movement;
      if (told !== drawn) {
        drawn = told;
        cavata.tell("heard", { ids, movement: here.part.movement, bar, state: run.state });
        label(here.part.movement, bar);
      }
    }
    requestAnimationFrame(follow);
  };

  const end = () => {
    const own = run;
    run = null;
    chosen.playing = false;
    drawn = "";
    if (own) {
      for (const source of own.sources) source.stop();
      for (const [, file] of own.files || []) file.pause();
      cavata.tell("heard", { ids: [], movement: own.heardIn ?? own.movement, bar: null });
    }
    show();
    if (own && own.over && own.after) own.after();
    return null;
  };

  /** The same once more from where it is, with what is chosen now. */
  const again = () => {
    if (!run?.from) return; // notes by themselves
    if (run.second === undefined) { // nothing was heard yet
      begin(run.from);
      return;
    }
    const bar = barAt(run.told, run.second)[0], { state, bars } = run;
    const movement = run.heardIn ?? run.movement;
    begin({ movement, bar, state: state === cavata.now.good ? undefined : state, bars });
  };

  // ------------------------------------------------------------ what is seen of it

  /** @param {string} movement @param {number} bar */
  const label = (movement, bar) => {
    const about = cavata.now.about && cavata.now.about.movements.find((/** @type {any} */ each) => each.name === movement);
    cavata.element("sound-place").textContent = filled(words.place, { movement: (about && about.title) || movement, bar });
  };

  const show = () => {
    const button = document.getElementById("sound-play");
    if (!button) return;
    button.textContent = chosen.playing ? words.stop : words.play;
    button.setAttribute("aria-pressed", String(chosen.playing));
    if (!chosen.playing && chosen.movement) label(chosen.movement, chosen.bar);
  };

  const pressed = () => {
    if (chosen.playing) {
      end();
      return;
    }
    const first = cavata.now.about && cavata.now.about.movements[0];
    if (!first) return;
    const isFirst = chosen.movement === first.name && chosen.bar <= first.bars[0] && !chosen.id;
    begin({ movement: chosen.movement, bar: chosen.bar, id: chosen.id, anew: isFirst && !chosen.loop });
  };

  const loopChanged = () => {
    const isOn = /** @type {HTMLInputElement} */ (cavata.element("sound-loop")).checked;
    const [first, last] = ["sound-first", "sound-last"].map((id) => {
      const field = /** @type {HTMLInputElement} */ (cavata.element(id));
      field.disabled = !isOn;
      return Number(field.value);
    });
    chosen.loop = isOn ? [first, Math.max(first, last)] : null;
  };

  const build = () => {
    const section = cavata.element("sound");
    /** @param {string} id @param {string} text */
    const bar = (id, text) => made("label", {}, `${text} `, made("input", {
      id, type: "number", min: 0, max: 9999, value: 1, disabled: true, oninput: loopChanged,
    }));
    const pace = made("select", { onchange: (/** @type {any} */ event) => { chosen.slower = event.target.value; again(); } },
      ...PACES.map((each) => made("option", { value: each }, words.paces[each])));
    section.replaceChildren(
      made("div", { class: "controls" },
        made("button", { id: "sound-play", type: "button", disabled: true, "aria-pressed": "false", onclick: pressed }, words.play),
        made("span", { id: "sound-place" }),
        made("label", {}, made("input", { id: "sound-loop", type: "checkbox", onchange: loopChanged }), ` ${words.loop}`),
        bar("sound-first", words.from), bar("sound-last", words.to),
        made("label", {}, `${words.pace} `, pace)),
      made("details", { id: "sound-parts" }, made("summary", {}, words.parts), made("div", { class: "parts" })));
  };

  /** @param {any} about */
  const showParts = async (about) => {
    const list = /** @type {HTMLElement} */ (document.querySelector("#sound-parts .parts"));
    const movement = about.movements[0];
    const details = cavata.element("sound-parts");
    if (!movement) return;
    /** @type {any} */
    let told = null, wrong = "";
    try {
      told = await division(about.state, movement.name);
    } catch (reason) {
      wrong = /** @type {Error} */ (reason).message;
    }
    if (about.state !== cavata.now.good) return; // the next state has its own
    const here = cavata.element("sound-place"), wasSilent = here.classList.contains("silent");
    here.classList.toggle("silent", !told); // why not is read whole
    if (wrong) here.textContent = wrong;
    else if (wasSilent) show();
    /** @type {HTMLButtonElement} */ (cavata.element("sound-play")).disabled = !told;
    const isApart = told && told.parts.length > 1 && (!cavata.isFolder || told.parts[0].file || told.tooMuch);
    details.style.visibility = isApart ? "" : "hidden"; // it keeps its room
    if (!told) return;
    if (!cavata.differs(list, told.parts.map((/** @type {any} */ part) => part.name))) return;
    if (cavata.isFolder && !told.parts[0].file) list.textContent = filled(words.together, { size: told.tooMuch });
    else list.replaceChildren(...told.parts.map(partRow));
  };

  /** @param {any} part */
  const partRow = (part) => {
    const heard = made("input", { type: "checkbox", checked: !chosen.muted.has(part.name), onchange: (/** @type {any} */ event) => {
      if (event.target.checked) chosen.muted.delete(part.name);
      else chosen.muted.add(part.name);
      mixed();
    } });
    const front = made("button", { type: "button", "aria-pressed": String(chosen.front === part.name), onclick: () => {
      chosen.front = chosen.front === part.name ? "" : part.name;
      if (chosen.front) {
        /** @type {HTMLInputElement} */ (heard).checked = true; // who is in front is heard
        chosen.muted.delete(part.name);
      }
      pressFront();
    } }, words.front);
    const alone = made("button", { type: "button", onclick: () => {
      const boxes = /** @type {HTMLInputElement[]} */ ([...document.querySelectorAll("#sound-parts input")]);
      const isAlone = heard === boxes.filter((box) => box.checked)[0] && boxes.filter((box) => box.checked).length === 1;
      for (const box of boxes) {
        box.checked = isAlone || box === heard;
        const name = /** @type {string} */ (box.dataset.part);
        if (box.checked) chosen.muted.delete(name);
        else chosen.muted.add(name);
      }
      mixed();
    } }, words.alone);
    heard.dataset.part = front.dataset.front = part.name;
    return made("div", { role: "group", "aria-label": part.label }, made("label", {}, heard, ` ${part.label}`), front, alone);
  };

  const pressFront = () => {
    for (const each of document.querySelectorAll("#sound-parts [data-front]")) {
      const button = /** @type {HTMLElement} */ (each);
      button.setAttribute("aria-pressed", String(button.dataset.front === chosen.front));
    }
    mixed();
  };

  // ------------------------------------------------------------ notes by themselves

  /** @param {[number, number, number][]} notes @param {number} program */
  const tones = async (notes, program = 0) => {
    end();
    await audio().resume();
    const own = { state: 0, movement: "", queue: [], sources: /** @type {any[]} */ ([]), gains: new Map() };
    run = own;
    const source = cavata.isFolder ? null : await synthesized(notes, program).catch(() => null);
    if (run !== own) return;
    if (source) own.sources.push(source);
    else plainTones(own, notes);
  };

  /** Begins to play notes as an instrument has them. @param {[number, number, number][]} notes @param {number} program */
  const synthesized = async (notes, program) => {
    const asked = notes.map(([key, begins, length]) => `${key}:${begins.toFixed(3)}:${length.toFixed(3)}`).join(",");
    const [buffer] = buffers(await cavata.ask("tones", { notes: asked, program }));
    const source = new AudioBufferSourceNode(audio(), { buffer });
    source.connect(/** @type {any} */ (meter));
    source.start();
    return source;
  };

  /** Where there is no synthesizer: a plain tone for each. @param {any} own @param {[number, number, number][]} notes */
  const plainTones = (own, notes) => {
    const now = audio().currentTime + SOON;
    for (const [key, begins, length] of notes) {
      const source = new OscillatorNode(audio(), { type: "triangle", frequency: 440 * 2 ** ((key - 69) / 12) });
      const gain = new GainNode(audio(), { gain: 0.2 });
      gain.gain.setTargetAtTime(0, now + begins + length * 0.7, 0.05);
      source.connect(gain).connect(/** @type {any} */ (meter));
      source.start(now + begins);
      source.stop(now + begins + length + 0.3);
      own.sources.push(source);
    }
  };

  /** How strong the sound is at this moment, from 0 to 1. */
  const strength = () => {
    if (!meter) return 0;
    const samples = new Float32Array(meter.fftSize);
    meter.getFloatTimeDomainData(samples);
    return Math.sqrt(samples.reduce((sum, each) => sum + each * each, 0) / samples.length);
  };

  /** @param {string} movement @param {number} bar @param {string | null} id */
  const choose = (movement, bar, id = null) => {
    Object.assign(chosen, { movement, bar, id });
    if (!chosen.loop) {
      for (const field of ["sound-first", "sound-last"]) {
        /** @type {HTMLInputElement} */ (cavata.element(field)).value = String(bar);
      }
    }
    show();
  };

  document.addEventListener("DOMContentLoaded", build);
  cavata.on("about", (/** @type {any} */ about) => {
    const known = about.movements.find((/** @type {any} */ each) => each.name === chosen.movement);
    if (!known && about.movements.length) choose(about.movements[0].name, about.movements[0].bars[0]);
    if (run && run.told && run.state !== about.state && !run.fixed) movedOn(run, about.state);
  });

  cavata.on("about", cavata.later(showParts));

  /** What comes next is of the state that was saved now. @param {any} own @param {number} state */
  const movedOn = async (own, state) => {
    const told = await division(state, own.movement).catch(() => null);
    if (!told || run !== own) return;
    const index = own.told.bars.indexOf(barAt(own.told, own.at));
    const into = own.at - own.told.bars[index][2];
    const bar = told.bars[Math.min(index, told.bars.length - 1)];
    Object.assign(own, { state, told, at: Math.min(bar[2] + into, told.seconds) });
  };

  cavata.on("here", (/** @type {any} */ { movement, bar, id }) => choose(movement, bar, id ?? null));
  cavata.on("touched", (/** @type {any} */ { id, movement, bar }) => {
    if (movement !== undefined && bar !== undefined) choose(movement, bar, id);
    else chosen.id = id;
  });

  cavata.sound = {
    play: (/** @type {any} */ from) => begin({ ...from, fixed: from.state !== undefined }), stop: end, tones, strength,
    get isPlaying() { return chosen.playing; },
  };
})();
