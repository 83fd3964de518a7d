"""The way through the house: every pass by name, in order.

Used by the commands and by the tests; each stage can be had on its own.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cavata.diagnostics import Diagnostics
from cavata.evaluate.evaluate import evaluate
from cavata.evaluate.plan import Plan
from cavata.names.loader import Loaded, load
from cavata.names.program import Program
from cavata.names.resolve import resolve
from cavata.place.place import place
from cavata.record import record
from cavata.require.promises import look_at
from cavata.score.score import Score

if TYPE_CHECKING:  # a check notates nothing and need not load it
    from cavata.notate.written import WrittenScore


@record
class Compiled:
    """What each pass made; None from the first pass on that could not run."""

    bag: Diagnostics
    loaded: Loaded | None = None
    program: Program | None = None
    plan: Plan | None = None
    score: Score | None = None


def compile_script(
    path: Path, shown: str | None = None, text: str | None = None, library: Path | None = None
) -> Compiled:
    """A script, from its text to the score; the score is there only if nothing was wrong.

    Every pass runs as far as the ones before it allow, so that one run shows every mistake.
    """
    bag = Diagnostics()
    loaded = load(path, shown or path.name, bag, text, library)
    if loaded is None:
        return Compiled(bag)
    program = resolve(loaded, bag)
    plan = evaluate(program, bag)
    score = place(plan, bag)
    if program.promises and not bag.has_errors:
        look_at(program.promises, plan.values, score, bag)
    if score.shared and not bag.has_errors:
        from cavata.edition.shared_staves import report_unreadable

        report_unreadable(score, bag)
    return Compiled(bag, loaded, program, plan, None if bag.has_errors else score)


def written(score: Score) -> WrittenScore:
    """The score on the page."""
    from cavata.notate.notate import notate

    return notate(score)
