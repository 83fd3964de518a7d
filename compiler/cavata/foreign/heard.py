"""A score as a listener with the page has it: lines of notes, and nothing of where they came from.

Both kinds of score become this: a foreign file (`foreign_score`) and a compiled piece (`trace/own_score`). Within a
line notes are in order and do not overlap. Grace notes are left out, and tied notes are one note.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.text import whole


@record
class HeardNote:
    """One note, or one chord, of a line."""

    onset: Fraction
    """In whole notes from the beginning of the score."""
    duration: Fraction
    pitches: tuple[Pitch, ...]
    """One for a note; a chord's lowest first."""
    bar: str
    """The bar's number as printed, with its suffix if it has one; empty where there are no bars."""
    after_rest: bool = False
    """Whether a rest, or a gap, lies between the note before and this one."""

    @property
    def is_chord(self) -> bool:
        """Whether two pitches or more sound."""
        return len(self.pitches) > 1

    @property
    def end(self) -> Fraction:
        """Where it stops sounding."""
        return self.onset + self.duration


@record
class HeardLine:
    """One voice of one part."""

    part: str
    voice: int
    """Counted from 1 within the part."""
    notes: tuple[HeardNote, ...]
    number: int = 0
    """Which part of its file it belongs to, counted from 1; 0 where that is not known."""

    @property
    def label(self) -> str:
        """The part, and which voice of it where it is not the first."""
        return self.part if self.voice == 1 else f"{self.part}, voice {self.voice}"


@record
class HeardBar:
    """Where a bar begins."""

    name: str
    """Its number as printed, with its suffix if it has one."""
    onset: Fraction
    duration: Fraction


@record
class HeardScore:
    """One piece, or one movement, or one tune of a collection."""

    title: str
    """The movement's or the tune's name within its file; empty where the file holds one piece."""
    lines: tuple[HeardLine, ...]
    parts: tuple[str, ...] = ()
    """The names of all parts of a file, those without a note too."""
    bars: tuple[HeardBar, ...] = ()
    """Of a file: its bars in order; none where it has no bars."""

    def movements(self) -> tuple[HeardScore, ...]:
        """A file's movements, each with the lines that have notes in it: another begins where the numbers of bars begin
        anew. A score that has a title of its own, or one run of numbers, is one.
        """
        begins = () if self.title else self._numbered_anew()
        if not begins:
            return (self,)
        ends: tuple[Fraction | None, ...] = (*begins, None)
        return tuple(
            self._between(f"movement {number}", begin, end)
            for number, (begin, end) in enumerate(zip((Fraction(0), *begins), ends, strict=True), start=1)
        )

    def _between(self, title: str, begin: Fraction, end: Fraction | None) -> HeardScore:
        """What begins from one moment on and before another; onsets stay as they are."""

        def inside(onset: Fraction) -> bool:
            return begin <= onset and (end is None or onset < end)

        lines = (replace(line, notes=tuple(n for n in line.notes if inside(n.onset))) for line in self.lines)
        bars = tuple(bar for bar in self.bars if inside(bar.onset))
        return HeardScore(title, tuple(line for line in lines if line.notes), self.parts, bars)

    def _numbered_anew(self) -> tuple[Fraction, ...]:
        """Where the numbers of its bars begin anew, as for each movement of a file that has several."""
        numbers = [(number, bar.onset) for bar in self.bars if (number := whole(bar.name)) is not None]
        return tuple(begin for (before, _), (now, begin) in pairwise(numbers) if now <= min(1, before))
