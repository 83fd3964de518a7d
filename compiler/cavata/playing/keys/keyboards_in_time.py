"""Keyboards in time: leaps, repeated keys, crossings, octaves in a row, and what a hand cannot join.

A hand moves as little as it can: it covers an octave, or the chord that it strikes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from cavata.instruments.instrument import PEDAL
from cavata.instruments.keyboards import hand_of, is_white, leap, leap_time
from cavata.playing.finding import Degree, Finding, Kind, seconds_in_words
from cavata.playing.keys.keyboards import LEFT, RIGHT, WITHOUT_DAMPER, is_buttons, keys_of, octave_of, struck_together
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import chained, fastest_rate
from cavata.score.score import ScoreEvent, Staff

LEAP = Kind("hand leap", "I373", "leaps of a hand in the time that they have", "from memory")
REPEATED = Kind("repeated key", "I374", "how fast a key or a chord is struck again", "from memory")
CROSSING = Kind("crossing hands", "", "where the right hand strikes under the left", "common practice")
ROW = Kind("octaves", "", "octaves and wider chords of one hand in a row", "named as a strain by studies of hands")
LEGATO = Kind(
    "key legato", "", "slurred octaves and wide chords on keyboards whose sound ends with the key",
    "pages on writing for organ",
)  # fmt: skip
SLIDE = Kind("key glissando", "", "whether a glissando runs over keys of one color", "common practice")
KINDS = (LEAP, REPEATED, CROSSING, ROW, LEGATO, SLIDE)

FAR = 330
"""Millimeters, two octaves, from which on a leap can be impossible; below it a time is only short."""
NEVER = 0.5
"""The share of its time without which a leap is not made by anybody."""
_POSITIONS = 20
"""Places of the staff that no leap of FAR is under: a hand covers an octave itself."""
_STROKES = 3
"""So many strokes make a repeated note."""
_LONG = Fraction(1, 8)
"""A value that no tempo makes too short for a key to come back."""
_HEAVY = frozenset(["piano", "upright piano"])
"""Of which the keys resist a finger that slides over them."""
_WIDE, _SOON = 160, 0.4
"""Millimeters of a chord that counts as an octave, and seconds from one to the next at most."""


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    manuals = [staff.name for staff in line.staves if staff.name != PEDAL]
    yield from _crossings(line.moments)
    yield from _in_turn(line.moments, profile)
    for staff in manuals:
        if is_buttons(line.instrument, staff):
            continue
        mine = [moment for moment in line.moments if keys_of(moment, staff)]
        yield from _leaps(line, mine, staff, profile)
        yield from _repeated(mine, staff, profile)
        yield from _rows(line, mine, staff, profile)
        yield from _slides(mine, staff)
        if line.instrument.key in WITHOUT_DAMPER:
            yield from _legato(mine, staff)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Leaps and strokes for which no hand and no action is quick enough."""
    for staff in line.staves:
        if staff.name != PEDAL and not is_buttons(line.instrument, staff.name):
            yield from _wild_leaps(line, staff)
            yield from _too_fast(line, staff, profile)


# ---------------------------------------------------------------- leaps


def _wild_leaps(line: PlayerLine, staff: Staff) -> Iterator[Finding]:
    for before, after in pairwise(struck_together(line, staff)):
        if len(before) > 1 or len(after) > 1 or not _is_far(before[0], after[0]):
            continue
        way = leap(_midi(before[0]), _midi(after[0]), octave_of(line.instrument))
        time = line.timing.at(after[0].onset) - line.timing.at(before[0].onset)
        if way >= FAR and time < NEVER * leap_time(way):
            yield _leap(Degree.IMPOSSIBLE, after[0], staff.name, way, time)


def _is_far(before: ScoreEvent, after: ScoreEvent) -> bool:
    ours, theirs = after.event.heads, before.event.heads
    up = ours[-1].pitch.position - theirs[0].pitch.position
    return up > _POSITIONS or theirs[-1].pitch.position - ours[0].pitch.position > _POSITIONS


def _midi(event: ScoreEvent) -> list[int]:
    return [head.pitch.midi for head in event.event.heads]


def _leaps(line: PlayerLine, moments: Sequence[Moment], staff: str, profile: Profile) -> Iterator[Finding]:
    """Leaps that want care; what is impossible is told already."""
    for before, moment in pairwise(moments):
        way = leap(keys_of(before, staff), keys_of(moment, staff), octave_of(line.instrument))
        time = moment.begins - before.begins
        if way and time < leap_time(way) * profile.keyboard_leap and (way < FAR or time >= NEVER * leap_time(way)):
            yield _leap(Degree.CARE, moment.event, staff, way, time)


def _leap(degree: Degree, event: ScoreEvent, staff: str, way: int, time: float) -> Finding:
    hand = f"the {staff} hand" if staff else "one hand"
    return Finding(
        degree, LEAP, event,
        f"cannot leap so far with {hand}" if degree is Degree.IMPOSSIBLE else f"leaps in a hurry with {hand}",
        f"the hand moves {way} mm in {seconds_in_words(time)}, for which {seconds_in_words(leap_time(way))} are quick",
        "give the far notes to the other hand, or more time, or take a nearer octave",
    )  # fmt: skip


# ---------------------------------------------------------------- repeated keys


def _too_fast(line: PlayerLine, staff: Staff, profile: Profile) -> Iterator[Finding]:
    for voice in staff.voices:
        run: list[ScoreEvent] = []
        for event in voice:
            if event.event.duration >= _LONG or not event.event.heads or event.tied_before:
                run = []
                continue
            if not run or not _again(run[-1], event):
                run = []
            run.append(event)
            if len(run) == _STROKES:
                time = (line.timing.at(event.onset) - line.timing.at(run[0].onset)) / (_STROKES - 1)
                if time * profile.key_action < 1:
                    yield _strokes(Degree.IMPOSSIBLE, run[0], 1 / time, len(event.event.heads))


def _again(before: ScoreEvent, event: ScoreEvent) -> bool:
    """Whether the same keys are struck again at once."""
    is_same = event.event.heads[0].pitch == before.event.heads[0].pitch  # most others are known by it
    return is_same and event.follows(before) and _midi(event) == _midi(before)


def _repeated(moments: Sequence[Moment], staff: str, profile: Profile) -> Iterator[Finding]:
    """Keys that are struck again faster than a hand does with ease; each run once."""
    for keys, group in groupby(moments, key=lambda moment: tuple(keys_of(moment, staff))):
        run = list(group)
        limit = profile.repeated_chord if len(keys) > 1 else profile.repeated_key
        for first, later in zip(run, run[_STROKES - 1 :], strict=False):
            time = (later.begins - first.begins) / (_STROKES - 1)
            if limit < 1 / time <= profile.key_action:
                yield _strokes(Degree.CARE, first.event, 1 / time, len(keys))
                break
        for moment in run if len(keys) == 1 else ():
            speed = float(moment.strokes) / moment.seconds if moment.strokes else 0.0
            if speed > limit:
                yield _strokes(Degree.CARE, moment.event, speed, 1)


def _in_turn(moments: Sequence[Moment], profile: Profile) -> Iterator[Finding]:
    """A key that both hands strike in turn, faster than it comes back; each run once."""
    for run in chained(moments, _other_hand, _STROKES):
        rate = fastest_rate(run, _STROKES)
        if rate > profile.key_action:
            yield Finding(
                Degree.CARE, REPEATED, run[0].event, "repeats a key fast with both hands in turn",
                f"{rate:.1f} strokes a second; a key comes back about {profile.key_action:g} times",
                "change between two keys, as a tremolo of an octave does, or take longer values",
            )  # fmt: skip


def _other_hand(before: Moment, after: Moment) -> bool:
    """Whether the other hand strikes the same key next, and nothing else."""
    if len(before.struck) > 1 or len(after.struck) > 1 or before.top.midi != after.top.midi:
        return False
    return before.struck[0].staff != after.struck[0].staff and after.begins - before.begins < _SOON


def _strokes(degree: Degree, event: ScoreEvent, speed: float, keys: int) -> Finding:
    what, cannot = "a chord" if keys > 1 else "a key", degree is Degree.IMPOSSIBLE
    return Finding(
        degree, REPEATED, event, f"cannot repeat {what} so fast" if cannot else f"repeats {what} fast",
        f"{speed:.1f} strokes a second" + ("; no key comes back so soon" if cannot else ""),
        "change between two keys, as a tremolo of an octave does, or take longer values",
    )  # fmt: skip


# ---------------------------------------------------------------- crossings, octaves, legato


def _crossings(moments: Sequence[Moment]) -> Iterator[Finding]:
    """Each stretch in which the right hand strikes under the left, once."""
    both = [(moment, keys_of(moment, RIGHT), keys_of(moment, LEFT)) for moment in moments]
    told = [(moment, right[-1] < left[0]) for moment, right, left in both if right and left]
    for crossed, group in groupby(told, key=lambda each: each[1]):
        run = [moment for moment, _ in group]
        if crossed:
            yield Finding(
                Degree.CARE, CROSSING, run[0].event, "has the right hand under the left", "the hands cross",
                "change the staves of the two, if no crossing is meant",
            )  # fmt: skip


def _rows(line: PlayerLine, moments: Sequence[Moment], staff: str, profile: Profile) -> Iterator[Finding]:
    run: list[Moment] = []
    for moment in moments:
        keys = keys_of(moment, staff)
        hand = hand_of(keys, staff == LEFT, octave_of(line.instrument))
        if run and moment.begins - run[-1].begins > _SOON:
            yield from _row(run, staff, profile)
            run = []
        if hand and hand.open >= _WIDE:
            run.append(moment)
    yield from _row(run, staff, profile)


def _row(run: Sequence[Moment], staff: str, profile: Profile) -> Iterator[Finding]:
    lasting = run[-1].begins - run[0].begins if run else 0.0
    if lasting >= profile.octaves_in_a_row:
        yield Finding(
            Degree.TIRING, ROW, run[0].event, f"has octaves without rest in the {staff} hand",
            f"{len(run)} in {lasting:.0f} s; such rows strain the hand and the forearm",
            "let the hands change, or leave the octaves out for a while",
        )  # fmt: skip


def _legato(moments: Sequence[Moment], staff: str) -> Iterator[Finding]:
    for before, moment in pairwise(moments):
        ours, theirs = keys_of(moment, staff), keys_of(before, staff)
        if not before.state.slurred or set(ours) & set(theirs):
            continue
        if min(ours[-1] - ours[0], theirs[-1] - theirs[0]) >= 12:
            yield Finding(
                Degree.CARE, LEGATO, before.event, "cannot quite join octaves and wide chords under a slur",
                "the sound ends where the hand leaves the keys", "slur one voice, or share them between the hands",
            )  # fmt: skip


def _slides(moments: Sequence[Moment], staff: str) -> Iterator[Finding]:
    """Glissandi from a white key to a black one, since a nail runs over keys of one color; and those of two keys."""
    for moment, after in pairwise(moments):
        keys = keys_of(moment, staff)
        if not any(note.event.event.marks.glides for note in moment.struck_by(staff)):
            continue
        if len(keys) > 1 and moment.state.instrument.key in _HEAVY:
            yield Finding(
                Degree.CARE, SLIDE, moment.event, f"has a glissando of {len(keys)} keys at once in one hand",
                "the keys of today's pianos are heavy, and hurt the fingers", "one line of it, or one in each hand",
            )  # fmt: skip
        if is_white(keys[-1]) != is_white(keys_of(after, staff)[-1]):
            yield Finding(
                Degree.CARE, SLIDE, moment.event, "has a glissando over white and black keys",
                "it begins on a key of one color and ends on one of the other",
                "begin and end on white keys, or write the last note by itself",
            )  # fmt: skip
