"""Where hairpins end: one on a single note within the note, one that leads to a dynamic where that stands."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import mido
import pytest
from compiling import clean_score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written
from cavata.sound.dynamics import LEVELS
from cavata.sound.midi import midi_bytes

SCRIPT = """\
language 2
forces
    drum = timpani
movement first
    drum: notes(1/1 A2) -> tremolo -> crescendo p f, notes(1/1 A2), notes(1/1 D3)
"""


def page() -> WrittenScore:
    return written(clean_score_from(SCRIPT))


def test_lilypond_ends_it_before_the_next_note() -> None:
    text = " ".join(lilypond_text(page()).split())
    tuning = r'\^ \\markup "in A, D"'
    assert re.search(rf"\\after 1\*7/8 \\f a,1 :32 \\p {tuning} \\<", text), text


def test_its_goal_is_reached_at_the_end_of_the_note() -> None:
    """And is in force there: the same dynamic at once after it is not printed again."""
    text = musicxml_bytes(page(), "first").decode()
    dynamics = re.findall(r"<dynamics[^>]*><(\w+)\s*/>|<(note)[ >]", text)
    assert ["".join(sign) for sign in dynamics] == ["p", "note", "f", "note", "note"]
    compiled = compile_script(Path("lone.cavata"), text=SCRIPT.replace("notes(1/1 A2),", "notes(1/1 A2) -> marked f,"))
    assert compiled.score is not None
    marks = [event.event.marks for event in compiled.score.movements[0].staves[0][0].voices[0]]
    assert [(mark.dynamic, mark.goal) for mark in marks] == [("p", "f"), ("", ""), ("", "")]


def _velocities(rows: str, player: str) -> list[int]:
    script = f"language 2\nforces\n    a = {player}\nmovement first\n    a: {rows}\n"
    track = mido.MidiFile(file=BytesIO(midi_bytes(clean_score_from(script)))).tracks[1]
    return [message.velocity for message in track if message.type == "note_on"]


def test_sustained_note_grows_to_its_goal_while_it_sounds() -> None:
    """Evenly, and not at once. Source: common practice."""
    script = "language 2\nforces\n    a = trumpet\nmovement first\n    a: notes(1/1 A4) -> crescendo p f\n"
    track = mido.MidiFile(file=BytesIO(midi_bytes(clean_score_from(script)))).tracks[1]
    course = [message.value for message in track if message.type == "control_change" and message.control == 11]
    assert course == sorted(course) and len(course) > 12
    assert course[0] < 80 < course[len(course) // 2] < 110 < course[-1]


def test_roll_grows_from_stroke_to_stroke_and_falls_back_after_an_attack() -> None:
    """A struck note keeps its loudness, but a roll is many notes. Source: common practice."""
    for steps in ("tremolo -> crescendo p f", "tremolo 1/16 -> crescendo nothing f"):
        grown = _velocities(f"notes(1/1 A2) -> {steps}", "timpani")
        assert grown == sorted(grown) and grown[0] <= LEVELS["p"] and LEVELS["f"] - 7 < grown[-1] <= LEVELS["f"]
        assert grown[len(grown) // 2] == pytest.approx((grown[0] + grown[-1]) / 2, abs=4)
    over = _velocities("notes(1/1 A2 A2) -> tremolo 1/8 -> crescendo p f", "timpani")
    assert over == sorted(over) and over[8:] == [LEVELS["f"]] * 8
    struck = _velocities("notes(1/1 A2) -> tremolo 1/8 -> marked fp", "timpani")
    assert struck == [LEVELS["f"], *[LEVELS["p"]] * 7]
    accented = _velocities("notes(1/2 A2) -> tremolo 1/8 -> marked p accent", "timpani")
    assert len(set(accented)) == 1 and accented[0] > LEVELS["p"]


def test_goal_of_a_short_note_is_kept_backwards_and_divided() -> None:
    text = "motif m = notes(1/8 C5) -> crescendo p f\nmotif back = m -> retrograde\n"
    rest = "forces\n    a = violin\nmovement one\n    a: m, back, m -> tremolo"
    compiled = compile_script(Path("short.cavata"), text=f"language 2\n{text}{rest}")
    assert compiled.score is not None
    marks = [event.event.marks for event in compiled.score.movements[0].staves[0][0].voices[0]]
    assert [(m.dynamic, m.hairpin, m.goal) for m in marks] == [
        ("p", "crescendo", "f"), ("", "diminuendo", "p"), ("", "crescendo", "f"),
    ]  # fmt: skip


def test_dynamic_is_not_said_twice_where_one_hairpin_ends_and_another_begins() -> None:
    """Source: common practice. More than a bar later, or after a rest of a bar, it is said again."""
    tune = "notes(1/4 C5 D5 E5 F5) -> crescendo p f"
    back = "notes(1/4 F5 E5 D5 C5) -> diminuendo f p"
    for between, said in (("", ""), ("notes(1/1 G5), ", "f"), ("1 bar rest, ", "f")):
        script = f"language 2\nforces\n    a = violin\nmovement one\n    a: {tune}, {between}{back}"
        compiled = compile_script(Path("twice.cavata"), text=script)
        assert compiled.score is not None
        marks = [event.event.marks for event in compiled.score.movements[0].staves[0][0].voices[0]]
        assert next(m.dynamic for m in marks if m.hairpin == "diminuendo") == said


def test_musicxml_stops_the_wedge_after_its_note() -> None:
    text = musicxml_bytes(page(), "first").decode()
    signs = re.findall(r'wedge type="(\w+)"|<(note)[ >]|<measure number="(\d)"', text)
    assert ["".join(sign) for sign in signs] == ["1", "crescendo", "note", "stop", "2", "note", "3", "note"]


def test_lower_voice_ends_it_once_where_the_upper_says_the_dynamic() -> None:
    """`p` stands above for both; below the hairpin opens without one, and `f` alone ends it."""
    line = "together(notes(1/1 E5) -> marked p, notes(1/1 C5) -> crescendo p f)"
    rest = f"language 2\nforces\n    a = violin\nmovement one\n    a: {line}\n"
    compiled = compile_script(Path("lone.cavata"), text=rest)
    assert compiled.score is not None, compiled.bag.ordered()
    text = " ".join(lilypond_text(written(compiled.score)).split())
    assert re.search(r"\\after 1\*7/8 \\f c''1 \\<", text), text
    assert "\\!" not in text


MEETING = """\
language 2
forces
    a = violin
movement first
    a: notes(TUNE) -> crescendo 1..2 p f -> diminuendo 2..4 f p
"""


def test_where_one_hairpin_ends_and_the_next_begins_that_one_leads_on() -> None:
    """Also where that note is tied over the bar line. Source: common practice."""
    for tune, leaves in (("1/1 C5, 1/2 D5 F5, 1/1 C5", 2), ("1/2 C5, 3/4 D5, 1/4 F5, 1/2 C5", 3)):
        script = MEETING.replace("TUNE", tune)
        page = written(clean_score_from(script))
        text = " ".join(lilypond_text(page).split())
        assert "\\after" not in text
        signs = re.findall(r"\\([<>!pf])(?!\w)", text.partition('\\clef "treble"')[2])
        assert signs == ["p", "<", "f", ">", "p"]
        wedges = re.findall(r'wedge type="(\w+)"|<(step)>', musicxml_bytes(page, "first").decode())
        told = ["".join(sign) for sign in wedges]
        assert told == ["crescendo", "step", "stop", "diminuendo", *["step"] * leaves, "stop", "step"]


def test_hairpin_ends_where_the_dynamic_stands_that_it_leads_to() -> None:
    """Also where that note is tied over the bar line; a swell of several parts leaves one that is done sooner there.

    Source: common practice.
    """
    parts = "language 2\nforces\n    a = violin\n    b = cello\nmovement first\n"
    for rows, dynamic in (
        ("    a: notes(1/1 A4, 5/4 B4) -> crescendo pp ff\n    b: notes(1/1 D3)\n", "ff"),
        ("    a: notes(1/1 A4, 5/4 B4)\n    b: notes(1/1 D3 E3 F3 G3)\n    a, b bars 1 to 4: crescendo pp ff\n", "mp"),
    ):
        page = written(clean_score_from(parts + rows))
        first, _, _ = lilypond_text(page).partition('\\clef "bass"')
        signs = re.findall(r"\\(<|!|pp|mp|ff)(?!\w)", first.partition('\\clef "treble"')[2])
        assert signs == ["pp", "<", dynamic]
        violin = musicxml_bytes(page, "first").decode().partition("</part>")[0]
        told = re.findall(r'wedge type="(\w+)"|<(pp|mp|ff) ?/>|<(step)>', violin)
        assert ["".join(sign) for sign in told] == ["pp", "crescendo", "step", dynamic, "stop", "step", "step"]
