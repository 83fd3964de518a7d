"""Which heads show an accidental, and which a courtesy one.

In: the heads of one staff in order of time, all its voices together. Out: for each whether its accidental
is printed. An accidental holds for its staff position to the end of the bar. A tie carries it over the bar line
without a sign, and the next note there shows it anew. A courtesy sign reminds once: in the bar after an altered
note, at the same place; within a bar, at the same letter in another octave. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.music.event import signature_alteration
from cavata.music.pitch import Pitch
from cavata.notate.written import Accidental

_OCTAVES = (7, -7, 14, -14, 21, -21)


class BarMemory:
    """The accidentals in force on one staff."""

    def __init__(self) -> None:
        self._signature = [0] * 7
        self._seen: dict[int, int | None] = {}
        self._tied: dict[int, int] = {}
        self._before: dict[int, int] = {}
        self._reminded: set[int] = set()
        self._latest: tuple[Pitch, ...] = ()
        self._free = False

    def begin_bar(self, fifths: int | None, free: bool, continues: bool) -> None:
        """Cross a bar line; `fifths` where the signature changes, `continues` inside free time."""
        if not continues or not self._free:
            altered = {**self._tied, **self._seen}
            self._before = {
                place: alter for place, alter in altered.items()
                if alter is not None and alter != self._signature[place % 7]
            }  # fmt: skip
            self._seen = {}
        if fifths is not None:
            self._signature = [signature_alteration(fifths, letter) for letter in range(7)]
        self._tied, self._reminded, self._latest, self._free = {}, set(), (), free

    def tied(self, pitches: Sequence[Pitch]) -> None:
        """Heads that go on from a tie; they print nothing."""
        for pitch in pitches:
            place = pitch.position
            if place not in self._seen and pitch.alter != self._signature[place % 7]:
                self._tied[place] = pitch.alter

    def in_force(self, place: int) -> int | None:
        """The alteration of a note at this place that has no sign; None where two were struck there at once."""
        return self._seen.get(place, self._signature[place % 7])

    def heads(self, pitches: tuple[Pitch, ...]) -> tuple[Accidental, ...]:
        """The accidentals of heads that are struck together."""
        if self._free:
            return self._free_heads(pitches)
        if len(pitches) == 1:
            return (self._sign(pitches[0]),)
        return self._clashes(pitches, tuple([self._sign(pitch) for pitch in pitches]))

    def _sign(self, pitch: Pitch) -> Accidental:
        place, alter = pitch.position, pitch.alter
        usual = self._signature[place % 7]
        in_force = self._seen.get(place, usual)
        carried = self._tied.pop(place, alter) if self._tied else alter
        before = self._before.pop(place, alter) if self._before else alter
        self._seen[place] = alter
        if alter != in_force or carried != alter:
            return Accidental.SHOWN
        if before != alter or self._other_octave_differs(pitch):
            self._reminded.add(place)
            return Accidental.COURTESY
        return Accidental.NONE

    def _other_octave_differs(self, pitch: Pitch) -> bool:
        place = pitch.position
        if len(self._seen) < 2 or place in self._reminded:
            return False
        seen, alter = self._seen, pitch.alter
        return any(seen.get(place + octave, alter) != alter for octave in _OCTAVES)

    def _clashes(self, pitches: tuple[Pitch, ...], signs: tuple[Accidental, ...]) -> tuple[Accidental, ...]:
        """Two alterations of one staff position at once are both shown, and so is what follows there."""
        places = [pitch.position for pitch in pitches]
        if len(set(places)) == len(places):
            return signs
        distinct = [pitch.position for pitch in set(pitches)]
        twice = {place for place in places if distinct.count(place) > 1}
        for place in twice:
            self._seen[place] = None
        return tuple(
            Accidental.SHOWN if place in twice else sign for place, sign in zip(places, signs, strict=True)
        )  # fmt: skip

    def _free_heads(self, pitches: tuple[Pitch, ...]) -> tuple[Accidental, ...]:
        """Without bars each altered note shows its sign unless it repeats; the natural after it is shown once."""
        repeated, self._latest = self._latest == pitches, pitches
        signs = tuple(Accidental.NONE if repeated else self._free_sign(pitch) for pitch in pitches)
        return signs if repeated or len(pitches) == 1 else self._clashes(pitches, signs)

    def _free_sign(self, pitch: Pitch) -> Accidental:
        usual = self._signature[pitch.position % 7]
        in_force = self._seen.get(pitch.position, self._before.pop(pitch.position, usual))
        self._seen[pitch.position] = pitch.alter
        return Accidental.SHOWN if pitch.alter != usual or in_force != pitch.alter else Accidental.NONE
