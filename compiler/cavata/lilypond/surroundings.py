"""What decides how a page looks beside the music: the programs, their versions, and the fonts.

In: the LilyPond that engraves. Out: bytes for a key, found by looking at files' dates and sizes, without running or
importing anything, so that an unchanged build stays quick.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from cavata import __version__

_ROOMS = ("music", "instruments", "score", "notate", "lilypond")
"""Where it is decided what a page of given bars looks like."""
_FONTS = (
    "/usr/share/fonts", "/usr/local/share/fonts", "~/.fonts", "~/.local/share/fonts",
    "/Library/Fonts", "~/Library/Fonts", "/System/Library/Fonts", "~/AppData/Local/Microsoft/Windows/Fonts",
)  # fmt: skip
_FONT_SETTINGS = ("FONTCONFIG_PATH", "FONTCONFIG_FILE")
_Stamp = tuple[str, int, int]


def surroundings(lilypond: str) -> bytes:
    """All of it in one."""
    about = (
        __version__,
        sys.version_info[:2],
        _stamp(Path(lilypond)),
        [_stamp(Path(origin)) for name in ("abjad", "pypdf") if (origin := _origin(name))],
        list(_source_stamps()),
        list(_font_stamps()),
        [os.environ.get(name, "") for name in _FONT_SETTINGS],
    )
    return repr(about).encode("utf-8", "backslashreplace")


def _origin(module: str) -> str:
    """The file a library is loaded from."""
    spec = find_spec(module)
    return spec.origin or "" if spec else ""


def _source_stamps() -> Iterator[_Stamp]:
    package = Path(__file__).parent.parent
    for room in _ROOMS:
        for file in sorted((package / room).iterdir()):
            if file.suffix in (".py", ".ily"):
                yield _stamp(file)


def _font_stamps() -> Iterator[_Stamp]:
    """Every folder of fonts: one that is added or removed changes its folder's date."""
    for top in _FONTS:
        for folder, inner, _ in os.walk(os.path.expanduser(top)):
            inner.sort()
            yield _stamp(Path(folder))


def _stamp(path: Path) -> _Stamp:
    try:
        about = path.stat()
    except OSError:
        return (str(path), 0, 0)
    return (str(path), about.st_mtime_ns, about.st_size)
