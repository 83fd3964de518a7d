"""A Standard MIDI File from the score itself, by mido.

In: the score at concert pitch. Out: the bytes of one file of format 1: a track of tempi, meters, keys and markers, then
one track a part. The movements follow one another with a pause between them (`midi_time.PAUSE`) unless `attacca` joins
them. A fermata slows the tempo for all. With a performance tempi, velocities and lengths are those of its players; bars
and meters stay where the score has them. The same score gives the same bytes.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from fractions import Fraction
from io import BytesIO
from typing import Any

from mido import Message, MetaMessage, MidiFile, MidiTrack

from cavata.music.event import Event
from cavata.music.mode import Mode
from cavata.perform.curve import Curve
from cavata.perform.perform import MovementAlone, Performance, PlayedMovement, movements_alone, perform_movement
from cavata.perform.ringing import Pedals
from cavata.record import record, replace
from cavata.score.playing import played_score
from cavata.score.score import Movement, Part, Score, ScoreBar, events_of
from cavata.sound.audio_events import RATE, TickClock
from cavata.sound.channels import Balance, ChannelPlan, PortChannel, places, places_apart, seats, with_sections
from cavata.sound.notes import PartSounds, Played, joined, sounds
from cavata.sound.techniques import SUSTAIN, further_programs, pedal_switches, program_changes
from cavata.sound.time import Timeline, microseconds, performed_steps, timeline

# ----------------------------------------------------------------
# What is read under the notes of a part, as events of a MIDI file: words that are sung, and letters of names.
#
# In: the score and its timeline. Out: tick, kind of event and text, in order. Words are lyric events, with a hyphen
# after a syllable that another one of its word follows (RP-017 of the MIDI Manufacturers Association, from memory);
# letters are lyric events where a part has no words, else text events.


UNDERTIE = "\u203f"
"""Between two syllables that are sung to one note."""


def words_of(score: Score, part: int, lines: Timeline) -> Iterator[tuple[int, str, str]]:
    """Words of the part, and its letters where the piece shows them."""
    placed = [
        (number, event)
        for number, movement in enumerate(score.movements)
        for event in events_of(movement.staves[part])
    ]
    sings = any(event.event.marks.sung for _, event in placed)
    if not sings and not score.header.show_letters:
        return
    for number, event in placed:
        letters = _letters(event.event) if score.header.show_letters else ""
        tick = lines.tick(number, event.onset)
        for syllable in event.event.marks.sung[:1]:  # the verse of the time that is played, or the first
            if syllable.text:
                yield tick, "lyrics", syllable.text.replace("~", UNDERTIE) + ("-" if syllable.goes_on else "")
        if letters:
            yield tick, "text" if sings else "lyrics", letters


def _letters(event: Event) -> str:
    origins = [origin for head in event.heads for origin in head.origins]
    return "".join(dict.fromkeys(origin.letter.text for origin in origins if origin.letter))


# ----------------------------------------------------------------

_SETUP, _OFF, _WORDS, _ON = range(4)
"""The order of events at one tick: what was sounding ends before anything begins."""
_MAJOR = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
_MINOR = ("Abm", "Ebm", "Bbm", "Fm", "Cm", "Gm", "Dm", "Am", "Em", "Bm", "F#m", "C#m", "G#m", "D#m", "A#m")
_MINOR_MODES = ("minor", "aeolian", "dorian", "phrygian", "locrian")
_CLOCKS_PER_WHOLE = 96
VOLUME, PAN, EXPRESSION = 7, 10, 11
"""Controls of a channel (General MIDI Level 1)."""

MidiEvent = tuple[int, int, int, Any]
"""Tick, rank at that tick, key (so that chords have one order), message."""


@record
class SoundsAlone:
    """All that the sounds of one movement are made of."""

    alone: MovementAlone
    performed: bool
    own: tuple[bool, ...]
    """Of each part, whether nobody else plays on its channel."""
    timeline: Timeline
    """Of this movement alone."""


@record
class MovementSounds:
    """One movement as it sounds: its parts, and where it is performed its tempo curve and its pedals."""

    parts: tuple[PartSounds, ...]
    curve: Curve
    pedals: Mapping[int, Pedals]
    """Of parts whose script writes none."""


MovementSounding = Callable[[SoundsAlone], MovementSounds]


def movement_sounds(made_of: SoundsAlone, played: PlayedMovement | None = None) -> MovementSounds:
    """How one movement sounds; `played` is its performance, where that is there already."""
    alone, parts = made_of.alone, made_of.alone.parts
    if made_of.performed:
        played, parts = played or perform_movement(alone), with_sections(parts)
    found = sounds(parts, alone.movement, made_of.own, made_of.timeline, played)
    return MovementSounds(found, (), {}) if played is None else MovementSounds(found, played.curve, played.pedals)


def midi_bytes(
    score: Score, performance: Performance | None = None, apart: bool = False, only: Set[int] | None = None
) -> bytes:
    """The whole piece, performed or just as the score says; of some parts only, if their numbers are given.

    A key above 127 is played an octave lower, a tempo beyond the format's slowest at that one. `apart` gives each part
    a channel of its own on as many ports as that takes; so do some parts only.
    """
    played = iter(() if performance is None else performance.movements)

    def sounding(made_of: SoundsAlone) -> MovementSounds:
        return movement_sounds(made_of, next(played, None))

    return midi_of(score, performance is not None, sounding, apart, only)


def midi_of(
    score: Score, performed: bool, sounding: MovementSounding, apart: bool = False, only: Set[int] | None = None
) -> bytes:
    """The same, where `sounding` has what each movement sounds like; it is asked in their order."""
    movements = movements_alone(score)
    score = replace(score, movements=tuple(alone.movement for alone in movements))
    if performed:
        score = replace(score, parts=with_sections(score.parts))
    lines = timeline(score)
    further = [further_programs(score, index) for index in range(len(score.parts))]
    if apart or only is not None:
        placed = places_apart(score.parts, only)
    else:
        placed = places([part.instrument for part in score.parts], further)
    own = tuple(map(placed.is_own, range(len(score.parts))))
    found = [
        sounding(SoundsAlone(alone, performed, own, lines.alone(number))) for number, alone in enumerate(movements)
    ]
    file = MidiFile(type=1, ticks_per_beat=lines.resolution, charset="utf-8")
    file.tracks.append(_track(_conductor(score, lines, [each.curve for each in found]), lines))
    feet = [each.pedals for each in found]
    for index, played in enumerate(joined(score.parts, lines, placed, [each.parts for each in found], performed)):
        if only is None or index in only:
            events = (*_part(score, index, placed, further[index], lines), *_feet(index, placed, lines, feet))
            file.tracks.append(_track([*events, *messages_of(played, placed.of_parts[index])], lines))
    written = BytesIO()
    file.save(file=written)
    return written.getvalue()


def _part(
    score: Score, index: int, placed: ChannelPlan, further: Iterable[int], lines: Timeline
) -> Iterator[MidiEvent]:
    """What stands in the track of a part besides its notes."""
    read = words_of(score, index, lines)
    yield from ((tick, _WORDS, 0, MetaMessage(kind, text=_text(text))) for tick, kind, text in read)
    yield from _settings(score, index, placed, further, lines)


def movement_starts(score: Score, performance: Performance | None = None) -> tuple[float, ...]:
    """The seconds at which the movements begin in the file of `midi_bytes`."""
    score = played_score(score)
    lines = timeline(score)
    curves = [()] * len(score.movements) if performance is None else [each.curve for each in performance.movements]
    events = sorted(_conductor(score, lines, curves), key=lambda event: event[:3])
    tempi = [(tick, message.tempo) for tick, _, _, message in events if message.type == "set_tempo"]
    clock = TickClock(tempi, lines.resolution)
    return tuple(clock.sample(lines.tick(number, Fraction(0))) / RATE for number in range(len(score.movements)))


def lasting(score: Score, placed: ChannelPlan, lines: Timeline, performance: Performance) -> list[list[MidiEvent]]:
    """What of each part lasts until something else is set: its program, its volume and place, and pedals."""
    feet = [movement.pedals for movement in performance.movements]
    return [
        [
            event
            for event in (*_settings(score, index, placed, (), lines), *_feet(index, placed, lines, feet))
            if not event[-1].is_meta
        ]
        for index in range(len(score.parts))
    ]


def _settings(
    score: Score, index: int, placed: ChannelPlan, further: Iterable[int], lines: Timeline
) -> Iterator[MidiEvent]:
    seated = seats(score.parts)
    here = [place for other, place in zip(placed.of_parts, seated, strict=True) if other == placed.of_parts[index]]
    # Parts that share a channel share its place, in the middle of them.
    seat = replace(seated[index], place=round(sum(each.place for each in here) / len(here)))
    yield from _setup(score.parts[index], placed.of_parts[index], seat)
    yield from _techniques(score, index, placed, further, lines)


def _feet(
    part: int, placed: ChannelPlan, lines: Timeline, feet: Sequence[Mapping[int, Pedals]]
) -> Iterator[MidiEvent]:
    """The pedal as it is performed."""
    channel = placed.of_parts[part].channel
    for number, pedals in enumerate(feet):
        for onset, down in pedals.get(part, ()):
            message = _control(channel, SUSTAIN, 127 if down else 0)
            yield lines.tick(number, onset), _WORDS if down else _SETUP, 8, message


def _track(events: Iterable[MidiEvent], lines: Timeline) -> MidiTrack:
    track = MidiTrack()
    now = 0
    for tick, _, _, message in sorted(events, key=lambda event: event[:3]):
        message.time = tick - now
        track.append(message)
        now = tick
    track.append(MetaMessage("end_of_track", time=max(lines.last_tick - now, 0)))
    return track


def _conductor(score: Score, lines: Timeline, curves: Sequence[Curve]) -> Iterator[MidiEvent]:
    yield 0, _SETUP, -1, MetaMessage("track_name", name=_text(score.header.title))
    for number, movement in enumerate(score.movements):
        start = lines.tick(number, Fraction(0))
        yield start, _SETUP, 0, MetaMessage("marker", text=_text(movement.title or movement.name))
        for section in movement.sections:
            words = _text(section.title or section.name)
            yield lines.tick(number, section.onset), _SETUP, 1, MetaMessage("marker", text=words)
        before, curve = 0, curves[number]
        for onset, seconds in performed_steps(movement, curve):
            tempo = microseconds(seconds)
            if tempo != before or not curve:
                yield lines.tick(number, onset), _SETUP, 2, MetaMessage("set_tempo", tempo=tempo)
            before = tempo
        yield from _bars(movement, number, lines)


def _bars(movement: Movement, number: int, lines: Timeline) -> Iterator[MidiEvent]:
    meter: MetaMessage | None = None
    key: Mode | None = None
    for bar in joined_bars(movement.bars):
        tick = lines.tick(number, bar.onset)
        found = _meter(bar)
        if found is not None and (meter is None or found != meter):
            meter = found
            yield tick, _SETUP, 3, found
        if bar.key != key or not bar.onset:
            key = bar.key
            name = _key(key)
            if name:
                yield tick, _SETUP, 4, MetaMessage("key_signature", key=name)


def joined_bars(bars: Sequence[ScoreBar]) -> Iterator[ScoreBar]:
    """The bars as they are played; where a sign divided one, or an upbeat completes the last before it, as one bar."""
    waiting: ScoreBar | None = None
    for bar in bars:
        if waiting is not None:
            length = waiting.duration + bar.duration
            if bar.leads_on and bar.meter is not None and bar.meter == waiting.meter and length == bar.meter.duration:
                yield replace(waiting, duration=length)
                waiting = None
                continue
            yield waiting
            waiting = None
        if bar.meter is not None and not bar.leads_on and bar.duration < bar.meter.duration:
            waiting = bar
        else:
            yield bar
    if waiting is not None:
        yield waiting


def _meter(bar: ScoreBar) -> MetaMessage | None:
    """The meter of a bar; that of its own length where it is shorter, as a pickup; none in free time."""
    if bar.meter is None:
        return None
    top, bottom, beat = bar.meter.numerator, bar.meter.denominator, Fraction(1, bar.meter.denominator)
    if bar.duration != bar.meter.duration:
        length = bar.duration
        bottom = max(length.denominator, bottom)
        top = int(length * bottom) if bottom % length.denominator == 0 else 0
    elif len(set(bar.meter.groups)) == 1:
        beat = Fraction(bar.meter.groups[0], bottom)
    if not 1 <= top <= 255 or bottom & (bottom - 1):
        return None
    clocks = min(max(round(beat * _CLOCKS_PER_WHOLE), 1), 255)
    return MetaMessage("time_signature", numerator=top, denominator=bottom, clocks_per_click=clocks)


def _key(mode: Mode | None) -> str:
    """The signature as the format names it: no more than seven sharps or flats, major or minor; empty beyond that."""
    fifths = 0 if mode is None else mode.fifths
    if not -7 <= fifths <= 7:
        return ""
    return (_MINOR if mode is not None and mode.name in _MINOR_MODES else _MAJOR)[fifths + 7]


def _setup(part: Part, place: PortChannel, seat: Balance) -> Iterator[MidiEvent]:
    channel = place.channel
    yield 0, _SETUP, 0, MetaMessage("track_name", name=_text(part.label))
    yield 0, _SETUP, 1, MetaMessage("instrument_name", name=_text(part.instrument.name))
    if place.port:
        yield 0, _SETUP, 2, MetaMessage("midi_port", port=place.port)
    program = 0 if part.instrument.unpitched else part.instrument.program
    yield 0, _SETUP, 3, Message("program_change", channel=channel, program=program)
    yield 0, _SETUP, 4, _control(channel, VOLUME, seat.volume)
    yield 0, _SETUP, 5, _control(channel, PAN, seat.place)


def _techniques(
    score: Score, part: int, places: ChannelPlan, further: Iterable[int], lines: Timeline
) -> Iterator[MidiEvent]:
    """Programs and the pedal, which goes down after what ends there has ended, and before what begins.

    Where channels are shared a program does not change on one; it has a channel.
    """
    channel = places.of_parts[part].channel
    for program in further if places.of_programs else ():
        other = places.place_for(part, program)
        if other == places.of_programs[program]:
            yield 0, _SETUP, 6, Message("program_change", channel=other.channel, program=program)
    for tick, message in program_changes(score, part, channel, lines) if places.is_own(part) else ():
        yield tick, _SETUP, 7, message
    for tick, down, message in pedal_switches(score, part, channel, lines):
        yield tick, _WORDS if down else _SETUP, 8, message


def messages_of(played: Played, place: PortChannel) -> Iterator[MidiEvent]:
    """What a part plays, its expression on the channel of that place."""
    for tick, value in played.expression:
        yield tick, _WORDS, 9, _control(place.channel, EXPRESSION, value)
    for note in played.notes:
        sounding = {"channel": note.place.channel, "note": note.key}
        yield note.begins, _ON, note.key, Message("note_on", velocity=note.velocity, **sounding)
        yield note.ends, _OFF, note.key, Message("note_off", velocity=0, **sounding)


def _control(channel: int, control: int, value: int) -> Message:
    return Message("control_change", channel=channel, control=control, value=value)


def _text(words: str) -> str:
    """What can be written as UTF-8, accents composed with their letters: a lone surrogate becomes `?`."""
    return unicodedata.normalize("NFC", words).encode("utf-8", "replace").decode("utf-8")
