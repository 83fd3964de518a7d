"""Whatever a script says has its place: each node of a tree marks text, and lies within what it is a part of.

What a reader sees of a place is a message's underlining and the columns of the JSON document: from the first sign of
what is meant to its last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_pieces import script_of_piece
from rounds import rounds

from cavata.diagnostics import Diagnostics
from cavata.source import Source, Span
from cavata.syntax.parse import parse

RESTS = """\
language 2
cipher own
    letters A .. C onto D E rest
    D = rest
name ada = "ADA" by own, letter 2 as rest
rhythm r = (1/4 1/8 1/8 rest)
rhythm q = (1/4 rest 1/8)
motif a = notes(1/4 D4 rest)
motif b = notes(1/4 rest D4, 1/8 rest rest)
motif c = chords(1/2 Dm, 1/2 rest)
motif d = together(notes(1/4 D4 rest), notes(1/4 rest))
motif e = a -> in (1/4 1/8 rest) -> graced 1 by notes(1/8 D4 rest)
"""


def spans(node: object, above: str = "") -> Iterator[tuple[str, Span]]:
    """Every span in a tree, with the way that leads to it."""
    if isinstance(node, Span):
        yield above, node
    elif isinstance(node, tuple):
        for number, each in enumerate(node):
            yield from spans(each, f"{above}[{number}]")
    elif is_dataclass(node) and not isinstance(node, Source | type):
        for field in fields(node):
            yield from spans(getattr(node, field.name), f"{above}.{field.name}" if above else type(node).__name__)


def parsed(text: str) -> tuple[Any, Diagnostics]:
    bag = Diagnostics()
    return parse(Source("a.cavata", text), bag), bag


def test_what_ends_or_begins_in_a_rest_is_marked_whole() -> None:
    module, bag = parsed(RESTS)
    assert [message.message for message in bag.collected] == []
    assert [(way, span.text) for way, span in spans(module) if not span.text.strip()] == []
    found = {span.text for _, span in spans(module)}
    assert {
        "D4 rest", "rest D4, 1/8 rest rest", "1/4 1/8 1/8 rest", "1/4 rest 1/8", "Dm, 1/2 rest", "rest",
    } <= found  # fmt: skip
    assert "together(notes(1/4 D4 rest), notes(1/4 rest" in found


@pytest.mark.slow
@settings(max_examples=rounds(6), deadline=None)
@given(st.integers(0, 10**9))
def test_every_node_of_a_script_marks_text(seed: int) -> None:
    module, _ = parsed(script_of_piece(seed))
    assert [(way, span.start, span.end) for way, span in spans(module) if span.start >= span.end] == []
