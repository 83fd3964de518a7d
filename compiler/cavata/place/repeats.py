"""Repeats of a section and its endings: which bars are played at which time through.

In: the rows `repeated` and `ending` of a section with its bars. Out: a `Repeat`. Holds after: the endings follow one
another up to the section's end, and every time through has exactly one of them.
"""

from __future__ import annotations

from cavata.diagnostics.record import Diagnostics
from cavata.place.ruler import COUNTING, bars_in_words
from cavata.record import dataclass
from cavata.syntax import tree as t


@dataclass(frozen=True, slots=True)
class Repeat:
    """How often a section is played, and the bars of its endings."""

    times: int
    endings: tuple[t.Ending, ...] = ()

    def ending_at(self, bar: int) -> tuple[int, ...]:
        """The times through at which a bar of the section is played; empty if at all of them."""
        return next((e.passes for e in self.endings if e.first <= bar <= e.last), ())

    def goes_back_after(self, bar: int, bars: int) -> bool:
        """Whether a repeat sign stands at the end of a bar of a section of so many bars."""
        if not self.endings:
            return bar == bars
        return any(ending.last == bar and ending.passes[0] < self.times for ending in self.endings)


def repeat_of(
    rows: tuple[t.Repeated | t.Ending, ...], bars: int, bag: Diagnostics
) -> Repeat | None:
    """The repeat of a section; None if there is none, or if it was reported. Free time has no bars."""
    if not rows:
        return None
    if not bars:
        bag.error(
            "P301", rows[0].span, "free time cannot be repeated", "it has no bar lines for the signs",
            "write its lines with `x 2`, or make a second section from it: `section again = first_one`",
        )
        return None
    counts = [row for row in rows if isinstance(row, t.Repeated)]
    for extra in counts[1:]:
        first = ((counts[0].span, "first here"),)
        bag.error("P302", extra.span, "the repeat is set twice", "again here", "keep one of them", first)
    endings = tuple(row for row in rows if isinstance(row, t.Ending))
    if not endings:
        return Repeat(counts[0].times)
    times = counts[0].times if counts else max(number for ending in endings for number in ending.passes)
    if not (_in_order(endings, bars, bag) and _each_once(endings, times, bag)):
        return None
    return Repeat(times, endings)


def _in_order(endings: tuple[t.Ending, ...], bars: int, bag: Diagnostics) -> bool:
    """Whether the endings follow one another from a bar after the first up to the last."""
    due: int | None = None
    for ending in endings:
        label = ""
        if not 1 <= ending.first <= ending.last <= bars:
            label = f"the section has {bars_in_words(bars)}"
        elif due is None and ending.first == 1:
            label = "nothing would be repeated before it"
        elif due is not None and ending.first != due:
            label = f"the one before it ends with bar {due - 1}"
        if label:
            bag.error(
                "P303", ending.span, "this ending does not stand where an ending can", label,
                f"endings follow one another up to the section's last bar; {COUNTING}",
            )
            return False
        due = ending.last + 1
    if due != bars + 1:
        bag.error(
            "P303", endings[-1].span, "the last ending stops before the section does",
            f"the section has {bars_in_words(bars)}",
            f"let it end with bar {bars}, or begin a new section after it",
        )
        return False
    return True


def _each_once(endings: tuple[t.Ending, ...], times: int, bag: Diagnostics) -> bool:
    """Whether every time through has one ending, in order."""
    numbers = [number for ending in endings for number in ending.passes]
    if numbers == list(range(1, times + 1)) and len(endings) > 1:
        return True
    wanted = "two endings at least" if times < 2 or len(endings) == 1 else f"1 to {times}"
    bag.error(
        "P304", endings[-1].span, "the endings do not say what is played at each time through",
        f"they count {', '.join(map(str, numbers))}",
        f"number them in order, {wanted}; one may serve several: `ending 1, 2 bars 7 to 8`",
    )
    return False
