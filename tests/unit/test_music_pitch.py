"""Pitches and intervals against music21, an independent model of spelled pitch."""

from __future__ import annotations

import itertools
from fractions import Fraction as F

import pytest
from music21 import interval as m21interval
from music21 import pitch as m21pitch

from cavata.diagnostics import Refusal
from cavata.music.event import Event, Head, Marks, Motif, Origin, Texture
from cavata.music.pitch import (
    ACCIDENTALS,
    LETTERS,
    Interval,
    Pitch,
    PitchClass,
    parse_interval,
    parse_pitch,
    parse_pitch_class,
    plain_accidentals,
    simplest,
    writable,
)
from cavata.source import Source, Span

SPELLINGS = [f"{letter}{sign}{octave}" for letter in LETTERS for sign in ACCIDENTALS.values() for octave in (2, 4)]
QUALITIES = {"m": "m", "M": "M", "P": "P", "aug": "A", "dim": "d"}
INTERVALS = [
    f"{quality}{size}"
    for size in range(1, 16)
    for quality in (("P", "aug", "dim") if (size - 1) % 7 in (0, 3, 4) else ("m", "M", "aug", "dim"))
    if f"{quality}{size}" != "dim1"
]


def outside(text: str) -> m21pitch.Pitch:
    """music21 writes flats with a minus sign."""
    return m21pitch.Pitch(text.replace("b", "-"))


def shown(pitch: m21pitch.Pitch) -> str:
    return str(pitch.nameWithOctave).replace("-", "b")


def outside_interval(text: str) -> m21interval.Interval:
    quality = text.rstrip("0123456789")
    return m21interval.Interval(QUALITIES[quality] + text[len(quality) :])


@pytest.mark.parametrize("text", SPELLINGS)
def test_pitches_have_the_keys_of_music21(text: str) -> None:
    pitch = parse_pitch(text)
    assert pitch.midi == outside(text).ps
    assert str(pitch) == text == shown(outside(text))
    assert pitch.pitch_class.semitone == outside(text).pitchClass
    assert pitch.octave == outside(text).implicitOctave


@pytest.mark.parametrize("text", INTERVALS)
def test_transposition_agrees_with_music21(text: str) -> None:
    interval, other = parse_interval(text), outside_interval(text)
    assert interval.semitones == other.semitones
    assert interval.steps == other.generic.staffDistance
    assert str(interval) == text
    for start in ("C4", "F#4", "Bb3", "E5", "Ab2", "B4"):
        expected_up = outside(start).transpose(other)
        expected_down = outside(start).transpose(other.reverse())
        for found, expected in ((interval, expected_up), (-interval, expected_down)):
            if abs(expected.alter) <= 2:
                assert str(parse_pitch(start) + found) == shown(expected)
            else:
                exact, written = parse_pitch(start).exactly(found), parse_pitch(start) + found
                assert str(exact) == shown(expected)
                assert written.midi == expected.ps
                assert abs(written.alter) == min(abs(p.alter) for p in [expected, *expected.getAllCommonEnharmonics()])


@pytest.mark.parametrize(("low", "high"), list(itertools.product(SPELLINGS[::7], SPELLINGS[3::11])))
def test_interval_between_pitches_agrees_with_music21(low: str, high: str) -> None:
    found = parse_pitch(high) - parse_pitch(low)
    expected = m21interval.Interval(outside(low), outside(high))
    assert found.semitones == expected.semitones
    assert found.steps == expected.generic.staffDistance
    assert parse_pitch(low) + found == parse_pitch(high)


def test_inversion_agrees_with_music21() -> None:
    """Inversion is the descending interval of the same name: Interval.reverse in music21."""
    for axis, text in itertools.product(("A3", "F#4", "Bb4"), ("C4", "E4", "G#4", "Ab4", "D5", "B3")):
        interval = m21interval.Interval(outside(axis), outside(text))
        expected = outside(axis).transpose(interval.reverse())
        assert str(parse_pitch(text).inverted(parse_pitch(axis))) == shown(expected)


@pytest.mark.parametrize(
    ("exact", "simple"),
    [
        (Pitch(31, 3), "G#4"), (Pitch(30, -3), "Db4"), (Pitch(34, 3), "D5"), (Pitch(28, -3), "A3"),
        (Pitch(28, 4), "E4"), (Pitch(33, -4), "F4"), (Pitch(29, 4), "F#4"), (Pitch(32, -4), "Eb4"),
    ],
)  # fmt: skip
def test_simplest_name_of_triple_accidentals(exact: Pitch, simple: str) -> None:
    """The fewest signs, and of a black key sharps for sharps. Source: by counting keys; common practice."""
    assert str(simplest(exact)) == simple and simplest(exact).midi == exact.midi
    assert writable(exact) == simplest(exact)
    assert writable(Pitch(31, 2)) == Pitch(31, 2), "a double accidental stays"


@pytest.mark.parametrize("text", ["H4", "C", "C10", "C-1", "c4", "C###4", "4", "", "Cb#4", "C4 "])
def test_what_is_no_pitch_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="not a pitch"):
        parse_pitch(text)


@pytest.mark.parametrize("text", ["P2", "M4", "m5", "P0", "A4", "aug", "M51", "dim2x", ""])
def test_what_is_no_interval_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="interval"):
        parse_interval(text)


def test_accidentals_of_type_are_read() -> None:
    assert plain_accidentals("F♯ G♭ C𝄪 D𝄫") == "F# Gb C## Dbb"
    assert parse_pitch("F♯4") == parse_pitch("F#4")
    assert parse_pitch_class("B♭") == PitchClass(6, -1)


def test_sharp_and_flat_stay_different() -> None:
    assert parse_pitch("F#4") != parse_pitch("Gb4")
    assert parse_pitch("F#4").midi == parse_pitch("Gb4").midi
    assert parse_pitch("B#3").midi == parse_pitch("C4").midi == 60
    assert parse_pitch("A4").midi == 69


def test_the_range_is_kept() -> None:
    assert str(parse_pitch("B8") + parse_interval("P8")) == "B9"
    for start, interval in (("B9", "m2"), ("C0", "-m2")):
        step = -parse_interval(interval[1:]) if interval[0] == "-" else parse_interval(interval)
        with pytest.raises(Refusal, match="C0 to B9"):
            _ = parse_pitch(start) + step


def test_intervals_add_up() -> None:
    assert parse_interval("M3") * 2 == Interval(4, 8)
    assert -parse_interval("M3") == Interval(-2, -4)
    assert str(-parse_interval("dim5")) == "dim5"
    assert Pitch(28, 0).shifted(-1) == parse_pitch("C3")


def test_lines_add_up() -> None:
    head = Head(parse_pitch("C4"), (Origin(None, Span(Source("a", "a"), 0, 1)),))
    line = Motif((Event(F(1, 4), (head,)), Event(F(1, 8)), Event(F(1, 12), (head,))))
    assert line.duration == F(11, 24)
    assert len(line.sounding) == 2
    assert Texture((line, Motif(()))).duration == F(11, 24)
    assert Texture(()).duration == 0


def test_later_marks_stand_over_earlier_ones() -> None:
    later = Marks("f", ("accent", "tenuto"), ("calm", "still"), hairpin_ends=True)
    joined = Marks("p", ("accent",), ("calm",)).joined(later)
    assert joined == Marks("f", ("accent", "tenuto"), ("calm", "still"), hairpin_ends=True)
    assert not Marks()
    assert Marks("p").joined(Marks()) == Marks("p")
