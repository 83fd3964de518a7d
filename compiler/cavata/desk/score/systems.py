"""The score system by system: where each breaks, what it looks like, and what changed in it.

In: a written copy of the piece, and how much room a system has. Out: for each copy its systems, which keep their breaks
while the bars in them change; the picture of one with the ids of its notes; the ids of what is not as it was in another
state. Holds after: a system that is the same as before has the same number, by which the page knows it.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from cavata.desk.first_system import NUMBERS, Begun
from cavata.desk.opening import Breaks
from cavata.desk.score.breaks import Moments, bar_width, broken, moments
from cavata.desk.score.engraved import Cut, cut_of
from cavata.desk.score.engraver import engraved
from cavata.draft import NotDrawn
from cavata.musicxml.ids import Identified, bar_names, bar_of, identified_part
from cavata.musicxml.staves import with_staves
from cavata.notate.paper.stretches import crossing, excerpt
from cavata.notate.written import (
    Leaf,
    Tuplet,
    WrittenBar,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    leaves,
)
from cavata.record import record, replace

ROOMS: Mapping[str, float] = {"wide": 34.0, "narrow": 17.0}
"""How wide a system is, in heights of a staff: on a desk, and on a phone."""
_HELD = 6
"""Of how many written copies the systems are held."""
_HEAD = {"wide": 4.7, "narrow": 4.2}
"""What names, clefs and signatures take of it."""
_PLACE = re.compile(r' id="p(\d+)(s\d+)b(\d+)(v\d+n\d+)(\w*)"')
_MEASURE = re.compile(r' id="p\d+b(\d+)"')
SectionBar = tuple[str, str]
"""A bar by its section and its place there, as ids have it."""


@record
class PageSystem:
    """Some frames of a movement on one line."""

    movement: int
    first: int
    end: int
    """The frame after its last."""
    number: int
    """The same as long as everything in it is."""


class PageSystems:
    """The systems of a written copy in one of ROOMS."""

    def __init__(
        self, score: WrittenScore, room: str, systems: tuple[PageSystem, ...], widths: Sequence[Sequence[float]],
        ids: _Ids
    ) -> None:
        self.score, self.room, self.systems = score, room, systems
        self._widths = widths
        """For each movement how wide its bars are, as `bar_widths` says."""
        self._ids = ids

    @cached_property
    def _under_way(self) -> tuple[tuple[int, ...], ...]:
        return tuple(map(crossing, self.score.movements))

    @cached_property
    def parts(self) -> tuple[tuple[PartLeaves, ...], ...]:
        """For each movement and each part in it its leaves with their places and ids."""
        return tuple(tuple(self._ids.of(with_staves(movement))) for movement in self.score.movements)

    @cached_property
    def ids(self) -> tuple[Mapping[str, str], ...]:
        """For each movement the ids of its leaves by their places."""
        return tuple({place: name for part in parts for place, name, _ in part.leaves} for parts in self.parts)

    def notes(self) -> Iterator[tuple[int, str, Leaf, int]]:
        """Every note and chord, part by part: the number of its movement, its id, itself and the number of its bar."""
        for number, parts in enumerate(self.parts):
            frames = self.score.movements[number].frames
            for part in parts:
                for place, name, leaf in part.leaves:
                    if leaf is not None and leaf.heads:
                        yield number, name, leaf, frames[bar_of(place) - 1].number

    @cached_property
    def names(self) -> tuple[tuple[SectionBar, ...], ...]:
        """What the bars of each movement are called."""
        return tuple(tuple(bar_names(movement.frames)) for movement in self.score.movements)

    def bars_of(self, system: PageSystem) -> tuple[str, SectionBar, SectionBar]:
        """What the movement, the first and the last bar of a system are called."""
        names = self.names[system.movement]
        return self.score.movements[system.movement].name, names[system.first], names[system.end - 1]

    def starts(self) -> dict[str, frozenset[SectionBar]]:
        """Of each movement what the bars are called with which systems begin."""
        found: dict[str, set[SectionBar]] = {movement.name: set() for movement in self.score.movements}
        for each in self.systems:
            found[self.score.movements[each.movement].name].add(self.names[each.movement][each.first])
        return {movement: frozenset(bars) for movement, bars in found.items()}

    def _reach(self, system: PageSystem) -> slice:
        """The frames of a system and those beside it that something leads in from."""
        under_way = self._under_way[system.movement]
        before = system.first > 0 and under_way[system.first] > 0
        after = system.end < len(under_way) and under_way[system.end] > 0
        return slice(system.first - before, system.end + after)

    def looks_as(self, system: PageSystem, other: PageSystems, its: PageSystem) -> bool:
        """Whether a system is the same for who sees it, ids included, as one of another layout."""
        here, there = self._reach(system), other._reach(its)
        one, two = self.score.movements[system.movement], other.score.movements[its.movement]
        if one.frames[here] != two.frames[there] or len(one.parts) != len(two.parts):
            return False
        if self.width(system) != other.width(its):
            return False
        for number, (part, before) in enumerate(zip(one.parts, two.parts, strict=True)):
            if part.part != before.part:
                return False
            if same_bars(part, before) and here == there:
                continue
            leaves, others = self.parts[system.movement][number], other.parts[its.movement][number]
            if (
                len(part.staves) != len(before.staves) or leaves.clefs[here.start] != others.clefs[there.start]
                or leaves.by_bar[system.first : system.end] != others.by_bar[its.first : its.end]
                or not all(
                    _look_alike(a.bars[here], b.bars[there])
                    for a, b in zip(part.staves, before.staves, strict=True)
                )
            ):
                return False
        return True

    def cut(self, system: PageSystem) -> tuple[Cut, tuple[int, ...]]:
        """What a system is drawn of, and the numbers of the parts that stand in it, counted from 0."""
        whole = self.score.movements[system.movement]
        shown = tuple(shown_parts(whole, system.first, system.end))
        parts = tuple(_with_short_name(whole.parts[number], self.room, len(shown)) for number in shown)
        of_these = with_staves(replace(whole, parts=parts))
        under_way = self._under_way[system.movement]
        made = excerpt(of_these, system.first, system.end, under_way)
        before = bool(system.first and under_way[system.first])
        frames = system.end - system.first
        opens = not system.first or whole.frames[system.first].shows_meter
        return cut_of(self.score, made, frames, before, opens, self.width(system)), shown

    def width(self, system: PageSystem) -> float:
        """How wide a system is drawn: as all are, but for one that would be stretched too much."""
        whole = ROOMS[self.room]
        filled = (sum(self._widths[system.movement][system.first : system.end]) + _HEAD[self.room]) / whole
        return whole if filled > 0.62 else round(whole * max(0.3, filled * 1.25), 1)

    def staves(self, system: PageSystem) -> int:
        """How many staves stand in a system."""
        movement = self.score.movements[system.movement]
        return sum(len(movement.parts[number].staves) for number in shown_parts(movement, system.first, system.end))

    def picture(self, system: PageSystem, made_of: tuple[Cut, tuple[int, ...]]) -> str:
        """A system as SVG with our ids: `data-id` at notes and rests, `data-bar` at measures. `made_of` is its cut.

        Raises NotDrawn.
        """
        return self.named(system, made_of, engraved(made_of[0]))

    def named(self, system: PageSystem, made_of: tuple[Cut, tuple[int, ...]], drawn: str) -> str:
        """A system with our ids, of what was drawn of its cut."""
        cut, shown = made_of
        away = system.first - cut.before
        ids = self.ids[system.movement]
        frames = self.score.movements[system.movement].frames

        def name(found: re.Match[str]) -> str:
            part, staff, bar, rest, more = found.groups()
            known = ids.get(f"p{shown[int(part) - 1] + 1}{staff}b{int(bar) + away}{rest}", "")
            return f' data-id="{known}"' + (f' data-more="{more}"' if more else "")

        def bar_number(found: re.Match[str]) -> str:
            place = int(found[1]) - 1 + away
            return f' data-bar="{frames[place].number}" data-frame="{place}"'

        return _MEASURE.sub(bar_number, _PLACE.sub(name, drawn))


class PartLeaves:
    """The leaves of a part in a movement, by their places and ids, and the clefs of its staves."""

    def __init__(self, part: WrittenPart, bars: tuple[SectionBar, ...], leaves: tuple[Identified, ...]) -> None:
        self.part, self.bars, self.leaves = part, bars, leaves

    def is_of(self, part: WrittenPart, bars: tuple[SectionBar, ...]) -> bool:
        """Whether they are those of this part, seen by what notation made."""
        return self.bars == bars and same_bars(self.part, part)

    @cached_property
    def by_bar(self) -> tuple[tuple[str, ...], ...]:
        """For each frame the ids of its leaves."""
        found: list[list[str]] = [[] for _ in self.bars]
        for place, name, _ in self.leaves:
            found[bar_of(place) - 1].append(name)
        return tuple(map(tuple, found))

    @cached_property
    def clefs(self) -> tuple[tuple[str, ...], ...]:
        """For each frame the clefs in force where it begins."""
        found = [tuple(staff.clef for staff in self.part.staves)]
        for place in range(len(self.bars) - 1):
            changes = (
                [leaf.clef for voice in staff.bars[place].voices for leaf in leaves(voice) if leaf.clef]
                for staff in self.part.staves
            )
            found.append(tuple(new[-1] if new else old for new, old in zip(changes, found[-1], strict=True)))
        return tuple(found)


def same_bars(one: WrittenPart, other: WrittenPart) -> bool:
    """Whether two parts have the very same written bars; what else they are told is little."""
    return len(one.staves) == len(other.staves) and one.part.name == other.part.name and all(
        a.bars is b.bars for a, b in zip(one.staves, other.staves, strict=True)
    )


class _Ids:
    """The ids of the leaves of parts, kept as long as the part is the same."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, int], PartLeaves] = {}

    def of(self, movement: WrittenMovement) -> Iterator[PartLeaves]:
        """For each part of a movement its leaves."""
        bars = tuple(bar_names(movement.frames))
        for number, part in enumerate(movement.parts, 1):
            known = self._known.get((movement.name, number))
            if known is None or not known.is_of(part, bars):
                known = PartLeaves(part, bars, tuple(identified_part(movement.name, bars, number, part)))
                self._known[movement.name, number] = known
            yield known


class _Widths:
    """How wide bars are, kept as long as what is in them takes the same room."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[list[_StaffRoom], list[float]]] = {}

    def of(self, movement: WrittenMovement) -> tuple[float, ...]:
        """Of every frame of a movement, in heights of a staff."""
        staves = [staff.bars for part in movement.printed for staff in part.staves]
        before, widths = self._known.get(movement.name, ([], []))
        if len(before) != len(staves) or len(widths) != len(movement.frames):
            before, widths = [((), ())] * len(staves), [0.0] * len(movement.frames)
        now = [
            old if old[0] is bars else (bars, tuple(map(moments, bars)))
            for old, bars in zip(before, staves, strict=True)
        ]
        moved = [(new, old) for new, old in zip(now, before, strict=True) if new is not old]
        found = [
            bar_width([room[place] for _, room in now])
            if any(not old[1] or new[1][place] != old[1][place] for new, old in moved) else widths[place]
            for place in range(len(movement.frames))
        ]
        self._known[movement.name] = now, found
        return tuple(found)


_StaffRoom = tuple[tuple[WrittenBar, ...], tuple[Moments, ...]]
"""The bars of a staff, and what is in each, as `breaks` measures it."""


class Systems:
    """The systems of one copy in one room, state after state."""

    def __init__(self, room: str, before: Breaks | None = None, begun: Begun | None = None) -> None:
        """`before` says how the first state was laid out when the desk was opened the last time; `begun` is the first
        system that is shown of it already."""
        self.room = room
        self.starts: Mapping[str, frozenset[tuple[str, ...]]] = before.starts if before is not None else {}
        """Of each movement the bars with which systems begin."""
        self._numbers_before = before.numbers if before is not None else ()
        self._layouts: OrderedDict[int, PageSystems] = OrderedDict()
        self._begun = begun
        self._last: PageSystems | None = None
        self._ids, self._widths = _Ids(), _Widths()

    def of(self, state: int, score: WrittenScore) -> PageSystems:
        """The systems of a state."""
        known = self._layouts.get(state)
        if known is None or known.score is not score:
            widths = [self._widths.of(movement) for movement in score.movements]
            systems = tuple(each for number, bars in enumerate(widths) for each in self._movement(score, number, bars))
            if state != 1:
                self._numbers_before = ()
            known = self._layouts[state] = self._numbered(PageSystems(score, self.room, systems, widths, self._ids))
            if state > 0:  # what is only tried breaks as the piece does, and leaves nothing behind
                self._last = known
                self.starts = known.starts()
            while len(self._layouts) > _HELD:
                self._layouts.popitem(last=False)
        self._layouts.move_to_end(state)
        return known

    def _movement(self, score: WrittenScore, number: int, widths: Sequence[float]) -> Iterator[PageSystem]:
        movement = score.movements[number]
        names = tuple(bar_names(movement.frames))
        kept = self.starts.get(movement.name)
        may_begin = [_may_begin(movement, place) for place in range(len(names))]
        room = ROOMS[self.room] - _HEAD[self.room]
        starts = broken(widths, may_begin, None if kept is None else [name in kept for name in names], room)
        for first, end in zip(starts, (*starts[1:], len(names)), strict=True):
            yield PageSystem(number, first, end, 0)

    def _numbered(self, now: PageSystems) -> PageSystems:
        """The same, each system with the number that it had, or with a new one where it is not the same."""
        last = self._last
        if last is None and len(self._numbers_before) == len(now.systems):
            numbers = zip(now.systems, self._numbers_before, strict=True)
            now.systems = tuple(replace(each, number=number) for each, number in numbers)
            return now
        before = {} if last is None else {last.bars_of(each): each for each in last.systems}
        numbered = []
        for each in now.systems:
            known = before.get(now.bars_of(each))
            same = last is not None and known is not None and now.looks_as(each, last, known)
            numbered.append(replace(each, number=known.number if same and known else next(NUMBERS)))
        if last is None and self._begun is not None and _is_drawn(now, self._begun.picture):
            numbered[0] = replace(numbered[0], number=self._begun.number)
        now.systems = tuple(numbered)
        return now


def _is_drawn(now: PageSystems, picture: str) -> bool:
    """Whether the first system looks as in a picture."""
    first = now.systems[0]
    try:
        return now.picture(first, now.cut(first)) == picture
    except NotDrawn:
        return False


def _may_begin(movement: WrittenMovement, place: int) -> bool:
    """Whether a system may begin with a frame: not within a rest of several bars."""
    return all(staff.bars[place].rest_bars for part in movement.parts for staff in part.staves)


def shown_parts(movement: WrittenMovement, first: int, end: int) -> Iterator[int]:
    """The parts that stand in a system, as on the page: some leave out who is silent there."""
    printed = [number for number, part in enumerate(movement.parts) if part.printed]
    plays = {
        number for number in printed if any(
            leaf.heads for staff in movement.parts[number].staves for bar in staff.bars[first:end]
            for voice in (*bar.voices, bar.cue) for leaf in leaves(voice)
        )
    }  # fmt: skip
    strings = any(staff.together for number in plays for staff in movement.parts[number].staves)
    shown = [
        number for number in printed
        if number in plays or not all(staff.hides for staff in movement.parts[number].staves)
        or (strings and any(staff.together for staff in movement.parts[number].staves))
    ]  # fmt: skip
    return iter(shown or printed)


def _with_short_name(part: WrittenPart, room: str, shown: int) -> WrittenPart:
    """The part as it is called before a system of the page: in short, and not at all where it stands alone."""
    label = "" if shown == 1 and room == "narrow" else part.part.abbreviation or part.part.label
    return replace(part, part=replace(part.part, label=label, abbreviation=label))


# ---------------------------------------------------------------- what changed


def changed_ids(before: PageSystems, now: PageSystems) -> tuple[str, ...]:
    """The ids of notes, chords and rests that are new or other than they were."""
    were = {movement.name: number for number, movement in enumerate(before.score.movements)}
    found: list[str] = []
    for movement, parts in zip(now.score.movements, now.parts, strict=True):
        place = were.get(movement.name)
        known = {} if place is None else {each.part.part.name: each for each in before.parts[place]}
        for part in parts:
            old = known.get(part.part.part.name)
            if old is not None and same_bars(old.part, part.part):
                continue
            leaves_before = {} if old is None else {name: leaf for _, name, leaf in old.leaves}
            found += (
                name for _, name, leaf in part.leaves
                if name not in leaves_before or not _means(leaf, leaves_before[name])
            )
    return tuple(found)


def _means(leaf: Leaf | None, other: Leaf | None) -> bool:
    """Whether a reader would miss nothing of a leaf in another; how beams and clefs follow from others is not asked."""
    if leaf is other or leaf is None or other is None:
        return leaf is other
    return (
        leaf.base == other.base and leaf.dots == other.dots and leaf.marks == other.marks and leaf.sung == other.sung
        and [head.pitch for head in leaf.heads] == [head.pitch for head in other.heads]
        and len(leaf.graces) == len(other.graces)
    )


def _look_alike(bars: Sequence[WrittenBar], others: Sequence[WrittenBar]) -> bool:
    """Whether some bars look like others; where they came from is not asked."""
    return len(bars) == len(others) and all(
        bar is other or bar == other or _bare(bar) == _bare(other) for bar, other in zip(bars, others, strict=True)
    )


def _bare(bar: WrittenBar) -> WrittenBar:
    """A bar without what its notes remember."""
    return replace(
        bar, voices=tuple(map(_bare_items, bar.voices)), cue=_bare_items(bar.cue),
        ossia=tuple(map(_bare_items, bar.ossia)),
    )  # fmt: skip


def _bare_items(items: Sequence[WrittenItem]) -> tuple[WrittenItem, ...]:
    return tuple(
        replace(item, items=_bare_items(item.items)) if isinstance(item, Tuplet) else
        replace(item, event=None, heads=tuple(replace(head, origins=()) for head in item.heads))
        for item in items
    )  # fmt: skip
