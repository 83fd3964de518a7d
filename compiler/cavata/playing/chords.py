"""What one line sounds at once: its chords, and notes that begin while others are held."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, zip_longest

from cavata.music.event import UNMARKED
from cavata.music.pitch import Pitch
from cavata.score.score import ScoreEvent


def at_once(events: Sequence[ScoreEvent]) -> Iterator[tuple[ScoreEvent, tuple[Pitch, ...], bool]]:
    """Each event that begins while others are held or begin, with all that sounds then, and whether it is plucked.

    Nothing while several players divide the line.
    """
    held: list[ScoreEvent] = []
    plucked = divided = False
    for event, following in zip_longest(events, events[1:]):
        if event.event.marks is not UNMARKED:
            for technique in event.event.marks.techniques:
                plucked = technique == "pizzicato" if technique in ("pizzicato", "arco") else plucked
                divided = technique == "divisi" if technique in ("divisi", "unison") else divided
        held = [*(other for other in held if other.end > event.onset), event]
        if following is not None and following.onset == event.onset:
            continue
        if len(held) == 1 and len(event.event.heads) < 2:
            continue
        pitches = {head.pitch.midi: head.pitch for other in held for head in other.event.heads}
        if len(pitches) > 1 and event.event.heads and not divided and not event.event.marks.spoken:
            yield event, tuple(pitches[key] for key in sorted(pitches)), plucked


def names_of(pitches: Sequence[Pitch]) -> str:
    """Pitches as a script writes them: `G3 A3`."""
    return " ".join(map(str, pitches))


def on_one_string(
    pitches: Sequence[Pitch], names: Sequence[object], strings_of: Callable[[Pitch], set[int]]
) -> str:
    """The first two notes of a chord that one string alone has, in words; nothing where there are none.

    `names` are those of the strings, and `strings_of` tells which of them have a note.
    """
    for low, high in combinations(pitches, 2):
        strings = strings_of(low) | strings_of(high)
        if len(strings) == 1:
            return f"{low} and {high} both lie on the {names[strings.pop()]} string alone"
    return ""


def with_other(pitches: Sequence[Pitch], pitch: Pitch, other: Pitch) -> tuple[Pitch, ...]:
    """A chord with another pitch in the place of one, from the lowest; nothing where it has that key already."""
    keys = {one.midi: one for one in pitches if one != pitch}
    if other.midi in keys:
        return ()
    keys[other.midi] = other
    return tuple(keys[key] for key in sorted(keys))
