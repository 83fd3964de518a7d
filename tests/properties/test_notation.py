"""The conservation law of the notation pass: whatever goes in comes out on the page, exactly, and well formed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find
from cavata.music.event import ARTICULATIONS, ATTACKS, LASTING, Event, Head, Letter, Marks, Origin
from cavata.music.mode import DEGREES, Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.notate.notate import notate
from cavata.notate.staff import told_once
from cavata.notate.written import Beam, Leaf, Tuplet, WrittenItem, WrittenScore, WrittenStaff, leaves
from cavata.score.score import Header, Meter, Movement, Part, Score, ScoreBar, ScoreEvent, Staff
from cavata.source import Source, Span

SOURCE = Source("watch.cavata", "x" * 4000)
PLAYERS = ("flute", "clarinet", "alto saxophone", "horn", "trumpet", "piccolo", "double bass", "bassoon", "cello",
           "viola", "tenor", "guitar", "bass clarinet", "side drum", "piano")  # fmt: skip
METERS = (
    Meter(4, 4, (1, 1, 1, 1)), Meter(3, 4, (1, 1, 1)), Meter(2, 4, (1, 1)), Meter(6, 8, (3, 3)), Meter(9, 8, (3, 3, 3)),
    Meter(12, 8, (3, 3, 3, 3)), Meter(5, 4, (3, 2), True), Meter(5, 4, (1, 1, 1, 1, 1)), Meter(7, 8, (2, 2, 3), True),
    Meter(7, 8, (3, 2, 2), True), Meter(2, 2, (1, 1)), Meter(3, 8, (3,)), Meter(5, 8, (1, 1, 1, 1, 1)),
    Meter(8, 8, (3, 3, 2), True), Meter(6, 4, (3, 3)), Meter(5, 16, (2, 3), True), Meter(3, 2, (1, 1, 1)),
)  # fmt: skip
PLAIN = [F(count, 32) for count in (1, 2, 4, 6, 8, 12, 14, 16, 20, 24, 32, 64, 72)]
FIGURES = [
    [F(1, 12)] * 3, [F(1, 6), F(1, 12)], [F(1, 6)] * 3, [F(1, 20)] * 5, [F(1, 10)] * 5, [F(1, 28)] * 7, [F(1, 44)] * 11,
    [F(3, 16)] * 2, [F(3, 32)] * 4, [F(3, 40)] * 5, [F(3, 20)] * 5, [F(1, 60)] * 3, [F(1, 24)] * 3, [F(1, 3)] * 3,
    [F(1, 60)] * 3 + [F(1, 20)] * 4, [F(1, 60)] * 5 + [F(1, 12)] * 2, [F(1, 36)] * 3 + [F(1, 12)] * 2, [F(1, 84)] * 3,
    [F(1, 10)] * 2 + [F(1, 30)] * 3 + [F(1, 10)] * 2, [F(2, 5), F(1, 10)], [F(1, 36)] * 3, [F(1, 7)] * 2,
    [F(3, 28), F(1, 14)], [F(5, 12)], [F(1, 11)],
]  # fmt: skip

figures = st.one_of(st.sampled_from(PLAIN).map(lambda one: [one]), st.sampled_from(FIGURES))
durations = st.lists(figures, max_size=14).map(lambda groups: [length for group in groups for length in group])


@st.composite
def marks(draw: st.DrawFn) -> Marks:
    if draw(st.booleans()):
        return Marks()
    return Marks(
        draw(st.sampled_from(("", *LASTING))),
        tuple(draw(st.lists(st.sampled_from(ARTICULATIONS), max_size=2, unique=True))),
        tuple(draw(st.lists(st.sampled_from(("calm", "sotto")), max_size=1))),
        draw(st.sampled_from(("", "crescendo", "diminuendo"))),
        draw(st.booleans()), draw(st.booleans()), draw(st.booleans()),
        attack=draw(st.sampled_from(("", "", *ATTACKS))),
    )  # fmt: skip


@st.composite
def voices(draw: st.DrawFn, low: int, high: int, number: int) -> tuple[ScoreEvent, ...]:
    """Events and gaps, each event with an origin of its own."""
    found = []
    onset = draw(st.sampled_from((F(0), F(0), F(1, 8), F(1, 12))))
    for index, length in enumerate(draw(durations)):
        if draw(st.integers(0, 4)):
            places = draw(st.lists(st.integers(low, high), min_size=1, max_size=3, unique=True))
            heads: list[Head] = []
            for place in sorted(places):
                span = Span(SOURCE, 1000 * number + 4 * index + len(heads), 4000)
                origin = Origin(Letter("tamsin", "T", 1, "french"), span)
                heads.append(Head(Pitch(place, draw(st.integers(-2, 2))), (origin,)))
            found.append(ScoreEvent(onset, Event(length, tuple(heads), draw(marks())), Span(SOURCE, index, index)))
        onset += length
    return tuple(found)


@st.composite
def keys(draw: st.DrawFn) -> Mode | None:
    if draw(st.booleans()):
        return None
    return Mode(PitchClass(draw(st.integers(0, 6)), draw(st.integers(-1, 1))), draw(st.sampled_from(sorted(DEGREES))))


@st.composite
def bars(draw: st.DrawFn, total: F, free: bool) -> tuple[ScoreBar, ...]:
    found: list[ScoreBar] = []
    onset = F(0)
    key = draw(keys())
    if draw(st.booleans()) and not free:
        found.append(ScoreBar(0, onset, F(1, 4), draw(st.sampled_from(METERS)), key, 0, 0))
        onset = F(1, 4)
    while onset < total or not found:
        if free and not found:
            length = draw(st.sampled_from((total, total / 2))) or F(1)
            found.append(ScoreBar(1, onset, length, None, key, 0, 1))
        else:
            meter = draw(st.sampled_from(METERS))
            key = draw(keys()) if draw(st.integers(0, 5)) == 0 else key
            found.append(ScoreBar(len(found) + 1, onset, meter.duration, meter, key, 0, len(found) + 1))
        onset += found[-1].duration
    return tuple(found)


@st.composite
def scores(draw: st.DrawFn, free: bool = False) -> Score:
    player = find(draw(st.sampled_from(PLAYERS)))
    assert isinstance(player, Instrument)
    low, high = (player.lowest, player.highest) if player.lowest and player.highest else (Pitch(28, 0), Pitch(42, 0))
    count = draw(st.integers(1, 2))
    staves = tuple(
        Staff(name, tuple(draw(voices(low.position, high.position, 2 * place + number)) for number in range(count)))
        for place, name in enumerate(player.staves)
    )
    total = max((voice[-1].end for staff in staves for voice in staff.voices if voice), default=F(1))
    found = draw(bars(total, free))
    end = found[-1].onset + found[-1].duration
    span = Span(SOURCE, 0, 1)
    part = Part("part", player, "Part", "P.", False, span)
    movement = Movement("first", "", False, False, end, found, (), (), (staves,), span)
    return Score(Header("Three Watches", concert_score=draw(st.booleans())), (part,), (), (movement,))


def true_length(leaf: Leaf, scale: F) -> F:
    return leaf.written * scale


def written_length(item: WrittenItem) -> F:
    """As it counts under the bracket around it: a tuplet in a tuplet as what it stands in the time of."""
    return item.written if isinstance(item, Leaf) else item.normal * item.unit


def timed(items: tuple[WrittenItem, ...], start: F, scale: F = F(1), whole_bar: F = F(0)) -> list[tuple[F, F, Leaf]]:
    """Each leaf with its true onset and length; a tuplet's items must sum to what it counts."""
    found = []
    for item in items:
        if isinstance(item, Tuplet):
            written = sum((written_length(inside) for inside in item.items), F(0))
            assert written == item.actual * item.unit
            assert item.unit.numerator == 1 and item.unit.denominator & (item.unit.denominator - 1) == 0
            inner = timed(item.items, start, scale * F(item.normal, item.actual), whole_bar)
            assert any(leaf.heads for _, _, leaf in inner)
            found.extend(inner)
        else:
            found.append((start, whole_bar if item.whole_bar else true_length(item, scale), item))
        start = found[-1][0] + found[-1][1]
    return found


def staff_leaves(result: WrittenScore, staff: WrittenStaff, voice: int) -> list[tuple[F, F, Leaf]]:
    """A voice's leaves with onsets from the movement's beginning; each bar sums to its frame."""
    found = []
    onset = F(0)
    for bar, frame in zip(staff.bars, result.movements[0].frames, strict=True):
        items = bar.voices[voice]
        if items:
            inside = timed(items, onset, whole_bar=frame.duration)
            assert sum((length for _, length, _ in inside), F(0)) == frame.duration
            found.extend(inside)
        onset += frame.duration
    return found


def check_chain(event: ScoreEvent, chain: list[Leaf], interval: Interval, unpitched: bool) -> None:
    """One event's leaves: tied throughout, the same pitches, every origin, every mark in its place."""
    for place, leaf in enumerate(chain):
        assert all(head.tie_ends == (place > 0) for head in leaf.heads)
        assert all(head.tie_begins == (place + 1 < len(chain)) for head in leaf.heads)
        assert [head.pitch for head in leaf.heads] == [head.pitch for head in chain[0].heads]
        assert all(abs(head.pitch.alter) <= 2 for head in leaf.heads)
        origins = [origin for head in leaf.heads for origin in head.origins]
        given_origins = [origin for head in event.event.heads for origin in head.origins]
        assert sorted(o.span.start for o in origins) == sorted(o.span.start for o in given_origins)
        assert bool(leaf.letters) == (place == 0)
    if not unpitched:
        sounding = sorted(head.pitch.midi - interval.semitones for head in chain[0].heads)
        assert sounding == sorted(head.pitch.midi for head in event.event.heads)
    given = event.event.marks
    assert [leaf.marks.dynamic for leaf in chain] == [given.dynamic] + [""] * (len(chain) - 1)
    assert [leaf.marks.attack for leaf in chain] == [given.attack] + [""] * (len(chain) - 1)
    assert [leaf.marks.words for leaf in chain] == [given.words] + [()] * (len(chain) - 1)
    assert [leaf.marks.hairpin for leaf in chain] == [given.hairpin] + [""] * (len(chain) - 1)
    hairpins_end = [leaf.marks.hairpin_ends for leaf in chain]
    if given.hairpin and given.hairpin_ends:  # of two that meet, the first ends where the second begins
        assert hairpins_end.count(True) == 1 and True in (hairpins_end[0], hairpins_end[-1])
    elif given.dynamic or given.attack:  # it leads to what stands at the note's beginning
        assert hairpins_end == [given.hairpin_ends] + [False] * (len(chain) - 1)
    else:
        assert hairpins_end == [False] * (len(chain) - 1) + [given.hairpin_ends]
    assert sorted(name for leaf in chain for name in leaf.marks.articulations) == sorted(given.articulations)
    begins = [place for place, leaf in enumerate(chain) if leaf.marks.slur_begins]
    ends = [place for place, leaf in enumerate(chain) if leaf.marks.slur_ends]
    if not (given.slur_begins and given.slur_ends):
        assert begins == [0] * given.slur_begins and ends == [len(chain) - 1] * given.slur_ends
    elif begins and ends:  # of two slurs that meet, the first ends before the second begins
        assert (begins, ends) == ([len(chain) - 1], [0])


def check_beams(result: WrittenScore) -> None:
    """On each level a beam begins, goes on and ends within the bar; rests and longer notes have none."""
    for staff in result.movements[0].parts[0].staves:
        for bar in staff.bars:
            for voice in bar.voices:
                open_levels: list[int] = []
                for leaf in leaves(voice):
                    flags = max(0, leaf.base.denominator.bit_length() - 3) if leaf.heads else 0
                    assert len(leaf.beams) in (0, flags)
                    assert not open_levels or leaf.beams
                    for level, beam in enumerate(leaf.beams):
                        if beam is Beam.BEGIN:
                            assert level not in open_levels
                            open_levels.append(level)
                        elif beam in (Beam.CONTINUE, Beam.END):
                            assert level in open_levels
                            if beam is Beam.END:
                                open_levels.remove(level)
                        else:
                            assert level > 0 and level not in open_levels
                assert not open_levels


def check(score: Score) -> WrittenScore:
    result = notate(score)
    player = score.parts[0].instrument
    octave = player.transposition.steps % 7 == 0
    interval = Interval(0, 0) if score.header.concert_score and not octave else -player.transposition
    movement = score.movements[0]
    # What both hands are told stands once on the page: the lower staff's events are compared without it.
    for staff, written in zip(told_once(movement.staves[0]), result.movements[0].parts[0].staves, strict=True):
        for number, voice in enumerate(staff.voices):
            spelled = staff_leaves(result, written, number)
            chains: dict[F, list[tuple[F, F, Leaf]]] = {}
            for onset, length, leaf in spelled:
                if leaf.event is not None:
                    chains.setdefault(leaf.event.onset, []).append((onset, length, leaf))
                else:
                    assert not leaf.heads and not leaf.marks
            assert sorted(chains) == [event.onset for event in voice]
            for event in voice:
                chain = chains[event.onset]
                assert sum((length for _, length, _ in chain), F(0)) == event.event.duration
                assert all(a + length == b for (a, length, _), (b, _, _) in pairwise(chain))
                assert chain[0][0] == event.onset
                assert all(leaf.event == event for _, _, leaf in chain)
                check_chain(event, [leaf for _, _, leaf in chain], interval, player.unpitched)
    check_beams(result)
    return result


@pytest.mark.slow
@settings(max_examples=rounds(14), deadline=None, suppress_health_check=list(HealthCheck))
@given(scores())
def test_written_bars_keep_every_event_exactly(score: Score) -> None:
    check(score)


@pytest.mark.slow
@settings(max_examples=rounds(8), deadline=None, suppress_health_check=list(HealthCheck))
@given(scores(free=True))
def test_free_time_keeps_every_event_exactly(score: Score) -> None:
    free = score.movements[0].bars[0]
    if free.duration.denominator & (free.duration.denominator - 1):
        # Made up with silence, so that onsets after it lie later: only the free bar is checked.
        only = replace(score.movements[0], bars=(free,), duration=free.duration)
        if any(e.end > free.duration for part in only.staves for s in part for v in s.voices for e in v):
            return
        score = replace(score, movements=(only,))
    assert notate(replace(score)) == check(score)
