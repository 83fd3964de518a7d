"""Scripts that a test writes itself, compiled to their scores."""

from __future__ import annotations

from pathlib import Path

from cavata.diagnostics import as_text
from cavata.pipeline import compile_script
from cavata.score.score import Score


def score_from(script: str) -> Score:
    """The score of a script without mistakes; warnings are of no account."""
    made = compile_script(Path("piece.cavata"), text=script)
    assert made.score is not None, as_text(made.bag.ordered())
    return made.score


def clean_score_from(script: str) -> Score:
    """The score of a script of which nothing is said, not even a warning."""
    made = compile_script(Path("piece.cavata"), text=script)
    assert made.score is not None and not made.bag.ordered(), as_text(made.bag.ordered())
    return made.score
