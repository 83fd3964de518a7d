"""A set of percussion on one staff: two hands for all its instruments, and the time to take up what is held.

In: a line of which each staff is an instrument of the set, called by its part. A stroke needs a hand where the note
begins, a roll or what its player holds as long as the note lasts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from cavata.instruments.instrument import Instrument, Sustain
from cavata.instruments.percussion import AT_ONCE, HANDS, KIT, PEDALS, With, hands_for, way_of
from cavata.playing.drums.percussion import is_rolled
from cavata.playing.finding import Degree, Finding, Kind, left_in_words, only_impossible
from cavata.playing.line import PlayerLine, Timing
from cavata.playing.profile import Profile
from cavata.record import record, replace
from cavata.score.score import Movement, Part, Score, ScoreEvent, Staff
from cavata.score.whereabouts import listed

AT_A_TIME = Kind("percussion set", "I383", "whether two hands have what a set wants at once", "from memory")
TAKEN_UP = Kind(
    "taking up", "I384", "the time to lay down and take up instruments of a set that are held in the hands",
    "from memory",
)  # fmt: skip
KINDS = (AT_A_TIME, TAKEN_UP)


class SetLine(PlayerLine):
    """What several parts have together: one player's set, or all that percussionists play."""

    def __init__(
        self, name: str, parts: Mapping[str, tuple[Part, Sequence[Staff]]], movement: Movement, timing: Timing,
        score: Score,
    ) -> None:
        first, _ = next(iter(parts.values()))
        staves = [Staff(part, staff.voices) for part, (_, own) in parts.items() for staff in own]
        super().__init__(replace(first, name=name), movement, staves, None, timing)
        self.parts = {part: own for part, (own, _) in parts.items()}
        self.score = score

    def owner(self, event: ScoreEvent) -> Part:
        """The part of the set that has an event."""
        staves = (staff for staff in self.staves for voice in staff.voices if any(event is each for each in voice))
        return self.parts[next(staves).name]


@record
class _Stroke:
    event: ScoreEvent
    instrument: Instrument
    by: With
    hands: int
    least: int
    ends: Fraction
    """Where the hands are free again."""


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from _found(line, profile.stick_change)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What two hands cannot do."""
    return only_impossible(_found(line, AT_ONCE))


def _found(line: PlayerLine, time: float) -> Iterator[Finding]:
    assert isinstance(line, SetLine)
    strokes = _strokes(line)
    held: list[_Stroke] = []
    told: set[Fraction] = set()
    for onset, group in groupby(strokes, key=lambda stroke: stroke.event.onset):
        struck = list(group)
        held = [stroke for stroke in held if stroke.ends > onset]
        for finding in _at_once(struck, held):
            told.add(onset)
            yield finding
        held += [stroke for stroke in struck if stroke.ends > onset]
    for before, stroke in pairwise(strokes):
        if before.event.onset not in told and stroke.event.onset not in told:
            yield from _taken_up(line, before, stroke, time)


def _strokes(line: SetLine) -> list[_Stroke]:
    found = []
    pedals = PEDALS if any(part.instrument.key in KIT for part in line.parts.values()) else {}
    for staff in line.staves:
        instrument = line.parts[staff.name].instrument
        way = way_of(instrument)
        for voice in staff.voices if way else ():
            for event in voice:
                if not event.event.heads or event.tied_before or way is None:
                    continue
                rolled = is_rolled(event)
                ends = event.end if rolled or instrument.tone is Sustain.HELD else event.onset
                hands = pedals.get(instrument.key) or hands_for(way, rolled)
                found.append(_Stroke(event, instrument, way.by, *hands, ends))
    return sorted(found, key=lambda stroke: stroke.event.onset)


def _at_once(struck: Sequence[_Stroke], held: Sequence[_Stroke]) -> Iterator[Finding]:
    both = [*held, *(stroke for stroke in struck if all(stroke.instrument != other.instrument for other in held))]
    if len(both) < 2 or sum(stroke.hands for stroke in both) <= HANDS:
        return
    least = sum(stroke.least for stroke in both)
    cannot = least > HANDS and not _is_bass_drum_with_cymbal(both)
    names = listed([stroke.instrument.key for stroke in both])
    yield Finding(
        Degree.IMPOSSIBLE if cannot else Degree.CARE, AT_A_TIME, struck[0].event,
        f"cannot play {names} at once" if cannot else f"needs stands to play {names} at once",
        f"they want {least if cannot else sum(s.hands for s in both)} hands of one player",
        "give one of them to a second player, on a staff of its own",
    )  # fmt: skip


def _is_bass_drum_with_cymbal(strokes: Sequence[_Stroke]) -> bool:
    """One of the cymbals can be fixed on the drum."""
    return sorted(stroke.instrument.key for stroke in strokes) == ["bass drum", "cymbals"] and all(
        stroke.ends == stroke.event.onset for stroke in strokes
    )


def _taken_up(line: PlayerLine, before: _Stroke, stroke: _Stroke, time: float) -> Iterator[Finding]:
    """An instrument that is held comes after another, or another after it, and both hands are wanted."""
    is_held = With.ITSELF in (stroke.by, before.by) and before.hands + stroke.hands > HANDS
    if not is_held or stroke.instrument == before.instrument or stroke.event.onset == before.event.onset:
        return
    free = line.timing.at(stroke.event.onset) - line.timing.at(before.ends)
    if free < time:
        cannot = free < AT_ONCE and before.least + stroke.least > HANDS
        yield Finding(
            Degree.IMPOSSIBLE if cannot else Degree.CARE, TAKEN_UP, stroke.event,
            f"cannot take up the {stroke.instrument.key}" if cannot else f"takes up the {stroke.instrument.key} in a "
            "hurry", f"{left_in_words(free, 1)} after the {before.instrument.key}",
            "give a rest between them, or one of them to a second player",
        )  # fmt: skip
