"""Keys for which a SoundFont has no recording: in some, an instrument lacks a note in the middle of its range.

In: what a piece plays, and a synthesiser. Out: the same in two parts: what sounds, and the notes of silent keys, each
played a semitone higher and bent down by as much. The two are rendered apart, so the bend reaches no other note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from mido import Message

from cavata.sound.audio_events import RATE, Happening, stretch

if TYPE_CHECKING:
    import numpy
    from numpy.typing import NDArray

    Frames = NDArray[numpy.int32]

_PERCUSSION = 9
_VELOCITY, _LENGTH = 80, RATE // 10
_FAINTEST = 8
"""Of 32767: what is softer than this in its first tenth of a second has no recording."""
_SEMITONE = 4096
"""Half of the pitch wheel's way up: it bends by two semitones at most (General MIDI Level 1)."""

Events = tuple[Happening, ...]


def without_holes(events: Sequence[Happening], play: Callable[[bytes], Frames]) -> tuple[Events, Events]:
    """What has recordings, and what is bent from the next key."""
    silent = _silent(events, play)
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
    """Every event with the programme of its channel; -1 for percussion."""
    programs: dict[tuple[int, int], int] = {}
    for event in events:
        if event.message.type == "program_change":
            programs[event.channel] = event.message.program
        yield event, -1 if event.message.channel == _PERCUSSION else programs.get(event.channel, 0)


def _silent(events: Sequence[Happening], play: Callable[[bytes], Frames]) -> dict[int, set[int]]:
    """The keys of each programme that the piece strikes and that are not heard, but the next ones are."""
    struck = {(program, e.message.note) for e, program in _with_programs(events) if e.strikes and program >= 0}
    found: dict[int, set[int]] = {}
    for program, key in sorted(struck):
        if not _sounds(program, key, play) and key < 127 and _sounds(program, key + 1, play):
            found.setdefault(program, set()).add(key)
    return found


def _sounds(program: int, key: int, play: Callable[[bytes], Frames]) -> bool:
    messages = (Message("program_change", program=program), Message("note_on", note=key, velocity=_VELOCITY))
    frames = play(stretch([Happening(0, 0, message) for message in messages], 0, _LENGTH, {}))
    return bool(abs(frames).max() > _FAINTEST)
