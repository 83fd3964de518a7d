"""The bag of messages: pieces of work have bags of their own, and what was reported is changed by nobody."""

from __future__ import annotations

from pathlib import Path

from cavata.diagnostics import MOST_SHOWN, Diagnostics
from cavata.pipeline import compile_script
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.parse import parse

WARNED = "a warning"


def test_a_bag_within_tells_what_its_work_reported_and_hands_it_up() -> None:
    bag = Diagnostics()
    bag.warning("N301", None, WARNED)
    with bag.within() as own:
        assert own.is_empty
        own.error("S101", None, "an error")
        assert not own.is_empty and not bag.has_errors
    assert [d.code for d in bag.collected] == ["N301", "S101"]


def test_a_bag_within_hands_up_what_was_reported_before_its_work_was_given_up() -> None:
    bag = Diagnostics()
    try:
        with bag.within() as own:
            own.error("S101", None, "an error")
            raise ValueError
    except ValueError:
        pass
    assert [d.code for d in bag.collected] == ["S101"]


def test_an_error_within_is_not_lost_behind_a_full_bag_of_warnings() -> None:
    bag = Diagnostics()
    for number in range(MOST_SHOWN):
        bag.warning("N301", None, f"{WARNED} {number}")
    with bag.within() as own:
        own.warning("N301", None, "one too many")
        own.error("S101", None, "an error")
    assert bag.has_errors and bag.overflowed and len(bag.collected) == MOST_SHOWN + 1


def test_a_statement_that_was_reported_is_broken_even_where_the_bag_is_full() -> None:
    """The bag takes no more, and the statement is no better for it."""
    source = Source("full", "language 2\n" + "motif m = notes(1/4 C99)\n" * (MOST_SHOWN + 5))
    bag = Diagnostics()
    module = parse(source, bag)
    assert bag.overflowed
    assert {type(declaration) for declaration in module.declarations[1:]} == {t.Broken}


def test_every_item_that_a_passage_cannot_have_says_where_it_was_placed(tmp_path: Path) -> None:
    script = tmp_path / "placed.cavata"
    text = (
        'language 2\nforces\n    violin = violin\nmotif m = notes(1/4 C4)\n'
        "passage twice(p, n)\n    p: n -> first 5, n -> first 7\n"
        "movement only\n    passage twice(violin, m)\n"
    )
    script.write_text(text, encoding="utf-8")
    messages = compile_script(script).bag.ordered()
    assert len(messages) == 2
    place = Span(messages[0].also[0][0].source, text.rindex("twice"), text.rindex("twice") + len("twice"))
    assert [message.also for message in messages] == [((place, "placed here"),)] * 2
