"""What the finder hears in a piece of our own, against what the compiler knows of it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from cavata.pipeline import Compiled, compile_script
from cavata.score.statements import stated_names
from cavata.study.library_ciphers import library_ciphers
from cavata.trace.hits import Closeness, Hit, Spacing
from cavata.trace.own_score import TracedStatement, heard_score, traced_statements
from cavata.trace.subject import FEWEST_NOTES, Sought, sought_name
from cavata.trace.trace import Freedom, Traced, trace

EXAMPLE = Path(__file__).resolve().parent.parent.parent / "examples" / "three-watches" / "three-watches.cavata"
NAMES = {"tamsin": "TAMSIN", "corwen": "CORWEN"}
TAMSIN, CORWEN = NAMES


@cache
def piece() -> Compiled:
    compiled = compile_script(EXAMPLE)
    assert compiled.score is not None, compiled.bag.ordered()
    return compiled


@cache
def known(name: str) -> tuple[TracedStatement, ...]:
    return told(piece(), name)


def told(made: Compiled, name: str) -> tuple[TracedStatement, ...]:
    assert made.program is not None and made.plan is not None and made.score is not None
    (found,) = (n for n in stated_names(made.program, made.plan, made.score) if n.name == name)
    return traced_statements(made.score, found)


@cache
def traced(name: str) -> tuple[tuple[str, Traced], ...]:
    """The name in each movement, with the movement's name in the script."""
    score = piece().score
    assert score is not None
    heard = zip(score.movements, heard_score(score), strict=True)
    return tuple((movement.name, trace([one], [sought(name)], Freedom(between=0))[0]) for movement, one in heard)


def heard(name: str) -> list[tuple[str, Hit]]:
    """Every hit by the cipher of the script, with the movement's name."""
    return [(m, hit) for m, found in traced(name) for hit in found.hits if hit.subject.cipher == "french"]


def sought(name: str) -> Sought:
    found = sought_name(NAMES[name], library_ciphers(), chosen=False)
    assert found is not None and found.subjects[0].cipher == "french"
    return found


def is_plain_line(statement: TracedStatement, length: int) -> bool:
    """Whole, in order or backwards, one note after another."""
    order = tuple(range(1, length + 1))
    return not statement.together and not statement.statement.between and statement.letters in (order, order[::-1])


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_every_plain_statement_is_heard(name: str) -> None:
    """Each whole statement in one line is a hit at the same onset in the same part with the same pitches, also one that
    is both inflected and transposed."""
    length = len(NAMES[name])
    plain = [s for s in known(name) if is_plain_line(s, length)]
    found = {(m, hit.parts[0], hit.onset): hit for m, hit in heard(name) if hit.kind.spacing is Spacing.ADJACENT}
    assert len(plain) >= 25
    for statement in plain:
        hit = found.get((statement.movement, statement.parts[0], statement.statement.onset))
        assert hit is not None, statement.statement.steps
        assert hit.pitches == statement.pitches and hit.bars == statement.bars


@pytest.mark.slow
def test_inflections_are_heard_at_the_letters_that_the_script_changed() -> None:
    """`sharp 1 -> flat last` is found as inflected at 1 and 6, where nothing else was done to the intervals."""
    changed = [s for s in known(TAMSIN) if s.inflected == (1, 6) and is_plain_line(s, 6)]
    hits = {(m, hit.parts[0], hit.onset): hit for m, hit in heard(TAMSIN)}
    assert changed
    for statement in changed:
        hit = hits.get((statement.movement, statement.parts[0], statement.statement.onset))
        if hit is not None and hit.kind.closeness is Closeness.INFLECTED:
            assert hit.inflected == (1, 6)
    at_pitch = [s for s in changed if not any(step.startswith(("up", "down", "sigh")) for step in s.statement.steps)]
    assert any(
        hits[s.movement, s.parts[0], s.statement.onset].inflected == (1, 6) for s in at_pitch
        if (s.movement, s.parts[0], s.statement.onset) in hits
    )  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_what_is_heard_as_meant_is_a_statement(name: str) -> None:
    """Hits in one line that chance hardly gives begin where the compiler knows letters of the name to sound."""
    score = piece().score
    assert score is not None
    sounding = {
        (movement.name, event.onset)
        for movement in score.movements
        for staves in movement.staves
        for staff in staves
        for voice in staff.voices
        for event in voice
        for head in event.event.heads
        for origin in head.origins
        if origin.letter is not None and origin.letter.name == name
    }
    meant = [
        (movement, hit)
        for movement, found in traced(name)
        for hit in found.hits
        if hit.subject.cipher == "french" and hit.kind.spacing in (Spacing.ADJACENT, Spacing.WOVEN)
        and found.chance(hit).probability <= 0.005
    ]  # fmt: skip
    assert len(meant) >= 25
    assert [hit.bars for movement, hit in meant if (movement, hit.onset) not in sounding] == []


def test_a_weave_is_heard_as_woven() -> None:
    """`mingled` weaves two names: each has every second note of the other's line."""
    woven = {(m, hit.onset) for m, hit in heard(CORWEN) if hit.kind.spacing is Spacing.WOVEN}
    woven_in_script = {
        (s.movement, s.statement.onset) for s in known(CORWEN)
        if s.statement.between == len(NAMES[CORWEN]) - 1 and len(s.letters) == 6
    }
    assert woven and woven_in_script
    assert len(woven_in_script & woven) >= len(woven_in_script) // 2


def test_a_chord_dealt_among_parts_is_one_statement() -> None:
    """`strings at bar 5: lamp` is one chord of six letters in five parts, two letters being one note."""
    chord = next(s for s in known(TAMSIN) if s.together and len(s.parts) == 5)
    assert sorted(chord.letters) == [1, 2, 3, 4, 5, 6] and chord.bars == "5"
    assert len(set(chord.pitches)) == 5


def test_statements_name_the_row_of_the_script() -> None:
    first = known(TAMSIN)[0]
    assert first.statement.line.text.startswith("hail") and first.statement.steps[:2] == ("sharp 1", "flat last")
    assert first.parts == ("Bassoon",) and first.texts == tuple("TAMSIN") and first.inflected == (1, 6)


def test_repeated_statements_are_told_apart() -> None:
    script = (
        'language 2\nuse german from ciphers\nname bach = "BACH" by german\nforces\n    flute = flute\n'
        "movement first\n    flute: bach x 2, bach -> retrograde, bach -> first 2\n"
    )
    made = compile_script(Path("lantern.cavata"), text=script)
    assert [s.letters for s in told(made, "bach")] == [(1, 2, 3, 4), (1, 2, 3, 4), (4, 3, 2, 1), (1, 2)]
    assert len(NAMES) >= 2 and FEWEST_NOTES == 3


def test_a_note_divided_for_a_marking_is_heard_as_one() -> None:
    """A hairpin begins and ends within a note of three bars, which is divided at either place."""
    script = (
        "language 2\nforces\n    flute = flute\nmovement first\n    section one 4 bars\n"
        "        flute: notes(3/1 D5, 1/1 E5)\n        flute bars 2 to 3: crescendo p f\n"
    )
    score = compile_script(Path("lantern.cavata"), text=script).score
    assert score is not None and len(score.movements[0].staves[0][0].voices[0]) == 4
    (line,) = heard_score(score)[0].lines
    assert [(note.onset, note.duration, note.after_rest) for note in line.notes] == [(0, 3, False), (3, 1, False)]
