"""How a movement is played, as JSON and back: what is kept of it between runs."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from cavata.perform.perform import PlayedMovement
from cavata.perform.touch import Touch

_Number = tuple[int, int]


def packed(played: PlayedMovement) -> bytes:
    """A movement as bytes."""
    touches = [
        [key, [(_packed(onset), t.level, t.middle, _packed(t.later), _packed(t.early), t.seed, t.spread)
               for onset, t in own.items()]]
        for key, own in played.touches.items()
    ]  # fmt: skip
    feet = [[part, [(_packed(onset), down) for onset, down in pedals]] for part, pedals in played.pedals.items()]
    curve = [(_packed(onset), _packed(factor)) for onset, factor in played.curve]
    return json.dumps([curve, touches, feet]).encode("utf-8", "surrogatepass")


def unpacked(body: bytes) -> PlayedMovement:
    """The movement of these bytes."""
    curve, touches, feet = json.loads(body.decode("utf-8", "surrogatepass"))
    return PlayedMovement(
        tuple((_number(onset), _number(factor)) for onset, factor in curve),
        {
            (part, staff, voice): {_number(onset): _touch(*told) for onset, *told in own}
            for (part, staff, voice), own in touches
        },
        {part: tuple((_number(onset), down) for onset, down in pedals) for part, pedals in feet},
    )


def _touch(level: float, middle: float | None, later: _Number, early: _Number, seed: str, spread: float) -> Touch:
    return Touch(level, middle, _number(later), _number(early), seed, spread)


def _packed(number: Fraction) -> _Number:
    return number.as_integer_ratio()


def _number(packed: Any) -> Fraction:
    return Fraction(*packed)
