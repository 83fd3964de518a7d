"""The library's letter tables against the published conventions, letter by letter, and where those conflict."""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from string import ascii_uppercase

import lilypond
import music21.pitch
import pytest
from named_notes import codes_of, name_script, notes_of, pitches_of

INTERLUDE = "interlude.hk, Hidden meanings: table; also classik.forumactif.com t662"
ALAIN = "table on Japanese Wikipedia, Alain; A/I to H/P: hyperion-records.co.uk W39_66368"
DEUTSCH = "LilyPond, note names `deutsch`; music21, Pitch.german"
HONEGGER = "French Wikipedia, Hommage à Albert Roussel; D, K and P restored by counting 21 entries"


def columns(text: str) -> list[tuple[str, str]]:
    """`A H O V > A, B I > B` as pairs of a letter and its note."""
    pairs = []
    for column in text.split(","):
        letters, note = column.split(">")
        pairs += [(letter, note.strip()) for letter in letters.split()]
    return pairs


TABLES = {
    "french": (
        "A H O V > A, B I P W > B, C J Q X > C, D K R Y > D, E L S Z > E, F M T > F, G N U > G",
        INTERLUDE,
    ),
    "french_h": (
        "A O V > A, B I P W > B, C J Q X > C, D K R Y > D, E L S Z > E, F M T > F, G N U > G, H > B",
        "parlancechamberconcerts.org, Debussy, Hommage à Haydn; H by itself in the B column: Japanese Wikipedia, Alain",
    ),
    "eight": (
        "A I Q Y > A, B J R Z > Bb, C K S > C, D L T > D, E M U > E, F N V > F, G O W > G, H P X > B",
        ALAIN,
    ),
    "german": ("A > A, B > Bb, C > C, D > D, E > E, F > F, G > G, H > B, S > Eb", DEUTSCH),
    "german_syllables": (
        "A L > A, B > Bb, C > C, D R > D, E M > E, F > F, G > G, H > B, S > Eb",
        "Sacher: en.wikipedia.org, Messagesquisse (R); Elmira: boosey.com 1775 (L, M)",
    ),
    "chromatic": (
        "A > A, B > B, C > C, D > D, E > E, F > F, G > G, H > A#, I > B#, J > C#, K > D#, L > E#, M > F#, N > G#,"
        "O > Cb, P > Db, Q > Eb, R > Fb, S > Gb, T > Ab, U > Bb",
        HONEGGER,
    ),
    "vowels": ("A > F, E > D, I Y > E, O > G, U > C", "en.wikipedia.org, Soggetto cavato"),
    "vowels_v": ("A > F, E > D, I Y > E, O > G, U V > C", "en.wikipedia.org, Soggetto cavato: Vive le roy"),
}


@pytest.mark.parametrize("cipher", TABLES)
def test_letters_have_their_published_notes(cipher: str) -> None:
    table, source = TABLES[cipher]
    letters, notes = zip(*columns(table), strict=True)
    assert notes_of(" ".join(letters), cipher) == list(notes), source


@pytest.mark.parametrize("cipher", ["french", "french_h", "eight"])
def test_every_letter_of_the_alphabet_has_a_note(cipher: str) -> None:
    assert len(columns(TABLES[cipher][0])) == 26
    assert len(notes_of(ascii_uppercase, cipher)) == 26


@pytest.mark.parametrize("cipher", ["german", "german_names", "german_syllables", "vowels", "vowels_v"])
def test_letters_without_a_note_are_passed_over(cipher: str) -> None:
    """Berg spells Arnold Schönberg so. Source: Taruskin, Oxford History of Western Music 4, ch. 6."""
    silent = [letter for letter in ascii_uppercase if letter not in "ABCDEFGHSLMRIOUYV"]
    assert notes_of("A" + "".join(silent) + "E", cipher) == notes_of("AJE", cipher)
    assert len(notes_of("AJE", cipher)) == 2


@pytest.mark.parametrize("letter", "VWXYZ")
def test_honegger_gives_the_last_five_letters_no_note(letter: str) -> None:
    """His table ends at U, and nothing is made up for the rest. Source: French Wikipedia, Hommage à Albert Roussel."""
    assert codes_of(name_script(f"A{letter}", "chromatic")) == ["V101"]


# ------------------------------------------------------------------------------------------ German names


def note_names() -> list[tuple[str, str]]:
    """Each of the 35 note names, and what music21 says a German calls it."""
    names = []
    for letter, accidental in itertools.product("CDEFGAB", ("", "#", "b", "##", "bb")):
        pitch = music21.pitch.Pitch(letter + accidental.replace("b", "-"))
        names.append((pitch.german, letter + accidental))
    return names


@pytest.mark.parametrize(("german", "note"), note_names())
def test_every_german_note_name_is_one_note(german: str, note: str) -> None:
    assert notes_of(german, "german_names") == [note]


def lilypond_names() -> dict[str, str]:
    """LilyPond's own table `deutsch`, read from its installation, quarter tones left out."""
    (table,) = Path(lilypond.executable()).parents[1].glob("share/lilypond/*/scm/lily/define-note-names.scm")
    rows = table.read_text(encoding="utf-8").partition("(deutsch . (")[2].partition("Language:")[0]
    accidentals = {"DOUBLE-FLAT": "bb", "FLAT": "b", "NATURAL": "", "SHARP": "#", "DOUBLE-SHARP": "##"}
    return {
        name: "CDEFGAB"[int(step)] + accidentals[alteration]
        for name, step, alteration in re.findall(r"\((\w+) \. ,\(ly:make-pitch -1 (\d) ([A-Z-]+)\)\)", rows)
        if alteration in accidentals
    }


def test_every_german_name_of_lilypond_is_the_same_note() -> None:
    names = lilypond_names()
    assert len(set(names.values())) == 35
    for name, note in names.items():
        assert notes_of(name, "german_names") == [note], name


def test_both_names_of_the_double_flat_a() -> None:
    """LilyPond's standard name is asas, and it takes ases too; music21 says Ases."""
    assert notes_of("Asas", "german_names") == notes_of("Ases", "german_names") == ["Abb"]


def test_the_longest_name_wins() -> None:
    assert notes_of("FISIS", "german_names") == ["F##"]
    assert notes_of("FISI", "german_names") == ["F#"]
    assert notes_of("DESES", "german_names") == ["Dbb"]


# ------------------------------------------------------------------------------------------ syllables and vowels


@pytest.mark.parametrize(
    ("syllable", "note"),
    [("ut", "C"), ("do", "C"), ("re", "D"), ("mi", "E"), ("fa", "F"), ("sol", "G"), ("la", "A"), ("si", "B")],
)
def test_syllables_of_the_natural_hexachord(syllable: str, note: str) -> None:
    """Source: common practice; natural hexachord C D E F G A for ut re mi fa sol la."""
    assert notes_of(syllable, "syllables") == [note]


def test_syllables_do_not_run_from_word_to_word() -> None:
    assert notes_of("so la", "syllables") == ["A"]
    assert notes_of("do la", "syllables") == ["C", "A"]


def test_ae_is_one_vowel() -> None:
    """Ferrariae and Ferrarie sing the same. Source: en.wikipedia.org, Soggetto cavato."""
    assert notes_of("Ferrariae", "vowels") == notes_of("Ferrarie", "vowels") == ["D", "F", "E", "D"]
    assert notes_of("Ferrariæ", "vowels") == ["D", "F", "E", "D"]


def test_a_may_be_la() -> None:
    """Fa in Hercules Dux Ferrarie, la in Maria. Source: de.zxc.wiki, Soggetto cavato."""
    assert notes_of("Maria", "vowels") == ["F", "E", "F"]
    assert notes_of("Maria", "vowels", "letter 2 as la, letter 5 as la") == ["A", "E", "A"]


def test_v_counts_only_where_it_is_asked_for() -> None:
    assert notes_of("Vive", "vowels") == ["E", "D"]
    assert notes_of("Vive", "vowels_v") == ["C", "E", "C", "D"]


# ------------------------------------------------------------------------------------------ exact pitches


def test_ladder_rises_by_semitones_from_a() -> None:
    """26 letters, 26 semitone steps. Source: from memory (a plain construction)."""
    pitches = [music21.pitch.Pitch(text) for text in pitches_of(ascii_uppercase, "ladder")]
    assert [pitch.midi for pitch in pitches] == list(range(45, 45 + 26))


def test_alphabet_rises_by_scale_steps_from_a_to_e() -> None:
    """26 letters on 26 scale steps: from a low A the last is an E, and the note names are those of the seven columns.
    Source: Rattalino on flaminioonline.it, Debussy, Hommage à Haydn; the 26th step by counting."""
    pitches = pitches_of(ascii_uppercase, "alphabet")
    steps = [music21.pitch.Pitch(text).diatonicNoteNum for text in pitches]
    assert [later - earlier for earlier, later in itertools.pairwise(steps)] == [1] * 25
    assert (pitches[0], pitches[-1]) == ("A2", "E6")
    assert notes_of(ascii_uppercase, "alphabet") == notes_of(ascii_uppercase, "french")


def test_letters_of_exact_pitches_keep_them_in_any_order() -> None:
    assert pitches_of("ZA", "alphabet") == ["E6", "A2"]


# ------------------------------------------------------------------------------------------ conflicts

CONFLICTS = [
    ("H", {"german": "B", "french_h": "B", "eight": "B", "french": "A", "alphabet": "A", "chromatic": "A#"}),
    ("B", {"german": "Bb", "german_names": "Bb", "eight": "Bb", "french": "B", "alphabet": "B", "chromatic": "B"}),
    ("S", {"german": "Eb", "french": "E", "french_h": "E", "eight": "C", "chromatic": "Gb"}),
]


@pytest.mark.parametrize(
    ("letter", "cipher", "note"),
    [(letter, cipher, note) for letter, table in CONFLICTS for cipher, note in table.items()],
)
def test_conventions_differ_on_single_letters(letter: str, cipher: str, note: str) -> None:
    assert notes_of(letter, cipher) == [note]


@pytest.mark.parametrize(
    ("name", "cipher", "notes"),
    [
        ("HAYDN", "french_h", "B A D D G"),
        ("HAYDN", "french", "A A D D G"),
        ("BACH", "german", "Bb A C B"),
        ("BACH", "eight", "Bb A C B"),
        ("BACH", "french", "B A C A"),
        ("ASCH", "german", "A Eb C B"),
        ("ASCH", "german_names", "Ab C B"),
        ("ALAIN", "eight", "A D A A F"),
        ("ALAIN", "french", "A E A B G"),
        ("FAE", "german", "F A E"),
        ("FAE", "german_syllables", "F E"),
    ],
)
def test_one_name_by_two_conventions(name: str, cipher: str, notes: str) -> None:
    """HAYDN: parlancechamberconcerts.org and classik.forumactif.com. BACH cannot tell German from the eight columns.
    ASCH: both stand in Schumann's Carnaval (mtosmt.org 10.4, Gauldin). One web page calls the H of HAYDN B flat in its
    English and B natural in its French version; the English is a slip (jeanmichelserres.com). FAE: by counting."""
    assert notes_of(name, cipher) == notes.split()


def test_y_and_n_of_haydn_rest_on_the_alphabet_alone() -> None:
    """Two composers are reported to have declined for that reason; the German names have neither letter.
    Source: parlancechamberconcerts.org, on the commission of 1909."""
    assert notes_of("YN", "french_h") == ["D", "G"]
    assert codes_of(name_script("YN", "german")) == ["V103"]
