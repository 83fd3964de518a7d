"""`cavata playing`: a page for each player, with what cannot be played, what needs care, and what tires."""

from __future__ import annotations

import argparse

from cavata.cli.arguments import add_form_to
from cavata.cli.speaking import MANNER, say, say_found, tell
from cavata.cli.telling import add_piece_to, piece_with_what_is_broken
from cavata.diagnostics import Diagnostics


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "playing",
        help="tell what players cannot play, what needs care, and what tires",
        description=(
            "Tell of each part what nobody can play on its instrument, what needs a virtuoso or care, and what "
            "tires over time, with bars, figures and cures; and count what a player has to do. Everything is a guide "
            "and says on what it rests; the player knows better."
        ),
    )
    add_piece_to(command)
    command.add_argument(
        "part", metavar="PART", nargs="*", default=[], help="only these parts, as the forces call them"
    )
    command.add_argument(
        "--by", metavar="PROFILE", default="professional",
        help="who is to play: `professional`, `amateurs`, or a profile of the script (default: professional)",
    )  # fmt: skip
    command.add_argument("--bars", action="store_true", help="also the counts of each bar")
    add_form_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Tell; 1 if the piece is not there or does not compile, has no such part or profile, or breaks a promise: of that
    one the pages are told all the same, since they say why."""
    told, bag = piece_with_what_is_broken(arguments)
    if told is None:
        return say_found(bag)
    from cavata.edition.copies import report_unknown_part
    from cavata.playing.profiles import profiles_of, report_unknown_profile
    from cavata.tell.players import pages, pages_json, pages_text

    unknown = Diagnostics()
    known = [part.name for part in told.score.parts]
    profiles = profiles_of(told.program.profiles, Diagnostics())
    for name in arguments.part:
        if name not in known:
            report_unknown_part(name, known, unknown)
    if arguments.by not in profiles:
        report_unknown_profile(arguments.by, profiles, unknown)
    if unknown.has_errors:
        bag.report_all(unknown.ordered())
        return say_found(bag)
    found = pages(told.score, arguments.part, profiles[arguments.by])
    say(pages_text(found, arguments.bars), in_sentences=True)
    messages = bag.ordered()
    if not MANNER.form.is_document:
        messages = tuple(found.untold(messages))  # what the pages say is not said again
    tell(messages, found=pages_json(found))
    return int(bag.has_errors)
