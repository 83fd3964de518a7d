"""Making heard scores for tests: lines of notes written as text."""

from __future__ import annotations

from fractions import Fraction

from cavata.foreign.heard import HeardLine, HeardNote, HeardScore
from cavata.music.pitch import Pitch, parse_pitch, parse_pitch_class


def line(text: str, part: str = "Voice", length: Fraction = Fraction(1, 4)) -> HeardLine:
    """`Bb4 A4 r C5/1:8 C4+E4`: notes a quarter long, or as long as stands after the slash; `r` rests; `+` joins chords.
    Four quarters make a bar."""
    notes = []
    onset, rested = Fraction(0), False
    for word in text.split():
        what, _, given = word.partition("/")
        duration = Fraction(given.replace(":", "/")) if given else length
        if what == "r":
            rested = True
        else:
            pitches = tuple(sorted(map(parse_pitch, what.split("+")), key=lambda p: p.midi))
            notes.append(HeardNote(onset, duration, pitches, str(int(onset) + 1), rested and bool(notes)))
            rested = False
        onset += duration
    return HeardLine(part, 1, tuple(notes))


def score(*lines: HeardLine) -> HeardScore:
    return HeardScore("", lines)


def line_of_keys(keys: list[int], part: str = "Voice") -> HeardLine:
    """A line of quarters on keys of the keyboard, spelled with sharps."""
    return HeardLine(
        part,
        1,
        tuple(
            HeardNote(Fraction(n, 4), Fraction(1, 4), (spelled(key),), str(n // 4 + 1)) for n, key in enumerate(keys)
        ),
    )


def spelled(key: int) -> Pitch:
    octave, semitone = divmod(key, 12)
    name = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"][semitone]
    return Pitch.of(parse_pitch_class(name), octave - 1)
