"""The judge of pages finds what is wrong, and nothing where nothing is.

Source of what is wrong with a page: common practice. That the judge sees what LilyPond draws, and where, is tried by
planted faults: each is LilyPond's own sign moved away from its place, and its page is faultless without it.
"""

from __future__ import annotations

from collections import Counter

import pytest
from ink import draw_together, find_lilypond, pages_of_text
from judging import Fault, faults
from planted import OUTSIDE, PAGES, bars_text, expected, pages_text

from cavata.lilypond.engraving import Failure

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(isinstance(find_lilypond(), Failure), reason="LilyPond is not installed"),
]
KINDS = 16
"""Kinds of which two faults each are planted."""


@pytest.fixture(scope="module", autouse=True)
def together() -> None:
    draw_together(text(planted) for text in (bars_text, pages_text) for planted in (True, False))


def bars_of(found: list[Fault], kind: str) -> set[int]:
    return {int(fault.bar) for fault in found if fault.kind == kind and fault.bar.isdecimal()}


def test_planted_collisions_are_found() -> None:
    found = faults(pages_of_text(bars_text(planted=True)))
    missed = [(kind, bars) for kind, bars in expected() if not bars_of(found, kind) & set(bars)]
    assert not missed


def test_planted_pages_are_found() -> None:
    found = faults(pages_of_text(pages_text(planted=True)))
    assert {fault.page for fault in found if fault.kind == "outside the page"} == {1}
    assert {fault.what for fault in found if fault.kind == "outside the page"} == {"TextScript 'solo'"}
    assert bars_of(found, "outside the page") == {1, 2}
    for kind in ("page badly filled", "rows without space"):
        wanted = {number for number, (planted, _) in enumerate(PAGES, start=1) if planted == kind}
        assert {fault.page for fault in found if fault.kind == kind} == wanted


def test_two_of_each_kind_are_planted() -> None:
    kinds = Counter(kind for kind, _ in expected())
    kinds.update(kind for kind, _ in PAGES if kind)
    kinds["outside the page"] = len(OUTSIDE)
    assert set(kinds.values()) == {2} and len(kinds) == KINDS


@pytest.mark.parametrize("text", [bars_text, pages_text])
def test_the_same_pages_without_them_are_faultless(text: object) -> None:
    assert callable(text)
    assert not faults(pages_of_text(text(planted=False)))
