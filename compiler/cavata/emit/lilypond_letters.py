"""The letters of names under the notes they became.

In: one voice of a staff through a movement. Out: a line of lyrics with a length for each syllable, so that it is
aligned by time and owes nothing to ties and slurs.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.emit.lilypond_breaks import length_of
from cavata.emit.lilypond_string import ly_string
from cavata.emit.plain_text import plain_text
from cavata.notate.written import Frame, Item, Leaf, WrittenStaff

_LONGEST = 40
"""Characters under one note; more than any chord of names needs."""


def lyrics(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, voice_name: str) -> list[str]:
    """The lines of a lyrics context for one voice; none if no letter stands under it."""
    syllables = list(_syllables(staff, frames, voice))
    if not syllables:
        return []
    total = sum((frame.duration for frame in frames), Fraction(0))
    moments = [onset for onset, _ in syllables] + [total]
    lines = ["\\new Lyrics \\lyricmode", "{", f'    \\set associatedVoice = "{voice_name}"']
    if moments[0]:
        lines.append(f"    \\skip 1 * {_fraction(moments[0])}")
    for (onset, text), end in zip(syllables, moments[1:], strict=True):
        lines.append(f"    {ly_string(text)} 1 * {_fraction(end - onset)}")
    return [*lines, "}"]


def _fraction(length: Fraction) -> str:
    return f"{length.numerator}/{length.denominator}"


def _syllables(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int) -> Iterator[tuple[Fraction, str]]:
    start = Fraction(0)
    for bar, frame in zip(staff.bars, frames, strict=True):
        now = start
        for item in bar.voices[voice] if voice < len(bar.voices) else ():
            yield from _letters(item, now, Fraction(1))
            now += length_of(item)
        start += frame.duration


def _letters(item: Item, now: Fraction, scale: Fraction) -> Iterator[tuple[Fraction, str]]:
    if isinstance(item, Leaf):
        if item.letters.strip():
            yield now, plain_text(item.letters[:_LONGEST])
        return
    scale *= Fraction(item.normal, item.actual)
    for inner in item.items:
        yield from _letters(inner, now, scale)
        now += length_of(inner) * scale
