"""Engrave: LilyPond text to the bytes of PDF, SVG and PNG files.

In: a .ly text from the emitter, and which formats are wanted. Out: the files' bytes, the same for the same text, or a
failure value. Nothing is written outside a private temporary folder, which is gone afterward.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache
from pathlib import Path
from threading import Event
from typing import TypeVar

from cavata.child import ChildLimits, Ended, LimitedChild
from cavata.files import lives
from cavata.lilypond.engraving import EngravedFile, Engraving, EngravingFault, Failure, MissingGlyph, Phase
from cavata.wheels import lilypond_wheel

# ----------------------------------------------------------------
# A folder of its own for each run of LilyPond.
#
# It is gone when the run is over, also when the run is ended. A process that is killed outright in the instant between
# making the folder and handing it to its child leaves it behind; a later run takes it away.


_NAMED = re.compile(r"cavata-(\d+)-")
OLD = 3_600
"""Seconds after which a folder may be called left behind; a run of LilyPond takes minutes at most."""


@contextmanager
def workplace() -> Iterator[Path]:
    """The folder; raises OSError where none can be made."""
    left_behind_removed(Path(tempfile.gettempdir()))
    with tempfile.TemporaryDirectory(prefix=f"cavata-{os.getpid()}-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def left_behind_removed(temporary: Path, old: float = OLD) -> None:
    """Take away folders whose process is no more; `old` is in seconds, since other machines may share the place."""
    if os.name != "posix":
        return
    for path in temporary.glob("cavata-*"):
        named = _NAMED.match(path.name)
        with suppress(OSError):
            if named and time.time() - path.stat().st_mtime >= old and not lives(int(named[1])):
                shutil.rmtree(path, ignore_errors=True)


# ----------------------------------------------------------------
# Which LilyPond engraves.
#
# In: the environment. Out: the program to run, or why there is none. `CAVATA_LILYPOND` names one outright; else the one
# that came with the installation is taken, else the one on the path if it is new enough.


OVERRIDE = "CAVATA_LILYPOND"
OLDEST = (2, 24)
"""The earliest LilyPond whose syntax the emitter writes."""
_VERSION = re.compile(r"LilyPond (\d+)\.(\d+)")


def how_to_get_it() -> str:
    """What can be done on this machine, for whose kind there may be no package of LilyPond."""
    if lilypond_wheel():
        first = 'install it with `pip install "lilypond==2.24.*"`, or from lilypond.org or your system\'s packages'
    elif sys.platform == "darwin":
        first = "install it with `brew install lilypond`"  # from memory
    elif sys.platform == "win32":
        first = "install it from lilypond.org"
    else:
        first = "install your system's package, in Debian and its relatives `apt install lilypond`"
    return f"{first}, or name the program in the environment variable {OVERRIDE}"


def find_lilypond() -> str | Failure:
    """The path of a LilyPond that works, or a failure that says how to get one."""
    override = os.environ.get(OVERRIDE, "")
    if override:
        program = shutil.which(override)
        return program or Failure(EngravingFault.MISSING, f"{OVERRIDE} names no program: {override}", how_to_get_it())
    return _installed() or _on_path(shutil.which("lilypond") or "")


def _installed() -> str:
    """The LilyPond of the `lilypond` package; empty if it is not there, as on some machines it cannot be."""
    try:
        import lilypond
    except ImportError:
        return ""
    program = str(lilypond.executable())
    return program if os.access(program, os.X_OK) else ""


@lru_cache(maxsize=4)
def _on_path(program: str) -> str | Failure:
    if not program:
        return Failure(EngravingFault.MISSING, "LilyPond, which draws the pages, is not installed", how_to_get_it())
    try:
        answer = subprocess.run(
            [program, "--version"], capture_output=True, text=True, errors="replace", timeout=30, check=False
        ).stdout
    except (OSError, subprocess.TimeoutExpired):
        answer = ""
    found = _VERSION.search(answer)
    if found and (int(found[1]), int(found[2])) >= OLDEST:
        return program
    said = f"{found[1]}.{found[2]}" if found else "of unknown version"
    return Failure(
        EngravingFault.MISSING, f"the LilyPond on the path is {said}; 2.24 or later is needed", how_to_get_it()
    )


def text_fonts() -> tuple[Path, ...]:
    """The sans-serif fonts that come with LilyPond: Latin, Greek and Cyrillic. None where it is not there."""
    program = find_lilypond()
    if isinstance(program, Failure):
        return ()
    share = Path(program).resolve().parent.parent / "share" / "lilypond"
    return tuple(sorted(share.glob("*/fonts/otf/NimbusSans-*.otf")))


# ----------------------------------------------------------------

FORMATS = ("pdf", "svg", "png")
RESOLUTION = 144
"""Of PNG, in dots an inch."""
_NAME = "score"
_READ_IT = f'\\version "2.24.0" \\include "{_NAME}.ly"\n'
"""What LilyPond reads first, once there is something to read: it has begun to start before."""
_READ_IT_UNCOLLECTED = f"#(gc-disable) {_READ_IT}"
"""The same, and it does not look for memory that is used no more, which takes a quarter to two fifths of its time."""
LONGEST_UNCOLLECTED = 500_000
"""Bytes of a text that is engraved so: it takes up to twice the memory then, about 0.65 GB for one as long as this."""
_NOT_WANTED = Failure(EngravingFault.KILLED, "no text came to be engraved")
_GLYPH = re.compile(r"no glyph for character U\+([0-9A-Fa-f]+)(?: in font [`'\"]?(.*?)[`'\"]?)?$", re.MULTILINE)
_ERROR = re.compile(r"^(?:.*?: )?(?:fatal )?error: (.*)$", re.MULTILINE)
_REMARK = re.compile(r"^(?:.*?: )?(?:warning|programming error): (.*)$", re.MULTILINE)
_CREATED = re.compile(rb"/CreationDate \(D:\d{14}")
_NO_DATE = b"/CreationDate (D:20000101000000"
_DRAWN_BEFORE = re.compile(rb'id="surface\d+"')
"""Cairo counts what one process draws; nothing refers to the name."""
_OUT_OF_MEMORY = re.compile(r"out[- ]of[- ]memory|Cannot allocate memory|bad_alloc|heap sections", re.IGNORECASE)
_NOT_WRITTEN = "error while writing to output stream"
"""Cairo says so and LilyPond ends as if all were well."""
_ENDS = {"pdf": b"%%EOF", "svg": b"</svg>", "png": b"IEND"}
"""What stands at the end of a whole file, of which Cairo does not always say that it is none."""
_CUT = Failure(EngravingFault.DISK, "the pages could not be written: the disk is full, or a file became too large")
_PAGE = re.compile(r"(\d+)\.\w+$")
_SIGNS = (
    ("Parsing", Phase.READING),
    ("Preprocessing graphical objects", Phase.SPACING),
    ("Finding the ideal number of pages", Phase.PAGING),
    ("Fitting music on", Phase.PAGING),
    ("Drawing systems", Phase.DRAWING),
    ("Converting to", Phase.WRITING),
    ("Layout output to", Phase.WRITING),
)


PhaseHeard = Callable[[Phase], None]
"""Who is told of the phases."""


def engrave(
    ly: str,
    formats: frozenset[str],
    limits: ChildLimits | None = None,
    progress: PhaseHeard | None = None,
    resolution: int = RESOLUTION,
    stop: Event | None = None,
) -> Engraving | Failure:
    """The files of a .ly text in the formats asked for (of FORMATS); `resolution` is of PNG, in dots an inch.

    Gives up soon after `stop` is set.
    """
    return engrave_awaited(lambda: (ly, progress), formats, limits, progress is not None, resolution, stop)


def engrave_awaited(
    awaited: Callable[[], tuple[str, PhaseHeard | None] | None],
    formats: frozenset[str],
    limits: ChildLimits | None = None,
    watched: bool = False,
    resolution: int = RESOLUTION,
    stop: Event | None = None,
) -> Engraving | Failure:
    """The same of a text that may not be there yet: LilyPond is started, then it is waited for, with who is told.

    If nothing comes of it, LilyPond is ended. Only if it is `watched` does it say how far it is.
    """
    program = find_lilypond()
    if isinstance(program, Failure):
        return program
    command = [
        program,
        f"--loglevel={'INFO' if watched else 'WARN'}",
        "-dbackend=cairo",
        "-dno-point-and-click",
        f"-dresolution={resolution}",
        *(f"--{kind}" for kind in FORMATS if kind in formats),
        f"--output={_NAME}",
        "-",
    ]
    try:
        with workplace() as folder:
            return _engrave_in(folder, command, awaited, formats, limits or ChildLimits(), stop)
    except OSError as problem:
        return Failure(EngravingFault.DISK, f"LilyPond could not be run: {problem.strerror or problem}")


def _engrave_in(
    folder: Path, command: list[str], awaited: Callable[[], tuple[str, PhaseHeard | None] | None],
    formats: frozenset[str], limits: ChildLimits, stop: Event | None,
) -> Engraving | Failure:  # fmt: skip
    with LimitedChild(command, folder, limits, listens=True) as started:
        found = awaited()
        if found is None:
            return _NOT_WANTED
        ly, progress = found
        waiting = [started]
        hear = _listener(progress) if progress else None
        if progress:
            progress(Phase.STARTING)

        def drawn(text: str) -> tuple[Engraving | Failure, str]:
            for old in folder.glob(f"{_NAME}*"):
                old.unlink()
            read = text.encode("utf-8", errors="replace")
            (folder / f"{_NAME}.ly").write_bytes(read)
            with waiting.pop() if waiting else LimitedChild(command, folder, limits, listens=True) as child:
                child.tell(_READ_IT if len(read) > LONGEST_UNCOLLECTED else _READ_IT_UNCOLLECTED)
                ended = child.followed(hear, stop)
            failure = _failure(ended, limits)
            if failure:
                return failure, ended.errors
            files = tuple(file for kind in FORMATS if kind in formats for file in _files(folder, kind))
            if {file.format for file in files} != formats:
                return Failure(EngravingFault.ERROR, "LilyPond ended without drawing anything"), ended.errors
            if any(_ENDS[file.format] not in file.data[-64:] for file in files):
                return _CUT, ended.errors
            return Engraving(files, missing_glyphs(ended.errors), _remarks(ended.errors)), ended.errors

        return with_room(ly, drawn)


# ----------------------------------------------------------------
# Where its systems turn out higher than LilyPond reckons when it breaks pages, as those with brackets inside brackets,
# it presses too many of them on a page. Then they are engraved again, with so much added to each in that reckoning.


_TOO_FULL = re.compile(r"compressing over-full page by ([\d.]+) staff-spaces")
_BORNE = 2.0
"""Staff spaces that the room between the systems of a page can spare."""
_SHARES = (0.25, 1.0)
"""How much of what the fullest page lacks is added to each system, at first and if that is too little."""
_RECKONED = 5
"""Staff spaces that the page of a part reckons between systems anyway, beside their distance."""
_Drawn = TypeVar("_Drawn")


def with_room(ly: str, draw: Callable[[str], tuple[_Drawn, str]]) -> _Drawn:
    """What is drawn of a .ly text, its pages less full where that helps; `draw` gives LilyPond's messages besides."""
    best, errors = draw(ly)
    lacking = at_first = _lacking(errors)
    for share in _SHARES:
        if lacking > _BORNE:
            drawn, errors = draw(_with_padding(ly, at_first * share))
            if not isinstance(drawn, Failure) and _lacking(errors) < lacking:
                best, lacking = drawn, _lacking(errors)
    return best


def _lacking(errors: str) -> float:
    """By how many staff spaces the fullest page is too full."""
    return max(map(float, _TOO_FULL.findall(errors)), default=0.0)


def _with_padding(ly: str, room: float) -> str:
    padding = f"page-breaking-system-system-spacing.padding = #{_RECKONED + room:.1f}"
    return set_before_pages(ly, f"\\paper {{ {padding} }}\n")


def set_before_pages(ly: str, settings: str) -> str:
    """A .ly text with further settings for all its book parts: each keeps what was set before it."""
    before, first, after = ly.partition("\n\\bookpart\n")
    return f"{before}\n{settings}{first}{after}"


# ----------------------------------------------------------------


def _listener(progress: Callable[[Phase], None]) -> Callable[[str], None]:
    """Turns LilyPond's messages into phases, each told once."""
    told: set[Phase] = set()

    def hear(text: str) -> None:
        for sign, phase in _SIGNS:
            if sign in text and phase not in told:
                told.add(phase)
                progress(phase)

    return hear


def _failure(ended: Ended, limits: ChildLimits) -> Failure | None:
    if ended.timed_out:
        advice = "engrave one movement at a time, or allow more time"
        return Failure(EngravingFault.TIMEOUT, f"LilyPond took longer than {limits.seconds:g} seconds", advice)
    if _NOT_WRITTEN in ended.errors:
        return _CUT
    if ended.status and _OUT_OF_MEMORY.search(ended.errors):
        return Failure(EngravingFault.KILLED, "LilyPond ran out of memory", "engrave one movement at a time")
    if ended.status < 0:
        return Failure(EngravingFault.KILLED, f"LilyPond was ended by the system (signal {-ended.status})")
    if ended.status > 0:
        found = _ERROR.search(ended.errors)
        said = found[1].strip() if found else f"exit status {ended.status}"
        return Failure(EngravingFault.ERROR, f"LilyPond could not engrave the score: {said[:200]}")
    return None


def missing_glyphs(errors: str) -> tuple[MissingGlyph, ...]:
    """The characters that LilyPond reported no font for, each once."""
    found = {int(match[1], 16): match[2] or "" for match in _GLYPH.finditer(errors)}
    return tuple(MissingGlyph(chr(code), font) for code, font in sorted(found.items()) if code < 0x110000)


def _remarks(errors: str) -> tuple[str, ...]:
    said = (match[1].strip() for match in _REMARK.finditer(errors))
    return tuple(dict.fromkeys(text for text in said if not _GLYPH.search(text)))


def _files(folder: Path, kind: str) -> Iterator[EngravedFile]:
    found = sorted(folder.glob(f"{_NAME}*.{kind}"), key=lambda path: _page_of(path.name))
    for number, path in enumerate(found, start=1):
        data = path.read_bytes()
        suffix = f".{kind}" if len(found) == 1 else f"-{number}.{kind}"
        yield EngravedFile(kind, suffix, _without_run(kind, data))


def _page_of(name: str) -> int:
    page = _PAGE.search(name)
    return int(page[1]) if page else 0


def _without_run(kind: str, data: bytes) -> bytes:
    """The file without what tells of the run that drew it: when that was, and how much was drawn before."""
    if kind == "svg":
        return _DRAWN_BEFORE.sub(b'id="surface"', data)
    return undated(data) if kind == "pdf" else data


def undated(pdf: bytes) -> bytes:
    """The PDF with a fixed date of creation, so that the same script gives the same bytes; its length stays."""
    return _CREATED.sub(_NO_DATE, pdf)
