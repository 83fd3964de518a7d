"""Where a player has time to turn the page.

In: a movement, the staves of the part, its written spans. Out: for each bar whether a page may be turned at its end:
the player is silent there for long enough on all staves, from the last note before the turn to the first after it, or
the movement is over and a pause follows. Source: common practice; how long a turn takes is a guide.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import ceil

from cavata.notate.frames import WrittenSpan
from cavata.notate.written import Frame, WrittenMovement, WrittenScore, leaves
from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.score import Movement, Staff, events_of

TURN_SECONDS = Fraction(5, 2)
"""A hand leaves the instrument, turns the page, and comes back."""


def with_turns(
    frames: Sequence[Frame], movement: Movement, staves: Sequence[Staff], spans: Sequence[WrittenSpan]
) -> tuple[Frame, ...]:
    """The frames, each with whether the page may be turned at its end."""
    return tuple(
        replace(frame, may_turn=True) if may_turn else frame
        for frame, may_turn in zip(frames, _turns(movement, staves, spans), strict=True)
    )


def _turns(movement: Movement, staves: Sequence[Staff], spans: Sequence[WrittenSpan]) -> Iterator[bool]:
    sounds = sorted((event.onset, event.end) for event in events_of(staves) if event.event.heads)
    onsets = [onset for onset, _ in sounds]
    clock = Clock(movement)
    known: dict[tuple[Fraction, Fraction], bool] = {}
    sounding = Fraction(0)
    place = 0
    for number, span in enumerate(spans, start=1):
        after = bisect_left(onsets, span.end)
        sounding = max([sounding, *(end for _, end in sounds[place:after])])
        place = after
        if number == len(spans) and not movement.attacca:
            yield True
        elif sounding > span.end:
            yield False
        else:
            silence = sounding, onsets[after] if after < len(onsets) else movement.duration
            if silence not in known:
                known[silence] = clock.between(*silence) >= TURN_SECONDS
            yield known[silence]


# ----------------------------------------------------------------
# The pages of a part, so that its player can turn them.
#
# In: a written part and how LilyPond set it when it was free to choose: each system, its height, the moments it goes
# from and to. Out: the same part with a page break after chosen bars, or nothing where the pages are good as they are.
# The first page lies on the right; after it every second page is turned. A part of two pages lies open and is never
# turned. Pages that LilyPond breaks anew differ a little from those it was measured on, so some room is left.


PADDING, CLOSEST, USUAL = 2.5, 10.0, 14.0
"""Staff spaces between two systems, and from one to the next: at least, and where there is room."""
ROOM = 0.99
"""The share of a page that is reckoned with."""
SPREAD = 2
"""Pages that lie open side by side."""
_PAGE, _BAD_TURN, _RAGGED, _BROKEN_LINE, _LONELY, _LEFT = 1.0, 100.0, 4.0, 0.3, 1.0, 3.0
"""What costs how much: a page, a turn while playing, an empty page, a line broken anew, a last page of one system,
a beginning on the left."""


@record
class SetSystem:
    """One system as it was set."""

    page: int
    begin: Fraction
    end: Fraction
    """In whole notes of its movement as written."""
    height: float
    """In staff spaces."""
    words: float = 0.0
    """The height of titles and headings that stand before it."""


@record
class PartLayout:
    """All systems of a part, and how much a page holds."""

    systems: tuple[SetSystem, ...]
    page_height: float
    """In staff spaces, without margins and running head."""
    first_page: int = 1


@record
class PageTurn:
    """A page that must be turned while its player plays."""

    movement: str
    bar: int
    """The last bar before it, as printed."""


@record
class _Bar:
    """One bar, or one rest of several, as the planner sees it."""

    movement: int
    frame: int
    """The last it stands for."""
    share: float
    """Of a system."""
    height: float
    """Of its system, with the room to the next."""
    words: float
    ends_system: bool
    page: int
    may_turn: bool


def bad_turns(score: WrittenScore, layout: PartLayout) -> tuple[PageTurn, ...]:
    """The turns of a part as it was set for which there is no time."""
    bars = _bars(score, layout)
    if layout.systems and layout.systems[-1].page - layout.first_page < SPREAD:
        return ()
    sounding = _sounding(score)
    return tuple(
        PageTurn(sounding[bar.movement].name, sounding[bar.movement].frames[bar.frame].number)
        for bar, following in pairwise(bars)
        if bar.page % 2 and following.page > bar.page and not bar.may_turn
    )


def crowded(layout: PartLayout) -> bool:
    """Whether some page holds more than it should."""
    used: dict[int, float] = {}
    for system in layout.systems:
        used[system.page] = used.get(system.page, 0.0) + system.words + _room(system)
    return any(height > layout.page_height for height in used.values())


def with_pages_planned(score: WrittenScore, layout: PartLayout) -> WrittenScore | None:
    """The part with its pages broken where they can be turned; None if they are good, or nothing better is found."""
    known = bad_turns(score, layout)
    if not known and not crowded(layout):
        return None
    bars = _bars(score, layout)
    plans = [_plan(bars, layout.page_height * ROOM, first) for first in (1, 2)]
    costs = [cost + _LEFT * (place > 0 and len(ends) > SPREAD) for place, (cost, ends) in enumerate(plans)]
    first = 0 if costs[0] <= costs[1] else 1
    ends = plans[first][1]
    turned = [bars[end - 1] for page, end in enumerate(ends, start=first + 1) if page % 2 and end < len(bars)]
    if known and sum(not bar.may_turn for bar in turned) >= len(known) and not crowded(layout):
        return None
    number = 1 if len(ends) <= SPREAD else first + 1
    return _broken(score, [bars[end - 1] for end in ends[:-1]], number)


def _sounding(score: WrittenScore) -> list[WrittenMovement]:
    return [movement for movement in score.movements if not movement.tacet]


def _bars(score: WrittenScore, layout: PartLayout) -> list[_Bar]:
    """The bars of all movements in order, each with its share of its system."""
    found: list[_Bar] = []
    number = -1
    shown: list[_Shown] = []
    for system in layout.systems:
        if system.begin == 0:
            number += 1
            shown = list(_shown(_sounding(score)[number]))[::-1]
        inside: list[_Shown] = []
        while shown and shown[-1].onset < system.end:
            inside.append(shown.pop())
        if inside:
            found += _in_system(inside, number, system)
        elif found:
            # A bar of free time goes on over several systems.
            found[-1] = replace(found[-1], words=found[-1].words + system.words + _room(system))
    return found


def _room(system: SetSystem) -> float:
    """What a system takes on its page, with the room to the next."""
    return max(CLOSEST, system.height + PADDING)


@record
class _Shown:
    """What the page shows as one bar."""

    onset: Fraction
    last: int
    """The index of the last bar it stands for."""
    size: int
    """How much room it takes in its system, compared with others."""
    may_turn: bool


def _shown(movement: WrittenMovement) -> Iterator[_Shown]:
    now = Fraction(0)
    staves = tuple(staff for part in movement.parts for staff in part.staves)
    for place, frame in enumerate(movement.frames):
        count = staves[0].bars[place].rest_bars
        if count:
            size = max(
                sum(1 for voice in (*staff.bars[place].voices, staff.bars[place].cue) for _ in leaves(voice))
                for staff in staves
            )
            last = place + count - 1
            yield _Shown(now, last, 2 + size + 3 * (count > 1), movement.frames[last].may_turn)
        now += frame.duration


def _in_system(inside: Sequence[_Shown], movement: int, system: SetSystem) -> Iterator[_Bar]:
    total = sum(bar.size for bar in inside)
    height = _room(system)
    for bar in inside:
        yield _Bar(
            movement, bar.last, bar.size / total, height, system.words if bar is inside[0] else 0.0, bar is inside[-1],
            system.page, bar.may_turn,
        )  # fmt: skip


def _plan(bars: Sequence[_Bar], height: float, first_page: int) -> tuple[float, list[int]]:
    """The cheapest way to divide bars into pages, as its cost and the index after the last bar of each page."""
    best: dict[tuple[int, int], tuple[float, tuple[int, int] | None]] = {(0, first_page % 2): (0.0, None)}
    for start in range(len(bars)):
        for odd in (0, 1):
            known = best.get((start, odd))
            if known is None:
                continue
            for end, cost in _pages_from(bars, start, height, bool(odd)):
                state = (end, 1 - odd)
                total = known[0] + cost
                if state not in best or total < best[state][0]:
                    best[state] = total, (start, odd)
    state = min(((len(bars), odd) for odd in (0, 1) if (len(bars), odd) in best), key=lambda one: best[one][0])
    cost = best[state][0]
    ends: list[int] = []
    while (came := best[state][1]) is not None:
        ends.append(state[0])
        state = came
    return cost, ends[::-1]


def _pages_from(bars: Sequence[_Bar], start: int, height: float, odd: bool) -> list[tuple[int, float]]:
    """Every page that begins with a bar, as the index after its last bar and its cost."""
    found: list[tuple[int, float]] = []
    lines = used = words = 0.0
    for end in range(start + 1, len(bars) + 1):
        bar = bars[end - 1]
        lines, used, words = lines + bar.share, used + bar.share * bar.height, words + bar.words
        whole = ceil(lines - 0.1)
        needed = words + used * max(1.0, whole / lines)
        if needed > height and end > start + 1:
            break
        last = end == len(bars)
        cost = _PAGE
        if not last:
            full = min(1.0, (words + max(needed - words, whole * USUAL)) / height)
            cost += _RAGGED * (1 - full) ** 2 + _BROKEN_LINE * (not bar.ends_system)
            cost += _BAD_TURN * (odd and not bar.may_turn)
        elif start and whole < SPREAD:
            cost += _LONELY
        found.append((end, cost))
    return found


def _broken(score: WrittenScore, ends: Sequence[_Bar], first_page: int) -> WrittenScore:
    """The part with a page break after each of these bars."""
    places = {(bar.movement, bar.frame) for bar in ends}
    number = -1
    movements = []
    for movement in score.movements:
        number += not movement.tacet
        frames = tuple(
            replace(frame, ends_page=True) if not movement.tacet and (number, place) in places else frame
            for place, frame in enumerate(movement.frames)
        )
        movements.append(replace(movement, frames=frames))
    page = replace(score.page, filled=False)
    return replace(score, movements=tuple(movements), page=page, first_page=first_page)
