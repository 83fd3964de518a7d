"""Nothing that a script says at a note is lost: the ledger balances, and every output holds what it can hold.

HOLDS says which kinds of signs each output can hold as signs of their own. What MIDI cannot hold as such is heard, as a
dynamic, or not at all, as a word. Sources of the readings: see `read_signs.py`.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pytest
from random_dress import CHANGES, COMBINED, ON_STRINGS, SIGNS, compiled_dressed, script_of_dressed
from random_pieces import compiled_piece
from read_signs import Count, read_lilypond, read_midi, read_music21, read_xml

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.music.event import BASE_HAIRPINS, PRINTED
from cavata.music.said import said_signs
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.ledger import leaf_signs, page_ledger
from cavata.notate.written import Leaf, WrittenMovement, WrittenScore, leaves
from cavata.perform.perform import perform
from cavata.pipeline import Compiled, compile_script, written
from cavata.record import replace
from cavata.resources import folder
from cavata.score.ledger import Fate, ledger
from cavata.score.playing import played
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes
from cavata.text import plain_text
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

REFERENCE = (folder("grammar") / "defaults.md").read_text("utf-8")
HEAD = """language 2

forces
    flute = flute
    drum  = snare drum

movement a
    meter 4/4
    tempo 1/4 at 60
"""
PIECES = range(int(os.environ.get("CAVATA_PIECES", "3")))
HOLDS = {
    "MusicXML": frozenset((
        "dynamic", "hairpin", "end of hairpin", "articulation", "fermata", "slur", "end of slur", "ornament", "tremolo",
        "text", "syllable", "hyphen", "extender", "grace note", "glissando", "end of glissando", "pedal",
        "end of pedal", "chord symbol", "tie", "end of tie", "note head", "stem", "division",
        "figures", "label", "optional note", "harmonic",
    )),
    # music21 10 reads neither the end of a line apart from its beginning nor extenders.
    "music21": frozenset((
        "dynamic", "hairpin", "articulation", "fermata", "slur", "ornament", "tremolo", "text", "syllable", "hyphen",
        "grace note", "glissando", "chord symbol", "tie", "end of tie", "note head", "stem", "harmonic",
    )),
    # A tie and a glissando have no sign at their end.
    "LilyPond": frozenset((
        "dynamic", "hairpin", "end of hairpin", "articulation", "fermata", "slur", "end of slur", "ornament", "tremolo",
        "text", "syllable", "hyphen", "extender", "grace note", "glissando", "pedal", "end of pedal", "chord symbol",
        "tie", "note head", "stem", "division",
        "figures", "label", "optional note", "harmonic",
    )),
    "MIDI": frozenset(("syllable", "hyphen", "pedal", "end of pedal")),
}  # fmt: skip
"""The table: output, and the kinds of signs in it."""
_COUNTED = frozenset(("dynamic", "hairpin", "articulation", "fermata", "ornament", "text", "syllable", "division"))
"""Kinds of which the content is compared too."""


def in_output(wanted: Count, output: str) -> Count:
    """What of a count an output can hold."""
    found: Count = Counter()
    for (kind, what), count in wanted.items():
        if kind in HOLDS[output] and count:
            if output == "music21":  # which reads no circle at a hairpin
                what = BASE_HAIRPINS.get(what, what)
                if what == "let_ring":  # nor a tie that leads nowhere
                    continue
            found[kind, what if kind in _COUNTED else ""] += count
    return found


def on_page(movement: WrittenMovement, printed: bool = False) -> Count:
    """What the page has, in the words of the readings; of `printed` parts only, for silent ones are not engraved."""
    found: Count = Counter()
    for part in movement.printed if printed else movement.parts:
        for staff in part.staves:
            for bar in staff.bars:
                for voice in bar.voices:
                    for leaf in leaves(voice):
                        found.update(_of_leaf(leaf))
    found["end of glissando", ""] = found["glissando", ""]
    return found


def _of_leaf(leaf: Leaf) -> Count:
    found: Count = Counter()
    verses = {str(syllable): syllable.verse for syllable in leaf.marks.sung}
    for kind, what in leaf_signs(leaf):
        if kind == "syllable":
            texts = (text.text for text in leaf.sung if text.text and text.verse == verses[what])
            found.update(("syllable", plain_text(text)) for text in texts)
        elif kind == "tremolo":
            found[kind, ""] += leaf.strokes > 0
        elif kind == "tuning":
            found["text", plain_text(what)] += 1
        elif kind not in ("technique", "string"):
            found[kind, what] += 1
    if leaf.marks.techniques:  # they stand as one word
        found["text", ", ".join(PRINTED[word] for word in leaf.marks.techniques)] += 1
    return found


def texts_of(count: Count) -> frozenset[str]:
    return frozenset(what for kind, what in count if kind == "text")


def page_of(compiled: Compiled) -> WrittenScore:
    """The page without letters, which would stand among the words that are sung."""
    assert compiled.score is not None
    header = replace(compiled.score.header, show_letters=False)
    return written(full_score(replace(compiled.score, header=header)))


def differences(wanted: Count, found: Count) -> dict[tuple[str, str], tuple[int, int]]:
    """Where two counts differ: wanted and found."""
    return {key: (wanted[key], found[key]) for key in {*wanted, *found} if wanted[key] != found[key]}


MAKERS: dict[str, Callable[[int], Compiled]] = {"notated": compiled_piece, "dressed": compiled_dressed}


@lru_cache(maxsize=4 * len(PIECES))
def sounding(maker: str, number: int) -> Compiled:
    """A piece by chance; skipped where chance made a mistake, as a note beyond C0."""
    compiled = MAKERS[maker](number)
    if compiled.score is None:
        pytest.skip("chance made a script with a mistake")
    return compiled


def piece(test: Callable[..., None]) -> Callable[..., None]:
    """The test for every piece of every maker."""
    return pytest.mark.parametrize("maker", MAKERS)(pytest.mark.parametrize("number", PIECES)(test))


@piece
def test_whatever_is_said_is_written_or_accounted_for(maker: str, number: int) -> None:
    compiled = sounding(maker, number)
    assert compiled.score is not None
    entries = ledger(compiled.score, compiled.bag)
    assert [entry for entry in entries if entry.fate is Fate.LOST] == []
    there = Counter(
        sign for movement in compiled.score.movements for event in movement.events for sign in said_signs(
            event.event.marks
        )
    )
    told = Counter((e.kind, e.what) for e in entries if e.fate in (Fate.WRITTEN, Fate.ADDED))
    assert told == there


@piece
def test_lines_that_begin_end(maker: str, number: int) -> None:
    compiled = sounding(maker, number)
    assert compiled.score is not None
    for movement in compiled.score.movements:
        for staves in movement.staves:
            pedals: Counter[str] = Counter()
            for staff in staves:
                for voice in staff.voices:
                    found = Counter(kind for event in voice for kind, _ in said_signs(event.event.marks))
                    pedals += found
                    for kind in ("slur", "hairpin"):
                        assert found[kind] == found[f"end of {kind}"], (movement.name, staff.name, kind)
            assert pedals["pedal"] == pedals["end of pedal"], movement.name  # both hands have one


@piece
def test_what_the_score_says_is_on_the_page(maker: str, number: int) -> None:
    compiled = sounding(maker, number)
    assert compiled.score is not None
    copy = full_score(compiled.score)
    entries = page_ledger(copy, written(copy))
    assert [entry for entry in entries if entry.fate in (Fate.LOST, Fate.ADDED)] == []


@pytest.mark.slow
@piece
def test_music_xml_holds_what_is_on_the_page(maker: str, number: int) -> None:
    page = page_of(sounding(maker, number))
    for movement in page.movements:
        document, wanted = musicxml_bytes(page, movement.name), on_page(movement)
        found = read_xml(document, texts_of(wanted))
        assert differences(in_output(wanted, "MusicXML"), in_output(found, "MusicXML")) == {}


@pytest.mark.slow
@piece
def test_music21_reads_what_is_on_the_page(maker: str, number: int) -> None:
    page = page_of(sounding(maker, number))
    for movement in page.movements:
        document, wanted = musicxml_bytes(page, movement.name), on_page(movement)
        found = read_music21(document, texts_of(wanted))
        assert differences(in_output(wanted, "music21"), in_output(found, "music21")) == {}


@piece
def test_lilypond_text_holds_what_is_on_the_page(maker: str, number: int) -> None:
    page = page_of(sounding(maker, number))
    wanted: Count = Counter()
    for movement in page.movements:
        wanted += on_page(movement, printed=True)
    found = read_lilypond(lilypond_text(page), texts_of(wanted))
    assert differences(in_output(wanted, "LilyPond"), in_output(found, "LilyPond")) == {}


@piece
def test_midi_holds_what_sounds(maker: str, number: int) -> None:
    score = sounding(maker, number).score
    assert score is not None
    score = replace(score, header=replace(score.header, show_letters=False))
    wanted = in_output(_played(score), "MIDI")
    assert differences(wanted, in_output(read_midi(midi_bytes(score)), "MIDI")) == {}
    performed = in_output(read_midi(midi_bytes(score, perform(score))), "MIDI")
    assert not wanted - performed
    assert {kind for kind, _ in performed - wanted} <= {"pedal", "end of pedal"}  # a piano's, where the script has none


def _played(score: Score) -> Count:
    """The words and the pedal of every event, as often as it is played."""
    found: Count = Counter()
    for movement in score.movements:
        for event in played(movement).events:
            for sung in event.event.marks.sung[:1]:
                if sung.text:
                    found["syllable", sung.text] += 1
                    found["hyphen", ""] += sung.goes_on
            found.update((kind, "") for kind, _ in said_signs(event.event.marks) if "pedal" in kind)
    return found


# ---------------------------------------------------------------- the table, and what the pieces have


def test_pieces_by_chance_have_every_step_and_combination() -> None:
    rows = (*CHANGES, *SIGNS, *COMBINED, *ON_STRINGS, *(script_of_dressed(number) for number in range(60)))
    text = "\n".join(rows)
    for word, steps in TRANSFORMS.items():
        assert any(re.search(rf"\b{step.pattern.split()[0]}\b", text) for step in steps), word
    assert [word for word in COMBINATIONS if f"{word}(" not in text] == []


def test_reference_tells_what_each_output_holds() -> None:
    section = REFERENCE[REFERENCE.index("## What becomes of the signs at notes") :].partition("\n## ")[0]
    lines = re.findall(r"^\|.*\|$", section, re.MULTILINE)
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    head, told = rows[0], rows[2:]
    for output in ("MusicXML", "LilyPond", "MIDI"):
        column = head.index(output)
        assert {row[0] for row in told if row[column] == "yes"} == HOLDS[output] - {"end of glissando"}, output


def test_a_sign_that_is_replaced_knows_both_places() -> None:
    script = HEAD + "    flute: notes(1/4 D4 E4) -> marked p\n    flute bars 1 to 1: marked f\n"
    compiled = compile_script(Path("two.cavata"), "two.cavata", text=script)
    assert compiled.score is not None
    found = [e for e in ledger(compiled.score, compiled.bag) if e.fate is Fate.REPLACED]
    assert [(e.kind, e.what, e.said.text if e.said else "", e.by.text if e.by else "") for e in found] == [
        ("dynamic", "p", "marked p", "marked f")
    ]


def test_a_glissando_that_leads_nowhere_is_reported() -> None:
    script = HEAD + "    flute: notes(1/4 D4) -> glissando 1\n"
    compiled = compile_script(Path("glide.cavata"), "glide.cavata", text=script)
    assert compiled.score is not None
    fates = [e.fate for e in ledger(compiled.score, compiled.bag) if e.kind == "glissando"]
    assert fates == [Fate.REPORTED]


def test_grace_notes_of_a_drum_are_printed() -> None:
    """A flam: common practice."""
    script = HEAD + "    drum: notes(1/2 C4 C4) -> graced last by notes(1/8 C4)\n"
    compiled = compile_script(Path("flam.cavata"), "flam.cavata", text=script)
    page = page_of(compiled)
    assert read_xml(musicxml_bytes(page, "a"), frozenset())["grace note", ""] == 1
    assert read_lilypond(lilypond_text(page), frozenset())["grace note", ""] == 1
