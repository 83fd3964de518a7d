"""`cavata index`: every place where each name, letter and theme sounds."""

from __future__ import annotations

import argparse

from cavata.cli.arguments import add_form_to
from cavata.cli.speaking import say, say_found
from cavata.cli.telling import add_piece_to, piece_of


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "index",
        help="list every place where each name, letter and theme sounds",
        description=(
            "List every place where each name, letter and theme of a piece sounds: movement, section, bar, beat, "
            "parts, form, what was inflected, clock time and line of script; what each movement has of each name; "
            "and the letters that are never heard. Notes that follow one another out of one placement are one entry."
        ),
    )
    add_piece_to(command)
    form = add_form_to(command)
    form.add_argument("--csv", action="store_true", help="a row for each place, for a spreadsheet, on standard output")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """List; 1 if the piece is not there or does not compile."""
    told, bag = piece_of(arguments)
    if told is None:
        return say_found(bag)
    from cavata.tell.index import index_of
    from cavata.tell.index_shown import index_csv, index_json, index_text
    from cavata.tell.language import language

    index, words = index_of(told.program, told.plan, told.score), language("en")
    say(index_csv(index, words) if arguments.csv else index_text(index, words))
    return say_found(bag, found=index_json(index, words))
