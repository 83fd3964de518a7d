"""The same search as one would write it in plain Python: each placement built with the transforms, then judged.

It is the oracle of the tests and the baseline of `combine_speed.py`. The rules are written out again, note by note,
on events with onsets; nothing in it comes from the search but its limits. The judge of strict counterpoint, which has
tests of its own, is asked of every placement: the search asks it only where its arrays leave a doubt.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from cavata.combine.placement import Bounds, delays, least_together
from cavata.combine.strict.table import judge as strictly
from cavata.diagnostics import Refusal
from cavata.music.event import Motif
from cavata.music.pitch import UNISON, Pitch
from cavata.transforms.combinations import VoiceAnswer
from cavata.transforms.pitches import respellings

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


LOOSE = ("free", "canon", "stretto", "quodlibet")


def licenses(leader: list[Note], follower: list[Note], bounds: Bounds) -> int:
    """Of the strict rules how many licenses are taken."""
    lines = [[(n.onset, n.end - n.onset, n.pitch) for n in line] for line in (leader, follower)]
    found = () if bounds.rules in LOOSE else strictly((lines[0], lines[1]), bounds.options())
    return sum(not f.is_hard for f in found)


def judge(leader: list[Note], follower: list[Note], bounds: Bounds) -> list[tuple[str, Fraction]]:
    """Every fault with its place: of the strict rules what their judge finds, of the others note by note."""
    at = SHIFTS.get(bounds.rules)
    if bounds.rules in LOOSE:
        return _judge(leader, follower, _loosely_strong(leader, follower, bounds), True, None)
    lines = [[(n.onset, n.end - n.onset, n.pitch) for n in line] for line in (leader, follower)]
    found = [(f.rule.name, f.at) for f in strictly((lines[0], lines[1]), bounds.options()) if f.is_hard]
    if at is not None:
        strong = _loosely_strong(leader, follower, bounds)
        found += [(f"inverted: {what}", when) for what, when in _judge(leader, follower, strong, False, at)]
    return sorted(found, key=lambda fault: (fault[1], fault[0]))


def _loosely_strong(leader: list[Note], follower: list[Note], bounds: Bounds) -> Callable[[Fraction], bool]:
    """Strong beats; against a line of one note a bar only those where a bar begins."""
    for line in (leader, follower):
        start = line[0].onset
        bars = [(start + bounds.bar * n, start + bounds.bar * (n + 1)) for n in range(len(line))]
        if len(line) > 1 and [(note.onset, note.end) for note in line] == bars:
            return lambda at: at % bounds.strong == 0 and (at - start) % bounds.bar == 0
    return lambda at: at % bounds.strong == 0


def _judge(
    leader: list[Note], follower: list[Note], strong: Callable[[Fraction], bool], loose: bool, at: int | None
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
        a_begins, b_begins = a.onset == when, b.onset == when
        if kind in PERFECT and a_begins and b_begins and _same_way(a_before, a, b_before, b):
            if before == kind:
                found.append((f"parallel {PERFECT[kind]}s", when))
            elif not loose:
                found.append((f"direct {PERFECT[kind]}", when))
        if kind not in CONSONANT:
            figure = (b_begins and not a_begins and _is_figure(follower, j)) or (
                a_begins and not b_begins and _is_figure(leader, i)
            )
            suspended = before in CONSONANT and (
                (not a_begins and _resolves(leader, i)) or (not b_begins and _resolves(follower, j))
            )
            if strong(when) and not suspended:
                found.append(("dissonance on a strong beat", when))
            elif not strong(when) and not loose and not figure:
                found.append(("leapt dissonance", when))
        before, ended = kind, min(a.end, b.end)
    return sorted(found, key=lambda fault: (fault[1], fault[0]))


def _linked(line: list[Note], number: int, far: int) -> list[Note]:
    """The note and so many after it, as long as no rest lies between."""
    found = [line[number]]
    for note in line[number + 1 : number + 1 + far]:
        if found[-1].end != note.onset:
            break
        found.append(note)
    return found


def _resolves(line: list[Note], number: int) -> bool:
    """A step down, at once or after one note."""
    held, *later = _linked(line, number, 2)
    return any(str(held.pitch - n.pitch) in ("m2", "M2") and n.pitch.midi < held.pitch.midi for n in later)


def _is_figure(line: list[Note], number: int) -> bool:
    """Passing or neighboring by step, or the second note of a cambiata."""
    if not number or not is_step(line[number - 1], line[number]):
        return False
    notes = _linked(line, number, 2)
    if len(notes) > 1 and is_step(notes[0], notes[1]):
        return True
    bends = len(notes) == 3 and notes[1].pitch.position - notes[0].pitch.position == -2
    rises = bends and is_step(notes[1], notes[2]) and notes[2].pitch.midi > notes[1].pitch.midi
    return rises and falls(line[number - 1], line[number])


def _same_way(a: Note | None, to_a: Note, b: Note | None, to_b: Note) -> bool:
    if a is None or b is None or a.end != to_a.onset or b.end != to_b.onset:
        return False
    return (to_a.pitch.midi - a.pitch.midi) * (to_b.pitch.midi - b.pitch.midi) > 0


def _pairs(leader: list[Note], follower: list[Note]) -> Iterator[tuple[Note, Note]]:
    """The notes that sound at the same time."""
    yield from ((a, b) for a in leader for b in follower if a.onset < b.end and b.onset < a.end)


def together(leader: list[Note], follower: list[Note]) -> Fraction:
    return sum((min(a.end, b.end) - max(a.onset, b.onset) for a, b in _pairs(leader, follower)), Fraction(0))


def merit(
    leader: list[Note], follower: list[Note], overlap: Fraction, lengths: tuple[Fraction, Fraction], delay: Fraction
) -> int:
    """How far the lines share their time and answer each other, both in ten thousandths."""
    whole = max(lengths[0], delay + lengths[1])
    last = min(lengths[0], delay + lengths[1])
    one, other = ({n.onset for n in line if delay <= n.onset < last} for line in (leader, follower))
    return overlap * 10_000 // whole + 10_000 * len(one ^ other) // max(len(one | other), 1)


def imperfect(leader: list[Note], follower: list[Note]) -> int:
    return sum(name(a.pitch, b.pitch) in ("m3", "M3", "m6", "M6") for a, b in _pairs(leader, follower))


def written(answer: VoiceAnswer, follower: Motif) -> Motif | None:
    """The answer; None where a note would have to be spelled otherwise, or leave the range."""
    try:
        with respellings() as noted:
            line = answer.to(follower)
    except Refusal:
        return None
    return None if noted else line


Found = tuple[VoiceAnswer, Fraction, Motif, list[tuple[str, Fraction]], Fraction, int]


def search(leader: Motif, follower: Motif, bounds: Bounds) -> list[Found]:
    """Every placement in the order that the search promises."""
    found: list[tuple[tuple[object, ...], Found]] = []
    leads = notes_of(leader, Fraction(0))
    for form_number, form in enumerate(bounds.forms):
        as_it_is = written(VoiceAnswer(UNISON, bounds.mode, form.retrograde, form.inverted, form.slower), follower)
        if as_it_is is None:
            continue
        steps = bounds.mover().intervals(as_it_is)
        for step_number, step in enumerate(steps):
            answer = VoiceAnswer(step, bounds.mode, form.retrograde, form.inverted, form.slower)
            for delay in delays(bounds, leader):
                line = written(answer, follower)
                if line is None:
                    break
                follows = notes_of(line, delay)
                overlap = together(leads, follows)
                if not overlap or overlap < least_together(leader, follower):
                    continue
                faults = judge(leads, follows, bounds)
                soft = imperfect(leads, follows)
                shared = merit(leads, follows, overlap, (leader.duration, line.duration), delay)
                taken = licenses(leads, follows, bounds)
                key = (len(faults), -shared, taken, -soft, abs(step.semitones), form_number, step_number, delay)
                found.append((key, (answer, delay, line, faults, overlap, soft)))
    return [placed for _, placed in sorted(found, key=lambda pair: pair[0])]
