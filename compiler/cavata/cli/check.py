"""`cavata check`: read a script and say what is wrong. Imports no library of music."""

from __future__ import annotations

import argparse

from cavata.cli.arguments import add_library_to, find_script
from cavata.cli.speaking import tell
from cavata.diagnostics import Diagnostics
from cavata.pipeline import compile_script, compile_versions

_KEPT: list[object] = []
"""The last piece checked: to free its many small values one by one takes a quarter of a check, and the process ends."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "check",
        help="read a script and say what is wrong",
        description=(
            "Read a script, compute everything in it and in each of its versions, and say what is wrong. Nothing is "
            "written."
        ),
    )
    command.add_argument("script", metavar="FILE", help="a script, or a folder that holds one piece")
    add_library_to(command)
    command.add_argument("--json", action="store_true", help="the messages as one JSON document on standard output")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Check; 1 if anything is an error."""
    bag = Diagnostics()
    path = find_script(arguments.script, bag)
    if path is not None:
        compiled = compile_script(path, str(path), library=arguments.library)
        compile_versions(compiled)
        bag = compiled.bag
        _KEPT[:] = [compiled]
    tell(bag.ordered(), (), arguments.json)
    return int(bag.has_errors)
