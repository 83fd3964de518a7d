"""Fits of keys to names: the Krumhansl-Kessler profiles against music21's analysis and against worked values."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations

import music21.analysis.discrete
import music21.note
import music21.stream
import pytest
from named_notes import notes_of

from cavata.music.pitch import parse_pitch_class
from cavata.study.reading import PROFILES, KeyFit, key_fits

ANALYSIS = music21.analysis.discrete.KrumhanslKessler


def fits_of(notes: list[str]) -> dict[tuple[int, str], KeyFit]:
    weights = Counter(parse_pitch_class(note).semitone for note in notes)
    return {(f.tonic, f.mode): f for f in key_fits({pc: Fraction(n) for pc, n in weights.items()})}


def music21_fits(notes: list[str]) -> dict[tuple[int, str], float]:
    """Every key's correlation by music21's own sum over quarter notes."""
    line = music21.stream.Stream([music21.note.Note(note.replace("b", "-")) for note in notes])
    key = line.analyze("key.krumhanslkessler")
    every = [key, *key.alternateInterpretations]
    return {(k.tonic.pitchClass, k.mode): k.correlationCoefficient for k in every}


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_profiles_are_those_of_music21(mode: str) -> None:
    """Krumhansl and Kessler 1982, as printed in texts on the Krumhansl-Schmuckler algorithm; music21 has the same."""
    assert [float(number) for number in PROFILES[mode]] == ANALYSIS().getWeights(mode)


@pytest.mark.parametrize(
    ("name", "cipher", "key", "correlation"),
    [
        ("HAYDN", "french_h", "D major", 0.848),
        ("GABRIEL FAURÉ", "french", "E minor", 0.7455),
        ("GADE", "german", "D major", 0.7249),
        ("ALAIN", "eight", "A minor", 0.6658),
        ("FAE", "german", "A minor", 0.6553),
        ("ABEGG", "german", "G minor", 0.643),
        ("DSCH", "german", "C minor", 0.5454),
        ("BACH", "german", "A minor", 0.4704),
    ],
)
def test_best_key_of_a_monogram(name: str, cipher: str, key: str, correlation: float) -> None:
    """Equal notes. Source: music21 10.5, KrumhanslSchmuckler on quarter notes, computed beforehand."""
    best = key_fits_best(notes_of(name, cipher))
    assert (best.tonic, best.mode) == (parse_pitch_class(key.split()[0]).semitone, key.split()[1])
    digits = len(str(correlation).split(".")[1])
    assert abs(best.correlation - correlation) <= 0.5 * 10**-digits + 1e-9


def key_fits_best(notes: list[str]) -> KeyFit:
    return max(fits_of(notes).values(), key=lambda fit: fit.squared)


def test_a_minor_triad_by_duration_may_still_go_to_another_key() -> None:
    """ALAIN's notes are a D minor triad, and A minor correlates better: .6658 and .621, by music21 10.5."""
    fits = fits_of(notes_of("ALAIN", "eight"))
    assert round(fits[2, "minor"].correlation, 3) == 0.621


@pytest.mark.parametrize("name", ["BACH", "DSCH", "ABEGG", "GADE", "FAE", "ASCH"])
def test_all_24_keys_fit_as_music21_says(name: str) -> None:
    """Source: music21's analysis, run here."""
    notes = notes_of(name, "german")
    theirs, ours = music21_fits(notes), fits_of(notes)
    assert len(theirs) == len(ours) == 24
    for key, fit in ours.items():
        assert abs(fit.correlation - theirs[key]) < 1e-9, key


def test_nothing_fits_where_every_note_is_heard_alike() -> None:
    assert key_fits({pc: Fraction(1) for pc in range(12)}) == ()
    assert key_fits({}) == ()


def test_fits_move_with_the_notes() -> None:
    """Transposing the notes transposes the keys and changes no number. Source: the definition."""
    for one, other in combinations(range(0, 12, 5), 2):
        notes = {(pc + one) % 12: Fraction(n) for pc, n in ((0, 3), (4, 1), (7, 2), (10, 1))}
        moved = {(pc - one + other) % 12: weight for pc, weight in notes.items()}
        first = {((f.tonic - one) % 12, f.mode): f.squared for f in key_fits(notes)}
        second = {((f.tonic - other) % 12, f.mode): f.squared for f in key_fits(moved)}
        assert first == second
