"""A hairpin over bars for several parts is one swell: one beginning, one end, and late entries at the level reached.

Source: common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.diagnostics import as_text
from cavata.evaluate.text import event_text
from cavata.pipeline import Compiled, compile_script

FORCES = (
    "language 2\nforces\n    trumpet = trumpet\n    horn = horn\n    tuba = tuba\n"
    "group brass = trumpet, horn, tuba\n"
)


def compiled(*rows: str) -> Compiled:
    block = "".join(f"        {row}\n" for row in rows)
    return compile_script(Path("x.cavata"), text=f"{FORCES}movement first\n    section one\n{block}")


def lines(*rows: str) -> list[str]:
    found = compiled(*rows)
    assert found.score is not None and not found.bag.ordered(), as_text(found.bag.ordered())
    return [
        " ".join(f"{e.onset}={event_text(e.event)}" for e in staves[0].voices[0] if e.event.marks)
        for staves in found.score.movements[0].staves
    ]


def test_late_entry_comes_in_at_the_level_that_is_reached() -> None:
    found = lines(
        "trumpet: notes(1/1 C5) x 8", "horn at bar 5: notes(1/1 C4) x 4", "tuba at bar 8: notes(1/1 C3)",
        "brass bars 1 to 8: crescendo pp ff",
    )  # fmt: skip
    assert found == [
        "0=C5:1[pp,crescendo] 7=C5:1[ff,hairpin-ends]", "4=C4:1[mf,crescendo] 7=C4:1[ff,hairpin-ends]", "7=C3:1[ff]",
    ]  # fmt: skip


def test_all_are_at_the_end_at_one_moment() -> None:
    """Who holds a note there has it divided; it is a moment at which the fewest do."""
    found = lines(
        "trumpet: notes(1/1 C5) x 2", "horn: notes(1/4 C4 D4 E4 F4) x 2", "brass bars 1 to 2: diminuendo f p",
        "tuba: notes(2/1 C3)",
    )  # fmt: skip
    assert found == [
        "0=C5:1[f,diminuendo] 7/4=C5:1/4[p,hairpin-ends]", "0=C4:1/4[f,diminuendo] 7/4=F4:1/4[p,hairpin-ends]",
        "0=C3:7/4[f,diminuendo] 7/4=C3:1/4[p,hairpin-ends]",
    ]  # fmt: skip


def test_who_is_done_sooner_ends_where_the_swell_is_then() -> None:
    found = lines(
        "trumpet: notes(1/1 C5) x 5", "horn: notes(1/1 C4) x 3", "tuba at bar 2: notes(1/1 C3)",
        "brass bars 1 to 5: crescendo p ff",
    )  # fmt: skip
    assert found == [
        "0=C5:1[p,crescendo] 4=C5:1[ff,hairpin-ends]", "0=C4:1[p,crescendo] 2=C4:1[mf,hairpin-ends]",
        "1=C3:1[mp,crescendo,hairpin-ends,at mf]",
    ]  # fmt: skip


def test_a_triplet_at_the_end_divides_no_held_note() -> None:
    rows = ("trumpet: notes(1/1 C5)", "horn: notes(1/2 C4, 1/6 D4 E4 F4)", "trumpet, horn bars 1 to 1: crescendo p f")
    found = lines(*rows)
    assert found[0] == "0=C5:1/2[p,crescendo] 1/2=C5:1/2[f,hairpin-ends]"


def test_a_hairpin_under_another_gives_way_and_is_told() -> None:
    found = compiled(
        "horn: notes(1/4 C4 D4 E4 F4) -> crescendo p f x 2", "horn bars 1 to 2: crescendo pp ff",
    )  # fmt: skip
    assert [message.code for message in found.bag.ordered()] == ["P140"]
    assert found.score is not None
    marked = [event_text(e.event) for e in found.score.movements[0].events if e.event.marks]
    assert marked == ["C4:1/4[pp,crescendo]", "F4:1/4[ff,hairpin-ends]"]


@pytest.mark.parametrize("second", ["horn bars 2 to 2: diminuendo f p", "horn, tuba bars 2 to 2: diminuendo f p"])
def test_a_hairpin_that_begins_where_another_ends_stays(second: str) -> None:
    found = compiled("horn: notes(1/1 C4) x 3", "tuba: notes(1/1 C3) x 3", "horn bars 1 to 2: crescendo p f", second)
    assert found.score is not None
    assert [message.code for message in found.bag.ordered()] in ([], ["P140"])
