"""Events and the values made of them: motif, texture, rhythm.

All durations are exact fractions of a whole note. Pitches are at concert pitch.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from fractions import Fraction
from functools import lru_cache
from typing import final

from cavata.music.chord_symbol import ChordSymbol
from cavata.music.lengths import total
from cavata.music.pitch import FIFTHS_OF_LETTER, Interval, Pitch, readable
from cavata.record import record, replace
from cavata.source import Span

# ----------------------------------------------------------------
# Where a note came from: the letter of a name, what was done to it, and the place that wrote it.


@record
class Letter:
    """One letter, or letters read as one, of one name under one cipher."""

    name: str
    """The name's identifier in the script, as `tamsin`."""
    text: str
    """The letter or letters as written, as `T` or `SCH`."""
    position: int
    """Which letter of the written name it is, counted from 1; spaces and hyphens do not count."""
    cipher: str
    """The cipher's identifier."""


@record
class Origin:
    """What one sounding note remembers."""

    letter: Letter | None
    """None for a note that no name gave."""
    span: Span
    """The place in the script that made the note: its name, its `notes(...)`, its rhythm."""
    inflection: str = ""
    """What the composer did to the letter's pitch, as `sharp` or `sharp, respelled`; empty if nothing."""
    steps: tuple[str, ...] = ()
    """The transforms the note went through, in order, as they stand in the script."""

    def through(self, *steps: str) -> Origin:
        """The same origin after further transforms."""
        return Origin(self.letter, self.span, self.inflection, self.steps + steps)

    def inflected(self, how: str) -> Origin:
        """The same origin after the composer changed the note's pitch."""
        if self.inflection.split(", ")[-1] == how:
            return self
        return replace(self, inflection=f"{self.inflection}, {how}" if self.inflection else how)


# ----------------------------------------------------------------
# A syllable that is sung to a note.

@record
class Syllable:
    """One syllable of a word, or the sign that the syllable before is held over this note too."""

    text: str
    """Empty where the syllable before is held. `~` joins two that are sung to one note."""
    goes_on: bool = False
    """Another syllable of the same word follows."""
    verse: int = 1
    """Which of the texts under one tune it belongs to, counted from 1."""
    unslurred: bool = False
    """No slur is wanted over the notes to which it is sung."""

    def __str__(self) -> str:
        """As a script writes it: `o-`, `pen`, `_`; from the second verse on after its number, as `2. o-`."""
        number = f"{self.verse}. " if self.verse > 1 else ""
        return number + (self.text or "_") + ("-" if self.goes_on else "")


HELD = Syllable("")
"""The syllable before is held over this note."""
Verses = tuple[Syllable, ...]
"""What is sung to one note: at most one syllable of each verse, in the order of the verses."""


def in_verse(sung: Verses, verse: int) -> Syllable | None:
    """What a verse has at a note; None for nothing."""
    return next((syllable for syllable in sung if syllable.verse == verse), None)


def with_syllables(sung: Verses, later: Verses) -> Verses:
    """Both, the later syllable standing where both have one of a verse."""
    if not (sung and later):
        return sung or later
    return tuple(sorted({s.verse: s for s in (*sung, *later)}.values(), key=lambda syllable: syllable.verse))


# ----------------------------------------------------------------
# Ornaments and techniques: what is written at a note beside its pitch and length, and what a reader adds to it.
#
# Pitches are at concert pitch. A neighbor that the script does not name is the next place on the staff as the
# signature has it, a natural where there is no signature. Source: common practice.


ORNAMENTS = ("trill", "turn", "mordent", "tremolo", "rolled")
UNMEASURED = Fraction(1, 32)
"""What a tremolo that is not measured repeats, roughly; its three strokes are those of this value."""
PRINTED = {
    "pizzicato": "pizz.", "arco": "arco", "muted": "con sord.", "unmuted": "senza sord.", "solo": "solo",
    "tutti": "tutti", "divisi": "div.", "unison": "unis.", "sul_tasto": "sul tasto",
    "sul_ponticello": "sul pont.", "ordinary": "ord.", "straight_mute": "straight mute", "cup_mute": "cup mute",
    "harmon_mute": "Harmon mute", "plunger": "plunger", "practice_mute": "practice mute", "single_tongue": "ord.",
    "double_tongue": "double tongue", "triple_tongue": "triple tongue", "flutter_tongue": "flz.",
    "manual_1": "Man. I", "manual_2": "Man. II", "manual_3": "Man. III", "manual_4": "Man. IV", "great_manual": "Gt.",
    "swell_manual": "Sw.", "choir_manual": "Ch.", "any_manual": "Man. ad lib.",
}  # fmt: skip
"""Ways of playing that hold until another one of their kind, as the trade writes them. Source: common practice."""
TECHNIQUES = tuple(PRINTED)
MANUALS = tuple(word for word in reversed(PRINTED) if "manual" in word)
MUTES = ("unmuted", "muted", "straight_mute", "cup_mute", "harmon_mute", "plunger", "practice_mute")
KINDS = (
    ("arco", "pizzicato"), MUTES, ("tutti", "solo"), ("unison", "divisi"),
    ("ordinary", "sul_tasto", "sul_ponticello"), ("single_tongue", "double_tongue", "triple_tongue", "flutter_tongue"),
    MANUALS,
)  # fmt: skip
"""Techniques that end one another; the first of each holds where nothing was said."""
KIND_OF = {word: kind for kind, words in enumerate(KINDS) for word in words}
"""The kind of every technique, as its place in KINDS."""

DIVISIONS = ("quarter", "half", "full", "double")
"""The divisions of chant, from the shortest breath to the end, by the part of the staff that their line crosses."""

ACCIDENTAL_NAMES = {-2: "double flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double sharp"}
ALTERATIONS = {name: alter for alter, name in ACCIDENTAL_NAMES.items()}


@record
class Ornament:
    """A sign that changes how a note is played."""

    kind: str
    """One of ORNAMENTS."""
    to: Interval | None = None
    """The upper note of a trill, where the script names it."""
    unit: Fraction | None = None
    """The value a measured tremolo repeats; None for one that is not measured."""
    sign: str = ""
    """On the page, the accidental of the note above, as `flat`; empty where none is needed."""
    sign_below: str = ""
    """The same of the note below."""


def signature_alteration(fifths: int, letter: int) -> int:
    """What a signature of so many sharps (flats below zero) does to a letter (0 for C to 6 for B)."""
    return (fifths - FIFTHS_OF_LETTER[letter] + 5) // 7


def neighbor(pitch: Pitch, steps: int, fifths: int) -> Pitch:
    """The pitch so many places of the staff away, as the signature has it."""
    position = pitch.position + steps
    return Pitch(position, signature_alteration(fifths, position % 7))


def trilled(pitch: Pitch, ornament: Ornament, fifths: int) -> Pitch:
    """The upper note of a trill: as named, else the neighbor in the signature, a tone away at most; at any height."""
    within = Interval(1, min(max(neighbor(pitch, 1, fifths).midi - pitch.midi, 1), 2))
    return readable(pitch.exactly(ornament.to or within))


def auxiliaries(pitch: Pitch, ornament: Ornament, fifths: int) -> tuple[Pitch | None, Pitch | None]:
    """The notes above and below with which an ornament at a note is played, as far as it has them."""
    above = trilled(pitch, ornament, fifths) if ornament.kind in ("trill", "turn") else None
    return above, neighbor(pitch, -1, fifths) if ornament.kind in ("turn", "mordent") else None


# ----------------------------------------------------------------
# Dynamics: their order, and what is in force after each. Source: common practice.

LASTING = ("pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff")
"""From the softest to the loudest; each holds until the next."""
ATTACKS = ("fp", "sf", "sfz", "sfp", "fz", "rf", "rfz")
"""How single notes are struck, whatever dynamic is in force."""
DYNAMICS = (*LASTING, *ATTACKS)
NOTHING = "nothing"
"""Silence, from which or to which a hairpin leads."""
LEVELS = (NOTHING, *LASTING)
"""From silence to the loudest."""
FROM_NOTHING, TO_NOTHING = "crescendo from nothing", "diminuendo to nothing"
"""Hairpins with a circle at their narrow end."""
BASE_HAIRPINS = {
    "crescendo": "crescendo", "diminuendo": "diminuendo", FROM_NOTHING: "crescendo", TO_NOTHING: "diminuendo",
}  # fmt: skip
"""Which of the two every hairpin is."""
AFTERWARD = {"fp": "p", "sfp": "p"}
"""The dynamic that an attack says itself; after any other the one before goes on."""


# ----------------------------------------------------------------

ARTICULATIONS = (
    "staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato",
    "upbow", "downbow", "open", "stopped", "harmonic",
    "let_ring", "breath", "caesura", "fermata",
)  # fmt: skip
AFTER_NOTE = frozenset(("breath", "caesura"))
"""What stands between a note and the next."""


@record
class Head:
    """One pitch of an event, and every letter it stands for (two where equal pitches met)."""

    pitch: Pitch
    origins: tuple[Origin, ...]

    @property
    def letters(self) -> tuple[Letter, ...]:
        """The letters of names that gave it."""
        return tuple([origin.letter for origin in self.origins if origin.letter])


@record
class Said:
    """A sign at an event, and the place in the script that said it."""

    kind: str
    """One of `SIGNS` in `music/said.py`."""
    what: str
    """Which of its kind, as `mf` or `staccato`."""
    span: Span
    by: Span | None = None
    """Where another sign was said later that stands in its place; None while it stands itself."""


@record
class Marks:
    """What is written at an event besides its notes."""

    dynamic: str = ""
    """One of LASTING, from the start of the event on."""
    articulations: tuple[str, ...] = ()
    """Of ARTICULATIONS, in the order in which they were given, none twice."""
    words: tuple[str, ...] = ()
    hairpin: str = ""
    """One of BASE_HAIRPINS when one begins here."""
    hairpin_ends: bool = False
    """A hairpin that began before ends here."""
    slur_begins: bool = False
    slur_ends: bool = False
    slur_dashed: bool = False
    """The slur that begins here holds for some verses only."""
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
    sung: Verses = ()
    symbol: ChordSymbol | None = None
    """The chord symbol over the event."""
    who: str = ""
    """Where several play from one staff: who does from here on, as `1.`, `a 2`, `div.`, `Ob.`"""
    goal: str = ""
    """One of DYNAMICS at the event's end, to which a hairpin leads that begins and ends on it; NOTHING where a hairpin
    that ends here has died away, whether it began here or before."""
    attack: str = ""
    """One of ATTACKS; the event's own, which says nothing of those after it but for AFTERWARD."""
    swelling: bool = False
    """On the page: a hairpin goes on past the attack."""
    led: bool = False
    """On the page: another hand of its player has the hairpin that begins or ends here, and the dynamics of it."""
    figures: tuple[tuple[str, ...], ...] = ()
    """Of a figured bass: what stands under the event in turn, each from the top down; its length is shared evenly."""
    label: str = ""
    """A word or sticking of the event's own."""
    optional: bool = False
    """Small: the player may leave it out."""
    spoken: bool = False
    """It is spoken: its head is a cross, and it has no pitch."""
    stemless: bool = False
    """As in chant: no stem, flag or beam."""
    division: str = ""
    """One of DIVISIONS, which stands where the event ends."""
    string: str = ""
    """The string on which the event is played: its number from the highest, as `2`, or its open note, as `G`."""
    harmonic: str = ""
    """What sounds is a harmonic: `natural`, of the open string, or the interval at which a stopped note is touched."""
    again: str = ""
    """On later turns of a repeated item, until its dynamics are settled: the dynamic there if another came between."""
    said: tuple[Said, ...] = field(default=(), compare=False)
    """Where each of its signs was said, those that others replaced included. Marks compare without it."""

    @property
    def loud(self) -> tuple[str, ...]:
        """What is said of its loudness where it begins: its attack, then the dynamic from there on."""
        return tuple(word for word in (self.attack, self.dynamic) if word)

    @property
    def dies_away(self) -> bool:
        """Whether a hairpin goes on to silence at the event's end."""
        return self.hairpin_ends and self.goal == NOTHING

    @property
    def reaches(self) -> bool:
        """Whether a hairpin that began before leads to the dynamic at the event's beginning."""
        return self.hairpin_ends and bool(self.loud) and not self.dies_away and not (self.hairpin and self.goal)

    @property
    def asks_harmonic(self) -> bool:
        """Whether a harmonic is asked for, whichever."""
        return bool(self.harmonic) or "harmonic" in self.articulations

    def in_force_after(self, before: str) -> str:
        """The dynamic in force after it, where `before` was; empty for none."""
        return self.dynamic or AFTERWARD.get(self.attack, before)

    def __bool__(self) -> bool:
        return self != UNMARKED

    def joined(self, later: Marks) -> Marks:
        """Both, the later one's dynamic, attack and hairpin standing where both have one.

        A dynamic is not kept beside a later attack that says one itself.
        """
        if not later:
            return self
        if later.dies_away and not later.hairpin and self.hairpin != TO_NOTHING and (self.hairpin or self.dynamic):
            # A hairpin goes on through the note, which neither begins another nor has a dynamic at its beginning.
            self = replace(self, dynamic="", hairpin="")
        again = bool(later.dynamic or later.hairpin or later.hairpin_ends)
        return Marks(
            later.dynamic or ("" if later.attack in AFTERWARD else self.dynamic),
            self.articulations + tuple(a for a in later.articulations if a not in self.articulations),
            self.words + tuple(w for w in later.words if w not in self.words),
            later.hairpin or self.hairpin,
            later.hairpin_ends or self.hairpin_ends,
            later.slur_begins or self.slur_begins,
            later.slur_ends or self.slur_ends,
            later.slur_dashed or self.slur_dashed,
            tuple(o for o in self.ornaments if o.kind not in {n.kind for n in later.ornaments}) + later.ornaments,
            tuple(t for t in self.techniques if KIND_OF[t] not in {KIND_OF[n] for n in later.techniques})
            + later.techniques,
            self.graces + later.graces,
            later.glides or self.glides,
            later.held or self.held,
            later.pedal_begins or self.pedal_begins,
            later.pedal_ends or self.pedal_ends,
            with_syllables(self.sung, later.sung),
            later.symbol or self.symbol,
            later.who or self.who,
            later.goal or ("" if self.dies_away and again else self.goal),
            later.attack or self.attack,
            later.swelling or self.swelling,
            later.led or (self.led and not (later.dynamic or later.hairpin)),
            later.figures or self.figures,
            later.label or self.label,
            later.optional or self.optional,
            later.spoken or self.spoken,
            later.stemless or self.stemless,
            later.division or self.division,
            later.string or self.string,
            later.harmonic or self.harmonic,
            later.again or self.again,
            self.said + later.said,
        )


UNMARKED = Marks()


def reached(marks: Marks) -> Marks:
    """What the last part of a divided note has of the goal at its end: the dynamic, or that it dies away."""
    return Marks(goal=NOTHING) if marks.goal == NOTHING else told(marks.goal)


def told(dynamic: str) -> Marks:
    """One of DYNAMICS, or nothing, as marks."""
    return Marks(attack=dynamic) if dynamic in ATTACKS else Marks(dynamic=dynamic)


# ----------------------------------------------------------------
# Where an event's marks stand when it is divided into several tied notes.
#
# In: an event's marks. Out: those of its first note and those of its last. What begins stands at the first; what ends,
# and what shapes the end of the note (staccato, fermata), at the last; tremolo, head and stem at all. Common practice.

AT_THE_END = frozenset(("staccato", "staccatissimo", "fermata", "let_ring", *AFTER_NOTE))


@lru_cache(maxsize=1024)
def first_marks(marks: Marks) -> Marks:
    """What stands at the first of several tied notes; where two slurs meet, the end of the one before."""
    kept = tuple(name for name in marks.articulations if name not in AT_THE_END)
    meet = marks.slur_begins and marks.slur_ends
    return replace(
        marks, articulations=kept, hairpin_ends=False, slur_ends=meet, slur_begins=marks.slur_begins and not meet,
        slur_dashed=marks.slur_dashed and not meet, glides=False, held=Fraction(0),
        pedal_ends=False, goal="", division="", said=(),
    )  # fmt: skip


@lru_cache(maxsize=1024)
def last_marks(marks: Marks) -> Marks:
    """What stands at the last of several tied notes; where two slurs meet, the beginning of the one after."""
    kept = tuple(name for name in marks.articulations if name in AT_THE_END)
    meet = marks.slur_begins and marks.slur_ends
    return replace(
        reached(marks), articulations=kept, hairpin_ends=marks.hairpin_ends, slur_ends=marks.slur_ends and not meet,
        slur_begins=meet, slur_dashed=marks.slur_dashed and meet,
        ornaments=inner_marks(marks).ornaments, glides=marks.glides, held=marks.held, pedal_ends=marks.pedal_ends,
        spoken=marks.spoken, stemless=marks.stemless, division=marks.division, optional=marks.optional, led=marks.led,
    )  # fmt: skip


@lru_cache(maxsize=1024)
def inner_marks(marks: Marks) -> Marks:
    """What stands at the tied notes between."""
    kept = tuple(ornament for ornament in marks.ornaments if ornament.kind == "tremolo")
    if not (kept or marks.spoken or marks.stemless or marks.optional):
        return UNMARKED
    return Marks(ornaments=kept, spoken=marks.spoken, stemless=marks.stemless, optional=marks.optional)


def divided_marks(marks: Marks) -> tuple[Marks, Marks]:
    """The marks of both parts of a note that is divided in two, without the places that said them.

    A hairpin that leads to a dynamic at the note's beginning ends there.
    """
    if not marks:
        return UNMARKED, UNMARKED
    first, second = first_marks(marks), last_marks(marks)
    if marks.reaches:
        first, second = replace(first, hairpin_ends=True), replace(second, hairpin_ends=False)
    if marks.string or marks.harmonic:  # both are read, and so fingered, alike
        second = replace(second, string=marks.string, harmonic=marks.harmonic)
    return first, second


@record
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
        graces = tuple(tuple(map(change, grace)) for grace in self.marks.graces)
        return replace(self, marks=replace(self.marks, graces=graces)) if graces else self

    def marked(self, marks: Marks) -> Event:
        """The same event with further marks."""
        return replace(self, marks=self.marks.joined(marks)) if marks else self


@record
class Bars:
    """A span of so many bars, whose length is known only where there is a meter."""

    count: int


@final
@record
class Motif:
    """A line of events, one after another."""

    events: tuple[Event, ...]
    upbeat: Fraction = Fraction(0)
    """How much of it lies before its first bar line, in whole notes."""
    bar: Fraction = Fraction(0)
    """How long its bars are, where it was written in bars and has an upbeat; 0 where nobody knows."""

    def having(self, events: tuple[Event, ...]) -> Motif:
        """The same line with other events in the same time: it keeps its upbeat."""
        return Motif(events, self.upbeat, self.bar)

    @property
    def duration(self) -> Fraction:
        """How long it lasts, in whole notes."""
        return total(event.duration for event in self.events)

    @property
    def lines(self) -> tuple[Motif, ...]:
        """Itself: its only line, as a texture has several."""
        return (self,)

    @property
    def sounding(self) -> tuple[Event, ...]:
        """The events that are not rests, in order."""
        return tuple(event for event in self.events if event.heads)


@final
@record
class Texture:
    """Several lines sounding together, in their own order: the leader first."""

    lines: tuple[Motif, ...]
    waits: tuple[tuple[int, ...], ...] = ()
    """For each line the spans in bars, one after another, that it waits before it begins; empty if none waits so.
    Only a score line knows bars: placing turns them into rests, each in the meter where it begins."""
    close: bool = False
    """Each line must begin before the one before it is done, which only placing can tell."""
    turns: int = 0
    """Each line is the whole of a dialogue, in which it speaks in its turn, for so many bars that only a score line can
    count; 0 for lines that are as they stand."""

    @property
    def is_open(self) -> bool:
        """Whether bars must be counted before it is known what sounds when."""
        return bool(self.waits) or self.turns > 0

    def with_lines(self, lines: tuple[Motif, ...]) -> Texture:
        """As many other lines, which wait as these do."""
        return Texture(lines, self.waits, self.close, self.turns)

    @property
    def upbeat(self) -> Fraction:
        """How much of it lies before its first bar line, in whole notes; its lines have it in common."""
        return max((line.upbeat for line in self.lines), default=Fraction(0))

    @property
    def duration(self) -> Fraction:
        """How long its longest line lasts, in whole notes; bars that a line waits do not count."""
        return max((line.duration for line in self.lines), default=Fraction(0))


@record
class Beat:
    """One value of a rhythm: a duration that sounds, or a rest."""

    duration: Fraction
    is_rest: bool = False
    origins: tuple[Origin, ...] = ()
    """The letters that gave the value, where a name or a word did."""


@final
@record
class Rhythm:
    """Durations and rests without pitch."""

    beats: tuple[Beat, ...]

    @property
    def duration(self) -> Fraction:
        """How long it lasts, in whole notes."""
        return total(beat.duration for beat in self.beats)


VOICES = ("bass", "top", "inner", "upper", "all")
"""What voices of a chord are called besides their numbers, which count from 1, the bass."""


@record
class Stroke:
    """One value of a figure: a duration, and the voices of a chord that sound in it."""

    duration: Fraction
    voices: tuple[str | int, ...] = ()
    """Of VOICES, or numbers; none for a rest."""


@final
@record
class Figure:
    """Which voices of a chord sound when: one line of strokes, or several that sound together, each going round."""

    lines: tuple[tuple[Stroke, ...], ...]
