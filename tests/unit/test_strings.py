"""Harmonics as they are fingered, strings and frets as they are told.

Source: acoustics of the string: touched at 1/n of its length it sounds n times as high; playing tables give natural
harmonics up to the sixth partial, and the frets of Sor's op. 22, bar 27; the documentation of MusicXML 4.0 on
`harmonic` (base and touching pitch), `string` (counted from the highest) and `fret` (0 for an open string).
"""

from __future__ import annotations

from math import log2
from pathlib import Path
from xml.etree.ElementTree import Element, fromstring

import pytest
from compiling import score_from

from cavata.instruments.strings import NODES
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.score.score import Score


def score_of(force: str, music: str) -> Score:
    rows = f"forces\n    player = {force}\nmovement first\n    player: {music}\n"
    return score_from("language 2\n" + rows)


def notes_of(score: Score) -> list[Element]:
    root = fromstring(musicxml_bytes(written(score), "first"))
    return [note for note in root.iter("note") if note.find("pitch") is not None]


def name(note: Element) -> str:
    sign = {"-1": "b", "1": "#"}.get(note.findtext("pitch/alter", "0"), "")
    head = "<>" if note.findtext("notehead") == "diamond" else ""
    return f"{note.findtext('pitch/step')}{sign}{note.findtext('pitch/octave')}{head}"


def test_a_node_sounds_what_physics_says() -> None:
    """Touched at 1/n of its length, an interval above the open string of n / (n - 1), it sounds n times as high."""
    for partial, node in enumerate(NODES, start=2):
        assert node.touched.semitones == round(12 * log2(partial / (partial - 1)))
        assert node.sounds.semitones == round(12 * log2(partial))


@pytest.mark.parametrize(
    ("force", "music", "expected"),
    [
        ("violin", "notes(1/4 D6) -> harmonic touching P4", "D4 G4<>"),
        ("violin", "notes(1/4 D6) -> harmonic touching P5", "G4 D5<>"),
        ("violin", "notes(1/4 D6) -> harmonic touching P8", "D5 D6<>"),
        ("violin", "notes(1/4 F#6) -> harmonic touching M3", "D4 F#4<>"),
        ("violin", "notes(1/4 D5 A5 D6 F#6 A6) -> harmonic on D", "D5<> A4<> G4<> F#4<> F4<>"),
        ("double bass", "notes(1/4 D3) -> harmonic on D", "D4<>"),
        ("cello, tuned C2 G2 D3 G3", "notes(1/4 D5) -> harmonic on G", "E4<>"),
    ],
)
def test_a_harmonic_is_written_as_it_is_fingered(force: str, music: str, expected: str) -> None:
    assert [name(note) for note in notes_of(score_of(force, music))] == expected.split()


def test_musicxml_says_which_head_is_which() -> None:
    low, high = notes_of(score_of("violin", "notes(1/4 D6) -> harmonic touching P4"))
    for note, kind in ((low, "base-pitch"), (high, "touching-pitch")):
        assert note.find(f"notations/technical/harmonic/{kind}") is not None
        assert note.find("notations/technical/harmonic/artificial") is not None


def test_a_guitarist_reads_string_and_fret() -> None:
    steps = "-> played 1 on string 4 -> played 2 on string 3 -> played 3 on string 2"
    score = score_of("guitar", f"notes(1/4 A3 C4 D4) {steps}")
    told = [note.find("notations/technical") for note in notes_of(score)]
    assert [(t.findtext("string"), t.findtext("fret")) for t in told if t is not None] == [
        ("4", "7"), ("3", "5"), ("2", "3"),
    ]  # fmt: skip
    text = lilypond_text(written(score))
    assert [sign for sign in text.split() if sign in ("\\4", "\\3", "\\2")] == ["\\4", "\\3", "\\2"]


def test_a_bowed_string_is_named_once_for_notes_that_follow_one_another() -> None:
    score = score_of("violin", "notes(1/4 D5 E5 rest F5, 1/1 A4) -> sul 1..3 G")
    text = " ".join(lilypond_text(written(score)).split())
    assert text.count('"sul G') == 2
    assert text.count("startTextSpan") == text.count("stopTextSpan") == 1
    root = fromstring(musicxml_bytes(written(score), "first"))
    assert [words.text for words in root.iter("words")] == ["sul G", "sul G"]
    assert [dashes.get("type") for dashes in root.iter("dashes")] == ["start", "stop"]


def test_a_tied_note_is_a_harmonic_throughout_and_said_once() -> None:
    score = score_of("violin", "notes(1/2. D6, 1/2 D6) -> harmonic touching P4 -> sul D")
    heads = notes_of(score)
    assert [name(note) for note in heads] == ["D4", "G4<>"] * 3
    assert sum(note.find("notations/technical/string") is not None for note in heads) == 2


@pytest.mark.parametrize(
    ("force", "music", "cure"),
    [
        ("violin", "notes(1/1 A4) -> harmonic touching P4", "write it higher"),
        (
            "violin", "notes(1/1 D5) -> harmonic touching P4",
            "write it higher, or as a natural harmonic with `harmonic on G`",
        ),
        ("cello", "notes(1/1 B2) -> harmonic on G", "write it higher: no string has it"),
        ("cello", "notes(1/1 D4) -> harmonic on C", "`harmonic on G` has D4"),
        ("violin, tuned F#3 D4 A4 E5", "notes(1/1 A3) -> sul G", "`sul F#` has A3"),
        ("guitar", "notes(1/1 B3) -> played on string 1", "`played on string 2` has B3"),
    ],
)
def test_cure_is_a_string_that_has_the_note(force: str, music: str, cure: str) -> None:
    """By the open strings of each, and the partials of NODES: D4 is the third of G2, A4 none of any violin string."""
    rows = f"language 2\nforces\n    player = {force}\nmovement first\n    player: {music}\n"
    errors = [d for d in compile_script(Path("x.cavata"), text=rows).bag.ordered() if d.code.startswith("P")]
    assert [d.cure for d in errors] == [cure]


def test_row_over_bars_that_asks_for_a_string_is_shown() -> None:
    rows = "movement first\n    violin: notes(1/1 B3)\n    violin bars 1 to 1: sul D\n"
    (found,) = compile_script(Path("x.cavata"), text="language 2\nforces\n    violin = violin\n" + rows).bag.ordered()
    assert [(span.line, said) for span, said in found.also] == [(6, "said here")]


def test_a_harmonic_that_would_be_stopped_below_all_notes_is_told() -> None:
    """Two octaves below E1 there is no note that could be written."""
    row = "bass: notes(1/1 E1) -> harmonic touching P4"
    script = f"language 2\nforces\n    bass = double bass\nmovement first\n    {row}\n"
    assert "P866" in {each.code for each in compile_script(Path("a.cavata"), text=script).bag.ordered()}
