"""How each note is touched: how loud, how early or late, and how long.

In: a voice, its phrases and what is around it. Out: a touch for each of its events. Timpani and percussion without
pitch are played evenly: their blows follow the common tempo, and are never quite alike. What no player controls, small
differences of onset and level, is drawn from the note itself: its place in its section, its part and its key. So it
stays the same whatever happens elsewhere, and a note that is repeated is another note.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence, Set
from fractions import Fraction
from hashlib import blake2b

from cavata.perform import rules
from cavata.perform.harmony import Harmony
from cavata.perform.phrases import Phrase, PhrasedVoice, slurred
from cavata.perform.punctuation import Punctuated
from cavata.record import record
from cavata.score.clock import Clock, ClockStretch, paces
from cavata.score.score import Movement, Part, ScoreEvent

ARCH = 1.5 * 2
"""The quantity and the amplitude of phrase arches in loudness: 1.5 and 2 in the group's list of rules."""
TURN = 0.3
"""Where an arch over a phrase turns; one over a part of a phrase turns at its third note."""
BOUND = 4.0
"""Decibels by which all rules together change a note at most: little more than from one dynamic to the next."""
STACCATO, STACCATISSIMO = 0.858, 5.0
"""Quantities that make a staccato sound for 40 % of its time, as R. Bresin and G. U. Battel measured (2000), and a
staccatissimo for a quarter."""
EVEN = 0.3
"""The quantity of differences in level for percussion, and it has no other."""
BOUND_BY = 15.0
"""Milliseconds that a slurred note of instruments other than keyboards sounds into the next: nothing parts them."""
_GAP, _LONGEST_GAP = Fraction(1, 10), Fraction(1, 64)
"""A note with no sign or slur ends a tenth of its length early, but no more than a 64th: a choice of ours."""
_PAUSES = {"breath": (Fraction(1, 4), Fraction(1, 8)), "caesura": (Fraction(1, 2), Fraction(1, 4))}
"""What of its length a note gives up for a pause after it: a share, and no more than a value."""
RING = Fraction(1)
"""How long a note rings on that is let ring, in whole notes, if its movement is not over before."""
_LONGEST_CUT = 0.5
"""What is cut from the end of a note by all rules but staccato is half of it at most."""
_FARTHEST = 2.5
"""Standard deviations beyond which nothing is drawn."""
_FEWEST = 3
_FINE = 1_000_000
_CUTS = frozenset(["staccato", "staccatissimo", "portato", "tenuto"])


@record
class Touch:
    """How one event is played."""

    level: float
    """Decibels, without what depends on the key."""
    middle: float | None
    """The middle of its voice, in semitones; None where higher notes are no louder."""
    later: Fraction
    """How much later than written it begins, in whole notes; earlier if negative."""
    early: Fraction
    """How much before its written end it stops sounding; later if negative."""
    seed: str
    spread: float
    """The quantity of differences in level."""

    def velocity(self, struck: int, key: int, stroke: Fraction) -> int:
        """The velocity of a key of it that the score strikes so loud, a stroke of an ornament each for itself."""
        more = self.level + rules.NOISE_LEVEL * self.spread * noise(f"{self.seed} {key} {stroke}")
        if self.middle is not None:
            more += rules.high_loud(key - self.middle)
        return rules.louder(struck, min(max(more, -BOUND), BOUND))


def noise(seed: str) -> float:
    """A number near 0 that the seed alone decides, as if drawn from a normal distribution of deviation 1."""
    drawn = blake2b(seed.encode("utf-8", "replace"), digest_size=24).digest()
    units = sum(int.from_bytes(drawn[place : place + 2], "big") for place in range(0, 24, 2)) / 65536 - 6
    return min(max(units, -_FARTHEST), _FARTHEST)  # twelve numbers, each of variance 1/12


class Toucher:
    """Touches the notes of a movement."""

    def __init__(
        self, movement: Movement, clock: Clock, harmony: Harmony, silences: Punctuated, names: Sequence[str]
    ) -> None:
        self._movement, self._clock, self._harmony, self._silences = movement, clock, harmony, silences
        self._names, self._paces = names, paces(movement)
        self._times = tuple(_times(movement))
        self._firsts = {bar.onset for bar in movement.bars}
        self._bars: dict[Fraction, tuple[Fraction, str]] = {}
        self._tempi: dict[Fraction, Fraction] = {}
        """By moments that were asked for: the bar that is played, the seconds of a whole note."""

    def touches(self, voice: PhrasedVoice, part: Part) -> dict[Fraction, Touch]:
        """A touch for each event of a voice, by its onset."""
        even = part.instrument.unpitched or part.instrument.key == "timpani"
        seeds = [self._seed(voice, event) for event in voice.events]
        later = [Fraction(0) if even else self._later(*note) for note in zip(voice.events, seeds, strict=True)]
        ms = tuple(float(self._clock.between(event.onset, event.end)) * 1000 for event in voice.events)
        levels = [0.0] * len(seeds) if even else self._levels(voice, ms)
        tops = [event.event.heads[-1].pitch.midi for event in voice.events]
        middle = None if even else sum(tops) / len(tops)
        ends = frozenset(phrase.end - 1 for phrase in voice.members)
        hand = _Hand(part.instrument.family == "keyboard", even, ends, tuple(slurred(voice.events)), ms)
        spread = EVEN if even else 1.0
        return {
            event.onset: Touch(
                levels[index], middle, later[index], self._early(voice, index, later, hand), seeds[index], spread
            )
            for index, event in enumerate(voice.events)
        }

    def _seed(self, voice: PhrasedVoice, event: ScoreEvent) -> str:
        """What tells a note from all others, whatever is elsewhere: its bar, the time that is played, its voice."""
        found = self._bars.get(event.onset)
        if found is None:
            found = self._times[max(0, bisect_right(self._times, event.onset, key=_onset) - 1)]
            self._bars[event.onset] = found
        bar, words = found
        part, staff, number = voice.key
        name = self._movement.title or self._movement.name
        return f"{name} {words} {event.onset - bar} {self._names[part]} {staff} {number}"

    def _later(self, event: ScoreEvent, seed: str) -> Fraction:
        return max(self._whole_notes(event.onset, rules.NOISE_MS * noise(seed)), -event.onset)

    def _whole_notes(self, onset: Fraction, ms: float) -> Fraction:
        """Milliseconds as whole notes of the score, at its tempo at a moment."""
        seconds = self._tempi.get(onset)
        if seconds is None:
            pace = self._paces[max(0, bisect_right(self._paces, onset, key=_onset_of_pace) - 1)]
            seconds = self._tempi[onset] = pace.part(onset, pace.end).first
        return Fraction(round(ms * 1000), _FINE) / seconds if seconds else Fraction(0)

    def _levels(self, voice: PhrasedVoice, ms: Sequence[float]) -> list[float]:
        found = [
            (rules.FIRST_OF_BAR if event.onset in self._firsts else 0.0) + rules.contrast_level(lasting)
            + self._charged(event)
            for event, lasting in zip(voice.events, ms, strict=True)
        ]  # fmt: skip
        whole = set(voice.phrases)
        for phrase in (*voice.phrases, *(member for member in voice.members if member not in whole)):
            for index, level in self._arch(voice, phrase, phrase in whole):
                found[index] += level
        return found

    def _charged(self, event: ScoreEvent) -> float:
        chord = self._harmony.at(event.onset)
        if chord is None:
            return 0.0
        charge = rules.melodic_charge(event.event.heads[-1].pitch.midi - chord.root)
        return rules.melodic_level(charge) + self._harmony.level(event.onset)

    def _arch(self, voice: PhrasedVoice, phrase: Phrase, whole: bool) -> Iterator[tuple[int, float]]:
        """The level of each note of a phrase; where a hairpin runs, or a note is attacked, what is written stands."""
        if phrase.end - phrase.first < _FEWEST:
            return
        begin, last = voice.onsets[phrase.first], voice.onsets[phrase.end - 1]
        total = last - begin
        turn = TURN if whole else float((voice.onsets[phrase.first + 2] - begin) / total)
        start, end = (ARCH * level for level in rules.ARCH_LEVEL)
        running = False
        for index in range(phrase.first, phrase.end):
            marks = voice.events[index].event.marks
            running = bool(marks.hairpin and not marks.goal) or (running and not marks.hairpin_ends)
            if not (running or marks.hairpin_ends or marks.attack):
                yield index, rules.arch(float((voice.onsets[index] - begin) / total), turn, start, end)

    def _early(self, voice: PhrasedVoice, index: int, later: Sequence[Fraction], hand: _Hand) -> Fraction:
        """How much before its end a note stops, its own delay and that of the note it is bound to included."""
        event, ms = voice.events[index], hand.ms[index]
        signs = _CUTS.intersection(event.event.marks.articulations)
        following = voice.events[index + 1] if index + 1 < len(voice.events) else None
        if following is not None and following.onset > event.end:
            following = None
        length, own = event.event.duration, -later[index]
        if "let_ring" in event.event.marks.articulations:
            return -RING
        pause = pause_after(length, event.event.marks.articulations)
        cut = _cut_by_sign(signs, ms)
        if cut is not None:
            return max(_share(length, cut, ms), pause) + own
        same = following is not None and _top(following) == _top(event)
        if hand.slurred[index] and following is not None and not (same or signs or pause):
            more = rules.overlap(ms) if hand.keyboard else min(BOUND_BY, ms / 4)
            return -self._whole_notes(event.onset, more) - later[index + 1]
        silence = 0.0
        if following is not None and not hand.even:
            silence = self._silence(voice, index, ms, same, hand) + (
                rules.contrast_silence(ms) if hand.keyboard and not (same or signs) else 0.0
            )
        gap = Fraction(0) if signs else gap_after(length)
        longest = max(min(_LONGEST_CUT * ms, ms - rules.SHORTEST), 0.0)
        return max(gap, pause, _share(length, min(silence, longest), ms)) + own

    def _silence(self, voice: PhrasedVoice, index: int, ms: float, same: bool, hand: _Hand) -> float:
        """The silence before the next note: a breath, the end of a slur, a punctuation, the same key once more."""
        event = voice.events[index]
        found = rules.REPETITION if same else 0.0
        if index in hand.ends:
            return found + rules.BREATH
        if event.event.marks.slur_ends:
            found += rules.LAST_OF_SLUR
        return found + self._silences.get((voice.key, event.onset), 0.0)


@record
class _Hand:
    """What holds for a voice: how it is played, which indices end something, which notes are bound."""

    keyboard: bool
    even: bool
    ends: frozenset[int]
    slurred: tuple[bool, ...]
    ms: tuple[float, ...]
    """How long each event is."""


def pause_after(duration: Fraction, articulations: Sequence[str]) -> Fraction:
    """What a breath or a caesura after it takes from a note."""
    said = [_PAUSES[name] for name in articulations if name in _PAUSES]
    return max((min(duration * share, most) for share, most in said), default=Fraction(0))


def gap_after(duration: Fraction) -> Fraction:
    """How early a note ends that has no sign and no slur."""
    return min(duration * _GAP, _LONGEST_GAP)


def _cut_by_sign(signs: Set[str], ms: float) -> float | None:
    """What a sign alone cuts from a note; None where none does."""
    if "staccatissimo" in signs:
        return rules.staccato(ms, STACCATISSIMO)
    if "staccato" in signs:
        return rules.staccato(ms, STACCATO)
    return rules.detached(ms) if "portato" in signs else None


def _top(event: ScoreEvent) -> int:
    return event.event.heads[-1].pitch.midi


def _share(length: Fraction, cut: float, ms: float) -> Fraction:
    """Milliseconds cut from a note as whole notes."""
    return length * Fraction(round(cut / ms * _FINE), _FINE) if ms else Fraction(0)


def _times(movement: Movement) -> Iterator[tuple[Fraction, str]]:
    """Each bar's onset, and in words which it is: its section, its number there, and the time it is played."""
    played: dict[str, int] = {}
    starts = [section.onset for section in movement.sections]
    names = ["", *(section.title or section.name for section in movement.sections)]
    for bar in movement.bars:
        words = f"{names[bisect_right(starts, bar.onset)]} {bar.bar_in_section} {bar.before}"
        played[words] = played.get(words, 0) + 1
        yield bar.onset, f"{words} {played[words]}"


def _onset(time: tuple[Fraction, str]) -> Fraction:
    return time[0]


def _onset_of_pace(pace: ClockStretch) -> Fraction:
    return pace.onset
