"""What is struck is written as one note; what rings on says so, and what its player holds stays as long as it is.

Source: common practice, as a tie asks a drummer for nothing.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from compiling import score_from

from cavata.edition.copies import full_score
from cavata.score.score import Score, events_of


def score(instrument: str, line: str) -> Score:
    return score_from(f"language 2\nforces\n    p = {instrument}\nmovement one\n    p: {line}\n")


@pytest.mark.parametrize(
    ("instrument", "line", "lengths", "rings"),
    [
        ("triangle", "chord(1/1 B4) held 3 bars", [F(1)], True),
        ("bass drum", "chord(1/1 B4) held 3 bars", [F(1)], False),
        ("snare drum", "chord(1/1 B4) -> tremolo held 3 bars", [F(3)], False),
        ("siren", "chord(1/1 B4) held 3 bars", [F(3)], False),
        ("tam tam", "1/2 rest, chord(1/1 B4)", [F(1, 2)], True),
        ("claves", "1/8 rest, chord(1/1 B4)", [F(1, 8)], False),
        ("claves", "chord(1/1 B4) held 5/8", [F(1, 2)], False),
        ("triangle", "(1/2. 1/4)", [F(3, 4), F(1, 4)], False),
    ],
)  # fmt: skip
def test_struck_notes_are_not_tied(instrument: str, line: str, lengths: list[F], rings: bool) -> None:
    made = score(instrument, line)
    events = [event.event for event in events_of(full_score(made).movements[0].staves[0]) if event.event.heads]
    assert [event.duration for event in events] == lengths
    assert ("let_ring" in events[0].marks.articulations) is rings
