"""How the commands speak: messages on standard error, or one document on standard output."""

from __future__ import annotations

import io
import json
import os
import re
import shlex
import shutil
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any, TextIO

from cavata import cache
from cavata.cli.pager import paged
from cavata.diagnostics import Diagnostic, Diagnostics, Severity, as_text, messages_json
from cavata.text import UNSAFE, clean, columns, fitted_tables, printable, shortened, whole, wrapped_text


class MessageForm(Enum):
    """In what form a run gives its messages."""

    TEXT = "text"
    JSON = "json"
    """One document with what was found, the messages and the files written; nothing else on standard output."""
    ANNOTATIONS = "annotate"
    """Text, and on standard output a line for each message, which continuous integration shows beside the script."""
    SARIF = "sarif"
    """One document with the messages, in the format of that name; nothing else on standard output."""

    @property
    def is_document(self) -> bool:
        """Whether standard output is one document."""
        return self in (MessageForm.JSON, MessageForm.SARIF)


@dataclass
class Manner:
    """How this run of a command speaks."""

    form: MessageForm = MessageForm.TEXT
    script: Path = Path()
    """The script that the messages are about: what it uses is named as seen from its folder."""
    quiet: bool = False
    """Errors, and what was asked for; neither warnings nor paths nor what is being done."""
    held: list[str] | None = None
    """What was said and waits for its end, to be shown page by page; None where it goes out at once."""


MANNER = Manner()


def room() -> int | None:
    """How many columns a line of standard output has: what `COLUMNS` says, else the terminal; None where neither does.

    Into a file or another program a table goes as wide as it is.
    """
    given = whole(os.environ.get("COLUMNS", ""))
    if given:
        return given
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def _room_for_messages() -> int | None:
    """How many columns a line of standard error has; None where it is no terminal, and a message is not folded."""
    if not sys.stderr.isatty():
        return None
    try:
        return whole(os.environ.get("COLUMNS", "")) or os.get_terminal_size(sys.stderr.fileno()).columns or None
    except OSError:
        return None


# ----------------------------------------------------------------
# One line on a terminal that says what is being done; nothing where nobody watches.


class Progress:
    """Rewrites one line."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.shows = stream.isatty() and not MANNER.quiet

    def say(self, what: str) -> None:
        """Replace the line."""
        if self.shows:
            line, width = f"{printable(what)} ...", shutil.get_terminal_size().columns
            self.stream.write("\r\x1b[K" + (shortened(line, width) if columns(line) > width else line))
            self.stream.flush()

    def done(self) -> None:
        """Take the line away."""
        if self.shows:
            self.stream.write("\r\x1b[K")
            self.stream.flush()


# ----------------------------------------------------------------

_COLOR = re.compile("(\x1b\\[[0-9;]*[mK])")
"""The sequences by which git colors a line, and clears what is left of it."""


def in_color() -> bool:
    """Whether messages go to a terminal that shows colors; `NO_COLOR` counts if it is not empty."""
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


class Unheard(Exception):
    """Standard output cannot be written, as on a full disk."""


def say(text: str, in_sentences: bool = False) -> None:
    """Write lines to standard output, clean of all that could steer a terminal; nothing where that is one document.

    A table that is wider than the terminal is laid out again, and a line of what is told `in_sentences`. Raises Unheard
    where it cannot be written.
    """
    if MANNER.form.is_document:
        return
    text, width = clean(text), room()
    if width is not None:
        text = fitted_tables(text, width)
        text = wrapped_text(text, width) if in_sentences else text
    _write(text)


def heard() -> None:
    """See to it that all that was said has gone out; what is longer than the screen, page by page. Raises Unheard."""
    held, MANNER.held = "".join(MANNER.held or ()), None
    if not held or not paged(held):
        _write(held)


def _write(text: str) -> None:
    if MANNER.held is not None:
        MANNER.held.append(text)
        return
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Unheard(error.strerror or str(error)) from error


def say_colored(text: str) -> None:
    """The same for lines that another program colored for a terminal: its colors stay."""
    _write("".join(part if _COLOR.fullmatch(part) else clean(part) for part in _COLOR.split(text)))


def _say_document(document: Mapping[str, Any]) -> None:
    """One JSON document on standard output; what a terminal must not see stands there by its number."""
    text = json.dumps(document, ensure_ascii=False, indent=2)
    _write(UNSAFE.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n")


NOTHING: Mapping[str, Any] = {}


def tell(
    messages: Sequence[Diagnostic], written: Sequence[str] = (), found: Mapping[str, Any] = NOTHING,
    scripts: Sequence[Path] = (),
) -> None:
    """Say everything that a run has to say, in its form: its messages, also that nothing can be kept; the files it
    wrote; and in a JSON document what it `found`. `scripts` has the script of each message, where there are several.
    """
    of_scripts = zip(scripts or [MANNER.script] * len(messages), messages, strict=True)
    heeded = [*((MANNER.script, message) for message in _unkept()), *of_scripts]
    if MANNER.quiet:
        heeded = [each for each in heeded if each[1].severity is Severity.ERROR]
    messages = [message for _, message in heeded]
    if MANNER.form is MessageForm.JSON:
        _say_document({**found, "messages": messages_json(messages), "written": list(written)})
        return
    if MANNER.form is MessageForm.SARIF:
        from cavata.cli.reports import sarif

        _say_document(sarif(heeded))
        return
    if messages:
        heard()
        text = as_text(messages, in_color(), _room_for_messages())
        sys.stderr.write(text.encode("utf-8", "replace").decode("utf-8"))
    for path in () if MANNER.quiet else written:
        say(f"{path}\n")
    if MANNER.form is MessageForm.ANNOTATIONS:
        from cavata.cli.reports import annotated

        say(annotated(heeded))


def say_found(bag: Diagnostics, written: Sequence[str] = (), found: Mapping[str, Any] = NOTHING) -> int:
    """Say everything that a run has to say besides its tables; returns the exit status."""
    tell(bag.ordered(), written, found)
    return int(bag.has_errors)


def _unkept() -> Iterator[Diagnostic]:
    """That the folder for what is kept is not used, in which case every run starts afresh."""
    folder = cache.refused()
    if folder is not None:
        yield Diagnostic(
            "O112", Severity.WARNING, f"nothing is kept from run to run: others may write to `{folder}`", None,
            "what somebody else could have put there is not read",
            f"`chmod go-w {shlex.quote(str(folder))}`, if it is yours; else name a folder of your own in "
            f"`{cache.VARIABLE}`",
        )  # fmt: skip


def complain(code: str, message: str, cure: str = "") -> None:
    """Say one thing that went wrong and has no place in a script."""
    tell([Diagnostic(code, Severity.ERROR, message, None, "", cure)])


def complain_of_missing(code: str, message: str, missing: ModuleNotFoundError, extra: str, usual: str) -> None:
    """Say what cannot be had without a package of an extra; `usual` is named where Python does not say which."""
    package = (missing.name or usual).partition(".")[0]
    cure = f'install the extra: `pip install "cavata[{extra}]"`'
    complain(code, f"{message}: the package {package} is not installed", cure)


def safely() -> None:
    """Let no sign that a stream cannot write end the command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


RIGHTS_AND_ROOM = "look at the folder's rights and at the room on the disk"


def report_unwritten(folder: Path, error: OSError, bag: Diagnostics) -> None:
    """Say that files cannot be written into a folder."""
    bag.error(
        "O109", None, f"cannot write into `{folder}`: {error.strerror or error}",
        cure="that is a file; name a folder" if folder.is_file() else RIGHTS_AND_ROOM,
    )


def report_without_movement(bag: Diagnostics) -> None:
    """Say that a script has nothing to be told of."""
    bag.error(
        "O402", None, "the script has no movement to tell of", cure="add a movement, or name the piece that uses it"
    )


def near(path: Path) -> Path:
    """A path as seen from here, where it lies below."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path
