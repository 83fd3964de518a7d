"""Parallel fifths and octaves: found where they were planted, and none in Fux's own solutions.

Sources: the chorale `demos/chorale_with_parallels` of music21's corpus, into which faults were written on purpose; the
figures of Fux's Gradus ad Parnassum in the folder beside this file, whose README names their source.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21 import converter, corpus
from rounds import rounds

from cavata.music.event import Event, Head
from cavata.music.pitch import Interval, Pitch, parse_pitch
from cavata.require.parallels import parallels
from cavata.score.score import ScoreEvent
from cavata.source import Source, Span

FUX = Path(__file__).parent / "fux"
NOWHERE = Span(Source("x", ""), 0, 0)


def event(onset: Fraction, duration: Fraction, pitch: Pitch) -> ScoreEvent:
    return ScoreEvent(onset, Event(duration, (Head(pitch, ()),)), NOWHERE)


def line(part: Any) -> tuple[ScoreEvent, ...]:
    """A part as another program read it, ties joined."""
    return tuple(
        event(
            Fraction(note.offset) / 4, Fraction(note.quarterLength) / 4,
            parse_pitch(note.pitch.nameWithOctave.replace("-", "b")),
        )
        for note in part.stripTies().flatten().notes
    )  # fmt: skip


@lru_cache(maxsize=1)
def chorale() -> tuple[tuple[ScoreEvent, ...], ...]:
    return tuple(line(part) for part in corpus.parse("demos/chorale_with_parallels").parts)


def found(interval: str) -> set[tuple[int, int, str]]:
    """Parts, and bar and beat (in 3/4) of the first note, with the notes."""
    return {
        (one + 1, other + 1, f"{bar_and_beat(p.first[0].onset)}: {p}")
        for one, other in combinations(range(4), 2)
        for p in parallels(chorale()[one], chorale()[other], interval)
    }


def bar_and_beat(onset: Fraction) -> str:
    bar, rest = divmod(onset, Fraction(3, 4))
    return f"bar {bar + 1} beat {rest * 4 + 1}"


def test_planted_octaves_are_found_in_their_bars() -> None:
    assert found("octaves") == {
        (1, 3, "bar 3 beat 3: A#5 B5 over A#4 B4"),
        (2, 4, "bar 1 beat 2: C#5 D5 over C#3 D3"),
        (2, 4, "bar 1 beat 3: D5 E5 over D3 E3"),
    }


def test_planted_fifth_is_found_in_its_bar() -> None:
    assert found("fifths") == {(2, 4, "bar 3 beat 3: C#5 D5 over F#3 G3")}


@pytest.mark.parametrize("path", sorted(FUX.glob("*.krn")), ids=lambda path: path.stem)
def test_fux_has_no_parallels(path: Path) -> None:
    one, other = (line(part) for part in converter.parse(path).parts)
    assert len(one) >= 10
    assert [str(p) for word in ("fifths", "octaves") for p in parallels(one, other, word)] == []


# ---------------------------------------------------------------- laws

STEPS = st.lists(st.integers(-1, 1), min_size=1, max_size=4)
WIDE = {"fifths": Interval(4, 7), "octaves": Interval(7, 12)}


def along(steps: list[int], start: Pitch) -> tuple[ScoreEvent, ...]:
    """A line of quarters by whole tones, so that every parallel stays perfect."""
    pitches = [start]
    for step in steps:
        pitches.append(pitches[-1] + Interval(step, 2 * step))
    return tuple(event(Fraction(n, 4), Fraction(1, 4), pitch) for n, pitch in enumerate(pitches))


@given(STEPS, st.sampled_from(sorted(WIDE)), st.integers(0, 2))
@settings(max_examples=rounds(6), deadline=None)
def test_every_move_of_a_line_doubled_at_the_interval_is_found(steps: list[int], word: str, octaves: int) -> None:
    start = parse_pitch("D4")
    low = along(steps, start)
    high = along(steps, (start + WIDE[word]).shifted(octaves))
    moved = sum(1 for step in steps if step)
    assert len(list(parallels(high, low, word))) == moved
    assert len(list(parallels(low, high, word))) == moved
    other = next(name for name in WIDE if name != word)
    assert list(parallels(high, low, other)) == []


@given(STEPS)
@settings(max_examples=rounds(8), deadline=None)
def test_contrary_motion_is_no_parallel(steps: list[int]) -> None:
    start = parse_pitch("D4")
    high, low = along(steps, start + WIDE["fifths"]), along([-step for step in steps], start)
    assert list(parallels(high, low, "fifths")) == []
