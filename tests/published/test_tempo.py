"""How long a bar lasts under a metronome mark: worked figures, and music21's arithmetic beside ours."""

from __future__ import annotations

from fractions import Fraction

import music21.tempo
import pytest

from cavata.score.score import Tempo


def tempo(beat: str, per_minute: int) -> Tempo:
    return Tempo(Fraction(0), Fraction(beat), Fraction(per_minute))


@pytest.mark.parametrize(
    ("beat", "per_minute", "length", "seconds"),
    [
        ("1/4", 60, "4/4", "4"),
        ("1/4", 120, "3/4", "3/2"),
        ("1/2", 72, "1/4", "5/12"),
        ("1/8", 144, "1/4", "5/6"),
        ("1/8", 144, "3/4", "5/2"),
        ("3/8", 60, "6/8", "2"),
        ("3/8", 40, "12/8", "6"),
    ],
)
def test_seconds_of_a_length(beat: str, per_minute: int, length: str, seconds: str) -> None:
    """A beat lasts 60 / per_minute seconds. The first five are also music21's figures; the dotted beats follow by
    counting: two beats to 6/8, four to 12/8. Source: common practice."""
    assert tempo(beat, per_minute).seconds_per_whole * Fraction(length) == Fraction(seconds)


@pytest.mark.parametrize("beat", ["1/8", "1/4", "3/8", "1/2", "3/4", "1"])
@pytest.mark.parametrize("per_minute", [30, 48, 60, 72, 96, 132, 200])
def test_seconds_agree_with_music21(beat: str, per_minute: int) -> None:
    mark = music21.tempo.MetronomeMark(number=per_minute, referent=float(Fraction(beat) * 4))
    for length in ("1/16", "1/12", "1/4", "7/8", "2"):
        ours = tempo(beat, per_minute).seconds_per_whole * Fraction(length)
        assert float(ours) == pytest.approx(mark.durationToSeconds(float(Fraction(length) * 4)), rel=1e-9)
