"""Long movements cut into stretches, each of which is engraved by itself.

What an engraver needs grows with the music that it has in mind at once, in the end faster than the music. In: a
movement as it is written. Out: the bars with which a new stretch, and a new page, begins; and a stretch as a movement
of its own. So that ties, slurs, hairpins, held syllables and brackets over a cut look as at any end of a page,
a stretch has more bars than its own: it begins as far back, and goes on as far, as something is under way there. What
stands on the pages of those bars is thrown away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from cavata.notate.written import (
    Frame,
    Leaf,
    Tuplet,
    WrittenBar,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenStaff,
    leaves,
)
from cavata.record import replace

MOST_LEAVES = 16_000
"""So many notes and rests are engraved at once at most. An orchestra's take some 700 MB (measured on LilyPond 2.24)."""
MOST_BARS = 400
"""And so many bars at most: with few staves the time that the search for page breaks takes grows with their square."""
_AWAY = Fraction(1, 8)
"""A cut lies at most this part of a stretch away from where it would divide the movement evenly."""
_LONGEST_OVERLAP = 8
"""Of what is under way for longer than so many bars the rest is taken away."""
_AS_A_SECTION = 2
"""So much under way is a fair price for a cut where a section begins."""


def cuts(movement: WrittenMovement) -> tuple[int, ...]:
    """The frames with which a stretch begins, the first left out; none in a movement that is engraved whole."""
    weights = [_weight(bars) for bars in _bars(movement)]
    total = sum(weights, Fraction(0))
    count = -(-total // 1)
    if count < 2:
        return ()
    under_way = crossing(movement)
    found: list[int] = []
    for number in range(1, count):
        near = list(_near(weights, total * number / count, total / count * _AWAY))
        found.append(min(near, key=lambda place: _cost(movement, under_way, place[0], place[1]))[0])
    return tuple(sorted(set(found)))


def _bars(movement: WrittenMovement) -> Iterator[tuple[WrittenBar, ...]]:
    """The bars that stand above one another, frame by frame."""
    staves = [staff for part in movement.printed for staff in part.staves]
    for place in range(len(movement.frames)):
        yield tuple(staff.bars[place] for staff in staves)


def _weight(bars: Sequence[WrittenBar]) -> Fraction:
    """How much of what can be engraved at once some bars that stand above one another take."""
    count = sum(1 for bar in bars for voice in bar.voices for _ in leaves(voice))
    return max(Fraction(count, MOST_LEAVES), Fraction(1, MOST_BARS))


def _near(weights: Sequence[Fraction], wanted: Fraction, away: Fraction) -> Iterator[tuple[int, Fraction]]:
    """The frames that begin about there, each with how far off it is, the nearest included in any case."""
    begins = [Fraction(0)]
    for weight in weights:
        begins.append(begins[-1] + weight)
    inner = range(1, len(weights))
    nearest = min(inner, key=lambda place: abs(begins[place] - wanted))
    for place in inner:
        if place == nearest or abs(begins[place] - wanted) <= away:
            yield place, abs(begins[place] - wanted)


def _cost(movement: WrittenMovement, under_way: Sequence[int], place: int, off: Fraction) -> tuple[int, Fraction]:
    frame = movement.frames[place]
    begins = bool(frame.rehearsal or frame.section)
    return under_way[place] + (0 if begins else _AS_A_SECTION), off


# ---------------------------------------------------------------- what leads over a bar line


def crossing(movement: WrittenMovement) -> tuple[int, ...]:
    """For each frame how many ties, slurs, hairpins, pedals, octave lines, held syllables, brackets of endings and
    dashed lines after words of a tempo lead into it.
    """
    total = [0] * len(movement.frames)
    for part in movement.printed:
        for staff in part.staves:
            for voice in range(max((len(bar.voices) for bar in staff.bars), default=0)):
                for place, count in enumerate(_leading_in(staff, voice)):
                    total[place] += count
    dashed = False
    for place, frame in enumerate(movement.frames):
        total[place] += frame.in_ending and not frame.ending
        total[place] += dashed and (Fraction(0), False) not in frame.dashes
        dashed = frame.dashes[-1][1] if frame.dashes else dashed
    return tuple(total)


def _leading_in(staff: WrittenStaff, voice: int) -> Iterator[int]:
    """For each bar how much of one voice leads into it."""
    under_way = _UnderWay()
    for bar in staff.bars:
        items = bar.voices[voice] if voice < len(bar.voices) else ()
        found = list(leaves(items))
        yield under_way.count(found[0] if found else None) + (0 if bar.rest_bars else 1)
        for leaf in found:
            under_way.passes(leaf)


class _UnderWay:
    """What has begun in a voice and not ended."""

    def __init__(self) -> None:
        self.slur = self.dashed = self.pedal = False
        self.hairpin = ""
        self.octave = 0
        self.string = False
        self.last: Leaf | None = None

    def passes(self, leaf: Leaf) -> None:
        """Go past a leaf."""
        marks = leaf.marks
        self.slur = marks.slur_begins or (self.slur and not marks.slur_ends)
        self.dashed = marks.slur_dashed if marks.slur_begins else self.dashed
        self.hairpin = marks.hairpin or ("" if marks.hairpin_ends else self.hairpin)
        self.pedal = marks.pedal_begins or (self.pedal and not marks.pedal_ends)
        if leaf.ottava is not None:
            self.octave = leaf.ottava
        self.string = leaf.string is not None and bool(leaf.string.label) and not leaf.string.ends
        self.last = leaf

    def opens(self, leaf: Leaf) -> Leaf:
        """The first leaf of a stretch with the beginning of everything that is under way there and does not end."""
        marks = leaf.marks
        begun = replace(
            marks, slur_begins=marks.slur_begins or (self.slur and not marks.slur_ends),
            slur_dashed=marks.slur_dashed if marks.slur_begins else self.slur and self.dashed,
            hairpin=marks.hairpin or ("" if marks.hairpin_ends else self.hairpin),
            pedal_begins=marks.pedal_begins or (self.pedal and not marks.pedal_ends),
        )  # fmt: skip
        if leaf.string is not None and self.string:
            leaf = replace(leaf, string=replace(leaf.string, begins=True))
        return replace(leaf, marks=begun, ottava=leaf.ottava if leaf.ottava is not None else self.octave or None)

    def closes(self, leaf: Leaf) -> Leaf:
        """The last leaf of a stretch with the end of everything that is still under way after it."""
        marks = leaf.marks
        ended = replace(
            marks, slur_ends=marks.slur_ends or (self.slur and not marks.slur_begins),
            slur_begins=marks.slur_begins and not self.slur,
            hairpin_ends=marks.hairpin_ends or (bool(self.hairpin) and not marks.hairpin),
            hairpin="" if self.hairpin else marks.hairpin, pedal_ends=marks.pedal_ends or self.pedal, glides=False,
        )  # fmt: skip
        if leaf.string is not None:
            leaf = replace(leaf, string=replace(leaf.string, ends=True))
        return replace(leaf, marks=ended, heads=tuple(replace(head, tie_begins=False) for head in leaf.heads))

    def count(self, coming: Leaf | None) -> int:
        """How much leads from the last leaf to the one that comes."""
        octave = self.octave != 0 and (coming is None or coming.ottava is None)
        here = self.slur + (self.hairpin != "") + self.pedal + octave + self.string
        if self.last is not None:
            here += any(head.tie_begins for head in self.last.heads) + self.last.marks.glides
        if coming is not None:
            here += any(text.comes_on or not text.text for text in coming.sung)
        return here


# ---------------------------------------------------------------- one stretch


def movement_stretch(movement: WrittenMovement, first: int, end: int, under_way: Sequence[int]) -> WrittenMovement:
    """The frames from `first` up to `end` as a movement of its own, with the bars around them that it needs.

    `under_way` is what `crossing` says of the movement.
    """
    return _cut(movement, first, end, _overlap(under_way, first, -1), _overlap(under_way, end, 1))


def excerpt(movement: WrittenMovement, first: int, end: int, under_way: Sequence[int]) -> WrittenMovement:
    """The frames from `first` up to `end` as a movement of its own, with one bar before and one after them if something
    leads over the edge there. In these two stands only what does.

    So an excerpt changes only with its own bars and with what reaches into them.
    """
    before = int(first > 0 and under_way[first] > 0)
    after = int(end < len(movement.frames) and under_way[end] > 0)
    made = _cut(movement, first, end, before, after)
    frames = list(made.frames)
    if before:
        opening = next((f.ending for f in reversed(movement.frames[:first]) if f.ending), ())
        dashed = next((f.dashes[-1][1] for f in reversed(movement.frames[:first]) if f.dashes), False)
        frames[0] = _around(
            frames[0], ending=opening if frames[1].in_ending and not frames[1].ending else (),
            dashes=((Fraction(0), True),) if dashed else (),
        )
    elif first:
        frames[0] = replace(frames[0], shows_meter=movement.frames[first].shows_meter)
    if after:
        goes_on = frames[-1].in_ending and not frames[-1].ending
        ending = next((f.ending for f in reversed(movement.frames[:end]) if f.ending), ()) if goes_on else ()
        dashed = next((f.dashes[-1][1] for f in reversed(movement.frames[:end]) if f.dashes), False)
        frames[-1] = _around(
            frames[-1], ending_stops=ending, dashes=((Fraction(0), False),) if dashed else (),
            shows_meter=frames[-1].shows_meter,
        )
    parts = (
        replace(
            part, staves=tuple(
                _with_edges(staff, whole, first, before, after)
                for staff, whole in zip(part.staves, uncut.staves, strict=True)
            ),
        )
        for part, uncut in zip(made.parts, movement.parts, strict=True)
    )  # fmt: skip
    return replace(made, frames=tuple(frames), parts=tuple(parts))


def _around(frame: Frame, **said: Any) -> Frame:
    """A frame at the edge of an excerpt, with nothing but what leads over it."""
    bare = replace(
        frame, tempi=(), section="", rehearsal="", ending=(), ending_stops=(), opens=(), closes=(), dashes=(), paces=(),
        times="", repeat_begins=False, repeat_ends=0, barline="single",
    )  # fmt: skip
    return replace(bare, **said)


def _with_edges(staff: WrittenStaff, whole: WrittenStaff, first: int, before: int, after: int) -> WrittenStaff:
    """A staff of an excerpt whose first and last bar have only the voices that lead over the edge."""
    bars, clef = list(staff.bars), staff.clef
    voices = max(len(bar.voices) for bar in bars)
    leading = [list(_leading_in(staff, voice)) for voice in range(voices)]
    for place, edge in ((0, 1),) * before + ((len(bars) - 1, len(bars) - 1),) * after:
        bar = bars[place]
        kept = tuple(
            items if leading[voice][edge] else () for voice, items in enumerate(bar.voices)
        )
        if not any(kept):
            kept = ((),)
            clef = whole.clef_before(first) if place == 0 else clef
        bars[place] = WrittenBar(kept, bar.key, rest_bars=1, instrument=bar.instrument)
    return replace(staff, clef=clef, bars=tuple(bars))


def _cut(movement: WrittenMovement, first: int, end: int, before: int, after: int) -> WrittenMovement:
    """Some frames with so many before and after them, what is under way opened and closed at the ends."""
    begin, stop = first - before, end + after
    frames = list(movement.frames[begin:stop])
    if begin:
        frames[0] = replace(frames[0], shows_meter=frames[0].meter is not None)
    for place in (before - 1, len(frames) - after - 1):
        if 0 <= place < len(frames) - 1:
            frames[place] = replace(frames[place], ends_page=True)
    breaks = list(movement.line_breaks[begin:stop])
    breaks[:before] = [()] * before
    breaks[len(breaks) - after :] = [()] * after
    return replace(
        movement, frames=tuple(frames), parts=tuple(_part(part, begin, stop) for part in movement.parts),
        title="" if begin else movement.title, attacca=movement.attacca and stop == len(movement.frames),
        begins_page=movement.begins_page and not begin, short=False, line_breaks=tuple(breaks), cuts=(),
        overlap=(before, after),
    )  # fmt: skip


def _overlap(under_way: Sequence[int], place: int, way: int) -> int:
    """How many bars before or after a cut are needed until nothing is under way; none at the movement's ends."""
    if place in (0, len(under_way)):
        return 0
    edges = [
        (under_way[edge] if edge < len(under_way) else 0, count)
        for count in range(1, _LONGEST_OVERLAP + 1) if 0 <= (edge := place + way * count) <= len(under_way)
    ]  # fmt: skip
    return min(edges)[1]


def _part(part: WrittenPart, begin: int, end: int) -> WrittenPart:
    return replace(part, staves=tuple(_staff(staff, begin, end) for staff in part.staves))


def _staff(staff: WrittenStaff, begin: int, end: int) -> WrittenStaff:
    """Some bars of a staff, with the clef, the signature and what is under way at their beginning."""
    bars = list(staff.bars[begin:end])
    if bars[0].key is None:
        keys = (bar.key for bar in reversed(staff.bars[:begin]) if bar.key is not None)
        bars[0] = replace(bars[0], key=next(keys, None))
    for voice in range(max(len(bar.voices) for bar in bars)):
        under_way = _UnderWay()
        _passed(under_way, staff.bars[:begin], voice)
        _change_leaf(bars, voice, 0, under_way.opens)
        _passed(under_way, bars, voice)
        if end < len(staff.bars):
            _change_leaf(bars, voice, -1, under_way.closes)
    return replace(staff, clef=staff.clef_before(begin), bars=tuple(bars))


def _passed(under_way: _UnderWay, bars: Sequence[WrittenBar], voice: int) -> None:
    for bar in bars:
        if voice < len(bar.voices):
            for leaf in leaves(bar.voices[voice]):
                under_way.passes(leaf)


def _change_leaf(bars: list[WrittenBar], voice: int, which: int, change: Callable[[Leaf], Leaf]) -> None:
    """Change the first or the last note of a voice."""
    for place in range(len(bars))[:: 1 if which == 0 else -1]:
        voices = bars[place].voices
        if voice < len(voices) and any(leaf.heads for leaf in leaves(voices[voice])):
            changed = _with_note(voices[voice], which, change)
            bars[place] = replace(bars[place], voices=(*voices[:voice], changed, *voices[voice + 1 :]))
            return


def _with_note(items: tuple[WrittenItem, ...], which: int, change: Callable[[Leaf], Leaf]) -> tuple[WrittenItem, ...]:
    """The items with their first or last note changed, also inside a tuplet."""
    sounding = [place for place, item in enumerate(items) if any(leaf.heads for leaf in leaves((item,)))]
    place = sounding[which]
    item = items[place]
    if isinstance(item, Tuplet):
        made: WrittenItem = replace(item, items=_with_note(item.items, which, change))
    else:
        made = change(item)
    return (*items[:place], made, *items[place + 1 :])
