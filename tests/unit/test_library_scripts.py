"""The standard library's scripts: each reads without a message, says what it is for, and keeps its meter."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from cavata.diagnostics import Diagnostics
from cavata.resources import folder
from cavata.source import Source
from cavata.syntax import tree as t
from cavata.syntax.parse import parse

SCRIPTS = sorted(path.name for path in folder("stdlib").glob("*.cavata"))


def read(script: str) -> t.Module:
    bag = Diagnostics()
    module = parse(Source(script, (folder("stdlib") / script).read_text(encoding="utf-8")), bag)
    assert bag.ordered() == ()
    return module


def test_the_library_has_its_scripts() -> None:
    names = ("ciphers", "figures", "formulas", "rhythms", "transforms")
    assert {f"{name}.cavata" for name in names} <= set(SCRIPTS)


@pytest.mark.parametrize("script", SCRIPTS)
def test_every_declaration_has_a_remark(script: str) -> None:
    """A remark becomes the text of the library's index, so none may be missing or say nothing."""
    declarations = read(script).declarations
    assert isinstance(declarations[0], t.Language)
    assert len(declarations) > 5
    for declaration in declarations[1:]:
        assert isinstance(declaration, t.Cipher | t.Definition | t.OwnTransform)
        assert len(declaration.remark) > 20, f"{declaration.name.text}: its remark says what it is, and its source"


@pytest.mark.parametrize("script", SCRIPTS)
def test_lines_are_plain(script: str) -> None:
    text = (folder("stdlib") / script).read_text(encoding="utf-8")
    assert "\t" not in text and "\r" not in text and text.endswith("\n")
    for number, line in enumerate(text.split("\n"), start=1):
        assert len(line) <= 120 and line == line.rstrip(), (script, number)


def rhythms() -> list[t.Definition]:
    return [d for d in read("rhythms.cavata").declarations if isinstance(d, t.Definition)]


@pytest.mark.parametrize("rhythm", rhythms(), ids=lambda rhythm: rhythm.name.text)
def test_rhythm_fills_the_meter_its_remark_names(rhythm: t.Definition) -> None:
    """A remark begins with the meter; then the rhythm lasts a bar, or the `half a bar` or `two bars` it speaks of."""
    assert isinstance(rhythm.value.first, t.RhythmLiteral)
    length = sum((duration for duration, _ in rhythm.value.first.beats), Fraction(0))
    meter = re.match(r"\d+/\d+", rhythm.remark)
    assert meter is not None, "the remark is to begin with the meter, as `3/4, two bars: ...`"
    bars = Fraction(1, 2) if "half a bar" in rhythm.remark else 2 if "two bars" in rhythm.remark else 1
    assert length == Fraction(meter[0]) * bars
