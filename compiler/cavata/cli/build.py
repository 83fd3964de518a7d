"""`cavata build`: from a script to score, MusicXML, MIDI and sound. Everything is made before anything is written."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

from cavata.cli.arguments import (
    MESSAGES_AND_PATHS,
    add_engraver_to,
    add_form_to,
    add_library_to,
    add_version_to,
    find_script,
    formats,
    number,
    stem_for,
)
from cavata.cli.speaking import MANNER, Progress, report_unwritten, tell
from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies
from cavata.files import Content, write_together
from cavata.lilypond.press import AT_ONCE
from cavata.names.paper import PAPERS, Paper, find_paper
from cavata.pipeline import FORMATS, SOUNDS, Build, Practice, build_file, may_write_files

USUAL = "pdf,musicxml,midi"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "build",
        help="compile a script to a score, MusicXML, MIDI and sound",
        description=(
            "Compile a script. The files are called after the script: lantern.pdf, lantern.mid, and "
            "lantern-MOVEMENT.musicxml for each movement, and where there are several lantern.musicxml for the whole; "
            "those of a version lantern-for-NAME.pdf and so on. "
            "They are written whole or not at all; "
            "what was there before stays as it is when anything goes wrong. Where nothing can draw pages, the other "
            "files are written. Their paths are printed, one to a line."
        ),
    )
    command.add_argument("script", metavar="FILE-OR-FOLDER", help="a script, or a folder that holds one piece")
    command.add_argument(
        "--to", metavar="FORMATS", default=USUAL, type=formats(FORMATS),
        help=f"what to write, of {', '.join(FORMATS)}; commas between (default: {USUAL})",
    )  # fmt: skip
    add_version_to(command)
    command.add_argument("--movement", metavar="ID", help="only this movement, by its name in the script")
    which = command.add_mutually_exclusive_group()
    which.add_argument(
        "--parts", action="store_true", help="besides the score a part for each player, as lantern-horn1.pdf"
    )
    which.add_argument(
        "--part", metavar="NAME", action="append", default=[],
        help="only the part of this name in the script, and no score; may be given several times",
    )  # fmt: skip
    which.add_argument("--short", action="store_true", help="only a short score on a few staves, FILE-short")
    which.add_argument(
        "--rehearsal", metavar="PARTS", action="append", default=[], type=_several,
        help="only a copy with this part above the rest reduced for two hands, FILE-rehearsal-PART; commas between "
        "soloists who stand there together",
    )  # fmt: skip
    command.add_argument(
        "--no-cues", dest="cues", action="store_false",
        help="parts without cues, the small notes of others before long-awaited entries",
    )  # fmt: skip
    _add_sound_to(command, which)
    command.add_argument("--out", metavar="FOLDER", help="where to write (default: beside the script)")
    command.add_argument(
        "--paper", metavar="SIZE", type=_paper,
        help=f"use this paper, whatever the script says: {', '.join(PAPERS)}, or `\"A3 landscape\"`",
    )  # fmt: skip
    pitch = command.add_mutually_exclusive_group()
    pitch.add_argument("--concert", dest="concert", action="store_true", default=None, help="the score as it sounds")
    pitch.add_argument("--transposed", dest="concert", action="store_false", help="as the players read it")
    command.add_argument(
        "--proof", action="store_true",
        help="a copy for proofreading, FILE-proof: letters, colors, every bar's number, lines of the script, and what "
        "players cannot do",
    )  # fmt: skip
    _add_work_to(command)
    add_library_to(command)
    add_form_to(command, MESSAGES_AND_PATHS)
    command.set_defaults(run=run, misused=command.error)


def _add_work_to(command: argparse.ArgumentParser) -> None:
    """The options that say how it is made, and how often."""
    command.add_argument(
        "--at-once", type=number(1, 64), metavar="N",
        help=f"engrave so many sheets side by side (default: {AT_ONCE}, else as many as there are processors)",
    )  # fmt: skip
    add_engraver_to(command)
    command.add_argument(
        "--watch", action="store_true", help="build again whenever a file of the piece is saved, until Control-C"
    )
    command.add_argument("--fresh", action="store_true", help="make everything again, whatever earlier builds kept")


def _add_sound_to(command: argparse.ArgumentParser, which: argparse._MutuallyExclusiveGroup) -> None:
    """The options that say what is heard."""
    command.add_argument(
        "--strict-time", action="store_true", help="MIDI and sound just as the score says, not as players perform it"
    )
    which.add_argument(
        "--practice", metavar="PART",
        help="only sound to practice with, FILE-practice-PART: this part in front, a bar counted in; mp3 if no "
        "other is asked for",
    )  # fmt: skip
    command.add_argument("--section", metavar="NAME", help="with --practice: only the first section of this name")
    command.add_argument(
        "--slower", metavar="FACTOR", type=_factor, default=Fraction(1),
        help="with --practice: every beat so many times as long, from 1 to 4, as 1.25 or 4/3",
    )  # fmt: skip


def _factor(text: str) -> Fraction:
    try:  # no exponents, which would be written out
        found = Fraction(text if re.fullmatch(r"[\d./]{1,12}", text) else "0")
    except (ValueError, ZeroDivisionError):
        found = Fraction(0)
    if not 1 <= found <= 4:
        raise argparse.ArgumentTypeError(f"`{text}` is no number from 1 to 4")
    return found


def _paper(words: str) -> Paper:
    found = find_paper(words)
    if found is None:
        raise argparse.ArgumentTypeError(f"there is no paper `{words}`; papers are {', '.join(PAPERS)}")
    return found


def _several(names: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name.strip() for name in names.split(",")))


def run(arguments: argparse.Namespace) -> int:
    """Build; 1 if anything is wrong or cannot be made."""
    if not arguments.practice and (arguments.section or arguments.slower != 1):
        arguments.misused("`--section` and `--slower` go with `--practice`")
    if not arguments.watch:
        return _build(arguments)
    if MANNER.form.is_document:
        arguments.misused(f"`--{MANNER.form.value}` gives one document, and `--watch` many builds")
    from cavata.cli.watch import watch

    bag = Diagnostics()
    path = find_script(arguments.script, bag)
    if path is None:
        tell(bag.ordered())
        return 1
    return watch(path, arguments.library, lambda: _build(arguments))


def _build(arguments: argparse.Namespace) -> int:
    """Build once."""
    bag = Diagnostics()
    path = find_script(arguments.script, bag)
    paths: list[str] = []
    if path is not None:
        progress = Progress(sys.stderr)
        progress.say("reading the script")
        order = _order(arguments, stem_for(path.stem, arguments.version))
        files, bag = build_file(
            path, str(path), order, progress.say, progress.shows, arguments.library, arguments.version
        )
        if may_write_files(bag):
            paths = _write(files, Path(arguments.out) if arguments.out else path.parent, bag)
        progress.done()
    tell(bag.ordered(), paths)
    return int(bag.has_errors)


def _order(arguments: argparse.Namespace, stem: str) -> Build:
    """What the options ask for."""
    whole = not (arguments.part or arguments.short or arguments.rehearsal)
    parts = None if arguments.parts else tuple(arguments.part)
    practice = None
    wanted = arguments.to
    if arguments.practice:
        practice = Practice(arguments.practice, arguments.section or "", arguments.slower)
        heard = tuple(form for form in wanted if form in SOUNDS or form == "midi")
        wanted = heard if heard and wanted != tuple(USUAL.split(",")) else ("mp3",)
    return Build(
        formats=wanted,
        practice=practice,
        copies=WantedCopies(whole, parts, arguments.cues, arguments.short, tuple(arguments.rehearsal)),
        stem=stem,
        movement=arguments.movement,
        paper=arguments.paper,
        concert=arguments.concert,
        proof=arguments.proof,
        at_once=arguments.at_once,
        fresh=arguments.fresh,
        strict_time=arguments.strict_time,
        engraver=arguments.engraver,
    )


def _write(files: Mapping[str, Content], folder: Path, bag: Diagnostics) -> list[str]:
    """Write all files, each whole; returns their paths."""
    paths: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_together({folder / name: data for name, data in files.items()})
        paths = [str(folder / name) for name in files]
    except OSError as error:
        report_unwritten(folder, error, bag)
    return paths
