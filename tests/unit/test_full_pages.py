"""A page that LilyPond presses too full is engraved again with more room, where that helps."""

from __future__ import annotations

import pytest

from cavata.lilypond.engrave import with_room
from cavata.lilypond.engraving import Failure, Fault

TEXT = "\\paper { }\n\n\\bookpart\n{ }\n"
FAILED = Failure(Fault.TIMEOUT, "LilyPond took longer than 1 seconds")


def said(spaces: float) -> str:
    """As LilyPond 2.24.3 says it."""
    return f"warning: compressing over-full page by {spaces} staff-spaces\nwarning: page 2 has been compressed\n"


@pytest.mark.parametrize(
    ("runs", "taken", "drawn"),
    [
        ((("a", ""),), "a", 1),
        ((("a", said(1.5)),), "a", 1),
        ((("a", said(20.0)), ("b", "")), "b", 2),
        ((("a", said(20.0) + said(24.5)), ("b", said(8.0)), ("c", "")), "c", 3),
        ((("a", said(20.0)), ("b", said(8.0)), ("c", said(30.0))), "b", 3),
        ((("a", said(20.0)), ("b", said(25.0)), (FAILED, "")), "a", 3),
    ],
    ids=["not full", "hardly too full", "mended", "mended the second time", "hardly mended", "not to be mended"],
)
def test_the_least_full_pages_are_taken(runs: tuple[tuple[object, str], ...], taken: object, drawn: int) -> None:
    texts: list[str] = []

    def draw(text: str) -> tuple[object, str]:
        texts.append(text)
        return runs[len(texts) - 1]

    assert with_room(TEXT, draw) == taken
    assert len(texts) == drawn
    assert texts[0] == TEXT
    assert all(text.index("page-breaking-system-system") < text.index("\\bookpart") for text in texts[1:])
    assert len(set(texts)) == drawn
