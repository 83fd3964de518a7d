"""The pedals of a harp in time, and what low strings leave behind; its hands are looked at in `harp_hands`.

In: the line of a harp. Out: what no pedal gives as it is spelled, and changes for which there is no time, with the
spelling that would give it, found by a search over all spellings; the two lowest strings, which have no pedal; low
strings that ring. Out also: the plan of the pedals, as the page has it where the notes are taken as they are written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from cavata.instruments.harp_hands import (
    HIGHEST_WIRE,
)
from cavata.instruments.harp_pedals import (
    LEFT,
    WIRE_RINGS,
    WITHOUT_PEDAL,
    PedalChange,
    Pedaling,
    PedalSetting,
    WantedStrings,
    from_the_left,
    pedaling,
    setting_of,
)
from cavata.instruments.harp_spelling import HarpSpelling, best_spelling, can_be, semitone_of
from cavata.music.pitch import LETTERS, Pitch, PitchClass
from cavata.playing import first_look
from cavata.playing.finding import Degree, Finding, Kind, PlanStep, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.harp import harp_pedaling, harp_wanted, marks_of, usual_setting, wanted_otherwise
from cavata.score.score import ScoreEvent

_PRACTICE = "texts for composers by harpists"
AT_ONCE = Kind("pedal", "P920", "whether one setting of the pedals gives what is struck at once", _PRACTICE)
IN_TIME = Kind(
    "time of a pedal", "P921", "time to move a pedal, one a foot at once", f"{_PRACTICE}; seconds from memory"
)
LOWEST = Kind(
    "lowest strings", "I322", "whether the lowest C and D, which no pedal reaches, stay as they are", _PRACTICE
)
RINGING = Kind(
    "ringing", "", "low strings that still ring when their pedal moves, or blur", f"{_PRACTICE}, from memory"
)
CHANGES = Kind("changes", "", "how many pedal changes another spelling would save", "a search over all spellings")
KINDS = (AT_ONCE, IN_TIME, LOWEST, RINGING, CHANGES)

REFUSED = Fraction(1, 10)
"""Seconds below which nobody moves a pedal."""
_NEAR = Fraction(2)
"""Seconds before a change in which another spelling may give it time."""
_MANY, _SHARE = 12, 4
"""How many changes there must be for another spelling to be told, and that it must save a quarter of them."""
WORTH = 3
"""A change that is spared is worth so many notes that are taken otherwise than they are written, in a plan."""
_NAMED = 3
_CHROMATIC, _SOON = 4, Fraction(1)
"""So many changes without time, each so many seconds after the one before at most, are told together."""
_STEP, _BLUR = 2, 0.5
"""Semitones between low notes that blur, and seconds from one to the other."""
_GUESS = "spell a note as another string has it, as Db for C#; the page has the notes as they are"


@record
class PedalPlan:
    """What the feet do, as the notes are spelled and as they would best be."""

    wanted: tuple[WantedStrings, ...]
    written: Pedaling
    best: HarpSpelling
    played: tuple[WantedStrings, ...]
    """As they are best taken; as they are written where a glissando sounds the strings as they stand."""

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


def plan_of(line: PlayerLine) -> PedalPlan:
    """The plan of all pedal changes of a movement, repeats left out."""
    return _plan(line, *_as_written(line))


def _plan(line: PlayerLine, wanted: tuple[WantedStrings, ...], made: Pedaling) -> PedalPlan:
    best = _best(wanted)
    played = wanted if any(event.event.marks.glides for event in line.events) else best.wanted
    return PedalPlan(wanted, made, best, played)


def _feet(line: PlayerLine, plan: PedalPlan) -> Pedaling:
    """What the feet do as the notes are taken, repeats included."""
    usual = usual_setting(line.movement) if plan.played == plan.wanted else plan.written.first
    return _moved(tuple(wanted_otherwise(line.movement, line.staves, plan.played)), usual)


@lru_cache(maxsize=16)
def _moved(wanted: tuple[WantedStrings, ...], usual: PedalSetting) -> Pedaling:
    """How pedals are moved: worked out once, for what is found of a movement and for its plan."""
    return pedaling(wanted, usual)


def _as_written(line: PlayerLine) -> tuple[tuple[WantedStrings, ...], Pedaling]:
    """What the notes want of the strings, and what the feet do for it."""
    wanted = tuple(harp_wanted(line.movement, line.staves, repeats=False))
    return wanted, _moved(wanted, usual_setting(line.movement))


@lru_cache(maxsize=16)
def _best(wanted: tuple[WantedStrings, ...]) -> HarpSpelling:
    """How the notes are best taken: searched for once, for what is found of a movement and for its plan."""
    return best_spelling(wanted, WORTH)


def steps(line: PlayerLine) -> Iterator[PlanStep]:
    """The plan as the player keeps it: settings and changes where they are told, in the best spelling, and the notes
    that are taken on another string than they are written on. Where none is, it is what the page has."""
    plan = plan_of(line)
    feet = _feet(line, plan)
    now = list(feet.first)
    damped = {(change.letter, change.until) for _, _, change in _rung_through(line, plan)}
    for mark in marks_of(feet, line.movement, line.staves):
        if mark.setting is not None:
            words = _in_words(mark.setting)
            yield PlanStep((mark.onset,), f"pedals stand {words}" if mark.onset else f"set {words}", words)
        elif mark.changes:
            for change in mark.changes:
                now[change.letter] = change.after
            moved = [PitchClass(change.letter, change.after) for change in mark.changes]
            wet = [
                PitchClass(change.letter, change.before) for change in mark.changes
                if (change.letter, change.until) in damped
            ]  # fmt: skip
            damp = f"; {' and '.join(map(str, wet))} damped before" if wet else ""
            yield PlanStep((mark.onset,), f"pedal {', '.join(map(str, moved))}{damp}", _in_words(setting_of(now)))
    yield from _otherwise(line, plan, feet)


def _in_words(setting: PedalSetting) -> str:
    """All pedals from the left, the feet apart."""
    names = [str(given) for given in from_the_left(setting)]
    return f"{' '.join(names[: len(LEFT)])} | {' '.join(names[len(LEFT) :])}"


def _otherwise(line: PlayerLine, plan: PedalPlan, feet: Pedaling) -> Iterator[PlanStep]:
    """Notes that are taken on another string than they are written on, and that the page has them as written."""
    others: dict[tuple[PitchClass, PitchClass], list[Fraction]] = {}
    struck = _struck(line)
    for want, other in zip(plan.wanted, plan.played, strict=True):
        for old, new in zip(want.letters, other.letters, strict=True):
            if old != new and want.onset in struck:
                others.setdefault((PitchClass(*old), PitchClass(*new)), []).append(struck[want.onset].onset)
    for (written, taken), onsets in others.items():
        yield PlanStep(tuple(onsets), f"take {written} as {taken}")
    if others:
        page, mine = (
            sum(len(mark.changes) for mark in marks_of(made, line.movement, line.staves))
            for made in (harp_pedaling(line.movement, line.staves), feet)
        )
        yield PlanStep(
            (Fraction(0),), "the page moves pedals for the notes as they are written: changes there "
            f"{page}, here {mine}; with the notes written as they are taken, the page has this plan",
        )  # fmt: skip


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no harpist can do."""
    if first_look.moves_pedals(line):
        wanted, made = _as_written(line)
        if made.impossible or any(change.time < REFUSED for change in made.changes):
            plan = _plan(line, wanted, made)
            yield from only_impossible(_pedals(line, plan, Fraction(0)))
    if first_look.has_lowest_strings(line):
        yield from _lowest(line)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    plan = plan_of(line)
    yield from _pedals(line, plan, Fraction(profile.pedal_time))
    yield from _saved(line, plan)
    yield from _lowest(line, with_care=True)
    yield from _ringing(line, plan)


# ---------------------------------------------------------------- feet


def _pedals(line: PlayerLine, plan: PedalPlan, wanted_time: Fraction) -> Iterator[Finding]:
    """What no pedal gives, and changes without time."""
    made = plan.written
    if not (made.impossible or made.changes):
        return
    struck = _struck(line)
    for found in made.impossible:
        event = struck.get(found.onset)
        if event is not None:
            yield _at_once(event, found.letter, found.accidentals, found.onset, plan)
    changes = [change for change in made.changes if change.until in struck]
    for change in changes:
        if REFUSED <= change.time < wanted_time:
            yield _too_fast(struck[change.until], change, plan)
    for row in _rows([change for change in changes if change.time < REFUSED]):
        if len(row) >= _CHROMATIC:
            yield _chromatic(struck[row[0].until], row, plan)
        else:
            yield from (_too_fast(struck[change.until], change, plan) for change in row)


def _rows(changes: Sequence[PedalChange]) -> Iterator[list[PedalChange]]:
    """Changes that follow one another at once."""
    row: list[PedalChange] = []
    for change in sorted(changes, key=lambda change: change.until):
        if row and change.until - row[-1].until > _SOON:
            yield row
            row = []
        row.append(change)
    if row:
        yield row


def _struck(line: PlayerLine) -> dict[Fraction, ScoreEvent]:
    """The first event at each moment, by exact seconds."""
    clock = Clock(line.movement)
    found: dict[Fraction, ScoreEvent] = {}
    for event in line.events:
        found.setdefault(clock.between(Fraction(0), event.onset), event)
    return found


def _at_once(
    event: ScoreEvent, letter: int, accidentals: Sequence[int], onset: Fraction, plan: PedalPlan
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


def _too_fast(event: ScoreEvent, change: PedalChange, plan: PedalPlan) -> Finding:
    name = PitchClass(change.letter, change.after)
    others = _as_cure(plan.taken(change.until - _NEAR, change.until, change.letter))
    before = f"{PitchClass(change.letter, change.before)} is to sound until then" if not change.time else ""
    return Finding(
        Degree.IMPOSSIBLE if change.time < REFUSED else Degree.CARE, IN_TIME, event,
        f"has {seconds_in_words(float(change.time))} to move a pedal to {name}",
        before or "the first note that needs it",
        f"a rest before it, or {others}" if others else "a rest before it; no other spelling helps",
    )  # fmt: skip


def _chromatic(event: ScoreEvent, row: Sequence[PedalChange], plan: PedalPlan) -> Finding:
    """Told once for all: where so many pedals have no time, it is the line that is not for a harp."""
    others = _as_cure(plan.taken(row[0].until - _NEAR, row[-1].until))
    return Finding(
        Degree.IMPOSSIBLE, IN_TIME, event,
        f"has no time for {len(row)} changes of pedals in {seconds_in_words(float(row[-1].until - row[0].until), 1)}",
        "the first of them", "a line that is less chromatic, two harps that share it"
        + (f", or {others}, which spares some of them" if others else ", or another instrument"),
    )  # fmt: skip


def _as_cure(pairs: Sequence[tuple[PitchClass, PitchClass]]) -> str:
    """The first few of some other spellings; empty for none."""
    return "spell " + ", ".join(f"{new} for {old}" for old, new in pairs[:_NAMED]) if pairs else ""


def _saved(line: PlayerLine, plan: PedalPlan) -> Iterator[Finding]:
    """Another spelling of the movement that has far fewer changes."""
    before = len(plan.written.changes)
    if plan.written.impossible or before < _MANY:
        return
    plan = replace(plan, best=best_spelling(plan.wanted))
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


# ---------------------------------------------------------------- low strings


def _lowest(line: PlayerLine, with_care: bool = False) -> Iterator[Finding]:
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


def _low(line: PlayerLine) -> list[tuple[Moment, Pitch]]:
    """What is struck on strings of wire and rings on."""
    return [
        (moment, note.pitch) for moment in line.moments for note in moment.struck
        if note.pitch.position <= HIGHEST_WIRE and "staccato" not in note.event.event.marks.articulations
    ]  # fmt: skip


def _rung_through(line: PlayerLine, plan: PedalPlan) -> Iterator[tuple[Moment, Pitch, PedalChange]]:
    """Wire strings that still ring when their pedal moves, since there is no time to wait for them."""
    struck = _struck(line)
    taken = {
        (struck[want.onset].onset, old[0]): new[0]
        for want, other in zip(plan.wanted, plan.played, strict=True) if want.onset in struck
        for old, new in zip(want.letters, other.letters, strict=True)
    }  # fmt: skip
    changes = _feet(line, plan).changes
    for moment, pitch in _low(line):
        letter = taken.get((moment.onset, pitch.letter), pitch.letter)
        change = next(
            (
                change for change in changes
                if change.letter == letter and moment.begins < change.begins < moment.begins + float(WIRE_RINGS)
            ),
            None,
        )  # fmt: skip
        if change is not None and pitch.position not in WITHOUT_PEDAL:
            yield moment, pitch, change


def _ringing(line: PlayerLine, plan: PedalPlan) -> Iterator[Finding]:
    """Wire strings that ring on when their pedal moves, and low lines by step."""
    for moment, pitch, change in _rung_through(line, plan):
        later = float(change.begins) - moment.begins
        yield Finding(
            Degree.CARE, RINGING, moment.event, f"has to damp {pitch} before its pedal moves",
            f"a wire string rings 5 s and more; {later:.1f} s later the pedal goes to "
            f"{PitchClass(change.letter, change.after)}, and there is no time to wait",
            "give it more time, or another octave",
        )  # fmt: skip
    told = -float(WIRE_RINGS)
    for (before, one), (after, other) in pairwise(_low(line)):
        near = 0 < abs(one.midi - other.midi) <= _STEP and 0 < after.begins - before.begins < _BLUR
        if near and after.begins - told > WIRE_RINGS:
            yield Finding(
                Degree.CARE, RINGING, after.event, f"has {one} and {other} sounding together",
                "wire strings ring 5 s and more", "ask for the strings to be damped, in words",
            )  # fmt: skip
        told = after.begins if near else told
