"""Written pitch and signatures of transposing instruments. Source: common practice."""

from __future__ import annotations

import pytest
from notate_scores import key, shown, written

from cavata.music.pitch import Interval, parse_pitch
from cavata.notate.transposition import PitchWriting, fifths_of

CASES = [
    ("clarinet", "C5:1", "F major", "key+1 D5:1"),
    ("clarinet in A", "C5:1", "F major", "key-4 Eb5:1"),
    ("horn", "C4:1", "F major", "key+0 G4:1"),
    ("alto saxophone", "C4:1", "F major", "key+2 A4:1"),
    ("piccolo", "C6:1", "F major", "key-1 C5:1"),
    ("double bass", "C3:1", "F major", "key-1 C4:1"),
    ("flute", "C5:1", "F major", "key-1 C5:1"),
]


@pytest.mark.parametrize(("player", "line", "mode", "expected"), CASES)
def test_player_reads_the_transposed_part(player: str, line: str, mode: str, expected: str) -> None:
    assert shown(written(line, keys=mode, player=player)) == [expected]


def test_concert_score_keeps_only_octave_transpositions() -> None:
    assert shown(written("C4:1", player="horn", concert=True)) == ["C4:1"]
    assert shown(written("C3:1", player="double bass", concert=True)) == ["C4:1"]


def test_signature_beyond_seven_gives_way_to_its_enharmonic_and_the_pitches_follow() -> None:
    """C# major (7 sharps) for an E flat instrument would be A# major (10 sharps): B flat major is read."""
    assert shown(written("C#4:2 G#4:2", keys="C# major", player="alto saxophone")) == ["key-2 Bb4:2 F5:2"]


def test_no_key_prints_no_signature() -> None:
    assert shown(written("C4:1 D4:1", player="clarinet")) == ["D4:1", "E4:1"]


def test_signature_is_printed_at_the_beginning_and_at_changes_only() -> None:
    keys = "C major, C major, A minor, G major"
    assert shown(written("C4:1 C4:1 C4:1 C4:1", keys=keys)) == ["key+0 C4:1", "C4:1", "C4:1", "key+1 C4:1"]


def test_third_sharp_is_respelled() -> None:
    sharp = PitchWriting(Interval(4, 8), 0)
    assert str(sharp.written(parse_pitch("B##4"))) == "A5"


@pytest.mark.parametrize(("name", "fifths"), [("D minor", -1), ("E major", 4), ("F# dorian", 4)])
def test_fifths_of_a_major_second_up(name: str, fifths: int) -> None:
    mode = key(name)
    assert mode and mode.fifths == fifths
    assert fifths_of(Interval(1, 2)) == 2 and fifths_of(Interval(-2, -3)) == 3
