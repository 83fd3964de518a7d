"""Combine three lines: the same triples as a plain loop, and pasted lines that are exactly the triple.

Source: the plain search of `tests/bench/combine_plain.py`; the compiler itself for what is pasted.
"""

from __future__ import annotations

import json
import sys
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "bench"))
import combine_plain
from test_combine import LANTERN, bounds, motif, values

from cavata.cli.main import main
from cavata.combine.placement import Bounds
from cavata.combine.three import Trio, combine_three, trio_row, trio_script
from cavata.music.event import Motif, Texture
from cavata.pipeline import compile_script

EACH = 9
NAMES = ("tune", "hail", "tide")


def plain(lines: tuple[Motif, ...], limits: Bounds) -> list[tuple[object, ...]]:
    """Every triple of the best placements, each pair judged note by note."""
    leads = combine_plain.notes_of(lines[0], Fraction(0))
    firsts, seconds = (combine_plain.search(lines[0], line, limits)[:EACH] for line in lines[1:])
    found = []
    for first, second in product(firsts, seconds):
        voices = [leads, *(combine_plain.notes_of(placed[2], placed[1]) for placed in (first, second))]
        if not combine_plain.together(voices[1], voices[2]):
            continue
        pairs = [(voices[0], voices[1]), (voices[0], voices[2]), (voices[1], voices[2])]
        broken = [fault for pair in pairs for fault in combine_plain.judge(*pair, limits)]
        overlap = sum((combine_plain.together(*pair) for pair in pairs), Fraction(0))
        soft = sum(combine_plain.imperfect(*pair) for pair in pairs)
        found.append((first[:2], second[:2], broken, overlap, soft))
    return sorted(found, key=lambda triple: (len(triple[2]), -triple[3], -triple[4]))


@pytest.mark.slow
@pytest.mark.parametrize("rules", ["free", "strict"])
def test_same_triples_in_the_same_order_as_a_plain_loop(rules: str) -> None:
    lines = (motif("tune"), motif("hail"), motif("tide"))
    limits = bounds(rules, forms=2, reach=5)
    found = combine_three(lines, limits, 10_000, each=EACH)
    assert [
        ((t.first.answer, t.first.delay), (t.second.answer, t.second.delay), [(b.name, b.at) for _, b in t.faults],
         t.together, t.imperfect)
        for t in found.best
    ] == plain(lines, limits)  # fmt: skip
    assert found.clean == sum(not t.faults for t in found.best) and found.triples == len(found.best) > 40


@pytest.mark.slow
def test_what_is_pasted_compiles_to_exactly_the_triple(tmp_path: Path) -> None:
    lines = (motif("tune"), motif("hail"), motif("tide"))
    trio = Trio(NAMES, lines, "free", Fraction(1), combine_three(lines, bounds("free", reach=6), 8, each=EACH))
    rows = [trio_row(trio, rank, "") for rank in range(1, 9)]
    made = values(LANTERN + "\n".join(rows) + "\n")
    for rank, triple in enumerate(trio.found.best, start=1):
        texture = made[f"three_{rank}"]
        assert isinstance(texture, Texture)
        wanted = [(lines[0], Fraction(0)), *((t.line, t.delay) for t in (triple.first, triple.second))]
        for line, (expected, delay) in zip(texture.lines, wanted, strict=True):
            assert combine_plain.notes_of(line, Fraction(0)) == combine_plain.notes_of(expected, delay)
    compiled = compile_script(tmp_path / "sheet.cavata", "sheet.cavata", trio_script(trio))
    assert compiled.score is not None, [d.message for d in compiled.bag.ordered()]


@pytest.mark.slow
def test_command_takes_three(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(LANTERN)
    words = ["combine", "lantern.cavata", *NAMES, "--top", "2", "--plain", "--reach", "5"]
    assert main(words) == 0
    text = capsys.readouterr().out
    assert main([*words, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["lines"] == list(NAMES) and len(document["candidates"]) == 2
    assert all(candidate["script"][0] in text for candidate in document["candidates"])
    assert main([*words, "--rules", "canon"]) == 1
    assert "O341" in capsys.readouterr().err
    assert main(["combine", "lantern.cavata", "tune", "hail", "nobody"]) == 1
    assert "O332" in capsys.readouterr().err


def test_what_one_line_breaks_alone_is_counted_once() -> None:
    """The leader leaps a seventh; two pairs have it."""
    wide = values("language 2\nmotif wide = notes(1/2 D4 C5 B4 A4, 1/1 D5)\n")["wide"]
    assert isinstance(wide, Motif)
    found = combine_three((wide, motif("hail"), motif("tide")), bounds("strict", forms=2, reach=5), 40, each=EACH).best
    assert found
    for triple in found:
        sevenths = [pair for pair, fault in triple.faults if fault.name == "leap of a seventh"]
        assert sevenths == ["A with B"]


@pytest.mark.slow
def test_offers_differ_in_form_or_delay() -> None:
    lines = (motif("tune"), motif("hail"), motif("tide"))
    kinds = []
    for varied in (False, True):
        found = combine_three(lines, bounds("free", reach=6), 20, each=EACH, varied=varied).best
        answers = [(p.answer, p.delay) for t in found for p in (t.first, t.second)]
        forms = [(a.retrograde, a.inverted, a.slower, delay) for a, delay in answers]
        kinds.append(len(set(zip(forms[::2], forms[1::2], strict=True))) == len(found))
    assert kinds == [False, True]
