"""The left hand of bowed strings in time: whether it gets from one stop to the next.

In: a line of a bowed instrument whose string length is known. Out: moves for which there is less time than they take.
For each note or stop all strings are tried, and the way of the hand through the whole line is the one with the fewest
such moves. Of a section the moves of single notes are looked at too, its chords not: players divide them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.instruments.left_hand import HandPosition, Move, StoppedMoment, late_moves, least, seconds_for
from cavata.instruments.stops import (
    FRAMES,
    HIGHEST_STOP,
    Stop,
    fifths_in,
    grip_of,
    is_out_of_reach,
    stop_of,
    stops_of,
)
from cavata.instruments.strings import string_named
from cavata.music.pitch import Pitch
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import rate_of, runs

SHIFT = Kind(
    "shift", "I318", "whether the left hand gets from one stop to the next in time",
    "geometry of the string; speed of the hand from memory", in_rows=True,
)  # fmt: skip
STOPS_IN_A_ROW = Kind(
    "stops in a row", "", "how fast stops of two fingers follow one another", "players' handbooks, from memory"
)
CROSSING = Kind(
    "string crossing", "", "slurred leaps over strings that are not neighbors, and glissandi that no string has",
    "geometry of the string; from memory",
)
KINDS = (SHIFT, STOPS_IN_A_ROW, CROSSING)
_TWELFTH = 19
"""Semitones up to which two neighboring strings always have both notes under a hand, or nearly."""
_ROW = 4
_FAST_STOPS, _FAST_CHORDS = 7.0, 4.5
"""So many stops make a row, and so many of them a second are fast; and of chords, each broken with a bow of its own."""
_CURE = "more time, a rest, an open string between, or another octave"


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Moves that nobody makes."""
    if line.instrument.key in FRAMES:
        yield from only_impossible(_shifts(line, profile))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    if line.instrument.key in FRAMES:
        yield from _shifts(line, profile)
        yield from _crossings(line, profile)
        yield from _slides(line)
        if line.players == 1:
            yield from _rows(line)


def _stopped(moment: Moment, line: PlayerLine) -> tuple[Pitch, ...]:
    """What the hand has to stop; of a section, or of notes that several divide, the highest alone."""
    pitches = tuple(note.pitch for note in moment.struck)
    return pitches if line.players == 1 and not moment.state.divided else pitches[-1:]


def _ways(line: PlayerLine, pitches: tuple[Pitch, ...], string: str = "") -> tuple[Stop, ...]:
    """The ways to stop some notes; with the name of a string, those on it alone."""
    instrument = line.instrument
    asked = string_named(instrument, string, pitches[-1]) if string else None
    return tuple(
        stop for stop in stops_of(instrument, pitches)
        if not is_out_of_reach(instrument, stop) and (asked is None or stop.strings == (asked,))
    )


def _grips(line: PlayerLine, pitches: tuple[Pitch, ...], string: str = "") -> tuple[HandPosition | None, ...]:
    return tuple(dict.fromkeys(grip_of(line.instrument, stop) for stop in _ways(line, pitches, string)))


def _shifts(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    here: list[tuple[Moment, tuple[Pitch, ...]]] = []
    held: list[StoppedMoment] = []
    for moment in line.moments:
        marks = moment.event.event.marks
        if marks.asks_harmonic:
            continue
        pitches = _stopped(moment, line)
        grips = _grips(line, pitches, marks.string)
        if grips:
            here.append((moment, pitches))
            held.append(StoppedMoment(moment.begins, moment.ends, grips))
    for now, move, hopeless in late_moves(held, FRAMES[line.instrument.key], profile.slowness):
        yield _late(here[now][0], here[now - 1][1], here[now][1], move, hopeless)


def _late(moment: Moment, before: Sequence[Pitch], pitches: Sequence[Pitch], move: Move, hopeless: bool) -> Finding:
    old, new = names_of(before), names_of(pitches)
    where = f"gets from {old} to {new}" if old != new else f"gets to {new}"
    return Finding(
        Degree.IMPOSSIBLE if hopeless else Degree.CARE, SHIFT, moment.event,
        f"{where} in {seconds_in_words(move.whole)}",
        f"the hand moves {move.distance} mm, which takes about {seconds_in_words(move.needed)}{move.cut}", _CURE,
    )  # fmt: skip


def _crossings(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Slurred leaps that no two neighboring strings have: the bow would sound the strings between."""
    frame = FRAMES[line.instrument.key]
    for before, after in pairwise(line.moments):
        if not after.state.under_slur or len(before.struck) > 1 or len(after.struck) > 1:
            continue
        first, second = before.struck[0].pitch, after.struck[0].pitch
        if abs(first.midi - second.midi) <= _TWELFTH:
            continue
        whole = after.begins - before.begins
        one, other = _ways(line, (first,)), _ways(line, (second,))
        near = any(
            abs(here.strings[0] - there.strings[0]) <= 1
            and profile.slowness * seconds_for(least(_grip(line, here), _grip(line, there), frame)) < whole / 2
            for here in one for there in other
        )
        if one and other and not near:
            low, high = sorted((first, second), key=lambda pitch: pitch.midi)
            yield Finding(
                Degree.CARE, CROSSING, after.event, f"slurs between {low} and {high}",
                f"they lie on no two neighboring strings that the hand reaches in {seconds_in_words(whole)}",
                "a new bow for the second, more time, or another octave",
            )  # fmt: skip


def _slides(line: PlayerLine) -> Iterator[Finding]:
    """Glissandi that no string has from end to end."""
    for before, after in pairwise(line.moments):
        marks = before.event.event.marks
        if not marks.glides or marks.asks_harmonic or len(before.struck) > 1 or len(after.struck) > 1:
            continue
        first, second = before.struck[0].pitch, after.struck[0].pitch
        low, high = sorted((first.midi, second.midi))
        if not any(string.midi <= low and high - string.midi <= HIGHEST_STOP for string in line.instrument.strings):
            yield Finding(
                Degree.CARE, CROSSING, before.event, f"slides from {first} to {second}",
                "no string has both of them", "a narrower glissando, or two, on neighboring strings",
            )  # fmt: skip


def _grip(line: PlayerLine, stop: Stop) -> tuple[HandPosition | None]:
    return (grip_of(line.instrument, stop),)


def _rows(line: PlayerLine) -> Iterator[Finding]:
    """Stops of two fingers and more, and chords that are broken, that follow one another quickly."""
    stops = runs(
        line.moments, _FAST_STOPS, lambda moment: _fingers(line, moment) > 1 and not moment.state.divided, _is_other
    )  # fmt: skip
    told = set[float]()
    for run in (run for run in stops if len(run) >= _ROW):
        told |= {moment.begins for moment in run}
        yield Finding(
            Degree.CARE, STOPS_IN_A_ROW, run[0].event, f"has {len(run)} stops in a row, {rate_of(run):.1f} a second",
            "two fingers change for each", "single notes, open strings, or two players",
        )  # fmt: skip
    for run in runs(line.moments, _FAST_CHORDS, _is_broken):
        if len(run) >= _ROW and told.isdisjoint(moment.begins for moment in run):
            yield Finding(
                Degree.CARE, STOPS_IN_A_ROW, run[0].event,
                f"has {len(run)} chords in a row, {rate_of(run):.1f} a second", "the bow breaks each of them anew",
                "two notes each, single ones between, or two players",
            )  # fmt: skip


def _is_broken(moment: Moment) -> bool:
    """Whether it is a chord that a bow cannot hold at once."""
    return len(moment.struck) > 2 and not moment.state.divided and moment.state.bowing != "pizzicato"


def _fingers(line: PlayerLine, moment: Moment) -> int:
    pitches = tuple(note.pitch for note in moment.struck)
    stop = stop_of(line.instrument, pitches) if len(pitches) > 1 else None
    if stop is None:
        return 0
    return sum(offset > 0 for offset in stop.offsets) - sum(stop.offsets.count(fifth) - 1 for fifth in fifths_in(stop))


def _is_other(before: Moment, after: Moment) -> bool:
    return [note.pitch.midi for note in before.struck] != [note.pitch.midi for note in after.struck]
