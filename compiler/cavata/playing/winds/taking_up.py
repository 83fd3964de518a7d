"""An instrument taken up: the time to change, and the cold instrument. Shown all that a player does in a movement.

That there is no rest at all is told where the change is placed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cavata.instruments.instrument import WINDS, Instrument
from cavata.instruments.winds import SOFT
from cavata.playing.finding import Degree, Finding, Kind, seconds_in_words
from cavata.playing.line import PlayerLine
from cavata.playing.profile import Profile

CHANGE = Kind("change of instrument", "", "the seconds to take up another wind instrument", "a page of a doubler")
COLD = Kind("cold instrument", "", "a first note high or soft on an instrument that was laid aside", "from memory")
KINDS = (CHANGE, COLD)
SMALL_SECONDS, LARGE_SECONDS = 5.0, 8.0
"""Seconds for a change in comfort between small instruments, and where one of them hangs from a strap, stands on a peg
or lies on the floor. Source: Time required for instrument switches (bretpimentel.com): less than about five is risky,
eight to ten are safe, and a bassoon needs both hands."""
_LARGE = ("bass", "contra", "baritone", "tuba", "bassoon", "trombone", "saxophone", "euphonium", "cimbasso")
COLD_SECONDS = 150.0
"""After so long unplayed an instrument is cold, and so flat. From memory."""


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    last_played: dict[str, float] = {}
    for before, moment in pairwise(line.moments):
        old, new = before.state.instrument, moment.state.instrument
        last_played[old.key] = before.ends
        if old.key == new.key or new.family not in WINDS:
            continue
        time, needed = max(0.0, moment.begins - before.ends), _needed(old, new)
        if time < needed:
            yield Finding(
                Degree.CARE, CHANGE, moment.event, f"has {seconds_in_words(time, 1)} to take up the {new.key}",
                f"a player needs about {needed:.0f} s",
                "a longer rest, or another player for the second instrument",
            )  # fmt: skip
        idle = moment.begins - last_played.get(new.key, line.moments[0].begins)
        high = new.comfortable is not None and moment.top.midi > new.comfortable[1].midi - 3
        if idle > COLD_SECONDS and (high or moment.state.dynamic in SOFT):
            yield Finding(
                Degree.CARE, COLD, moment.event, f"takes up a cold {new.key}",
                f"it was not played for {idle:.0f} s, and begins {'high' if high else moment.state.dynamic}",
                "a few bars in a louder passage first, where it warms up",
            )  # fmt: skip


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Nothing."""
    yield from ()


def _needed(old: Instrument, new: Instrument) -> float:
    return LARGE_SECONDS if any(word in key for key in (old.key, new.key) for word in _LARGE) else SMALL_SECONDS
