"""The slide of a trombone: which glissandi and low notes it has, how far it goes in time, and which slurs smear.

Valves of other brass instruments have no smooth glissando, which is told here too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.instruments.instrument import Instrument
from cavata.instruments.slide import (
    POSITIONS,
    STRAIGHT,
    farthest_glissando,
    glissando,
    is_slide,
    low_note,
    slide_seconds,
    slurs_cleanly,
    widest_steps,
)
from cavata.music.pitch import Pitch
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent

GLISSANDO = Kind(
    "glissando", "I345", "glissandi that a slide does not have, or has with a valve", "positions of the slide",
)
LEGATO = Kind(
    "smear", "", "slurs of a trombone along one harmonic, which smear or are tongued softly",
    "positions of the slide; a page on slide positions",
)
SLIDE = Kind("slide", "", "how far the slide goes from note to note", "positions of the slide; its speed from memory")
LOW = Kind(
    "low note", "I347", "low notes of a trombone: pedal notes, those that want a valve, and those that no position has",
    "an encyclopedia's chart of the tenor trombone; positions of the slide",
)
KINDS = (GLISSANDO, LOW, SLIDE, LEGATO)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from _glissandi(line)
    if is_slide(line.instrument.key):
        yield from _low(line)
        yield from _slid(line)
        yield from _smeared(line)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Glissandi and notes that no slide has."""
    found = (*_glissandi(line), *(_low(line) if is_slide(line.instrument.key) else ()))
    yield from only_impossible(found)


def _glissandi(line: PlayerLine) -> Iterator[Finding]:
    instrument = line.instrument
    for before, event in pairwise(line.events):
        if not before.event.marks.glides or not before.event.heads:
            continue
        first, second = before.event.heads[-1].pitch, event.event.heads[-1].pitch
        if first.midi == second.midi:
            continue
        if not is_slide(instrument.key):
            yield Finding(
                Degree.CARE, GLISSANDO, before, f"has no smooth glissando {first}-{second}",
                "valves give a row of notes, or a rip through the harmonics",
                'write the notes of the run, or the word "rip" where that is meant', rests_on="common practice",
            )  # fmt: skip
            continue
        valve = glissando(instrument.key, first, second)
        if valve is None:
            yield _no_glissando(instrument, before, first, second)
        elif valve != STRAIGHT:
            yield Finding(
                Degree.CARE, GLISSANDO, before, f"needs the {valve} for the glissando {first}-{second}",
                "the slide alone does not join them", "say in the part that the valve is needed, or begin elsewhere",
            )  # fmt: skip


def _no_glissando(instrument: Instrument, event: ScoreEvent, first: Pitch, second: Pitch) -> Finding:
    reached = farthest_glissando(instrument.key, first, second) - first.midi
    far = f"from {first} it goes {abs(reached)} of {abs(second.midi - first.midi)} semitones at most"
    some = instrument.key in _MANY_VALVES and abs(second.midi - first.midi) < POSITIONS
    return Finding(
        Degree.CARE if some else Degree.IMPOSSIBLE, GLISSANDO, event, f"has no glissando {first}-{second}",
        f"the slide stays in one harmonic; {far}" + ("; some systems of two valves have it" if some else ""),
        "a narrower glissando, or a broken one over several harmonics",
    )  # fmt: skip


_MANY_VALVES = frozenset(["bass trombone", "contrabass trombone"])
"""Whose systems of valves differ so much that no glissando within a tritone is ruled out. Source: Everything You Never
Cared To Know About the Trombone Glissando (michaelclayville.com)."""


def _low(line: PlayerLine) -> Iterator[Finding]:
    """Notes at the bottom of a trombone, once for those that follow one another and are alike."""
    before = ""
    for event in line.events:
        low = low_note(line.instrument.key, event.event.heads[0].pitch) if not event.tied_before else None
        if low is not None and low.what != before:
            pitch = event.event.heads[0].pitch
            yield Finding(
                Degree.IMPOSSIBLE if low.absent else Degree.CARE, LOW, event, low.what.format(pitch), low.why,
                f"another octave, or a {'tuba' if 'bass' in line.instrument.key else 'bass trombone'}",
            )  # fmt: skip
        before = low.what if low is not None else "" if not event.tied_before else before


_FAR, _OF_THE_TIME, _WIDE = 4, 0.55, 3
"""So many positions, and so much of the time from note to note, that the slide may take for them; of positions less far
all of the time."""


def _slid(line: PlayerLine) -> Iterator[Finding]:
    """Rows of notes in which the slide would have to fly, once each."""
    for row in _rows(line.moments):
        times = [1.0, *(after.begins - before.begins for before, after in pairwise(row))]
        steps = widest_steps(line.instrument.key, [moment.top.midi for moment in row], times)
        for index, (step, time) in enumerate(zip(steps, times, strict=True)):
            if step >= _WIDE and slide_seconds(step) > time * (_OF_THE_TIME if step >= _FAR else 1.0):
                yield Finding(
                    Degree.CARE, SLIDE, row[index - 1].event, "has far positions of the slide at speed",
                    f"{row[index - 1].top} to {row[index].top} is {step} positions in {seconds_in_words(time)}",
                    "another octave, or a note between",
                )  # fmt: skip
                break


_SMEARED, _FLUENT = 3, 0.3
"""So many moves in a row that smear are told, each in so many seconds at most: slower ones are tongued softly."""


def _smeared(line: PlayerLine) -> Iterator[Finding]:
    """Fast slurs whose notes lie along one harmonic, so that only the tongue divides them."""
    row: list[Moment] = []
    for before, moment in pairwise(line.moments):
        fast = before.state.slurred and moment.begins - before.begins <= _FLUENT and not before.event.event.marks.glides
        if fast and not slurs_cleanly(line.instrument.key, before.top, moment.top):
            row = row or [before]
            row.append(moment)
            if len(row) == _SMEARED + 1:
                yield Finding(
                    Degree.CARE, LEGATO, row[0].event, "has slurs that smear",
                    f"{names_of([each.top for each in row])} lie along one harmonic of the slide",
                    "the player tongues them softly; where that is not meant, other notes or an instrument with valves",
                )  # fmt: skip
        else:
            row = []


def _rows(moments: Sequence[Moment]) -> Iterator[list[Moment]]:
    row: list[Moment] = []
    for moment in moments:
        if row and moment.begins - row[-1].ends > 0.3:
            yield row
            row = []
        row.append(moment)
    if row:
        yield row
