"""What the page asks about sound: how a movement is divided, a piece of it to be heard, and when its notes are heard.

Questions name a movement by the name that the script gives it, a piece by its number counted from 0, parts by their
numbers in the score.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from fractions import Fraction

from cavata.desk.desk import Desk
from cavata.desk.sound.heard import SEAM, HeardPiece, sample_of
from cavata.desk.sound.times import CopyTimes, shifts
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, NotThere, as_json, whole_number
from cavata.score.score import Movement, Score, bar_index_at
from cavata.sound.audio_events import RATE
from cavata.sound.soundfont import AudioFault
from cavata.sound.time import PAUSE

APART, TOGETHER = "apart", "all"
SLOWEST = 4
MOST_TONES, LONGEST = 400, 20.0
"""Notes by themselves, and how many seconds each may wait and last."""
_RATIO = re.compile(r"(\d{1,3})(?:/([1-9]\d{0,2}))?", re.ASCII)
_PAGES = 4
"""Movements of copies whose times are kept."""


def heard_of(desk: Desk) -> HeardPiece:
    """What is heard of the piece. Raises AudioFault where something is missing."""
    with desk.still:
        if "heard" not in desk.shelf:
            desk.shelf["heard"] = HeardPiece()
        heard: HeardPiece = desk.shelf["heard"]
        return heard


def play_anew(desk: Desk) -> None:
    """Let all that is heard next be as if the desk had just begun; nothing where there is no sound."""
    with suppress(AudioFault):
        heard_of(desk).play_anew()


def heard(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """How a movement is divided: its bars as they are played, and its pieces, all with their seconds; and the pause
    after it.

    With `anew` it is played anew, and with it how loud the piece is. Where there is no sound, why not.
    """
    score, number = _movement(state, wanted)
    parts = [{"name": part.name, "label": part.label} for part in score.parts]
    try:
        listening = heard_of(desk)
        if wanted.get("anew"):
            listening.play_anew()
        sounding, pieces = listening.movement(score, number, _slower(wanted))
    except AudioFault as fault:
        return as_json({"silent": str(fault), "parts": parts})
    movement = score.movements[number]
    return as_json({
        "state": state.number, "movement": movement.name, "parts": parts, "seam": SEAM / RATE,
        "seconds": _seconds(sounding.sample(sounding.movement.duration)),
        "pause": 0 if movement.attacca else float(PAUSE),
        "pieces": [_seconds(sample_of(sounding, piece.begin)) for piece in pieces],
        "bars": [
            [bar.number, _written_bar(movement, bar.onset), _seconds(sounding.sample(bar.onset))]
            for bar in sounding.movement.bars
        ],
    })  # fmt: skip


def sound(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """A piece as a WAV file: of all parts, of some, or `apart`, each part as two channels of their own."""
    score, number = _movement(state, wanted)
    try:
        listening = heard_of(desk)
        _, pieces = listening.movement(score, number)
        piece = whole_number(wanted.get("piece", ""), len(pieces), "piece")
        body = listening.sound(score, number, piece, _voices(score, wanted.get("parts", TOGETHER)), _slower(wanted))
    except AudioFault as fault:
        raise NotThere(str(fault)) from None
    return Answer("audio/wav", body)


def times(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The ids of the notes of a copy that begin in a piece, each from and to, in seconds of the movement."""
    score, number = _movement(state, wanted)
    copy = wanted.get("copy", SCORE)
    try:
        sounding, pieces = heard_of(desk).movement(score, number, _slower(wanted))
    except AudioFault as fault:
        raise NotThere(str(fault)) from None
    piece = pieces[whole_number(wanted.get("piece", ""), len(pieces), "piece")]
    with desk.still:
        found = _times(desk, state, copy, score.movements[number].name)
    return as_json([] if found is None else found.of(score.movements[number], sounding, piece))


def tones(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """A few notes by themselves as a WAV file: keys with their beginnings and lengths in seconds, `60:0:0.5,64:0.5:1`,
    and the program of General MIDI, counted from 0, that plays them."""
    program = whole_number(wanted.get("program", "0"), 128, "program")
    try:
        notes = [(int(key), float(begin), float(length)) for key, begin, length in _split(wanted.get("notes", ""))]
        if not all(0 <= key < 128 and 0 <= begin < LONGEST and 0 < length < LONGEST for key, begin, length in notes):
            raise ValueError
    except ValueError:
        raise NotThere("these are no notes that can be played") from None
    try:
        return Answer("audio/wav", heard_of(desk).tones(notes, program))
    except AudioFault as fault:
        raise NotThere(str(fault)) from None


def _split(notes: str) -> list[list[str]]:
    return [note.split(":") for note in notes.split(",")[:MOST_TONES]]


def _times(desk: Desk, state: State, copy: str, movement: str) -> CopyTimes | None:
    """The notes of a movement of a copy; None where it has none of it, as a part that is silent."""
    try:
        page = state.written(copy)
    except KeyError:
        raise NotThere(f"there is no copy `{copy}`") from None
    written = next((each for each in page.movements if each.name == movement), None)
    if written is None:
        return None
    kept: list[tuple[object, CopyTimes]] = desk.shelf.setdefault("times", [])
    for page_of, known in kept:
        if page_of is written:
            return known
    made = CopyTimes(written)
    kept[:] = [(written, made), *kept][:_PAGES]
    return made


def _movement(state: State, wanted: Mapping[str, str]) -> tuple[Score, int]:
    score = state.score
    if score is None:
        raise NotThere("there is no score yet")
    name = wanted.get("movement", "")
    for number, movement in enumerate(score.movements):
        if movement.name == name and movement.bars:
            return score, number
    raise NotThere(f"there is no movement `{name}` to be heard")


def _written_bar(movement: Movement, played: Fraction) -> int:
    """The index of the bar of the score that is played at a moment."""
    onset = next((played - shift for begin, end, shift in shifts(movement) if begin <= played - shift < end), played)
    return bar_index_at(movement.bars, onset)


def _voices(score: Score, parts: str) -> Sequence[Sequence[int]]:
    """The groups of parts that are heard, each by itself."""
    every = range(len(score.parts))
    if parts == TOGETHER:
        return [[*every]]
    if parts == APART:
        return [[number] for number in every]
    return [sorted({whole_number(each, len(every), "part") for each in parts.split(",")})]


def _slower(wanted: Mapping[str, str]) -> Fraction:
    """How many times as long every beat is: 1 to SLOWEST, as `3/2`."""
    text = wanted.get("slower", "1")
    found = _RATIO.fullmatch(text)
    slower = Fraction(int(found[1]), int(found[2] or 1)) if found else Fraction(0)
    if not 1 <= slower <= SLOWEST:
        raise NotThere(f"`{text}` is not how many times slower, from 1 to {SLOWEST}")
    return slower


def _seconds(sample: int) -> float:
    return round(sample / RATE, 5)
