"""What engraving gives back: files, remarks about them, or the reason why there are none."""

from __future__ import annotations

from enum import Enum

from cavata.record import record


class Phase(Enum):
    """How far LilyPond has come, in order."""

    STARTING = "starting LilyPond"
    READING = "reading the music"
    SPACING = "spacing the notes"
    PAGING = "finding the page breaks"
    DRAWING = "drawing the pages"
    WRITING = "writing the files"


class EngravingFault(Enum):
    """Why nothing was engraved."""

    MISSING = "missing"
    """There is no LilyPond, or too old a one."""
    TIMEOUT = "timeout"
    """It took longer than it was allowed."""
    KILLED = "killed"
    """The system ended it: out of memory or of processor time, or someone else did."""
    ERROR = "error"
    """LilyPond reported an error."""
    DISK = "disk"
    """No temporary folder could be written."""


@record
class Failure:
    """Nothing was engraved."""

    fault: EngravingFault
    message: str
    """One phrase, lower case but for names."""
    advice: str = ""


@record
class EngravedFile:
    """One file as it is to be written."""

    format: str
    """`pdf`, `svg` or `png`."""
    suffix: str
    """What follows the name of the piece: `.pdf`, `.svg`, or `-1.svg`, `-2.svg` when there are several pages."""
    data: bytes


@record
class MissingGlyph:
    """A character that no installed font has; it is left out on the page."""

    character: str
    font: str

    @property
    def code_point(self) -> str:
        """As Unicode writes it: `U+65E5`."""
        return f"U+{ord(self.character):04X}"


@record
class Engraving:
    """What was engraved."""

    files: tuple[EngravedFile, ...]
    """PDF first, then SVG, then PNG, each page by page."""
    missing: tuple[MissingGlyph, ...] = ()
    """Each character once, in the order of their code points."""
    remarks: tuple[str, ...] = ()
    """LilyPond's other warnings, as it words them; they concern the compiler's output, not the script."""

    def of(self, kind: str) -> tuple[EngravedFile, ...]:
        """The files of one format."""
        return tuple(file for file in self.files if file.format == kind)
