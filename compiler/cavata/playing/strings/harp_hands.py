"""The hands of a harpist: chords, rows, harmonics, and strings that are struck again too soon.

In: the line of a harp. Out: chords that a hand does not have, rows faster than it is placed anew, strokes that follow
one another too fast on one string. Two strings that sound alike, as Cb and B, are two.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise

from cavata.instruments.harp_hands import (
    AGAIN,
    FARTHEST,
    FINGERS,
    HARMONIC_STRINGS,
    HARMONICS,
    MOST_FINGERS,
    PLACED,
    STROKES,
    shared_between,
    strings_spanned,
)
from cavata.instruments.harp_spelling import homophone
from cavata.music.event import UNMEASURED
from cavata.music.pitch import Pitch, PitchClass
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, only_impossible
from cavata.playing.line import Moment, PlayerLine, Sounding
from cavata.playing.profile import Profile
from cavata.playing.runs import Pace, runs, too_fast

_PRACTICE = "texts for composers by harpists"
HAND = Kind(
    "harp hand", "I320", "four fingers a hand, and how many strings it spans", f"{_PRACTICE}; spans from memory"
)
SPEED = Kind("speed of the harp", "I323", "how many notes a second one hand plucks in a row", "from memory")
AGAIN_ON = Kind(
    "struck again", "I321", "how soon a string is struck again, and whether both hands want it at once",
    "practice; seconds from memory",
)  # fmt: skip
HARMONICS_ON = Kind(
    "harp harmonics", "", "how many harmonics a hand has, and on which strings", "practice, from memory"
)
KINDS = (HAND, SPEED, AGAIN_ON, HARMONICS_ON)

_TWO_HANDS = 1.6
_SLOW, _CHORDS, _MURMUR = 0.5, 0.7, 1.6
"""So many times as fast as one hand go two in turn; the share of a hand's speed below which a note does not go on with
a run, that of chords, and that of strings in turn under fingers that stay. From memory."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no hand can do."""
    yield from only_impossible((*_at_once(line, profile), *_again(line), *_rows(line, profile)))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from _at_once(line, profile)
    yield from _both_hands(line)
    yield from _again(line)
    yield from _rows(line, profile)


def _at_once(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What one hand has at once."""
    for moment in line.moments:
        for hand in dict.fromkeys(note.staff for note in moment.struck):
            mine = moment.struck_by(hand)
            if len(mine) > 1:
                yield from _hand(moment, hand, mine, profile)
            if any("harmonic" in note.event.event.marks.articulations for note in mine):
                yield from _harmonics(moment, hand, mine)


def _hand(moment: Moment, hand: str, mine: Sequence[Sounding], profile: Profile) -> Iterator[Finding]:
    pitches = [note.pitch for note in mine]
    strings, count = strings_spanned(pitches), len(pitches)
    too_many, too_far = count > MOST_FINGERS, strings > FARTHEST
    if count <= FINGERS and strings <= profile.harp_span:
        return
    if strings <= profile.harp_span:
        text = f"{count} notes, and {FINGERS} fingers"
    else:
        text = f"it spans {strings} strings; a hand spans {profile.harp_span:g} at ease, {FARTHEST} at most"
    impossible = (too_many or too_far) and not moment.state.rolled
    yield Finding(
        Degree.IMPOSSIBLE if impossible else Degree.CARE, HAND, moment.event,
        f"has {names_of(pitches)} in {'the ' + hand if hand else 'one'} hand", text,
        _help(moment, len(mine), profile),
    )  # fmt: skip


def _both_hands(line: PlayerLine) -> Iterator[Finding]:
    """Strings that both hands are to pluck at once."""
    plucked: dict[tuple[Fraction, Pitch], str] = {}
    for staff in line.staves:
        for event in (event for voice in staff.voices for event in voice if not event.tied_before):
            for pitch in (head.pitch for head in event.event.heads):
                if plucked.setdefault((event.onset, pitch), staff.name) != staff.name:
                    other = _other_string(pitch)
                    yield Finding(
                        Degree.CARE, AGAIN_ON, event, "has one string for both hands", f"both are to pluck {pitch}",
                        "leave the note to one hand" + ("" if other is None else f", or let one have {other}"),
                    )  # fmt: skip


def _other_string(pitch: Pitch) -> PitchClass | None:
    """Of another letter, with the same sound; None for D, G and A."""
    other = homophone((pitch.letter, pitch.alter)) if pitch.alter in (-1, 0, 1) else None
    return None if other is None else PitchClass(*other)


def _help(moment: Moment, mine: int, profile: Profile) -> str:
    """What the other hand can take."""
    every = [note.pitch for note in moment.struck]
    count = shared_between(every, profile.harp_span)
    if count is None:
        return "a closer spacing, or fewer notes" + ("" if moment.state.rolled else ", or a rolled chord")
    if len(every) == mine:
        lower = "lower note" if count == 1 else f"lower {count} notes"
        return f"the other hand is free: let the left hand have the {lower}"
    return f"let the left hand have the lower {count} of all {len(every)}"


def _harmonics(moment: Moment, hand: str, mine: Sequence[Sounding]) -> Iterator[Finding]:
    most = HARMONICS.get(hand, max(HARMONICS.values()))
    low, high = HARMONIC_STRINGS
    outside = [str(note.pitch) for note in mine if not low <= note.pitch.position <= high + 7]
    if len(mine) > most:
        yield Finding(
            Degree.CARE, HARMONICS_ON, moment.event, f"has {len(mine)} harmonics in one hand",
            f"a right hand has {HARMONICS['right']}, a left hand up to {HARMONICS['left']}", "fewer, or share them",
        )  # fmt: skip
    elif outside:
        yield Finding(
            Degree.CARE, HARMONICS_ON, moment.event, f"has harmonics at {', '.join(outside)}",
            "strings from F2 to F5 have good ones, an octave higher", "another octave",
        )  # fmt: skip


def _rows(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Rows of one hand: four fingers are placed at once, and the next four take their time."""
    for staff in line.staves:
        mine = [moment for moment in line.moments if moment.struck_by(staff.name)]
        for run in runs(mine, _SLOW * profile.harp_fingers, lambda moment: moment.state.tremolo is None):
            fast = too_fast(run, Pace(profile.harp_fingers, PLACED, 1.5), partial(_placed, staff.name))
            if fast is not None:
                others = any(note.staff != staff.name for moment in run for note in moment.sounding)
                alone = others or fast.rate > _TWO_HANDS * profile.harp_fingers
                again = all(_strings(a) & _strings(b) for a, b in pairwise(run))
                yield Finding(
                    fast.degree, SPEED, fast.moment.event,
                    f"{'cannot play so fast' if fast.degree is Degree.IMPOSSIBLE else 'plays fast'} with "
                    + (f"the {staff.name} hand" if staff.name else "one hand"), fast.fact,
                    "longer notes, or the hands in turn an octave apart" if again else
                    "longer notes, fewer of them, or a glissando" if alone else
                    "let the hands alternate, four notes each: the other one is free",
                )  # fmt: skip


def _placed(staff: str, row: Sequence[Moment]) -> float:
    """The share of its speed that a hand has: it plucks several strings at once more slowly, again and again, and goes
    on faster where no finger leaves its string, as when two strings murmur in turn."""
    under, again = set().union(*map(_strings, row)), any(_strings(a) & _strings(b) for a, b in pairwise(row))
    if len(under) == 1 or len(under) <= FINGERS and not again:
        return _MURMUR
    return _CHORDS if all(len(moment.struck_by(staff)) > 1 for moment in row) else 1.0


def _again(line: PlayerLine) -> Iterator[Finding]:
    """One string struck many times in a row."""
    run: list[Moment] = []
    for moment in line.moments:
        tremolo = moment.state.tremolo
        if tremolo is not None and len(_strings(moment)) == 1:
            whole = float(moment.end - moment.onset)
            unit = float(tremolo.unit if tremolo.unit is not None else UNMEASURED)
            yield from _struck_again(moment.struck[0].pitch, moment, moment.seconds * unit / whole, round(whole / unit))
        quick = bool(run) and moment.begins - run[-1].begins < AGAIN[0] and _same(run[-1], moment)
        if quick or not run:
            run.append(moment)
            continue
        yield from _run(run)
        run = [moment]
    yield from _run(run)


def _same(before: Moment, after: Moment) -> bool:
    return _strings(before) == _strings(after) and len(_strings(after)) == 1


def _strings(moment: Moment) -> set[Pitch]:
    """What is struck, by its strings: Cb and B sound alike on two of them."""
    return {head.pitch for note in moment.struck for head in note.event.event.heads}


def _run(run: Sequence[Moment]) -> Iterator[Finding]:
    if len(run) >= STROKES:
        time = (run[-1].begins - run[0].begins) / (len(run) - 1)
        yield from _struck_again(run[0].struck[0].pitch, run[0], time, len(run))


def _struck_again(pitch: Pitch, moment: Moment, time: float, count: int) -> Iterator[Finding]:
    care, refused = AGAIN
    other = _other_string(pitch)
    if time >= care or count < STROKES:
        return
    impossible = time < refused if other is None else time < refused / 2
    yield Finding(
        Degree.IMPOSSIBLE if impossible else Degree.CARE, AGAIN_ON, moment.event,
        f"strikes {pitch} {count} times, every {time:.2f} s", "a string that sounds does not speak again so soon",
        "alternate with another note" if other is None else f"alternate with its other string, {other}",
    )  # fmt: skip
