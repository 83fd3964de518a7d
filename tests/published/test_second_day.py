"""A whole movement that goes through an interval is what music21 makes of it: `Stream.transpose`, notes and keys."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
from music21 import converter, interval, key, note, stream

from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written

EXAMPLES = Path(__file__).parents[2] / "examples"
CONCERTO, QUINTET = (EXAMPLES / "gallery" / f"{name}.cavata" for name in ("concerto", "wind_quintet"))


@lru_cache
def _movement(piece: Path, through: str = "") -> stream.Score:
    """The first movement as it sounds; `through` stands behind its heading, as in the script there is nothing."""
    script = piece.read_text(encoding="utf-8")
    line = next(line for line in script.splitlines() if line.startswith("movement "))
    compiled = compile_script(piece, piece.name, text=script.replace(line, line + through, 1))
    assert compiled.score is not None, [message.message for message in compiled.bag.ordered()]
    parsed = converter.parseData(musicxml_bytes(written(compiled.score), compiled.score.movements[0].name))
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
@pytest.mark.parametrize(
    ("piece", "said", "name"),
    [
        (CONCERTO, "down M2", "-M2"), (QUINTET, "up m3", "m3"), (QUINTET, "up P4", "P4"), (QUINTET, "down P8", "-P8"),
    ],
    ids=lambda value: value.stem if isinstance(value, Path) else value,
)  # fmt: skip
def test_a_movement_is_moved_as_music21_moves_it(piece: Path, said: str, name: str) -> None:
    plain, moved = _movement(piece), _movement(piece, f" -> {said}")
    wanted = plain.transpose(interval.Interval(name))
    assert isinstance(wanted, stream.Score)
    assert _pitches(moved) == _pitches(wanted) != _pitches(plain)
    assert _keys(moved) == _keys(wanted)
