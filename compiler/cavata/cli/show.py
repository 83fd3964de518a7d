"""`cavata show`: what a pass made of a script, readable."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from cavata.cli.arguments import add_library_to, add_version_to, find_script
from cavata.cli.speaking import Progress, say, tell
from cavata.diagnostics import Diagnostics
from cavata.edition.copies import full_score
from cavata.evaluate.text import plan_text
from cavata.names.text import program_text
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import score_text
from cavata.syntax.text import module_text


def _syntax(compiled: Compiled) -> str | None:
    loaded = compiled.loaded
    return None if loaded is None else module_text(loaded.modules[loaded.main])


def _names(compiled: Compiled) -> str | None:
    return None if compiled.program is None else program_text(compiled.program)


def _values(compiled: Compiled) -> str | None:
    return None if compiled.plan is None else plan_text(compiled.plan)


def _score(compiled: Compiled) -> str | None:
    return None if compiled.score is None else score_text(compiled.score)


def _notation(compiled: Compiled) -> str | None:
    if compiled.score is None:
        return None
    from cavata.notate.text import score_text as notation_text

    return notation_text(written(full_score(compiled.score)))


def _lilypond(compiled: Compiled) -> str | None:
    if compiled.score is None:
        return None
    from cavata.lilypond.document import lilypond_text

    return lilypond_text(written(full_score(compiled.score)))


def _ids(compiled: Compiled) -> str | None:
    if compiled.score is None:
        return None
    from cavata.musicxml.ids import ids_text

    return ids_text(written(full_score(compiled.score)))


def _ledger(compiled: Compiled) -> str | None:
    if compiled.score is None:
        return None
    from cavata.notate.ledger import ledger_text
    from cavata.score.ledger import ledger

    return ledger_text(ledger(compiled.score, compiled.bag), written(full_score(compiled.score)))


PASSES: dict[str, Callable[[Compiled], str | None]] = {
    "syntax": _syntax,
    "names": _names,
    "values": _values,
    "score": _score,
    "notation": _notation,
    "lilypond": _lilypond,
    "ids": _ids,
    "ledger": _ledger,
}


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "show",
        help="show what a pass made of a script",
        description=(
            "Show what a pass made: syntax (statements), names (what each name leads to), values (every motif), "
            "score (events at their onsets), notation (written bars), lilypond (the engraver's text), "
            "ids (where each id of MusicXML leads), "
            "ledger (what became of every sign that the script says at a note)."
        ),
    )
    command.add_argument("stage", metavar="PASS", choices=tuple(PASSES), help=", ".join(PASSES))
    command.add_argument("script", metavar="FILE", help="a script, or a folder that holds one piece")
    add_version_to(command)
    add_library_to(command)
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the pass's result and any messages."""
    bag = Diagnostics()
    path: Path | None = find_script(arguments.script, bag)
    if path is not None:
        progress = Progress(sys.stderr)
        progress.say("reading the script")
        compiled = compile_script(path, str(path), library=arguments.library, version=arguments.version)
        bag = compiled.bag
        text = PASSES[arguments.stage](compiled)
        progress.done()
        if text is not None:
            say(text.rstrip("\n") + "\n")
    tell(bag.ordered())
    return int(bag.has_errors)
