"""The notation pass: from the score at concert pitch to written bars.

In: a score. Out: every staff's bars, finished, and laid out on systems and pages. What holds after: the written pieces
of each event sum to its exact duration and are tied, each bar's items sum to its frame's duration, no note crosses a
bar line untied, every origin and mark is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import partial
from itertools import chain, islice, pairwise

from cavata.again import Again
from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import PEDAL, Instrument, PageLanguage
from cavata.notate.clefs import with_ottavas
from cavata.notate.cue_notes import with_cue_notes
from cavata.notate.frames import WrittenSpan, frames, written_spans
from cavata.notate.harp import with_pedals
from cavata.notate.ossia import with_ossia
from cavata.notate.paper.layout import laid_out
from cavata.notate.paper.page_turns import with_turns
from cavata.notate.rests import gathered, with_fermata_rests
from cavata.notate.spelled_voice import StaffPlan
from cavata.notate.staff import told_once, write_staff
from cavata.notate.strings import with_strings
from cavata.notate.timpani import with_drums
from cavata.notate.transposition import PitchWriting, last_in_hand, reading, with_changes, with_tuning
from cavata.notate.voice import Ticks, whole_of
from cavata.notate.written import Leaf, Tuplet, WrittenItem, WrittenMovement, WrittenPart, WrittenScore, WrittenStaff
from cavata.record import replace
from cavata.score.harp import is_harp, pedal_marks
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Header, Movement, Part, Score, Staff, events_of, rolled_across
from cavata.score.timpani import is_timpani

_TOLD_TO_PLAYERS = (CopyKind.SCORE, CopyKind.PART)
"""Copies in which a player finds what is done besides playing."""
_LEAST_PEDAL = Fraction(3, 16)
"""Of a whole note: so long, or longer, are pedals that have a sign each."""


class KeptNotation:
    """What was written of a copy, movement by movement and part by part, for when the copy is written again."""

    def __init__(self) -> None:
        self._movements = Again[WrittenMovement]()
        self._parts: dict[str, Again[WrittenPart]] = {}

    def next_round(self, movements: Sequence[Movement]) -> Again[WrittenMovement]:
        """The movements of the copy, which is about to be written again and has these."""
        self._movements.next_round()
        names = {movement.name for movement in movements}
        self._parts = {name: parts for name, parts in self._parts.items() if name in names}
        return self._movements

    def parts(self, movement: str) -> Again[WrittenPart]:
        """The parts of a movement that is about to be written again."""
        parts = self._parts.setdefault(movement, Again())
        parts.next_round()
        return parts


def notate(score: Score, kept: KeptNotation | None = None) -> WrittenScore:
    """Write a score out. What is `kept` from the time before and would be the same is taken from there."""
    kept = kept or KeptNotation()
    again, nothing = kept.next_round(score.movements), Diagnostics()
    movements = []
    for number, movement in enumerate(score.movements):
        held = tuple(
            last_in_hand(part, place, score.movements[:number]) for place, part in enumerate(score.parts)
        )
        made_of = (movement, score.parts, score.header, held, number, number == len(score.movements) - 1)
        make = partial(_movement, score, number, held, kept)
        movements.append(again.of(movement.name, made_of, nothing, make))
    language = score.header.language
    note = page_words(language, "reading", "two_names") if score.header.colors and _shares_colors(score) else ""
    return laid_out(score.header, score.groups, movements, note, score.title_page)


def _movement(
    score: Score, number: int, held: Sequence[Instrument], kept: KeptNotation, nothing: Diagnostics
) -> WrittenMovement:
    """A movement before which each player has in hand what is `held`."""
    movement = score.movements[number]
    spans = written_spans(movement)
    time = Ticks.of(whole_of(movement, spans), spans)
    around, again = replace(movement, staves=()), kept.parts(movement.name)
    parts = []
    for part, staves, before in zip(score.parts, movement.staves, held, strict=True):
        made_of = (part, staves, around, spans, time, score.header, before)
        parts.append(again.of(part.name, made_of, nothing, partial(_part, *made_of)))
    shared = frames(movement, spans, number == len(score.movements) - 1, score.header.language)
    alone = score.header.kind is CopyKind.PART
    if alone:
        shared = with_turns(shared, movement, tuple(chain.from_iterable(movement.staves)), spans)
        every = iter(gathered(tuple(staff for part in parts for staff in part.staves), shared, spans, movement))
        parts = [replace(part, staves=tuple(islice(every, len(part.staves)))) for part in parts]
    tacet = alone and all(part.silent for part in parts)
    heading = _heading(movement, number + 1, score.header.language) if tacet else ""
    return WrittenMovement(
        movement.name, movement.title, movement.is_cadenza, movement.attacca, shared, tuple(parts), tacet, heading
    )  # fmt: skip


def _heading(movement: Movement, number: int, language: PageLanguage) -> str:
    """What stands over a movement that a player only waits through."""
    return movement.title.strip() or page_words(language, "reading", "movement", number=number)


def _shares_colors(score: Score) -> bool:
    return any(
        len({letter.name for letter in head.letters}) > 1
        for movement in score.movements for event in movement.events for head in event.event.heads
    )  # fmt: skip


def _part(
    part: Part, staves: Sequence[Staff], movement: Movement, spans: tuple[WrittenSpan, ...], time: Ticks,
    header: Header, held_before: Instrument, _: Diagnostics,
) -> WrittenPart:
    """A part in a movement, of which it is given what all parts have in common."""
    instrument = part.instrument
    held = tuple(movement.instrument_of(part, span.onset) for span in spans) if part.doublings else ()
    readings = _readings(held or (instrument,) * len(spans), spans, header.concert_score)
    colors = dict(header.colors)
    lines = max(1, len(part.members)) if instrument.unpitched else 1
    signatures = _signatures(instrument, spans, readings)
    shared = bool(part.members)
    rolled = rolled_across(staves)
    plan = StaffPlan(
        instrument, instrument.clefs, spans, readings, signatures, time, lines, shared, colors, rolled_across=rolled
    )  # fmt: skip
    written = tuple(
        _staff(
            staff,
            replace(plan, clefs=_clefs(instrument, staff.name), span_clefs=tuple(_clefs(i, staff.name) for i in held)),
        )
        for staff in told_once(staves)
    )
    written = tuple(with_ottavas(staff, instrument) for staff in written)
    if any(event.event.marks.string for event in events_of(staves)):
        written = tuple(with_strings(staff, instrument, part.language) for staff in written)
    if held:
        written = with_changes(written, part, movement, spans, held_before)
    if instrument.usual_strings:
        written = with_tuning(written, part)
    told = header.kind in _TOLD_TO_PLAYERS
    if is_timpani(part) and told and header.timpani_tuning:
        written = with_drums(written, staves[0], part, movement, spans)
    if is_harp(part) and told and header.harp_pedals != "none":
        marks = pedal_marks(movement, staves, header.harp_pedals != "settings")
        written = with_pedals(written, marks, spans, part.language)
    if header.proof:
        written = tuple(_with_lines(staff, header.language) for staff in written)
    silent = not any(event.event.heads for event in events_of(staves))
    return WrittenPart(part, written, silent, rolls_across=bool(rolled), pedal_as_line=_has_short_pedals(staves))


def _has_short_pedals(staves: Sequence[Staff]) -> bool:
    """Whether one pedal follows another so soon that a line shows them better than signs, as it then does throughout.

    Source: common practice, which does not mix the two.
    """
    down = sorted({event.onset for event in events_of(staves) if event.event.marks.pedal_begins})
    return any(after - before < _LEAST_PEDAL for before, after in pairwise(down))


def _staff(staff: Staff, plan: StaffPlan) -> WrittenStaff:
    written = with_fermata_rests(write_staff(staff, plan), staff, plan.spans)
    written = with_cue_notes(written, staff.cues, plan) if staff.cues else written
    return with_ossia(written, staff.ossia, plan) if staff.ossia else written


def _readings(
    held: Sequence[Instrument], spans: Sequence[WrittenSpan], concert_score: bool
) -> tuple[PitchWriting, ...]:
    """How each span is read on the instrument that is in hand there."""
    places = [(instrument, span.bar.key) for instrument, span in zip(held, spans, strict=True)]
    known = {(instrument, key): reading(instrument, concert_score, key) for instrument, key in dict.fromkeys(places)}
    return tuple(known[place] for place in places)


def _signatures(
    instrument: Instrument, spans: Sequence[WrittenSpan], readings: Sequence[PitchWriting]
) -> tuple[int | None, ...]:
    """The signature before each span where it changes; the first bar has one whenever there is a key."""
    if instrument.unpitched:
        return (None,) * len(spans)
    result: list[int | None] = []
    current = 0
    for span, current_reading in zip(spans, readings, strict=True):
        signature = current_reading.signature
        opens = not result and span.bar.key is not None
        result.append(signature if opens or signature != current else None)
        current = signature
    return tuple(result)


def _clefs(instrument: Instrument, staff: str) -> tuple[str, ...]:
    """The clefs a staff may use, its usual one first: either hand's staff begins with its own, and an organist's feet
    have the bass clef only.
    """
    clefs = instrument.clefs
    if staff == PEDAL:
        return ("bass",)
    if staff not in instrument.hands or staff == instrument.hands[0]:
        return clefs
    own = clefs[-1]
    return (own, *(clef for clef in clefs if clef != own))


def _with_lines(staff: WrittenStaff, language: PageLanguage) -> WrittenStaff:
    """The staff of a proof copy: where a voice goes over to another line of the script, the leaf says which."""
    told: dict[int, tuple[str, int]] = {}
    bars = []
    for bar in staff.bars:
        voices = []
        for voice, items in enumerate(bar.voices):
            marked, told[voice] = _marked(items, told.get(voice, ("", 0)), language)
            voices.append(marked)
        bars.append(replace(bar, voices=tuple(voices)))
    return replace(staff, bars=tuple(bars))


def _marked(
    items: tuple[WrittenItem, ...], told: tuple[str, int], language: PageLanguage
) -> tuple[tuple[WrittenItem, ...], tuple[str, int]]:
    """The items with the lines they come from, and the file and line that was told last."""
    marked: list[WrittenItem] = []
    for item in items:
        if isinstance(item, Tuplet):
            inner, told = _marked(item.items, told, language)
            marked.append(replace(item, items=inner))
            continue
        place = _place(item)
        if place is not None and place != told:
            words = page_words(language, "reading", "script_line", number=place[1])
            item, told = replace(item, script_line=words), place
        marked.append(item)
    return tuple(marked), told


def _place(leaf: Leaf) -> tuple[str, int] | None:
    """File and line of the script that put a note there; None for a rest."""
    if leaf.event is None or not leaf.heads:
        return None
    return leaf.event.line.source.name, leaf.event.line.line
