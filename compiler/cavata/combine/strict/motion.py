"""Rules of how two lines move against each other: perfect intervals, unisons, crossing, distance, cross-relations.

In: a scene. Out: for each fault the notes that make it, those of the earlier moment first. Two moments are neighbors
where no rest lies between. Sources stand in the table (`table.py`).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cavata.combine.strict.scene import (
    FIFTH,
    IMITATION,
    IMPERFECT,
    OCTAVE,
    Note,
    Notes,
    Scene,
    SceneMoment,
    direction,
    interval_of,
    is_step,
    simple,
)

_TENTH_STEPS = 9
_MOST_ALIKE = 3
"""Thirds or sixths in a row."""


def parallel_fifths(scene: Scene) -> Iterator[Notes]:
    """Both lines move the same way from one fifth to the next."""
    return (_four(*pair) for pair in _similar(scene, FIFTH) if pair[0].kind == FIFTH)


def parallel_octaves(scene: Scene) -> Iterator[Notes]:
    """Both lines move the same way from one octave or unison to the next."""
    return (_four(*pair) for pair in _similar(scene, OCTAVE) if pair[0].kind == OCTAVE)


def direct_fifths(scene: Scene) -> Iterator[Notes]:
    """Both lines move the same way to a fifth."""
    return (_four(*pair) for pair in _similar(scene, FIFTH) if pair[0].kind != FIFTH)


def direct_octaves(scene: Scene) -> Iterator[Notes]:
    """Both lines move the same way to an octave or unison."""
    return (_four(*pair) for pair in _similar(scene, OCTAVE) if pair[0].kind != OCTAVE)


def contrary_perfects(scene: Scene) -> Iterator[Notes]:
    """From a fifth to a twelfth, or an octave to a unison or a fifteenth, by contrary motion."""
    for before, moment in scene.pairs:
        ways = _ways(before, moment)
        if moment.kind in (FIFTH, OCTAVE) and before.kind == moment.kind and ways[0] * ways[1] < 0:
            yield _four(before, moment)


def octaves_by_leap(scene: Scene) -> Iterator[Notes]:
    """An octave or unison on a strong beat that the upper line leaps to, neither first nor last."""
    for before, moment in scene.pairs:
        upper = 1 - moment.lower
        one, other = before.notes[upper], moment.notes[upper]
        leapt = moment.begins[upper] and not is_step(one, other) and one.midi != other.midi
        if moment.kind == OCTAVE and leapt and _is_inside(scene, moment) and scene.is_strong(moment.at):
            yield _four(before, moment)


def battuta_octaves(scene: Scene) -> Iterator[Notes]:
    """Inside, an octave on a strong beat that the upper line falls to while the lower one rises."""
    return _battuta(scene, OCTAVE)


def battuta_fifths(scene: Scene) -> Iterator[Notes]:
    """Inside, a fifth on a strong beat that the upper line falls to while the lower one rises."""
    return _battuta(scene, FIFTH)


def strong_unisons(scene: Scene) -> Iterator[Notes]:
    """A unison on a strong beat, neither first nor last."""
    for moment in scene.moments:
        if _is_unison(moment) and scene.is_strong(moment.at) and _is_inside(scene, moment):
            yield moment.notes


def unisons_left_by_leap(scene: Scene) -> Iterator[Notes]:
    """A unison off the strong beat whose newer note goes on by a leap."""
    for moment in scene.moments:
        if not _is_unison(moment) or scene.is_strong(moment.at) or moment is scene.moments[0]:
            continue
        note = moment.notes[1 if moment.begins[1] else 0]
        after = scene.lines[note.voice].after(note)
        if after is not None and abs(after.position - note.position) > 1:
            yield *moment.notes, after


def crossings(scene: Scene) -> Iterator[Notes]:
    """The line that lies lower on the whole goes over the other."""
    low = _low_line(scene)
    return (m.notes for m in scene.moments if m.notes[low].midi > m.notes[1 - low].midi)


def wide_distances(scene: Scene) -> Iterator[Notes]:
    """The lines are more than a tenth apart."""
    return (moment.notes for moment in scene.moments if moment.steps > _TENTH_STEPS)


def chromatic_relations(scene: Scene) -> Iterator[Notes]:
    """A letter with one sign in one line, and with another straight after, or at once, in the other."""
    for moment in scene.moments:
        if _is_crossed(*moment.notes):
            yield moment.notes
    for before, moment in scene.pairs:
        for voice in (0, 1):
            one, other = before.notes[voice], moment.notes[1 - voice]
            # Notes that sound together were judged as such.
            if _is_crossed(one, other) and all(moment.begins):
                yield one, other


def tritone_relations(scene: Scene) -> Iterator[Notes]:
    """Both lines move, and a note of one makes a tritone with the next of the other: mi against fa."""
    for before, moment in scene.pairs:
        if not all(_ways(before, moment)):
            continue
        for voice in (0, 1):
            one, other = before.notes[voice], moment.notes[1 - voice]
            _, steps, semitones = interval_of(one, other)
            if simple(steps, semitones) in {(3, 6), (4, 6)}:
                yield one, other


def alike_in_a_row(scene: Scene) -> Iterator[Notes]:
    """More than three thirds, or sixths, on strong beats in a row."""
    run: list[SceneMoment] = []
    for moment in (m for m in scene.moments if scene.is_strong(m.at)):
        if run and (moment.kind != IMPERFECT or moment.steps != run[-1].steps):
            run = []
        if moment.kind == IMPERFECT:
            run.append(moment)
            if len(run) == _MOST_ALIKE + 1:
                yield _four(run[0], moment)


def both_leap(scene: Scene) -> Iterator[Notes]:
    """Both lines leap the same way."""
    for before, moment in scene.pairs:
        ways = _ways(before, moment)
        far = [abs(new.position - old.position) > 1 for old, new in zip(before.notes, moment.notes, strict=True)]
        if ways[0] * ways[1] > 0 and all(far):
            yield _four(before, moment)


def strong_successions(scene: Scene) -> Iterator[Notes]:
    """The same perfect interval on two strong beats in a row, with something else between, both lines going the same
    way; a leap of a fourth or more from the first of them excuses it."""
    return (pair[0] for pair in _successions(scene) if not pair[1])


def excused_successions(scene: Scene) -> Iterator[Notes]:
    """The same perfect interval on two strong beats in a row, with a leap of a fourth or more from the first."""
    return (pair[0] for pair in _successions(scene) if pair[1])


def weak_successions(scene: Scene) -> Iterator[Notes]:
    """In the fourth species the same perfect interval on the second halves of two bars in a row."""
    weak = [m for m in scene.moments if scene.in_bar(m.at) * 2 == scene.bar]
    for one, other in pairwise(weak):
        if other.at - one.at == scene.bar and _is_same_perfect(one, other) and _goes_along(one, other):
            yield _four(one, other)


def _ways(before: SceneMoment, moment: SceneMoment) -> tuple[int, int]:
    """In which direction each line moves to the moment; 0 for one that holds its note or strikes it again."""
    first, second = (direction(*notes) for notes in zip(before.notes, moment.notes, strict=True))
    return first, second


def _goes_along(before: SceneMoment, moment: SceneMoment) -> bool:
    ways = _ways(before, moment)
    return ways[0] * ways[1] > 0


def _similar(scene: Scene, kind: int) -> Iterator[tuple[SceneMoment, SceneMoment]]:
    return ((b, m) for b, m in scene.pairs if m.kind == kind and _goes_along(b, m))


def _four(before: SceneMoment, moment: SceneMoment) -> Notes:
    return (*before.notes, *moment.notes)


def _battuta(scene: Scene, kind: int) -> Iterator[Notes]:
    for before, moment in scene.pairs:
        ways = _ways(before, moment)
        low = before.lower
        inward = ways[low] > 0 > ways[1 - low] and moment.steps < before.steps
        judged = moment.kind == kind and scene.is_strong(moment.at) and _is_inside(scene, moment)
        # A unison has a rule of its own.
        if judged and inward and moment.semitones:
            yield _four(before, moment)


def _is_unison(moment: SceneMoment) -> bool:
    return moment.steps == moment.semitones == 0


def _is_inside(scene: Scene, moment: SceneMoment) -> bool:
    """Neither the first nor the last moment; in free imitation nor where a line enters or ends."""
    if scene.species != IMITATION:
        return moment is not scene.moments[0] and moment is not scene.moments[-1]
    entering = any(scene.lines[note.voice].after(note, -1) is None for note in moment.notes)
    return not entering and all(scene.lines[note.voice].after(note) is not None for note in moment.notes)


def _is_crossed(one: Note, other: Note) -> bool:
    return one.position % 7 == other.position % 7 and one.pitch.alter != other.pitch.alter


def _low_line(scene: Scene) -> int:
    """The line that lies lower on the whole while both sound."""
    first, second = (sum(m.notes[voice].midi for m in scene.moments) for voice in (0, 1))
    return int(second < first)


def _is_same_perfect(one: SceneMoment, other: SceneMoment) -> bool:
    return one.kind == other.kind and one.kind in (FIFTH, OCTAVE)


def _successions(scene: Scene) -> Iterator[tuple[Notes, bool]]:
    strong = [m for m in scene.moments if scene.is_strong(m.at)]
    for one, other in pairwise(strong):
        next_to = any(b is one and m is other for b, m in scene.pairs)
        if next_to or other.at - one.at != scene.strong or not _is_same_perfect(one, other):
            continue
        if _goes_along(one, other):
            yield _four(one, other), any(_leaps_a_fourth(scene, note, other.at) for note in one.notes)


def _leaps_a_fourth(scene: Scene, note: Note, until: int) -> bool:
    after = scene.lines[note.voice].after(note)
    return after is not None and after.onset < until and abs(after.position - note.position) >= 3


