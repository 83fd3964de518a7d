"""The pedals of a harp part: what its notes want of them, and where on the page each is told.

In: a movement and the staves of its harp. Out: how the pedals are moved, and marks at moments of the score: the full
setting at the beginning and before a glissando, if the one before it had another, and each change between, where the
foot has time for it. A change stands at a beat or a part of one, the coarsest that leaves it at least half of its time;
where there is none, at a note, and never after its own. A glissando sounds the strings between its ends as the
signature has them; where there is none, they sound as they stand. What is repeated is played with the same pedals, so
they go back before it. Trills are left to the player, and the lowest C and D have no pedal. Source: common practice.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from cavata.instruments.harp_hands import HARP, HIGHEST_WIRE
from cavata.instruments.harp_pedals import (
    WITHOUT_PEDAL,
    PedalChange,
    Pedaling,
    PedalSetting,
    WantedStrings,
    pedaling,
    setting_of,
)
from cavata.music.event import signature_alteration
from cavata.record import record
from cavata.score.clock import Clock
from cavata.score.score import Movement, Part, ScoreEvent, Staff, bar_at

_BEFORE = Fraction(1, 32)
"""Grace notes are struck so much before their note, and pedals are back so much before a repeat."""
_GRIDS = tuple(Fraction(1, parts) for parts in (4, 8, 16, 32, 64))
_LETTERS = 7


@record
class PedalMark:
    """What is told at one moment."""

    onset: Fraction
    """In whole notes from the movement's beginning."""
    setting: PedalSetting | None = None
    """All seven, where they are told in full."""
    changes: tuple[PedalChange, ...] = ()
    """Of both feet, the right one's first, those of one foot in the order in which they are made."""


def is_harp(part: Part) -> bool:
    """Whether a part is played on a harp with pedals."""
    return part.instrument.key == HARP


def harp_pedaling(movement: Movement, staves: Sequence[Staff]) -> Pedaling:
    """How the pedals are moved in a movement; times are seconds from its beginning, played straight on."""
    return pedaling(harp_wanted(movement, staves, repeats=True), usual_setting(movement))


def harp_wanted(movement: Movement, staves: Sequence[Staff], repeats: bool) -> list[WantedStrings]:
    """What the notes of a movement want of the strings, in order of onset, as `harp_pedaling` lays it out.

    Without `repeats` nothing goes back for what is played again.
    """
    found = _wanted(movement, staves)
    return _in_seconds(movement, [*found, *(_going_back(movement, found) if repeats else ())])


def wanted_otherwise(
    movement: Movement, staves: Sequence[Staff], taken: Sequence[WantedStrings]
) -> list[WantedStrings]:
    """The same, repeats included, where notes are taken on other strings than they are written on.

    `taken` is what `harp_wanted` gives without repeats, with other letters.
    """
    found = [
        (onset, end, want.letters, low)
        for (onset, end, _, low), want in zip(_wanted(movement, staves), taken, strict=True)
    ]  # fmt: skip
    return _in_seconds(movement, [*found, *_going_back(movement, found)])


def _in_seconds(movement: Movement, found: Iterable[_Struck]) -> list[WantedStrings]:
    clock = Clock(movement)
    return [
        WantedStrings(
            clock.between(Fraction(0), max(Fraction(0), onset)), clock.between(Fraction(0), end), letters, low
        )
        for onset, end, letters, low in sorted(found)
    ]  # fmt: skip


def pedal_marks(movement: Movement, staves: Sequence[Staff], changes: bool) -> tuple[PedalMark, ...]:
    """The marks of a movement in order; without `changes` only the settings. None where the harp is silent."""
    if not any(event.event.heads for staff in staves for voice in staff.voices for event in voice):
        return ()
    return marks_of(harp_pedaling(movement, staves), movement, staves, changes)


def marks_of(
    made: Pedaling, movement: Movement, staves: Sequence[Staff], changes: bool = True
) -> tuple[PedalMark, ...]:
    """The marks that tell how the pedals are moved."""
    clock = Clock(movement)
    marks = [PedalMark(Fraction(0), made.first)]
    slides = sorted({event.onset for event, _ in _slides(staves) if event.onset})
    before: PedalSetting | None = None
    for onset in slides:
        setting = made.at(clock.between(Fraction(0), onset))
        if setting != before:
            marks.append(PedalMark(onset, setting))
            before = setting
    if changes:
        events = [event for staff in staves for voice in staff.voices for event in voice]
        moments = sorted({moment for event in events for moment in (event.onset, event.end)})
        placed = [(_moment(change, movement, clock, moments), change) for change in made.changes]
        placed.sort(key=lambda item: (item[0], item[1].left))
        for onset, run in groupby(placed, key=lambda item: item[0]):
            marks.append(PedalMark(onset, changes=tuple(change for _, change in run)))
    return tuple(sorted(marks, key=lambda mark: (mark.onset, mark.setting is not None)))


def usual_setting(movement: Movement) -> PedalSetting:
    """As the first signature has the letters."""
    fifths = movement.bars[0].fifths if movement.bars else 0
    return setting_of(signature_alteration(fifths, letter) for letter in range(_LETTERS))


_Struck = tuple[Fraction, Fraction, tuple[tuple[int, int], ...], int]
"""From, to, in whole notes; the letters with their accidentals, and how many of the first are on low strings."""


def _wanted(movement: Movement, staves: Sequence[Staff]) -> list[_Struck]:
    """What the notes of a movement want, glissandi included, in order."""
    found: list[_Struck] = []
    for staff in staves:
        for voice in staff.voices:
            for event in voice:
                if letters := _letters(event):
                    found.append((event.onset, event.end, letters, _low(event)))
                graces = [(h.pitch.letter, h.pitch.alter) for grace in event.event.marks.graces for h in grace]
                found += [(event.onset - _BEFORE, event.onset, (letter,), 0) for letter in graces]
    for event, after in _slides(staves):
        bar = bar_at(movement.bars, event.onset)
        if bar.key is not None:
            ends = {letter for letter, _ in (*_letters(event), *_letters(after))}
            passed = _between(event, after) - ends
            letters = tuple((letter, signature_alteration(bar.fifths, letter)) for letter in sorted(passed))
            found.append((event.onset, event.end, letters, 0))
    return sorted(found)


def _letters(event: ScoreEvent) -> tuple[tuple[int, int], ...]:
    pitches = (head.pitch for head in event.event.heads)
    return tuple((pitch.letter, pitch.alter) for pitch in pitches if pitch.position not in WITHOUT_PEDAL)


def _low(event: ScoreEvent) -> int:
    """How many of its strings are of wire and ring on, those without a pedal left out."""
    if "staccato" in event.event.marks.articulations:
        return 0
    positions = (head.pitch.position for head in event.event.heads)
    return sum(1 for position in positions if position <= HIGHEST_WIRE and position not in WITHOUT_PEDAL)


def _slides(staves: Sequence[Staff]) -> Iterator[tuple[ScoreEvent, ScoreEvent]]:
    """Each glissando: the event it comes from, and the one it goes to."""
    for staff in staves:
        for voice in staff.voices:
            for event, after in pairwise(voice):
                if event.event.marks.glides and event.event.heads and after.event.heads:
                    yield event, after


def _between(event: ScoreEvent, after: ScoreEvent) -> set[int]:
    """The letters of the strings that a glissando passes."""
    positions = [head.pitch.position for end in (event, after) for head in end.event.heads]
    return {position % _LETTERS for position in range(min(positions), max(positions) + 1)}


def _going_back(movement: Movement, found: Sequence[_Struck]) -> Iterator[_Struck]:
    """Before each repeat, the letters as they are first struck in what is played again."""
    told = set()
    for (_, end), (begin, until) in pairwise(movement.playing):
        if begin >= end or (begin, end) in told:
            continue
        told.add((begin, end))
        first: dict[int, int] = {}
        for onset, _, letters, _ in found:
            if begin <= onset < until:
                for letter, alter in letters:
                    first.setdefault(letter, alter)
        yield end - _BEFORE / 2, end, tuple(sorted(first.items())), 0


def _moment(change: PedalChange, movement: Movement, clock: Clock, moments: Sequence[Fraction]) -> Fraction:
    """Where on the page a change is told; `moments` are those at which notes begin and end."""
    latest = change.begins + change.time / 2
    for grid in _GRIDS:
        steps = range((movement.duration / grid).__ceil__() + 1)
        place = bisect_left(steps, change.begins, key=lambda step: clock.between(Fraction(0), step * grid))
        moment = place * grid
        if moment < movement.duration and clock.between(Fraction(0), moment) <= min(latest, change.until):
            return moment
    # No part of a beat lies there, as within a tuplet: the notes tell the player where.
    while_free = (m for m in moments if change.begins <= clock.between(Fraction(0), m) <= change.until)
    found = next(while_free, None)
    if found is not None and found < movement.duration:
        return found
    steps = range((movement.duration / _GRIDS[-1]).__ceil__() + 1)
    place = bisect_right(steps, change.until, key=lambda step: clock.between(Fraction(0), step * _GRIDS[-1])) - 1
    return max(Fraction(0), min(place, len(steps) - 2) * _GRIDS[-1])
