"""What one player has to sound, from moment to moment, with the time there is for it.

In: a part of a placed movement. Out: a line for each instrument that the player takes up in it. Small staves of ossias
are left out. Times are the clock's, played straight on; a note that goes on into another is struck once.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.instruments.instrument import Instrument
from cavata.music.event import KIND_OF, KINDS, LASTING, UNMARKED, Ornament
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.clock import ClockStretch, paces
from cavata.score.score import Movement, Part, ScoreEvent, Staff

_ORDINARY = tuple(words[0] for words in KINDS)
SEVERAL = 2
"""How many play a section at least; how many there are, no script says."""


class Timing:
    """Seconds from a movement's beginning, as floats, for whoever compares them with limits that are guides."""

    def __init__(self, movement: Movement) -> None:
        self._movement = movement
        self._paces: tuple[ClockStretch, ...] = ()
        self._onsets: list[float] = []
        self._sums: list[float] = []

    @property
    def slowest(self) -> float:
        """Seconds of a whole note where the movement is slowest, fermatas counted."""
        self.at(Fraction(0))
        return max(float(max(pace.first, pace.last)) for pace in self._paces)

    def at(self, onset: Fraction) -> float:
        """When a place is heard, played straight on."""
        if not self._paces:
            self._paces = paces(self._movement)
            self._onsets = [float(pace.onset) for pace in self._paces]
            seconds = 0.0
            for pace in self._paces:
                self._sums.append(seconds)
                seconds += float(pace.seconds)
        place = onset.numerator / onset.denominator
        index = max(0, bisect_right(self._onsets, place) - 1)
        pace = self._paces[index]
        inside, first = place - self._onsets[index], float(pace.first)
        growth = (float(pace.last) - first) / float(pace.end - pace.onset)
        return self._sums[index] + inside * (first + growth * inside / 2)


@record
class Sounding:
    """One note that a player sounds."""

    pitch: Pitch
    """At concert pitch."""
    event: ScoreEvent
    """The event that struck it."""
    end: Fraction
    """Where it stops, what it is tied to included."""
    staff: str
    """The hand or the feet: `right`, `left`, `middle`, `pedal`; empty on an instrument of one staff."""


@record
class PlayingState:
    """What holds at a moment."""

    instrument: Instrument
    dynamic: str = ""
    """One of LASTING; empty where none was given."""
    hairpin: str = ""
    """One of BASE_HAIRPINS that is under way from here on."""
    techniques: tuple[str, ...] = _ORDINARY
    """One of each of KINDS, as `pizzicato` or `straight_mute`; see the properties."""
    new: tuple[str, ...] = ()
    """Those that come into force here."""
    pedal: bool = False
    """The sustaining pedal is down."""
    slurred: bool = False
    """It leads on to the next under a slur."""
    under_slur: bool = False
    """The one before led on to it."""
    ornaments: tuple[Ornament, ...] = ()
    """Trills, tremolos, rolled chords and the like, of all that is struck."""

    @property
    def bowing(self) -> str:
        """`arco` or `pizzicato`."""
        return self.techniques[KIND_OF["arco"]]

    @property
    def mute(self) -> str:
        """One of MUTES; `unmuted` for none."""
        return self.techniques[KIND_OF["muted"]]

    @property
    def divided(self) -> bool:
        """Several players divide the line."""
        return self.techniques[KIND_OF["divisi"]] == "divisi"

    @property
    def solo(self) -> bool:
        """One player of several has the line."""
        return self.techniques[KIND_OF["solo"]] == "solo"

    @property
    def tongue(self) -> str:
        """`single_tongue`, `double_tongue`, `triple_tongue` or `flutter_tongue`."""
        return self.techniques[KIND_OF["single_tongue"]]

    @property
    def rolled(self) -> bool:
        """The chord is rolled."""
        return any(ornament.kind == "rolled" for ornament in self.ornaments)

    @property
    def tremolo(self) -> Ornament | None:
        """The tremolo on what is struck; None where there is none."""
        return next((ornament for ornament in self.ornaments if ornament.kind == "tremolo"), None)

    @property
    def is_to_and_fro(self) -> bool:
        """There is a tremolo or a trill, which goes as fast as it can."""
        return any(ornament.kind in ("tremolo", "trill") for ornament in self.ornaments)


@record
class Moment:
    """Everything that one player has to sound from one onset on."""

    event: ScoreEvent
    """The first of those that are struck."""
    onset: Fraction
    end: Fraction
    """Where the longest of what is struck stops; in whole notes from the movement's beginning, as the onset."""
    begins: float
    ends: float
    """The same in seconds, played straight on."""
    struck: tuple[Sounding, ...]
    """From the lowest; none twice."""
    held: tuple[Sounding, ...]
    """What still sounds from before, from the lowest."""
    state: PlayingState

    @property
    def top(self) -> Pitch:
        """The highest pitch that is struck: of winds and voices their note."""
        return self.struck[-1].pitch

    def struck_by(self, staff: str) -> tuple[Sounding, ...]:
        """What one hand or the feet strike, from the lowest."""
        return tuple(note for note in self.struck if note.staff == staff)

    @property
    def sounding(self) -> tuple[Sounding, ...]:
        """All that sounds, from the lowest; a pitch that is struck while it is held counts once."""
        struck = {note.pitch.midi for note in self.struck}
        both = [*self.struck, *(note for note in self.held if note.pitch.midi not in struck)]
        return tuple(sorted(both, key=lambda note: note.pitch.midi))

    @property
    def seconds(self) -> float:
        """How long the longest of what is struck lasts."""
        return self.ends - self.begins

    @property
    def strokes(self) -> Fraction:
        """How many notes a measured tremolo has, whose value the script names; 0 where there is none."""
        unit = next((each.unit for each in self.state.ornaments if each.kind == "tremolo" and each.unit), None)
        return (self.end - self.onset) / unit if unit else Fraction(0)


class PlayerLine:
    """What one player, or one section, has to play on one instrument in one movement.

    `events` is there at once; `moments` are made when they are asked for first, which takes several times as long.
    """

    def __init__(
        self, part: Part, movement: Movement, staves: Sequence[Staff], instrument: Instrument | None, timing: Timing,
        parts: Sequence[Part] = (),
    ) -> None:
        self.part, self.movement, self.staves, self.timing = part, movement, staves, timing
        self.ensemble = parts
        self._only = instrument
        self._events: list[ScoreEvent] | None = None
        self._moments: tuple[Moment, ...] | None = None

    @property
    def instrument(self) -> Instrument:
        """What is in hand; of a line of all the player's instruments the first."""
        return self._only or self.part.instrument

    @property
    def players(self) -> int:
        """1 for a single player; SEVERAL for a section, which can divide what is written and stagger its breath."""
        return SEVERAL if self.part.section else 1

    @property
    def events(self) -> list[ScoreEvent]:
        """Every event with heads, by its onset, tied ones included."""
        if self._events is None:
            voices = [voice for staff in self.staves for voice in staff.voices if voice]
            events = [event for voice in voices for event in voice if event.event.heads and self._has(event)]
            self._events = events if len(voices) < 2 else sorted(events, key=_place)
        return self._events

    @property
    def others(self) -> Iterator[tuple[Part, Sequence[Staff]]]:
        """All other parts with their staves; none of a line that was made without its piece."""
        for part, staves in zip(self.ensemble, self.movement.staves, strict=False):
            if part.name != self.part.name:
                yield part, staves

    def owner(self, event: ScoreEvent) -> Part:
        """The part that has an event: this one, but in a set of percussion that of its instrument."""
        return self.part

    @property
    def moments(self) -> tuple[Moment, ...]:
        """The moments at which something is struck, in order."""
        if self._moments is None:
            self._moments = tuple(self._made())
        return self._moments

    def _has(self, event: ScoreEvent) -> bool:
        changes = self.movement.changes
        return not changes or self._only is None or self._in_hand(event) == self._only

    def _in_hand(self, event: ScoreEvent) -> Instrument:
        return self.movement.instrument_of(self.part, event.onset)

    def _voices(self) -> Iterator[tuple[ScoreEvent, str, Fraction, bool, bool]]:
        """Every event with its staff, where it stops with all that it is tied to, and whether a slur leads to it and
        from it on."""
        for staff in self.staves:
            for voice in staff.voices:
                ends: list[Fraction] = []
                for event in reversed(voice):
                    ends.append(ends[-1] if event.tied_after and ends else event.end)
                slur = False
                for event, end in zip(voice, reversed(ends), strict=True):
                    marks, before = event.event.marks, slur
                    if marks is not UNMARKED:
                        slur = marks.slur_begins or (slur and not marks.slur_ends)
                    if event.event.heads and self._has(event):
                        yield event, staff.name, end, before, slur

    def _made(self) -> Iterator[Moment]:
        held: list[tuple[float, Sounding]] = []  # each with where it stops
        running = _Running(self.part.instrument)
        at = self.timing.at
        events = sorted(self._voices(), key=lambda each: _place(each[0]))
        for place, group in groupby(events, lambda each: _place(each[0])):
            here = list(group)
            onset = here[0][0].onset
            struck = [each for each in here if not each[0].tied_before]
            running.move(here, struck, self._in_hand(here[0][0]))
            if not struck:
                continue
            held = [each for each in held if each[0] > place]
            notes = {
                head.pitch.midi: Sounding(head.pitch, event, end, staff)
                for event, staff, end, _, _ in struck for head in event.event.heads
            }  # fmt: skip
            new = tuple(notes[key] for key in sorted(notes))
            end = max(note.end for note in new)
            yield Moment(
                struck[0][0], onset, end, at(onset), at(end), new,
                tuple(sorted((note for _, note in held), key=lambda note: note.pitch.midi)), running.state,
            )  # fmt: skip
            held.extend((note.end.numerator / note.end.denominator, note) for note in new)


def _place(event: ScoreEvent) -> float:
    """An onset as a float, which is compared far more quickly; two onsets differ by much more than it is rounded, since
    no note is written shorter than 1/1024."""
    return event.onset.numerator / event.onset.denominator


class _Running:
    """What holds while a line is gone through."""

    def __init__(self, instrument: Instrument) -> None:
        self.state = PlayingState(instrument)
        self._pedal_ends: list[Fraction] = []
        self._goal = ""

    def move(
        self, here: Sequence[tuple[ScoreEvent, str, Fraction, bool, bool]],
        struck: Sequence[tuple[ScoreEvent, str, Fraction, bool, bool]], instrument: Instrument,
    ) -> None:
        """Go on to the events of one onset."""
        before = self.state
        dynamic, hairpin = self._goal or before.dynamic, before.hairpin
        techniques, new = list(before.techniques), list[str]()
        self._goal = ""
        pedal = before.pedal and not any(end <= here[0][0].onset for end in self._pedal_ends)
        self._pedal_ends = [end for end in self._pedal_ends if end > here[0][0].onset]
        ornaments: list[Ornament] = []
        for event, _, end, _, _ in here:
            marks = event.event.marks
            if marks is UNMARKED:
                continue
            if marks.hairpin_ends:
                hairpin = ""
            hairpin = marks.hairpin or ("" if marks.loud else hairpin)
            dynamic = marks.in_force_after(dynamic)
            self._goal = marks.goal if marks.goal in LASTING else self._goal
            for word in marks.techniques:
                techniques[KIND_OF[word]] = word
                new.append(word)
            ornaments.extend(marks.ornaments)
            pedal = pedal or marks.pedal_begins
            if marks.pedal_ends:
                self._pedal_ends.append(end)
        self.state = PlayingState(
            instrument, dynamic, hairpin, tuple(techniques), tuple(new), pedal,
            any(each[4] for each in struck), any(each[3] for each in struck), tuple(ornaments),
        )  # fmt: skip


def player_lines(
    part: Part, movement: Movement, staves: Sequence[Staff], timing: Timing, parts: Sequence[Part] = ()
) -> Iterator[PlayerLine]:
    """A line for each instrument that a player has in hand in a movement; `parts` are all of the piece."""
    changes = [change for change in movement.changes if change.part == part.name]
    if not changes:
        yield PlayerLine(part, movement, staves, part.instrument, timing, parts)
        return
    for instrument in dict.fromkeys([part.instrument, *(change.instrument for change in changes)]):
        line = PlayerLine(part, movement, staves, instrument, timing, parts)
        if line.events:
            yield line


def whole_line(part: Part, movement: Movement, staves: Sequence[Staff], timing: Timing) -> PlayerLine:
    """All that a player has to do in a movement, on whatever instrument; each moment knows which."""
    return PlayerLine(part, movement, staves, None, timing)
