"""What canons, hockets and spread chords keep of the lines they are made of."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction as F

from hypothesis import given, reject, settings
from hypothesis import strategies as st
from rounds import rounds
from test_transform_laws import durations, intervals, melodies, motifs

from cavata.diagnostics import Refusal
from cavata.music.event import Event, Motif
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, PitchClass
from cavata.transforms import order, pitches, time
from cavata.transforms.chords import harmonized_in
from cavata.transforms.combinations import (
    VoiceAnswer,
    canon,
    dealt_out,
    entering,
    hocket,
    ostinato,
    pedal_point,
    together,
    weave,
)

few = settings(max_examples=rounds(9), deadline=None, derandomize=True)
voices = st.integers(2, 4)


def without_rest(line: Motif) -> tuple[F, Motif]:
    """A line's first rest, and the line after it."""
    first = line.events[0]
    return (F(0), line) if first.heads else (first.duration, Motif(line.events[1:]))


@few
@given(melodies, intervals, durations, voices)
def test_each_voice_of_a_canon_is_the_one_before_moved(line: Motif, gap: Interval, after: F, count: int) -> None:
    try:
        with pitches.respellings() as noted:
            texture = canon(line, VoiceAnswer(-gap), after, count)
    except Refusal:  # too low
        return
    if noted:
        return
    for number, voice in enumerate(texture.lines):
        entry, notes = without_rest(voice)
        assert entry == after * number
        assert notes == pitches.up(line, -gap * number)


@few
@given(melodies, durations)
def test_a_crab_canon_answered_again_is_the_leader(line: Motif, after: F) -> None:
    texture = canon(line, VoiceAnswer(retrograde=True), after, 3)
    assert without_rest(texture.lines[1])[1] == order.retrograde(line)
    assert without_rest(texture.lines[2])[1] == line


@few
@given(melodies, durations)
def test_a_canon_by_inversion_answered_again_is_the_leader(line: Motif, after: F) -> None:
    single = line.events[0].with_heads(line.events[0].heads[:1])
    line = Motif((single, *line.events[1:]))  # of a chord another note is the lowest once it is turned over
    try:
        with pitches.respellings() as noted:
            texture = canon(line, VoiceAnswer(inverted=True), after, 3)
    except Refusal as refusal:  # an answer lies beyond the last octave
        assert refusal.code == "V211"
        reject()
    again = without_rest(texture.lines[2])[1]
    assert noted or again == line
    keys = [[{head.pitch.midi for head in event.heads} for event in voice.events] for voice in (again, line)]
    assert keys[0] == keys[1]


@few
@given(melodies, durations, st.sampled_from([F(2), F(3, 2), F(1, 2)]))
def test_a_canon_by_augmentation_stretches_each_voice_again(line: Motif, after: F, ratio: F) -> None:
    texture = canon(line, VoiceAnswer(slower=ratio), after, 3)
    assert [without_rest(voice)[1].duration for voice in texture.lines] == [line.duration * ratio**n for n in range(3)]


@few
@given(st.lists(motifs, min_size=2, max_size=4))
def test_a_hocket_is_its_weave_shared_out(lines: list[Motif]) -> None:
    """At every moment just the voice sounds whose turn it is, and nothing is lost."""
    woven, texture = weave(tuple(lines), False), hocket(tuple(lines))
    assert {line.duration for line in texture.lines} == {woven.duration}
    assert sounding(texture.lines) == sounding((woven,))
    assert [Counter(line.sounding) for line in texture.lines] == [Counter(line.sounding) for line in lines]


def sounding(lines: tuple[Motif, ...]) -> list[tuple[F, Event]]:
    found = []
    for line in lines:
        onset = F(0)
        for event in line.events:
            found += [(onset, event)] if event.heads else []
            onset += event.duration
    return sorted(found, key=lambda pair: pair[0])


@few
@given(motifs, voices)
def test_a_line_dealt_out_sounds_as_before(line: Motif, count: int) -> None:
    texture = dealt_out(line, count)
    assert len(texture.lines) == count
    assert sounding(texture.lines) == sounding((line,))


@few
@given(melodies, melodies)
def test_pedal_and_ostinato_last_as_long_as_the_line(line: Motif, figure: Motif) -> None:
    over = together((line,))
    for texture in (pedal_point(over, Motif(figure.events[:1])), ostinato(over, figure)):
        assert texture.lines[0] == line
        assert texture.lines[1].duration == line.duration


@few
@given(melodies, st.sampled_from(["thirds", "sixths", "triads"]), st.sampled_from(["above", "below"]))
def test_harmonizing_keeps_the_line_and_its_letters(line: Motif, how: str, side: str) -> None:
    single = Motif(tuple(event.with_heads(event.heads[:1]) for event in line.events))
    try:
        full = harmonized_in(single, Mode(PitchClass(1, 0), "minor"), how, side)
    except Refusal:
        return
    for event, chord in zip(single.events, full.events, strict=True):
        (head,) = event.heads
        assert head in chord.heads
        assert {heads.origins for heads in chord.heads} == {head.origins}
        assert replace(chord, heads=event.heads) == event


@few
@given(melodies, durations, voices)
def test_entering_lines_keep_their_events(line: Motif, after: F, count: int) -> None:
    texture = entering((line,) * count, after)
    assert all(without_rest(voice)[1] == line for voice in texture.lines)
    assert time.diminution(texture.lines[0], F(1)) == line
