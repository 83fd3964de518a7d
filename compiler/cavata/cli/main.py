"""`cavata COMMAND ...`: reading the command line, and the one place that meets the unexpected.

Exit status: 0 fine, 1 something is wrong in the script or the output could not be made, 2 wrong
usage, 70 a fault in Cavata itself, 130 interrupted.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from typing import NoReturn

from cavata import EDITION, __version__
from cavata.cli import build, check, new, show, why

WRONG_USAGE, INTERNAL, INTERRUPTED = 2, 70, 130

_DESCRIPTION = """\
Cavata compiles scripts in which names become music.

A script names people, gives their letters notes by a cipher, makes motifs of the names and lays
them out over movements. `cavata build` turns it into a score (PDF), a file for notation software
(MusicXML) and one to listen to (MIDI).

A day's work:
    cavata new lantern              begin a piece in lantern/lantern.cavata
    cavata check lantern            read it and say what is wrong, in a fraction of a second
    cavata build lantern            write lantern.pdf, lantern.mid and one MusicXML file a movement
    cavata why V203                 explain a message, with a script that goes wrong and its cure
"""
_EPILOG = """\
exit status:
    0   fine
    1   something is wrong in the script, or the output could not be made; earlier output is untouched
    2   the command was not understood
    70  a fault in Cavata itself; please report it
    130 interrupted; nothing half-written is left

environment:
    CAVATA_CACHE      folder for the built grammar (else the user's cache folder)
    CAVATA_LILYPOND   the LilyPond program to engrave with (else the installed package's, else the system's)
"""


class _Parser(argparse.ArgumentParser):
    """Usage mistakes in the same form as every other message."""

    def error(self, message: str) -> NoReturn:
        text = message[0].lower() + message[1:]
        if "--json" in sys.argv[1:]:
            print(json.dumps({"messages": [{"code": "O100", "severity": "error", "message": text}], "written": []}))
        else:
            self.print_usage(sys.stderr)
            print(f"cavata  O100  {text}\n    to mend: `cavata --help` shows every command", file=sys.stderr)
        raise SystemExit(WRONG_USAGE)


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    top = _Parser(
        prog="cavata", description=_DESCRIPTION, epilog=_EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    top.add_argument("--version", action="version", version=f"cavata {__version__}, language edition {EDITION}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Parser)
    for module in (check, build, show, why, new):
        module.add_to(commands)
    return top


def main(argv: list[str] | None = None) -> int:
    """Run one command; the return value is the exit status."""
    try:
        arguments = parser().parse_args(argv)
        status: int = arguments.run(arguments)
        sys.stdout.flush()
        return status
    except KeyboardInterrupt:
        print("\ncavata  O101  interrupted; nothing half-written is left", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read our output has gone; the rest has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        return _internal(error)


def _internal(error: Exception) -> int:
    """An unexpected fault: said plainly, with what a report needs."""
    if os.environ.get("CAVATA_TRACE"):
        raise error
    place = error.__traceback__
    while place is not None and place.tb_next is not None:
        place = place.tb_next
    where = "" if place is None else f"{os.path.basename(place.tb_frame.f_code.co_filename)}:{place.tb_lineno}"
    text = f"a fault in cavata {__version__}: {type(error).__name__} at {where}: {error}"
    if "--json" in sys.argv[1:]:
        print(json.dumps({"messages": [{"code": "X001", "severity": "error", "message": text}], "written": []}))
    else:
        print(
            f"cavata  X001  {text}\n    to mend: please report it with your script; CAVATA_TRACE=1 shows more",
            file=sys.stderr,
        )
    return INTERNAL


if __name__ == "__main__":
    raise SystemExit(main())
