"""Markings over bars: whatever sounds there is dressed, part by part."""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.plan import PlannedMarking
from cavata.music.event import Motif
from cavata.music.refusal import Refusal
from cavata.names.program import PartStaff
from cavata.place.doubling import take_up
from cavata.place.ruler import COUNTING, Ruler, bars_in_words
from cavata.place.staves import StaffBuilder
from cavata.transforms.doubling import TAKING_UP
from cavata.transforms.dress import Markings

HAIRPINS = ("crescendo", "diminuendo")


def mark_over(
    marking: PlannedMarking, ruler: Ruler, section_onset: Fraction, bars: int, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Dress what sounds in the bars from first to last; a note held into them is divided for a dynamic."""
    if ruler.is_free:
        bag.error("P110", marking.span, "free time has no bars", "bars are counted here", "mark the motif itself")
        return
    if not 1 <= marking.first <= marking.last <= bars:
        bag.error(
            "P117", marking.span, f"the section has no bars {marking.first} to {marking.last}",
            f"it has {bars_in_words(bars)}", COUNTING,
        )
        return
    begin = section_onset + ruler.onset(marking.first)
    end = section_onset + ruler.onset(marking.last + 1)
    if marking.transform.word == TAKING_UP:
        take_up(marking, begin, end, staves, bag)
        return
    heard = False
    _divide(marking, ruler, section_onset, staves)
    for target in marking.parts:
        for staff in _staves(target, marking, begin, end, staves):
            for indices in staves.between(target.part, staff, begin, end):
                heard = True
                line = Motif(tuple(staves.events[(target.part, staff)][i].event for i in indices))
                try:
                    dressed = marking.transform.apply(line, *marking.arguments)
                except Refusal as refusal:
                    message, label, cure = (
                        text.replace("{subject}", f"`{target.part}`").replace("{word}", marking.transform.word)
                        for text in (refusal.message, refusal.label, refusal.cure)
                    )
                    bag.error(refusal.code, marking.span, message, label, cure)
                    return
                assert isinstance(dressed, Motif)
                for index, event in zip(indices, dressed.events, strict=True):
                    staves.replace(target.part, staff, index, event)
    if not heard and not bag.has_errors:
        bag.warning("P119", marking.span, "nothing sounds in these bars", "no note to mark", "look at the bar numbers")


def _divide(marking: PlannedMarking, ruler: Ruler, section_onset: Fraction, staves: StaffBuilder) -> None:
    """Divide held notes where a dynamic or hairpin begins, and where a hairpin ends: at its last bar or beat."""
    hairpin = marking.transform.word in HAIRPINS
    if not hairpin and not any(isinstance(a, Markings) and (a.dynamic or a.words) for a in marking.arguments):
        return
    begin, last = section_onset + ruler.onset(marking.first), section_onset + ruler.onset(marking.last)
    end, meter = section_onset + ruler.onset(marking.last + 1), ruler.meter(marking.last)
    for target in marking.parts:
        for staff in (target.staff,) if target.staff else staves.parts[target.part].instrument.staves:
            staves.divide(target.part, staff, begin)
            if hairpin and meter is not None:
                if not staves.between(target.part, staff, last, end):
                    staves.divide(target.part, staff, last)
                if any(len(indices) == 1 for indices in staves.between(target.part, staff, begin, end)):
                    staves.divide(target.part, staff, end - Fraction(1, meter.denominator))


def _staves(
    target: PartStaff, marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder
) -> tuple[str, ...]:
    """The staves that are marked: a hairpin of a part with two staves stands once, on the first that sounds."""
    if target.staff:
        return (target.staff,)
    both = staves.parts[target.part].instrument.staves
    sounding = tuple(staff for staff in both if any(staves.between(target.part, staff, begin, end)))
    return sounding[:1] if marking.transform.word in HAIRPINS else both
