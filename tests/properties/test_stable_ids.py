"""An id in MusicXML leads to one note, and stays with it while another part, another section or what is above changes.

Scripts and edits are made by chance: the edited part of one section is known, and every other note must be found under
its old id with its old pitch and length. `CAVATA_EDITS=2000` tries so many. Source of what an id may be: W3C, XML
Schema Part 2, `ID`, by the schema of MusicXML 4.0 (`musicxml_schema.py`).
"""

from __future__ import annotations

import os
import random
import re
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree

import pytest
from musicxml_schema import faults
from random_dress import compiled_dressed
from random_pieces import compiled_piece

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.musicxml.document import musicxml_bytes
from cavata.musicxml.ids import identified, ids_text, plain
from cavata.notate.written import WrittenScore
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import CopyKind

EDITS = range(int(os.environ.get("CAVATA_EDITS", "16")))
PIECES = range(int(os.environ.get("CAVATA_PIECES", "5")))
PARTS = ("flute", "viola", "harp", "harp.left")
TUNES = ("call", "answer", "ground")
Content = tuple[object, ...]


@dataclass
class Script:
    """Sections of rows; a row has items."""

    sections: dict[str, dict[str, list[str]]]
    tunes: dict[str, str]
    bars: dict[str, int]
    above: list[str] = field(default_factory=list)
    forces: list[str] = field(default_factory=lambda: ["flute = flute", "viola = viola", "harp = harp"])

    def text(self) -> str:
        lines = ["language 2", *self.above, *(f"motif {name} = {notes}" for name, notes in self.tunes.items())]
        lines += ["forces", *(f"    {row}" for row in self.forces), "movement first"]
        for name, rows in self.sections.items():
            lines.append(f"    section {name} {self.bars[name]} bars")
            lines += [f"        {part}: {', '.join(items)}" for part, items in rows.items() if items]
        return "\n".join(lines) + "\n"


def notes(chance: random.Random, octave: int = 4) -> str:
    """A line of one to four notes, some of which are tied over bar lines."""
    values = chance.choices(("1/8", "1/4", "3/8", "1/2", "3/4"), k=chance.randint(1, 4))
    said = [f"{value} {chance.choice('CDEFGAB')}{octave}" for value in values]
    return f"notes({', '.join(said)})"


def item(chance: random.Random) -> str:
    made = chance.choice((*TUNES, *TUNES, notes(chance, 5), "1/4 rest"))
    if "rest" in made:
        return made
    return made + chance.choice(("", "", " -> up M2", " -> down P4 -> marked p", " x 2"))


def script_by_chance(chance: random.Random) -> Script:
    names = [f"part{number}" for number in range(chance.randint(2, 3))]
    rows = {name: {part: [item(chance) for _ in range(chance.randint(0, 4))] for part in PARTS} for name in names}
    rows[names[0]]["viola"].append("call")
    return Script(rows, {name: notes(chance, 5) for name in TUNES}, dict.fromkeys(names, 20))


def edits(chance: random.Random, script: Script) -> tuple[Script, str, str]:
    """The script after an edit, and the section and part that it concerns; empty where it concerns none."""
    after = deepcopy(script)
    section = chance.choice(list(after.sections))
    part = chance.choice(PARTS)
    row = after.sections[section].setdefault(part, [])

    def insert() -> tuple[str, str]:
        row.insert(chance.randint(0, len(row)), item(chance))
        return section, part

    def remove() -> tuple[str, str]:
        del row[: chance.randint(0, len(row))]
        return section, part

    def above() -> tuple[str, str]:
        after.above += ["-- a remark", f"motif unheard{len(after.above)} = {notes(chance)}"][: chance.randint(1, 2)]
        return "", ""

    def longer() -> tuple[str, str]:
        after.bars[section] += 3
        return "", ""

    def new_section() -> tuple[str, str]:
        name, place = f"new{len(after.sections)}", chance.randint(0, len(after.sections))
        before, behind = list(after.sections.items())[:place], list(after.sections.items())[place:]
        after.sections = dict([*before, (name, {"flute": [item(chance), "call"]}), *behind])
        after.bars[name] = 8
        return name, "flute"

    def new_part() -> tuple[str, str]:
        name = f"oboe{len(after.forces)}"
        after.forces.insert(chance.randint(0, 3), f"{name} = oboe")
        after.sections[section][name] = [item(chance)]
        return section, name

    def rows_turned() -> tuple[str, str]:
        after.sections[section] = dict(reversed(after.sections[section].items()))
        return "", ""

    made: tuple[Callable[[], tuple[str, str]], ...] = (
        insert, insert, remove, above, longer, new_section, new_part, rows_turned,
    )  # fmt: skip
    return (after, *chance.choice(made)())


def compiled(text: str) -> WrittenScore:
    made = compile_script(Path("edited.cavata"), "edited.cavata", text=text)
    assert made.score is not None, (text, [message.message for message in made.bag.ordered()])
    return written(full_score(made.score))


def struck(page: WrittenScore) -> dict[str, Content]:
    """What stands under each id of a note: its heads, and how long it is written."""
    found: dict[str, Content] = {}
    for movement in page.movements:
        for _, identifier, leaf in identified(movement):
            if leaf is not None and leaf.heads:
                assert identifier not in found
                found[identifier] = tuple(head.pitch for head in leaf.heads), leaf.base, leaf.dots
    return found


@pytest.mark.parametrize("number", EDITS)
def test_an_id_stays_with_its_note_when_something_else_is_edited(number: int) -> None:
    chance = random.Random(number)
    script = script_by_chance(chance)
    old = struck(compiled(script.text()))
    for _ in range(2):
        script, section, part = edits(chance, script)
        new = struck(compiled(script.text()))
        concerned = f"first-{'harp.right' if part == 'harp' else part}-{section}-"
        untouched = {key: content for key, content in old.items() if not (part and key.startswith(concerned))}
        assert untouched.items() <= new.items(), script.text()
        assert part or new == old
        old = new


def test_edits_of_a_note_change_what_stands_under_its_id_and_nothing_else() -> None:
    """By hand: the third note of the second `call`."""
    script = Script(
        {"one": {"flute": ["call", "call -> up P5", "notes(1/4 D5 E5)"]}}, {"call": "notes(1/4 D4 E4 F4)"}, {"one": 2}
    )
    found = struck(compiled(script.text()))
    assert list(found) == [
        *(f"first-flute-one-call-{n}" for n in (1, 2, 3)), *(f"first-flute-one-call.2-{n}" for n in (1, 2, 3)),
        "first-flute-one-notes-1", "first-flute-one-notes-2",
    ]  # fmt: skip
    script.sections["one"]["flute"][1] += " -> sharp 3"
    changed = struck(compiled(script.text()))
    assert [key for key in found if found[key] != changed[key]] == ["first-flute-one-call.2-3"]


def test_every_turn_of_an_item_is_counted() -> None:
    """An item that is repeated, and the same again after another one; the other one counts for itself."""
    rows = {"flute": ["call x 2", "answer", "call"]}
    tunes = {"call": "notes(1/4 D4 E4)", "answer": "notes(1/2 D4)"}
    assert list(struck(compiled(Script({"one": rows}, tunes, {"one": 2}).text()))) == [
        f"first-flute-one-{note}"
        for note in ("call-1", "call-2", "call.2-1", "call.2-2", "answer-1", "call.3-1", "call.3-2")
    ]


def test_a_tied_note_a_chord_and_grace_notes_have_one_root() -> None:
    script = """language 2
forces
    flute = flute
    harp = harp
movement first
    flute: notes(3/4 D5, 1/2 E5, 3/4 F5) -> graced last by notes(1/8 G5)
    harp.left: chord(C3 E3 G3) held 5/4
"""
    document = ElementTree.fromstring(musicxml_bytes(compiled(script), "first"))
    ids = [note.get("id") for note in document.iter("note") if note.find("rest") is None]
    chord, tied = "first-harp.left-chord-1", "first-harp.left-chord-1t2"
    assert ids == [
        *(f"first-flute-notes-{n}" for n in ("1", "2", "2t2", "3g1", "3")),
        chord, f"{chord}h2", f"{chord}h3", tied, f"{tied}h2", f"{tied}h3",
    ]  # fmt: skip


def test_every_id_leads_to_the_item_that_it_names() -> None:
    """What is told of an id: at that line and column of the script stands what the id is called after."""
    text = script_by_chance(random.Random(2)).text()
    _, _, *rows = ids_text(compiled(text)).splitlines()
    lines = text.splitlines()
    assert len(rows) > 20
    for identifier, place, item in (re.split(r"  +", row, maxsplit=2) for row in rows):
        name, line, column = place.split(":")
        assert (name, lines[int(line) - 1][int(column) - 1 :][:4]) == ("edited.cavata", item[:4])
        thing = identifier.split("-")[-2].partition(".")[0]
        assert item.startswith(thing) or (thing, item[0]) == ("notes", item[0].upper())


def test_ids_of_all_scripts_are_plain() -> None:
    """Letters that are in no edition of XML 1.0, or only in some, are written as numbers."""
    assert [plain(name) for name in ("tune_12_b", "größe", "мотив", "旋律", "ªb", "_u00AA_b", "ᎠᎡ", "e\u0301")] == [
        "tune_12_b", "größe", "мотив", "旋律", "_u00AA_b", "_u005F_u00AA_b", "_u13A0__u13A1_", "é",
    ]  # fmt: skip
    script = """language 2
motif größeª = notes(1/1 D5)
forces
    旋律 = flute
movement μέρος
    旋律: größeª
"""
    document = musicxml_bytes(compiled(script), "μέρος")
    assert faults(document) == []
    assert 'id="μέρος-旋律-größe_u00AA_-1"'.encode() in document


MAKERS = {"notated": compiled_piece, "dressed": compiled_dressed}


def test_a_note_has_one_id_in_the_score_and_in_its_part() -> None:
    script = script_by_chance(random.Random(1))
    made = compile_script(Path("edited.cavata"), "edited.cavata", text=script.text())
    assert made.score is not None
    wanted = WantedCopies(parts=None, cues=False)
    score, *parts = [struck(written(copy.score)) for copy in copies(made.score, wanted, made.bag)]
    assert len(parts) == 3
    assert {key: content for part in parts for key, content in part.items()} == score


@pytest.mark.slow
@pytest.mark.parametrize("maker", MAKERS)
@pytest.mark.parametrize("number", PIECES)
def test_no_id_stands_twice_in_any_copy(maker: str, number: int) -> None:
    """In the score, in every part, in a short score and a rehearsal copy."""
    made: Compiled = MAKERS[maker](number)
    if made.score is None:
        pytest.skip("chance made a script with a mistake")
    names = tuple(part.name for part in made.score.parts)
    pitched = tuple(part.name for part in made.score.parts if not part.instrument.unpitched)
    kinds = set()
    above = tuple((part,) for part in pitched[:1])
    for wanted in (
        WantedCopies(parts=names), WantedCopies(False, short=True), WantedCopies(False, rehearsal=above)
    ):
        for copy in copies(made.score, wanted, Diagnostics()):
            page = written(copy.score)
            ids = [identifier for movement in page.movements for _, identifier, _ in identified(movement)]
            assert len(ids) == len(set(ids))
            assert all(re.fullmatch(r"[^\W\d][\w.-]*", identifier) for identifier in ids)
            kinds.add(page.header.kind)
    assert CopyKind.SCORE in kinds and CopyKind.PART in kinds
