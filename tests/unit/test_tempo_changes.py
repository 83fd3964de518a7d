"""Which tempo stands after a change of tempo. Source: the handbook, `back in tempo`."""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path

import pytest

from cavata.pipeline import compile_script
from cavata.score.score import Movement


def movement(*rows: str) -> Movement:
    """A movement at 60 with a section of eight bars of 4/4."""
    block = "".join(f"        {row}\n" for row in rows)
    text = (
        "language 2\nforces\n    part = violin\nmovement one\n    tempo 1/4 at 60\n    section one 8 bars\n"
        f"{block}        part: notes(1/4 D5) until end\n"
    )
    compiled = compile_script(Path("x.cavata"), text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    return compiled.score.movements[0]


def rates(found: Movement) -> list[tuple[F, F]]:
    """Each place with the beats a minute from there on."""
    return [(tempo.onset, tempo.per_minute) for tempo in found.tempi]


@pytest.mark.parametrize(
    ("rows", "rate"),
    [((), 60), (("tempo 1/4 at 120",), 120), (("tempo at bar 2: 1/4 at 90",), 90)],
    ids=["the movement's", "the section's", "the last given"],
)
def test_back_in_tempo_is_the_tempo_before_the_change(rows: tuple[str, ...], rate: int) -> None:
    bends = ("tempo at bar 3: broadening to 1/4 at 30 over 2 bars", "tempo at bar 6: back in tempo")
    assert rates(movement(*rows, *bends))[-2:] == [(F(4), F(30)), (F(5), F(rate))]


def test_change_that_is_cut_short_leads_on_from_where_it_was() -> None:
    """From 1 s to 2 s a beat in four bars: after two of them a beat lasts 1.5 s, 40 in a minute."""
    rows = (
        "tempo at bar 3: broadening to 1/4 at 30 over 4 bars", "tempo at bar 5: pressing on to 1/4 at 60 over 2 bars",
    )  # fmt: skip
    assert rates(movement(*rows)) == [(F(0), F(60)), (F(2), F(60)), (F(4), F(40)), (F(6), F(60))]
