"""Keyboards and percussion: how many notes a second one hand on keys, or two sticks, strike in a row.

A row is of eight notes, long enough that no ornament makes one. Tremolos and trills are not measured here: they go as
fast as they can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.first_look import VERY_SHORT
from cavata.playing.line import Line, Moment
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent

SPEED = Kind("speed", "I385", "how many notes a second one hand, or two sticks, strike in a row", "from memory")
KINDS = (SPEED,)

NOTES = 8
MOST = 30
"""Notes a second that no hand strikes one by one."""
_CURE = "take longer values, or write a tremolo, a trill or a glissando"


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    on_keys = line.instrument.family == "keyboard"
    limit = profile.hand_speed if on_keys else profile.stroke_speed
    for staff in dict.fromkeys(staff.name for staff in line.staves):
        mine = [moment for moment in line.moments if any(note.staff == staff for note in moment.struck)]
        yield from _rows(mine, limit, staff if on_keys else "")


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """Rows that nobody strikes."""
    if line.part.section:
        return
    for staff in line.staves:
        for voice in staff.voices:
            run: list[ScoreEvent] = []
            for event in voice:
                if not event.event.heads or event.tied_before or (run and not event.follows(run[-1])):
                    run = []
                if event.event.heads and event.event.duration < VERY_SHORT:
                    run.append(event)
                else:
                    run = []
                if len(run) == NOTES:
                    time = line.timing.at(event.onset) - line.timing.at(run[0].onset)
                    if (NOTES - 1) / MOST > time > 0:
                        yield _finding(Degree.IMPOSSIBLE, run[0], (NOTES - 1) / time, staff.name)


def _rows(moments: Sequence[Moment], limit: float, staff: str) -> Iterator[Finding]:
    """Rows that are fast, each stretch of them once, with the most notes a second in it."""
    speeds = [
        (NOTES - 1) / (last.begins - first.begins) if last.begins > first.begins else 0.0
        for first, last in zip(moments, moments[NOTES - 1 :], strict=False)
    ]
    place = 0
    while place < len(speeds):
        end = place
        while end < len(speeds) and limit < speeds[end] <= MOST:
            end += 1
        if end > place:
            yield _finding(Degree.CARE, moments[place].event, max(speeds[place:end]), staff)
        place = end + 1


def _finding(degree: Degree, event: ScoreEvent, speed: float, staff: str) -> Finding:
    cannot = degree is Degree.IMPOSSIBLE
    hand = f" with the {staff} hand" if staff in ("left", "right") else ""
    return Finding(
        degree, SPEED, event, f"cannot play so fast{hand}" if cannot else f"plays fast rows{hand}",
        f"{speed:.0f} notes a second", _CURE,
    )  # fmt: skip
