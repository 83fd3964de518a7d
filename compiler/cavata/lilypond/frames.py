"""What all staves of a movement share: meter, tempo, rehearsal marks, bar lines and their numbers.

In: a movement. Out: one parallel voice of skips that carries all of it, so that no staff has to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import repeat
from typing import Any

import abjad

from cavata.lilypond.abjad_versions import literal, skip
from cavata.lilypond.leaves import waiting
from cavata.lilypond.literals import column, ly_string
from cavata.music.lengths import is_plain
from cavata.notate.written import Frame, WrittenMovement, note_value
from cavata.score.score import TO_CODA, Tempo

_BARLINES = {
    "double": '\\bar "||"', "final": '\\bar "|."', "none": '\\bar ""',
    "repeat ends": '\\bar ":|."', "repeat begins": '\\bar ".|:"', "repeat ends and begins": '\\bar ":|.|:"',
}  # fmt: skip
_METER_GLYPHS = {"common": "timesig.C44", "cut": "timesig.C22"}
_METER_SIGN = (
    "\\once \\override Score.TimeSignature.stencil = "
    "#(lambda (grob) (grob-interpret-markup grob (markup {})))"
)
"""The staves ask for numbers by another property, so that the style of the sign would not reach them."""
_BEGIN_DASHES, _END_DASHES = "\\=tempo\\startTextSpan", "\\=tempo\\stopTextSpan"
_NUMBERED = "\\once \\override Score.BarNumber.break-visibility = #end-of-line-invisible"
"""The bar has its number also inside a line."""
_SECTION_WIDTH = 40
_LONGEST_LETTER = 20
_FREE_NUMBERS_OFF, _FREE_NUMBERS_ON = "\\omit Score.BarNumber", "\\undo \\omit Score.BarNumber"


def global_voice(movement: WrittenMovement, graces: tuple[int, ...]) -> Any:
    """The voice of skips; `graces` are, for each frame, the grace time before its first notes, in sixteenths."""
    skips: list[Any] = []
    before: Frame | None = None
    shared = zip(movement.frames, movement.line_breaks, graces, _rest_bars(movement), strict=True)
    goes_on = _dashes_go_on(movement.frames)
    for number, (frame, places, grace_time, count) in enumerate(shared):
        if count:
            skips += _frame_skips(frame, before, places, grace_time, frame.duration * count)
        if number == 0 and goes_on:
            literal(skips[0], (_BEGIN_DASHES,), "after")
        _close(frame, skips[-1])
        if _in_overlap(movement, number) and not frame.ends_page:
            literal(skips[-1], ("\\noBreak",), "after")
        before = frame
    if skips:
        end = ['\\bar "|."'] if before and before.barline not in _BARLINES else []
        if movement.attacca:
            end = ["\\textEndMark \\markup \\italic attacca"]
        if before and before.ending_stops:
            end.append("\\set Score.repeatCommands = #'((volta #f))")
        if end:
            literal(skips[-1], end, "after")
    return abjad.Context(skips, lilypond_type="Devnull", name="Global")


def _dashes_go_on(frames: Sequence[Frame]) -> bool:
    """Whether a dashed line that began before the first frame of a stretch leads into it."""
    return not next((begins for frame in frames for _, begins in frame.dashes), True)


def marks_again(movement: WrittenMovement, graces: tuple[int, ...]) -> Any:
    """The voice of skips with letters and tempi alone, to stand above a staff inside the system."""
    skips: list[Any] = []
    for frame, grace_time in zip(movement.frames, graces, strict=True):
        mark = _rehearsal_mark(frame)
        at: dict[Fraction, list[str]] = {Fraction(0): [mark] if mark else []}
        skips += _skips(frame, at, grace_time, frame.duration)
    made = abjad.Context(skips, lilypond_type="MarksAbove", name="MarksAbove")
    own = next(part for part in movement.parts if part.part.name == movement.marks_above)
    if any(staff.together for staff in own.staves):
        abjad.override(made).VerticalAxisGroup.remove_empty = True
        abjad.override(made).VerticalAxisGroup.remove_layer = "#'any"
    return made


def _in_overlap(movement: WrittenMovement, number: int) -> bool:
    """Whether a frame stands on one line with others that are only there for what leads over a cut."""
    before, after = movement.overlap
    return number < before or number >= len(movement.frames) - after


def _rest_bars(movement: WrittenMovement) -> Iterator[int]:
    """How many bars each bar stands for; a bar line inside a rest of several bars would break it."""
    staves = movement.parts[0].staves if movement.parts else ()
    return (bar.rest_bars for bar in staves[0].bars) if staves else repeat(1, len(movement.frames))


def _frame_skips(
    frame: Frame, before: Frame | None, breaks: tuple[Fraction, ...], grace_time: int, length: Fraction
) -> list[Any]:  # fmt: skip
    at: dict[Fraction, list[str]] = {Fraction(0): _opening(frame, before)}
    for place in breaks:
        at.setdefault(place, []).append('\\bar ""')
    return _skips(frame, at, grace_time, length)


def _skips(frame: Frame, at: dict[Fraction, list[str]], grace_time: int, length: Fraction) -> list[Any]:
    """The skips of a bar with these commands at their moments, and its tempi."""
    lines: dict[Fraction, list[str]] = {}
    dashed = {offset for offset, begins in frame.dashes if begins}
    for offset, tempo in frame.tempi:
        if tempo.printed and not (offset in dashed and tempo.until is not None):
            at.setdefault(offset, []).append(tempo_command(tempo))
    for offset, begins in frame.dashes:
        at.setdefault(offset, [])
        words = next((t.words for o, t in frame.tempi if o == offset and t.until is not None), "") if begins else ""
        lines.setdefault(offset, []).append(_dashes_begin(words) if begins else _END_DASHES)
    if grace_time:
        at[Fraction(0)].append(waiting(grace_time))
    moments = sorted(moment for moment in at if moment < length)
    skips = []
    for start, end in zip(moments, [*moments[1:], length], strict=True):
        segment = skip(end - start)
        if at[start]:
            literal(segment, at[start], "before")
        if start in lines:
            literal(segment, lines[start], "after")
        skips.append(segment)
    return skips


def _dashes_begin(words: str) -> str:
    """A dashed line begins after words, which keep clear of what a player is told under them."""
    said = f"\\markup \\italic {{ {column(words, 56, 3)} \\hspace #0.5 }}"
    clear = "- \\tweak outside-staff-padding #0.8"
    return f"{clear} - \\tweak bound-details.left.text {said} {_BEGIN_DASHES}" if words else _BEGIN_DASHES


def _close(frame: Frame, last: Any) -> None:
    """What stands at a bar's end."""
    words = _end_words(frame)
    if words:
        # A letter may begin at the bar line where the words end.
        literal(last, (f"\\textEndMark \\markup {{ {words} \\hspace #0.5 }}",), "after")
    if frame.barline in _BARLINES:
        literal(last, (_BARLINES[frame.barline],), "after")
    if frame.ends_page:
        literal(last, ("\\pageBreak",), "after")


def _end_words(frame: Frame) -> str:
    """What is said at a bar's end above it: how often a repeat is played, and how the playing goes on."""
    said = [f"\\italic {ly_string(frame.times)}"] if frame.times else []
    for form in frame.closes:
        sign = ' \\hspace #0.3 \\smaller \\musicglyph "scripts.coda"' if form.sign == TO_CODA else ""
        said.append(f"\\concat {{ \\italic {ly_string(form.words)}{sign} }}")
    return said[0] if len(said) == 1 else f"{{ {' '.join(said)} }}" if said else ""


def _opening(frame: Frame, before: Frame | None) -> list[str]:
    """The commands at a bar's beginning. The bar's length is set outright, for pickups and free time."""
    commands = []
    if before is None:
        commands.append(f"\\set Score.currentBarNumber = #{frame.number}")
        if not frame.shows_meter:
            commands.append("\\once \\omit Score.TimeSignature")
    elif frame.number != before.number + 1:
        commands.append(f"\\set Score.currentBarNumber = #{frame.number}")
    if frame.meter is None and (before is None or before.meter is not None):
        commands.append(_FREE_NUMBERS_OFF)
    elif frame.meter is not None and before is not None and before.meter is None:
        commands.append(_FREE_NUMBERS_ON)
    if frame.shows_meter and frame.meter:
        if frame.meter.sign:
            commands.append(_METER_SIGN.format(f'#:musicglyph "{_METER_GLYPHS[frame.meter.sign]}"'))
        elif frame.meter.as_given:
            numbers = " ".join(map(str, (*frame.meter.groups, frame.meter.denominator)))
            commands.append(_METER_SIGN.format(f"#:compound-meter '(({numbers}))"))
        commands.append(f"\\time {frame.meter}")
    if before is None or frame.shows_meter or frame.duration != before.duration:
        length = f"{frame.duration.numerator}/{frame.duration.denominator}"
        commands.append(f"\\set Timing.measureLength = #(ly:make-moment {length})")
    commands += _brackets(frame, before)
    # With its number, since the default one is not printed at the beginning of a movement.
    commands += [f"\\{sign}Mark 1" for sign in frame.opens]
    commands += [_NUMBERED] if frame.shows_number else []
    mark = _rehearsal_mark(frame)
    return [*commands, mark] if mark else commands


def _brackets(frame: Frame, before: Frame | None) -> list[str]:
    """The bracket of an ending begins, or one stops."""
    stops = ["(volta #f)"] if before is not None and before.ending_stops else []
    begins = [f"(volta {ly_string(frame.ending_text)})"] if frame.ending else []
    return [f"\\set Score.repeatCommands = #'({' '.join(stops + begins)})"] if stops or begins else []


def _rehearsal_mark(frame: Frame) -> str:
    """The letter boxed, the section's title beside it."""
    letter = f"\\bold \\box \\pad-markup #0.2 {ly_string(frame.rehearsal[:_LONGEST_LETTER])}" if frame.rehearsal else ""
    title = f"\\fontsize #-2 \\italic {column(frame.section, _SECTION_WIDTH, 3)}" if frame.section else ""
    if letter and title:
        return f"\\mark \\markup {{ {letter} \\hspace #0.5 {title} }}"
    return f"\\mark \\markup {letter or title}" if letter or title else ""


def tempo_command(tempo: Tempo) -> str:
    """A metronome mark with its words, in bold, as usual; words of a change stand in italics, without a figure."""
    if not tempo.metronome:
        style = "\\medium \\italic" if tempo.until is not None else "\\bold"
        return f"\\tempo \\markup {style} {column(tempo.words, 56, 3)}"
    words = f"\\general-align #Y #DOWN {column(tempo.words, 56, 3)}" if tempo.words else ""
    short = len(tempo.words) <= 56
    if tempo.equals is not None:
        return _equation(tempo, words)
    if tempo.per_minute.denominator == 1 and (beat := _note_value(tempo.beat)):
        text = ly_string(tempo.words) if short else f"\\markup {words}"
        return f"\\tempo {text} {beat} = {tempo.per_minute}" if words else f"\\tempo {beat} = {tempo.per_minute}"
    figure = f"{_beat_markup(tempo.beat)} {ly_string(f' = {_number(tempo.per_minute)}')}"
    bracketed = f'"(" {figure} ")"' if words else figure
    mark = f"\\normal-text \\concat {{ {bracketed} }}"
    return f"\\tempo \\markup {{ {words} {mark} }}" if words else f"\\tempo \\markup {mark}"


def _equation(tempo: Tempo, words: str) -> str:
    """A note value that is as long as another was."""
    assert tempo.equals is not None
    figure = f'{_beat_markup(tempo.equals)} " = " {_beat_markup(tempo.beat)}'
    mark = f'\\normal-text \\concat {{ "(" {figure} ")" }}'
    return f"\\tempo \\markup {{ {words} {mark} }}" if words else f"\\tempo \\markup {mark}"


def _note_value(beat: Fraction) -> str:
    """The beat as one note value with up to two dots; empty if it needs more than one."""
    base, dots = note_value(beat.numerator, beat.denominator) or (Fraction(2), 0)
    return f"{base.denominator}{'.' * dots}" if base <= 1 else ""


def _beat_markup(beat: Fraction) -> str:
    """The beat as small notes, several with plus signs where one cannot say it; as a fraction if none can."""
    if not is_plain(beat) or beat > 2:
        return ly_string(str(beat))
    notes = []
    while beat:
        candidates = (beat, Fraction(1, beat.denominator), Fraction(1, 2), Fraction(1))
        part = max(value for value in candidates if value <= beat and _note_value(value))
        notes.append(f"\\smaller \\general-align #Y #DOWN \\note {{{_note_value(part)}}} #UP")
        beat -= part
    return ' " + " '.join(notes)


def _number(value: Fraction) -> str:
    """A metronome figure, to a tenth: `92.5`."""
    tenths = round(value * 10)
    return str(tenths // 10) if tenths % 10 == 0 else f"{tenths // 10}.{tenths % 10}"
