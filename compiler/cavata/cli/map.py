"""`cavata map`: one picture of the whole piece."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from urllib.parse import quote

from cavata.cli.arguments import MESSAGES_AND_PATHS, add_form_to, formats
from cavata.cli.reports import file_of
from cavata.cli.speaking import Progress, tell
from cavata.cli.telling import ToldPiece, add_piece_to, piece_of, write_all
from cavata.diagnostics import Diagnostics
from cavata.source import Span

FORMATS = ("svg", "png")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "map",
        help="draw one picture of the whole piece",
        description=(
            "Draw the whole piece: time goes across, parts stand one below another, and each name has a color and a "
            "row of its own; shape and hatching tell the form in which it sounds. Movements and sections are marked, "
            "and above stands how dense the notes are. With `--links` each mark of the SVG leads to its line of the "
            "script. The file is called after the script: lantern-map.svg."
        ),
    )
    add_piece_to(command)
    command.add_argument(
        "--to", metavar="FORMATS", default="svg", type=formats(FORMATS),
        help="what to write, of svg, png; commas between (default: svg)",
    )
    command.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the script)")
    command.add_argument(
        "--links", action="store_true",
        help="for yourself: each mark of the SVG leads to its line of the script, in your own folders",
    )  # fmt: skip
    add_form_to(command, MESSAGES_AND_PATHS)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Draw; 1 if the piece is not there, does not compile, or the picture cannot be written."""
    progress = Progress(sys.stderr)
    told, bag = piece_of(arguments, progress)
    paths: list[str] = []
    if told is not None:
        folder = arguments.out or told.path.parent
        progress.say("drawing the map")
        files = drawn(told, folder, arguments.to, bag, arguments.links)
        progress.done()
        paths = write_all(files, bag) if not bag.has_errors else []
    tell(bag.ordered(), paths)
    return int(bag.has_errors)


def drawn(
    told: ToldPiece, folder: Path, formats: tuple[str, ...], bag: Diagnostics, links: bool = False
) -> dict[Path, bytes]:
    """The files of the map, before any is written; with links into the folders of the script only if asked for."""
    from cavata.lilypond.engrave import text_fonts
    from cavata.tell.language import language
    from cavata.tell.map.drawing import png_bytes
    from cavata.tell.map.map import map_of
    from cavata.tell.map.svg import map_svg

    link = (lambda span: _link(span, told.path, folder)) if links else None
    picture = map_svg(map_of(told.program, told.plan, told.score), link, language("en"))
    files: dict[Path, bytes] = {}
    if "svg" in formats:
        files[folder / f"{told.stem}-map.svg"] = picture.encode("utf-8")
    if "png" in formats:
        png = png_bytes(picture, text_fonts())
        if png is None:
            bag.error(
                "O404", None, "a PNG needs the library that draws it", label="`resvg-py` is not installed",
                cure='install it with `pip install resvg-py`, or take the SVG with `--to svg`',
            )
        else:
            files[folder / f"{told.stem}-map.png"] = png
    return files


def _link(span: Span, script: Path, folder: Path) -> str:
    """The line of the script or of what it uses, as seen from where the picture lies; empty where no file is known."""
    file = file_of(span, script)
    if file is None:
        return ""
    try:
        path = os.path.relpath(file, folder)
    except ValueError:  # on another drive
        path = os.path.abspath(file)
    return f"{quote(os.fsencode(Path(path).as_posix()))}#L{span.line}"
