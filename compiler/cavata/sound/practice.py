"""A piece to practice with: one part in front, the others behind, a bar counted in, slower if that is wanted.

In: a MIDI file in which each part has a track of its own, and the stretches of it that are played. Out: another MIDI
file. Each stretch begins as the whole is there, with the same programs, volumes and pedals; notes that began before it
are left out, and those that go on after it end with it. The bar is counted by woodblocks (keys 76 and 77 of the
percussion of General MIDI Level 1).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from io import BytesIO
from itertools import accumulate

from mido import Message, MetaMessage, MidiFile, MidiTrack

from cavata.perform.rules import louder
from cavata.record import record
from cavata.score.playing import played_score
from cavata.score.score import Movement, Score, bar_at
from cavata.sound.channels import MIDDLE, PERCUSSION
from cavata.sound.midi import PAN
from cavata.sound.techniques import SUSTAIN
from cavata.sound.time import LONGEST_QUARTER, Timeline, timeline

BEHIND = -10.0
"""Decibels by which the others are softer."""
_FIRST, _OTHER, _CLICK = 76, 77, 100
_QUARTERS = (Fraction(1, 4),) * 4
"""What is counted in free time."""


@record
class PracticeStretch:
    """What is played at a stretch, in ticks."""

    begin: int
    end: int
    near: int
    """A note that begins so little before it belongs to it: players are not exact."""
    beats: tuple[tuple[int, bool], ...]
    """What is counted before: each beat from the first, and whether a bar begins with it."""
    count: int
    """How long the counting takes in all."""

    @property
    def length(self) -> int:
        """How long it takes with its counting."""
        return self.count + self.end - self.begin


def practice_stretches(score: Score, section: str = "") -> tuple[PracticeStretch, ...]:
    """Every movement; or the first section of that name alone, which the score has."""
    score = played_score(score)
    lines = timeline(score)
    if not section:
        starts = [*(lines.tick(number, Fraction(0)) for number in range(len(score.movements))), lines.last_tick]
        return tuple(
            _stretch(movement, Fraction(0), (start, end), lines)
            for movement, start, end in zip(score.movements, starts, starts[1:], strict=False)
        )
    for number, movement in enumerate(score.movements):
        for place, found in enumerate(movement.sections):
            if found.name == section:
                later = movement.sections[place + 1 :]
                end = later[0].onset if later else movement.duration
                ticks = lines.tick(number, found.onset), lines.tick(number, end)
                return (_stretch(movement, found.onset, ticks, lines),)
    return ()


def _stretch(movement: Movement, onset: Fraction, ticks: tuple[int, int], lines: Timeline) -> PracticeStretch:
    """A stretch that begins at a moment; before an upbeat a whole bar is counted, and the next up to it."""
    bar = bar_at(movement.bars, onset)
    beats = _QUARTERS if bar.meter is None else tuple(
        Fraction(group, bar.meter.denominator) for group in bar.meter.groups
    )  # fmt: skip
    whole = sum(beats, Fraction(0))
    missing = whole - bar.duration if bar.meter is not None and bar.leads_on and bar.duration < whole else Fraction(0)
    onsets = list(accumulate(beats[:-1], initial=Fraction(0)))
    counted = [*onsets, *(whole + beat for beat in onsets if beat < missing)]
    quarter = lines.resolution * 4
    beats_in_ticks = tuple((round(beat * quarter), beat % whole == 0) for beat in counted)
    return PracticeStretch(*ticks, lines.near, beats_in_ticks, round((whole + missing) * quarter))


def practice_bytes(midi: bytes, part: int, played: Sequence[PracticeStretch], slower: Fraction = Fraction(1)) -> bytes:
    """The stretches one after another, with a part in front; every beat is so many times as long."""
    file = MidiFile(file=BytesIO(midi), charset="utf-8")
    made = MidiFile(type=1, ticks_per_beat=file.ticks_per_beat, charset="utf-8")
    end = sum(stretch.length for stretch in played)
    for number, track in enumerate(file.tracks):
        now = 0
        events: list[_Event] = []
        for message in track:
            now += message.time
            if message.type != "end_of_track":
                events.append((now, message))
        found: list[_Event] = []
        start = 0
        for stretch in played:
            found += _moved(events, stretch, start)
            start += stretch.length
        changed = [(tick, _changed(message, number, part, slower)) for tick, message in found]
        made.tracks.append(_track(changed, end))
    made.tracks.append(_track(list(_counted(played)), end))
    written = BytesIO()
    made.save(file=written)
    return written.getvalue()


_Event = tuple[int, Message | MetaMessage]


def _moved(events: Sequence[_Event], stretch: PracticeStretch, start: int) -> Iterator[_Event]:
    """The events of a stretch where it is played, those that say how it begins before its counting."""
    before: dict[object, Message | MetaMessage] = {}
    for tick, message in events:
        state = _state(message)
        if state is not None and (tick < stretch.begin or (tick == stretch.begin and message.type == "set_tempo")):
            before[state] = message
    yield from ((start, message) for message in before.values())
    shift = start + stretch.count - stretch.begin
    sounding: dict[int, Message] = {}
    pedal: Message | None = None
    for tick, message in events:
        near = stretch.near if message.type in ("note_on", "note_off") else 0
        if not stretch.begin - near <= tick < stretch.end - (near if message.type == "note_on" else 0):
            continue
        if message.type == "note_on":
            sounding[message.note] = message
        elif message.type == "note_off" and sounding.pop(message.note, None) is None:
            continue
        elif message.type == "control_change" and message.control == SUSTAIN:
            pedal = message
        yield max(tick, stretch.begin) + shift, message
    for message in sounding.values():
        yield stretch.end + shift, Message("note_off", channel=message.channel, note=message.note, velocity=0)
    if pedal is not None and pedal.value:
        yield stretch.end + shift, pedal.copy(value=0)


def _state(message: Message | MetaMessage) -> object:
    """What a message sets that lasts; None if nothing does."""
    match message.type:
        case "control_change":
            return "control", message.control
        case "program_change" | "set_tempo" | "time_signature" | "key_signature" | "track_name" | "midi_port":
            return message.type
        case _:
            return None


def _changed(message: Message | MetaMessage, track: int, part: int, slower: Fraction) -> Message | MetaMessage:
    own = track == part + 1
    if message.type == "set_tempo":
        return message.copy(tempo=min(round(message.tempo * slower), LONGEST_QUARTER))
    if message.type == "note_on" and not own:
        return message.copy(velocity=louder(message.velocity, BEHIND))
    if message.type == "control_change" and message.control == PAN and own:
        return message.copy(value=MIDDLE)
    return message


def _counted(played: Sequence[PracticeStretch]) -> Iterator[_Event]:
    start = 0
    yield 0, MetaMessage("track_name", name="count")
    for stretch in played:
        beats = [*(tick for tick, _ in stretch.beats), stretch.count]
        for place, (tick, first) in enumerate(stretch.beats):
            click = {"channel": PERCUSSION, "note": _FIRST if first else _OTHER}
            yield start + tick, Message("note_on", velocity=_CLICK, **click)
            yield start + (tick + beats[place + 1]) // 2, Message("note_off", velocity=0, **click)
        start += stretch.length


def _track(events: Sequence[_Event], end: int) -> MidiTrack:
    """The events in order, those at one tick as they come, as a track that ends at a tick."""
    track, now = MidiTrack(), 0
    for tick, message in sorted(events, key=lambda event: event[0]):
        track.append(message.copy(time=tick - now))
        now = tick
    track.append(MetaMessage("end_of_track", time=end - now))
    return track
