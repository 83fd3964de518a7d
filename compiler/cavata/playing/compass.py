"""How far a line goes on its instrument, and how fast, beside what its players are held to.

In: a line. Out: notes that no string, key, bar or pipe has; others beyond the ranges of the table, which lips, voices
and fingerboards may go beyond; for other players than professionals also those too far beyond the comfortable range,
and more notes a second than a profile has. A check tells of ranges by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from cavata.instruments.instrument import PEDAL, Instrument
from cavata.place.ranges import Reach, reach_of
from cavata.playing.endurance import fastest
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Line
from cavata.playing.profile import Profile
from cavata.record import replace
from cavata.score.score import ScoreEvent

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


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """Nothing: a check tells of ranges by itself."""
    return iter(())


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    mine = set(map(id, line.events))
    for staff in line.staves:
        feet = staff.name == PEDAL and bool(line.instrument.pedals)
        instrument = line.instrument.on_pedals() if feet else line.instrument
        reach = reach_of(replace(line.part, instrument=instrument))
        if reach is not None:
            for event in (event for voice in staff.voices for event in voice if id(event) in mine):
                if not event.event.marks.spoken:
                    yield from _beyond(event, instrument, reach, profile)
    if isfinite(profile.fastest) and line.moments:
        most, at = fastest(line.moments)
        if most > profile.fastest:
            yield Finding(
                Degree.IMPOSSIBLE, FASTEST, at.event, f"plays {most:g} notes a second",
                f"these players are held to {profile.fastest:g}",
                "a slower tempo, longer notes, or the line shared by two",
            )  # fmt: skip


def _beyond(event: ScoreEvent, instrument: Instrument, reach: Reach, profile: Profile) -> Iterator[Finding]:
    low, high = event.event.heads[0].pitch, event.event.heads[-1].pitch
    with_ends = instrument.family in _WITH_ENDS and instrument.key not in _FREE
    for side, pitch, beyond in (
        ("below", low, [span[0].midi - low.midi for span in (reach.easy, reach.extreme)]),
        ("above", high, [high.midi - span[1].midi for span in (reach.easy, reach.extreme)]),
    ):
        easy, extreme = beyond
        if extreme > 0 and not event.event.marks.asks_harmonic and (
            with_ends or (side == "below" and instrument.strings)
        ):  # fmt: skip
            is_low = side == "below"
            yield Finding(
                Degree.IMPOSSIBLE, TOO_LOW if is_low else TOO_HIGH, event, f"has no {pitch}",
                f"its {'lowest' if is_low else 'highest'} note is {reach.extreme[0 if is_low else 1]}, sounding",
                f"move it by octaves with `within {reach.easy[0]}..{reach.easy[1]}`"
                + (", or tune a string down with `tuned`" if is_low and instrument.strings else ""),
            )  # fmt: skip
            continue
        if easy > profile.beyond_comfortable:
            degree, span, what = Degree.IMPOSSIBLE, reach.easy, f"goes {side} the comfortable range"
        elif extreme > 0:  # a table cannot forbid it: natural horns go lower
            degree, span, what = Degree.CARE, reach.extreme, f"goes {side} all ranges of the table"
        else:
            continue
        yield Finding(
            degree, RANGE, event, what, f"{pitch}, sounding; that range is {span[0]} to {span[1]}",
            f"move it by octaves with `within {span[0]}..{span[1]}`",
        )  # fmt: skip
