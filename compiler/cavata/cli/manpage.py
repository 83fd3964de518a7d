"""`cavata manpage`: the manual page, made from the command line itself.

Source of its form: man-pages(7) and groff_man(7), the macros that every reader of manual pages knows.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from cavata import __version__
from cavata.cli.help import LaidOut
from cavata.cli.speaking import say


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "manpage",
        help="print the manual page",
        description="Print the manual page of Cavata, for `man`.",
        epilog="to install it for yourself:\n    cavata manpage > ~/.local/share/man/man1/cavata.1",
        formatter_class=LaidOut,
    )
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print it."""
    from cavata.cli.main import parser

    say(manual(parser()))
    return 0


def manual(top: argparse.ArgumentParser) -> str:
    """The page, in the language of `man`."""
    intro, _, day = (top.description or "").partition("\n\nA day's work:\n")
    exits, _, environment = (top.epilog or "").partition("\n\nenvironment:\n")
    (commands,) = (action for action in top._actions if isinstance(action, argparse._SubParsersAction))
    summaries = {choice.dest: choice.help or "" for choice in commands._choices_actions}
    lines = [
        f'.TH CAVATA 1 "" "Cavata {__version__}" "User Commands"',
        ".SH NAME", r"cavata \- compile scripts in which names become music",
        ".SH SYNOPSIS", r".B cavata", r".I COMMAND", r"\&...",
        ".SH DESCRIPTION", *_paragraphs(intro),
        ".SH EXAMPLES", *_verbatim(day),
        ".SH COMMANDS",
    ]  # fmt: skip
    for name, command in commands.choices.items():
        lines += [f".SS cavata {_text(name)}", *_paragraphs(command.description or summaries[name])]
        for action in command._actions:
            if not isinstance(action, argparse._HelpAction) and action.help != argparse.SUPPRESS:
                lines += _option(command, action)
        lines += _verbatim(command.epilog or "")
    lines += [".SH EXIT STATUS", *_listed(exits.partition("\n")[2]), ".SH ENVIRONMENT", *_listed(environment)]
    return "\n".join(lines) + "\n"


def _option(command: argparse.ArgumentParser, action: argparse.Action) -> Iterator[str]:
    """An argument or option, and what it does."""
    formatter = argparse.HelpFormatter(command.prog)
    value = action.metavar or action.dest.upper()
    name = value if isinstance(value, str) else " ".join(value)
    shown = [rf"\fI{_text(name)}\fR"] if action.nargs != 0 else []
    if action.option_strings:
        shown = [", ".join(rf"\fB{_text(option)}\fR" for option in action.option_strings), *shown]
    yield from (".TP", " ".join(shown), _text(formatter._expand_help(action)))


def _paragraphs(text: str) -> Iterator[str]:
    for paragraph in filter(None, text.split("\n\n")):
        yield from (".PP", _text(" ".join(paragraph.split())))


def _verbatim(text: str) -> Iterator[str]:
    if text.strip():
        yield from (".PP", ".nf", *(_text(line.removeprefix("    ")) for line in text.strip("\n").split("\n")), ".fi")


def _listed(text: str) -> Iterator[str]:
    """Lines of a word and what it means; deeper ones go on."""
    for line in filter(str.strip, text.split("\n")):
        word, _, rest = line.strip().partition(" ")
        if line.startswith(" " * 8):
            yield _text(line.strip())
        else:
            yield from (".TP", rf"\fB{_text(word)}\fR", _text(rest.strip()))


def _text(text: str) -> str:
    """Text in which nothing is a command of the formatter."""
    escaped = text.replace("\\", r"\e").replace("-", r"\-").replace("'", r"\(aq").replace("`", r"\(ga")
    return rf"\&{escaped}" if escaped.startswith(".") else escaped
