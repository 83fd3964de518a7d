"""`cavata fit`: ways to bring a piece to a length, as rows to paste or written into the script."""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING

from cavata.cli.arguments import add_form_to, add_library_to, add_version_to, find_script, number
from cavata.cli.speaking import Progress, report_without_movement, say, say_found
from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.text import backticked

if TYPE_CHECKING:  # the help of a command compiles nothing
    from cavata.names.loader import Loaded
    from cavata.revise.fit import FoundWays


MOST_PERCENT = 80
"""How far a tempo may be allowed to change, in percent of it."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "fit",
        help="bring a piece or a movement to a length",
        description=(
            "Show a few ways to a length: tempi multiplied by one number, to whole metronome numbers; repeats played "
            "fewer times; fewer bars where music only goes round. Each way is said with its exact length, what it "
            "costs, and the rows to paste; `--write N` writes the rows of way N into the script. A tempo that says "
            "`fixed` stays."
        ),
    )
    command.add_argument("piece", metavar="PIECE", help="a script, or a folder that holds one piece")
    command.add_argument(
        "length", metavar="LENGTH", type=_lengths, help="as `5 min`, `4 min 30 s`, `4:30`, `4 min to 5 min`"
    )
    command.add_argument("--movement", metavar="ID", default="", help="only this movement, to this length")
    command.add_argument(
        "--tempi", metavar="PERCENT", type=number(0, MOST_PERCENT), default=15,
        help="how far a tempo may change, in percent of it (else 15); 0 leaves the tempi alone",
    )  # fmt: skip
    command.add_argument("--keep-repeats", action="store_true", help="play every repeat as often as now")
    command.add_argument("--keep-bars", action="store_true", help="leave every section its bars")
    command.add_argument(
        "--within", metavar="PERCENT", type=number(0, 50), default=5,
        help="how far from a single length the result may be, in percent of it (else 5)",
    )  # fmt: skip
    command.add_argument("--write", metavar="N", type=number(1, 99), help="write the rows of way N into the script")
    add_version_to(command)
    add_library_to(command)
    add_form_to(command)
    command.set_defaults(run=run)


def _lengths(text: str) -> tuple[Fraction, Fraction]:
    """One length, or two with `to` between; in seconds."""
    from cavata.revise.asked import lengths_of

    found = lengths_of(text)
    if found is None:
        raise argparse.ArgumentTypeError(f"`{text}` is no length: write `5 min`, `4 min 30 s` or `4 min to 5 min`")
    return found


def run(arguments: argparse.Namespace) -> int:
    """Show the ways, or write one; 1 if there is none, or the piece does not compile."""
    from cavata.names.loader import load
    from cavata.revise.fit import Aim, FitLimits, fitting
    from cavata.revise.fit_shown import asked, exact, fit_json, fit_text

    bag = Diagnostics()
    path = find_script(arguments.piece, bag)
    loaded = None if path is None else load(path, str(path), bag, library=arguments.library)
    least, most = arguments.length
    aim = Aim(least, most, arguments.movement)
    if path is None or loaded is None or bag.has_errors or not _is_there(aim.movement, loaded, bag):
        return say_found(bag)
    share = Fraction(arguments.tempi, 100)
    limits = FitLimits(share, not arguments.keep_repeats, not arguments.keep_bars, Fraction(arguments.within, 100))
    progress = Progress(sys.stderr)
    progress.say("looking for ways")
    found = fitting(loaded, arguments.version, aim, limits, bag)
    progress.done()
    if found is None:
        return say_found(bag)
    bag = Diagnostics()  # warnings of the piece are told by `check`
    title = found.now.score.header.title
    fits = aim.is_met(found.now.seconds, Fraction(0))
    if not found.ways and not fits:
        bag.error(
            "O891", None, f"no way within these limits makes it {asked(aim)}",
            label=f"it comes as near as {exact(found.nearest.seconds)}",
            cure=_wider(arguments, found.now.seconds, aim.nearest(found.now.seconds))
            if found.has_tempi else "give it a tempo that may change, as `tempo 1/4 at 60`",
        )  # fmt: skip
    written: list[str] = []
    if arguments.write is None:
        say(fit_text(found, aim, title, fits))
    elif not bag.has_errors:
        written = _written(path, loaded, found, arguments.write, bag)
    return say_found(bag, written, fit_json(found, aim, title, fits))


def _wider(arguments: argparse.Namespace, now: Fraction, wanted: Fraction) -> str:
    """The cure where no way leads to a length: what to allow, and how far the tempi alone would have to go."""
    kept = [f"`--{name}`" for name in ("keep-repeats", "keep-bars") if getattr(arguments, name.replace("-", "_"))]
    without = f"leave out {' and '.join(kept)}, or " if kept else ""
    percent = ceil(abs(now / wanted - 1) * 100)
    if percent > MOST_PERCENT:
        change = "add to the music" if wanted > now else "take some of the music out"
        return f"{without}{change}: it is too far for the tempi"
    return f"{without}allow more by `--tempi {max(percent, arguments.tempi + 1)}`, which is what the tempi alone need"


def _is_there(movement: str, loaded: Loaded, bag: Diagnostics) -> bool:
    """Whether the piece has movements, and the one that is asked for."""
    from cavata.syntax import tree as t

    main = loaded.modules[loaded.main]
    known = [each.name.text for each in main.declarations if isinstance(each, t.Movement)]
    if known and movement in ("", *known):
        return True
    if not known:
        report_without_movement(bag)
        return False
    bag.error(
        "O892", None, f"there is no movement `{movement}`",
        cure=did_you_mean(movement, known) or "movements are " + backticked(known),
    )  # fmt: skip
    return False


def _written(path: Path, loaded: Loaded, found: FoundWays, wanted: int, bag: Diagnostics) -> list[str]:
    """Write the rows of one way."""
    from cavata.cli.rewriting import write_edits
    from cavata.revise.fit_shown import edits_of

    if wanted > len(found.ways):
        count = len(found.ways)
        bag.error(
            "O893", None, f"there is no way {wanted}", label=f"{count} {'was' if count == 1 else 'were'} found",
            cure="run the command without `--write` to see them",
        )  # fmt: skip
        return []
    way = found.ways[wanted - 1]
    source = loaded.modules[loaded.main].source
    return write_edits({path: (source.text, edits_of(way.outcome.changes))}, bag)
