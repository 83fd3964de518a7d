"""Where in a movement a note stands, in words a reader of the page and of the script can follow.

In: the bars and sections of a movement. Out: the printed numbers of bars, and for a note whose item stands elsewhere in
the script - in a section that returns, or in a passage - the section in which it sounds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from cavata.score.score import ScoreBar, ScoreEvent, bar_at
from cavata.source import Span

MOST_TOLD = 5
"""Bars, or runs of bars, that one message lists."""


class Whereabouts:
    """Finds bars and sections of one movement."""

    def __init__(self, bars: Sequence[ScoreBar], sections: Sequence[tuple[str, Span]]) -> None:
        self.bars = bars
        self.sections = sections
        """For each section of the bars its name and its place in the script."""

    def bar(self, event: ScoreEvent) -> ScoreBar:
        """The bar in which an event begins."""
        return bar_at(self.bars, event.onset)

    def bar_length(self, onset: Fraction) -> Fraction:
        """The length of the bar in which a place lies; the last bar's beyond the end."""
        return bar_at(self.bars, onset).duration

    def bars_of(self, events: Iterable[ScoreEvent]) -> str:
        """` in bar 3`, ` in bars 3 to 5, 9 and 12`; nothing in free time, which has no bars that anyone counts."""
        found = (self.bar(event) for event in events)
        return in_bars(sorted({bar.number for bar in found if bar.meter is not None}))

    def also_in(self, first: ScoreEvent, others: Iterable[ScoreEvent]) -> str:
        """`; also in bars 9 and 12` for those of the others that lie in other bars; nothing if none does."""
        again = self.bars_of(other for other in others if self.bar(other) is not self.bar(first))
        return f"; also{again}" if again else ""

    def sounds_in(self, event: ScoreEvent) -> tuple[tuple[Span, str], ...]:
        """The row of the section in which an event sounds, if its own item stands outside that section's block."""
        number = self.bar(event).section
        name, span = self.sections[number]
        following = self.sections[number + 1][1].start if number + 1 < len(self.sections) else len(span.source.text)
        if event.line.source.name == span.source.name and span.start <= event.line.start < following:
            return ()
        return ((span, f"it sounds here{self.bars_of((event,))}"),) if name else ()


def beat_text(inside: Fraction, unit: int) -> str:
    """The beat so far into a bar, in whole notes: `3`, or `3 + 1/16` behind it; `unit` is the meter's lower number."""
    beat, rest = divmod(inside * unit, 1)
    return f"{beat + 1} + {rest / unit}" if rest else str(beat + 1)


def in_bars(numbers: Sequence[int]) -> str:
    """` in bar 3`, ` in bars 3 to 5, 9 and 12`, ` in bars 1, 3, 5, 7, 9 and 14 more`; numbers in order, each once."""
    if not numbers:
        return ""
    found = [part for run in runs(numbers) for part in _told_apart(*run)]
    told = [f"{first} to {last}" if last > first else f"{first}" for first, last in found[:MOST_TOLD]]
    rest = sum(last - first + 1 for first, last in found[MOST_TOLD:])
    told += [f"{rest} more"] if rest else []
    return f" in {'bar' if len(numbers) == 1 else 'bars'} {listed(told)}"


def listed(words: Sequence[str], joint: str = "and") -> str:
    """`a, b and c`; nothing for none."""
    return f"{', '.join(words[:-1])} {joint} {words[-1]}" if len(words) > 1 else "".join(words)


def runs(numbers: Sequence[int]) -> list[tuple[int, int]]:
    """Neighboring numbers as their first and last."""
    found: list[tuple[int, int]] = []
    for number in numbers:
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return found


def _told_apart(first: int, last: int) -> tuple[tuple[int, int], ...]:
    """A run; two neighbors alone are told one by one."""
    return ((first, first), (last, last)) if last == first + 1 else ((first, last),)
