"""Timpani on the page: what the drums are tuned to over the first bar, and each change where the player is free for it.

In: the written staff of a set of timpani. Out: the same staff with words at leaves: the first tuning at the first of
all; a change at the first rest after the drum was heard last, or where there is none before its next stroke, at the
first note after it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.instruments.instrument import PageLanguage, note_in
from cavata.instruments.timpani import DrumTuning
from cavata.notate.frames import WrittenSpan
from cavata.notate.written import Leaf, WrittenStaff, timed_leaves, with_leaves
from cavata.record import replace
from cavata.score.clock import Clock
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Part, Staff
from cavata.score.timpani import drums_tuned


def with_drums(
    staves: tuple[WrittenStaff, ...], staff: Staff, part: Part, movement: Movement, spans: Sequence[WrittenSpan]
) -> tuple[WrittenStaff, ...]:
    """The staves of timpani with what is said of their tuning."""
    found = drums_tuned(movement, staff, part)
    if not found.first:
        return staves
    clock = Clock(movement)
    upper, *others = staves
    line = [
        (clock.between(Fraction(0), onset), bool(leaf.heads))
        for bar, span in zip(upper.bars, spans, strict=True)
        for onset, leaf in timed_leaves(bar.voices[0], span.onset - span.lead)
    ]  # fmt: skip
    words: dict[int, list[str]] = {0: [_first(found, part.language)]}
    for change in found.changes:
        free = [place for place, (onset, _) in enumerate(line) if change.since <= onset <= change.until]
        place = next((place for place in free if not line[place][1]), free[0] if free else 0)
        old, new = (note_in(part.language, pitch.pitch_class) for pitch in (change.old, change.new))
        words.setdefault(place, []).append(page_words(part.language, "playing", "retuned", old=old, new=new))
    return (with_leaves(upper, words, _tuned), *others)


def _first(found: DrumTuning, language: PageLanguage) -> str:
    notes = ", ".join(note_in(language, pitch.pitch_class) for pitch in found.first)
    return page_words(language, "playing", "tuned", notes=notes)


def _tuned(leaf: Leaf, words: list[str]) -> Leaf:
    return replace(leaf, tuning=", ".join(words))
