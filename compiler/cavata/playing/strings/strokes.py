"""How fast bowed strings go: notes with a bow each, and notes that the fingers take under one bow.

In: a line of a bowed instrument. Out: rows that are faster than a bow and a left hand go together, and slurred rows
that are faster than fingers. Tremolos and trills are not measured: they go as fast as they can; a row that stays on its
notes is faster than one that moves. A section is told too, since each of its players has all the notes, unless it
divides. What is plucked is told by `bow`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from cavata.playing.finding import Degree, Finding, Kind, only_impossible
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import Fast, Pace, runs, too_fast

STROKES = Kind(
    "speed of strings", "I319", "how many notes a second are played with a bow each, and under one bow", "from memory"
)
KINDS = (STROKES,)

_ON_A_NOTE = 1.25
"""So many times as fast goes a bow that stays on a note, as in a tremolo."""
_TRILL = 2
"""Semitones of a trill."""
_SLOW = 0.5
"""The share of a limit below which a note does not go on with a run."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Rows that nobody plays."""
    yield from only_impossible(look(line, profile))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    for run in runs(line.moments, _SLOW * profile.bow_strokes, _is_bowed, lambda _, after: not after.state.under_slur):
        fast = too_fast(run, Pace(profile.bow_strokes, burst=1.25, strokes=True), partial(_at_ease, profile=profile))
        yield from _told(fast, "with a bow for each note", "slurs, longer notes, a tremolo, or two players in turn")
    for run in runs(line.moments, _SLOW * profile.left_fingers, _is_bowed, lambda _, after: after.state.under_slur):
        fast = too_fast(run, Pace(profile.left_fingers, burst=1.25))
        yield from _told(fast, "under a slur", "longer notes, fewer of them, or a glissando")


def _is_bowed(moment: Moment) -> bool:
    return moment.state.bowing == "arco" and not (moment.state.divided or moment.state.is_to_and_fro)


def _at_ease(row: Sequence[Moment], profile: Profile) -> float:
    """How much faster a row goes that stays on its notes for more than half, or is a trill in notes, under one bow."""
    steps = [abs(after.top.midi - before.top.midi) for before, after in pairwise(row)]
    if 2 * steps.count(0) > len(steps):
        return _ON_A_NOTE
    is_trill = max(steps) <= _TRILL and all(one.top == other.top for one, other in zip(row, row[2:], strict=False))
    return profile.left_fingers / profile.bow_strokes if is_trill else 1.0


def _told(fast: Fast | None, how: str, cure: str) -> Iterator[Finding]:
    if fast is not None:
        cannot = fast.degree is Degree.IMPOSSIBLE
        yield Finding(
            fast.degree, STROKES, fast.moment.event, f"{'cannot play so fast' if cannot else 'plays fast'} {how}",
            fast.fact, cure,
        )  # fmt: skip
