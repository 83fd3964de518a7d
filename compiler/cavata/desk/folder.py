"""The page as a folder that opens by a double click, for a dedicatee or a player: no server, nothing fetched.

In: a desk. Out: one HTML file with scripts, styles and all answers in it, and the sound of the piece beside it. Every
answer is what the view gives that the desk serves; the page finds it by the question. What needs the desk itself is not
there: cards, comparisons, of a note the way on which it came about, parts by themselves.
"""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from cavata.desk.desk import Desk
from cavata.desk.page_files import whole_page
from cavata.desk.routes import VIEWS
from cavata.desk.score.systems import ROOMS
from cavata.desk.sound import listening
from cavata.desk.state import State
from cavata.desk.views import Answer
from cavata.draft.fonts import font_of_music
from cavata.perform.perform import Performance, perform
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes, movement_starts
from cavata.sound.soundfont import AudioFault

PAGE, SOUND = "index.html", "sound"
_SMALL = 600
"""Bytes of an answer that are not worth packing."""
Params = Mapping[str, str]
Say = Callable[[str], None]


def folder(desk: Desk, state: State, say: Say) -> dict[str, bytes]:
    """The files by their names. The state has a score."""
    assert state.score is not None
    files: dict[str, bytes] = {}
    say("rendering the sound")
    listening.play_anew(desk)
    performance = perform(state.score)
    sound = _sound(state.score, performance, say)
    if sound is not None:
        files[sound[0]] = sound[1]
    views: dict[str, Any] = {"font": _packed(Answer("font/woff2", font_of_music()))}
    for name, params in _questions(desk, state):
        if name == "score":
            say(f"drawing {params['copy']}")
        views[question(name, params)] = _packed(VIEWS[name](desk, state, params))
    starts = movement_starts(state.score, performance) if sound else ()
    for key, told in _heard(desk, state, sound[0] if sound else "", starts):
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


def _heard(desk: Desk, state: State, file: str, starts: Sequence[float]) -> Iterator[tuple[str, Answer]]:
    """How movements are divided, with the file in which they are heard and where they begin there; and all times."""
    score = state.score
    assert score is not None
    for number, movement in enumerate(score.movements):
        if not movement.bars:
            continue
        told = json.loads(listening.heard(desk, state, {"movement": movement.name}).body)
        if file:
            told |= {"file": file, "offset": round(starts[number], 5)}
        yield question("heard", {"movement": movement.name}), _json(told)
        for copy in state.copies() if file else ():
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


def _sound(score: Score, performance: Performance, say: Say) -> tuple[str, bytes] | None:
    """The piece as a file, by its name; None where there is no synthesizer."""
    from cavata.sound.audio import Rendering, mp3_of

    try:
        midi = midi_bytes(score, performance)
        with Rendering(midi, watch=lambda share: say(f"rendering the sound, {share:.0%}")) as sound:
            try:
                return f"{SOUND}.mp3", mp3_of(sound)
            except AudioFault:  # no encoder
                return f"{SOUND}.wav", b"".join(sound.wav())
    except AudioFault:
        return None
