"""What is said of remembered passages, hard ones and wrong ones, is what a section leader would say of them."""

from __future__ import annotations

import pytest
from looking import checked, impossible_codes, told
from remembered_passages import PLANTED, REAL


def script(instrument: str, tempo: int, rows: str) -> tuple[str, str, str]:
    """The forces, the rows and the settings of a passage."""
    return f"p = {instrument}", rows, f"tempo 1/4 at {tempo}"


@pytest.mark.parametrize("family", REAL)
def test_of_hard_passages_that_are_real_no_more_is_told_than_is_hard(family: str) -> None:
    for instrument, tempo, rows, work, kinds in REAL[family]:
        seen = told(*script(instrument, tempo, rows))
        assert "impossible" not in {degree for degree, _ in seen}, work
        assert ", ".join(sorted({kind for _, kind in seen})) == kinds, work


@pytest.mark.parametrize("family", PLANTED)
def test_what_handbooks_warn_of_is_told(family: str) -> None:
    for instrument, tempo, rows, degree, kind, why in PLANTED[family]:
        seen = told(*script(instrument, tempo, rows))
        assert (degree, kind) in seen, (why, seen)


@pytest.mark.parametrize("family", PLANTED)
def test_a_check_tells_what_nobody_can_play(family: str) -> None:
    for instrument, tempo, rows, degree, _, why in PLANTED[family]:
        if degree == "impossible":
            passage = script(instrument, tempo, rows)
            assert impossible_codes(*passage) <= checked(*passage), why
