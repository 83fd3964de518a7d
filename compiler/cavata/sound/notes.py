"""What is played: every sounding head of the score as a key, a velocity, and a stretch of ticks.

In: the score and its timeline. Out: for each part its notes, in order, and its expression. Onsets are those of the
score; lengths are shortened by articulations. With a performance the touch of each note says how much later it begins,
how loud it is and when it ends. What depends on one movement alone comes first (`sounds`) and may be kept; then the
movements are joined: no two players of one sound strike a key at the same tick, and no note is just as the one before
it of the same key. On one channel a key never sounds twice at once: a note struck again ends the one before, and a
unison is struck once and lasts as long as the longer of the two.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from operator import attrgetter

from cavata.music.event import FROM_NOTHING, UNMARKED, Marks, reached
from cavata.music.pitch import Pitch
from cavata.perform.perform import Performance, PlayedMovement
from cavata.perform.phrases import slurred, untied
from cavata.perform.touch import RING, Touch, gap_after, pause_after
from cavata.record import record
from cavata.score.score import Movement, Part, Score, ScoreEvent, Staff, bar_at, events_of, rolled_across
from cavata.sound.channels import ChannelPlan, PortChannel
from cavata.sound.dynamics import FULL, LOUDEST, SOON, Loudness, swell, swells, turns_loudness
from cavata.sound.ornaments import OrnamentStroke, strokes
from cavata.sound.techniques import Programs
from cavata.sound.time import Timeline

# ----------------------------------------------------------------
# How loud each voice of a staff is told to be.
#
# In: the voices of a staff, in which what two of them have in common stands in the upper one only. Out: for each voice
# the moments at which its loudness turns. A lower voice takes what the upper one says where it begins a note itself and
# says nothing of its own.


Turns = list[tuple[Fraction, Marks]]
"""Moments with the dynamics and hairpins there, in order."""


def turns_of_voices(voices: Sequence[Sequence[ScoreEvent]]) -> list[Turns]:
    """The turns of each voice; a voice that nobody tells anything has none."""
    upper = _own(voices[0]) if voices else []
    return [upper, *(_told(voice, upper) for voice in voices[1:])]


def _own(voice: Sequence[ScoreEvent]) -> Turns:
    return [turn for event in voice if turns_loudness(event.event.marks) for turn in _turns_of(event)]


def _turns_of(event: ScoreEvent) -> Iterator[tuple[Fraction, Marks]]:
    """The turns at an event; one that grows from nothing or dies away within it has a turn at its end too."""
    marks = event.event.marks
    within = marks.hairpin_ends and bool(marks.hairpin)
    if marks.dies_away or (within and marks.hairpin == FROM_NOTHING):
        opening = Marks(marks.dynamic, hairpin=marks.hairpin, attack=marks.attack)
        if turns_loudness(opening):
            yield event.onset, opening
        # A little before it, so that the next note has its own.
        yield event.end - min(event.event.duration / 2, SOON), reached(marks).joined(Marks(hairpin_ends=True))
    else:
        yield event.onset, marks


def _told(voice: Sequence[ScoreEvent], upper: Turns) -> Turns:
    own = dict(_own(voice))
    begins = {event.onset for event in voice}
    told = dict(own)
    growing = False
    for onset, marks in upper:
        if onset in begins and onset not in own:
            told[onset] = marks
            growing = bool(marks.hairpin)
        elif growing and marks.hairpin_ends:
            told.setdefault(onset, marks)
            growing = False
    return sorted(told.items(), key=lambda turn: turn[0])


# ----------------------------------------------------------------

HIGHEST_KEY = 127
LENGTHS = {
    "staccatissimo": Fraction(1, 4),
    "staccato": Fraction(1, 2),
    "portato": Fraction(3, 4),
    "tenuto": Fraction(1),
}
"""How much of its length a note sounds; of several signs the shortest counts. A fermata stretches the tempo."""


@dataclass(slots=True)
class PlayedNote:
    """A key of a channel from one tick to another."""

    part: int
    place: PortChannel
    key: int
    velocity: int
    begins: int
    ends: int
    line: tuple[int, int] = (0, 0)
    """The staff and the voice of the part."""


@dataclass(slots=True)
class Played:
    """What a part plays: its notes in order of their beginnings, and its expression where it changes."""

    notes: tuple[PlayedNote, ...]
    expression: tuple[tuple[int, int], ...]
    """Ticks and values."""


PlayedStroke = tuple[int, int, int, int | None, int, int, int, int]
"""A stroke of a part: the program it is for, its key and velocity; by how many ticks it is late, None where nobody
performs; from which tick to which it sounds; its staff and its voice."""


@record
class PartSounds:
    """What a part plays in one movement: its strokes in order of voices, and its expression, as ticks and values."""

    strokes: tuple[PlayedStroke, ...]
    course: tuple[tuple[int, int], ...]


PlayedSpan = tuple[Fraction, Fraction]
"""From and to, in whole notes of a movement as it is played."""


def notes(
    score: Score, timeline: Timeline, places: ChannelPlan, performance: Performance | None = None,
    within: PlayedSpan | None = None,
) -> tuple[Played, ...]:  # fmt: skip
    """What each part plays, as it is performed or just as the score says.

    With `within` only the notes of every movement that sound in that stretch, or begin in it.
    """
    own = tuple(map(places.is_own, range(len(score.parts))))
    found = []
    for number, movement in enumerate(score.movements):
        performed = None if performance is None else performance.movements[number]
        found.append(sounds(score.parts, movement, own, timeline.alone(number), performed, within))
    return joined(score.parts, timeline, places, found, performance is not None)


def sounds(
    parts: Sequence[Part], movement: Movement, own: Sequence[bool], timeline: Timeline,
    performed: PlayedMovement | None = None, within: PlayedSpan | None = None,
) -> tuple[PartSounds, ...]:  # fmt: skip
    """What each part plays in a movement that is the only one of a timeline, or in a stretch of it.

    `own` says of which parts nobody else plays on their channel.
    """
    return tuple(
        _Playing(part, number, movement, own[number], timeline, performed).sounds(within)
        for number, part in enumerate(parts)
    )


def joined(
    parts: Sequence[Part], timeline: Timeline, places: ChannelPlan, movements: Sequence[Sequence[PartSounds]],
    performed: bool,
) -> tuple[Played, ...]:  # fmt: skip
    """What each part plays in all movements, one after another."""
    played: list[PlayedNote] = []
    courses: list[list[tuple[int, int]]] = []
    for number in range(len(parts)):
        before: _Before = {}
        course: list[tuple[int, int]] = []
        for movement, found in enumerate(movements):
            first = timeline.first_tick(movement)
            course += [(first + tick, value) for tick, value in found[number].course]
            for program, key, velocity, late, begins, ends, staff, voice in found[number].strokes:
                place = places.place_for(number, program)
                note = PlayedNote(number, place, key, velocity, first + begins, first + ends, (staff, voice))
                if late is not None:
                    _make_other(note, late, before)
                played.append(note)
        courses.append(course)
    if performed:
        _set_apart(played, parts)
    of_parts: list[list[PlayedNote]] = [[] for _ in parts]
    for note in _struck(played, timeline.near if performed else 0):
        of_parts[note.part].append(note)
    return tuple(Played(tuple(own), tuple(_turns(course))) for own, course in zip(of_parts, courses, strict=True))


def _turns(course: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """The course where it changes; nothing is held back before it begins."""
    before = FULL
    for tick, value in course:
        if value != before:
            before = value
            yield tick, value


def midi_key(pitch: Pitch) -> int:
    """The key of a sounding pitch; what lies above key 127 (G9) is played so many octaves lower as it needs."""
    return _playable(pitch.midi)


def _playable(key: int) -> int:
    return key if key <= HIGHEST_KEY else key - 12 * -(-(key - HIGHEST_KEY) // 12)


@lru_cache(maxsize=1024)
def sounding_length(duration: Fraction, articulations: tuple[str, ...], slurred: bool) -> Fraction:
    """How long a note sounds of its duration; `slurred` says that it is tied by a slur to the note after it."""
    if "let_ring" in articulations:
        return duration + RING
    pause = pause_after(duration, articulations)
    duration -= pause
    shares = [LENGTHS[name] for name in articulations if name in LENGTHS]
    if shares:
        return duration * min(shares)
    return duration if slurred or pause else duration - gap_after(duration)


class _Playing:
    """Plays one part of a movement."""

    def __init__(
        self, part: Part, number: int, movement: Movement, own: bool, timeline: Timeline,
        performed: PlayedMovement | None,
    ) -> None:  # fmt: skip
        self._part, self._number, self._movement, self._own = part, number, movement, own
        self._timeline, self._performed = timeline, performed
        self._strokes: list[PlayedStroke] = []

    def sounds(self, within: PlayedSpan | None) -> PartSounds:
        """What is played, or a stretch of it."""
        movement, tick = self._movement, self._timeline.tick
        staves, programs = movement.staves[self._number], Programs(self._part, movement, self._number)
        swelling = swells(self._part, self._own, staves)
        marks = [_marks(staff) for staff in staves]
        together = sorted((mark for staff in marks for mark in staff), key=lambda mark: mark[0])
        under = _rolled_under(staves)
        course: list[tuple[int, int]] = []
        for number_of_staff, (staff, own) in enumerate(zip(staves, marks, strict=True)):
            voices = zip(map(untied, staff.voices), turns_of_voices(staff.voices), strict=True)
            for number_of_voice, (voice, told) in enumerate(voices):
                loudness = Loudness(told or own or together)
                line = number_of_staff, number_of_voice
                bound_on = tuple(slurred(voice))
                for index in _heard_in(voice, within):
                    event, bound = voice[index], bound_on[index]
                    if event.event.marks.spoken:  # no instrument of General MIDI speaks
                        continue
                    if swelling:
                        velocity, swelled = swell(event, loudness)
                        course += [(tick(0, moment), value) for moment, value in swelled]
                    else:
                        velocity = loudness.velocity(event.onset, event.event.marks)
                    velocity = max(velocity - programs.softened(event.onset), 1)
                    before = under.get(event.onset, 0) if number_of_staff == 0 else 0
                    touch = self._touch(line, event.onset)
                    early = touch.early if touch is not None else _early(event, bound)
                    for stroke in _strokes(movement, voice, index, early, before):
                        self._strike(stroke, (programs.at(event.onset), velocity, line), touch)
        return PartSounds(tuple(self._strokes), tuple(course))

    def _touch(self, line: tuple[int, int], onset: Fraction) -> Touch | None:
        return None if self._performed is None else self._performed.touches[self._number, *line].get(onset)

    def _strike(self, stroke: _Sounding, sound: tuple[int, int, tuple[int, int]], touch: Touch | None) -> None:
        onset, end, keys = stroke
        program, velocity, line = sound
        begins, late = self._timeline.tick(0, onset), None
        if touch is not None:
            written, begins = begins, self._timeline.tick(0, max(onset + touch.later, Fraction(0)))
            late = begins - written
        ends = max(self._timeline.tick(0, end), begins + 1)
        for key in keys:
            struck = self._part.instrument.percussion_key
            struck = key if struck is None else struck
            loud = velocity if touch is None else touch.velocity(velocity, key, onset)
            self._strokes.append((program, struck, loud, late, begins, ends, *line))


_Before = dict[tuple[int, int, int], tuple[int, int, int]]
"""By staff, voice and key how the last note was: its velocity, how late, and how long."""


def _make_other(note: PlayedNote, late: int, before: _Before) -> None:
    """A note that would be just as the last one of its key is a little louder or softer."""
    place = (*note.line, note.key)
    if before.get(place) == (note.velocity, late, note.ends - note.begins):
        note.velocity += 1 if note.velocity < LOUDEST else -1
    before[place] = note.velocity, late, note.ends - note.begins


def _heard_in(voice: Sequence[ScoreEvent], within: PlayedSpan | None) -> range:
    """The places of the events of a voice that sound in a stretch, or begin in it."""
    if within is None:
        return range(len(voice))
    begin, end = within
    first = bisect_left(voice, begin, key=_onset)
    if first and voice[first - 1].end > begin:
        first -= 1
    return range(first, bisect_left(voice, end, key=_onset))


_onset = attrgetter("onset")

_Sounding = tuple[Fraction, Fraction, tuple[int, ...]]
"""From, to, and the keys."""


def _rolled_under(staves: Sequence[Staff]) -> dict[Fraction, int]:
    """How many notes the lower hand has of a chord that is rolled across both, by its onset."""
    across = rolled_across(staves)
    lower = events_of(staves[1:]) if across else ()
    return {event.onset: len(event.event.heads) for event in lower if event.onset in across}


def _early(event: ScoreEvent, slurred: bool) -> Fraction:
    """How much before its end an event stops sounding as the score says."""
    return event.event.duration - sounding_length(event.event.duration, event.event.marks.articulations, slurred)


def _strokes(
    movement: Movement, voice: Sequence[ScoreEvent], place: int, early: Fraction, under: int
) -> Iterator[_Sounding]:
    """An event as one stroke of its sounding length, or as the strokes that its ornament makes of it."""
    event, following = voice[place], voice[place + 1] if place + 1 < len(voice) else None
    if not _is_figured(event, following):
        end = min(event.end - early, max(event.end, movement.duration))
        yield event.onset, end, tuple([midi_key(head.pitch) for head in event.event.heads])
        return
    before = voice[place - 1] if place else None
    if "let_ring" in event.event.marks.articulations:  # an ornament cannot ring on
        early = max(early, Fraction(0))
    for stroke in strokes(event, before, following, _fifths(movement, event.onset), under):
        yield stroke.onset, _end(stroke, early), tuple(map(_playable, stroke.keys))


def _is_figured(event: ScoreEvent, following: ScoreEvent | None) -> bool:
    """Whether the event is played otherwise than as one stroke of its length."""
    marks = event.event.marks
    if following is not None and following.event.marks.graces:
        return True
    return bool(marks) and bool(marks.ornaments or marks.graces or marks.glides)


def _end(stroke: OrnamentStroke, early: Fraction) -> Fraction:
    """Where a stroke stops sounding; the last one as articulations say, but not before its half."""
    if not stroke.whole:
        return stroke.end
    return max(stroke.end - early, (stroke.onset + stroke.end) / 2)


def _fifths(movement: Movement, onset: Fraction) -> int:
    """The signature of the bar in which a moment lies."""
    return bar_at(movement.bars, onset).fifths if movement.bars else 0


def _marks(staff: Staff) -> list[tuple[Fraction, Marks]]:
    turns: dict[Fraction, Marks] = {}
    for voice in staff.voices:
        for event in voice:
            for onset, marks in _turns_of(event) if turns_loudness(event.event.marks) else ():
                turns[onset] = turns.get(onset, UNMARKED).joined(marks)
    return sorted(turns.items(), key=lambda turn: turn[0])


def _set_apart(played: list[PlayedNote], parts: Sequence[Part]) -> None:
    """Let no two parts strike a key of one sound at the same tick."""
    taken: dict[tuple[int, int, int], int] = {}
    for note in sorted(played, key=lambda note: (note.begins, note.part, note.line, note.key)):
        instrument = parts[note.part].instrument
        sound = -1 if instrument.unpitched else instrument.program
        while taken.setdefault((note.begins, note.key, sound), note.part) != note.part:
            note.begins += 1
        note.ends = max(note.ends, note.begins + 1)


def _struck(played: list[PlayedNote], near: int) -> list[PlayedNote]:
    """What is struck: of two lines that play a key on one channel within so many ticks only the first strikes it."""
    sounding: dict[tuple[PortChannel, int], PlayedNote] = {}
    struck: list[PlayedNote] = []
    for note in sorted(played, key=lambda note: (note.begins, note.part, note.key, note.ends)):
        place = (note.place, note.key)
        before = sounding.get(place)
        if before is not None and (before.begins == note.begins or _is_one(before, note, near)):
            before.velocity = max(before.velocity, note.velocity)
            before.ends = max(before.ends, note.ends)
            continue
        if before is not None and before.ends > note.begins:
            note.ends = max(note.ends, before.ends)
            before.ends = note.begins
        sounding[place] = note
        struck.append(note)
    return struck


def _is_one(before: PlayedNote, note: PlayedNote, near: int) -> bool:
    return note.begins - before.begins <= near and (note.part, note.line) != (before.part, before.line)
