"""A player who takes up another instrument within a movement: read, printed, heard and judged as on that instrument."""

from __future__ import annotations

import io
from pathlib import Path

import mido
import pytest
from compiling import score_from
from music21 import converter

from cavata.diagnostics import Diagnostic
from cavata.edition.copies import full_score
from cavata.edition.instrumentation import forces_list
from cavata.instruments.instrument import PageLanguage
from cavata.instruments.table import find
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.transposition import taking_up
from cavata.notate.written import WrittenStaff, leaves
from cavata.pipeline import compile_script, written
from cavata.score.playing import played
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

FORCES = """
forces
    flute = flute, doubling piccolo, doubling alto flute
    reed  = clarinet in A, doubling bass clarinet
motif tune = notes(1/4 D5 E5 F#5 A5)
"""
MOVEMENT = """
movement first
    key D major
    section opening 10 bars
        flute: tune, 2 bars rest, tune -> up P8, 2 bars rest, tune -> down P8, 1 bar rest, tune
        flute bars 3 to 4: on piccolo
        flute bars 7 to 8: on alto flute
        reed: tune, 2 bars rest, tune -> down P8 -> down P8, 2 bars rest, tune
        reed bars 4 to 5: on bass clarinet
"""


def messages(script: str) -> tuple[Diagnostic, ...]:
    return compile_script(Path("piece.cavata"), "piece.cavata", text="language 2\n" + script).bag.ordered()


def score(script: str = FORCES + MOVEMENT) -> Score:
    return score_from("language 2\n" + script)


def staff(of: Score, part: int) -> WrittenStaff:
    return written(full_score(of)).movements[0].parts[part].staves[0]


def bars(of: WrittenStaff) -> list[str]:
    """The first pitch of each bar as read, `-` for a silent one."""
    firsts = (next((leaf for leaf in leaves(bar.voices[0]) if leaf.heads), None) for bar in of.bars)
    return [str(leaf.heads[0].pitch) if leaf else "-" for leaf in firsts]


def said(of: WrittenStaff) -> dict[int, str]:
    """The words of each bar that has some, counted from 1."""
    return {
        number: leaf.marks.who for number, bar in enumerate(of.bars, 1) for leaf in leaves(bar.voices[0])
        if leaf.marks.who
    }  # fmt: skip


def test_notes_are_read_on_the_instrument_in_hand() -> None:
    """Piccolo an octave below what sounds, alto flute a fourth above, A clarinet a third, bass clarinet a ninth."""
    assert bars(staff(score(), 0)) == ["D5", "-", "-", "D5", "-", "-", "G4", "-", "D5", "-"]
    assert bars(staff(score(), 1)) == ["F5", "-", "-", "E4", "-", "-", "F5", "-", "-", "-"]


def test_signature_goes_with_the_instrument() -> None:
    """D major: two sharps; for an alto flute in G one, for an A clarinet a flat, for a bass clarinet in B flat four."""
    flute, reed = staff(score(), 0), staff(score(), 1)
    assert {n: bar.key for n, bar in enumerate(flute.bars, 1) if bar.key is not None} == {1: 2, 7: 1, 9: 2}
    assert {n: bar.key for n, bar in enumerate(reed.bars, 1) if bar.key is not None} == {1: -1, 4: 4, 6: -1}


def test_rest_before_says_what_to_take_and_the_first_note_what_it_is() -> None:
    assert said(staff(score(), 0)) == {
        2: "to Picc.", 4: "Piccolo", 5: "to A. Fl.", 7: "Alto flute", 8: "to Fl.", 9: "Flute",
    }  # fmt: skip
    assert said(staff(score(), 1)) == {2: "to B. Cl.", 4: "Bass clarinet", 5: "to Cl. (A)", 7: "Clarinet in A"}


@pytest.mark.parametrize(
    ("language", "words"),
    [
        (PageLanguage.ENGLISH, "to Picc."), (PageLanguage.ITALIAN, "muta in Ott."),
        (PageLanguage.GERMAN, "nimmt Picc."), (PageLanguage.FRENCH, "prend Pte Fl."),
    ],
)  # fmt: skip
def test_words_are_those_of_the_pages_language(language: PageLanguage, words: str) -> None:
    piccolo = find("piccolo")
    assert piccolo is not None and taking_up(piccolo, language) == words


def test_player_who_only_rested_is_told_what_to_take() -> None:
    """Eight bars of rest before the first note, which wants the piccolo: the rest says so from its beginning."""
    script = FORCES + (
        "movement m\n    reed: tune x 9\n    flute at bar 9: tune -> up P8\n    flute bars 9 to 9: on piccolo\n"
    )
    assert said(staff(score(script), 0)) == {1: "to Picc.", 9: "Piccolo"}


def test_next_movement_says_which_instrument_is_in_hand_again() -> None:
    """It ended on the piccolo: the movement after it is for the flute, with a rest before or without; silence between
    changes nothing, and what is in hand already is not to be taken up."""
    on_piccolo = (
        "movement high{0}\n    reed: tune x 2\n    flute at bar 2: tune -> up P8\n    flute bars 1 to 2: on piccolo\n"
    )
    silent = "movement silent\n    reed: tune\n"
    on_flute = "movement usual{0}\n    reed: tune x 2\n    flute{1}: tune\n"
    script = FORCES + "".join(
        (on_piccolo.format(1), silent, on_flute.format(1, ""), on_piccolo.format(2), on_piccolo.format(3),
         on_flute.format(2, " at bar 2"), on_flute.format(3, ""))
    )  # fmt: skip
    movements = written(full_score(score(script))).movements
    assert [said(movement.parts[0].staves[0]) for movement in movements] == [
        {1: "to Picc.", 2: "Piccolo"}, {}, {1: "Flute"}, {1: "to Picc.", 2: "Piccolo"}, {2: "Piccolo"},
        {1: "to Fl.", 2: "Flute"}, {},
    ]  # fmt: skip


def test_nothing_is_said_of_an_instrument_that_plays_nothing_more() -> None:
    script = FORCES + (
        "movement m\n    reed: tune x 5\n    flute: tune, 1 bar rest, tune -> up P8\n"
        "    flute bars 3 to 3: on piccolo\n"
    )
    assert said(staff(score(script), 0)) == {2: "to Picc.", 3: "Piccolo"}


def test_clefs_are_those_of_the_instrument_in_hand() -> None:
    """A bass clarinet may read the bass clef for a low stretch; a clarinet never does."""
    low = "notes(1/4 D2 E2 F#2 G2) x 3"
    script = FORCES + (
        f"movement m\n    reed: tune, 1 bar rest, {low}, 1 bar rest, notes(1/4 D3 E3 F#3 G3) x 3\n"
        "    reed bars 3 to 5: on bass clarinet\n    flute: tune\n"
    )
    changes = [leaf.clef for bar in staff(score(script), 1).bars for leaf in leaves(bar.voices[0]) if leaf.clef]
    assert changes == ["bass", "treble"]


def test_concert_score_keeps_the_octave_of_the_piccolo_only() -> None:
    of = score('piece "P"\n    concert score\n' + FORCES + MOVEMENT)
    assert bars(staff(of, 0)) == ["D5", "-", "-", "D5", "-", "-", "D4", "-", "D5", "-"]


def test_musicxml_sounds_as_the_score_does() -> None:
    """Read back by music21, which applies each transposition from its measure on."""
    of = score()
    document = musicxml_bytes(written(full_score(of)), "first").decode("utf-8")
    sounding = converter.parse(document, format="musicxml").toSoundingPitch()
    for part, staves in zip(sounding.parts, of.movements[0].staves, strict=True):
        ours = [event.event.heads[0].pitch.midi for event in staves[0].voices[0]]
        assert [note.pitch.midi for note in part.recurse().notes] == ours
    programs = [int(text) for text in document.split("<midi-program>")[1:] for text in [text.split("<")[0]]]
    assert 73 in programs and 74 in programs  # counted from 1: piccolo, flute


def test_midi_changes_the_sound() -> None:
    """General MIDI, counted from 0: flute 73, piccolo 72. The alto flute has the flute's sound."""
    file = mido.MidiFile(file=io.BytesIO(midi_bytes(score())))
    flute = next(track for track in file.tracks if any(m.type == "track_name" and m.name == "Flute" for m in track))
    assert [message.program for message in flute if message.type == "program_change"] == [73, 72, 73]


def test_range_is_that_of_the_instrument_in_hand() -> None:
    """A7 sounding is beyond every flute, but not beyond the piccolo; C4 is beyond the piccolo."""
    found = messages(FORCES + (
        "movement m\n    reed: tune\n"
        "    flute: notes(1/1 A7), 1 bar rest, notes(1/1 A7), 1 bar rest, notes(1/1 D4), 1 bar rest, notes(1/1 D4)\n"
        "    flute bars 3 to 5: on piccolo\n"
    ))  # fmt: skip
    assert [message.code for message in found] == ["I202", "I201"]
    assert "in bar 1" in found[0].message and "in bar 5" in found[1].message
    assert found[1].label.startswith("Piccolo")


@pytest.mark.parametrize(
    ("tempo", "rest", "told", "bar"),
    [
        ("1/4 at 60", "", "no rest", 2), ("1/4 at 60", "1/4", "1.0 s of rest", 2), ("1/4 at 60", "1/2", None, 2),
        ("1/4 at 240", "1/1", "1.0 s of rest", 3), ("1/4 at 240", "2/1", None, 4),
    ],
)  # fmt: skip
def test_change_takes_time_by_the_clock(tempo: str, rest: str, told: str | None, bar: int) -> None:
    """A rest of so many quarters at so many in a minute, against two seconds. Source: arithmetic."""
    rests = f"{rest} rest, " if rest else ""
    script = FORCES + (
        f"movement first\n    tempo {tempo}\n    reed: tune x 4\n    flute: tune, {rests}tune -> up P8\n"
        "    flute bars 2 to 4: on piccolo\n"
    )
    found = [message for message in messages(script) if message.code == "P136"]
    assert [m.message for m in found] == ([f"`flute` has {told} to take up the piccolo in bar {bar}"] if told else [])


def test_change_back_is_timed_too_and_an_item_told_once() -> None:
    script = FORCES + (
        "movement first\n    tempo 1/4 at 60\n    section one 4 bars\n        reed: tune\n"
        "        flute: tune -> up P8, tune\n        flute bars 1 to 1: on piccolo\n    section two = one\n"
    )
    found = [message.message for message in messages(script) if message.code == "P136"]
    assert found == ["`flute` has no rest to take up the flute in bar 2"]


def test_section_that_returns_takes_its_instruments_with_it() -> None:
    of = score(FORCES + (
        "movement m\n    section one 4 bars\n        flute: tune, 1 bar rest, tune -> up P8\n"
        "        flute bars 3 to 3: on piccolo\n        reed: tune\n    section two = one\n"
    ))  # fmt: skip
    assert [(c.begin, c.end) for c in of.movements[0].changes] == [(2, 3), (6, 7)]


def test_instrument_that_stays_in_hand_over_sections_is_said_once() -> None:
    of = score(FORCES + (
        "movement m\n    section one 2 bars\n        flute: tune -> up P8, tune -> up P8\n"
        "        flute bars 1 to 2: on piccolo\n        reed: tune\n"
        "    section two 2 bars\n        flute: tune -> up P8, tune\n        flute bars 1 to 1: on piccolo\n"
    ))  # fmt: skip
    assert [(c.begin, c.end) for c in of.movements[0].changes] == [(0, 3)]
    assert said(staff(of, 0)) == {1: "Piccolo", 4: "Flute"}


def test_movement_after_one_that_ended_on_another_instrument_begins_with_a_word() -> None:
    """The flute was laid down in the movement before and is taken up again, though for one bar only. Source: common
    practice."""
    of = score(FORCES + (
        "movement one\n    flute: tune -> up P8\n    flute bars 1 to 1: on piccolo\n    reed: tune\n"
        "movement two\n    flute: tune, tune -> up P8, tune\n    flute bars 2 to 2: on piccolo\n    reed: tune\n"
    ))  # fmt: skip
    second = written(full_score(of)).movements[1].parts[0].staves[0]
    assert said(second) == {1: "Flute", 2: "Piccolo", 3: "Flute"}


def test_repeat_is_played_with_its_instruments() -> None:
    of = score(FORCES + (
        "movement m\n    section one 2 bars\n        repeated 2 times\n        flute: tune, tune -> up P8\n"
        "        flute bars 2 to 2: on piccolo\n        reed: tune\n"
    ))  # fmt: skip
    assert [(c.begin, c.end) for c in played(of.movements[0]).changes] == [(1, 2), (3, 4)]


def test_player_who_changes_has_a_staff_alone() -> None:
    script = (
        "forces\n    one = flute\n    two = flute, doubling piccolo\nstaff flutes = one, two\n"
        "movement m\n    one, two: notes(1/1 G5), 1/1 rest, notes(1/1 A5)\n    two bars 3 to 3: on piccolo\n"
    )
    (message,) = messages(script)
    assert message.code == "P130" and message.label == "`two` takes up the piccolo"
    assert len(full_score(score(script)).parts) == 2


def test_player_with_two_voices_has_a_staff_alone_and_is_shown_where_they_begin() -> None:
    """Bar 3 is the first that a staff with two more rhythms could not hold."""
    script = (
        "forces\n    one = flute\n    two = flute\nstaff flutes = one, two\nmovement m\n    one: notes(1/1 D6) x 4\n"
        "    two: notes(1/1 G5) x 2, together(notes(1/1 G5 A5), notes(1/2 C5 D5 E5 F5))\n"
    )
    message, of_breath = messages(script)
    assert message.code == "P130" and message.label == "`two` has two voices of its own"
    assert of_breath.code == "I303"
    assert [text for _, text in message.also] == ["bar 3 of `m`"]
    assert len(full_score(score(script)).parts) == 2


def test_forces_say_what_players_must_bring() -> None:
    assert forces_list(score())[0] == "Flute (doubling piccolo, alto flute)"


def test_page_says_each_word_once() -> None:
    text = lilypond_text(written(full_score(score())))
    assert text.count("to Picc.") == 1 and text.count('"Piccolo"') == 1
