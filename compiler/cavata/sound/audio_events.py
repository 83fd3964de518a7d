"""A MIDI file as a synthesizer needs it: every message at its sample, and any stretch of it as a file of its own.

In: the bytes of a Standard MIDI File. Out: messages of its channels in order, each at its sample; which channels can be
rendered together; and small MIDI files that begin anywhere, in the state that the whole has there. In such a file a
tick is a sample, so that nothing is rounded twice.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import BytesIO

from mido import Message, MetaMessage, MidiFile, MidiTrack

from cavata.record import record

RATE = 48000
"""Samples a second."""
BLOCK = 64
"""The synthesizer begins everything at a multiple of so many samples, 1.3 milliseconds."""
_TICKS_PER_QUARTER, _MICROSECONDS = RATE // 2, 500_000
"""A quarter of half a second that is divided into its samples."""
_USUAL_TEMPO = 500_000
"""What holds until a file sets a tempo (Standard MIDI Files 1.0)."""
_VOLUME, _USUAL_VOLUME, _HIGHEST = 7, 100, 127
MOST_NOTES = 24
"""Notes at once in one rendering: the synthesizer has 64 voices, a note may need two, and goes on sounding."""

Channel = tuple[int, int]
"""A port, and one of its sixteen channels."""


@record
class Happening:
    """A message of a channel at its sample."""

    sample: int
    port: int
    message: Message

    @property
    def channel(self) -> Channel:
        """Where it belongs."""
        return self.port, self.message.channel

    @property
    def strikes(self) -> bool:
        """Whether it begins a note."""
        return bool(self.message.type == "note_on" and self.message.velocity)

    @property
    def ends(self) -> bool:
        """Whether it ends one."""
        return bool(self.message.type == "note_off" or (self.message.type == "note_on" and not self.message.velocity))


@record
class HeldKey:
    """A note that is sounding at a moment: since when, and what began it."""

    since: int
    key: int
    velocity: int
    port: int
    channel: int


def happenings(midi: bytes) -> tuple[Happening, ...]:
    """The messages of all channels in order; at one moment notes end before anything else, and begin after it."""
    file = MidiFile(file=BytesIO(midi))
    tempi: list[tuple[int, int]] = []
    found: list[tuple[int, int, Message]] = []
    for track in file.tracks:
        tick = port = 0
        for message in track:
            tick += message.time
            match message.type:
                case "set_tempo":
                    tempi.append((tick, message.tempo))
                case "midi_port":
                    port = message.port
                case _ if not message.is_meta and hasattr(message, "channel"):
                    found.append((tick, port, message))
    clock = TickClock(sorted(tempi, key=lambda tempo: tempo[0]), file.ticks_per_beat)
    return in_order(Happening(clock.sample(tick), port, message) for tick, port, message in found)


def in_order(events: Iterable[Happening]) -> tuple[Happening, ...]:
    """Messages in the order in which they happen."""
    return tuple(sorted(events, key=lambda it: (it.sample, 0 if it.ends else 2 if it.strikes else 1)))


class TickClock:
    """The sample of every tick."""

    def __init__(self, tempi: Sequence[tuple[int, int]], ticks_per_beat: int) -> None:
        """From the ticks at which tempi are set, in order, each in microseconds a quarter."""
        self._parts = ticks_per_beat * 1_000_000
        self._ticks, self._tempi, self._before = [0], [_USUAL_TEMPO], [0]
        for tick, tempo in tempi:
            self._before.append(self._elapsed(tick))
            self._ticks.append(tick)
            self._tempi.append(tempo)

    def sample(self, tick: int) -> int:
        """The sample in which a tick lies."""
        return self._elapsed(tick) * RATE // self._parts

    def _elapsed(self, tick: int) -> int:
        """Microseconds times ticks of a quarter, so that it is whole."""
        index = max(bisect_left(self._ticks, tick) - 1, 0)
        return self._before[index] + (tick - self._ticks[index]) * self._tempi[index]


def last_sample(events: Iterable[Happening]) -> int:
    """Where the last note ends."""
    return max((event.sample for event in events if event.ends), default=0)


def rendered_together(events: Sequence[Happening]) -> tuple[frozenset[Channel], ...]:
    """Channels in groups, none with too many notes at once for one synthesizer, nor with two ports' same channel."""
    groups: list[tuple[set[Channel], int]] = []
    for channel, most in sorted(_most_at_once(events).items()):
        for place, (group, notes) in enumerate(groups):
            if notes + most <= MOST_NOTES and all(channel[1] != other for _, other in group):
                group.add(channel)
                groups[place] = (group, notes + most)
                break
        else:
            groups.append(({channel}, most))
    return tuple(frozenset(group) for group, _ in groups)


def _most_at_once(events: Sequence[Happening]) -> dict[Channel, int]:
    now: dict[Channel, int] = {}
    most: dict[Channel, int] = {}
    for event in events:
        if event.strikes or event.ends:
            now[event.channel] = max(now.get(event.channel, 0) + (1 if event.strikes else -1), 0)
            most[event.channel] = max(most.get(event.channel, 0), now[event.channel])
    return most


def held_at(events: Sequence[Happening], sample: int) -> tuple[HeldKey, ...]:
    """The notes that were struck before a sample and have not ended there, in the order of their keys."""
    sounding: dict[tuple[int, int, int], HeldKey] = {}
    for event in events[: _index(events, sample)]:
        if event.strikes or event.ends:
            place = (*event.channel, event.message.note)
            sounding.pop(place, None)
            if event.strikes:
                sounding[place] = HeldKey(event.sample, event.message.note, event.message.velocity, *event.channel)
    return tuple(held for _, held in sorted(sounding.items()))


def midi_stretch(events: Sequence[Happening], begin: int, end: int, levels: Mapping[Channel, float]) -> bytes:
    """What sounds from one sample to another as a MIDI file of that length; volumes times their channels' levels."""
    track = MidiTrack([MetaMessage("set_tempo", tempo=_MICROSECONDS)])
    now = 0
    for sample, channel, message in _messages(events, begin, end):
        at = _within_block(sample - begin)
        made = message.copy(time=at - now)
        if made.type == "control_change" and made.control == _VOLUME:
            made.value = min(round(made.value * levels.get(channel, 1.0)), _HIGHEST)
        track.append(made)
        now = at
    track.append(MetaMessage("end_of_track", time=end - begin - now))
    written = BytesIO()
    MidiFile(type=0, ticks_per_beat=_TICKS_PER_QUARTER, tracks=[track]).save(file=written)
    return written.getvalue()


def _within_block(sample: int) -> int:
    """A sample in the middle of the block before the one that it begins in; at a block's edge chance would decide."""
    return max((-(-sample // BLOCK) - 1) * BLOCK + BLOCK // 2, 0)


def _messages(events: Sequence[Happening], begin: int, end: int) -> Iterator[tuple[int, Channel, Message]]:
    first = _index(events, begin)
    for channel, message in _state(events, first):
        yield begin, channel, message
    for held in held_at(events, begin):
        message = Message("note_on", channel=held.channel, note=held.key, velocity=held.velocity)
        yield begin, (held.port, held.channel), message
    for event in events[first : _index(events, end)]:
        yield event.sample, event.channel, event.message


def _state(events: Sequence[Happening], count: int) -> Iterator[tuple[Channel, Message]]:
    """Programs and controls as the first so many messages leave them; a volume for every channel."""
    for channel in sorted({event.channel for event in events}):
        yield channel, Message("control_change", channel=channel[1], control=_VOLUME, value=_USUAL_VOLUME)
    last: dict[tuple[Channel, str, int], Message] = {}
    for event in events[:count]:
        if not (event.strikes or event.ends):
            message = event.message
            last[event.channel, message.type, message.control if message.type == "control_change" else 0] = message
    yield from ((channel, message) for (channel, _, _), message in last.items())


def _index(events: Sequence[Happening], sample: int) -> int:
    return bisect_left(events, sample, key=lambda event: event.sample)
