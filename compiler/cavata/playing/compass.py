"""How far a line goes on its instrument, and how fast, beside what its players are held to.

In: a line. Out: notes that no string, key, bar or pipe has; others beyond the ranges of the table, which lips, voices
and fingerboards may go beyond; for other players than professionals also those too far beyond the comfortable range,
and more notes a second than a profile has. A check tells of ranges by itself, of the same notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from cavata.instruments.instrument import PEDAL, Instrument
from cavata.instruments.slide import low_note
from cavata.place.ranges import (
    Band,
    RangeSide,
    Reach,
    beyond,
    extreme_of,
    is_of_section,
    player_of,
    reach_of,
    usual_range,
)
from cavata.playing.endurance import fastest
from cavata.playing.finding import Degree, Finding, Kind, verb_of
from cavata.playing.line import PlayerLine
from cavata.playing.profile import Profile
from cavata.record import replace
from cavata.score.score import Part, ScoreEvent

RANGE = Kind(
    "range", "", "how far a line goes on its instrument; for amateurs, beyond the comfortable range",
    "the table of instruments",
)  # fmt: skip
_TABLE = "the table of instruments; tunings"
TOO_LOW = Kind("too low", "I201", "whether a string, key, bar, drum or pipe has a note as low", _TABLE)
TOO_HIGH = Kind("too high", "I202", "whether a string, key, bar, drum or pipe has a note as high", _TABLE)
FASTEST = Kind("fastest", "", "how many notes a second there are, for players who are held to some", "from memory")
KINDS = (TOO_LOW, TOO_HIGH, RANGE, FASTEST)
_WITH_ENDS = frozenset(["keyboard", "percussion", "plucked"])
_FREE = frozenset(["musical saw"])
_BORE, _RARE = "woodwind", 1
"""A bore has no note below that of all holes closed, but for a semitone that rare extensions have, as a flute's foot of
B flat, and recorders never; of the highest notes the table knows only what is usual."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Nothing: a check tells of ranges by itself."""
    return iter(())


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    with_feet = {
        id(event) for staff in line.staves if staff.name == PEDAL and line.instrument.pedals
        for voice in staff.voices for event in voice
    }  # fmt: skip
    for feet in (False, True) if with_feet else (False,):
        part = replace(line.part, instrument=line.instrument.on_pedals() if feet else line.instrument)
        reach, events = reach_of(part), [event for event in line.events if (id(event) in with_feet) == feet]
        if reach is None or not events:
            continue
        absent = list(_absent(part.instrument, reach, events))
        yield from absent
        gone = {id(finding.event) for finding in absent}
        events = [event for event in events if id(event) not in gone]
        if isfinite(profile.beyond_comfortable):
            yield from _held_to(reach, events, profile)
        else:
            yield from _beyond(part, reach, events, profile)
    if isfinite(profile.fastest) and line.moments:
        most, at = fastest(line.moments)
        if most > profile.fastest:
            yield Finding(
                Degree.IMPOSSIBLE, FASTEST, at.event, f"{verb_of(line.instrument)}s {most:g} notes a second",
                f"these {player_of(line.instrument)}s are held to {profile.fastest:g}",
                "a slower tempo, longer notes, or the line shared by two",
            )  # fmt: skip


def _absent(instrument: Instrument, reach: Reach, events: Sequence[ScoreEvent]) -> Iterator[Finding]:
    """Notes that no string, key, bar or pipe has."""
    with_ends = instrument.family in _WITH_ENDS and instrument.key not in _FREE
    low, high = (pitch.midi for pitch in reach.extreme)
    rare = 0 if instrument.key.endswith("recorder") else _RARE
    for event in events:
        if event.event.marks.asks_harmonic or event.event.marks.spoken:
            continue
        for side, kind in ((RangeSide.BELOW, TOO_LOW), (RangeSide.ABOVE, TOO_HIGH)):
            pitch, below = side.pitch(event), side is RangeSide.BELOW
            if not (pitch.midi < low if below else pitch.midi > high):
                continue
            without_hole = instrument.family == _BORE and pitch.midi < low - rare
            if with_ends or below and (instrument.strings or without_hole):
                end = ("lowest", reach.extreme[0]) if below else ("highest", reach.extreme[1])
                yield Finding(
                    Degree.IMPOSSIBLE, kind, event, f"has no {pitch}", f"its {end[0]} note is {end[1]}, sounding",
                    f"move it by octaves with `within {reach.easy[0]}..{reach.easy[1]}`"
                    + (", or tune a string down with `tuned`" if below and instrument.strings else ""),
                )  # fmt: skip


def _beyond(part: Part, reach: Reach, events: Sequence[ScoreEvent], profile: Profile) -> Iterator[Finding]:
    """What a check tells of ranges, with its figures; a table cannot forbid it: natural horns go lower."""
    for side, band, outside in beyond(part, reach, events):
        if part.instrument.drums and band is Band.USUAL:  # told by what drums there are
            continue
        if side is RangeSide.ABOVE and part.instrument.family == "strings" and part.instrument.strings:  # or by hand
            highest = max(string.midi for string in part.instrument.strings) + profile.bow_highest
            outside = [event for event in outside if event.event.heads[-1].pitch.midi <= highest]
        if side is RangeSide.BELOW:  # low notes of a slide are told by its positions
            outside = [event for event in outside if low_note(part.instrument.key, side.pitch(event)) is None]
        if not outside:
            continue
        if band is Band.EASY:
            low, high = reach.easy
            yield Finding(
                Degree.CARE, RANGE, outside[0], f"lies much {side.word} the comfortable range",
                f"{len(outside)} of {len(events)} notes; comfortable is {low} to {high}, sounding",
                "rest from it, or an easier octave",
            )  # fmt: skip
            continue
        low, high = reach.usual
        what, text = f"goes {side.word} {usual_range(part)}", f"that range is {low} to {high}"
        cure = f"move it by octaves with `within {low}..{high}`"
        if band is Band.EXTREME:
            what, text = f"goes {side.word} its range", f"its range is {low} to {high}{extreme_of(reach)}"
        elif is_of_section(part):
            cure = "divide the section, or give it to a soloist"
        for event in outside:
            yield Finding(Degree.CARE, RANGE, event, what, f"{side.pitch(event)}, sounding; {text}", cure)


def _held_to(reach: Reach, events: Sequence[ScoreEvent], profile: Profile) -> Iterator[Finding]:
    """What lies farther beyond the comfortable range than a profile has it."""
    low, high = reach.easy
    for event in events:
        for side, far in ((RangeSide.BELOW, low.midi - RangeSide.BELOW.pitch(event).midi),
                          (RangeSide.ABOVE, RangeSide.ABOVE.pitch(event).midi - high.midi)):  # fmt: skip
            if far > profile.beyond_comfortable and not event.event.marks.spoken:
                yield Finding(
                    Degree.IMPOSSIBLE, RANGE, event, f"goes {side.word} the comfortable range",
                    f"{side.pitch(event)}, sounding; that range is {low} to {high}",
                    f"move it by octaves with `within {low}..{high}`",
                )  # fmt: skip
