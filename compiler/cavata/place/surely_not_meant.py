"""What a script can say and surely does not mean: bars in which nobody plays and no rest was written, a signature that
the notes contradict throughout, a dynamic that another one replaces wherever it stands.

In: the bars and events of a movement as placed. Out: warnings; nothing changes.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain, groupby

from cavata.diagnostics import Diagnostics
from cavata.music.event import signature_alteration
from cavata.music.mode import Mode
from cavata.score.score import ScoreBar, ScoreEvent
from cavata.score.whereabouts import in_bars
from cavata.source import Span

TimeSpan = tuple[Fraction, Fraction]
"""From and to, in whole notes from the movement's beginning."""
ENOUGH, ENOUGH_OF_ONE = 6, 24
"""Notes of the letters that a signature alters; fewer may all be foreign to it by the composer's will. Of one letter
alone it takes more: the raised sixth of a minor key, or names without the letter that would be lowered, are no slip."""


def report_silent_bars(
    bars: Sequence[ScoreBar], said: Iterable[TimeSpan], sounding: Iterable[TimeSpan], name: str, span: Span,
    bag: Diagnostics,
) -> None:
    """Warn of bars at the end of a section that no line reaches and into which nothing sounds.

    What rests in a line is said, and so is a gap before a line that begins at a place of its own.
    """
    if not bars:
        return
    latest, over = bars[0].onset, bars[-1].end
    for begin, end in chain(said, sounding):  # neither is worked out any further than it has to be
        if begin < over:
            latest = max(latest, end)
        if latest > bars[-1].onset:
            return
    silent = [bar.bar_in_section for bar in bars[bisect_left(bars, latest, key=lambda bar: bar.onset) :]]
    bag.warning(
        "P142", span, f"nobody plays{in_bars(silent)} of `{name}`", label="no line reaches there",
        cure="give the section fewer bars, or write the silence in a line, as `2 bars rest`",
    )  # fmt: skip


def report_contradicted_keys(
    bars: Sequence[ScoreBar], events: Sequence[ScoreEvent], rows: Sequence[tuple[Mode | None, Span]], bag: Diagnostics
) -> None:
    """Warn at the row of a key of which no note has the accidentals, as far as it holds; `rows` are the nearest first.

    `events` are those of pitched parts.
    """
    for key, stretch in groupby(bars, key=lambda bar: bar.key):
        span = next((span for mode, span in rows if mode == key), None)
        if key is None or span is None or not key.fifths:
            continue
        held = list(stretch)
        begin, end = held[0].onset, held[-1].end
        if any(alter == wanted for _, alter, wanted in _altered(events, key, begin, end)):
            continue
        letters = [letter for letter, _, _ in _altered(events, key, begin, end)]
        if len(letters) >= (ENOUGH if len(set(letters)) > 1 else ENOUGH_OF_ONE):
            bag.warning(
                "P144", span, "no note has the accidentals of this key",
                label=f"{len(letters)} notes have letters that it alters, all otherwise",
                cure="name the key that the notes are in, or write `key none`",
            )  # fmt: skip


def _altered(events: Sequence[ScoreEvent], key: Mode, begin: Fraction, end: Fraction) -> Iterator[tuple[int, int, int]]:
    """Each note whose letter the signature alters: the letter, how it is altered, and how it would be."""
    for event in events:
        if begin <= event.onset < end and not event.event.marks.spoken:
            for head in event.event.heads:
                wanted = signature_alteration(key.fifths, head.pitch.letter)
                if wanted:
                    yield head.pitch.letter, head.pitch.alter, wanted


def report_unseen_dynamics(events: Iterable[ScoreEvent], rows: Iterable[Span], bag: Diagnostics) -> None:
    """Warn of each row over bars of which nothing is left since other rows replace it, and of each marking in an item
    that a later one in the same item replaces.

    That a row over bars takes the place of what a line says, and an item that of what a motif says, is the use of it.
    `rows` are those over bars.
    """
    over_bars = set(rows)
    gone: dict[Span, Span] = {}
    seen: set[Span] = set()
    for event in events:
        marks = event.event.marks
        for said in marks.said:
            there = (*marks.loud, marks.goal, marks.again)
            if said.kind != "dynamic" or (said.by is None and said.what in there):
                seen.add(said.span)
            elif said.by is not None and (
                {said.span, said.by} <= over_bars or (_within(said.span, event.line) and _within(said.by, event.line))
            ):
                gone.setdefault(said.span, said.by)
    for span, by in gone.items():
        if span not in seen:
            bag.warning(
                "P868", span, "nobody sees this dynamic", label="replaced wherever it stands",
                cure="take one of the two away", also=((by, "by this one"),),
            )  # fmt: skip


def _within(span: Span, line: Span) -> bool:
    return span.source is line.source and line.start <= span.start and span.end <= line.end
