"""Modes without a signature against music21's scales, and their ways of moving against the modes that have one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21 import scale
from rounds import rounds

from cavata.music.mode import DEGREES, MODES, Mode, above, degree, inverted_by_degrees, located, moved, native
from cavata.music.pitch import Pitch, parse_pitch, parse_pitch_class

TONICS = ("C", "D", "Eb", "F#", "Bb", "A", "B")
SCALES = {
    "harmonic_minor": scale.HarmonicMinorScale,
    "melodic_minor": scale.MelodicMinorScale,
    "octatonic_tone": scale.OctatonicScale,
    "whole_tone": scale.WholeToneScale,
    "chromatic": scale.ChromaticScale,
}


def names(mode: Mode) -> list[str]:
    return [str(name) for name in mode.degrees]


@pytest.mark.parametrize("name", ["harmonic_minor", "melodic_minor"])
@pytest.mark.parametrize("tonic", TONICS)
def test_minor_forms_are_spelled_as_music21_spells_them_rising(name: str, tonic: str) -> None:
    low, high = (tonic.replace("b", "-") + octave for octave in "45")
    pitches = SCALES[name](tonic.replace("b", "-")).getPitches(low, high)
    assert names(Mode(parse_pitch_class(tonic), name)) == [p.name.replace("-", "b") for p in pitches[:7]]


@pytest.mark.parametrize("name", SCALES)
@pytest.mark.parametrize("tonic", TONICS)
def test_notes_of_a_mode_are_those_of_music21(name: str, tonic: str) -> None:
    """By sound: music21 spells the scales that no letters belong to as its transpositions come out."""
    outside = SCALES[name](tonic.replace("b", "-"))
    expected = {pitch.pitchClass for pitch in outside.getPitches()}
    mode = Mode(parse_pitch_class(tonic), name)
    assert {d.semitone for d in mode.degrees} == expected and len(mode.degrees) == len(expected)


def test_octatonic_by_semitone_is_the_other_rotation() -> None:
    """C octatonic from a semitone has the notes of Db octatonic from a tone (common practice: three transpositions)."""
    semitone = Mode(parse_pitch_class("C"), "octatonic_semitone")
    tone = Mode(parse_pitch_class("Db"), "octatonic_tone")
    assert {d.semitone for d in semitone.degrees} == {d.semitone for d in tone.degrees}


@pytest.mark.parametrize(("name", "of"), [("major_pentatonic", "major"), ("minor_pentatonic", "minor")])
@pytest.mark.parametrize("tonic", TONICS)
def test_pentatonic_leaves_out_the_semitones_of_its_key(name: str, of: str, tonic: str) -> None:
    """Common practice: 1 2 3 5 6 of major, 1 3 4 5 7 of minor."""
    places = (0, 1, 2, 4, 5) if of == "major" else (0, 2, 3, 4, 6)
    key = names(Mode(parse_pitch_class(tonic), of))
    assert names(Mode(parse_pitch_class(tonic), name)) == [key[place] for place in places]


def test_white_keys_have_their_plain_names_where_no_letters_belong_to_the_mode() -> None:
    for name in ("octatonic_tone", "octatonic_semitone", "whole_tone", "chromatic"):
        for tonic in TONICS:
            for shown in Mode(parse_pitch_class(tonic), name).degrees:
                assert shown.alter == 0 or shown.semitone in (1, 3, 6, 8, 10), (name, tonic, str(shown))


# ------------------------------------------------------------------ moving

any_mode = st.builds(Mode, st.sampled_from([parse_pitch_class(t) for t in TONICS]), st.sampled_from(MODES))
any_pitch = st.builds(Pitch, st.integers(20, 45), st.integers(-1, 1))


@given(any_mode, st.integers(-9, 9), st.integers(-9, 9))
@settings(max_examples=rounds(12), deadline=None)
def test_notes_of_a_mode_move_along_its_degrees(mode: Mode, number: int, steps: int) -> None:
    note = degree(number, mode)
    assert moved(note, steps, mode) == degree(number + steps, mode)
    assert moved(moved(note, steps, mode), -steps, mode) == note
    axis = degree(0, mode)
    assert inverted_by_degrees(inverted_by_degrees(note, axis, mode), axis, mode) == note
    assert above(note, mode) == degree(number + 1, mode)


@given(any_mode, any_pitch)
@settings(max_examples=rounds(12), deadline=None)
def test_every_pitch_goes_by_a_degree_and_lies_below_the_next(mode: Mode, pitch: Pitch) -> None:
    number, distance = located(pitch, mode)
    assert degree(number, mode).midi <= pitch.midi < degree(number + 1, mode).midi
    assert degree(number, mode).midi + distance.semitones == pitch.midi
    assert native(pitch, mode).pitch_class in mode.degrees


@pytest.mark.parametrize("name", DEGREES)
def test_a_mode_written_out_moves_as_the_one_it_is(name: str) -> None:
    """A composer's seven letters behave as the mode that they are."""
    built_in = Mode(parse_pitch_class("D"), name)
    own = Mode(built_in.tonic, "mine", built_in.degrees)
    axis = parse_pitch("D4")
    for pitch in map(parse_pitch, ("D4", "F#4", "Bb3", "C5", "G#4")):
        assert moved(pitch, 3, own) == moved(pitch, 3, built_in)
        assert inverted_by_degrees(pitch, axis, own) == inverted_by_degrees(pitch, axis, built_in)


def test_foreign_notes_keep_their_distance_from_the_degree_below() -> None:
    mode = Mode(parse_pitch_class("C"), "major_pentatonic")
    found = [str(moved(parse_pitch(p), 1, mode)) for p in ("C4", "F4", "Bb3", "F#5", "E4", "Fb4")]
    assert found == ["D4", "Ab4", "Db4", "A5", "G4", "G4"]


def test_own_mode_over_another_tonic() -> None:
    own = Mode(parse_pitch_class("D"), "gallery", tuple(map(parse_pitch_class, ("D", "E", "F", "G", "A", "Bb", "C#"))))
    assert names(own.over(parse_pitch_class("E"))) == ["E", "F#", "G", "A", "B", "C", "D#"]
    assert str(own) == "gallery"
