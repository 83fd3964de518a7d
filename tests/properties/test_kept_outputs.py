"""No wrong file can come from what is kept: MusicXML and MIDI after an edit are byte for byte those made afresh.

`CAVATA_EDITS=2000 pytest tests/properties/test_kept_outputs.py` tries so many edits instead of four, and every field.
"""

from __future__ import annotations

import os
import random
import types
import typing
from collections.abc import Iterator
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import pytest
from changed_sheets import places, unshared
from edited_rows import SCRIPT, score_of, script_edited
from rounds import some_of

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.kept_outputs import KeptOutputs
from cavata.musicxml.document import document, musicxml_bytes
from cavata.musicxml.single import Single, single
from cavata.perform.perform import perform
from cavata.pipeline import compile_script, written
from cavata.reads import Field, content, noted
from cavata.record import SLOTS
from cavata.score.score import Score
from cavata.sound.midi import MovementSounds, SoundsAlone, midi_bytes, midi_of, movement_sounds
from cavata.sound.packed import packed
from cavata.source import Span

EDITS = int(os.environ.get("CAVATA_EDITS", "4"))
FIELDS_EACH = 3
"""How many fields are tried for each edit that is."""
ROOT = Path(__file__).parent.parent.parent
SCRIPTS = some_of(sorted(ROOT.glob("tests/golden/*/*.cavata")), 3)


@pytest.fixture(scope="module", autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """One for all edits, so that what is kept of any of them may be found for any other."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


def midi_of_score(score: Score, performed: bool) -> bytes:
    return midi_bytes(score, perform(score) if performed else None)


class Made:
    """How often it was made, and not found, how a movement sounds."""

    count = 0


def files(score: Score, made: Made) -> dict[str, bytes]:
    """MusicXML of the full score, and MIDI, by the ways of a build."""

    def counted(made_of: SoundsAlone) -> MovementSounds:
        made.count += 1
        return movement_sounds(made_of)

    with pytest.MonkeyPatch.context() as patch, KeptOutputs() as kept:
        patch.setattr("cavata.sound.midi.movement_sounds", counted)
        page = written(next(copies(score, WantedCopies(), Diagnostics())).score)
        found = {movement.name: kept.musicxml(page, movement.name) for movement in page.movements}
        return found | {f"{performed}.mid": midi_of(score, performed, kept.sounding) for performed in (True, False)}


def fresh(score: Score) -> dict[str, bytes]:
    page = written(next(copies(score, WantedCopies(), Diagnostics())).score)
    found = {movement.name: musicxml_bytes(page, movement.name) for movement in page.movements}
    return found | {f"{performed}.mid": midi_of_score(score, performed) for performed in (True, False)}


@pytest.mark.slow
@pytest.mark.parametrize("number", range(EDITS))
def test_kept_outputs_are_the_fresh_ones_after_an_edit(number: int) -> None:
    before, after, row = script_edited(number)
    old, new = score_of(before), score_of(after)
    if old is None or new is None or not old.movements or not new.movements:
        return
    files(old, Made())
    made, again = fresh(new), Made()
    assert files(new, Made()) == made, row
    assert files(new, again) == made and again.count == 0, row


# ---------------------------------------------------------------- what a key is made of


def sounds_alone(score: Score) -> list[SoundsAlone]:
    """What the sounds of each movement are made of."""
    found: list[SoundsAlone] = []

    def sounding(made_of: SoundsAlone) -> MovementSounds:
        found.append(made_of)
        return movement_sounds(made_of)

    midi_of(score, True, sounding)
    return found


@lru_cache
def some_values() -> tuple[Single, SoundsAlone]:
    """What a MusicXML document is made of, and what the sounds of a movement are made of."""
    score = score_of(SCRIPT)
    assert score is not None
    page = written(next(copies(score, WantedCopies(), Diagnostics())).score)
    return single(page, "first"), sounds_alone(score)[0]


def made_of(value: Single | SoundsAlone) -> bytes:
    return document(value) if isinstance(value, Single) else packed(movement_sounds(value))


def read_of(value: Single | SoundsAlone) -> tuple[bytes, set[Field]]:
    seen: set[Field] = set()
    with noted(seen):
        return made_of(value), seen


@pytest.mark.slow
@pytest.mark.parametrize("number", [0, 1])
def test_what_is_read_does_not_hang_on_what_is_shared(number: int) -> None:
    """A comparison of tuples ends where both hold one object, and reads nothing of it: none decides anything."""
    value = some_values()[number]
    assert read_of(unshared(value)) == read_of(value)


SMALL = """language 2
piece "Lamp"
    paper A4
forces
    flute = flute
movement first
    flute: notes(1/4 C5 D5 E5 F5)
movement second
    flute: notes(1/4 C5 D5 E5 F5)
"""


def test_a_movement_is_not_made_again_for_another() -> None:
    pages = []
    for text in (SMALL, SMALL.replace("F5)\nmovement second", "G5)\nmovement second")):
        score = score_of(text)
        assert score is not None
        pages.append(written(score))
    seen = read_of(single(pages[0], "first"))[1]
    for name, same in (("first", False), ("second", True)):
        one, other = (content(single(page, name), seen) for page in pages)
        assert (one == other) == same


def test_sounds_are_made_again_only_for_a_movement_that_sounds_otherwise() -> None:
    """Not for the paper or the lines of the script, nor where an earlier movement became longer; performed or not."""
    second = "movement second\n    flute: notes(1/4 C5"
    for text, count in (
        (SMALL, 4), ("-- a remark\n" + SMALL.replace("A4", "A3"), 0), (SMALL.replace(second, second + " B4"), 2),
        (SMALL.replace("F5)\nmovement second", "F5 G5)\nmovement second"), 2), (SMALL.replace("C5", "B4"), 4),
    ):  # fmt: skip
        score, made = score_of(text), Made()
        assert score is not None
        assert files(score, made) == fresh(score)
        assert made.count == count, text


def test_all_that_can_be_read_can_be_part_of_a_key() -> None:
    """By the types of all fields: nothing but records, tuples and plain values hangs on a score."""
    waiting: list[tuple[str, object]] = [("Single", Single), ("SoundsAlone", SoundsAlone)]
    met: set[object] = set()
    while waiting:
        where, kind = waiting.pop()
        if typing.get_origin(kind) in (tuple, typing.Union, types.UnionType):
            waiting += [(where, each) for each in typing.get_args(kind) if each is not Ellipsis]
            continue
        if isinstance(kind, typing.TypeVar):  # a record may be of a kind, as `SharedStaff[str]`, which was met with it
            continue
        waiting += [(where, each) for each in typing.get_args(kind)]
        found = typing.get_origin(kind) or kind
        assert isinstance(found, type), where
        plain = found in (str, int, float, bool, bytes, type(None), Fraction, Span) or issubclass(found, Enum)
        assert plain or found in SLOTS, (where, kind)
        if not plain and found not in met:
            met.add(found)
            hints = typing.get_type_hints(found)
            waiting += [(f"{found.__name__}.{name}", hints[name]) for name in SLOTS[found]]
    assert len(met) > 30


@pytest.mark.slow
@pytest.mark.parametrize("number", [0, 1])
def test_key_changes_with_every_field_that_a_file_depends_on(number: int) -> None:
    """Each field of each class in one place, without its value: what has the key of before has its bytes too."""
    from changed_sheets import others, put

    value, chance = some_values()[number], random.Random(number)
    made, seen = read_of(value)
    key, by_owner = content(value, seen), dict[tuple[str, str], list[tuple[object, object]]]()
    for way, owner, inner in places(value):
        by_owner.setdefault(owner, []).append((way, inner))
    owners = sorted(by_owner)
    for owner in chance.sample(owners, min(FIELDS_EACH * EDITS, len(owners))):
        way, inner = chance.choice(by_owner[owner])
        for new in list(others(owner, inner))[:1]:
            changed = put(value, way, new)  # type: ignore[arg-type]  # a place is a tuple of steps
            if content(changed, seen) == key:
                assert made_of(changed) == made, (owner, way)


@pytest.mark.slow
@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_no_file_reads_what_no_key_can_hold(script: Path) -> None:
    """Of many scripts a key can be made, in which nothing counts of the places in the script."""
    score = compile_script(script).score
    if score is None or not score.movements:
        return
    page = written(next(copies(score, WantedCopies(), Diagnostics())).score)
    values = [*sounds_alone(score), *(single(page, movement.name) for movement in page.movements)]
    for value in values:
        _, seen = read_of(value)
        assert content(value, seen) and not {kind for kind, _ in seen if kind == "cavata.source.Span"}
