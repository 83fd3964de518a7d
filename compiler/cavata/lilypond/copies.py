"""Copies of a piece engraved: each from what is kept where nothing changed, the rest side by side.

In: written scores, one after the other, and the formats wanted. Out: an engraving for each. A PDF is engraved sheet by
sheet and joined; for pictures, a file a page, a copy is engraved in one run. Abjad is loaded only if there is something
to set. What was engraved is kept under a key made of all that a page depends on (`content`, `surroundings`).
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from concurrent.futures import wait as wait_for
from contextlib import suppress
from hashlib import sha256
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from cavata import __version__, resources
from cavata.files import write_whole
from cavata.lilypond.engrave import FORMATS, RESOLUTION, find_lilypond, undated
from cavata.lilypond.engraving import EngravedFile, Engraving, Failure, MissingGlyph
from cavata.lilypond.press import Press
from cavata.lilypond.sheets import Sheet, content, frame_text, sheets, whole_sheet
from cavata.lilypond.standing import Standing
from cavata.notate.page import INNER_MM, OUTER_MM
from cavata.notate.written import WrittenScore
from cavata.record import record
from cavata.score.score import TitlePage

# ----------------------------------------------------------------
# What decides how a page looks beside the music: the programs, their versions, and the fonts.
#
# In: the LilyPond that engraves. Out: bytes for a key, found by looking at files' dates and sizes, without running or
# importing anything, so that an unchanged build stays quick.


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


# ----------------------------------------------------------------
# What was engraved before, kept in the user's cache folder.
#
# In: a key that names all that a page depends on. Out: the engraving made under that key, if there is one. An entry
# carries the checksum of its content: one that is damaged is passed over and made anew. Each is written whole, so that
# two builds at once do not disturb each other; what was not used for longest makes room.


MOST_BYTES = 256 << 20
"""Of all entries together; a quarter more is let in before room is made."""
_CHECKSUM = 32


def keep(key: str, engraving: Engraving, most: int = MOST_BYTES) -> None:
    """Keep an engraving; a cache that cannot be written is done without."""
    folder = _folder()
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        body = _packed(engraving)
        write_whole(folder / key, sha256(body).digest() + body)
        _make_room(folder, most)


def kept(key: str) -> Engraving | None:
    """The engraving under a key, if it is there and whole."""
    file = _folder() / key
    try:
        data = file.read_bytes()
        body = data[_CHECKSUM:]
        if sha256(body).digest() != data[:_CHECKSUM]:
            return None
        made = _unpacked(body)
        os.utime(file)
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return made


def _folder() -> Path:
    return resources.cache_folder("pages")


def _packed(engraving: Engraving) -> bytes:
    """A line that tells what follows, then the files one after the other."""
    told = {
        "files": [(file.format, file.suffix, len(file.data)) for file in engraving.files],
        "missing": [(glyph.character, glyph.font) for glyph in engraving.missing],
        "remarks": engraving.remarks,
    }
    return b"\n".join([json.dumps(told).encode(), b"".join(file.data for file in engraving.files)])


def _unpacked(body: bytes) -> Engraving:
    line, _, data = body.partition(b"\n")
    told = json.loads(line)
    files, start = [], 0
    for kind, suffix, length in told["files"]:
        files.append(EngravedFile(kind, suffix, data[start : start + length]))
        start += length
    missing = tuple(MissingGlyph(character, font) for character, font in told["missing"])
    return Engraving(tuple(files), missing, tuple(told["remarks"]))


def _make_room(folder: Path, most: int) -> None:
    entries = []
    for entry in os.scandir(folder):
        with suppress(OSError):
            about = entry.stat()
            entries.append((about.st_mtime_ns, about.st_size, entry.path))
    total = sum(size for _, size, _ in entries)
    if total <= most * 5 // 4:
        return
    for _, size, path in sorted(entries):
        if total <= most:
            break
        with suppress(OSError):
            os.unlink(path)
        total -= size


# ----------------------------------------------------------------

_Result = Engraving | Failure
_PDF = frozenset(("pdf",))
_PAGES_AT_ONCE = 32
"""Heads and feet are set for so many pages at a time, so that one page more seldom needs new ones."""
_LOOK = 0.1
"""Seconds between two looks at how far the runs have come."""


@record
class Ordered:
    """A copy on its way: a whole engraving that was kept, or one for each sheet, there or to come."""

    opening: Sheet
    title_page: TitlePage | None
    key: str
    pieces: tuple[_Result | Future[_Result], ...]
    whole: Engraving | None = None


class Engravers:
    """Takes orders for copies and delivers them; to be used in a `with` statement, at whose end no run goes on."""

    def __init__(
        self, formats: frozenset[str], at_once: int, fresh: bool = False,
        say: Callable[[str], None] | None = None, resolution: int = RESOLUTION,
    ) -> None:  # fmt: skip
        self._formats = formats
        self._resolution = resolution
        self._fresh = fresh
        self._press = Press(at_once, resolution=resolution)
        self._standing = Standing(at_once, say)
        self._program = find_lilypond()
        self._surroundings = b"" if isinstance(self._program, Failure) else surroundings(self._program)
        self._begun: dict[str, _Result | Future[_Result]] = {}

    def __enter__(self) -> Engravers:
        return self

    def __exit__(self, *_: object) -> None:
        self._press.__exit__()

    def order(self, page: WrittenScore) -> Ordered:
        """Look for a copy among what was kept, and begin to engrave what is not there."""
        divided = sheets(page) if self._formats == _PDF else (whole_sheet(page),)
        opening, front = divided[0], page.title_page
        if isinstance(self._program, Failure):
            return Ordered(opening, front, "", (self._program,))
        keys = [self._key(content(sheet), self._formats) for sheet in divided]
        frame = frame_text(opening, front, _PAGES_AT_ONCE).encode("utf-8", "replace")
        key = self._key("\n".join(keys).encode() + frame, _PDF) if len(keys) > 1 else keys[0]
        whole = self._kept(key)
        if whole is not None:
            return Ordered(opening, front, key, (), whole)
        pieces = tuple(self._piece(sheet, key) for sheet, key in zip(divided, keys, strict=True))
        if len(divided) > 1:
            self._frame(opening, front, _PAGES_AT_ONCE)
            # The joiner is loaded while LilyPond runs.
            import_module("cavata.lilypond.joining")
        return Ordered(opening, front, key, pieces)

    def deliver(self, ordered: Ordered) -> _Result:
        """Wait for the sheets of a copy and join them."""
        if ordered.whole is not None:
            return ordered.whole
        found: list[Engraving] = []
        for piece in ordered.pieces:
            made = self._awaited(piece)
            if isinstance(made, Failure):
                return made
            found.append(made)
        return found[0] if len(found) == 1 else self._joined(ordered, found)

    def _piece(self, sheet: Sheet, key: str) -> _Result | Future[_Result]:
        def text() -> str:
            # Abjad takes longer to load than most builds of an unchanged piece take altogether.
            from cavata.lilypond.document import sheet_text

            return sheet_text(sheet)

        return self._once(key, text, self._formats)

    def _once(self, key: str, text: Callable[[], str], formats: frozenset[str]) -> _Result | Future[_Result]:
        """What was kept under a key, or is on its way already; else it is begun."""
        if key not in self._begun:
            self._begun[key] = self._kept(key) or self._engraved(text(), key, formats)
        return self._begun[key]

    def _engraved(self, text: str, key: str, formats: frozenset[str]) -> Future[_Result]:
        run = self._standing.begins(text)
        future = self._press.engrave(text, formats, run.hear if self._standing.watched else None)

        def done(future: Future[_Result]) -> None:
            made = None if future.cancelled() or future.exception() else future.result()
            self._standing.ends(run, isinstance(made, Engraving))
            if isinstance(made, Engraving):
                keep(key, made)

        future.add_done_callback(done)
        return future

    def _awaited(self, piece: _Result | Future[_Result]) -> _Result:
        if not isinstance(piece, Future):
            return piece
        while not wait_for((piece,), _LOOK).done:
            self._standing.tell()
        return piece.result()

    def _joined(self, ordered: Ordered, found: list[Engraving]) -> _Result:
        from cavata.lilypond.joining import joined

        sheets = [engraving.files[0].data for engraving in found]
        data, pages, everything = None, 0, found
        while data is None:
            pages += _PAGES_AT_ONCE
            frame = self._awaited(self._frame(ordered.opening, ordered.title_page, pages))
            if isinstance(frame, Failure):
                return frame
            everything = [*found, frame]
            data = joined(sheets, frame.files[0].data, pages, OUTER_MM - INNER_MM)
        missing = tuple(dict.fromkeys(glyph for engraving in everything for glyph in engraving.missing))
        remarks = tuple(dict.fromkeys(text for engraving in everything for text in engraving.remarks))
        made = Engraving((EngravedFile("pdf", ".pdf", undated(data)),), missing, remarks)
        keep(ordered.key, made)
        return made

    def _frame(self, sheet: Sheet, title_page: TitlePage | None, pages: int) -> _Result | Future[_Result]:
        """What stands around so many pages of music: set once for all copies of which it is the same."""
        text = frame_text(sheet, title_page, pages)
        key = self._key(text.encode("utf-8", "replace"), _PDF)
        return self._once(key, lambda: text, _PDF)

    def _kept(self, key: str) -> Engraving | None:
        return None if self._fresh else kept(key)

    def _key(self, about: bytes, formats: frozenset[str]) -> str:
        made = sha256(self._surroundings)
        made.update(repr(([kind for kind in FORMATS if kind in formats], self._resolution)).encode())
        made.update(about)
        return made.hexdigest()[:40]
