"""What a function reads is noted, and its results are found again by just that."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavata.cache import Store
from cavata.reads import Field, Remembered, RememberedFiles, content, noted
from cavata.record import record, replace
from cavata.source import Source, Span

STORE = Store("texts", 1 << 20)


class Side(Enum):
    LEFT = 1
    RIGHT = 2


@record
class Inner:
    one: int
    other: int = 0


@record
class Outer:
    turned: bool
    left: Inner
    right: Inner
    side: Side = Side.LEFT
    span: Span | None = None


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))


def names(seen: set[Field]) -> set[str]:
    """The fields without the module."""
    return {f"{kind.rpartition('.')[2]}.{name}" for kind, name in seen}


VALUE = Outer(False, Inner(1, 2), Inner(3, 4))


def test_fields_are_noted_when_they_are_read() -> None:
    seen: set[Field] = set()
    with noted(seen):
        assert VALUE.left.one == 1
        assert [VALUE.left.one, VALUE.turned] == [1, False]
    assert VALUE.right.other == 4
    assert names(seen) == {"Outer.left", "Inner.one", "Outer.turned"}
    assert seen >= {(f"{__name__}.Inner", "one")}


def test_work_within_another_work_is_read_for_both() -> None:
    """Also where its result was there already, and whatever was read first by whom."""
    texts = Remembered(STORE, b"inner")
    outer: set[Field] = set()
    with noted(outer):
        assert not VALUE.turned
        assert texts.watch(lambda: VALUE.left.one) == 1
        assert VALUE.left.other == 2 and VALUE.side is Side.LEFT
    assert names(outer) == {"Outer.turned", "Outer.left", "Inner.one", "Inner.other", "Outer.side"}
    texts.learn(VALUE, "1")
    files, found = RememberedFiles(STORE, STORE, b"files"), set[Field]()
    files.of(VALUE, lambda: str(VALUE.right.one).encode())
    with noted(found):
        assert files.of(VALUE, lambda: b"") == b"3"
    assert names(found) - {"Store.name"} == {"Outer.right", "Inner.one"}


def test_nothing_is_left_behind() -> None:
    """The fields are as before when all is over, whether they were read or not, and whether it went well or not."""
    before = [dict(kind.__dict__) for kind in (Inner, Outer)]
    with pytest.raises(ZeroDivisionError), noted(set()):
        assert VALUE.left.one // 0
    assert [dict(kind.__dict__) for kind in (Inner, Outer)] == before


def test_values_can_be_made_copied_and_matched_meanwhile() -> None:
    seen: set[Field] = set()
    with noted(seen):
        made = replace(Inner(1, 2), one=5)
        match made:
            case Inner(one, other):
                assert (one, other) == (5, 2)
        with pytest.raises(AttributeError):
            made.one = 6  # type: ignore[misc]  # what is tried
    assert names(seen) == {"Inner.one", "Inner.other"}


@pytest.mark.parametrize("comparing", [lambda a: a == a, lambda a: a != Inner(1, 2), hash, lambda a: {a: 1}[a], repr])
def test_who_compares_reads_everything(comparing: object) -> None:
    """Even a value with itself: with another in its place it might come out otherwise."""
    seen: set[Field] = set()
    with noted(seen):
        comparing(Inner(1, 2))  # type: ignore[operator]
    assert names(seen) == {"Inner.one", "Inner.other"}


def test_contents_are_equal_where_the_fields_are() -> None:
    fields = {(f"{__name__}.Outer", "left"), (f"{__name__}.Inner", "one")}
    made = content(VALUE, fields)
    for same in (replace(VALUE, turned=True), replace(VALUE, left=Inner(1, 9)), replace(VALUE, right=Inner(8, 8))):
        assert content(same, fields) == made
    for other in (replace(VALUE, left=Inner(2, 2)), VALUE.left, (VALUE,), (VALUE, VALUE)):
        assert content(other, fields) != made


@pytest.mark.parametrize(
    ("one", "other"),
    [(1, "1"), (1, True), (1, Fraction(1)), ((), None), ((1, (2,)), ((1,), 2)), (Side.LEFT, Side.RIGHT), (0, False)],
)
def test_different_plain_values_differ(one: object, other: object) -> None:
    assert content(one, set()) != content(other, set())


def test_a_place_counts_only_if_it_is_read() -> None:
    """And then by its line, its column and its text."""
    places = ("xx", 0), ("\nxx", 1), (" xx", 1), ("yy", 0)
    spans = [Span(Source("a", text), start, start + 2) for text, start in places]
    values = [replace(VALUE, span=span) for span in spans]
    fields = {(f"{__name__}.Outer", "span")}
    assert len({content(value, fields) for value in values}) == 1
    assert len({content(value, fields | {("cavata.source.Span", "begins")}) for value in values}) == 4


def test_what_is_no_record_is_refused() -> None:
    with pytest.raises(TypeError):
        content(Source("a", ""), set())


inners = st.builds(Inner, st.integers(0, 2), st.integers(0, 2))
outers = st.builds(Outer, st.booleans(), inners, inners, st.sampled_from(Side))


def told(value: Outer) -> str:
    """Reads now this and now that."""
    inner = value.right if value.turned else value.left
    return f"{inner.one}" if inner.one else f"{value.side.name} {inner.other}"


@pytest.mark.slow
@given(st.lists(st.lists(outers, min_size=1, max_size=6), min_size=1, max_size=6))
def test_what_is_remembered_is_right(runs: list[list[Outer]]) -> None:
    """Whatever is known in any run, by runs before it or by itself, is what the function would say."""
    about = repr(runs).encode()
    for values in runs:
        texts = Remembered(STORE, about)
        for value in values:
            known = texts.known(value)
            assert known in (None, told(value))
            if known is None:
                texts.learn(value, texts.watch(lambda value=value: told(value)))
            assert texts.known(value) == told(value)
        texts.save()
    for value in runs[-1]:
        assert Remembered(STORE, about).known(value) in (None, told(value))


def test_what_was_learned_is_known_in_the_next_run() -> None:
    """All of it, though more was read for the last value than was known to be read when the first was made."""
    values = [Outer(False, Inner(1), Inner(2)), Outer(True, Inner(1), Inner(2)), Outer(True, Inner(1), Inner(0, 1))]
    texts = Remembered(STORE, b"function")
    for value in values:
        texts.learn(value, texts.watch(lambda value=value: told(value)))
    texts.save()
    again = Remembered(STORE, b"function")
    assert [again.known(value) for value in values] == [told(value) for value in values]
    assert again.known(replace(values[0], right=Inner(7))) is None, "some text depends on it"
    assert Remembered(STORE, b"another").known(values[0]) is None
    assert Remembered(STORE, b"function", fresh=True).known(values[0]) is None


def test_runs_side_by_side_do_not_lose_what_the_other_has_read() -> None:
    one, other = Remembered(STORE, b"function"), Remembered(STORE, b"function")
    values = [Outer(False, Inner(1), Inner(2)), Outer(True, Inner(1), Inner(0, 1))]
    for texts, value in ((one, values[0]), (other, values[1])):
        texts.learn(value, texts.watch(lambda value=value: told(value)))
        texts.save()
    again = Remembered(STORE, b"function")
    assert again.known(values[1]) == told(values[1])
    assert again.known(values[0]) is None
    again.learn(values[0], again.watch(lambda: told(values[0])))
    again.save()
    assert [Remembered(STORE, b"function").known(value) for value in values] == [told(value) for value in values]
