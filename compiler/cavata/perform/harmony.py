"""How remarkable notes and chords are, where chord symbols say what the chords are.

In: a movement. Out: for every moment its chord, with a root and a charge, and the level for that; nothing before the
first symbol. A symbol holds until the next. Over a chord the level is that of its charge; it falls along the
whole chord to that of a lower one after it, and rises in the last seconds before a higher one.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction

from cavata.music.chord_symbol import ChordSymbol
from cavata.perform import rules
from cavata.record import record
from cavata.score.clock import Clock
from cavata.score.score import Movement, bar_at


@record
class Chord:
    """A chord from its onset on."""

    onset: Fraction
    root: int
    """In semitones above C."""
    charge: float
    """0 where no key is known."""

    @property
    def level(self) -> float:
        """Decibels for its charge."""
        return rules.harmonic_level(self.charge)


class Harmony:
    """The chords of a movement."""

    def __init__(self, movement: Movement, clock: Clock) -> None:
        self._clock = clock
        self.chords = tuple(_chords(movement))
        self._onsets = [chord.onset for chord in self.chords]

    def at(self, moment: Fraction) -> Chord | None:
        """The chord at a moment."""
        index = bisect_right(self._onsets, moment) - 1
        return self.chords[index] if index >= 0 else None

    def level(self, moment: Fraction) -> float:
        """The decibels for harmonic charge at a moment."""
        index = bisect_right(self._onsets, moment) - 1
        if index < 0:
            return 0.0
        here = self.chords[index]
        if index + 1 == len(self.chords):
            return here.level
        following = self.chords[index + 1]
        span = self._clock.between(here.onset, following.onset)
        gone = self._clock.between(here.onset, moment)
        rising = following.level > here.level
        ramp = min(span, Fraction(round(rules.RISE_MS), 1000)) if rising else span
        share = max(float((gone - (span - ramp)) / ramp), 0.0)
        return here.level + (following.level - here.level) * share


def _chords(movement: Movement) -> Iterator[Chord]:
    symbols: dict[Fraction, ChordSymbol] = {}
    for event in movement.events:
        if event.event.marks.symbol is not None:
            symbols.setdefault(event.onset, event.event.marks.symbol)
    ordered = sorted(symbols.items(), key=lambda item: item[0])
    before: list[ChordSymbol | None] = [None, *(symbol for _, symbol in ordered)]
    for (onset, symbol), last in zip(ordered, before, strict=False):
        if symbol != last:
            yield Chord(onset, symbol.root.semitone, _charge(movement, onset, symbol))


def _charge(movement: Movement, onset: Fraction, symbol: ChordSymbol) -> float:
    key = bar_at(movement.bars, onset).key
    if key is None:
        return 0.0
    # A bass other than the root stands lowest among the tones, where the charge asks for root, third and fifth.
    tones = ChordSymbol(symbol.root, symbol.quality).pitches[:3]
    return rules.harmonic_charge([tone.midi - key.tonic.semitone for tone in tones])
