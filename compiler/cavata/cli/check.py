"""`cavata check`: read scripts and say what is wrong. Imports no library of music."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from cavata.cli.arguments import add_form_to, add_library_to, find_script
from cavata.cli.speaking import Progress, tell
from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.names.loader import LARGEST_FILE, SUFFIX, decoded_source
from cavata.pipeline import compile_script, compile_versions

STANDARD_INPUT, UNNAMED = "-", "standard-input.cavata"
_KEPT: list[object] = []
"""The pieces checked: to free their many small values one by one takes a quarter of a check, and the process ends."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "check",
        help="read scripts and say what is wrong",
        description=(
            "Read scripts, compute everything in them and in each of their versions, and say what is wrong. Nothing is "
            "written. Of a folder that does not hold one piece every script is read, and those in the folders below."
        ),
    )
    command.add_argument(
        "scripts", metavar="FILE", nargs="+",
        help="scripts, and folders that hold them; `-` is a script on standard input",
    )  # fmt: skip
    command.add_argument(
        "--as", dest="name", metavar="NAME",
        help="with `-`: the file that standard input stands for; what it uses is looked for beside that",
    )  # fmt: skip
    add_library_to(command)
    add_form_to(command, "the messages as one JSON document on standard output")
    command.set_defaults(run=run, misused=command.error)


def run(arguments: argparse.Namespace) -> int:
    """Check; 1 if anything is an error."""
    if arguments.scripts.count(STANDARD_INPUT) > 1:
        arguments.misused("`-` can be read once only")
    if arguments.name and STANDARD_INPUT not in arguments.scripts:
        arguments.misused("`--as` goes with `-`")
    bag = Diagnostics()
    progress = Progress(sys.stderr)
    checked = [(Path(), bag)]
    for script in list(_scripts(arguments.scripts, bag)):
        progress.say(f"reading {script}")
        checked.append(_checked(script, arguments))
    progress.done()
    found = _each_once(checked)
    tell([message for _, message in found], scripts=[script for script, _ in found])
    return int(any(found.has_errors for _, found in checked))


def _scripts(given: Sequence[str], bag: Diagnostics) -> Iterator[Path]:
    """Every script that is meant, each once; a folder without any is reported."""
    seen: set[Path] = set()
    for name in given:
        tried = Diagnostics()
        found = None if name == STANDARD_INPUT else find_script(name, tried)
        meant = [Path(name)] if name == STANDARD_INPUT else [found] if found else list(_scripts_below(Path(name)))
        if not meant:
            bag.report_all(tried.ordered())
        yield from (script for script in meant if script not in seen)
        seen.update(meant)


def _scripts_below(folder: Path) -> Iterator[Path]:
    """The scripts in a folder and in those below it but for hidden ones, and but for what Python has installed."""
    for script in sorted(folder.rglob(f"*{SUFFIX}")):
        parts = script.relative_to(folder).parts
        if script.is_file() and not any(part.startswith(".") or part == "site-packages" for part in parts):
            yield script


def _checked(script: Path, arguments: argparse.Namespace) -> tuple[Path, Diagnostics]:
    """What is said of one script, under the name by which it is called."""
    text = None
    if str(script) == STANDARD_INPUT:
        script, bag = Path(arguments.name or UNNAMED), Diagnostics()
        source = decoded_source(sys.stdin.buffer.read(LARGEST_FILE + 1), str(script), None, bag)
        if source is None:
            return script, bag
        text = source.text
    compiled = compile_script(script, str(script), text, library=arguments.library)
    compile_versions(compiled)
    _KEPT.append(compiled)
    return script, compiled.bag


def _each_once(checked: Sequence[tuple[Path, Diagnostics]]) -> list[tuple[Path, Diagnostic]]:
    """The messages of all scripts; what is wrong in a file that several of them use is said once."""
    found: dict[tuple[object, ...], tuple[Path, Diagnostic]] = {}
    for script, bag in checked:
        for message in bag.ordered():
            span, place = message.span, None
            if span is not None:
                name = span.source.name
                file = script if name == str(script) else script.parent / name
                place = (file.resolve(), span.start, span.end)
            found.setdefault((message.code, message.message, place), (script, message))
    return list(found.values())
