"""`cavata recast`: a part given to another instrument, as rows to paste or written into the script."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from cavata.cli.arguments import add_form_to, add_library_to, find_script
from cavata.cli.speaking import Progress, near, say, say_found
from cavata.diagnostics import Diagnostics


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "recast",
        help="give a part to another instrument, each item in its best octave",
        description=(
            "Tell which items of a part leave the range or the good register of another instrument, and the octave in "
            "which each lies best: as near to where it is as can be, and so that the line keeps its contour. The rows "
            "are shown to be pasted; `--write` writes them into the script."
        ),
    )
    command.add_argument("piece", metavar="PIECE", help="a script, or a folder that holds one piece")
    command.add_argument("part", metavar="PART", help="the part, as the forces call it")
    command.add_argument("instrument", metavar="INSTRUMENT", help="as a script says it: `cello`, `\"bass clarinet\"`")
    command.add_argument("--write", action="store_true", help="write the rows into the script")
    add_library_to(command)
    add_form_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Show the rows, or write them; 1 if the piece does not compile, with its instrument or with the other one."""
    from cavata.cli.rewriting import write_edits
    from cavata.names.loader import load
    from cavata.revise.asked import force_of, instrument_words
    from cavata.revise.recast import recasting
    from cavata.revise.recast_shown import recast_json, recast_text

    bag = Diagnostics()
    path = find_script(arguments.piece, bag)
    loaded = None if path is None else load(path, str(path), bag, library=arguments.library)
    if path is None or loaded is None or bag.has_errors:
        return say_found(bag)
    force, words = force_of(arguments.part, loaded, bag), instrument_words(arguments.instrument, bag)
    if force is None or not words:
        return say_found(bag)
    progress = Progress(sys.stderr)
    progress.say("looking for octaves")
    found = recasting(loaded, path, arguments.library, force, words, bag)
    progress.done()
    if found is None:
        return say_found(bag)
    bag = Diagnostics()  # what is told of the piece as it would be stands in the table
    written: list[str] = []
    if arguments.write:
        paths = {key: path if key == loaded.main else near(Path(key)) for key in found.edits}
        written = write_edits(
            {paths[key]: (loaded.modules[key].source.text, edits) for key, edits in found.edits.items()}, bag
        )
    else:
        say(recast_text(found, loaded))
    return say_found(bag, written, recast_json(found, loaded))
