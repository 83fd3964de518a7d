"""Several lines in one voice: chords, each note as long as it is, tied where others move while it is held.

In: notes, each from one onset to another, in any number at once. Out: the events of one voice. Holds after: the events
do not overlap; a pitch is struck just where a note with it begins, and sounds as long as the note, but for one case:
where another pitch of the chord is struck again, a note that is held ends there, for a tie over such a chord would
say that both go on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.music.event import Event, Head
from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.score.score import Movement, Part, ScoreBar, ScoreEvent, loudness
from cavata.source import Span

# ----------------------------------------------------------------
# What a reduction is made of: the lines of the whole, one for each voice of each part.
#
# In: parts and their staves in a movement. Out: lines in score order, and for each bar what begins in it.


SliceRhythm = tuple[tuple[Fraction, Fraction], ...]


@record
class SourceLine:
    """One voice of one part through a movement."""

    number: int
    """Its place among the lines of the score, from the top."""
    part: Part
    bars: tuple[tuple[ScoreEvent, ...], ...]
    """For each bar the notes and chords that begin in it."""
    loudness: dict[Fraction, str]
    """For each onset the dynamic in force, empty if none was given or within a hairpin."""

    rhythms: tuple[SliceRhythm, ...]
    """For each bar beginning and end of everything that begins in it."""
    pitches: tuple[tuple[tuple[Pitch, ...], ...], ...]
    """For each bar the pitches of everything that begins in it, chord by chord."""
    heights: tuple[Fraction, ...]
    """For each bar the mean key of what begins in it; 0 where nothing does."""

    @classmethod
    def of(
        cls, number: int, part: Part, bars: tuple[tuple[ScoreEvent, ...], ...], loudness: dict[Fraction, str]
    ) -> SourceLine:
        """A line of what begins in each bar."""
        pitches = tuple(tuple(tuple(head.pitch for head in event.event.heads) for event in bar) for bar in bars)
        rhythms = tuple(tuple((event.onset, event.end) for event in bar) for bar in bars)
        return cls(number, part, bars, loudness, rhythms, pitches, tuple(map(_height, pitches)))


def _height(bar: tuple[tuple[Pitch, ...], ...]) -> Fraction:
    keys = [pitch.midi for chord in bar for pitch in chord]
    return Fraction(sum(keys), len(keys)) if keys else Fraction(0)


@record
class ReducedBar:
    """What one voice of a staff has in one bar."""

    lines: tuple[SourceLine, ...]
    """Those that are written, the highest first."""
    parts: tuple[Part, ...]
    """All that play, those who only double a line too, in score order."""
    lead: SourceLine
    """The line whose slurs, dynamics and signs are written."""
    quiet: bool = False
    """How loud it is stands elsewhere."""


def source_lines(parts: Sequence[Part], movement: Movement) -> Iterator[SourceLine]:
    """Every line of a movement that has a note."""
    number = 0
    for part, staves in zip(parts, movement.staves, strict=True):
        for staff in staves:
            for voice in staff.voices:
                if any(event.event.heads for event in voice):
                    yield SourceLine.of(number, part, _by_bar(voice, movement.bars), dict(_loudness(voice)))
                    number += 1


def _loudness(voice: Sequence[ScoreEvent]) -> Iterator[tuple[Fraction, str]]:
    """The dynamic in force at each onset; within a hairpin there is none."""
    under = False
    for event, in_force in zip(voice, loudness(voice), strict=True):
        marks = event.event.marks
        under = under and not marks.hairpin_ends
        yield event.onset, "" if under and not marks.loud else in_force
        under = under or bool(marks.hairpin and not marks.goal)


def _by_bar(voice: Sequence[ScoreEvent], bars: Sequence[ScoreBar]) -> tuple[tuple[ScoreEvent, ...], ...]:
    found: list[list[ScoreEvent]] = [[] for _ in bars]
    place = 0
    for event in voice:
        if event.event.heads:
            while place + 1 < len(bars) and bars[place + 1].onset <= event.onset:
                place += 1
            found[place].append(event)
    return tuple(map(tuple, found))


# ----------------------------------------------------------------

@record
class HeldNote:
    """One head of a line, as long as it sounds."""

    onset: Fraction
    end: Fraction
    head: Head
    line: int
    """The number of its line."""
    place: Span
    """The item of the score line that put it there."""
    tied: bool = False
    """It goes on from the note before."""


def as_one_voice(notes: Iterable[HeldNote], voice: int) -> tuple[ScoreEvent, ...]:
    """The notes as the events of one voice, without marks."""
    waiting = sorted(notes, key=lambda note: (note.onset, note.head.pitch.midi))
    moments = sorted({moment for note in waiting for moment in (note.onset, note.end)})
    events: list[ScoreEvent] = []
    sounding: list[HeldNote] = []
    place = 0
    for onset, end in pairwise(moments):
        sounding = [note for note in sounding if note.end > onset]
        while place < len(waiting) and waiting[place].onset == onset:
            sounding.append(waiting[place])
            place += 1
        sounding = _without_doubt(sounding, onset, events)
        if sounding:
            _add(events, _event(sounding, onset, end, voice))
    return tuple(_tied_on(events))


def _without_doubt(sounding: list[HeldNote], onset: Fraction, events: Sequence[ScoreEvent]) -> list[HeldNote]:
    """What sounds, without what is held beside a pitch that is struck again."""
    if not events or events[-1].end != onset:
        return sounding
    before = {head.pitch for head in events[-1].event.heads}
    struck = {note.head.pitch for note in sounding if note.onset == onset and not note.tied}
    if not struck & before:
        return sounding
    return [note for note in sounding if note.onset == onset]


def _event(sounding: Sequence[HeldNote], onset: Fraction, end: Fraction, voice: int) -> ScoreEvent:
    """What sounds from one moment to the next; `held_before` has the pitches that are not struck."""
    by_pitch: dict[Pitch, list[HeldNote]] = {}
    for note in sounding:
        by_pitch.setdefault(note.head.pitch, []).append(note)
    pitches = sorted(by_pitch, key=lambda pitch: (pitch.midi, pitch.position))
    heads = tuple(
        Head(pitch, tuple(dict.fromkeys(origin for note in by_pitch[pitch] for origin in note.head.origins)))
        for pitch in pitches
    )
    held = tuple(p for p in pitches if all(note.onset < onset or note.tied for note in by_pitch[p]))
    first = min(sounding, key=lambda note: (note.onset != onset, note.line))
    everything = len(held) == len(pitches)
    return ScoreEvent(
        onset, Event(end - onset, heads), first.place, voice, tied_before=everything,
        held_before=() if everything else held,
    )  # fmt: skip


def _add(events: list[ScoreEvent], event: ScoreEvent) -> None:
    """Take an event in; one that only goes on with the same chord lengthens the one before."""
    before = events[-1] if events else None
    if before is not None and event.tied_before and before.end == event.onset:
        same = [head.pitch for head in before.event.heads] == [head.pitch for head in event.event.heads]
        if same:
            events[-1] = replace(before, event=before.event.lasting(event.end - before.onset))
            return
    events.append(event)


def _tied_on(events: Sequence[ScoreEvent]) -> list[ScoreEvent]:
    """Each event with the pitches that go on after it; a tie that leads from nothing is a note that is struck."""
    out = list(events)
    for index, event in enumerate(events):
        before = out[index - 1] if index else None
        follows = before is not None and before.end == event.onset
        known = {head.pitch for head in before.event.heads} if before is not None and follows else set()
        pitches = tuple(head.pitch for head in event.event.heads)
        wanted = pitches if event.tied_before else event.held_before
        held = tuple(pitch for pitch in wanted if pitch in known)
        everything = len(held) == len(pitches)
        out[index] = replace(event, tied_before=everything, held_before=() if everything else held)
        if held and before is not None:
            all_on = len(held) == len(before.event.heads)
            out[index - 1] = replace(before, tied_after=all_on, held_after=() if all_on else held)
    return out
