"""Pieces drawn at random, and edits of them that are known: what `compare` is asked to find again.

A piece is sections of bars for three parts. Its content comes from a seed and not from a strategy of hypothesis, for a
shrunken piece is all one note, and in such a piece nobody could say which note was taken out.
"""

from __future__ import annotations

import random
from copy import deepcopy
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from cavata.music.pitch import Pitch, parse_pitch
from cavata.pipeline import compile_script
from cavata.score.score import Score

PARTS = ("flute", "viola", "cello")
PATTERNS = ((2, 2, 2, 2), (1, 1, 2, 4), (3, 1, 2, 2), (4, 1, 1, 2), (2, 1, 1, 3, 1), (1, 2, 1, 2, 2), (6, 2))
"""Bars of 4/4 in eighths."""
PITCHES = (*(f"{letter}{octave}" for octave in (3, 4, 5) for letter in "CDEFGAB"), "F#4", "Bb4", "C#5", "Eb4", "G#3")


@dataclass
class Note:
    eighths: int
    pitch: str
    """Empty for a rest."""
    mark: str = ""


@dataclass
class Section:
    name: str
    bars: int
    music: dict[str, list[list[Note]]]
    """For each part its bars."""
    rows: list[str] = field(default_factory=list)


@dataclass
class Piece:
    sections: list[Section]
    title: str = "Harbor"
    names: dict[str, str] = field(default_factory=lambda: {part: part for part in PARTS})

    def copy(self) -> Piece:
        return deepcopy(self)

    def script(self) -> str:
        lines = ["language 2", f'piece "{self.title}"', "forces", *(f"    {n} = {p}" for p, n in self.names.items())]
        lines += ["movement first", "    tempo 1/4 at 90", "    key C major"]
        for section in self.sections:
            lines += [f"    section {section.name} {section.bars} bars", *(f"        {row}" for row in section.rows)]
            lines += [f"        {self.names[part]}: {_line(bars)}" for part, bars in section.music.items()]
        return "\n".join(lines) + "\n"

    def score(self) -> Score:
        return _score_of(self.script())

    def first_bar(self, section: int) -> int:
        """As printed."""
        return 1 + sum(each.bars for each in self.sections[:section])


@lru_cache(8)
def _score_of(script: str) -> Score:
    """Compiled once for both ways in which two pieces are compared."""
    made = compile_script(Path("harbor.cavata"), "harbor.cavata", script)
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    return made.score


def _line(bars: list[list[Note]]) -> str:
    notes = [note for bar in bars for note in bar]
    groups = ", ".join(f"{note.eighths}/8 {note.pitch or 'rest'}" for note in notes)
    sounding = [note for note in notes if note.pitch]
    marks = "".join(f" -> marked {n} {note.mark}" for n, note in enumerate(sounding, 1) if note.mark)
    return f"notes({groups}){marks}"


def random_bar(chance: random.Random) -> list[Note]:
    notes = [Note(eighths, chance.choice(PITCHES)) for eighths in chance.choice(PATTERNS)]
    if chance.random() < 0.3:
        chance.choice(notes[1:]).pitch = ""
    return notes


def random_section(chance: random.Random, name: str, bars: int) -> Section:
    return Section(name, bars, {part: [random_bar(chance) for _ in range(bars)] for part in PARTS})


def random_piece(seed: int) -> Piece:
    chance = random.Random(seed)
    return Piece([random_section(chance, f"part{n}", chance.randint(2, 6)) for n in range(chance.randint(2, 5))])


@dataclass(frozen=True)
class Spot:
    """One sounding note of a piece: where it is, and how it is told."""

    section: int
    part: str
    bar: int
    place: int

    def note(self, piece: Piece) -> Note:
        return piece.sections[self.section].music[self.part][self.bar][self.place]

    def printed(self, piece: Piece) -> str:
        """`bar 3 beat 2`, by arithmetic: a beat is two eighths."""
        bar = piece.sections[self.section].music[self.part][self.bar]
        before = sum(note.eighths for note in bar[: self.place])
        beat, half = divmod(before, 2)
        return f"bar {piece.first_bar(self.section) + self.bar} beat {beat + 1}" + (" + 1/8" if half else "")


def spots(piece: Piece) -> list[Spot]:
    return [
        Spot(s, part, b, n)
        for s, section in enumerate(piece.sections) for part, bars in section.music.items()
        for b, bar in enumerate(bars) for n, note in enumerate(bar) if note.pitch
    ]  # fmt: skip


def pitch(text: str) -> Pitch:
    return parse_pitch(text)
