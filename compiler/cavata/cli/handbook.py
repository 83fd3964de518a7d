"""`cavata handbook`: the whole documentation in a browser, without a network."""

from __future__ import annotations

import argparse
import shutil
import sys
import webbrowser
from functools import partial
from pathlib import Path

from cavata.cli.speaking import Progress, complain, complain_of_missing, report_unwritten, say, tell
from cavata.diagnostics import Diagnostics, did_you_mean

LONGEST = 180
"""Seconds of a piece that is rendered for the gallery. A choice of ours: a longer one would take minutes."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "handbook",
        help="open the whole documentation in a browser",
        description=(
            "Open the language, the library, the commands, the messages, the tutorial and the gallery as local pages, "
            "at a word or a message if one is named, or where a question is answered. Where the pages did not come "
            "with the installation they are made once, with the extra `handbook`."
        ),
    )
    command.add_argument(
        "words", metavar="WORD", nargs="*",
        help="a word of the language or of the library, a command, the code of a message, or a question",
    )  # fmt: skip
    command.add_argument("--to", metavar="FOLDER", type=Path, help="write the pages into this folder, which is new")
    command.add_argument("--sound", action="store_true", help="make the pages with the sound of the gallery's pieces")
    command.add_argument("--no-open", action="store_true", help="only print the address")
    command.add_argument("--fresh", action="store_true", help="make the pages anew")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Open; 1 where the pages cannot be made, 2 where they do not tell of the word."""
    from cavata.handbook.handbook import address_of, answers, known

    bag = Diagnostics()
    progress = Progress(sys.stderr)
    folder = _pages(arguments, progress, bag)
    progress.done()
    tell(bag.ordered())
    if folder is None:
        return 1
    asked = " ".join(arguments.words)
    told = address_of(folder, asked) if asked else "index.html"
    places = answers(asked) if told is None else (("", told),)
    guess = did_you_mean(asked, known(folder), 3) if told is None else ""
    if not places or (guess and all("/messages/" in page for _, page in places)):  # which have mistyped words in them
        complain("O981", f"the handbook has no entry `{asked}`", guess or "look into its index")
        return 2
    for title, page in places:
        say(f"{title}\n    {_address(folder, page)}\n" if title else f"{_address(folder, page)}\n")
    if not arguments.no_open:
        webbrowser.open(_address(folder, places[0][1]))
    return 0


def _address(folder: Path, page: str) -> str:
    path, _, place = page.partition("#")
    return (folder / path).resolve().as_uri() + (f"#{place}" if place else "")


def _pages(arguments: argparse.Namespace, progress: Progress, bag: Diagnostics) -> Path | None:
    """The folder of the pages; None where they cannot be had, which is reported."""
    from cavata.handbook.handbook import is_heard, made, shipped

    try:
        folder = None if arguments.fresh else shipped()
        if folder is None or (arguments.sound and not is_heard(folder)):
            folder = made(progress.say, partial(_sounds, progress, bag) if arguments.sound else None, arguments.fresh)
        if arguments.to is not None:
            shutil.copytree(folder, arguments.to)
            folder = arguments.to
    except ModuleNotFoundError as missing:
        complain_of_missing("O980", "the pages of the handbook cannot be made", missing, "handbook", "sphinx")
        return None
    except OSError as error:
        report_unwritten(arguments.to or Path("the cache folder"), error, bag)
        return None
    return folder


def _sounds(progress: Progress, bag: Diagnostics) -> dict[str, bytes]:
    """The pieces of the gallery as MP3 files."""
    from cavata.edition.copies import WantedCopies
    from cavata.handbook.handbook import scripts
    from cavata.pipeline import Build, build, compile_script
    from cavata.score.clock import length

    found: dict[str, bytes] = {}
    for name, path in scripts():
        progress.say(f"playing {name}")
        compiled = compile_script(path)
        if compiled.score is None or sum(map(length, compiled.score.movements)) > LONGEST:
            continue
        order = Build(("mp3",), WantedCopies(), path.stem)
        for content in build(compiled, order, bag, lambda _: None).values():
            found[name] = content if isinstance(content, bytes) else b"".join(content)
    return found
