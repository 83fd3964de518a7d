"""Small scripts with everything that comes of them, compared whole; `pytest --update` writes it anew.

A page of `small/` tells what is right and where that comes from, and has scripts in fences. Under each script stand
fences of what comes of it: `messages`, `values`, `score`, and the copies `full`, `title`, `short`, `part NAME`,
`rehearsal NAME`, `proof`. Of a fence that is there all is compared. How it is written tells `whole.py`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from whole import copy_text, header_lines, music_text, title_lines, values_text

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import full_score
from cavata.edition.parts import part_score
from cavata.edition.proof import proof_copy, report_bare_entries
from cavata.edition.rehearsal import rehearsal_score
from cavata.edition.shared_staves import report_unreadable, with_percussion_sets
from cavata.edition.short_score import short_score
from cavata.edition.title_page import title_page
from cavata.pipeline import compile_script
from cavata.score.score import Score

FOLDER = Path(__file__).parent / "small"
_FENCE = re.compile(r"^```(.+)\n((?:(?!```).*\n)*)```$", re.MULTILINE)


@dataclass(frozen=True)
class Case:
    """A script, and what is shown of it, each with the place of its fence on the page."""

    page: Path
    number: int
    """Among the scripts of its page, from 1."""
    script: str
    shown: tuple[tuple[str, str, int, int], ...]


def cases() -> list[Case]:
    found: list[Case] = []
    for page in sorted(FOLDER.glob("*.md")):
        text = page.read_text("utf-8")
        for fence in _FENCE.finditer(text):
            kind, held = fence[1], fence[2]
            if kind == "cavata":
                found.append(Case(page, 1 + sum(case.page == page for case in found), held, ()))
            else:
                last = found[-1]
                place = (kind, held, fence.start(2), fence.end(2))
                found[-1] = Case(last.page, last.number, last.script, (*last.shown, place))
    return found


CASES = cases()


def made(case: Case) -> dict[str, str]:
    """What comes of a script, for each fence that is there."""
    compiled = compile_script(Path("small.cavata"), "small.cavata", text="language 2\n" + case.script)
    bag = Diagnostics()
    for message in compiled.bag.ordered():
        bag.report(message)
    kinds = [kind for kind, *_ in case.shown]
    if compiled.score is not None:
        report_unreadable(compiled.score, bag)
    said = as_text(bag.ordered())
    assert said == "" or "messages" in kinds, said
    found = {"messages": said}
    for kind in kinds:
        if kind == "values":
            assert compiled.plan is not None, said
            found[kind] = values_text(compiled.plan)
        elif kind == "proof":
            assert compiled.score is not None and compiled.plan is not None, said
            bare = Diagnostics()
            report_bare_entries(compiled.score, bare)
            copy = proof_copy(compiled.score, compiled.plan)
            found[kind] = as_text(bare.ordered()) + "".join(
                f"{line}\n" for line in header_lines(copy.header, compiled.score.header)
            )
        elif kind != "messages":
            assert compiled.score is not None, said
            found[kind] = _copy(compiled.score, kind)
    return {kind: found[kind] for kind in kinds}


def _copy(score: Score, kind: str) -> str:
    what, _, name = kind.partition(" ")
    if what == "score":
        return music_text(score, True)
    if what == "title":
        return "".join(f"{line}\n" for line in title_lines(title_page(full_score(score))))
    if what == "part":
        score = with_percussion_sets(score)
    index = [part.name for part in score.parts].index(name) if name else 0
    copies = {
        "full": full_score, "short": short_score, "rehearsal": lambda whole: rehearsal_score(whole, index),
        "part": lambda whole: part_score(whole, index),
    }  # fmt: skip
    return copy_text(copies[what](score), score)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.page.stem}-{case.number}")
def test_script_gives_what_stands_under_it(case: Case, request: pytest.FixtureRequest) -> None:
    found = made(case)
    if request.config.getoption("--update"):
        _rewrite(case, found)
    else:
        assert found == {kind: held for kind, held, *_ in case.shown}


def _rewrite(case: Case, found: dict[str, str]) -> None:
    """Put what came of a script under it, where the page has it now."""
    now = next(
        one for one, then in zip(cases(), CASES, strict=True) if (then.page, then.number) == (case.page, case.number)
    )
    text = case.page.read_text("utf-8")
    for kind, _, begin, end in reversed(now.shown):
        text = text[:begin] + found[kind] + text[end:]
    case.page.write_text(text, "utf-8")


def test_every_script_shows_something() -> None:
    assert CASES and all(case.shown for case in CASES)
