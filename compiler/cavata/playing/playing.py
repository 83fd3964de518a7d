"""The whole of what is looked at: which family's module looks at which line, and what `check` tells of it.

A family's module has

    KINDS: tuple[Kind, ...]
        every kind of finding that it makes
    look(line, profile) -> Iterator[Finding]
        all that is found, in all three degrees
    impossible(line, profile) -> Iterator[Finding]
        those of the first degree alone, in the same words; `check` asks for them each time, so it must be quick:
        look at `line.events` first, and at `line.moments` only where there may be something

and is loaded only where a part has an instrument for it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from functools import partial
from importlib import import_module
from itertools import chain
from typing import Protocol, cast

from cavata.again import Again, Itself
from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import WINDS, Instrument
from cavata.place.ranges import guide_words
from cavata.playing import first_look
from cavata.playing.finding import Finding, Kind, PlanStep
from cavata.playing.line import PlayerLine, Timing, player_lines, whole_line
from cavata.playing.profile import PROFESSIONAL, Profile
from cavata.record import record, replace
from cavata.score.score import Movement, Part, Score, Staff
from cavata.score.whereabouts import Whereabouts
from cavata.source import Span


class FamilyModule(Protocol):
    """What a family's module has."""

    KINDS: tuple[Kind, ...]

    def look(self, line: PlayerLine, profile: Profile) -> Iterator[Finding]:
        """All that is found."""

    def impossible(self, line: PlayerLine, profile: Profile) -> Iterator[Finding]:
        """What is of the first degree."""


class Planner(Protocol):
    """What the module of a family with a plan has besides."""

    def steps(self, line: PlayerLine) -> Iterator[PlanStep]:
        """What the player does between the notes."""


@record
class Family:
    """A family's module, and of which instruments it knows."""

    module: str
    """Its name in this room."""
    of: str
    """Of whom it tells, as the table of the reference has it."""
    has: Callable[[Instrument], bool]
    whole: bool = False
    """It is shown all that a player does in a movement, on whatever instrument, at once."""
    may: Callable[[PlayerLine], bool] | None = None
    """Whether a line may have something of the first degree: a check does not load the module where it has not."""
    plans: bool = False
    """Its module has a function `steps(line)`: what the player does between the notes, planned for a movement."""
    later: bool = False
    """It finds nothing of the first degree, so that a check need not load it."""

    def load(self) -> FamilyModule:
        """The module, loaded."""
        return cast(FamilyModule, import_module(f"cavata.playing.{self.module}"))


def _is_bowed(instrument: Instrument) -> bool:
    return instrument.family == "strings" and bool(instrument.strings)


_PLAIN_KEYS = ("organ", "chamber organ", "harpsichord")
"""Of which the touch of a key does not change the tone."""
_PERCUSSION = "percussion"
USUAL_PLAYERS = 3
"""So many percussionists any piece may want."""
_SETS = Family("drums.percussion_set", _PERCUSSION, lambda it: False)
"""It is shown sets of several parts, and no part alone."""
_PLAYERS = Family("drums.percussionists", _PERCUSSION, lambda it: False, later=True)
"""It is shown all percussion together."""


def _breathes(it: Instrument) -> bool:
    return it.family in (*WINDS, "voice")


FAMILIES = (
    Family("techniques", "all", lambda it: True, may=first_look.has_signs),
    Family("strings.bowed", "bowed strings", _is_bowed, may=first_look.stops_or_signs),
    Family("strings.bow", "bowed strings", _is_bowed, may=first_look.bows_or_plucks),
    Family("strings.strokes", "bowed strings", _is_bowed, may=first_look.hurries_on_strings),
    Family("strings.moves", "bowed strings", _is_bowed, may=first_look.leaps),
    Family("strings.harp", "harp", lambda it: it.key == "harp", may=first_look.harp_pedals, plans=True),
    Family("strings.harp_hands", "harp", lambda it: it.key == "harp", may=first_look.harp_hands),
    Family("strings.fretted", "guitar and other fretted strings", lambda it: it.family == "plucked" and it.frets > 0),
    Family("winds.one_voice", "winds and voices", _breathes, may=first_look.has_several),
    Family("winds.breathing", "winds and voices", _breathes, may=first_look.sounds_long),
    Family("winds.winds", "winds", lambda it: it.family in WINDS, may=first_look.trills_or_hurries),
    Family("winds.fingers", "winds", lambda it: it.family in WINDS, may=first_look.slurs_fast),
    Family("winds.brass", "brass", lambda it: it.family == "brass", may=first_look.is_muted),
    Family("winds.slides", "brass", lambda it: it.family == "brass", may=first_look.glides),
    Family("winds.singing", "voices", lambda it: it.family == "voice", may=first_look.hurries),
    Family("winds.taking_up", "winds", lambda it: it.family in WINDS, whole=True, later=True),
    Family("keys.keyboards", "keyboards", lambda it: it.family == "keyboard", may=first_look.has_wide_chords),
    Family("keys.keyboards_in_time", "keyboards", lambda it: it.family == "keyboard",
           may=first_look.leaps_or_repeats),
    Family("keys.organ", "organ", lambda it: it.key in _PLAIN_KEYS, may=first_look.has_pedals),
    Family("drums.timpani", "timpani", lambda it: bool(it.drums), may=first_look.has_chords_or_changes, plans=True),
    Family("drums.percussion", "percussion", lambda it: it.family == "percussion", may=first_look.has_chords_or_signs),
    _SETS,
    _PLAYERS,
    Family(
        "speed", "keyboards and percussion", lambda it: it.family in ("keyboard", "percussion") or it.key == "cimbalom",
        may=first_look.hurries_on_keys_or_drums,
    ),
    Family("compass", "all", lambda it: True, later=True),
    Family("endurance", "all", lambda it: True, whole=True, later=True),
)
"""In the order in which their kinds are told in the reference."""


# ---------------------------------------------------------------- all that is found


@record
class Look:
    """A player in a movement, or several who are looked at together, as a set of percussion."""

    movement: Movement
    part: Part
    lines: tuple[tuple[Family, PlayerLine], ...]
    """Each line with the family that looks at it."""
    whole: PlayerLine | None
    """All that the player has to do, on whatever instrument; None of several together."""

    def findings(self, profile: Profile) -> list[tuple[Part, Finding]]:
        """Everything that is found, by its onset, each with whose it is: of a set of percussion the part that strikes
        there."""
        found = [
            (line.owner(finding.event), finding)
            for family, line in self.lines for finding in family.load().look(line, profile)
        ]  # fmt: skip
        return sorted(found, key=lambda each: each[1].event.onset)

    def steps(self, stands: dict[str, str]) -> Iterator[PlanStep]:
        """What the player plans, where a family has a plan.

        `stands` remembers of each part from movement to movement how its pedals or drums are left: where they stand so
        at the beginning of the next, nothing is to be set or tuned.
        """
        for family, line in self.lines:
            made = tuple(cast(Planner, family.load()).steps(line)) if family.plans else ()
            if made:
                name = self.part.name
                if made[0].stands and made[0].stands == stands.get(name):
                    made = (replace(made[0], words=f"as before: {made[0].stands}"), *made[1:])
                stands[name] = next((step.stands for step in reversed(made) if step.stands), "")
            yield from made


def findings(
    score: Score, profile: Profile = PROFESSIONAL, parts: Collection[str] = ()
) -> Iterator[tuple[Movement, Part, Finding]]:
    """Everything that is found, of these parts or of all, movement by movement and part by part, by its onset."""
    for look in looks(score, parts):
        for owner, finding in look.findings(profile):
            if not parts or owner.name in parts:
                yield look.movement, owner, finding


def looks(score: Score, parts: Collection[str] = ()) -> Iterator[Look]:
    """All that is looked at of these parts, or of all, in each movement."""
    for movement in score.movements:
        timing = Timing(movement)
        for part, staves in zip(score.parts, movement.staves, strict=True):
            if not parts or part.name in parts:
                yield from _of_part(score, movement, part, staves, timing)
        yield from _of_percussion(score, movement, timing, parts)


def _of_part(
    score: Score, movement: Movement, part: Part, staves: tuple[Staff, ...], timing: Timing
) -> Iterator[Look]:
    """The lines of one part, where it has a note."""
    if any(voice for staff in staves for voice in staff.voices):
        lines = tuple(player_lines(part, movement, staves, timing, score.parts))
        whole = lines[0] if len(lines) == 1 else whole_line(part, movement, staves, timing)
        yield Look(movement, part, tuple(_shown(lines, whole)), whole)


def _of_percussion(
    score: Score, movement: Movement, timing: Timing, parts: Collection[str], is_check: bool = False
) -> Iterator[Look]:
    """Each set that stands on one staff, as one player's line; and many parts as the line of all players.

    A check is shown only sets that may have something of the first degree.
    """
    own = {part.name: (part, staves) for part, staves in zip(score.parts, movement.staves, strict=True)}
    several = [(_SETS, staff.name, [part.name for part in parts]) for staff, parts in score.percussion_sets]
    every = [name for name, (part, _) in own.items() if part.instrument.family == _PERCUSSION]
    if not is_check and USUAL_PLAYERS < len(every) < len(own) / 2:  # a percussion ensemble knows how many it is
        several.append((_PLAYERS, _PERCUSSION, every))
    for family, name, names in several:
        if is_check and not first_look.fills_hands([own[name] for name in names]):
            continue
        if len(names) > 1 and (not parts or any(name in parts for name in names)):
            from cavata.playing.drums.percussion_set import SetLine

            line = SetLine(name, {part: own[part] for part in names}, movement, timing, score)
            if line.events:
                yield Look(movement, line.part, ((family, line),), None)


def _shown(lines: tuple[PlayerLine, ...], whole: PlayerLine) -> Iterator[tuple[Family, PlayerLine]]:
    for family in FAMILIES:
        mine = [line for line in lines if family.has(line.instrument)]
        yield from ((family, line) for line in ([whole] if mine and family.whole else mine))


# ---------------------------------------------------------------- what a check tells


_Report = Callable[[Diagnostics], None]


class KeptLooks:
    """What was looked at in a piece, for when it is looked at again while it is edited."""

    def __init__(self) -> None:
        self._looked = Again[None]()
        self._frames: dict[str, tuple[object, ...]] = {}

    def next_round(self) -> None:
        """The piece will be looked at once more."""
        self._looked.next_round()

    def look(self, key: tuple[str, str], of: Iterable[object], frame: object, bag: Diagnostics, look: _Report) -> None:
        """Look, or tell once more what was told of the very same under the same bars."""
        self._looked.of(key, Itself((*of, frame)), bag, look)

    def frame(self, score: Score, movement: Movement, written_for_others: Collection[str]) -> object:
        """All that a line is looked at under besides its notes: the very same as before, if it is equal."""
        now = (replace(movement, staves=()), score.parts, score.shared, written_for_others)
        if self._frames.get(movement.name) != now:
            self._frames[movement.name] = now
        return self._frames[movement.name]


def report_impossible(
    score: Score, bag: Diagnostics, kept: KeptLooks | None = None, written_for_others: Collection[str] = ()
) -> None:
    """Warn of what no player can do: once for an item of the script, with the bars in which it comes back.

    `written_for_others`: parts that in a version play what others had; of these also signs that want care.
    Staves that are the very ones of the time before are not looked at again, where that is `kept`.
    """
    for movement in score.movements:
        timing = Timing(movement)
        shown: list[tuple[str, tuple[object, ...], Iterator[Look]]] = [
            (part.name, (staves,), _of_part(score, movement, part, staves, timing))
            for part, staves in zip(score.parts, movement.staves, strict=True)
        ]
        shown.append(("", movement.staves, _of_percussion(score, movement, timing, (), is_check=True)))
        frame = None if kept is None else kept.frame(score, movement, written_for_others)
        for name, of, made in shown:
            if kept is None:
                _report(made, bag, written_for_others)
            else:
                report = partial(_report, made, written_for_others=written_for_others)
                kept.look((movement.name, name), of, frame, bag, report)


def _report(shown: Iterator[Look], bag: Diagnostics, written_for_others: Collection[str]) -> None:
    for look in shown:
        items: dict[tuple[Span, str], list[Finding]] = {}
        for family, line in look.lines:
            if not family.later and (family.may is None or family.may(line)):
                found = family.load().impossible(line, PROFESSIONAL)
                if family.module == "techniques" and look.part.name in written_for_others:
                    from cavata.playing.techniques import of_another  # few versions have such signs

                    found = chain(found, of_another(line))
                for finding in found:
                    items.setdefault((finding.event.line, finding.kind.code), []).append(finding)
        if items:
            movement = look.movement
            where = Whereabouts(movement.bars, [(s.name, s.span or movement.span) for s in movement.sections])
            for several in items.values():
                _tell(look.part, several, where, bag)


def _tell(part: Part, several: list[Finding], where: Whereabouts, bag: Diagnostics) -> None:
    first = several[0]
    assert first.kind.code
    bag.warning(
        first.kind.code, first.event.line, f"`{part.name}` {first.what}{where.bars_of((first.event,))}",
        label=first.text + where.also_in(first.event, (other.event for other in several[1:])),
        cure=f"{first.cure}; {guide_words(part.instrument)}", also=where.sounds_in(first.event),
    )  # fmt: skip
