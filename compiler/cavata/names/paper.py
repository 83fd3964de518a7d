"""The papers that a script may name, and the one it says.

In: a word, as `A4` or `letter`. Out: the sheet's size as it lies.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.record import record
from cavata.source import Span

_INCH = Fraction(254, 10)


@record
class Paper:
    """A size of paper and which way the sheet lies."""

    name: str
    """As a script calls it."""
    width: Fraction
    """In millimeters, as the sheet lies."""
    height: Fraction
    """In millimeters, as the sheet lies."""

    @property
    def landscape(self) -> bool:
        """The sheet lies on its long side."""
        return self.width > self.height


def _mm(name: str, width: int, height: int) -> Paper:
    return Paper(name, Fraction(width), Fraction(height))


def _inches(name: str, width: Fraction, height: Fraction) -> Paper:
    return Paper(name, width * _INCH, height * _INCH)


_TABLE = (
    _mm("A4", 210, 297),
    _mm("A3", 297, 420),
    _mm("B4", 250, 353),
    _mm("jis_B4", 257, 364),
    _inches("letter", Fraction(17, 2), Fraction(11)),
    _inches("tabloid", Fraction(11), Fraction(17)),
)
"""`A4`, `A3` and `B4` are of ISO 216, `jis_B4` of JIS P 0138, somewhat larger than the B4 of ISO and usual in Japan,
`letter` and `tabloid` sizes A and B of ANSI/ASME Y14.1."""
PAPERS = tuple(paper.name for paper in _TABLE)
"""The words, the usual ones first."""
LANDSCAPE = "landscape"
USUAL = _TABLE[0]
"""The paper where nothing is said."""


def find_paper(words: str) -> Paper | None:
    """The paper that `A3` or `letter landscape` stand for, in small letters or capitals; None if there is none."""
    name, _, way = words.strip().partition(" ")
    found = next((paper for paper in _TABLE if paper.name.lower() == name.lower()), None)
    if found is None or way.strip() not in ("", LANDSCAPE):
        return None
    return Paper(found.name, found.height, found.width) if way else found


def report_no_paper(words: str, span: Span | None, bag: Diagnostics) -> None:
    """Tell of words that name no paper."""
    name = words.strip().partition(" ")[0]
    bag.error(
        "N250", span, f"there is no paper `{name}`", label="not a size of paper" if span else "",
        cure=did_you_mean(name, PAPERS) or f"papers are {', '.join(PAPERS)}, upright or `landscape`",
    )
