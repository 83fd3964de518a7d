"""How many percussionists a movement wants at one moment, if each walks where he is wanted.

In: a line of all percussion. How they are counted tells `score/percussionists`; timpani have a player of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.playing.drums.percussion_set import SetLine
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import PlayerLine
from cavata.playing.profile import Profile
from cavata.score.clock import Clock
from cavata.score.percussionists import most_wanted

PLAYERS = Kind(
    "percussionists", "", "how many percussionists a movement wants at one moment",
    "three or four are usual: an orchestra's own pages; three seconds to the next stand, from memory",
)  # fmt: skip
KINDS = (PLAYERS,)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    assert isinstance(line, SetLine)
    count, when = most_wanted(line.score, line.movement)
    if count > profile.percussionists:
        clock = Clock(line.movement)
        event = next(event for event in line.events if clock.between(Fraction(0), event.onset) >= when)
        yield Finding(
            Degree.CARE, PLAYERS, event, f"is one of {count} parts that want a player each",
            f"{count} percussionists at once, and {profile.percussionists:.0f} are usual",
            "let parts wait for each other, or put instruments on one `staff` that one player has",
        )  # fmt: skip


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Nothing: players can be added."""
    yield from ()
