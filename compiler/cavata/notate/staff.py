"""One staff written out: its voices' bars spelled, then accidentals, clefs, ties, marks and letters.

In: a staff of the score, how its instrument reads, the movement's spans. Out: a `WrittenStaff` with one
bar for each span. Every leaf of a note points to its event; a chain of ties sums to its exact duration.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import islice
from math import gcd

from cavata.instruments.instrument import Instrument
from cavata.music.event import UNMARKED, Marks
from cavata.music.origin import Origin
from cavata.music.pitch import Pitch
from cavata.notate.accidentals import BarMemory
from cavata.notate.bar_spelling import Slot, Spelling, spell_bar
from cavata.notate.clefs import Stretch, clefs_for
from cavata.notate.letters import letters
from cavata.notate.marks import OpenSlur, first_marks, last_marks
from cavata.notate.timeline import WrittenSpan
from cavata.notate.transposition import MIDDLE_LINE, Reading
from cavata.notate.voice import BarPieces, Ticks, bar_pieces
from cavata.notate.written import Accidental, Item, Leaf, Tuplet, WrittenBar, WrittenHead, WrittenStaff
from cavata.place.score import ScoreEvent, Staff

WHOLE_BAR_REST: tuple[Item, ...] = (Leaf(Fraction(1), 0, whole_bar=True),)


@dataclass(frozen=True, slots=True)
class WrittenEvent:
    """An event as its player reads it."""

    event: ScoreEvent
    pitches: tuple[Pitch, ...]
    """Lowest first."""
    origins: tuple[tuple[Origin, ...], ...]
    """For each pitch."""
    marks: Marks
    letters: str


@dataclass(frozen=True, slots=True)
class VoiceBar:
    """One spelled bar of one voice."""

    pieces: BarPieces
    spelling: Spelling

    def strikes(self, slot: Slot) -> bool:
        """Whether the slot begins an event, and does not go on from a tie."""
        return slot.first and not (self.pieces.tied_in and slot.piece == self.first_sound)

    def releases(self, slot: Slot) -> bool:
        """Whether the event ends with the slot."""
        return slot.last and not (self.pieces.tied_out and slot.piece == self.last_sound)

    @property
    def first_sound(self) -> int:
        """The number of the first piece that sounds."""
        return 0 if self.pieces.events[0] >= 0 else 1

    @property
    def last_sound(self) -> int:
        """The number of the last piece that sounds."""
        last = len(self.pieces.events) - 1
        return last if self.pieces.events[last] >= 0 else last - 1


@dataclass(frozen=True, slots=True)
class StaffPlan:
    """What writing a staff needs besides its notes."""

    instrument: Instrument
    clefs: tuple[str, ...]
    """Those it may use, the usual first."""
    spans: tuple[WrittenSpan, ...]
    readings: tuple[Reading, ...]
    """For each span."""
    signatures: tuple[int | None, ...]
    """For each span the signature printed before it, None where it does not change."""
    time: Ticks


def write_staff(staff: Staff, plan: StaffPlan) -> WrittenStaff:
    """Write a staff out."""
    voices = staff.voices or ((),)
    bars = [_voice_bars(voice, plan) for voice in voices]
    events = [_written_events(voice, voice_bars, plan) for voice, voice_bars in zip(voices, bars, strict=True)]
    clef, changes = _clefs(bars, events, plan)
    writer = _Writer(events, changes, plan)
    written = []
    for number in range(len(plan.spans)):
        row = [voice_bars[number] for voice_bars in bars]
        written.append(WrittenBar(writer.bar(number, row), plan.signatures[number]))
    return WrittenStaff(clef, tuple(written))


def _voice_bars(voice: Sequence[ScoreEvent], plan: StaffPlan) -> list[VoiceBar | None]:
    """The voice's bars; None for a silent one."""
    result: list[VoiceBar | None] = []
    for pieces, span in zip(bar_pieces(voice, plan.time), plan.spans, strict=True):
        if not pieces.events:
            result.append(None)
            continue
        whole = plan.time.whole
        shared = gcd(whole, *pieces.lengths)
        lengths = tuple([length // shared for length in pieces.lengths])
        pickup = span.bar.bar_in_section == 0
        result.append(VoiceBar(pieces, spell_bar(span.bar.meter, pickup, whole // shared, lengths)))
    return result


def _written_events(
    voice: Sequence[ScoreEvent], bars: Sequence[VoiceBar | None], plan: StaffPlan
) -> list[WrittenEvent | None]:
    """Each event as read in the key of the bar it begins in; None for one that is a rest."""
    result: list[WrittenEvent | None] = [None] * len(voice)
    slur = OpenSlur()
    for bar, reading in zip(bars, plan.readings, strict=True):
        for index in bar.pieces.events if bar else ():
            if index >= 0 and result[index] is None:
                marks = slur.settled(voice[index].event.marks)
                result[index] = _written_event(voice[index], reading, plan.instrument.unpitched, marks)
    return result


def _written_event(event: ScoreEvent, reading: Reading, unpitched: bool, marks: Marks) -> WrittenEvent:
    heads = event.event.heads
    if unpitched:
        origins = tuple(dict.fromkeys(origin for head in heads for origin in head.origins))
        return WrittenEvent(event, (MIDDLE_LINE,), (origins,), marks, letters(event.event))
    if len(heads) == 1:
        head = heads[0]
        return WrittenEvent(event, (reading.written(head.pitch),), (head.origins,), marks, letters(event.event))
    pairs = sorted(((reading.written(head.pitch), head.origins) for head in heads), key=lambda pair: pair[0].position)
    return WrittenEvent(
        event, tuple(pitch for pitch, _ in pairs), tuple(origins for _, origins in pairs), marks, letters(event.event)
    )


def _clefs(
    bars: Sequence[Sequence[VoiceBar | None]], events: Sequence[Sequence[WrittenEvent | None]], plan: StaffPlan
) -> tuple[str, dict[tuple[int, int, int], str]]:
    """The first clef, and each change by span, voice and event."""
    if plan.instrument.unpitched:
        return "percussion", {}
    places: list[tuple[int, int, int]] = []
    stretches: list[Stretch] = []
    if len(plan.clefs) > 1:
        for place, notes in _stretches(bars, events):
            places.append(place)
            stretches.append(Stretch(notes))
    chosen = clefs_for(stretches, plan.clefs)
    first = chosen[0] if chosen else plan.clefs[0]
    changes = {
        place: clef for place, clef, before in zip(places, chosen, (first, *chosen), strict=False) if clef != before
    }
    return first, changes


def _stretches(
    bars: Sequence[Sequence[VoiceBar | None]], events: Sequence[Sequence[WrittenEvent | None]]
) -> Iterator[tuple[tuple[int, int, int], tuple[tuple[int, int], ...]]]:
    """Stretches begin with a bar's first note or, in a staff of one voice, with any note after a rest."""
    place: tuple[int, int, int] | None = None
    notes: list[tuple[int, int]] = []
    for number in range(len(bars[0]) if bars else 0):
        begins = True
        for slot_onset, voice, index, new in _strikes([voice_bars[number] for voice_bars in bars]):
            del slot_onset
            if index < 0:
                begins = begins or len(bars) == 1
                continue
            if new and (begins or place is None):
                if place is not None:
                    yield place, tuple(notes)
                place, notes = (number, voice, index), []
            begins = False
            written = events[voice][index]
            if new and written is not None:
                notes.append((written.pitches[0].position, written.pitches[-1].position))
    if place is not None:
        yield place, tuple(notes)


def _strikes(row: Sequence[VoiceBar | None]) -> list[tuple[Fraction, int, int, bool]]:
    """The first slot of every piece of a bar, in order of time: onset, voice, event, whether it is struck."""
    found = [
        (slot.onset, voice, bar.pieces.events[slot.piece], bar.strikes(slot))
        for voice, bar in enumerate(row) if bar for slot in bar.spelling.slots if slot.first
    ]  # fmt: skip
    return sorted(found) if len(row) > 1 else found


class _Writer:
    """Writes one bar after another, with the accidentals in force."""

    def __init__(
        self,
        events: Sequence[Sequence[WrittenEvent | None]],
        changes: dict[tuple[int, int, int], str],
        plan: StaffPlan,
    ) -> None:
        self._events = events
        self._changes = changes
        self._plan = plan
        self._memory = BarMemory()

    def bar(self, number: int, row: Sequence[VoiceBar | None]) -> tuple[tuple[Item, ...], ...]:
        span = self._plan.spans[number]
        self._memory.begin_bar(self._plan.signatures[number], span.bar.meter is None, span.continues)
        if not any(row):
            return (WHOLE_BAR_REST, *((),) * (len(row) - 1))
        signs = self._accidentals(row)
        return tuple(self._voice(number, voice, bar, signs) if bar else () for voice, bar in enumerate(row))

    def _accidentals(self, row: Sequence[VoiceBar | None]) -> dict[tuple[int, int], tuple[Accidental, ...]]:
        """The accidentals of every struck event, by voice and event."""
        if self._plan.instrument.unpitched:
            return {}
        signs: dict[tuple[int, int], tuple[Accidental, ...]] = {}
        together: list[tuple[int, int]] = []
        moment = Fraction(-1)
        for onset, voice, index, struck in _strikes(row):
            written = self._events[voice][index] if index >= 0 else None
            if written is None:
                continue
            if not struck:
                self._memory.tied(written.pitches)
            elif len(row) == 1:
                signs[voice, index] = self._memory.heads(written.pitches)
            else:
                if onset != moment:
                    self._sign_together(together, signs)
                    together, moment = [], onset
                together.append((voice, index))
        self._sign_together(together, signs)
        return signs

    def _sign_together(
        self, together: Sequence[tuple[int, int]], signs: dict[tuple[int, int], tuple[Accidental, ...]]
    ) -> None:
        """Sign the events that several voices strike at one moment, as one chord."""
        chords = [self._pitches(voice, index) for voice, index in together]
        shown = iter(self._memory.heads(tuple(pitch for chord in chords for pitch in chord)) if chords else ())
        for place, chord in zip(together, chords, strict=True):
            signs[place] = tuple(islice(shown, len(chord)))

    def _pitches(self, voice: int, index: int) -> tuple[Pitch, ...]:
        written = self._events[voice][index]
        return written.pitches if written else ()

    def _voice(
        self, number: int, voice: int, bar: VoiceBar, signs: dict[tuple[int, int], tuple[Accidental, ...]]
    ) -> tuple[Item, ...]:
        leaves: list[Item] = []
        for slot in bar.spelling.slots:
            index = bar.pieces.events[slot.piece]
            written = self._events[voice][index] if index >= 0 else None
            if written is None:
                leaves.append(_rest(slot.base, slot.dots))
                continue
            struck, released = bar.strikes(slot), bar.releases(slot)
            accidentals = signs.get((voice, index)) if struck else None
            clef = self._changes.get((number, voice, index), "") if struck and self._changes else ""
            leaves.append(_note(slot, written, struck, released, accidentals, clef))
        return _folded(leaves, bar.spelling)


@lru_cache(maxsize=256)
def _rest(base: Fraction, dots: int) -> Leaf:
    return Leaf(base, dots)


def _note(
    slot: Slot, written: WrittenEvent, struck: bool, released: bool,
    accidentals: tuple[Accidental, ...] | None, clef: str,
) -> Leaf:  # fmt: skip
    pitches = written.pitches
    signs = accidentals or (Accidental.NONE,) * len(pitches)
    if len(pitches) == 1:
        heads: tuple[WrittenHead, ...] = (
            WrittenHead(pitches[0], written.origins[0], signs[0], not released, not struck),
        )  # fmt: skip
    else:
        heads = tuple(
            WrittenHead(pitch, origins, sign, not released, not struck)
            for pitch, origins, sign in zip(pitches, written.origins, signs, strict=True)
        )
    marks = written.marks
    if marks is not UNMARKED and not (struck and released):
        marks = first_marks(marks) if struck else last_marks(marks) if released else UNMARKED
    return Leaf(
        slot.base, slot.dots, heads, marks, slot.beams, written.letters if struck else "", clef, False, written.event
    )


def _folded(leaves: Sequence[Item], spelling: Spelling) -> tuple[Item, ...]:
    """The leaves with tuplets made of those that stand under a bracket."""
    if not spelling.folds:
        return tuple(leaves)
    items: list[Item] = []
    place = 0
    for fold in spelling.folds:
        items.extend(leaves[place : fold.first])
        items.append(Tuplet(fold.actual, fold.normal, fold.unit, tuple(leaves[fold.first : fold.last + 1])))
        place = fold.last + 1
    items.extend(leaves[place:])
    return tuple(items)
