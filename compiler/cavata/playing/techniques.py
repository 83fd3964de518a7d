"""Signs and techniques that an instrument does not have, a swell on a tone that only dies away, and what is too loud.

In: a line. Out: each sign at its note, by the table of `instruments.techniques`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from cavata.instruments.instrument import PEDAL, Instrument, Sustain
from cavata.instruments.techniques import Lack, lacks
from cavata.music.event import BASE_HAIRPINS, KIND_OF, LASTING, MANUALS, UNMARKED, Marks
from cavata.place.ranges import player_of
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import PlayerLine
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent

TECHNIQUE = Kind(
    "technique", "I390", "whether the instrument has a sign or a technique at all",
    "a table of signs by instrument; common practice, from memory",
)  # fmt: skip
SWELL = Kind(
    "swell", "", "a crescendo on one tone that can only die away", "acoustics of struck and plucked strings and bars"
)
LOUDNESS = Kind(
    "loudness", "", "dynamics that soft instruments do not have, however they are played",
    "players' handbooks, from memory",
)  # fmt: skip
KINDS = (TECHNIQUE, SWELL, LOUDNESS)
_DYING_KEYS = frozenset(["piano", "upright piano", "electric piano", "celesta", "toy piano", "clavichord"])
"""A harpsichord swells on no notes at all, which is told beside the organ's."""
_PLAIN = "single_tongue"
_RUBBED = frozenset(["musical saw", "glass harmonica"])
_LOUDEST = {
    "celesta": "f", "harpsichord": "f", "clavichord": "mp", "toy piano": "mf", "glass harmonica": "mf", "lute": "mf",
    "theorbo": "mf", "guitar": "ff", "mandolin": "f", "ukulele": "f", "finger cymbals": "mf", "wind chimes": "mf",
    "rainstick": "mf", "sandpaper blocks": "mf", "sopranino recorder": "f", "soprano recorder": "f",
    "alto recorder": "f", "tenor recorder": "mf", "bass recorder": "mf",
}  # fmt: skip
"""The loudest dynamic that means something on an instrument which is never loud."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Signs that the instrument does not have."""
    yield from _techniques(line, is_care=False)
    yield from _manuals_for_feet(line)


def of_another(line: PlayerLine) -> Iterator[Finding]:
    """Signs that the instrument has with care only: where the line was written for another one, they may be its own."""
    return _techniques(line, is_care=True)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    yield from _techniques(line, is_care=True)
    yield from _swells(line)
    yield from _too_loud(line)


def _techniques(line: PlayerLine, is_care: bool) -> Iterator[Finding]:
    missing: dict[str, Lack] | None = None
    tongue = _PLAIN
    for event in line.events:
        marks = event.event.marks
        if marks is UNMARKED or event.tied_before and not marks.techniques:
            continue
        tongue = next((word for word in marks.techniques if KIND_OF[word] == KIND_OF[_PLAIN]), tongue)
        for sign in _signs(marks):
            if sign == "tremolo" and tongue != _PLAIN:
                continue  # its strokes are how a flutter tongue is written
            if missing is None:
                missing = {word: lack for word, lack in lacks(line.instrument).items() if lack.is_care == is_care}
            lack = missing.get(sign)
            if lack is not None:
                yield _finding(line, event, lack)


def _manuals_for_feet(line: PlayerLine) -> Iterator[Finding]:
    """Manuals that stand on the pedal staff of an organ."""
    for event in (event for staff in line.staves if staff.name == PEDAL for voice in staff.voices for event in voice):
        if any(word in MANUALS for word in event.event.marks.techniques):
            yield Finding(
                Degree.IMPOSSIBLE, TECHNIQUE, event, "has a manual for its feet", "they have the pedals alone",
                "the sign on the staff of the hand that goes there, or words for a coupler",
            )  # fmt: skip


def _signs(marks: Marks) -> Iterator[str]:
    yield from marks.articulations
    yield from marks.techniques
    yield from (ornament.kind for ornament in marks.ornaments if ornament.kind != "tremolo" or ornament.unit is None)
    if marks.glides:
        yield "glissando"
    if marks.pedal_begins:
        yield "sustain_pedal"


def _finding(line: PlayerLine, event: ScoreEvent, lack: Lack) -> Finding:
    degree, what = Degree.IMPOSSIBLE, f"has no {lack.called}"
    if lack.is_care:
        degree, what = Degree.CARE, f"is asked for `{lack.sign}`"
    cure = _had(line.instrument, lack.cure) or f"ask a {player_of(line.instrument)}"
    return Finding(degree, TECHNIQUE, event, what, lack.why, cure, rests_on=lack.source)


def _had(instrument: Instrument, cure: str) -> str:
    """A cure without the ways that want a sign which the instrument does not have either."""
    missing = [f"`{sign}`" for sign in lacks(instrument)]
    return ", or ".join(way for way in cure.split(", or ") if not any(sign in way for sign in missing))


def _dies_away(instrument: Instrument) -> bool:
    """Whether its tones are struck or plucked, and nobody can make them louder."""
    if instrument.family == "percussion":
        return instrument.tone is not Sustain.HELD and instrument.key not in _RUBBED
    return instrument.family == "plucked" or instrument.key in _DYING_KEYS


def _swells(line: PlayerLine) -> Iterator[Finding]:
    """Crescendos that begin and end on one tone which is struck or plucked once."""
    events = line.events if _dies_away(line.instrument) else ()
    if line.instrument.family == "strings":
        events = [moment.event for moment in line.moments if moment.state.bowing == "pizzicato"]
    for event in events:
        marks = event.event.marks
        if marks is UNMARKED or BASE_HAIRPINS.get(marks.hairpin) != "crescendo":
            continue
        is_repeated = any(ornament.kind in ("tremolo", "trill") for ornament in marks.ornaments)
        if (marks.hairpin_ends or marks.goal) and not is_repeated:
            is_drum = line.instrument.family == "percussion"
            yield Finding(
                Degree.CARE, SWELL, event, "is to swell on one tone", "once struck or plucked, a tone only dies away",
                f"{'write a roll with `tremolo`' if is_drum else 'let the notes be repeated'}, or leave the hairpin to "
                "those who sustain",
            )  # fmt: skip


def _too_loud(line: PlayerLine) -> Iterator[Finding]:
    """Each dynamic that is louder than the instrument, where it comes into force."""
    most = _LOUDEST.get(line.instrument.key, LASTING[-1])
    for dynamic, moments in groupby(line.moments if most != LASTING[-1] else (), lambda moment: moment.state.dynamic):
        if dynamic and LASTING.index(dynamic) > LASTING.index(most):
            yield Finding(
                Degree.CARE, LOUDNESS, next(moments).event, f"is to play {dynamic}",
                f"it has nothing louder than what others call {most}, however it is played",
                "fewer and softer instruments with it, a doubling, or a microphone",
            )  # fmt: skip
