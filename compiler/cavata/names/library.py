"""Where modules are looked for: beside the script, in the composer's own library, in the standard library.

A script may come from somebody else, so what it says itself must not open the whole disk: its row `library` names a
folder inside the folder above the script's. Any other folder is given from outside, by `--library` or `CAVATA_LIBRARY`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

from cavata import resources
from cavata.diagnostics.record import Diagnostics
from cavata.record import dataclass
from cavata.syntax import tree as t

SUFFIX = ".cavata"
VARIABLE = "CAVATA_LIBRARY"
_DEFINITION = re.compile(r"^(?:cipher|rhythm|motif|transform|mode|name|passage) +(\w+)", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Library:
    """A folder of modules, and how messages call it."""

    folder: Path
    shown: str

    def module(self, name: str) -> Path:
        """Where the module of that name would lie; links are followed."""
        return Path(os.path.realpath(self.folder / f"{name}{SUFFIX}"))

    def modules(self) -> tuple[str, ...]:
        """The names of its modules."""
        return tuple(sorted(path.stem for path in self.folder.glob(f"*{SUFFIX}")))


def standard_library() -> Library:
    """The library that comes with the compiler."""
    return Library(resources.folder("stdlib").resolve(), "library")


def library_modules() -> tuple[str, ...]:
    """The names of the standard library's modules."""
    return standard_library().modules()


@lru_cache(maxsize=1)
def _defined() -> Mapping[str, str]:
    """For each name that the standard library defines, the module. Read for a message only."""
    library = standard_library()
    return {
        found[1]: module
        for module in library.modules()
        for found in _DEFINITION.finditer(library.module(module).read_text(encoding="utf-8"))
    }


def brought_by(name: str) -> str:
    """The row that brings a name of the standard library into a script; empty if the library has no such name."""
    module = _defined().get(name)
    return f"the library has it: `use {name} from {module}`" if module else ""


def given_library(folder: Path | None, bag: Diagnostics) -> tuple[Library, ...]:
    """The folder that was given, else the one that the environment names; one that is not there is reported."""
    by, given = ("--library", str(folder)) if folder is not None else (VARIABLE, os.environ.get(VARIABLE, ""))
    if not given:
        return ()
    if not os.path.isdir(given):
        bag.warning(
            "O401", None, f"the library folder `{given}` is not there", f"given by `{by}`",
            "give the folder that holds your modules",
        )  # fmt: skip
        return ()
    return (Library(Path(os.path.realpath(given)), Path(given).as_posix()),)


def library_of_piece(module: t.Module, root: Path, bag: Diagnostics) -> tuple[Library, ...]:
    """The folder that the row `library` of a piece names, relative to the script; reported if it may not be used."""
    rows = [row for piece in module.declarations if isinstance(piece, t.Piece) for row in piece.rows]
    for row in (row for row in rows if row.word == "library"):
        try:
            folder = Path(os.path.realpath(root / row.text))
        except (OSError, ValueError, RuntimeError):
            folder = Path(row.text)
        if "\0" in row.text or not folder.is_relative_to(root.parent):
            bag.error(
                "N601", row.span, "this library lies too far away for a script to name it", "leads outside",
                "it may lie in the script's folder or the one above; give any other by `--library`",
            )  # fmt: skip
        elif not os.path.isdir(folder):
            bag.error("N602", row.span, "there is no such folder", "", "name a folder as seen from the script's own")
        else:
            return (Library(folder, Path(row.text).as_posix()),)
    return ()


def every_module(libraries: Iterable[Library]) -> tuple[str, ...]:
    """The names that a `use` could mean."""
    return tuple(sorted({name for library in libraries for name in library.modules()}))
