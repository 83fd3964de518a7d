"""Chord symbols against music21's harmony module."""

from __future__ import annotations

import pytest
from music21 import harmony

from cavata.music.chord_symbol import ALSO, QUALITIES, ChordSymbol, parse_chord_symbol
from cavata.music.pitch import PitchClass, parse_interval, parse_pitch, parse_pitch_class

ROOTS = ("C", "D", "Eb", "F#", "Ab", "Bb", "B")
CALLED = {"mmaj7": "mM7", "dim": "dim", "aug": "+", "maj9": "M9"}
"""Qualities that music21's figures write otherwise."""


def outside(root: str, quality: str, bass: str = "") -> list[str]:
    figure = root.replace("b", "-") + CALLED.get(quality, quality) + (f"/{bass.replace('b', '-')}" if bass else "")
    return [pitch.name.replace("-", "b") for pitch in harmony.ChordSymbol(figure).pitches]


@pytest.mark.parametrize("quality", QUALITIES)
def test_notes_of_a_chord_are_those_of_music21(quality: str) -> None:
    """Spelled alike, from the root up."""
    for root in ROOTS:
        ours = parse_chord_symbol(root + quality).pitches
        assert [str(p.pitch_class) for p in ours] == outside(root, quality), root


@pytest.mark.parametrize(
    ("root", "quality", "bass"), [("D", "", "F#"), ("A", "m", "C"), ("C", "7", "Bb"), ("F", "maj7", "A")]
)
def test_slash_chords_have_the_notes_of_music21(root: str, quality: str, bass: str) -> None:
    ours = parse_chord_symbol(f"{root}{quality}/{bass}").pitches
    assert str(ours[0].pitch_class) == bass
    assert {str(p.pitch_class) for p in ours} == set(outside(root, quality, bass))


def test_bass_that_is_no_note_of_the_chord_stands_under_it() -> None:
    """music21 gives the same: D F# A over G."""
    assert [str(p) for p in parse_chord_symbol("D/G").pitches] == ["G3", "A3", "D4", "F#4"]
    assert set(outside("D", "", "G")) == {"D", "F#", "A", "G"}


def test_chords_lie_close_and_from_c3_up() -> None:
    """No higher than C5, but for a ninth over B."""
    for root in ROOTS:
        for quality in QUALITIES:
            pitches = parse_chord_symbol(root + quality).pitches
            keys = [p.midi for p in pitches]
            assert keys == sorted(keys) and parse_pitch("C3").midi <= keys[0] <= parse_pitch("B3").midi
            assert keys[-1] <= parse_pitch("C#5" if root == "B" else "C5").midi
            assert keys[-1] - keys[0] <= (14 if "9" in quality else 11)


def test_transposing_a_symbol_transposes_its_notes() -> None:
    up = parse_interval("m3")
    for text in ("Dm", "Gm7", "A7", "C#m7b5", "D/F#", "Cadd9"):
        symbol = parse_chord_symbol(text)
        assert {p.pitch_class for p in symbol.moved(up).pitches} == {(p + up).pitch_class for p in symbol.pitches}


@pytest.mark.parametrize("text", ["Dm", "Gm7", "Bbmaj7", "C#m7b5", "D/F#", "Cadd9", "Esus4", "F#dim7"])
def test_symbol_reads_back(text: str) -> None:
    assert str(parse_chord_symbol(text)) == text
    assert parse_chord_symbol(str(parse_chord_symbol(text))) == parse_chord_symbol(text)


def test_other_signs_are_read() -> None:
    assert parse_chord_symbol("Bø7") == parse_chord_symbol("Bm7b5")
    assert parse_chord_symbol("B♭°") == ChordSymbol(parse_pitch_class("Bb"), "dim")
    assert parse_chord_symbol("D/D") == ChordSymbol(PitchClass(1, 0), "")
    assert all(quality in QUALITIES for quality in ALSO.values())


@pytest.mark.parametrize("text", ["H7", "Dm13", "d", "", "D/", "D/H", "7"])
def test_what_is_no_symbol_is_not_read(text: str) -> None:
    with pytest.raises(ValueError):
        parse_chord_symbol(text)
