"""What was laid, dealt out and put right in a movement when it was last placed, for a compiler that stays.

Where something has changed in a movement, what has not is taken again: lines along their sections, the events that
parts get of them, the staves of a part with their marks tidy, and what was told of its reach. Things are known by being
the very same, not equal: what notes remember of the script is left out when they are compared.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.again import Again
from cavata.place.dealing import Dealt
from cavata.place.lines import LaidLine
from cavata.place.voices import Clash
from cavata.score.score import Part, ScoreBar, ScoreEvent, Staff
from cavata.score.whereabouts import Whereabouts
from cavata.source import Span


class KeptMovement:
    """What was made of one movement, for these parts."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self.parts = parts
        self.laid = Again[LaidLine | None]()
        self.dealt = Again[tuple[tuple[Dealt, ScoreEvent], ...]]()
        self.staves = Again[tuple[tuple[Staff, ...], tuple[Clash, ...]]]()
        self.reach = Again[None]()
        self._where = Whereabouts((), ())

    def next_round(self) -> None:
        """The movement is about to be placed once more."""
        for store in (self.laid, self.dealt, self.staves, self.reach):
            store.next_round()

    def where(self, bars: Sequence[ScoreBar], sections: Sequence[tuple[str, Span]]) -> Whereabouts:
        """Where things are in these bars; the very same as before, if bars and sections are."""
        if (self._where.bars, self._where.sections) != (bars, sections):
            self._where = Whereabouts(bars, sections)
        return self._where
