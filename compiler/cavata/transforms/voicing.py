"""Chords spread over instruments: who takes which note in which octave, so that all lie well and move little.

In: a line of chords, and the parts that are to play it; perhaps a line that is to lie above them. Out: a texture with a
line for each part, in the order of the parts. Holds after: every note name of a chord is somewhere; all lie under the
line; the whole progression costs least among the layouts that were weighed: of each chord the `MOST_LAYOUTS` that lie
best, or all where it has no more. The search has a fixed order, so that the same script always has the same answer.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from heapq import heappop, heappush
from itertools import pairwise
from operator import sub

from cavata.diagnostics import Refusal
from cavata.instruments.instrument import Instrument
from cavata.music.event import Event, Head, Motif, Origin, Texture
from cavata.music.pitch import HIGHEST_OCTAVE, Pitch, PitchClass
from cavata.record import record
from cavata.text import backticked
from cavata.transforms.pitches import without_symbol
from cavata.transforms.selection import bounded

# ----------------------------------------------------------------
# What a layout of a chord costs: how well each note lies, and how the parts lie to each other.
#
# In: the instruments that share the chord, and its note names. Out: for each part the notes it could take, with their
# costs, and the cost of two neighbors. Weights are this project's own; that parts should keep their order, lie no
# more than an octave apart (a twelfth above the lowest), and spread before they double at the unison is common
# practice.


OUTSIDE = 2000
"""A note that the instrument does not have: taken only where nothing else is left."""
UNCOMFORTABLE = 8
PER_SEMITONE_BEYOND = 4
TOWARD_THE_MIDDLE = 3
"""So many semitones from the middle of the comfortable range cost one."""
CROSSING, PER_SEMITONE_CROSSED = 24, 4
PER_SEMITONE_APART = 3
UNISON = 5
OTHER_BASS = 30
"""The lowest part takes another note than the chord's lowest."""
OCTAVE, TWELFTH = 12, 19


@record
class Ensemble:
    """The instruments from the highest down."""

    instruments: tuple[Instrument, ...]
    order: tuple[int, ...]
    """For each of them its place among the parts as the script names them."""

    @classmethod
    def of(cls, instruments: tuple[Instrument, ...]) -> Ensemble:
        """Ordered by the middle of what each plays comfortably; equals stay as they were named."""
        order = sorted(range(len(instruments)), key=lambda place: -sum(comfortable(instruments[place])))
        return cls(tuple(instruments[place] for place in order), tuple(order))


@record
class Seat:
    """A note that a part could take."""

    cost: int
    tone: int
    """Which of the chord's note names it is, the lowest note's being 0."""
    pitch: Pitch
    key: int


def comfortable(instrument: Instrument) -> tuple[int, int]:
    """The keys of the lowest and highest note that any good player commands."""
    low, high = instrument.comfortable or (instrument.lowest, instrument.highest)
    assert low is not None and high is not None
    return low.midi, high.midi


def seats(
    ensemble: Ensemble, tones: tuple[PitchClass, ...], ceiling: int | None = None
) -> tuple[tuple[Seat, ...], ...]:
    """For each part its notes, from low to high; below the key `ceiling`, where there is one."""
    last = len(ensemble.instruments) - 1
    return tuple(
        tuple(
            seat
            for tone, name in enumerate(tones)
            for seat in _octaves(instrument, name, tone, OTHER_BASS if place == last and tone else 0, ceiling)
        )
        for place, instrument in enumerate(ensemble.instruments)
    )


def _octaves(
    instrument: Instrument, name: PitchClass, tone: int, extra: int, ceiling: int | None
) -> list[Seat]:
    """Every octave of a note name in the instrument's range; the nearest outside where it has none."""
    assert instrument.lowest is not None and instrument.highest is not None
    low, high = instrument.lowest.midi, instrument.highest.midi
    pitches = [pitch for octave in range(HIGHEST_OCTAVE + 1) if _has(instrument, pitch := Pitch.of(name, octave))]
    under = [pitch for pitch in pitches if ceiling is None or pitch.midi < ceiling]
    if any(low <= pitch.midi <= high for pitch in pitches):
        inside = [pitch for pitch in under if low <= pitch.midi <= high]
        return [Seat(extra + _register(instrument, p.midi), tone, p, p.midi) for p in inside]
    if not under:
        return []
    nearest = min(under, key=lambda p: max(low - p.midi, p.midi - high))
    return [Seat(OUTSIDE + extra, tone, nearest, nearest.midi)]


def _has(instrument: Instrument, pitch: Pitch) -> bool:
    """Whether it has a note at all: without valves only those of its tube."""
    if instrument.family != "brass":
        return True
    from cavata.instruments.winds import is_natural

    return is_natural(instrument, pitch)


def _register(instrument: Instrument, key: int) -> int:
    low, high = comfortable(instrument)
    beyond = max(low - key, key - high)
    strain = UNCOMFORTABLE + PER_SEMITONE_BEYOND * beyond if beyond > 0 else 0
    return strain + abs(2 * key - low - high) // (2 * TOWARD_THE_MIDDLE)


def neighbors(upper: int, lower: int, lowest_pair: bool) -> int:
    """The cost of two keys in neighboring parts."""
    apart = upper - lower
    if apart < 0:
        return CROSSING - PER_SEMITONE_CROSSED * apart
    if apart == 0:
        return UNISON
    return PER_SEMITONE_APART * max(0, apart - (TWELFTH if lowest_pair else OCTAVE))


# ----------------------------------------------------------------

MOST_LAYOUTS = 120
"""Layouts of one chord that the search over the progression weighs."""
MOST_PARTS, MOST_TONES, MOST_CHORDS = 12, 8, 200
MOTION = 2
"""The cost of moving one part by a semitone."""
IMPOSSIBLE = 10**9


@record
class ChordParts:
    """The parts that a chord is spread over."""

    names: tuple[str, ...]
    instruments: tuple[Instrument, ...]


@record
class ChordSpacing:
    """One way to spread a chord over the parts, from the highest part down."""

    cost: int
    seats: tuple[Seat, ...]
    keys: tuple[int, ...]
    weight: int
    """The sum of the keys."""


@record
class _Chord:
    """The note names of a chord from its lowest note up, each with every letter it came from."""

    names: tuple[PitchClass, ...]
    origins: tuple[tuple[Origin, ...], ...]


def voiced_below(motif: Motif, players: ChordParts, line: Motif) -> Texture:
    """Each chord spread over the parts under all that the line plays while it sounds; both begin together."""
    return voiced_across(motif, players, line)


def voiced_across(motif: Motif, players: ChordParts, above: Motif | None = None) -> Texture:
    """Each chord spread over the parts by the least cost, under a line if there is one; rests are rests for all."""
    ensemble = _ensemble(players)
    if not motif.sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to spread", "")
    bounded(len(motif.events) * len(players.names))
    chords = [_chord(event, players) for event in motif.sounding]
    if len(chords) > MOST_CHORDS:
        raise Refusal(
            "V410", f"{{subject}} has {len(chords)} chords", f"{MOST_CHORDS} at most are spread at once",
            "repeat in the score line, with `x` or `until end`",
        )
    ceilings: list[int | None] = [None] * len(chords) if above is None else _lowest_while(motif, above)
    found = [layouts(ensemble, c.names, ceiling) for c, ceiling in zip(chords, ceilings, strict=True)]
    if not all(found):
        raise _no_room(found.index(()), chords, ceilings, players)
    chosen = iter(zip(chords, _cheapest(found), strict=True))
    lines: list[list[Event]] = [[] for _ in players.names]
    for event in motif.events:
        if not event.heads:
            for line in lines:
                line.append(event)
            continue
        chord, layout = next(chosen)
        for number, (place, seat) in enumerate(zip(ensemble.order, layout.seats, strict=True)):
            # A chord symbol stands over the highest part.
            shared = event if number == 0 else without_symbol(event)
            lines[place].append(shared.with_heads((Head(seat.pitch, chord.origins[seat.tone]),)))
    return Texture(tuple(Motif(tuple(line)) for line in lines))


def _lowest_while(motif: Motif, line: Motif) -> list[int | None]:
    """For each chord the lowest key that the line plays while it sounds; None where the line is silent."""
    sounding: list[tuple[Fraction, Fraction, int]] = []
    onset = motif.upbeat - line.upbeat  # their first bar lines come together
    for event in line.events:
        if event.heads:
            sounding.append((onset, onset + event.duration, event.heads[0].pitch.midi))
        onset += event.duration
    found: list[int | None] = []
    onset, first = Fraction(0), 0
    for event in motif.events:
        end = onset + event.duration
        while first < len(sounding) and sounding[first][1] <= onset:
            first += 1
        if event.heads:
            keys = []
            for begins, _, key in sounding[first:]:
                if begins >= end:
                    break
                keys.append(key)
            found.append(min(keys, default=None))
        onset = end
    return found


def _no_room(place: int, chords: list[_Chord], ceilings: list[int | None], players: ChordParts) -> Refusal:
    """Why a chord cannot lie under the line: parts have no note of it there, or there are too few for all names."""
    names, ceiling = chords[place].names, ceilings[place]
    stuck = [
        part for part, instrument in zip(players.names, players.instruments, strict=True)
        if not any(seats(Ensemble.of((instrument,)), names, ceiling)[0])
    ]
    told = " ".join(map(str, names))
    parts, have = backticked(stuck), "has" if len(stuck) == 1 else "have"
    return Refusal(
        "V873", f"chord {place + 1} ({told}) finds no room below the line",
        f"{parts} {have} no note of it so low" if stuck else "its notes do not all fit there",
        "leave out the parts that lie too high, or let the line lie higher", (0, 0),
    )  # fmt: skip


def _ensemble(players: ChordParts) -> Ensemble:
    if len(players.names) > MOST_PARTS:
        raise Refusal(
            "V407", f"a chord is spread over {MOST_PARTS} parts at most", f"here are {len(players.names)}",
            "let some parts double others", (0, 0),
        )
    for name, instrument in zip(players.names, players.instruments, strict=True):
        if instrument.unpitched or instrument.lowest is None or instrument.highest is None:
            raise Refusal(
                "V408", f"`{name}` can take no note of a chord", f"{instrument.name}: without pitch",
                "leave the part out", (0, 0),
            )
    return Ensemble.of(players.instruments)


def _chord(event: Event, players: ChordParts) -> _Chord:
    found: dict[int, tuple[PitchClass, list[Origin]]] = {}
    for head in event.heads:
        name, origins = found.setdefault(head.pitch.midi % 12, (head.pitch.pitch_class, []))
        origins += [origin for origin in head.origins if origin not in origins]
    names = tuple(name for name, _ in found.values())
    if len(names) > len(players.names):
        told = " ".join(str(name) for name in names)
        raise Refusal(
            "V409", f"a chord of {len(names)} different notes for {len(players.names)} parts", told,
            "name as many parts as its largest chord has notes", (0, 0),
        )
    if len(names) > MOST_TONES:
        raise Refusal("V409", f"a chord of {len(names)} different notes", f"{MOST_TONES} at most are spread", "")
    return _Chord(names, tuple(tuple(origins) for _, origins in found.values()))


# ---------------------------------------------------------------- the layouts of one chord


@lru_cache(maxsize=256)
def layouts(
    ensemble: Ensemble, names: tuple[PitchClass, ...], ceiling: int | None = None
) -> tuple[ChordSpacing, ...]:
    """The best layouts of a chord below a key, the cheapest first; none if it finds no room there.

    Best-first search, part by part from the highest, by the cost so far and the least that the rest can cost.
    """
    chord = _Layouts(seats(ensemble, names, ceiling), len(names))
    found: list[ChordSpacing] = []
    waiting: list[tuple[int, tuple[int, ...], int, int]] = [(chord.least(0, -1, 0), (), 0, 0)]
    while waiting and len(found) < MOST_LAYOUTS:
        total, path, cost, covered = heappop(waiting)
        if total >= IMPOSSIBLE:
            break
        part = len(path)
        if part == chord.parts:
            taken = tuple(chord.seats[place][index] for place, index in enumerate(path))
            keys = tuple(seat.key for seat in taken)
            found.append(ChordSpacing(cost, taken, keys, sum(keys)))
            continue
        before = path[-1] if path else -1
        for index, seat in enumerate(chord.seats[part]):
            so_far = cost + chord.step(part, before, seat)
            now = covered | 1 << seat.tone
            heappush(waiting, (so_far + chord.least(part + 1, index, now), (*path, index), so_far, now))
    return tuple(found)


class _Layouts:
    """The costs of one chord's layouts, as far as they were asked for."""

    def __init__(self, of_parts: tuple[tuple[Seat, ...], ...], tones: int) -> None:
        self.seats = of_parts
        self.parts = len(of_parts)
        self.tones = tones
        self._least: dict[tuple[int, int, int], int] = {}

    def step(self, part: int, before: int, seat: Seat) -> int:
        """What a part's note costs, beside the note of the part above it."""
        if part == 0:
            return seat.cost
        return seat.cost + neighbors(self.seats[part - 1][before].key, seat.key, part == self.parts - 1)

    def least(self, part: int, before: int, covered: int) -> int:
        """The least that the parts from one on can cost, so that every note name is somewhere in the end."""
        missing = self.tones - covered.bit_count()
        if missing > self.parts - part:
            return IMPOSSIBLE
        if part == self.parts:
            return 0
        known = self._least.get((part, before, covered))
        if known is None:
            known = min(
                (
                    self.step(part, before, seat) + self.least(part + 1, index, covered | 1 << seat.tone)
                    for index, seat in enumerate(self.seats[part])
                ),
                default=IMPOSSIBLE,
            )
            self._least[part, before, covered] = known
        return known


# ---------------------------------------------------------------- the progression


def _cheapest(progression: list[tuple[ChordSpacing, ...]]) -> list[ChordSpacing]:
    """One layout for each chord, so that they and the motion between them cost least together."""
    totals = [layout.cost for layout in progression[0]]
    ways: list[list[int]] = []
    for before, after in pairwise(progression):
        ranked = _worthwhile(before, totals)
        came = [_nearest(before, totals, ranked, layout) for layout in after]
        ways.append([index for _, index in came])
        totals = [layout.cost + cost for layout, (cost, _) in zip(after, came, strict=True)]
    index = min(range(len(totals)), key=lambda place: (totals[place], place))
    chosen = [progression[-1][index]]
    for number in range(len(ways) - 1, -1, -1):
        index = ways[number][index]
        chosen.append(progression[number][index])
    return chosen[::-1]


def _worthwhile(before: tuple[ChordSpacing, ...], totals: list[int]) -> list[int]:
    """The layouts from which to go on, the cheapest first.

    One that is dearer than another with the way from it can be left out: whatever follows is reached as
    cheaply from there.
    """
    kept: list[int] = []
    for index in sorted(range(len(before)), key=lambda place: (totals[place], place)):
        keys, total = before[index].keys, totals[index]
        if all(totals[other] + MOTION * sum(map(abs, map(sub, before[other].keys, keys))) > total for other in kept):
            kept.append(index)
    return kept


def _nearest(
    before: tuple[ChordSpacing, ...], totals: list[int], ranked: list[int], layout: ChordSpacing
) -> tuple[int, int]:
    """From which layout of the chord before it costs least to come, and what."""
    best, came = IMPOSSIBLE * 2, ranked[0]
    keys, weight = layout.keys, layout.weight
    for index in ranked:
        total = totals[index]
        if total >= best:
            # All that follow cost as much before any part has moved.
            break
        if total + MOTION * abs(before[index].weight - weight) >= best:
            # The parts together move at least as far as their sum does.
            continue
        cost = total + MOTION * sum(map(abs, map(sub, before[index].keys, keys)))
        if cost < best:
            best, came = cost, index
    return best, came
