"""What a reduction leaves out, said at its foot.

In: the whole, and the music of the copy. Out: words in the language of the page: the parts of which nothing is there,
the bars in which tones are missing, and that doublings in octaves are, where it is so.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from fractions import Fraction
from functools import partial

from cavata.again import Again
from cavata.diagnostics import Diagnostics
from cavata.record import record
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Part, Score, ScoreBar, Staff, bar_at, events_of

_MOST_STRETCHES = 8
"""More stretches of bars than these are `many bars`."""
_OCTAVE = 12


@record
class LeftOut:
    """What the copy of a movement lacks."""

    bars: tuple[str, ...]
    """Those with notes that are not there in any octave, as `3-5` and `9`."""
    doublings: bool
    """Notes are missing that are there in another octave."""


def left_out(
    score: Score, made: Sequence[Movement], without: Sequence[Part], parts: Container[Part],
    again: Again[LeftOut] | None = None,
) -> str:  # fmt: skip
    """The words for the foot; nothing where everything is there. `made` are the movements of the copy, `without` the
    parts that it leaves out on purpose, `parts` those it is made of. `again` has what movements lacked the time before.
    """
    again = again or Again()
    language = score.header.language
    said = [", ".join(part.label for part in without)] if without else []
    doublings = False
    several = len(score.movements) > 1
    places = []
    count = 0
    for number, (movement, copy) in enumerate(zip(score.movements, made, strict=True), 1):
        kept = tuple(
            staves for part, staves in zip(score.parts, movement.staves, strict=True)
            if part in parts and part not in without and not part.instrument.unpitched
        )  # fmt: skip
        made_of = movement.bars, kept, copy.staves
        lack = again.of(movement.name, made_of, Diagnostics(), partial(_lacks, *made_of))
        count += len(lack.bars)
        doublings = doublings or lack.doublings
        if lack.bars:
            places.append((f"{_roman(number)}: " if several else "") + ", ".join(lack.bars))
    if doublings:
        said.append(page_words(language, "reading", "octave_doublings"))
    if count > _MOST_STRETCHES:
        said.append(page_words(language, "reading", "notes_in_many_bars"))
    elif places:
        key = "notes_in_bar" if count == 1 and "–" not in places[0] else "notes_in_bars"
        said.append(page_words(language, "reading", key, bars="; ".join(places)))
    return page_words(language, "reading", "left_out", what="; ".join(said)) if said else ""


def _lacks(
    bars: Sequence[ScoreBar], kept: Sequence[Sequence[Staff]], copy: Sequence[Sequence[Staff]], _: Diagnostics
) -> LeftOut:
    struck, there = _struck(kept), _struck(copy)
    tones = {(onset, key % _OCTAVE) for onset, key in there}
    lost = [(onset, (onset, key % _OCTAVE) in tones) for onset, key in struck - there]
    numbers = sorted({bar_at(bars, onset).number for onset, elsewhere in lost if not elsewhere})
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] + 1 == number:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    missing = tuple(str(first) if first == last else f"{first}\u2013{last}" for first, last in runs)
    return LeftOut(missing, any(elsewhere for _, elsewhere in lost))


def _struck(parts: Sequence[Sequence[Staff]]) -> set[tuple[Fraction, int]]:
    """When which key begins."""
    return {
        (event.onset, head.pitch.midi) for staves in parts for event in events_of(staves) if not event.tied_before
        for head in event.event.heads if head.pitch not in event.held_before
    }  # fmt: skip


def _roman(number: int) -> str:
    tens, ones = divmod(number, 10)
    return "X" * tens + ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")[ones]
