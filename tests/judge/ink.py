"""Where the ink of an engraved copy lies, by LilyPond's own reckoning.

In: the text of a sheet. Out: its pages, with an outline of everything that is drawn on them: `ink.ily` has LilyPond
tell them after its pages are laid out. Lengths are in staff spaces of the copy, from the upper left corner of the
page to the right and up, so that heights are negative. An outline is the lowest and the highest ink in every tenth of
a staff space. No picture is made, which takes most of an engraver's time.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
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
REPORT = (Path(__file__).parent / "ink.ily").read_text(encoding="utf-8")
_BEGINS = "here a sheet begins"
_SECONDS = 900
"""What LilyPond is given for one run."""
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
    _DRAWN.update(zip(wanted, _drawn(wanted), strict=True))


def drawn(text: str) -> Engraving | Failure:
    """The ink of a sheet as a file of an engraving, with what LilyPond says."""

    def told(text: str) -> tuple[Engraving, str]:
        return _DRAWN.get(text) or _drawn([text])[0]

    return with_room(text, told)


def _drawn(texts: list[str]) -> list[tuple[Engraving, str]]:
    """The ink of each sheet, and what LilyPond said of it."""
    program = find_lilypond()
    assert not isinstance(program, Failure), program
    options = (
        "--loglevel=WARN", "-dbackend=cairo", "-dno-print-pages", "-dno-point-and-click",
    )
    with tempfile.TemporaryDirectory() as folder:
        for number, text in enumerate(texts):
            report = set_before_pages(text, REPORT.replace("ink.txt", f"ink{number}.txt"))
            (Path(folder) / f"sheet{number}.ly").write_text(f'#(ly:warning "{_BEGINS}")\n{report}', encoding="utf-8")
        done = subprocess.run(
            [program, *options, *(f"sheet{number}.ly" for number in range(len(texts)))], cwd=folder,
            capture_output=True, text=True, errors="replace", timeout=_SECONDS, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr[-2000:]
        made = []
        for number, said in enumerate(done.stderr.split(_BEGINS)[1:]):
            remarks = tuple(line.partition("warning: ")[2] for line in said.splitlines() if "warning: " in line)
            ink = (Path(folder) / f"ink{number}.txt").read_bytes()
            made.append((Engraving((EngravedFile("ink", ".ink", ink),), (), remarks), said))
        return made


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


def _drawn_part(page: WrittenScore) -> Engraving | Failure:
    return drawn(sheet_text(whole_sheet(page)))


def pages_in(engraving: Engraving) -> list[Page]:
    """What `ink.ily` told."""
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
    columns: list[Column] = []
    for run in values[1].split(" ") if values[1] else ():
        heights, _, count = run.partition("*")
        low, _, high = heights.partition(",")
        columns += [(float(low), float(high)) if low and high else None] * int(count or 1)
    return Piece(int(values[0]), tuple(columns))
