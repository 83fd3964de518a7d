"""Brass: mutes and the stopping hand in time, the lip over time, high and low horns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.instruments.winds import (
    HIGH,
    IN_HAND_SECONDS,
    LOWEST_STOPPED,
    NEVER_SECONDS,
    STOPPING_SECONDS,
    high_seconds,
    judged_as,
    mute_seconds,
)
from cavata.music.pitch import parse_pitch
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile

MUTE = Kind("mute", "I344", "the seconds to put a mute in, take it out or change it", "players' pages for composers")
STOPPED = Kind("stopped", "", "stopped notes: the time for the hand, and low ones", "from memory")
LIP = Kind("lip", "", "how long the lip bears the high register, and how much of a movement it plays",
           "players' handbooks that it tires; minutes from memory")  # fmt: skip
HORN = Kind("horn", "", "high notes of a low horn, and low ones of a high horn", "common practice; limits from memory")
KINDS = (MUTE, STOPPED, LIP, HORN)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    moments = line.moments
    yield from _mutes(moments)
    yield from _stopped(moments)
    yield from _lip(moments, profile)
    yield from _share(line)
    yield from _horns(line)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player has."""
    yield from only_impossible(_mutes(line.moments))


# ---------------------------------------------------------------- mutes and the hand


def _mutes(moments: Sequence[Moment]) -> Iterator[Finding]:
    for before, moment in pairwise(moments):
        old, new = _in_the_bell(before.state.mute), _in_the_bell(moment.state.mute)
        if old == new:
            continue
        time, needed = max(0.0, moment.begins - before.ends), mute_seconds(moment.state.instrument, old, new)
        if time >= needed:
            continue
        never = time < NEVER_SECONDS and needed > IN_HAND_SECONDS
        yield Finding(
            Degree.IMPOSSIBLE if never else Degree.CARE, MUTE, moment.event,
            f"has {seconds_in_words(time, 1)} {_to(old, new)}", f"a player needs about {needed:.0f} s",
            "a rest before, or two players, one muted and one open",
        )  # fmt: skip


def _in_the_bell(mute: str) -> str:
    """Which mute it is: `muted` says the straight one."""
    return "straight_mute" if mute == "muted" else mute


def _to(old: str, new: str) -> str:
    if new == "unmuted":
        return "to take the mute out"
    return "to put the mute in" if old == "unmuted" else "to change the mute"


def _stopped(moments: Sequence[Moment]) -> Iterator[Finding]:
    before: Moment | None = None
    for moment in moments:
        instrument = moment.state.instrument
        if judged_as(instrument.key) != "horn":
            return
        if _is_stopped(moment):
            written = moment.top + -instrument.transposition
            if written.midi < LOWEST_STOPPED.midi and (before is None or not _is_stopped(before)):
                yield Finding(
                    Degree.CARE, STOPPED, moment.event, "has low stopped notes",
                    f"{written} as read; below {LOWEST_STOPPED} the hand makes notes unsafe",
                    "the brass stopping mute, or a higher octave",
                )  # fmt: skip
        if before is not None and _is_stopped(before) != _is_stopped(moment):
            time = moment.begins - before.begins
            if time < STOPPING_SECONDS:
                yield Finding(
                    Degree.CARE, STOPPED, moment.event, "has little time for the hand in the bell",
                    f"{time:.2f} s between a stopped and an open note", "give the stopped notes to another horn",
                )  # fmt: skip
        before = moment


def _is_stopped(moment: Moment) -> bool:
    return "stopped" in moment.event.event.marks.articulations


# ---------------------------------------------------------------- the lip and the players

_LOWER = 0.25
"""How quickly the lip recovers while it plays below the high register, beside a rest."""
_MOST, _SHORTEST = 0.7, 180.0
"""How much of a movement brass players sound before it tires them, and from how many seconds on that is looked at."""


def _lip(moments: Sequence[Moment], profile: Profile) -> Iterator[Finding]:
    """Where the lip has been high for too long; rest pays it back, second for second."""
    strain, most, limit = 0.0, 0.0, 0.0
    first, begun = None, False
    for before, moment in pairwise([*moments[:1], *moments]):
        instrument, rest = moment.state.instrument, max(0.0, moment.begins - before.ends)
        strain = max(0.0, strain - rest)
        if begun and first is not None and strain < limit / 2:
            yield _high(first, most, limit)
            most, begun = 0.0, False
        first = first if strain else None
        if instrument.comfortable is None or moment.top.midi <= instrument.comfortable[1].midi - HIGH:
            strain = max(0.0, strain - moment.seconds * _LOWER)
            continue
        first, limit = first or moment, high_seconds(instrument) * profile.lip
        strain += moment.seconds
        begun, most = begun or strain > limit, max(most, strain)
    if begun and first is not None:
        yield _high(first, most, limit)


def _high(first: Moment, most: float, limit: float) -> Finding:
    return Finding(
        Degree.TIRING, LIP, first.event, "is high for long",
        f"{most:.0f} s in the highest fifth or above, less the rests; about {limit:.0f} s are borne in a row",
        "rests as long as the high notes, a lower octave, or a second player to take turns",
    )  # fmt: skip


def _share(line: PlayerLine) -> Iterator[Finding]:
    moments, length = line.moments, line.timing.at(line.movement.duration)
    if length < _SHORTEST or not moments:
        return
    sounded = sum(moment.seconds for moment in moments)
    if sounded > length * _MOST and line.players == 1:
        yield Finding(
            Degree.TIRING, LIP, moments[0].event, "hardly rests in this movement",
            f"it sounds {100 * sounded / length:.0f} % of the time", "rests of some bars, or an assistant",
        )  # fmt: skip


_HIGH_HORN, _LOW_HORN = parse_pitch("G5"), parse_pitch("E3")
"""As read: up to where a low horn is at home, and down to where a high one is."""
_LOW_PLAYERS, _HIGH_PLAYERS = ("II", "IV", "VI", "VIII"), ("I", "III", "V", "VII")
_LONG_SECONDS = 4.0


def _horns(line: PlayerLine) -> Iterator[Finding]:
    """Of the horns of an orchestra the odd ones play high and the even ones low."""
    number = line.part.number
    if line.instrument.key != "horn" or number not in (*_LOW_PLAYERS, *_HIGH_PLAYERS):
        return
    is_low, shift = number in _LOW_PLAYERS, line.instrument.transposition.semitones
    far = [
        moment for moment in line.moments
        if (moment.top.midi - shift > _HIGH_HORN.midi if is_low else moment.top.midi - shift < _LOW_HORN.midi)
    ]  # fmt: skip
    if sum(moment.seconds for moment in far) > _LONG_SECONDS:
        where, other = ("high", "an odd one") if is_low else ("low", "an even one")
        yield Finding(
            Degree.CARE, HORN, far[0].event, f"is {where} for a {'low' if is_low else 'high'} horn",
            f"{len(far)} notes {'above' if is_low else 'below'} {_HIGH_HORN if is_low else _LOW_HORN} as read",
            f"give them to {other}",
        )  # fmt: skip
