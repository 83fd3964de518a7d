"""Written pitch: what the player reads for what sounds, and the key signature that goes with it.

In: an instrument, sounding pitches, the key at concert pitch. Out: written pitches and signatures. In a
score at concert pitch only octave transposers (piccolo, double bass, guitar, celesta ...) are still written
at their octave. A signature that the transposition would bring to more than six accidentals gives way to its
enharmonic, and the pitches go with it; no pitch is written with more than a double accidental. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from cavata.instruments.foreign import printed_abbreviation, printed_name
from cavata.instruments.instrument import Instrument, PageLanguage, note_in
from cavata.instruments.strings import fingering_shifts
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch
from cavata.notate.frames import WrittenSpan
from cavata.notate.written import Leaf, WrittenStaff, leaves, with_leaves
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Part, events_of


def written_interval(instrument: Instrument, concert_score: bool) -> Interval:
    """The interval from sounding up to written pitch."""
    interval = -instrument.transposition
    octave = interval.steps % 7 == 0 and interval.semitones % 12 == 0
    return interval if octave or not concert_score else Interval(0, 0)


def fifths_of(interval: Interval) -> int:
    """How many fifths a transposition moves a signature: up a major second two sharps more."""
    return 7 * interval.semitones - 12 * interval.steps


@dataclass(frozen=True, slots=True)
class PitchWriting:
    """How sounding pitches are written while one key lasts."""

    interval: Interval
    signature: int
    """Sharps, or flats if negative, as written."""
    most: int = 2
    """Sharps or flats of one note. Where the key had to be respelled it is 1: no player should read Ebb for a D."""
    known: dict[Pitch, Pitch] = field(default_factory=dict)
    tuning: Instrument | None = None
    """An instrument in scordatura whose player reads what is fingered."""

    def written(self, pitch: Pitch) -> Pitch:
        """The written pitch for a sounding one."""
        found = self.known.get(pitch)
        if found is None:
            found = self.known[pitch] = _spelled(
                pitch.position + self.interval.steps, pitch.midi + self.interval.semitones, self.most
            )
        return found

    def chord(self, pitches: tuple[Pitch, ...], on: int | None = None) -> tuple[Pitch, ...]:
        """The written pitches for some that sound together; `on` is their string where it is said."""
        if self.tuning is None:
            return tuple(map(self.written, pitches))
        shifts = fingering_shifts(self.tuning, pitches, on)
        return tuple(self.written(pitch.exactly(shift)) for pitch, shift in zip(pitches, shifts, strict=True))


def reading(instrument: Instrument, concert_score: bool, key: Mode | None) -> PitchWriting:
    """The reading of an instrument in a key."""
    interval = written_interval(instrument, concert_score)
    signature = key.fifths + fifths_of(interval) if key else 0
    most = 7 if fifths_of(interval) == 0 else 6
    while signature > most:
        signature, interval = signature - 12, Interval(interval.steps + 1, interval.semitones)
    while signature < -most:
        signature, interval = signature + 12, Interval(interval.steps - 1, interval.semitones)
    respelled = interval != written_interval(instrument, concert_score)
    tuning = instrument if instrument.reads_fingering and not concert_score else None
    return PitchWriting(interval, signature, 1 if respelled else 2, tuning=tuning)


def _spelled(position: int, midi: int, most: int) -> Pitch:
    """The spelling at a staff position; one with more signs than that moves to the letter that needs at most one."""
    pitch = Pitch(position, midi - Pitch(position, 0).midi)
    if abs(pitch.alter) > most:
        while abs(pitch.alter) > 1:
            position += 1 if pitch.alter > 0 else -1
            pitch = Pitch(position, midi - Pitch(position, 0).midi)
    return pitch


# ----------------------------------------------------------------
# What a player reads where another instrument is taken up.
#
# In: the staves of a part as written, and the moments at which the instrument changes. Out: the same staves; the rest
# before says what to take, the first note after it what it is, and the bar of the change knows the instrument. Where
# nothing is played after a change nothing is said. A movement that begins on another instrument than the one before
# ended with says so too. Source: common practice.


@record
class _Turn:
    """From a moment on another instrument is in hand."""

    onset: Fraction
    instrument: Instrument


def last_in_hand(part: Part, place: int, earlier: Sequence[Movement]) -> Instrument:
    """What a player played on last in earlier movements, the part being at that place of the score."""
    for movement in reversed(earlier if part.doublings else ()):
        onsets = [event.onset for event in events_of(movement.staves[place]) if event.event.heads]
        if onsets:
            return movement.instrument_of(part, max(onsets))
    return part.instrument


def with_changes(
    staves: tuple[WrittenStaff, ...], part: Part, movement: Movement, spans: Sequence[WrittenSpan], held: Instrument
) -> tuple[WrittenStaff, ...]:
    """The staves with what is said, where `held` was in hand before; the words stand on the upper one."""
    turns = tuple(_turns(part, movement))
    opening = _Turn(Fraction(0), movement.instrument_of(part, Fraction(0)))
    said = turns if opening in turns or opening.instrument == held else (opening, *turns)
    if not said:
        return staves
    upper, *others = (_knowing(staff, turns, spans) for staff in staves)
    return (_worded(upper, said, part, held), *others)


def with_tuning(staves: tuple[WrittenStaff, ...], part: Part) -> tuple[WrittenStaff, ...]:
    """The staves of an instrument in scordatura, the tuning over the first bar, from the lowest string."""
    names = "–".join(note_in(part.language, string.pitch_class) for string in part.instrument.strings)
    upper, *others = staves
    words = page_words(part.language, "playing", "scordatura", strings=names)
    return (with_leaves(upper, {0: words}, _told), *others)


def taking_up(instrument: Instrument, language: PageLanguage) -> str:
    """What a player is told in the rest before another instrument: `to Picc.`"""
    return page_words(language, "playing", "takes_up", instrument=printed_abbreviation(instrument, language))


def _turns(part: Part, movement: Movement) -> Iterator[_Turn]:
    changes = [change for change in movement.changes if change.part == part.name]
    for number, change in enumerate(changes):
        yield _Turn(change.begin, change.instrument)
        following = changes[number + 1].begin if number + 1 < len(changes) else movement.duration
        if change.end < following:
            yield _Turn(change.end, part.instrument)


def _knowing(staff: WrittenStaff, turns: Sequence[_Turn], spans: Sequence[WrittenSpan]) -> WrittenStaff:
    taken = {turn.onset: turn.instrument for turn in turns}
    bars = tuple(
        replace(bar, instrument=taken[span.onset]) if span.onset in taken else bar
        for bar, span in zip(staff.bars, spans, strict=True)
    )
    return replace(staff, bars=bars)


def _worded(staff: WrittenStaff, turns: Sequence[_Turn], part: Part, held: Instrument) -> WrittenStaff:
    """The staff with words at leaves of its upper voice."""
    line = [leaf for bar in staff.bars for leaf in leaves(bar.voices[0])]
    words: dict[int, str] = {}
    for turn in turns:
        after = next((i for i, leaf in enumerate(line) if _sounds(leaf) and _onset(leaf) >= turn.onset), None)
        if after is None:
            continue
        words[after] = printed_name(turn.instrument, False, part.language)
        before = max((i for i in range(after) if _sounds(line[i])), default=-1)
        if before + 1 < after and turn.instrument != held:
            words[before + 1] = taking_up(turn.instrument, part.language)
        held = turn.instrument
    return with_leaves(staff, words, _told)


def _told(leaf: Leaf, who: str) -> Leaf:
    return replace(leaf, marks=replace(leaf.marks, who=", ".join(filter(None, (who, leaf.marks.who)))))


def _sounds(leaf: Leaf) -> bool:
    return bool(leaf.heads)


def _onset(leaf: Leaf) -> Fraction:
    assert leaf.event is not None
    return leaf.event.onset
