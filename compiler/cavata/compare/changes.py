"""What changed between two versions of a piece: each change as a composer would tell it, and the notes it means.

Bars are counted as the page prints them, in the new version; what is gone altogether is counted in the old one.
"""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.score import ScoreEvent
from cavata.score.whereabouts import beat_text


class ChangeKind(Enum):
    """What sort of change it is; the words stand in the JSON document."""

    PIECE = "piece"
    """Title, dedication, the length asked for, how the page is printed."""
    FORCES = "forces"
    MOVEMENT = "movement"
    SECTION = "section"
    BARS = "bars"
    """Whole bars that are new, gone, or elsewhere."""
    METER = "meter"
    KEY = "key"
    TEMPO = "tempo"
    REPEAT = "repeat"
    INSTRUMENT = "instrument"
    """Another one in a player's hand."""
    NEW = "new"
    GONE = "gone"
    TRANSPOSED = "transposed"
    """A passage, every note by the same interval, inverted, or in retrograde."""
    PITCH = "other pitch"
    RESPELLED = "respelled"
    MOVED = "moved"
    """Earlier or later than it was."""
    LENGTH = "other length"
    MARKED = "marked differently"
    REWRITTEN = "rewritten"
    STAFF = "other staff"
    PAGE = "page"
    """Written or played otherwise, though nothing above says how."""
    LETTERS = "other letters"
    """The same notes from other letters of names."""
    VALUE = "value"
    """A definition in a script without music of its own."""


OF_WHOLE_BARS = frozenset(
    (
        ChangeKind.SECTION, ChangeKind.BARS, ChangeKind.METER, ChangeKind.KEY, ChangeKind.TEMPO, ChangeKind.REPEAT,
        ChangeKind.INSTRUMENT,
    )
)  # fmt: skip
"""What is told before the notes of its place, and marked over the bar."""


@record
class Spot:
    """A moment of a movement."""

    bar: int
    """As printed."""
    inside: Fraction
    """How far into the bar, in whole notes."""
    unit: int | None
    """The lower number of the meter; None in free time."""
    onset: Fraction
    """In whole notes from the movement's beginning."""

    @property
    def in_bar(self) -> str:
        """As a script says it: `beat 2`, `beat 2 + 1/16`; in free time `after 3/4`, or that it is the beginning."""
        if self.unit is None and not self.inside:
            return "at its beginning"
        if self.unit is None:
            return f"after {self.inside.numerator}/{self.inside.denominator}"
        return f"beat {beat_text(self.inside, self.unit)}"


@record
class Extent:
    """From one moment to another, both in the same version."""

    first: Spot
    last: Spot
    old: bool = False
    """Counted in the old version, since the new one has nothing there."""
    here: Spot | None = None
    """Of an old place, where it would be in the new version."""


@record
class SoundingNote:
    """A note or chord of one version, its ties joined."""

    spot: Spot
    duration: Fraction
    events: tuple[ScoreEvent, ...]
    """Several where a marking begins within it."""

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Lowest first."""
        return tuple(head.pitch for head in self.events[0].event.heads)

    @property
    def sound(self) -> str:
        """Its pitches, lowest first, as `F#4`."""
        return " ".join(map(str, self.pitches))


@record
class ToldNote:
    """A note as it was and as it is; None where it was not or is not."""

    part: str
    old: SoundingNote | None
    new: SoundingNote | None


@record
class Change:
    """One change."""

    kind: ChangeKind
    said: str
    """What happened, as `a major third higher`."""
    movement: str = ""
    """The movement's name, in the new version if it is there; empty for the whole piece."""
    parts: tuple[str, ...] = ()
    """As the new script calls them."""
    places: tuple[Extent, ...] = ()
    whole_bars: bool = False
    """Places are told by their bars alone."""
    pairs: tuple[ToldNote, ...] = ()


@record
class Comparison:
    """Everything that changed, in the order of the new version."""

    title: str
    changes: tuple[Change, ...]
    old_length: Fraction
    """By the clock, in seconds."""
    new_length: Fraction
    movements: tuple[tuple[str, str], ...] = ()
    """Names and titles of the new version's movements."""
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """The new version's groups with their parts."""
    in_script: tuple[Change, ...] = ()
    """What the script says otherwise and nobody sees or hears: letters that are not printed, names of groups."""

    @property
    def same(self) -> bool:
        """Whether everything that is handed out is the same, of score, parts and sound."""
        return not self.changes
