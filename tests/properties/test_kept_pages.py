"""No wrong page can come from what is kept: the key of a sheet changes whenever its text does.

Sheets are changed in all their fields, and the emitter's own text is the judge.
"""

from __future__ import annotations

import random
from collections import defaultdict
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from changed_sheets import Place, at, others, places, put, unshared
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds import everyday, rounds, some_of

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.edition.proof import proof_copy
from cavata.lilypond.document import sheet_text
from cavata.lilypond.sheets import Sheet, whole_sheet
from cavata.pipeline import Compiled, compile_script, written
from cavata.reads import Field, content, noted

SCRIPT = """language 2
piece "Three Watches"
    show letters
    show colors
use french, german from ciphers
name tamsin = "TAMSIN" by french
motif tune = notes(1/8 D5 E5 F5 G5) + notes(1/12 A5 G5 F5) + notes(1/4 E5)
motif low = notes(1/4 D3 C3 Bb2 A2)
forces
    reed = clarinet in A
    keys = piano
    drum = side drum
    fiddle = violin
    cello = cello
group strings = fiddle, cello
movement first "First Watch"
    meter 4/4
    key D minor
    tempo 1/4 at 96, "With the tide"
    section a "the lamp" 2 bars
        reed: tune -> marked p staccato "calm"
        keys.left: low
        drum: (1/4 1/4 rest 1/2) x 1
        fiddle: tune -> slurred
        cello: low
    section b 2 bars
        fiddle: tune -> up M3 -> crescendo p f
        reed at bar 2: tamsin -> in (1/8)
movement second "Middle Watch"
    meter 3/4
    reed: tune
"""
ROOT = Path(__file__).parent.parent.parent
SCRIPTS = some_of(everyday(sorted((*ROOT.glob("tests/golden/*/*.cavata"), *ROOT.glob("examples/*/*.cavata")))), 3)


@lru_cache
def some_sheets() -> tuple[Sheet, ...]:
    """A score undivided, as sheets to be joined, and two of its parts."""
    compiled = compile_script(Path("watch.cavata"), "watch.cavata", SCRIPT)
    assert compiled.score is not None, compiled.bag.ordered()
    made = [written(copy.score) for copy in copies(compiled.score, WantedCopies(parts=("reed", "drum")), Diagnostics())]
    whole = whole_sheet(made[0])
    return (whole, replace(whole, whole=False, has_title=False), *(whole_sheet(copy) for copy in made[1:]))


@lru_cache
def by_field(number: int) -> dict[tuple[str, str], list[tuple[Place, Any]]]:
    """All values of one of the sheets, by the field they stand in."""
    found: dict[tuple[str, str], list[tuple[Place, Any]]] = defaultdict(list)
    for way, owner, value in places(some_sheets()[number]):
        found[owner].append((way, value))
    return dict(found)


@lru_cache
def texts(number: int) -> tuple[str, frozenset[Field]]:
    """The text of one of the sheets, and which fields were read for it."""
    sheet, seen = some_sheets()[number], set[Field]()
    with noted(seen):
        text = sheet_text(sheet)
    return text, frozenset(seen)


def check(number: int, changed: Sheet, what: object) -> None:
    """A sheet that has the key of the one before has its text too."""
    text, seen = texts(number)
    if content(changed, seen) == content(some_sheets()[number], seen):
        assert sheet_text(changed) == text, what


@pytest.mark.slow
@pytest.mark.parametrize("number", [0, 3])
def test_key_changes_with_every_field_that_the_text_depends_on(number: int) -> None:
    """Of each field of each class a place is tried in a score and in a part each. The changes that keep the key are
    made all together, as one text takes longer than all keys: only if that is another is each tried alone."""
    chance, sheet = random.Random(number), some_sheets()[number]
    text, seen = texts(number)
    key = content(sheet, seen)
    kept = [
        (way, new, owner)
        for owner, found in by_field(number).items()
        for way, value in chance.sample(found, min(len(found), rounds(1)))
        for new in others(owner, value)
        if content(put(sheet, way, new), seen) == key
    ]
    together, alone = sheet, []
    for way, new, owner in sorted(kept, key=lambda change: len(change[0])):
        try:
            together = put(together, way, new)
        except (AttributeError, IndexError, TypeError):  # a change further out took the place away
            alone.append((way, new, owner))
    same = content(together, seen) == key and sheet_text(together) == text
    for way, new, owner in alone if same else kept:
        check(number, put(sheet, way, new), (owner, way))


@pytest.mark.slow
@given(st.data())
@settings(max_examples=rounds(30), deadline=None)
def test_key_changes_when_several_fields_do(data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(some_sheets()) - 1))
    sheet = some_sheets()[number]
    for _ in range(data.draw(st.integers(2, 4))):
        owner = data.draw(st.sampled_from(sorted(by_field(number))))
        way, _ = data.draw(st.sampled_from(by_field(number)[owner]))
        try:
            new = data.draw(st.sampled_from(list(others(owner, at(sheet, way))) or [at(sheet, way)]))
        except IndexError:  # an earlier change took the place away
            continue
        sheet = put(sheet, way, new)
    check(number, sheet, sheet)


def test_much_is_not_read() -> None:
    """Else every page would be engraved again whatever changes: of where notes come from nothing counts."""
    read = frozenset[Field]().union(*(texts(number)[1] for number in range(len(some_sheets()))))
    for kind, field in (
        ("notate.written.Leaf", "event"), ("notate.written.WrittenHead", "origins"), ("score.score.Part", "span"),
        ("score.score.Header", "language"), ("names.paper.Paper", "name"), ("source.Span", "start"),
    ):  # fmt: skip
        assert (f"cavata.{kind}", field) not in read


def test_what_is_read_does_not_hang_on_what_is_shared() -> None:
    """A comparison of tuples ends where both hold one object, and reads nothing of it: the emitter makes none."""
    for number, sheet in enumerate(some_sheets()):
        alone = unshared(sheet)
        seen: set[Field] = set()
        with noted(seen):
            text = sheet_text(alone)
        assert (text, seen) == texts(number)


def compiled(text: str, name: str = "watch.cavata") -> Compiled:
    """The script compiled, from a file of some name."""
    made = compile_script(Path(name), name, text)
    assert made.score is not None, made.bag.ordered()
    return made


def contents(made: Compiled, seen: frozenset[Field]) -> list[bytes]:
    """By these fields the score and two parts of it."""
    assert made.score is not None
    found = copies(made.score, WantedCopies(parts=("reed", "drum")), Diagnostics())
    return [content(whole_sheet(written(copy.score)), seen) for copy in found]


def test_lines_above_and_the_name_of_the_file_do_not_count() -> None:
    moved = "-- a remark\n\n" + SCRIPT.replace("use french", "-- another\nuse french")
    seen = frozenset[Field]().union(*(texts(number)[1] for number in range(len(some_sheets()))))
    before = contents(compiled(SCRIPT), seen)
    assert contents(compiled(moved), seen) == before == contents(compiled(SCRIPT, "other.cavata"), seen)
    assert contents(compiled(SCRIPT.replace("D5 E5", "D5 F5")), seen) != before


def test_lines_count_in_a_proof_copy_which_prints_them() -> None:
    """What a proof copy reads of a sheet is added, and still its lines do not count in other copies."""
    proofs = []
    seen: set[Field] = set(texts(0)[1])
    for text in (SCRIPT, "-- a remark\n" + SCRIPT):
        made = compiled(text)
        assert made.score is not None and made.plan is not None
        proofs.append(whole_sheet(written(proof_copy(made.score, made.plan))))
        with noted(seen):
            sheet_text(proofs[-1])
    assert content(proofs[0], seen) != content(proofs[1], seen)
    assert contents(compiled(SCRIPT), frozenset(seen)) == contents(compiled("-- a remark\n" + SCRIPT), frozenset(seen))


@pytest.mark.slow
@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_no_text_reads_what_no_key_can_hold(script: Path) -> None:
    """Of many scripts a key can be made, in which nothing counts of the places in the script."""
    made = compile_script(script)
    if made.score is None or not made.score.movements:
        return
    seen: set[Field] = set()
    sheet = whole_sheet(written(made.score))
    with noted(seen):
        sheet_text(sheet)
    assert content(sheet, seen) and not {kind for kind, _ in seen if kind == "cavata.source.Span"}
