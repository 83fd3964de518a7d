"""Edits of a script by spans. Source of every text: written by hand."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from cavata.cli.rewriting import write_edits
from cavata.diagnostics import Diagnostics
from cavata.source import Source, Span
from cavata.syntax.edits import Edit, applied, as_parsed, in_file, row_after, without, without_comment

TEXT = 'one -- a\n    repeated\n    tempo 1/4 at 60, "a -- b"  -- c\nlast'


def span(words: str, text: str = TEXT) -> Span:
    start = text.index(words)
    return Span(Source("x", text), start, start + len(words))


def test_edits_are_made_at_their_places_in_any_order() -> None:
    assert applied("abcdef", [Edit(4, 5, "E"), Edit(0, 1, ""), Edit(2, 2, "-")]) == "b-cdEf"


def test_of_edits_that_overlap_the_first_is_made() -> None:
    assert applied("abcdef", [Edit(1, 4, "X"), Edit(3, 5, "Y")]) == "aXef"


def test_row_goes_with_its_line() -> None:
    assert applied(TEXT, [without(span("repeated"))]) == TEXT.replace("    repeated\n", "")


def test_row_beside_a_comment_leaves_it() -> None:
    text = TEXT.replace("repeated", "repeated -- as asked")
    assert applied(text, [without(span("repeated", text))]) == text.replace("repeated", "", 1)


def test_row_as_it_reads_then() -> None:
    found = span("60")
    assert row_after(found, [Edit(found.start, found.end, "72"), Edit(0, 1, "")]) == 'tempo 1/4 at 72, "a -- b"'


@pytest.mark.parametrize(
    ("line", "kept"), [("a -- b", "a "), ('"a -- b" c', '"a -- b" c'), (r'"\" -- b" -- c', r'"\" -- b" ')]
)
def test_comment_is_no_text(line: str, kept: str) -> None:
    assert without_comment(line) == kept


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_edits_in_a_file_are_those_of_its_text(end: str, mark: str) -> None:
    """Texts by chance, from a seed: what the parser sees of the new file is the edited text, and line ends stay."""
    chance = random.Random(12)
    for _ in range(200):
        text = "".join(chance.choice("ab\né𝄞") for _ in range(chance.randrange(1, 20)))
        places = sorted(chance.randrange(len(text) + 1) for _ in range(4))
        edits = [Edit(places[0], places[1], "x"), Edit(places[2], places[3], "y\n")]
        content = (mark + text.replace("\n", end)).encode()
        made = in_file(content, text, edits)
        assert made is not None and as_parsed(made) == applied(text, edits)
        assert made.startswith(mark.encode())
        assert end != "\r\n" or made.count(b"\n") == made.count(b"\r\n") or "\n" not in text


def test_another_text_is_not_touched() -> None:
    assert in_file(b"abd", "abc", [Edit(0, 1, "x")]) is None
    assert in_file(b"ab\xff", "abc", []) is None


def test_all_files_or_none(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    one.write_text("abc")
    two.write_text("changed")
    bag = Diagnostics()
    files = {one: ("abc", [Edit(0, 1, "x")]), two: ("abc", [Edit(0, 1, "x")])}
    assert write_edits(files, bag) == [] and [message.code for message in bag.ordered()] == ["O890"]
    assert one.read_text() == "abc" and two.read_text() == "changed"
    two.write_text("abc")
    assert write_edits(files, Diagnostics()) == [str(one), str(two)]
    assert one.read_text() == two.read_text() == "xbc"


def test_link_leads_to_the_file_that_is_written(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("abc")
    link.symlink_to(real)
    write_edits({link: ("abc", [Edit(0, 1, "x")])}, Diagnostics())
    assert link.is_symlink() and real.read_text() == "xbc"


def test_file_that_is_gone_is_a_message(tmp_path: Path) -> None:
    bag = Diagnostics()
    assert write_edits({tmp_path / "none": ("abc", [])}, bag) == []
    assert [message.code for message in bag.ordered()] == ["O109"]
