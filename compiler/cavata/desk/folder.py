"""The page as a folder that opens by a double click, for a dedicatee or a player: no server, nothing fetched.

In: a desk. Out: one HTML file with scripts, styles and all answers in it, and the sound of the piece beside it, that of
each part as a file of its own. Every answer is what the view gives that the desk serves; the page finds it by the
question. What needs the desk itself is not there: cards, comparisons, of a note the way on which it came about.
"""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode
from collections.abc import Callable, Iterator, Mapping
from typing import Any
from urllib.parse import quote

from cavata.desk.desk import Desk
from cavata.desk.page_files import whole_page
from cavata.desk.routes import VIEWS
from cavata.desk.score.systems import ROOMS
from cavata.desk.sound import listening
from cavata.desk.sound.files import mp3_files
from cavata.desk.state import State
from cavata.desk.views import Answer
from cavata.draft.fonts import font_of_music
from cavata.perform.perform import perform
from cavata.record import record
from cavata.score.clock import length
from cavata.score.score import Score
from cavata.sound.audio import Rendering
from cavata.sound.midi import midi_bytes, movement_starts
from cavata.sound.soundfont import AudioFault

PAGE, SOUND = "index.html", "sound"
MOST_APART = 40.0
"""Megabytes that the sounds of single parts may take."""
_APART_RATE = 0.0065
"""Megabytes that one of them takes for a second, as measured."""
_SMALL = 600
"""Bytes of an answer that are not worth packing."""
Params = Mapping[str, str]
Say = Callable[[str], None]


def folder_files(desk: Desk, state: State, say: Say) -> dict[str, bytes]:
    """The files by their names. The state has a score."""
    assert state.score is not None
    files: dict[str, bytes] = {}
    say("rendering the sound")
    listening.play_anew(desk)
    sound = _sound(desk, state.score, say)
    files |= sound.files
    views: dict[str, Any] = {"font": _packed(Answer("font/woff2", font_of_music()))}
    for name, params in _questions(desk, state):
        if name == "score":
            say(f"drawing {params['copy']}")
        views[question(name, params)] = _packed(VIEWS[name](desk, state, params))
    for key, told in _heard(desk, state, sound):
        views[key] = _packed(told)
    event = {"state": state.number, "good": state.number, "messages": []}
    data = json.dumps({"event": event, "views": views}, ensure_ascii=False)
    title = state.score.header.title or desk.path.stem
    # Nothing in it may end the script that it stands in.
    page = whole_page(title, f"window.cavataData = {data.replace('<', chr(92) + 'u003c')};")
    return {PAGE: page.encode("utf-8", "replace"), **files}


def question(view: str, params: Params) -> str:
    """The name of a question, as `core.js` makes it."""
    query = "&".join(f"{_component(key)}={_component(params[key])}" for key in sorted(params))
    return f"{view}?{query}" if query else view


def _component(text: str) -> str:
    """As `encodeURIComponent` does it (ECMA-262)."""
    return quote(text, safe="!~*'()-_.")


def _questions(desk: Desk, state: State) -> Iterator[tuple[str, dict[str, str]]]:
    """Whatever the page can ask, but for sound."""
    yield from (("about", {}), ("names", {}))
    yield from (("map", {"room": room}) for room in ROOMS)
    names = json.loads(VIEWS["names"](desk, state, {}).body)["names"]
    meant = [{"name": each["name"], "position": str(letter["position"])}
             for each in names for letter in each["letters"] if letter["heard"]]
    themes = [{"theme": theme} for theme in dict.fromkeys(theme for each in names for theme in each["themes"])]
    for copy in state.copies():
        for room in ROOMS:
            yield "score", {"copy": copy, "room": room}
            count = len(json.loads(VIEWS["score"](desk, state, {"copy": copy, "room": room}).body)["systems"])
            for system in range(count):
                yield "system", {"copy": copy, "room": room, "system": str(system)}
        yield "came", {"copy": copy}
        yield from (("sounding", {"copy": copy, **what}) for what in (*meant, *themes))


def _heard(desk: Desk, state: State, sound: _Sound) -> Iterator[tuple[str, Answer]]:
    """How movements are divided, with the files in which they are heard and where they begin there; and all times."""
    score = state.score
    assert score is not None
    for number, movement in enumerate(score.movements):
        if not movement.bars:
            continue
        told = json.loads(listening.heard(desk, state, {"movement": movement.name}).body)
        if sound.files:
            told |= {"file": sound.whole, "offset": round(sound.starts[number], 5), "tooMuch": sound.too_much}
            told["parts"] = [{**part, "file": sound.parts.get(part["name"])} for part in told["parts"]]
        yield question("heard", {"movement": movement.name}), _json(told)
        for copy in state.copies() if sound.files else ():
            asked = {"movement": movement.name, "copy": copy}
            found = [
                json.loads(listening.times(desk, state, {**asked, "piece": str(piece)}).body)
                for piece in range(len(told["pieces"]))
            ]
            yield question("times", asked), _json(found)


def _json(value: Any) -> Answer:
    return Answer("application/json", json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode("utf-8"))


def _packed(answer: Answer) -> Any:
    """An answer as it stands in the page: text is compressed, as browsers unpack it themselves."""
    is_json = answer.kind.startswith("application/json")
    if is_json and len(answer.body) <= _SMALL:
        return json.loads(answer.body)
    if not is_json and not answer.kind.startswith(("text/", "image/svg")):
        return {"packed": b64encode(answer.body).decode()}
    body = re.sub(rb">\s+<", b"><", answer.body) if answer.kind.startswith("image/svg") else answer.body
    packing = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    packed = packing.compress(body) + packing.flush()
    return {"packed": b64encode(packed).decode(), "kind": "json" if is_json else "text"}


@record
class _Sound:
    """The sound of the piece; no files where there is no synthesizer."""

    files: Mapping[str, bytes]
    whole: str
    """The name of the one with all parts."""
    parts: Mapping[str, str]
    """For each part, by its name, the name of its own."""
    starts: tuple[float, ...]
    """The second at which each movement begins in each of them."""
    too_much: int = 0
    """Megabytes that the single parts would have taken, where they are left out for that."""


def _sound(desk: Desk, score: Score, say: Say) -> _Sound:
    def watch(share: float) -> None:
        say(f"rendering the sound, {share:.0%}")

    parts = [part.name for part in score.parts] if len(score.parts) > 1 else []
    seconds = float(sum(map(length, score.movements)))
    size = len(parts) * seconds * _APART_RATE
    names = {part: f"{SOUND}-{part}.mp3" for part in parts} if size <= MOST_APART else {}
    apart = [[number] for number in range(len(names))]
    try:
        found, starts = mp3_files(listening.heard_of(desk), score, [[*range(len(score.parts))], *apart], watch)
    except AudioFault:
        return _as_wav(score, watch)
    whole = f"{SOUND}.mp3"
    files = dict(zip((whole, *names.values()), found, strict=True))
    return _Sound(files, whole, names, tuple(starts), 0 if names else round(size))


def _as_wav(score: Score, watch: Callable[[float], None]) -> _Sound:
    """Where there is no encoder: all parts together, and no parts by themselves."""
    performance = perform(score)
    try:
        with Rendering(midi_bytes(score, performance), watch=watch) as sound:
            files = {f"{SOUND}.wav": b"".join(sound.wav())}
    except AudioFault:
        return _Sound({}, "", {}, ())
    return _Sound(files, f"{SOUND}.wav", {}, movement_starts(score, performance))
