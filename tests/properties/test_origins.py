"""No pitch that came from a letter loses it, from the name to the written note."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from random_scripts import Line, compiled, declarations, events_of, letters_of, lines, script, value
from rounds import rounds

from cavata.ciphers.cipher import name_signs
from cavata.notate.written import Leaf, WrittenScore, leaves
from cavata.pipeline import written
from cavata.score.score import Score, ScoreEvent

WRITTEN_NAMES = {"tamsin": "TAMSIN", "corwen": "CORWEN", "hedda": "HEDDA", "island": "ÉÆß"}
FORCES = """forces
    low      = cello
    reed     = clarinet in A
    keys     = piano
    drum     = bass drum
    high     = violins
"""
quietly = settings(
    max_examples=rounds(9),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],  # a whole script shrinks too slowly to wait for
)


@quietly
@given(lines())
def test_letters_stay_through_every_step(made: tuple[Line, ...]) -> None:
    result = compiled(script(declarations(made)))
    for line in made:
        found = value(result, line.name)
        if found is None:
            continue
        letters = letters_of(events_of(found))
        before = set().union(*(letters_of(events_of(value(result, name))) for name in line.uses))
        assert letters == before if line.keeps else letters <= before
        for letter in letters:
            name = WRITTEN_NAMES[letter.name]
            assert name_signs(name)[letter.position - 1].text == letter.text


@quietly
@given(lines())
def test_steps_are_remembered_in_order(made: tuple[Line, ...]) -> None:
    result = compiled(script(declarations(made)))
    for line in made:
        found = value(result, line.name)
        if found is None or not line.step:
            continue
        origins = [o for event in events_of(found) for head in event.heads for o in head.origins]
        assert all(origin.steps[-1] == line.step for origin in origins)


@pytest.mark.slow
@quietly
@given(
    lines(),
    st.sampled_from(["low", "reed", "keys", "drum", "keys.left"]),
    st.sampled_from(["", " until end", " for 1 bar", " x 2"]),
)
def test_letters_reach_the_page(made: tuple[Line, ...], part: str, repeat: str) -> None:
    parts = declarations(made)
    good = [line.name for line in made if value(compiled(script(parts)), line.name) is not None]
    if not good:
        return
    kept = [line.name for line in made if line.name in good]
    parts = [p for p in parts if not p.startswith("motif") or p.split()[1] in kept]
    movement = (
        f"movement first\n    meter 5/8\n    section one 40 bars\n        {part}: {good[-1]}{repeat}\n"
        f"        low, high at bar 20: together({good[0]}, {good[-1]} -> retrograde)\n"
    )
    result = compiled(script([*parts, FORCES, movement]))
    if result.score is not None:
        check_page(result.score, written(result.score))


def check_page(score: Score, page: WrittenScore) -> None:
    for movement, shown in zip(score.movements, page.movements, strict=True):
        for staves, part in zip(movement.staves, shown.parts, strict=True):
            for staff, bars in zip(staves, part.staves, strict=True):
                events = [event for voice in staff.voices for event in voice]
                letters_of(tuple(event.event for event in events))
                found = [leaf for bar in bars.bars for voice in bar.voices for leaf in leaves(voice) if leaf.heads]
                check_staff(events, found)


def check_staff(events: list[ScoreEvent], found: list[Leaf]) -> None:
    """Every leaf has the letters of its event, head by head, and every event has its leaves."""
    assert {id(event) for event in events} == {id(leaf.event) for leaf in found}
    shown = set()
    for leaf in found:
        assert leaf.event is not None
        assert {o for h in leaf.heads for o in h.origins} == {o for h in leaf.event.event.heads for o in h.origins}
        if id(leaf.event) not in shown:
            for head in leaf.heads:
                for origin in head.origins:
                    assert origin.letter is not None
                    assert origin.letter.text in leaf.letters.split()
        shown.add(id(leaf.event))

