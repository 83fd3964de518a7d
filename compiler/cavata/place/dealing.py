"""Who plays what: a value on several parts, chords dealt out, unpitched parts, two staves.

In: a laid line and the parts. Out: for each part and staff the events it gets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import PEDAL, Instrument
from cavata.music.event import UNMARKED, Event, Head, Marks, Motif, Origin, Rhythm, Texture
from cavata.music.pitch import MIDDLE_C, MIDDLE_LINE
from cavata.names.program import PartStaff
from cavata.names.taken_over import silenced
from cavata.place.lines import Laid, LaidLine
from cavata.place.voices import shared_out
from cavata.record import record, replace
from cavata.score.score import Part, ScoreEvent, ossia_of
from cavata.text import so_many
from cavata.transforms.pitches import without_symbol

_MIDDLE = MIDDLE_C.midi


@record
class Dealt:
    """An event for one staff of one part, its onset from the movement's beginning."""

    part: str
    staff: str
    onset: Fraction
    event: Event
    laid: Laid
    voice: int
    """1 for the lower of two lines on one staff."""
    of_two_parts: bool = False
    """It is of the second of two parts whose lines a version gives to this staff."""


def deal(line: LaidLine, section_onset: Fraction, parts: dict[str, Part], bag: Diagnostics) -> Iterator[Dealt]:
    """Every event of a line for every part that plays it; what does not fit is reported."""
    for laid in (replace(item, onset=section_onset + item.onset) for item in line.items):
        targets = line.line.parts
        value = laid.value
        if isinstance(value, Texture):
            if len(targets) == 1 and len(value.lines) != 1 and (shares := _on_staves(targets[0], value, parts)):
                for target, voice, motif in shares:
                    yield from _on_one(target, motif, laid, parts, bag, voice)
                continue
            if len(value.lines) != len(targets):
                bag.error(
                    "P104", laid.item.span,
                    f"a texture of {len(value.lines)} lines for {so_many(len(targets), 'part')}",
                    label="one line for each part", cure="name as many parts as it has lines",
                )
                continue
            for target, motif in zip(targets, value.lines, strict=True):
                yield from _on_one(target, motif, laid, parts, bag)
        elif isinstance(value, Rhythm) or len(targets) == 1:
            for target in targets:
                yield from _on_one(target, value, laid, parts, bag)
        else:
            yield from _on_several(targets, value, laid, parts, bag)


def on_ossia(dealt: Iterable[Dealt], line: LaidLine) -> Iterator[Dealt]:
    """What is dealt of a line: that of an ossia goes on the small staves above, if those below are not tacet."""
    if not line.line.ossia:
        return iter(dealt)
    heard = (each for each in dealt if not silenced(each.part, each.staff, line.line.tacet))
    return (replace(each, staff=ossia_of(each.staff)) for each in heard)


def report_no_staff(line: LaidLine, parts: dict[str, Part], bag: Diagnostics) -> bool:
    """Whether an ossia stands over the one staff of each of its parts; one that does not say which is reported."""
    for target in line.line.parts if line.line.ossia else ():
        staves = parts[target.part].instrument.staves
        if not target.staff and len(staves) > 1:
            bag.error(
                "P891", target.span, "an ossia stands over one staff", label=f"`{target.part}` has several",
                cure=f"name the staff, as `{target.part}.{staves[0]} ... ossia:`",
            )
            return True
    return False


def _on_staves(target: PartStaff, texture: Texture, parts: dict[str, Part]) -> tuple[tuple[PartStaff, int, Motif], ...]:
    """The lines of a texture on the staves of one part, two on each at most; nothing if they do not fit.

    Three lines for an organ are a trio: a line for either hand, and one for the feet.
    """
    instrument = parts[target.part].instrument
    with_feet = instrument.third == PEDAL and len(texture.lines) == len(instrument.staves)
    staves = (target.staff,) if target.staff else instrument.staves if with_feet else instrument.hands
    return tuple(
        (PartStaff(target.part, staff, target.span), voice, line)
        for staff, voice, line in shared_out(texture.lines, staves, not instrument.unpitched)
    )


def _dealt_otherwise(notes: int, parts: int) -> str:
    """The cure for a chord that has more notes than parts, or fewer."""
    if notes < parts:
        more = "a note more" if parts == notes + 1 else f"{parts - notes} notes more"
        return f"name {so_many(notes, 'part')}, or give the chord {more}"
    chosen = " ".join(str(1 + round(n * (notes - 1) / max(parts - 1, 1))) for n in range(parts))
    return f"name {notes} parts, or take fewer notes before the chord is made, as `-> notes {chosen} -> as chord`"


def _on_several(
    targets: tuple[PartStaff, ...], motif: Motif, laid: Laid, parts: dict[str, Part], bag: Diagnostics
) -> Iterator[Dealt]:
    """A single line is played by all; a chord is dealt by height, its highest note to the first part."""
    for event in motif.events:
        if event.is_chord and len(event.heads) != len(targets):
            bag.error(
                "P103", laid.item.span, f"a chord of {len(event.heads)} notes for {so_many(len(targets), 'part')}",
                label="one note for each part", cure=_dealt_otherwise(len(event.heads), len(targets)),
            )
            return
    for number, target in enumerate(targets):
        events = tuple(
            event.with_heads((event.heads[-1 - number],)) if event.is_chord else event for event in motif.events
        )
        if number:  # a chord symbol stands over the first part only
            events = tuple(map(without_symbol, events))
        yield from _on_one(target, Motif(events), laid, parts, bag)


def _on_one(
    target: PartStaff, value: Motif | Rhythm, laid: Laid, parts: dict[str, Part], bag: Diagnostics, voice: int = 0
) -> Iterator[Dealt]:
    instrument = parts[target.part].instrument
    if isinstance(value, Rhythm):
        if not instrument.unpitched:
            bag.error(
                "P105", laid.item.span, f"a rhythm has no pitch, and `{target.part}` needs one",
                cure="give the rhythm to a motif with `in`",
            )
            return
        value = _beaten(value, laid)
    elif instrument.unpitched:
        value = Motif(tuple(_unpitched(event) for event in value.events))
    staff = target.staff or _staff(value, instrument.hands)
    onset = laid.onset
    staves = () if target.staff else instrument.hands
    shared = [_lower(event, staff, staves, instrument) for event in value.events]
    whole = _whole_hairpins(shared, value.events)
    of_two, voice = target.voice > 0, max(voice, target.voice)
    for place, event in enumerate(value.events):
        if event.heads and not staves:
            yield Dealt(target.part, staff, onset, event, laid, voice, of_two)
        elif event.heads:
            for side, share in _hands(event, staff, staves, shared[place], place in whole):
                yield Dealt(target.part, side, onset, share, laid, voice, of_two)
        onset += event.duration


def _beaten(rhythm: Rhythm, laid: Laid) -> Motif:
    given = (Origin(None, laid.item.span),)
    return Motif(
        tuple(Event(b.duration, () if b.is_rest else (Head(MIDDLE_LINE, b.origins or given),)) for b in rhythm.beats)
    )


def _unpitched(event: Event) -> Event:
    """The event on the percussion line; it keeps every letter."""
    if not event.heads:
        return event
    return event.with_heads((Head(MIDDLE_LINE, tuple(o for h in event.heads for o in h.origins)),))


def _staff(motif: Motif, staves: tuple[str, ...]) -> str:
    """Where a line goes that names no staff: the upper one if most of it lies above middle C."""
    if len(staves) == 1:
        return staves[0]
    keys = [head.pitch.midi for event in motif.events for head in event.heads]
    return staves[0] if 2 * sum(key >= _MIDDLE for key in keys) >= len(keys) else staves[1]


def _lower(event: Event, staff: str, staves: tuple[str, ...], instrument: Instrument) -> int:
    """How many of its lower notes go to the left hand, of a chord that one hand cannot take; 0 for any other."""
    if len(staves) < 2 or not event.is_chord:
        return 0
    from cavata.instruments.hands import lower_hand  # few pieces have such chords

    return lower_hand(instrument, tuple(head.pitch for head in event.heads), staff != staves[0])


def _whole_hairpins(shared: Sequence[int], events: tuple[Event, ...]) -> frozenset[int]:
    """Where the hairpins begin and end that both hands can have, since they play together at either end."""
    found: set[int] = set()
    begun: int | None = None
    for place, event in enumerate(events):
        if event.marks.hairpin_ends and begun is not None:
            if shared[begun] and shared[place]:
                found |= {begun, place}
            begun = None
        if event.marks.hairpin:
            begun = place
    return frozenset(found)


def _hands(event: Event, staff: str, staves: tuple[str, ...], lower: int, swells: bool) -> Iterator[tuple[str, Event]]:
    """A chord that one hand cannot take is shared between the staves; `swells`: so are its hairpins."""
    if not lower:
        yield staff, event
        return
    low, high = event.heads[:lower], event.heads[lower:]
    if staff == staves[0]:
        yield staff, event.with_heads(high)
        yield staves[1], Event(event.duration, low, _for_both(event.marks, swells))
    else:
        yield staff, without_symbol(event.with_heads(low))
        symbol = Marks(symbol=event.marks.symbol)
        yield staves[0], Event(event.duration, high, _for_both(event.marks, swells).joined(symbol))


def _for_both(marks: Marks, swells: bool) -> Marks:
    """What both hands do, and not only the one that has the marks: how loud and short they play, tremolo, a fermata.

    A hairpin that only one of them could end, and the dynamics at it, stay in one hand.
    """
    if not marks:
        return UNMARKED
    shared = Marks(
        articulations=marks.articulations, ornaments=marks.ornaments, held=marks.held, attack=marks.attack
    )  # fmt: skip
    if swells:
        goal = marks.goal if marks.dies_away else ""
        ends = marks.hairpin_ends
        return replace(shared, dynamic=marks.dynamic, hairpin=marks.hairpin, hairpin_ends=ends, goal=goal)
    return shared if marks.hairpin or marks.hairpin_ends else replace(shared, dynamic=marks.dynamic)


def score_event(dealt: Dealt) -> ScoreEvent:
    """The event in the movement."""
    laid = dealt.laid
    turn = laid.onset
    if laid.item.repeat is not None and laid.turn:
        turn += (dealt.onset - laid.onset) // laid.turn * laid.turn
    return ScoreEvent(dealt.onset, dealt.event, laid.item.span, dealt.voice, turn=turn)
