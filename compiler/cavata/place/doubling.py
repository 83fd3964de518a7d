"""Players who take up another instrument for some bars.

In: a marking `on INSTRUMENT` over bars. Out: the change, noted with the staves. Holds after: the player has the
instrument according to the forces, and holds one at a time.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.plan import PlannedMarking
from cavata.instruments.instrument import Instrument
from cavata.place.staves import StaffBuilder
from cavata.record import replace
from cavata.score.score import InstrumentChange, Part


def take_up(
    marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Note that the parts of a marking play on another instrument from one moment to another."""
    (instrument,) = marking.arguments
    assert isinstance(instrument, Instrument)
    for target in marking.parts:
        part = staves.parts[target.part]
        if instrument not in part.doublings:
            _report_unknown(marking, part, instrument, bag)
            continue
        others = [change for change in staves.changes if change.part == part.name]
        twice = next((other for other in others if other.begin < end and begin < other.end), None)
        if twice is not None:
            bag.error(
                "I108", marking.span, f"`{part.name}` has two instruments in hand in the same bars", "",
                "let one of them end before the other begins", ((twice.span, f"here it is {twice.instrument.key}"),),
            )  # fmt: skip
            continue
        _report_held(marking, part, begin, end, staves, bag)
        staves.changes.append(InstrumentChange(part.name, begin, end, instrument, marking.span))


def joined(changes: Iterable[InstrumentChange]) -> tuple[InstrumentChange, ...]:
    """The changes in order for each part; what goes on in the next section is one, as the player sees it."""
    found: list[InstrumentChange] = []
    for change in sorted(changes, key=lambda change: (change.part, change.begin)):
        last = found[-1] if found else None
        if last and (last.part, last.end, last.instrument) == (change.part, change.begin, change.instrument):
            found[-1] = replace(last, end=change.end)
        else:
            found.append(change)
    return tuple(found)


def _report_unknown(marking: PlannedMarking, part: Part, instrument: Instrument, bag: Diagnostics) -> None:
    known = ", ".join(f"`{other.key}`" for other in part.doublings)
    bag.error(
        "I106", marking.span, f"`{part.name}` does not take up a `{instrument.key}`",
        f"it takes up {known}" if known else f"it plays the {part.instrument.key} only",
        f"in the forces write `{part.name} = {part.instrument.key}, doubling {instrument.key}`",
    )


def _report_held(
    marking: PlannedMarking, part: Part, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Nobody changes the instrument within a note."""
    for staff in part.instrument.staves:
        for event in staves.in_order(part.name, staff):
            if any(event.onset < moment < event.end for moment in (begin, end)):
                bag.warning(
                    "I109", event.line, f"`{part.name}` changes the instrument within a note", "it is held on",
                    "let the note end before the change; players need some seconds for it too",
                    ((marking.span, "the change"),),
                )  # fmt: skip
