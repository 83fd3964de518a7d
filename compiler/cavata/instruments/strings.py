"""On which string of an instrument a note is stopped, and what a player of a retuned one reads for it.

In: an instrument with strings, and sounding pitches. Out: strings, counted from the lowest, and pitches as they are
fingered. Nothing is said of hands and positions: of the strings that can have a note the highest is taken, which is
where a first position has it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations

from cavata.instruments.instrument import Instrument
from cavata.music.pitch import LOWEST_OCTAVE, UNISON, Interval, Pitch, parse_interval, writable
from cavata.record import record, replace


@record
class HarmonicNode:
    """Where a string is touched for a harmonic: above its open or stopped pitch, and what sounds above that."""

    touched: Interval
    sounds: Interval


NODES = tuple(
    HarmonicNode(parse_interval(touched), parse_interval(sounds))
    for touched, sounds in (("P8", "P8"), ("P5", "P12"), ("P4", "P15"), ("M3", "M17"), ("m3", "P19"))
)
"""The nodes nearest the nut: of 1/2, 1/3, 1/4, 1/5 and 1/6 of a string, which sound its partials 2 to 6.

Source: acoustics of the string; treatises go as far as the fifth partial, playing tables as far as the sixth.
"""
_MOST_AT_ONCE = 4
"""So many notes are looked at together: a bow has no more strings under it."""


def tuned(instrument: Instrument, strings: tuple[Pitch, ...]) -> Instrument:
    """The instrument with other open strings, given from the lowest as the table has them; its range goes with them.

    Where the lowest string is another, that is its lowest note; its highest moves as its highest string does.
    """
    if strings == instrument.strings:
        return instrument
    bottom, top = _lowest(strings), _highest(strings) - _highest(instrument.strings)
    low = bottom if bottom != _lowest(instrument.strings) else None

    def moved(span: tuple[Pitch, Pitch] | None) -> tuple[Pitch, Pitch] | None:
        return None if span is None else (low or span[0], span[1] + top)

    return replace(
        instrument, strings=strings, usual_strings=instrument.strings, comfortable=moved(instrument.comfortable),
        extreme=moved(instrument.extreme), section=moved(instrument.section), lowest=low or instrument.lowest,
        highest=None if instrument.highest is None else instrument.highest + top,
    )  # fmt: skip


def _lowest(strings: Sequence[Pitch]) -> Pitch:
    return min(strings, key=lambda pitch: pitch.midi)


def _highest(strings: Sequence[Pitch]) -> Pitch:
    return max(strings, key=lambda pitch: pitch.midi)


@lru_cache(maxsize=1024)
def stopped_on(strings: tuple[Pitch, ...], pitches: tuple[Pitch, ...]) -> tuple[int, ...]:
    """For each pitch its string, counted from 0; no two of a chord on one, as long as there is another way.

    A pitch below all strings has the lowest.
    """
    lowest = strings.index(_lowest(strings))
    if 1 < len(pitches) <= min(_MOST_AT_ONCE, len(strings)):
        ways = [
            (sum(pitch.midi - strings[string].midi for pitch, string in zip(pitches, way, strict=True)), way)
            for way in permutations(range(len(strings)), len(pitches))
            if all(pitch.midi >= strings[string].midi for pitch, string in zip(pitches, way, strict=True))
        ]
        if ways:
            return min(ways)[1]
    return tuple(
        max(
            (string for string, open_ in enumerate(strings) if open_.midi <= pitch.midi),
            key=lambda string: strings[string].midi, default=lowest,
        )
        for pitch in pitches
    )  # fmt: skip


def fingering_shifts(
    instrument: Instrument, pitches: tuple[Pitch, ...], on: int | None = None
) -> tuple[Interval, ...]:
    """From each sounding pitch to the one that a player of a retuned instrument reads.

    Bowed instruments read what they finger as if nothing were retuned: a note on a string that was let down by a tone
    stands a tone higher than it sounds. Double basses and plucked instruments read what sounds. Source: the custom of
    scordatura since the seventeenth century, as in the fifth suite of Bach's for the cello; from memory. `on` is the
    string where it is said.
    """
    if not instrument.reads_fingering:
        return (UNISON,) * len(pitches)
    found = stopped_on(instrument.strings, pitches) if on is None else (on,) * len(pitches)
    return tuple(instrument.usual_strings[string] - instrument.strings[string] for string in found)


def string_named(instrument: Instrument, name: str, pitch: Pitch, natural: bool = False) -> int | None:
    """The string of a number, counted from the highest as players do, or of a note name; counted from 0 at the lowest.

    Of two strings of one name the higher is meant that can have the pitch, stopped or as a natural harmonic. None where
    there is no such string.
    """
    strings = instrument.strings
    if name.isdecimal():
        return len(strings) - int(name) if 1 <= int(name) <= len(strings) else None
    named = [place for place, string in enumerate(strings) if str(string.pitch_class) == name]
    fitting = [
        place for place in named
        if (harmonic_of(strings[place], pitch) is not None if natural else strings[place].midi <= pitch.midi)
    ]  # fmt: skip
    return max(fitting or named[:1], key=lambda place: strings[place].midi, default=None)


def harmonic_of(open_string: Pitch, pitch: Pitch) -> HarmonicNode | None:
    """The node of an open string at which a pitch sounds; None where none of NODES has it."""
    return next((node for node in NODES if (open_string + node.sounds).midi == pitch.midi), None)


def touched_of(pitch: Pitch, touching: str) -> tuple[Pitch, Pitch]:
    """For a pitch that sounds as an artificial harmonic the note that is stopped, and the one touched above it.

    Both may lie lower than any string, and than any note that can be written.
    """
    node = next(node for node in NODES if str(node.touched) == touching)
    stopped = pitch.exactly(-node.sounds)
    if stopped.octave < LOWEST_OCTAVE:
        return stopped, stopped.exactly(node.touched)
    stopped = writable(stopped)
    return stopped, stopped + node.touched
