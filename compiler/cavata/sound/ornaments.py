"""How ornaments are played: one event as the strokes that a player makes of it.

In: an event, what comes before it in its voice, and the signature there. Out: strokes, each with keys and exact
time. The signs are played so; the choices are this project's own where the trade has several:

- a trill alternates in 32nds, begins on the note and ends on it; of a chord the highest note trills;
- a turn plays the note above, the note, the note below and the note; a mordent the note, the note below and the note;
  their quick notes are 32nds, or a quarter of a short note each;
- a tremolo repeats in its value, one that is not measured in 32nds;
- a rolled chord begins with its lowest note, the others follow a 64th apart (less in a short chord) and end together;
  in both hands the lower hand has the first notes;
- a glissando runs through the last half of its note, over what lies between (`glissandi`);
- grace notes sound before the beat, a 32nd each, and take their time from the note before: no more than half of it.
  Where the movement begins with them they are on the beat, and the note after them is shorter.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.music.event import UNMEASURED, Ornament, auxiliaries
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.score import ScoreEvent
from cavata.sound.glissandi import KeysBetween

QUICK = Fraction(1, 32)
"""The length of a quick note, where there is room for it."""
SPREAD = Fraction(1, 64)
"""How far the notes of a rolled chord lie apart."""


@record
class OrnamentStroke:
    """Keys struck together; `whole` says that the stroke ends where the event does."""

    onset: Fraction
    end: Fraction
    keys: tuple[int, ...]
    whole: bool


def strokes(
    event: ScoreEvent, before: ScoreEvent | None, following: ScoreEvent | None, fifths: int, under: int,
    between: KeysBetween,
) -> Iterator[OrnamentStroke]:  # fmt: skip
    """The event as it is played, its grace notes first; it ends early where others follow before the beat.

    `under`: so many notes of the other hand are rolled before it; `between` tells what a glissando passes.
    """
    begins, end = event.onset, event.end
    if following is not None and following.event.marks.graces:
        end = min(end, following.onset - grace_time(following, event))
    if event.event.marks.graces:
        graces = tuple(_graces(event, before))
        yield from graces
        begins = max(begins, graces[-1].end)
    pitches = tuple(head.pitch for head in event.event.heads)
    ornament = next((o for o in event.event.marks.ornaments), None)
    length = end - begins
    played = list(_figure(pitches, ornament, length, fifths, under))
    if event.event.marks.glides and following is not None:
        played = list(_glide(played, tuple(between(event, following)), length))
    for offset, until, keys in played:
        yield OrnamentStroke(begins + offset, begins + until, keys, until == length)


def is_repeated(event: ScoreEvent) -> bool:
    """Whether it is struck again and again."""
    return any(ornament.kind in ("tremolo", "trill") for ornament in event.event.marks.ornaments)


def grace_time(event: ScoreEvent, before: ScoreEvent | None) -> Fraction:
    """How long the grace notes before an event sound in all, before the beat or on it."""
    wanted = QUICK * len(event.event.marks.graces)
    if event.onset <= 0:
        return min(wanted, event.event.duration / 2)
    silence = event.onset - (before.end if before is not None else 0)
    if before is None or silence > 0:
        return min(wanted, silence)
    return min(wanted, before.event.duration / 2)


def _graces(event: ScoreEvent, before: ScoreEvent | None) -> Iterator[OrnamentStroke]:
    graces = event.event.marks.graces
    each = grace_time(event, before) / len(graces)
    onset = event.onset - (each * len(graces) if event.onset > 0 else 0)
    for heads in graces:
        yield OrnamentStroke(onset, onset + each, tuple(head.pitch.midi for head in heads), False)
        onset += each


_Played = tuple[Fraction, Fraction, tuple[int, ...]]
"""From, to, and the keys, counted from the event's own beginning."""


def _figure(
    pitches: tuple[Pitch, ...], ornament: Ornament | None, length: Fraction, fifths: int, under: int
) -> Iterator[_Played]:
    keys = tuple(pitch.midi for pitch in pitches)
    zero = Fraction(0)
    above, below = (None, None) if ornament is None else auxiliaries(pitches[-1], ornament, fifths)
    match ornament.kind if ornament is not None else "":
        case "trill":
            assert above is not None
            count = max(3, int(length / QUICK) | 1)
            if len(keys) > 1:
                yield zero, length, keys[:-1]
            for place in range(count):
                yield length * place / count, length * (place + 1) / count, (above.midi if place % 2 else keys[-1],)
        case "turn":
            assert above is not None and below is not None
            yield from _quick_then_note((above.midi, keys[-1], below.midi), keys, length)
        case "mordent":
            assert below is not None
            yield from _quick_then_note((keys[-1], below.midi), keys, length)
        case "tremolo":
            assert ornament is not None
            unit = ornament.unit or UNMEASURED
            count = max(1, int(length / unit))
            for place in range(count):
                yield unit * place, length if place + 1 == count else unit * (place + 1), keys
        case "rolled":
            apart = min(SPREAD, length / (2 * (under + len(keys))))
            for place, key in enumerate(keys, under):
                yield apart * place, length, (key,)
        case _:
            yield zero, length, keys


def _quick_then_note(quick: tuple[int, ...], keys: tuple[int, ...], length: Fraction) -> Iterator[_Played]:
    each = min(QUICK, length / (len(quick) + 1))
    for place, key in enumerate(quick):
        yield each * place, each * (place + 1), (key,)
    if len(keys) > 1:
        yield Fraction(0), length, keys[:-1]
    yield each * len(quick), length, keys[-1:]


def _glide(played: list[_Played], between: Sequence[int], length: Fraction) -> Iterator[_Played]:
    """The figure up to the half of the note, then the keys between its highest pitch and the next one's."""
    half = length / 2 if between else length
    for begin, end, keys in played:
        if begin < half:
            yield begin, min(end, half), keys
    places = [half + (length - half) * place / max(1, len(between)) for place in range(len(between) + 1)]
    for (begin, end), key in zip(pairwise(places), between, strict=True):
        yield begin, end, (key,)
