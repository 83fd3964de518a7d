"""`held` sustains one note or chord, `for` repeats it: dealt out, voiced across parts or played by one."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.evaluate.text import event_text
from cavata.pipeline import compile_script

FORCES = "language 2\nforces\n    a = violin\n    b = viola\nmovement first\n"


HOW = ("chord(C4 A4)", "chord(C4 A4) -> voiced across a b", "together(chord(A4), chord(C4))")


@pytest.mark.parametrize("value", HOW)
def test_chord_of_several_parts_is_held_however_it_came_to_them(value: str) -> None:
    found = compile_script(Path("x.cavata"), text=f"{FORCES}    a, b: {value} held 2 bars\n").score
    assert found is not None
    events = [[event_text(e.event) for e in staff.voices[0]] for (staff,) in found.movements[0].staves]
    assert [len(row) for row in events] == [1, 1] and all(row[0].endswith(":2") for row in events)


@pytest.mark.parametrize("value", HOW)
def test_chord_of_several_parts_is_repeated_however_it_came_to_them(value: str) -> None:
    found = compile_script(Path("x.cavata"), text=f"{FORCES}    a, b: {value} for 2 bars\n").score
    assert found is not None
    assert [len(staff.voices[0]) for (staff,) in found.movements[0].staves] == [8, 8]


@pytest.mark.parametrize(
    "value", ["notes(1/4 C4 D4)", "together(notes(1/4 C4 D4), notes(1/2 A3))", "notes(1/4 C4 rest)"]
)
def test_what_is_longer_than_one_note_is_not_held(value: str) -> None:
    bag = compile_script(Path("x.cavata"), text=f"{FORCES}    a, b: {value} held 2 bars\n").bag
    assert [message.code for message in bag.ordered()] == ["P810"]


def test_lines_of_which_one_moves_are_repeated() -> None:
    value = "together(chord(A4), notes(1/8 C4 D4))"
    found = compile_script(Path("x.cavata"), text=f"{FORCES}    a, b: {value} for 1 bar\n").score
    assert found is not None
    assert [len(staff.voices[0]) for (staff,) in found.movements[0].staves] == [4, 8]


@pytest.mark.parametrize(("item", "codes"), [
    ("chord(A4) held 1/8 -> marked staccato held 2 bars", ["P141"]),
    ("chord(A4) held 1/8 -> marked staccato x 8", []),
    ("chord(A4) held 1/8 -> marked tenuto held 2 bars", []),
    ("chord(A4) -> marked staccato held 1/4", []),
])  # fmt: skip
def test_short_note_that_is_held_is_told(item: str, codes: list[str]) -> None:
    bag = compile_script(Path("x.cavata"), text=f"{FORCES}    a: {item}\n    b: notes(1/1 C4) x 2\n").bag
    assert [message.code for message in bag.ordered()] == codes
