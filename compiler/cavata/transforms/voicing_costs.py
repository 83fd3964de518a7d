"""What a layout of a chord costs: how well each note lies, and how the parts lie to each other.

In: the instruments that share the chord, and its note names. Out: for each part the notes it could take, with their
costs, and the cost of two neighbours. Weights are this project's own; that parts should keep their order, lie no
more than an octave apart (a twelfth above the lowest), and spread before they double at the unison is common practice.
"""

from __future__ import annotations

from cavata.instruments.instrument import Instrument
from cavata.music.pitch import HIGHEST_OCTAVE, Pitch, PitchClass
from cavata.record import dataclass

OUTSIDE = 2000
"""A note that the instrument does not have: taken only where nothing else is left."""
UNCOMFORTABLE = 8
PER_SEMITONE_BEYOND = 4
TOWARDS_THE_MIDDLE = 3
"""So many semitones from the middle of the comfortable range cost one."""
CROSSING, PER_SEMITONE_CROSSED = 24, 4
PER_SEMITONE_APART = 3
UNISON = 5
OTHER_BASS = 30
"""The lowest part takes another note than the chord's lowest."""
OCTAVE, TWELFTH = 12, 19


@dataclass(frozen=True, slots=True)
class Ensemble:
    """The instruments from the highest down."""

    instruments: tuple[Instrument, ...]
    order: tuple[int, ...]
    """For each of them its place among the parts as the script names them."""

    @classmethod
    def of(cls, instruments: tuple[Instrument, ...]) -> Ensemble:
        """Ordered by the middle of what each plays comfortably; equals stay as they were named."""
        order = sorted(range(len(instruments)), key=lambda place: -sum(comfortable(instruments[place])))
        return cls(tuple(instruments[place] for place in order), tuple(order))


@dataclass(frozen=True, slots=True)
class Seat:
    """A note that a part could take."""

    cost: int
    tone: int
    """Which of the chord's note names it is, the lowest note's being 0."""
    pitch: Pitch
    key: int


def comfortable(instrument: Instrument) -> tuple[int, int]:
    """The keys of the lowest and highest note that any good player commands."""
    low, high = instrument.comfortable or (instrument.lowest, instrument.highest)
    assert low is not None and high is not None
    return low.midi, high.midi


def seats(ensemble: Ensemble, tones: tuple[PitchClass, ...]) -> tuple[tuple[Seat, ...], ...]:
    """For each part its notes, from low to high."""
    last = len(ensemble.instruments) - 1
    return tuple(
        tuple(
            seat
            for tone, name in enumerate(tones)
            for seat in _octaves(instrument, name, tone, OTHER_BASS if place == last and tone else 0)
        )
        for place, instrument in enumerate(ensemble.instruments)
    )


def _octaves(instrument: Instrument, name: PitchClass, tone: int, extra: int) -> list[Seat]:
    """Every octave of a note name in the instrument's range; the nearest outside where it has none."""
    assert instrument.lowest is not None and instrument.highest is not None
    low, high = instrument.lowest.midi, instrument.highest.midi
    pitches = [Pitch.of(name, octave) for octave in range(HIGHEST_OCTAVE + 1)]
    inside = [pitch for pitch in pitches if low <= pitch.midi <= high]
    if inside:
        return [Seat(extra + _register(instrument, p.midi), tone, p, p.midi) for p in inside]
    nearest = min(pitches, key=lambda p: max(low - p.midi, p.midi - high))
    return [Seat(OUTSIDE + extra, tone, nearest, nearest.midi)]


def _register(instrument: Instrument, key: int) -> int:
    low, high = comfortable(instrument)
    beyond = max(low - key, key - high)
    strain = UNCOMFORTABLE + PER_SEMITONE_BEYOND * beyond if beyond > 0 else 0
    return strain + abs(2 * key - low - high) // (2 * TOWARDS_THE_MIDDLE)


def neighbours(upper: int, lower: int, lowest_pair: bool) -> int:
    """The cost of two keys in neighbouring parts."""
    apart = upper - lower
    if apart < 0:
        return CROSSING - PER_SEMITONE_CROSSED * apart
    if apart == 0:
        return UNISON
    return PER_SEMITONE_APART * max(0, apart - (TWELFTH if lowest_pair else OCTAVE))
