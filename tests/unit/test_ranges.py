"""What the range warnings point at: bars as the page counts them, and sections in which a theme returns."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostic
from cavata.pipeline import compile_script
from cavata.score.whereabouts import in_bars


def messages(script: str) -> tuple[Diagnostic, ...]:
    return compile_script(Path("piece.cavata"), "piece.cavata", text="language 2\n" + script).bag.ordered()


def places(message: Diagnostic) -> list[tuple[int, str]]:
    return [(span.line, note) for span, note in message.also]


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([], ""),
        ([3], " in bar 3"),
        ([3, 4], " in bars 3 and 4"),
        ([3, 4, 5], " in bars 3 to 5"),
        ([1, 3, 4, 5, 9], " in bars 1, 3 to 5 and 9"),
        ([1, 3, 5, 7, 9, 11, 12, 13], " in bars 1, 3, 5, 7, 9 and 3 more"),
    ],
)
def test_bars_in_words(numbers: list[int], words: str) -> None:
    assert in_bars(numbers) == words


def test_theme_that_is_too_low_only_where_it_returns_shows_that_section() -> None:
    (message,) = messages("""
forces
    oboe = oboe
movement first
    section opening 2 bars
        oboe: notes(1/1 D4 E4)
    section again = opening -> down P4
""")
    assert message.span is not None and message.span.line == 7
    assert places(message) == [(8, "it sounds here in bar 3")]


def test_passage_shows_the_section_that_places_it_and_every_bar() -> None:
    (message,) = messages("""
forces
    oboe = oboe
passage figure(p)
    p: notes(1/1 A3 B3)
movement first
    section opening
        passage figure(oboe) at bar 2
    section other 2 bars
        passage figure(oboe)
""")
    assert message.span is not None and message.span.line == 6
    assert message.message.endswith("in bar 2") and message.label.endswith("; also in bar 4")
    assert places(message) == [(8, "it sounds here in bar 2")]


def test_item_in_its_own_section_shows_no_other_place() -> None:
    (message,) = messages("""
forces
    oboe = oboe
movement first
    section opening 1 bar
        oboe: notes(1/1 D4)
    section other
        oboe: notes(1/1 A3)
""")
    assert message.message.endswith("in bar 2") and message.also == ()


def test_free_time_has_no_bar_to_name() -> None:
    (message,) = messages("""
forces
    oboe = oboe
cadenza alone
    oboe: notes(1/1 A3)
""")
    assert message.message.endswith("the range of `oboe`")


def test_page_of_a_hundred_high_bars_gets_one_message_for_each_item_and_part() -> None:
    found = messages("""
forces
    flute = flute
    other = flute
movement first
    flute: notes(1/4 Eb7 E7 F7 E7) x 100
    other: notes(1/4 Eb7 E7 F7 G7) x 100
""")
    assert [message.code for message in found] == ["I103", "I202"]


def test_item_that_no_one_reaches_is_not_told_again_as_unusual() -> None:
    """Of one item B3 is within a flute's extreme and G3 is not: `as far as B3` beside G3 would say two things."""
    found = messages("""
forces
    flute = flute
movement first
    flute: notes(1/2 B3 G3), notes(1/1 B3)
""")
    assert [(m.code, m.span.text) for m in found if m.span] == [
        ("I201", "B3 G3"), ("I103", "B3"),
    ]  # fmt: skip


def test_what_a_returning_theme_is_told_helps_where_it_returns() -> None:
    """The theme lies well where it stands first, so that moving its item would be no cure."""
    script = (
        "forces\n    oboe = oboe\nmovement first\n    section opening\n        oboe: notes(1/1 D4 E4 C5)\n"
        "    section again = opening -> down P4\n"
    )
    (told,) = messages(script)
    row = told.cure.partition("`")[2].partition("`")[0]
    assert row == "oboe bars 1 to 1: within Bb3..A6"
    assert not messages(f"{script}        {row}\n")
