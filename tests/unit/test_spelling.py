"""Suggestions for mistyped words."""

from __future__ import annotations

import itertools

import pytest

from cavata.diagnostics import closest, edit_distance


@pytest.mark.parametrize(
    ("one", "other", "distance"),
    [
        ("kitten", "sitting", 3),
        ("flaw", "lawn", 2),
        ("tasmin", "tamsin", 1),
        ("ca", "abc", 3),
        ("", "abc", 3),
        ("same", "same", 0),
    ],
)
def test_edit_distance(one: str, other: str, distance: int) -> None:
    """The first two are the usual examples for Levenshtein's distance; `ca`, `abc` is 3 with neighbors exchanged
    only once (optimal string alignment). Source: en.wikipedia.org, Damerau-Levenshtein distance, from memory."""
    assert edit_distance(one, other, 9) == distance
    assert edit_distance(other, one, 9) == distance


def test_nothing_farther_than_a_third_of_the_word() -> None:
    assert closest("hial", ["hail", "hall", "heap"]) == ("hail",)
    assert closest("ab", ["ac", "abc"]) == ()
    assert closest("violn", ["viola", "violin"], 1) == ("violin",), "a letter left out before one exchanged"


def test_nearest_first_and_ties_in_the_alphabets_order() -> None:
    known = ["corwin", "carwen", "corwen", "torven"]
    assert closest("corwxn", known) == ("corwen", "corwin", "carwen")
    for order in itertools.permutations(known):
        assert closest("corwxn", order) == ("corwen", "corwin", "carwen")


def test_at_most_the_limit() -> None:
    assert closest("abcx", ["abca", "abcb", "abcc", "abcd"]) == ("abca", "abcb", "abcc")
    assert closest("abcx", ["abca", "abcb", "abcc", "abcd"], limit=1) == ("abca",)


def test_capitals_do_not_count_and_the_word_itself_is_no_suggestion() -> None:
    assert closest("HAIL", ["hail"]) == ("hail",)
    assert closest("hail", ["hail"]) == ()


def test_giving_up_early_changes_nothing() -> None:
    words = ["violin", "viola", "violas", "oiv", "lute", "flute", "fluet", "", "a"]
    for one, other in itertools.product(words, words):
        exact = edit_distance(one, other, 99)
        for allowed in range(5):
            assert (edit_distance(one, other, allowed) <= allowed) == (exact <= allowed)
