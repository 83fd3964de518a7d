"""Spoken text and chant: heads, stems and divisions, on the page, in MusicXML, in MIDI."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import music21
import pytest
from compiling import clean_score_from
from engraving import engraved_together
from mido import MidiFile
from musicxml_schema import faults

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.text import bar_text
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n    keeper = baritone\n    reader = narrator\nmovement first\n"


def compiled(rows: str) -> Score:
    return clean_score_from(HEAD + rows)


def page(rows: str) -> WrittenScore:
    return notate(full_score(compiled(rows)))


def bars(rows: str, part: int = 0) -> list[str]:
    return [bar_text(bar) for bar in page(rows).movements[0].parts[part].staves[0].bars]


SPOKEN = (
    "    key F major\n"
    '    keeper: notes(1/4 B3 B3, 1/2. A3, 1/4 F#3, 1/2 D3) -> spoken "Who keeps watch, who", '
    'notes(1/4 D3) -> sung "I"\n'
    "    reader: (1/4 1/4 1/2 1/1)\n"
    '    reader bars 1 to 2: spoken "Three watch-es lit"\n'
)
CHANT = (
    "    meter none\n    keeper: notes(1/8 D3 F3 G3 A3, 1/2 G3) -> chant -> division 1 quarter -> division 2 half "
    '-> division 3 full -> division last double -> sung "Lu-cer-na in _"\n'
)


def test_spoken_notes_have_crosses_and_no_accidentals() -> None:
    """A spoken note has no pitch: no accidental before it, and none that holds for the note after it."""
    found = bars(SPOKEN)
    assert found[0].endswith("A3:2~/sung watch,/spoken")
    assert found[1] == "A3:4/spoken F#3:4/sung who/spoken D3:2/sung _/spoken"
    assert "!" not in " ".join(found)
    after = '    keeper: notes(1/2 F#3) -> spoken "Who", notes(1/2 F3)\n'
    assert bars(after) == ["F#3:2/sung Who/spoken F3:2"]


def test_only_notes_that_are_given_words_are_spoken() -> None:
    assert bars('    keeper: notes(1/4 B3 rest B3 B3) -> spoken "Who"\n') == ["B3:4/sung Who/spoken r:4 B3:4 B3:4"]


def test_musicxml_has_cross_heads_and_is_valid() -> None:
    """Values of `notehead` and `bar-style`: MusicXML 4.0."""
    document = musicxml_bytes(page(SPOKEN), "first")
    assert faults(document) == []
    keeper, reader = ElementTree.fromstring(document).findall("part")
    heads = [note.findtext("notehead") for note in keeper.iter("note") if note.find("rest") is None]
    assert heads == ["x"] * 6 + [None]
    assert {note.findtext("notehead") for note in reader.iter("note") if note.find("unpitched") is not None} == {"x"}
    read = music21.converter.parseData(document.decode()).parts[0].recurse().notes
    assert [note.notehead for note in read] == ["x"] * 6 + ["normal"]


def test_spoken_notes_make_no_sound_and_keep_their_words() -> None:
    tracks = MidiFile(file=BytesIO(midi_bytes(compiled(SPOKEN)))).tracks
    keeper, reader = tracks[1:3]
    assert [m.text for m in keeper if m.type == "lyrics"] == ["Who", "keeps", "watch,", "who", "I"]
    assert [m.note for m in keeper if m.type == "note_on"] == [50]
    assert [m for m in reader if m.type == "note_on"] == []
    assert [m.text for m in reader if m.type == "lyrics"] == ["Three", "watch-", "es", "lit"]


def test_spoken_notes_are_in_nobodys_range() -> None:
    assert bars('    keeper: notes(1/1 C7) -> spoken "Help!"\n') == ["C7:1/sung Help!/spoken"]


def test_promises_and_keys_do_not_ask_for_the_pitch_of_what_is_spoken() -> None:
    script = (
        "language 2\nforces\n    keeper = baritone\n    other = tenor\nmovement first\n    key Ab major\n"
        '    keeper: notes(1/4 B3 A3 E3 D3) -> spoken "Who is out there?"\n'
        '    other: notes(1/4 F#4 E4 B3 A3) -> spoken "Who is out there?"\n'
        "require\n    keeper within C3..G3\n    no parallel fifths between keeper, other\n"
    )
    assert compile_script(Path("song.cavata"), "song.cavata", text=script).bag.ordered() == ()
    sung = compile_script(Path("song.cavata"), "song.cavata", text=script.replace("spoken", "sung")).bag.ordered()
    assert sorted({told.code for told in sung}) == ["P144", "R103", "R106"]


def test_chant_has_no_stems_and_no_beams() -> None:
    assert bars(CHANT) == [
        "D3:8/sung Lu-/no stem/quarter division F3:8/sung cer-/no stem/half division "
        "G3:8/sung na/no stem/full division A3:8/sung in/no stem/( G3:2/sung _/no stem/double division/)"
    ]
    mixed = '    keeper: (notes(1/8 D3 E3) -> chant) + notes(1/8 F3 G3 A3 B3)\n'
    assert bars(mixed) == ["D3:8/no stem E3:8/no stem F3:8 G3:8 A3:8[ B3:8] r:4"]


def test_divisions_of_chant_are_bar_lines_within_the_measure() -> None:
    """Values of `bar-style` and of `stem`: MusicXML 4.0."""
    document = musicxml_bytes(page(CHANT), "first")
    assert faults(document) == []
    keeper = ElementTree.fromstring(document).find("part")
    assert keeper is not None
    (measure,) = keeper.findall("measure")
    order = [
        child.findtext("bar-style") if child.tag == "barline" else child.findtext("pitch/step")
        for child in measure if child.tag in ("barline", "note")
    ]  # fmt: skip
    assert order[:9] == ["D", "tick", "F", "short", "G", "regular", "A", "G", "light-light"]
    assert {note.findtext("stem") for note in measure.iter("note")} == {"none"}
    assert list(measure.iter("beam")) == []


def test_tempo_after_a_division_stands_at_its_own_note() -> None:
    rows = CHANT + '    tempo 1/4 at 60, "Free"\n    tempo after 1/2: 1/4 at 80\n'
    document = musicxml_bytes(page(rows), "first")
    keeper = ElementTree.fromstring(document).find("part")
    assert keeper is not None
    (measure,) = keeper.findall("measure")
    children = list(measure)
    later = next(child for child in children if [sound.get("tempo") for sound in child.iter("sound")] == ["80"])
    following = next(child for child in children[children.index(later) :] if child.tag == "note")
    assert later.find("offset") is None
    assert following.findtext("pitch/step") == "G"


@pytest.mark.slow
def test_pages_engrave_without_remark(tmp_path: Path) -> None:
    engraved_together((lilypond_text(page(rows)) for rows in (SPOKEN, CHANT)), tmp_path)


def test_division_is_between_its_notes_whatever_becomes_of_the_line() -> None:
    head = (
        "language 2\nforces\n    keeper = baritone\n"
        "motif line = notes(1/4 D3 E3 F3) -> division 2 half\nmovement first\n"
    )
    for step, found in (
        ("retrograde", "F3 /E3 D3"), ("without 2", "D3 /F3"), ("first 1", "D3"), ("up P5", "A3 B3 /C4"),
    ):  # fmt: skip
        result = compile_script(Path("x"), "x", text=f"{head}    keeper: line -> {step}\n")
        assert result.score is not None
        shown = ""
        for event in result.score.movements[0].staves[0][0].voices[0]:
            shown += f"{event.event.heads[0].pitch} " + "/" * bool(event.event.marks.division)
        assert shown.strip(" ") == found, step
