"""The same search as one would write it in plain Python: each placement built with the transforms, then judged.

It is the oracle of the tests and the baseline of `combine_speed.py`. The rules are written out again, note by note,
on events with onsets; nothing in it comes from the search but its limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cavata.combine.combine import Bounds, delays, least_together
from cavata.diagnostics import Refusal
from cavata.music.event import Motif
from cavata.music.pitch import Pitch
from cavata.transforms.combinations import UNISON, Answer

PERFECT = {"P1": "octave", "P5": "fifth"}
CONSONANT = ("P1", "m3", "M3", "P5", "m6", "M6")
SHIFTS = {"octave": 8, "tenth": 10, "twelfth": 12}


@dataclass(frozen=True, slots=True)
class Note:
    onset: Fraction
    end: Fraction
    pitch: Pitch


def notes_of(line: Motif, onset: Fraction) -> list[Note]:
    found = []
    for event in line.events:
        if event.heads:
            found.append(Note(onset, onset + event.duration, event.heads[0].pitch))
        onset += event.duration
    return found


def name(low: Pitch, high: Pitch) -> str:
    """The interval between two notes within the octave."""
    if (high.midi, high.position) < (low.midi, low.position):
        low, high = high, low
    interval = high - low
    octaves = interval.steps // 7
    return str(high.shifted(-octaves) - low)


def turned(low: Pitch, high: Pitch, at: int) -> str:
    """What the table of invertible counterpoint makes of the interval, by its number: a word that CONSONANT knows."""
    if (high.midi, high.position) < (low.midi, low.position):
        low, high = high, low
    number = (high - low).steps + 1
    inverted = (at + 1 - number - 1) % 7 + 1
    return {1: "P1", 2: "M2", 3: "M3", 4: "P4", 5: "P5", 6: "M6", 7: "M7"}[inverted]


def is_step(one: Note | None, other: Note | None) -> bool:
    if one is None or other is None or one.end != other.onset:
        return False
    interval = other.pitch - one.pitch
    return str(interval if interval.steps > 0 else -interval) in ("m2", "M2")


def falls(one: Note | None, other: Note | None) -> bool:
    return is_step(one, other) and other is not None and one is not None and other.pitch.midi < one.pitch.midi


def judge(leader: list[Note], follower: list[Note], strong: Fraction, rules: str) -> list[tuple[str, Fraction]]:
    """Every breach with its place."""
    loose = rules in ("free", "canon", "stretto", "quodlibet")
    at = SHIFTS.get(rules)
    found = _judge(leader, follower, strong, loose, None)
    if at is not None:
        found += [(f"inverted: {what}", when) for what, when in _judge(leader, follower, strong, False, at)]
    return sorted(found, key=lambda breach: (breach[1], breach[0]))


def _judge(
    leader: list[Note], follower: list[Note], strong: Fraction, loose: bool, at: int | None
) -> list[tuple[str, Fraction]]:
    found: list[tuple[str, Fraction]] = []
    before = ""
    ended = None
    for when in sorted({note.onset for note in leader + follower}):
        i = next((n for n, note in enumerate(leader) if note.onset <= when < note.end), None)
        j = next((n for n, note in enumerate(follower) if note.onset <= when < note.end), None)
        if i is None or j is None:
            before = ""
            continue
        a, b = leader[i], follower[j]
        if ended is not None and when > ended:
            before = ""
        kind = name(a.pitch, b.pitch) if at is None else turned(a.pitch, b.pitch, at)
        a_before, b_before = (leader[i - 1] if i else None), (follower[j - 1] if j else None)
        a_next = leader[i + 1] if i + 1 < len(leader) else None
        b_next = follower[j + 1] if j + 1 < len(follower) else None
        a_begins, b_begins = a.onset == when, b.onset == when
        if kind in PERFECT and a_begins and b_begins and _same_way(a_before, a, b_before, b):
            if before == kind:
                found.append((f"parallel {PERFECT[kind]}s", when))
            elif not loose:
                found.append((f"{PERFECT[kind]} by direct motion", when))
        is_strong = when % strong == 0
        if kind not in CONSONANT:
            passing = not is_strong and (
                (b_begins and not a_begins and is_step(b_before, b) and is_step(b, b_next))
                or (a_begins and not b_begins and is_step(a_before, a) and is_step(a, a_next))
            )
            suspended = is_strong and before in CONSONANT and (
                (not a_begins and falls(a, a_next)) or (not b_begins and falls(b, b_next))
            )
            if loose:
                if is_strong:
                    found.append(("dissonance on a strong beat", when))
            elif not passing and not suspended:
                found.append(("dissonance on a strong beat" if is_strong else "dissonance not by step", when))
        before, ended = kind, min(a.end, b.end)
    return found


def _same_way(a: Note | None, to_a: Note, b: Note | None, to_b: Note) -> bool:
    if a is None or b is None or a.end != to_a.onset or b.end != to_b.onset:
        return False
    return (to_a.pitch.midi - a.pitch.midi) * (to_b.pitch.midi - b.pitch.midi) > 0


def together(leader: list[Note], follower: list[Note]) -> Fraction:
    return sum(
        (max(Fraction(0), min(a.end, b.end) - max(a.onset, b.onset)) for a in leader for b in follower), Fraction(0)
    )


def imperfect(leader: list[Note], follower: list[Note]) -> int:
    return sum(
        name(a.pitch, b.pitch) in ("m3", "M3", "m6", "M6")
        for a in leader for b in follower if max(a.onset, b.onset) < min(a.end, b.end)
    )  # fmt: skip


Found = tuple[Answer, Fraction, Motif, list[tuple[str, Fraction]], Fraction, int]


def search(leader: Motif, follower: Motif, bounds: Bounds) -> list[Found]:
    """Every placement in the order that the search promises."""
    found: list[tuple[tuple[object, ...], Found]] = []
    leads = notes_of(leader, Fraction(0))
    for form_number, form in enumerate(bounds.forms):
        try:
            as_it_is = Answer(UNISON, bounds.mode, form.backwards, form.upside_down, form.slower)
            steps = bounds.mover().intervals(as_it_is.to(follower))
        except Refusal:
            continue
        for step_number, step in enumerate(steps):
            answer = Answer(step, bounds.mode, form.backwards, form.upside_down, form.slower)
            for delay in delays(bounds, leader):
                try:
                    line = answer.to(follower)
                except Refusal:
                    break
                follows = notes_of(line, delay)
                overlap = together(leads, follows)
                if not overlap or overlap < least_together(leader, line):
                    continue
                breaches = judge(leads, follows, bounds.strong, bounds.rules)
                soft = imperfect(leads, follows)
                key = (len(breaches), -overlap, -soft, abs(step.semitones), form_number, step_number, delay)
                found.append((key, (answer, delay, line, breaches, overlap, soft)))
    return [placed for _, placed in sorted(found, key=lambda pair: pair[0])]
