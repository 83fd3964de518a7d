"""The pages about the commands: the table of options that the command line itself has, and examples that are run.

A page is `grammar/commands/COMMAND.md`. Under `## Options` stands what `argparse` knows; a fence marked `console` holds
commands after `$ ` with what they print, `| head -N` behind one for the first lines only. A script that a page shows
after its file's name, as "`lantern.cavata`:", lies in the folder in which they are run, and so do the examples.
"""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from cavata.cli.main import COMMANDS, parser
from cavata.resources import folder

FOLDER = folder("grammar") / "commands"
_CONSOLE = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FILE = re.compile(r"`([\w.-]+\.cavata)`:\n\n```cavata\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_OPTIONS = re.compile(r"(?<=^## Options\n\n).*?(?=^## |\Z)", re.MULTILINE | re.DOTALL)
_HEAD = re.compile(r" \| head -(\d+)$")


@dataclass(frozen=True, slots=True)
class CommandPage:
    """The page of one command."""

    name: str
    text: str

    @property
    def path(self) -> Path:
        return FOLDER / f"{self.name}.md"

    @property
    def scripts(self) -> dict[str, str]:
        """The files that it shows, by their names."""
        return {found[1]: found[2] for found in _FILE.finditer(self.text)}

    @property
    def shown(self) -> Iterator[str]:
        """Every command that it shows."""
        for block in _CONSOLE.findall(self.text):
            yield from (line[2:] for line in block.splitlines() if line.startswith("$ "))

    def with_options(self) -> str:
        """Its text with the options that the command line has."""
        return _OPTIONS.sub(lambda _: options_of(self.name), self.text, count=1)

    def with_outputs(self, run: Callable[[list[str]], str]) -> str:
        """Its text with what the commands print when `run` runs them."""
        return _CONSOLE.sub(lambda block: f"```console\n{''.join(_printed(block[1], run))}```", self.text)


def _printed(block: str, run: Callable[[list[str]], str]) -> Iterator[str]:
    for line in block.splitlines():
        if line.startswith("$ "):
            cut = _HEAD.search(line)
            made = run(shlex.split(line[2 : cut.start() if cut else None])[1:]).splitlines()
            yield "".join(f"{row.rstrip()}\n" for row in (line, *(made[: int(cut[1])] if cut else made)))


def command_pages() -> tuple[CommandPage, ...]:
    """The page of each command that `cavata --help` lists."""
    return tuple(CommandPage(name, (FOLDER / f"{name}.md").read_text("utf-8")) for name in COMMANDS)


def options_of(command: str) -> str:
    """A row for each argument and option, and below the table what the command's help says at its end."""
    top = parser(command)
    (commands,) = (a for a in top._actions if isinstance(a, argparse._SubParsersAction))
    one = commands.choices[command]
    formatter = argparse.HelpFormatter(command)
    rows = ["| | |\n|---|---|\n"]
    for action in one._actions:
        if not isinstance(action, argparse._HelpAction) and action.help != argparse.SUPPRESS:
            said = formatter._expand_help(action).replace("|", r"\|")
            if action.choices and not all(str(choice) in said for choice in action.choices):
                said += f": {', '.join(f'`{choice}`' for choice in action.choices)}"
            rows.append(f"| `{_called(action)}` | {said} |\n")
    end = f"\n```text\n{one.epilog.strip()}\n```\n" if one.epilog else ""
    return f"{''.join(rows)}{end}\n"


def _called(action: argparse.Action) -> str:
    """The option and what follows it, or what an argument is called."""
    value = action.metavar or ("WORD" if action.choices else action.dest.upper())
    name = (value if isinstance(value, str) else " ".join(value)).replace("|", " or ")
    if not action.option_strings:
        return f"{name} ..." if action.nargs in ("+", "*") and " " not in name else name
    if action.nargs == 0:
        return action.option_strings[-1]
    return f"{action.option_strings[-1]} [{name}]" if action.nargs == "?" else f"{action.option_strings[-1]} {name}"
