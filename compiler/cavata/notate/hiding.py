"""Which staves are left out of a system in which they are silent.

In: a score and one of its movements. Out: for each part whether it may be left out from the second system of the
movement on. Only full scores of many staves do so; the first system shows everybody, and a soloist always stays, as
every staff does where the piece says `show every staff`. Source: common practice.
"""

from __future__ import annotations

from cavata.score.score import CopyKind, Movement, Score

MANY_STAVES = 10
LONGEST_SILENCE = 3
"""Where everybody is silent for more bars than this, a system might have no staff left."""


def hidden_when_silent(score: Score, movement: Movement) -> tuple[bool, ...]:
    """For each part of the score whether its staves may be left out."""
    header = score.header
    staves = sum(len(part.instrument.staves) for part in score.parts)
    hides = header.kind is CopyKind.SCORE and not header.every_staff and staves >= MANY_STAVES
    hides = hides and _longest_silence(movement) <= LONGEST_SILENCE
    return tuple(hides and not part.soloist for part in score.parts)


def _longest_silence(movement: Movement) -> int:
    """The most bars in a row in which nobody plays."""
    sounding = sorted((event.onset, event.end) for event in movement.events if event.event.heads)
    silent = longest = place = 0
    reached = movement.bars[0].onset if movement.bars else 0
    for bar in movement.bars:
        end = bar.onset + bar.duration
        while place < len(sounding) and sounding[place][0] < end:
            reached = max(reached, sounding[place][1])
            place += 1
        silent = 0 if reached > bar.onset else silent + 1
        longest = max(longest, silent)
    return longest
