"""`cavata timings`: how long a piece takes, section by section, and how much of that is an estimate."""

from __future__ import annotations

import argparse
from typing import Any

from cavata.cli.arguments import add_form_to
from cavata.cli.telling import ToldPiece, add_piece_to, say_figures


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
    add_form_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Tell; 1 if the piece is not there or does not compile."""

    def figures(told: ToldPiece) -> tuple[str, dict[str, Any]]:
        from cavata.tell.timings import timings, timings_json, timings_text

        found = timings(told.score)
        return timings_text(found), timings_json(found)

    return say_figures(arguments, figures)
