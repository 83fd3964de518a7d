"""`cavata why`: the page of the catalog that explains a message."""

from __future__ import annotations

import argparse

from cavata import resources
from cavata.cli.speaking import complain, say
from cavata.diagnostics import did_you_mean


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "why",
        help="explain a message by its code",
        description="Explain a message: what it means, a script that goes wrong, and its cure.",
    )
    command.add_argument("code", metavar="CODE", help="the code of a message, as V203")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the page; 2 if there is none of that code."""
    folder = resources.folder("grammar") / "messages"
    code = arguments.code.upper()
    known = sorted(page.stem for page in folder.glob("*.md"))
    if code not in known:
        hint = did_you_mean(code, known, 3) or "codes look like `V203`"
        if not any(letter.isdigit() for letter in code):
            code = arguments.code
            hint = f"{hint}; `cavata handbook {code}` opens the pages at a word of the language"
        complain("O103", f"there is no message `{code}`", hint)
        return 2
    say((folder / f"{code}.md").read_text(encoding="utf-8"))
    return 0
