"""`cavata language-server`: for editors, which start it themselves."""

from __future__ import annotations

import argparse
import os
import sys

from cavata.cli.arguments import add_library_to
from cavata.cli.speaking import complain_of_missing


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "language-server",
        help="tell an editor what a script says, while it is written",
        description=(
            "Speak the Language Server Protocol on standard input and output. Editors start it themselves: messages "
            "with their cures while you type, what a word means, what may stand at a place, where a name is used. "
            "Needs the extra `editor`."
        ),
    )
    command.add_argument("--stdio", action="store_true", help="standard input and output, as without it")
    add_library_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve until the editor ends it; 1 where it did not ask for that before, or where the extra is missing."""
    try:
        from cavata.editor.server import server
    except ModuleNotFoundError as missing:
        complain_of_missing("O950", "there is no language server here", missing, "editor", "pygls")
        return 1
    from cavata.desk.beside import Beside

    scripts = server(arguments.library)
    # The server closes its output when it ends; and whatever else is printed must not stand among its messages.
    with os.fdopen(os.dup(sys.stdout.fileno()), "wb") as output:
        os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
        with Beside(scripts):
            scripts.start_io(stdout=output)
    return 0 if scripts.is_shut_down else 1
