"""Chords spread over parts: least cost among all layouts, every note somewhere, letters kept, ranges kept."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.instruments import table
from cavata.instruments.instrument import Instrument
from cavata.music.event import Event, Head, Letter, Motif, Origin
from cavata.music.pitch import Pitch, PitchClass, parse_pitch
from cavata.record import replace
from cavata.source import Source, Span
from cavata.transforms.voicing import MOTION, OUTSIDE, ChordParts, Ensemble, layouts, neighbors, seats, voiced_across

SPAN = Span(Source("x", "x"), 0, 1)


def instrument(words: str) -> Instrument:
    found = table.find(words)
    assert found is not None
    return found


def players(*words: str) -> ChordParts:
    return ChordParts(tuple(f"{word}{number}" for number, word in enumerate(words)), tuple(map(instrument, words)))


def chord(text: str, letter: str = "T") -> Event:
    origin = Origin(Letter("tamsin", letter, 1, "french"), SPAN)
    return Event(Fraction(1, 2), tuple(Head(parse_pitch(pitch), (origin,)) for pitch in text.split()))


QUARTET = players("violin", "violin", "viola", "cello")
PROGRESSION = Motif(
    (chord("D3 F3 A3"), chord("G3 Bb3 D4 F4"), Event(Fraction(1, 4)), chord("A3 C#4 E4"), chord("D3 F3 A3"))
)


def classes(event: Event) -> set[PitchClass]:
    return {head.pitch.pitch_class for head in event.heads}


def test_every_note_name_is_somewhere_and_no_other() -> None:
    texture = voiced_across(PROGRESSION, QUARTET)
    assert len(texture.lines) == 4
    for place, event in enumerate(PROGRESSION.events):
        sounding = [line.events[place] for line in texture.lines]
        assert set().union(*map(classes, sounding)) == classes(event)
        assert all(part.duration == event.duration for part in sounding)


def test_every_part_stays_in_its_range_and_none_cross() -> None:
    texture = voiced_across(PROGRESSION, QUARTET)
    for line, part in zip(texture.lines, QUARTET.instruments, strict=True):
        assert part.lowest is not None and part.highest is not None
        assert all(part.lowest.midi <= event.heads[0].pitch.midi <= part.highest.midi for event in line.sounding)
    for above, below in zip(texture.lines, texture.lines[1:], strict=False):
        for high, low in zip(above.sounding, below.sounding, strict=True):
            assert high.heads[0].pitch.midi >= low.heads[0].pitch.midi


def test_letters_and_spellings_stay() -> None:
    fall = Motif((chord("C#4 E4", "A"), chord("Db4 F4", "B")))
    texture = voiced_across(fall, QUARTET)
    for line in texture.lines:
        letters = [origin.letter for event in line.events for origin in event.heads[0].origins]
        assert [letter.text for letter in letters if letter] == ["A", "B"]
    assert {str(line.events[0].heads[0].pitch.pitch_class) for line in texture.lines} == {"C#", "E"}
    assert {str(line.events[1].heads[0].pitch.pitch_class) for line in texture.lines} == {"Db", "F"}


def test_parts_named_out_of_order_get_their_own_lines() -> None:
    mixed = players("cello", "violin", "viola")
    lines = voiced_across(Motif((chord("C3 E3 G3"),)), mixed).lines
    keys = [line.events[0].heads[0].pitch.midi for line in lines]
    assert keys[1] > keys[2] > keys[0]
    assert lines[0].events[0].heads[0].pitch.pitch_class == PitchClass(0, 0)


def test_a_note_that_an_instrument_lacks_is_the_last_resort() -> None:
    ensemble = Ensemble.of((instrument("timpani"),))
    (drums,) = seats(ensemble, tuple(Pitch(position, 0).pitch_class for position in range(28, 35)))
    assert drums and all(seat.cost < OUTSIDE for seat in drums)
    drum = replace(instrument("timpani"), lowest=parse_pitch("A2"), highest=parse_pitch("D3"))
    (drums,) = seats(Ensemble.of((drum,)), (parse_pitch("F3").pitch_class,))
    assert [seat.pitch for seat in drums] == [parse_pitch("F3")] and drums[0].cost >= OUTSIDE


# ---------------------------------------------------------------- least cost


def cost_of(lines: tuple[tuple[int, ...], ...], own: tuple[int, ...]) -> int:
    """Motion and the layouts' own costs, counted afresh."""
    moved = sum(abs(a - b) for line in lines for a, b in zip(line, line[1:], strict=False))
    return sum(own) + MOTION * moved


small = st.lists(st.sampled_from(["C3 E3", "D3 F3", "G3", "E3 B3", "F3 A3"]), min_size=1, max_size=3)


@given(small)
@settings(max_examples=rounds(8), deadline=None, derandomize=True)
def test_no_layout_of_two_parts_costs_less(names: list[str]) -> None:
    """Against all layouts of the whole progression, one by one."""
    duo = players("horn", "bassoon")
    motif = Motif(tuple(chord(name) for name in names))
    ensemble = Ensemble.of(duo.instruments)
    every = []
    for event in motif.events:
        tones = tuple(dict.fromkeys(head.pitch.pitch_class for head in event.heads))
        upper, lower = seats(ensemble, tones)
        pairs = [
            (a.cost + b.cost + neighbors(a.key, b.key, True), (a.key, b.key))
            for a, b in product(upper, lower)
            if {a.tone, b.tone} == set(range(len(tones)))
        ]
        assert len(layouts(ensemble, tones)) == len(pairs)
        every.append(pairs)
    least = min(
        cost_of(tuple(zip(*(keys for _, keys in way), strict=True)), tuple(cost for cost, _ in way))
        for way in product(*every)
    )
    texture = voiced_across(motif, duo)
    lines = tuple(tuple(e.heads[0].pitch.midi for e in texture.lines[place].events) for place in ensemble.order)
    costs = [{keys: cost for cost, keys in pairs} for pairs in every]
    own = tuple(known[keys] for known, keys in zip(costs, zip(*lines, strict=True), strict=True))
    assert cost_of(lines, own) == least


def test_layouts_come_cheapest_first_and_each_once() -> None:
    ensemble = Ensemble.of(QUARTET.instruments)
    found = layouts(ensemble, (PitchClass(1, 0), PitchClass(3, 0), PitchClass(5, 0)))
    assert [layout.cost for layout in found] == sorted(layout.cost for layout in found)
    assert len({layout.keys for layout in found}) == len(found)


@pytest.mark.parametrize("name", ["D3 F3 A3", "C3 E3 G3 B3"])
def test_a_chord_that_comes_again_stays_where_it_was(name: str) -> None:
    texture = voiced_across(Motif((chord(name), chord(name))), QUARTET)
    assert len(texture.lines) == 4
    assert all(line.events[0].heads[0].pitch == line.events[1].heads[0].pitch for line in texture.lines)


def test_bed_below_a_line_is_the_cheapest_of_all_that_lie_below_it() -> None:
    """By trying every pair: what `below` leaves out is what reaches the line, and nothing else."""
    ensemble = Ensemble.of(QUARTET.instruments[2:])
    tones = (PitchClass(1, 0), PitchClass(5, 0))
    for ceiling in (62, 60, 58, 55):
        upper, lower = seats(ensemble, tones)
        costs = [
            high.cost + low.cost + neighbors(high.key, low.key, True)
            for high in upper for low in lower
            if {high.tone, low.tone} == {0, 1} and max(high.key, low.key) < ceiling
        ]
        found = layouts(ensemble, tones, ceiling)
        assert [layout.cost for layout in found] == sorted(costs)[: len(found)]
        assert all(max(layout.keys) < ceiling for layout in found)


def test_line_bounds_a_chord_by_what_it_plays_while_the_chord_sounds() -> None:
    """A note that is held from before bounds the chord, and so does one that comes in its middle."""
    line = Motif((chord("A4").lasting(Fraction(3, 4)), Event(Fraction(3, 8)), chord("F4")))
    texture = voiced_across(Motif((chord("C3 E3 G3"),) * 3), QUARTET, line)
    tops = [max(part.events[place].heads[0].pitch.midi for part in texture.lines) for place in range(3)]
    assert tops[0] < 69 and tops[1] < 69 and tops[2] < 65
