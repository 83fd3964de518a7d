"""The judge at work on one leader with many followers.

In: a leader, options, a tick; and for each placement the follower's times, its pitches and its delay in ticks. Out: the
faults and licenses, or their number alone; and for a line alone how many faults it has in any species, so that a search
can count them beforehand.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.combine.strict import dissonance
from cavata.combine.strict.scene import IMITATION, Options, Scene, line_of, notes_of, tick_of
from cavata.combine.strict.table import Fault, count_faults, judged, rules_of
from cavata.music.event import Motif
from cavata.music.pitch import Pitch

UNEXCUSED = frozenset((
    dissonance.LEAPT, dissonance.TOGETHER, dissonance.STRONG, dissonance.UNPREPARED, dissonance.UNRESOLVED,
    dissonance.DOUBLE_NEIGHBOR, dissonance.ESCAPE,
))  # fmt: skip
"""What a dissonance may be that is no figure by step, no cambiata and no suspension."""
_EVERYWHERE = frozenset(range(6))
LineTimes = tuple[tuple[int, int], ...]
"""Onsets and lengths of notes in ticks."""


class Strictly:
    """Strict counterpoint against one leader."""

    def __init__(self, leader: Motif, options: Options, tick: Fraction) -> None:
        self.tick = tick_of([tick], options)
        self._options = options
        self._pitches = [event.heads[0].pitch for event in leader.sounding]
        self._times = self.times(leader)
        self._alone: dict[tuple[LineTimes, tuple[tuple[int, int], ...]], int] = {}
        self._leader = line_of(0, self._times, self._pitches)

    def times(self, line: Motif) -> LineTimes:
        """The onsets and lengths of a line's notes in ticks."""
        return tuple((int(onset / self.tick), int(length / self.tick)) for onset, length, _ in notes_of(line))

    def scene(self, times: LineTimes, pitches: Sequence[Pitch], delay: Fraction) -> Scene:
        """The follower over the leader."""
        follower = line_of(1, times, pitches, int(delay / self.tick))
        return Scene((self._leader, follower), self._options, self.tick)

    def count(self, times: LineTimes, pitches: Sequence[Pitch], delay: Fraction) -> tuple[int, int]:
        """How many faults and licenses the judge finds."""
        return count_faults(self.scene(times, pitches, delay))

    def faults(self, times: LineTimes, pitches: Sequence[Pitch], delay: Fraction) -> tuple[Fault, ...]:
        """What the judge finds."""
        return judged(self.scene(times, pitches, delay))

    def of_leader(self) -> int:
        """The faults of the leader alone that are faults in every species."""
        return self.alone(self._times, self._pitches)

    def alone(self, times: LineTimes, pitches: Sequence[Pitch]) -> int:
        """The faults of a line alone that are faults in every species."""
        # Octaves higher or lower a line has the same faults.
        octave = pitches[0].octave
        key = (times, tuple((pitch.position - 7 * octave, pitch.alter) for pitch in pitches))
        if key not in self._alone:
            scene = Scene((line_of(0, times, pitches),), self._options, self.tick)
            rules = rules_of(IMITATION, self._options.allowed, self._options.avoided)
            everywhere = (rule for rule, hard in rules if hard and rule.melodic and rule.species == _EVERYWHERE)
            self._alone[key] = sum(1 for rule in everywhere for _ in rule.find(scene))
        return self._alone[key]
