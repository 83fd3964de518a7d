"""What a note remembers of its letter."""

from __future__ import annotations

from cavata.music.event import Letter, Origin
from cavata.source import Source, Span

FIRST = Origin(Letter("tamsin", "T", 1, "french"), Span(Source("watch.cavata", "tamsin"), 0, 6))


def test_steps_are_kept_in_order() -> None:
    origin = FIRST.through("up m3").through("retrograde")
    assert origin.steps == ("up m3", "retrograde")
    assert origin.letter == FIRST.letter
    assert origin.span == FIRST.span


def test_every_inflection_is_remembered() -> None:
    origin = FIRST.inflected("sharp")
    assert origin.inflection == "sharp"
    assert origin.inflected("respelled").inflection == "sharp, respelled"
    assert origin.inflected("sharp") == origin
    assert origin.through("up m3").inflection == "sharp"
