"""Set classes, interval vectors and Forte's labels against music21, for every set there is."""

from __future__ import annotations

from itertools import combinations

import music21.chord
import pytest
from named_notes import pitches_of
from rounds import some_of

from cavata.music.pitch import parse_pitch
from cavata.study.chords import chord_name, interval_vector, set_class

SETS = [members for size in range(1, 13) for members in combinations(range(12), size)]


@pytest.mark.slow
def test_every_class_is_the_one_that_music21_gives() -> None:
    """Prime form, vector and label of one set of each fourth of the 351 classes under transposition, in more rounds of
    all; music21 10.5 writes its labels without the Z."""
    one_each = {tuple(sorted(min(_turns(members)))): members for members in SETS}
    assert len(one_each) == 351
    for members in some_of(list(one_each.values()), 4):
        chord = music21.chord.Chord(list(members))
        found = set_class(members)
        assert list(found.prime) == chord.primeForm, members
        assert list(found.vector) == chord.intervalVector, members
        assert found.label.replace("Z", "") == chord.forteClass, members
        assert ("Z" in found.label) == chord.hasZRelation, members


def _turns(members: tuple[int, ...]) -> list[list[int]]:
    return [sorted((member - root) % 12 for member in members) for root in members]


def test_a_class_is_the_same_wherever_its_sets_lie() -> None:
    for members in SETS:
        home = set_class(members)
        assert set_class(member + 5 for member in members) == home
        turned = set_class(-member for member in members)
        assert (turned.prime, turned.vector) == (home.prime, home.vector)
        assert turned.label.translate(str.maketrans("AB", "BA")) == home.label


@pytest.mark.parametrize(
    ("name", "cipher", "prime", "label", "vector"),
    [
        ("BACH", "german", "0123", "4-1", "321000"),
        ("DSCH", "german", "0134", "4-3", "212100"),
        ("ABEGG", "german", "0136", "4-13B", "112011"),
        ("ASCH", "german", "0236", "4-12A", "112101"),
        ("AsCH", "german_names", "014", "3-3B", "101100"),
        ("GADE", "german", "0257", "4-23", "021030"),
        ("FAE", "german", "015", "3-4A", "100110"),
        ("BLAF", "german_syllables", "015", "3-4B", "100110"),
        ("HAYDN", "french_h", "0247", "4-22A", "021120"),
        ("HAYDN", "french", "027", "3-9", "010020"),
        ("FAURÉ", "french", "02357", "5-23A", "132130"),
        ("ALAIN", "eight", "037", "3-11A", "001110"),
        ("SACHER", "german_syllables", "012457", "6-Z11B", "333231"),
        ("Arnold Schönberg", "german", "01245679", "8-14B", "555562"),
        ("Anton Webern", "german", "016", "3-5B", "100011"),
        ("ELMIRA", "german_syllables", "027", "3-9", "010020"),
        ("ALBERT", "chromatic", "01457", "5-Z18A", "212221"),
        ("ROUSSEL", "chromatic", "01267", "5-7A", "310132"),
    ],
)
def test_monograms_have_their_classes(name: str, cipher: str, prime: str, label: str, vector: str) -> None:
    """Sources: computed with music21 10.5; DSCH as 0134 in Brown, Intégral 20, 2006; SACHER as 6-Z11 with the vector
    333231 on worddisk.com, Sacher hexachord; the names of Berg's friends from Taruskin, Oxford History 4."""
    found = set_class(parse_pitch(text).midi for text in pitches_of(name, cipher))
    assert (found.prime_text, found.label, found.vector_text) == (prime, label, vector)


def test_the_z_partner_of_sacher_is_6_z40() -> None:
    """Same vector, another class. Source: worddisk.com, Sacher hexachord; labels by music21."""
    sacher, partner = set_class((0, 1, 2, 4, 5, 7)), set_class((0, 1, 2, 3, 5, 8))
    assert (sacher.label, partner.label) == ("6-Z11A", "6-Z40A")
    assert sacher.vector == partner.vector


def test_the_six_classes_in_which_rahn_packs_otherwise_are_packed_as_forte_does() -> None:
    """Source: the two algorithms run side by side; the six are well known from textbooks (from memory)."""
    differing = []
    for members in SETS:
        turns = [sorted((sign * (m - r)) % 12 for m in members) for r in members for sign in (1, -1)]
        rahn = min(turns, key=lambda t: t[::-1])
        if tuple(rahn) != set_class(members).prime:
            differing.append(set_class(members).label.rstrip("AB"))
    assert set(differing) == {"5-20", "6-Z29", "6-31", "7-Z18", "7-20", "8-26"}


def test_vector_counts_all_pairs() -> None:
    for members in SETS:
        assert sum(interval_vector(members)) == len(members) * (len(members) - 1) // 2


@pytest.mark.parametrize(
    ("notes", "said"),
    [
        ("C4 Eb4 G4 Bb4", "C minor seventh"),
        ("F4 Ab4 Cb5 Eb5", "F half-diminished seventh"),
        ("C4 E4 G4 Bb4", "C dominant seventh"),
        ("B3 D4 F4 Ab4", "B diminished seventh"),
        ("C4 E4 G#4", "C augmented triad"),
        ("A3 D4 F4", "D minor triad, A lowest"),
    ],
)
def test_chords_have_their_names(notes: str, said: str) -> None:
    """Source: music21's commonName for the same notes (half-diminished and so on); the wording is ours."""
    pitches = [parse_pitch(note) for note in notes.split()]
    assert str(chord_name(pitches)) == said
    told = music21.chord.Chord([note.replace("b", "-") for note in notes.split()])
    kind = said.partition(" ")[2].partition(",")[0]
    assert kind.replace("triad", "").split()[0].split("-")[0] in told.commonName
    assert told.root().name.replace("-", "b") == said.split()[0]
