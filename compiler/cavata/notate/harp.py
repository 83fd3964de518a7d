"""The pedals of a harp on the page.

In: the written staves of a harp, and the marks of its pedals. Out: the staves, the upper one's bars with the signs.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.instruments.instrument import PageLanguage, note_in
from cavata.music.pitch import PitchClass
from cavata.notate.frames import WrittenSpan
from cavata.notate.written import PedalSign, WrittenStaff
from cavata.record import replace
from cavata.score.harp import PedalMark

_SIGNS = {-1: "♭", 0: "♮", 1: "♯"}


def with_pedals(
    staves: tuple[WrittenStaff, ...], marks: Sequence[PedalMark], spans: Sequence[WrittenSpan], language: PageLanguage
) -> tuple[WrittenStaff, ...]:
    """The staves of a harp with the signs of its pedals."""
    upper, *others = staves
    bars = list(upper.bars)
    for mark in marks:
        for place, span in enumerate(spans):
            if span.onset <= mark.onset < span.end:
                sign = _sign(mark, span, language)
                bars[place] = replace(bars[place], pedals=(*bars[place].pedals, sign))
    return (replace(upper, bars=tuple(bars)), *others)


def _sign(mark: PedalMark, span: WrittenSpan, language: PageLanguage) -> PedalSign:
    offset = mark.onset - span.onset
    moved = tuple((change.letter, change.after, pedal_name(change.letter, change.after, language))
                  for change in mark.changes)  # fmt: skip
    return PedalSign(offset + span.lead if offset else offset, mark.setting, moved)


def pedal_name(letter: int, accidental: int, language: PageLanguage) -> str:
    """What a pedal is moved to: `F♯`, `F♮`, in German `Fis`, `F`."""
    if language is PageLanguage.GERMAN:
        return note_in(language, PitchClass(letter, accidental))
    return note_in(language, PitchClass(letter, 0)) + _SIGNS[accidental]
