"""`cavata timings`: how long a piece takes, section by section, and how much of that is an estimate."""

from __future__ import annotations

import argparse
import sys

from cavata.cli.sheet import say_found
from cavata.cli.telling import add_piece_to, piece_of


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "timings",
        help="tell how long sections, movements and the piece take",
        description=(
            "Tell how long each section, each movement and the piece take by their tempi, changes of tempo, repeats, "
            "fermatas and free time; what of it the script gives and what is an estimate; and whether the piece is "
            "as long as `length` asks."
        ),
    )
    add_piece_to(command)
    command.add_argument("--json", action="store_true", help="everything as one JSON document on standard output")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Tell; 1 if the piece is not there or does not compile."""
    told, bag = piece_of(arguments)
    if told is None:
        return say_found({}, bag, [], arguments.json)
    from cavata.story.timings import timings
    from cavata.story.timings_text import timings_json, timings_text

    found = timings(told.score)
    if not arguments.json:
        sys.stdout.write(timings_text(found))
    return say_found(timings_json(found), bag, [], arguments.json)
