"""The same rhythms in every meter: ties, rests, brackets and beams of each, compared with a kept table.

Source of what is right: common practice. `pytest --update` writes the table anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction as F
from itertools import cycle
from pathlib import Path

import pytest
from notate_scores import free, meter, rhythm

from cavata.notate.text import bar_text

TABLE = Path(__file__).parent / "test_notate_meters.txt"
METERS = (
    "2/4", "3/4", "4/4", "5/4", "5/4:2+3", "6/4", "7/4", "8/4", "4/4:1+3", "2/2", "3/2", "4/2", "2/8", "3/8", "4/8",
    "5/8", "5/8:2+3", "6/8", "6/8:2+2+2", "7/8", "7/8:3+2+2", "8/8", "8/8:3+3+2", "9/8", "9/8:2+2+2+3", "10/8", "11/8",
    "12/8", "15/8", "3/16", "4/16", "5/16", "6/16", "9/16", "8/16",
)  # fmt: skip
FILLED = {
    "sixteenths": "1/16", "eighths": "1/8", "off the beat": "1/8 1/4 1/4 1/4 1/4 1/4 1/4 1/4 1/4",
    "dotted": "3/16 1/16 1/16 3/16 1/16 1/8 1/16", "with rests": "r1/8 1/8 r1/4 1/16 r3/16 1/16 r1/2",
    "finer": "1/32 1/16 1/32 3/32 1/32 1/64 1/64 7/32 1/32", "longer": "3/8 7/16 1/16 1/8",
}  # fmt: skip
"""Patterns that are repeated until the bar is full, its last length cut."""
BRACKETS = {
    "triplets": "1/12", "mixed": "1/24 1/24 1/24 1/8", "across": "1/6",
    "with rest": "r1/12 1/12 1/12 1/12 r1/12 1/12 1/6", "fives": "1/20 1/10 1/20 1/10 1/10",
    "sevens": "1/28 1/14 1/28 1/28 1/14 1/4",
}  # fmt: skip
BRACKETED = ("2/4", "3/4", "4/4", "5/4", "6/4", "2/2", "3/2", "3/8", "4/8", "6/8", "7/8", "8/8:3+3+2", "9/8", "12/8")
FREE = (
    "8 8 8 8 8 4 8 8 8", "16 16 16 16 16 16 8 8 4", "8 8 8", "r8 8 8 8 r4 8 8", "8. 16 8. 16", "5/8 7/8 9/8 5/16",
    "r5/8 8 r7/8 8 r9/4 8", "1/12 1/12 1/12 4 1/20 1/20 1/20 1/20 1/20", "8 1/12 1/6 8 16", "3/32 1/32 16 16 4 16 16",
    "3 5/2 15/8", "32 32 32 32 32 32 32 32 32",
)  # fmt: skip
PICKUPS = (
    ("4/4", "8 4 8", F(1, 8)), ("3/4", "16 16 r8 2", F(1, 4)), ("6/8", "4 2", F(1, 4)), ("4/4", "8. 16 2", F(1, 4)),
    ("4/4", "4. 2", F(3, 8)), ("4/4", "r8 4 8 8 8 4", F(3, 4)), ("6/8", "8 4 8", F(5, 8)),
)  # fmt: skip


NESTED = (
    "1/36 1/36 1/36 1/12 1/12 2.", "1/12 1/36 1/36 1/36 1/12 2.", "1/36 1/18 1/36 1/18 1/12 2.",
    "1/60 1/60 1/60 1/60 1/60 1/12 1/12 2.",
    "1/60 1/20 1/60 1/30 1/20 1/20 1/30 1/60 2.", "1/45 1/45 1/45 1/15 1/15 1/30 1/30 2.", "1/18 1/18 1/18 1/6 1/6 2",
    "1/30 1/30 1/30 1/10 1/10 1/10 1/10 2", "1/84 1/84 1/84 1/28 1/14 1/28 1/14 2.",
    "1/100 1/100 1/100 1/100 1/100 1/20 1/10 1/20 2.",
    "1/24 1/12 1/24 1/12 2.", "1/24 5/24 2.", "1/12 5/12 2", "1/6 1/3 2", "5/12 1/12 2", "1/3 1/6 1/4 1/12 1/6",
    "1/3 1/3 1/3",
    "1/5 1/5 1/5 1/5 1/5", "2/5 3/5", "1/10 2/5 2", "3/10 1/5 2", "1/7 2/7 1/7 3/7", "1/9 1/9 1/9 1/3 1/3",
    "r1/12 1/6 r1/12 1/6 2",
    "8 1/12 1/24 4 2", "8 1/24 1/12 4 2", "1/24 1/24 1/24 8 1/12 1/12 1/12 2", "1/24 1/24 1/24 1/24 1/24 1/24 2.",
    "1/48 1/48 1/48 1/16 1/8 2.", "3/16 1/48 1/48 1/48 2.", "1/12 1/12 1/12 1/10 1/10 1/20 2",
    "1/20 1/20 1/20 1/20 1/20 1/12 1/6 2",
    "1/12 1/6 1/6 1/12 2", "1/12 1/4 1/4 1/4 1/6", "1/6 1/4 1/4 1/3", "1/20 3/10 3/20 2", "3/20 1/4 1/10 2",
    "1/22 1/22 2/11 5/22 2",
    "1/26 3/13 3/13 2", "1/15 2/15 1/15 1/15 1/6 2", "1/12 r5/12 r1/4 1/12 1/6", "r1/20 1/20 r3/20 2 r1/4",
    "1/36 1/9 1/9 2.", "5/36 1/9 2.", "1/12 1/24 1/24 1/12 2.", "1/12 1/48 1/48 1/24 1/12 2.", "7/24 1/24 1/6 2",
)  # fmt: skip
"""Brackets in brackets, across beats, side by side, and those that are the cheapest of several."""


def line(lengths: Iterator[str], whole: F) -> str:
    """Notes and rests of these lengths until a bar is full."""
    made, now = [], F(0)
    for text in lengths:
        length = min(F(text.lstrip("r")), whole - now)
        made.append(f"{'r' if text.startswith('r') else 'C4'}:{length.numerator}/{length.denominator}")
        now += length
        if now == whole:
            break
    return " ".join(made)


def rows(text: str) -> Iterator[str]:
    """The part of the table about one meter."""
    whole = meter(text).duration
    given = FILLED | (BRACKETS if text in BRACKETED else {})
    lines = {name: line(cycle(pattern.split()), whole) for name, pattern in given.items()}
    short, rest = F(1, 16), whole - F(1, 16)
    lines["first only"] = f"C4:{short} r:{rest}"
    lines["last only"] = f"r:{rest} C4:{short}"
    lines["held"] = f"r:{short} C4:{rest}"
    lines["held from the first"] = f"C4:{rest} r:{short}"
    lines["beyond"] = f"C4:{whole.numerator}/{whole.denominator} C4:1/8"
    for name, played in lines.items():
        yield f"{text:12} {name:20} {rhythm(played, meters=text)}"
    for played in NESTED if text == "4/4" else NESTED[::4] if text in ("3/4", "6/8") else ():
        yield f"{text:12} {played:20} in brackets: {rhythm(line(iter(_in_fractions(played)), whole), meters=text)}"
    for named, played, pickup in PICKUPS:
        if named == text:
            shown = rhythm(line(iter(_in_fractions(played)), F(99)), meters=text, pickup=pickup)  # type: ignore[arg-type]
            yield f"{text:12} {f'{played} from {pickup}':20} {shown}"


def free_rows() -> Iterator[str]:
    """The part of the table about free time."""
    for text in FREE:
        bars = free(line(iter(_in_fractions(text)), F(99))).movements[0].parts[0].staves[0].bars
        yield f"{'free':12} {text:20} " + " | ".join(map(bar_text, bars)).replace("C4:", "")


def _in_fractions(text: str) -> Iterator[str]:
    """`r8 4. 5/8` as `r1/8 3/8 5/8`."""
    for word in text.split():
        rest, value = ("r", word[1:]) if word.startswith("r") else ("", word)
        number = value.rstrip(".")
        length = F(value) if "/" in value else F(int(number)) if value in ("3",) else F(1, int(number))
        yield f"{rest}{length * F(3, 2) if value.endswith('.') else length}"


def test_table_has_every_meter(request: pytest.FixtureRequest) -> None:
    if request.config.getoption("--update"):
        whole = [row.rstrip() for text in METERS for row in rows(text)] + [row.rstrip() for row in free_rows()]
        TABLE.write_text("\n".join(whole) + "\n", "utf-8")
    assert list(dict.fromkeys(row[:12].rstrip() for row in TABLE.read_text("utf-8").splitlines())) == [*METERS, "free"]


@pytest.mark.parametrize("text", [*METERS, "free"])
def test_every_rhythm(text: str) -> None:
    found = [row.rstrip() for row in (free_rows() if text == "free" else rows(text))]
    assert found == [row for row in TABLE.read_text("utf-8").splitlines() if row[:12].rstrip() == text]


@pytest.mark.parametrize("text", METERS)
def test_pieces_fill_the_bar(text: str) -> None:
    """What is written of a bar is as long as the bar: by arithmetic, of the kept table's own leaves."""
    whole = meter(text).duration
    kept = [row for row in TABLE.read_text("utf-8").splitlines() if row[:12].rstrip() == text]
    assert len(kept) >= len(FILLED) + 5
    for row in kept:
        if " from " not in row and " in brackets: " not in row:
            assert length(row[33:].partition(" | ")[0].split()) == whole, row


def length(words: list[str]) -> F:
    """The length of leaves and tuplets as `bar_text` writes them, without pitches."""
    total, scales = F(0), [F(1)]
    for word in words:
        if word.startswith("{"):
            actual, normal = word[1:].split(":")
            scales.append(scales[-1] * F(int(normal), int(actual)))
            continue
        value = word.rstrip("}").removeprefix("r:").rstrip("~[]-<>").rstrip("~")
        number = value.rstrip(".")
        base = {"breve": F(2)}.get(number) or F(1, int(number))
        dots = len(value) - len(number)
        total += base * (2 - F(1, 2**dots)) * scales[-1]
        for _ in range(word.count("}")):
            scales.pop()
    return total
