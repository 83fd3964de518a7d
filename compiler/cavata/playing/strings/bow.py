"""The right hand of bowed strings: how long a bow and a plucked note last, and time to change between ways of playing.

In: a line of a bowed instrument. Out: slurs that no bow holds, plucked notes that are gone before they end, runs too
fast for the finger, and changes to and from mutes and plucking for which there is no time. A section changes bows one
after another, and desk after desk puts its mutes on: for it nothing of this is impossible.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cavata.instruments.bowing import (
    EASE_PLUCKED,
    HOPELESS_BOW,
    MUTE_OFF,
    MUTE_ON,
    RUN,
    TO_BOW,
    TO_PLUCK,
    bow_seconds,
    ring,
)
from cavata.music.event import KIND_OF
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import Pace, runs, too_fast

SLUR = Kind("bow", "I315", "whether a bow is long enough for a slur at its dynamic", "players' handbooks, from memory")
CHANGE = Kind(
    "change", "I316", "time to put a mute on or off, and to change between bow and finger",
    "players' handbooks, from memory",
)  # fmt: skip
PLUCKED = Kind(
    "plucked run", "I317", "how fast notes are plucked by a bowed string player", "players' handbooks, from memory"
)
RING = Kind("ring", "", "whether a plucked note sounds as long as it is written", "players' handbooks, from memory")
SIGN = Kind("plucked sign", "", "signs of the bow, and tremolos, on plucked notes", "players' practice, from memory")
KINDS = (SLUR, CHANGE, PLUCKED, RING, SIGN)
_OF_THE_BOW = frozenset(["upbow", "downbow"])
_TWICE = 2
"""A note may be written so many times as long as it rings before it is told."""
_CUT = 0.15
"""Seconds by which a player cuts a note before a change, at most."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player does in the time."""
    yield from only_impossible(_found(line, profile))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from _found(line, profile)
    for moment in line.moments:
        if moment.state.bowing == "pizzicato":
            yield from _dying(line, moment) if moment.state.tremolo is None else _trembling(moment)
            yield from _bowed_signs(moment)


def _found(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    yield from _slurs(line, profile)
    for before, after in pairwise(line.moments):
        if after.state.new:
            yield from _changes(line, before, after)
    yield from _runs(line, profile)


def _slurs(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Slurs by their length in seconds and the loudest dynamic that holds when they begin."""
    first: Moment | None = None
    for moment in line.moments:
        if moment.state.bowing == "pizzicato":
            first = None
            continue
        if moment.state.slurred and not moment.state.under_slur:
            first = moment
        if first is not None and moment.state.under_slur and not moment.state.slurred:
            yield from _slur(line, first, moment, profile)
            first = None


def _slur(line: PlayerLine, first: Moment, last: Moment, profile: Profile) -> Iterator[Finding]:
    seconds = last.ends - first.begins
    longest = bow_seconds(line.instrument, first.state.dynamic) * profile.bow_length
    if seconds <= longest:
        return
    hopeless = seconds > HOPELESS_BOW * longest and line.players == 1
    loud = f" at {first.state.dynamic}" if first.state.dynamic else ""
    yield Finding(
        Degree.IMPOSSIBLE if hopeless else Degree.CARE, SLUR, first.event,
        f"has a slur of {seconds:.0f} s{loud}", f"one bow lasts about {longest:.0f} s there",
        "divide the slur; players change the bow where it is heard least",
    )  # fmt: skip


def _changes(line: PlayerLine, before: Moment, after: Moment) -> Iterator[Finding]:
    """What is said anew at a moment, against the time since the one before."""
    for word in after.state.new:
        kind = KIND_OF[word]
        was = before.state.techniques[kind]
        if was == word or kind not in (KIND_OF["arco"], KIND_OF["muted"]):
            continue
        if kind == KIND_OF["arco"]:
            limits = TO_PLUCK if word == "pizzicato" else TO_BOW
            what = "changes from bow to finger" if word == "pizzicato" else "changes from finger to bow"
        else:
            limits = MUTE_OFF if word == "unmuted" else MUTE_ON
            what = "takes the mute off" if word == "unmuted" else "puts the mute on"
        time = _time(before, after)
        least, usual = limits
        if time < usual:
            hopeless = time < least and line.players == 1
            yield Finding(
                Degree.IMPOSSIBLE if hopeless else Degree.CARE, CHANGE, after.event,
                f"{what} in {seconds_in_words(time)}", f"players want {usual:g} s",
                "a rest before it, or one desk after another" if line.players > 1
                else "a rest before it",
            )  # fmt: skip


def _time(before: Moment, after: Moment) -> float:
    """Seconds between two moments in which the hand is free: a plucked note rings on by itself, a bowed one is cut."""
    if before.state.bowing == "pizzicato":
        return max(0.0, after.begins - before.begins - _CUT)
    ends = min(before.ends, after.begins)
    return after.begins - ends + min(_CUT, (ends - before.begins) / 2)


def _runs(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Plucked notes that follow one another faster than a finger goes."""
    pace = Pace(profile.pizzicato, RUN, 1.0, EASE_PLUCKED)
    for run in runs(line.moments, pace.ease * pace.most, _is_plucked):
        fast = too_fast(run, pace)
        if fast is not None:
            easy, cannot = pace.ease * pace.most, fast.degree is Degree.IMPOSSIBLE
            yield Finding(
                fast.degree, PLUCKED, fast.moment.event, f"plucks {len(run)} notes, {fast.rate:.1f} a second",
                f"about {pace.most:g} a second are the most of two fingers in turn" if cannot else
                f"more than {easy:g} a second are fast for a finger", "fewer notes, or two players in turn",
            )  # fmt: skip


def _is_plucked(moment: Moment) -> bool:
    return moment.state.bowing == "pizzicato" and not moment.held


def _trembling(moment: Moment) -> Iterator[Finding]:
    if not moment.strokes:
        yield Finding(
            Degree.CARE, SIGN, moment.event, "has a tremolo of plucked notes",
            "a finger goes to and fro over the string, which is soft and tires", "`arco` before it, or notes in time",
        )  # fmt: skip


def _bowed_signs(moment: Moment) -> Iterator[Finding]:
    """Over chords the signs are read as the way of a strum."""
    if len(moment.struck) == 1 and not _OF_THE_BOW.isdisjoint(moment.event.event.marks.articulations):
        yield Finding(
            Degree.CARE, SIGN, moment.event, "has a sign of the bow where it plucks",
            "`pizzicato` is still in force there", "`arco` before it, or leave the sign out",
        )  # fmt: skip


def _dying(line: PlayerLine, moment: Moment) -> Iterator[Finding]:
    longest = ring(line.instrument, moment.struck[0].pitch)
    if longest and moment.seconds > _TWICE * longest:
        yield Finding(
            Degree.CARE, RING, moment.event, f"plucks {moment.struck[0].pitch} for {moment.seconds:.1f} s",
            f"it is heard for about {longest:.1f} s", "a shorter note, repeat it, or give the sound to another player",
        )  # fmt: skip
