"""Breath: how long a wind player or a singer sounds between two places to breathe, and what each place gives.

Lungs are looked at as a store. What sounds empties it, quicker when loud and in the registers that take much air; a
rest fills it as far as its seconds go; between two notes that no slur joins, or after a word, a player may end a
longer note early and take a catch breath. What is told is a stretch that empties the store even so. Several who play
one line take turns and are not looked at. Music without a rest is not music without a breath: so nearly all of it is
care, and only one sound that is longer than anybody's breath by far is impossible, where nobody breathes in while
sounding: a note of some two full breaths, or a slur, which a player may break, of four.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from cavata.instruments.winds import SUNG_BREATH, breath_seconds, dynamic_factor, filled, goes_round, is_wind
from cavata.music.event import HELD, in_verse
from cavata.playing.finding import Degree, Finding, Kind, only_impossible
from cavata.playing.first_look import LONG_SECONDS
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.record import record

BREATH = Kind(
    "breath", "I340", "how long a player sounds between two places to breathe, and the time that each of them gives",
    "players' handbooks for the order of the instruments; seconds from memory",
)
KINDS = (BREATH,)
FULL_SECONDS = 1.0
"""A rest in which lungs are filled whatever came before."""
_SHORTENED, _AFTER_A_SLUR, _MOST_TAKEN = 0.5, 0.6, 0.5
"""How much of a note is given up for a breath after it, how much of the last under a slur, and the seconds at most."""
_LEAST_SHORTENED = 0.29
"""Seconds: a shorter note is not shortened for a breath."""
SPARE = 0.25
"""How far the store may be overdrawn before it is told: near a limit nobody knows."""
BREATHS, SLURRED_BREATHS = 2 + SPARE, 4.0
"""A note, and a slur of several, that last so many breaths are beyond anybody, where nobody breathes in while sounding.
A breath of the table is no record, so that twice as much is; from memory."""
_ANYBODY = LONG_SECONDS
"""Seconds that players of low instruments sound too, if they must: they save air. From memory."""
_VOICE = "voice"
_CURE = "end a slur earlier, leave a note out for a breath, or share the line between two players"
_HELD_CURE = "a shorter note, a breath within it, or two players who take it by turns"
_ROUND_CURE = "share it between two players, or ask for circular breathing, which few of them have"
_SUNG_CURE = "give a rest at a comma, or let two sing it by turns"


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found; where words ask a wind player for circular breathing, that alone."""
    words = ((event, word) for event in line.events for word in event.event.marks.words)
    asked = next((event for event, word in words if _ASKED in word.casefold()), None)
    if asked is not None and is_wind(line.instrument):
        yield Finding(
            Degree.CARE, BREATH, asked, "is asked for circular breathing", "not every player has it",
            "ask the player first, or give breaths", rests_on="pages of players; common practice",
        )  # fmt: skip
        return
    for row in rows(line):
        yield from _of_row(row, profile)


_ASKED = "circular"


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Sounds that are longer than anybody's breath."""
    yield from only_impossible(look(line, profile))


def rows(line: PlayerLine) -> Iterator[Sequence[Moment]]:
    """What one player sounds without a rest in which lungs are filled for certain."""
    row: list[Moment] = []
    for moment in line.moments:
        if row and (moment.begins - row[-1].ends >= FULL_SECONDS or _several(line, moment)):
            yield row
            row = []
        if not _several(line, moment):
            row.append(moment)
    if row:
        yield row


def _several(line: PlayerLine, moment: Moment) -> bool:
    return line.players > 1 and not moment.state.solo


@record
class _Sound:
    """What sounds between two places to breathe."""

    first: Moment
    last: Moment
    seconds: float
    breaths: float
    """How many full breaths it takes."""
    held: float
    """The same of its longest note."""
    bound: float
    """The same of its longest note or slur, in which no note can be left out."""
    given: float
    """How much of a full breath the place after it gives."""


def _sounds(row: Sequence[Moment], profile: Profile) -> Iterator[_Sound]:
    first, breaths, held, bound, longest = row[0], 0.0, 0.0, 0.0, 0.0
    for moment, following in zip_longest(row, row[1:]):
        ends = _sounds_until(moment, following)
        needs = max(0.0, ends - moment.begins) / _seconds(moment, profile)
        breaths, bound = breaths + needs, bound + needs
        held, longest = max(held, needs), max(longest, bound)
        if following is None or not (moment.state.slurred or _in_a_word(moment, following)):
            bound = 0.0
        taken = FULL_SECONDS if following is None else _taken(moment, following, ends)
        given = filled(moment.state.instrument, taken)
        if given:
            yield _Sound(first, moment, ends - first.begins, breaths, held, longest, given)
            first, breaths, held, bound, longest = following, 0.0, 0.0, 0.0, 0.0


_SHORT = {"staccatissimo": 1 / 3, "staccato": 1 / 2}
"""How much of its length a note sounds. From memory."""


def _sounds_until(moment: Moment, following: Moment | None) -> float:
    """When a note is left, which is before its end if it is short."""
    ends = moment.ends if following is None else min(moment.ends, following.begins)
    marks = moment.event.event.marks.articulations
    part = next((part for word, part in _SHORT.items() if word in marks), 1.0)
    return moment.begins + (ends - moment.begins) * (1.0 if moment.state.slurred else part)


def _of_row(row: Sequence[Moment], profile: Profile) -> Iterator[Finding]:
    """Every sound that is longer than a breath; and the first at which many short breaths have not been enough."""
    store, told = 1.0, False
    for taken, sound in enumerate(_sounds(row, profile)):
        store -= sound.breaths
        if sound.breaths > 1 + SPARE:
            yield _too_long(sound)
        elif store < -SPARE and not told:
            told, lasts = True, sound.last.ends - row[0].begins
            yield _finding(
                Degree.CARE, row[0],
                f"{_said(lasts)} with {_counted(taken)}; a full one lasts about "
                f"{_said(sound.seconds / sound.breaths)}",
            )  # fmt: skip
        store = min(1.0, max(0.0, store) + sound.given)


def _too_long(sound: _Sound) -> Finding:
    instrument = sound.first.state.instrument
    beyond = (sound.held > BREATHS or sound.bound > SLURRED_BREATHS) and sound.seconds > _ANYBODY
    text = (
        f"{_said(sound.seconds)} without a place to breathe; a breath lasts about "
        f"{_said(sound.seconds / sound.breaths)} there"
    )
    if beyond and goes_round(instrument):
        return _finding(Degree.CARE, sound.first, text, _ROUND_CURE)
    cure = _HELD_CURE if sound.held > 1 else _CURE
    return _finding(Degree.IMPOSSIBLE if beyond else Degree.CARE, sound.first, text, cure)


def _finding(degree: Degree, first: Moment, text: str, cure: str = _CURE) -> Finding:
    sung = first.state.instrument.family == _VOICE
    return Finding(degree, BREATH, first.event, "has no time to breathe", text, _SUNG_CURE if sung else cure)


def _counted(breaths: int) -> str:
    return "one short breath" if breaths == 1 else f"{breaths} short breaths"


def _said(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds >= 10 else f"{seconds:.1f} s"


def _seconds(moment: Moment, profile: Profile) -> float:
    """How long one breath lasts on what sounds at a moment."""
    instrument, dynamic = moment.state.instrument, moment.state.dynamic
    if instrument.family == _VOICE:
        return SUNG_BREATH * dynamic_factor(dynamic) * profile.breath
    return breath_seconds(instrument, moment.top, dynamic) * profile.breath


def _taken(moment: Moment, following: Moment, ends: float) -> float:
    """Seconds for a breath between two moments: the rest there, and what the note before can give up."""
    rest, lasts = following.begins - ends, ends - moment.begins
    share = _AFTER_A_SLUR if moment.state.under_slur else _SHORTENED
    given = min(_MOST_TAKEN, lasts * share) if lasts >= _LEAST_SHORTENED else 0.0
    if {"breath", "caesura"} & set(moment.event.event.marks.articulations) or moment.event.event.marks.division:
        return rest + max(given, min(FULL_SECONDS, lasts / 2))
    if moment.state.slurred and rest <= 0 or _in_a_word(moment, following):
        return max(0.0, rest)
    return rest + given


def _in_a_word(moment: Moment, following: Moment) -> bool:
    """Whether a word goes on over the next note, so that nobody breathes between."""
    if moment.state.instrument.family != _VOICE:
        return False
    here, there = in_verse(moment.event.event.marks.sung, 1), in_verse(following.event.event.marks.sung, 1)
    return (here is not None and here.goes_on) or (there is not None and there == HELD)
