"""What `study` says of a name's notes, read back from its own tables, and worked out again by music21.

Intervals lead from note to note; contour, range and what is repeated are those of the line; prime form, set class and
interval vector are music21's (its tables are Forte's); the forms are mirrors of the line; a mode has as many of the
notes as it says.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from music21.chord import Chord
from music21.interval import Interval
from music21.pitch import Pitch
from music21.scale import ConcreteScale, MajorScale, MinorScale

from cavata.diagnostics import Diagnostics
from cavata.study.library_ciphers import offered_ciphers
from cavata.study.shown import study_text
from cavata.study.study import study_names

STEPS = {"lydian": 4, "mixolydian": 5, "dorian": 2, "phrygian": 3, "locrian": 7, "aeolian": 6, "ionian": 1}
"""The degree of the major scale on which each mode stands (common practice)."""


def tables(text: str) -> dict[str, list[dict[str, str]]]:
    """The tables of a study by their headings, each row by its columns."""
    found: dict[str, list[dict[str, str]]] = {}
    for block in re.split(r"\n(?=[^\n]*: the (?:line|harmony|forms)\n)", "\n" + text):
        heading, _, rest = block.lstrip("\n").partition("\n")
        kind = heading.rpartition(": the ")[2]
        lines = [line for line in rest.split("\n") if line.strip()]
        if len(lines) < 3 or kind not in ("line", "harmony", "forms"):
            continue
        edges = [match.start() for match in re.finditer(r"-+", lines[1])] + [None]
        cut = [slice(first, last) for first, last in pairwise(edges)]
        names = [lines[0][part].strip() for part in cut]
        rows = []
        for line in lines[2:]:
            if not line[:2].strip().isdigit():
                break
            rows.append(dict(zip(names, [line[part].strip() for part in cut], strict=True)))
        found[kind] = rows
    return found


def pitch(name: str) -> Pitch:
    """A note name as music21 spells it."""
    return Pitch(name.replace("b", "-"))


def semitones(word: str) -> int:
    """`+M3`, `-aug1`, `dim2`, `+6 semitones`: how far up."""
    if word.endswith("semitones"):
        return int(word.split()[0])
    sign = -1 if word.startswith("-") else 1
    name = word.lstrip("+-").replace("aug", "A").replace("dim", "d")
    return sign * Interval(name).semitones


def intervals(text: str) -> list[int]:
    return [semitones(word) for word in re.findall(r"[+-]?\d+ semitones|\S+", text)] if text != "-" else []


def keys_of(text: str) -> list[int]:
    """Pitch classes of notes in a row."""
    return [pitch(name).pitchClass for name in text.split()]


def scale_of(mode: str) -> set[int]:
    tonic, name = mode.split()
    if name in ("major", "minor"):
        scale: ConcreteScale = (MajorScale if name == "major" else MinorScale)(pitch(tonic))
    else:
        distance = MajorScale("C").pitchFromDegree(STEPS[name]).pitchClass
        scale = MajorScale(pitch(tonic).transpose(-distance))
    return {each.pitchClass for each in scale.getPitches("C3", "C4")}


LETTERS = "ABCDEFGHIKLMNORSTUW"
COUNT = int(os.environ.get("CAVATA_NAMES", "2"))
MADE = ["".join(Random(number).choices(LETTERS, k=2 + number % 8)) for number in range(COUNT)]
"""Names by chance: more of them by `CAVATA_NAMES=200`."""


@pytest.mark.slow
@pytest.mark.parametrize("name", ["TAMSIN", "CORWEN", "HEDDA", "BACH", "DSCH", "ABEGG", "AA", *MADE])
def test_everything_that_a_study_says_is_so(name: str) -> None:
    found = tables(study_text(study_names([name], offered_ciphers(None, None, Diagnostics()))))
    rows = (found.get(kind, ()) for kind in ("line", "harmony", "forms"))
    for line, harmony, forms in zip(*rows, strict=True):
        notes = keys_of(line["notes"])
        steps = intervals(line["intervals"])
        assert [(a + step) % 12 for a, step in zip(notes, steps, strict=False)] == notes[1:], line
        assert len(steps) == len(notes) - 1
        if line["contour"] != "-":
            assert ["/" if step > 0 else "\\" if step < 0 else "-" for step in steps] == list(line["contour"]), line
        heights = [sum(steps[:number]) for number in range(len(notes))]
        low, high = (pitch(each) for each in line["range"].split(".."))
        assert high.midi - low.midi == max(heights) - min(heights), line
        written = line["notes"].split()
        counted = {note: count for note, count in Counter(written).items() if count > 1}
        told = {} if line["repeated"] == "-" else {
            word.split(" x")[0]: int(word.split(" x")[1]) for word in line["repeated"].split(", ")
        }  # fmt: skip
        assert told == counted, line
        chord = Chord(sorted(set(notes)))
        assert "".join("TE"[n - 10] if n > 9 else str(n) for n in chord.primeForm) == harmony["prime form"].replace(
            "A", "T"
        ).replace("B", "E")  # fmt: skip
        # music21 leaves out the Z of sets that share their vector with another.
        assert chord.forteClassTnI.replace("Z", "") == re.sub(r"Z|[AB]$", "", harmony["set class"]), harmony
        if len(set(notes)) > 1:
            assert "".join(map(str, chord.intervalVector)) == harmony["interval vector"], harmony
        for mode, inside, count in re.findall(r"(\S+ \w+) (\d+)/(\d+)", harmony["modes"]):
            if mode.split()[1] in (*STEPS, "major", "minor"):
                assert int(count) == len(notes)
                assert int(inside) == sum(note in scale_of(mode) for note in notes), (mode, line)
        assert forms["prime"] == line["notes"]
        assert forms["retrograde"].split() == written[::-1]
        if forms["inversion"] != "-":
            mirrored = keys_of(forms["inversion"])
            assert [(a + b) % 12 for a, b in zip(notes, mirrored, strict=True)] == [2 * notes[0] % 12] * len(notes)
            assert forms["retrograde inversion"].split() == forms["inversion"].split()[::-1]
