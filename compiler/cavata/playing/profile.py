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
    """`semitones`, `mm`, `s`, `a second`, `bars`, `notes`, `strings` or `times`: what a factor multiplies."""
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
    bow_highest: float = 28
    bow_length: float = 1.0
    slowness: float = 1.0
    harp_span: float = 10
    pedal_time: float = 0.25
    fret_reach: float = 1.0
    # -------- wind, brass and voice
    breath: float = 1.0
    tonguing: float = 1.0
    # -------- keyboard, organ and percussion
    keyboard_hand: float = 16
    # -------- all


LIMITS: dict[str, Limit] = {
    # -------- strings, harp and guitar
    "bow_reach": Limit(
        "times", "how far the fingers of a bowed string player stand apart, of what real works ask for",
        "measured on solo works and quartets; for amateurs from memory",
    ),
    "bow_highest": Limit(
        "semitones", "how far above the highest string of a bowed instrument a note lies before it is told",
        "fingerboards; from memory",
    ),
    "bow_length": Limit("times", "how long a bow lasts, of a trained player's", "from memory"),
    "slowness": Limit("times", "how long a left hand takes for a move, of a trained player's", "from memory"),
    "harp_span": Limit("strings", "how many strings a harpist's hand spans at ease: ten are a tenth", "from memory"),
    "pedal_time": Limit("s", "how long a harpist wants for a change of one pedal", "from memory"),
    "fret_reach": Limit(
        "times", "how far the fingers stand apart on frets, of what guitarists' pages give", "from memory"
    ),
    # -------- wind, brass and voice
    "breath": Limit("times", "how long a breath lasts, of a trained player's", "from memory"),
    "tonguing": Limit("times", "how many notes are tongued in a second, of a trained player's", "from memory"),
    # -------- keyboard, organ and percussion
    "keyboard_hand": Limit("semitones", "how far a hand reaches on a keyboard", "from memory"),
    # -------- all
}  # fmt: skip

PROFESSIONAL = Profile()
AMATEURS = replace(
    PROFESSIONAL, name="amateurs",
    # -------- strings, harp and guitar
    bow_reach=0.75, bow_highest=12, bow_length=0.75, slowness=1.5, harp_span=9, pedal_time=0.5, fret_reach=0.85,
    # -------- wind, brass and voice
    breath=0.6, tonguing=0.75,
    # -------- keyboard, organ and percussion
    keyboard_hand=14,
    # -------- all
)  # fmt: skip
PROFILES = {profile.name: profile for profile in (PROFESSIONAL, AMATEURS)}
"""Those that every script knows."""
