"""What one movement sounds like, as JSON and back: what is kept of it between runs."""

from __future__ import annotations

import json
from fractions import Fraction

from cavata.sound.midi import MovementSounds
from cavata.sound.notes import PartSounds


def packed(sounds: MovementSounds) -> bytes:
    """A movement as bytes."""
    parts = [(part.strokes, part.course) for part in sounds.parts]
    curve = [(onset.as_integer_ratio(), factor.as_integer_ratio()) for onset, factor in sounds.curve]
    feet = [
        (part, [(onset.as_integer_ratio(), down) for onset, down in pedals]) for part, pedals in sounds.pedals.items()
    ]
    return json.dumps([parts, curve, feet]).encode()


def unpacked(body: bytes) -> MovementSounds:
    """The movement of these bytes."""
    parts, curve, feet = json.loads(body)
    return MovementSounds(
        tuple(PartSounds(tuple(strokes), tuple(course)) for strokes, course in parts),
        tuple((Fraction(*onset), Fraction(*factor)) for onset, factor in curve),
        {part: tuple((Fraction(*onset), down) for onset, down in pedals) for part, pedals in feet},
    )
