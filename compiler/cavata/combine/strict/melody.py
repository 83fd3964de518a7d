"""Rules of one line: leaps and their recovery, runs, compass, climax, repeated notes.

In: a scene. Out: for each fault the notes that make it. Notes that are tied are one; a rest parts two notes. Both lines
are judged alike.

Sources of the rules stand in the table (`table.py`). How a leap is recovered and what a run may span: J. J. Fux, Gradus
ad Parnassum (1725), as counted in his own exercises.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cavata.combine.strict.scene import Note, Notes, Scene, StrictLine, direction, is_step, simple

_OCTAVE, _TENTH = 7, 9
"""In staff steps."""


def altered_leaps(scene: Scene) -> Iterator[Notes]:
    """An augmented or diminished step or leap."""
    for one, other in _moves(scene):
        steps, semitones = _size(one, other)
        # The sizes of perfect and of minor and major intervals, octaves left out.
        plain = {(0, 0), (1, 1), (1, 2), (2, 3), (2, 4), (3, 5), (4, 7), (5, 8), (5, 9), (6, 10), (6, 11)}
        if steps and simple(steps, semitones) not in plain:
            yield one, other


def chromatic_steps(scene: Scene) -> Iterator[Notes]:
    """A note that is raised or lowered at once."""
    return (
        (one, other) for one, other in _moves(scene)
        if one.position == other.position and one.midi != other.midi
    )  # fmt: skip


def sevenths(scene: Scene) -> Iterator[Notes]:
    """A leap of a seventh."""
    return _of_size(scene, {(6, 10), (6, 11)})


def over_an_octave(scene: Scene) -> Iterator[Notes]:
    """A leap over an octave."""
    return ((one, other) for one, other in _moves(scene) if _size(one, other)[0] > _OCTAVE)


def major_sixths(scene: Scene) -> Iterator[Notes]:
    """A leap of a major sixth."""
    return _of_size(scene, {(5, 9)})


def falling_minor_sixths(scene: Scene) -> Iterator[Notes]:
    """A minor sixth down."""
    return ((one, other) for one, other in _of_size(scene, {(5, 8)}) if direction(one, other) < 0)


def not_turned_back(scene: Scene) -> Iterator[Notes]:
    """After a sixth or an octave the line does not turn back."""
    for one, other, after in _large_leaps(scene):
        if direction(one, other) * direction(other, after) >= 0:
            yield one, other, after


def not_recovered_by_step(scene: Scene) -> Iterator[Notes]:
    """After a sixth or an octave the line turns back by a leap."""
    for one, other, after in _large_leaps(scene):
        if direction(one, other) * direction(other, after) < 0 and not is_step(other, after):
            yield one, other, after


def runs_over_a_tritone(scene: Scene) -> Iterator[Notes]:
    """A run from one turning point to the next whose ends make an augmented fourth, or a diminished fifth that does not
    turn inward by a semitone."""
    for line, run in _runs(scene):
        size = _size(run[0], run[-1])
        after = line.after(run[-1])
        inward = after is not None and is_step(run[-1], after) and abs(after.midi - run[-1].midi) == 1
        if size == (3, 6) or (size == (4, 6) and not inward):
            yield run


def runs_over_a_seventh(scene: Scene) -> Iterator[Notes]:
    """A run from one turning point to the next whose ends make a seventh."""
    return (run for _, run in _runs(scene) if _size(run[0], run[-1]) in {(6, 10), (6, 11)})


def leaps_the_same_way(scene: Scene) -> Iterator[Notes]:
    """Two leaps in a row in the same direction, within an octave."""
    return (notes for notes in _double_leaps(scene) if _size(notes[0], notes[2])[0] <= _OCTAVE)


def leaps_over_an_octave(scene: Scene) -> Iterator[Notes]:
    """Two leaps in a row in the same direction that together pass an octave."""
    return (notes for notes in _double_leaps(scene) if _size(notes[0], notes[2])[0] > _OCTAVE)


def repeated_notes(scene: Scene) -> Iterator[Notes]:
    """A note struck again at once, which is no anticipation: a quarter reached by a step down from a held note, whose
    note stands on the half bar and is tied or held on."""
    for one, other in _moves(scene):
        if one.position == other.position and one.midi == other.midi and not is_anticipation(scene, one, other):
            yield one, other


def is_anticipation(scene: Scene, one: Note, other: Note) -> bool:
    """Whether the first of two equal notes only comes too early."""
    before = scene.lines[one.voice].after(one, -1)
    short = one.length * 4 <= scene.bar and one.length <= other.length
    return before is not None and is_step(before, one) and one.midi < before.midi and short


def wide_compasses(scene: Scene) -> Iterator[Notes]:
    """A line of more than a tenth; its lowest and its highest note."""
    for line in scene.lines:
        low, high = (end(line.notes, key=lambda note: note.midi) for end in (min, max))
        if high.position - low.position > _TENTH:
            yield low, high


def repeated_climaxes(scene: Scene) -> Iterator[Notes]:
    """The highest note of a line comes twice or more."""
    for line in scene.lines:
        high = max(note.midi for note in line.notes)
        top = tuple(note for note in line.notes if note.midi == high)
        if len(top) > 1:
            yield top


def mostly_leaps(scene: Scene) -> Iterator[Notes]:
    """Fewer than half of a line's moves are by step."""
    for line in scene.lines:
        moves = [(one, other) for one, other in line.moves if one.midi != other.midi]
        if sum(is_step(one, other) for one, other in moves) * 2 < len(moves):
            yield line.notes[0], line.notes[-1]


def _moves(scene: Scene) -> Iterator[tuple[Note, Note]]:
    for line in scene.lines:
        yield from line.moves


def _size(one: Note, other: Note) -> tuple[int, int]:
    steps, semitones = other.position - one.position, other.midi - one.midi
    return (-steps, -semitones) if (steps, semitones) < (0, 0) else (steps, semitones)


def _of_size(scene: Scene, sizes: set[tuple[int, int]]) -> Iterator[tuple[Note, Note]]:
    return ((one, other) for one, other in _moves(scene) if _size(one, other) in sizes)


def _large_leaps(scene: Scene) -> Iterator[tuple[Note, Note, Note]]:
    for one, other in _of_size(scene, {(5, 8), (5, 9), (7, 12)}):
        after = scene.lines[one.voice].after(other)
        if after is not None:
            yield one, other, after


def _double_leaps(scene: Scene) -> Iterator[tuple[Note, Note, Note]]:
    for one, other in _moves(scene):
        after = scene.lines[one.voice].after(other)
        if after is None or direction(one, other) * direction(other, after) <= 0:
            continue
        if abs(other.position - one.position) > 1 and abs(after.position - other.position) > 1:
            yield one, other, after


def _runs(scene: Scene) -> Iterator[tuple[StrictLine, Notes]]:
    """Three notes or more in one direction, as long as it lasts."""
    for line in scene.lines:
        for phrase in line.phrases():
            run = [phrase[0]]
            for one, other in pairwise(phrase):
                if len(run) > 1 and direction(run[-2], run[-1]) != direction(one, other):
                    if len(run) > 2:
                        yield line, tuple(run)
                    run = [one]
                run = [*run, other] if direction(one, other) else [other]
            if len(run) > 2:
                yield line, tuple(run)
