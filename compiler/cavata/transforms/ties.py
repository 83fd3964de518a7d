"""Notes of the same pitch that follow one another at once become one: what is held over, as a common tone is.

In: a line. Out: the line, as long as before. Of a chord all notes must be the same. A note at which something begins,
as a dynamic, a syllable or an articulation, is struck again, since a tied note begins nothing; what ends there ends
with the note that is held. Source: common practice.
"""

from __future__ import annotations

from cavata.diagnostics import Refusal
from cavata.music.event import HELD, UNMARKED, Event, Marks, Motif
from cavata.record import replace
from cavata.transforms.figuration import split_marks
from cavata.transforms.pitches import joined_heads
from cavata.transforms.selection import Selection, chosen


def tied(motif: Motif, notes: Selection | None) -> Motif:
    """These notes, or all, held over into the next one wherever it is the same; refused where a named one is not."""
    meant = chosen(motif, notes) if motif.sounding or notes is not None else frozenset[int]()
    out: list[Event] = []
    for place, event in enumerate(motif.events):
        before = place - 1
        if before in meant and _same(motif.events[before], event):
            out.append(_joined(out.pop(), event))
            continue
        if before in meant and notes is not None:
            raise _not_the_same(motif, before)
        out.append(event)
    if notes is not None and len(motif.events) - 1 in meant:
        raise _not_the_same(motif, len(motif.events) - 1)
    return Motif(tuple(out))


def _same(event: Event, following: Event) -> bool:
    """Whether the following note is the same, and nothing begins at it."""
    begins, _ = split_marks(_without_held(following.marks))
    return (
        bool(event.heads) and [h.pitch for h in event.heads] == [h.pitch for h in following.heads]
        and begins == UNMARKED and not event.marks.slur_ends and not event.marks.glides
    )  # fmt: skip


def _joined(event: Event, following: Event) -> Event:
    """Both as one note; what ends with the second ends with it, and each letter is remembered."""
    heads = joined_heads([*event.heads, *following.heads])
    marks = event.marks.joined(_without_held(following.marks))
    if marks.slur_begins and marks.slur_ends:  # over one note there is nothing to slur
        marks = replace(marks, slur_begins=False, slur_ends=False)
    return Event(event.duration + following.duration, heads, marks)


def _without_held(marks: Marks) -> Marks:
    """The marks but for the sign that a syllable is held, which goes without saying within one note."""
    return replace(marks, sung=None) if marks.sung == HELD else marks


def _not_the_same(motif: Motif, index: int) -> Refusal:
    number = sum(1 for event in motif.events[: index + 1] if event.heads)
    following = motif.events[index + 1] if index + 1 < len(motif.events) else None
    why = "nothing follows" if following is None else "a rest follows" if following.is_rest else (
        "another pitch follows" if {h.pitch for h in following.heads} != {h.pitch for h in motif.events[index].heads}
        else "something begins at the next one"
    )  # fmt: skip
    return Refusal(
        "V878", f"note {number} of {{subject}} cannot be tied", why, "`tied` without numbers ties what can be tied",
        (0, 0),
    )  # fmt: skip
