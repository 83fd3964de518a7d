"""What a reduction leaves out, said at its foot.

In: the whole, and the music of the copy. Out: words in the language of the page: the parts of which nothing is there,
the bars in which tones are missing, and that doublings in octaves are, where it is so.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from fractions import Fraction

from cavata.score.page_words import page_words
from cavata.score.score import Movement, Part, Score, Staff, bar_at, events_of

_MOST_STRETCHES = 8
"""More stretches of bars than these are `many bars`."""
_OCTAVE, _KEYS = 12, 128


def left_out(score: Score, made: Sequence[Movement], without: Sequence[Part], parts: Container[Part]) -> str:
    """The words for the foot; nothing where everything is there. `made` are the movements of the copy, `without` the
    parts that it leaves out on purpose, `parts` those it is made of.
    """
    language = score.header.language
    said = [", ".join(part.label for part in without)] if without else []
    doublings = False
    several = len(score.movements) > 1
    places = []
    count = 0
    for number, (movement, copy) in enumerate(zip(score.movements, made, strict=True), 1):
        kept = [
            staves for part, staves in zip(score.parts, movement.staves, strict=True)
            if part in parts and part not in without and not part.instrument.unpitched
        ]  # fmt: skip
        bars = _missing(movement, kept, copy)
        count += len(bars)
        there = _struck(copy.staves, _OCTAVE)
        missing = _struck(kept, _KEYS) - _struck(copy.staves, _KEYS)
        doublings = doublings or any((onset, key % _OCTAVE) in there for onset, key in missing)
        if bars:
            places.append((f"{_roman(number)}: " if several else "") + ", ".join(bars))
    if doublings:
        said.append(page_words(language, "reading", "octave_doublings"))
    if count > _MOST_STRETCHES:
        said.append(page_words(language, "reading", "notes_in_many_bars"))
    elif places:
        said.append(page_words(language, "reading", "notes_in_bars", bars="; ".join(places)))
    return page_words(language, "reading", "left_out", what="; ".join(said)) if said else ""


def _missing(movement: Movement, kept: Sequence[Sequence[Staff]], copy: Movement) -> list[str]:
    """The bars with notes that are not there in any octave, as `3-5` and `9`."""
    missing = _struck(kept, _OCTAVE) - _struck(copy.staves, _OCTAVE)
    numbers = sorted({bar_at(movement.bars, onset).number for onset, _ in missing})
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] + 1 == number:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return [str(first) if first == last else f"{first}\u2013{last}" for first, last in runs]


def _struck(parts: Sequence[Sequence[Staff]], of: int) -> set[tuple[Fraction, int]]:
    """When which key begins, or with 12 which of the twelve tones."""
    return {
        (event.onset, head.pitch.midi % of) for staves in parts for event in events_of(staves) if not event.tied_before
        for head in event.event.heads if head.pitch not in event.held_before
    }  # fmt: skip


def _roman(number: int) -> str:
    tens, ones = divmod(number, 10)
    return "X" * tens + ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")[ones]
