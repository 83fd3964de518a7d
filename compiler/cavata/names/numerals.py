"""Roman numerals, as players of one instrument are counted on the page."""

from __future__ import annotations

_NUMERALS = ((100, "C"), (90, "XC"), (50, "L"), (40, "XL"), (10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def roman(number: int) -> str:
    """A number from 1 to 399: `IV` for 4."""
    text = ""
    for value, numeral in _NUMERALS:
        while number >= value:
            text, number = text + numeral, number - value
    return text
