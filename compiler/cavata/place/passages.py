"""Lines laid along their sections; those of passages, whose bars count from where the passage is placed.

In: the bars of a section, and the rows that place lines and passages in it. Out: lines with their onsets from the
section's beginning; the bars of the innermost passage. Each bar is as long as the meter at the place where it begins; a
passage without a place counts as the section does.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import PlannedLine
from cavata.music.mode import Mode
from cavata.place.bars import Ruler
from cavata.place.lines import LaidLine, Stuck, held_against_itself, lay, onset_of
from cavata.place.upbeats import report_misfit
from cavata.record import replace
from cavata.score.score import Meter
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import fraction_text


class PassageRuler(Ruler):
    """Bars counted from a place inside another ruler; bar 1 begins there."""

    def __init__(self, outer: Ruler, begin: Fraction) -> None:
        super().__init__(outer.meters, outer.keys, Fraction(0))
        self.outer = outer
        self.begin = begin

    @property
    def is_free(self) -> bool:
        """Whether the section is in free time."""
        return self.outer.is_free

    def meter(self, bar: int) -> Meter | None:
        """The meter where a bar begins."""
        return self.outer.meter(self._outer_bar(bar))

    def key(self, bar: int) -> Mode | None:
        """The key where a bar begins."""
        return self.outer.key(self._outer_bar(bar))

    def _outer_bar(self, bar: int) -> int:
        return max(1, self.outer.bar_at(self.begin + self.onset(bar)))


def inside(ruler: Ruler, within: tuple[t.Within, ...]) -> tuple[Ruler, Fraction]:
    """The ruler of the innermost passage, and where it begins in the section; Stuck if a place is not there."""
    offset = Fraction(0)
    for passage in within:
        if passage.place is None:
            continue
        try:
            begin = onset_of(passage.place, ruler)
        except Refusal as refusal:
            raise Stuck(refusal, passage.place.span) from None
        ruler = PassageRuler(ruler, begin)
        offset += begin
    return ruler, offset


def moved(line: LaidLine, offset: Fraction) -> LaidLine:
    """The line, its onsets from the section's beginning."""
    if not offset:
        return line
    items = tuple(replace(item, onset=item.onset + offset) for item in line.items)
    return LaidLine(line.line, items, line.begin + offset, line.end + offset, line.over, line.misfits)


def laid_along(line: PlannedLine, ruler: Ruler, end: Fraction | None, bag: Diagnostics) -> LaidLine | None:
    """A line laid along its section, up to an end where it goes there; None when it was reported."""
    try:
        inner, offset = inside(ruler, line.within)
        laid = moved(lay(line, inner, None if end is None else end - offset), offset)
    except Stuck as stuck:
        stuck.report(bag, placed_by(line.within))
        return None
    for wrong in laid.misfits:
        report_misfit(wrong, bag)
    for item in laid.items:
        said = held_against_itself(item.item)
        if said and item.value.duration > item.item.value.duration:
            bag.warning(
                "P141", item.item.span, f"a `{said}` note is held here for {fraction_text(item.value.duration)}",
                label=f"it lasts {fraction_text(item.item.value.duration)} itself",
                cure="`for` and `x` strike it again and again",
            )  # fmt: skip
    return laid


def bars_within(ruler: Ruler, length: Fraction) -> int:
    """How many bars of a ruler lie wholly within a length."""
    bars = ruler.whole_bars(length)
    return bars - 1 if ruler.onset(bars + 1) > length else bars


def placed_by(within: tuple[t.Within, ...]) -> tuple[tuple[Span, str], ...]:
    """The row that placed a passage, for a message about one of its lines."""
    return ((within[-1].span, "placed here"),) if within else ()
