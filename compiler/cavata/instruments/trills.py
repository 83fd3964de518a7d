"""Trills and tremolos that a wind instrument does not have, or has badly.

In: an instrument of the table, and the two sounding notes that alternate. Out: what is wrong with them, or nothing.
Keys, valves and the partials of a tube decide it: a woodwind trills well with one finger, a valve instrument with one
finger or two that move alike, a horn with the lip where two partials lie a whole tone apart, a trombone hardly ever.
Charts disagree, and makers add keys; so few are called absent, and the others awkward.

Pitches of the tables are as players read them, by the key that is pressed: a trill to D flat is one to C sharp.
"""

from __future__ import annotations

from functools import cache

from cavata.instruments.instrument import Instrument
from cavata.instruments.slide import is_slide, lip_trill, valve_trill
from cavata.instruments.winds import judged_as
from cavata.music.pitch import Pitch, parse_pitch
from cavata.record import record, replace

WIDEST_TRILL = 2
"""Semitones: what is wider is a tremolo."""


@record
class TrillFault:
    """What is wrong with two notes that alternate."""

    absent: bool
    """No fingering has it; else it is awkward, uneven or slow."""
    why: str
    source: str


_MEMORY = "from memory"
_OBOE = "Oboe and English Horn (orchestrationresources.com)"
_BASSOON = "Bassoon Technique (bandestration.com)"
_SAXOPHONE = "Saxophone Trill Fingerings (theinstrumentalist.com, 2020)"
_FLUTE = "Trills (brannenflutes.com), a maker's page"
_LITTLE_FINGER = "one little finger must move between keys"
_FOOT = "the right little finger has the keys of both notes"
_NO_FINGERING = "there is no fingering for it"

_PAIRS = {
    "oboe": (
        ("Bb3 B3", True, _NO_FINGERING, _OBOE),
        ("C4 C#4, C4 D#4, C#4 D#4, B3 C#4", False, _LITTLE_FINGER, _MEMORY),
    ),
    "bassoon": (
        ("C#2 D#2", True, "the left little finger has both", _BASSOON),
        ("B2 C#3", False, "most instruments have no good fingering", "a player's report (idrs.org, topic 14322)"),
        ("Bb1 B1, Bb1 C2, B1 C2, B1 C#2, C2 C#2, D#2 F2, F#2 G#2", False,
         "the left thumb or a little finger must move between keys", "older lists, which disagree; from memory"),
    ),
    "alto saxophone": (
        ("Bb3 B3", True, _NO_FINGERING, _SAXOPHONE), ("C4 Eb4", True, _NO_FINGERING, _SAXOPHONE),
        ("B3 C#4, Bb3 C#4", False, "the left little finger has the keys of both notes", _MEMORY),
    ),
    "flute": (
        ("B3 C4, B3 C#4, B3 D4, B3 D#4, C4 C#4, C4 D4, C4 D#4, C#4 D#4", False, _FOOT, _MEMORY),
        ("G6 A6, G#6 A#6, F#6 G#6", False, "it is poor without the C sharp trill key", _FLUTE),
        ("B4 C#5, B5 C#6", False, "two fingers move against each other without the C sharp trill key", _FLUTE),
    ),
    "clarinet": (
        ("A#4 B4, A4 B4, A#4 C5", False, "it lies over the break", _MEMORY),
    ),
}  # fmt: skip
"""By the instrument as which others are fingered: the pairs, whether they are absent, why, and the source."""
_FINGERED_AS = {
    "oboe d'amore": "oboe", "English horn": "oboe", "bass oboe": "oboe", "heckelphone": "oboe", "piccolo": "flute",
    "alto flute": "flute", "bass flute": "flute", "contrabass flute": "flute", "contrabassoon": "bassoon",
}  # fmt: skip


def fingered_as(key: str) -> str:
    """The instrument whose fingerings one has."""
    if key.endswith("saxophone"):
        return "alto saxophone"
    if key.startswith("clarinet") or key.endswith("clarinet") or key == "basset horn":
        return "clarinet"
    return _FINGERED_AS.get(key, key)


@cache
def _pairs(name: str) -> dict[tuple[int, int], TrillFault]:
    found = {}
    for pairs, absent, why, source in _PAIRS.get(name, ()):
        for pair in pairs.split(", "):
            low, high = (parse_pitch(note).midi for note in pair.split())
            found[low, high] = TrillFault(absent, why, source)
    return found


def trill_fault(instrument: Instrument, one: Pitch, other: Pitch) -> TrillFault | None:
    """What is wrong with a trill or tremolo of two sounding notes; None if it is there, or nobody knows."""
    shift = instrument.transposition.semitones
    low, high = sorted((one.midi - shift, other.midi - shift))
    if instrument.family == "brass":
        return _brass(instrument, low, high, *sorted((one, other), key=lambda pitch: pitch.midi))
    name = fingered_as(instrument.key)
    fault = _pairs(name).get((low, high)) or _by_register(name, low, high)
    if fault is not None and fault.absent and instrument.key != name and not instrument.key.endswith("saxophone"):
        return replace(fault, absent=False)  # keys of its relatives may differ
    return fault


_HIGHEST_OBOE = parse_pitch("E6").midi
_HIGHEST_BASSOON = parse_pitch("A4").midi
_C6, _E4, _BREAK = (parse_pitch(note).midi for note in ("C6", "E4", "B4"))


def _by_register(name: str, low: int, high: int) -> TrillFault | None:
    wide = high - low
    match name:
        case "oboe" if high > _HIGHEST_OBOE:
            return TrillFault(low > _HIGHEST_OBOE, "there are none above about E6 as read", _OBOE)
        case "bassoon" if low > _HIGHEST_BASSOON:
            return TrillFault(False, "few are even above A4", "older lists, which disagree; from memory")
        case "oboe" | "bassoon" if wide > 5:
            return TrillFault(
                False, "slurred notes that far apart alternate poorly on double reeds",
                "Rimsky-Korsakov, Principles of Orchestration; the fourth as the limit from memory",
            )  # fmt: skip
        case "flute" if low >= _C6 and wide > 4 or high > _C6 and wide > 7:
            return TrillFault(False, "wide tremolos are uneven that high", _MEMORY)
        case "clarinet" if wide > WIDEST_TRILL and _E4 <= low < _BREAK <= high:
            return TrillFault(False, "it goes from the throat notes over the break", _MEMORY)
        case _:
            return None


# ---------------------------------------------------------------- brass

_VALVES = (
    "123", "13", "23", "12", "1", "2",  # F#3 to B3, as read
    "", "123", "13", "23", "12", "1", "2",  # C4 to F#4
    "", "23", "12", "1", "2",  # G4 to B4
    "", "12", "1", "2", "", "1", "2",  # C5 to F#5
)  # fmt: skip
"""The first fingering of each note. Source: a public chart of trumpet fingerings, which agrees with common practice."""
_LOWEST_VALVES, _SEAMS = parse_pitch("F#3").midi, tuple(parse_pitch(note).midi for note in ("C4", "G4", "C5"))
"""The lowest of the chart, and the notes up to which the second, third and fourth partial are used."""
_HORN_LIP = (parse_pitch("G4").midi, parse_pitch("C6").midi)
"""As read: where partials lie a whole tone apart. Source: players' reports (hornmatters.com,
bnss_fhorn.blogspot.com)."""
_TRUMPETS = frozenset(["trumpet", "piccolo trumpet", "cornet", "flugelhorn", "bass trumpet", "alto horn"])


def _brass(instrument: Instrument, low: int, high: int, lower: Pitch, upper: Pitch) -> TrillFault | None:
    if is_slide(instrument.key):
        return _slide(instrument.key, lower, upper)
    if instrument.key == "bugle":
        return TrillFault(True, "it has no valves", _MEMORY)
    if high - low > WIDEST_TRILL:
        return TrillFault(False, "the lip must leap", _MEMORY)
    if judged_as(instrument.key) == "horn":
        if high > _HORN_LIP[1] or low < _HORN_LIP[0] and (high - low == WIDEST_TRILL or low < _SEAMS[0]):
            return TrillFault(
                False, "the lip does not trill there, and valves are clumsy",
                "players' reports (hornmatters.com, bnss_fhorn.blogspot.com)",
            )  # fmt: skip
        return None
    if judged_as(instrument.key) in _TRUMPETS or instrument.key in _TRUMPETS:
        return _trumpet(low, high)
    if instrument.comfortable is not None and lower.midi < instrument.comfortable[0].midi + 5:
        return TrillFault(False, "low notes of a large tube speak slowly", _MEMORY)
    return None


def _trumpet(low: int, high: int) -> TrillFault | None:
    """By the valves of both notes: fingers that move against each other, or a lip that must move too."""
    if low < _LOWEST_VALVES or high >= _LOWEST_VALVES + len(_VALVES):
        return None
    one, other = (set(_VALVES[note - _LOWEST_VALVES]) for note in (low, high))
    if any(low <= seam < high for seam in _SEAMS) and high - _SEAMS[-1] < WIDEST_TRILL:
        source = "the chart of fingerings; a player's report (bgoff.org)"
        return TrillFault(False, "the lip must move with the valves", source)
    if one - other and other - one:
        return TrillFault(False, "fingers move against each other", "the chart of fingerings")
    return None


def _slide(key: str, lower: Pitch, upper: Pitch) -> TrillFault | None:
    if lip_trill(key, lower, upper):
        return None
    if valve_trill(key, lower, upper):
        return TrillFault(False, "only a valve has it, with the slide in", "positions of the slide; from memory")
    wide = upper.midi - lower.midi
    return TrillFault(
        wide <= WIDEST_TRILL, "neither the lip nor a valve has it at one position of the slide",
        "positions of the slide; that a slide does not trill, from memory",
    )  # fmt: skip
