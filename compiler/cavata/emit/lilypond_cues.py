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

from cavata.emit.abjad_versions import literal, skip
from cavata.emit.lilypond_leaves import bar_components
from cavata.emit.lilypond_ornaments import waiting
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


def rest_beside_cue(bar: WrittenBar) -> str:
    """Where the reader's own voice goes beside a cue: to the other side; nowhere without one."""
    if not bar.cue:
        return ""
    return "\\voiceOne" if bar.cue_below else "\\voiceTwo"
