"""Two lines laid side by side for the judge: their notes, and every moment at which both sound and one moves.

In: two lines of notes with exact onsets, the bar, and what is asked. Out: a `Scene`: times as whole ticks, each note
with its neighbors, each moment with its interval; and the species, read from the note values where it is not asked.

Source: J. J. Fux, Gradus ad Parnassum (1725), of which the first species sets one note against one, the second two, the
third four, the fourth ties half notes over the bar, the fifth mixes them; the cantus firmus has one note a bar.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import gcd, lcm

from cavata.music.event import Motif
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch
from cavata.record import record

IMITATION = 0
"""The species of two lines that both move freely."""
DISSONANT, IMPERFECT, FIFTH, OCTAVE = 0, 1, 2, 3
KINDS = {(0, 0): OCTAVE, (2, 3): IMPERFECT, (2, 4): IMPERFECT, (4, 7): FIFTH, (5, 8): IMPERFECT, (5, 9): IMPERFECT}
"""Staff steps and semitones of the consonances, octaves left out; unisons count as octaves, the fourth is none."""


@record
class Options:
    """What is asked of the judge."""

    bar: Fraction = Fraction(1)
    """From where the first line begins; in a species the length of the cantus firmus's notes."""
    strong: Fraction = Fraction(1, 2)
    """From one strong beat to the next in free imitation; in a species only the first beat of a bar is strong."""
    species: int | None = None
    """1 to 5, or IMITATION; None for what the note values show."""
    mode: Mode | None = None
    """Where it is known, the ending and the leading tone are judged by it."""
    avoided: frozenset[str] = frozenset()
    """Licenses that count as faults."""
    allowed: frozenset[str] = frozenset()
    """Rules, or figures of later schools, that are not held against the lines."""


@record
class Note:
    """A note of a line; notes that are tied are one."""

    voice: int
    """0 for the first line, 1 for the second."""
    number: int
    """Its place in the line."""
    onset: int
    end: int
    position: int
    midi: int
    pitch: Pitch

    @property
    def length(self) -> int:
        """In ticks."""
        return self.end - self.onset


Notes = tuple[Note, ...]


@record
class SceneMoment:
    """A time at which both lines sound and at least one begins a note."""

    at: int
    notes: tuple[Note, Note]
    kind: int
    """DISSONANT, IMPERFECT, FIFTH or OCTAVE."""
    steps: int
    """Staff steps from the lower note to the higher, octaves counted."""
    semitones: int
    follows: bool
    """Both lines went on sounding from the moment before to this one."""

    @property
    def begins(self) -> tuple[bool, bool]:
        """Which of the two notes begin here."""
        return self.notes[0].onset == self.at, self.notes[1].onset == self.at

    @property
    def lower(self) -> int:
        """The line of the lower note; of a unison the first."""
        return int((self.notes[1].midi, self.notes[1].position) < (self.notes[0].midi, self.notes[0].position))


class StrictLine:
    """The notes of one line, and how it leads from one to the next."""

    def __init__(self, notes: tuple[Note, ...]) -> None:
        self.notes = notes

    def after(self, note: Note, far: int = 1) -> Note | None:
        """The note so many further on (before it if negative); None where a rest lies between, or there is none."""
        step = 1 if far > 0 else -1
        for _ in range(abs(far)):
            number = note.number + step
            if not 0 <= number < len(self.notes):
                return None
            found = self.notes[number]
            if (note.end if step > 0 else found.end) != (found.onset if step > 0 else note.onset):
                return None
            note = found
        return note

    @cached_property
    def moves(self) -> tuple[tuple[Note, Note], ...]:
        """Every two notes that follow each other without a rest."""
        return tuple((one, other) for one, other in pairwise(self.notes) if one.end == other.onset)

    def phrases(self) -> Iterator[tuple[Note, ...]]:
        """The stretches of the line between rests."""
        phrase: list[Note] = []
        for note in self.notes:
            if phrase and phrase[-1].end != note.onset:
                yield tuple(phrase)
                phrase = []
            phrase.append(note)
        if phrase:
            yield tuple(phrase)


class Scene:
    """Two lines, or one alone, and all that the rules ask of them."""

    def __init__(self, lines: tuple[StrictLine, ...], options: Options, tick: Fraction) -> None:
        self.lines = lines
        self.tick = tick
        self.options = options
        self.bar = int(options.bar / tick)
        self.cantus, found = _species(lines, self.bar)
        self.species = found if options.species is None else options.species
        # A cantus firmus gives the bars, wherever it enters.
        self.offset = lines[self.cantus].notes[0].onset if self.species and found else 0
        self.strong = self.bar if self.species else int(options.strong / tick)
        self.moments = tuple(_moments(*lines)) if len(lines) > 1 else ()

    @property
    def counterpoint(self) -> StrictLine:
        """The line that is set against the cantus firmus."""
        return self.lines[1 - self.cantus]

    def is_strong(self, at: int) -> bool:
        """Whether a strong beat is there."""
        return not (at - self.offset) % self.strong

    def in_bar(self, at: int) -> int:
        """How long after the beginning of its bar."""
        return (at - self.offset) % self.bar

    def moment(self, at: int) -> SceneMoment | None:
        """What sounds there, whether or not a note begins."""
        found = None
        for moment in self.moments:
            if moment.at > at:
                break
            if all(note.end > at for note in moment.notes):
                found = moment
        return found

    @cached_property
    def pairs(self) -> tuple[tuple[SceneMoment, SceneMoment], ...]:
        """Every moment with the one straight before it."""
        return tuple((before, moment) for before, moment in pairwise(self.moments) if moment.follows)

    def begin_together(self) -> bool:
        """Whether the lines begin together, or the second within the first bar after a rest."""
        first, second = (line.notes[0].onset for line in self.lines)
        return abs(first - second) < self.bar if self.species else first == second

    def end_together(self) -> bool:
        """Whether both lines end at once."""
        return self.lines[0].notes[-1].end == self.lines[1].notes[-1].end


def scene_of(lines: tuple[Sequence[tuple[Fraction, Fraction, Pitch]], ...], options: Options) -> Scene:
    """Two lines of notes (onset, duration, pitch), in whole notes from where the first bar begins."""
    times = [time for line in lines for onset, length, _ in line for time in (onset, length)]
    tick = tick_of(times, options)
    laid = []
    for voice, line in enumerate(lines):
        found = [(int(onset / tick), int(length / tick)) for onset, length, _ in line]
        laid.append(line_of(voice, found, [pitch for _, _, pitch in line]))
    return Scene(tuple(laid), options, tick)


def tick_of(times: Sequence[Fraction], options: Options) -> Fraction:
    """The longest duration of which every time is a multiple; a bar's eighth is the shortest of the fifth species."""
    return common_measure([options.bar / 8, options.strong, *times])


def common_measure(times: Sequence[Fraction]) -> Fraction:
    """The longest duration of which every time is a multiple."""
    bottom = lcm(*(time.denominator for time in times))
    return Fraction(gcd(*(int(time * bottom) for time in times)), bottom)


def line_of(voice: int, times: Sequence[tuple[int, int]], pitches: Sequence[Pitch], delay: int = 0) -> StrictLine:
    """A line of notes with onsets and lengths in ticks, entering after a delay."""
    return StrictLine(tuple(
        Note(voice, number, onset + delay, onset + delay + length, pitch.position, pitch.midi, pitch)
        for number, ((onset, length), pitch) in enumerate(zip(times, pitches, strict=True))
    ))  # fmt: skip


def notes_of(line: Motif, onset: Fraction = Fraction(0)) -> list[tuple[Fraction, Fraction, Pitch]]:
    """The notes of a line of single notes that begins at `onset`."""
    found = []
    for event in line.events:
        if event.heads:
            found.append((onset, event.duration, event.heads[0].pitch))
        onset += event.duration
    return found


def interval_of(low: Note, high: Note) -> tuple[int, int, int]:
    """Kind, staff steps and semitones between two notes, whichever is the lower."""
    steps, semitones = high.position - low.position, high.midi - low.midi
    if (semitones, steps) < (0, 0):
        steps, semitones = -steps, -semitones
    return KINDS.get(simple(steps, semitones), DISSONANT), steps, semitones


def simple(steps: int, semitones: int) -> tuple[int, int]:
    """An interval without its octaves."""
    return steps % 7, semitones - 12 * (steps // 7)


def is_step(one: Note | None, other: Note | None) -> bool:
    """Whether the line moves by a minor or major second."""
    if one is None or other is None:
        return False
    steps, semitones = other.position - one.position, other.midi - one.midi
    return abs(steps) == 1 and 0 < steps * semitones <= 2


def direction(one: Note, other: Note) -> int:
    """1 for a rise, -1 for a fall, 0 for a repeated sound."""
    return (other.midi > one.midi) - (other.midi < one.midi)


def _moments(first: StrictLine, second: StrictLine) -> Iterator[SceneMoment]:
    one = other = 0
    last: int | None = None
    while one < len(first.notes) and other < len(second.notes):
        a, b = first.notes[one], second.notes[other]
        at, end = max(a.onset, b.onset), min(a.end, b.end)
        if at < end:
            yield SceneMoment(at, (a, b), *interval_of(a, b), last == at)
            last = end
        one, other = one + (a.end == end), other + (b.end == end)


def is_cantus(notes: Sequence[tuple[Fraction, Fraction, Pitch]], bar: Fraction) -> bool:
    """Whether a line has one note a bar, without a rest."""
    start = notes[0][0]
    bars = [(start + bar * number, bar) for number in range(len(notes))]
    return len(notes) > 1 and [(onset, length) for onset, length, _ in notes] == bars


def _species(lines: tuple[StrictLine, ...], bar: int) -> tuple[int, int]:
    """Which line is the cantus firmus, and the species of the other; IMITATION where neither is one."""
    for cantus in range(len(lines) if len(lines) > 1 else 0):
        notes, others = lines[cantus].notes, lines[1 - cantus].notes
        start = notes[0].onset
        bars = [(start + bar * number, start + bar * (number + 1)) for number in range(len(notes))]
        if len(notes) > 1 and [(note.onset, note.end) for note in notes] == bars:
            found = _against(others, start, bar)
            if found:
                return cantus, found
    return 0, IMITATION


def _against(notes: tuple[Note, ...], start: int, bar: int) -> int:
    """The species of a line against a cantus firmus that begins at `start`; its last note may be of any length."""
    if any(one.end != other.onset for one, other in pairwise(notes)):
        return IMITATION
    inner = notes[:-1] or notes
    lengths = {note.length for note in inner}
    if lengths == {bar} and not (notes[0].onset - start) % bar:
        return 1
    half = bar // 2
    if all((note.onset - start) % half == 0 for note in notes) and lengths <= {half, bar}:
        tied = sum(note.length == bar and bool((note.onset - start) % bar) for note in inner)
        return 4 if tied > len(inner) // 3 else 5 if tied else 2
    shortest = min(lengths)
    if len(lengths) == 1 and bar % shortest == 0 and (notes[0].onset - start) % shortest == 0:
        return 3
    in_eighths = all((note.onset - start) % (bar // 8) == 0 for note in notes)
    return 5 if in_eighths and max(lengths) <= bar * 3 // 2 else IMITATION
