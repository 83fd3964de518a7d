"""Two lines on one staff as they are written, engraved and played."""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import mido
import music21
import pytest

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.written import WrittenBar, leaves
from cavata.pipeline import compile_script
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

SCRIPT = """language 2
piece "Two on one staff"
forces
    violin = violin
    piano  = piano
movement first
    meter 2/4
    violin: together(notes(1/4 F#5 D5 | 1/4 D5 C5), notes(1/8 F#5 F5, 1/4 rest)), notes(1/4 D5 E5)
    piano: together(notes(1/4 D5 E5), notes(1/4 C5 B4), notes(1/2 D3), notes(1/4 A2 F#2))
"""


def score_of(script: str) -> Score:
    compiled = compile_script(Path("two.cavata"), "two.cavata", text=script)
    assert compiled.score is not None and not compiled.bag.has_errors, compiled.bag.ordered()
    return compiled.score


SCORE = score_of(SCRIPT)


def upper_values(lines: str) -> list[str]:
    """The note values of the upper voice of two lines on one staff."""
    head = "language 2\nforces\n    violin = violin\nmovement first\n"
    made = notate(score_of(f"{head}    violin: together({lines})\n"))
    (bar,) = made.movements[0].parts[0].staves[0].bars
    return [str(leaf.base) for leaf in leaves(bar.voices[0])]


@pytest.mark.parametrize(
    ("lines", "upper"),
    [
        ("notes(1/1 D5), notes(1/2 D5 D5)", ["1"]),
        ("notes(1/2 D5 D5), notes(1/1 D5)", ["1/2", "1/2"]),
        ("notes(1/1 C5), notes(1/2 D5 D5)", ["1/2", "1/2"]),
        ("notes(1/1 D5), notes(1/2 E5 C5)", ["1"]),
    ],
    ids=["the first of equals", "whichever it is", "the higher", "equal on the whole"],
)
def test_higher_line_is_the_upper_voice_and_of_equals_the_first(lines: str, upper: list[str]) -> None:
    """The handbook: the line that lies higher on the whole is the upper voice. Of equals the script decides."""
    assert upper_values(lines) == upper


def bars(part: int, staff: int = 0) -> tuple[WrittenBar, ...]:
    return notate(SCORE).movements[0].parts[part].staves[staff].bars


def test_only_bars_with_two_voices_write_two() -> None:
    assert [[bool(voice) for voice in bar.voices] for bar in bars(0)] == [[True, True], [True, False], [True, False]]


def test_rests_fill_a_voice_that_sounds_in_the_bar() -> None:
    upper, lower = bars(0)[0].voices
    assert [leaf.written for leaf in leaves(upper)] == [Fraction(1, 4)] * 2
    assert [(leaf.written, bool(leaf.heads)) for leaf in leaves(lower)] == [
        (Fraction(1, 8), True), (Fraction(1, 8), True), (Fraction(1, 4), False),
    ]  # fmt: skip


def test_accidentals_are_remembered_over_both_voices() -> None:
    """The unison on F# shows its sharp once; the F after it in the lower voice is natural again."""
    upper, lower = bars(0)[0].voices
    signs = [[head.accidental.value for leaf in leaves(voice) for head in leaf.heads] for voice in (upper, lower)]
    assert signs == [["shown", "none"], ["none", "shown"]]


def test_stems_go_apart_only_where_two_voices_sound() -> None:
    text = lilypond_text(notate(SCORE))
    assert text.count("\\voiceOne") == text.count("\\voiceTwo") == 3
    violin = text[text.index('"P1S1V1"') :]
    assert violin.index("\\voiceOne") < violin.index("\\oneVoice") < violin.index("\\voiceTwo")


def musicxml() -> bytes:
    return musicxml_bytes(notate(SCORE), "first")


def test_musicxml_has_voices_stems_and_lyric_lines() -> None:
    root = ElementTree.fromstring(musicxml())
    violin = root.findall("part")[0].findall("measure")
    notes = [note for note in violin[0].findall("note") if note.find("rest") is None]
    found = [(note.findtext("voice"), note.findtext("stem")) for note in notes]
    assert found == [("1", "up"), ("1", "up"), ("2", "down"), ("2", "down")]
    assert [note.findtext("stem") for note in violin[1].findall("note")] == [None, None]
    piano = root.findall("part")[1].findall("measure")[0]
    assert sorted({note.findtext("voice") or "" for note in piano.findall("note")}) == ["1", "2", "5", "6"]


def test_music21_reads_both_voices_back() -> None:
    read = music21.converter.parseData(musicxml(), format="musicxml")
    heads = sorted(
        (Fraction(note.getOffsetInHierarchy(part)) / 4, note.pitch.midi, Fraction(note.quarterLength) / 4)
        for part in read.parts for note in part.recurse().notes
    )  # fmt: skip
    ours = sorted(
        (event.onset, head.pitch.midi, event.event.duration)
        for part in SCORE.movements[0].staves for staff in part for voice in staff.voices for event in voice
        for head in event.event.heads
    )  # fmt: skip
    assert heads == ours


def test_midi_plays_both_voices_and_a_unison_once() -> None:
    played = mido.MidiFile(file=BytesIO(midi_bytes(SCORE)))
    violin = [message.note for message in played.tracks[1] if message.type == "note_on" and message.velocity]
    assert sorted(violin) == sorted([78, 74, 74, 72, 77, 74, 76])


LOUD = """language 2
forces
    violin = violin
movement first
    meter 2/4
    violin: together(notes(1/4 F5 G5) -> marked ff, notes(1/4 D4 E4) -> marked pp)
    violin at bar 2: together(notes(1/4 A5), notes(1/4 C5)) -> marked mf
"""


def test_each_voice_is_as_loud_as_it_says() -> None:
    played = mido.MidiFile(file=BytesIO(midi_bytes(score_of(LOUD))))
    struck = [message for message in played.tracks[1] if message.type == "note_on" and message.velocity]
    loud = {message.note: message.velocity for message in struck}
    assert loud[77] == loud[79] > loud[81] == loud[72] > loud[62] == loud[64]


def test_dynamics_of_their_own_stand_on_both_sides_of_the_staff() -> None:
    page = notate(score_of(LOUD))
    assert [bar.dynamics_above for bar in page.movements[0].parts[0].staves[0].bars] == [True, False]
    text = lilypond_text(page)
    assert text.index("\\dynamicUp") < text.index("\\ff") < text.index("\\dynamicNeutral") < text.index("\\pp")
    placed = [
        (direction.get("placement"), dynamic.tag)
        for direction in ElementTree.fromstring(musicxml_bytes(page, "first")).iter("direction")
        for dynamics in direction.iter("dynamics") for dynamic in dynamics
    ]  # fmt: skip
    assert placed == [("above", "ff"), ("below", "pp"), ("below", "mf")]


@pytest.mark.parametrize(
    ("value", "upper"),
    [("together(notes(1/4 C4), notes(1/4 G4))", "G4"), ("together(notes(1/4 C4), notes(1/4 rest))", "C4")],
)
def test_the_higher_line_is_the_upper_voice(value: str, upper: str) -> None:
    score = score_of(f"language 2\nforces\n    v = viola\nmovement first\n    v: {value}\n")
    assert str(score.movements[0].staves[0][0].voices[0][0].event.heads[0].pitch) == upper


def test_a_technique_of_both_voices_is_said_once() -> None:
    line = "together(notes(1/4 G4 A4), notes(1/4 C4 D4)) -> marked pp divisi"
    score = score_of(f"language 2\nforces\n    v = violas\nmovement first\n    v: {line}\n")
    upper, lower = score.movements[0].staves[0][0].voices
    assert upper[0].event.marks.techniques == ("divisi",)
    assert lower[0].event.marks.techniques == ()
