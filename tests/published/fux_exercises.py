"""The two-part exercises of Fux's Gradus ad Parnassum; the README of the folder `fux` names their source."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from cavata.combine.strict.scene import Options
from cavata.combine.strict.table import Fault, judge
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, parse_pitch, parse_pitch_class

VALUES = {"w": Fraction(1), "h": Fraction(1, 2), "q": Fraction(1, 4), "e": Fraction(1, 8)}
MODES = {"D": "dorian", "E": "phrygian", "F": "lydian", "G": "mixolydian", "A": "aeolian", "C": "major"}
Line = tuple[tuple[Fraction, Fraction, Pitch], ...]


@dataclass(frozen=True, slots=True)
class Exercise:
    figure: str
    species: int
    mode: Mode
    cantus_below: bool
    first_bar: int
    cantus: str
    counterpoint: str


def line(text: str) -> Line:
    """Read `rh A4h~ | A4h D5w`; tied notes are one."""
    notes: list[tuple[Fraction, Fraction, Pitch]] = []
    at, tied = Fraction(0), False
    for word in text.replace("|", " ").split():
        value = VALUES[word.rstrip("~")[-1]]
        name = word.rstrip("~")[:-1]
        if name != "r":
            pitch = parse_pitch(name)
            if tied:
                onset, length, same = notes.pop()
                assert same == pitch
                notes.append((onset, length + value, pitch))
            else:
                notes.append((at, value, pitch))
        at, tied = at + value, word.endswith("~")
    return tuple(notes)


def exercises() -> dict[str, Exercise]:
    """As encoded, by figure."""
    found = {}
    for block in (Path(__file__).parent / "fux" / "two_voices.txt").read_text().split("\n\n")[1:]:
        head, cantus, counterpoint = block.strip().splitlines()
        figure, species, final, where, bar = head.split()
        mode = Mode(parse_pitch_class(final), MODES[final])
        found[figure] = Exercise(figure, int(species), mode, where == "lower", int(bar), cantus, counterpoint)
    return found


def mended() -> dict[str, Exercise]:
    """With the two slips of the encoding mended: an octave in figure 22, a tie in figure 86a."""
    found = exercises()
    slips = {
        "022": ("C4w | A3w | B3w | B3w | A3w", "C5w | A4w | B4w | B4w | A4w"),
        "086a": ("G4q A4h | A4q", "G4q A4h~ | A4q"),
    }
    for figure, (slip, right) in slips.items():
        was = found[figure]
        assert slip in was.counterpoint
        text = was.counterpoint.replace(slip, right)
        found[figure] = Exercise(figure, was.species, was.mode, was.cantus_below, was.first_bar, was.cantus, text)
    return found


def faults(cantus: str, counterpoint: str, options: Options | None = None) -> tuple[Fault, ...]:
    """What the judge finds."""
    return judge((line(cantus), line(counterpoint)), options or Options())
