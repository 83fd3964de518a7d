"""Whether notes can be had where they are asked for: on a string, as a harmonic.

In: a part's events on one instrument. Out: messages only; what cannot be is an error, since no player knows better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from cavata.instruments.instrument import Instrument
from cavata.instruments.strings import NODES, harmonic_of, stopped_on, string_named, touched_of
from cavata.music.event import Marks
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.score import Part, ScoreEvent
from cavata.source import Span

ToldSpans = tuple[tuple[Span, str], ...]
Report = Callable[[str, ScoreEvent, str, str, str, str, str, bool, ToldSpans], None]
"""Told once for an item: the part, the event, the kind, then code, message, label, cure, that it is an error, and what
else to look at.
"""


@record
class _Fault:
    """What cannot be."""

    code: str
    message: str
    label: str
    cure: str


def check_strings(part: Part, events: Sequence[ScoreEvent], report: Report) -> None:
    """Report what no string has."""
    for event in events:
        marks = event.event.marks
        if (marks.string or marks.harmonic) and event.event.heads:
            fault = _fault(part, event)
            if fault is not None:
                told = (fault.code, fault.message, fault.label, fault.cure)
                report(part.name, event, fault.code, *told, True, tuple(_said_elsewhere(event)))


def _said_elsewhere(event: ScoreEvent) -> Iterator[tuple[Span, str]]:
    """Where the string or harmonic was said, if a row over bars said it."""
    line = event.line
    for sign in event.event.marks.said:
        inside = sign.span.source is line.source and line.start <= sign.span.start and sign.span.end <= line.end
        if sign.kind in ("string", "harmonic") and sign.by is None and not inside:
            yield sign.span, "said here"


def _fault(part: Part, event: ScoreEvent) -> _Fault | None:
    instrument, marks, pitch = part.instrument, event.event.marks, event.event.heads[0].pitch
    if not instrument.strings:
        return _Fault("P860", f"`{part.name}` has no strings", "for strings only", "leave it out for this part")
    if len(event.event.heads) > 1:
        return _Fault(
            "P865", "a chord has a string for each of its notes", "said for a chord", "say it of single notes"
        )
    if marks.string:
        number = string_named(instrument, marks.string, pitch, marks.harmonic == "natural")
        if number is None:
            names = " ".join(str(string.pitch_class) for string in instrument.strings)
            said = f"string {marks.string}" if marks.string.isdecimal() else f"{marks.string} string"
            return _Fault(
                "P861", f"`{part.name}` has no {said}", f"its strings, from the lowest: {names}",
                f"strings are counted from the highest, 1 to {len(instrument.strings)}" if marks.string.isdecimal()
                else _other(instrument, pitch, marks) or "take one of these",
            )  # fmt: skip
        fault = _off(instrument, number, pitch, marks)
        if fault is not None:
            return fault
    return _no_touch(instrument, pitch, marks.harmonic) if marks.harmonic not in ("", "natural") else None


def _other(instrument: Instrument, pitch: Pitch, marks: Marks) -> str:
    """The string that has a pitch, as a script says it; empty where none has."""
    strings = instrument.strings
    if marks.harmonic == "natural":
        has = next((string for string in strings if harmonic_of(string, pitch) is not None), None)
        return "" if has is None else f"`harmonic on {has.pitch_class}` has {pitch}"
    place = stopped_on(strings, (pitch,))[0]
    if strings[place].midi > pitch.midi:
        return ""
    number, name = len(strings) - place, strings[place].pitch_class
    return f"`played on string {number}` has {pitch}" if marks.string.isdecimal() else f"`sul {name}` has {pitch}"


def _off(instrument: Instrument, number: int, pitch: Pitch, marks: Marks) -> _Fault | None:
    """Why a string does not have a pitch."""
    open_ = instrument.strings[number]
    name = f"the {open_} string"
    if marks.harmonic == "natural":
        if harmonic_of(open_, pitch) is not None:
            return None
        have = " ".join(str(open_ + node.sounds) for node in NODES)
        return _Fault(
            "P864", f"{pitch} is no natural harmonic of {name}", f"it has {have}",
            _other(instrument, pitch, marks) or _stopped(instrument, pitch),
        )  # fmt: skip
    if pitch.midi < open_.midi:
        cure = _other(instrument, pitch, marks) or "write it higher: no string goes so low"
        return _Fault("P862", f"{pitch} lies below {name}", "no string sounds lower than it is", cure)
    if instrument.frets and pitch.midi - open_.midi > instrument.frets:
        return _Fault(
            "P863", f"{pitch} lies beyond the last fret of {name}",
            f"fret {pitch.midi - open_.midi} of {instrument.frets}", "take a higher string",
        )  # fmt: skip
    return None


def _stopped(instrument: Instrument, pitch: Pitch) -> str:
    """How a note is had as a harmonic that no open string has."""
    fault = _no_touch(instrument, pitch, "P4")
    return "touch a stopped note with `harmonic touching P4`" if fault is None else "write it higher: no string has it"


def _no_touch(instrument: Instrument, pitch: Pitch, touching: str) -> _Fault | None:
    stopped, _ = touched_of(pitch, touching)
    lowest = min(instrument.strings, key=lambda string: string.midi)
    if stopped.midi > lowest.midi:
        return None
    natural = next((string for string in instrument.strings if harmonic_of(string, pitch) is not None), None)
    return _Fault(
        "P866", f"{pitch} is too low for a harmonic touching {touching}",
        f"it would be stopped at {stopped}; the lowest string is {lowest}",
        "write it higher" if natural is None
        else f"write it higher, or as a natural harmonic with `harmonic on {natural.pitch_class}`",
    )  # fmt: skip
