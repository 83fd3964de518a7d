"""Staves, braces and brackets of one movement.

In: a movement, the groups of the piece, and how names are to be printed. Out: an Abjad score: the shared voice of
skips first, then the parts in score order, groups under a bracket, two staves of one player under a brace.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

import abjad

from cavata.emit.abjad_versions import literal
from cavata.emit.lilypond_breaks import free_breaks
from cavata.emit.lilypond_cues import cue_voice, rest_beside_cue
from cavata.emit.lilypond_frames import global_voice
from cavata.emit.lilypond_leaves import bar_components, clef_command, key_command
from cavata.emit.lilypond_letters import lyrics
from cavata.emit.lilypond_ornaments import opening_graces
from cavata.emit.lilypond_string import column
from cavata.emit.lilypond_words import sung_lines, symbol_lines
from cavata.notate.written import Frame, WrittenMovement, WrittenPart, WrittenStaff
from cavata.place.score import Group
from cavata.value import dataclass

NAME_WIDTH = 16
"""Characters in a line of an instrument's name before it is broken."""
_NAME_LINES = 3
_Bar = tuple[Frame, int]
"""What a bar has in common for all staves, and the grace time before its first notes, in sixteenths."""
_STEMS = ("\\voiceOne", "\\voiceTwo", "\\voiceThree", "\\voiceFour")


@dataclass(frozen=True, slots=True)
class SystemStyle:
    """What stands beside and under the staves of a movement."""

    full_names: bool
    """Parts are named in full before the first system, else short."""
    short_names: bool
    """Parts are named before later systems; a piece for one part needs none."""
    letters: bool
    """Letters stand under the notes."""


def score_block(
    movement: WrittenMovement, parts: tuple[WrittenPart, ...], groups: tuple[Group, ...], style: SystemStyle
) -> Any:
    """The Abjad score of a movement with the parts given."""
    numbers = {part.part.name: index for index, part in enumerate(parts, start=1)}
    graces = opening_graces(movement)
    bars = tuple(zip(movement.frames, graces, strict=True))
    contexts: list[Any] = [global_voice(movement, free_breaks(movement), graces)]
    any_sounding = not all(part.silent for part in parts)
    for bracketed, run in groupby(parts, key=lambda part: _bracket(part, groups)):
        made = [_part(part, bars, f"P{numbers[part.part.name]}", style, any_sounding) for part in run]
        if bracketed is None:
            contexts += made
        else:
            number = len(contexts)
            contexts.append(abjad.StaffGroup(made, name=f"Group{number}", simultaneous=True))
    return abjad.Score(contexts, name="Score", simultaneous=True)


def _bracket(part: WrittenPart, groups: tuple[Group, ...]) -> int | None:
    """Which group's bracket a part stands under: the largest that has it. Soloists stand outside."""
    if part.part.soloist:
        return None
    holding = [(-len(group.parts), place) for place, group in enumerate(groups) if part.part.name in group.parts]
    return min(holding)[1] if holding else None


def _part(part: WrittenPart, frames: tuple[_Bar, ...], name: str, style: SystemStyle, hide: bool) -> Any:
    staves = [
        _staff(part, staff, frames, f"{name}S{index}", style.letters, hide and part.silent)
        for index, staff in enumerate(part.staves, start=1)
    ]
    over = symbol_lines(part.staves, tuple(frame for frame, _ in frames))
    if over:
        literal(staves[0], over, "before")
    whole = staves[0] if len(staves) == 1 else abjad.StaffGroup(staves, name=name, lilypond_type="PianoStaff")
    short = "\\markup " + column(part.part.abbreviation, NAME_WIDTH, _NAME_LINES, "center-column")
    long = "\\markup " + column(part.part.label, NAME_WIDTH, _NAME_LINES, "center-column")
    abjad.setting(whole).instrumentName = long if style.full_names else short if style.short_names else '""'
    abjad.setting(whole).shortInstrumentName = short if style.short_names else '""'
    return whole


def _staff(
    part: WrittenPart, staff: WrittenStaff, bars: tuple[_Bar, ...], name: str, letters: bool, hide: bool
) -> Any:
    count = max((len(bar.voices) for bar in staff.bars), default=1) or 1
    voices = [
        abjad.Voice(list(_voice(staff, bars, index, count)), name=f"{name}V{index + 1}") for index in range(count)
    ]
    kind = "RhythmicStaff" if part.part.instrument.unpitched else "Staff"
    if any(bar.cue for bar in staff.bars):
        voices.append(cue_voice(staff, bars, f"{name}Cue"))
    made = abjad.Staff(voices, name=name, lilypond_type=kind, simultaneous=len(voices) > 1)
    if hide:
        abjad.override(made).VerticalAxisGroup.remove_empty = True
    frames = tuple(frame for frame, _ in bars)
    names = [f"{name}V{index + 1}" for index in range(count)]
    under = [line for index, voice in enumerate(names) for line in sung_lines(staff, frames, index, voice)]
    if letters:
        under += [line for index, voice in enumerate(names) for line in lyrics(staff, frames, index, voice)]
    if under:
        literal(made, under, "after")
    return made


def _voice(staff: WrittenStaff, bars: tuple[_Bar, ...], index: int, count: int) -> Iterator[Any]:
    """One voice, bar by bar; where another voice is silent too, stems go as they would alone."""
    stems, above, aside = "", False, ""
    for place, (bar, (frame, graces)) in enumerate(zip(staff.bars, bars, strict=True)):
        before: list[str] = []
        if index == 0 and place == 0:
            before.append(clef_command(staff.clef))
        if index == 0 and bar.key is not None:
            before.append(key_command(bar.key))
        if index == 0 and (away := rest_beside_cue(bar)) != aside:
            before.append(away or "\\oneVoice")
            aside = away
        if count > 1:
            together = sum(1 for voice in bar.voices if voice) > 1
            wanted = _STEMS[index % len(_STEMS)] if together else "\\oneVoice"
            if wanted != stems:
                before.append(wanted)
            stems = wanted
            if index == 0 and bar.own_dynamics != above:
                above = bar.own_dynamics
                before.append("\\dynamicUp" if above else "\\dynamicNeutral")
        items = bar.voices[index] if index < len(bar.voices) else ()
        if bar.rest_bars == 1:
            yield from bar_components(items, frame.duration, tuple(before), frame.number, graces)
        elif bar.rest_bars:
            last = frame.number + bar.rest_bars - 1
            yield from bar_components(items, frame.duration * bar.rest_bars, tuple(before), last, graces)
