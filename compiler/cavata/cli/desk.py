"""`cavata desk`: the page and the sound beside the script, while it is written."""

from __future__ import annotations

import argparse
import sys
import webbrowser
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

from cavata.cli.arguments import add_library_to, find_script, number
from cavata.cli.speaking import Progress, complain, complain_of_missing, report_without_movement, say, tell
from cavata.desk.safety import EDITORS
from cavata.diagnostics import Diagnostics

if TYPE_CHECKING:
    from cavata.desk.desk import Desk
    from cavata.desk.server import Server

SWITCHED = 0.001
"""Seconds after which a thread lets others go on: what is computed must not hold up long what is answered."""
LISTENING = 0.5
"""Seconds after which it is looked whether we are to end: only this thread can act on it, and another may be told."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "desk",
        help="see and hear a piece in a browser while you write it",
        description=(
            "Serve a page of the piece to this machine only, and open it in the browser: names, map, score, sound. On "
            "saving the script, the page follows; while something is wrong, the last good page stays, and tells where "
            "the mistakes are. Ends by Ctrl-C. Needs the extra `desk`."
        ),
    )
    command.add_argument("piece", metavar="PIECE", help="a script, or a folder that holds one piece")
    command.add_argument("--no-open", action="store_true", help="print the address, and open no browser")
    command.add_argument(
        "--port", metavar="N", type=number(0, 65535), default=0, help="the port to serve at (default: a free one)"
    )
    command.add_argument(
        "--editor", choices=tuple(EDITORS), default="",
        help="have notes open their row in this editor, by an address that it knows",
    )  # fmt: skip
    command.add_argument(
        "--to", metavar="FOLDER", type=Path,
        help="write the page into a folder that opens by a double click, with its sound, instead of serving it",
    )  # fmt: skip
    add_library_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve until interrupted; 1 if there is no script, the extra is missing or the port cannot be had."""
    bag = Diagnostics()
    script = find_script(arguments.piece, bag)
    if script is not None and not script.is_file():
        from cavata.names.loader import load

        load(script, str(script), bag, library=arguments.library)
    if script is None or bag.has_errors:
        tell(bag.ordered())
        return 1
    from cavata.desk.lock import found

    addresses = found(script) if arguments.to is None else None
    if addresses is not None:
        _open(*addresses, arguments)
        return 0
    from cavata.desk.desk import Desk

    desk = Desk(script, script.name, arguments.library)
    try:
        from cavata.desk.server import Server
    except ModuleNotFoundError as missing:
        complain_of_missing("O951", "there is no desk here", missing, "desk", "starlette")
        return 1
    if arguments.to is not None:
        return _written(desk, arguments)
    desk.link = arguments.editor
    try:
        server = Server(desk, arguments.port)
    except OSError as error:
        complain(
            "O952", f"port {arguments.port} cannot be had: {error.strerror or error}",
            "choose another by `--port`, or none, for a free one",
        )  # fmt: skip
        return 1
    return _served(server, script, arguments)


def _written(desk: Desk, arguments: argparse.Namespace) -> int:
    """Write the page as a folder; 1 if the piece has mistakes, or it cannot be written."""
    from cavata.cli.telling import write_all
    from cavata.desk.folder import folder_files

    state, bag = desk.state, Diagnostics()
    for message in state.messages:
        bag.report(message)
    paths: list[str] = []
    if state.is_good:
        progress = Progress(sys.stderr)
        try:
            files = folder_files(desk, state, progress.say)
        finally:
            progress.done()
        paths = write_all({arguments.to / name: body for name, body in files.items()}, bag)
    elif not bag.has_errors:
        report_without_movement(bag)
    tell(bag.ordered(), paths)
    return int(bag.has_errors)


def _served(server: Server, script: Path, arguments: argparse.Namespace) -> int:
    from cavata.desk.lock import Door
    from cavata.desk.watching import Watch

    sys.setswitchinterval(SWITCHED)
    watch = Watch(server.desk)
    door = Door(lambda path: server.guard.addresses() if path == server.desk.path else None)
    server.start()
    try:
        door.open()
        watch.start()
        _open(*server.guard.addresses(), arguments)
        while not Event().wait(LISTENING):
            pass
    except KeyboardInterrupt:
        return 0
    finally:
        door.close()
        watch.stop()
        server.stop()
    return 0


def _open(stays: str, once: str, arguments: argparse.Namespace) -> None:
    """Print the address that stays; open that which works once, since others may read how a browser is started."""
    say(f"{stays}\n")
    if not arguments.no_open:
        webbrowser.open(once)
