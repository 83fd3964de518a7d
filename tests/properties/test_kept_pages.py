"""No wrong page can come from what is kept: the key of a sheet changes whenever its text does.

Whatever a sheet holds is changed, one thing at a time, and the emitter's own text is the judge.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import fields, replace
from functools import lru_cache
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from changed_sheets import Place, at, others, places, put, untouchable
from hypothesis import given, settings
from hypothesis import strategies as st

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import Wanted, copies
from cavata.lilypond.document import sheet_text
from cavata.lilypond.sheets import UNREAD, Sheet, content, sheets, whole_sheet
from cavata.pipeline import compile_script, written

pytestmark = pytest.mark.slow

SCRIPT = """language 1
piece "Three Watches"
    show letters
    show colours
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
        drum: (1/4 rest 1/4 1/2) x 1
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
SCRIPTS = sorted((*ROOT.glob("tests/golden/*/*.cavata"), *ROOT.glob("examples/*/*.cavata")))
FEW = 12
COARSE = {"Instrument", "Interval"}
"""An instrument's row in the library is seldom changed; all that stands on it may then be engraved again."""
ONLY_WITH_OTHERS = {
    ("Group", "abbreviation"): "a label",
    ("Marks", "goal"): "a hairpin that begins and ends",
    ("WrittenBar", "cue_below"): "a cue",
    ("WrittenBar", "own_dynamics"): "a second voice",
    ("WrittenMovement", "frames"): "as many bars in every staff",
    ("WrittenMovement", "line_breaks"): "as many frames",
    ("WrittenStaff", "bars"): "as many frames",
}
"""Fields that change a text only together with something else."""


@lru_cache
def some_sheets() -> tuple[Sheet, ...]:
    """A score undivided, as sheets to be joined, and two of its parts."""
    compiled = compile_script(Path("watch.cavata"), "watch.cavata", SCRIPT)
    assert compiled.score is not None, compiled.bag.ordered()
    made = [written(copy.score) for copy in copies(compiled.score, Wanted(parts=("reed", "drum")), Diagnostics())]
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
def kept(number: int) -> tuple[str, bytes]:
    """Text and key of one of the sheets."""
    return sheet_text(some_sheets()[number]), content(some_sheets()[number])


def outcome(number: int, way: Place, new: Any) -> tuple[bool, bool] | None:
    """Whether the text changed, and whether the key did; None if no text can be made of it."""
    sheet = put(some_sheets()[number], way, new)
    text, key = kept(number)
    try:
        changed = sheet_text(sheet) != text
    except Exception:  # what the passes before never make, the emitter need not bear
        return None
    return changed, content(sheet) != key


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_key_changes_whenever_the_text_does(data: st.DataObject) -> None:
    """Also after other fields of the same thing have been changed, for some count only together."""
    number = data.draw(st.integers(0, len(some_sheets()) - 1))
    owner = data.draw(st.sampled_from(sorted(by_field(number))))
    way, value = data.draw(st.sampled_from(by_field(number)[owner]))
    sheet = some_sheets()[number]
    above = next((place for place in range(len(way), 0, -1) if isinstance(way[place - 1], str)), 0) - 1
    for field in data.draw(st.lists(st.sampled_from(fields(at(sheet, way[:above]))), max_size=3)):
        before = at(sheet, (*way[:above], field.name))
        if choices := list(others((owner[0], field.name), before)):
            sheet = put(sheet, (*way[:above], field.name), data.draw(st.sampled_from(choices)))
    try:
        changed = put(sheet, way, data.draw(st.sampled_from(list(others(owner, at(sheet, way))) or [value])))
        differs = sheet_text(changed) != sheet_text(sheet)
    except Exception:  # what the passes before never make, the emitter need not bear
        return
    assert content(changed) != content(sheet) or not differs, (owner, way)


def test_key_changes_only_for_what_some_text_depends_on() -> None:
    """Of every field that counts, a change can be seen in some text; of the others, none in any."""
    chance = random.Random(1)
    seen: Counter[tuple[str, str]] = Counter()
    changed: Counter[tuple[str, str]] = Counter()
    unread = {(kind.__name__, name) for kind, names in UNREAD.items() for name in names}
    for number in range(len(some_sheets())):
        for owner, found in by_field(number).items():
            if owner[0] in COARSE or (changed[owner] and owner not in unread):
                continue
            for way, value in found if len(found) <= FEW else chance.sample(found, 3):
                for new in others(owner, value):
                    result = outcome(number, way, new)
                    if result is None:
                        continue
                    assert result[1] or not result[0], (owner, way)
                    seen[owner] += result[1]
                    changed[owner] += result[0]
    useless = {owner for owner in seen if seen[owner] and not changed[owner]} - set(ONLY_WITH_OTHERS)
    assert not useless, (
        "no text depends on these alone: name them in ONLY_WITH_OTHERS, or, if the emitter never reads them, in UNREAD "
        "of lilypond/sheets.py"
    )
    assert not {owner for owner in unread if changed[owner]}, "a text depends on these: take them out of UNREAD"


def test_fields_that_do_not_count_exist() -> None:
    for kind, names in UNREAD.items():
        assert set(names) <= {field.name for field in fields(kind)}


def test_key_is_the_same_for_equal_sheets_made_apart() -> None:
    """From one text twice, with all remarks and lines moved, and from a file of another name."""
    moved = SCRIPT.replace("language 1\n", "language 1\n-- a remark\n\n")
    keys = []
    for name, text in (("watch.cavata", SCRIPT), ("other.cavata", moved)):
        compiled = compile_script(Path(name), name, text)
        assert compiled.score is not None
        keys.append([content(sheet) for sheet in sheets(written(compiled.score))])
    assert keys[0] == keys[1]


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_fields_that_do_not_count_are_not_even_read(script: Path) -> None:
    """Scores, parts and short scores of many scripts are set although whatever does not count must not be touched."""
    compiled = compile_script(script)
    if compiled.score is None or not compiled.score.movements:
        return
    for copy in copies(compiled.score, Wanted(parts=None), Diagnostics()):
        sheet = whole_sheet(written(copy.score))
        assert sheet_text(untouchable(sheet, UNREAD)) == sheet_text(sheet)


@pytest.mark.parametrize("kind", ["Marks", "Leaf", "WrittenBar", "Frame", "Group"])
def test_fields_that_do_not_count_are_not_read_beside_any_two_others(kind: str) -> None:
    """Of one mark, leaf, bar, frame and group any two fields are changed at once."""
    sheet = min(some_sheets(), key=lambda one: len(sheet_text(one)) if one.groups else 1_000_000)
    owners = [(way, owner[1], value) for way, owner, value in places(sheet) if owner[0] == kind]
    above = next(way[:-1] for way, name, value in owners if kind != "Leaf" or (name == "heads" and value))
    first = [(way, (kind, name), value) for way, name, value in owners if way[:-1] == above]
    new = {way: next(others(owner, value), value) for way, owner, value in first}
    for one, other in combinations(new, 2):
        changed = put(put(sheet, one, new[one]), other, new[other])
        try:
            text = sheet_text(changed)
        except Exception:  # what the passes before never make, the emitter need not bear
            continue
        assert sheet_text(untouchable(changed, UNREAD)) == text, (one, other)
