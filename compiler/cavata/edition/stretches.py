"""Stretches of a reduction: bars through which the same lines play, and each keeps its staff, its voice and its stem.

In: the lines that staves are made of, and the movement. Out: for each bar the voices of a staff. A stretch lasts as
long as the same lines sound, until a section begins, and no more than eight bars. In it lines of one rhythm that lie
next to each other are one voice, led by the outermost; the top one has its stems up, the bottom one down, and one or
two stand between. Lines that are the same stand once, and of lines in octaves the outer two. A line that was above
stays above, unless it lies clearly lower. Holds after: a note that is held is held in its voice while others move in
theirs; more than the voices allowed are folded into one by ties, the inner ones first. Source: common practice of
arrangers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.edition.slices import ReducedBar, SourceLine
from cavata.music.pitch import MIDDLE_C
from cavata.record import record
from cavata.score.score import Movement, Part

LONGEST = 8
"""Bars after which a line may go to another staff or voice, if it has wandered there."""
STEADY = Fraction(5)
"""Semitones by which a line must lie lower than one that was below it until they change places."""
MOST_VOICES = 4
"""On one staff."""
_ORDER = {1: (0,), 2: (0, 1), 3: (0, 2, 1), 4: (0, 2, 3, 1)}
"""From the top down the numbers of voices: of two that go up the first is outside, and so of those that go down."""
_OCTAVE = 12
_FOLDED, _MOVED = 12, 2
"""What it costs where a rhythm finds no voice on its staff, and where a line changes its staff, in semitones that a
line lies outside its staff."""
_UPPER_DOWN_TO, _LOWER_UP_TO = 57, 64
"""A3 and E4: the second ledger line below a treble clef and above a bass clef."""
_SLIGHTLY = 0.1

VoicePlan = Sequence[tuple[ReducedBar | None, ...]]
"""For each bar its voices by their numbers; None where one begins nothing."""


@record
class Stretch:
    """Bars through which the same lines sound."""

    first: int
    end: int
    lines: tuple[SourceLine, ...]
    """In score order."""

    @property
    def bars(self) -> range:
        """Its bars."""
        return range(self.first, self.end)

    def rhythm(self, line: SourceLine) -> tuple[object, ...]:
        """What a line does in it, but for its pitches."""
        return line.rhythms[self.first : self.end]

    def pitches(self, line: SourceLine) -> tuple[object, ...]:
        """The pitches of a line."""
        return line.pitches[self.first : self.end]

    def height(self, line: SourceLine) -> Fraction:
        """The mean key of a line; of one that is only held the mean of what it began last."""
        here = [line.heights[bar] for bar in self.bars if line.bars[bar]]
        if here:
            return sum(here, Fraction(0)) / len(here)
        return next((line.heights[bar] for bar in range(self.first, -1, -1) if line.bars[bar]), Fraction(0))

    def in_octaves(self, line: SourceLine, other: SourceLine) -> bool:
        """Whether two lines go in octaves or in unison all through it."""
        if self.rhythm(line) != self.rhythm(other):
            return False
        return all(
            len(mine) == len(theirs)
            and all((a.midi - b.midi) % _OCTAVE == 0 for a, b in zip(mine, theirs, strict=True))
            for bar in self.bars for mine, theirs in zip(line.pitches[bar], other.pitches[bar], strict=True)
        )  # fmt: skip


def stretches(lines: Sequence[SourceLine], movement: Movement) -> Iterator[Stretch]:
    """The stretches of some lines, one after another; bars in which nothing sounds are in none."""
    sounding = _sounding(lines, movement)
    begins = {section.first_bar for section in movement.sections}
    first = 0
    for bar in range(1, len(sounding) + 1):
        over = bar == len(sounding) or sounding[bar] != sounding[first] or bar in begins or bar - first == LONGEST
        if over:
            if sounding[first]:
                yield Stretch(first, bar, tuple(line for line in lines if line.number in sounding[first]))
            first = bar


def _sounding(lines: Sequence[SourceLine], movement: Movement) -> list[set[int]]:
    """For each bar the numbers of the lines that sound in it."""
    starts = [bar.onset for bar in movement.bars]
    found: list[set[int]] = [set() for _ in starts]
    for line in lines:
        for bar, events in enumerate(line.bars):
            for event in events:
                last, end = bar, event.end
                while last + 1 < len(starts) and starts[last + 1] < end:
                    last += 1
                for number in range(bar, last + 1):
                    found[number].add(line.number)
    return found


def without_doublings(stretch: Stretch, lines: Sequence[SourceLine]) -> list[SourceLine]:
    """Equal lines once, and of lines in octaves the highest and the lowest."""
    kept: list[SourceLine] = []
    for line in lines:
        same = [k for k in kept if stretch.rhythm(k) == stretch.rhythm(line)]
        if not any(stretch.pitches(k) == stretch.pitches(line) for k in same):
            kept.append(line)
    return [line for line in kept if not _inside_octaves(stretch, line, kept)]


def _inside_octaves(stretch: Stretch, line: SourceLine, others: Sequence[SourceLine]) -> bool:
    """Whether the line is doubled in octaves both above and below."""
    heights = [stretch.height(other) for other in others if other is not line and stretch.in_octaves(line, other)]
    return bool(heights) and min(heights) < stretch.height(line) < max(heights)


def shared_out(
    stretch: Stretch, lines: Sequence[SourceLine], before: dict[int, bool], most: int
) -> tuple[list[SourceLine], list[SourceLine]]:
    """The lines of an upper staff and a lower one, parted by height, each with as many rhythms as voices if possible.

    `before` tells of lines by their numbers whether they were on the upper staff; one stays where nothing speaks
    against.
    """
    playing = sorted(lines, key=lambda line: (-stretch.height(line), line.number))
    high, low = zip(*(_out_of(stretch, line) for line in playing), strict=True) if playing else ((), ())

    def cost(place: int) -> float:
        folded = sum(
            max(0, len({stretch.rhythm(line) for line in share}) - most) for share in (playing[:place], playing[place:])
        )
        moved = sum(before.get(line.number) is (number >= place) for number, line in enumerate(playing))
        return float(_FOLDED * folded + sum(high[:place]) + sum(low[place:]) + _MOVED * moved)

    best = min(range(len(playing) + 1), key=lambda place: (cost(place), place))
    before.update((line.number, number < best) for number, line in enumerate(playing))
    return playing[:best], playing[best:]


def _out_of(stretch: Stretch, line: SourceLine) -> tuple[float, float]:
    """How far a line lies below an upper staff, and how far above a lower one, in semitones: beyond the second ledger
    line with all its notes, and beyond middle C, which counts little, with their mean.
    """
    keys = [pitch.midi for bar in stretch.bars for chord in line.pitches[bar] for pitch in chord]
    count = max(1, len(keys))
    below = sum(max(0, _UPPER_DOWN_TO - key) for key in keys) / count
    above = sum(max(0, key - _LOWER_UP_TO) for key in keys) / count
    off = float(stretch.height(line)) - MIDDLE_C.midi
    return below + max(0.0, -off) * _SLIGHTLY, above + max(0.0, off) * _SLIGHTLY


class Voices:
    """Gives the lines of one staff their voices, stretch after stretch."""

    def __init__(self, bars: int, most: int = MOST_VOICES) -> None:
        self.plan: list[tuple[ReducedBar | None, ...]] = [()] * bars
        self._most = most
        self._above: set[int] = set()
        self._below: set[int] = set()

    def take(self, stretch: Stretch, lines: Sequence[SourceLine]) -> None:
        """Plan a stretch of which these lines, all that play, are on the staff."""
        if not lines:
            return
        kept = sorted(without_doublings(stretch, lines), key=lambda line: (-self._height(stretch, line), line.number))
        runs = _runs(stretch, kept, self._most)
        numbers = _ORDER[len(runs)]
        self._above = {line.number for line in runs[0]} if len(runs) > 1 else self._above
        self._below = {line.number for line in runs[-1]} if len(runs) > 1 else self._below
        doubling = [line for line in lines if line not in kept]
        for bar in stretch.bars:
            voices: list[ReducedBar | None] = [None] * (max(numbers) + 1)
            for number, run in zip(numbers, runs, strict=True):
                voices[number] = _reduced(stretch, bar, run, doubling, number == 1 and len(runs) > 1)
            self.plan[bar] = tuple(voices)

    def _height(self, stretch: Stretch, line: SourceLine) -> Fraction:
        height = stretch.height(line)
        return height + STEADY * ((line.number in self._above) - (line.number in self._below)) / 2


def _runs(stretch: Stretch, kept: Sequence[SourceLine], most: int) -> list[list[SourceLine]]:
    """Lines of one rhythm next to each other, from the top; the smallest neighbors inside are folded where too many."""
    runs = [list(run) for _, run in groupby(kept, key=stretch.rhythm)]
    while len(runs) > most:
        inner = range(1, len(runs) - 2) if len(runs) > 3 else range(len(runs) - 2, len(runs) - 1)
        place = min(inner, key=lambda number: len(runs[number]) + len(runs[number + 1]))
        runs[place : place + 2] = [runs[place] + runs[place + 1]]
    return runs


def _reduced(
    stretch: Stretch, bar: int, run: Sequence[SourceLine], doubling: Sequence[SourceLine], lowest: bool
) -> ReducedBar | None:
    """What a voice has in a bar: its lines that begin something there, and who else plays them."""
    playing = [line for line in run if line.bars[bar]]
    if not playing:
        return None
    beside = [line for line in doubling if line.bars[bar] and any(stretch.in_octaves(line, own) for own in run)]
    parts = who(sorted([*playing, *beside], key=lambda line: line.number))
    return ReducedBar(tuple(playing), parts, playing[-1] if lowest else playing[0])


def who(lines: Sequence[SourceLine]) -> tuple[Part, ...]:
    """The parts of some lines in their order, each once."""
    return tuple({line.part.name: line.part for line in lines}.values())
