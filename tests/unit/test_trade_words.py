"""A word that a musician brings along is answered with what is written here, and what a hint writes compiles."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from cavata.diagnostics import as_text
from cavata.music.pitch import Pitch
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.score.score import Score
from cavata.syntax.format import format_script
from cavata.syntax.trade_words import here
from cavata.syntax.words import BRITISH, CHANGED_WORDS
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

HEAD = """language 2

use french from ciphers

name tamsin = "TAMSIN" by french
motif tune = notes(1/4 D4 E4, 1/2 F4)
motif lamp = notes(1/4 chord(D4 F4 A4))
forces
    violin = viola
    drum   = snare drum
movement first
"""
TABLE = tomllib.loads((folder("stdlib") / "trade_words.toml").read_text(encoding="utf-8"))

# Italian, German, French and English terms with what they mean. Sources: LilyPond Music Glossary (the rows of the
# first block: single equivalents, each common practice too); the others from memory.
MEANINGS = {
    "legato": "-> slurred", "gebunden": "-> slurred", "lié": "-> slurred",
    "Fermate": "-> fermata last by 1/2", "corona": "-> fermata last by 1/2", "point d'orgue": "-> fermata last by 1/2",
    "Triller": "-> trill last", "trillo": "-> trill last", "Mordent": "", "mordente": "-> mordent 1",
    "gruppetto": "-> turn 1", "Doppelschlag": "-> turn 1", "arpège": "-> rolled", "arpeggio": "-> rolled",
    "Auftakt": "pickup 1/4", "anacrouse": "pickup 1/4", "upbeat": "pickup 1/4",
    "Akzent": "-> marked accent", "diesis": "-> sharp 1", "bémol": "-> flat 1", "Auflösungszeichen": "-> natural 1",
    "decrescendo": "-> diminuendo f p", "rallentando": "tempo at bar 3: broadening to 1/4 at 60 over 2 bars",
    "accelerando": "tempo at bar 3: pressing on to 1/4 at 120 over 2 bars", "Dur": "D major", "mineur": "D minor",
    "Tonart": "key D minor", "quaver": "1/8", "Viertel": "1/4", "blanche": "1/2", "croma": "1/8", "ronde": "1/1",
    "Kanon": "canon(m, after 1 bar)", "Widmung": 'dedication "Widmung"', "attacca": "",
    # from memory
    "dal niente": "-> crescendo nothing f", "al niente": "-> diminuendo p nothing",
    "Generalbass": '-> figured "6 4/3"', "l.v.": "-> marked let_ring", "Flatterzunge": "-> marked flutter_tongue",
    "Luftpause": "-> marked breath", "Zäsur": "-> marked caesura", "ossia": "violin at bar 3 ossia: tune",
    "lyricist": 'poet "lyricist"', "Verlag": 'publisher "Verlag"',
    "Krebs": "-> retrograde", "cancrizans": "-> retrograde", "backwards": "-> retrograde",
    "rückläufig": "-> retrograde",
    "Umkehrung": "-> inverted about D4", "moto contrario": "-> inverted about D4", "Spiegel": "-> inverted about D4",
    "rit.": "tempo at bar 3: broadening to 1/4 at 60 over 2 bars",
    "rall": "tempo at bar 3: broadening to 1/4 at 60 over 2 bars",
    "stringendo": "tempo at bar 3: pressing on to 1/4 at 120 over 2 bars", "a tempo": "tempo at bar 5: back in tempo",
    "pizz.": "-> marked pizzicato", "con sord.": "-> marked muted", "sul pont.": "-> marked sul_ponticello",
    "am Steg": "-> marked sul_ponticello", "sur la touche": "-> marked sul_tasto", "gestopft": "-> marked stopped",
    "tremolando": "-> tremolo 1/16", "8va": "-> up P8", "ottava": "-> up P8", "15ma": "-> up P15",
    "Orgelpunkt": "pedal_point(m, D3)", "Engführung": "stretto(m, after 1/4)", "Krebskanon": "crab_canon",
    "Vergrößerung": "-> augmentation 2", "Vergroesserung": "-> augmentation 2", "VERGRÖSSERUNG": "-> augmentation 2",
    "D.C.": "da capo al fine", "dolce": '-> marked "dolce"', "cut time": "meter alla breve",
    "Generalpause": "2 bars rest", "divisés": "-> marked divisi", "tace": "tacet PARTS", "lamp": "",
}  # fmt: skip
SEVERAL = {
    "niente": {"-> crescendo nothing f", "-> diminuendo p nothing"},
    "Takt": {"meter 3/4", "2 bars"}, "battuta": {"meter 3/4", "2 bars"}, "mesure": {"meter 3/4", "2 bars"},
    "pedale": {"pedal_point(m, D3)"}, "pedal": {"-> sustain_pedal", "pedal_point(m, D3)"},
    "arpeggiated": {"-> broken ascending", "-> rolled"}, "arpeggiert": {"-> broken ascending", "-> rolled"},
    "tempo": {"tempo 1/4 at 96", "meter 3/4"}, "pause": {"-> fermata last by 1/2", "1/4 rest"},
}
"""False friends: what a word means in one language or another. From memory."""


def told(row: str, tmp_path: Path) -> str:
    path = tmp_path / "slip.cavata"
    path.write_text(HEAD + row, encoding="utf-8")
    found = compile_script(path, "slip.cavata").bag.ordered()
    return as_text(d for d in found if d.code[0] != "I")  # ranges are no matter here


@pytest.mark.parametrize("word", MEANINGS)
def test_a_term_means_what_musicians_mean_by_it(word: str) -> None:
    assert here(word) == (f"`{word}` is `{MEANINGS[word]}` here" if MEANINGS[word] else "")


@pytest.mark.parametrize("word", SEVERAL)
def test_a_false_friend_is_told_with_each_of_its_meanings(word: str) -> None:
    assert set(here(word).split("`")[3::2]) == SEVERAL[word]


@pytest.mark.parametrize("word", ["everyone", "Streicher", "tutti"])
def test_where_a_part_stands_a_word_for_several_is_told_how_a_group_is_named(word: str, tmp_path: Path) -> None:
    """And the cure compiles, with parts in its blanks."""
    row = f"    {word}: tune -> marked p\n"
    group = f"group {word} = PART, PART"
    assert f"to mend: name its parts above the movements: `{group}`\n" in told(row, tmp_path) + "\n"
    mended = group.replace("PART, PART", "violin, other")
    script = HEAD.replace("    drum   = snare drum", f"    other  = viola\n{mended}") + row
    path = tmp_path / "mended.cavata"
    path.write_text(script, encoding="utf-8")
    assert not compile_script(path, "mended.cavata").bag.has_errors


def test_the_longest_phrase_around_a_word_counts() -> None:
    assert here("pont", "sul", "") == here("sul", "", "pont") == "`sul pont` is `-> marked sul_ponticello` here"
    assert here(".", "marked con sord", "") == "`con sord.` is `-> marked muted` here"


@pytest.mark.parametrize("key", [key for group in ("transforms", "markings") for key in TABLE[group]])
def test_what_a_hint_writes_after_an_arrow_compiles(key: str, tmp_path: Path) -> None:
    """A chord where it needs one; the word in quotes where words are printed as they are."""
    value = "lamp" if key.split()[1] in ("rolled", "broken") else "tune"
    found = told(f"    violin: {value} {key.replace('{word}', 'dolce')}, tune, lamp, tamsin\n", tmp_path)
    assert found == ""


ROWS = {
    "violin": "    violin: tune, lamp, tamsin\n    {}\n",
    "tempo": "    {}\n    violin: tune x 8, lamp, tamsin\n", "meter": "    {}\n    violin: tune, lamp, tamsin\n",
    "key": "    {}\n    violin: tune, lamp, tamsin\n", "pickup": "    {}\n    violin: tune, lamp, tamsin\n",
    "movement": "    violin: tune, lamp, tamsin\n{}_one\n    violin: tune\n",
    "section": "    section first_one\n        violin: tune, lamp, tamsin\n    {}\n        violin at bar 4: tune x 5\n",
    "cadenza": "    violin: tune, lamp, tamsin\n{}\n    violin: tune\n",
    "repeated": "    section one\n        {}\n        violin: tune, lamp, tamsin\n",
    "da": "    section one\n        fine\n        violin: tune, lamp, tamsin\n    section two\n        {}\n"
          "        violin: tune\n",
    "dal": "    section one\n        segno\n        to coda\n        violin: tune, lamp, tamsin\n    section two\n"
           "        {}\n        violin: tune\n    section three\n        coda\n        violin: tune\n",
    "ending": "    section one 8 bars\n        repeated 2 times\n        ending 1 bars 5 to 6\n        {}\n"
              "        violin: tune x 6, lamp, tamsin until end\n",
    "attacca": "    {}\n    violin: tune, lamp, tamsin\nmovement second\n    violin: tune\n",
    "piece": "    violin: tune, lamp, tamsin\n{}\n", "composer": '    violin: tune, lamp, tamsin\npiece "X"\n    {}\n',
    "dedication": '    violin: tune, lamp, tamsin\npiece "X"\n    {}\n',
    **dict.fromkeys(
        ("poet", "arranger", "copyright", "publisher", "number", "note"),
        '    violin: tune, lamp, tamsin\npiece "X"\n    {}\n',
    ),
    "(1/4": "    violin: tune -> in knock, lamp, tamsin\nrhythm knock = {}\n",
    "motif": "    violin: tune, lamp, tamsin, air\n{}\n", "forces": "    violin: tune, lamp, tamsin\n",
    "tacet": "    section a\n        violin: tune, lamp, tamsin\n    section b = a\n        tacet violin\n"
             "        violin: tune\n",
}  # fmt: skip


@pytest.mark.parametrize("key", TABLE["rows"])
def test_what_a_hint_writes_as_a_row_compiles(key: str, tmp_path: Path) -> None:
    row = key.replace("{word}", "air").replace("ending 1 bars 7 to 8", "ending 2 bars 7 to 8")
    row = f"tempo 1/4 at 90\n    {row}" if "broadening" in row else row
    assert told(ROWS[key.split()[0]].format(row), tmp_path) == ""


@pytest.mark.parametrize("key", TABLE["values"])
def test_what_a_hint_writes_as_a_value_compiles(key: str, tmp_path: Path) -> None:
    """A combination has lines put in, a word of the library is brought in, a duration stands before a note."""
    rest = ", lamp, tamsin, tune"
    code = key.split("`")[1] if "`" in key else key
    if "(" in code:
        for blank, line in (("m,", "tune,"), ("(a, b)", "(tune, tune)"), ("figure", "notes(1/8 D3)")):
            code = code.replace(blank, line)
        assert code.partition("(")[0] in COMBINATIONS
        row = f"    violin: lamp, tamsin, tune\n    violin at bar 5: {code}\n"
    elif code.endswith("_canon"):
        row = f"    violin: lamp, tamsin\nmotif more = tune -> {code}{' D4' if code != 'crab_canon' else ''}\n"
        row = row.replace("lamp, tamsin", "lamp, tamsin, more") + f"use {code} from transforms\n"
    elif code.startswith("D "):
        row = f"    key {code}\n    violin: lamp, tamsin, tune, notes(1/4 C#4 F#4 Bb4)\n"
    elif code.startswith("beat"):
        row = f"    violin at bar 1 {code}: lamp{rest[6:]}\n"
    elif code == "2 bars":
        row = f"    violin: tune for {code}{rest}\n"
    elif code.endswith("rest"):
        row = f"    violin: {code}{rest}\n"
    else:
        row = f"    violin: notes({', '.join(f'{value} D4' for value in code.split())}){rest}\n"
    assert told(row, tmp_path) == ""


def test_no_word_of_the_table_is_a_word_of_the_language_where_it_is_looked_up() -> None:
    """What follows an arrow under its own name is never unknown there."""
    words = {word for group in ("transforms", "markings") for found in TABLE[group].values() for word in found}
    assert not words & {*TRANSFORMS}


SAID = {
    "a transform": ("violin: tune -> Krebs", "`Krebs` is `-> retrograde` here"),
    "a transform of two words": ("violin: tune -> sul pont", "`sul pont` is `-> marked sul_ponticello` here"),
    "a sign that is no name": ("violin: tune -> 8va", "`8va` is `-> up P8` here"),
    "a value": ("violin: legato", "`legato` is `-> slurred` here"),
    "a combination": ("violin: kanon(tune, after 1 bar)", "`kanon` is `canon(m, after 1 bar)` here"),
    "a row": ("Auftakt 1/4", "`Auftakt` is `pickup 1/4` here"),
    "a row with a place": ("rit at bar 1: tune", "broadening to 1/4 at 60 over 2 bars` here"),
    "a change of tempo": ("tempo at bar 1: accelerando", "pressing on to 1/4 at 120 over 2 bars` here"),
    "a marking": ("violin: tune -> marked forte", "`forte` is `f` here"),
    "a marking cut short": ("violin: tune -> marked con sord.", "`con sord.` is `-> marked muted` here"),
    "a dynamic": ("violin: tune -> crescendo piano forte", "`piano` is `p` here"),
    "a key": ("key D dur", "`dur` is `D major` here"),
    "a mode": ("violin: tune -> step up 1 in D moll", "`moll` is `D minor` here"),
    "a rest": ("violin: 1/4 pausa, tune", "`pausa` is `1/4 rest` here"),
}


@pytest.mark.parametrize("slip", SAID)
def test_an_unknown_word_is_told_by_its_name_here(slip: str, tmp_path: Path) -> None:
    row, cure = SAID[slip]
    assert cure in told(f"    {row}\n", tmp_path).partition("to mend: ")[2]


def test_an_unknown_statement_is_told_by_its_name_here(tmp_path: Path) -> None:
    line = "    violin: tune\n"
    assert "to mend: `Satz` is `movement first` here" in told(f"{line}Satz two\n{line}", tmp_path)
    assert "stands indented under a movement" in told(f"{line}tempo 1/4 at 60\n", tmp_path)
    assert "statements begin with `name`, `motif`" in told(f"{line}qwrtz\n", tmp_path)


# ------------------------------------------------------------------ old words, and British spelling


@pytest.mark.parametrize("old", CHANGED_WORDS)
def test_an_old_word_is_one_message_that_names_the_new_one(old: str, tmp_path: Path) -> None:
    new = CHANGED_WORDS[old]
    rest = {"mirrored": " in D minor about D4", "widened": " 2"}.get(old, "")
    value = f"{old}tune, D3)" if old.endswith("(") else f"lamp -> {old}{rest}"
    found = told(f"    violin: {value}, tune, tamsin, lamp\n", tmp_path)
    assert found.count("slip.cavata:") == 1 and "N810" in found
    assert new.rstrip("(") in found.partition("to mend: ")[2]


BRITISH_SCRIPT = """language 2

piece "Two Spellings"
    show colours
motif tune = notes(1/4 D4 E4, 1/2 F4)
forces
    violin = violin
movement first
    metre 3/4
    violin: tune -> neighbours in D minor, tune -> harmonised in D minor with thirds below
"""


def sounds(score: Score) -> list[tuple[Fraction, Fraction, list[Pitch]]]:
    """Every event of every part: its onset, duration and pitches."""
    return [(e.onset, e.event.duration, [h.pitch for h in e.event.heads]) for m in score.movements for e in m.events]


def american(text: str) -> str:
    for british, word in BRITISH.items():
        text = text.replace(british, word)
    return text


def test_british_spelling_is_understood_and_formatted(tmp_path: Path) -> None:
    assert all(word in BRITISH_SCRIPT for word in BRITISH)
    found = compile_script(tmp_path / "one.cavata", text=BRITISH_SCRIPT)
    other = compile_script(tmp_path / "one.cavata", text=american(BRITISH_SCRIPT))
    assert found.bag.ordered() == () and found.score is not None and other.score is not None
    assert sounds(found.score) == sounds(other.score)
    assert format_script(BRITISH_SCRIPT).text == american(BRITISH_SCRIPT)


def test_a_transform_of_ones_own_in_british_spelling_stays(tmp_path: Path) -> None:
    script = HEAD.replace("forces", "transform neighbours(m) = m -> up P8\nforces") + (
        "    violin: tune -> neighbours, lamp, tamsin\n"
    )
    made = compile_script(tmp_path / "one.cavata", text=script)
    assert made.bag.ordered() == () and made.score is not None
    assert str(made.score.movements[0].staves[0][0].voices[0][0].event.heads[0].pitch) == "D5"
    assert "-> neighbours," in format_script(script).text


# ------------------------------------------------------------------ messages that misled


MISLED = {
    "a marking for a rhythm": ("drum: (1/4) -> tremolo 1/16", "as `drum bars 1 to 2: tremolo 1/16`"),
    "a hairpin for a rhythm": ("drum: (1/4) -> crescendo p f", "as `drum bars 1 to 2: crescendo p f`"),
    "a meter as a length": ("section one 12/8 bars", "a number of bars, as `section one 12 bars`"),
    "a letter that is not there": ('violin: tamsin -> sharp "Q"', "or count the notes, as `sharp 1`"),
    "a letter of no name": ("violin: tune -> sharp letter 2", "count the notes, as `sharp 1`"),
}


@pytest.mark.parametrize("slip", MISLED)
def test_a_cure_cures_what_was_written(slip: str, tmp_path: Path) -> None:
    row, cure = MISLED[slip]
    assert cure in told(f"    {row}\n", tmp_path).partition("to mend: ")[2]


def test_two_lines_at_once_are_told_with_their_bar(tmp_path: Path) -> None:
    assert "sound at once in bar 3" in told("    violin at bar 2: tune x 2\n    violin at bar 3: tune\n", tmp_path)


def test_what_is_never_heard_is_told_only_where_nothing_is_wrong(tmp_path: Path) -> None:
    assert "N301" in told("    violin: tune\n", tmp_path)
    for wrong in ("violin: tune -> Krebs", 'violin: tune -> sharp "Q"', "violin: tune\n    violin: tune"):
        assert "N301" not in told(f"    {wrong}\n", tmp_path)


def test_both_bends_of_tempo_are_offered(tmp_path: Path) -> None:
    assert "`broadening` or `pressing`" in told("    tempo at bar 1: qwrtz\n", tmp_path)
