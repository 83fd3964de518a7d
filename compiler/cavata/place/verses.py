"""Verses and the times through a repeated section to which they belong.

In: the bars of a movement and the events of one staff. Out: the same events, the words in an ending's bars those of the
times at which that ending is played. Words of which there are more or fewer than times are told.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from cavata.music.event import Event
from cavata.place.staves import StaffBuilder
from cavata.record import replace
from cavata.score.score import ScoreBar, ScoreEvent, bar_at


def give_words_to_times(bars: Sequence[ScoreBar], staves: StaffBuilder) -> None:
    """Number the words of every ending by its times, and report a section that has other verses than times."""
    times = _times(bars)
    if not times:
        return
    for (part, staff), events in staves.events.items():
        sung = [index for index, event in enumerate(events) if event.event.marks.sung]
        sections: dict[int, list[int]] = defaultdict(list)
        for index in sung:
            sections[bar_at(bars, events[index].onset).section].append(index)
        for section, indices in sections.items():
            count = max(syllable.verse for index in indices for syllable in events[index].event.marks.sung)
            if section not in times or count < 2:
                continue
            for index, event in _in_endings(bars, events, indices):
                staves.replace(part, staff, index, event)
            _report(part, [staves.events[part, staff][index] for index in indices], times[section], staves)


def _times(bars: Sequence[ScoreBar]) -> dict[int, int]:
    """How often each section is played that is repeated."""
    found: dict[int, int] = {}
    for bar in bars:
        times = max((bar.repeat_ends, *bar.ending))
        if times > 1:
            found[bar.section] = max(times, found.get(bar.section, 0))
    return found


def _in_endings(
    bars: Sequence[ScoreBar], events: Sequence[ScoreEvent], indices: Sequence[int]
) -> Iterator[tuple[int, Event]]:
    """The events in endings whose verses are not those of its times: the first becomes that of its first time.

    Where the words before are sung every time, as those of a refrain, so are the words of each ending.
    """
    before = [index for index in indices if not bar_at(bars, events[index].onset).ending]
    if not before or len(events[before[-1]].event.marks.sung) < 2:
        return
    endings: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for index in indices:
        ending = bar_at(bars, events[index].onset).ending
        if ending:
            endings[ending].append(index)
    for ending, there in endings.items():
        verses = sorted({syllable.verse for index in there for syllable in events[index].event.marks.sung})
        if set(verses) <= set(ending) or len(verses) > len(ending):
            continue
        numbers = dict(zip(verses, sorted(ending), strict=False))
        yield from ((index, _renumbered(events[index].event, numbers)) for index in there)


def _renumbered(event: Event, numbers: Mapping[int, int]) -> Event:
    sung = tuple(replace(syllable, verse=numbers[syllable.verse]) for syllable in event.marks.sung)
    there = {str(old): str(new) for old, new in zip(event.marks.sung, sung, strict=True)}
    said = tuple(
        replace(each, what=there[each.what]) if each.kind == "syllable" and each.by is None else each
        for each in event.marks.said
    )
    return replace(event, marks=replace(event.marks, sung=sung, said=said))


def _report(part: str, events: Sequence[ScoreEvent], times: int, staves: StaffBuilder) -> None:
    """Warn of verses that are never heard, and of times for which there is none."""
    last = max(events, key=lambda event: max(syllable.verse for syllable in event.event.marks.sung))
    verses = max(syllable.verse for syllable in last.event.marks.sung)
    if verses == times:
        return
    label = f"verse {times + 1} is never heard" if verses > times else f"verse {verses} is sung again"
    staves.warn_once(
        part, last, "verses", "P850", f"{verses} verses are sung here, and the section is played {times} times", label,
        f"write `repeated {verses} times` in the section, or as many texts as it is played",
    )  # fmt: skip
