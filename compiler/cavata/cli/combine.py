"""`cavata combine`: where motifs go together, by rules of counterpoint."""

from __future__ import annotations

import argparse
import re
import sys
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from cavata.cli.arguments import add_library_to, find_script, motif_name, number
from cavata.cli.help import LaidOut
from cavata.cli.sheet import add_sheet_to, write_sheet
from cavata.cli.speaking import Progress, say, say_found
from cavata.diagnostics import Diagnostics, closest

if TYPE_CHECKING:
    from cavata.combine.combining import Combining
    from cavata.score.score import Part

RULES = {
    "strict": "the five species and free imitation after Fux: leaps, perfect intervals, dissonances, beginning and end",
    "free": "no parallel fifths or octaves; dissonance only off the strong beat, or suspended",
    "octave": "strict, and in invertible counterpoint at the octave too",
    "tenth": "the same at the tenth",
    "twelfth": "the same at the twelfth",
    "canon": "free; one motif with itself, entering later",
    "stretto": "free; one motif with itself in prime form, entering before it ends",
    "quodlibet": "free; two tunes as they stand, transposed by octaves only",
}
JUDGED = ("strict", "octave", "tenth", "twelfth")
"""Those by which the judge of strict counterpoint goes."""
SPECIES = {"1": 1, "2": 2, "3": 3, "4": 4, "5": 5, "imitation": 0}
_DESCRIPTION = """\
Combine two motifs of a piece in every way within limits, or one with itself: at each delay and transposition, in
inversion, retrograde, augmentation and diminution. Each placement is judged by rules, every fault is named with its
bar and beat, and the best come with the line of script that makes them: those with the fewest faults, in which the
lines sound together longest and move at different moments, each unlike the others in two of form, delay and interval.
Of three motifs the best placements of B and of C over A are tried together, and every two voices are judged.
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    rules = "".join(f"    {word:<11}{does}\n" for word, does in RULES.items())
    command = commands.add_parser(
        "combine",
        help="find where motifs fit together",
        description=_DESCRIPTION,
        epilog=f"rules:\n{rules}\nexample:\n    cavata combine lantern hail reply --rules free --delay 2/1\n",
        formatter_class=LaidOut,
    )
    command.add_argument("piece", metavar="PIECE", help="a script, or the folder it is in")
    command.add_argument("leader", metavar="A", help="the motif that begins")
    command.add_argument("follower", metavar="B", nargs="?", help="the one that is placed (else A with itself)")
    command.add_argument("third", metavar="C", nargs="?", help="a third one, placed too")
    command.add_argument("--rules", choices=tuple(RULES), help="by which rules (free; of one motif canon)")
    command.add_argument(
        "--delay", metavar="DURATION", type=_duration, default=Fraction(2), help="enter after so long at most (2/1)"
    )
    command.add_argument(
        "--grid", metavar="DURATION", type=_duration, default=Fraction(1, 4), help="delays are multiples of it (1/4)"
    )
    command.add_argument(
        "--reach", metavar="SEMITONES", type=number(0, 36), default=24,
        help="transpose by so many semitones at most (0 to 36; 24)",
    )
    command.add_argument(
        "--in", dest="mode", metavar="MODE",
        help='transpose and invert by degrees of a mode: "D minor", or one of the piece',
    )
    command.add_argument("--bar", metavar="DURATION", type=_duration, default=Fraction(1), help="length of a bar (1/1)")
    command.add_argument(
        "--strong", metavar="DURATION", type=_duration, default=Fraction(1, 2),
        help="from one strong beat to the next, from A's beginning (1/2)",
    )  # fmt: skip
    command.add_argument("--plain", action="store_true", help="only B in prime form and at its own speed")
    command.add_argument(
        "--top", metavar="N", type=number(1, 500), help="show N placements (1 to 500; 5, with `--all` 60)"
    )
    command.add_argument("--all", action="store_true", help="also placements that are like one before them")
    command.add_argument(
        "--species", choices=tuple(SPECIES), help="strict: judge by this species (else what the note values show)"
    )
    command.add_argument(
        "--avoid", metavar="RULE", type=_rule, action="append", default=[],
        help="strict: count this license as a fault, as `voices cross`; may be given again",
    )
    command.add_argument(
        "--allow", metavar="RULE", type=_rule, action="append", default=[],
        help="strict: do not hold this rule, or allow this figure, as `double neighbor`; may be given again",
    )
    command.add_argument(
        "--for", dest="players", metavar="PART", action="append", default=[],
        help="the part that is to play B, and again for C: tell what it cannot play",
    )  # fmt: skip
    command.add_argument("--motif", metavar="WORD", type=motif_name, help="what pasted motifs are called (pair)")
    add_library_to(command)
    add_sheet_to(command)
    command.set_defaults(run=run, misused=command.error)


def _duration(text: str) -> Fraction:
    match = re.fullmatch(r"(\d{1,4})(?:/(\d{1,4}))?", text)
    if match is None or not int(match[1]) or not int(match[2] or 1):
        raise argparse.ArgumentTypeError(f"`{text}` is no duration, as 1/4")
    return Fraction(int(match[1]), int(match[2] or 1))


def _rule(text: str) -> str:
    """The name of a rule of strict counterpoint, with whatever capitals."""
    from cavata.combine.strict.table import NAMES

    known = {name.casefold(): name for name in NAMES}
    if text.casefold() not in known:
        guess = closest(text.casefold(), known, 1)
        advice = f"did you mean `{known[guess[0]]}`?" if guess else f"rules are {', '.join(NAMES)}"
        raise argparse.ArgumentTypeError(f"there is no rule `{text}`; {advice}")
    return known[text.casefold()]


def _players(
    arguments: argparse.Namespace, combining: Combining, bag: Diagnostics
) -> list[tuple[Part, str]]:
    """The parts that are to play what is placed, with the words of their instruments; what is wrong is reported."""
    from cavata.revise.asked import force_of, report_unpitched

    loaded, score = combining.compiled.loaded, combining.compiled.score
    found: list[tuple[Part, str]] = []
    if loaded is None or score is None:
        return found
    for name in arguments.players:
        force = force_of(name, loaded, bag)
        part = next((part for part in score.parts if part.name == name), None)
        if part is not None and part.instrument.unpitched:
            report_unpitched(part.name, "a part", bag)
        elif force is not None and part is not None:
            found.append((part, force.instrument.text))
    return found


def run(arguments: argparse.Namespace) -> int:
    """Combine; 1 if the piece or a motif is wrong, or there is nothing to be found."""
    bag = Diagnostics()
    progress = Progress(sys.stderr)
    script = find_script(arguments.piece, bag)
    if script is None:
        return say_found(bag)
    from cavata.combine.combining import AskedPair, Combining
    from cavata.combine.shown import combine_json, combine_script, combine_text
    from cavata.combine.three import Trio, trio_json, trio_script, trio_text
    from cavata.pipeline import compile_script

    follower, word = arguments.follower or arguments.leader, arguments.motif or ""
    alone = follower == arguments.leader and arguments.third is None
    judged = bool(arguments.species or arguments.avoid or arguments.allow)
    rules = arguments.rules or ("strict" if judged else "canon" if alone else "free")
    if judged and rules not in JUDGED:
        arguments.misused(f"`--species`, `--avoid` and `--allow` go with the rules {', '.join(JUDGED)}, not `{rules}`")
    if len(arguments.players) > (2 if arguments.third else 1):
        arguments.misused("`--for` names the part of B, and of C where there is one")
    most = arguments.top or (60 if arguments.all else 5)
    asked = AskedPair(
        arguments.leader, follower, rules, arguments.delay, arguments.grid, arguments.reach, arguments.bar,
        arguments.strong, arguments.plain, most, arguments.mode, arguments.third, arguments.all,
        SPECIES.get(arguments.species), tuple(arguments.avoid), tuple(arguments.allow),
    )  # fmt: skip
    try:
        compiled = compile_script(script, str(script), library=arguments.library)
        combining = Combining(compiled, bag, progress.say)
        players = _players(arguments, combining, bag)
        found = combining.run(asked)
    finally:
        progress.done()
    if found is None:
        return say_found(bag)
    told: tuple[tuple[str, ...], ...] = ()
    if players and combining.compiled.score is not None:
        from cavata.combine.players import not_played, played_text

        told = not_played(found, players, combining.compiled.score)
    text = trio_text(found, word) if isinstance(found, Trio) else combine_text(found, word)
    say(text + (played_text(told, [part for part, _ in players]) if told else ""))
    paths: list[str] = []
    if arguments.sheet is not None:
        drawn = trio_script(found) if isinstance(found, Trio) else combine_script(found)
        paths = write_sheet(drawn, arguments.sheet, Path(), bag, progress)
        progress.done()
    document = trio_json(found, word) if isinstance(found, Trio) else combine_json(found, word)
    for candidate, several in zip(document["candidates"], told, strict=False):
        candidate["not_played"] = list(several)
    return say_found(bag, paths, document)
