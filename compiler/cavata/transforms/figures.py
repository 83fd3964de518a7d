"""Figuration over harmony: which voices of a chord sound when.

In: a line of chords, or a texture whose lines are the voices, and a figure. Out: a line for each line of the figure, or
the lines of the texture, as long as before. The figure begins again with each chord, goes round as long as the chord
lasts and is cut with it. What a chord's signs begin stands at its first note, what they end at its last; its symbol
stands once. Source: common practice.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Refusal
from cavata.music.event import HELD, UNMARKED, Event, Figure, Head, Marks, Motif, Rhythm, Stroke, Texture
from cavata.music.lengths import total
from cavata.record import replace
from cavata.transforms.chord_voices import ChordVoice, from_the_bass, voices_meant, without_roll
from cavata.transforms.figuration import split_marks
from cavata.transforms.pitches import without_symbol
from cavata.transforms.selection import bounded
from cavata.transforms.time import in_rhythm, sensible

FiguredChord = tuple[tuple[Fraction, tuple[Head, ...]], ...]
"""What becomes of one chord in one line: durations, each with what sounds in it."""


def taken_in(motif: Motif, given: Rhythm | Figure, cycle: bool) -> Motif | Texture:
    """A line in a rhythm, or chords in a figure."""
    if isinstance(given, Rhythm):
        return in_rhythm(motif, given, cycle)
    _without_cycle(cycle)
    lines = figured(motif, given)
    return lines[0] if len(lines) == 1 else Texture(lines)


def taken_in_together(texture: Texture, given: Rhythm | Figure, cycle: bool) -> Texture:
    """The lines of a texture in a rhythm, or as the voices that a figure lets sound."""
    if isinstance(given, Rhythm):
        return texture.with_lines(tuple(in_rhythm(line, given, cycle) for line in texture.lines))
    _without_cycle(cycle)
    if len(given.lines) > 1:
        raise Refusal("V401", "{subject} is a texture already", "this figure makes one of a single line of chords", "")
    return texture.with_lines(_dealt(texture.lines, given.lines[0]))


def _without_cycle(cycle: bool) -> None:
    if cycle:
        raise Refusal(
            "V871", "a figure knows no `cycle`", "it goes round within each chord", "take `cycle` out", (1, 0)
        )  # fmt: skip


def scaled(figure: Figure, ratio: Fraction, longer: bool) -> Figure:
    """Every duration of the figure multiplied by the ratio, or divided."""
    factor = sensible(ratio) if longer else 1 / sensible(ratio)
    return Figure(tuple(tuple(Stroke(s.duration * factor, s.voices) for s in line) for line in figure.lines))


# ----------------------------------------------------------------
# A line of chords.


def figured(motif: Motif, figure: Figure) -> tuple[Motif, ...]:
    """A line for each line of the figure."""
    lines: list[list[Event]] = [[] for _ in figure.lines]
    for event in motif.events:
        if not event.heads:
            for line in lines:
                line.append(event)
            continue
        parts = [_chord(event, strokes) for strokes in figure.lines]
        bearer = _bearer(parts)
        for number, (line, part) in enumerate(zip(lines, parts, strict=True)):
            line += _signed(part, event if number == bearer else without_symbol(event))
            bounded(len(line))
    return tuple(motif.having(tuple(line)) for line in lines)


def _chord(event: Event, strokes: tuple[Stroke, ...]) -> FiguredChord:
    return tuple(
        (duration, tuple(event.heads[place] for place in voices_meant(len(event.heads), voices)) if voices else ())
        for duration, voices in _round(strokes, event.duration)
    )


def _round(strokes: tuple[Stroke, ...], length: Fraction) -> list[tuple[Fraction, tuple[ChordVoice, ...]]]:
    """The strokes again and again, the last one cut where the length is full."""
    bounded(int(length / total(stroke.duration for stroke in strokes)) * len(strokes))
    found: list[tuple[Fraction, tuple[ChordVoice, ...]]] = []
    left = length
    while left > 0:
        stroke = strokes[len(found) % len(strokes)]
        found.append((min(stroke.duration, left), stroke.voices))
        left -= stroke.duration
    return found


def _bearer(parts: list[FiguredChord]) -> int:
    """Which line bears the chord's symbol: the first that sounds soonest."""

    def waits(part: FiguredChord) -> Fraction:
        first = next((place for place, (_, heads) in enumerate(part) if heads), len(part))
        return total(duration for duration, _ in part[:first])

    return min(range(len(parts)), key=lambda number: (waits(parts[number]), number))


def _signed(part: FiguredChord, event: Event) -> list[Event]:
    """The notes of one chord in one line, with the signs of the chord."""
    sounding = [place for place, (_, heads) in enumerate(part) if heads]
    marks: dict[int, Marks] = {}
    if len(sounding) == 1:
        marks[sounding[0]] = event.marks
    elif sounding:
        words = event.marks.sung
        held = Marks(
            sung=tuple(replace(HELD, verse=syllable.verse) for syllable in words), spoken=event.marks.spoken,
            stemless=event.marks.stemless,
        )  # fmt: skip
        marks = dict.fromkeys(sounding, held)
        marks[sounding[0]], marks[sounding[-1]] = _both_ends(event.marks)
    return [
        without_roll(Event(duration, heads, marks.get(place, UNMARKED)))
        for place, (duration, heads) in enumerate(part)
    ]


def _both_ends(marks: Marks) -> tuple[Marks, Marks]:
    """What stands at the first and the last note; a hairpin that leads to a dynamic at the first ends there."""
    first, last = split_marks(marks)
    if marks.reaches:
        first, last = replace(first, hairpin_ends=True), replace(last, hairpin_ends=False)
    return first, last


# ----------------------------------------------------------------
# The lines of a texture, each of which is a voice.


def _dealt(lines: tuple[Motif, ...], strokes: tuple[Stroke, ...]) -> tuple[Motif, ...]:
    """Each line, silent where the figure leaves its voice out."""
    order = from_the_bass(lines)
    asked = {stroke.voices: voices_meant(len(order), stroke.voices) for stroke in strokes if stroke.voices}
    return tuple(
        _voice(line, strokes, {voices for voices, meant in asked.items() if order.index(place) in meant})
        if place in order else line
        for place, line in enumerate(lines)
    )  # fmt: skip


def _voice(line: Motif, strokes: tuple[Stroke, ...], own: set[tuple[ChordVoice, ...]]) -> Motif:
    events: list[Event] = []
    for event in line.events:
        if not event.heads:
            events.append(event)
            continue
        part = tuple((d, event.heads if voices in own else ()) for d, voices in _round(strokes, event.duration))
        events += _signed(part, event)
        bounded(len(events))
    return line.having(tuple(events))
