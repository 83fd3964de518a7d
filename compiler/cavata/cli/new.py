"""`cavata new`: a starter piece that compiles."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from cavata.cli.speaking import RIGHTS_AND_ROOM, complain, tell
from cavata.names.loader import SUFFIX

_STARTER = """\
language 2

piece "{title}"
    subtitle   "for clarinet and piano"
    composer   "your name"
    dedication "for whom it is written"
    show letters                                -- the letters under their notes; take the row out for a fair copy

use french from ciphers                         -- a cipher of the library: each letter is a note

name ada = "ADA" by french                      -- A D A
name ben = "BEN" by french                      -- B E G

motif call   = ada -> from A4 -> in (1/4. 1/8 1/2)
motif answer = ben -> from B3 -> in (1/4 1/4 1/2)
motif both   = weave(ada, ben) -> from A4 -> in (1/8)
motif ground = ben -> as chord -> within G2..B3 held 1/1

forces
    clarinet = clarinet
    piano    = piano

movement first "First Sketch"
    meter 4/4
    tempo 1/4 at 72, "Calmly"

    section opening 8 bars
        clarinet:             call -> marked p, 1 bar rest, call -> up P4, 1 bar rest, both -> slurred
        piano.right at bar 2: answer -> up P8 -> marked p, 1 bar rest, answer -> up P8
        piano.left:           ground -> marked pp until end
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "new",
        help="begin a piece",
        description="Make a folder with a short piece in it that compiles, to be written on from there.",
    )
    command.add_argument("name", metavar="NAME", help="the folder to make, as lantern")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write the starter; nothing that exists is touched."""
    folder = Path(arguments.name)
    stem = folder.name
    is_file = stem.endswith(SUFFIX)
    if is_file or not re.fullmatch(r"[\w][\w .-]*", stem):
        cure = f"leave `{SUFFIX}` out: a folder is made" if is_file else "take letters, digits and hyphens"
        complain("O104", f"`{stem}` is no name for a piece", cure)
        return 2
    script = folder / f"{stem}{SUFFIX}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with script.open("x", encoding="utf-8", newline="\n") as file:
            file.write(_STARTER.format(title=stem.replace("-", " ").replace("_", " ").title()))
    except FileExistsError:
        complain("O105", f"`{script}` already exists", "choose another name")
        return 1
    except OSError as error:
        complain("O106", f"`{script}` cannot be written: {error.strerror}", RIGHTS_AND_ROOM)
        return 1
    tell([], [str(script)])
    return 0
