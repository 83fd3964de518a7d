"""One staff written out: its voices' bars spelled, then accidentals, clefs, ties, marks and letters.

In: a staff of the score, how its instrument reads, the movement's spans. Out: a `WrittenStaff` with one
bar for each span. Every leaf of a note points to its event; a chain of ties sums to its exact duration. What both
hands of one player are told is told once, before either is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import islice

from cavata.instruments.instrument import PEDAL
from cavata.music.event import UNMARKED, first_marks, inner_marks, last_marks
from cavata.music.pitch import Pitch
from cavata.notate.accidentals import BarMemory
from cavata.notate.bar_spelling import Fold, LeafSlot, Spelling, spell_bar
from cavata.notate.clefs import clef_changes
from cavata.notate.spelled_voice import (
    SpelledBar,
    StaffPlan,
    WrittenEvent,
    spelled_bars,
    strikes,
    with_signs,
    written_events,
)
from cavata.notate.strings import touched
from cavata.notate.sung_text import with_sung_text
from cavata.notate.trills import with_trill_lines
from cavata.notate.voice import tremolo_strokes
from cavata.notate.written import (
    Accidental,
    Beam,
    Leaf,
    Tuplet,
    WrittenBar,
    WrittenHead,
    WrittenItem,
    WrittenStaff,
    timed_leaves,
)
from cavata.notate.written import leaves as leaves_of
from cavata.place.voices import said_once, unled
from cavata.record import replace
from cavata.score.score import Staff

_OUTER_VOICES = 2
"""Rests of voices between them would stand in the way of notes. Source: common practice."""
WHOLE_BAR_REST: tuple[WrittenItem, ...] = (Leaf(Fraction(1), 0, whole_bar=True),)


def told_once(staves: Sequence[Staff]) -> tuple[Staff, ...]:
    """The staves of one player; a lower one is without the dynamics, hairpins and words that one above it has at the
    same moment.

    They stand between the staves and are read for both. Source: common practice. In the score each hand keeps its own.
    What an organist's feet have is their own.
    """
    told: list[Staff] = []
    for staff in staves:
        staff = replace(staff, voices=tuple(map(unled, staff.voices)))
        for upper in told if staff.name != PEDAL else ():
            above = sorted(
                (event for voice in upper.voices for event in voice), key=lambda event: (event.onset, -event.voice)
            )
            if above:
                staff = replace(staff, voices=tuple(said_once(above, voice) for voice in staff.voices))
        told.append(staff)
    return tuple(told)


def write_staff(staff: Staff, plan: StaffPlan) -> WrittenStaff:
    """Write a staff out."""
    voices = staff.voices or ((),)
    bars = [spelled_bars(voice, plan) for voice in voices]
    events = [written_events(voice, voice_bars, plan) for voice, voice_bars in zip(voices, bars, strict=True)]
    if any(event.event.marks.harmonic for voice in voices for event in voice):
        events = [_fingered(voice, bars_of, plan) for voice, bars_of in zip(events, bars, strict=True)]
    clef, changes = clef_changes(bars, events, plan)
    writer = _Writer(events, changes, plan)
    written = []
    for number in range(len(plan.spans)):
        row = [voice_bars[number] for voice_bars in bars]
        items = writer.bar(number, row)
        written.append(WrittenBar(items, plan.signatures[number], _dynamics_above(items, plan)))
    done = WrittenStaff(clef, tuple(written))
    if any(ornament.kind == "trill" for voice in voices for e in voice for ornament in e.event.marks.ornaments):
        done = with_trill_lines(done)
    return with_sung_text(done) if any(e.event.marks.sung for voice in voices for e in voice) else done


def _fingered(
    events: Sequence[WrittenEvent | None], bars: Sequence[SpelledBar | None], plan: StaffPlan
) -> list[WrittenEvent | None]:
    """The events of a voice, harmonics as they are fingered in the key of the bar they begin in."""
    found = list(events)
    done: set[int] = set()
    for bar, reading in zip(bars, plan.readings, strict=True):
        for index in bar.pieces.events if bar else ():
            written = found[index] if index >= 0 and index not in done else None
            if written is not None:
                done.add(index)
                found[index] = touched(written, reading, plan.instrument)
    return found


def _dynamics_above(voices: Sequence[tuple[WrittenItem, ...]], plan: StaffPlan) -> bool:
    """Singers have their words under the staff; and two voices may say each for itself how loud they are, the upper one
    above, the lower one below. Source: common practice. On a staff that players share, whatever the upper one has is
    its own: what both have stands in the lower one.
    """
    if plan.instrument.family == "voice":
        return True
    loud = [any(leaf.marks.loud or leaf.marks.hairpin for leaf in leaves_of(voice)) for voice in voices if voice]
    return len(loud) > 1 and (loud[0] if plan.shared else all(loud))


class _Writer:
    """Writes one bar after another, with the accidentals in force."""

    def __init__(
        self,
        events: Sequence[Sequence[WrittenEvent | None]],
        changes: dict[tuple[int, int, int], str],
        plan: StaffPlan,
    ) -> None:
        self._events = [list(voice) for voice in events]
        self._changes = changes
        self._plan = plan
        self._memory = BarMemory()
        self._graces: dict[tuple[int, int], tuple[tuple[WrittenHead, ...], ...]] = {}

    def bar(self, number: int, row: Sequence[SpelledBar | None]) -> tuple[tuple[WrittenItem, ...], ...]:
        """The voices of a bar as they are written; a bar of rests where no voice has anything."""
        span = self._plan.spans[number]
        self._memory.begin_bar(self._plan.signatures[number], span.bar.meter is None, span.continues)
        if not any(row):
            return (self._silence(number), *((),) * (len(row) - 1))
        signs = self._accidentals(number, row)
        voices = tuple(self._voice(number, voice, bar, signs) if bar else () for voice, bar in enumerate(row))
        if len(voices) > _OUTER_VOICES:
            voices = tuple(_beside_wide_heads(voices))
        if any(voices[1:]) and any(leaf.marks.label for leaf in leaves_of(voices[0])):
            return (tuple(map(_with_label_above, voices[0])), *voices[1:])
        return voices

    def _silence(self, number: int) -> tuple[WrittenItem, ...]:
        """A whole-bar rest, or in a pickup and in part of a bar rests of its own written length."""
        span = self._plan.spans[number]
        meter = span.bar.meter
        if meter is None or (span.bar.bar_in_section and span.bar.duration == meter.duration):
            return WHOLE_BAR_REST
        spelling = spell_bar(meter, span.bar.leads_on, span.duration.denominator, (-span.duration.numerator,))
        return tuple(_rest(slot.base, slot.dots) for slot in spelling.slots)

    def _accidentals(
        self, number: int, row: Sequence[SpelledBar | None]
    ) -> dict[tuple[int, int], tuple[Accidental, ...]]:
        """The accidentals of every struck event, by voice and event."""
        if self._plan.instrument.unpitched:
            self._note_struck_graces(row)
            return {}
        signs: dict[tuple[int, int], tuple[Accidental, ...]] = {}
        together: list[tuple[int, int]] = []
        moment = Fraction(-1)
        for onset, voice, index, struck in strikes(row):
            written = self._events[voice][index] if index >= 0 else None
            if written is None:
                continue
            if not struck or written.event.tied_before:
                self._memory.tied(() if written.marks.spoken else written.pitches)
                if struck:
                    self._sign_ornaments(number, voice, index)
                continue
            if written.graces:
                self._graces[voice, index] = tuple(self._signed(grace) for grace in written.graces)
            if written.marks.spoken:  # no pitch, and so no accidental
                continue
            if len(row) == 1:
                signs[voice, index] = self._memory.heads(written.pitches)
                self._sign_ornaments(number, voice, index)
            else:
                if onset != moment:
                    self._sign_together(number, together, signs)
                    together, moment = [], onset
                together.append((voice, index))
        self._sign_together(number, together, signs)
        return signs

    def _note_struck_graces(self, row: Sequence[SpelledBar | None]) -> None:
        """Take note of the grace notes of an unpitched part, which have no accidentals."""
        for _, voice, index, struck in strikes(row):
            written = self._events[voice][index] if index >= 0 else None
            if written is not None and written.graces and struck:
                self._graces[voice, index] = tuple(map(self._colored, written.graces))

    def _colored(self, grace: tuple[WrittenHead, ...]) -> tuple[WrittenHead, ...]:
        return tuple(replace(head, color=self._plan.color(head.origins)) for head in grace)

    def _sign_together(
        self, number: int, together: Sequence[tuple[int, int]], signs: dict[tuple[int, int], tuple[Accidental, ...]]
    ) -> None:
        """Sign the events that several voices strike at one moment, as one chord."""
        chords = [self._pitches(voice, index) for voice, index in together]
        shown = iter(self._memory.heads(tuple(pitch for chord in chords for pitch in chord)) if chords else ())
        for place, chord in zip(together, chords, strict=True):
            signs[place] = tuple(islice(shown, len(chord)))
            self._sign_ornaments(number, *place)

    def _sign_ornaments(self, number: int, voice: int, index: int) -> None:
        """Sign the ornaments of an event that begins in this bar, after the notes struck with it."""
        written = self._events[voice][index]
        if written is not None and written.marks.ornaments:
            reading, fifths = self._plan.readings[number], self._plan.spans[number].bar.fifths
            self._events[voice][index] = with_signs(written, reading, fifths, self._memory.in_force)

    def _signed(self, grace: tuple[WrittenHead, ...]) -> tuple[WrittenHead, ...]:
        """A grace note with its accidentals, which hold for what follows as those of other notes do."""
        signs = self._memory.heads(tuple(head.pitch for head in grace))
        return tuple(
            replace(head, accidental=sign, color=self._plan.color(head.origins))
            for head, sign in zip(grace, signs, strict=True)
        )

    def _pitches(self, voice: int, index: int) -> tuple[Pitch, ...]:
        written = self._events[voice][index]
        return written.pitches if written else ()

    def _voice(
        self, number: int, voice: int, bar: SpelledBar, signs: dict[tuple[int, int], tuple[Accidental, ...]]
    ) -> tuple[WrittenItem, ...]:
        leaves: list[Leaf] = []
        for slot in bar.spelling.slots:
            index = bar.pieces.events[slot.piece]
            written = self._events[voice][index] if index >= 0 else None
            if written is None:
                leaves.append(_rest(slot.base, slot.dots, voice >= _OUTER_VOICES))
                continue
            begins, ends = bar.strikes(slot), bar.releases(slot)
            struck = begins and not written.event.tied_before
            accidentals = signs.get((voice, index)) if struck else None
            clef = self._changes.get((number, voice, index), "") if begins and self._changes else ""
            leaf = _note(slot, written, begins, ends, accidentals, clef)
            if written.marks.graces or written.marks.ornaments or self._plan.colors:
                leaf = self._dressed(leaf, (voice, index), struck)
            leaves.append(leaf)
        return _folded(_without_stems(leaves), bar.spelling)

    def _dressed(self, leaf: Leaf, place: tuple[int, int], struck: bool) -> Leaf:
        """The leaf with its grace notes, the strokes of its tremolo, and its colors."""
        heads = leaf.heads
        if self._plan.colors:
            heads = tuple(replace(head, color=self._plan.color(head.origins)) for head in heads)
        graces = self._graces.get(place, ()) if struck else ()
        return replace(leaf, heads=heads, graces=graces, strokes=tremolo_strokes(leaf.base, leaf.marks))


def _beside_wide_heads(voices: Sequence[tuple[WrittenItem, ...]]) -> Iterator[tuple[WrittenItem, ...]]:
    """The voices of a bar, those between the outer two aside from their heads where these are whole notes or longer."""
    yield from voices[:_OUTER_VOICES]
    for outer, inner in zip(voices, voices[_OUTER_VOICES:], strict=False):
        wide = {onset for onset, leaf in timed_leaves(outer, Fraction(0)) if leaf.heads and leaf.base >= 1}
        onsets = (onset for onset, _ in timed_leaves(inner, Fraction(0)))
        yield tuple(_aside(item, onsets, wide) for item in inner)


def _aside(item: WrittenItem, onsets: Iterator[Fraction], wide: set[Fraction]) -> WrittenItem:
    if isinstance(item, Tuplet):
        return replace(item, items=tuple(_aside(inner, onsets, wide) for inner in item.items))
    return replace(item, beside=True) if next(onsets) in wide and item.heads else item


@lru_cache(maxsize=256)
def _rest(base: Fraction, dots: int, unseen: bool = False) -> Leaf:
    return Leaf(base, dots, unseen=unseen)


def _note(
    slot: LeafSlot, written: WrittenEvent, begins: bool, ends: bool,
    accidentals: tuple[Accidental, ...] | None, clef: str,
) -> Leaf:  # fmt: skip
    """The leaf of a slot, which may begin or end its event; the event itself may be tied to its neighbors."""
    event = written.event
    struck, released = begins and not event.tied_before, ends and not event.tied_after
    pitches = written.pitches
    signs = accidentals or (Accidental.NONE,) * len(pitches)
    heads: tuple[WrittenHead, ...]
    if event.held_before or event.held_after:
        heads = tuple(_partly_tied(written, signs, begins, ends))
    elif len(pitches) == 1:
        heads = (
            WrittenHead(pitches[0], written.origins[0], signs[0], not released, not struck),
        )  # fmt: skip
    else:
        heads = tuple(
            WrittenHead(pitch, origins, sign, not released, not struck)
            for pitch, origins, sign in zip(pitches, written.origins, signs, strict=True)
        )
    if written.diamonds:
        heads = tuple(replace(head, diamond=diamond) for head, diamond in zip(heads, written.diamonds, strict=True))
    marks = written.marks
    if marks is not UNMARKED and not (begins and ends):
        # A hairpin that leads to a dynamic at the note, or to the next hairpin, ends at the note's beginning.
        arrives = marks.hairpin_ends and not written.hairpin_alone and (bool(marks.hairpin) or marks.reaches)
        marks = first_marks(marks) if begins else last_marks(marks) if ends else inner_marks(marks)
        if arrives and marks.hairpin_ends != begins:
            marks = replace(marks, hairpin_ends=begins)
    figured_for = event.event.duration if marks.figures and event is not None else Fraction(0)
    return Leaf(
        slot.base, slot.dots, heads, marks, slot.beams, written.letters if struck else "", clef, False, event,
        figured_for=figured_for, hairpin_alone=written.hairpin_alone and begins and ends,
    )  # fmt: skip


def _partly_tied(
    written: WrittenEvent, signs: Sequence[Accidental], begins: bool, ends: bool
) -> Iterator[WrittenHead]:
    """The heads of a chord of which some go on from the one before, or into the one after."""
    event = written.event
    pairs = zip(written.pitches, written.origins, signs, written.sounding, strict=True)
    for pitch, origins, sign, sounding in pairs:
        struck = begins and not event.tied_before and sounding not in event.held_before
        goes_on = not ends or event.tied_after or sounding in event.held_after
        yield WrittenHead(pitch, origins, sign if struck else Accidental.NONE, goes_on, not struck)


def _without_stems(leaves: list[Leaf]) -> list[Leaf]:
    """The leaves of a voice's bar without the beams of notes that have no stem, and of those beamed with them."""
    if not any(leaf.marks.stemless for leaf in leaves):
        return leaves
    out = list(leaves)
    group: list[int] = []
    for index, leaf in enumerate(leaves):
        if leaf.beams:
            group = [index] if leaf.beams[0] is Beam.BEGIN else [*group, index]
            if leaf.beams[0] is Beam.END and any(leaves[member].marks.stemless for member in group):
                for member in group:
                    out[member] = replace(out[member], beams=())
    return out


def _with_label_above(item: WrittenItem) -> WrittenItem:
    """The item in a voice under which another one stands. Source: common practice, of a sticking for two lines."""
    if isinstance(item, Tuplet):
        return replace(item, items=tuple(map(_with_label_above, item.items)))
    return replace(item, label_above=True) if item.marks.label else item


def _folded(leaves: Sequence[WrittenItem], spelling: Spelling) -> tuple[WrittenItem, ...]:
    """The leaves with tuplets made of those that stand under a bracket."""
    if not spelling.folds:
        return tuple(leaves)
    return tuple(_items(leaves, spelling.folds, 0, len(leaves)))


def _items(leaves: Sequence[WrittenItem], folds: Sequence[Fold], first: int, end: int) -> Iterator[WrittenItem]:
    """The items from one leaf to before another; a fold stands before those inside it."""
    while folds:
        fold = folds[0]
        count = next((n for n, other in enumerate(folds) if other.first > fold.last), len(folds))
        yield from leaves[first : fold.first]
        inside = tuple(_items(leaves, folds[1:count], fold.first, fold.last + 1))
        yield Tuplet(fold.actual, fold.normal, fold.unit, inside)
        first, folds = fold.last + 1, folds[count:]
    yield from leaves[first:end]
