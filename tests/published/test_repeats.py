"""A movement with repeats is played as other programs read it.

Sources: music21, which expands the repeat signs and endings of the MusicXML file by its own rules, and the clock of
mido over the MIDI file.
"""

from __future__ import annotations

import re
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
import music21
import pytest
from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.score.clock import Clock, length
from cavata.score.playing import played
from cavata.score.score import Movement, Score
from cavata.sound.midi import midi_bytes
from cavata.sound.time import PAUSE

SCRIPT = """language 2
motif rise = notes(1/4 C5 D5 E5)
motif turn = notes(1/4 G5 F5, 1/8 E5 D5)
forces
    flute = flute
    cello = cello
movement first
    meter 3/4
    pickup 1/4
    tempo 1/4 at 120
    section theme 6 bars
        repeated
        ending 1 bars 3 to 4
        ending 2 bars 5 to 6
        tempo at bar 3: broadening to 1/4 at 60 over 2 bars
        flute: notes(1/4 B4)
        flute at bar 1: rise x 5
        cello at bar 1: turn -> down P15 until end
    section again = theme -> up M2
        repeated 3 times
    section closing 2 bars
        flute: turn until end
movement second
    section only 4 bars
        repeated 3 times
        ending 1, 2 bars 2 to 3
        ending 3 bar 4
        flute: rise, turn until end
movement third
    section only 2 bars
        repeated
        flute: rise until end
    section coda
        repeated
        flute: turn x 2
"""


@pytest.fixture(scope="module")
def score() -> Score:
    return score_from(SCRIPT)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_music21_reads_the_order_of_playing(score: Score, number: int) -> None:
    movement = score.movements[number]
    document = musicxml_bytes(written(score), movement.name)
    read = music21.converter.parseData(document, format="musicxml")
    for index, part in enumerate(read.parts):
        expanded = music21.repeat.Expander(part).process()
        assert Fraction(expanded.quarterLength) / 4 == played(movement).duration
        heard = [
            (Fraction(note.getOffsetInHierarchy(expanded)) / 4, note.pitch.midi)
            for note in expanded.flatten().notes
            if note.tie is None or note.tie.type == "start"
        ]
        (staff,) = played(movement).staves[index]
        assert heard == [(e.onset, e.event.heads[0].pitch.midi) for voice in staff.voices for e in voice]


def test_midi_lasts_as_long_as_the_clock_says(score: Score) -> None:
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    expected = sum((length(movement) for movement in score.movements), Fraction(0)) + PAUSE * 2
    assert abs(file.length - float(expected)) < 0.05


def test_length_is_that_of_the_movement_written_out(score: Score) -> None:
    for movement in score.movements:
        assert length(movement) == length(played(movement))
    # By hand: the pickup, then the body twice at 120, where a bar takes one second and a half.
    first = score.movements[0]
    assert length(first) == Fraction(1, 2) + 2 * 2 * Fraction(3, 2) + _broadened(first) + _rest(first)


def _broadened(movement: Movement) -> Fraction:
    """Two bars whose beats lengthen evenly from half a second to a whole one: six of three quarters of a second."""
    return 6 * Fraction(3, 4)


def _rest(movement: Movement) -> Fraction:
    """The second ending at the slow tempo; the return three times, broadening each time; then two bars."""
    slow = Fraction(3)
    return 2 * slow + 3 * (2 * Fraction(3, 2) + 6 * Fraction(3, 4) + 2 * slow) + 2 * Fraction(3, 2)


def test_seconds_are_those_of_the_first_time_through(score: Score) -> None:
    first = score.movements[0]
    clock = Clock(first)
    assert clock.first(Fraction(0)) == 0
    assert clock.first(Fraction(1, 4)) == Fraction(1, 2)
    ending = next(bar for bar in first.bars if bar.ending == (2,))
    # The second ending is reached after the body twice and the first ending.
    assert clock.first(ending.onset) == Fraction(1, 2) + 4 * Fraction(3, 2) + 6 * Fraction(3, 4)
    assert clock.first(first.duration) == length(first)


def movement_of(rows: str) -> Movement:
    """The movement of a flute and a cello with those rows."""
    forces = "language 2\nforces\n    flute = flute\n    cello = cello\nmovement first\n"
    return score_from(forces + rows).movements[0]


def test_note_that_sounds_on_is_cut_where_the_playing_goes_back() -> None:
    """It sounds on only where the next bar of the page is the next that is played. Source: common practice."""
    movement = movement_of(
        "    section one 2 bars\n        repeated\n        flute: notes(1/1 D5 E5)\n"
        "        cello at bar 2: notes(2/1 E3) over\n    section two 2 bars\n        flute: notes(1/1 D5 E5)\n"
    )
    ((voice,),) = (staff.voices for staff in played(movement).staves[1])
    assert [(event.onset, event.end) for event in voice] == [(Fraction(1), Fraction(2)), (Fraction(3), Fraction(5))]


def test_change_of_tempo_is_broken_off_where_the_playing_goes_back() -> None:
    """From 1 s to 2 s a beat in 16 beats: halfway, at the end of the first ending, a beat lasts 1.5 s.

    The body lasts 8 s each time, the first ending 8 x 1.25 s, the second 8 x 1.75 s; then a bar at 2 s a beat.
    """
    movement = movement_of(
        "    tempo 1/4 at 60\n    section one 6 bars\n        repeated\n        ending 1 bars 3 to 4\n"
        "        ending 2 bars 5 to 6\n        tempo at bar 3: broadening to 1/4 at 30 over 4 bars\n"
        "        flute: notes(1/4 D5) held until end\n    section two 1 bar\n        flute: notes(1/1 D5)\n"
    )
    assert length(movement) == length(played(movement)) == 8 + 10 + 8 + 14 + 4
    broken = next(tempo for tempo in played(movement).tempi if tempo.until is not None)
    assert (broken.onset, broken.until, broken.goal) == (Fraction(2), Fraction(4), Fraction(6))


def test_lilypond_ends_the_bracket_of_the_last_ending_with_the_movement() -> None:
    """As LilyPond's reference says of `repeatCommands`: `(volta #f)` ends a bracket. From memory."""
    text = (
        "language 2\nforces\n    flute = flute\nmovement first\n    section one 4 bars\n        repeated\n"
        "        ending 1 bars 2 to 3\n        ending 2 bar 4\n        flute: notes(1/1 C5 D5 E5 F5)\n"
    )
    compiled = compile_script(Path("piece.cavata"), "piece.cavata", text)
    assert compiled.score is not None, compiled.bag.ordered()
    commands = re.findall(r"(repeatCommands = .*|\\bar .*)", lilypond_text(written(compiled.score)))
    assert commands == [
        "repeatCommands = #'((volta \"1.\"))", '\\bar ":|."', "repeatCommands = #'((volta #f) (volta \"2.\"))",
        '\\bar "|."', "repeatCommands = #'((volta #f))",
    ]  # fmt: skip
