"""A slur over each melisma: the notes to which one syllable is sung.

In: the events of one voice in order, their own slurs closed. Out: the same events with a slur from the first to the
last note of each syllable that has several, tied notes counted once, unless its text refuses it, or a slur of the
script is over one of them, or a longer one of another verse over two. Where only some verses hold a syllable there the
slur is dashed; where one verse ends a syllable and another begins one, two slurs meet. Source: common practice of vocal
music (E. Gould, Behind Bars, on slurs in vocal music; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.music.event import Marks, in_verse
from cavata.score.score import ScoreEvent

_Span = tuple[int, int]
"""The first and the last index of a stretch of events."""


def with_melismas(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """The events with the slurs of their melismas."""
    verses = sorted({syllable.verse for event in events for syllable in event.event.marks.sung})
    if not verses:
        return events
    spans = {verse: frozenset(_melismas(events, verse)) for verse in verses}
    written = tuple(_slurs(events))
    taken: list[_Span] = []
    out = list(events)
    for span in sorted(set().union(*spans.values()), key=lambda span: (span[0], -span[1])):
        first, last = span
        if any(min(last, end) >= max(first, begin) for begin, end in written) or _refused(events[first]):
            continue
        if any(min(last, end) > max(first, begin) for begin, end in taken):
            continue
        taken.append(span)
        sung = [syllable.verse for syllable in events[first].event.marks.sung]
        dashed = not all(span in spans[verse] for verse in sung)
        out[first] = out[first].marked(Marks(slur_begins=True, slur_dashed=dashed))
        out[last] = out[last].marked(Marks(slur_ends=True))
    return tuple(out)


def _melismas(events: Sequence[ScoreEvent], verse: int) -> Iterator[_Span]:
    """The stretches of several notes that follow one another to one syllable of a verse."""
    begun: int | None = None
    struck = 0
    for index, event in enumerate((*events, None)):
        syllable = None if event is None else in_verse(event.event.marks.sung, verse)
        goes_on = event is not None and index > 0 and event.onset == events[index - 1].end and (
            event.tied_before or (syllable is not None and not syllable.text)
        )
        if begun is not None and not goes_on:
            if struck > 1:
                yield begun, index - 1
            begun = None
        if syllable is not None and syllable.text:
            begun, struck = index, 1
        elif begun is not None and event is not None and not event.tied_before:
            struck += 1


def _slurs(events: Sequence[ScoreEvent]) -> Iterator[_Span]:
    """The slurs that the events have."""
    begun: int | None = None
    for index, event in enumerate(events):
        if event.event.marks.slur_ends and begun is not None:
            yield begun, index
            begun = None
        if event.event.marks.slur_begins:
            begun = index


def _refused(event: ScoreEvent) -> bool:
    return any(syllable.unslurred for syllable in event.event.marks.sung)
