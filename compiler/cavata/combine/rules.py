"""The rules of two voices, and where they are broken: for all placements at once.

In: a leader and a follower in ticks, and the delays. Out: for every breach a mask over transpositions, delays and
ticks of the leader.

Source: J. J. Fux, Gradus ad Parnassum (1725), as taught (Mann's edition): to a perfect consonance no voices move the
same way; a dissonance is a passing or neighbouring note off the strong beat while the other voice holds, or a
suspension on the strong beat, prepared as a consonance and resolved by a step down; the cambiata is not allowed. The
fourth is a dissonance between two voices.
`free` is common practice: no parallel fifths or octaves, dissonance off the strong beat only. Invertible counterpoint
goes by the tables of interval numbers (course notes of Georgetown College, Music 311): at the octave n becomes 9 - n,
at the tenth 11 - n, at the twelfth 13 - n; the strict rules must hold for both. How a line begins and ends is not
judged, since motifs are parts of longer lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cavata.music.event import Motif
from cavata.music.pitch import Pitch

# ----------------------------------------------------------------
# Lines cut into ticks, so that all ways of putting two of them together can be judged at once.
#
# In: pitches, onsets and durations. Out: arrays with a column for each tick: what sounds there, whether it begins
# there,
# and how the line comes to it and leaves it. One row for each transposition.


Grid = NDArray[Any]


@dataclass(frozen=True, slots=True)
class Voice:
    """A line in ticks: arrays of a row for each transposition and a column for each tick."""

    position: Grid
    midi: Grid
    sounds: Grid
    """One row: rests are the same in every transposition."""
    begins: Grid
    """One row."""
    came: Grid
    """The direction, -1, 0 or 1, in which the line came to the note; 0 also after a rest."""
    by_step: Grid
    """Whether it came by a step."""
    on_by_step: Grid
    """Whether it goes on by a step."""
    on_down: Grid
    """Whether it goes on by a step down."""


def voice(line: Motif, pitches: Sequence[Sequence[Pitch]], tick: Fraction) -> Voice:
    """A line, with the pitches of its notes in every transposition."""
    counts = [int(event.duration / tick) for event in line.events]
    number = np.cumsum([bool(event.heads) for event in line.events]) - 1
    sounding = np.array([bool(event.heads) for event in line.events])
    position = np.array([[p.position for p in row] for row in pitches], np.int16)
    midi = np.array([[p.midi for p in row] for row in pitches], np.int16)
    # A move leads from one event straight to the next, both notes; elsewhere a line neither comes nor goes on.
    events = len(counts)
    step, rise = np.zeros((len(position), events + 1), np.int16), np.zeros((len(position), events + 1), np.int16)
    for place in range(1, events):
        if sounding[place] and sounding[place - 1]:
            step[:, place] = position[:, number[place]] - position[:, number[place] - 1]
            rise[:, place] = midi[:, number[place]] - midi[:, number[place] - 1]
    is_step = (np.abs(step) == 1) & (np.abs(rise) <= 2) & (np.sign(step) == np.sign(rise))
    where = np.repeat(np.arange(events), counts)
    begins = np.zeros(len(where), np.bool_)
    begins[np.cumsum([0, *counts[:-1]])] = True
    note = np.maximum(number, 0)[where]
    return Voice(
        position[:, note],
        midi[:, note],
        sounding[where][None, :],
        (begins & sounding[where])[None, :],
        np.sign(rise)[:, where],
        is_step[:, where],
        is_step[:, where + 1],
        (is_step & (rise < 0))[:, where + 1],
    )


# ----------------------------------------------------------------

DISSONANT, IMPERFECT, FIFTH, OCTAVE = 0, 1, 2, 3
KINDS = {(0, 0): OCTAVE, (2, 3): IMPERFECT, (2, 4): IMPERFECT, (4, 7): FIFTH, (5, 8): IMPERFECT, (5, 9): IMPERFECT}
"""Staff steps and semitones of the consonances, octaves left out."""
BY_NUMBER = (OCTAVE, DISSONANT, IMPERFECT, DISSONANT, FIFTH, IMPERFECT, DISSONANT)
"""Kinds by staff steps alone, as the tables of invertible counterpoint have them."""
INVERTIBLE = {"octave": 7, "tenth": 9, "twelfth": 11}
"""The staff steps of the interval at which voices change places."""
LOOSE = frozenset(("free", "canon", "stretto", "quodlibet"))
"""Rules that judge as `free` does and differ in what they put together."""


_TABLE = np.zeros((7, 32), np.int8)
for (_steps, _semitones), _kind in KINDS.items():
    _TABLE[_steps, _semitones + 8] = _kind


@dataclass(frozen=True, slots=True)
class Judgement:
    """What was found for transpositions by delays."""

    breaches: dict[str, NDArray[np.bool_]]
    """Masks over transpositions, delays and ticks of the leader."""
    together: Grid
    """Ticks in which both sound, by delays."""
    imperfect: Grid
    """Moments with an imperfect consonance."""


def judge(leader: Voice, follower: Voice, delays: NDArray[np.int64], strong: int, rules: str) -> Judgement:
    """Judge every placement; `strong` is how many ticks lie between strong beats."""
    length = leader.sounds.shape[1]
    when = np.arange(length)
    inside = when[None, :] - delays[:, None]
    valid = (inside >= 0) & (inside < follower.sounds.shape[1])
    place = np.where(valid, inside, 0)
    both = leader.sounds & (follower.sounds[0][place] & valid)
    moment = both & (leader.begins | follower.begins[0][place])
    steps = follower.position[:, place] - leader.position[:, None, :]
    semitones = follower.midi[:, place] - leader.midi[:, None, :]
    crossed = (semitones < 0) | ((semitones == 0) & (steps < 0))
    steps, semitones = np.where(crossed, -steps, steps), np.where(crossed, -semitones, semitones)
    kinds = _TABLE[steps % 7, np.clip(semitones - 12 * (steps // 7) + 8, 0, 31)]
    scene = _Scene(leader, follower, place, both, moment, when % strong == 0)
    found = scene.breaches(kinds, rules in LOOSE, "")
    if rules in INVERTIBLE:
        turned = np.array(BY_NUMBER, np.int8)[(INVERTIBLE[rules] - steps) % 7]
        found |= scene.breaches(turned, False, "inverted: ")
    return Judgement(found, both.sum(axis=1), ((kinds == IMPERFECT) & moment).sum(axis=2))


class _Scene:
    """What is the same for every kind of interval."""

    def __init__(self, leader: Voice, follower: Voice, place: Grid, both: Grid, moment: Grid, strong: Grid) -> None:
        leads, follows = leader.begins, follower.begins[0][place]
        self.both, self.moment, self.strong = both, moment, strong
        self.same_way = (leads & follows & moment) & (leader.came[:, None, :] * follower.came[:, place] > 0)
        passes = follows & ~leads & follower.by_step[:, place] & follower.on_by_step[:, place]
        passed = leads & ~follows & leader.by_step[:, None, :] & leader.on_by_step[:, None, :]
        self.passing = (passes | passed) & ~strong
        self.resolved = (~leads & leader.on_down[:, None, :]) | (~follows & follower.on_down[:, place])

    def breaches(self, kinds: Grid, loose: bool, prefix: str) -> dict[str, NDArray[np.bool_]]:
        before = np.full_like(kinds, DISSONANT)
        before[:, :, 1:] = np.where(self.both[:, :-1], kinds[:, :, :-1], DISSONANT)
        found = {}
        for kind, word in ((FIFTH, "fifth"), (OCTAVE, "octave")):
            direct = self.same_way & (kinds == kind)
            found[f"{prefix}parallel {word}s"] = direct & (before == kind)
            if not loose:
                found[f"{prefix}{word} by direct motion"] = direct & (before != kind)
        wrong = (kinds == DISSONANT) & self.moment
        if loose:
            found[f"{prefix}dissonance on a strong beat"] = wrong & self.strong
            return found
        wrong &= ~self.passing & ~(self.resolved & (before != DISSONANT) & self.strong)
        found[f"{prefix}dissonance on a strong beat"] = wrong & self.strong
        found[f"{prefix}dissonance not by step"] = wrong & ~self.strong
        return found
