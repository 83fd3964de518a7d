"""A voice as its player reads it: every bar spelled, every event at its written pitch.

In: a voice of the score and how its staff is read. Out: bars whose slots point to pieces, and the events the
pieces stand for, with what is printed at them. Accidentals, clefs and leaves come later.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import gcd

from cavata.instruments.instrument import Instrument
from cavata.instruments.strings import fingering_shifts, string_named
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import (
    ACCIDENTAL_NAMES,
    Event,
    Letter,
    Marks,
    Origin,
    Ornament,
    auxiliaries,
    signature_alteration,
)
from cavata.music.pitch import MIDDLE_LINE, Interval, Pitch
from cavata.notate.bar_spelling import LeafSlot, Spelling, spell_bar
from cavata.notate.frames import WrittenSpan
from cavata.notate.transposition import PitchWriting
from cavata.notate.voice import BarPieces, OpenLines, Ticks, bar_pieces
from cavata.notate.written import WrittenHead
from cavata.score.score import ScoreEvent

# ----------------------------------------------------------------
# The letters under a note: which letters of which names it stands for.
#
# In: an event. Out: the text, low to high, as `F` or `F A`; empty where no name gave the note.


def letters(event: Event) -> str:
    """The letters of every head, lowest first; a letter that a head has twice, or several heads have, stands once."""
    heads = event.heads
    if len(heads) == 1 and len(heads[0].origins) == 1:
        letter = heads[0].origins[0].letter
        return letter.text if letter else ""
    found: dict[Letter, None] = {}
    for head in heads:
        texts = {letter.text for letter in found if letter in head.letters}
        for letter in head.letters:
            if letter.text not in texts:
                texts.add(letter.text)
                found.setdefault(letter)
    return " ".join(letter.text for letter in found)


# ----------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class StaffPlan:
    """What writing a staff needs besides its notes."""

    instrument: Instrument
    clefs: tuple[str, ...]
    """Those it may use, the usual first."""
    spans: tuple[WrittenSpan, ...]
    readings: tuple[PitchWriting, ...]
    """For each span."""
    signatures: tuple[int | None, ...]
    """For each span the signature printed before it, None where it does not change."""
    time: Ticks
    lines: int = 1
    """Of an unpitched staff: with several, each note stands on the line of its instrument."""
    shared: bool = False
    """Several players read it."""
    colors: Mapping[str, str] = field(default_factory=dict)
    """For each name its color; none where colors are not shown."""
    span_clefs: tuple[tuple[str, ...], ...] = ()
    """For each span the clefs of the instrument in hand there; empty where it is the same throughout."""
    rolled_across: frozenset[Fraction] = frozenset()
    """Where both staves of the player have a rolled chord, so that the sign stands before a single note too."""

    @property
    def one_line(self) -> bool:
        """Whether every note stands on the only line."""
        return self.instrument.unpitched and self.lines == 1

    def color(self, origins: Sequence[Origin]) -> str:
        """The color of a head: that of the first name it came from; empty where none gave it."""
        return next((self.colors.get(o.letter.name, "") for o in origins if o.letter), "") if self.colors else ""


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
    graces: tuple[tuple[WrittenHead, ...], ...] = ()
    """Without accidentals yet."""
    sounds: tuple[Pitch, ...] = ()
    """In scordatura and of harmonics for each written pitch the one that sounds."""
    diamonds: tuple[bool, ...] = ()
    """Of a harmonic for each written pitch whether it is touched only."""
    hairpin_alone: bool = False
    """A hairpin begins and ends on it."""

    @property
    def sounding(self) -> tuple[Pitch, ...]:
        """For each written pitch the one that sounds; both rise alike but in scordatura."""
        if self.sounds:
            return self.sounds
        heads = sorted(self.event.event.heads, key=lambda head: head.pitch.position)
        return tuple(head.pitch for head in heads)


@dataclass(frozen=True, slots=True)
class SpelledBar:
    """One spelled bar of one voice."""

    pieces: BarPieces
    spelling: Spelling

    def strikes(self, slot: LeafSlot) -> bool:
        """Whether the slot begins an event, and does not go on from a tie."""
        return slot.first and not (self.pieces.tied_in and slot.piece == self.first_sound)

    def releases(self, slot: LeafSlot) -> bool:
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


def spelled_bars(voice: Sequence[ScoreEvent], plan: StaffPlan) -> list[SpelledBar | None]:
    """The voice's bars; None for a silent one."""
    result: list[SpelledBar | None] = []
    for pieces, span in zip(bar_pieces(voice, plan.time), plan.spans, strict=True):
        if not pieces.events:
            result.append(None)
            continue
        whole = plan.time.whole
        shared = gcd(whole, *pieces.lengths)
        lengths = tuple([length // shared for length in pieces.lengths])
        pickup = span.bar.leads_on
        result.append(SpelledBar(pieces, spell_bar(span.bar.meter, pickup, whole // shared, lengths)))
    return result


def written_events(
    voice: Sequence[ScoreEvent], bars: Sequence[SpelledBar | None], plan: StaffPlan
) -> list[WrittenEvent | None]:
    """Each event as read in the key of the bar it begins in; None for one that is a rest."""
    result: list[WrittenEvent | None] = [None] * len(voice)
    lines = OpenLines()
    for bar, reading in zip(bars, plan.readings, strict=True):
        for index in bar.pieces.events if bar else ():
            if index >= 0 and result[index] is None:
                marks = lines.settled(voice[index].event.marks)
                written = _written_event(voice[index], reading, plan.one_line, marks)
                if lines.hairpin_alone:
                    written = replace(written, hairpin_alone=True)
                across = voice[index].onset in plan.rolled_across
                result[index] = ornamented(written, reading, plan.one_line, across) if marks else written
    return result


def _written_event(event: ScoreEvent, reading: PitchWriting, unpitched: bool, marks: Marks) -> WrittenEvent:
    heads = event.event.heads
    if unpitched:
        origins = tuple(dict.fromkeys(origin for head in heads for origin in head.origins))
        return WrittenEvent(event, (MIDDLE_LINE,), (origins,), marks, letters(event.event))
    if len(heads) == 1:
        head = heads[0]
        said = event.event.marks.string if reading.tuning else ""
        on = string_named(reading.tuning, said, head.pitch) if reading.tuning and said else None
        return WrittenEvent(event, reading.chord((head.pitch,), on), (head.origins,), marks, letters(event.event))
    read = reading.chord(tuple(head.pitch for head in heads))
    found = sorted(zip(read, heads, strict=True), key=lambda pair: pair[0].position)
    sounds = tuple(head.pitch for _, head in found) if reading.tuning else ()
    return WrittenEvent(
        event, tuple(pitch for pitch, _ in found), tuple(head.origins for _, head in found), marks,
        letters(event.event), sounds=sounds,
    )  # fmt: skip


def ornamented(written: WrittenEvent, reading: PitchWriting, unpitched: bool, across: bool = False) -> WrittenEvent:
    """The event with its chord symbol and grace notes as read.

    `across`: it is rolled together with the other hand.
    """
    marks = written.marks
    if marks.symbol is not None:
        marks = replace(marks, symbol=_read_symbol(marks.symbol, reading))
        written = replace(written, marks=marks)
    if not across and len(written.pitches) == 1 and any(ornament.kind == "rolled" for ornament in marks.ornaments):
        # The sign stands before chords; a single note, as a chord's share of one part, has nothing to roll.
        marks = replace(marks, ornaments=tuple(o for o in marks.ornaments if o.kind != "rolled"))
        written = replace(written, marks=marks)
    if not marks.graces:
        return written
    graces = tuple(
        tuple(
            WrittenHead(MIDDLE_LINE if unpitched else pitch, h.origins)
            for pitch, h in zip(reading.chord(tuple(h.pitch for h in grace)), grace, strict=True)
        )
        for grace in marks.graces
    )
    return replace(written, graces=graces, marks=marks)


def with_signs(
    written: WrittenEvent, reading: PitchWriting, fifths: int, in_force: Callable[[int], int | None]
) -> WrittenEvent:
    """The event whose ornaments say the accidentals of the notes they are played with, where a reader would take
    others: those of the signature, or of an accidental before in the bar. `fifths` is the signature of what sounds;
    `in_force` gives the alteration that holds at a place of the staff, None where several do. Source: common practice.
    """
    pitch = written.event.event.heads[-1].pitch
    shift = fingering_shifts(reading.tuning, (pitch,))[0] if reading.tuning else Interval(0, 0)

    def sign(played: Pitch | None, steps: int) -> str:
        if played is None:
            return ""
        place = reading.written(pitch.exactly(shift)).position + steps
        alter = reading.written(played.exactly(shift)).midi - Pitch(place, 0).midi
        taken = {signature_alteration(reading.signature, place % 7), in_force(place)}
        return "" if taken == {alter} else ACCIDENTAL_NAMES.get(alter, "")

    def signed(ornament: Ornament) -> Ornament:
        above, below = auxiliaries(pitch, ornament, fifths)
        steps = 1 if ornament.to is None else ornament.to.steps
        return replace(ornament, sign=sign(above, steps), sign_below=sign(below, -1))

    return replace(written, marks=replace(written.marks, ornaments=tuple(map(signed, written.marks.ornaments))))


def _read_symbol(symbol: ChordSymbol, reading: PitchWriting) -> ChordSymbol:
    """The chord symbol as the player reads it, transposed as the notes are."""
    return symbol.renamed(lambda name: reading.written(Pitch.of(name, 4)).pitch_class)


def strikes(row: Sequence[SpelledBar | None]) -> list[tuple[Fraction, int, int, bool]]:
    """The first slot of every piece of a bar, in order of time: onset, voice, event, whether it is struck."""
    found = [
        (slot.onset, voice, bar.pieces.events[slot.piece], bar.strikes(slot))
        for voice, bar in enumerate(row) if bar for slot in bar.spelling.slots if slot.first
    ]  # fmt: skip
    return sorted(found) if len(row) > 1 else found
