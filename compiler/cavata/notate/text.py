"""Written bars as text, for people and tests: one line a bar and staff.

In: a written score. Out: lines such as

    bassoon | (tenor) F#4!:4. A4?:8[ B4:8] {3:2 C5:4 D5:8}

A leaf is its pitch (a chord in angle brackets, `r` for a rest), a colon, its value with dots. After the pitch `!` is
a printed accidental, `?` a courtesy one; `~` after the value ties it on. After that stand the beam levels,
outermost first: `[` begins, `-` goes on, `]` ends, `>` and `<` are hooks; then, after slashes, dynamics, marks and
words. `R` is a whole-bar rest, `{a:b ...}` a tuplet, `(bass)` a change of clef, `key+2` a signature.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.instruments.harp_pedals import from_the_left
from cavata.music.event import FROM_NOTHING, TO_NOTHING, Marks, Ornament
from cavata.music.pitch import PitchClass
from cavata.music.said import figures_text
from cavata.notate.written import (
    Accidental,
    Beam,
    Frame,
    Leaf,
    PedalSign,
    WrittenBar,
    WrittenHead,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
)
from cavata.record import replace

_BEAMS = {Beam.BEGIN: "[", Beam.CONTINUE: "-", Beam.END: "]", Beam.HOOK_FORWARD: ">", Beam.HOOK_BACKWARD: "<"}
_SIGNS = {Accidental.NONE: "", Accidental.SHOWN: "!", Accidental.COURTESY: "?"}
_VALUES = {Fraction(2): "breve"}
_HAIRPINS = {"": "", "crescendo": "cresc<", "diminuendo": "dim>", FROM_NOTHING: "o cresc<", TO_NOTHING: "dim> o"}


def score_text(score: WrittenScore, letters: bool = False) -> str:
    """The whole score; with `letters` each note is followed by `_` and the letters under it."""
    return "\n".join(line for movement in score.movements for line in _movement_lines(movement, letters)) + "\n"


def _movement_lines(movement: WrittenMovement, letters: bool) -> Iterator[str]:
    kind = "cadenza" if movement.is_cadenza else "movement"
    yield f"{kind} {movement.name}" + (f' "{movement.title}"' if movement.title else "")
    width = max((len(label) for part in movement.parts for label in _labels(part)), default=0)
    for number, frame in enumerate(movement.frames):
        yield frame_text(frame)
        for part in movement.parts:
            for label, staff in zip(_labels(part), part.staves, strict=True):
                clef = f"({staff.clef}) " if number == 0 else ""
                yield f"    {label:<{width}} | {clef}{bar_text(staff.bars[number], letters)}"
                if staff.bars[number].ossia:
                    small = replace(staff.bars[number], voices=staff.bars[number].ossia, key=None)
                    yield f"    {'ossia':<{width}} | {bar_text(small, letters)}"


def _labels(part: WrittenPart) -> list[str]:
    names = part.part.instrument.standing(len(part.staves))
    return [f"{part.part.name}.{name}" if name else part.part.name for name in names]


def frame_text(frame: Frame) -> str:
    """What the staves share at a bar, as `bar 5  3/4  [B] "title"  1/4 = 96  single`."""
    words = [f"bar {frame.number}"]
    if frame.shows_meter and frame.meter:
        groups = "+".join(map(str, frame.meter.groups))
        words.append(f"{frame.meter} as {groups}" if frame.meter.as_given else frame.meter.sign or str(frame.meter))
    if frame.meter is None:
        words.append(f"free {frame.duration}")
    if frame.rehearsal:
        words.append(f"[{frame.rehearsal}]")
    if frame.section:
        words.append(f'"{frame.section}"')
    for offset, tempo in frame.tempi:
        place = f" after {offset}" if offset else ""
        label = f' "{tempo.words}"' if tempo.words else ""
        sides = (tempo.beat, tempo.per_minute) if tempo.equals is None else (tempo.equals, tempo.beat)
        figure = f"{sides[0]} = {sides[1]}" if tempo.metronome else ""
        words.append(f"{figure}{label}{place}".strip())
    words += [f"dashes {'from' if begins else 'to'} {offset}" for offset, begins in frame.dashes]
    words += [*frame.opens, *(form.words for form in frame.closes)]
    if frame.ending:
        words.append(f"ending {frame.ending_text}")
    if frame.barline != "single":
        words.append(f"then {frame.barline}")
    return "  ".join(words)


def bar_text(bar: WrittenBar, letters: bool = False) -> str:
    """One bar of one staff; voices are parted by `//`."""
    key = "" if bar.key is None else f"key{bar.key:+d} "
    pedals = "".join(f"{_pedals_text(sign)} " for sign in bar.pedals)
    voices = (" ".join(item_text(item, letters) for item in voice) for voice in bar.voices if voice)
    return key + pedals + " // ".join(voices)


def _pedals_text(sign: PedalSign) -> str:
    """A harp's pedals at a moment, as `pedals(D C# Bb E F G A)` or `pedals(F# after 1/4)`."""
    if sign.setting is not None:
        said = [str(given) for given in from_the_left(sign.setting)]
    else:
        said = [str(PitchClass(letter, alter)) for letter, alter, _ in sign.moved]
    return f"pedals({' '.join(said)}{f' after {sign.offset}' if sign.offset else ''})"


def item_text(item: WrittenItem, letters: bool) -> str:
    """One leaf or tuplet."""
    if isinstance(item, Leaf):
        return _leaf_text(item, letters)
    return f"{{{item.actual}:{item.normal} " + " ".join(item_text(inner, letters) for inner in item.items) + "}"


def _leaf_text(leaf: Leaf, letters: bool) -> str:
    clef = f"({leaf.clef}) " if leaf.clef else ""
    if leaf.whole_bar:
        return f"{clef}R{_tuning_text(leaf)}"
    heads = [_head_text(head) for head in leaf.heads] or ["r"]
    what = heads[0] if len(heads) == 1 else f"<{' '.join(heads)}>"
    tie = "~" if any(head.tie_begins for head in leaf.heads) else ""
    beams = "".join(_BEAMS[beam] for beam in leaf.beams)
    under = f"_{leaf.letters.replace(' ', '+')}" if letters and leaf.letters else ""
    note = f"{_graces_text(leaf.graces)}{what}:{_value_text(leaf.base)}{'.' * leaf.dots}{tie}{beams}"
    return f"{clef}{note}{_marks_text(leaf.marks)}{_tuning_text(leaf)}{under}"


def _tuning_text(leaf: Leaf) -> str:
    return f"/tuning {leaf.tuning}" if leaf.tuning else ""


def _ornament_text(ornament: Ornament) -> str:
    """A sign with what belongs to it, as `trill-flat`, `mordent-below-sharp` or `tremolo-1/32`."""
    below = ornament.sign_below and f"below-{ornament.sign_below}"
    return "-".join(str(part) for part in (ornament.kind, ornament.sign, below, ornament.unit) if part)


def _graces_text(graces: tuple[tuple[WrittenHead, ...], ...]) -> str:
    """Grace notes before their note, as `(E4 F4)`; the notes of a chord are joined by `+`."""
    return f"({' '.join('+'.join(map(_head_text, grace)) for grace in graces)})" if graces else ""


def _head_text(head: WrittenHead) -> str:
    return f"{head.pitch}{_SIGNS[head.accidental]}" + "◇" * head.diamond


def _value_text(base: Fraction) -> str:
    return _VALUES.get(base) or str(base.denominator)


def _marks_text(marks: Marks) -> str:
    words = [*marks.loud, *marks.articulations, *(f'"{word}"' for word in marks.words), _HAIRPINS[marks.hairpin]]
    words += [_ornament_text(ornament) for ornament in marks.ornaments]
    words += marks.techniques
    words += ["glissando"] * marks.glides + ["pedal"] * marks.pedal_begins + ["|pedal"] * marks.pedal_ends
    words += [f"held {marks.held}"] if marks.held else []
    words += [f"sung {syllable}" for syllable in marks.sung]
    words += [f"chord {marks.symbol}"] if marks.symbol else []
    words += [f"figures {figures_text(marks.figures)}"] if marks.figures else []
    words += [f"label {marks.label}"] if marks.label else []
    words += ["optional"] * marks.optional
    words += [f"string {marks.string}"] if marks.string else []
    words += [f"harmonic {marks.harmonic}"] if marks.harmonic else []
    words += ["spoken"] * marks.spoken + ["no stem"] * marks.stemless
    words += [f"{marks.division} division"] if marks.division else []
    words += [f"who {marks.who}"] if marks.who else []
    words += ["|hairpin"] * marks.hairpin_ends + [f"at {marks.goal}"] * bool(marks.goal)
    words += [")"] * marks.slur_ends + ["("] * marks.slur_begins
    return "".join(f"/{word}" for word in words if word)
