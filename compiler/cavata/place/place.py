"""The placing pass: lines laid along sections, sections along movements.

In: the evaluated plan. Out: the score at concert pitch. Holds after: within a voice events are in
order and do not overlap; bars follow one another without gap and fill the movement exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise
from pathlib import PurePath

from cavata.again import Again, Itself
from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import WITH_VALUES, Plan, PlannedMovement, PlannedSection
from cavata.instruments.instrument import PageLanguage, language_called
from cavata.names.paper import USUAL, find_paper
from cavata.place.kept import KeptMovement
from cavata.place.movement import Carried, MovementPlacer
from cavata.place.settings import unplaced
from cavata.record import replace
from cavata.score.clock import Clock
from cavata.score.colors import colors
from cavata.score.score import Group, Header, Movement, Part, Score, ScoreEvent, bar_at
from cavata.score.whereabouts import in_bars
from cavata.source import Span
from cavata.syntax import tree as t

# ------------------------------------------------------------------ the title page


def header_of(piece: t.Piece | None, main: str) -> Header:
    """The header; a script without `piece` is called by its file."""
    if piece is None:
        return Header(PurePath(main).stem)
    texts = {row.word: row.text for row in piece.rows}
    lengths = [row.minutes for row in piece.rows if row.word == "length"]
    shortest, longest = lengths[-1] if lengths else (None, None)
    return Header(
        piece.title.text,
        texts.get("subtitle", ""),
        texts.get("composer", ""),
        texts.get("dedication", ""),
        shortest,
        longest,
        "concert score" in texts,
        "show letters" in texts,
        find_paper(texts.get("paper", "")) or USUAL,
        texts["title page"] != "none" if "title page" in texts else None,
        every_staff="show every staff" in texts,
        language=language_called(texts.get("names", "")) or PageLanguage.ENGLISH,
        poet=texts.get("poet", ""),
        arranger=texts.get("arranger", ""),
        copyright=texts.get("copyright", ""),
        publisher=texts.get("publisher", ""),
        number=texts.get("number", ""),
        notes=tuple(row.text for row in piece.rows if row.word == "note"),
        rehearsal_piano="rehearsal piano" in texts,
        harp_pedals=texts.get("harp pedals", ""),
        timpani_tuning=texts.get("timpani tuning", "") != "none",
    )


# ------------------------------------------------------------------ time to take up another instrument


_LETTERS = "letters through movements"
ENOUGH = 2
"""Seconds. A choice of ours, on the short side: laying one instrument down and lifting another takes about so long."""


def report_hurried(movement: Movement, parts: Sequence[Part], bag: Diagnostics) -> None:
    """Warn of each item that begins a change for which there is no time; once, however often it comes back in repeats.

    Where something is wrong, as two instruments in hand at once, nobody knows what is taken up.
    """
    if not movement.changes or bag.has_errors:
        return
    clock = Clock(movement)
    told: set[tuple[str, Span]] = set()
    for part, staves in zip(parts, movement.staves, strict=True):
        events = sorted(
            (event for staff in staves for voice in staff.voices for event in voice if event.event.heads),
            key=lambda event: event.onset,
        )
        for end, after in _changes(movement, part, events):
            rest = clock.between(end, after.onset)
            if rest < ENOUGH and (part.name, after.line) not in told:
                told.add((part.name, after.line))
                _report(movement, part, after, rest, bag)


def _changes(movement: Movement, part: Part, events: Sequence[ScoreEvent]) -> Iterator[tuple[Fraction, ScoreEvent]]:
    """The first event on each other instrument, with the end of what was played before it.

    A note that goes on into the change is reported as such, and left out here.
    """
    ends = accumulate((event.end for event in events), max)
    for (end, before), (_, after) in pairwise(zip(ends, events, strict=True)):
        held = movement.instrument_of(part, before.onset)
        if held == movement.instrument_of(part, after.onset) or end > after.onset:
            continue
        moments = (m for c in movement.changes if c.part == part.name for m in (c.begin, c.end))
        if not any(before.onset < moment < end for moment in moments):
            yield end, after


def _report(movement: Movement, part: Part, after: ScoreEvent, rest: Fraction, bag: Diagnostics) -> None:
    wanted = movement.instrument_of(part, after.onset).key
    bar = bar_at(movement.bars, after.onset)
    where = in_bars([bar.number] if bar.meter is not None else [])
    time = f"{float(rest):.1f} s of rest" if rest else "no rest"
    bag.warning(
        "P136", after.line, f"`{part.name}` has {time} to take up the {wanted}{where}", label="the first note on it",
        cure="give some seconds of rest before it, or the line to another player; this is a guide: the player knows "
        "better",
    )


# ------------------------------------------------------------------ the whole


PlacedMovement = tuple[Movement | None, Carried]
"""A movement, if it could be measured, and what goes on into the next."""


class _Same:
    """A planned movement, which another is the same as if their rows hold the very same values.

    Equal values do not suffice: what notes remember of the script is left out when they are compared.
    """

    def __init__(self, planned: PlannedMovement) -> None:
        rows = [row for section in planned.sections for row in section.rows]
        self.values = Itself(row for row in rows if isinstance(row, WITH_VALUES))
        self.others = [None if isinstance(row, WITH_VALUES) else row for row in rows]
        sections: tuple[PlannedSection, ...] = tuple(section.having(()) for section in planned.sections)
        self.bare = planned.having(planned.settings, sections)
        self.counts = [len(section.rows) for section in planned.sections]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and (self.values, self.others, self.counts, self.bare) == (
            other.values, other.others, other.counts, other.bare
        )  # fmt: skip


class KeptMovements:
    """What was placed of a piece, or of a version of it, for when it is placed again."""

    def __init__(self) -> None:
        self._whole = Again[PlacedMovement]()
        self._within: dict[str, KeptMovement] = {}

    def next_round(self) -> None:
        """The piece will be placed once more."""
        self._whole.next_round()

    def of(
        self, planned: PlannedMovement, parts: tuple[Part, ...], carried: Carried, bag: Diagnostics
    ) -> PlacedMovement:
        """A movement as it was placed before; else placed now, with what has not changed in it."""
        name = planned.name.text

        def make(bag: Diagnostics) -> PlacedMovement:
            within = self._within.get(name)
            if within is None or within.parts != parts:
                within = self._within[name] = KeptMovement(parts)
            within.next_round()
            return _placed(planned, parts, carried, bag, within)

        return self._whole.of(name, (_Same(planned), parts, carried), bag, make)


def _placed(
    planned: PlannedMovement, parts: tuple[Part, ...], carried: Carried, bag: Diagnostics,
    kept: KeptMovement | None = None,
) -> PlacedMovement:
    placer = MovementPlacer(planned, parts, carried, bag, kept)
    movement = placer.place()
    if movement is not None:
        report_hurried(movement, parts, bag)
    return movement, placer.carried


def place(plan: Plan, bag: Diagnostics, kept: KeptMovements | None = None) -> Score:
    """Place the whole piece; movements that are `kept` from the time before are not placed again."""
    program = plan.program
    parts = program.forces
    movements = []
    carried = Carried(unplaced(Fraction(1, 4), Fraction(60)))
    for planned in plan.movements:
        if kept is None or bag.has_errors:
            movement, carried = _placed(planned, parts, carried, bag)
        else:
            movement, carried = kept.of(planned, parts, carried, bag)
        if movement is not None:
            movements.append(movement)
    if program.piece is not None and not plan.movements and not program.unread:
        bag.error(
            "P114", program.piece.span, "the piece has no movement", label="nothing to be played",
            cure='write `movement first "..."` with its lines under it',
        )
    if plan.movements and not parts and not bag.has_errors:
        bag.error(
            "P137", plan.movements[0].name.span, "the piece has no parts", label="there is nobody to play it",
            cure="write `forces` with a row for each part, as `flute = flute`",
        )
    on_one = {staff.name for staff in program.staves}
    singers = {part.name for part in parts if part.instrument.family == "voice"}
    groups = tuple(
        Group(name, members, joined=singers.isdisjoint(members))
        for name, members in program.groups.items() if name not in on_one
    )  # fmt: skip
    header = replace(header_of(program.piece, program.main), colors=colors(plan, movements, bag))
    lettered = program.piece is not None and any(row.word == _LETTERS for row in program.piece.rows)
    placed = tuple(_lettered(movements) if lettered else movements)
    score = Score(header, parts, groups, placed, program.staves)
    return without_silent(score, program.silent) if program.silent else score


def _lettered(movements: Sequence[Movement]) -> Iterator[Movement]:
    """The movements, each with the number of rehearsal marks before it."""
    before = 0
    for movement in movements:
        yield replace(movement, letters_before=before)
        before += movement.letters


def without_silent(score: Score, silent: frozenset[str]) -> Score:
    """The score without parts that have nothing to play in it."""
    kept = [number for number, part in enumerate(score.parts) if part.name not in silent]
    movements = tuple(
        replace(
            movement, staves=tuple(movement.staves[number] for number in kept),
            changes=tuple(change for change in movement.changes if change.part not in silent),
        )
        for movement in score.movements
    )  # fmt: skip
    return replace(score, parts=tuple(score.parts[number] for number in kept), movements=movements)
