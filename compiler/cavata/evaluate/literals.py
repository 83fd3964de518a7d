"""Values written out in the script: notes, chords and rhythms."""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics.record import Diagnostics
from cavata.music.event import Beat, Event, Head, Motif, Rhythm
from cavata.music.origin import Origin
from cavata.music.pitch import Pitch
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.pitches import joined_heads

QUARTER = Fraction(1, 4)


def notes_value(tree: t.NotesLiteral, bag: Diagnostics) -> Motif | None:
    """`notes(...)`; None when its bars are not equally long, which is reported at the bar that differs."""
    lengths = [sum((sound.duration for sound in bar), Fraction(0)) for bar in tree.bars]
    for bar, length in zip(tree.bars, lengths, strict=True):
        if length != lengths[0]:
            bag.error(
                "V217", bar[0].span.to(bar[-1].span), f"this bar lasts {length}, the first one {lengths[0]}",
                "", "bars between `|` are equally long; without `|` nothing is counted",
            )
            return None
    return Motif(tuple(Event(s.duration, _heads(s.pitches, s.span)) for bar in tree.bars for s in bar))


def chord_value(tree: t.ChordLiteral) -> Motif:
    """`chord(...)`, a quarter long."""
    return Motif((Event(QUARTER, _heads(tree.pitches, tree.span)),))


def rhythm_value(tree: t.RhythmLiteral) -> Rhythm:
    """`(1/4 rest 1/8)`."""
    return Rhythm(tuple(Beat(duration, is_rest) for duration, is_rest in tree.beats))


def _heads(pitches: tuple[Pitch, ...], span: Span) -> tuple[Head, ...]:
    return joined_heads([Head(pitch, (Origin(None, span),)) for pitch in pitches])
