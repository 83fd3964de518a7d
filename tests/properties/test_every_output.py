"""What checks clean can be made: LilyPond text, MusicXML and MIDI of scripts with extremes of all that has a size.

Each output is read back by what is not the compiler's: MusicXML by Python's XML parser and the rules of its time
(https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/backup/ and .../forward/), MIDI by mido, and LilyPond
by LilyPond, for a few.
"""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import mido
import pytest

sys.path.append(str(Path(__file__).resolve().parent.parent / "fuzz"))
from grammar_scripts import grammar_script

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import WantedCopies
from cavata.edition.parts import part_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import Build, Compiled, build, compile_script, written

FORCES = "language 2\nforces\n    flute = flute\n    piano = piano\n"
NOTE_TYPES = (
    "1024th", "512th", "256th", "128th", "64th", "32nd", "16th", "eighth", "quarter", "half", "whole", "breve", "long",
    "maxima",
)  # fmt: skip
"""https://www.w3.org/2021/06/musicxml40/musicxml-reference/data-types/note-type-value/"""


def compiled(text: str) -> Compiled:
    return compile_script(Path("chance.cavata"), "chance.cavata", text=text)


def outputs(result: Compiled, *formats: str) -> dict[str, bytes]:
    bag = Diagnostics()
    files = build(result, Build(formats, WantedCopies(True, (), True, False, ()), "chance"), bag, lambda _: None)
    assert bag.ordered() == () or not bag.has_errors, as_text(bag.ordered())
    return {name: bytes(content) for name, content in files.items() if isinstance(content, bytes)}


def codes(text: str) -> set[str]:
    return {message.code for message in compiled(text).bag.ordered()}


def measured(document: bytes) -> list[list[int]]:
    """For each part how far each of its bars comes, in divisions; every note has a type that the format knows."""
    found = []
    for part in ElementTree.fromstring(document).iter("part"):
        lengths = []
        for measure in part.iter("measure"):
            now = reached = 0
            for element in measure:
                length = int(element.findtext("duration") or 0)
                if element.tag == "backup":
                    now -= length
                elif element.tag == "forward" or (element.tag == "note" and element.find("chord") is None):
                    now += length
                assert element.findtext("type") in (None, *NOTE_TYPES)
                assert now >= 0
                reached = max(reached, now)
            lengths.append(reached)
        found.append(lengths)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("begin", range(0, 60, 10))
def test_what_checks_clean_can_be_made(begin: int) -> None:
    made = 0
    for number in range(begin, begin + 10):
        result = compiled(grammar_script(Random(f"made {number}")))
        if result.score is None or not result.score.movements:
            continue
        made += 1
        files = outputs(result, "ly", "musicxml", "midi")
        assert sorted({name.rsplit(".", 1)[-1] for name in files}) == ["ly", "mid", "musicxml"]
        for name, content in files.items():
            if name.endswith(".musicxml"):
                parts = measured(content)
                printed = len(result.score.parts) + result.score.header.rehearsal_piano
                assert len(parts) == printed or result.score.shared
                assert all(lengths == parts[0] for lengths in parts), f"{number} {name}"
            elif name.endswith(".mid"):
                messages = [m for track in mido.MidiFile(file=BytesIO(content)).tracks for m in track]
                on = sum(m.type == "note_on" and m.velocity > 0 for m in messages)
                off = sum(m.type == "note_off" or (m.type == "note_on" and m.velocity == 0) for m in messages)
                assert on == off
    assert made


@pytest.mark.slow
@pytest.mark.parametrize("number", [3, 8, 21])
def test_and_some_of_it_is_engraved(number: int) -> None:
    numbers = (n for n in range(number, number + 60) if compiled(grammar_script(Random(f"made {n}"))).score is not None)
    result = compiled(grammar_script(Random(f"made {next(numbers)}")))
    assert outputs(result, "pdf")["chance.pdf"].startswith(b"%PDF")


# ------------------------------------------------------------------ the shortest values


@pytest.mark.parametrize("value", [256, 512, 1024])
def test_short_values_are_written(value: int) -> None:
    """Note names of the MusicXML reference; LilyPond writes a value as the number of its fraction, a dot as a dot
    (https://lilypond.org/doc/v2.24/Documentation/notation/writing-rhythms)."""
    files = outputs(
        compiled(f"{FORCES}movement first\n    flute: notes(1/{value} D5 chord(D5 A5) rest F#5)\n"), "ly", "musicxml"
    )
    text = files["chance.ly"].decode()
    assert all(note in text for note in (f"d''{value}", f"<d'' a''>{value}", f"r{value}", f"fs''!{value}"))
    types = [e.text for e in ElementTree.fromstring(files["chance-first.musicxml"]).iter("type")]
    assert types.count(f"{value}th") - text.count(f"r{value}") == 4


@pytest.mark.parametrize(
    ("line", "clean"),
    [
        ("flute: notes(1/1024 D5)", True), ("flute: notes(1/512.. D5, 1/2048. E5)", False),
        ("flute: notes(1/1024. D5, 1/4 E5)", False), ("flute: notes(1/16 D5) -> diminution 64", True),
        ("flute: notes(1/32 D5) -> diminution 64", False), ("flute: notes(1/768 D5 E5 F5)", True),
        ("flute: notes(1/1536 D5 E5 F5)", True), ("flute: notes(1/3072 D5 E5 F5)", False),
        ("flute: notes(1/48 D5 E5 F5) -> diminution 64", False),
        ("piano after 1/1000: canon(notes(1/4 D5 E5), at P5 above, after 1/4)", True),
        ("flute after 1/1024: notes(1/1 D5)", True),
    ],
)  # fmt: skip
def test_what_needs_shorter_ones_is_refused(line: str, clean: bool) -> None:
    """A triplet of 1/1536 is written with the value 1/1024, three in the time of two. Source: common practice."""
    result = compiled(f"{FORCES}movement first\n    {line}\n")
    assert (result.score is not None) == clean, as_text(result.bag.ordered())
    if clean:
        outputs(result, "ly", "musicxml", "midi")
    else:
        assert {message.code for message in result.bag.ordered()} <= {"P118", "S202"}


@pytest.mark.slow
def test_rests_that_would_be_too_short_are_told_at_the_note() -> None:
    result = compiled(f"{FORCES}movement first\n    pickup 1/9600\n    flute: notes(1/4 D5)\n")
    (message,) = result.bag.ordered()
    assert message.code == "P118"
    assert message.span is not None
    assert message.span.text == "D5"


def test_a_silent_part_has_the_rest_of_an_odd_pick_up() -> None:
    """A pickup of a triplet's third is written as the end of a whole beat, for who is silent too: a quarter rest."""
    script = f"{FORCES}movement first\n    pickup 1/12\n    flute: notes(1/12 D5, 1/1 E5)\n"
    flute, piano = measured(outputs(compiled(script), "musicxml")["chance-first.musicxml"])
    assert flute == piano


# ------------------------------------------------------------------ nobody


@pytest.mark.parametrize("forces", ["", "forces\n"])
@pytest.mark.parametrize(("kind", "code"), [("movement", "P137"), ("cadenza", "P115")])
def test_a_piece_without_parts_is_refused(forces: str, kind: str, code: str) -> None:
    assert code in codes(f"language 2\n{forces}{kind} first\n")


@pytest.mark.parametrize(
    ("player", "key", "notes"),
    [
        ("violin", "none", "notes(1/4 B9 C0) -> trill"),
        ("violin", "none", "notes(1/4 E##9 Cbb0) -> trill to aug2"),
        ("piccolo", "D# minor", "notes(1/4 C0 B##9) -> turn"),
        ("double bass", "Cb major", "notes(1/4 Cb0 B9) -> mordent"),
        ("violin, tuned G3 D4 A4 D5", "none", "notes(1/4 B9 A9) -> turn"),
        ("violin, tuned A3 E4 B4 F#5", "none", "notes(1/4 Fbb0 C0) -> trill"),
    ],
)
def test_what_ornaments_add_may_lie_beyond_the_octaves_of_a_script(player: str, key: str, notes: str) -> None:
    """A script has the notes from C0 to B9; a trill on B9 is a note like any other, on the page and in the sound."""
    silent = "    cello at bar 9: notes(1/4 A3)\n"  # so that the part of the cello has a cue
    script = (
        f"language 2\nforces\n    a = {player}\n    cello = cello\nmovement first\n    key {key}\n    a: {notes}\n"
        f"    a at bar 8: {notes}\n{silent}"
    )
    files = outputs(compiled(script), "ly", "musicxml", "midi")
    assert sorted({name.rsplit(".", 1)[-1] for name in files}) == ["ly", "mid", "musicxml"]


def test_cue_that_no_note_values_can_say_is_left_out() -> None:
    """In free time the singer's rest begins between the shortest values, and so would the cue beside it."""
    low = "notes(3/20 C3 D3 G3 C3, 7/8 A3) -> fermata 1 -> diminution 7, notes(2/1 rest G3, 1/11 A3)"
    score = compiled(
        "language 2\nforces\n    a = soprano\n    b = cello\nmovement first\n    meter none\n    section one\n"
        f"        a: notes(1/512.. C5 G4 D5, 7/8 A4)\n        b: {low}\n    section two = one\n"
    ).score
    assert score is not None
    page = written(part_score(score, 0))
    assert b"<score-partwise" in musicxml_bytes(page, "first")
    assert lilypond_text(page) and not any(bar.cue for bar in page.movements[0].parts[0].staves[0].bars)


@pytest.mark.parametrize(
    "line",
    [
        "notes(1/1 C5 F#5 D5, 1/1024 A4) -> augmentation 13:7",
        "notes(1/1 A4)\n    flute ossia: notes(1/32 A4) -> diminution 64",
    ],
)
def test_bracket_or_ossia_of_values_without_a_name_is_refused(line: str) -> None:
    """`normal-type` of MusicXML has no 2048th."""
    assert codes(f"{FORCES}movement first\n    meter alla breve\n    flute: {line}\n") == {"P118"}


def test_rest_is_not_divided_for_fermatas_into_values_without_a_name() -> None:
    """The second player waits at 9/2048 and 11/2048, and rests through both."""
    script = (
        "language 2\nforces\n    a = violin\n    b = cello\nmovement first\n    b: notes(1/4 C3)\n"
        "cadenza alone\n    a: notes(1/512.. D5, 1/1024 E5 F5, 1/1 G5) -> fermata 2 3\n"
    )
    files = outputs(compiled(script), "ly", "musicxml", "midi")
    assert "r2048" not in files["chance.ly"].decode()
