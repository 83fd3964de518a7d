"""How a movement is played that was changed a little: only the phrase that changed is played anew.

In: a movement as it is played, and how it was played before the change. Out: its performance. Where something sounds
otherwise, the phrases there are played as the whole would be; around them every touch and the tempo stay as they were,
moved where the movement has grown or shrunk. What depends on the whole, such as the middle of a voice and the time that
is given back over all of it, stays until the movement is played anew from its beginning.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter
from statistics import median_low

from cavata.music.event import Head, Marks
from cavata.music.pitch import Pitch
from cavata.perform.curve import Curve
from cavata.perform.perform import MovementAlone, PlayedMovement, perform_movement
from cavata.perform.phrases import common_beginnings, voices_of
from cavata.perform.ringing import Pedals
from cavata.perform.touch import Touch
from cavata.record import SLOTS, replace
from cavata.score.score import Movement, Part, ScoreBar, ScoreEvent, Staff, events_of

MOST = 16
"""Bars before and after a change that are looked at to find its phrases, if their section is so long."""


@dataclass(frozen=True, slots=True)
class ChangedStretch:
    """A stretch of a movement that is not as it was."""

    begin: Fraction
    end: Fraction
    """Where it ends now."""
    shift: Fraction
    """How much later everything after it is than before."""

    @property
    def as_before(self) -> ChangedStretch:
        """Where it lay before."""
        return ChangedStretch(self.begin, self.end - self.shift, Fraction(0))


def performed(
    alone: MovementAlone, before: MovementAlone | None = None, how: PlayedMovement | None = None
) -> tuple[PlayedMovement, tuple[ChangedStretch, ...]]:
    """How a movement is played, and what of it is played anew.

    `before` is the movement that was played, and `how` the way; without them all is played anew.
    """
    whole = ChangedStretch(Fraction(0), alone.movement.duration, Fraction(0))
    if before is None or how is None or not _like(alone, before):
        return perform_movement(alone), (whole,)
    found = changed_stretches(before.movement, alone.movement)
    if any(_has_pedals(alone.movement, each) or _has_pedals(before.movement, each.as_before) for each in found):
        return perform_movement(alone), (whole,)
    anew: list[ChangedStretch] = []
    for change in found:
        if anew and change.end <= anew[-1].end:  # it lies in phrases that are played anew already
            continue
        lead, until = _around(alone.movement, change)
        excerpt = _excerpt(alone.movement, lead, until)
        change = _phrases(excerpt, lead, until, change)
        made = perform_movement(replace(alone, movement=excerpt, ends=alone.ends and until == alone.movement.duration))
        how = _joined(how, made, change, alone.movement.duration)
        anew.append(change)
    return how, tuple(anew)


def _like(alone: MovementAlone, before: MovementAlone) -> bool:
    """Whether the same players play the same voices in it, in the same order of tempi."""
    now, then = alone.movement, before.movement
    if alone.ends != before.ends or alone.names != before.names or (now.title or now.name) != (then.title or then.name):
        return False
    if players(alone.parts) != players(before.parts):
        return False
    shape = [[[bool(voice) for voice in staff.voices] for staff in staves] for staves in now.staves]
    if shape != [[[bool(voice) for voice in staff.voices] for staff in staves] for staves in then.staves]:
        return False
    return bool(now.bars and then.bars)


def players(parts: Sequence[Part]) -> tuple[object, ...]:
    """What of the parts can be heard; not where the script names them."""
    return tuple((part.label, part.instrument, part.soloist, part.section, part.doublings) for part in parts)


# ---------------------------------------------------------------- what changed


def changed_stretches(before: Movement, now: Movement) -> tuple[ChangedStretch, ...]:
    """The stretches of a movement in which something is not as it was, in order.

    If it has grown or shrunk, one stretch: from the first place to the last.
    """
    shift = now.duration - before.duration
    rows = [
        (then, here)
        for then_staves, staves in zip(before.staves, now.staves, strict=True)
        for then_staff, staff in zip(then_staves, staves, strict=True)
        for then, here in zip(then_staff.voices, staff.voices, strict=True)
    ]
    told = [(_bar_rows(before), _bar_rows(now)), (_tempo_rows(before), _tempo_rows(now))]
    pairs: list[tuple[Sequence[_Row], Sequence[_Row]]] = [*rows, *told]
    if not shift:
        spans = sorted(span for then, here in pairs for span in _differing_where_they_are(then, here))
        return tuple(_together(spans, now))
    found = [span for then, here in pairs if (span := _differing(then, here, shift)) is not None]
    begin = min((begin for begin, _ in found), default=min(before.duration, now.duration))
    return (ChangedStretch(begin, max((begin, begin + shift, *(end for _, end in found))), shift),)


_Span = tuple[Fraction, Fraction]
_FEW = 8
"""Stretches that are played anew one by one; where there are more, it is all that lies from the first to the last."""


def _together(spans: Sequence[_Span], movement: Movement) -> Iterator[ChangedStretch]:
    """The stretches with their bars, those in neighboring bars as one."""
    onsets = [*(bar.onset for bar in movement.bars), movement.duration]
    joined: list[_Span] = []
    for begin, end in spans:
        first = max(bisect_right(onsets, begin) - 1, 0)
        last = min(bisect_left(onsets, end), len(onsets) - 1)
        if joined and onsets[first] <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(joined[-1][1], onsets[last])
        else:
            joined.append((onsets[first], onsets[last]))
    if len(joined) > _FEW:
        joined = [(joined[0][0], joined[-1][1])]
    return (ChangedStretch(begin, end, Fraction(0)) for begin, end in joined)


@dataclass(frozen=True, slots=True)
class _Told:
    """Something else than a note that decides how notes are played: a bar, a tempo."""

    onset: Fraction
    end: Fraction
    what: object


_Row = ScoreEvent | _Told


def _bar_rows(movement: Movement) -> list[_Told]:
    return [_Told(bar.onset, bar.onset + bar.duration, _bar(movement, bar)) for bar in movement.bars]


def _bar(movement: Movement, bar: ScoreBar) -> object:
    section = movement.sections[bar.section] if movement.sections else None
    words = section and (section.title or section.name)
    return words, bar.bar_in_section, bar.duration, bar.before, bar.meter, bar.key


def _tempo_rows(movement: Movement) -> list[_Told]:
    """The tempi, each until the next."""
    ends = [*(tempo.onset for tempo in movement.tempi[1:]), movement.duration]
    return [
        _Told(t.onset, end, (t.seconds_per_whole, t.goal, t.until and t.until - t.onset))
        for t, end in zip(movement.tempi, ends, strict=True)
    ]


def _differing_where_they_are(then: Sequence[_Row], now: Sequence[_Row]) -> Iterator[_Span]:
    """Each that is not as what began at its moment before; and what was there before and is not now."""
    if len(then) == len(now):
        for old, new in zip(then, now, strict=True):
            if not (old.onset == new.onset and _same(old, new)):
                yield min(old.onset, new.onset), max(old.end, new.end)
        return
    at = {row.onset: row for row in then}
    for new in now:
        found = at.pop(new.onset, None)
        if found is None or not _same(found, new):
            yield new.onset, new.end if found is None else max(new.end, found.end)
    yield from ((row.onset, row.end) for row in at.values())


def _differing(then: Sequence[_Row], now: Sequence[_Row], shift: Fraction) -> _Span | None:
    """From the first that is not as it was to the end of the last, where these lie now."""
    fewer, first = min(len(then), len(now)), 0
    while first < fewer and then[first].onset == now[first].onset and _same(then[first], now[first]):
        first += 1
    if first == len(then) == len(now):
        return None
    last = 0
    while last < fewer - first:
        old, new = then[-1 - last], now[-1 - last]
        if old.onset + shift != new.onset or not _same(old, new):
            break
        last += 1
    if first + last == len(then) == len(now):  # nothing is otherwise, but what comes later is moved
        return now[first - 1].end if first else Fraction(0), now[first].onset
    changed_now, changed_then = now[first : len(now) - last], then[first : len(then) - last]
    onsets = [row.onset for row in (*changed_now[:1], *changed_then[:1])]
    ends = [*(row.end for row in changed_now[-1:]), *(row.end + shift for row in changed_then[-1:])]
    return min(onsets), max(ends)


def _same(then: _Row, now: _Row) -> bool:
    """Whether both are heard alike where each is."""
    if isinstance(then, ScoreEvent) and isinstance(now, ScoreEvent):
        old, new = then.event, now.event
        if old is not new:
            if old.duration != new.duration or _pitches(old.heads) != _pitches(new.heads):
                return False
            if old.marks is not new.marks and _audible(old.marks) != _audible(new.marks):
                return False
        return then.tied_before == now.tied_before
    return isinstance(then, _Told) and isinstance(now, _Told) and then.what == now.what


def _pitches(heads: Sequence[Head]) -> list[Pitch]:
    return [head.pitch for head in heads]


def _audible(marks: Marks) -> object:
    """The signs at a note, without where the script says them and where grace notes came from."""
    return _of_marks(marks), [_pitches(chord) for chord in marks.graces]


_of_marks = attrgetter(*(name for name in SLOTS[Marks] if name not in ("said", "graces")))


# ---------------------------------------------------------------- its phrases, and what is around them


def _around(movement: Movement, change: ChangedStretch) -> tuple[Fraction, Fraction]:
    """From where to where it is looked at to play a change: the sections in which it lies, as far as they are not too
    long, and a bar more; and back to a chord that holds there."""
    onsets = [bar.onset for bar in movement.bars]
    sections = [section.onset for section in movement.sections]
    first, last = bisect_right(onsets, change.begin) - 1, bisect_left(onsets, change.end)
    begin = sections[max(bisect_right(sections, change.begin) - 1, 0)] if sections else Fraction(0)
    end = next((onset for onset in sections if onset >= change.end), movement.duration)
    first = max(bisect_right(onsets, begin) - 2, first - MOST, 0)
    last = min(bisect_left(onsets, end) + 1, last + MOST)
    until = onsets[last] if last < len(onsets) else movement.duration
    symbols = [e.onset for e in movement.events if e.event.marks.symbol is not None and e.onset <= onsets[first]]
    return max(symbols, default=onsets[first]), until


def _excerpt(movement: Movement, begin: Fraction, end: Fraction) -> Movement:
    """The movement up to a moment, silent before another."""
    staves = tuple(
        tuple(Staff(staff.name, tuple(_between(voice, begin, end) for voice in staff.voices)) for staff in staves)
        for staves in movement.staves
    )
    return replace(
        movement, duration=end, staves=staves, bars=tuple(bar for bar in movement.bars if bar.onset < end),
        sections=tuple(section for section in movement.sections if section.onset < end),
        tempi=tuple(tempo for tempo in movement.tempi if tempo.onset < end),
    )  # fmt: skip


def _between(voice: Sequence[ScoreEvent], begin: Fraction, end: Fraction) -> tuple[ScoreEvent, ...]:
    first, last = (bisect_left(voice, moment, key=lambda event: event.onset) for moment in (begin, end))
    return tuple(voice[first:last])


def _phrases(excerpt: Movement, lead: Fraction, until: Fraction, change: ChangedStretch) -> ChangedStretch:
    """The change with the phrases in which it lies, as far as they are looked at."""
    begins = [lead, *(b for b in common_beginnings(voices_of(excerpt), excerpt, True) if b > lead), until]
    begin = begins[max(bisect_right(begins, change.begin) - 1, 0)]
    end = begins[min(bisect_left(begins, change.end), len(begins) - 1)]
    return ChangedStretch(begin, max(end, change.end), change.shift)


def _has_pedals(movement: Movement, change: ChangedStretch) -> bool:
    """Whether the script writes a pedal in the stretch: that decides how a whole movement is pedaled."""
    return any(
        event.event.marks.pedal_begins and change.begin <= event.onset < change.end
        for staves in movement.staves for event in events_of(staves)
    )  # fmt: skip


# ---------------------------------------------------------------- both together


def _joined(how: PlayedMovement, made: PlayedMovement, change: ChangedStretch, duration: Fraction) -> PlayedMovement:
    """As it was played, with a stretch as it is played now."""
    touches = {
        key: _touches(own, made.touches.get(key, {}), change) for key, own in how.touches.items()
    }
    feet = {
        part: tuple(_feet(own, made.pedals.get(part, ()), change)) if own else own
        for part, own in how.pedals.items()
    }
    return PlayedMovement(tuple(_tempo(how.curve, made.curve, change, duration)), touches, feet)


_ALIKE = Fraction(1, 2000)
"""Tempi that differ by less are taken for one: factors are rounded to a ten-thousandth."""
_FINE = 10_000


def _tempo(own: Curve, made: Curve, change: ChangedStretch, duration: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """The tempo as it was, and in the stretch as it is played now.

    An excerpt takes its own time, so its tempo is brought to that of the whole. Where it then goes as it went before,
    nothing is changed.
    """
    before = change.end - change.shift

    def then(moment: Fraction) -> Fraction:
        return _in_force(own, moment if moment < change.begin else moment - change.shift)

    inside = [(moment, factor) for moment, factor in made if change.begin <= moment < change.end]
    around = [step for step in made if step not in inside] if change.shift else made
    ratio = median_low([then(moment) / factor for moment, factor in around]) if around else Fraction(1)
    if not change.shift and all(abs(then(moment) / (factor * ratio) - 1) < _ALIKE for moment, factor in inside):
        yield from own
        return
    factors = {
        change.begin: _in_force(made, change.begin) * ratio, change.end: then(change.end),
        **{moment: factor for moment, factor in own if moment < change.begin},
        **{moment: factor * ratio for moment, factor in inside},
        **{moment + change.shift: factor for moment, factor in own if moment >= before},
    }  # fmt: skip
    for moment, factor in sorted(factors.items()):
        if moment < duration:
            yield moment, Fraction(round(factor * _FINE), _FINE)


def _touches(
    own: Mapping[Fraction, Touch], made: Mapping[Fraction, Touch], change: ChangedStretch
) -> dict[Fraction, Touch]:
    middle = next((touch.middle for touch in own.values()), None)
    anew = {
        onset: replace(touch, middle=middle) if middle is not None else touch
        for onset, touch in made.items()
        if change.begin <= onset < change.end
    }
    if not change.shift:
        return {**own, **anew} if anew else dict(own)  # touches where no note begins any more are never asked for
    before = change.end - change.shift
    return {
        **{onset: touch for onset, touch in own.items() if onset < change.begin},
        **anew,
        **{onset + change.shift: touch for onset, touch in own.items() if onset >= before},
    }


def _feet(own: Pedals, made: Pedals, change: ChangedStretch) -> Iterator[tuple[Fraction, bool]]:
    yield from (step for step in own if step[0] < change.begin)
    yield from (step for step in made if change.begin <= step[0] < change.end)
    yield from ((moment + change.shift, down) for moment, down in own if moment >= change.end - change.shift)


def _in_force(curve: Curve, moment: Fraction) -> Fraction:
    place = bisect_right(curve, moment, key=lambda step: step[0]) - 1
    return curve[place][1] if place >= 0 else Fraction(1)
