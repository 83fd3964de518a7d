"""Strings and harmonics as a player reads them.

In: events as read, then a written staff. Out: a harmonic as the note that is stopped with a diamond where it is touched
above, or as that diamond alone where the string is open; on a fretted instrument the number of a string at each note
that names one, on a bowed one `sul G` over notes that follow one another. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from cavata.instruments.instrument import Instrument, PageLanguage, note_in
from cavata.instruments.strings import harmonic_of, string_named, touched_of
from cavata.notate.spelled_voice import WrittenEvent
from cavata.notate.transposition import PitchWriting
from cavata.notate.written import Leaf, OnString, Tuplet, WrittenItem, WrittenStaff, leaves
from cavata.record import replace


def touched(written: WrittenEvent, reading: PitchWriting, instrument: Instrument) -> WrittenEvent:
    """A harmonic as it is fingered; what no string has was reported, and stays as it is."""
    heads, marks = written.event.event.heads, written.event.event.marks
    if not marks.harmonic or not instrument.strings or len(heads) != 1:
        return written
    pitch = heads[0].pitch
    if marks.harmonic != "natural":
        stopped, above = touched_of(pitch, marks.harmonic)
        low = reading.chord((stopped,))[0]
        return replace(
            written, pitches=(low, low + (above - stopped)), origins=written.origins * 2, diamonds=(False, True),
            sounds=(pitch, pitch),
        )  # fmt: skip
    string = string_named(instrument, marks.string, pitch, True)
    node = None if string is None else harmonic_of(instrument.strings[string], pitch)
    if string is None or node is None:
        return written
    at = reading.chord((instrument.strings[string] + node.touched,), string)
    return replace(written, pitches=at, diamonds=(True,), sounds=(pitch,))


def with_strings(staff: WrittenStaff, instrument: Instrument, language: PageLanguage) -> WrittenStaff:
    """The staff with what is said of strings at its leaves."""
    lines = [
        [leaf for bar in staff.bars for leaf in (leaves(bar.voices[voice]) if voice < len(bar.voices) else ())]
        for voice in range(max((len(bar.voices) for bar in staff.bars), default=0))
    ]
    told = [list(_told(line, instrument, language)) for line in lines]
    if not any(any(line) for line in told):
        return staff
    streams = [iter(line) for line in told]
    bars = tuple(
        replace(bar, voices=tuple(_with(voice, streams[number]) for number, voice in enumerate(bar.voices)))
        for bar in staff.bars
    )
    return replace(staff, bars=bars)


def _told(line: list[Leaf], instrument: Instrument, language: PageLanguage) -> Iterator[OnString | None]:
    """For each leaf of a voice what is said of its string."""
    strings = [_string(leaf, instrument) for leaf in line]
    before: int | None = None
    for leaf, string, after in zip_longest(line, strings, strings[1:]):
        if string is None or leaf.event is None:
            before = None
            yield None
            continue
        fretted = instrument.family != "strings"
        struck = bool(leaf.marks.string) and not all(head.tie_ends for head in leaf.heads)
        yield OnString(
            number=len(instrument.strings) - string if struck else 0,
            fret=_fret(leaf, instrument, string) if struck and fretted else None,
            label="" if fretted else f"sul {note_in(language, instrument.strings[string].pitch_class)}",
            begins=string != before, ends=string != after,
        )  # fmt: skip
        before = string


def _string(leaf: Leaf, instrument: Instrument) -> int | None:
    event = leaf.event.event if leaf.event is not None else None
    if event is None or not event.marks.string or not leaf.heads or not event.heads or not instrument.strings:
        return None
    return string_named(instrument, event.marks.string, event.heads[0].pitch, event.marks.harmonic == "natural")


def _fret(leaf: Leaf, instrument: Instrument, string: int) -> int | None:
    """At which fret it is stopped or touched; None where it has none."""
    if leaf.event is None:
        return None
    pitch, harmonic = leaf.event.event.heads[0].pitch, leaf.event.event.marks.harmonic
    if harmonic == "natural":
        node = harmonic_of(instrument.strings[string], pitch)
        return node.touched.semitones if node is not None else None
    if harmonic:
        pitch, _ = touched_of(pitch, harmonic)
    fret = pitch.midi - instrument.strings[string].midi
    return fret if fret >= 0 else None


def _with(items: tuple[WrittenItem, ...], told: Iterator[OnString | None]) -> tuple[WrittenItem, ...]:
    made: list[WrittenItem] = []
    for item in items:
        if isinstance(item, Tuplet):
            made.append(replace(item, items=_with(item.items, told)))
        else:
            found = next(told)
            made.append(item if found is None else replace(item, string=found))
    return tuple(made)
