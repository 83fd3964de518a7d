"""Staves, braces and brackets of one movement.

In: a movement, the groups of the piece, and how names are to be printed. Out: an Abjad score: the shared voice of
skips first, then the parts in score order, groups under a bracket, two staves of one player under a brace. Cues are a
voice of small notes in the context that LilyPond has for them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Any

import abjad

from cavata.instruments.instrument import PEDAL
from cavata.lilypond.abjad_versions import consists, literal, simultaneous, skip, text_of
from cavata.lilypond.frames import global_voice, marks_again
from cavata.lilypond.hands import PEDAL_LINE, harp_lines, pedal_lines, without_pedal
from cavata.lilypond.leaves import bar_components, clef_command, key_command, opening_graces, waiting
from cavata.lilypond.literals import column, ly_string
from cavata.lilypond.words import figure_lines, lyrics, sung_lines, symbol_lines
from cavata.notate.paper.page import NAME_LINES, NAME_WIDTH
from cavata.notate.paper.systems import Node, places_in, tree
from cavata.notate.written import Frame, WrittenBar, WrittenMovement, WrittenPart, WrittenStaff
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.score import Group, GroupSign, Part

_LINES_APART = 2
"""Staff spaces between the lines of several unpitched instruments, so that a name fits beside each."""
_BEAM = 0.48
"""How thick a beam is, in staff spaces. Source: LilyPond's own beams."""
_SMALL = (
    "\\magnifyStaff #2/3",
    "\\override VerticalAxisGroup.staff-staff-spacing = "
    "#'((basic-distance . 6) (minimum-distance . 5) (padding . 0.8) (stretchability . 2))",
)
"""How large an ossia is, and how near to its staff, in staff spaces."""
_Bar = tuple[Frame, int]
"""What a bar has in common for all staves, and the grace time before its first notes, in sixteenths."""
_CONTEXTS = {GroupSign.BRACKET: "StaffGroup", GroupSign.SQUARE: "StaffGroup", GroupSign.BRACE: "PianoStaff"}
_STEMS = ("\\voiceOne", "\\voiceTwo", "\\voiceThree", "\\voiceFour")


@record
class SystemStyle:
    """What stands beside and under the staves of a movement."""

    full_names: bool
    """Parts are named in full before the first system, else short."""
    short_names: bool
    """Parts are named before later systems; a piece for one part needs none."""
    letters: bool
    """Letters stand under the notes."""


def score_block(movement: WrittenMovement, groups: tuple[Group, ...], style: SystemStyle) -> Any:
    """The Abjad score of a movement."""
    graces = opening_graces(movement)
    bars = tuple(zip(movement.frames, graces, strict=True))
    contexts: list[Any] = [global_voice(movement, graces)]
    made = [
        _part(part, bars, f"P{number}", style, _marks_above(movement, part, graces))
        for number, part in enumerate(movement.parts, start=1)
    ]
    contexts += _bracketed(movement, made, tree([part.part for part in movement.parts], groups), "Group", style)
    return abjad.Score(contexts, name="Score", simultaneous=True)


def _marks_above(movement: WrittenMovement, part: WrittenPart, graces: tuple[int, ...]) -> list[str]:
    """The text of letters and tempi that stand above a part inside the system."""
    here = part.part.name == movement.marks_above
    return text_of(marks_again(movement, graces)).splitlines() if here else []


def _bracketed(
    movement: WrittenMovement, made: list[Any], nodes: tuple[Node, ...], name: str, style: SystemStyle
) -> Iterator[Any]:
    """The staves of a stretch, those of each group inside a context that draws its bracket."""
    for number, node in enumerate(nodes, start=1):
        if isinstance(node, int):
            yield made[node]
            continue
        group, inside = node
        context = abjad.StaffGroup(
            list(_bracketed(movement, made, inside, f"{name}{number}s", style)), name=f"{name}{number}",
            simultaneous=True, lilypond_type=_CONTEXTS[group.sign] if group.joined else "ChoirStaff",
        )
        if group.sign is GroupSign.BRACKET:
            _keep_together(context, [(movement.parts[place], made[place]) for place in places_in(inside)])
        if group.sign is GroupSign.SQUARE:
            abjad.setting(context).systemStartDelimiter = "#'SystemStartSquare"
        if group.label and group.one_player:
            parts = [(movement.parts[place].part, made[place]) for place in places_in(inside)]
            _call_player(context, group, parts, style)
        elif group.label:
            _call(context, _column(group.label), _column(group.abbreviation), style)
            for staff in inside:
                if isinstance(staff, int):
                    _call(made[staff], "", "", style)
        yield context


def _keep_together(context: Any, inside: Sequence[tuple[WrittenPart, Any]]) -> None:
    """Have the staves under a bracket stand all or none, if they are to."""
    together = [any(staff.together for staff in part.staves) for part, _ in inside]
    if any(together):
        consists(context, "Keep_alive_together_engraver")
        for (_, made), is_one in zip(inside, together, strict=True):
            if not is_one:
                abjad.override(made).VerticalAxisGroup.remove_layer = False


def _part(part: WrittenPart, bars: tuple[_Bar, ...], name: str, style: SystemStyle, above: list[str]) -> Any:
    """The staff of a part, or its staves under a brace; `above` is what stands over them besides their own."""
    staves = [
        _staff(part, staff, bars, f"{name}S{index}", style.letters)
        for index, staff in enumerate(part.staves, start=1)
    ]
    frames = tuple(frame for frame, _ in bars)
    over = [*above, *symbol_lines(part.staves, frames)]
    small = [ossia_lines(part, number, bars, name) for number in range(len(staves))]
    if len(staves) == 1:
        over += small[0]
    for lines, staff in zip(small[1:], staves[1:], strict=True):
        if lines:
            literal(staff, lines, "before")
    if over:
        literal(staves[0], over, "before")
    names = part.part.instrument.standing(len(staves))
    feet = staves.pop() if names[-1] == PEDAL else None
    whole = staves[0] if len(staves) == 1 else _under_a_brace(part, staves, frames, name)
    if len(part.staves) > 1 and small[0]:  # outside the brace, which is for what is played
        literal(whole, small[0], "before")
    short = _name(part.part, part.part.abbreviation, tuple(m.abbreviation for m in part.part.members))
    _call(whole, _name(part.part, part.part.label, tuple(m.label for m in part.part.members)), short, style)
    if feet is None:
        return whole
    long, later = (ly_string(page_words(part.part.language, "playing", key)) for key in ("pedals", "pedals_short"))
    _call(feet, long, later, style)
    # Its bar lines do not go on into the manuals. Source: common practice.
    return abjad.Container([whole, feet], simultaneous=True)


def _under_a_brace(part: WrittenPart, staves: list[Any], frames: tuple[Frame, ...], name: str) -> Any:
    """The staves of one player's hands: a roll over several is one, and the sustain pedal stands under the lowest."""
    pedal = [*pedal_lines(part.staves, frames, part.pedal_as_line), *harp_lines(part.staves, frames)]
    if pedal:
        literal(staves[-1], pedal, "after")
    whole = abjad.StaffGroup(staves, name=name, lilypond_type="PianoStaff")
    if part.rolls_across:
        abjad.setting(whole).connectArpeggios = True
    return whole


def _call(context: Any, long: str, short: str, style: SystemStyle) -> None:
    """Set the names before the first system and before later ones."""
    first = long if style.full_names else short if style.short_names else ""
    later = short if style.short_names else ""
    abjad.setting(context).instrumentName = f"\\markup {first}" if first else '""'
    abjad.setting(context).shortInstrumentName = f"\\markup {later}" if later else '""'


def _call_player(context: Any, group: Group, parts: Sequence[tuple[Part, Any]], style: SystemStyle) -> None:
    """Before a brace the name of its player, and to the right of it at each staff that of the instrument.

    LilyPond has all names one above another in the middle of their room, so that each leaves the place of the other.
    """
    long, short = _column(group.label), _column(group.abbreviation)
    names = [(_column(part.label), _column(part.abbreviation)) for part, _ in parts]
    widest = _column(max((part.label for part, _ in parts), key=len))
    later = _column(max((part.abbreviation for part, _ in parts), key=len))
    _call(context, _side_by_side(long, _room_of(widest)), _side_by_side(short, _room_of(later)), style)
    for (_, staff), (name, abbreviation) in zip(parts, names, strict=True):
        _call(staff, _side_by_side(_room_of(long), name), _side_by_side(_room_of(short), abbreviation), style)


def _side_by_side(left: str, right: str) -> str:
    return f"\\line {{ {left} \\hspace #1 {right} }}"


def _room_of(text: str) -> str:
    """Nothing, as wide as a text."""
    return f"\\with-dimensions-from {text} \\null"


def _column(name: str) -> str:
    return column(name, NAME_WIDTH, NAME_LINES, "center-column")


def _name(part: Part, name: str, members: tuple[str, ...]) -> str:
    """A name before a system; of several unpitched instruments one beside each line."""
    shown = _column(name)
    if not members or not part.instrument.unpitched:
        return shown
    lines = " ".join(column(member, NAME_WIDTH, 1) for member in members)
    beside = f"\\override #'(baseline-skip . {_LINES_APART}) \\small \\right-column {{ {lines} }}"
    return beside if name == ", ".join(members) else f"\\line {{ \\vcenter {shown} \\vcenter {beside} }}"


def _staff(
    part: WrittenPart, staff: WrittenStaff, bars: tuple[_Bar, ...], name: str, letters: bool
) -> Any:
    count = max((len(bar.voices) for bar in staff.bars), default=1)
    voices = [
        abjad.Voice(list(_voice(part, staff, bars, index, count)), name=f"{name}V{index + 1}") for index in range(count)
    ]
    lines = part.part.percussion_lines
    kind = "RhythmicStaff" if lines == 1 else "Staff"
    if any(bar.cue for bar in staff.bars):
        voices.append(_cue_voice(staff, bars, f"{name}Cue"))
    made = abjad.Staff(voices, name=name, lilypond_type=kind, simultaneous=len(voices) > 1)
    if lines > 1:
        _lines_apart(made, lines)
    if staff.hides:
        abjad.override(made).VerticalAxisGroup.remove_empty = True
    frames = tuple(frame for frame, _ in bars)
    names = [f"{name}V{index + 1}" for index in range(count)]
    under = [line for index, voice in enumerate(names) for line in sung_lines(staff, frames, index, voice)]
    if len(voices) > count:
        under += sung_lines(_cues_alone(staff), frames, 0, f"{name}Cue")
    under += [line for index in range(count) for line in figure_lines(staff, frames, index)]
    if letters:
        under += [line for index, voice in enumerate(names) for line in lyrics(staff, frames, index, voice)]
    if under:
        literal(made, under, "after")
    return made


# ----------------------------------------------------------------
# An ossia: a small staff above a part's own, there only in the bars that have another reading.
#
# In: a part and one of its staves. Out: the text of the staff above it, which runs through the movement but has no
# lines, and no place in a system, where there is no ossia. Its clef and key are those below it, and stand only where a
# line begins with it. Source: common practice.


def ossia_lines(part: WrittenPart, number: int, bars: tuple[_Bar, ...], name: str) -> list[str]:
    """The staff above one of a part's staves; nothing where that has no ossia."""
    staff = part.staves[number]
    if not staff.has_ossia:
        return []
    small = replace(part, staves=tuple(each.as_ossia for each in part.staves))
    called = f"{name}S{number + 1}O"
    made = _staff(small, small.staves[number], bars, called, False)
    lines = abjad.Voice(list(_there(staff, bars)), name=f"{called}L")
    made.insert(0, lines)
    simultaneous(made)
    abjad.override(made).VerticalAxisGroup.remove_empty = True
    abjad.override(made).VerticalAxisGroup.remove_first = True
    abjad.override(made).TimeSignature.stencil = False
    abjad.setting(made).explicitClefVisibility = "#begin-of-line-visible"
    abjad.setting(made).explicitKeySignatureVisibility = "#begin-of-line-visible"
    text = text_of(made).splitlines()
    begin = text.index("{") + 1  # inside `\\with`, where Abjad knows of settings only
    return [*text[:begin], *(f"    {line}" for line in _SMALL), *text[begin:]]


def _there(staff: WrittenStaff, bars: Sequence[_Bar]) -> Iterator[Any]:
    """Skips that draw the lines of the staff in the bars of the ossia, and nowhere else."""
    for is_there, stretch in groupby(zip(staff.bars, bars, strict=True), key=lambda pair: bool(pair[0].ossia)):
        frames = [bar for _, bar in stretch]
        made = skip(sum((frame.duration for frame, _ in frames), Fraction(0)))
        commands = ["\\startStaff" if is_there else "\\stopStaff"]
        undo = "\\undo " if is_there else ""
        commands += [f"{undo}\\omit Staff.{name}" for name in ("Clef", "KeySignature")]
        if frames[0][1]:
            commands.append(waiting(frames[0][1]))
        literal(made, commands, "before")
        yield made


# ----------------------------------------------------------------


def _lines_apart(staff: Any, lines: int) -> None:
    """Lines as far apart as names need. Stems and beams, which LilyPond counts in staff spaces, stay as elsewhere."""
    symbols = abjad.override(staff)
    symbols.StaffSymbol.line_count = lines
    symbols.StaffSymbol.staff_space = _LINES_APART
    symbols.Stem.length_fraction = 1 / _LINES_APART
    for beams in (symbols.Beam, symbols.StemTremolo):
        beams.beam_thickness = _BEAM / _LINES_APART
        beams.length_fraction = 1 / _LINES_APART


def _lines_named(part: WrittenPart) -> list[str]:
    """Where several unpitched instruments have a line each: the lowest is read as E4, wherever the middle lies."""
    if part.part.percussion_lines < 2:
        return []
    place = -part.part.percussion_lines - 1
    return [f"\\set Staff.middleCPosition = #{place}", f"\\set Staff.middleCClefPosition = #{place}"]


def _voice(part: WrittenPart, staff: WrittenStaff, bars: tuple[_Bar, ...], index: int, count: int) -> Iterator[Any]:
    """One voice, bar by bar; where another voice is silent too, stems go as they would alone."""
    stems, above = "", False
    for place, (bar, (frame, graces)) in enumerate(zip(staff.bars, bars, strict=True)):
        before: list[str] = []
        if index == 0 and place == 0:
            before.append(clef_command(staff.clef))
            before += _lines_named(part)
            if part.pedal_as_line and len(part.staves) == 1:
                before.append(f"\\set Staff.{PEDAL_LINE}")
        if index == 0 and bar.key is not None:
            before.append(key_command(bar.key))
        if index == 0:
            before += _rest_beside_cue(staff.bars[place - 1] if place else None, bar, staff.clef)
        if count > 1:
            together = sum(1 for voice in bar.voices if voice) > 1
            wanted = _STEMS[index % len(_STEMS)] if together else "\\oneVoice"
            if wanted != stems:
                before.append(wanted)
                before += _rests_on_line(part, wanted)
            stems = wanted
        if index == 0 and bar.dynamics_above != above:
            above = bar.dynamics_above
            before.append("\\dynamicUp" if above else "\\dynamicNeutral")
        items = bar.voices[index] if index < len(bar.voices) else ()
        if len(part.staves) > 1:
            items = without_pedal(items)
        if bar.rest_bars == 1:
            down = index % 2 == 1
            yield from bar_components(items, frame.duration, tuple(before), frame.number, graces, above, down)
        elif bar.rest_bars:
            last = frame.number + bar.rest_bars - 1
            yield from bar_components(items, frame.duration * bar.rest_bars, tuple(before), last, graces)


def _rests_on_line(part: WrittenPart, stems: str) -> Iterator[str]:
    """Where several unpitched instruments share a staff, the rests of two voices stand on its outer lines, not beyond.

    Source: common practice.
    """
    outer = part.part.percussion_lines - 1
    if outer > 0:
        place = {"\\voiceOne": outer, "\\voiceTwo": -outer}.get(stems)
        for sign in ("Rest", "MultiMeasureRest"):
            grob = f"{sign}.staff-position"
            yield f"\\revert {grob}" if place is None else f"\\override {grob} = #{place}"


def _cue_voice(staff: WrittenStaff, bars: Sequence[_Bar], name: str) -> Any:
    """The voice of a staff's cues, silent where there is none."""
    return abjad.Voice(list(_cues(staff, bars)), name=name, lilypond_type="CueVoice")


def _cues_alone(staff: WrittenStaff) -> WrittenStaff:
    """A staff of which the cues are the only voice."""
    return replace(staff, bars=tuple(replace(bar, voices=(bar.cue,)) for bar in staff.bars))


def _cues(staff: WrittenStaff, bars: Sequence[_Bar]) -> Iterator[Any]:
    stems = ""
    for has_cue, stretch in groupby(zip(staff.bars, bars, strict=True), key=lambda pair: bool(pair[0].cue)):
        if not has_cue:
            yield _silence([bar for _, bar in stretch])
            continue
        for written, (frame, graces) in stretch:
            wanted = "\\voiceTwo" if written.cue_below else "\\voiceOne"
            before = (wanted,) if wanted != stems else ()
            yield from bar_components(written.cue, frame.duration, before, frame.number, graces)
            stems = wanted


def _silence(bars: Sequence[_Bar]) -> Any:
    """One skip; it begins as late as the other voices where grace notes stand first."""
    made = skip(sum((frame.duration for frame, _ in bars), Fraction(0)))
    if bars[0][1]:
        literal(made, (waiting(bars[0][1]),), "before")
    return made


def _rest_beside_cue(before: WrittenBar | None, bar: WrittenBar, clef: str) -> tuple[str, ...]:
    """Commands where the reader's own voice goes to the other side of a cue, or comes back; none where it stays.

    On a staff of five lines the rest stands outside it, out of the cue's way.
    """
    places = before.cue_rest if before and before.cue else 0, bar.cue_rest if bar.cue else 0
    if places[0] == places[1]:
        return ()
    one_line = clef == "percussion"
    if not places[1]:
        return ("\\oneVoice", *(() if one_line else ("\\revert MultiMeasureRest.staff-position",)))
    where = () if one_line else (f"\\override MultiMeasureRest.staff-position = #{places[1]}",)
    return ("\\voiceOne" if bar.cue_below else "\\voiceTwo", *where)
