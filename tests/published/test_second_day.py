"""A whole movement that goes through an interval is what music21 makes of it: `Stream.transpose`, notes and keys."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
from music21 import converter, interval, key, note, stream

from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written

PIECE = Path(__file__).parents[2] / "examples" / "three-watches" / "three-watches.cavata"
HEADING = "movement first "


@lru_cache(1)
def _plain() -> stream.Score:
    """As it stands in the script."""
    return _movement(PIECE.read_text(encoding="utf-8"))


def _movement(script: str) -> stream.Score:
    compiled = compile_script(PIECE, PIECE.name, text=script)
    assert compiled.score is not None, [message.message for message in compiled.bag.ordered()]
    parsed = converter.parseData(musicxml_bytes(written(compiled.score), "first"))
    assert isinstance(parsed, stream.Score)
    return parsed.toSoundingPitch()


def _pitches(score: stream.Score) -> list[list[str]]:
    return [
        [each.nameWithOctave for event in part.recurse().notes if isinstance(event, note.NotRest)
         for each in getattr(event, "pitches", ())]
        for part in score.parts
    ]  # fmt: skip


def _keys(score: stream.Score) -> list[list[int]]:
    return [[each.sharps for each in part.recurse().getElementsByClass(key.KeySignature)] for part in score.parts]


@pytest.mark.slow
@pytest.mark.parametrize(("said", "name"), [("down M2", "-M2"), ("up m3", "m3"), ("up P4", "P4"), ("down P8", "-P8")])
def test_a_movement_is_moved_as_music21_moves_it(said: str, name: str) -> None:
    script = PIECE.read_text(encoding="utf-8")
    line = next(line for line in script.splitlines() if line.startswith(HEADING))
    plain, moved = _plain(), _movement(script.replace(line, f"{line} -> {said}"))
    wanted = plain.transpose(interval.Interval(name))
    assert isinstance(wanted, stream.Score)
    assert _pitches(moved) == _pitches(wanted) != _pitches(plain)
    assert _keys(moved) == _keys(wanted)
