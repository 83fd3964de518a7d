"""The bars between `|` in `notes` and `chords`: equally long, but for an upbeat and the last bar that it completes.

In: the bars as written. Out: the length of the upbeat and of the bars after it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.evaluate.combining import Misplaced
from cavata.music.event import total
from cavata.syntax import tree as t


def odd_bar(lengths: Sequence[Fraction]) -> int | None:
    """Which of the bars between `|` is none; the first may be an upbeat, and the last lack as much."""
    if len(lengths) < 2:
        return None
    whole = lengths[1]
    if lengths[0] > whole:
        return 1
    for place, length in enumerate(lengths[2:], start=2):
        is_last = place == len(lengths) - 1
        if length != whole and not (is_last and length + lengths[0] == whole):
            return place
    return None


def upbeat_of(bars: tuple[tuple[t.Sound | t.SymbolBeat, ...], ...]) -> tuple[Fraction, Fraction]:
    """How long the upbeat of `notes` or `chords` is, and how long the bars after it; nothing where there is none.

    Of an upbeat and one bar nobody knows whether that bar is whole or lacks the upbeat. Raises Misplaced at a bar that
    is not as long as the others.
    """
    lengths = tuple(total(sound.duration for sound in bar) for bar in bars)
    wrong = odd_bar(lengths)
    if wrong is not None:
        bar = bars[wrong]
        raise Misplaced("V217", bar[0].span.to(bar[-1].span), *_odd_bar_in_words(lengths, wrong))
    if len(lengths) < 2 or lengths[0] >= lengths[1]:
        return Fraction(0), Fraction(0)
    return lengths[0], lengths[1] if len(lengths) > 2 else Fraction(0)


def _odd_bar_in_words(lengths: Sequence[Fraction], wrong: int) -> tuple[str, str, str]:
    """What a message says of a bar that differs: itself, its label, its cure."""
    upbeat, whole = lengths[0], lengths[1]
    if wrong == 1 or upbeat == whole:
        return (
            f"this bar lasts {lengths[wrong]}, the first one {upbeat}", "",
            "bars between `|` are equally long; without `|` nothing is counted",
        )  # fmt: skip
    completes = f", or {whole - upbeat} if it completes the upbeat" if wrong == len(lengths) - 1 else ""
    return (
        f"this bar lasts {lengths[wrong]}, the one after the upbeat {whole}", "",
        f"bars after an upbeat last {whole}{completes}; without `|` nothing is counted",
    )  # fmt: skip
