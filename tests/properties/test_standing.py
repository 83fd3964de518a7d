"""A compiler that stays while a script is edited gives after any edits what a fresh one gives.

Everything is compared: each message with its place, and the whole score with the places in the script that it
remembers.
"""

from __future__ import annotations

import os
from pathlib import Path
from random import Random
from typing import Any

import pytest

from cavata.diagnostics import messages_json
from cavata.pipeline import Compiled, Kept, compile_script, compile_versions
from cavata.record import SLOTS
from cavata.source import Span

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
SCRIPTS = [
    path for path in sorted(EXAMPLES.rglob("*.cavata"))
    if path.parent.name != "shore" and len(path.read_text("utf-8").splitlines()) < 200
]  # fmt: skip
EDITS = int(os.environ.get("CAVATA_SAVES", "2"))
"""How many edits are made to each script."""
WORDS = (
    "retrograde", "inversion", "marked mf", "up M3", "x 2", "1/4", "1/8 rest", "(", ")", "->", "+", '"', "\t",
    "for 2 bars", "violin", "tempo 1/4 = 90", "bars 1 to 2", "-- a word", "\u200b", "movement again", "q", "",
)  # fmt: skip


def described(value: Any, known: dict[int, Any]) -> Any:
    """A value as plain tuples, each place in a script by file and offsets."""
    if id(value) in known:
        return known[id(value)][1]
    match value:
        case Span():
            made: Any = (value.source.name, value.start, value.end, value.line, value.column)
        case tuple():
            made = tuple([described(each, known) for each in value])
        case dict():
            made = {described(key, known): described(each, known) for key, each in value.items()}
        case _:
            slots = SLOTS.get(type(value))
            made = value
            if slots is not None:
                made = (type(value).__name__, *[described(getattr(value, name), known) for name in slots])
    known[id(value)] = value, made
    return made


def told(compiled: Compiled) -> tuple[Any, Any]:
    return messages_json(compiled.bag.ordered()), described(compiled.score, {})


def compiled(path: Path, text: str, kept: Kept | None) -> Compiled:
    made = compile_script(path, text=text, kept=kept)
    compile_versions(made, kept)
    return made


def edited(text: str, by: Random) -> str:
    """The text after one edit: a row moved, doubled, taken out or put in, or a word changed, put in or taken out."""
    rows = text.split("\n")
    place, other = by.randrange(len(rows)), by.randrange(len(rows))
    match by.randrange(8):
        case 0:
            rows.insert(place, by.choice(["", "-- a remark", rows[other]]))
        case 1:
            del rows[place]
        case 2:
            rows[place], rows[other] = rows[other], rows[place]
        case 3:
            rows[place] = rows[other]
        case 4:
            rows[place] = "  " + rows[place] if by.randrange(2) else rows[place].lstrip(" ")
        case _:
            words = rows[place].split(" ")
            at = by.randrange(len(words))
            words[at : at + by.randrange(2)] = [by.choice([*WORDS, *rows[other].split(" ")])]
            rows[place] = " ".join(words)
    return "\n".join(rows)


@pytest.mark.slow
@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_after_any_edits_all_is_as_if_compiled_afresh(path: Path) -> None:
    by, first = Random(path.stem), path.read_text("utf-8")
    kept, text = Kept(), first
    assert told(compiled(path, text, kept)) == told(compiled(path, text, None))
    for number in range(EDITS):
        # Half of the edits go on from the one before; the others begin again where nothing was wrong.
        text = edited(text if number % 2 else first, by)
        assert told(compiled(path, text, kept)) == told(compiled(path, text, None)), text


def test_a_row_above_everything_changes_no_movement() -> None:
    path = EXAMPLES / "three-watches" / "three-watches.cavata"
    kept, text = Kept(), path.read_text("utf-8")
    before = compile_script(path, text=text, kept=kept)
    after = compile_script(path, text=f"-- a remark\n{text}", kept=kept)
    assert before.score is not None and after.score is not None
    assert all(old is new for old, new in zip(before.score.movements, after.score.movements, strict=True))
