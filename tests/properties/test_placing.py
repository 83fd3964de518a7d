"""Whatever a script asks for, a score's bars follow one another and its voices never overlap."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, Phase, event, given, settings
from hypothesis import strategies as st
from random_scripts import compiled, script
from rounds import rounds

from cavata.score.score import Movement

DEFINITIONS = (
    'name tamsin = "TAMSIN" by french', 'name corwen = "CORWEN" by french',
    "motif lamp = tamsin -> as chord held 3/4", "motif pair = together(tamsin, corwen -> in (1/8 1/16 rest))",
    "rhythm knock = (1/8 rest 1/4 1/12 1/6)",
)  # fmt: skip
FORCES = "forces\n    one = violins\n    two = violins\n    keys = piano\n    drum = bass drum"
METERS = ("3/4", "6/8", "7/8 as 2+2+3", "2/2", "5/16", "none")
ITEMS = (
    "tamsin", "corwen -> in knock", "lamp", "1/8 rest", "1 bar rest", "rest to bar 2", "rest to bar 5", "notes(1/1 C5)",
)  # fmt: skip
REPEATS = ("", "", " x 3", " for 2 bars", " for 5/12", " until end", " over")


@st.composite
def line(draw: st.DrawFn, part: str) -> str:
    place = draw(st.sampled_from(["", "", " at bar 2", " at bar 1 beat 2 + 1/16", " at bar 4"]))
    items = draw(st.lists(st.sampled_from(ITEMS), min_size=1, max_size=4))
    is_rest = "rest" in items[-1] and "(" not in items[-1]
    last = items[-1] + ("" if is_rest else draw(st.sampled_from(REPEATS)))
    if part == "one, two":
        items, last = [], "pair" + draw(st.sampled_from(REPEATS))
    if part == "drum":
        items, last = [], "knock" + draw(st.sampled_from(REPEATS))
    return f"        {part}{place}: " + ", ".join([*items[:-1], last])


@st.composite
def sections(draw: st.DrawFn, number: int) -> str:
    bars = draw(st.sampled_from(["", "", " 6 bars", " 1 bar"]))
    rows = [f"    section s{number}{bars}"]
    rows += [f"        meter {draw(st.sampled_from(METERS))}"] * draw(st.booleans())
    rows += [f"        meter at bar 2: {draw(st.sampled_from(METERS[:-1]))}"] * draw(st.booleans())
    parts = draw(st.lists(st.sampled_from(["one", "keys", "keys.left", "one, two", "drum"]), max_size=3, unique=True))
    rows += [draw(line(part)) for part in parts]
    return "\n".join(rows)


@st.composite
def movements(draw: st.DrawFn) -> str:
    head = ["movement first"]
    head += ["    pickup 1/8"] * draw(st.booleans())
    head += [draw(sections(number)) for number in range(draw(st.integers(1, 3)))]
    return "\n".join(head)


@pytest.mark.slow
@settings(
    max_examples=rounds(12), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
@given(movements())
def test_bars_are_whole_and_voices_do_not_overlap(text: str) -> None:
    result = compiled(script([*DEFINITIONS, FORCES, text]))
    assert (result.score is None) == result.bag.has_errors
    event("placed" if result.score else "refused")
    for movement in result.score.movements if result.score else ():
        check_bars(movement)
        for staff in (staff for staves in movement.staves for staff in staves):
            for voice in staff.voices:
                assert all(sounding.event.heads and sounding.event.duration > 0 for sounding in voice)
                assert all(a.end <= b.onset for a, b in pairwise(voice))
                assert not voice or (voice[0].onset >= 0 and voice[-1].end <= movement.duration)


def check_bars(movement: Movement) -> None:
    at = F(0)
    for bar in movement.bars:
        assert bar.onset == at
        assert bar.duration > 0
        if bar.meter is not None and bar.number:
            assert bar.duration == bar.meter.duration
        at += bar.duration
    assert at == movement.duration
    assert [section.onset for section in movement.sections] == [
        movement.bars[section.first_bar].onset for section in movement.sections
    ]
    assert movement.tempi[0].onset == 0
    assert all(a.onset < b.onset for a, b in pairwise(movement.tempi))
