"""How two lines begin and end together, and the note values of the fifth species.

In: a scene. Out: for each fault the notes that make it. A beginning is judged where the lines begin together (in a
species the counterpoint may rest at first), an ending where they end together. Sources stand in the table (`table.py`).
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.combine.strict.scene import FIFTH, IMITATION, OCTAVE, Note, Notes, Scene, SceneMoment, is_step, simple
from cavata.music.mode import native


def beginnings(scene: Scene) -> Iterator[Notes]:
    """The first interval is not perfect; over a counterpoint below, where there is a cantus firmus, a fifth is none."""
    if not scene.moments or not scene.begin_together():
        return
    first = scene.moments[0]
    below = scene.species != IMITATION and first.lower != scene.cantus and first.semitones > 0
    if first.kind not in ((OCTAVE,) if below else (OCTAVE, FIFTH)):
        yield first.notes


def endings(scene: Scene) -> Iterator[Notes]:
    """The last interval is no octave or unison."""
    if scene.moments and scene.end_together() and scene.moments[-1].kind != OCTAVE:
        yield scene.moments[-1].notes


def off_the_final(scene: Scene) -> Iterator[Notes]:
    """Where the mode is known, the lower line does not end on its final."""
    mode = scene.options.mode
    if mode is not None and scene.moments and scene.end_together():
        last = scene.moments[-1]
        if last.notes[last.lower].pitch.pitch_class != mode.tonic:
            yield last.notes


def cadences(scene: Scene) -> Iterator[Notes]:
    """The last interval but one is neither a major sixth, as over a cantus firmus, nor a minor third or tenth, as under
    one; or the counterpoint does not go to its last note by step."""
    last = _close(scene)
    if last is None:
        return
    final, before = last.notes[1 - scene.cantus], scene.moments[-2]
    penult = before.notes[1 - scene.cantus]
    wanted = simple(before.steps, before.semitones) in {(5, 9), (2, 3)}
    if not wanted or not is_step(penult, final):
        yield (*before.notes, *last.notes)


def cadence_patterns(scene: Scene) -> Iterator[Notes]:
    """The usual close: in the second species 5-6 or 5-3, in the fourth 7-6 or 2-3, over the last bar but one."""
    last = _close(scene)
    bar = [m for m in scene.moments if last is not None and last.at - scene.bar <= m.at < last.at]
    if last is None or not bar:
        return
    above = bar[0].lower == scene.cantus
    usual = {2: (4, 5 if above else 2), 4: (6 if above else 1, 5 if above else 2)}[scene.species]
    if tuple(moment.steps % 7 for moment in bar) != usual:
        yield (*bar[0].notes, *last.notes)


def leading_notes(scene: Scene) -> Iterator[Notes]:
    """A leading tone that the mode has not, raised for the close, does not go to the final before the line ends."""
    mode = scene.options.mode
    if mode is None:
        return
    for line in scene.lines:
        for note in line.notes:
            raised = note.pitch.alter > native(note.pitch, mode).alter
            if raised and (note.position + 1) % 7 == mode.tonic.letter:
                bar = note.onset - scene.in_bar(note.onset) + scene.bar
                later = [n for n in line.notes if note.onset < n.onset <= bar]
                led = any(n.position == note.position + 1 and n.pitch.pitch_class == mode.tonic for n in later)
                if not led and later:
                    yield note, later[-1]


def misplaced_eighths(scene: Scene) -> Iterator[Notes]:
    """Eighths anywhere but in pairs on the second or fourth quarter."""
    quarter = scene.bar // 4
    for note in scene.counterpoint.notes:
        if note.length * 2 == quarter:
            place = scene.in_bar(note.onset)
            first = place % quarter == 0
            partner = scene.counterpoint.after(note, 1 if first else -1)
            paired = partner is not None and partner.length == note.length
            if place // quarter not in (1, 3) or not paired:
                yield (note,)


def leapt_eighths(scene: Scene) -> Iterator[Notes]:
    """An eighth that is entered or left by a leap."""
    line = scene.counterpoint
    for one, other in line.moves:
        if min(one.length, other.length) * 8 == scene.bar and not is_step(one, other):
            yield one, other


def crowded_eighths(scene: Scene) -> Iterator[Notes]:
    """More than two eighths in a bar."""
    eighths = [note for note in scene.counterpoint.notes if note.length * 8 == scene.bar]
    for one, other in zip(eighths, eighths[2:], strict=False):
        if one.onset - scene.in_bar(one.onset) == other.onset - scene.in_bar(other.onset):
            yield one, other


def misplaced_halves(scene: Scene) -> Iterator[Notes]:
    """A half note on the second quarter of a bar."""
    for note in scene.counterpoint.notes:
        if scene.in_bar(note.onset) * 4 == scene.bar and note.length * 2 >= scene.bar:
            yield (note,)


def long_ties(scene: Scene) -> Iterator[Notes]:
    """A note tied over the bar to a longer one, or from less than a half note."""
    for note in scene.counterpoint.notes[:-1]:
        before = scene.bar - scene.in_bar(note.onset)
        if before < note.length and (note.length > 2 * before or before * 2 < scene.bar):
            yield (note,)


def untied_halves(scene: Scene) -> Iterator[Notes]:
    """A half note after two quarters in one bar that is not tied over."""
    line = scene.counterpoint
    for note in line.notes:
        one, other = line.after(note, -2), line.after(note, -1)
        quarters = one is not None and other is not None and one.length * 4 == other.length * 4 == scene.bar
        if quarters and scene.in_bar(note.onset) * 2 == scene.bar and note.length * 2 == scene.bar:
            yield (note,)


def uniform_bars(scene: Scene) -> Iterator[Notes]:
    """Three bars in a row of one species."""
    line = scene.counterpoint
    bars: dict[int, list[Note]] = {}
    for note in line.notes:
        bars.setdefault((note.onset - scene.offset) // scene.bar, []).append(note)
    numbers = sorted(bars)
    for first, second, third in zip(numbers, numbers[1:], numbers[2:], strict=False):
        lengths = [tuple(note.length for note in bars[number]) for number in (first, second, third)]
        if third == first + 2 and lengths[0] == lengths[1] == lengths[2] and len(lengths[0]) > 1:
            yield bars[first][0], bars[third][-1]


def _close(scene: Scene) -> SceneMoment | None:
    """The last moment, where both lines end and a cantus firmus steps to its last note."""
    if len(scene.moments) < 2 or not scene.end_together():
        return None
    last = scene.moments[-1]
    return last if last.notes[scene.cantus].onset == last.at == last.notes[1 - scene.cantus].onset else None
