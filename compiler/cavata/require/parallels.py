"""Parallel fifths and octaves between lines.

In: events of two lines in order. Out: the moves in which both go the same way, at the same moment, from one perfect
fifth (or octave) straight to another. A line that stays on its pitch does not move; a rest between two notes parts
them.

Source of the rule: J. J. Fux, Gradus ad Parnassum (1725): to a perfect consonance no voices move the same way; of this
only the case of two equal perfect consonances is looked for. Compound intervals count as simple ones, unisons as
octaves, and intervals by their spelling.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from cavata.music.pitch import Interval
from cavata.names.program import PartStaff, Where
from cavata.record import record
from cavata.score.score import Movement, Score, ScoreEvent, bar_at
from cavata.score.whereabouts import beat_text

# ----------------------------------------------------------------
# The lines that parts sing or play, for whoever looks at how they move.
#
# In: a movement. Out: for each voice of each part its events in order; places in the words of a message.


@record
class PartLine:
    """One voice of a staff of a part."""

    part: str
    events: tuple[ScoreEvent, ...]


def named_voices(score: Score, movement: Movement, targets: tuple[PartStaff, ...]) -> Iterator[PartLine]:
    """The voices of parts, or of one staff of them, in the order in which they are named."""
    indices = {part.name: index for index, part in enumerate(score.parts)}
    for target in targets:
        for staff in movement.staves[indices[target.part]]:
            if target.staff in ("", staff.name):
                yield from (PartLine(target.part, voice) for voice in staff.voices if voice)


def bounds(movement: Movement, section: str) -> tuple[Fraction, Fraction]:
    """Where a section begins and ends; without a name the whole movement."""
    if not section:
        return Fraction(0), movement.duration
    number = next(index for index, found in enumerate(movement.sections) if found.name == section)
    following = movement.sections[number + 1 : number + 2]
    return movement.sections[number].onset, following[0].onset if following else movement.duration


def meant_stretches(score: Score, places: tuple[Where, ...]) -> Iterator[tuple[Movement, Fraction, Fraction]]:
    """The stretches that places mean; without any every movement."""
    if not places:
        for movement in score.movements:
            yield movement, Fraction(0), movement.duration
    for place in places:
        for movement in score.movements:
            if movement.name == place.movement:
                yield movement, *bounds(movement, place.section)


def place_in_words(movement: Movement, onset: Fraction) -> str:
    """`bar 3 beat 2 of opening`, as the script counts; free time has no bars."""
    bar = bar_at(movement.bars, onset)
    where = f" of `{movement.section_of(bar) or movement.name}`"
    if bar.meter is None:
        return f"{onset - bar.onset} after the beginning{where}"
    if not bar.bar_in_section:
        return f"the pickup{where}"
    return f"bar {bar.bar_in_section} beat {beat_text(onset - bar.begin, bar.meter.denominator)}{where}"


# ----------------------------------------------------------------

PERFECT = {"fifths": (4, 7), "octaves": (0, 0)}
"""For each word the steps of the interval within an octave of seven, and its semitones within one of twelve."""
STEPS, SEMITONES = 7, 12


@record
class Parallel:
    """A forbidden move: two events of one line, and those of the other that sound with them."""

    first: tuple[ScoreEvent, ScoreEvent]
    second: tuple[ScoreEvent, ScoreEvent]
    head: tuple[int, int]
    """Which head of a chord it is in each line, counted from the lowest."""

    def __str__(self) -> str:
        """The notes: `C#5 D5 over F#3 G3`."""
        one = self._notes(self.first, self.head[0])
        other = self._notes(self.second, self.head[1])
        lower = self.first[0].event.heads[self.head[0]].pitch.midi < self.second[0].event.heads[self.head[1]].pitch.midi
        return f"{other} over {one}" if lower else f"{one} over {other}"

    @staticmethod
    def _notes(move: tuple[ScoreEvent, ScoreEvent], head: int) -> str:
        return " ".join(str(event.event.heads[head].pitch) for event in move)


def parallels(one: tuple[ScoreEvent, ...], other: tuple[ScoreEvent, ...], interval: str) -> Iterator[Parallel]:
    """The parallels between two lines, `fifths` or `octaves`, in order of time."""
    wanted = PERFECT[interval]
    moves = {move[1].onset: move for move in _moves(other)}
    for move in _moves(one):
        against = moves.get(move[1].onset)
        if against is None:
            continue
        for head in range(len(move[0].event.heads)):
            for other_head in range(len(against[0].event.heads)):
                if _parallel(move, against, head, other_head, wanted):
                    yield Parallel(move, against, (head, other_head))


def _moves(line: tuple[ScoreEvent, ...]) -> Iterator[tuple[ScoreEvent, ScoreEvent]]:
    """Neighbors without a rest between them, those that are spoken left out; chords only to chords of as many notes,
    whose heads move by rank.
    """
    for before, after in pairwise(line):
        if before.event.marks.spoken or after.event.marks.spoken:
            continue
        if before.end == after.onset and len(before.event.heads) == len(after.event.heads):
            yield before, after


def _parallel(
    move: tuple[ScoreEvent, ScoreEvent], against: tuple[ScoreEvent, ScoreEvent], head: int, other_head: int,
    wanted: tuple[int, int],
) -> bool:
    begins, ends = (event.event.heads[head].pitch for event in move)
    others_begins, others_ends = (event.event.heads[other_head].pitch for event in against)
    first, second = ends.midi - begins.midi, others_ends.midi - others_begins.midi
    if first * second <= 0:
        return False
    return _is(begins - others_begins, wanted) and _is(ends - others_ends, wanted)


def _is(interval: Interval, wanted: tuple[int, int]) -> bool:
    steps, semitones = interval.steps, interval.semitones
    if (semitones, steps) < (0, 0):
        steps, semitones = -steps, -semitones
    return (steps % STEPS, semitones % SEMITONES) == wanted
