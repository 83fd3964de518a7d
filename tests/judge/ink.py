"""Where the ink of an engraved copy lies, by LilyPond's own reckoning.

In: the text of a sheet. Out: its pages, with an outline of everything that is drawn on them: `ink.scm` has LilyPond
tell them after its pages are laid out. Lengths are in staff spaces of the copy, from the upper left corner of the
page to the right and up, so that heights are negative. An outline is the lowest and the highest ink in every tenth of
a staff space. No picture is made, which takes most of an engraver's time.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import pairwise
from math import ceil, floor
from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.lilypond.document import sheet_text
from cavata.lilypond.engrave import find_lilypond, set_before_pages, with_room
from cavata.lilypond.engraving import EngravedFile, Engraving, Failure
from cavata.lilypond.part_pages import part_engraved
from cavata.lilypond.sheets import sheets, whole_sheet
from cavata.notate.written import WrittenScore
from cavata.score.score import CopyKind

STEP = 10
"""Columns in a staff space."""
_HERE = Path(__file__).parent
REPORT = (_HERE / "ink.ily").read_text(encoding="utf-8")
_BEGINS = "here a sheet begins"
_OPTIONS = ("--loglevel=WARN", "-dbackend=cairo", "-dno-print-pages", "-dno-point-and-click")
_COMPILED = """(begin
  (use-modules (system base compile))
  (compile-file "ink.scm" #:output-file "ink.go" #:env (current-module)))"""
Column = tuple[float, float] | None


@dataclass(frozen=True)
class Piece:
    """Ink without gaps from above: for each column from `first` on its lowest and highest point."""

    first: int
    columns: tuple[Column, ...]

    @cached_property
    def low(self) -> float:
        return min((column[0] for column in self.columns if column), default=0.0)

    @cached_property
    def high(self) -> float:
        return max((column[1] for column in self.columns if column), default=0.0)

    @property
    def last(self) -> int:
        return self.first + len(self.columns) - 1


@dataclass(frozen=True)
class Ink:
    """What LilyPond draws as one thing, by LilyPond's name for it."""

    name: str
    number: int
    staff: int
    """The staff it belongs to; 0 for none."""
    bar: str
    kin: frozenset[int]
    """The numbers of what it hangs on, or has hanging on it."""
    words: str
    """What it says; glyphs in angle brackets."""
    column: int
    """The column of notes of one voice to which it belongs; 0 for none."""
    moment: str
    """When it begins."""
    interrupts: bool
    """What lies under it is not printed there."""
    pieces: tuple[Piece, ...]

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, right, lowest, highest."""
        left = min(piece.first for piece in self.pieces) / STEP
        right = max(piece.last for piece in self.pieces) / STEP
        return left, right, min(piece.low for piece in self.pieces), max(piece.high for piece in self.pieces)

    @property
    def shown(self) -> str:
        """For a message."""
        return f"{self.name} {self.words!r}" if self.words else self.name


@dataclass
class System:
    """A row of staves, or a block of words between such."""

    bar: str
    """The number of its first bar; empty for words."""
    inks: list[Ink] = field(default_factory=list)

    @cached_property
    def staves(self) -> list[Ink]:
        """Its staves from above."""
        return sorted((ink for ink in self.inks if ink.name == "StaffSymbol"), key=lambda ink: -ink.box[3])

    @cached_property
    def reach(self) -> tuple[float, float]:
        """Its lowest and highest ink."""
        return min(ink.box[2] for ink in self.inks), max(ink.box[3] for ink in self.inks)


@dataclass
class Page:
    """One page."""

    number: int
    width: float
    height: float
    millimeters: float
    """A staff space."""
    systems: list[System] = field(default_factory=list)
    around: list[Ink] = field(default_factory=list)
    """Head and foot."""

    @property
    def inks(self) -> Iterator[Ink]:
        yield from self.around
        for system in self.systems:
            yield from system.inks


_DRAWN: dict[str, tuple[Engraving, str]] = {}


def draw_together(texts: Iterable[str]) -> None:
    """Draw sheets that are asked for later by one run of LilyPond, which takes longest to begin."""
    wanted = list(texts)
    _DRAWN.update(zip(wanted, drawn_at_first(wanted), strict=True))


def drawn(text: str) -> Engraving | Failure:
    """The ink of a sheet as a file of an engraving, with what LilyPond says."""

    def told(text: str) -> tuple[Engraving, str]:
        return _DRAWN.get(text) or drawn_at_first([text])[0]

    return with_room(text, told)


def drawn_at_first(texts: Sequence[str]) -> list[tuple[Engraving, str]]:
    """The ink of each sheet as it stands, no page made less full, and what LilyPond said of it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "ink.go").write_bytes(_compiled())
        for number, text in enumerate(texts):
            report = set_before_pages(text, REPORT)
            (folder / f"sheet{number}.ly").write_text(f'#(ly:warning "{_BEGINS}")\n{report}', encoding="utf-8")
        said = _run(folder, [f"sheet{number}.ly" for number in range(len(texts))])
        made = []
        for number, errors in enumerate(said.split(_BEGINS)[1:]):
            remarks = tuple(line.partition("warning: ")[2] for line in errors.splitlines() if "warning: " in line)
            ink = (folder / f"sheet{number}.ink").read_bytes()
            made.append((Engraving((EngravedFile("ink", ".ink", ink),), (), remarks), errors))
        return made


@lru_cache(maxsize=1)
def _compiled() -> bytes:
    """`ink.scm`, compiled once: as it stands, it would take as long as the engraving."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copy(_HERE / "ink.scm", folder)
        (folder / "nothing.ly").write_text('\\version "2.24.0"\n', encoding="utf-8")
        _run(folder, ["-e", _COMPILED, "nothing.ly"])
        return (folder / "ink.go").read_bytes()


def _run(folder: Path, arguments: Sequence[str]) -> str:
    """What LilyPond says."""
    program = find_lilypond()
    assert not isinstance(program, Failure), program
    done = subprocess.run(
        [program, *_OPTIONS, *arguments], cwd=folder, capture_output=True, text=True, errors="replace", check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stderr


def pages_of_text(text: str) -> list[Page]:
    """The pages of a sheet."""
    made = drawn(text)
    assert isinstance(made, Engraving)
    return pages_in(made)


def pages_of(page: WrittenScore) -> list[Page]:
    """The pages of a copy, as they are printed: those of a part with their turns planned; a long score's in sheets."""
    if page.header.kind is CopyKind.PART:
        bag = Diagnostics()
        made = part_engraved(page, _drawn_part(page), _drawn_part, bag)
        assert isinstance(made, Engraving)
        return pages_in(made)
    found: list[Page] = []
    for sheet in sheets(page):
        first, last = sheet.thrown_away
        pages = pages_of_text(sheet_text(sheet))
        found += pages[first : len(pages) - last]
    return found


def pages_of_all(copies: Iterable[WrittenScore]) -> Iterator[tuple[WrittenScore, list[Page]]]:
    """Each copy of a piece with its pages; they are drawn together, as far as no turn is planned."""
    wanted = list(copies)
    texts = [
        sheet_text(sheet)
        for page in wanted
        for sheet in ((whole_sheet(page),) if page.header.kind is CopyKind.PART else sheets(page))
    ]
    draw_together(texts)
    for page in wanted:
        yield page, pages_of(page)
    for text in texts:
        _DRAWN.pop(text, None)


def _drawn_part(page: WrittenScore) -> Engraving | Failure:
    return drawn(sheet_text(whole_sheet(page)))


def pages_in(engraving: Engraving) -> list[Page]:
    """What `ink.scm` told."""
    pages: list[Page] = []
    around: list[Ink] = []
    inks = around
    heading: list[str] = []
    pieces: list[Piece] = []

    def over() -> None:
        if pieces:
            inks.append(_ink(heading, tuple(pieces)))
            pieces.clear()

    for line in engraving.files[0].data.decode("utf-8").splitlines():
        kind, *values = line.split("\t")
        if kind == "from":
            pieces.append(_piece(values))
            continue
        over()
        match kind:
            case "page":
                pages.append(Page(int(float(values[0])), *map(float, values[1:4])))
                inks = pages[-1].around
            case "system" | "words":
                system = System(values[0] if kind == "system" else "")
                pages[-1].systems.append(system)
                inks = system.inks
            case "ink":
                heading = values
            case _:
                raise AssertionError(line)
    over()
    for page in pages:
        page.systems = [system for system in page.systems if system.inks]
    return pages


def _ink(heading: list[str], pieces: tuple[Piece, ...]) -> Ink:
    name, number, staff, bar, kin, words, column, moment, whiteout = heading[:9]
    own = frozenset(map(int, kin.split()))
    return Ink(name, int(number), int(staff), bar, own, words.strip(), int(column), moment, whiteout == "1", pieces)


def _piece(values: list[str]) -> Piece:
    low, high = map(_points, values[:2])
    ends = [x for x, height in high if height is not None]
    first, last = ceil(ends[0]), floor(ends[-1])
    if last < first:
        # What is thinner than a column, as a hair line, is in one by its middle.
        last, aside = first, first - (ends[0] + ends[-1]) / 2
        low, high = ([(x + aside, height) for x, height in line] for line in (low, high))
    both = zip(_heights(low, first, last), _heights(high, first, last), strict=True)
    return Piece(first, tuple(None if below is None or above is None else (below, above) for below, above in both))


def _points(told: str) -> list[tuple[float, float | None]]:
    """In columns, and how high in staff spaces; None where there is no ink."""
    points = (point.split(",") for point in told.split())
    return [(int(x) * STEP / 1000, int(height) / 1000 if height else None) for x, height in points]


def _heights(line: Sequence[tuple[float, float | None]], first: int, last: int) -> list[float | None]:
    """That of a line from point to point in each column."""
    heights: list[float | None] = [None] * (last - first + 1)
    for (begin, here), (end, there) in pairwise(line):
        left, right = max(first, ceil(begin)), min(last, floor(end)) + 1
        if here is not None and there is not None and left < right and begin < end:
            rise = (there - here) / (end - begin)
            heights[left - first : right - first] = [here + (column - begin) * rise for column in range(left, right)]
    return heights
