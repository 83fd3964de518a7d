"""`cavata trace`: where names sound, in any score and in a whole corpus."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from cavata.cli.arguments import find_script, number
from cavata.cli.sheet import add_sheet_to, write_sheet
from cavata.cli.speaking import Progress, say, say_found
from cavata.diagnostics import Diagnostics


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "trace",
        help="find names in scores",
        description=(
            "Find names in scores: MusicXML, MIDI, ABC, kern, or a piece of Cavata's own. A name is tried by every "
            "cipher of the library under which all its letters sound; --by chooses. Everything goes by sound, whatever "
            "the spelling. In a foreign score a name is ranked among 999 made by chance, of as many letters and by the "
            "same ciphers, in the same score: significant, inconclusive, or as expected, corrected over the names of "
            "the run. No statistic knows an intention. In a piece of Cavata's own a name of the script is told from "
            "what every note remembers. A folder of scores is read once into the cache and then searched as a whole."
        ),
    )
    command.add_argument(
        "what", metavar="NAME|SCORE", nargs="*", help="names in letters, and files or folders to look in"
    )
    command.add_argument(
        "--notes", metavar="NOTES", action="append", default=[], help='notes instead of a name, as "Bb A C B"'
    )
    command.add_argument("--by", metavar="CIPHERS", help="read names by these ciphers; commas between")
    command.add_argument("--from", dest="own", metavar="FILE", help="a script whose ciphers may be used too")
    command.add_argument(
        "--between", metavar="N", type=number(0, 8), default=0, help="let up to N notes stand between two (0 to 8)"
    )
    command.add_argument("--strict", action="store_true", help="a rest ends a line")
    command.add_argument("--by-ear", action="store_true", help="search a piece of Cavata's own as if it were foreign")
    command.add_argument("--corpus", action="store_true", help="search all scores that come with music21")
    command.add_argument(
        "--index", metavar="FOLDER", type=Path,
        help="keep what is read of folders of scores here, in Parquet, for libraries larger than a machine",
    )  # fmt: skip
    command.add_argument(
        "--cluster", metavar="WHERE",
        help="with --index: read and search by so many workers on this machine, or by those of the Dask scheduler at "
        "this address",
    )  # fmt: skip
    command.add_argument("--all", action="store_true", help="show also what chance explains, by every cipher")
    add_sheet_to(command)
    command.set_defaults(run=run, gathers="what", misused=command.error)


def run(arguments: argparse.Namespace) -> int:
    """Trace; 1 if something cannot be read or made."""
    from cavata.trace.tracing import Tracing, names_and_files

    if arguments.cluster and arguments.index is None:
        arguments.misused("`--cluster` goes with `--index`")
    if not arguments.what and not arguments.notes:
        arguments.misused("there is nothing to look for: name it, and where to look")
    bag = Diagnostics()
    progress = Progress(sys.stderr)
    names, places = names_and_files(arguments.what)
    tracing = Tracing(bag, progress.say)
    own = find_script(arguments.own, bag) if arguments.own else None
    tracing.take(names, arguments.notes, arguments.by, own)
    if not places and not arguments.corpus:
        taken = f"nothing here is called `{names[-1]}`, which was taken for a name" if len(names) > 1 else ""
        cure = "name a file or a folder, or say `--corpus`"
        bag.error("O323", None, "there is no score to look in", label=taken, cure=cure)
    text = ""
    if not bag.has_errors:
        text = tracing.run(
            places, arguments.corpus, between=arguments.between, strict=arguments.strict, every=arguments.all,
            by_ear=arguments.by_ear, library=arguments.index and (arguments.index, arguments.cluster),
        )  # fmt: skip
    progress.done()
    if text:
        say(text)
    paths: list[str] = []
    script = tracing.sheet_script() if arguments.sheet is not None and not bag.has_errors else None
    if script is not None:
        paths = write_sheet(script, arguments.sheet, Path(), bag, progress)
        progress.done()
    elif arguments.sheet is not None and not bag.has_errors:
        bag.warning(
            "O324", None, "nothing was found, so there is no sheet",
            cure="look with `--between 1`, with `--all`, or by another cipher",
        )
    return say_found(bag, paths, tracing.document)
