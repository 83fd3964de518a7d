"""What one player cannot play at once, told as ranges are: once for an item, and never as an error.

In: a part's events in one movement. Out: warnings. A bowed string player stops a note on each of neighboring strings; a
wind player and a singer have one note at a time. Several who play one line, as `violins`, divide chords among them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from cavata.diagnostics import Diagnostics
from cavata.instruments.stops import is_bowed, is_out_of_reach, stop_of
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.score import Part, ScoreEvent
from cavata.score.whereabouts import Whereabouts
from cavata.source import Span


@record
class _Fault:
    code: str
    label: str
    cure: str


_GUIDE = "this is a guide: the player knows better"
ONE_AT_A_TIME = frozenset(["woodwind", "brass", "voice"])


def check_stops(part: Part, events: Sequence[ScoreEvent], where: Whereabouts, bag: Diagnostics) -> None:
    """Warn of chords that the part's instrument does not have; `events` are in order."""
    if part.section or not (is_bowed(part.instrument) or part.instrument.family in ONE_AT_A_TIME):
        return
    items: dict[tuple[Span, str], list[tuple[ScoreEvent, tuple[Pitch, ...], _Fault]]] = {}
    for event, pitches, plucked in _at_once(events):
        fault = _bowed_fault(part, event, pitches, plucked) if is_bowed(part.instrument) else _wind_fault(part)
        if fault is not None:
            items.setdefault((event.line, fault.code), []).append((event, pitches, fault))
    for several in items.values():
        event, pitches, fault = several[0]
        others = [other for other, _, _ in several[1:] if where.bar(other) is not where.bar(event)]
        also = f"; also{where.bars_of(others)}" if others else ""
        notes = " ".join(str(pitch) for pitch in pitches)
        bag.warning(
            fault.code, event.line, f"`{part.name}` cannot play {notes} at once{where.bars_of((event,))}",
            label=fault.label + also, cure=f"{fault.cure}; {_GUIDE}", also=where.sounds_in(event),
        )  # fmt: skip


def _at_once(events: Sequence[ScoreEvent]) -> Iterator[tuple[ScoreEvent, tuple[Pitch, ...], bool]]:
    """Each event that begins while others are held or begin, with all that sounds then, and whether it is plucked.

    Nothing while several players divide the line.
    """
    held: list[ScoreEvent] = []
    plucked = divided = False
    for event, following in zip_longest(events, events[1:]):
        for technique in event.event.marks.techniques:
            plucked = technique == "pizzicato" if technique in ("pizzicato", "arco") else plucked
            divided = technique == "divisi" if technique in ("divisi", "unison") else divided
        held = [*(other for other in held if other.end > event.onset), event]
        if following is not None and following.onset == event.onset:
            continue
        pitches = {head.pitch.midi: head.pitch for other in held for head in other.event.heads}
        if len(pitches) > 1 and event.event.heads and not divided and not event.event.marks.spoken:
            yield event, tuple(pitches[key] for key in sorted(pitches)), plucked


def _bowed_fault(part: Part, event: ScoreEvent, pitches: tuple[Pitch, ...], plucked: bool) -> _Fault | None:
    """What is wrong with a stop."""
    marks, instrument = event.event.marks, part.instrument
    if marks.harmonic or "harmonic" in marks.articulations:
        return None
    if pitches[0].midi < min(string.midi for string in instrument.strings):
        return None  # told as beyond the range
    divide = "divide it between players, or leave notes out"
    if len(pitches) > len(instrument.strings):
        return _Fault("I301", f"{len(pitches)} notes, and {len(instrument.strings)} strings", divide)
    is_broken = any(ornament.kind == "rolled" for ornament in marks.ornaments)
    stop = stop_of(instrument, pitches, not (plucked or is_broken))
    if stop is None:
        strings = " ".join(str(string) for string in instrument.strings)
        near = "" if plucked or is_broken else "neighboring "
        return _Fault("I301", f"no {near}strings have them, one note a string: {strings}", divide)
    if is_out_of_reach(instrument, stop) and not is_broken:
        return _Fault("I302", f"the fingers would stand {stop.spread} mm apart", "break the chord, or divide it")
    return None


def _wind_fault(part: Part) -> _Fault:
    who = "a singer" if part.instrument.family == "voice" else "a wind player"
    return _Fault("I303", f"{who} has one note at a time", "give the notes to several players, as `voiced across` does")
