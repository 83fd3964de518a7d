"""`cavata completion`: what a shell needs to complete the command line, made by shtab from the command line itself."""

from __future__ import annotations

import argparse

from cavata.cli.help import LaidOut
from cavata.cli.speaking import complain, say

SHELLS = {
    "bash": "cavata completion bash > ~/.local/share/bash-completion/completions/cavata",
    "zsh": "cavata completion zsh > ~/.zfunc/_cavata    # with ~/.zfunc in fpath, before compinit",
    "fish": "cavata completion fish > ~/.config/fish/completions/cavata.fish",
    "tcsh": "cavata completion tcsh > ~/.cavata.tcsh     # and `source ~/.cavata.tcsh` in ~/.tcshrc",
    "powershell": "cavata completion powershell > cavata.ps1    # and `. ./cavata.ps1` in your profile",
}
"""Each with the command that installs it."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "completion",
        help="let your shell complete commands and options",
        description="Print what a shell needs to complete Cavata's commands, options and file names.",
        epilog="\n".join(["once, for your shell:", *(f"    {line}" for line in SHELLS.values())]),
        formatter_class=LaidOut,
    )
    command.add_argument("shell", metavar="SHELL", choices=tuple(SHELLS), help=", ".join(SHELLS))
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print it; 1 where the library that makes it is missing."""
    try:
        import shtab
    except ImportError:
        complain("O970", "the library that completes command lines is missing", '`pip install "shtab>=1.13"`')
        return 1
    from cavata.cli.main import parser

    top = parser()
    for action in _files(top):
        action.complete = shtab.FILE  # type: ignore[attr-defined]  # where shtab looks for it
    say(shtab.complete(top, arguments.shell))
    return 0


def _files(command: argparse.ArgumentParser) -> list[argparse.Action]:
    """The arguments of all commands that stand for files."""
    found = []
    for action in command._actions:
        if isinstance(action, argparse._SubParsersAction):
            found += [file for one in action.choices.values() for file in _files(one)]
        elif any(word in str(action.metavar) for word in ("FILE", "FOLDER", "PIECE", "SCORE", "SCRIPT")):
            found.append(action)
    return found
