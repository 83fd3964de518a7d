"""Scordatura: what sounds, what is read, what is told.

Source: Bach's fifth suite for the cello, whose A string is let down to G and whose notes on it stand a tone higher than
they sound, and common practice, both from memory; the documentation of MusicXML 4.0 on `accord`: "strings are numbered
from high to low".
"""

from __future__ import annotations

from xml.etree.ElementTree import fromstring

import pytest
from compiling import score_from

from cavata.instruments.instrument import PageLanguage, note_in
from cavata.instruments.strings import stopped_on
from cavata.instruments.table import find
from cavata.lilypond.document import lilypond_text
from cavata.music.pitch import parse_pitch, parse_pitch_class
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import written
from cavata.score.score import Score


def score_of(force: str, music: str, piece: str = "") -> Score:
    rows = f'piece "x"\n{piece}forces\n    player = {force}\nmovement first\n    player: {music}\n'
    return score_from("language 2\n" + rows)


def read(score: Score) -> list[str]:
    """What a player reads, head by head, from the MusicXML."""
    names = []
    for note in fromstring(musicxml_bytes(written(score), "first")).iter("note"):
        pitch = note.find("pitch")
        if pitch is not None:
            sign = {"-1": "b", "1": "#"}.get(pitch.findtext("alter", "0"), "")
            names.append(f"{pitch.findtext('step')}{sign}{pitch.findtext('octave')}")
    return names


@pytest.mark.parametrize(
    ("force", "music", "expected"),
    [
        ("cello, tuned C2 G2 D3 G3", "notes(1/4 C2 G3 Ab3 F3)", "C2 A3 Bb3 F3"),
        ("cello, tuned C2 G2 D3 G3", "chord(Eb2 Bb2 Eb3 G3)", "Eb2 Bb2 Eb3 A3"),
        # Two notes that could both be on the highest string: the lower one is on the next.
        ("cello, tuned C2 G2 D3 G3", "chord(G3 Eb4)", "G3 F4"),
        ("violin, tuned A3 E4 A4 E5", "notes(1/4 A3 E4 A4 E5)", "G3 D4 A4 E5"),
        ("violin, tuned A3 E4 A4 E5", "notes(1/2 B4) -> graced 1 by notes(1/8 F4)", "Eb4 B4"),
        ("guitar, tuned D2 A2 D3 G3 B3 E4", "notes(1/4 D2 E4)", "D3 E5"),
        ("double bass, tuned D1 A1 D2 G2", "notes(1/4 D1 G2)", "D2 G3"),
    ],
)
def test_a_bowed_player_reads_what_is_fingered(force: str, music: str, expected: str) -> None:
    assert read(score_of(force, music)) == expected.split()


def test_a_score_in_concert_pitch_has_what_sounds() -> None:
    score = score_of("cello, tuned C2 G2 D3 G3", "notes(1/4 G3 Ab3)", "    concert score\n")
    assert read(score) == ["G3", "Ab3"]


def test_the_tuning_is_told_from_the_highest_string_in_musicxml_and_from_the_lowest_on_the_page() -> None:
    page = written(score_of("violin, tuned G3 D4 A4 Eb5", "notes(1/4 G3)"))
    accords = list(fromstring(musicxml_bytes(page, "first")).iter("accord"))
    assert [(a.get("string"), a.findtext("tuning-step"), a.findtext("tuning-alter")) for a in accords] == [
        ("1", "E", "-1"), ("2", "A", None), ("3", "D", None), ("4", "G", None),
    ]  # fmt: skip
    assert "Scordatura: G–D–A–E♭" in lilypond_text(page)


def test_the_usual_tuning_is_no_scordatura() -> None:
    score = score_of("violin, tuned G3 D4 A4 E5", "notes(1/4 G3)")
    assert score.parts[0].instrument == find("violin")
    assert b"scordatura" not in musicxml_bytes(written(score), "first")


@pytest.mark.parametrize(
    ("language", "notes"),
    [(PageLanguage.ENGLISH, "B♭ E♭ C♯ B"), (PageLanguage.GERMAN, "B Es Cis H"),
     (PageLanguage.ITALIAN, "Si♭ Mi♭ Do♯ Si"), (PageLanguage.FRENCH, "si♭ mi♭ ut♯ si")],
)  # fmt: skip
def test_notes_are_called_as_in_the_language_of_the_page(language: PageLanguage, notes: str) -> None:
    assert [note_in(language, parse_pitch_class(name)) for name in ("Bb", "Eb", "C#", "B")] == notes.split()


def test_a_chord_has_a_string_for_each_note() -> None:
    """D4 and A4 on the violin are two open strings; D5 over them is on the E string only if it is let down."""
    strings = tuple(map(parse_pitch, ("G3", "D4", "A4", "D5")))
    assert stopped_on(strings, tuple(map(parse_pitch, ("D4", "A4", "D5")))) == (1, 2, 3)
    assert stopped_on(strings, (parse_pitch("F3"),)) == (0,)
