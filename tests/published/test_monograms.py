"""Published musical monograms, spelled by the library's ciphers, and their set classes against music21."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import music21.chord
import music21.pitch
import pytest
from named_notes import motif_pitches, name_script, notes_of, pitches_of


@dataclass(frozen=True, slots=True)
class Monogram:
    """A name, its notes, and who published it."""

    name: str
    cipher: str
    notes: str
    work: str
    source: str
    readings: str = ""


MONOGRAMS = [
    Monogram("BACH", "german", "Bb A C B", "Bach, The Art of Fugue, 1751; Schumann op. 60; Liszt; Webern op. 28",
             "h2g2 A49686501; interlude.hk"),
    Monogram("DSCH", "german", "D Eb C B", "Shostakovich, Symphony 10 op. 93, 1953, and String Quartet 8 op. 110, 1960",
             "en.wikipedia.org, DSCH motif; Brown, Intégral 20, 2006"),
    Monogram("ABEGG", "german", "A Bb E G G", "Schumann, Abegg Variations op. 1, 1830",
             "encyclopedia article on the Abegg Variations"),
    Monogram("SCHA", "german", "Eb C B A", "Schumann, Carnaval op. 9, 1834-35, Sphinxes",
             "le-cygne-de-ravel.com; mtosmt.org 10.4, Gauldin ex. 2"),
    Monogram("ASCH", "german", "A Eb C B", "the same", "the same; the numbering of Sphinxes 2 and 3 differs"),
    Monogram("AsCH", "german_names", "Ab C B", "the same", "the same"),
    Monogram("GADE", "german", "G A D E", "Schumann, Album für die Jugend op. 68 no. 41, 1848",
             "ericsams.org; flaminioonline.it"),
    Monogram("AGATHE", "german", "A G A B E", "Brahms, String Sextet 2 op. 36, 1864-65: the T has no note",
             "musicintheround.co.uk"),
    Monogram("AGADHE", "german", "A G A D B E", "the same, the D sounding in another part", "timsummers.org"),
    Monogram("FAE", "german", "F A E", "Dietrich, Schumann and Brahms, F-A-E Sonata, 1853", "concert.lisztacademy.hu"),
    Monogram("FASF", "german_names", "F Ab F", "Brahms, Symphony 3 op. 90, 1883: a motto, F A F with the A lowered",
             "classicalconnect.com; ericsams.org"),
    Monogram("HAYDN", "french_h", "B A D D G",
             "Debussy, Dukas, Hahn, d'Indy, Ravel, Widor; Revue S.I.M., 15 January 1910",
             "parlancechamberconcerts.org; classicalconnect.com 4189"),
    Monogram("GABRIEL FAURÉ", "french", "G A B D B E E F A G D E",
             "Ravel, Berceuse; Revue musicale, October 1922", "hyperion-records.co.uk W13751, Nichols"),
    Monogram("FAURÉ", "french", "F A G D E", "Enescu, Aubert, Koechlin, Ladmirault, Roger-Ducasse; the same",
             "hyperion-records.co.uk W13751, Nichols"),
    Monogram("ALAIN", "eight", "A D A A F", "Duruflé, Prélude et fugue sur le nom d'Alain op. 7, 1942",
             "hyperion-records.co.uk W39_66368; ohscatalog.org"),
    Monogram("SACHER", "german_syllables", "Eb A C B E D", "Britten, Boulez and ten others, 12 Hommages, 1976",
             "worddisk.com, Sacher hexachord"),
    Monogram("Arnold Schönberg", "german", "A D Eb C B Bb E G", "Berg, Chamber Concerto, 1923-25, motto: piano",
             "Taruskin, Oxford History of Western Music 4, ch. 6"),
    Monogram("Anton Webern", "german", "A E Bb E", "the same: violin", "the same"),
    Monogram("Alban Berg", "german", "A Bb A Bb E G", "the same: horn", "the same"),
    Monogram("ELMIRA", "german_syllables", "E A E D A", "Shostakovich, Symphony 10 op. 93, third movement: horn",
             "boosey.com 1775; azer.com 11.1, Melodic signatures"),
    Monogram("BLAF", "german_syllables", "Bb A F",
             "Rimsky-Korsakov, Lyadov, Borodin, Glazunov, String Quartet B-la-F, 1886", "editionsilvertrust.com"),
    Monogram("ALBERT", "chromatic", "A E# B E Fb Ab", "Honegger, Hommage à Albert Roussel; Revue musicale, April 1929",
             "French Wikipedia, Hommage à Albert Roussel"),
    Monogram("ROUSSEL", "chromatic", "Fb Cb Bb Gb Gb E E#", "the same", "the same"),
    Monogram("Hercules Dux Ferrarie", "vowels", "D C D C D F E D", "Josquin, Missa Hercules Dux Ferrariae",
             "en.wikipedia.org, Soggetto cavato: re ut re ut re fa mi re"),
    Monogram("Vive le roy", "vowels_v", "C E C D D G E", "Josquin, in Canti C, 1504",
             "en.wikipedia.org, Soggetto cavato: ut mi ut re re sol mi"),
    Monogram("la sol fa re mi", "syllables", "A G F D E", "Josquin, Missa La sol fa re mi: by sound, Lascia fare mi",
             "en.wikipedia.org, Soggetto cavato"),
    Monogram("Maria", "vowels", "A E A", "Josquin, Illibata Dei virgo: la mi la", "de.zxc.wiki, Soggetto cavato",
             "letter 2 as la, letter 5 as la"),
    Monogram("Mi lares vous", "syllables", "E A D", "Josquin, chanson: mi la re", "en.wikipedia.org, Soggetto cavato"),
    Monogram("CAGE", "german", "C A G E", "Cage", "plain letters: common practice"),
    Monogram("EHE", "german", "E B E", "Schumann, in letters", "Sams 1965 for the word; notes by the German names"),
]  # fmt: skip


@pytest.mark.parametrize("monogram", MONOGRAMS, ids=lambda monogram: monogram.name)
def test_name_has_its_published_notes(monogram: Monogram) -> None:
    found = notes_of(monogram.name, monogram.cipher, monogram.readings)
    assert found == monogram.notes.split(), f"{monogram.work} ({monogram.source})"


def test_gis_e_la_needs_note_names_and_a_syllable() -> None:
    """Joachim, op. 5 and letters: G sharp, E, A. From memory."""
    own = 'cipher house = german_names\n    "LA" = la\n'
    assert notes_of("Gis E La", "house", own=own) == ["G#", "E", "A"]


def test_notes_of_berg_and_webern_are_all_in_schoenberg() -> None:
    """The three mottoes of Berg's Chamber Concerto. Source: by counting, from the spellings of Taruskin."""
    schoenberg, webern, berg = (
        set(notes_of(name, "german")) for name in ("Arnold Schönberg", "Anton Webern", "Alban Berg")
    )
    assert webern | berg <= schoenberg


def test_a_name_in_another_script_is_written_out() -> None:
    """Schostakowitsch in German letters: Es C H Es A S C H; the D of DSCH is the first name's. By counting."""
    script = name_script("Шостакович", "german", written="SCHOSTAKOWITSCH")
    assert [text[:-1] for text in motif_pitches(script)] == ["Eb", "C", "B", "Eb", "A", "Eb", "C", "B"]


# ------------------------------------------------------------------------------------------ intervals


def semitones(pitches: list[str]) -> list[int]:
    keys = [music21.pitch.Pitch(text.replace("b", "-")).midi for text in pitches]
    return [later - earlier for earlier, later in itertools.pairwise(keys)]


@pytest.mark.parametrize(
    ("name", "form", "intervals"),
    [
        ("BACH", "", [-1, 3, -1]),
        ("BACH", "-> retrograde", [1, -3, 1]),
        ("BACH", "-> inverted about Bb4", [1, -3, 1]),
        ("BACH", "-> retrograde -> inverted about Bb4", [-1, 3, -1]),
        ("DSCH", "", [1, -3, -1]),
        ("DSCH", "-> inverted about D4", [-1, 3, 1]),
        ("DSCH", "-> retrograde", [1, 3, -1]),
        ("DSCH", "-> retrograde -> inverted about D4", [-1, -3, 1]),
    ],
)
def test_forms_of_a_motif(name: str, form: str, intervals: list[int]) -> None:
    """Laid out nearest, BACH goes -1 +3 -1 and is its own retrograde inversion; DSCH has four distinct forms.
    Source: by counting; Webern builds the row of op. 28 on the first fact (from memory)."""
    assert semitones(motif_pitches(name_script(name, "german", form=form))) == intervals


def test_webern_opus_28_row_is_three_bach_motifs() -> None:
    """Bb A C B, its inversion, and itself again: -1 +3 -1, +1 -3 +1, -1 +3 -1. The row is from memory."""
    row = ["Bb A C B", "Eb E C# D", "Gb F Ab G"]
    bach = semitones(pitches_of("BACH", "german"))
    modulo = [[interval % 12 for interval in semitones([f"{note}4" for note in four.split()])] for four in row]
    turned = [-interval for interval in bach]
    assert modulo == [[interval % 12 for interval in form] for form in (bach, turned, bach)]
    assert len({music21.pitch.Pitch(n.replace("b", "-")).pitchClass for four in row for n in four.split()}) == 12


# ------------------------------------------------------------------------------------------ set classes

SET_CLASSES = [
    ("BACH", "german", "0123", "4-1", "321000"),
    ("DSCH", "german", "0134", "4-3", "212100"),
    ("ABEGG", "german", "0136", "4-13B", "112011"),
    ("ASCH", "german", "0236", "4-12A", "112101"),
    ("SCHA", "german", "0236", "4-12A", "112101"),
    ("AsCH", "german_names", "014", "3-3B", "101100"),
    ("GADE", "german", "0257", "4-23", "021030"),
    ("AGATHE", "german", "0247", "4-22B", "021120"),
    ("AGADHE", "german", "02479", "5-35", "032140"),
    ("GABRIEL", "french", "02479", "5-35", "032140"),
    ("FAE", "german", "015", "3-4A", "100110"),
    ("BLAF", "german_syllables", "015", "3-4B", "100110"),
    ("HAYDN", "french_h", "0247", "4-22A", "021120"),
    ("HAYDN", "french", "027", "3-9", "010020"),
    ("FAURÉ", "french", "02357", "5-23A", "132130"),
    ("la sol fa re mi", "syllables", "02357", "5-23A", "132130"),
    ("ALAIN", "eight", "037", "3-11A", "001110"),
    ("SACHER", "german_syllables", "012457", "6-11B", "333231"),
    ("Arnold Schönberg", "german", "01245679", "8-14B", "555562"),
    ("Anton Webern", "german", "016", "3-5B", "100011"),
    ("Alban Berg", "german", "0136", "4-13B", "112011"),
    ("ELMIRA", "german_syllables", "027", "3-9", "010020"),
    ("Hercules Dux Ferrarie", "vowels", "0135", "4-11B", "121110"),
    ("ALBERT", "chromatic", "01457", "5-18A", "212221"),
    ("ROUSSEL", "chromatic", "01267", "5-7A", "310132"),
]


@pytest.mark.parametrize(("name", "cipher", "prime", "forte", "vector"), SET_CLASSES)
def test_set_class(name: str, cipher: str, prime: str, forte: str, vector: str) -> None:
    """Prime form, Forte's label as music21 prints it (without a Z), and interval vector.
    Sources: computed with music21 10.5; DSCH as 0134 in Brown, Intégral 20, 2006; SACHER as 6-Z11 with the vector
    333231 on worddisk.com, Sacher hexachord."""
    chord = music21.chord.Chord([note.replace("b", "-") for note in notes_of(name, cipher)])
    assert chord.primeFormString == f"<{prime}>"
    assert chord.forteClass == forte
    assert "".join(map(str, chord.intervalVector)) == vector
