"""What the commands that tell of a finished piece share: the piece they speak of, and files written beside it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cavata.cli.arguments import add_library_to, add_version_to, find_script, stem_for
from cavata.cli.speaking import RIGHTS_AND_ROOM, Progress, report_without_movement, say, say_found
from cavata.diagnostics import Diagnostics
from cavata.files import write_whole
from cavata.record import record

if TYPE_CHECKING:  # the help of a command compiles nothing
    from cavata.evaluate.plan import Plan
    from cavata.names.program import Program
    from cavata.score.score import Score
    from cavata.syntax.tree import Module


@record
class ToldPiece:
    """A piece that compiles and has music."""

    path: Path
    """Its script."""
    tree: Module
    """The script itself, which holds the remarks."""
    program: Program
    plan: Plan
    score: Score
    version: str = ""
    """Which version of the piece it is; empty for the piece itself."""

    @property
    def stem(self) -> str:
        """What the names of files about it begin with."""
        return stem_for(self.path.stem, self.version)


def add_piece_to(command: argparse.ArgumentParser) -> None:
    """The script, which version of it, and the library that it uses."""
    command.add_argument("piece", metavar="PIECE", help="a script, or a folder that holds one piece")
    add_version_to(command)
    add_library_to(command)


def piece_of(
    arguments: argparse.Namespace, progress: Progress | None = None, broken: Diagnostics | None = None
) -> tuple[ToldPiece | None, Diagnostics]:
    """The piece of the command line, and what is to be said of it; None if there is nothing to tell of.

    What it requires of itself and does not keep goes into `broken`, where that is given, and stands in nobody's way.
    """
    from cavata.pipeline import compile_script

    bag, progress = Diagnostics(), progress or Progress(sys.stderr)
    path = find_script(arguments.piece, bag)
    if path is None:
        return None, bag
    progress.say("reading the script")
    compiled = compile_script(
        path, str(path), library=arguments.library, version=arguments.version, broken=broken
    )
    progress.done()
    bag = compiled.bag
    loaded, program, plan = compiled.loaded, compiled.program, compiled.plan
    if compiled.score is None or loaded is None or program is None or plan is None:
        return None, bag
    if not compiled.score.movements:
        report_without_movement(bag)
        return None, bag
    return ToldPiece(path, loaded.modules[loaded.main], program, plan, compiled.score, arguments.version), bag


def piece_with_what_is_broken(arguments: argparse.Namespace) -> tuple[ToldPiece | None, Diagnostics]:
    """The same, also where the piece breaks what it requires of itself: that is then among what is to be said."""
    broken = Diagnostics()
    told, bag = piece_of(arguments, broken=broken)
    bag.report_all(broken.ordered())
    return told, bag


def say_figures(arguments: argparse.Namespace, figures: Callable[[ToldPiece], tuple[str, Mapping[str, Any]]]) -> int:
    """Say what is found of a piece, as a text or as a document; returns the exit status.

    A piece that is not what it requires of itself is told of too: that is when its figures are wanted.
    """
    told, bag = piece_with_what_is_broken(arguments)
    if told is None:
        return say_found(bag)
    text, document = figures(told)
    say(text, in_sentences=True)
    return say_found(bag, found=document)


_ELSEWHERE = f"{RIGHTS_AND_ROOM}, or name another folder"


def write_all(files: Mapping[Path, bytes], bag: Diagnostics) -> list[str]:
    """Write files, each whole; returns their paths. What cannot be written is reported."""
    paths: list[str] = []
    for path, data in files.items():
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
        except OSError as error:
            bag.error(
                "O403", None, f"cannot write `{path}`: {error.strerror or error}",
                cure=f"`{path.parent}` is a file; name a folder" if path.parent.is_file() else _ELSEWHERE,
            )
            break
        paths.append(str(path))
    return paths
