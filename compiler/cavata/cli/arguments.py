"""Which script a command means: a file, or a folder that holds one piece."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from cavata.cli.speaking import MANNER
from cavata.diagnostics import Diagnostics
from cavata.names.folder import script_of
from cavata.text import whole

# ----------------------------------------------------------------
# What an option of a command may be: types for argparse that say in words what is wrong.


def number(lowest: int, highest: int) -> Callable[[str], int]:
    """A whole number within bounds."""

    def read(text: str) -> int:
        found = whole(text)
        if found is None or not lowest <= found <= highest:
            raise argparse.ArgumentTypeError(f"`{text}` is no number from {lowest} to {highest}")
        return found

    return read


def motif_name(text: str) -> str:
    """A word that may name a motif in a line to be pasted."""
    if not re.fullmatch(r"[a-z][a-z0-9_]{0,39}", text):
        raise argparse.ArgumentTypeError(f"`{text}` is no name for a motif: small letters, digits, underscores")
    return text


def formats(known: Sequence[str]) -> Callable[[str], tuple[str, ...]]:
    """Formats with commas between, each once."""

    def read(text: str) -> tuple[str, ...]:
        wanted = tuple(dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip()))
        unknown = [part for part in wanted if part not in known]
        if unknown or not wanted:
            raise argparse.ArgumentTypeError(
                f"there is no format `{', '.join(unknown)}`; formats are {', '.join(known)}"
            )
        return wanted

    return read


# ----------------------------------------------------------------
# In what form a command speaks: for people, or for other programs.

EVERYTHING = "everything as one JSON document on standard output"
MESSAGES_AND_PATHS = "messages and paths as one JSON document"


def add_form_to(command: argparse.ArgumentParser, json: str = EVERYTHING) -> argparse._MutuallyExclusiveGroup:
    """The options of a command that tells of one's scripts; `json` says what the document holds."""
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=json)
    form.add_argument(
        "--annotate", action="store_true",
        help="besides the messages a line `::error file=...` for each, for continuous integration to show",
    )  # fmt: skip
    form.add_argument("--sarif", action="store_true", help="the messages as a SARIF 2.1.0 document on standard output")
    return form


# ----------------------------------------------------------------
# The option `--library`, for every command that reads a script.


def add_library_to(command: argparse.ArgumentParser) -> None:
    """Describe the option."""
    command.add_argument(
        "--library", metavar="FOLDER", type=Path,
        help="your folder of modules, for `use NAME from MODULE` (else what CAVATA_LIBRARY says)",
    )  # fmt: skip


# ----------------------------------------------------------------
# The option `--for`, for every command that tells of a piece or makes something of it.


def add_engraver_to(command: argparse.ArgumentParser) -> None:
    """The option that says what draws pages."""
    from cavata.draft.engravers import AUTO, CHOICES

    command.add_argument(
        "--engraver", choices=CHOICES, default=AUTO,
        help="what draws the pages: LilyPond, or Verovio for a draft (default: LilyPond where it is installed)",
    )  # fmt: skip


def add_version_to(command: argparse.ArgumentParser) -> None:
    """Describe the option."""
    command.add_argument(
        "--for", dest="version", metavar="NAME", default="", help="the version of this name in the script",
    )  # fmt: skip


def stem_for(stem: str, version: str) -> str:
    """What the names of files begin with. No movement or part is called `for`, so that none has a version's files."""
    return f"{stem}-for-{version}" if version else stem


# ----------------------------------------------------------------

def find_script(given: str, bag: Diagnostics) -> Path | None:
    """The script of a file or folder, of which messages will speak; None when it was reported that there is none."""
    path = script_of(Path(given), bag)
    MANNER.script = path or Path()
    return path
