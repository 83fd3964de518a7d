"""Where an event's marks stand when it is written as several tied notes.

In: an event's marks. Out: those of its first leaf and those of its last. What begins stands at the first leaf;
what ends, and what shapes the end of the note (staccato, fermata), at the last; a tremolo at all.
Source: common practice.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from cavata.music.event import UNMARKED, Marks
from cavata.music.ornament import UNMEASURED
from cavata.notate.note_values import flags
from cavata.record import replace

AT_THE_END = frozenset(("staccato", "staccatissimo", "fermata"))


@lru_cache(maxsize=1024)
def first_marks(marks: Marks) -> Marks:
    """What stands at the first of several tied leaves."""
    kept = tuple(name for name in marks.articulations if name not in AT_THE_END)
    return replace(
        marks, articulations=kept, hairpin_ends=False, slur_ends=False, glides=False, held=Fraction(0),
        pedal_ends=False, goal="",
    )  # fmt: skip


@lru_cache(maxsize=1024)
def last_marks(marks: Marks) -> Marks:
    """What stands at the last of several tied leaves."""
    kept = tuple(name for name in marks.articulations if name in AT_THE_END)
    return Marks(
        dynamic=marks.goal, articulations=kept, hairpin_ends=marks.hairpin_ends, slur_ends=marks.slur_ends,
        ornaments=inner_marks(marks).ornaments, glides=marks.glides, held=marks.held, pedal_ends=marks.pedal_ends,
    )  # fmt: skip


@lru_cache(maxsize=1024)
def inner_marks(marks: Marks) -> Marks:
    """What stands at the tied leaves between."""
    kept = tuple(ornament for ornament in marks.ornaments if ornament.kind == "tremolo")
    return Marks(ornaments=kept) if kept else UNMARKED


def strokes(base: Fraction, marks: Marks) -> int:
    """The strokes that a tremolo draws through the stem of such a note value, its own flags not counted.

    Three are the sign of one that is not measured, fewer where the note has flags itself. Source: common practice.
    """
    for ornament in marks.ornaments:
        if ornament.kind == "tremolo":
            return max(0, flags(ornament.unit or UNMEASURED) - flags(base))
    return 0


class OpenSlur:
    """Follows a voice to tell a slur over a single note, which is dropped, from one slur meeting the next."""

    def __init__(self) -> None:
        self._open = False

    def settled(self, marks: Marks) -> Marks:
        """The marks of the voice's next event without a slur that would join the note to itself."""
        if marks is UNMARKED or not marks:
            return UNMARKED
        if marks.slur_begins and marks.slur_ends and not self._open:
            return replace(marks, slur_begins=False, slur_ends=False)
        self._open = marks.slur_begins or (self._open and not marks.slur_ends)
        return marks
