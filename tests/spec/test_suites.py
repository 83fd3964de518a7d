"""Every script of the literate suites gives the values, messages and scores that stand beside it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from literate import FOLDER, PRELUDE, Case, cases, score_line, value_text

from cavata.diagnostics import Diagnostic, Severity, as_text
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script

CASES = cases()
SAID = FOLDER / "said"


@cache
def compiled_of(case: Case) -> Compiled:
    return compile_script(Path("suite.cavata"), "suite.cavata", text=case.script)


def _line_of(message: Diagnostic) -> int:
    assert message.span is not None, message
    return message.span.source.text.count("\n", 0, message.span.start) + 1


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_script_means_what_stands_beside_it(case: Case) -> None:
    compiled = compiled_of(case)
    found = [
        (_line_of(d), "!" if d.severity is Severity.ERROR else "?", d.code, d.message)
        for d in compiled.bag.ordered()
    ]
    expected = case.messages()
    assert [f[:3] for f in found] == [e[:3] for e in expected], found
    for message, wanted in zip(found, expected, strict=True):
        assert wanted[3] in message[3]
    assert compiled.plan is not None
    values = {name: compiled.plan.values[Identity(compiled.plan.main, name)] for name, _ in case.values()}
    shown = {name: value_text(values[name], text) for name, text in case.values()}
    assert shown == dict(case.values())
    for line in filter(None, map(str.strip, case.score.splitlines())):
        assert compiled.score is not None, found
        what, _, text = line.partition(": ")
        assert f"{what}: {score_line(compiled.score, what, text)}" == f"{what}: {' '.join(text.split())}"


@pytest.mark.parametrize("suite", sorted({case.suite for case in CASES if case.messages()}))
def test_messages_of_a_suite_are_whole_and_point_where_they_should(suite: str, request: pytest.FixtureRequest) -> None:
    """Each with the words that it marks, its label, its cure and what else it points at, as `said/` has them."""
    told = [case for case in CASES if case.suite == suite and case.messages()]
    text = "\n".join(f"=== {case.heading}\n\n{as_text(compiled_of(case).bag.ordered())}" for case in told)
    if request.config.getoption("--update"):
        (SAID / f"{suite}.txt").write_text(text, "utf-8")
    assert text == (SAID / f"{suite}.txt").read_text("utf-8")


def test_every_script_expects_something() -> None:
    for case in CASES:
        assert list(case.values()) or case.messages() or case.score, case.name


def test_suites_are_found() -> None:
    suites = {path.stem for path in FOLDER.glob("*.md")} - {"README"}
    assert suites == {case.suite for case in CASES}
    assert PRELUDE.endswith("\n")
