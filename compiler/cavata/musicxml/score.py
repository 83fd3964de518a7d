"""One written movement as a music21 score, ready for the exporter's fast path.

In: the written movement. Out: a music21 score whose bars, voices and leaves stand in their final order, and the lines
(slurs, hairpins) that are added to the finished document. Pitches are handed over as written, so nothing is transposed
again; two staves of one part are two part staffs under a brace, which the exporter makes one part.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import islice
from typing import Any, assert_never

from music21 import bar, clef, dynamics, expressions, instrument, interval, key, layout, meter, stream

from cavata.music.event import PRINTED, UNMARKED, Marks
from cavata.music.pitch import Interval
from cavata.musicxml.ids import note_id
from cavata.musicxml.leaf import Leaves, TupletShare
from cavata.musicxml.lines import VOICES_PER_STAFF, LineEnds, VoiceLines
from cavata.notate.transposition import written_interval
from cavata.notate.written import (
    SHORTEST,
    Beam,
    Frame,
    Leaf,
    Tuplet,
    WrittenBar,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    WrittenStaff,
    leaves,
    odd_part,
)
from cavata.text import plain_text

# ----------------------------------------------------------------
# A rest through a whole bar, as every reader understands it.
#
# In: a bar's frame. Out: rests that fill it. Where the bar is as long as its meter says that is one rest for the whole
# bar. Elsewhere, in free time and in an upbeat, readers would give such a rest the length of some meter; so
# the silence is written in note values, the longest first.


_LONGEST = Fraction(2)
"""A breve, since some readers know no longer value."""
_TAKEN_FOR_THE_BAR = ((Fraction(1), 0), (Fraction(2), 0))

Silence = tuple[Leaf, tuple[TupletShare, ...]]
"""A rest, and the tuplet that shortens it, if one does."""


def may_be_taken_for_the_bar(rest: Leaf, items: tuple[WrittenItem, ...]) -> bool:
    """Whether a rest that does not fill its bar looks as if it did: beside chords alone music21 takes it so."""
    plain = (rest.base, rest.dots) in _TAKEN_FOR_THE_BAR
    return plain and all(len(leaf.heads) != 1 for leaf in leaves(items))


def halves(rest: Leaf) -> tuple[Silence, Silence]:
    """A rest in two."""
    half = Leaf(rest.base / 2, 0)
    return (half, ()), (half, ())


def silence(frame: Frame) -> Iterator[Silence]:
    """The rests of a silent bar, each with the tuplet that shortens it, if one does."""
    if frame.meter is not None and frame.duration == frame.meter.duration:
        yield Leaf(Fraction(1), 0, whole_bar=True), ()
        return
    odd = odd_part(frame.duration.denominator)
    # What cannot be said in plain values is less than the finest of them that the bar has room for.
    grain = Fraction(odd, frame.duration.denominator)
    tuplets = frame.duration % grain
    plain = tuple(_values(frame.duration - tuplets))
    if len(plain) == 1 and not tuplets and plain[0] in _TAKEN_FOR_THE_BAR:
        plain = ((plain[0][0] / 2, 0),) * 2
    yield from ((Leaf(value, dots), ()) for value, dots in plain)
    normal = 1 << (odd.bit_length() - 1)
    for value, dots in _values(tuplets * odd / normal):
        yield Leaf(value, dots), (TupletShare(odd, normal, value, False, False, False),)


def _values(length: Fraction) -> Iterator[tuple[Fraction, int]]:
    """Note values, with a dot or none, that make up a length; its denominator is a power of two."""
    value = _LONGEST
    while length and value >= SHORTEST:
        while value <= length:
            dots = int(value * 3 / 2 <= length)
            yield value, dots
            length -= value * 3 / 2 if dots else value
        value /= 2


# ----------------------------------------------------------------

CLEFS: dict[str, type[Any]] = {
    "treble": clef.TrebleClef,
    "treble_8": clef.Treble8vbClef,
    "treble^8": clef.Treble8vaClef,
    "bass": clef.BassClef,
    "bass_8": clef.Bass8vbClef,
    "bass^8": clef.Bass8vaClef,
    "alto": clef.AltoClef,
    "tenor": clef.TenorClef,
    "soprano": clef.SopranoClef,
    "mezzosoprano": clef.MezzoSopranoClef,
    "baritone": clef.CBaritoneClef,
    "percussion": clef.PercussionClef,
}
_STEMS = {1: "up", 2: "down", 3: "up", 4: "down"}
"""Where the stems of voices go that sound in one bar of a staff."""
_SMALL_POINTS = 6
_BARLINES = {"double": "double", "final": "final", "none": "none"}


@dataclass(slots=True)
class Built:
    """The music21 score of a movement, and what the exporter is not asked to write."""

    score: Any
    lines: dict[str, LineEnds] = field(default_factory=dict)


def music21_score(score: WrittenScore, movement: WrittenMovement) -> Built:
    """The movement as a music21 score."""
    result = Built(stream.Score())
    making = Leaves(score.header.show_letters)
    for number, part in enumerate(movement.parts, 1):
        staves = [_staff(result, making, movement, part, number, index) for index in range(len(part.staves))]
        for index, staff in enumerate(staves):
            staff.coreInsert(0, _instrument(part, number, index, score.header.concert_score))
            staff.coreElementsChanged()
            result.score.coreInsert(0, staff, ignoreSort=True)
        if len(staves) > 1:
            result.score.coreInsert(0, layout.StaffGroup(staves, symbol="brace"), ignoreSort=True)
    result.score.coreElementsChanged()
    return result


def _staff(result: Built, making: Leaves, movement: WrittenMovement, part: WrittenPart, number: int, index: int) -> Any:
    many = len(part.staves) > 1
    made = stream.PartStaff() if many else stream.Part()
    made.id = part_id(number, index)
    made.atSoundingPitch = False
    made.partName, made.partAbbreviation = plain_text(part.part.label), plain_text(part.part.abbreviation)
    writer = _StaffWriter(result, making, part, number, index)
    onset, free = Fraction(0), False
    for place, (frame, written) in enumerate(zip(movement.frames, part.staves[index].bars, strict=True)):
        measure = writer.bar(place, frame, written)
        if frame.meter is None and not free:
            measure.coreInsert(0, meter.SenzaMisuraTimeSignature())
            measure.coreElementsChanged()
        free = frame.meter is None
        made.coreInsert(onset * 4, measure, ignoreSort=True)
        onset += frame.duration
    writer.close()
    return made


def part_id(number: int, staff: int = 0) -> str:
    """The id of a part counted from 1; a lower staff has one of its own until it joins the upper one."""
    return f"P{number}" if staff == 0 else f"P{number}-{staff + 1}"


class _StaffWriter:
    """Writes the bars of one staff in order."""

    def __init__(self, result: Built, making: Leaves, part: WrittenPart, number: int, index: int) -> None:
        self._lines = result.lines
        self._leaves = making
        self._drum_lines = part.part.percussion_lines
        self._clef = part.staves[index].clef
        self._number, self._staff = number, index + 1
        self._tag = self._staff if len(part.staves) > 1 else 0
        self._voices: dict[int, VoiceLines] = {}
        self._sung_below = tuple(_lines_above(part.staves[index]))

    def bar(self, place: int, frame: Frame, written: WrittenBar) -> Any:
        """One measure, its attributes and directions first."""
        measure = stream.Measure(number=frame.number)
        voices = [(number, items) for number, items in enumerate((*written.voices, written.cue), 1) if items]
        for element in self._head(place, frame, written):
            measure.coreAppend(element)
        apart = any(number > 1 for number, _ in voices)
        stems = _STEMS if len(voices) > 1 else {}
        if written.cue:
            stems = {len(written.voices) + 1: "down" if written.cue_below else "up"}
        for number, items in voices:
            above = written.dynamics_above and number == 1
            if not apart:
                self._voice(measure, place, frame, number, items, "", above)
                continue
            voice = stream.Voice(id=number)
            self._voice(voice, place, frame, number, items, stems.get(number, ""), above)
            voice.coreElementsChanged(clearIsSorted=False)
            measure.coreInsert(0, voice)
        if not voices:
            self._silence(measure, frame, self._id(place, 1, 1), silence(frame))
        if frame.barline in _BARLINES:
            measure.rightBarline = bar.Barline(_BARLINES[frame.barline])
        measure.coreElementsChanged(clearIsSorted=apart)
        return measure

    def close(self) -> None:
        """End the lines still open."""
        for voice in self._voices.values():
            voice.close()

    def _head(self, place: int, frame: Frame, written: WrittenBar) -> Iterator[Any]:
        change = next((first.clef for voice in written.voices for first in islice(leaves(voice), 1) if first.clef), "")
        if change or place == 0:
            yield CLEFS[change or self._clef]()
        if written.key is not None:
            yield key.KeySignature(written.key)
        if frame.meter is not None and (frame.shows_meter or place == 0):
            yield meter.TimeSignature(str(frame.meter))

    def _voice(
        self, target: Any, place: int, frame: Frame, number: int, items: tuple[WrittenItem, ...], stem: str,
        above: bool = False,
    ) -> None:
        """One voice of a bar; `stem` says where stems go beside another voice, `above` that dynamics stand above."""
        lines = self._voices.get(number)
        if lines is None:
            voice = number + VOICES_PER_STAFF * (self._staff - 1)
            lines = self._voices[number] = VoiceLines(self._lines, voice, self._tag, self._sung_below[number - 1])
        lines.above = above
        for count, (leaf, brackets) in enumerate(opened(items), 1):
            identifier = self._id(place, number, count)
            if leaf.clef and count > 1:
                target.coreAppend(CLEFS[leaf.clef]())
            if leaf.marks or leaf.tuning or leaf.script_line:
                for element in _marks(leaf, "above" if above else "below", stem == "down"):
                    target.coreAppend(element)
            for grace in self._leaves.graces(leaf, self._drum_lines, identifier) if leaf.graces else ():
                target.coreAppend(grace)
            if leaf.heads:
                made = self._leaves.note(leaf, brackets, self._drum_lines, identifier)
                if stem:
                    made.stemDirection = "noStem" if leaf.marks.stemless else stem
                    for lyric in made.lyrics:
                        # The lower voice's letters stand in a line of their own.
                        lyric.number += number - 1
                target.coreAppend(made)
            elif leaf.whole_bar:
                self._silence(target, frame, identifier, silence(frame), leaf.marks)
            elif may_be_taken_for_the_bar(leaf, items):
                self._silence(target, frame, identifier, halves(leaf), leaf.marks)
            else:
                target.coreAppend(self._leaves.rest(leaf, brackets, frame.duration, identifier))
            lines.pass_leaf(leaf, identifier)

    def _silence(
        self, target: Any, frame: Frame, identifier: str, rests: Iterable[Silence], marks: Marks = UNMARKED
    ) -> None:
        """Several rests for one; the first has the id, further ones `r2`, `r3` ... after it.

        What stands over a rest is a fermata, which waits at its end: over the last of them.
        """
        made = tuple(rests)
        for count, (leaf, brackets) in enumerate(made, 1):
            own, said = identifier if count == 1 else f"{identifier}r{count}", marks if count == len(made) else UNMARKED
            target.coreAppend(self._leaves.rest(replace(leaf, marks=said), brackets, frame.duration, own))

    def _id(self, place: int, voice: int, leaf: int) -> str:
        return note_id(self._number, self._staff, place + 1, voice, leaf)


def _lines_above(staff: WrittenStaff) -> Iterator[int]:
    """For each voice, and for cues, how many lines of lyrics the voices above it take: one at least each."""
    count = 0
    for voice in range(max((len(written.voices) for written in staff.bars), default=0) + 1):
        yield count
        rows = (written.voices[voice] for written in staff.bars if voice < len(written.voices))
        count += max((text.verse for items in rows for leaf in leaves(items) for text in leaf.sung), default=1)


def opened(
    items: tuple[WrittenItem, ...], around: tuple[TupletShare, ...] = ()
) -> Iterator[tuple[Leaf, tuple[TupletShare, ...]]]:
    """Every leaf with the tuplets around it, the outermost first, and which of them begin and end with it."""
    for index, item in enumerate(items):
        first, last = index == 0, index == len(items) - 1
        inner = tuple(
            TupletShare(b.actual, b.normal, b.unit, b.begins and first, b.ends and last, b.printed, b.shows_ratio)
            for b in around
        )
        match item:
            case Leaf():
                yield item, inner
            case Tuplet(actual, normal, unit, inside):
                share = TupletShare(actual, normal, unit, True, True, not _one_beam(inside), item.shows_ratio)
                yield from opened(inside, (*inner, share))
            case _:
                assert_never(item)


def _one_beam(items: tuple[WrittenItem, ...]) -> bool:
    """Whether one beam spans just these items, so that a number without a bracket is enough."""
    beams = [item.beams[0] if isinstance(item, Leaf) and item.beams else None for item in items]
    inside = all(beam is Beam.CONTINUE for beam in beams[1:-1])
    return len(beams) > 1 and beams[0] is Beam.BEGIN and beams[-1] is Beam.END and inside


def _marks(leaf: Leaf, dynamics_stand: str, lower: bool) -> Iterator[Any]:
    """Words and dynamics; who plays is said below a lower voice beside another, and on a proof copy the line of the
    script before all."""
    if leaf.script_line:
        yield _said(leaf.script_line, fontSize=_SMALL_POINTS, fontStyle=None)
    for loud in leaf.marks.loud:
        made = dynamics.Dynamic(loud)
        made.style.absoluteX = made.style.absoluteY = None
        made.placement = dynamics_stand
        yield made
    if leaf.marks.who:
        yield _said(plain_text(leaf.marks.who), "below" if lower else "above", fontStyle=None)
    if leaf.marks.techniques:
        yield _said(", ".join(PRINTED[word] for word in leaf.marks.techniques))
    if leaf.tuning:
        yield _said(plain_text(leaf.tuning), fontStyle=None)
    for words in leaf.marks.words:
        yield _said(plain_text(words), fontStyle="italic")


def _said(words: str, placement: str = "above", **style: Any) -> Any:
    """Words at a staff."""
    made = expressions.TextExpression(words)
    made.placement = placement
    for name, value in style.items():
        setattr(made.style, name, value)
    return made


def _instrument(part: WrittenPart, number: int, staff: int, concert: bool) -> Any:
    ours = part.part.instrument
    made = instrument.UnpitchedPercussion() if ours.unpitched else instrument.Instrument()
    made.partId = part_id(number, staff)
    made.instrumentId = f"{made.partId}-I1"
    made.instrumentName = plain_text(ours.name)
    made.partName = plain_text(part.part.label)
    made.partAbbreviation = plain_text(part.part.abbreviation)
    made.midiChannel = number  # distinct, or music21 warns when sixteen are used up; the right ones are set afterward
    made.instrumentAbbreviation = None
    if ours.unpitched:
        made.percMapPitch = ours.percussion_key
    else:
        made.midiProgram = ours.program
    made.transposition = _transposition(-written_interval(ours, concert))
    return made


def _transposition(ours: Interval) -> Any:
    if ours.steps == 0 and ours.semitones == 0:
        return None
    name = str(ours).replace("aug", "A").replace("dim", "d")
    made = interval.Interval(name)
    return made.reverse() if ours.steps < 0 or (ours.steps == 0 and ours.semitones < 0) else made
