"""The bars between `|` in `notes` and `chords`: equally long, but for an upbeat and the last bar that it completes.

In: the bars as written. Out: the length of the upbeat and of the bars after it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.evaluate.combining import Misplaced
from cavata.evaluate.plan import Music
from cavata.music.event import Motif, Texture
from cavata.music.lengths import total
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import fraction_text


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


def report_uneven_join(
    before: Motif, after: Motif, span: Span, bag: Diagnostics, also: Iterable[tuple[Span, str]]
) -> None:
    """Warn where a line follows whose upbeat does not complete the last bar of the one before."""
    if not after.upbeat or not after.bar:
        return
    excess = (before.duration - before.upbeat + after.upbeat) % after.bar
    if excess:
        bag.warning(
            "V831", span, f"this upbeat of {fraction_text(after.upbeat)} does not complete a bar",
            label=f"its first bar line comes {fraction_text(excess)} after one",
            cure=f"let the line before it end with a bar of {fraction_text(after.bar - after.upbeat)}, "
            "or write the notes that join here without `|`",
            also=tuple(also),
        )  # fmt: skip


def report_uneven_turns(
    once: Music, whole: Music, span: Span, bag: Diagnostics, also: Iterable[tuple[Span, str]]
) -> None:
    """Warn where a line comes again whose last bar its upbeat does not complete."""
    line = once.lines[0] if isinstance(once, Texture) else once
    if not isinstance(line, Motif) or not line.bar or whole.duration <= once.duration:
        return
    excess = once.duration % line.bar
    if excess:
        bag.warning(
            "V832", span, f"the upbeat of {fraction_text(line.upbeat)} does not complete the last bar where it "
            "comes again", label=f"its first bar line comes {fraction_text(excess)} after one",
            cure=f"let the last bar have {fraction_text(line.bar - line.upbeat)}, or write the notes without `|`",
            also=tuple(also),
        )  # fmt: skip
