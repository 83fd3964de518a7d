"""`cavata explore`: the readings of a name that are at the composer's discretion, and the best of them."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

from cavata.cli.arguments import add_library_to, find_script, motif_name, number
from cavata.cli.help import LaidOut
from cavata.cli.sheet import add_sheet_to, write_sheet
from cavata.cli.speaking import Progress, say, say_found
from cavata.diagnostics import Diagnostics
from cavata.explore.criteria import CRITERIA_TEXTS, FORMS

_DESCRIPTION = """\
Make every reading of a name that the composer is free to choose: notes inflected, a cipher's choices taken, octaves
changed. Readings that another one beats in every criterion are left out; the rest are ranked by your preferences, each
with the line of script that makes it.
"""


def _epilog() -> str:
    criteria = "".join(
        f"    {name:<17} {says}; {'less' if less else 'more'} is better\n"
        for name, (less, says) in CRITERIA_TEXTS.items()
    )
    forms = "".join(f"    {form:<21} {does}\n" for form, does in FORMS)
    return (
        f"criteria (what --prefer may name; the first three always count, `key` where there is no --mode,\n"
        f"`variety` with several names, the others with their options or if preferred):\n{criteria}\n"
        f"requirements (what --require may say; commas between):\n{forms}\n"
        'example:\n    cavata explore lantern tamsin --mode "D minor" --prefer "singable 3, few-inflections 1"\n'
    )


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "explore",
        help="find the best readings of a name",
        description=_DESCRIPTION,
        epilog=_epilog(),
        formatter_class=LaidOut,
    )
    command.add_argument("piece", metavar="PIECE", help="a script, or the folder it is in")
    command.add_argument("names", metavar="NAME", nargs="+", help="a name of the piece, as `tamsin`")
    command.add_argument(
        "--inflections", metavar="N", type=number(0, 6), default=2, help="inflect up to N notes (0 to 6; 2)"
    )
    command.add_argument(
        "--octaves", metavar="LOW..HIGH", type=_octaves, default=(3, 5), help="keep every note in these octaves (3..5)"
    )
    command.add_argument(
        "--octave-leaps", metavar="N", type=number(0, 6), default=1,
        help="let the line leap an octave more at up to N places (0 to 6; 1)",
    )
    command.add_argument("--mode", metavar="MODE", help='fit to a mode, as "D minor", or one of the piece')
    command.add_argument("--for", dest="instrument", metavar="INSTRUMENT", help="fit to an instrument's range")
    command.add_argument("--sonority", choices=("consonant", "dissonant"), help="what all notes together should be")
    command.add_argument("--near", metavar="NAME", help="be close to another theme of the piece")
    command.add_argument("--opening", metavar="NAME", help="begin with the same leap as another name or motif")
    command.add_argument("--require", metavar="TEXT", action="append", default=[], help="what every reading must do")
    command.add_argument(
        "--prefer", metavar="TEXT", help='weights, as "singable 3, few-inflections 1" (else all weigh the same)'
    )
    command.add_argument(
        "--top", metavar="N", type=number(1, 60), default=10,
        help="show N candidates a name (1 to 60; 10)",
    )
    command.add_argument("--motif", metavar="WORD", type=motif_name, help="what pasted motifs are called")
    add_library_to(command)
    add_sheet_to(command)
    command.set_defaults(run=run)


def _octaves(text: str) -> tuple[int, int]:
    match = re.fullmatch(r"([0-9])(?:\.\.([0-9]))?", text)
    if match is None or int(match[2] or match[1]) < int(match[1]):
        raise argparse.ArgumentTypeError(f"`{text}` is no range of octaves, as 3..5, within 0..9")
    return int(match[1]), int(match[2] or match[1])


def run(arguments: argparse.Namespace) -> int:
    """Explore; 1 if the piece, a name or a wish is wrong, or nothing meets what is required."""
    bag = Diagnostics()
    progress = Progress(sys.stderr)
    script = find_script(arguments.piece, bag)
    if script is None:
        return say_found(bag)
    from cavata.explore.exploring import Asked, Exploring
    from cavata.explore.shown import explore_json, explore_script, explore_text
    from cavata.explore.space import SearchLimits
    from cavata.explore.twelve import all_twelve
    from cavata.pipeline import compile_script

    motif = arguments.motif or ""
    limits = SearchLimits(arguments.inflections, arguments.octaves[0], arguments.octaves[1], arguments.octave_leaps)
    asked = Asked(
        tuple(arguments.names), limits, arguments.mode, arguments.instrument, arguments.sonority, arguments.near,
        arguments.opening, tuple(arguments.require), arguments.prefer,
    )  # fmt: skip
    try:
        compiled = compile_script(script, str(script), library=arguments.library)
        found = Exploring(compiled, bag, progress.say).run(asked)
    finally:
        progress.done()
    if not found:
        return say_found(bag)
    twelve = all_twelve(found) if len(found) > 1 else None
    say(explore_text(found, arguments.top, motif, twelve))
    paths: list[str] = []
    if arguments.sheet is not None:
        paths = write_sheet(explore_script(found, arguments.top), arguments.sheet, Path(), bag, progress)
        progress.done()
    return say_found(bag, paths, explore_json(found, arguments.top, motif, twelve))
