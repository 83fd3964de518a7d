"""Timpani: sticks and drums for what is struck at once, and the time there is to tune a drum anew.

Which drum has which pitch, and where it is tuned, is what the page says (`score/timpani`). A drum can be tuned from the
end of its last note to its next one; one foot does it, and the ear wants to hear the new pitch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.instruments.harp_pedals import most_time
from cavata.instruments.instrument import Drum
from cavata.instruments.timpani import USUAL_SET, Retuned, tuning
from cavata.music.pitch import Pitch
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Line, Moment
from cavata.playing.percussion import is_roll
from cavata.playing.profile import Profile
from cavata.score.clock import Clock
from cavata.score.score import ScoreEvent
from cavata.score.timpani import strokes_of

_HANDBOOKS = "ranges of drums as in the table of instruments; sticks and times from memory"
DRUMS = Kind("drums", "I377", "whether the drums and two hands have what is struck at once", _HANDBOOKS)
TUNING = Kind("drum tuning", "I378", "seconds from the last note of a drum to the first at its new pitch", _HANDBOOKS)
SLIDE = Kind("drum glissando", "I379", "whether one drum has both ends of a glissando", _HANDBOOKS)
KINDS = (DRUMS, TUNING, SLIDE)

STICKS, AT_EASE = 4, 2
"""Notes at once with two sticks in each hand, and with one."""
AT_ONCE = 0.5
"""Seconds in which no drum is tuned: half of what a known interval wants on pedals. From memory."""
FAR = 5
"""Semitones, a fourth, beyond which a drum is seldom in tune at once."""
_SILENCE = 1.0
"""Seconds without a stroke in which a player hears a drum that is being tuned."""
_MOST = 12
"""Changes that are laid one after another; a player plans no more ahead."""


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    for moment in line.moments:
        if AT_EASE < len(moment.struck) <= STICKS and _drums_for(moment, line.instrument.drums):
            yield Finding(
                Degree.CARE, DRUMS, moment.event, f"strikes {len(moment.struck)} drums at once",
                "it takes two sticks in a hand", "give the player time to take them, or leave notes out",
            )  # fmt: skip
    yield from _tunings(line, profile)


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """What the drums do not have."""
    events = line.events
    if any(len(event.event.heads) > 1 for event in events) or sum(len(s.voices) for s in line.staves) > 1:
        yield from _too_many(line)
    for event, after in zip(events, events[1:], strict=False):
        if event.event.marks.glides and not _slides(event, after, line.instrument.drums):
            yield Finding(
                Degree.IMPOSSIBLE, SLIDE, event, "cannot slide so far on one drum",
                f"no drum has both {event.event.heads[0].pitch} and {after.event.heads[0].pitch}",
                "take a smaller interval, or two drums without a glissando",
            )  # fmt: skip
    yield from (finding for finding in _changes(line) if finding.degree is Degree.IMPOSSIBLE)


def _too_many(line: Line) -> Iterator[Finding]:
    for moment in line.moments:
        if len(moment.struck) < AT_EASE or _drums_for(moment, line.instrument.drums):
            continue
        found = [note.pitch for note in moment.struck]
        if all(_has(drum, pitch) == 0 for pitch in found for drum in line.instrument.drums):
            continue  # told as beyond the range
        if len(found) > STICKS:
            fact = f"{len(found)} notes, and {STICKS} sticks at most"
        elif is_roll(moment) and len(found) > AT_EASE:
            fact = "a roll takes a stick on each drum, again and again, and two hands have two at that speed"
        else:
            fact = "no set has a drum for each"
        yield Finding(
            Degree.IMPOSSIBLE, DRUMS, moment.event, f"cannot strike {' '.join(map(str, found))} at once", fact,
            "give notes to a second player with drums of his own, or leave them out",
        )  # fmt: skip


def _drums_for(moment: Moment, drums: Sequence[Drum]) -> bool:
    """Whether each pitch that is struck can have a drum of its own, of one set."""
    found = [note.pitch for note in moment.struck]
    return len(found) <= (AT_EASE if is_roll(moment) else STICKS) and _each(found, drums)


def _each(pitches: Sequence[Pitch], drums: Sequence[Drum]) -> bool:
    if not pitches:
        return True
    return any(
        _has(drum, pitches[0]) and _each(pitches[1:], [other for other in drums if other is not drum]) for drum in drums
    )


def _has(drum: Drum, pitch: Pitch) -> bool:
    return drum.lowest.midi <= pitch.midi <= drum.highest.midi


def _slides(event: ScoreEvent, after: ScoreEvent, drums: Sequence[Drum]) -> bool:
    ends = event.event.heads[0].pitch, after.event.heads[0].pitch
    return any(all(_has(drum, pitch) for pitch in ends) for drum in drums)


# ---------------------------------------------------------------- tuning


def _changes(line: Line) -> Iterator[Finding]:
    """Each change that cannot be made, or in a hurry."""
    for change, event in _retuned(line):
        time = float(change.until - change.since)
        if time < AT_ONCE:
            yield Finding(
                Degree.IMPOSSIBLE, TUNING, event, f"cannot tune a drum from {change.old} to {change.new}",
                f"{time:.2f} s are left from its last note to the next", _CURE,
            )  # fmt: skip


_CURE = "give it more time, another drum that is free, or a pitch that a drum has already"


def _retuned(line: Line) -> list[tuple[Retuned, ScoreEvent]]:
    """The changes of a movement, each with the note that wants it."""
    pitches = {head.pitch.midi: head.pitch for event in line.events for head in event.event.heads}
    if len(pitches) <= USUAL_SET and _each(list(pitches.values()), line.instrument.drums[:USUAL_SET]):
        return []  # a drum for each
    clock = Clock(line.movement)
    events = {clock.between(Fraction(0), event.onset): event for event in reversed(line.events)}
    strokes = strokes_of(line.movement, line.staves[0])
    return [(change, events[change.until]) for change in tuning(strokes, line.instrument.drums).changes]


def _tunings(line: Line, profile: Profile) -> Iterator[Finding]:
    """Changes that want care: in a hurry, several at one time, far away, or while the player plays on."""
    changes = _retuned(line)
    for number, (change, event) in enumerate(changes):
        time = float(change.until - change.since)
        if time < AT_ONCE:
            continue
        near = [other for other, _ in changes[max(0, number - _MOST) : number + _MOST]]
        share = _share(change, [other for other in near if _meet(change, other)], profile)
        facts = [f"{time:.1f} s are left from its last note to the next"] if time < profile.drum_tuning else []
        if not facts and share < profile.drum_tuning:
            facts.append(f"with the other drums that are tuned meanwhile {share:.1f} s are left for each")
        if abs(change.new.midi - change.old.midi) > FAR:
            facts.append("farther than a fourth it is seldom in tune at once")
        if facts and _plays_on(line, change):
            facts.append("meanwhile the player strikes or rolls without a rest to hear it")
        if facts:
            yield Finding(
                Degree.CARE, TUNING, event, "tunes a drum in a hurry" if time < profile.drum_tuning else
                "tunes a drum with care", f"{change.old} to {change.new}: {'; '.join(facts)}", _CURE,
            )  # fmt: skip


def _meet(change: Retuned, other: Retuned) -> bool:
    """Whether two changes fall into one time of short length."""
    return change.since < other.until and other.since < change.until


def _share(change: Retuned, near: Sequence[Retuned], profile: Profile) -> float:
    """Seconds that each of some changes has, laid one after another."""
    if len(near) < 2:
        return profile.drum_tuning
    time, _ = most_time([(other.since, other.until) for other in near], Fraction(profile.drum_tuning))
    return float(time)


def _plays_on(line: Line, change: Retuned) -> bool:
    """Whether there is no second of silence between the two notes."""
    since, until = float(change.since), float(change.until)
    quiet, longest = since, 0.0
    for moment in line.moments:
        if moment.begins >= until or moment.ends <= since:
            continue
        longest = max(longest, moment.begins - quiet)
        quiet = max(quiet, moment.ends if is_roll(moment) else moment.begins)
    return max(longest, until - quiet) < min(_SILENCE, (until - since) / 2)
