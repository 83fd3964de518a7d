"""`cavata study`: what names offer, before there is a script."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from cavata.cli.arguments import find_script
from cavata.cli.sheet import add_sheet_to, write_sheet
from cavata.cli.speaking import Progress, say, say_found
from cavata.diagnostics import Diagnostics


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "study",
        help="show what names become under every cipher",
        description=(
            "Read names by every cipher of the library and show of each reading its notes, intervals, range, set "
            "class, chord, best keys and modes, its retrograde and inversion, what the names share, and the row of "
            "script to paste. Readings are ranked by fewest silent letters, most different notes, fewest repeated "
            "notes, most letters on notes of their own names, clearest key. Keys are Krumhansl-Kessler correlations; "
            "a name has few notes, so read them as a hint."
        ),
    )
    command.add_argument("names", metavar="NAME", nargs="+", help='a name in letters, as "TAMSIN"')
    command.add_argument("--from", dest="own", metavar="FILE", help="also by the ciphers that this script defines")
    command.add_argument("--by", metavar="CIPHERS", help="only by these ciphers; commas between")
    add_sheet_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Study; 1 if a name cannot be read at all, or something cannot be had or made."""
    from cavata.study.library_ciphers import offered_ciphers
    from cavata.study.shown import study_json, study_script, study_text
    from cavata.study.study import study_names

    bag = Diagnostics()
    progress = Progress(sys.stderr)
    progress.say("reading the names")
    _check_names(arguments.names, bag)
    own = find_script(arguments.own, bag) if arguments.own else None
    ciphers = offered_ciphers(own, arguments.by, bag)
    if bag.has_errors:
        return say_found(bag)
    found = study_names(arguments.names, ciphers)
    for one in found.names:
        if not one.readings:
            bag.error(
                "O310", None, f"no cipher gives `{one.name}` a note",
                label=one.unread[0].why if len(one.unread) == 1 else "",
                cure="write the name out in letters that a cipher knows, or give it a cipher of your own with `--from`",
            )
    say(study_text(found))
    paths: list[str] = []
    if arguments.sheet is not None and any(one.readings for one in found.names):
        folder = own.parent if own is not None else Path()
        paths = write_sheet(study_script(found), arguments.sheet, folder, bag, progress)
    progress.done()
    return say_found(bag, paths, study_json(found))


def _check_names(names: Sequence[str], bag: Diagnostics) -> None:
    from cavata.study.study import LONGEST_NAME, MOST_NAMES

    for name in names:
        if not name.isprintable():
            bag.error(
                "O345", None, f"the name `{name}` holds a sign that cannot be printed",
                cure="write the name in letters; a line end or a control sign belongs to no name",
            )
        if len(name) > LONGEST_NAME:
            bag.error(
                "O312", None, f"the name `{name[:20]}...` has {len(name)} letters",
                cure=f"names have {LONGEST_NAME} letters at most; give first name and surname apart",
            )
    if len(names) > MOST_NAMES:
        bag.error("O312", None, f"{len(names)} names are too many at once", cure=f"give {MOST_NAMES} at most")
