"""Modes and signatures against music21's keys."""

from __future__ import annotations

import pytest
from music21 import key as m21key

from cavata.music.mode import DEGREES, Mode
from cavata.music.pitch import LETTERS, Pitch, parse_pitch_class

TONICS = ["C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "Cb", "D#", "A#", "G#"]


def outside(tonic: str, name: str) -> m21key.Key:
    return m21key.Key(tonic.replace("b", "-"), name)


@pytest.mark.parametrize("name", DEGREES)
@pytest.mark.parametrize("tonic", TONICS)
def test_signature_is_that_of_music21(tonic: str, name: str) -> None:
    mode = Mode(parse_pitch_class(tonic), name)
    assert mode.fifths == outside(tonic, name).sharps
    assert str(mode) == f"{tonic} {name}"


@pytest.mark.parametrize("name", DEGREES)
@pytest.mark.parametrize("tonic", ["C", "D", "Eb", "F#", "Bb", "A"])
def test_degrees_are_those_of_music21(tonic: str, name: str) -> None:
    mode = Mode(parse_pitch_class(tonic), name)
    expected = [pitch.name.replace("-", "b") for pitch in outside(tonic, name).pitches[:7]]
    begin = LETTERS.index(tonic[0])
    found = [Pitch((begin + n) % 7, mode.alteration((begin + n) % 7)).pitch_class for n in range(7)]
    assert [str(pitch_class) for pitch_class in found] == expected


@pytest.mark.parametrize("name", DEGREES)
@pytest.mark.parametrize("tonic", TONICS)
def test_signature_alters_the_letters_that_the_mode_alters(tonic: str, name: str) -> None:
    """The signature's own sharps or flats are the mode's alterations."""
    mode = Mode(parse_pitch_class(tonic), name)
    signature = outside(tonic, name)
    if abs(signature.sharps) > 7:
        return
    altered = {pitch.step: int(pitch.alter) for pitch in signature.alteredPitches}
    assert {LETTERS[n]: mode.alteration(n) for n in range(7) if mode.alteration(n)} == altered
