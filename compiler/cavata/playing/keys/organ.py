"""The feet of an organist: keys at once, a line in time, the swell pedal, and registration; and of a harpsichord that
it neither swells nor changes stops by itself.

The hands are looked at in `keyboards`. What stands on the pedal staff is played with both feet, or with one while the
other is on the swell pedal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from cavata.instruments.instrument import PEDAL
from cavata.instruments.pedalboard import PedalStroke, feet_of, hurried
from cavata.music.event import LASTING, MANUALS
from cavata.playing import first_look
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, seconds_in_words
from cavata.playing.keys.keyboards import pitches
from cavata.playing.line import Moment, PlayerLine, Sounding
from cavata.playing.profile import Profile
from cavata.playing.runs import BEYOND, chained
from cavata.score.score import ScoreEvent

_PAGES = "pages on writing for organ; times from memory"
FEET = Kind("organ feet", "I375", "whether two feet have the pedals that sound at once", _PAGES)
PEDALING = Kind("organ pedals", "I376", "whether the feet come from pedal to pedal in time", _PAGES)
SWELL = Kind("swell pedal", "", "hairpins, and whether a foot is free for the swell pedal where there is one", _PAGES)
REGISTRATION = Kind("registration", "", "whether a hand is free where the dynamic jumps", _PAGES)
MANUAL = Kind("manual", "", "the time that a hand has to go to another manual", "from memory")
KINDS = (FEET, PEDALING, SWELL, REGISTRATION, MANUAL)

NEVER = 0.5
"""The share of its time without which no foot comes to a pedal."""
_WITHOUT_SWELL = {
    "chamber organ": "it has no swell box",
    "harpsichord": "its strings are plucked alike, however the keys are struck",
}
_JUMP = 2
"""Steps from one dynamic to another that ask for other stops."""
_FREE = 1.0
"""Seconds in which a hand changes one to four stops."""
_QUICK = 0.25
"""Seconds from a pedal to the next that are enough for any foot."""
_MOST = 13.0
"""Pedals a second that two feet have in no row, each on its own side. From memory."""
_ROW = 8


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    if line.instrument.pedals:
        yield from _care_of_feet(line, profile)
    yield from _swell(line)
    yield from _registration(line)
    yield from _manuals(line)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no two feet can do."""
    if not first_look.has_pedals(line):
        return
    for moment, notes in _pedals_at_once(line):
        keys = [note.pitch.midi for note in notes]
        if len(keys) > 2 and feet_of(keys) is None:
            fact = f"{len(keys)} pedals for two feet, which have two each" if len(keys) > 4 else (
                "the keys that one foot would have lie more than a fifth apart"
            )  # fmt: skip
            event = moment.struck_by(PEDAL)[0].event
            yield Finding(
                Degree.IMPOSSIBLE, FEET, event, f"cannot hold {names_of([n.pitch for n in notes])} with its feet", fact,
                "leave notes to the hands, or write the chord on the manuals",
            )  # fmt: skip
    runs = list(_steps(line))
    yield from _hurried(runs, NEVER, Degree.IMPOSSIBLE)
    yield from _beyond_feet(runs)


def _pedals_at_once(line: PlayerLine) -> Iterator[tuple[Moment, Sequence[Sounding]]]:
    """Where a pedal is struck and two or more sound, with those."""
    if sum(len(s.voices) for s in line.staves if s.name == PEDAL) < 2 and not any(
        len(event.event.heads) > 1 for staff in line.staves if staff.name == PEDAL
        for voice in staff.voices for event in voice
    ):  # fmt: skip
        return
    for moment in line.moments:
        notes = [note for note in moment.sounding if note.staff == PEDAL]
        if len(notes) > 1 and moment.struck_by(PEDAL):
            yield moment, notes


# ---------------------------------------------------------------- in time


_Run = list[tuple[ScoreEvent, PedalStroke]]


def _steps(line: PlayerLine) -> Iterator[_Run]:
    """Lines of single pedals, one after another; a chord or a second voice ends one."""
    for staff in line.staves:
        voices = [voice for voice in staff.voices if voice]
        if staff.name != PEDAL or len(voices) != 1:
            continue
        events = [event for event in voices[0] if event.event.heads and not event.tied_before]
        for single, group in groupby(events, key=lambda event: len(event.event.heads) == 1):
            if single:
                yield [(e, PedalStroke(pitches(e)[0].midi, line.timing.at(e.onset))) for e in group]


def _hurried(runs: Sequence[_Run], share: float, degree: Degree) -> Iterator[Finding]:
    for run in runs:
        if min((b.onset - a.onset for (_, a), (_, b) in pairwise(run)), default=_QUICK) >= _QUICK * max(1.0, share):
            continue
        for place in hurried([step for _, step in run], share):
            (_, before), (event, after) = run[place - 1], run[place]
            what = "cannot come to a pedal in time" if degree is Degree.IMPOSSIBLE else "has pedals in a hurry"
            yield Finding(
                degree, PEDALING, event, what,
                f"{names_of(pitches(event))} comes {seconds_in_words(after.onset - before.onset)} after the pedal "
                "before, and both feet are on their way",
                "take longer values, smaller leaps, or give the line to the left hand",
            )  # fmt: skip


def _beyond_feet(runs: Sequence[_Run]) -> Iterator[Finding]:
    """Rows that go faster than two feet, however near the pedals lie; each once."""
    for row in _fast_rows(runs):
        yield Finding(
            Degree.IMPOSSIBLE, PEDALING, row[0][0], "cannot play the pedals so fast",
            f"{_rate(row):.1f} a second; two feet have about {_MOST:.0f} at most",
            "take longer values, or give the line to the left hand",
        )  # fmt: skip


def _fast_rows(runs: Sequence[_Run]) -> Iterator[_Run]:
    """Rows of pedals that follow one another faster than two feet do."""
    for run in runs:
        for row in chained(run, lambda before, after: after[1].onset - before[1].onset <= 1 / _MOST, _ROW):
            if _rate(row) > _MOST * BEYOND:
                yield row


def _rate(row: _Run) -> float:
    return (len(row) - 1) / (row[-1][1].onset - row[0][1].onset)


def _care_of_feet(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    for moment, notes in _pedals_at_once(line):
        feet = feet_of([note.pitch.midi for note in notes])
        if feet is not None and feet.hardship:
            yield Finding(
                Degree.CARE, FEET, moment.event, f"has {len(notes)} pedals at once", feet.hardship,
                "leave notes to the hands, or bring them nearer",
            )  # fmt: skip
    runs = list(_steps(line))
    told = {finding.event.onset for finding in _hurried(runs, NEVER, Degree.IMPOSSIBLE)}
    told |= {event.onset for row in _fast_rows(runs) for event, _ in row}
    for finding in _hurried(runs, profile.foot_time, Degree.CARE):
        if finding.event.onset not in told:
            yield finding
    yield from _pairs_in_a_hurry(line, profile)


def _pairs_in_a_hurry(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Rows of two pedals at once, of which each foot has one and must go from key to key alone; once a movement."""
    struck = [(moment, moment.struck_by(PEDAL)) for moment in line.moments]
    row = [(moment, notes) for moment, notes in struck if len(notes) == 2]
    for foot in (0, 1):
        steps = [PedalStroke(notes[foot].pitch.midi, moment.begins) for moment, notes in row]
        place = next(hurried(steps, profile.foot_time, 1), None)
        if place is not None:
            (before, _), (moment, notes) = row[place - 1], row[place]
            yield Finding(
                Degree.CARE, PEDALING, notes[0].event, "has two pedals at once in a hurry",
                f"each foot has {seconds_in_words(moment.begins - before.begins)} to its next one, without the other's "
                "help", "one line for both feet, longer values, or the left hand",
            )  # fmt: skip
            return


# ---------------------------------------------------------------- swell and stops


def _swell(line: PlayerLine) -> Iterator[Finding]:
    """Each stretch under a hairpin for which no foot is free, or that has no swell box to open."""
    for hairpin, group in groupby(line.moments, key=lambda moment: moment.state.hairpin):
        run = list(group)
        fact = (_WITHOUT_SWELL.get(line.instrument.key) or _no_foot(run)) if hairpin else ""
        if fact:
            yield Finding(
                Degree.CARE, SWELL, run[0].event, "can hardly swell here", fact,
                "let the dynamic change by steps, with other stops or more notes"
                + (", or leave one foot free" if line.instrument.pedals else ""),
            )  # fmt: skip


def _no_foot(run: Sequence[Moment]) -> str:
    """What one foot alone cannot do while the other is on the swell pedal; nothing where it can."""
    for moment in run:
        keys = [note.pitch.midi for note in moment.sounding if note.staff == PEDAL]
        if len(keys) > 1 and feet_of(keys, 1) is None:
            return f"the swell pedal takes a foot, and the other does not have {len(keys)} pedals"
    steps = [PedalStroke(n.pitch.midi, m.begins) for m in run for n in m.struck_by(PEDAL)]
    lonely = sorted({step.onset: step for step in steps}.values(), key=lambda step: step.onset)
    if next(hurried(lonely, 1.0, 1), None) is not None:
        return "the swell pedal takes a foot, and the other does not play this line alone"
    return ""


def _registration(line: PlayerLine) -> Iterator[Finding]:
    """Dynamics that jump while both hands play on."""
    for before, moment in pairwise(line.moments):
        old, new = before.state.dynamic, moment.state.dynamic
        if before.state.hairpin or not old or not new or abs(LASTING.index(old) - LASTING.index(new)) < _JUMP:
            continue
        busy = {note.staff for note in before.sounding if line.timing.at(note.end) > moment.begins - _FREE}
        if {staff.name for staff in line.staves if staff.name != PEDAL} <= busy:
            yield Finding(
                Degree.CARE, REGISTRATION, moment.event, "has no hand free to change stops",
                f"from {old} to {new}, and both hands play up to it",
                "give one hand a rest before it, another manual, or a registrant",
            )  # fmt: skip


_TO_A_MANUAL = 0.2
"""Seconds from the last note of a hand on one manual to its first on another. From memory."""


def _manuals(line: PlayerLine) -> Iterator[Finding]:
    """Changes of the manual for which a hand has hardly time."""
    for staff in (staff for staff in line.staves if staff.name != PEDAL):
        for voice in staff.voices:
            for before, event in pairwise(event for event in voice if event.event.heads):
                time = line.timing.at(event.onset) - line.timing.at(before.onset)
                if time < _TO_A_MANUAL and any(word in MANUALS for word in event.event.marks.techniques):
                    yield Finding(
                        Degree.CARE, MANUAL, event, f"changes the manual in a hurry with the {staff.name} hand",
                        f"{seconds_in_words(time)} after its note before",
                        "a rest before it, or the other hand for the second manual",
                    )  # fmt: skip
