"""What belongs to a keyboard or a harp, and not to a hand: its pedal, and a chord rolled across both staves.

Source: common practice; MusicXML 4.0 on the number of `arpeggiate`, by which simultaneous chords are one.
"""

from __future__ import annotations

import re
from fractions import Fraction
from io import BytesIO

import mido
import pytest
from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes


def score_of(*rows: str) -> Score:
    block = "".join(f"    {row}\n" for row in rows)
    return score_from(f"language 2\nforces\n    piano = piano\nmovement first\n{block}")


def pedals(score: Score) -> list[tuple[Fraction, Fraction]]:
    events = sorted(score.movements[0].events, key=lambda event: event.onset)
    begins = [event.onset for event in events if event.event.marks.pedal_begins]
    return list(zip(begins, sorted(event.end for event in events if event.event.marks.pedal_ends), strict=True))


BOTH = ("piano.right: notes(1/4 D5 E5 F5 G5) -> sustain_pedal", "piano.left: notes(1/2 D3 E3) -> sustain_pedal")


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (BOTH, [(0, 1)]),
        (("piano.right: notes(1/4 D5 E5) -> sustain_pedal", "piano.left: notes(1/2 D3 E3) -> sustain_pedal"), [(0, 1)]),
        (("piano.right: 1/4 rest, notes(1/4 E5 F5) -> sustain_pedal", "piano.left: notes(1/4 D3 E3) -> sustain_pedal"),
         [(0, Fraction(1, 4)), (Fraction(1, 4), Fraction(3, 4))]),
        (("piano.right: notes(1/4 E5) -> sustain_pedal, notes(1/4 E5) -> sustain_pedal",), [(0, Fraction(1, 4)),
                                                                              (Fraction(1, 4), Fraction(1, 2))]),
    ],
)  # fmt: skip
def test_the_pedal_is_one_whichever_hand_it_was_said_for(
    rows: tuple[str, ...], expected: list[tuple[Fraction, Fraction]]
) -> None:
    assert pedals(score_of(*rows)) == expected


def test_the_pedal_stands_under_the_lower_staff() -> None:
    """At its exact moments, also where the lower hand has nothing there."""
    page = written(score_of("piano.right: 1/4 rest, notes(1/4 D5 E5) -> sustain_pedal", "piano.left: notes(1/1 D3)"))
    text = lilypond_text(page)
    lines = [line.strip() for line in text[text.index("\\new Dynamics") :].splitlines() if "s1 *" in line]
    assert lines == ["s1 * 1/4", "s1 * 1/2 \\sustainOn", "s1 * 1/4 \\sustainOff"]
    assert text.count("\\sustain") == 2
    ending = lilypond_text(written(score_of("piano.right: notes(1/1 D5) -> sustain_pedal")))
    assert re.findall(r"s1 \* (\S+) (\\\S+)", ending) == [("31/32", "\\sustainOn"), ("1/32", "\\sustainOff")]
    document = musicxml_bytes(page, "first").decode()
    assert re.findall(r'<pedal type="(\w+)"[^>]*/></direction-type><staff>(\d)', document) == [
        ("start", "2"), ("stop", "2"),
    ]  # fmt: skip


def test_a_chord_rolled_across_both_staves_is_one_roll() -> None:
    score = score_of("piano: chord(D2 F#4 A4 D5) -> rolled held 1/1")
    page = written(score)
    text = lilypond_text(page)
    assert text.count("\\arpeggio") == 2 and "connectArpeggios = ##t" in text
    assert re.findall(r"<arpeggiate([^>]*)/>", musicxml_bytes(page, "first").decode()) == [' number="1" '] * 4
    now, struck = 0, []
    for message in mido.MidiFile(file=BytesIO(midi_bytes(score))).tracks[1]:
        now += message.time
        if message.type == "note_on" and message.velocity:
            struck.append((now, message.note))
    assert [key for _, key in sorted(struck)] == [38, 66, 69, 74]
    assert len({moment for moment, _ in struck}) == 4


def test_a_chord_rolled_in_one_hand_is_no_business_of_the_other() -> None:
    rows = ("piano.right: chord(F#4 A4 D5) -> rolled", "piano.left: chord(D3 A3)")
    text = lilypond_text(written(score_of(*rows)))
    assert text.count("\\arpeggio") == 1 and "connectArpeggios" not in text
