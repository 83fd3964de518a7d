"""A player takes up another instrument: said over bars of a part, since it is no property of notes."""

from __future__ import annotations

from cavata.instruments.instrument import Instrument
from cavata.music.event import Motif
from cavata.music.refusal import Refusal

TAKING_UP = "on"
"""The step's word; placing looks for it."""


def on(motif: Motif, instrument: Instrument) -> Motif:
    """Refuses: a motif has no player."""
    raise Refusal(
        "I107", "`on` stands over bars of a part, not in a line", "a motif has no player",
        f"write `PART bars N to M: on {instrument.key}` in its section",
    )
