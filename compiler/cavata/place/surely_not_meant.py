"""What a script can say and surely does not mean: bars in which nobody plays and no rest was written, and a signature
that the notes contradict throughout.

In: the bars and events of a movement as placed. Out: warnings; nothing changes.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.diagnostics import Diagnostics
from cavata.music.event import signature_alteration
from cavata.music.mode import Mode
from cavata.score.score import ScoreBar, ScoreEvent
from cavata.score.whereabouts import in_bars
from cavata.source import Span

Stretch = tuple[Fraction, Fraction]
"""From and to, in whole notes from the movement's beginning."""
ENOUGH, ENOUGH_OF_ONE = 6, 24
"""Notes of the letters that a signature alters; fewer may all be foreign to it by the composer's will. Of one letter
alone it takes more: the raised sixth of a minor key, or names without the letter that would be lowered, are no slip."""


def report_silent_bars(
    bars: Sequence[ScoreBar], said: Iterable[Stretch], sounding: Iterable[Stretch], name: str, span: Span,
    bag: Diagnostics,
) -> None:
    """Warn of bars at the end of a section that no line reaches and into which nothing sounds.

    What rests in a line is said, and so is a gap before a line that begins at a place of its own.
    """
    if not bars:
        return
    over = bars[-1].onset + bars[-1].duration
    latest = max((end for begin, end in (*said, *sounding) if begin < over), default=bars[0].onset)
    silent = [bar.bar_in_section for bar in bars[bisect_left(bars, latest, key=lambda bar: bar.onset) :]]
    if silent:
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
        begin, end = held[0].onset, held[-1].onset + held[-1].duration
        met = list(_altered(events, key, begin, end))
        enough = ENOUGH if len({letter for letter, _, _ in met}) > 1 else ENOUGH_OF_ONE
        if len(met) >= enough and not any(alter == wanted for _, alter, wanted in met):
            bag.warning(
                "P144", span, "no note has the accidentals of this key",
                label=f"{len(met)} notes have letters that it alters, all otherwise",
                cure="name the key that the notes are in, or write `key none`",
            )  # fmt: skip


def _altered(events: Sequence[ScoreEvent], key: Mode, begin: Fraction, end: Fraction) -> Iterator[tuple[int, int, int]]:
    """Each note whose letter the signature alters: the letter, how it is altered, and how it would be."""
    for event in events:
        if begin <= event.onset < end:
            for head in event.event.heads:
                wanted = signature_alteration(key.fifths, head.pitch.letter)
                if wanted:
                    yield head.pitch.letter, head.pitch.alter, wanted
