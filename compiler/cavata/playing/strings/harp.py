"""The harp: pedals in time, hands, strings that are struck again too soon, and what low strings leave behind.

In: the line of a harp. Out: what no pedal gives as it is spelled, and changes for which there is no time, with the
spelling that would give it, found by a search over all spellings; chords that a hand does not have; strokes that follow
one another too fast on one string; the two lowest strings, which have no pedal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from cavata.instruments.harp_hands import (
    AGAIN,
    FARTHEST,
    FINGERS,
    HARMONIC_STRINGS,
    HARMONICS,
    HIGHEST_WIRE,
    MOST_FINGERS,
    STROKES,
    WIRE_RINGS,
    shared_between,
    strings_spanned,
)
from cavata.instruments.harp_pedals import (
    LEFT,
    WITHOUT_PEDAL,
    PedalChange,
    Pedaling,
    Wanted,
    from_the_left,
    pedaling,
)
from cavata.instruments.harp_spelling import Spelled, can_be, homophone, semitone_of, spelled
from cavata.music.event import UNMEASURED
from cavata.music.pitch import LETTERS, Pitch, PitchClass
from cavata.playing import first_look
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, Step, seconds
from cavata.playing.line import Line, Moment, Sounding
from cavata.playing.profile import Profile
from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.harp import harp_wanted, marks_of, usual_setting
from cavata.score.score import ScoreEvent

_PRACTICE = "texts for composers by harpists"
AT_ONCE = Kind("pedal", "P920", "whether one setting of the pedals gives what is struck at once", _PRACTICE)
IN_TIME = Kind(
    "time of a pedal", "P921", "time to move a pedal, one a foot at once", f"{_PRACTICE}; seconds from memory"
)
HAND = Kind(
    "harp hand", "I320", "four fingers a hand, and how many strings it spans", f"{_PRACTICE}; spans from memory"
)
AGAIN_ON = Kind("struck again", "I321", "how soon a string is struck again", "practice; seconds from memory")
LOWEST = Kind(
    "lowest strings", "I322", "whether the lowest C and D, which no pedal reaches, stay as they are", _PRACTICE
)
RINGING = Kind(
    "ringing", "", "low strings that still ring when their pedal moves, or blur", f"{_PRACTICE}, from memory"
)
HARMONICS_ON = Kind(
    "harp harmonics", "", "how many harmonics a hand has, and on which strings", "practice, from memory"
)
CHANGES = Kind("changes", "", "how many pedal changes another spelling would save", "a search over all spellings")
KINDS = (AT_ONCE, IN_TIME, HAND, AGAIN_ON, LOWEST, RINGING, HARMONICS_ON, CHANGES)

REFUSED = Fraction(1, 10)
"""Seconds below which nobody moves a pedal."""
_NEAR = Fraction(2)
"""Seconds before a change in which another spelling may give it time."""
_MANY, _SHARE = 12, 4
"""How many changes there must be for another spelling to be told, and that it must save a quarter of them."""
WORTH = 3
"""A change that is spared is worth so many notes that are taken otherwise than they are written, in a plan."""
_NAMED = 3
_STEP, _BLUR = 2, 1.0
"""Semitones between low notes that blur, and seconds from one to the other."""
_GUESS = "spell a note as another string has it, as Db for C#; the page has the notes as they are"


@record
class Plan:
    """What the feet do, as the notes are spelled and as they would best be."""

    wanted: tuple[Wanted, ...]
    written: Pedaling
    best: Spelled

    @property
    def respelled(self) -> Pedaling:
        """What the feet do in the best spelling."""
        return pedaling(self.best.wanted, self.written.first)

    def taken(
        self, since: Fraction, until: Fraction, letter: int | None = None
    ) -> tuple[tuple[PitchClass, PitchClass], ...]:
        """Notes of a stretch of seconds that would be spelled otherwise, each with its other spelling; with a letter,
        those that would be spared its pedal."""
        pairs = [
            (PitchClass(*old), PitchClass(*new))
            for want, other in zip(self.wanted, self.best.wanted, strict=True) if since <= want.onset <= until
            for old, new in zip(want.letters, other.letters, strict=True)
            if old != new and letter in (None, old[0])
        ]  # fmt: skip
        return tuple(dict.fromkeys(pairs))


def plan_of(line: Line) -> Plan:
    """The plan of all pedal changes of a movement, repeats left out."""
    wanted, made = _as_written(line)
    return Plan(wanted, made, _best(wanted))


def _as_written(line: Line) -> tuple[tuple[Wanted, ...], Pedaling]:
    """What the notes want of the strings, and what the feet do for it."""
    wanted = tuple(harp_wanted(line.movement, line.staves, repeats=False))
    return wanted, pedaling(wanted, usual_setting(line.movement))


@lru_cache(maxsize=16)
def _best(wanted: tuple[Wanted, ...]) -> Spelled:
    """How the notes are best taken: searched for once, for what is found of a movement and for its plan."""
    return spelled(wanted, WORTH)


def steps(line: Line) -> Iterator[Step]:
    """The plan as the player keeps it: settings and changes where they are told, in the best spelling, and the notes
    that are taken on another string than they are written on."""
    plan = plan_of(line)
    others: dict[tuple[PitchClass, PitchClass], list[Fraction]] = {}
    struck = _struck(line)
    for want, other in zip(plan.wanted, plan.best.wanted, strict=True):
        for old, new in zip(want.letters, other.letters, strict=True):
            if old != new and want.onset in struck:
                others.setdefault((PitchClass(*old), PitchClass(*new)), []).append(struck[want.onset].onset)
    for mark in marks_of(plan.respelled, line.movement, line.staves):
        if mark.setting is not None:
            names = [str(given) for given in from_the_left(mark.setting)]
            left, right = names[: len(LEFT)], names[len(LEFT) :]
            yield Step((mark.onset,), f"set {' '.join(left)} | {' '.join(right)}")
        elif mark.changes:
            words = [str(PitchClass(change.letter, change.after)) for change in mark.changes]
            yield Step((mark.onset,), f"pedal {', '.join(words)}")
    for (written, taken), onsets in others.items():
        yield Step(tuple(onsets), f"take {written} as {taken}")


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """What no harpist can do."""
    if first_look.moves_pedals(line):
        wanted, made = _as_written(line)
        if made.impossible or any(change.time < REFUSED for change in made.changes):
            plan = Plan(wanted, made, _best(wanted))
            yield from (found for found in _pedals(line, plan, Fraction(0)) if found.degree is Degree.IMPOSSIBLE)
    if first_look.spans_or_repeats(line):
        yield from (found for found in _hands(line, profile) if found.degree is Degree.IMPOSSIBLE)
    if first_look.has_lowest_strings(line):
        yield from _lowest(line)


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    plan = plan_of(line)
    yield from _pedals(line, plan, Fraction(profile.pedal_time))
    yield from _saved(line, plan)
    yield from _hands(line, profile)
    yield from _lowest(line, with_care=True)
    yield from _ringing(line, plan.written)


# ---------------------------------------------------------------- feet


def _pedals(line: Line, plan: Plan, wanted_time: Fraction) -> Iterator[Finding]:
    """What no pedal gives, and changes without time."""
    made = plan.written
    if not (made.impossible or made.changes):
        return
    struck = _struck(line)
    for found in made.impossible:
        event = struck.get(found.onset)
        if event is not None:
            yield _at_once(event, found.letter, found.accidentals, found.onset, plan)
    for change in made.changes:
        event = struck.get(change.until)
        if event is not None and change.time < max(REFUSED, wanted_time):
            yield _too_fast(event, change, plan)


def _struck(line: Line) -> dict[Fraction, ScoreEvent]:
    """The first event at each moment, by exact seconds."""
    clock = Clock(line.movement)
    found: dict[Fraction, ScoreEvent] = {}
    for event in line.events:
        found.setdefault(clock.between(Fraction(0), event.onset), event)
    return found


def _at_once(
    event: ScoreEvent, letter: int, accidentals: Sequence[int], onset: Fraction, plan: Plan
) -> Finding:
    names = " and ".join(str(PitchClass(letter, alter)) for alter in accidentals)
    semitones = frozenset(
        semitone_of(string) for want in plan.wanted if want.onset == onset for string in want.letters
    )  # fmt: skip
    others = _as_cure(plan.taken(onset, onset))
    if not can_be(semitones):
        cure = "leave a note out, or give it to another player: no spelling gives all of them"
    else:
        cure = f"{others}; the page has the notes as they are" if others else _GUESS
    at_once = " at once" if len(accidentals) > 1 else ""
    return Finding(
        Degree.IMPOSSIBLE, AT_ONCE, event, f"has no pedal for {names}{at_once}",
        f"all strings of {LETTERS[letter]} have one pedal", cure,
    )  # fmt: skip


def _too_fast(event: ScoreEvent, change: PedalChange, plan: Plan) -> Finding:
    name = PitchClass(change.letter, change.after)
    others = _as_cure(plan.taken(change.until - _NEAR, change.until, change.letter))
    return Finding(
        Degree.IMPOSSIBLE if change.time < REFUSED else Degree.CARE, IN_TIME, event,
        f"has {seconds(float(change.time))} to move a pedal to {name}", "the first note that needs it",
        f"a rest before it, or {others}" if others else "a rest before it; no other spelling helps",
    )  # fmt: skip


def _as_cure(pairs: Sequence[tuple[PitchClass, PitchClass]]) -> str:
    """The first few of some other spellings; empty for none."""
    return "spell " + ", ".join(f"{new} for {old}" for old, new in pairs[:_NAMED]) if pairs else ""


def _saved(line: Line, plan: Plan) -> Iterator[Finding]:
    """Another spelling of the movement that has far fewer changes."""
    before = len(plan.written.changes)
    if plan.written.impossible or before < _MANY:
        return
    plan = replace(plan, best=spelled(plan.wanted))
    after = plan.best.changes
    if (before - after) * _SHARE < before:
        return
    struck = _struck(line)
    first = next(
        (
            struck[want.onset] for want, other in zip(plan.wanted, plan.best.wanted, strict=True)
            if want.letters != other.letters and want.onset in struck
        ),
        None,
    )  # fmt: skip
    if first is not None:
        end = plan.wanted[-1].onset
        yield Finding(
            Degree.CARE, CHANGES, first, f"changes pedals {before} times",
            f"{after} times would do in another spelling", _as_cure(plan.taken(Fraction(0), end)),
        )  # fmt: skip


# ---------------------------------------------------------------- hands


def _hands(line: Line, profile: Profile) -> Iterator[Finding]:
    """Chords of each hand, harmonics, and strings that are struck again."""
    for moment in line.moments:
        for hand in dict.fromkeys(note.staff for note in moment.struck):
            mine = [note for note in moment.struck if note.staff == hand]
            if len(mine) > 1:
                yield from _hand(moment, hand, mine, profile)
            if any("harmonic" in note.event.event.marks.articulations for note in mine):
                yield from _harmonics(moment, hand, mine)
    yield from _again(line)


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


def _help(moment: Moment, mine: int, profile: Profile) -> str:
    """What the other hand can take."""
    every = [note.pitch for note in moment.struck]
    count = shared_between(every, profile.harp_span)
    if count is None:
        return "a closer spacing, fewer notes, or a rolled chord"
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


def _again(line: Line) -> Iterator[Finding]:
    """One string struck many times in a row."""
    run: list[Moment] = []
    for moment in line.moments:
        tremolo = moment.state.tremolo
        if tremolo is not None and len(moment.struck) == 1:
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
    return [n.pitch.midi for n in before.struck] == [n.pitch.midi for n in after.struck] and len(after.struck) == 1


def _run(run: Sequence[Moment]) -> Iterator[Finding]:
    if len(run) >= STROKES:
        time = (run[-1].begins - run[0].begins) / (len(run) - 1)
        yield from _struck_again(run[0].struck[0].pitch, run[0], time, len(run))


def _struck_again(pitch: Pitch, moment: Moment, time: float, count: int) -> Iterator[Finding]:
    care, refused = AGAIN
    other = homophone((pitch.letter, pitch.alter)) if pitch.alter in (-1, 0, 1) else None
    if time >= care or count < STROKES:
        return
    impossible = time < refused if other is None else time < refused / 2
    yield Finding(
        Degree.IMPOSSIBLE if impossible else Degree.CARE, AGAIN_ON, moment.event,
        f"strikes {pitch} {count} times, every {seconds(time)}", "a string that sounds does not speak again so soon",
        "alternate with another note" if other is None else f"alternate with its other string, {PitchClass(*other)}",
    )  # fmt: skip


# ---------------------------------------------------------------- low strings


def _lowest(line: Line, with_care: bool = False) -> Iterator[Finding]:
    """The two lowest strings in another tuning than the first."""
    first: dict[int, Pitch] = {}
    for event in line.events:
        for head in event.event.heads if event.event.heads[0].pitch.position in WITHOUT_PEDAL else ():
            pitch = head.pitch
            if pitch.position not in WITHOUT_PEDAL:
                continue
            before = first.setdefault(pitch.position, pitch)
            if before != pitch:
                yield Finding(
                    Degree.IMPOSSIBLE, LOWEST, event, f"has no {pitch}",
                    f"no pedal reaches its string, which is tuned to {before} for this movement",
                    f"{before}, or an octave higher",
                )  # fmt: skip
            elif with_care and before is pitch and pitch.alter:
                yield Finding(
                    Degree.CARE, LOWEST, event, f"has {pitch}", "no pedal reaches its string: it is tuned before",
                    "time to tune it, or an octave higher",
                )  # fmt: skip


def _ringing(line: Line, made: Pedaling) -> Iterator[Finding]:
    """Wire strings that ring on when their pedal moves, and low lines by step."""
    low = [
        (moment, note.pitch) for moment in line.moments for note in moment.struck
        if note.pitch.position <= HIGHEST_WIRE and "staccato" not in note.event.event.marks.articulations
    ]  # fmt: skip
    for moment, pitch in low:
        change = next(
            (
                change for change in made.changes
                if change.letter == pitch.letter and moment.begins < change.begins < moment.begins + WIRE_RINGS
            ),
            None,
        )  # fmt: skip
        if change is not None:
            later = float(change.begins) - moment.begins
            yield Finding(
                Degree.CARE, RINGING, moment.event, f"has {pitch} still ringing when its pedal moves",
                f"a wire string rings 5 s and more; {seconds(later)} later the pedal goes to "
                f"{PitchClass(change.letter, change.after)}",
                "damp the string, or give it more time",
            )  # fmt: skip
    told = -WIRE_RINGS
    for (before, one), (after, other) in pairwise(low):
        near = 0 < abs(one.midi - other.midi) <= _STEP and 0 < after.begins - before.begins < _BLUR
        if near and after.begins - told > WIRE_RINGS:
            yield Finding(
                Degree.CARE, RINGING, after.event, f"has {one} and {other} sounding together",
                "wire strings ring 5 s and more", "ask for the strings to be damped, in words",
            )  # fmt: skip
        told = after.begins if near else told
