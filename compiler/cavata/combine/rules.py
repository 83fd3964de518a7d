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

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cavata.combine.lines import Grid, Voice

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
