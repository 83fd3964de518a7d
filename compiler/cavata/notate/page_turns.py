"""Where a player has time to turn the page.

In: a movement, the staves of the part, its written spans. Out: for each bar whether a page may be turned at its end:
the player is silent there for long enough on all staves, from the last note before the turn to the first after it, or
the movement is over and a pause follows. Source: common practice; how long a turn takes is a guide.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.notate.timeline import WrittenSpan
from cavata.notate.written import Frame
from cavata.record import replace
from cavata.score.clock import Clock
from cavata.score.score import Movement, Staff, events_of

TURN_SECONDS = Fraction(5, 2)
"""A hand leaves the instrument, turns the page, and comes back."""


def with_turns(
    frames: Sequence[Frame], movement: Movement, staves: Sequence[Staff], spans: Sequence[WrittenSpan]
) -> tuple[Frame, ...]:
    """The frames, each with whether the page may be turned at its end."""
    return tuple(
        replace(frame, may_turn=True) if may_turn else frame
        for frame, may_turn in zip(frames, _turns(movement, staves, spans), strict=True)
    )


def _turns(movement: Movement, staves: Sequence[Staff], spans: Sequence[WrittenSpan]) -> Iterator[bool]:
    sounds = sorted((event.onset, event.end) for event in events_of(staves) if event.event.heads)
    onsets = [onset for onset, _ in sounds]
    clock = Clock(movement)
    known: dict[tuple[Fraction, Fraction], bool] = {}
    sounding = Fraction(0)
    place = 0
    for number, span in enumerate(spans, start=1):
        after = bisect_left(onsets, span.end)
        sounding = max([sounding, *(end for _, end in sounds[place:after])])
        place = after
        if number == len(spans) and not movement.attacca:
            yield True
        elif sounding > span.end:
            yield False
        else:
            silence = sounding, onsets[after] if after < len(onsets) else movement.duration
            if silence not in known:
                known[silence] = clock.between(*silence) >= TURN_SECONDS
            yield known[silence]
