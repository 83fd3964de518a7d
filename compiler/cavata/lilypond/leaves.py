"""Written leaves and tuplets as Abjad components.

In: the items of one bar of one voice. Out: Abjad components with everything that is printed at each of them, the last
one followed by a bar check.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import abjad

from cavata.lilypond.abjad_versions import full_bar_rest, literal, note_heads, skip, tuplet
from cavata.lilypond.abjad_versions import leaf as read_leaf
from cavata.lilypond.literals import column, ly_string
from cavata.lilypond.page import script_line
from cavata.music.event import AFTER_NOTE, ARTICULATIONS, BASE_HAIRPINS, DYNAMICS, PRINTED, Marks, Ornament
from cavata.music.pitch import Pitch
from cavata.notate.written import (
    Accidental,
    Beam,
    Leaf,
    OnString,
    Tuplet,
    WrittenHead,
    WrittenItem,
    WrittenMovement,
    flags,
    leaves,
)

# ----------------------------------------------------------------
# Ornaments, techniques, grace notes and colors as Abjad's indicators and LilyPond's text.
#
# In: written leaves. Out: what is attached to their components, and commands that stand before them. Where grace notes
# stand at a bar's beginning every voice waits as long, or LilyPond would print the bar line twice.


_SIGNS = {"turn": "turn", "mordent": "mordent", "rolled": "arpeggio"}
_CENTERED = "- \\tweak parent-alignment-X #CENTER - \\tweak self-alignment-X #CENTER"
_ACCIDENTAL_GLYPHS = {
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
                for voice in (*bar.voices, *bar.ossia):
                    first = next(leaves(voice), None)
                    if first is not None and first.graces:
                        longest[place] = max(longest[place], grace_time(first))
    return tuple(longest)


def waiting(sixteenths: Fraction | int) -> str:
    """As much grace time without a note."""
    return f"\\grace {{ s16*{sixteenths} }}"


def grace_commands(leaf: Leaf, time: int, pitch_text: Any, stretched: Fraction) -> Iterator[str]:
    """The grace notes before a leaf, after as much waiting as fills the time.

    `stretched` is by how much a tuplet that the leaf opens presses together what is in it: graces stay as they are.
    """
    missing = time - grace_time(leaf)
    if missing > 0:
        yield waiting(missing * stretched)
    if not leaf.graces:
        return
    as_long = "" if stretched == 1 else f"*{stretched}"
    if len(leaf.graces) == 1:
        yield f"\\slashedGrace {{ {_grace(leaf.graces[0], pitch_text)}8{as_long} }}"
        return
    notes = [f"{_grace(grace, pitch_text)}16{as_long}" for grace in leaf.graces]
    notes[0], notes[-1] = notes[0] + "[", notes[-1] + "]"
    yield f"\\grace {{ {' '.join(notes)} }}"


def _grace(heads: tuple[WrittenHead, ...], pitch_text: Any) -> str:
    texts = [(f"{_color(head.color)} " if head.color else "") + pitch_text(head) for head in heads]
    # A tweak before a single note would color its stem too, so a chord of one it is.
    return f"<{' '.join(texts)}>" if len(texts) > 1 or heads[0].color else texts[0]


def _color(color: str) -> str:
    return f'\\tweak color "{color}"'


def dress_heads(leaf: Leaf, made: Any) -> None:
    """Give each head the color of its name, and the form of what is only touched."""
    for head, component in zip(leaf.heads, note_heads(made), strict=True):
        if head.diamond:
            abjad.tweak(component, "\\tweak NoteHead.style #'harmonic")
        if head.color:
            abjad.tweak(component, _color(head.color))


def attach_ornaments(leaf: Leaf, made: Any) -> None:
    """Signs, tremolo strokes, techniques, glissando and pedal of a leaf."""
    marks = leaf.marks
    if leaf.strokes:
        abjad.attach(abjad.StemTremolo(4 * 2 ** (flags(leaf.base) + leaf.strokes)), made)
    for ornament in marks.ornaments:
        if ornament.kind == "trill" and leaf.trill:
            left = f"- \\tweak bound-details.left.text {_trill_with(ornament)} " if ornament.sign else ""
            literal(made, (f"{left}\\startTrillSpan",), "after")
        elif ornament.kind == "trill" and ornament.sign:
            abjad.attach(abjad.Markup(_trill_with(ornament)), made, direction=abjad.UP)
        elif ornament.sign or ornament.sign_below:
            literal(made, (f"{_CENTERED} ^ {_between(ornament)}",), "after")
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


def _attach_string(string: OnString, made: Any) -> None:
    """The number of a string in its circle, or `sul G` with a dashed line as far as it holds."""
    if not string.label:
        if string.number:
            literal(made, (f"\\{string.number}",), "after")
    elif string.begins and string.ends:
        abjad.attach(abjad.Markup(f"\\markup \\italic {ly_string(string.label)}"), made, direction=abjad.UP)
    elif string.begins:
        words = f"\\markup \\italic {ly_string(string.label + ' ')}"
        literal(made, (f"- \\tweak bound-details.left.text {words} \\startTextSpan",), "after")
    elif string.ends:
        literal(made, ("\\stopTextSpan",), "after")


def _pedal(marks: Marks, made: Any) -> None:
    if marks.pedal_begins:
        abjad.attach(abjad.StartPianoPedal(), made)
    if marks.pedal_ends:
        # An empty chord stands where the note ends, whatever comes after it.
        literal(made, ("<>\\sustainOff",), "after")


def _trill_with(ornament: Ornament) -> str:
    accidental = _ACCIDENTAL_GLYPHS[ornament.sign]
    sign = f"\\hspace #0.3 \\raise #0.6 \\fontsize #-4 \\{accidental}"
    return f'\\markup \\concat {{ \\musicglyph "scripts.trill" {sign} }}'


def _between(ornament: Ornament) -> str:
    """A turn or a mordent with the accidentals of its notes above and below."""
    glyph = f'\\musicglyph "scripts.{_SIGNS[ornament.kind]}"'
    signs = [f"\\fontsize #-4 \\{_ACCIDENTAL_GLYPHS[s]}" if s else "" for s in (ornament.sign, ornament.sign_below)]
    inside = " ".join(filter(None, (signs[0], glyph, signs[1])))
    return f"\\markup \\override #'(baseline-skip . 1.6) \\center-column {{ {inside} }}"


# ----------------------------------------------------------------

_LETTERS = "cdefgab"
_ACCIDENTALS = {-2: "ff", -1: "f", 0: "", 1: "s", 2: "ss"}
_FORCED = {Accidental.NONE: "", Accidental.SHOWN: "!", Accidental.COURTESY: "?"}
_HAIRPINS = {"crescendo": "<", "diminuendo": ">"}
_BASES = {Fraction(2): "\\breve"}
CLEFS = frozenset(
    ("treble", "bass", "alto", "tenor", "soprano", "mezzosoprano", "baritone", "percussion",
     "treble_8", "treble^8", "treble_15", "treble^15", "bass_8", "bass^8", "bass_15", "bass^15", "alto_8", "tenor_8")
)  # fmt: skip
"""The clefs LilyPond is asked for; another name prints a treble clef."""
_EIGHTH = Fraction(1, 8)
_SHORT_WORDS = 20
"""Letters of words for which a bar is widened."""
_SMALL = "\\once \\set fontSize = #-3"
"""As small as a cue."""
_BETWEEN_NOTES = {"breath": "\\breathe", "caesura": "\\caesura"}
_NAMES = {"harmonic": "flageolet"}
"""Articulations that LilyPond calls otherwise."""
_ABOVE = frozenset(("fermata", "upbow", "downbow", "open", "stopped", "harmonic"))
"""Articulations that do not stand at the head."""
_UNKNOWN = frozenset(("rf",))
"""Dynamics that LilyPond has no command for."""
_GOES_ON = frozenset((Beam.BEGIN, Beam.CONTINUE))
_COMES_ON = frozenset((Beam.CONTINUE, Beam.END))
_MIDDLE_OCTAVE = 3
"""LilyPond writes the octave below middle C without a mark."""


def clef_command(clef: str) -> str:
    """The command for a clef of CLEFS."""
    return f'\\clef "{clef if clef in CLEFS else "treble"}"'


def key_command(fifths: int) -> str:
    """A signature of so many sharps, or flats if negative, printed as the major key that has it."""
    cycle = "fcgdaeb"
    accidentals, place = divmod(fifths + 1, 7)
    return f"\\key {cycle[place]}{'s' * accidentals if accidentals >= 0 else 'f' * -accidentals} \\major"


def pitch_text(pitch: Pitch) -> str:
    """A pitch in LilyPond's English names."""
    marks = pitch.octave - _MIDDLE_OCTAVE
    return _LETTERS[pitch.letter] + _ACCIDENTALS[pitch.alter] + ("'" * marks if marks >= 0 else "," * -marks)


def duration_text(base: Fraction, dots: int) -> str:
    """A note value with its dots."""
    return (_BASES.get(base) or str(base.denominator)) + "." * dots


def bar_components(
    items: tuple[WrittenItem, ...], duration: Fraction, before: tuple[str, ...], number: int, grace_time: int,
    above: bool = False, down: bool = False,
) -> list[Any]:
    """One bar of one voice; `before` are commands for its beginning, such as a key signature.

    `grace_time` is that of the longest grace notes at the bar's beginning in any voice, in sixteenths;
    `above`: dynamics stand above the staff.
    """
    if items:
        commands = _commands(list(leaves(items)), before, grace_time, _stretched(items[0]), down)
        made = [_component(item, duration, commands, above) for item in items]
    else:
        made = [skip(duration)]
        before += (waiting(grace_time),) if grace_time else ()
        if before:
            literal(made[0], before, "before")
    literal(made[-1], (f"| % {number}",), "after")
    return made


def _stretched(item: WrittenItem) -> Fraction:
    """How much longer the first leaf of an item is written than it lasts: tuplets press it together."""
    return Fraction(item.actual, item.normal) * _stretched(item.items[0]) if isinstance(item, Tuplet) else Fraction(1)


def _commands(
    bar: list[Leaf], before: tuple[str, ...], grace_time: int, stretched: Fraction, down: bool
) -> Iterator[tuple[str, ...]]:
    """What stands before each leaf, in one piece: Abjad's versions order separate commands differently."""
    counts = iter(_beam_counts([leaf.beams for leaf in bar if leaf.beams]))
    for leaf in bar:
        clef = (clef_command(leaf.clef),) if leaf.clef else ()
        ottava = () if leaf.ottava is None else (f"\\ottava #{leaf.ottava}",)
        graces = tuple(grace_commands(leaf, grace_time, _head, stretched)) if leaf.graces or grace_time else ()
        beside = tuple(_before_bar_line(leaf)) if leaf is bar[-1] else ()
        looks = (*_looks(leaf, down), *beside)
        yield before + clef + ottava + graces + looks + (next(counts) if leaf.beams else ())
        before, grace_time, stretched = (), 0, Fraction(1)


def _before_bar_line(leaf: Leaf) -> Iterator[str]:
    """A bar's last note leaves room for short words over it, so that they do not reach over the bar line."""
    techniques = ", ".join(PRINTED[word] for word in leaf.marks.techniques)
    if any(0 < len(words) <= _SHORT_WORDS for words in (techniques, leaf.marks.label, *leaf.marks.words)):
        yield "\\once \\override TextScript.extra-spacing-width = #'(0 . 0.3)"


def _over_a_tuplet(leaf: Leaf) -> Iterator[str]:
    """What always stands above the staff stands outside bracket and number: LilyPond puts neither in the way of the
    other, a fermata aside, where a slur goes over them.
    """
    ornaments = {ornament.kind for ornament in leaf.marks.ornaments}
    if _ABOVE.intersection(leaf.marks.articulations) or ornaments & {"turn", "mordent", "trill"}:
        yield "\\once \\override Script.outside-staff-priority = #60"


def _looks(leaf: Leaf, down: bool) -> Iterator[str]:
    """What head, stem and slur look like, and where a dynamic stands, where it is not as usual; `down` for a voice
    whose stems go down.
    """
    if leaf.beside:
        yield f"\\once \\override NoteColumn.force-hshift = #{'-1.2' if down else '1.7'}"
    if leaf.heads and leaf.marks.spoken:
        yield "\\once \\override NoteHead.style = #'cross"
    if leaf.heads and leaf.marks.stemless:
        yield "\\once \\omit Stem"
        yield "\\once \\omit Flag"
    if not down and not leaf.beams and leaf.base <= _EIGHTH and _top_second(leaf):
        # Its flag hangs down to the upper head, which stands on the right.
        yield "\\once \\override Stem.length-fraction = #1.25"
    if leaf.marks.slur_dashed and leaf.marks.slur_begins:
        yield "\\once \\slurDashed"
    if leaf.marks.loud and any(ornament.kind == "rolled" for ornament in leaf.marks.ornaments):
        # Not across the sign of a roll, which stands before the note and may reach down to the next staff, nor the next
        # one; but no higher than that, or it would stand beside a tempo over its staff, and not under it.
        yield "\\once \\override DynamicText.self-alignment-X = #LEFT"
        yield "\\once \\override DynamicText.extra-spacing-width = #'(0 . 0.5)"
        yield "\\once \\override DynamicText.extra-spacing-height = #'(-10 . 2)"


def _top_second(leaf: Leaf) -> bool:
    """Whether the two highest heads of a chord are a second apart."""
    positions = sorted(head.pitch.position for head in leaf.heads)
    return len(positions) > 1 and positions[-1] - positions[-2] == 1


def _component(
    item: WrittenItem, bar: Fraction, commands: Iterator[tuple[str, ...]], above: bool, in_tuplet: bool = False
) -> Any:
    if isinstance(item, Leaf):
        return _leaf(item, bar, (*next(commands), *(_over_a_tuplet(item) if in_tuplet else ())), above)
    inside = [_component(inner, bar, commands, above, True) for inner in item.items]
    return tuplet(item.actual, item.normal, inside, item.shows_ratio)


def _leaf(leaf: Leaf, bar: Fraction, commands: tuple[str, ...], above: bool) -> Any:
    value = duration_text(leaf.base, leaf.dots)
    if leaf.whole_bar and not leaf.heads:
        made = full_bar_rest(bar)
    elif not leaf.heads:
        made = read_leaf(("s" if leaf.unseen else "r") + value)
    else:
        heads = " ".join(map(_head, leaf.heads))
        made = read_leaf((f"<{heads}>" if len(leaf.heads) > 1 else heads) + value)
    if leaf.marks.optional and leaf.heads:
        commands += (_SMALL,)
    if leaf.hairpin_alone or leaf.marks.dies_away:
        # Nothing follows that could end it, so it ends within the note, shortly before the next one.
        end = _loudness((leaf.marks.goal,)) if leaf.marks.goal in DYNAMICS else "\\!"
        commands += (f"\\after {value}*7/8 {end}",)
    if commands:
        literal(made, commands, "before")
    if leaf.beams and leaf.beams[0] is Beam.BEGIN:
        abjad.attach(abjad.StartBeam(), made)
    if leaf.beams and leaf.beams[0] is Beam.END:
        abjad.attach(abjad.StopBeam(), made)
    if any(head.tie_begins for head in leaf.heads):
        abjad.attach(abjad.Tie(), made)
    if leaf.marks:
        _attach_marks(leaf.marks, made, above)
        attach_ornaments(leaf, made)
    if leaf.marks.label:
        place = abjad.UP if leaf.label_above else abjad.DOWN
        abjad.attach(abjad.Markup(f"\\markup \\small {ly_string(leaf.marks.label)}"), made, direction=place)
    if leaf.tuning:
        abjad.attach(abjad.Markup(f"\\markup {column(leaf.tuning, 40, 4)}"), made, direction=abjad.UP)
    if leaf.string is not None:
        _attach_string(leaf.string, made)
    if leaf.trill == "ends":
        # An empty chord stands where the note ends, whatever comes after it.
        literal(made, ("<>\\stopTrillSpan",), "after")
    if leaf.marks.division:
        breath = f"\\once \\set breathMarkType = #'chant{leaf.marks.division}bar \\breathe"
        literal(made, (breath,), "after")
    if leaf.script_line:
        abjad.attach(abjad.Markup(script_line(leaf.script_line)), made, direction=abjad.UP)
    if any(head.color or head.diamond for head in leaf.heads):
        dress_heads(leaf, made)
    return made


def _head(head: WrittenHead) -> str:
    return pitch_text(head.pitch) + _FORCED[head.accidental]


def _attach_marks(marks: Marks, made: Any, above: bool) -> None:
    _attach_loudness(marks, made, above)
    if marks.hairpin_ends and not marks.loud and not marks.hairpin and not marks.dies_away:
        # A dynamic or another hairpin ends a hairpin by itself, and leaves it room.
        abjad.attach(abjad.StopHairpin(), made)
    if marks.hairpin in _HAIRPINS:
        abjad.attach(abjad.StartHairpin(_HAIRPINS[marks.hairpin]), made)
    elif marks.hairpin:
        literal(made, (f"- \\tweak circled-tip ##t \\{_HAIRPINS[BASE_HAIRPINS[marks.hairpin]]}",), "after")
    if marks.slur_ends:
        abjad.attach(abjad.StopSlur(), made)
    if marks.slur_begins:
        abjad.attach(abjad.StartSlur(), made)
    for name in marks.articulations:
        if name in AFTER_NOTE:
            literal(made, (_BETWEEN_NOTES[name],), "after")
        elif name == "let_ring":
            abjad.attach(abjad.LaissezVibrer(), made)
        elif name in ARTICULATIONS:
            abjad.attach(abjad.Articulation(_NAMES.get(name, name)), made)
    if marks.who:
        # Above, but under a lower voice: the contexts' style and the direction of the stems say so.
        abjad.attach(abjad.Markup(f"\\markup {column(marks.who, 40, 4)}"), made)
    for words in marks.words:
        abjad.attach(abjad.Markup(f"\\markup \\italic {column(words, 40, 4)}"), made, direction=abjad.UP)


def _attach_loudness(marks: Marks, made: Any, above: bool) -> None:
    """The dynamic, the attack, or both as one sign; within a hairpin an attack is a text, since a sign would end it."""
    if marks.swelling and marks.loud:
        literal(made, (f"{'^' if above else '_'}\\markup \\dynamic {ly_string(' '.join(marks.loud))}",), "after")
    elif len(marks.loud) > 1 or _UNKNOWN.intersection(marks.loud):
        literal(made, (_loudness(marks.loud),), "after")
    elif marks.loud:
        abjad.attach(abjad.Dynamic(marks.loud[0]), made)


def _loudness(words: tuple[str, ...]) -> str:
    """One sign for a dynamic or several."""
    known = len(words) == 1 and words[0] not in _UNKNOWN
    return f"\\{words[0]}" if known else f'-#(make-dynamic-script {ly_string(" ".join(words))})'


def _beam_counts(beamed: list[tuple[Beam, ...]]) -> list[tuple[str, ...]]:
    """For each beamed leaf, commands where its inner levels are not what LilyPond draws by itself.

    By itself LilyPond joins two neighbors by as many levels as both have.
    """
    counts: list[dict[str, int]] = [{} for _ in beamed]
    for place, (left, right) in enumerate(zip(beamed, beamed[1:], strict=False)):
        if left[0] is Beam.END or right[0] is Beam.BEGIN:
            continue
        joined = sum(1 for a, b in zip(left, right, strict=False) if a in _GOES_ON and b in _COMES_ON)
        if joined != min(len(left), len(right)):
            counts[place]["Right"] = joined
            counts[place + 1]["Left"] = joined
    for beams, sides in zip(beamed, counts, strict=True):
        hook = next((beam for beam in beams if beam in (Beam.HOOK_BACKWARD, Beam.HOOK_FORWARD)), None)
        if hook and (sides or beams[0] is Beam.CONTINUE):
            near, far = ("Left", "Right") if hook is Beam.HOOK_BACKWARD else ("Right", "Left")
            sides[near] = len(beams)
            sides.setdefault(far, beams.index(hook))
    return [
        tuple(f"\\set stem{side}BeamCount = #{number}" for side, number in sorted(sides.items())) for sides in counts
    ]
