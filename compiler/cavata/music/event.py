"""Events and the values made of them: motif, texture, rhythm.

All durations are exact fractions of a whole note. Pitches are at concert pitch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from math import lcm

from cavata.music.chord_symbol import ChordSymbol
from cavata.music.origin import Origin
from cavata.music.ornament import KIND_OF, Ornament
from cavata.music.pitch import Pitch
from cavata.music.syllable import Syllable
from cavata.record import dataclass, replace

ARTICULATIONS = (
    "staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato",
    "upbow", "downbow", "open", "stopped", "harmonic", "fermata",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Head:
    """One pitch of an event, and every letter it stands for (two where equal pitches met)."""

    pitch: Pitch
    origins: tuple[Origin, ...]


@dataclass(frozen=True, slots=True)
class Marks:
    """What is written at an event besides its notes."""

    dynamic: str = ""
    """One of `dynamics.DYNAMICS`, at the start of the event."""
    articulations: tuple[str, ...] = ()
    """Of ARTICULATIONS, in the order in which they were given, none twice."""
    words: tuple[str, ...] = ()
    hairpin: str = ""
    """`crescendo` or `diminuendo` when one begins here."""
    hairpin_ends: bool = False
    """A hairpin that began before ends here."""
    slur_begins: bool = False
    slur_ends: bool = False
    ornaments: tuple[Ornament, ...] = ()
    """At most one of each kind."""
    techniques: tuple[str, ...] = ()
    """Of TECHNIQUES, which hold from here on."""
    graces: tuple[tuple[Head, ...], ...] = ()
    """The heads of each grace note or chord before the event."""
    glides: bool = False
    """A glissando leads from here to the next note."""
    held: Fraction = Fraction(0)
    """How much longer a fermata holds the event, in whole notes at the tempo there."""
    pedal_begins: bool = False
    pedal_ends: bool = False
    """The pedal goes up where the event ends."""
    sung: Syllable | None = None
    symbol: ChordSymbol | None = None
    """The chord symbol over the event."""
    who: str = ""
    """Where several play from one staff: who does from here on, as `1.`, `a 2`, `div.`, `Ob.`"""
    goal: str = ""
    """The dynamic at the event's end, to which a hairpin leads that begins and ends on it."""

    def __bool__(self) -> bool:
        return self != UNMARKED

    def joined(self, later: Marks) -> Marks:
        """Both, the later one's dynamic and hairpin standing where both have one."""
        if not later:
            return self
        return Marks(
            later.dynamic or self.dynamic,
            self.articulations + tuple(a for a in later.articulations if a not in self.articulations),
            self.words + tuple(w for w in later.words if w not in self.words),
            later.hairpin or self.hairpin,
            later.hairpin_ends or self.hairpin_ends,
            later.slur_begins or self.slur_begins,
            later.slur_ends or self.slur_ends,
            tuple(o for o in self.ornaments if o.kind not in {n.kind for n in later.ornaments}) + later.ornaments,
            tuple(t for t in self.techniques if KIND_OF[t] not in {KIND_OF[n] for n in later.techniques})
            + later.techniques,
            self.graces + later.graces,
            later.glides or self.glides,
            later.held or self.held,
            later.pedal_begins or self.pedal_begins,
            later.pedal_ends or self.pedal_ends,
            later.sung or self.sung,
            later.symbol or self.symbol,
            later.who or self.who,
            later.goal or self.goal,
        )


UNMARKED = Marks()


@dataclass(frozen=True, slots=True)
class Event:
    """A rest (no heads), a note (one) or a chord (several, lowest first) with its duration."""

    duration: Fraction
    heads: tuple[Head, ...] = ()
    marks: Marks = UNMARKED

    @property
    def is_rest(self) -> bool:
        """Whether nothing sounds."""
        return not self.heads

    @property
    def is_chord(self) -> bool:
        """Whether two pitches or more sound."""
        return len(self.heads) > 1

    def lasting(self, duration: Fraction) -> Event:
        """The same event with another duration."""
        return Event(duration, self.heads, self.marks)

    def with_heads(self, heads: tuple[Head, ...]) -> Event:
        """The same event with other heads."""
        return Event(self.duration, heads, self.marks)

    def with_graces(self, change: Callable[[Head], Head]) -> Event:
        """The same event with every head of its grace notes changed by one rule."""
        graces = self.marks.graces
        if not graces:
            return self
        return replace(self, marks=replace(self.marks, graces=tuple(tuple(map(change, grace)) for grace in graces)))

    def marked(self, marks: Marks) -> Event:
        """The same event with further marks."""
        return replace(self, marks=self.marks.joined(marks)) if marks else self


def total(durations: Iterable[Fraction]) -> Fraction:
    """The sum of durations, in whole notes; counted in one unit, several times faster than adding fractions."""
    pairs = [duration.as_integer_ratio() for duration in durations]
    unit = lcm(*{denominator for _, denominator in pairs})
    return Fraction(sum(numerator * (unit // denominator) for numerator, denominator in pairs), unit)


@dataclass(frozen=True, slots=True)
class Motif:
    """A line of events, one after another."""

    events: tuple[Event, ...]

    @property
    def duration(self) -> Fraction:
        """How long it lasts, in whole notes."""
        return total(event.duration for event in self.events)

    @property
    def sounding(self) -> tuple[Event, ...]:
        """The events that are not rests, in order."""
        return tuple(event for event in self.events if event.heads)


@dataclass(frozen=True, slots=True)
class Texture:
    """Several lines sounding together, in their own order: the leader first."""

    lines: tuple[Motif, ...]
    waits: tuple[tuple[int, ...], ...] = ()
    """For each line the spans in bars, one after another, that it waits before it begins; empty if none waits so.
    Only a score line knows bars: placing turns them into rests, each in the metre where it begins."""
    close: bool = False
    """Each line must begin before the one before it is done, which only placing can tell."""

    def with_lines(self, lines: tuple[Motif, ...]) -> Texture:
        """As many other lines, which wait as these do."""
        return Texture(lines, self.waits, self.close)

    @property
    def duration(self) -> Fraction:
        """How long its longest line lasts, in whole notes; bars that a line waits do not count."""
        return max((line.duration for line in self.lines), default=Fraction(0))


@dataclass(frozen=True, slots=True)
class Beat:
    """One value of a rhythm: a duration that sounds, or a rest."""

    duration: Fraction
    is_rest: bool = False
    origins: tuple[Origin, ...] = ()
    """The letters that gave the value, where a name or a word did."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """Durations and rests without pitch."""

    beats: tuple[Beat, ...]

    @property
    def duration(self) -> Fraction:
        """How long it lasts, in whole notes."""
        return total(beat.duration for beat in self.beats)
