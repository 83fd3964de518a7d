"""Two voices judged at once in all their placements, as far as arrays can: a sieve for the rules that look closer.

In: a leader and a follower in ticks, one row for each transposition, and the delays. Out: for every kind of fault a
mask over transpositions, delays and ticks of the leader; and for every delay how far the voices share their time and
answer each other. `free` is common practice: no parallel fifths or octaves; off the strong beat any dissonance, on it
only one held over from a consonance that resolves a step down, at once or after one other note. Under the strict rules
a mask holds only what the judge (`strict/table.py`) surely condemns too: perfect intervals by similar motion,
dissonances that nothing could excuse. Invertible counterpoint goes by the tables of interval numbers (course notes of
Georgetown College, Music 311): at the octave n becomes 9 - n, at the tenth 11 - n, at the twelfth 13 - n; of the
inverted intervals the masks are all that is judged: dissonances pass by step, return, leave by a third as a cambiata,
or are suspended.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cavata.combine.strict.dissonance import LEAPT, STRONG
from cavata.combine.strict.scene import DISSONANT, FIFTH, IMPERFECT, KINDS, OCTAVE
from cavata.music.event import Motif
from cavata.music.pitch import Pitch

Array = NDArray[Any]


@dataclass(frozen=True, slots=True)
class TickVoice:
    """A line in ticks: arrays of a row for each transposition and a column for each tick."""

    position: Array
    midi: Array
    sounds: Array
    """One row: rests are the same in every transposition."""
    begins: Array
    """One row."""
    came: Array
    """The direction, -1, 0 or 1, in which the line came to the note; 0 also after a rest."""
    by_step: Array
    """Whether it came by a step."""
    on_by_step: Array
    """Whether it goes on by a step."""
    resolves: Array
    """Whether it goes on by a step down, at once or after one other note."""
    bends: Array
    """Whether it is the second note of a cambiata: it came by a step down, and goes on a third down and a step up."""
    repeats: Array
    """Whether the same note follows at once."""


def voice(line: Motif, pitches: Sequence[Sequence[Pitch]], tick: Fraction) -> TickVoice:
    """A line, with the pitches of its notes in every transposition."""
    counts = [int(event.duration / tick) for event in line.events]
    number = np.cumsum([bool(event.heads) for event in line.events]) - 1
    sounding = np.array([bool(event.heads) for event in line.events])
    position = np.array([[p.position for p in row] for row in pitches], np.int16)
    midi = np.array([[p.midi for p in row] for row in pitches], np.int16)
    # A move leads from one event straight to the next, both notes; elsewhere a line neither comes nor goes on.
    events = len(counts)
    step, rise = np.zeros((len(position), events + 1), np.int16), np.zeros((len(position), events + 1), np.int16)
    linked = np.zeros((1, events + 1), np.bool_)
    for place in range(1, events):
        if sounding[place] and sounding[place - 1]:
            linked[:, place] = True
            step[:, place] = position[:, number[place]] - position[:, number[place] - 1]
            rise[:, place] = midi[:, number[place]] - midi[:, number[place] - 1]
    is_step = (np.abs(step) == 1) & (np.abs(rise) <= 2) & (np.sign(step) == np.sign(rise))
    down = is_step & (rise < 0)
    # Or two moves in a row that make a step down together.
    in_two = (step + _later(step) == -1) & np.isin(rise + _later(rise), (-1, -2)) & linked & _later(linked)
    resolves = down | in_two
    bends = down & (_later(step) == -2) & _later(_later(is_step & (rise > 0)))
    where = np.repeat(np.arange(events), counts)
    begins = np.zeros(len(where), np.bool_)
    begins[np.cumsum([0, *counts[:-1]])] = True
    note = np.maximum(number, 0)[where]
    return TickVoice(
        position[:, note],
        midi[:, note],
        sounding[where][None, :],
        (begins & sounding[where])[None, :],
        np.sign(rise)[:, where],
        is_step[:, where],
        is_step[:, where + 1],
        resolves[:, where + 1],
        bends[:, where],
        (linked & (step == 0) & (rise == 0))[:, where + 1],
    )


def _figured(line: TickVoice) -> Array:
    """Whether a note passes or returns by step, or is the second of a cambiata."""
    found: Array = line.by_step & (line.on_by_step | line.bends)
    return found


def _later(moves: Array) -> Array:
    """For every move the one after it; nothing after the last."""
    found = np.zeros_like(moves)
    found[:, :-1] = moves[:, 1:]
    return found


BY_NUMBER = (OCTAVE, DISSONANT, IMPERFECT, DISSONANT, FIFTH, IMPERFECT, DISSONANT)
"""Kinds by staff steps alone, as the tables of invertible counterpoint have them."""
INVERTIBLE = {"octave": 7, "tenth": 9, "twelfth": 11}
"""The staff steps of the interval at which voices change places."""
INVERTED = "inverted: "
"""Before the name of what is broken when the voices change places."""
LOOSE = frozenset(("free", "canon", "stretto", "quodlibet"))
"""Rules that judge as `free` does and differ in what they put together."""


_TABLE = np.zeros((7, 32), np.int8)
for (_steps, _semitones), _kind in KINDS.items():
    _TABLE[_steps, _semitones + 8] = _kind


@dataclass(frozen=True, slots=True)
class Judgment:
    """What was found for transpositions by delays."""

    faults: dict[str, NDArray[np.bool_]]
    """Masks over transpositions, delays and ticks of the leader."""
    together: Array
    """Ticks in which both sound, by delays."""
    imperfect: Array
    """Moments with an imperfect consonance."""
    answering: Array
    """By delays, of ten thousand beginnings of notes while both lines last, those of one voice alone."""


def judge(
    leader: TickVoice, follower: TickVoice, delays: NDArray[np.int64], strong: NDArray[np.bool_], rules: str,
    sure: bool = True
) -> Judgment:
    """Judge every placement; `strong` is a mask of the strong beats over delays and ticks of the leader.

    They are `sure` where the strict rules have the same ones.
    """
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
    scene = _Scene(leader, follower, place, both, moment, strong)
    found = scene.parallels(kinds, "", rules not in LOOSE)
    found |= scene.loosely(kinds) if rules in LOOSE else scene.sieved(kinds, sure)
    if rules in INVERTIBLE:
        turned = np.array(BY_NUMBER, np.int8)[(INVERTIBLE[rules] - steps) % 7]
        found |= scene.parallels(turned, INVERTED, True) | scene.inverted(turned)
    leads, follows = leader.begins & valid, follower.begins[0][place] & valid
    beginnings = np.maximum((leads | follows).sum(axis=1), 1)
    answering = (leads ^ follows).sum(axis=1) * 10_000 // beginnings
    return Judgment(found, both.sum(axis=1), ((kinds == IMPERFECT) & moment).sum(axis=2), answering)


class _Scene:
    """What is the same for every kind of interval."""

    def __init__(
        self, leader: TickVoice, follower: TickVoice, place: Array, both: Array, moment: Array, strong: Array
    ) -> None:
        leads, follows = leader.begins, follower.begins[0][place]
        self.both, self.moment, self.strong = both, moment, strong
        self.same_way = (leads & follows & moment) & (leader.came[:, None, :] * follower.came[:, place] > 0)
        self.alone, self.leads_alone = follows & ~leads, leads & ~follows
        self.figured = self._of_the_new(_figured(leader), _figured(follower)[:, place])
        twice = (leader.by_step & leader.repeats, (follower.by_step & follower.repeats)[:, place])
        self.anticipated = self._of_the_new(*twice)
        self.held = ~leads | ~follows
        self.resolved = (~leads & leader.resolves[:, None, :]) | (~follows & follower.resolves[:, place])

    def _of_the_new(self, leader: Array, follower: Array) -> Array:
        """What is true of the note that begins while the other voice holds."""
        found: Array = (self.alone & follower) | (self.leads_alone & leader[:, None, :])
        return found

    def _before(self, kinds: Array) -> Array:
        """The kind of the tick before; a dissonance where a voice was silent."""
        before = np.full_like(kinds, DISSONANT)
        before[:, :, 1:] = np.where(self.both[:, :-1], kinds[:, :, :-1], DISSONANT)
        return before

    def parallels(self, kinds: Array, prefix: str, also_direct: bool) -> dict[str, NDArray[np.bool_]]:
        """Perfect consonances that both voices come to by moving the same way."""
        found, before = {}, self._before(kinds)
        for kind, word in ((FIFTH, "fifth"), (OCTAVE, "octave")):
            similar = self.same_way & (kinds == kind)
            found[f"{prefix}parallel {word}s"] = similar & (before == kind)
            if also_direct:
                found[f"{prefix}direct {word}"] = similar & (before != kind)
        return found

    def _suspended(self, kinds: Array) -> Array:
        held: Array = self.held & self.resolved & (self._before(kinds) != DISSONANT)
        return held

    def loosely(self, kinds: Array) -> dict[str, NDArray[np.bool_]]:
        """Dissonances on strong beats that are no suspensions."""
        return {STRONG: (kinds == DISSONANT) & self.moment & self.strong & ~self._suspended(kinds)}

    def sieved(self, kinds: Array, sure: bool) -> dict[str, NDArray[np.bool_]]:
        """Dissonances that no figure could excuse; wherever the strong beats lie, if they are not sure."""
        figured, suspended = self.figured | self.anticipated, self._suspended(kinds)
        excused = (figured & ~self.strong) | (suspended & self.strong) if sure else figured | suspended
        return {LEAPT: (kinds == DISSONANT) & self.moment & ~excused}

    def inverted(self, kinds: Array) -> dict[str, NDArray[np.bool_]]:
        """Dissonances when the voices change places."""
        wrong = (kinds == DISSONANT) & self.moment
        wrong &= ~(self.figured & ~self.strong) & ~(self._suspended(kinds) & self.strong)
        return {f"{INVERTED}{STRONG}": wrong & self.strong, f"{INVERTED}{LEAPT}": wrong & ~self.strong}
