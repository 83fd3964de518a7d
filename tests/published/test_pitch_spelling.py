"""`respelled simply` against scores whose spelling is known. Source: music21's corpus; `tests/bench/spelling_study.py`
measures it on all of it."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from music21 import corpus

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "bench"))

import spelling_study as study

from cavata.music.event import Event, Head, Motif
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch, parse_pitch_class
from cavata.transforms.respelling import respelled_simply, respelled_together

PIECES = {
    "bach/bwv1.6.mxl": 99.8, "bach/bwv66.6.mxl": 99.8, "bach/bwv277.mxl": 99.8, "bach/bwv57.8.mxl": 99.8,
    "bach/bwv384.mxl": 99.8, "haydn/opus1no1/movement1.mxl": 99.8, "mozart/k156/movement2.mxl": 99.0,
    "schumann_robert/dichterliebe_no2.xml": 99.0, "schubert/Lindenbaum.xml": 97.0,
}  # fmt: skip
"""Files and how many notes in a hundred have their composer's names, at least."""


@pytest.mark.slow
@pytest.mark.parametrize("piece", PIECES)
def test_notes_have_their_composers_names(piece: str) -> None:
    notes = study.soundings(corpus.parse(piece))
    assert len(notes) > 100
    right = 100 - 100 * study.wrong(notes, study.by_step(notes)) / len(notes)
    assert right >= PIECES[piece]


@pytest.mark.slow
def test_tunes_are_spelled_better_than_by_their_signatures() -> None:
    tunes = list(study.tunes(("boehme10",), 20))
    missed = {
        way: sum(study.wrong(notes, study.WAYS[way](notes)) for notes in tunes) for way in ("step", "signature")
    }
    assert missed["step"] <= 1 and missed["step"] <= missed["signature"]


def line(text: str) -> Motif:
    return Motif(tuple(Event(Fraction(1, 4), (Head(parse_pitch(note), ()),)) for note in text.split()))


def names(motif: Motif) -> str:
    return " ".join(str(event.heads[0].pitch) for event in motif.events)


@pytest.mark.parametrize("tonic", ["C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "Ab", "Db", "Gb", "Cb"])
def test_scales_of_every_signature(tonic: str) -> None:
    """Every major scale by its own signature, written wrongly on purpose before. Source: common practice."""
    scale = [*Mode(parse_pitch_class(tonic), "major").ladder]
    scale += [scale[0].shifted(1), *reversed(scale)]
    sharps = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
    wrongly = line(" ".join(f"{sharps[pitch.midi % 12]}{pitch.midi // 12 - 1}" for pitch in scale))
    found = respelled_simply(wrongly, Mode(parse_pitch_class(tonic), "major"))
    assert names(found) == " ".join(map(str, scale))


def test_lines_of_a_chorale_go_together() -> None:
    """As voices of one texture, the four parts of a chorale have Bach's names. Source: music21's bwv 66.6."""
    parts = [part.stripTies().flatten().notes for part in corpus.parse("bach/bwv66.6").parts]
    flats = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
    composed, wrongly = [], []
    for part in parts:
        composed.append(" ".join(note.pitch.nameWithOctave.replace("-", "b") for note in part))
        keys = [int(note.pitch.ps) for note in part]
        events = line(" ".join(f"{flats[key % 12]}{key // 12 - 1}" for key in keys)).events
        lengths = [Fraction(note.quarterLength) / 4 for note in part]
        wrongly.append(Motif(tuple(event.lasting(length) for event, length in zip(events, lengths, strict=True))))
    assert all(names(one) != part for one, part in zip(wrongly, composed, strict=True))
    assert [names(one) for one in respelled_together(tuple(wrongly))] == composed
