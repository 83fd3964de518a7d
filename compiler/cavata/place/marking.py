"""Markings over bars: whatever sounds there is dressed, part by part, or played on another instrument.

Holds after: who takes up an instrument has it according to the forces, and holds one at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import PlannedMarking
from cavata.instruments.instrument import Instrument
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import NOTHING, Event, Marks, Motif
from cavata.music.said import dressed_at, line_dressed_at
from cavata.names.program import PartStaff
from cavata.place.bars import Ruler
from cavata.place.staves import StaffBuilder
from cavata.place.swells import SwellKey, clear_hairpins, covering, led_by, swell_together
from cavata.place.through import Lines, go_through, lines_in
from cavata.record import replace
from cavata.score.score import InstrumentChange, Part
from cavata.text import backticked
from cavata.transforms.dress import TAKING_UP, Markings, no_note_for, symbols_in

# ------------------------------------------------------------------ another instrument for some bars


def take_up(
    marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Note that the parts of a marking play on another instrument from one moment to another."""
    (meant,) = marking.step.arguments
    assert isinstance(meant, Instrument)
    for target in marking.parts:
        part = staves.parts[target.part]
        # The forces say by which of its names it is called.
        instrument = next((other for other in part.doublings if other.key == meant.key), None)
        if instrument is None:
            _report_unknown(marking, part, meant, bag)
            continue
        others = [change for change in staves.changes if change.part == part.name]
        twice = next((other for other in others if other.begin < end and begin < other.end), None)
        if twice is not None:
            bag.error(
                "I108", marking.span, f"`{part.name}` plays two instruments in the same bars",
                cure="let one of them end before the other begins",
                also=((twice.span, f"here it is {twice.instrument.key}"),),
            )  # fmt: skip
            continue
        _report_held(marking, part, begin, end, staves, bag)
        staves.changes.append(InstrumentChange(part.name, begin, end, instrument, marking.span))


def joined_changes(changes: Iterable[InstrumentChange]) -> tuple[InstrumentChange, ...]:
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
    known = backticked(other.key for other in part.doublings)
    cure = f"in the forces write `{part.name} = {part.instrument.key}, doubling {instrument.key}`"
    if not part.instrument.may_go_with(instrument):
        cure = "its music has another kind of staff: give it a part of its own"
    bag.error(
        "I106", marking.span, f"`{part.name}` does not take up a `{instrument.key}`",
        label=f"it takes up {known}" if known else f"it plays the {part.instrument.key} only",
        cure=cure,
    )


def _report_held(
    marking: PlannedMarking, part: Part, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Nobody changes the instrument within a note."""
    for staff in part.instrument.staves:
        for event in staves.in_order(part.name, staff):
            if any(event.onset < moment < event.end for moment in (begin, end)):
                bag.warning(
                    "I109", event.line, f"`{part.name}` changes the instrument within a note", label="it is held on",
                    cure="let the note end before the change; players need some seconds for it too",
                    also=((marking.span, "the change"),),
                )  # fmt: skip


# ------------------------------------------------------------------ dress


HAIRPINS = ("crescendo", "diminuendo")
SYMBOLS = "symbols"


def mark_over(
    marking: PlannedMarking, ruler: Ruler, section_onset: Fraction, bars: int, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Dress what sounds in the bars from first to last; a note held into them is divided for a dynamic."""
    try:
        within = ruler.from_to(marking.first, marking.last, bars, "mark the motif itself")
    except Refusal as refusal:
        bag.refused(marking.span, refusal)
        return
    begin, end = (section_onset + place for place in within)
    last, meter = section_onset + ruler.onset(marking.last), ruler.meter(marking.last)
    beat = Fraction(1, meter.denominator) if meter is not None else Fraction(0)
    if marking.step.transform.word == TAKING_UP:
        take_up(marking, begin, end, staves, bag)
        return
    if marking.step.transform.word == SYMBOLS:
        _print_symbols(marking, begin, end, staves, bag)
        return
    if marking.step.transform.family == "pitch":
        if not _moved(marking, begin, end, staves, bag) and not bag.has_errors:
            _report_silence(marking, bag)
        return
    heard = False
    _divide(marking, begin, staves)
    hands = tuple(_other_hands(marking, begin, end, staves))
    if marking.step.transform.word in HAIRPINS:
        if _is_one_swell(marking, (begin, last, end), beat, hands, staves):
            _lead(marking, hands, (begin, end), staves)
            return
        _divide_last(marking, (begin, last, end), beat, staves)
    for target in marking.parts:
        for staff in _staves(target, marking, begin, end, staves):
            for indices in staves.between(target.part, staff, begin, end):
                heard = True
                line = Motif(tuple(staves.events[(target.part, staff)][i].event for i in indices))
                try:
                    dressed = marking.step.transform.apply(line, *marking.step.arguments)
                except Refusal as refusal:
                    bag.refused(marking.span, refusal.told(f"`{target.part}`", marking.step.transform.word))
                    return
                assert isinstance(dressed, Motif)
                dressed = line_dressed_at(line, _without_turns(line, dressed), marking.step.span)
                for index, event in zip(indices, dressed.events, strict=True):
                    staves.replace(target.part, staff, index, event)
    _lead(marking, hands, (begin, end), staves)
    if not heard and not bag.has_errors:
        _report_silence(marking, bag)


def _report_silence(marking: PlannedMarking, bag: Diagnostics) -> None:
    bag.warning(
        "P119", marking.span, "nothing sounds in these bars", label="no note to mark", cure="look at the bar numbers"
    )


def _moved(
    marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> bool:
    """Take what begins in the bars through a transform of pitch; whether there is anything. Drums stay as they are."""
    lines: Lines = []
    heard = False
    for target in marking.parts:
        for staff in _named(target, staves):
            found = lines_in(staves, target.part, staff, lambda event: begin <= event.onset < end)
            heard = heard or bool(found)
            lines += [] if staves.parts[target.part].instrument.unpitched else found
    go_through(marking.step, lines, staves, bag, harmony_stays=True)
    return heard


def _print_symbols(
    marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder, bag: Diagnostics
) -> None:
    """Chord symbols over the bars, on the first staff with a note there; a held one is divided."""
    (chords,) = marking.step.arguments
    assert isinstance(chords, Motif)
    try:
        symbols = symbols_in(chords)
    except Refusal as refusal:
        bag.refused(marking.span, refusal)
        return
    for target in marking.parts:
        over = _staves(target, marking, begin, end, staves)
        try:
            for onset, symbol in symbols:
                if begin + onset < end:
                    _print_symbol(marking, target.part, over, begin + onset, symbol, staves)
        except Refusal as refusal:
            why = refusal.told(f"`{target.part}`", marking.step.transform.word)
            bag.error(why.code, marking.span, why.message, label=why.label, cure="let a note begin or be held there")
            return


def _print_symbol(
    marking: PlannedMarking, part: str, over: Sequence[str], moment: Fraction, symbol: ChordSymbol, staves: StaffBuilder
) -> None:
    for staff in over:
        staves.divide(part, staff, moment)
        for index, placed in enumerate(staves.in_order(part, staff)):
            if placed.onset == moment and placed.event.heads:
                marked = placed.event.marked(Marks(symbol=symbol))
                staves.replace(part, staff, index, *dressed_at((placed.event,), (marked,), marking.step.span))
                return
    raise no_note_for(symbol)


def _without_turns(before: Motif, line: Motif) -> Motif:
    """Within the bars of a row that says how loud they are, turns of an item no longer bring their own dynamic."""
    pairs = zip(before.events, line.events, strict=True)
    if all((old.marks.loud, old.marks.hairpin) == (new.marks.loud, new.marks.hairpin) for old, new in pairs):
        return line
    return Motif(tuple(map(_of_no_turn, line.events)))


def _of_no_turn(event: Event) -> Event:
    return replace(event, marks=replace(event.marks, again="")) if event.marks.again else event


_Bars = tuple[Fraction, Fraction, Fraction]
"""Where the first of some bars begins, where the last one does, and where that ends."""


_Hand = tuple[SwellKey, SwellKey]
"""A staff that has a hairpin on the page, and another one of its player."""


def _other_hands(
    marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder
) -> Iterator[_Hand]:
    """The staves that go with a hairpin which another one of their player has."""
    if marking.step.transform.word not in HAIRPINS or marking.step.arguments[0] is not None:
        return
    for target in marking.parts:
        leader, *others = _staves(target, marking, begin, end, staves) or ("",)
        if leader and not others and not target.staff:
            for staff in _sounding(target, begin, end, staves):
                if staff != leader:
                    yield (target.part, leader), (target.part, staff)


def _lead(
    marking: PlannedMarking, hands: Sequence[_Hand], bars: tuple[Fraction, Fraction], staves: StaffBuilder
) -> None:
    for leader, key in hands:
        led_by(leader, key, marking, bars, staves)
        _leave_turns((key,), bars, staves)


def _leave_turns(keys: Iterable[SwellKey], bars: tuple[Fraction, Fraction], staves: StaffBuilder) -> None:
    """Let turns of items no longer bring their own dynamic within the bars."""
    for key in keys:
        for index in (index for line in staves.between(*key, *bars) for index in line):
            staves.replace(*key, index, _of_no_turn(staves.events[key][index].event))


def _is_one_swell(
    marking: PlannedMarking, bars: _Bars, beat: Fraction, hands: Sequence[_Hand], staves: StaffBuilder
) -> bool:
    """Dress the lines of a hairpin together if they are several."""
    if marking.step.arguments[0] is not None:
        return False  # notes are named, and each line counts its own
    begin, _, end = bars
    keys = [(target.part, s) for target in marking.parts for s in _staves(target, marking, begin, end, staves)]
    lines = [(key, line) for key in keys for line in staves.between(*key, begin, end)]
    try:
        for key, line in lines:
            whole = Motif(tuple(staves.events[key][index].event for index in line))
            marking.step.transform.apply(whole, *marking.step.arguments)
    except Refusal:
        return False  # reported where it is applied
    clear_hairpins(marking, [*keys, *(key for _, key in hands)], begin, end, staves)
    if len(lines) < 2 or not swell_together(marking, keys, bars, beat, staves):
        return False
    _leave_turns(keys, (begin, end), staves)
    return True


def _named(target: PartStaff, staves: StaffBuilder) -> tuple[str, ...]:
    """The staff that is named, or all that the part has."""
    return (target.staff,) if target.staff else staves.parts[target.part].instrument.staves


def _divide(marking: PlannedMarking, begin: Fraction, staves: StaffBuilder) -> None:
    """Divide held notes where a dynamic or hairpin begins."""
    words = any(isinstance(a, Markings) and (a.dynamic or a.words) for a in marking.step.arguments)
    if words or marking.step.transform.word in HAIRPINS:
        for target in marking.parts:
            for staff in _named(target, staves):
                staves.divide(target.part, staff, begin)


def _divide_last(marking: PlannedMarking, bars: _Bars, beat: Fraction, staves: StaffBuilder) -> None:
    """Divide a held note where a hairpin ends: at its last bar or beat."""
    begin, last, end = bars
    for target in marking.parts:
        for staff in _named(target, staves):
            if marking.step.arguments[-1] == NOTHING:
                staves.divide(target.part, staff, end)
            else:
                if not staves.between(target.part, staff, last, end):
                    staves.divide(target.part, staff, last)
                if any(len(indices) == 1 for indices in staves.between(target.part, staff, begin, end)):
                    staves.divide(target.part, staff, end - beat)


def _staves(
    target: PartStaff, marking: PlannedMarking, begin: Fraction, end: Fraction, staves: StaffBuilder
) -> tuple[str, ...]:
    """The staves that are marked: a hairpin of a part with several stands once, on the first that sounds all along; if
    there is none, on each of them. Where its notes are named it counts them on the first that sounds.
    """
    if target.staff or marking.step.transform.word not in HAIRPINS:
        return _named(target, staves)
    sounding = _sounding(target, begin, end, staves)
    if marking.step.arguments[0] is not None or len(sounding) < 2:
        return sounding[:1]
    leader = covering(target.part, sounding, begin, end, staves)
    return (leader,) if leader else sounding


def _sounding(target: PartStaff, begin: Fraction, end: Fraction, staves: StaffBuilder) -> tuple[str, ...]:
    named = _named(target, staves)
    return tuple(staff for staff in named if any(staves.between(target.part, staff, begin, end)))
