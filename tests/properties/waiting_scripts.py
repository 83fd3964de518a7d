"""Random pieces in which players wait: few short entries over many bars, with all that breaks a rest."""

from __future__ import annotations

from pathlib import Path

from hypothesis import strategies as st

from cavata.pipeline import compile_script
from cavata.score.score import Score

FORCES = {
    "flute": "flute", "clarinet": "clarinet in A", "horn": "horn", "drum": "side drum", "piano": "piano",
    "cello": "cello", "low": "double basses",
}  # fmt: skip
LINES = (
    "notes(1/4 D4 E4 F4 G4)", "notes(1/8 A3 B3 C4 D4 E4 F4) -> slurred", "notes(1/2 rest, 1/4 E4 D4) -> marked p",
    "notes(1/12 C4 D4 E4, 1/4 F4, 3/4 G4)", "notes(1/1 D4) -> fermata last", "notes(1/4 C4) -> marked ff accent x 3",
    "notes(3/2 E4)", "notes(1/4 D4 F4 A4) -> fermata last by 1/4",
)  # fmt: skip
METERS = ("4/4", "3/4", "6/8", "7/8 as 2+2+3", "2/2")
TEMPI = ("1/4 at 40", "1/4 at 120", '1/4. at 66, "Broad"', '"Calmly"')


@st.composite
def waiting_scripts(draw: st.DrawFn) -> str:
    """A script of one or two movements."""
    rows = ["language 2", "forces", *(f"    {name} = {words}" for name, words in FORCES.items())]
    for movement in range(draw(st.integers(1, 2))):
        rows.append(f'movement watch{movement} "Movement {movement}"')
        rows.append(f"    meter {draw(st.sampled_from(METERS))}")
        if draw(st.booleans()):
            rows.append(f"    tempo {draw(st.sampled_from(TEMPI))}")
        for section in range(draw(st.integers(1, 3))):
            rows += _section(draw, f"stage{section}")
    return "\n".join(rows) + "\n"


def _section(draw: st.DrawFn, name: str) -> list[str]:
    bars = draw(st.integers(4, 24))
    rows = [f"    section {name} {bars} bars"]
    if draw(st.booleans()):
        rows.append(f"        key {draw(st.sampled_from(('D minor', 'E major', 'Bb major')))}")
    if draw(st.booleans()):
        rows.append(f"        meter at bar {draw(st.integers(1, bars))}: {draw(st.sampled_from(METERS))}")
    if draw(st.booleans()):
        rows.append(f"        tempo at bar {draw(st.integers(1, bars))}: {draw(st.sampled_from(TEMPI))}")
    if draw(st.integers(0, 3)) == 0:
        rows.append("        repeated")
    for part in FORCES:
        busy = 0
        for _ in range(draw(st.integers(0, 2))):
            bar = busy + draw(st.integers(1, 12))
            if bar + 4 <= bars:
                rows.append(f"        {part} at bar {bar}: {draw(st.sampled_from(LINES))}")
                busy = bar + 4
    return rows


def score_of(text: str) -> Score:
    """The score of such a script; warnings are of no account."""
    result = compile_script(Path("waiting.cavata"), text=text)
    assert result.score is not None, (text, [(d.code, d.message, d.label) for d in result.bag.ordered()])
    return result.score
