"""What is found of a player's line: a fact, where it begins, how bad it is, and its cure.

Everything here is a guide, in three degrees, and defers to the player.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from fractions import Fraction

from cavata.instruments.instrument import Instrument
from cavata.record import record
from cavata.score.score import ScoreEvent

NO_TIME = "no time"


def seconds_in_words(seconds: float, digits: int = 2) -> str:
    """`0.45 s`; what rounds to nothing is no time."""
    return f"{seconds:.{digits}f} s" if round(seconds, digits) > 0 else NO_TIME


def left_in_words(seconds: float, digits: int = 2) -> str:
    """`0.45 s are left`, or that no time is."""
    words = seconds_in_words(seconds, digits)
    return f"{words} is left" if words == NO_TIME else f"{words} are left"


class Degree(Enum):
    """How bad it is."""

    IMPOSSIBLE = "impossible"
    """On the instrument: the fingers would stand too far apart, the string is not there. `check` tells it. A time that
    is near a limit is never impossible."""
    CARE = "care"
    """It needs a virtuoso, or preparation."""
    TIRING = "tiring"
    """Over time, or unsafe: strain, stretch and breath are cautions for health."""


def verb_of(instrument: Instrument) -> str:
    """What is done with it: `play`, or `sing`."""
    return "sing" if instrument.family == "voice" else "play"


@record
class Kind:
    """A kind of finding: a row of the table of all that is looked at."""

    word: str
    """What it is called in tables and documents, as `stop` or `breath`; no two kinds share it."""
    code: str
    """The code of the warning in which `check` tells it; empty for a kind that is never of the first degree."""
    looked_at: str
    """What is looked at, as the table of the reference has it: a phrase that begins with a small letter."""
    rests_on: str
    """Its source in a few words: `measured on Bach's suites`, `players' handbooks, from memory`."""
    in_rows: bool = False
    """Where it goes on from note to note it is one trouble, and told once."""


@record
class PlanStep:
    """What a player does between the notes, as a plan for a whole movement has it."""

    onsets: tuple[Fraction, ...]
    """When, in whole notes from the movement's beginning; more than one where the same is done again."""
    words: str
    stands: str = ""
    """How pedals or drums stand after it: a movement that begins with what stands already says no more than that."""


@record
class Finding:
    """One fact of a line."""

    degree: Degree
    kind: Kind
    event: ScoreEvent
    """Where it begins; its line is the place in the script."""
    what: str
    """What follows the player's name: `cannot play G3 A3 at once`. Findings of one kind whose words are the same can be
    told together."""
    text: str
    """The fact that says why, with figures: `the fingers would stand 131 mm apart`."""
    cure: str
    """What a composer can do: another octave, spelling, string, division, breath. No full stop."""
    rests_on: str = ""
    """Its source, where it is another than that of its kind."""

    @property
    def source(self) -> str:
        """On what it rests."""
        return self.rests_on or self.kind.rests_on


def only_impossible(found: Iterable[Finding]) -> Iterator[Finding]:
    """Those of the first degree."""
    return (finding for finding in found if finding.degree is Degree.IMPOSSIBLE)
