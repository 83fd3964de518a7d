"""What a message about a step points at: the very words that cannot be meant, and the whole step where it is the line
on the left that does not suit. Source: common sense of whoever reads `3` underlined.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.pipeline import compile_script
from cavata.source import Span

LINES = "motif tune = notes(1/4 C4 D4 E4)\nmotif wide = notes(1/4 C2 C8)\nmotif silence = notes(1/4 rest)\n"

STEPS = [
    "tune -> first ‹5›",
    "tune -> last ‹4›",
    "tune -> first ‹0›",
    "tune -> notes ‹3..2›",
    "tune -> notes 1 ‹4..5›",
    "tune -> notes ‹4..last›",
    "tune x ‹0›",
    "tune ‹held 1/1›",
    "tune -> slurred 1..2 ‹3›",
    "tune -> marked ‹4› p",
    "tune -> sequence ‹0› by M2 up",
    "tune -> without 1 ‹5›",
    "tune -> without 1 ‹3..2›",
    "tune -> without ‹2..7› 1",
    'tune -> without 1 ‹"S"›',
    "tune -> without 1 ‹letter 3›",
    "silence -> without ‹last›",
    "silence -> ‹from C4›",
    "tune -> from ‹D4›",
    "tune -> within ‹C5..C4›",
    "tune -> within ‹C4..D4›",
    "tune -> expanded ‹13›",
    "tune -> respelled 1 as ‹D›",
    "tune -> diminution ‹1:10000000›",
    "tune -> augmentation ‹5000›",
    "tune -> in (‹1/4 rest›)",
    "tune -> crescendo p ‹p›",
    "tune -> diminuendo p ‹f›",
    "tune -> trill 1 to ‹P5›",
    'tune -> trill ‹"S"› to M2',
    "tune -> trill 1 ‹4› to M2",
    "tune -> tremolo ‹1/4›",
    "tune -> ‹rolled›",
    "tune -> graced 1 by notes(1/8 ‹rest C4›)",
    "tune -> graced by notes(1/8 ‹C4 rest›)",
    "tune -> graced 1 by ‹silence›",
    "tune -> graced 1 ‹5› by notes(1/8 C4)",
    "tune -> fermata 1 ‹7› by 1/4",
    'tune -> sung ‹""›',
    'tune -> sung ‹"_ la"›',
    'tune -> sung ‹"a b c d"›',
    "tune -> harmonized with ‹silence›",
    "silence -> ‹sustain_pedal›",
    "silence -> ‹as chord›",
]


def place_of_message(step: str) -> Span:
    """Where the one message about a script stands that ends with a step."""
    compiled = compile_script(Path("s.cavata"), "s.cavata", text=f"language 2\n{LINES}motif made = {step}\n")
    (message,) = compiled.bag.ordered()
    assert message.span is not None
    return message.span


@pytest.mark.parametrize("step", STEPS)
def test_message_points_at_what_cannot_be_meant(step: str) -> None:
    plain = step.replace("‹", "").replace("›", "")
    place = place_of_message(plain)
    head, _, tail = step.partition("‹")
    wanted, _, _ = tail.partition("›")
    start = place.source.text.index(plain) + len(head)
    assert (place.start, place.text) == (start, wanted)


def test_message_about_an_ending_says_where_the_one_before_it_ends() -> None:
    """The endings of a repeat follow one another: after bars 3 to 3 the next begins with bar 4."""
    rows = "section one 6 bars\n        repeated\n        ending 1 bar 3\n        ending 2 bars 5 to 6\n"
    script = f"language 2\nforces\n    p = piano\nmovement first\n    {rows}        p: notes(6/1 C4)\n"
    (message,) = compile_script(Path("s.cavata"), "s.cavata", text=script).bag.ordered()
    assert (message.code, message.label) == ("P303", "the one before it ends with bar 3")
