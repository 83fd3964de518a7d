"""Which hand a chord for a keyboard goes to. Source: the handbook, forces of a keyboard."""

from __future__ import annotations

import pytest
from compiling import score_from

from cavata.notate.text import bar_text
from cavata.pipeline import written


def hands(chord: str) -> list[str]:
    """The bar of each hand, the right one first."""
    text = f"language 2\nforces\n    piano = piano\nmovement one\n    piano: chord({chord}) held 1 bar\n"
    return [bar_text(staff.bars[0]) for staff in written(score_from(text)).movements[0].parts[0].staves]


@pytest.mark.parametrize(
    ("chord", "right", "left"),
    [
        ("A3 C#5", "<A3 C#5!>:1", "R"),
        ("Ab3 C#5", "C#5!:1", "Ab3!:1"),
        ("G2 B3", "R", "<G2 B3>:1"),
        ("G2 C4", "C4:1", "G2:1"),
        ("C4 F5", "<C4 F5>:1", "R"),
        ("C2 B3", "R", "<C2 B3>:1"),
    ],
    ids=["a tenth", "more", "a tenth below", "up to middle C", "from middle C on", "all below"],
)
def test_chord_of_more_than_a_tenth_around_middle_c_is_shared(chord: str, right: str, left: str) -> None:
    """One hand has a tenth, and chords that do not lie around middle C stay in the hand that plays there."""
    assert hands(chord) == [right, left]
