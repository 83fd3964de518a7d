"""A short score and a rehearsal copy of anything: nothing is added, what is held is held, hands reach what they strike.

Source of the widest span: a tenth is what a hand is asked for at most (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st
from random_scripts import compiled
from rounds import rounds

from cavata.edition.rehearsal import FINGERS, TENTH, rehearsal_score
from cavata.edition.short_score import bodies, short_score
from cavata.edition.stretches import MOST_VOICES
from cavata.notate.written import leaves
from cavata.pipeline import written
from cavata.score.score import Part, Score, ScoreEvent, Staff

pytestmark = pytest.mark.slow

FORCES = (
    "flute", "oboe", "bassoon", "horn", "tuba", "timpani", "snare drum", "triangle", "piano", "soprano", "bass voice",
    "violins", "viola", "cello", "double bass",
)  # fmt: skip
ITEMS = (
    "notes(1/2 D3 E3)", "notes(1/8 F3 G3 A3 B3, 1/2 C4)", "notes(1/1 D4)", "notes(1/4 A5 G5, 1/2 F5)", "1 bar rest",
    "1/4 rest", "notes(3/2 C4)", "notes(1/12 C5 D5 E5)", "notes(1/4 chord(C4 G4) chord(D4 A4))", "notes(1/1 C2)",
    "notes(1/4 C4 rest C4 C4)", "notes(5/4 E3)",
)  # fmt: skip

DRESS = ("", "", " -> slurred", " -> marked p", " -> crescendo p f")


@st.composite
def scripts(draw: st.DrawFn) -> str:
    chosen = draw(st.lists(st.sampled_from(FORCES), min_size=2, max_size=8))
    rows = ["forces"]
    rows += [f"    p{n} = {kind}" + ", soloist" * draw(st.booleans()) for n, kind in enumerate(chosen)]
    rows += ["movement first", "    section one"]
    for number, kind in enumerate(chosen):
        items = draw(st.lists(st.tuples(st.sampled_from(ITEMS), st.sampled_from(DRESS)), min_size=1, max_size=5))
        if kind in ("snare drum", "triangle"):
            rows.append(f"        p{number}: (1/4 1/8 1/8 rest 1/2), 1/4 rest, (3/4)")
        else:
            line = ", ".join(item if item.endswith(" rest") else item + dress for item, dress in items)
            rows.append(f"        p{number}: {line}")
    return "\n".join(rows) + "\n"


def events(staves: Iterable[Staff]) -> Iterator[ScoreEvent]:
    return (event for staff in staves for voice in staff.voices for event in voice if event.event.heads)


def struck(staves: Iterable[Staff]) -> set[tuple[Fraction, int]]:
    return {
        (event.onset, head.pitch.midi) for event in events(staves) if not event.tied_before
        for head in event.event.heads if head.pitch not in event.held_before
    }  # fmt: skip


def sounding(staves: Iterable[Staff], moments: Iterable[Fraction]) -> set[tuple[Fraction, int]]:
    found = list(events(staves))
    return {
        (moment, head.pitch.midi) for moment in moments for event in found
        if event.onset <= moment < event.end for head in event.event.heads
    }  # fmt: skip


def held(staves: Iterable[Staff]) -> dict[tuple[Fraction, int], set[Fraction]]:
    """For each key that is struck how long it sounds, ties included."""
    found: dict[tuple[Fraction, int], set[Fraction]] = {}
    for staff in staves:
        for voice in staff.voices:
            begun: dict[int, Fraction] = {}
            before = Fraction(-1)
            for event in voice:
                goes_on = {h.pitch.midi for h in event.event.heads if event.tied_before or h.pitch in event.held_before}
                keys = {head.pitch.midi for head in event.event.heads}
                begun = {key: begun[key] for key in begun if key in goes_on and before == event.onset}
                begun.update({key: event.onset for key in keys if key not in begun})
                for key in keys:
                    found.setdefault((begun[key], key), set()).add(event.end - begun[key])
                before = event.end
    return found


def moments(*groups: Iterable[Staff]) -> list[Fraction]:
    return sorted({at for staves in groups for event in events(staves) for at in (event.onset, event.end)})


def of(score: Score, parts: Iterable[Part]) -> list[Staff]:
    kept = list(parts)
    rows = zip(score.parts, score.movements[0].staves, strict=True)
    return [staff for part, staves in rows if part in kept for staff in staves]


SETTINGS = settings(
    max_examples=rounds(15), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip


@SETTINGS
@given(scripts())
def test_short_score_has_every_onset_and_nothing_new(script: str) -> None:
    score = compiled(script).score
    assert score is not None
    short = short_score(score)
    staves = list(bodies(score.parts))
    assert [part for body in staves for part in body.parts if part not in score.parts] == []
    assert sum(len(body.parts) for body in staves) == len(score.parts)
    for body, made in zip(staves, short.movements[0].staves, strict=True):
        whole = of(score, body.parts)
        assert {onset for onset, _ in struck(whole)} == {onset for onset, _ in struck(made)}
        assert struck(made) <= struck(whole)
        at = moments(whole, made)
        assert sounding(made, at) <= sounding(whole, at)
        for onset in {onset for onset, _ in struck(whole)}:
            keys = {key for each, key in struck(whole) if each == onset}
            assert {(onset, min(keys)), (onset, max(keys))} <= struck(made)


SILENT = """\
forces
    p0 = bassoon
    p2 = piano
    p6 = double bass
    p7 = piano, soloist
movement first
    p0: notes(1/1 C4) x 5
    p2: 3 bars rest, notes(1/2 D3 E3), notes(1/4 chord(C4 G4) chord(D4 A4))
    p6: 3 bars rest, 1/4 rest, notes(1/4 A5 G5, 1/2 F5)
    p7: 3 bars rest, notes(1/4 A5 G5, 1/2 F5)
"""
"""A chord alone in its bar, under a note that goes on from the bar before: it was left out."""


@SETTINGS
@given(scripts())
@example(SILENT)
def test_hands_reach_what_they_strike_and_hold_what_is_held(script: str) -> None:
    score = compiled(script).score
    assert score is not None
    copy = rehearsal_score(score, 0)
    solo, hands = copy.movements[0].staves
    assert solo == score.movements[0].staves[0]
    whole = of(score, [part for part in score.parts[1:] if not part.instrument.unpitched])
    assert struck(hands) <= struck(whole)
    at = moments(whole, hands)
    assert sounding(hands, at) <= sounding(whole, at)
    lengths = held(whole)
    again = {onset for onset, _ in struck(hands)}
    for place, found in held(hands).items():  # but where a tie would say that a key struck again goes on
        assert max(found) in lengths[place] or place[0] + max(found) in again
    for hand in hands:
        together: dict[Fraction, list[int]] = {}
        for onset, key in struck([hand]):
            together.setdefault(onset, []).append(key)
        for keys in together.values():
            assert max(keys) - min(keys) <= TENTH and len(keys) <= FINGERS
    bars = score.movements[0].bars
    for bar in bars:
        here = [onset for onset, _ in struck(whole) if bar.onset <= onset < bar.onset + bar.duration]
        assert not here or any(onset in here for onset, _ in struck(hands))


@settings(
    max_examples=rounds(6), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
@given(scripts())
def test_reductions_can_be_written(script: str) -> None:
    """No voice overlaps, slurs end, every bar is full, and a tie leads to the same pitch."""
    score = compiled(script).score
    assert score is not None
    for copy in (short_score(score), rehearsal_score(score, 0)):
        for staves in copy.movements[0].staves:
            for staff in staves:
                assert len(staff.voices) <= MOST_VOICES
                for voice in staff.voices:
                    assert all(one.end <= other.onset for one, other in pairwise(voice))
        for part in written(copy).movements[0].parts:
            for written_staff in part.staves:
                for voice in range(max(len(bar.voices) for bar in written_staff.bars)):
                    tied: set[object] = set()
                    for bar in written_staff.bars:
                        for leaf in leaves(bar.voices[voice] if voice < len(bar.voices) else ()):
                            assert {head.pitch for head in leaf.heads if head.tie_ends} == tied
                            tied = {head.pitch for head in leaf.heads if head.tie_begins}
                    assert not tied
