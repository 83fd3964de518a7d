"""`cavata stats`: a piece in figures, on one screen."""

from __future__ import annotations

import argparse
from typing import Any

from cavata.cli.arguments import add_form_to
from cavata.cli.telling import ToldPiece, add_piece_to, say_figures


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "stats",
        help="show a piece in figures",
        description=(
            "Show a piece in figures: its bars and notes, how many of them come from each name, the busiest part, and "
            "of each part the range it uses beside its instrument's and its longest rest. Ranges are a guide."
        ),
    )
    add_piece_to(command)
    add_form_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Show; 1 if the piece is not there or does not compile."""

    def figures(told: ToldPiece) -> tuple[str, dict[str, Any]]:
        from cavata.tell.stats import stats, stats_json, stats_text

        found = stats(told.score)
        return stats_text(found), stats_json(found)

    return say_figures(arguments, figures)
