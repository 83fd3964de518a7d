"""What singers cannot do is told, and what is sung every day is not.

The source stands beside each row; `from memory` where it was not verified, and such rows are no figure of anything.
"""

from __future__ import annotations

import os
from fractions import Fraction

import pytest
from looking import found, told
from music21 import converter, corpus
from music21.note import Note
from music21.stream import Part, Score
from real_passages import SONGS

from cavata.instruments.singing import VOICES, is_hard_leap
from cavata.instruments.vowels import is_closed, language_of_words
from cavata.music.pitch import parse_pitch
from cavata.playing.finding import Degree

PASSAGGI = (
    ("tenor", "D4", "G4"), ("baritone", "B3", "E4"), ("bass-baritone", "A3", "D4"), ("bass voice", "Ab3", "Db4"),
)  # fmt: skip
"""Of lyric voices. Source: Passaggio (ninakassis.com)."""


@pytest.mark.parametrize(("name", "first", "second"), PASSAGGI)
def test_turning_points_are_those_of_a_published_page(name: str, first: str, second: str) -> None:
    assert (str(VOICES[name].first_turn), str(VOICES[name].second_turn)) == (first, second)


@pytest.mark.parametrize("syllable", ["kin", "du", "see", "thee,", "Lie-", "mi", "blue", "dir"])
def test_closed_vowels_are_known_by_their_spelling(syllable: str) -> None:
    """English, German and Italian; from memory."""
    assert is_closed(syllable)


@pytest.mark.parametrize("syllable", ["ah", "glo", "day", "light", "night!", "San", "hoch", "", "shine", "low", "us",
                                      "sun", "bird", "thirst"])
def test_open_ones_are_not_called_closed(syllable: str) -> None:
    assert not is_closed(syllable)


VOWELS = (
    ("German", "Lieb viel du und Ruh Früh süß dich", "Leib weit mein Freud Baum Träu Herz Glo schön"),
    ("English", "see thee sea field moon you blue true he who kin sing new fruit tune through",
     "light my love sun great heart blood cried now out house joy fire they low come there nough rough "
     "us sun bird first third girl birth thirst Vir friend friends Christ sign climb Zi li tri Lord"),
    ("French", "vie nuit lune tout où suis nous rue", "neige fin main bien ciel roi beau feu un nation"),
    ("Italian", "più mi tu lui virtù qui", "mai mio cielo quel tuo cuo vuol bei poi"),
    ("Spanish", "mi tu luz ir muy", "cielo bien tierra que quiero fuego aire rei"),
    ("Latin", "qui tu lux cui", "quae lau Deus eu Dei cae"),
)  # fmt: skip
"""Syllables on closed vowels, and on open ones: of a diphthong the vowel that is held, as the a of German *ei*. Source:
pronunciation as dictionaries have it; from memory."""


@pytest.mark.parametrize(("language", "closed", "open_ones"), VOWELS)
def test_vowels_are_those_of_the_language(language: str, closed: str, open_ones: str) -> None:
    assert [word for word in closed.split() if not is_closed(word, language)] == []
    assert [word for word in open_ones.split() if is_closed(word, language)] == []


@pytest.mark.parametrize(
    ("text", "language"),
    [("Du holde Kunst in wieviel grauen Stunden", "German"), ("now we sing this as fast as the light", "English"),
     ("come let us sing", "English"),
     ("et in terra pax hominibus", "Latin"), ("et lux perpetua", "Latin"),
     ("la lune est dans le ciel", "French"), ("Leib", "")],
)  # fmt: skip
def test_a_language_is_known_by_its_common_words(text: str, language: str) -> None:
    assert language_of_words(tuple(text.split())) == language


LEAPS = (
    ("C4", "B4", True), ("C4", "Bb4", True), ("C4", "D5", True), ("C4", "D#4", True), ("C4", "G#4", True),
    ("C4", "C5", False), ("C4", "A4", False), ("C4", "F#4", False), ("C4", "Eb4", False), ("C4", "Ab4", False),
)  # fmt: skip
"""Sevenths, what is wider than an octave, and augmented leaps are hard; octaves and sixths are not, and the tritone is
in every style since. Source: textbooks on strict melody; from memory."""


@pytest.mark.parametrize(("low", "high", "hard"), LEAPS)
def test_leaps_are_hard_as_textbooks_have_it(low: str, high: str, hard: bool) -> None:
    up = parse_pitch(high) - parse_pitch(low)
    assert bool(is_hard_leap(up.semitones, up.steps)) is bool(is_hard_leap(-up.semitones, -up.steps)) is hard


IMPOSSIBLE, CARE, TIRING = (degree.value for degree in Degree)
PATTER = "notes(1/16 C5 D5 E5 D5 C5 D5 E5 F5 C5 D5 E5 D5 C5 D5 E5 F5)"
WORDS = '"now we sing this as fast as light and then it all be gins a new"'
PLANTED = (
    ("s = soprano", "s: notes(1/1 chord(C5 E5))", "", IMPOSSIBLE, "one note", "common practice"),
    ("t = tenors", 't: notes(1/1 C5) -> marked pp -> sung "du"', "tempo 1/4 at 80", CARE, "vowel", "from memory"),
    ("s = soprano", 's: notes(1/1 C5) -> sung "ah" held 5 bars', "tempo 1/4 at 60", CARE, "breath", "from memory"),
    ("b = bass voices", 'b: notes(1/8 C2 F4, 3/4 rest) -> sung "a a"', "tempo 1/4 at 100", CARE, "leap of a voice",
     "reasoned: two octaves and a fourth in an eighth"),
    ("s = soprano", f"s: {PATTER} -> sung {WORDS}", "tempo 1/4 at 200", IMPOSSIBLE, "words",
     "reasoned: 13 syllables a second"),
    ("s = soprano", 's: notes(1/32 C5 D5 E5 F5 G5 F5 E5 D5) -> sung "ah"', "tempo 1/4 at 120",
     IMPOSSIBLE, "run", "reasoned: 16 notes a second"),
    ("s = sopranos", f"s: {PATTER} -> sung {WORDS}", "tempo 1/4 at 100", CARE, "words", "from memory"),
    ("s = soprano", 's: notes(1/1 A5) -> sung "see"', "tempo 1/4 at 80", CARE, "vowel",
     "J. Acoust. Soc. Am. 67 (1980), 1795: front vowels are not heard there"),
    ("t = tenor", "t: notes(1/1 A4) x 12", "tempo 1/4 at 72", TIRING, "tessitura", "from memory"),
    ("a = altos", "a: notes(1/1 D5 C#5 D5 Eb5 D5)", "tempo 1/4 at 80", TIRING, "tessitura", "from memory"),
    ("v = violin\ns = soprano", "v: notes(1/1 C4 C4 C4 C4)\ns: 3 bars rest, notes(1/1 F#5)", "tempo 1/4 at 60", CARE,
     "first note", "from memory"),
    ("a = altos", "a: notes(1/8 C4 F#4 C4 F#4)", "tempo 1/4 at 120", CARE, "leap of a voice",
     "Writing for choirs (cypresschoral.com): tritone leaps are challenging for the best choirs"),
    ("s = soprano", 's: notes(1/4 G5 G5 A5 G5 G5 A5 G5 G5) -> sung "now we sing this as fast as light"', "", CARE,
     "vowel", "J. Acoust. Soc. Am. 67 (1980), 1795"),
    ("s = soprano", 's: notes(1/1 C5) -> sung "ah" held 8 bars', "tempo 1/4 at 60", IMPOSSIBLE, "breath",
     "a section leader: more than two full breaths on one note"),
    ("s = sopranos", "s: notes(1/2 C4 Bb4 A4)", "tempo 1/4 at 80", CARE, "leap of a voice",
     "a section leader: a seventh is care for choirs"),
    ("s = soprano", "s: notes(1/1 A5) -> marked p", "tempo 1/4 at 80", CARE, "vowel", "a section leader"),
    ("t = tenor", "t: notes(1/1 Bb4) -> marked pp", "tempo 1/4 at 80", CARE, "vowel", "a section leader"),
    ("s = soprano\np = piano", "s: notes(1/1 F5)\np.right: notes(1/1 F5)", "tempo 1/4 at 80", CARE, "first note",
     "a section leader: from silence, with nothing to take it from"),
    ("s = soprano\nd = snare drum", "s: 1 bar rest, notes(1/1 F5)\nd: (1/4 1/4 1/4 1/4)", "tempo 1/4 at 80", CARE,
     "first note", "the same: nobody takes a note from a drum"),
    ("s = soprano", "s: notes(1/1 C5) -> marked ff held 25 bars", "tempo 1/4 at 60", IMPOSSIBLE, "breath",
     "reasoned: 100 s on one note"),
)  # fmt: skip


@pytest.mark.parametrize(("forces", "rows", "settings", "degree", "kind", "source"), PLANTED)
def test_what_was_planted_is_told(forces: str, rows: str, settings: str, degree: str, kind: str, source: str) -> None:
    assert (degree, kind) in told(forces, rows, settings), source


REAL = (
    ("s = soprano", "s: notes(1/4 D5 C5 A4 G5)", "tempo 1/4 at 76", "Schubert D 328, top G5, 139 (Mutopia)"),
    ("s = sopranos", 's: notes(1/1 A5) -> sung "ah" held 12 bars', "tempo 1/4 at 160",
     "Beethoven, Symphony 9 iv: A5 for some twelve bars; from memory"),
    ("s = soprano", 's: notes(1/16 Bb4 C5 D5 Eb5 F5 Eb5 D5 C5 Bb4 C5 D5 Eb5 F5 G5 A5 Bb5) -> sung "joice"',
     "tempo 1/4 at 108", "Handel, Messiah, Rejoice greatly; from memory"),
    ("b = bass voice", "b: notes(1/4 D3 F#3 A3 D4, 1/2 D2)", "tempo 1/4 at 100", "Mozart K 384, D2; from memory"),
    ("b = baritone", f"b: {PATTER} -> down P8 -> sung {WORDS}", "tempo 1/4 at 132",
     "Rossini, Il barbiere: patter; from memory"),
    ("b = bass voices", 'b: notes(1/16 E3 F#3 G3 A3 B3 A3 G3 F#3) -> sung "re"', "tempo 1/4 at 92",
     "Bach BWV 232, Et resurrexit: the basses; from memory"),
)  # fmt: skip


@pytest.mark.parametrize(("forces", "rows", "settings", "work"), REAL)
def test_what_works_ask_for_is_not_called_impossible(forces: str, rows: str, settings: str, work: str) -> None:
    assert [row for row in told(forces, rows, settings) if row[0] == IMPOSSIBLE] == [], work


@pytest.mark.parametrize(("work", "name", "tempo", "row"), SONGS, ids=lambda value: str(value)[:24])
def test_passages_of_songs_are_not_told(work: str, name: str, tempo: int, row: str) -> None:
    assert told(f"p = {name}", f"p: {row}", f"tempo 1/4 at {tempo}") == [], work


def test_singers_without_instruments_are_given_their_notes() -> None:
    """Common practice: a pitch pipe before the piece."""
    assert told("s = sopranos\na = altos", "s: notes(1/1 F5)\na: notes(1/1 F4)", "tempo 1/4 at 80") == []


def test_a_diphthong_is_held_on_its_open_vowel() -> None:
    """*Leib* and *weit* are sung as [a]: pronunciation of German; from memory."""
    row = 's: notes(1/1 D5 A5 A5 A5) -> sung "mein Leib ist weit"'
    (made,) = [each for each in found("s = soprano", row, "tempo 1/4 at 80") if each.kind.word == "vowel"]
    assert made.text.startswith("`ist`")


def test_singers_are_not_called_players() -> None:
    made = found("s = soprano", "s: notes(1/1 chord(C5 E5)) -> marked ff x 40", "tempo 1/4 at 60")
    assert {each.kind.word for each in made} >= {"one note", "loud playing"}
    assert [each for each in made if "play" in f"{each.what} {each.text} {each.cure}"] == []


@pytest.mark.parametrize(("name", "note"), [("bass voice", "D4"), ("soprano", "G5"), ("tenor", "G4")])
def test_soft_notes_below_the_top_are_sung(name: str, note: str) -> None:
    assert told(f"v = {name}", f"v: notes(1/1 {note}) -> marked p", "tempo 1/4 at 80") == []


def test_a_word_is_not_torn_for_a_breath() -> None:
    row = 's: notes(1/4 C5 D5 E5 F5) -> sung "{}" x 10'
    torn, apart = "glo- ri- fi- ca-", "now come all here"
    assert ("care", "breath") in told("s = soprano", row.format(torn), "tempo 1/4 at 60")
    assert told("s = soprano", row.format(apart), "tempo 1/4 at 60") == []


def test_singers_of_one_line_breathe_by_turns() -> None:
    assert told("s = sopranos", "s: notes(1/1 C5) held 25 bars", "tempo 1/4 at 60") == []


# ---------------------------------------------------------------- music that is sung every day

CHOIR = ("sopranos", "altos", "tenors", "bass voices")


def chorale(path: object) -> tuple[int, list[tuple[str, str]]] | None:
    """How many notes a chorale has, and what is told of its four voices; None if it has other parts."""
    score = converter.parse(path)
    if not isinstance(score, Score) or len(score.parts) != len(CHOIR):
        return None
    rows = [_row(part) for part in score.parts]
    forces = "\n".join(f"p{index} = {name}" for index, name in enumerate(CHOIR))
    lines = "\n".join(f"p{index}: notes({', '.join(row)})" for index, row in enumerate(rows))
    return sum(len(row) for row in rows), told(forces, lines, "tempo 1/4 at 72")


def _row(part: Part) -> list[str]:
    found = []
    for each in part.stripTies().flatten().notesAndRests:
        if each.duration.quarterLength:
            length = Fraction(each.duration.quarterLength) / 4
            name = each.pitch.nameWithOctave.replace("-", "b") if isinstance(each, Note) else "rest"
            found.append(f"{length.numerator}/{length.denominator} {name}")
    return found


def test_chorales_can_be_sung() -> None:
    """Bach's chorales in music21's corpus: nothing impossible, and care for at most one note in five hundred."""
    whole = "CAVATA_CORPUS" in os.environ
    paths = [path for path in corpus.getPaths() if "bach/bwv" in str(path) and str(path).endswith(".mxl")]
    made = [each for path in (paths if whole else paths[::140]) if (each := chorale(path)) is not None]
    rows = [row for _, all_rows in made for row in all_rows if row[1] != "range"]  # which a check tells by itself
    notes = sum(count for count, _ in made)
    assert len(made) >= (300 if whole else 2) and notes > 300
    assert [row for row in rows if row[0] == IMPOSSIBLE] == []
    assert len(rows) <= max(1, notes / 500), rows


def test_what_is_found_has_a_cure_and_a_source() -> None:
    made = found("s = soprano", f"s: {PATTER} -> sung {WORDS}", "tempo 1/4 at 200")
    assert all(each.cure and each.source and not each.cure.endswith(".") for each in made) and made

def test_a_closed_vowel_hides_no_soft_note() -> None:
    """Two facts, each with its own cure; a section leader."""
    made = found("t = tenors", 't: notes(1/1 C5) -> marked ppp -> sung "du"', "tempo 1/4 at 80")
    assert len([each for each in made if each.kind.word == "vowel"]) == 2
