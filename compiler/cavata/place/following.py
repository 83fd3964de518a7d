"""Parts that double another: what it plays in some bars, taken through transforms, is played by them too.

In: a row, and the staves as the rows above it have left them. Out: events for the parts of the row. Holds after: what
is doubled is one line, and what comes of it lasts no longer than the bars.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.expressions import remembering
from cavata.evaluate.plan import Music, PlannedDoubling
from cavata.evaluate.respelled import tell_respellings
from cavata.music.event import UNMARKED, Event, Marks, Motif
from cavata.music.said import moved_at
from cavata.place.bars import Ruler
from cavata.place.lines import Laid, LaidLine
from cavata.place.staves import StaffBuilder
from cavata.record import replace
from cavata.score.score import ScoreEvent
from cavata.syntax import tree as t
from cavata.transforms.order import closed
from cavata.transforms.pitches import respellings

VOICE = "voice"
"""The family of instruments that have words."""


def doubled_line(
    row: PlannedDoubling, ruler: Ruler, section_onset: Fraction, bars: int, length: Fraction, staves: StaffBuilder,
    bag: Diagnostics,
) -> LaidLine | None:
    """The line of a doubling, its onsets from the section's beginning; None when there is none, which was told."""
    word = ""
    try:
        begin, end = _from_to(row, ruler, bars, length)
        motif = _played(row, section_onset + begin, section_onset + end, staves, bag)
        if motif is None:
            return None
        for step in row.steps:
            word = step.transform.word
            with respellings() as noted:
                result = step.transform.apply(motif, *step.arguments)
            if not isinstance(result, Motif):
                raise Refusal("P871", "a doubling is one line", f"`{word}` makes several", "")
            motif = Motif(moved_at(remembering(result, step.text).events, step.span))
            tell_respellings(noted, result, step.span, bag)
    except Refusal as refusal:
        bag.refused(row.span, refusal.told("this line", word))
        return None
    if motif.duration > end - begin:
        bag.error(
            "P872", row.span, "what doubles another line lasts longer than its bars",
            label=f"longer by {motif.duration - end + begin}", cure="leave out the transform that makes it longer",
        )  # fmt: skip
        return None
    item = t.Item[Music](motif, None, False, row.span)
    line = t.Line(row.parts, None, (item,), row.span)
    return LaidLine(line, (Laid(begin, motif, item, motif.duration),), begin, begin + motif.duration, False)


def _from_to(row: PlannedDoubling, ruler: Ruler, bars: int, length: Fraction) -> tuple[Fraction, Fraction]:
    if not row.first and not row.last:
        return Fraction(0), length
    return ruler.from_to(row.first, row.last, bars, "leave the bars out")


def _played(
    row: PlannedDoubling, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> Motif | None:
    """What the doubled part plays from one moment to another, notes that sound into it or out of it cut."""
    (model,) = row.model
    voices = [
        [event for event in staves.in_order(model.part, staff) if event.voice == voice]
        for staff in staves.parts[model.part].instrument.staves if model.staff in ("", staff) for voice in (0, 1)
    ]
    found = [voice for voice in voices if any(event.onset < end and event.end > begin for event in voice)]
    if len(found) > 1:
        raise Refusal(
            "P871", f"`{model.part}` plays {len(found)} lines here", "one line is doubled at a time",
            f"name its staff, as `{model.part}.right`, or double another part",
        )  # fmt: skip
    if not found:
        if not bag.has_errors:  # else what is wrong may be what it would have played
            bag.warning(
                "P870", row.span, f"`{model.part}` plays nothing here that could be doubled", label="silent",
                cure="look at the bar numbers; rows below this one do not count",
            )  # fmt: skip
        return None
    singing = all(staves.parts[target.part].instrument.family == VOICE for target in row.parts)
    return Motif(moved_at(_events(found[0], begin, end, singing), row.span))


def _events(voice: Sequence[ScoreEvent], begin: Fraction, end: Fraction, singing: bool) -> tuple[Event, ...]:
    """The notes with the rests between them, the first with what is in force; words go where nobody sings."""
    out: list[Event] = []
    before = [placed.event.marks for placed in voice if placed.end <= begin]
    at = begin
    for placed in voice[len(before) :]:
        if placed.onset >= end:
            break
        onset, until = max(placed.onset, begin), min(placed.end, end)
        if onset > at:
            out.append(Event(onset - at))
        marks = placed.event.marks
        marks = replace(marks, symbol=None, sung=marks.sung if singing else ())
        if not out or all(event.is_rest for event in out):
            marks = _going_on(marks, _under_way(before))
        if placed.tied_before and out and out[-1].heads == placed.event.heads:
            first = out.pop()
            out.append(Event(first.duration + until - onset, first.heads, first.marks.joined(marks)))
        else:
            out.append(Event(until - onset, placed.event.heads, marks))
        at = until
    return closed(out)


def _under_way(before: Sequence[Marks]) -> Marks:
    """The dynamic in force, the slur and the hairpin that are not over yet."""
    found = UNMARKED
    for marks in before:
        hairpin = marks.hairpin or ("" if marks.hairpin_ends or marks.loud else found.hairpin)
        found = Marks(
            dynamic="" if hairpin else marks.in_force_after(found.dynamic),
            hairpin="" if marks.goal else hairpin,
            slur_begins=marks.slur_begins or (found.slur_begins and not marks.slur_ends),
        )
    return found


def _going_on(marks: Marks, under_way: Marks) -> Marks:
    """The first note's marks, with what was under way before it."""
    ends = marks.hairpin or marks.hairpin_ends or marks.loud
    return replace(
        marks, dynamic=marks.dynamic if marks.loud else under_way.dynamic,
        hairpin=marks.hairpin if ends else under_way.hairpin,
        slur_begins=marks.slur_begins or (under_way.slur_begins and not marks.slur_ends),
    )  # fmt: skip
