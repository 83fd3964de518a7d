"""Every transform of the table, written once: on a line, on a rhythm, on lines together, on a line with an upbeat.

Source of what makes sense of what: the handbook, the chapters of transforms.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

from cavata.music.event import Motif, Rhythm, Texture
from cavata.names.program import Identity
from cavata.pipeline import compile_script
from cavata.transforms.table import LENGTHS, TRANSFORMS

EXAMPLES = {
    "up INTERVAL": "up m3",
    "down INTERVAL": "down m3",
    "step up COUNT in MODE": "step up 2 in C major",
    "step down COUNT in MODE": "step down 2 in C major",
    "inverted about PITCH": "inverted about D4",
    "inverted in MODE about PITCH": "inverted in C major about D4",
    "from PITCH": "from D5",
    "within RANGE": "within C4..D5",
    "closest": "closest",
    "ascending": "ascending",
    "descending": "descending",
    "expanded COUNT": "expanded 2",
    "sharp [NOTES]": "sharp 1",
    "flat [NOTES]": "flat 1",
    "natural [NOTES]": "natural 1",
    "raised [NOTES]": "raised 1",
    "lowered [NOTES]": "lowered 1",
    "respelled simply in MODE": "respelled simply in C major",
    "respelled simply": "respelled simply",
    "respelled NOTES as CLASS": "respelled 1 as C##",
    "retrograde": "retrograde",
    "rotated COUNT": "rotated 1",
    "first COUNT": "first 1",
    "last COUNT": "last 1",
    "notes NOTES": "notes 1",
    "without NOTES": "without 1",
    "sequence COUNT by INTERVAL up|down": "sequence 2 by m2 up",
    "diminution RATIO": "diminution 2",
    "augmentation RATIO": "augmentation 2",
    "in RHYTHM [cycle]": "in (1/8)",
    "tied [NOTES]": "tied 1",
    "lengthened [NOTES] to DURATION": "lengthened 1 to 1/2",
    "as chord": "as chord",
    "broken ascending|descending": "broken ascending",
    "bass": "bass",
    "top": "top",
    "upper": "upper",
    "inner": "inner",
    "voice COUNT": "voice 1",
    "voiced close|open": "voiced close",
    "doubled at INTERVAL above|below": "doubled at P8 below",
    "harmonized in MODE with thirds|sixths|triads above|below": "harmonized in C major with thirds below",
    "harmonized with MOTIF": "harmonized with notes(1/4 chord(C3 G3))",
    "voiced across PARTS below MOTIF": "voiced across a b below notes(1/1 C6)",
    "voiced across PARTS": "voiced across a b",
    "neighbors in MODE": "neighbors in C major",
    "passing in MODE": "passing in C major",
    "marked [NOTES] MARKINGS": "marked 1 p",
    "crescendo [NOTES] DYNAMIC DYNAMIC": "crescendo p f",
    "diminuendo [NOTES] DYNAMIC DYNAMIC": "diminuendo f p",
    "sung [NOTES] TEXT [unslurred]": 'sung "la"',
    "sung [NOTES] verse COUNT TEXT [unslurred]": 'sung verse 2 "la"',
    "spoken [NOTES] TEXT": 'spoken "la"',
    "spoken [NOTES] verse COUNT TEXT": 'spoken verse 2 "la"',
    "chant [NOTES]": "chant",
    "division NOTES quarter|half|full|double": "division 1 half",
    "figured [NOTES] TEXT": 'figured "6"',
    "labeled [NOTES] TEXT": 'labeled "R"',
    "optional [NOTES]": "optional",
    "slurred [NOTES]": "slurred",
    "trill [NOTES] to INTERVAL": "trill to m2",
    "trill [NOTES]": "trill",
    "turn [NOTES]": "turn",
    "mordent [NOTES]": "mordent",
    "tremolo [NOTES] DURATION": "tremolo 1/16",
    "tremolo [NOTES]": "tremolo",
    "rolled [NOTES]": "rolled",
    "glissando [NOTES]": "glissando 1",
    "graced [NOTES] by MOTIF": "graced by notes(1/8 C4)",
    "fermata NOTES by DURATION": "fermata 1 by 1/4",
    "fermata NOTES": "fermata 1",
    "symbols of MOTIF": "symbols of chords(1/4 Dm)",
    "harmonic [NOTES] touching INTERVAL": "harmonic touching P4",
    "harmonic [NOTES] on CLASS": "harmonic on D",
    "sul [NOTES] CLASS": "sul G",
    "played [NOTES] on string COUNT": "played on string 1",
    "on INSTRUMENT": "on piccolo",
    "without symbols": "without symbols",
    "sustain_pedal [NOTES]": "sustain_pedal",
    "x COUNT": "x 2",
    "for DURATION": "for 1/2",
    "held DURATION": "held 1/2",
}
"""Each pattern with words that fit it."""


def test_every_transform_is_written_here() -> None:
    patterns = [each.pattern for family in TRANSFORMS.values() for each in family]
    assert sorted(EXAMPLES) == sorted([*patterns, *(each.pattern for each in LENGTHS.values())])


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
    assert those("rhythm", "(1/4)", Rhythm) == OF_RHYTHMS
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
    assert {pattern for pattern, line in lines.items() if not line.upbeat} == MOVING_BAR_LINES
    assert all((line.upbeat, line.bar) == (Fraction(1, 4), 1) for line in lines.values() if line.upbeat)
