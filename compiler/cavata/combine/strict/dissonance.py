"""How dissonances are treated: every dissonant moment has one name, of a figure that excuses it or of a fault.

In: a scene. Out: for each dissonant moment what it is, with its notes. The fourth is a dissonance between two lines.

Sources: J. J. Fux, Gradus ad Parnassum (1725), as counted in his exercises: a dissonant note off the strong beat passes
by step; a note held over to the strong beat may become dissonant if it was consonant before, and then falls a step to a
consonance; the cambiata leaves its dissonance by a third down and comes back by step. Lower neighbors and
anticipations in free imitation: K. Jeppesen, Counterpoint (1931), from memory. The ornaments of a resolution: as
taught, counted in Fux's exercises of the fifth species.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from cavata.combine.strict.melody import is_anticipation
from cavata.combine.strict.scene import (
    DISSONANT,
    IMITATION,
    OCTAVE,
    Note,
    Notes,
    Scene,
    SceneMoment,
    direction,
    interval_of,
    is_step,
)

# What excuses a dissonance.
PASSING, NEIGHBOR, CAMBIATA, SUSPENSION = "passing note", "dissonant neighbor", "cambiata", "suspension"
ORNAMENT, ORNAMENTED = "neighbor of a resolution", "ornamented resolution"
ANTICIPATION = "dissonant anticipation"
# What only later schools excuse: the last is a fault of its own, the others are known only where they are allowed.
DOUBLE_NEIGHBOR, ESCAPE, DOUBLE_PASSING = "double neighbor", "escape tone", "double passing note"
# What nothing excuses.
TOGETHER = "dissonance of note against note"
STRONG = "dissonance on a strong beat"
LEAPT = "leapt dissonance"
UNPREPARED, UNRESOLVED = "unprepared suspension", "unresolved suspension"
MEANINGS = {
    NEIGHBOR: "A dissonance off the strong beat that is entered by step and left by step back.",
    DOUBLE_PASSING: "A dissonant passing note straight after another.",
    CAMBIATA: "A step down to the dissonance, a third down to a consonance, and a step up.",
    ANTICIPATION: "A short dissonance, entered by a step down, whose note comes again at once.",
    ORNAMENT: "The dissonant lower neighbor of a note to which a suspension has resolved.",
    ORNAMENTED: "A suspension that resolves after one consonant note between.",
    TOGETHER: "A dissonance between notes that begin together; on a strong beat only in the first species.",
    STRONG: "A dissonance on a strong beat that was not held over.",
    LEAPT: "A dissonance off the strong beat that is entered or left by a leap, or has no note before or after it.",
    UNPREPARED: "A note held over to a strong beat, dissonant there, that was no consonance before.",
    UNRESOLVED: "A note held over to a strong beat, dissonant there, that falls to no consonance by step in time.",
    DOUBLE_NEIGHBOR: "A note, both its neighbors, dissonant or not, and the note again.",
    ESCAPE: "A dissonance entered by a step up and left by a third down.",
}
"""Each in a sentence."""


def treated(scene: Scene, name: str) -> Iterator[Notes]:
    """The dissonances that are treated so."""
    return (notes for found, notes in treatments(scene) if found == name)


@lru_cache(maxsize=1)
def treatments(scene: Scene) -> tuple[tuple[str, Notes], ...]:
    """What each dissonant moment of a scene is, and its notes."""
    return tuple((_treatment(scene, m), m.notes) for m in scene.moments if m.kind == DISSONANT)


def third_quarters(scene: Scene) -> Iterator[Notes]:
    """A dissonance on the third quarter of a bar."""
    return (m.notes for m in scene.moments if m.kind == DISSONANT and scene.in_bar(m.at) * 2 == scene.bar)


def lower_fourths(scene: Scene) -> Iterator[Notes]:
    """A suspended fourth in the lower line that falls to a fifth."""
    for moment, held in _suspensions(scene):
        if moment.lower == held.voice and moment.steps % 7 == 3:
            yield moment.notes


def ninths(scene: Scene) -> Iterator[Notes]:
    """A suspended ninth that falls to an octave, or a second to a unison."""
    for moment, held in _suspensions(scene):
        if moment.lower != held.voice and moment.steps % 7 == 1:
            yield moment.notes


def ninths_after_octaves(scene: Scene) -> Iterator[Notes]:
    """A suspended ninth or second that was an octave or unison before: octaves, put off."""
    for moment, held in _suspensions(scene):
        before = scene.moment(moment.at - 1)
        if moment.lower != held.voice and moment.steps % 7 == 1 and before is not None and before.kind == OCTAVE:
            yield (*before.notes, *moment.notes)


def lower_sevenths(scene: Scene) -> Iterator[Notes]:
    """A suspended seventh in the lower line that falls to an octave."""
    for moment, held in _suspensions(scene):
        if moment.lower == held.voice and moment.steps % 7 == 6:
            yield moment.notes


def _treatment(scene: Scene, moment: SceneMoment) -> str:
    begins = moment.begins
    if all(begins):
        return STRONG if scene.species != 1 and scene.is_strong(moment.at) else TOGETHER
    held, new = moment.notes[int(begins[0])], moment.notes[int(begins[1])]
    if scene.is_strong(moment.at):
        return _suspended(scene, moment, held)
    return _passed(scene, moment, new)


def _suspended(scene: Scene, moment: SceneMoment, held: Note) -> str:
    """A note that was held over to a strong beat, as far as it is prepared and resolved."""
    line = scene.lines[held.voice]
    other = moment.notes[1 - held.voice]
    free = scene.species == IMITATION
    over_the_bar = not free or not scene.in_bar(moment.at)
    prepared = scene.moment(moment.at - 1)
    if prepared is None or prepared.kind == DISSONANT or not moment.follows:
        return UNPREPARED if over_the_bar else STRONG
    after, last = line.after(held), line.after(held, 2)
    # In free imitation the other line may move under the resolution, which is then judged as any moment is.
    if after is not None and _resolves(held, after) and (free or interval_of(other, after)[0] != DISSONANT):
        return SUSPENSION if _is_in_time(scene, after) else UNRESOLVED
    if after is not None and last is not None and scene.species in (IMITATION, 5) and _resolves(held, last):
        between = scene.moment(after.onset)
        if between is not None and between.kind != DISSONANT and _is_in_time(scene, last):
            return ORNAMENTED
    return UNRESOLVED if over_the_bar else STRONG


def _is_in_time(scene: Scene, resolution: Note) -> bool:
    """In the middle of the bar; in the fifth species also on its second quarter; in free imitation anywhere."""
    middle = scene.in_bar(resolution.onset) * 2 == scene.bar
    early = scene.species == 5 and scene.in_bar(resolution.onset) * 4 == scene.bar
    return middle or early or scene.species not in (4, 5)


def _passed(scene: Scene, moment: SceneMoment, new: Note) -> str:
    """A dissonant note that begins off the strong beat while the other line holds."""
    line = scene.lines[new.voice]
    before, after = line.after(new, -1), line.after(new)
    if before is None or after is None:
        return LEAPT
    if DOUBLE_NEIGHBOR in scene.options.allowed and _is_in_double_neighbor(scene, new):
        return DOUBLE_NEIGHBOR
    if not is_step(before, new):
        return LEAPT
    if is_step(new, after):
        if direction(before, new) == direction(new, after):
            return DOUBLE_PASSING if _follows_passing(scene, moment, new) else PASSING
        return _neighbor(scene, before, new)
    if after.midi == new.midi and scene.species in (IMITATION, 5) and is_anticipation(scene, new, after):
        return ANTICIPATION
    if _is_cambiata(scene, before, new):
        return CAMBIATA
    escapes = direction(before, new) > 0 and after.position - new.position == -2
    return ESCAPE if escapes and ESCAPE in scene.options.allowed else LEAPT


def _resolves(held: Note, after: Note) -> bool:
    return is_step(held, after) and after.midi < held.midi


def _follows_passing(scene: Scene, moment: SceneMoment, new: Note) -> bool:
    """The note before was a dissonance off the strong beat too, over the same note."""
    before = scene.lines[new.voice].after(new, -1)
    last = scene.moment(moment.at - 1)
    return (
        last is not None and last.kind == DISSONANT and last.notes[new.voice] is before
        and not scene.is_strong(last.at) and last.at == before.onset
        and last.notes[1 - new.voice] is moment.notes[1 - new.voice]
    )  # fmt: skip


def _neighbor(scene: Scene, before: Note, new: Note) -> str:
    """A neighbor; below a resolution, as an ornament of it, it has a name of its own."""
    held = scene.lines[new.voice].after(before, -1)
    if new.midi > before.midi or scene.species != 5 or held is None or not _resolves(held, before):
        return NEIGHBOR
    over = scene.in_bar(held.onset) + held.length > scene.bar
    return ORNAMENT if over else NEIGHBOR


def _is_cambiata(scene: Scene, before: Note, new: Note) -> bool:
    """A step down to the dissonance, a third down to a consonance, and a step up."""
    line = scene.lines[new.voice]
    third, fourth = line.after(new), line.after(new, 2)
    if third is None or fourth is None or scene.species not in (IMITATION, 3, 5):
        return False
    under = scene.moment(third.onset)
    falls = direction(before, new) < 0 and third.position - new.position == -2
    rises = is_step(third, fourth) and fourth.midi > third.midi
    return falls and rises and under is not None and under.kind != DISSONANT


def _is_in_double_neighbor(scene: Scene, new: Note) -> bool:
    """Whether the note is one of the two inner ones of a note, its neighbors on both sides, and the note again."""
    line = scene.lines[new.voice]
    for first in (line.after(new, -1), line.after(new, -2)):
        inner = [] if first is None else [line.after(first, far) for far in (1, 2, 3)]
        if first is None or None in inner:
            continue
        one, other, last = (note for note in inner if note is not None)
        around = is_step(first, one) and is_step(other, last) and first.midi == last.midi
        if around and direction(first, one) == -direction(first, other) != 0:
            return True
    return False


def _suspensions(scene: Scene) -> Iterator[tuple[SceneMoment, Note]]:
    for moment in scene.moments:
        if moment.kind == DISSONANT and not all(moment.begins) and scene.is_strong(moment.at):
            held = moment.notes[int(moment.begins[0])]
            if _suspended(scene, moment, held) in (SUSPENSION, ORNAMENTED):
                yield moment, held
