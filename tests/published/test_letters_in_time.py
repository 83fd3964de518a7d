"""Morse code and number alphabets against their published values."""

from __future__ import annotations

import pytest

from cavata.ciphers.codes import BETWEEN_WORDS, CODES, numbers, signals
from cavata.diagnostics import Refusal


def units(text: str) -> int:
    return sum(signal.units for signal in signals(text))


@pytest.mark.parametrize(
    ("word", "length"),
    [("PARIS", 43), ("SACHER", 51), ("BACH", 41), ("DSCH", 39), ("SOS", 27), ("YYZ", 43), ("CODEX", 53)],
)
def test_words_are_as_long_as_the_recommendation_makes_them(word: str, length: int) -> None:
    """ITU-R M.1677-1: PARIS is the standard word of 50 units, its gap of seven included; CODEX that of 60."""
    assert units(word) == length
    assert units(word + " ") == length + BETWEEN_WORDS


def test_sacher_is_seventeen_impulses() -> None:
    """Boulez's Messagesquisse takes its rhythm from these six letters (en.wikipedia, Messagesquisse)."""
    assert sum(1 for signal in signals("SACHER") if signal.sign) == 17
    assert {signal.sign.text for signal in signals("SACHER") if signal.sign} == set("SACHER")


def test_letters_have_the_codes_of_the_recommendation() -> None:
    """ITU-R M.1677-1, 1.1.1 and 1.1.2: of the letters those that differ most, and the pattern of the figures."""
    assert [CODES[letter] for letter in "ETAQJYX"] == [".", "-", ".-", "--.-", ".---", "-.--", "-..-"]
    for number in range(10):
        code = CODES[str(number)]
        assert len(code) == 5 and code.strip(".").strip("-") == "", code
        assert code.count("." if number <= 5 else "-") == (number if number <= 5 else number - 5)
        assert code.startswith(".") == (1 <= number <= 5)
    assert len(set(CODES.values())) == len(CODES) == 37


def test_gaps_part_letters_and_words() -> None:
    assert [s.units for s in signals("E T")] == [1, 7, 3]
    assert [s.units for s in signals("ET")] == [1, 3, 3]
    assert [s.units for s in signals("E-T'T")] == [1, 3, 3, 3, 3]
    assert [s.units for s in signals("A")] == [1, 1, 3]
    assert [s.units for s in signals(" E")] == [7, 1]


def test_accented_letters_and_ligatures() -> None:
    assert units("é") == units("É") == 11  # ..-.. of the Recommendation
    assert [s.units for s in signals("ñ")] == [s.units for s in signals("n")]
    assert [s.units for s in signals("ß")] == [s.units for s in signals("ss")]


@pytest.mark.parametrize(
    ("text", "alphabet", "total"),
    [("BACH", 24, 14), ("BACH", 26, 14), ("JSBACH", 24, 41), ("JSBACH", 26, 43), ("Z", 24, 24), ("Z", 26, 26)],
)
def test_number_alphabets_count_as_published(text: str, alphabet: int, total: int) -> None:
    """Bach's 14 and 41: the Guardian (Rogerson), 14 Dec 2013; bertalot.org, Alphabetical numerology."""
    assert sum(number for _, number in numbers(text, alphabet)) == total


def test_letters_that_are_one_letter_of_twenty_four() -> None:
    assert [number for _, number in numbers("IJUVW", 24)] == [9, 9, 20, 20, 21]
    assert [number for _, number in numbers("IJUVW", 26)] == [9, 10, 21, 22, 23]


@pytest.mark.parametrize(("text", "code"), [("A&B", "V601"), (" - ", "V602"), ("", "V602")])
def test_what_has_no_code_is_refused(text: str, code: str) -> None:
    with pytest.raises(Refusal) as refused:
        list(signals(text))
    assert refused.value.code == code


def test_what_is_no_letter_does_not_count() -> None:
    with pytest.raises(Refusal) as refused:
        list(numbers("B 2", 26))
    assert (refused.value.code, refused.value.at) == ("V603", (0, 2))
