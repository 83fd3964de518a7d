"""How many of a line's notes lie in each mode on each of its notes.

A mode is offered on a note that the line has. The order: most notes inside; then the mode whose final ends the line,
or else begins it; then most of the final's triad in the line; then the fewest signs in the signature. The order is the
project's own: no published measure of modes is used.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.music.mode import DEGREES, Mode
from cavata.music.pitch import Pitch
from cavata.record import dataclass

_OFFERED = tuple(name for name in DEGREES if name != "aeolian")
"""Aeolian has the degrees of minor."""


@dataclass(frozen=True, slots=True)
class ModeFit:
    """A mode and how much of the line lies in it."""

    mode: Mode
    inside: int
    notes: int

    @property
    def share(self) -> Fraction:
        """The part of the line's notes that the mode has."""
        return Fraction(self.inside, self.notes)


def mode_fits(line: Sequence[Pitch]) -> tuple[ModeFit, ...]:
    """The modes on the notes of a line, the best first; the line must not be empty."""
    classes = [pitch.pitch_class for pitch in line]
    present = {c.semitone for c in classes}
    ranked = []
    for tonic in dict.fromkeys(classes):
        for name in _OFFERED:
            mode = Mode(tonic, name)
            if abs(mode.fifths) > 7:
                continue
            scale = {(tonic.semitone + degree) % 12 for degree in DEGREES[name]}
            inside = sum(c.semitone in scale for c in classes)
            triad = sum((tonic.semitone + DEGREES[name][i]) % 12 in present for i in (0, 2, 4))
            place = 0 if classes[-1] == tonic else 1 if classes[0] == tonic else 2
            order = (-inside, place, -triad, abs(mode.fifths), _OFFERED.index(name))
            ranked.append((order, ModeFit(mode, inside, len(classes))))
    return tuple(fit for _, fit in sorted(ranked, key=lambda pair: pair[0]))
