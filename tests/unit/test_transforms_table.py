"""Every transform of the table, written once: on a line, on a rhythm, on lines together, on a line with an upbeat.

Source of what makes sense of what: the handbook, the chapters of transforms.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

from written_transforms import EXAMPLES

from cavata.music.event import Motif, Rhythm, Texture
from cavata.names.program import Identity
from cavata.pipeline import compile_script
from cavata.transforms.table import LENGTHS, TRANSFORMS


def test_every_transform_is_written_here() -> None:
    patterns = [each.pattern for family in TRANSFORMS.values() for each in family]
    patterns += [each.pattern for each in LENGTHS.values()]
    assert sorted({*patterns} ^ {*EXAMPLES}) == [], "each has its row in EXAMPLES of tests/written_transforms.py"


@cache
def made(kind: str, start: str) -> dict[str, Motif | Texture | Rhythm | str]:
    """What each transform makes of a value, or the code of the message that it cannot."""
    names = {pattern: f"made{number}" for number, pattern in enumerate(EXAMPLES)}
    rows = [
        f"{kind} {names[pattern]} = start{'' if pattern.split()[0] in LENGTHS else ' ->'} {words}\n"
        for pattern, words in EXAMPLES.items()
    ]
    forces = "forces\n    a = violin\n    b = viola\n"
    text = f"language 2\n{kind} start = {start}\n{''.join(rows)}{forces}"
    compiled = compile_script(Path("s.cavata"), "s.cavata", text=text)
    assert compiled.plan is not None
    found: dict[str, Motif | Texture | Rhythm | str] = {}
    for pattern, name in names.items():
        value = compiled.plan.values.get(Identity(compiled.plan.main, name))
        found[pattern] = "" if value is None else value  # type: ignore[assignment]
    lines = text.splitlines()
    for message in compiled.bag.ordered():
        assert message.span is not None
        row = lines[message.span.line - 1]
        if message.code != "N301":
            found[next(pattern for pattern, name in names.items() if f" {name} = " in row)] = message.code
    return found


def those(kind: str, start: str, wanted: type | str) -> set[str]:
    """The patterns of which comes a value of a type, or a message of a code."""
    found = made(kind, start)
    return {
        pattern for pattern, value in found.items()
        if (value == wanted if isinstance(wanted, str) else isinstance(value, wanted))
    }  # fmt: skip


LINE = "notes(1/4 D4 D4 E4 chord(F4 A4))"
LINES = "together(notes(1/4 D4), notes(1/4 A4))"
UPBEAT = "notes(1/4 D4 | D4 E4 F4 chord(E4 G4) | D4 E4 F4)"
SPREAD = {"voiced across PARTS below MOTIF", "voiced across PARTS"}
OF_RHYTHMS = {
    "retrograde", "rotated COUNT", "first COUNT", "last COUNT", "notes NOTES", "diminution RATIO", "augmentation RATIO",
    "lengthened [NOTES] to DURATION", "x COUNT", "for DURATION", "held DURATION",
}  # fmt: skip
MOVING_BAR_LINES = {
    "retrograde", "rotated COUNT", "first COUNT", "last COUNT", "notes NOTES", "without NOTES",
    "sequence COUNT by INTERVAL up|down", "diminution RATIO", "augmentation RATIO", "in RHYTHM [cycle]",
    "lengthened [NOTES] to DURATION", "as chord", "broken ascending|descending",
}  # fmt: skip
"""Order and time; and what makes one chord of several notes, or several notes of one chord."""


def test_rhythm_goes_through_what_needs_no_pitch() -> None:
    assert those("rhythm", "(1/4)", Rhythm) == OF_RHYTHMS, "one that has `on_rhythm` stands in OF_RHYTHMS"
    assert those("rhythm", "(1/4)", "V215") == set(EXAMPLES) - OF_RHYTHMS


def test_line_stays_a_line_unless_it_is_spread_over_parts() -> None:
    assert those("motif", LINE, Texture) == SPREAD
    assert those("motif", LINE, Motif) == set(EXAMPLES) - SPREAD - {"on INSTRUMENT", "held DURATION"}


def test_lines_together_stay_together_unless_one_is_taken() -> None:
    taken = {"bass", "top", "upper", "inner", "voice COUNT"}
    assert those("motif", LINES, Motif) == taken
    assert those("motif", LINES, "V401") == SPREAD
    refused = {"from PITCH", "respelled NOTES as CLASS", "tied [NOTES]", "rolled [NOTES]", "on INSTRUMENT"}
    assert those("motif", LINES, Texture) == set(EXAMPLES) - taken - SPREAD - refused


def test_upbeat_stays_where_no_bar_line_moves() -> None:
    lines = {pattern: value for pattern, value in made("motif", UPBEAT).items() if isinstance(value, Motif)}
    without = {pattern for pattern, line in lines.items() if not line.upbeat}
    assert without == MOVING_BAR_LINES, "one that moves bar lines stands in MOVING_BAR_LINES"
    assert all((line.upbeat, line.bar) == (Fraction(1, 4), 1) for line in lines.values() if line.upbeat)
