"""A chord around middle C is shared between the hands only if one hand cannot take it, and so that both can."""

from __future__ import annotations

import pytest
from looking import score_of

from cavata.instruments.hands import has_in_one_hand, lower_hand
from cavata.instruments.table import find
from cavata.music.pitch import Pitch, parse_pitch


def pitches(notes: str) -> tuple[Pitch, ...]:
    return tuple(map(parse_pitch, notes.split()))


@pytest.mark.parametrize(
    ("instrument", "notes", "lower"),
    [
        ("piano", "B3 D4 G4", 0),
        ("piano", "C3 C4 G4", 1),
        ("piano", "G3 A3 C4 D4 E4 F4 G4", 2),  # seven keys, and five fingers
        ("piano", "C4 E4 G4 C6", 0),  # on one side of middle C: told, not moved
        ("piano", "C2 G2 C3 E3 B3 C4", 3),  # at middle C the left hand would not have its five
        ("harp", "G3 A3 C4 D4 E4", 2),  # five notes, and four fingers
        ("harp", "G3 B3 D4 G4", 0),
    ],
)
def test_lower_notes_for_the_left_hand(instrument: str, notes: str, lower: int) -> None:
    played = find(instrument)
    assert played is not None
    assert lower_hand(played, pitches(notes), left=False) == lower


@pytest.mark.parametrize("notes", ["C2 G2 C3 E3 B3 C4", "G3 A3 C4 D4 E4 F4 G4", "E2 B2 G#3 E4 B4"])
def test_what_is_dealt_to_two_hands_can_be_played(notes: str) -> None:
    piano = find("piano")
    assert piano is not None and not has_in_one_hand(piano, pitches(notes), left=False)
    score = score_of("piano = piano", f"piano: notes(1/1 chord({notes}))")
    right, left = score.movements[0].staves[0]
    for staff, is_left in ((right, False), (left, True)):
        ((event,),) = staff.voices
        assert has_in_one_hand(piano, tuple(head.pitch for head in event.event.heads), is_left)


def test_a_bugle_is_given_notes_of_its_tube_where_the_chord_has_one() -> None:
    """Without valves a bugle in B flat sounds Bb3 F4 Bb4 D5 F5 in its range. Source: acoustics of the tube."""
    score = score_of(
        "bugle = bugle\ntrombone = trombone\ntuba = tuba",
        "bugle, trombone, tuba: notes(1/2 chord(Bb3 D4 F4) chord(A3 C4 F4)) -> voiced across bugle trombone tuba",
    )
    ((bugle,),) = (staff.voices for staff in score.movements[0].staves[0])
    assert {str(event.event.heads[0].pitch) for event in bugle} <= {"Bb3", "F4", "Bb4", "D5", "F5"}
