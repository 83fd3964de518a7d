"""What sounds in bars, a section or a movement taken through transforms of pitch, once everything is placed.

In: the events of the staves, and steps of pitch. Out: the same events at other pitches, which remember the steps. Keys
and chord symbols go with a section. A key that would need more than seven signs is written by its other name, and with
it the notes under it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.expressions import remembering
from cavata.evaluate.plan import PlannedMovement, PlannedThrough
from cavata.evaluate.respelled import tell_respellings
from cavata.music.event import Event, Motif
from cavata.music.mode import WIDEST_SIGNATURE, Mode
from cavata.music.pitch import Interval, Pitch
from cavata.music.said import moved_at
from cavata.names.program import Apply
from cavata.place.dealing import Dealt
from cavata.place.staves import StaffBuilder
from cavata.record import replace
from cavata.score.score import Part, ScoreBar, ScoreEvent, bar_at, ossia_of
from cavata.syntax import tree as t
from cavata.transforms.pitches import respellings

KEYED = {"up": 1, "down": -1}
"""The transforms that a key follows, and in which direction; all others leave the key."""
_OCTAVE = 4

Lines = list[tuple[tuple[str, str], list[int]]]
"""Staves, and which of their events: those of one voice, in order."""

# ------------------------------------------------------------------ which events


def lines_in(
    staves: StaffBuilder, part: str, staff: str, chosen: Callable[[ScoreEvent], bool]
) -> Lines:
    """The events of a staff that are chosen, voice by voice. A note that is written as tied ones goes as a whole."""
    voices: dict[int, list[int]] = {}
    taken: dict[int, bool] = {}
    for index, event in enumerate(staves.in_order(part, staff)):
        takes = taken.get(event.voice, False) if event.tied_before else chosen(event)
        taken[event.voice] = takes
        if takes:
            voices.setdefault(event.voice, []).append(index)
    return [((part, staff), voices[voice]) for voice in sorted(voices)]


# ------------------------------------------------------------------ one step


def go_through(
    step: Apply[object], lines: Lines, staves: StaffBuilder, bag: Diagnostics, harmony_stays: bool = False
) -> None:
    """Take each line through a step; what it refuses is reported. `harmony_stays`: chord symbols are as they were."""
    before = [Motif(tuple(staves.events[key][index].event for index in indices)) for key, indices in lines]
    after: list[Motif] = []
    subject = ""
    try:
        with respellings() as noted:
            if step.transform.on_lines is not None:
                after += step.transform.on_lines(tuple(before), *step.arguments)
            else:
                for (key, _), line in zip(lines, before, strict=True):
                    subject = f"`{key[0]}`"
                    made = step.transform.apply(line, *step.arguments)
                    assert isinstance(made, Motif)
                    after.append(made)
    except Refusal as refusal:
        bag.refused(step.span, refusal.told(subject, step.transform.word))
        return
    told: list[Event] = []
    for (key, indices), old, new in zip(lines, before, after, strict=True):
        events = remembering(new, step.text).events
        if harmony_stays:
            events = tuple(map(_with_symbol_of, events, old.events))
        for index, event in zip(indices, moved_at(events, step.span), strict=True):
            staves.replace(*key, index, event)
            told.append(event)
    tell_respellings(noted, Motif(tuple(told)), step.span, bag)


def _with_symbol_of(event: Event, old: Event) -> Event:
    if event.marks.symbol == old.marks.symbol:
        return event
    return replace(event, marks=replace(event.marks, symbol=old.marks.symbol))


# ------------------------------------------------------------------ keys


def _move(step: Apply[object]) -> Interval | None:
    """The interval by which everything goes up, or down if it is negative; None for a step that leaves the key."""
    direction = KEYED.get(step.transform.word)
    interval = step.arguments[0] if direction and len(step.arguments) == 1 else None
    return interval * direction if direction and isinstance(interval, Interval) else None


def keys_after(
    keys: Iterable[Mode], step: Apply[object], bag: Diagnostics
) -> Mapping[Mode, tuple[Mode, Apply[object]]]:
    """For each key what becomes of it, and the step that its notes take.

    A key that is written by its other name is reported; its notes take the interval by its other name.
    """
    move = _move(step)
    if move is None:
        return {key: (key, step) for key in keys}
    found: dict[Mode, tuple[Mode, Apply[object]]] = {}
    for key in dict.fromkeys(keys):
        tonic = Pitch.of(key.tonic, _OCTAVE)
        wanted = key.over((tonic + move).pitch_class)
        if abs(wanted.fifths) <= WIDEST_SIGNATURE:
            found[key] = wanted, step
            continue
        other = Interval(move.steps + (1 if wanted.fifths > 0 else -1), move.semitones)
        written = key.over((tonic + other).pitch_class)
        found[key] = written, step.given((other if step.transform.word == "up" else -other,))
        bag.warning(
            "P881", step.span, f"`{step.text}` would make {wanted} of {key}, which needs {wanted.signs}",
            label=f"written in {written}, notes and signature",
            cure="nothing needs to be done; another interval leads to another key",
        )
    return found


# ------------------------------------------------------------------ a section


def section_through(
    step: Apply[object], lines: Lines, keys: Mapping[Mode, tuple[Mode, Apply[object]]],
    key_at: Callable[[Fraction], Mode | None], staves: StaffBuilder, bag: Diagnostics, harmony_stays: bool,
) -> None:
    """Take the lines of a section through a step, those under a key with another name by that name."""
    by_step: dict[tuple[object, ...], tuple[Apply[object], dict[int, list[int]]]] = {}
    for number, (key, indices) in enumerate(lines):
        for index in indices:
            held = key_at(staves.events[key][index].onset)
            own = step if held is None else keys[held][1]
            by_step.setdefault(own.arguments, (own, {}))[1].setdefault(number, []).append(index)
    for own, chosen in by_step.values():
        its_lines = [(lines[number][0], indices) for number, indices in chosen.items()]
        go_through(own, its_lines, staves, bag, harmony_stays)


# ------------------------------------------------------------------ headings


class Headings:
    """Takes the sections of a movement through what their headings, and its own, say."""

    def __init__(
        self, planned: PlannedMovement, parts: Mapping[str, Part], staves: StaffBuilder, bag: Diagnostics
    ) -> None:
        self.parts, self.staves, self.bag = parts, staves, bag
        self.said = any(isinstance(row, t.Through) for section in planned.sections for row in section.rows)
        self.owners: dict[tuple[str, str], dict[tuple[Fraction, int], int]] = {}
        """For each event of a staff, by its onset and voice, the section that it belongs to."""

    def note(self, dealt: Dealt, section: int) -> None:
        """Remember which section an event belongs to: one that sounds on into the next is not moved with that."""
        if self.said:
            self.owners.setdefault((dealt.part, dealt.staff), {})[dealt.onset, dealt.voice] = section

    def take(self, row: PlannedThrough, section: int, bars: list[ScoreBar]) -> list[ScoreBar]:
        """Take a section through the steps of a row: everybody and the keys, or some parts alone. Gives the bars."""
        own = [number for number, bar in enumerate(bars) if bar.section == section]
        for step in row.steps:
            keys = {} if row.parts else keys_after(filter(None, (bars[n].key for n in own)), step, self.bag)
            held = self.key_in(section, bars, own)
            at = (lambda _: None) if row.parts else held
            section_through(step, self.lines_of(section, row), keys, at, self.staves, self.bag, bool(row.parts))
            bars = list(bars)
            for number in own:
                key = bars[number].key
                if key is not None and key in keys:
                    bars[number] = replace(bars[number], key=keys[key][0])
        return bars

    def key_in(self, section: int, bars: list[ScoreBar], own: list[int]) -> Callable[[Fraction], Mode | None]:
        """The key of a section at a moment; for what sounds before its first bar, as an upbeat, the first one."""

        def key_at(onset: Fraction) -> Mode | None:
            bar = bar_at(bars, onset)
            return (bar if bar.section == section or not own else bars[own[0]]).key

        return key_at

    def lines_of(self, section: int, row: PlannedThrough) -> Lines:
        """What the pitched parts of a row play in a section."""
        found: Lines = []
        for part in self.parts.values():
            targets = [target for target in row.parts if target.part == part.name]
            if part.instrument.unpitched or (row.parts and not targets):
                continue
            there = self.staves.ossias(part)
            for staff in part.instrument.staves:
                if not targets or any(target.staff in ("", staff) for target in targets):
                    for name in (staff, *(ossia for ossia in there if ossia == ossia_of(staff))):
                        found += lines_in(self.staves, part.name, name, self.owned(part.name, name, section))
        return found

    def owned(self, part: str, staff: str, section: int) -> Callable[[ScoreEvent], bool]:
        """Whether an event of a staff belongs to a section."""
        owners = self.owners.get((part, staff), {})
        return lambda event: owners.get((event.onset, event.voice)) == section
