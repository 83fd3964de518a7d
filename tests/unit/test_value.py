"""Value types made quickly behave as those of the standard library's own decorator."""

from __future__ import annotations

import copy
import dataclasses
import pickle

import pytest

from cavata.record import record, replace


@record
class Point:
    """Two numbers and a word."""

    x: int
    y: int = 2
    word: str = ""


@record
class Other:
    """The same fields under another name."""

    x: int
    y: int = 2
    word: str = ""


@record
class Empty:
    """No fields."""


@dataclasses.dataclass(frozen=True, slots=True)
class Plain:
    """What the standard library makes of it."""

    x: int
    y: int = 2
    word: str = ""


def test_equality_and_hash_go_by_type_and_fields() -> None:
    assert Point(1) == Point(1, 2, "") and Point(1) != Point(1, 3) and Point(1) != Other(1)
    assert len({Point(1), Point(1), Point(2)}) == 2
    assert Empty() == Empty() and hash(Empty()) == hash(Empty())
    assert (Plain(1) == Plain(1)) == (Point(1) == Point(1))


def test_values_cannot_be_changed() -> None:
    for change in (lambda p: setattr(p, "x", 3), lambda p: delattr(p, "x"), lambda p: setattr(p, "z", 3)):
        with pytest.raises((dataclasses.FrozenInstanceError, AttributeError)):
            change(Point(1))
    with pytest.raises(AttributeError):
        object.__setattr__(Point(1), "z", 3)


def test_values_are_shown_copied_replaced_and_pickled_as_usual() -> None:
    point = Point(1, word="a")
    assert repr(point) == "Point(x=1, y=2, word='a')" == repr(Plain(1, word="a")).replace("Plain", "Point")
    assert dataclasses.replace(point, y=5) == Point(1, 5, "a")
    assert [field.name for field in dataclasses.fields(point)] == ["x", "y", "word"]
    for again in (copy.copy(point), copy.deepcopy(point), pickle.loads(pickle.dumps(point))):
        assert again == point


def test_values_are_matched_by_position_and_built_by_name() -> None:
    match Point(y=4, x=3):
        case Point(x, y, word):
            assert (x, y, word) == (3, 4, "")
    with pytest.raises(TypeError):
        Point()  # type: ignore[call-arg]


def test_replace_does_what_the_standard_library_does() -> None:
    assert replace(Point(1), y=5) == dataclasses.replace(Point(1), y=5) == Point(1, 5)
    assert replace(Point(1)) == Point(1)
    with pytest.raises(TypeError, match="z"):
        replace(Point(1), z=3)
