"""What was engraved, as the cache keeps it, and what decides how a page looks beside the music.

In: the LilyPond that engraves; engravings. Out: bytes for a key, found by looking at files' dates and sizes, without
running or importing anything, so that an unchanged build stays quick; an engraving that was made before.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator

from cavata.cache import PAGES, compiler_stamps, library_stamps, stamps
from cavata.lilypond.engraving import EngravedFile, Engraving, MissingGlyph

_LIBRARIES = ("abjad", "pypdf")
_FONTS = (
    "/usr/share/fonts", "/usr/local/share/fonts", "~/.fonts", "~/.local/share/fonts",
    "/Library/Fonts", "~/Library/Fonts", "/System/Library/Fonts", "~/AppData/Local/Microsoft/Windows/Fonts",
)  # fmt: skip
_FONT_SETTINGS = ("FONTCONFIG_PATH", "FONTCONFIG_FILE")


def surroundings(lilypond: str) -> bytes:
    """The programs, their versions and the fonts, all in one."""
    settings = repr([os.environ.get(name, "") for name in _FONT_SETTINGS]).encode("utf-8", "backslashreplace")
    programs = stamps([lilypond]), library_stamps(_LIBRARIES)
    return b"\0".join((compiler_stamps(), *programs, stamps(_font_folders()), settings))


def _font_folders() -> Iterator[str]:
    """Every folder of fonts: one that is added or removed changes its folder's date."""
    for top in _FONTS:
        for folder, inner, _ in os.walk(os.path.expanduser(top)):
            inner.sort()
            yield folder


def keep(key: str, engraving: Engraving) -> None:
    """Keep an engraving: a line that tells what follows, then the files one after the other."""
    told = {
        "files": [(file.format, file.suffix, len(file.data)) for file in engraving.files],
        "missing": [(glyph.character, glyph.font) for glyph in engraving.missing],
        "remarks": engraving.remarks,
    }
    PAGES.keep(key, b"\n".join([json.dumps(told).encode(), b"".join(file.data for file in engraving.files)]))


def kept(key: str) -> Engraving | None:
    """The engraving under a key, if it is there and whole."""
    return PAGES.read_as(key, _unpacked)


def _unpacked(body: bytes) -> Engraving:
    line, _, data = body.partition(b"\n")
    told = json.loads(line)
    files, start = [], 0
    for kind, suffix, length in told["files"]:
        files.append(EngravedFile(kind, suffix, data[start : start + length]))
        start += length
    missing = tuple(MissingGlyph(character, font) for character, font in told["missing"])
    return Engraving(tuple(files), missing, tuple(told["remarks"]))
