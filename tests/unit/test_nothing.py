"""Hairpins from nothing and to nothing (niente), in every output, over bars and in time.

Sources: a circle at the narrow end, and silence at the end of the last note, are common practice; `niente` stands at
the beginning of a crescendo and at the stop of a diminuendo (W3C, MusicXML 4.0, element `wedge`, from memory);
`circled-tip` is LilyPond's (Notation Reference 2.24, Expressive marks); MIDI is read with mido.
"""

from __future__ import annotations

import re
from io import BytesIO

import mido
import pytest
from compiling import score_from

from cavata.evaluate.text import event_text
from cavata.lilypond.document import lilypond_text
from cavata.music.event import NOTHING, divided_marks
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

HEAD = (
    "language 2\nforces\n    flute = flute\n    violin = violin\n"
    "movement first\n    tempo 1/4 at 60\n    section a\n"
)


def score(*rows: str) -> Score:
    return score_from(HEAD + "".join(f"        {row}\n" for row in rows))


def marked(found: Score) -> list[str]:
    return [
        " ".join(f"{e.onset}={event_text(e.event)}" for e in staves[0].voices[0] if e.event.marks)
        for staves in found.movements[0].staves
    ]


def course(found: Score) -> list[tuple[int, str, int]]:
    """Ticks, kinds and values of velocities and expression of the first part."""
    out, now = [], 0
    for message in mido.MidiFile(file=BytesIO(midi_bytes(found))).tracks[1]:
        now += message.time
        if message.type == "note_on" and message.velocity:
            out.append((now, "struck", message.velocity))
        elif message.type == "control_change" and message.control == 11:
            out.append((now, "expression", message.value))
    return out


def test_circle_on_the_page_and_in_musicxml() -> None:
    line = "notes(1/4 C5 D5 E5 F5)"
    found = score(f"flute: {line} -> crescendo nothing f, {line} -> diminuendo f nothing")
    text = " ".join(lilypond_text(written(found)).split())
    assert re.search(r"c''4 - \\tweak circled-tip ##t \\< d''4 e''4 f''4 \\f", text)
    assert re.search(r"c''4 (\\f )?- \\tweak circled-tip ##t \\> (\\f )?d''4 e''4 \\after 4\*7/8 \\! f''4", text)
    document = musicxml_bytes(written(found), "first").decode()
    signs = re.findall(r'<wedge type="(\w+)" number="1"( niente="yes")?|<(note)[ >]', document)
    assert ["".join(sign) for sign in signs][:12] == [
        'crescendo niente="yes"', "note", "note", "note", "stop", "note",
        "diminuendo", "note", "note", "note", "note", 'stop niente="yes"',
    ]  # fmt: skip


def test_first_note_is_hardly_struck_and_the_level_grows_to_the_goal() -> None:
    struck = [value for _, kind, value in course(score("flute: notes(1/4 C5 D5 E5 F5) -> crescendo nothing f"))]
    assert struck[0] == 1
    assert struck == sorted(struck) and len(set(struck)) == 4


def test_last_note_is_heard_and_what_follows_is_not_silent() -> None:
    found = score("flute: notes(1/4 C5 D5 E5 F5) -> diminuendo f nothing, notes(1/4 C5)")
    struck = [value for _, kind, value in course(found) if kind == "struck"]
    assert struck[:4] == sorted(struck[:4], reverse=True)
    assert struck[3] > 10 and struck[4] == struck[0]


@pytest.mark.parametrize(("dress", "rises"), [("crescendo nothing f", True), ("diminuendo f nothing", False)])
def test_held_note_comes_from_silence_or_goes_there(dress: str, rises: bool) -> None:
    values = [value for _, kind, value in course(score(f"flute: notes(2/1 C5) -> {dress}")) if kind == "expression"]
    assert values == sorted(values, reverse=not rises)
    assert min(values) <= 4 and max(values) >= 120


def test_over_bars_silence_is_reached_where_the_bars_end_whoever_holds_on() -> None:
    found = marked(score(
        "flute: notes(1/4 C5 D5) for 3 bars", "violin: notes(3/1 C5)",
        "flute, violin bars 1 to 2: diminuendo f nothing",
    ))  # fmt: skip
    assert found == [
        "0=C5:1/4[f,diminuendo to nothing] 7/4=D5:1/4[hairpin-ends,at nothing]",
        "0=C5:2[f,diminuendo to nothing,hairpin-ends,at nothing]",
    ]  # fmt: skip


def test_over_bars_who_enters_later_enters_at_the_level_reached() -> None:
    found = marked(score(
        "flute: notes(1/1 C5) x 4", "violin: 2 bars rest, notes(1/1 C5) x 2",
        "flute, violin bars 1 to 4: crescendo nothing f",
    ))  # fmt: skip
    assert found == [
        "0=C5:1[crescendo from nothing] 3=C5:1[f,hairpin-ends]", "2=C5:1[mp,crescendo] 3=C5:1[f,hairpin-ends]",
    ]  # fmt: skip


def test_who_is_done_sooner_has_not_died_away() -> None:
    found = marked(score(
        "flute: notes(1/1 C5) x 4", "violin: notes(1/1 C5) x 2", "flute, violin bars 1 to 4: diminuendo f nothing",
    ))  # fmt: skip
    assert found[0].endswith("3=C5:1[hairpin-ends,at nothing]")
    assert found[1] == "0=C5:1[f,diminuendo] 1=C5:1[mp,hairpin-ends]"


def test_both_ends_stay_in_transforms_of_order() -> None:
    line = "notes(1/4 C5 D5 E5 F5) -> diminuendo f nothing"
    assert marked(score(f"flute: {line} -> without 4"))[0].endswith("1/2=E5:1/4[hairpin-ends,at nothing]")
    assert marked(score(f"flute: {line} -> first 3"))[0].endswith("1/2=E5:1/4[hairpin-ends,at nothing]")
    twice = marked(score(f"flute: {line} -> retrograde -> retrograde"))
    assert twice == marked(score(f"flute: {line}"))


def test_divided_note_dies_away_in_its_last_part() -> None:
    found = score("flute: notes(1/1 C5) -> diminuendo f nothing")
    first, last = divided_marks(found.movements[0].staves[0][0].voices[0][0].event.marks)
    assert (first.hairpin, first.goal, first.hairpin_ends) == ("diminuendo to nothing", "", False)
    assert (last.dynamic, last.goal, last.hairpin_ends) == ("", NOTHING, True)


def test_dynamic_said_later_for_the_last_note_stands() -> None:
    found = marked(score("flute: notes(1/4 C5 D5) -> diminuendo f nothing -> marked last p"))
    assert found[0].endswith("D5:1/4[p,hairpin-ends]")
