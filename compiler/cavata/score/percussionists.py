"""How many percussionists a piece needs.

In: a score. Out: the fewest players for its percussion, timpani apart, whom custom gives a player of their own. Each
instrument, or set of instruments on one staff or under one name, wants a player from a stroke to the last one that
follows it too soon to walk away in between; the most that are wanted at one moment are enough, since a player who is
free takes the next. What never sounds is counted as the forces have it. Source of the rule: of intervals no more than
k of which overlap, k players can take all (the classical theorem on interval graphs); of the time between instruments:
common practice, two to three seconds to the next stand (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.score import Group, GroupSign, Movement, Part, Score, SharedStaff, events_of

WALK = Fraction(3)
"""Seconds from the end of what is played on one instrument to a stroke on the next, with other sticks."""
TIMPANI = "timpani"


@record
class _Desk:
    """What one player stands at: an instrument, or several on one staff or under a brace, by their places."""

    places: tuple[int, ...]


def is_percussion(part: Part) -> bool:
    """Whether a percussionist plays a part."""
    return part.instrument.family == "percussion" and part.instrument.key != TIMPANI and not part.soloist


def stands(score: Score) -> tuple[tuple[Group, tuple[int, ...]], ...]:
    """The percussion under one name with a brace, which one player has: its brace, and the places of its parts. Timpani
    may be among it.

    It is the same whether the braces of the score are drawn already or not.
    """
    found: list[tuple[Group, tuple[int, ...]]] = []
    for brace in (*score.groups, *(brace_of(staff) for staff in score.shared if staff.apart)):
        places = tuple(place for place, part in enumerate(score.parts) if part.name in brace.parts)
        parts = [score.parts[place] for place in places]
        drums = [part for part in parts if part.instrument.key == TIMPANI and not part.soloist]
        percussion = sum(map(is_percussion, parts))
        if brace.sign is GroupSign.BRACE and len(parts) > 1 and percussion and percussion + len(drums) == len(parts):
            found.append((replace(brace, one_player=True), places))
    return tuple(found)


def brace_of(staff: SharedStaff) -> Group:
    """The brace of parts that stand under one name."""
    return Group(staff.name, staff.parts, GroupSign.BRACE, label=staff.label, abbreviation=staff.abbreviation)


def percussionists(score: Score) -> int:
    """The fewest percussionists that can play the piece; 0 where it has no percussion."""
    desks = tuple(_desks(score))
    silent = sum(1 for desk in desks if not any(_notes(movement, desk) for movement in score.movements))
    return silent + max((_at_once(movement, desks)[0] for movement in score.movements), default=0)


def most_wanted(score: Score, movement: Movement) -> tuple[int, Fraction]:
    """The most percussionists that are wanted at one moment of a movement, and from which moment on, in seconds."""
    return _at_once(movement, tuple(_desks(score)))


def _desks(score: Score) -> Iterator[_Desk]:
    """The percussion of a score, whether its sets stand on shared staves already or not."""
    places = {part.name: place for place, part in enumerate(score.parts)}
    sets = [tuple(places[part.name] for part in own) for _, own in score.percussion_sets]
    sets += [own for _, own in stands(score)]
    yield from map(_Desk, sets)
    for place, part in enumerate(score.parts):
        if is_percussion(part) and not any(place in own for own in sets):
            yield _Desk((place,))


def _notes(movement: Movement, desk: _Desk) -> list[tuple[Fraction, Fraction]]:
    """From and to of everything that a desk plays, in whole notes, in order."""
    events = (event for place in desk.places for event in events_of(movement.staves[place]))
    return sorted((event.onset, event.end) for event in events if event.event.heads)


def _at_once(movement: Movement, desks: Sequence[_Desk]) -> tuple[int, Fraction]:
    """The most players that are wanted at one moment of a movement, and when first."""
    clock = Clock(movement)
    ends: list[tuple[Fraction, int]] = []
    for desk in desks:
        for begin, end in _stretches(_notes(movement, desk), clock):
            ends += [(begin, 1), (end, -1)]
    most = now = 0
    when = Fraction(0)
    for moment, change in sorted(ends):
        now += change
        if now > most:
            most, when = now, moment
    return most, when


def _stretches(notes: Sequence[tuple[Fraction, Fraction]], clock: Clock) -> Iterator[tuple[Fraction, Fraction]]:
    """From and to, in seconds, of what holds a player at one desk, the way to the next one included."""
    begin: Fraction | None = None
    over = Fraction(0)
    for onset, end in notes:
        start, stop = clock.between(Fraction(0), onset), clock.between(Fraction(0), end) + WALK
        if begin is None or start > over:
            if begin is not None:
                yield begin, over
            begin, over = start, stop
        over = max(over, stop)
    if begin is not None:
        yield begin, over
