"""What the breath, the tongue and the lip of a wind player can do.

In: an instrument of the table, sounding pitches, a dynamic. Out: seconds, rates, and the registers that are hard soft.
All of it is a guide: authors warn against tables of breath (Woodwinds: note durations and breathing,
orchestrationonline.com), since a breath is a cycle, and what a player can hold depends on what came before.

Values are from memory but where a source stands beside them; registers are as players read them.
"""

from __future__ import annotations

from itertools import pairwise

from cavata.instruments.instrument import WINDS, Instrument
from cavata.music.event import LASTING
from cavata.music.pitch import Pitch, parse_pitch
from cavata.record import record


@record
class Wind:
    """What one player has."""

    breath: float
    """Seconds that a trained adult sounds on one full breath, mezzo forte, in the middle register."""
    single: float
    """Notes a second that a single tongue keeps up over a phrase."""
    double: float = 0.0
    """Notes a second by double or triple tonguing."""
    doubles_readily: bool = False
    """Double tonguing is taught to every player, as on the flute and the brass; on reeds it is not standard."""
    costly: str = ""
    """`low` or `high`: the register that takes much more air when it is loud."""
    costs: float = 1.0
    """How much of a breath is left of its length there."""
    circular: bool = False
    """Some players breathe in through the nose while they sound, so that no length is impossible."""


WIND_PLAYERS = {
    "flute": Wind(12, 8, 13, True, "low", 0.6),
    "piccolo": Wind(15, 8, 13, True),
    "alto flute": Wind(9, 7, 12, True, "low", 0.6),
    "bass flute": Wind(7, 6.5, 11, True, "low", 0.6),
    "contrabass flute": Wind(4, 6, 10, True, "low", 0.6),
    "soprano recorder": Wind(15, 8, 12, True),
    "bass recorder": Wind(8, 7, 11, True),
    "oboe": Wind(25, 8, 11, circular=True),
    "English horn": Wind(20, 7.5, 11, circular=True),
    "bass oboe": Wind(16, 6.5, 10, circular=True),
    "clarinet": Wind(18, 8, 12, circular=True),
    "basset horn": Wind(15, 7.5, 11, circular=True),
    "bass clarinet": Wind(12, 7, 11, circular=True),
    "contrabass clarinet": Wind(8, 6, 9, circular=True),
    "alto saxophone": Wind(15, 7.5, 12, circular=True, costly="low", costs=0.7),
    "tenor saxophone": Wind(13, 7.5, 12, circular=True, costly="low", costs=0.7),
    "baritone saxophone": Wind(10, 6.5, 11, circular=True, costly="low", costs=0.7),
    "bass saxophone": Wind(8, 6, 10, costly="low", costs=0.7),
    "bassoon": Wind(15, 8, 13, costly="low", costs=0.65, circular=True),
    "contrabassoon": Wind(6, 6, 8),
    "horn": Wind(14, 7, 12, True, circular=True),
    "trumpet": Wind(15, 8.4, 14, True, "high", 0.65, circular=True),
    "alto horn": Wind(13, 7.5, 12, True),
    "alto trombone": Wind(11, 7.5, 12, True, circular=True),
    "trombone": Wind(10, 7.5, 12, True, circular=True),
    "bass trombone": Wind(7, 7, 11, True),
    "contrabass trombone": Wind(5, 6.5, 10, True),
    "euphonium": Wind(11, 8.5, 12, True),
    "tuba": Wind(6, 9, 12, True, "low", 0.8),
}
"""By the keys of the table of instruments. The order of the woodwinds' need of air is that of Woodwind playing tips
(conductit.eu), the tuba's tongue of Tonguing (contemporarytuba.com): single 9 to 10, double and triple 12 and more. A
trumpeter's single and double tongue meet at sixteenths of quarter = 121 to 131 (hsutrumpets.com). Clarinetists report
sixteenths at 160 by double tonguing (sneezy.org), 10.7 a second, and at 160 to 180 as remarkable (Klarinet archive,
1996-10). A tuba flat out takes lungs of 7 liters in some 3 seconds, by a player's report (forums.chisham.com). The
clarinet's single tongue is set by Mozart K 581 iv 65-84, which at its usual tempo has 8.8 notes a second; a row is
told from 15 in 100 above."""
JUDGED_AS = {
    "contralto clarinet": "contrabass clarinet", "alto clarinet": "basset horn", "basset clarinet": "clarinet",
    "oboe d'amore": "oboe", "heckelphone": "bass oboe", "sopranino recorder": "soprano recorder",
    "alto recorder": "soprano recorder", "tenor recorder": "bass recorder",
    "sopranino saxophone": "alto saxophone", "soprano saxophone": "alto saxophone",
    "tenor Wagner tuba": "horn", "bass Wagner tuba": "horn", "piccolo trumpet": "trumpet", "cornet": "trumpet",
    "flugelhorn": "trumpet", "bugle": "trumpet", "bass trumpet": "trombone", "ophicleide": "euphonium",
    "cimbasso": "bass trombone",
}  # fmt: skip
"""Instruments that are judged as another one is."""
_PLAIN = {"woodwind": Wind(12, 7, 10), "brass": Wind(10, 7, 11, True)}
EMPTIES = frozenset(["oboe", "oboe d'amore", "English horn"])
"""Whose players must breathe out before they breathe in, after a long phrase: the air is used, not spent. Sources: Oboe
and English Horn (orchestrationresources.com); oboeinsight.com, 2006."""


def is_wind(instrument: Instrument) -> bool:
    """Whether it is blown."""
    return instrument.family in WINDS


def judged_as(key: str) -> str:
    """The instrument as which one is judged in breath and registers: itself, or one that is much like it."""
    like = next((name for name in ("clarinet", "trumpet") if key.startswith(f"{name} in ")), key)
    return JUDGED_AS.get(like, like)


def wind_of(instrument: Instrument) -> Wind:
    """What its player has; of one that no table has, what its family has."""
    return WIND_PLAYERS.get(judged_as(instrument.key)) or _PLAIN[instrument.family]


_FACTORS = dict(zip(LASTING, (1.5, 1.5, 1.4, 1.2, 1.1, 1.0, 0.8, 0.6, 0.5, 0.5), strict=True))
"""How many times as long as at mezzo forte a breath lasts."""
SUNG_BREATH = 12.0
"""Seconds on one breath, mezzo forte, of a trained singer; those of a choir take turns and are not looked at."""
_LOUD = frozenset(LASTING[LASTING.index("f") :])
SOFTEST = frozenset(LASTING[: LASTING.index("pp") + 1])
"""Pianissimo and softer."""
SOFT = frozenset(LASTING[: LASTING.index("p") + 1])
"""Piano and softer."""
_OCTAVE = 12


def dynamic_factor(dynamic: str) -> float:
    """How many times as long a breath lasts as one at mezzo forte; a dynamic that was not given counts as that."""
    return _FACTORS.get(dynamic, 1.0)


def breath_seconds(instrument: Instrument, pitch: Pitch, dynamic: str) -> float:
    """How long one full breath lasts on a note."""
    wind = wind_of(instrument)
    seconds = wind.breath * dynamic_factor(dynamic)
    if dynamic in _LOUD and wind.costly and instrument.lowest is not None and instrument.comfortable is not None:
        costly = (
            pitch.midi < instrument.lowest.midi + _OCTAVE if wind.costly == "low"
            else pitch.midi > instrument.comfortable[1].midi - 5
        )  # fmt: skip
        return seconds * wind.costs if costly else seconds
    return seconds


def shortest_breath(instrument: Instrument) -> float:
    """How long a breath lasts where it is shortest, of a wind player or a singer: as loud as can be, in the register
    that takes most air."""
    if not is_wind(instrument):
        return SUNG_BREATH * min(_FACTORS.values())
    wind = wind_of(instrument)
    return wind.breath * min(_FACTORS.values()) * (wind.costs if wind.costly else 1.0)


_FILLED = ((0.1, 0.0), (0.3, 0.4), (0.6, 0.75), (1.0, 1.0))
"""How much of a full breath so many seconds give: a catch breath, a normal one, a full one. From memory."""
_FIRST_OUT = 0.2
"""Seconds to breathe out first, of the players who must. From memory."""


def filled(instrument: Instrument, seconds: float) -> float:
    """How much of a full breath a rest of so many seconds gives, from 0 to 1."""
    seconds = seconds - _FIRST_OUT if instrument.key in EMPTIES else seconds
    if seconds <= _FILLED[0][0]:
        return 0.0
    for (first, low), (last, high) in pairwise(_FILLED):
        if seconds <= last:
            return low + (high - low) * (seconds - first) / (last - first)
    return 1.0


def goes_round(instrument: Instrument) -> bool:
    """Whether some of its players breathe in while they sound; no singer does."""
    return is_wind(instrument) and wind_of(instrument).circular


# ----------------------------------------------------------------
# Registers that do not speak softly, or not loudly.


@record
class Register:
    """Notes from one to another, as read, both included, that are hard at some dynamics."""

    low: Pitch
    high: Pitch
    dynamics: frozenset[str]
    why: str
    source: str


def _register(low: str, high: str, dynamics: frozenset[str], why: str, source: str = "from memory") -> Register:
    return Register(parse_pitch(low), parse_pitch(high), dynamics, why, source)


_THICK, _THIN = "the lowest notes speak loudly or not at all", "the highest notes need force"
_WEAK = "the lowest notes are weak, and are covered"
_HARD = {
    "oboe": (
        _register("Bb3", "C4", SOFT, _THICK, "Oboe and English Horn (orchestrationresources.com)"),
        _register("C#4", "D4", SOFTEST, _THICK, "Oboe and English Horn (orchestrationresources.com)"),
        _register("E6", "C7", SOFTEST, _THIN),
    ),
    "English horn": (
        _register("B3", "C4", SOFTEST, _THICK, "Oboe and English Horn (orchestrationresources.com)"),
        _register("C6", "A6", SOFTEST, _THIN),
    ),
    "bassoon": (
        _register("A1", "E2", SOFTEST, _THICK, "a player's report (oboeinsight.com)"),
        _register("B4", "F5", SOFTEST, _THIN),
    ),
    "flute": (_register("Bb6", "F7", SOFTEST, _THIN), _register("B3", "F4", _LOUD, _WEAK)),
    "piccolo": (_register("G6", "D7", SOFT, _THIN), _register("C4", "G4", _LOUD, _WEAK)),
    "clarinet": (_register("F6", "D7", SOFTEST, _THIN),),
    "alto saxophone": (_register("Bb3", "D4", SOFTEST, _THICK),),
    "tenor saxophone": (_register("Bb3", "D4", SOFTEST, _THICK),),
    "baritone saxophone": (_register("A3", "D4", SOFTEST, _THICK),),
    "horn": (_register("Ab5", "F6", SOFTEST, _THIN),),
    "trumpet": (_register("A5", "E6", SOFTEST, _THIN),),
    "trombone": (_register("B4", "F5", SOFTEST, _THIN),),
    "tuba": (_register("Eb4", "Bb4", SOFTEST, _THIN),),
    "soprano recorder": (_register("A5", "G6", SOFT, _THIN),),
    "alto recorder": (_register("D6", "C7", SOFT, _THIN),),
}


def hard_at(instrument: Instrument, pitch: Pitch, dynamic: str) -> Register | None:
    """The register of a note that is hard to have at a dynamic; None if it is not."""
    written = pitch.midi - instrument.transposition.semitones
    return next(
        (
            register for register in _HARD.get(instrument.key) or _HARD.get(judged_as(instrument.key), ())
            if dynamic in register.dynamics and register.low.midi <= written <= register.high.midi
        ),
        None,
    )  # fmt: skip


# ----------------------------------------------------------------
# The lip, and what is put into the bell.


HIGH_SECONDS = {"trumpet": 60, "horn": 90, "trombone": 120, "tuba": 120}
"""How long in a row the lip bears the highest fifth of the comfortable range and what lies above. From memory; that
lips tire and rests are needed: Orchestrating for Brass (tamingthesaxophone.com), Arranging and Orchestration
Concepts."""
HIGH = 7
"""Semitones below the comfortable top from which on the register counts as high."""


def high_seconds(instrument: Instrument) -> float:
    """How long the lip bears the high register in a row, of a brass player; others are not looked at."""
    return HIGH_SECONDS.get(judged_as(instrument.key), HIGH_SECONDS["trombone"])


MUTE_SECONDS = {"trumpet": (3.0, 2.0), "horn": (3.0, 2.0), "trombone": (4.0, 3.0), "tuba": (5.0, 4.0)}
"""Seconds to put a mute in, and to take it out. Sources: Mutes, part one (themoderntrumpet.com) for the trumpet:
three to four seconds to put in or take out in comfort; Trombone Mutes: the Basics (michaelclayville.com): about as
long for both; the rest from memory."""
OTHER_MUTE_SECONDS = 5.0
"""From one mute to another. Source: Mutes, part one (themoderntrumpet.com)."""
NEVER_SECONDS = 0.5
"""In less nobody has a mute in or out: the hand must reach it. From memory."""
IN_HAND_SECONDS = 1.0
"""A plunger is held before the bell, not put into it. From memory."""


def mute_seconds(instrument: Instrument, before: str, after: str) -> float:
    """How long a player needs from one of MUTES to another."""
    if "unmuted" not in (before, after):
        return OTHER_MUTE_SECONDS
    if "plunger" in (before, after):
        return IN_HAND_SECONDS
    key = judged_as(instrument.key)
    large = "trombone" if "trombone" in key else "tuba" if key in ("euphonium", "tuba") else "trumpet"
    into, out = MUTE_SECONDS.get(key, MUTE_SECONDS[large])
    return out if after == "unmuted" else into


STOPPING_SECONDS = 0.22
"""How quickly the hand of a horn player closes and opens the bell. From memory."""
LOWEST_STOPPED = parse_pitch("C4")
"""As read; below, a hand-stopped note is unsafe and wants the brass stopping mute. From memory."""
NATURAL = {"bugle": (2, 3, 4, 5, 6, 8, 9, 10)}
"""Instruments without valves, with the partials that they have, which lie above C3 as read. From memory."""


def is_natural(instrument: Instrument, pitch: Pitch) -> bool:
    """Whether an instrument without valves has a note; true for all others."""
    partials = NATURAL.get(instrument.key)
    written = pitch.midi - instrument.transposition.semitones
    return partials is None or written in {48 + _ABOVE[partial] for partial in partials}


_ABOVE = {2: 12, 3: 19, 4: 24, 5: 28, 6: 31, 8: 36, 9: 38, 10: 40}
"""Semitones of each partial above the first."""
