"""Instruments as loud as each other, and without holes: recordings in a SoundFont are neither.

In: what a piece plays, and a synthesizer. Out: for each channel a factor of its volume; and what sounds, apart from the
notes of keys for which there is no recording.

Some recordings differ by 25 decibels. One note of each is played and measured, in the middle of what it has to play, by
the loudness of its loudest third of a second, weighted as ears hear it (A-weighting of IEC 61672-1). Percussion stays
as it is: its blows are too short for that measure. In some SoundFonts an instrument lacks a note in the middle of its
range: it is played a semitone higher and bent down by as much, apart from the rest, so the bend reaches no other note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from statistics import median_low
from typing import TYPE_CHECKING

from mido import Message

from cavata.sound.audio_events import RATE, Channel, Happening, midi_stretch

if TYPE_CHECKING:
    import numpy
    from numpy.typing import NDArray

    Frames = NDArray[numpy.int32]

_PERCUSSION = 9
_TRIED, _LENGTH = 80, RATE // 10
_FAINTEST = 8
"""Of 32767: what is softer than this in its first tenth of a second has no recording."""
_SEMITONE = 4096
"""Half of the pitch wheel's way up: it bends by two semitones at most (General MIDI Level 1)."""

Events = tuple[Happening, ...]


class Probe:
    """What single notes of a SoundFont sound like; each is played once."""

    def __init__(self, play: Callable[[bytes], Frames]) -> None:
        self._play = play
        self.loudnesses: dict[tuple[int, int], float] = {}
        """By program and key, in decibels below full scale. What is known from before may be put in here."""
        self.sounding: dict[tuple[int, int], bool] = {}
        """By program and key, whether there is a recording."""

    def loudness(self, program: int, key: int) -> float:
        """The loudness of a note."""
        place = program, key
        if place not in self.loudnesses:
            self.loudnesses[place] = _loudness(self._play(_note(program, key)))
        return self.loudnesses[place]

    def due_volume(self, program: int, key: int) -> float:
        """By what the volume of an instrument is multiplied that plays about that key."""
        return min(max(10 ** ((_DUE - self.loudness(program, key)) / 40), _SOFTEST), _LOUDEST)

    def sounds(self, program: int, key: int) -> bool:
        """Whether a key is heard."""
        place = program, key
        if place not in self.sounding:
            messages = (Message("program_change", program=program), Message("note_on", note=key, velocity=_TRIED))
            frames = self._play(midi_stretch([Happening(0, 0, message) for message in messages], 0, _LENGTH, {}))
            self.sounding[place] = bool(abs(frames).max() > _FAINTEST)
        return self.sounding[place]


def without_holes(events: Sequence[Happening], probe: Probe) -> tuple[Events, Events]:
    """What has recordings, and what is bent from the next key."""
    silent = _silent(events, probe)
    if not silent:
        return tuple(events), ()
    sounding, bent = [], []
    wheels = [
        Happening(0, port, Message("pitchwheel", channel=channel, pitch=-_SEMITONE))
        for port, channel in sorted({event.channel for event, program in _with_programs(events) if program in silent})
    ]
    for event, program in _with_programs(events):
        if not (event.strikes or event.ends):
            sounding.append(event)
            bent.append(event)
        elif event.message.note in silent.get(program, ()):
            higher = event.message.copy(note=event.message.note + 1)
            bent.append(Happening(event.sample, event.port, higher))
        else:
            sounding.append(event)
    return tuple(sounding), (*wheels, *bent)


def _with_programs(events: Sequence[Happening]) -> Iterator[tuple[Happening, int]]:
    """Every event with the program of its channel; -1 for percussion."""
    programs: dict[tuple[int, int], int] = {}
    for event in events:
        if event.message.type == "program_change":
            programs[event.channel] = event.message.program
        yield event, -1 if event.message.channel == _PERCUSSION else programs.get(event.channel, 0)


def _silent(events: Sequence[Happening], probe: Probe) -> dict[int, set[int]]:
    """The keys of each program that the piece strikes and that are not heard, but the next ones are."""
    struck = {(program, e.message.note) for e, program in _with_programs(events) if e.strikes and program >= 0}
    found: dict[int, set[int]] = {}
    for program, key in sorted(struck):
        if not probe.sounds(program, key) and key < 127 and probe.sounds(program, key + 1):
            found.setdefault(program, set()).add(key)
    return found


_VELOCITY, _SECONDS = 80, 1
_DUE = -38.0
"""The loudness in decibels below full scale that every instrument is brought to."""
_SOFTEST, _LOUDEST = 0.5, 1.5
"""The bounds of the factor; 1.5 is 7 decibels more, since loudness goes with the square of a volume."""
_WINDOW = RATE * 3 // 10
_SILENCE = 1e-12


def due_volumes(events: Sequence[Happening], probe: Probe) -> dict[Channel, float]:
    """A factor for the volume of each pitched channel that has notes."""
    keys: dict[Channel, list[int]] = {}
    programs: dict[Channel, int] = {}
    for event in events:
        if event.strikes and event.message.channel != _PERCUSSION:
            keys.setdefault(event.channel, []).append(event.message.note)
        elif event.message.type == "program_change":
            programs.setdefault(event.channel, event.message.program)
    return {
        channel: probe.due_volume(programs.get(channel, 0), median_low(struck)) for channel, struck in keys.items()
    }


def _note(program: int, key: int) -> bytes:
    length = _SECONDS * RATE
    messages = (
        (0, Message("program_change", program=program)), (0, Message("note_on", note=key, velocity=_VELOCITY)),
        (length, Message("note_off", note=key)),
    )  # fmt: skip
    return midi_stretch([Happening(sample, 0, message) for sample, message in messages], 0, length, {})


def _loudness(frames: Frames) -> float:
    """The weighted level of the loudest window, in decibels below full scale."""
    import numpy as np

    squares = np.fft.rfftfreq(_WINDOW, 1 / RATE) ** 2
    weights = 12194**2 * squares**2 / (
        (squares + 20.6**2) * np.sqrt((squares + 107.7**2) * (squares + 737.9**2)) * (squares + 12194**2)
    )  # fmt: skip
    loudest = _SILENCE
    for begin in range(0, max(len(frames) - _WINDOW, 1), _WINDOW // 2):
        window = frames[begin : begin + _WINDOW] / 32768
        spectrum = np.fft.rfft(window, _WINDOW, axis=0) * weights[:, None] * 1.2589
        loudest = max(loudest, float((np.abs(spectrum) ** 2).sum() / _WINDOW**2))
    return float(10 * np.log10(loudest))
