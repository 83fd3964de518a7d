"""Timpani: sticks and drums for what is struck at once, and the time there is to tune a drum anew.

Which drum has which pitch, and where it is tuned, is what the page says (`score/timpani`). A drum can be tuned from the
end of its last note to its next one; one foot does it, and the ear wants to hear the new pitch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.instruments.instrument import Drum
from cavata.instruments.timpani import SAFE, USUAL_SET, DrumTuning, Retuned, tuning
from cavata.music.pitch import Pitch
from cavata.playing import first_look
from cavata.playing.chords import names_of
from cavata.playing.drums.percussion import is_roll
from cavata.playing.finding import NO_TIME, Degree, Finding, Kind, PlanStep, left_in_words, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.record import record
from cavata.score.clock import Clock
from cavata.score.score import ScoreEvent
from cavata.score.timpani import strokes_of

_HANDBOOKS = "ranges of drums as in the table of instruments; sticks and times from memory"
DRUMS = Kind("drums", "I377", "whether the drums and two hands have what is struck at once", _HANDBOOKS)
TUNING = Kind(
    "drum tuning", "I378", "seconds from the last note of a drum to the first at its new pitch", _HANDBOOKS,
    in_rows=True,
)  # fmt: skip
SLIDE = Kind("drum glissando", "I379", "whether one drum has both ends of a glissando", _HANDBOOKS)
KINDS = (DRUMS, TUNING, SLIDE)

STICKS, AT_EASE = 4, 2
"""Notes at once with two sticks in each hand, and with one."""
FAR = 5
"""Semitones, a fourth, beyond which a drum is seldom in tune at once."""
_SILENCE = 1.0
"""Seconds without a stroke in which a player hears a drum that is being tuned."""
FEET = 2
EASY = 1.0
"""Seconds in which a drum is tuned by a known interval."""
_MOST = 12
"""Changes that are laid one after another; a player plans no more ahead."""


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    changes = _changes(line)
    yield from _not_had(line, changes)
    for moment in line.moments:
        if AT_EASE < len(moment.struck) <= STICKS and _drums_for(moment, line.instrument.drums):
            yield Finding(
                Degree.CARE, DRUMS, moment.event, f"strikes {len(moment.struck)} drums at once",
                "it takes two sticks in a hand", "give the player time to take them, or leave notes out",
            )  # fmt: skip
    yield from _unusual(line)
    used = _tuned(line).first
    if len(used) > USUAL_SET:
        yield Finding(
            Degree.CARE, DRUMS, line.events[0], f"has {len(used)} drums", f"{names_of(used)}; {USUAL_SET} are a set",
            "ask for the smallest drum besides, or fewer pitches",
        )  # fmt: skip
    yield from _tunings(line, changes, profile)


def steps(line: PlayerLine) -> Iterator[PlanStep]:
    """The plan of a movement: what the drums are tuned to at first, and each change at the note that wants it."""
    now = list(_tuned(line).first)
    if now:
        yield PlanStep((Fraction(0),), f"tune {names_of(now)}", names_of(now))
    for change in _changes(line):
        now = sorted(
            (change.drum.new if pitch == change.drum.old else pitch for pitch in now), key=lambda pitch: pitch.midi
        )
        time = seconds_in_words(change.time, 1)
        how = "at once, its last note cut" if time == NO_TIME else f"in {time}"
        yield PlanStep(
            (change.event.onset,), f"by here {change.drum.old} becomes {change.drum.new}, {how}", names_of(now)
        )


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What the drums do not have."""
    yield from _not_had(line, _changes(line))


def _not_had(line: PlayerLine, changes: Sequence[_Change]) -> Iterator[Finding]:
    events = line.events
    if first_look.has_chords(line):
        yield from _too_many(line)
    for event, after in zip(events, events[1:], strict=False):
        if event.event.marks.glides and not _slides(event, after, line.instrument.drums):
            yield Finding(
                Degree.IMPOSSIBLE, SLIDE, event, "cannot slide so far on one drum",
                f"no drum has both {event.event.heads[0].pitch} and {after.event.heads[0].pitch}",
                "take a smaller interval, or two drums without a glissando",
            )  # fmt: skip
    yield from _impossible_changes(changes)


def _too_many(line: PlayerLine) -> Iterator[Finding]:
    for moment in line.moments:
        if len(moment.struck) < AT_EASE or _drums_for(moment, line.instrument.drums):
            continue
        found = [note.pitch for note in moment.struck]
        if any(line.instrument.is_beyond(pitch) for pitch in found):
            continue  # told as beyond the range
        if len(found) > STICKS:
            fact = f"{len(found)} notes, and {STICKS} sticks at most"
        elif is_roll(moment) and len(found) > AT_EASE:
            fact = "a roll takes a stick on each drum, again and again, and two hands have two at that speed"
        else:
            fact = "no set has a drum for each"
        yield Finding(
            Degree.IMPOSSIBLE, DRUMS, moment.event, f"cannot strike {names_of(found)} at once", fact,
            "give notes to a second player with other drums, or leave them out",
        )  # fmt: skip


def _unusual(line: PlayerLine) -> Iterator[Finding]:
    """Notes that only drums of unusual sizes have."""
    for event in line.events:
        for pitch in (head.pitch for head in event.event.heads if not event.tied_before):
            if not (line.instrument.is_beyond(pitch) or any(drum.has(pitch) for drum in line.instrument.drums)):
                yield Finding(
                    Degree.CARE, DRUMS, event, f"has {pitch}", "no drum of the usual sizes has it, "
                    f"{line.instrument.drums[0].lowest} to {line.instrument.drums[-1].highest}",
                    "ask for the drum, or move it by an octave",
                )  # fmt: skip


def _drums_for(moment: Moment, drums: Sequence[Drum]) -> bool:
    """Whether each pitch that is struck can have a drum of its own, of one set."""
    found = [note.pitch for note in moment.struck]
    return len(found) <= (AT_EASE if is_roll(moment) else STICKS) and _each(found, drums)


def _each(pitches: Sequence[Pitch], drums: Sequence[Drum]) -> bool:
    if not pitches:
        return True
    return any(
        drum.has(pitches[0]) and _each(pitches[1:], [other for other in drums if other is not drum]) for drum in drums
    )


def _slides(event: ScoreEvent, after: ScoreEvent, drums: Sequence[Drum]) -> bool:
    ends = event.event.heads[0].pitch, after.event.heads[0].pitch
    return any(all(drum.has(pitch) for pitch in ends) for drum in drums)


# ---------------------------------------------------------------- tuning

_CURE = "give it more time, another drum that is free, or a pitch that a drum has already"


@record
class _Change:
    """A drum is tuned anew."""

    drum: Retuned
    event: ScoreEvent
    """The note that wants it."""
    share: float
    """Seconds that it has if all that are made in its time are made one after another."""
    utmost: float
    """The same if last notes are cut."""

    @property
    def time(self) -> float:
        """Seconds from the last note of the drum to this one."""
        return float(self.drum.until - self.drum.since)

    @property
    def is_impossible(self) -> bool:
        """Whether there is no time, with two feet."""
        return self.drum.has_no_time or FEET * self.utmost < self.drum.least


def _impossible_changes(changes: Sequence[_Change]) -> Iterator[Finding]:
    for change in changes:
        if change.is_impossible:
            alone = f"{left_in_words(change.time)} from its last note to the next"
            among = f", with the others that are tuned meanwhile {seconds_in_words(change.share)}"
            yield Finding(
                Degree.IMPOSSIBLE, TUNING, change.event,
                f"cannot tune a drum from {change.drum.old} to {change.drum.new}",
                alone if change.drum.has_no_time else alone + among, _CURE,
            )  # fmt: skip


def _changes(line: PlayerLine) -> list[_Change]:
    """The changes of a movement, in the order of the notes that want them."""
    pitches = {head.pitch.midi: head.pitch for event in line.events for head in event.event.heads}
    if len(pitches) <= USUAL_SET and _each(list(pitches.values()), line.instrument.drums[:USUAL_SET]):
        return []  # a drum for each
    clock = Clock(line.movement)
    events = {clock.between(Fraction(0), event.onset): event for event in reversed(line.events)}
    drums = sorted(_tuned(line).changes, key=lambda change: change.until)
    return [
        _Change(drum, events[drum.until], _share(number, drums), _share(number, drums, cut=True))
        for number, drum in enumerate(drums)
    ]


def _tuned(line: PlayerLine) -> DrumTuning:
    return tuning(strokes_of(line.movement, line.staves[0]), line.instrument.drums)


def _share(number: int, drums: Sequence[Retuned], cut: bool = False) -> float:
    """What is left of a change's time if each other one in it takes a second, or if all have the same."""
    begins, until = _time_of(drums[number], cut)
    times = [_time_of(other, cut) for other in drums[max(0, number - _MOST) : number + _MOST]]
    near = sum(1 for since, end in times if begins < end and since < until)
    time = float(until - begins)
    return max(time - EASY * (near - 1), time / near) if near else time


def _tunings(line: PlayerLine, changes: Sequence[_Change], profile: Profile) -> Iterator[Finding]:
    """Changes that want care: in a hurry, several at one time, far away, or while the player plays on."""
    for change in changes:
        hurried = change.time < profile.drum_tuning
        facts = [f"{left_in_words(change.time, 1)} from its last note to the next"] if hurried else []
        if change.drum.is_cut:
            facts.append(f"with that note cut by half, {left_in_words(float(change.drum.until - change.drum.free))}")
        if not facts and change.share < min(float(SAFE), profile.drum_tuning):
            facts.append(f"with the other drums that are tuned meanwhile {left_in_words(change.share, 1)} for it")
        if abs(change.drum.new.midi - change.drum.old.midi) > FAR:
            facts.append("farther than a fourth it is seldom in tune at once")
        if facts and _plays_on(line, change.drum):
            facts.append("meanwhile the player strikes or rolls without a rest to hear it")
        if facts and not change.is_impossible:
            yield Finding(
                Degree.CARE, TUNING, change.event,
                "tunes a drum in a hurry" if hurried else "tunes a drum with care",
                f"{change.drum.old} to {change.drum.new}: {'; '.join(facts)}", _CURE,
            )  # fmt: skip


def _time_of(change: Retuned, cut: bool) -> tuple[Fraction, Fraction]:
    """From when to when a drum can be tuned."""
    return change.free if cut else change.since, change.until


def _plays_on(line: PlayerLine, change: Retuned) -> bool:
    """Whether there is no second of silence between the two notes."""
    since, until = float(change.since), float(change.until)
    quiet, longest = since, 0.0
    for moment in line.moments:
        if moment.begins >= until or moment.ends <= since:
            continue
        longest = max(longest, moment.begins - quiet)
        quiet = max(quiet, moment.ends if is_roll(moment) else moment.begins)
    return max(longest, until - quiet) < min(_SILENCE, (until - since) / 2)
