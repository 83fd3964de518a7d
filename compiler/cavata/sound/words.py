"""What is read under the notes of a part, as events of a MIDI file: words that are sung, and letters of names.

In: the score and its timeline. Out: tick, kind of event and text, in order. Words are lyric events, with a hyphen after
a syllable that another one of its word follows (RP-017 of the MIDI Manufacturers Association, from memory); letters are
lyric events where a part has no words, else text events.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.music.event import Event
from cavata.score.score import Score, events_of
from cavata.sound.time import Timeline


def words_of(score: Score, part: int, lines: Timeline) -> Iterator[tuple[int, str, str]]:
    """Words of the part, and its letters where the piece shows them."""
    placed = [
        (number, event)
        for number, movement in enumerate(score.movements)
        for event in events_of(movement.staves[part])
    ]
    sings = any(event.event.marks.sung for _, event in placed)
    if not sings and not score.header.show_letters:
        return
    for number, event in placed:
        sung = event.event.marks.sung
        letters = _letters(event.event) if score.header.show_letters else ""
        tick = lines.tick(number, event.onset)
        if sung is not None and sung.text:
            yield tick, "lyrics", sung.text + ("-" if sung.goes_on else "")
        if letters:
            yield tick, "text" if sings else "lyrics", letters


def _letters(event: Event) -> str:
    origins = [origin for head in event.heads for origin in head.origins]
    return "".join(dict.fromkeys(origin.letter.text for origin in origins if origin.letter))
