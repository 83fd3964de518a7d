"""What a search is asked and what it finds: its bounds, placements, and the faults in them.

All times are counted in whole notes from where the leader begins.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cavata.combine.moving import Mover
from cavata.combine.strict.scene import Options
from cavata.music.event import Motif
from cavata.music.mode import Mode
from cavata.music.pitch import UNISON, Pitch
from cavata.transforms.combinations import Answer


@dataclass(frozen=True, slots=True)
class Bounds:
    """How far the search goes."""

    longest_delay: Fraction
    delay_grid: Fraction
    reach: int
    """Semitones up and down."""
    forms: tuple[Answer, ...]
    strong: Fraction
    """From one strong beat to the next, counted from where the leader begins."""
    rules: str
    canon: bool = False
    """The follower answers the leader, so that it has to enter later."""
    mode: Mode | None = None
    """Followers are inverted and transposed by its degrees; None for exactly."""
    bar: Fraction = Fraction(1)
    species: int | None = None
    """By which the strict rules judge; None for what the note values show."""
    avoided: frozenset[str] = frozenset()
    """Licenses that count as faults."""
    allowed: frozenset[str] = frozenset()
    """Strict rules, or figures of later schools, that are not held against the lines."""

    def mover(self) -> Mover:
        """What moves lines within these bounds."""
        return Mover(self.mode, self.reach, self.rules == "quodlibet")

    def options(self) -> Options:
        """What the judge of strict counterpoint is asked."""
        return Options(self.bar, self.strong, self.species, self.mode, self.avoided, self.allowed)


@dataclass(frozen=True, slots=True)
class FaultNote:
    """A note that a fault is about."""

    voice: int
    """0 for the leader, 1 for the follower."""
    onset: Fraction
    """From where the leader begins, in whole notes."""
    pitch: Pitch


@dataclass(frozen=True, slots=True)
class Fault:
    """A rule broken, or a license taken."""

    name: str
    at: Fraction
    """From where the leader begins, in whole notes."""
    notes: tuple[FaultNote, ...] = ()
    """In order of time, where the rule names them."""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Placement:
    """The follower at one place."""

    answer: Answer
    delay: Fraction
    line: Motif
    """The follower as it sounds, without the rest before it."""
    faults: tuple[Fault, ...]
    together: Fraction
    """For how long both sound."""
    imperfect: int
    answering: int = 0
    """Of ten thousand beginnings of notes while both lines last, those of one line alone."""
    licenses: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Combined:
    """All placements looked at, and the best."""

    placements: int
    clean: int
    """How many break no rule."""
    best: tuple[Placement, ...]


FORMS = tuple(
    Answer(UNISON, None, retrograde, inverted, slower)
    for slower in (Fraction(1), Fraction(2), Fraction(1, 2))
    for retrograde in (False, True)
    for inverted in (False, True)
)
"""Prime, inversion, retrograde, retrograde inversion; then the same in augmentation, and in diminution."""


def delays(bounds: Bounds, leader: Motif) -> tuple[Fraction, ...]:
    """Every delay; a stretto enters before the leader is done."""
    count = int(bounds.longest_delay / bounds.delay_grid)
    every = (bounds.delay_grid * n for n in range(int(bounds.canon), count + 1))
    return tuple(d for d in every if d < leader.duration or bounds.rules != "stretto")


def least_together(leader: Motif, follower: Motif) -> Fraction:
    """Half of the shorter line, as it stands, must sound with the other: less is no counterpoint."""
    return min(leader.duration, follower.duration) / 2
