"""Bowed strings: what one player can stop at once.

A player stops a note on each of neighboring strings; several who play one line, as `violins`, divide chords among them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from cavata.instruments.instrument import Instrument
from cavata.instruments.stops import is_out_of_reach, stop_of
from cavata.music.event import UNMARKED
from cavata.music.pitch import Pitch
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Line
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent

STOP = Kind("stop", "I301", "whether strings have the notes of a stop, one note a string", "common practice")
REACH = Kind("reach", "I302", "how far apart the fingers of a stop stand", "measured on solo works and quartets")
KINDS = (STOP, REACH)
_DIVIDE = "divide it between players, or leave notes out"


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """Stops that no player has."""
    if line.part.section:
        return
    for event, pitches, plucked in at_once(line.events):
        found = _fault(line.instrument, event, pitches, plucked)
        if found is not None:
            kind, text, cure = found
            notes = " ".join(str(pitch) for pitch in pitches)
            yield Finding(Degree.IMPOSSIBLE, kind, event, f"cannot play {notes} at once", text, cure)


def at_once(events: Sequence[ScoreEvent]) -> Iterator[tuple[ScoreEvent, tuple[Pitch, ...], bool]]:
    """Each event that begins while others are held or begin, with all that sounds then, and whether it is plucked.

    Nothing while several players divide the line.
    """
    held: list[ScoreEvent] = []
    plucked = divided = False
    for event, following in zip_longest(events, events[1:]):
        if event.event.marks is not UNMARKED:
            for technique in event.event.marks.techniques:
                plucked = technique == "pizzicato" if technique in ("pizzicato", "arco") else plucked
                divided = technique == "divisi" if technique in ("divisi", "unison") else divided
        held = [*(other for other in held if other.end > event.onset), event]
        if following is not None and following.onset == event.onset:
            continue
        if len(held) == 1 and len(event.event.heads) < 2:
            continue
        pitches = {head.pitch.midi: head.pitch for other in held for head in other.event.heads}
        if len(pitches) > 1 and event.event.heads and not divided and not event.event.marks.spoken:
            yield event, tuple(pitches[key] for key in sorted(pitches)), plucked


def _fault(
    instrument: Instrument, event: ScoreEvent, pitches: tuple[Pitch, ...], plucked: bool
) -> tuple[Kind, str, str] | None:
    """What is wrong with a stop: its kind, the fact and the cure."""
    marks = event.event.marks
    if marks.harmonic or "harmonic" in marks.articulations:
        return None
    if pitches[0].midi < min(string.midi for string in instrument.strings):
        return None  # told as beyond the range
    if len(pitches) > len(instrument.strings):
        return STOP, f"{len(pitches)} notes, and {len(instrument.strings)} strings", _DIVIDE
    is_broken = any(ornament.kind == "rolled" for ornament in marks.ornaments)
    stop = stop_of(instrument, pitches, not (plucked or is_broken))
    if stop is None:
        strings = " ".join(str(string) for string in instrument.strings)
        near = "" if plucked or is_broken else "neighboring "
        return STOP, f"no {near}strings have them, one note a string: {strings}", _DIVIDE
    if is_out_of_reach(instrument, stop) and not is_broken:
        return REACH, f"the fingers would stand {stop.spread} mm apart", "break the chord, or divide it"
    return None
