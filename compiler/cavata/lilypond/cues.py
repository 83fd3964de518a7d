"""Cues on a part's staff: a voice of small notes beside the reader's rests.

In: a staff of a part. Out: an Abjad voice in the context that LilyPond has for cues, silent where there is none, and
where the reader's rest stands beside one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Any

import abjad

from cavata.lilypond.leaves import bar_components
from cavata.lilypond.literals import literal, skip
from cavata.lilypond.ornaments import waiting
from cavata.notate.written import Frame, WrittenBar, WrittenStaff


def cue_voice(staff: WrittenStaff, bars: Sequence[tuple[Frame, int]], name: str) -> Any:
    """The voice of a staff's cues; beside each frame the grace time before its first notes."""
    return abjad.Voice(list(_components(staff, bars)), name=name, lilypond_type="CueVoice")


def _components(staff: WrittenStaff, bars: Sequence[tuple[Frame, int]]) -> Iterator[Any]:
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


def _silence(bars: Sequence[tuple[Frame, int]]) -> Any:
    """One skip; it begins as late as the other voices where grace notes stand first."""
    made = skip(sum((frame.duration for frame, _ in bars), Fraction(0)))
    if bars[0][1]:
        literal(made, (waiting(bars[0][1]),), "before")
    return made


def rest_beside_cue(before: WrittenBar | None, bar: WrittenBar, clef: str) -> tuple[str, ...]:
    """Commands where the reader's own voice goes to the other side of a cue, or comes back; none where it stays.

    On a staff of five lines the rest stands outside it, out of the cue's way.
    """
    sides = _side(before) if before else "", _side(bar)
    if sides[0] == sides[1]:
        return ()
    one_line = clef == "percussion"
    match sides[1]:
        case "":
            return ("\\oneVoice", *(() if one_line else ("\\revert MultiMeasureRest.staff-position",)))
        case "above":
            return ("\\voiceOne", *(() if one_line else ("\\override MultiMeasureRest.staff-position = #6",)))
        case _:
            return ("\\voiceTwo", *(() if one_line else ("\\override MultiMeasureRest.staff-position = #-6",)))


def _side(bar: WrittenBar) -> str:
    """Where the reader's rest stands beside a cue; nowhere without one."""
    if not bar.cue:
        return ""
    return "above" if bar.cue_below else "below"
