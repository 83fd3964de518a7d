"""A movement made ready to be laid beside another version of it.

In: a movement. Out: its notes with ties joined, lane by lane and bar by bar, in ticks and codes: contents that are
equal have equal codes, in both versions, so that comparing them is comparing whole numbers.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from cavata.compare.changes import SoundingNote, Spot
from cavata.music.event import UNMARKED, Event, Marks
from cavata.record import replace
from cavata.score.score import Movement, Score, ScoreEvent, with_ossias

Lane = tuple[str, str, int]
"""A part by its name in the new version, a staff and a voice of it."""


class ReadNote(NamedTuple):
    """A note or chord with its ties joined."""

    onset: int
    length: int
    sound: int
    """The code of its spelled pitches."""
    dress: int
    """The code of its markings; 0 for none."""
    events: tuple[ScoreEvent, ...]

    @property
    def event(self) -> Event:
        """The event that is struck."""
        return self.events[0].event


class Codes:
    """Whole numbers for contents, the same in both versions."""

    def __init__(self, whole: int) -> None:
        self.whole = whole
        """Ticks of a whole note that make every onset and duration of both versions whole."""
        self._known: dict[Hashable, int] = {}
        self._marks: dict[int, int] = {}

    def of(self, content: Hashable) -> int:
        """The code of a content."""
        return self._known.setdefault(content, len(self._known) + 1)

    def ticks(self, time: Fraction) -> int:
        """A time in ticks."""
        return time.numerator * (self.whole // time.denominator)

    def sound(self, event: Event) -> int:
        """The code of its pitches as they are spelled: below zero for a chord, so that it is no single note's."""
        heads = event.heads
        if len(heads) == 1:
            pitch = heads[0].pitch
            return pitch.position * 8 + pitch.alter + 4
        return -self.of(tuple([(head.pitch.position, head.pitch.alter) for head in heads]))

    def dress(self, marks: Marks) -> int:
        """The code of an event's markings; letters of grace notes do not count."""
        if marks is UNMARKED:
            return 0
        found = self._marks.get(id(marks))
        if found is None:
            graces = tuple(tuple(head.pitch for head in grace) for grace in marks.graces)
            plain = replace(marks, graces=()) if graces else marks
            found = self._marks[id(marks)] = self.of((plain, graces)) if marks else 0
        return found


def codes_for(scores: Sequence[Score]) -> Codes:
    """Codes that fit every time of the scores."""
    movements = [movement for score in scores for movement in score.movements]
    tempi = (tempo.onset.denominator for movement in movements for tempo in movement.tempi)
    return Codes(lcm(*(movement.divisions for movement in movements), *tempi))


class ReadMovement:
    """A movement's notes by lane, and by the bar in which they begin."""

    def __init__(self, movement: Movement, parts: Mapping[int, str], codes: Codes) -> None:
        """`parts` are those that are compared: their places in the score, and their names."""
        self.movement = movement
        self.codes = codes
        self.begins = [codes.ticks(bar.onset) for bar in movement.bars]
        self.ends = [*self.begins[1:], codes.ticks(movement.duration)]
        self.bars: list[dict[Lane, list[ReadNote]]] = [{} for _ in self.begins]
        for place, name in parts.items():
            for staff in with_ossias(movement.staves[place]):
                for voice, events in enumerate(staff.voices):
                    if events:
                        self._take((name, staff.name, voice), events)
        self.parts: list[dict[str, int]] = [self._contents(number) for number in range(len(self.bars))]
        """For each bar the code of what each part plays in it; a part that is silent is left out."""
        self.prints = [codes.of((self.length(n), *sorted(bar.items()))) for n, bar in enumerate(self.parts)]
        """For each bar the code of all that is in it."""

    def _take(self, lane: Lane, events: Sequence[ScoreEvent]) -> None:
        ticks, sound, dress, begins, last = self.codes.ticks, self.codes.sound, self.codes.dress, self.begins, -1
        bar, end = -1, -1
        row: list[ReadNote] = []
        for event in events:
            onset, inner = ticks(event.onset), event.event
            if not inner.heads:
                continue
            if event.tied_before and row and row[-1].onset + row[-1].length == onset:
                row[-1] = self._tied(row[-1], event)
                continue
            if onset >= end:
                bar = bisect_right(begins, onset) - 1
                end = self.ends[bar]
            if bar != last:
                row, last = self.bars[bar].setdefault(lane, []), bar
            row.append(ReadNote(onset, ticks(inner.duration), sound(inner), dress(inner.marks), (event,)))

    def _tied(self, note: ReadNote, more: ScoreEvent) -> ReadNote:
        """The note with what is tied to it; where the markings stand within it belongs to its dress."""
        dress = self.codes.dress(more.event.marks)
        if dress:
            dress = self.codes.of((note.dress, note.length, dress))
        length = note.length + self.codes.ticks(more.event.duration)
        return ReadNote(note.onset, length, note.sound, dress or note.dress, (*note.events, more))

    def _contents(self, number: int) -> dict[str, int]:
        begin = self.begins[number]
        rows: dict[str, list[Hashable]] = {}
        for (part, staff, voice), notes in self.bars[number].items():
            row = tuple([(n.onset - begin, n.length, n.sound, n.dress) for n in notes])
            rows.setdefault(part, []).append((staff, voice, row))
        return {part: self.codes.of(tuple(row)) for part, row in rows.items()}

    def length(self, bar: int) -> int:
        """A bar's length in ticks."""
        return self.ends[bar] - self.begins[bar]

    def whole_bars(self, first: int, end: int) -> range:
        """The bars from one to before another, without the pickup that they may begin with."""
        begins_early = first < end and self.movement.bars[first].bar_in_section == 0
        return range(first + (begins_early and first + 1 < end), end)

    def pickup(self, section: int) -> Fraction:
        """The length of the pickup that a section begins with, in whole notes; 0 where it has none."""
        bars = self.movement.bars
        return sum((bar.duration for bar in bars if bar.section == section and bar.bar_in_section == 0), Fraction(0))

    def notes(self, part: str, first: int, end: int) -> dict[tuple[str, int], list[ReadNote]]:
        """What a part plays from one bar to before another, by staff and voice."""
        found: dict[tuple[str, int], list[ReadNote]] = {}
        for bar in self.bars[first:end]:
            for (name, staff, voice), notes in bar.items():
                if name == part:
                    found.setdefault((staff, voice), []).extend(notes)
        return found

    def spot(self, tick: int) -> Spot:
        """The moment at a tick, at most in the last bar."""
        place = max(bisect_right(self.begins, tick) - 1, 0)
        bar, inside = self.movement.bars[place], Fraction(tick - self.begins[place], self.codes.whole)
        unit = None if bar.meter is None else bar.meter.denominator
        return Spot(bar.number, bar.before + inside, unit, bar.onset + inside)

    def sounding(self, note: ReadNote, at: int) -> SoundingNote:
        """A note as it is told, at a tick of this movement."""
        return SoundingNote(self.spot(at), Fraction(note.length, self.codes.whole), note.events)
