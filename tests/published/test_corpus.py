"""BACH and DSCH in the scores that music21 ships, at the bars at which they are known to stand.

Source of counts and bars: music21's corpus 10.5.1, scanned with a program of its own (successive single notes in
semitones; a chord breaks the line, strictly a rest too), and the spelled places read again in music21's own streams.
Whole bach/ is searched where its index is already in the cache (`cavata trace BACH .../corpus/bach` puts it there).
"""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest
from reading_here import read_here

from cavata.trace.corpus_index import CorpusIndex, corpus_index, kept_index, music21_corpus
from cavata.trace.corpus_trace import CorpusForm, CorpusPlace, CorpusSearch, corpus_trace
from cavata.trace.subject import LineForm, Subject, subject_of_notes

pytestmark = pytest.mark.slow

BACH, DSCH = subject_of_notes("Bb A C B"), subject_of_notes("D Eb C B")

SPELLED_BACH = {
    ("bach/bwv309.mxl", "Tenor", "13", "13"), ("bach/bwv325.mxl", "Tenor", "1", "2"),
    ("bach/bwv337.mxl", "Tenor", "11", "12"), ("bach/bwv364.mxl", "Tenor", "10", "11"),
    ("bach/bwv372.mxl", "Tenor", "16", "17"), ("bach/bwv389.mxl", "Tenor", "13", "13"),
    ("bach/bwv403.mxl", "Tenor", "20", "21"), ("palestrina/Kyrie_28.krn", "Soprano", "53", "54"),
    ("palestrina/Gloria_03.krn", "Soprano", "36", "36"), ("palestrina/Sanctus_68_a.krn", "Bass", "37", "39"),
}  # fmt: skip
SPELLED_DSCH = {
    ("monteverdi/madrigal.5.4.mxl", "Quinto", "63", "64"), ("palestrina/Kyrie_99.krn", "Soprano", "21", "22"),
    ("palestrina/Agnus_II_42.krn", "Soprano", "58", "59"), ("palestrina/Benedictus_94_b.krn", "Soprano", "58", "60"),
}  # fmt: skip
TRANSPOSED_BACH = {
    ("bach/bwv11.6.mxl", "Tenor", "7", "9", "G3 F#3 A3 G#3"), ("bach/bwv124.6.mxl", "Alto", "2", "3", ""),
    ("bach/bwv9.7.mxl", "Tenor", "10", "10", ""),
}  # fmt: skip
TRANSPOSED_DSCH = {
    ("bach/bwv309.mxl", "Soprano", "7", "8", "A4 Bb4 G4 F#4"),
    ("bach/bwv309.mxl", "Soprano", "9", "10", "A4 Bb4 G4 F#4"),
    ("bach/bwv2.6.mxl", "Soprano", "7", "8", ""),
}  # fmt: skip


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> CorpusIndex:
    """The files with known places, read from a folder of their own."""
    wanted = {p[0] for p in (*SPELLED_BACH, *SPELLED_DSCH, *TRANSPOSED_BACH, *TRANSPOSED_DSCH)}
    folder = tmp_path_factory.mktemp("corpus")
    for name in sorted(wanted):
        (folder / name).parent.mkdir(exist_ok=True)
        found = sorted((music21_corpus() / name).parent.glob(Path(name).stem + ".*"))
        shutil.copy(found[0], folder / name)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(tmp_path_factory.mktemp("cache")))
        patch.setattr("cavata.trace.corpus_index.read_scores", read_here)
        index = corpus_index(folder, workers=1)
    assert index.files == len(wanted) and index.failed == ()
    return index


def prime(index: CorpusIndex, subject: Subject) -> tuple[CorpusPlace, ...]:
    return next(f for f in corpus_trace(CorpusSearch(index.arrays), subject) if f.form is LineForm.PRIME).places


def where(place: CorpusPlace) -> tuple[str, str, str, str]:
    return (place.address.file, place.address.part, place.first_bar, place.last_bar)


@pytest.mark.parametrize(("subject", "known"), [(BACH, SPELLED_BACH), (DSCH, SPELLED_DSCH)], ids=["BACH", "DSCH"])
def test_spelled_places_are_found_and_no_others(
    few: CorpusIndex, subject: Subject, known: set[tuple[str, str, str, str]]
) -> None:
    found = {where(p) for p in prime(few, subject) if p.spelled and not p.across_rest}
    # Of two parts of one name the second is told as `Soprano (2)`.
    assert {(file, part.partition(" (")[0], *bars) for file, part, *bars in found} == known


@pytest.mark.parametrize(
    ("subject", "known"), [(BACH, TRANSPOSED_BACH), (DSCH, TRANSPOSED_DSCH)], ids=["BACH", "DSCH"]
)
def test_transposed_places_are_found(
    few: CorpusIndex, subject: Subject, known: set[tuple[str, str, str, str, str]]
) -> None:
    found = {where(p): " ".join(map(str, p.pitches)) for p in prime(few, subject)}
    for *place, pitches in known:
        assert tuple(place) in found
        assert not pitches or found[tuple(place)] == pitches  # type: ignore[index]  # four texts


# ------------------------------------------------------------------ whole groups, where they have been read


@cache
def kept_group(name: str) -> CorpusIndex | None:
    return kept_index(music21_corpus() / name)


def group(name: str) -> CorpusIndex:
    """A group that was read into the cache; the test is left out where it was not."""
    found = kept_group(name)
    if found is None:
        pytest.skip(f"{name or 'the corpus'} has not been read into the cache")
    return found


def counts(index: CorpusIndex, subject: Subject) -> dict[LineForm, tuple[int, int]]:
    forms: tuple[CorpusForm, ...] = corpus_trace(CorpusSearch(index.arrays), subject)
    return {f.form: (f.strict, len(f.places)) for f in forms}


def test_counts_in_all_of_bach() -> None:
    """413 files: BACH 23 strictly and 24 loosely, its inversion 43; DSCH 12 and 13, its retrograde 31; 7 spelled."""
    index = group("bach")
    assert index.files == 413 and index.failed == ()
    bach, dsch = counts(index, BACH), counts(index, DSCH)
    assert bach[LineForm.PRIME] == (23, 24) and bach[LineForm.INVERSION][0] == 43
    assert dsch[LineForm.PRIME] == (12, 13) and dsch[LineForm.RETROGRADE][0] == 31
    spelled = [p for p in prime(index, BACH) if p.spelled and not p.across_rest]
    assert {("bach/" + p.address.file, *where(p)[1:]) for p in spelled} == {
        place for place in SPELLED_BACH if place[0].startswith("bach/")
    }
    assert [p for p in prime(index, DSCH) if p.spelled and not p.across_rest] == []


@pytest.mark.parametrize(
    ("name", "bach", "dsch"),
    [
        ("bach", (23, 24), (12, 13)), ("haydn", (6, 7), (2, 5)), ("mozart", (6, 6), (3, 3)),
        ("beethoven", (35, 45), (68, 74)), ("schumann_robert", (12, 12), (2, 2)), ("palestrina", (71, 101), (130, 132)),
        ("ryansMammoth", (5, 5), (6, 6)), ("airdsAirs", (1, 1), (4, 4)), ("essenFolksong", (9, 13), (50, 52)),
    ],
)  # fmt: skip
def test_counts_in_the_whole_corpus(name: str, bach: tuple[int, int], dsch: tuple[int, int]) -> None:
    """Strict and loose counts of each group that was scanned whole."""
    index = group("")
    for subject, wanted in ((BACH, bach), (DSCH, dsch)):
        places = [p for p in prime(index, subject) if p.address.file.startswith(f"{name}/")]
        assert (sum(not p.across_rest for p in places), len(places)) == wanted
