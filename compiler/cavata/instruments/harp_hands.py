"""What a harpist's hands have at once, and how fast one string can be struck again.

Pure tables. Source: four fingers a hand, lowest strings of wire and harmonics from harpists' pages for composers; spans
and the time for a string to be struck again from memory. Fives in one hand are found in Mozart's concerto for flute and
harp.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.music.pitch import Pitch

HARP = "harp"
FINGERS, MOST_FINGERS = 4, 5
"""Notes that a hand has, and with care."""
PLACED = 7
"""So many notes in a row want a hand to be placed anew between them."""
FARTHEST = 12
"""Strings from the first to the last beyond which no hand reaches: a twelfth, in the middle of the harp."""
AGAIN = (0.16, 0.1)
"""Seconds between two strokes of one string that want care, and below which it does not speak again."""
STROKES = 4
"""So many strokes in a row are told; two hands manage fewer."""
HIGHEST_WIRE = 18
"""The position of G2, the highest string of wire."""
HARMONICS = {"right": 1, "left": 3}
"""Harmonics that a hand has at once."""
HARMONIC_STRINGS = (17, 38)
"""Positions of the strings that have good harmonics, F2 to F5."""


def strings_spanned(pitches: Sequence[Pitch]) -> int:
    """How many strings lie under a hand from its lowest to its highest note, both counted: ten in a tenth."""
    positions = [pitch.position for pitch in pitches]
    return max(positions) - min(positions) + 1


def is_one_hand(pitches: Sequence[Pitch], span: float = FARTHEST) -> bool:
    """Whether one hand has some notes at once."""
    return len(pitches) <= FINGERS and (not pitches or strings_spanned(pitches) <= span)


def shared_between(pitches: Sequence[Pitch], span: float = FARTHEST) -> int | None:
    """How many of the lower notes the left hand takes, so that both hands have all of them; None where they cannot."""
    ordered = sorted(pitches, key=lambda pitch: pitch.midi)
    return next(
        (
            count for count in range(len(ordered) // 2, len(ordered) + 1)
            if is_one_hand(ordered[:count], span) and is_one_hand(ordered[count:], span)
        ),
        None,
    )  # fmt: skip
