"""Collisions planted on purpose, in pages that are faultless without them.

In `BARS` stand a kind of fault, a bar without it and the bar with it; in `ROWS` the same for what takes a line of two
bars.
"""

from __future__ import annotations

from cavata.lilypond.page import style


def _moved(right: float, up: float, what: str) -> str:
    """A sign moved away from where it is set."""
    return rf"\tweak outside-staff-priority ##f \tweak extra-offset #'({right} . {up}) {what}"


_LETTER = r"\mark \markup \box"
_UNDER = r"\once \override Score.RehearsalMark.outside-staff-priority = #100 \mark \markup \box"
_HIGHER = r"\once \override Score.RehearsalMark.padding = #3 \mark \markup \box"
BARS: tuple[tuple[str, str, str], ...] = (
    ("text at text", "c''4^dolce r r2", "c''4^dolce" + _moved(0, -2, "^espressivo") + " r r2"),
    ("text at text", "c''4^arco r r2", "c''4^arco" + _moved(2, -1.5, "^molto") + " r r2"),
    ("text on note", r"c''1\f", "c''1" + _moved(0, 6, r"\f")),
    ("text on note", "r2 a'2^solo", "r2 a'2" + _moved(0, -3.4, "^solo")),
    ("text on line", "c'1^tutti", "c'1" + _moved(2, -3, "^tutti")),
    ("text on line", r"c''2\p\< c''\f", r"c''2\p\< c''" + _moved(-2, 0, r"\f")),
    ("text on bar line", "c''4 r r r^pizz", "c''4 r r r" + _moved(0, -3, '^"pizzicato sempre"')),
    ("text on bar line", "c''1^div", "c''1" + _moved(-6, -3, "^divisi")),
    ("text on mark", r"g''1\fermata^lunga", r"g''1\fermata" + _moved(0, 1.5, "^lunga")),
    ("text on mark", r"c''1\trill^senza", r"c''1\trill" + _moved(0, 1.5, "^senza")),
    ("mark on note", r"c''1\fermata", "c''1" + _moved(0, -2, r"\fermata")),
    ("mark on note", "a'4-> r r2", "a'4" + _moved(0, 1.8, "->") + " r r2"),
    ("mark on line", "c'8[-> d' e' f'] r2", "c'8[" + _moved(1.6, 4.2, "->") + " d' e' f'] r2"),
    ("mark on line", r"g'2->\< g'\!", "g'2" + _moved(6, -1.3, "->") + r"\< g'\!"),
    ("mark on mark", r"c''1\fermata->", r"c''1\fermata" + _moved(0, 1.6, "->")),
    ("mark on mark", r"g''1\trill\fermata", r"g''1\trill" + _moved(0, -2.5, r"\fermata")),
    ("note on note", "<c'' f''>2 r", r"<c'' \tweak extra-offset #'(0 . -1.2) f''>2 r"),
    ("note on note", "cs''!4 ds''! r2", r"cs''!4 \once \override Staff.Accidental.extra-offset = #'(1.2 . 0) ds''! r2"),
    ("note on line", "e''8[ d'' c'' b'] r2", r"e''8[ d'' <\tweak extra-offset #'(0 . -3.2) c''> b'] r2"),
    ("note on line", "c'8[ d' e' f'] r2", r"c'8[ <\tweak extra-offset #'(0 . 3.2) d'> e' f'] r2"),
    ("line on line", r"c'2\< c'\!", "c'2" + _moved(0, 3.6, r"\<") + r" c'\!"),
    ("line on line", r"c''8[\> d'' e'' f''\!] r2", "c''8[" + _moved(0, 2, r"\>") + r" d'' e'' f''\!] r2"),
)  # fmt: skip
ROWS: tuple[tuple[str, str, str], ...] = (
    ("letters at two heights", f"{_LETTER} A c''1 | {_LETTER} B c''1", f"{_LETTER} A c''''1 | {_LETTER} B c''1"),
    ("letters at two heights", f"{_LETTER} C c''1 | {_LETTER} D c''1", f"{_LETTER} C c''1 | {_HIGHER} D c''1"),
    ("tempo over its letter", rf"\tempo Lento {_LETTER} E c''1 | c''1", rf"\tempo Lento {_UNDER} E c''1 | c''1"),
    ("tempo over its letter", rf"\tempo Presto {_LETTER} F d''1 | c''1", rf"\tempo Presto {_UNDER} F d''1 | c''1"),
)  # fmt: skip
_FURNISHED = r"""
\version "2.24.0"
\language "english"
#(set-global-staff-size 20)
\header { tagline = ##f }
"""
_PAPER = r"\paper { indent = 0 system-system-spacing.basic-distance = #16 system-system-spacing.padding = #4 }"


def bars_text(planted: bool) -> str:
    """All bars, two to a line, each with its fault or without."""
    bars = [row[1 + planted] for row in BARS]
    lines = [f"{one} | {other} | \\break" for one, other in zip(bars[::2], bars[1::2], strict=True)]
    lines += [f"{row[1 + planted]} | \\break" for row in ROWS]
    return "\n".join([_FURNISHED, style(), _PAPER, r"\score", "{", r"\new Staff", "{", *lines, "}", "}"]) + "\n"


PAGES: tuple[tuple[str, tuple[float, ...]], ...] = (
    ("", (20, 80, 150)), ("page badly filled", (20, 60, 90)), ("page badly filled", (60, 70, 80)),
    ("rows without space", (20, 28.9, 150)), ("rows without space", (20, 141.2, 150)), ("", (20, 80, 150)),
)  # fmt: skip
"""How far below the upper edge the systems of each page stand, in staff spaces, and what is wrong with that."""
OUTSIDE = ((-40, 0), (0, 30))
"""How far the texts of the first page are moved, to the right and up."""


def pages_text(planted: bool) -> str:
    """Pages of three systems of a bar each."""
    lines = []
    for number, (_, heights) in enumerate(PAGES):
        texts = [_moved(*by, "^solo") for by in OUTSIDE] if planted and not number else []
        for height in heights if planted else PAGES[0][1]:
            place = f"#'((Y-offset . {height}))"
            lines.append(rf"\overrideProperty Score.NonMusicalPaperColumn.line-break-system-details {place}")
            lines.append(f"c''1{texts.pop() if texts else ''} | \\break")
        lines.append(r"\pageBreak")
    return "\n".join([_FURNISHED, style(), _PAPER, r"\score", "{", r"\new Staff", "{", *lines, "}", "}"]) + "\n"


def expected() -> list[tuple[str, range]]:
    """Each fault, and the numbers of the bars in which it may be told."""
    first = len(BARS) + 1
    rows = [(kind, range(first + 2 * place, first + 2 * place + 2)) for place, (kind, _, _) in enumerate(ROWS)]
    return [(kind, range(number, number + 1)) for number, (kind, _, _) in enumerate(BARS, start=1)] + rows
