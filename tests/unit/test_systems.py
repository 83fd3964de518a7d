"""What stands in the systems of a score: who is left out where silent.

Source: common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written
from cavata.score.score import Score

VIOLINS = "".join(f"    v{n} = violins\n" for n in range(10))
ORCHESTRA = f"forces\n    solo = flute, soloist\n{VIOLINS}    p = piano\n"
TUNE = "movement first\n    v1: notes(1/1 D5) x 8\n"
RUN = "notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5) x 12"
TRIO = (
    "forces\n    flute = flute\n    oboe = oboe\n    cello = cello\n"
    f"movement first\n    flute: {RUN}\n    cello: notes(1/4 D3 E3 F3 G3) x 12\n"
    f"movement second\n    flute: {RUN}\n"
)
"""The oboe never plays, the cello in the first movement only; each movement has several systems."""


def score(script: str) -> Score:
    compiled = compile_script(Path("s.cavata"), text="language 1\n" + script)
    assert compiled.score is not None, compiled.bag.ordered()
    return compiled.score


def page(script: str) -> WrittenScore:
    return written(full_score(score(script)))


def hidden(shown: WrittenScore, movement: int = 0) -> set[str]:
    """The parts that may be left out of systems of a movement."""
    parts = shown.movements[movement].parts
    assert all(len({staff.hides for staff in part.staves}) == 1 for part in parts)
    return {part.part.name for part in parts if part.staves[0].hides}


def printed(shown: WrittenScore, movement: int) -> list[str]:
    return [part.part.name for part in shown.movements[movement].printed]


def test_silent_staves_are_left_out_of_full_scores_of_many() -> None:
    """All but the soloist; the two staves of the piano count with the ten of the violins."""
    shown = page(ORCHESTRA + TUNE)
    assert hidden(shown) == {"p", *(f"v{n}" for n in range(10))}
    assert lilypond_text(shown).count("remove-empty = ##t") == 12


def test_nine_staves_are_not_many() -> None:
    rows = "".join(f"    v{n} = violins\n" for n in range(8))
    music = "movement first\n" + "".join(f"    v{n}: notes(1/1 D5) x 8\n" for n in range(8))
    nine, ten = (f"forces\n{rows}{more}{music}" for more in ("    f = flute\n", "    p = piano\n"))
    assert hidden(page(nine)) == {"f"}
    assert hidden(page(ten)) == {"p", *(f"v{n}" for n in range(8))}


@pytest.mark.parametrize(
    ("rows", "hides"),
    [
        ("v1: notes(1/1 D5), rest 3 bars, notes(1/1 D5)", True),
        ("v1: notes(1/1 D5), rest 4 bars, notes(1/1 D5)", False),
        ("v1: notes(1/1 D5), rest 3 bars, notes(1/1 D5), rest 3 bars, notes(1/1 D5)", True),
        ("v1: notes(6/1 D5), notes(1/1 D5)", True),
        ("v1: notes(6/1 D5)\n    v2: rest 1 bar, notes(1/1 C5), rest 4 bars, notes(1/1 C5)", True),
        ("section one 5 bars\n        v1: notes(1/1 D5)", False),
        ("section one 4 bars\n        v1: notes(1/1 D5)", True),
        ("section one 6 bars\n        v1 at bar 5: notes(1/1 D5)", False),
        ("section one 6 bars\n        v1 at bar 4: notes(1/1 D5)", True),
    ],
    ids=[
        "three bars", "four bars", "twice three bars", "held", "held beside another", "four at the end",
        "three at the end", "four at the beginning", "three at the beginning",
    ],
)  # fmt: skip
def test_who_plays_is_hidden_where_no_silence_is_as_long_as_a_system(rows: str, hides: bool) -> None:
    """Four bars of nobody might be a system without a staff; a note that is held is no silence."""
    assert ("v1" in hidden(page(f"{ORCHESTRA}movement first\n    {rows}\n"))) is hides


def test_part_that_never_plays_is_left_out_of_smaller_scores_too() -> None:
    shown = page(TRIO)
    assert printed(shown, 0) == ["flute", "oboe", "cello"] and hidden(shown) == {"oboe"}
    assert printed(shown, 1) == ["flute"]


def test_movement_in_which_nobody_plays_shows_everybody() -> None:
    silent = page(TRIO + "movement third\n    flute: rest 9 bars\n")
    assert printed(silent, 2) == ["flute", "oboe", "cello"] and hidden(silent, 2) == set()
