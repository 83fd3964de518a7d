"""The pages of the gallery: of each piece its first page, its sound and its script, side by side.

In: the tables of `examples/README.md`, which tell the pieces with their pictures, and the scripts. Out: a page in
Markdown for each.
"""

from __future__ import annotations

import re
from pathlib import Path

from cavata.record import record

_ROW = re.compile(
    r"^\| !\[[^\]]*\]\((?P<picture>[^)]+)\) \| \[(?P<title>[^\]]+)\]\((?P<script>[^)]+)\)(?P<more>[^|]*)"
    r"\| (?P<forces>[^|]+) \| (?P<shows>[^|]+) \|$",
    re.MULTILINE,
)
SOUNDS = "sounds"
"""The folder of the book in which the sound lies, as `sounds/piano.mp3`."""


@record
class GalleryPiece:
    """A piece that the table of examples tells of."""

    title: str
    script: str
    """Its path in `examples`."""
    picture: str
    forces: str
    shows: str

    @property
    def stem(self) -> str:
        """What its page and its sound are called."""
        return Path(self.script).stem


def pieces(text: str) -> tuple[GalleryPiece, ...]:
    """Every piece in the tables of `examples/README.md`."""
    return tuple(
        GalleryPiece(row["title"], row["script"], row["picture"], row["forces"].strip(), row["shows"].strip())
        for row in _ROW.finditer(text)
    )


def gallery(text: str, examples: Path, heard: frozenset[str]) -> dict[str, str]:
    """The page of each piece by its path."""
    return {f"examples/pieces/{piece.stem}.md": _page(piece, examples, heard) for piece in pieces(text)}


def _page(piece: GalleryPiece, examples: Path, heard: frozenset[str]) -> str:
    script = (examples / piece.script).read_text("utf-8").rstrip("\n")
    sound = ""
    if piece.stem in heard:
        source = f"../../{SOUNDS}/{piece.stem}.mp3"
        sound = (
            f'```{{raw}} html\n<audio controls preload="none" src="{source}" '
            f'aria-label="{piece.title}">{piece.title}</audio>\n```\n\n'
        )
    page = f":::{{container}} page\n![The first page of {piece.title}](../{piece.picture})\n:::\n"
    beside = f":::{{container}} script\n```cavata\n{script}\n```\n:::\n"
    about = f"For {piece.forces}: {piece.shows}."
    return f"# {piece.title}\n\n{about}\n\n{sound}::::{{container}} beside\n{page}{beside}::::\n"
