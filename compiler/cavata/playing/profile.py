"""Who plays: the limits to which a line is held, as a table of named numbers.

A family's module reads its limits by attribute. What is told of a limit, its unit and its source stand in LIMITS; each
family has a block of its own there, in Profile and in AMATEURS. Limits of what an instrument is, as the number of its
strings, are no limits of a profile: no player changes them.
"""

from __future__ import annotations

from cavata.record import record, replace


@record
class Limit:
    """What one limit means."""

    unit: str
    """`semitones`, `mm`, `s`, `a second`, `bars`, `notes` or `times`: what a factor multiplies."""
    means: str
    """A phrase for the table of the reference; it begins with a small letter."""
    rests_on: str
    """Its source in a few words."""


@record
class Profile:
    """The limits of some players; the defaults are those of professionals."""

    name: str = "professional"
    # -------- strings, harp and guitar
    bow_reach: float = 1.0
    # -------- wind, brass and voice
    breath: float = 1.0
    tonguing: float = 1.0
    lip: float = 1.0
    syllables: float = 1.0
    # -------- keyboard, organ and percussion
    keyboard_hand: float = 16
    # -------- all


LIMITS: dict[str, Limit] = {
    # -------- strings, harp and guitar
    "bow_reach": Limit(
        "times", "how far the fingers of a bowed string player stand apart, of what real works ask for",
        "measured on solo works and quartets; for amateurs from memory",
    ),
    # -------- wind, brass and voice
    "breath": Limit("times", "how long a breath lasts, of a trained player's", "from memory"),
    "tonguing": Limit("times", "how many notes are tongued in a second, of a trained player's", "from memory"),
    "lip": Limit("times", "how long the lip bears the high register, of a trained player's", "from memory"),
    "syllables": Limit("times", "how fast words and runs are sung, of a trained singer's", "from memory"),
    # -------- keyboard, organ and percussion
    "keyboard_hand": Limit("semitones", "how far a hand reaches on a keyboard", "from memory"),
    # -------- all
}  # fmt: skip

PROFESSIONAL = Profile()
AMATEURS = replace(
    PROFESSIONAL, name="amateurs",
    # -------- strings, harp and guitar
    bow_reach=0.75,
    # -------- wind, brass and voice
    breath=0.6, tonguing=0.75, lip=0.6, syllables=0.75,
    # -------- keyboard, organ and percussion
    keyboard_hand=14,
    # -------- all
)  # fmt: skip
PROFILES = {profile.name: profile for profile in (PROFESSIONAL, AMATEURS)}
"""Those that every script knows."""
