"""`cavata COMMAND ...`: reading the command line, and the one place that meets the unexpected.

Exit status: 0 fine, 1 something is wrong in the script or the output could not be made, 2 wrong
usage, 70 a fault in Cavata itself, 130 interrupted.
"""

from __future__ import annotations

import argparse
import gc
import os
import shlex
import sys
from collections.abc import Sequence
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import Any, NoReturn

from cavata import EDITION, __version__
from cavata.cli.help import LaidOut
from cavata.cli.pager import can_page
from cavata.cli.speaking import MANNER, MessageForm, Unheard, complain, heard, safely
from cavata.diagnostics import did_you_mean
from cavata.files import ended_politely

COMMANDS = (
    "check", "build", "format", "show", "why", "new", "study", "trace", "explore", "combine",
    "timings", "stats", "playing", "index", "map", "guide", "compare", "fit", "recast", "desk", "language-server",
    "handbook", "completion", "manpage",
)
"""In the order of the help; each is a module of its own in this room."""
FAILED, WRONG_USAGE, INTERNAL, INTERRUPTED = 1, 2, 70, 130
_NOTHING_TO_LEAVE_OUT = frozenset(["language-server", "why", "completion", "manpage"])
_READ = frozenset([
    "show", "why", "study", "trace", "explore", "combine", "timings", "stats", "playing", "index", "compare", "fit",
    "recast",
])  # fmt: skip
"""Commands whose output is read; it is shown page by page where it is longer than the screen."""
_NO_DOCSTRINGS = "Python was told to leave out docstrings, and a library that sets the page reads its own"

_DESCRIPTION = """\
Cavata compiles scripts in which names become music.

A script names people, gives their letters notes by a cipher, makes motifs of the names and lays
them out over movements. `cavata build` turns it into a score (PDF), a file for notation software
(MusicXML) and one to listen to (MIDI).

A day's work:
    cavata new lantern              begin a piece in lantern/lantern.cavata
    cavata check lantern            read it and say what is wrong, in a fraction of a second
    cavata build lantern            write lantern.pdf, lantern.mid and one MusicXML file a movement
    cavata format lantern           columns, indentation and long lines as they should be
    cavata why V203                 explain a message, with a script that goes wrong and its cure
    cavata timings lantern          tell how long it takes, section by section
    cavata guide lantern            write a page for the audience: lantern-guide.html and .pdf
    cavata map lantern              draw the whole piece as one picture: lantern-map.svg
    cavata index lantern            list every place where each name sounds
"""
_EPILOG = """\
exit status:
    0   fine
    1   something is wrong in the script, or the output could not be made; earlier output is untouched
    2   the command was not understood
    70  a fault in Cavata itself; please report it
    130 interrupted; nothing half-written is left

environment:
    CAVATA_AT_ONCE    how many sheets are engraved side by side (else as many as there are processors)
    CAVATA_CACHE      folder for what is kept from run to run (else the user's cache folder)
    CAVATA_LIBRARY    your folder of modules, where no `--library` is given
    CAVATA_LILYPOND   the LilyPond program to engrave with (else the installed package's, else the system's)
    CAVATA_SOUNDFONT  a SoundFont to play with (else the one that comes with the extra `audio`)
    COLUMNS           how wide tables may be (else as the terminal is; into a file as wide as they are)
    NO_COLOR          if it is not empty, messages have no colors
    PAGER             what shows a text that is longer than the screen (else `less`; empty: nothing does)
"""


class _Misused(Exception):
    """The command line was not understood."""

    def __init__(self, text: str, usage: str, cure: str) -> None:
        super().__init__(text)
        self.usage = usage
        self.cure = cure


_EVERY_COMMAND = "`cavata --help` shows every command"
GATHERS = "gathers"
"""The default of a command by which it says which of its lists takes in words that stand after an option."""


class _Parser(argparse.ArgumentParser):
    """Usage mistakes in the same form as every other message; options are written out."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{**kwargs, "allow_abbrev": False})

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse does; but a list of words may go on after an option, which argparse has for one place only."""
        found, left = super().parse_known_args(args, namespace)
        words = self.get_default(GATHERS)
        if words and left and not any(word.startswith("-") for word in left):
            setattr(found, words, [*getattr(found, words), *left])
            left = []
        options = [option for option in left if option.startswith("-")]
        if left and not options and self.get_default("run"):
            raise _Misused(f"`{left[0]}` is one word too many", self.format_usage(), _in_quotes(args, left[0]))
        if options and self.get_default("run"):
            cure = did_you_mean(options[0], self._option_string_actions) or f"`{self.prog} --help` shows every option"
            raise _Misused(f"there is no option `{options[0]}`", self.format_usage(), cure)
        return found, left

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is not None and value not in action.choices:
            known = [str(each) for each in action.choices]
            guess = did_you_mean(str(value), known) or f"write one of {', '.join(known)}"
            name = argparse._get_action_name(action)
            raise _Misused(f"argument {name}: there is no `{value}`", self.format_usage(), guess)

    def error(self, message: str) -> NoReturn:
        """Raise what was used wrongly, with what helps."""
        cure = f"`{self.prog} --help` shows what it takes" if self.get_default("run") else _EVERY_COMMAND
        raise _Misused(message[0].lower() + message[1:], self.format_usage(), cure)


class _Version(argparse.Action):
    """Tells all that a report of a fault needs of the installation."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str) -> None:
        super().__init__(option_strings, argparse.SUPPRESS, nargs=0, default=argparse.SUPPRESS, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> NoReturn:
        """Print it and end."""
        import platform

        system = f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"
        print(f"cavata {__version__}, language edition {EDITION}, {system}")
        parser.exit()


def _in_quotes(args: Sequence[str], word: str) -> str:
    """The cure for a path with a space that was written as two words; else what the command takes."""
    for before, after in pairwise(args):
        if after == word and os.path.exists(f"{before} {after}"):
            return f"what has a space in it stands in quotes: `{shlex.quote(f'{before} {after}')}`"
    return "leave it out; what has a space in it stands in quotes"


def _unknown(word: str, top: argparse.ArgumentParser) -> _Misused:
    """What is to be said of a first word that is neither a command nor an option."""
    kind, known = ("option", top._option_string_actions) if word.startswith("-") else ("command", COMMANDS)
    cure = did_you_mean(word, known)
    if not cure and f"--{word}" in top._option_string_actions:
        cure = f"did you mean `--{word}`?"
    if not cure and os.path.exists(word):
        path = shlex.quote(word)
        cure = f"`cavata check {path}` reads it, `cavata build {path}` makes its score"
    return _Misused(f"there is no {kind} `{word}`", top.format_usage(), cure or _EVERY_COMMAND)


def parser(only: str = "") -> argparse.ArgumentParser:
    """The command line's grammar; with `only` one command's, so that what the others need is not loaded."""
    top = _Parser(
        prog="cavata", description=_DESCRIPTION, epilog=_EPILOG, formatter_class=LaidOut
    )
    top.add_argument("--version", action=_Version, help="tell the version, the edition of the language and the machine")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Parser)
    for name in (only,) if only in COMMANDS else COMMANDS:
        import_module(f"cavata.cli.{name.replace('-', '_')}").add_to(commands)
        if name not in _NOTHING_TO_LEAVE_OUT:
            commands.choices[name].add_argument(
                "-q", "--quiet", action="store_true", help="say errors and what was asked for, and nothing else"
            )
    return top


def main(argv: list[str] | None = None) -> int:
    """Run one command; the return value is the exit status."""
    # A compiler makes many small values and keeps nearly all of them: collecting as often as Python does by itself
    # takes a fifth of the time, and finds nothing.
    gc.set_threshold(1_000_000, 20, 20)
    given = sys.argv[1:] if argv is None else argv
    # What is wrong with the command itself is said in the form that it seems to ask for.
    asked = (form for form in MessageForm if f"--{form.value}" in given)
    MANNER.form, MANNER.script, MANNER.quiet, MANNER.held = next(asked, MessageForm.TEXT), Path(), False, None
    safely()
    if sys.flags.optimize > 1:
        complain("O111", _NO_DOCSTRINGS, "run it without `-OO` and without `PYTHONOPTIMIZE=2`")
        return FAILED
    try:
        # The version is told without loading what every command needs.
        top = parser(COMMANDS[0] if given[:1] == ["--version"] else given[0] if given else "")
        if given and given[0] not in COMMANDS and given[0] not in top._option_string_actions:
            raise _unknown(given[0], top)
        arguments = top.parse_args(given)
        MANNER.quiet = getattr(arguments, "quiet", False)
        MANNER.form = next(
            (form for form in MessageForm if getattr(arguments, form.value, False) is True), MessageForm.TEXT
        )
        MANNER.held = [] if arguments.command in _READ and not MANNER.form.is_document and can_page() else None
        with ended_politely():
            status: int = arguments.run(arguments)
        heard()
        return status
    except _Misused as misused:
        if not MANNER.form.is_document:
            sys.stderr.write(misused.usage)
        complain("O100", str(misused), misused.cure)
        return WRONG_USAGE
    except KeyboardInterrupt:
        if sys.stderr.isatty():
            print(file=sys.stderr)
        complain("O101", "interrupted; nothing half-written is left")
        return INTERRUPTED
    except Unheard as reason:
        # What could not be written cannot be written when Python ends either, and would be said once more.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        MANNER.form = MessageForm.TEXT
        complain("O110", f"standard output cannot be written: {reason}", "look at the room on the disk")
        return FAILED
    except BrokenPipeError:
        # Whoever read our output has gone; the rest has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        return _internal(error)


def program() -> NoReturn:
    """The command as a process. After a check or a build it ends at once and leaves all that was made to the system; so
    it does after a desk, where somebody may still be looking for something."""
    status = main()
    if sys.argv[1:2] in (["check"], ["build"], ["desk"]):
        sys.stderr.flush()
        os._exit(status)
    raise SystemExit(status)


_LONGEST_FAULT = 300
"""Letters of what a fault says of itself: it may say a whole value."""


def _internal(error: Exception) -> int:
    """An unexpected fault: said plainly, with what a report needs."""
    if os.environ.get("CAVATA_TRACE"):
        raise error
    place = error.__traceback__
    while place is not None and place.tb_next is not None:
        place = place.tb_next
    where = "" if place is None else f"{os.path.basename(place.tb_frame.f_code.co_filename)}:{place.tb_lineno}"
    text = f"a fault in cavata {__version__}: {type(error).__name__} at {where}: {str(error)[:_LONGEST_FAULT]}"
    cure = (
        "please report it to those from whom you have Cavata: your script, what it uses, this message, what "
        "`cavata --version` says, and what the same command says with `CAVATA_TRACE=1`"
    )
    complain("X001", text, cure)
    return INTERNAL


if __name__ == "__main__":
    program()
