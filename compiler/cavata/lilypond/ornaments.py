"""Ornaments, techniques, grace notes and colours as Abjad's indicators and LilyPond's text.

In: written leaves. Out: what is attached to their components, and commands that stand before them. Where grace notes
stand at a bar's beginning every voice waits as long, or LilyPond would print the bar line twice.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import abjad

from cavata.lilypond.literals import literal, note_heads
from cavata.lilypond.string import ly_string
from cavata.music.event import Marks
from cavata.music.ornament import PRINTED, Ornament
from cavata.notate.note_values import flags
from cavata.notate.written import Leaf, WrittenHead, WrittenMovement, leaves

_SIGNS = {"turn": "turn", "mordent": "mordent", "rolled": "arpeggio"}
_ACCIDENTALS = {
    "double flat": "doubleflat", "flat": "flat", "natural": "natural", "sharp": "sharp", "double sharp": "doublesharp",
}  # fmt: skip


def grace_time(leaf: Leaf) -> int:
    """How long the grace notes before a leaf are written, in sixteenths: one is an eighth, several are sixteenths."""
    return 2 if len(leaf.graces) == 1 else len(leaf.graces)


def opening_graces(movement: WrittenMovement) -> tuple[int, ...]:
    """For each bar the longest grace notes that stand before its first notes, in sixteenths."""
    longest = [0] * len(movement.frames)
    for part in movement.parts:
        for staff in part.staves:
            for place, bar in enumerate(staff.bars):
                for voice in bar.voices:
                    first = next(leaves(voice), None)
                    if first is not None and first.graces:
                        longest[place] = max(longest[place], grace_time(first))
    return tuple(longest)


def waiting(sixteenths: int) -> str:
    """As much grace time without a note."""
    return f"\\grace {{ s16*{sixteenths} }}"


def grace_commands(leaf: Leaf, time: int, pitch_text: Any) -> Iterator[str]:
    """The grace notes before a leaf, after as much waiting as fills the time."""
    missing = time - grace_time(leaf)
    if missing > 0:
        yield waiting(missing)
    if not leaf.graces:
        return
    if len(leaf.graces) == 1:
        yield f"\\slashedGrace {{ {_grace(leaf.graces[0], pitch_text)}8 }}"
        return
    notes = [f"{_grace(grace, pitch_text)}16" for grace in leaf.graces]
    notes[0], notes[-1] = notes[0] + "[", notes[-1] + "]"
    yield f"\\grace {{ {' '.join(notes)} }}"


def _grace(heads: tuple[WrittenHead, ...], pitch_text: Any) -> str:
    texts = [(f"{_colour(head.colour)} " if head.colour else "") + pitch_text(head) for head in heads]
    # A tweak before a single note would colour its stem too, so a chord of one it is.
    return f"<{' '.join(texts)}>" if len(texts) > 1 or heads[0].colour else texts[0]


def _colour(colour: str) -> str:
    return f'\\tweak color "{colour}"'


def colour_heads(leaf: Leaf, made: Any) -> None:
    """Give each head the colour of its name."""
    for head, component in zip(leaf.heads, note_heads(made), strict=True):
        if head.colour:
            abjad.tweak(component, _colour(head.colour))


def attach_ornaments(leaf: Leaf, made: Any) -> None:
    """Signs, tremolo strokes, techniques, glissando and pedal of a leaf."""
    marks = leaf.marks
    if leaf.strokes:
        abjad.attach(abjad.StemTremolo(4 * 2 ** (flags(leaf.base) + leaf.strokes)), made)
    for ornament in marks.ornaments:
        if ornament.kind == "trill" and ornament.sign:
            abjad.attach(abjad.Markup(_trill_with(ornament)), made, direction=abjad.UP)
        elif ornament.kind == "trill":
            abjad.attach(abjad.Articulation("trill"), made)
        elif ornament.kind in _SIGNS:
            abjad.attach(abjad.Articulation(_SIGNS[ornament.kind]), made)
    if marks.techniques:
        words = ", ".join(PRINTED[word] for word in marks.techniques)
        abjad.attach(abjad.Markup(f"\\markup {ly_string(words)}"), made, direction=abjad.UP)
    if marks.glides:
        abjad.attach(abjad.Glissando(), made)
    _pedal(marks, made)


def _pedal(marks: Marks, made: Any) -> None:
    if marks.pedal_begins:
        abjad.attach(abjad.StartPianoPedal(), made)
    if marks.pedal_ends:
        # An empty chord stands where the note ends, whatever comes after it.
        literal(made, ("<>\\sustainOff",), "after")


def _trill_with(ornament: Ornament) -> str:
    accidental = _ACCIDENTALS[ornament.sign]
    sign = f"\\hspace #0.3 \\raise #0.6 \\fontsize #-4 \\{accidental}"
    return f'\\markup \\concat {{ \\musicglyph "scripts.trill" {sign} }}'
