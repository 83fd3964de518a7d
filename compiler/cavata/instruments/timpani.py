"""Which timpani are tuned to what: at the beginning, and where a drum is tuned anew.

In: strokes in order, in seconds, and the drums of a set, each with the pitches that it can have. Out: the drums that
are used, each with its first pitch, and every change between. Holds after: every stroke finds a drum with its pitch,
and no two drums have the same; of all ways the one is taken that has the fewest changes for which there is no time,
then the fewest for which a note is cut, then the fewest in a hurry, then the fewest changes, then the fewest drums,
then larger drums for lower notes. The search is exact up to a number of states that no piece is known to need, and
keeps the best of them beyond it. A drum is tuned when it is next struck at the latest, and free from its last stroke
on. A glissando leaves its drum at the pitch where it ends. The fifth, smallest drum is taken only for what the others
lack, or where with it there is a drum for each pitch, and without it no time to tune one.

Source: sizes and ranges as in the table of instruments; four drums as the usual set: inmusica.fr, on writing for
timpani; four seconds for a safe change: from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from cavata.instruments.instrument import Drum
from cavata.music.pitch import Pitch
from cavata.record import record

SAFE = Fraction(4)
"""Seconds in which a drum is tuned without hurry."""
NO_TIME, NO_TIME_NEAR = Fraction(1, 2), Fraction(1, 5)
"""Seconds in which no drum is tuned: half of what a known interval wants on pedals; and by a step, for which the foot
hardly moves. From memory."""
NEAR = 2
"""Semitones of a step."""
USUAL_SET = 4
_MOST_STATES = 20_000


@record
class TimpaniStroke:
    """What is struck at one moment."""

    onset: Fraction
    end: Fraction
    pitches: tuple[Pitch, ...]
    slid_to: bool = False
    """A glissando comes here from the stroke before."""
    rolled: bool = False
    """The sticks are on the drum as long as it sounds; else a player can damp it early."""

    @property
    def free(self) -> Fraction:
        """When its drum can be tuned at the earliest: a note that is struck once may be cut by half."""
        return self.end if self.rolled else (self.onset + self.end) / 2


@record
class Retuned:
    """A drum gets another pitch."""

    old: Pitch
    new: Pitch
    since: Fraction
    """When the drum was heard last."""
    until: Fraction
    """When it is struck at its new pitch."""
    free: Fraction
    """When it can be tuned at the earliest, its last note cut."""

    @property
    def least(self) -> Fraction:
        """Seconds in which nobody tunes it so far."""
        return NO_TIME_NEAR if abs(self.new.midi - self.old.midi) <= NEAR else NO_TIME

    @property
    def is_cut(self) -> bool:
        """Whether it is tuned only if its last note is cut."""
        return self.until - self.since < self.least

    @property
    def hurried(self) -> bool:
        """Whether the time is short."""
        return self.until - self.since < SAFE

    @property
    def has_no_time(self) -> bool:
        """Whether nobody can do it."""
        return self.until - self.free < self.least


@record
class DrumTuning:
    """The drums of a movement."""

    first: tuple[Pitch, ...]
    """What they are tuned to at the beginning, from the lowest; only those that are used."""
    changes: tuple[Retuned, ...] = ()


_State = tuple[Pitch | None, ...]
_Cost = tuple[int, int, int, int, int, int]
"""Changes without time, those for which a note is cut, changes in a hurry, changes, drums, and pairs of drums of which
the larger one is higher."""


@record
class _Way:
    """How a state was reached."""

    cost: _Cost
    first: _State
    changes: tuple[Retuned, ...]


def tuning(strokes: Sequence[TimpaniStroke], drums: Sequence[Drum]) -> DrumTuning:
    """The tuning for some strokes; that of the last lines is remembered."""
    return _remembered(tuple(strokes), tuple(drums))


@lru_cache(maxsize=4)
def _remembered(strokes: tuple[TimpaniStroke, ...], drums: tuple[Drum, ...]) -> DrumTuning:
    needed = _needed(strokes, drums)
    found = _tuned(strokes, needed)
    if len(needed) < len(drums) and any(change.has_no_time for change in found.changes):
        with_all = _tuned(strokes, drums)
        return found if with_all.changes else with_all
    return found


def _tuned(strokes: Sequence[TimpaniStroke], drums: Sequence[Drum]) -> DrumTuning:
    empty: _State = (None,) * len(drums)
    ways: dict[_State, _Way] = {empty: _Way((0, 0, 0, 0, 0, 0), empty, ())}
    heard: dict[Pitch, tuple[Fraction, Fraction]] = {}
    before: TimpaniStroke | None = None
    for stroke in strokes:
        slide = _slide(before, stroke)
        if slide is not None:
            ways = _best((_slid(state, *slide), way) for state, way in ways.items())
            heard[slide[1]] = stroke.onset, stroke.onset
        for pitch in dict.fromkeys(stroke.pitches):
            ways = _best(
                found for state, way in ways.items() for found in _with(state, way, pitch, stroke, drums, heard)
            )
        heard.update(dict.fromkeys(stroke.pitches, (stroke.end, stroke.free)))
        before = stroke
    best = min(ways.values(), key=lambda way: (way.cost, [pitch.midi if pitch else 0 for pitch in way.first]))
    first = sorted((pitch for pitch in best.first if pitch is not None), key=lambda pitch: pitch.midi)
    return DrumTuning(tuple(first), best.changes)


def _needed(strokes: Sequence[TimpaniStroke], drums: Sequence[Drum]) -> tuple[Drum, ...]:
    """The usual set, and the smallest drum where a pitch lies above the others."""
    usual = tuple(drums[:USUAL_SET])
    over = max((drum.highest.midi for drum in usual), default=0)
    beyond = any(pitch.midi > over for stroke in strokes for pitch in stroke.pitches)
    return tuple(drums) if beyond else usual


def _slide(before: TimpaniStroke | None, stroke: TimpaniStroke) -> tuple[Pitch, Pitch] | None:
    if before is None or not stroke.slid_to or len(before.pitches) != 1 or len(stroke.pitches) != 1:
        return None
    return before.pitches[0], stroke.pitches[0]


def _slid(state: _State, old: Pitch, new: Pitch) -> _State:
    return tuple(new if pitch == old else pitch for pitch in state)


def _with(
    state: _State, way: _Way, pitch: Pitch, stroke: TimpaniStroke, drums: Sequence[Drum],
    heard: dict[Pitch, tuple[Fraction, Fraction]],
) -> list[tuple[_State, _Way]]:
    """The states with a drum for a pitch."""
    if pitch in state:
        return [(state, way)]
    found = []
    for place in _able(pitch, drums):
        old = state[place]
        if old in stroke.pitches:
            continue
        new = (*state[:place], pitch, *state[place + 1 :])
        never, cut, hurried, changes, used, disorder = way.cost
        disorder += sum(
            1 for other, has in enumerate(new)
            if has is not None and other != place and (other < place) != (has.midi < pitch.midi)
        )  # fmt: skip
        if old is None:
            first = (*way.first[:place], pitch, *way.first[place + 1 :])
            found.append((new, _Way((never, cut, hurried, changes, used + 1, disorder), first, way.changes)))
        else:
            since, free = heard[old]
            change = Retuned(old, pitch, since, stroke.onset, free)
            cost = (
                never + change.has_no_time, cut + change.is_cut, hurried + change.hurried, changes + 1, used, disorder
            )
            found.append((new, _Way(cost, way.first, (*way.changes, change))))
    return found or [(state, way)]


def _able(pitch: Pitch, drums: Sequence[Drum]) -> list[int]:
    """The drums that can have a pitch; for one beyond all of them the nearest."""
    able = [place for place, drum in enumerate(drums) if drum.has(pitch)]
    if able or not drums:
        return able
    return [0 if pitch.midi < drums[0].lowest.midi else len(drums) - 1]


def _best(found: Iterable[tuple[_State, _Way]]) -> dict[_State, _Way]:
    """The cheapest way to each state."""
    ways: dict[_State, _Way] = {}
    for state, way in found:
        if state not in ways or way.cost < ways[state].cost:
            ways[state] = way
    if len(ways) > _MOST_STATES:
        kept = sorted(ways, key=lambda state: ways[state].cost)[:_MOST_STATES]
        ways = {state: ways[state] for state in kept}
    return ways
