"""What one player can strike at once with mallets: bars, tubes and drums that have pitches.

In: an instrument of the table and MIDI keys as they sound. Out: which are struck by the left hand and which by the
right, and how far each hand opens; nothing where there are too many for the mallets. A hand has one mallet or two, of
specialists three. How
far two mallets in a hand reach depends on the width of the bars, and so on the register.

Sources, for the marimba: in its lowest octave a hand reaches an octave, an octave above a ninth or tenth, and at the
top an octave and a fourth (N. Zeltsman, "Memo to Composers"); thirds to sixths are easy, seconds, sevenths and octaves
a bit awkward, ninths and tenths a stretch, elevenths and more borderline (A. Holmes, "The marimba is not a piano"); a
hand is limited to about an octave there and reaches more on instruments of small bars, and a chord has four notes at
most ("How to Write for Percussion"); one player spans about four octaves of five (Zeltsman); six mallets and more are
played by specialists (a thesis on eight mallets, doczz.net 3810997). All else is from memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.instruments.instrument import Instrument
from cavata.record import record


@record
class Mallets:
    """How an instrument is played with mallets."""

    most: int
    """Notes at once, of one player."""
    easy: tuple[tuple[int, int], ...] = ()
    """From which key on, as it sounds, the two mallets of a hand reach how many semitones without a stretch."""
    beyond: tuple[tuple[int, int], ...] = ()
    """The same for what no hand reaches."""
    arms: int = 0
    """Semitones that a player spans with both arms; 0 where the whole instrument is within reach."""
    usual: int = 4
    """Notes at once for the mallets that players have in hand as a rule."""
    specialists: int = 0
    """Notes at once of the few who hold three mallets in a hand; 0 where nobody does."""


C3, C4, C5 = 48, 60, 72
MALLETS = {
    "marimba": Mallets(4, ((0, 12), (C3, 13), (C4, 14)), ((0, 14), (C3, 17), (C4, 19)), 48, specialists=6),
    "vibraphone": Mallets(4, ((0, 12), (C5, 14)), ((0, 17), (C5, 19)), specialists=6),
    "xylophone": Mallets(4, ((0, 14),), ((0, 19),), usual=2),
    "glockenspiel": Mallets(4, ((0, 16),), ((0, 24),), usual=2),
    "crotales": Mallets(4, ((0, 12),), ((0, 17),), usual=2),
    "tubular bells": Mallets(2),
    "tuned gongs": Mallets(2),
    "steel drum": Mallets(2),
    "musical saw": Mallets(1),
}


@record
class MalletGrip:
    """How keys are struck."""

    left: tuple[int, ...]
    right: tuple[int, ...]
    stretch: int = 0
    """Semitones by which a hand opens further than is easy."""
    beyond: int = 0
    """Semitones by which it opens further than any hand does."""

    @property
    def widest(self) -> tuple[int, ...]:
        """The two keys of the hand that opens further; nothing where no hand has two."""
        return max((h for h in (self.left, self.right) if len(h) > 1), key=lambda keys: keys[-1] - keys[0], default=())


def is_struck_with_mallets(instrument: Instrument) -> bool:
    """Whether this table knows an instrument."""
    return instrument.key in MALLETS


def grip_of(instrument: Instrument, keys: Sequence[int], reach: float = 1.0) -> MalletGrip | None:
    """How two hands strike some keys, low to high, with the least stretch; None for more than there are mallets for.

    `reach` is how wide a hand opens, as a share of what is usual.
    """
    mallets = MALLETS[instrument.key]
    most = max(mallets.most, mallets.specialists)
    if len(keys) > most:
        return None
    a_hand = ((mallets.most if len(keys) <= mallets.most else most) + 1) // 2
    ways = [
        _grip(mallets, tuple(keys[:count]), tuple(keys[count:]), reach)
        for count in range(len(keys) + 1) if count <= a_hand and len(keys) - count <= a_hand
    ]  # fmt: skip
    return min(ways, key=lambda grip: (grip.beyond, grip.stretch, abs(len(grip.left) - len(grip.right))))


def _grip(mallets: Mallets, left: tuple[int, ...], right: tuple[int, ...], reach: float) -> MalletGrip:
    hands = [keys for keys in (left, right) if len(keys) > 1]
    over = [max(0, keys[-1] - keys[0] - int(reach * _at(mallets.easy, keys[0]))) for keys in hands]
    beyond = [max(0, keys[-1] - keys[0] - int(reach * _at(mallets.beyond, keys[0]))) for keys in hands]
    return MalletGrip(left, right, sum(over), sum(beyond))


def _at(table: Sequence[tuple[int, int]], key: int) -> int:
    """What holds at a key: the last row that begins at it or below."""
    return [semitones for begins, semitones in table if begins <= key][-1]
