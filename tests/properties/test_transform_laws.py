"""What transforms promise about each other, and what does not matter to a script."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import HealthCheck, Phase, given, reject, settings
from hypothesis import strategies as st
from random_scripts import Line, compiled, declarations, lines, script
from rounds import rounds

from cavata.ciphers.cipher import lay_out_octaves
from cavata.diagnostics import Refusal
from cavata.evaluate.text import motif_text, plan_text
from cavata.music.event import Beat, Event, Head, Letter, Marks, Motif, Origin, Rhythm
from cavata.music.pitch import Interval, Pitch, PitchClass, parse_interval
from cavata.score.score import score_text
from cavata.source import Source, Span
from cavata.transforms import chords, order, pitches, time
from cavata.transforms.combinations import weave
from cavata.transforms.respelling import respelled_simply
from cavata.transforms.selection import Selection, TheLast

SPAN = Span(Source("watch.cavata", "tamsin"), 0, 6)
quietly = settings(max_examples=rounds(30), deadline=None, suppress_health_check=[HealthCheck.too_slow])

notes_of_the_middle = st.builds(Pitch, st.integers(21, 42), st.integers(-1, 1))
durations = st.sampled_from([F(1, 4), F(3, 8), F(1, 12), F(1, 1), F(1, 16), F(1, 20)])
origins = st.builds(lambda n: Origin(Letter("tamsin", "TAMSIN"[n - 1], n, "french"), SPAN), st.integers(1, 6))
INTERVALS = ("m2", "M2", "m3", "M3", "P4", "aug4", "dim5", "P5", "m6", "M6", "m7", "M7", "P8", "M9", "P1")
intervals = st.sampled_from(INTERVALS).map(parse_interval)


@st.composite
def events(draw: st.DrawFn, rests: bool = True) -> Event:
    count = draw(st.sampled_from([1, 1, 1, 2, 3] + [0] * rests))
    heads = [Head(draw(notes_of_the_middle), (draw(origins),)) for _ in range(count)]
    accented = draw(st.booleans())
    marks = Marks(slur_begins=accented, articulations=("accent",) * accented)
    return Event(draw(durations), pitches.joined_heads(heads), marks)


motifs = st.lists(events(), min_size=1, max_size=9).map(lambda found: Motif(tuple(found)))
melodies = st.lists(events(rests=False), min_size=1, max_size=9).map(lambda found: Motif(tuple(found)))


def sounding(line: Motif) -> list[set[int]]:
    """The keys of each event."""
    return [{head.pitch.midi for head in event.heads} for event in line.events]


all_pitches = st.builds(Pitch, st.integers(21, 42), st.integers(-2, 2))
all_lines = st.lists(all_pitches, min_size=1, max_size=6).map(
    lambda found: Motif(tuple(Event(F(1, 4), (Head(pitch, ()),)) for pitch in found))
)
ALL_INTERVALS = [f"{quality}{size}" for size in (2, 3, 6, 7) for quality in ("m", "M", "aug", "dim")]
ALL_INTERVALS += [f"{quality}{size}" for size in (4, 5, 8) for quality in ("P", "aug", "dim")] + ["P1", "aug1"]
all_intervals = st.sampled_from(ALL_INTERVALS).map(parse_interval)


@quietly
@given(all_lines, all_intervals, all_pitches, st.booleans())
def test_no_line_is_refused_for_want_of_a_sign(line: Motif, interval: Interval, axis: Pitch, over: bool) -> None:
    """What sounds is exact; a name is exact unless it would pass a double accidental, and else simple. By counting."""
    try:
        with pitches.respellings() as noted:
            found = pitches.inverted(line, axis) if over else pitches.up(line, interval)
    except Refusal as refusal:  # what sounds lies beyond the last octave
        assert refusal.code == "V211"
        reject()
    wanted = []
    for event in line.events:
        was = event.heads[0].pitch
        position = 2 * axis.position - was.position if over else was.position + interval.steps
        midi = 2 * axis.midi - was.midi if over else was.midi + interval.semitones
        wanted.append(Pitch(position, midi - Pitch(position, 0).midi))
    became = [event.heads[0].pitch for event in found.events]
    assert [p.midi for p in became] == [p.midi for p in wanted]
    assert all(abs(p.alter) <= 2 for p in became)
    assert bool(noted) == any(abs(p.alter) > 2 for p in wanted)
    assert {(n.wanted, n.became) for n in noted} == {(w, b) for w, b in zip(wanted, became, strict=True) if w != b}
    assert sum(abs(p.alter) for p in became) <= sum(min(abs(p.alter), 2) for p in wanted)


@quietly
@given(motifs)
def test_respelled_simply_sounds_the_same_and_is_settled(line: Motif) -> None:
    once = respelled_simply(line)
    assert sounding(once) == sounding(line)
    assert [event.duration for event in once.events] == [event.duration for event in line.events]
    assert all(abs(head.pitch.alter) <= 2 for event in once.events for head in event.heads)
    for before, after in zip(line.events, once.events, strict=True):
        renamed = {head.pitch for head in after.heads} - {head.pitch for head in before.heads}
        told = {h.pitch for h in after.heads if any("respelled" in origin.inflection for origin in h.origins)}
        assert renamed <= told


@quietly
@given(melodies, st.sampled_from(["raised", "lowered"]))
def test_raised_and_lowered_are_a_semitone(line: Motif, how: str) -> None:
    change = 1 if how == "raised" else -1
    step = pitches.raised if how == "raised" else pitches.lowered
    found = step(line, Selection((TheLast(),)))
    assert sounding(found)[:-1] == sounding(line)[:-1]
    assert sounding(found)[-1] == {key + change for key in sounding(line)[-1]}


@quietly
@given(motifs)
def test_retrograde_twice_is_the_line(line: Motif) -> None:
    assert order.retrograde(order.retrograde(line)) == line
    assert order.retrograde(line).duration == line.duration


@quietly
@given(motifs, notes_of_the_middle)
def test_inverted_twice_about_one_pitch_is_the_line(line: Motif, axis: Pitch) -> None:
    try:
        with pitches.respellings() as noted:
            once = pitches.inverted(line, axis)
            twice = pitches.inverted(once, axis)
    except Refusal as refusal:  # simplest names may lie a place lower or higher, and so beyond the last octave
        assert refusal.code == "V211"
        reject()
    assert sounding(twice) == sounding(line)
    assert noted or twice == line


@quietly
@given(motifs, intervals)
def test_up_then_down_is_the_line(line: Motif, interval: Interval) -> None:
    with pitches.respellings() as noted:
        once = pitches.up(line, interval)
        back = pitches.down(once, interval)
    assert sounding(back) == sounding(line)
    assert noted or back == line


@quietly
@given(motifs, st.fractions(F(1, 8), F(8, 1), max_denominator=8))
def test_diminution_then_augmentation_is_the_line(line: Motif, ratio: F) -> None:
    assert time.augmentation(time.diminution(line, ratio), ratio) == line
    assert time.diminution(line, ratio).duration * ratio == line.duration


@quietly
@given(motifs, st.integers(-30, 30))
def test_rotation_comes_full_circle(line: Motif, places: int) -> None:
    assert order.rotated(line, len(line.events)) == line
    assert order.rotated(order.rotated(line, places), -places) == line


@quietly
@given(melodies, melodies)
def test_every_second_event_of_a_weave_is_one_line(one: Motif, other: Motif) -> None:
    shared = min(len(one.events), len(other.events))
    woven = weave((one, other), cycle=False)
    assert woven.events[: 2 * shared : 2] == one.events[:shared]
    assert woven.events[1 : 2 * shared : 2] == other.events[:shared]
    rest = (one if len(one.events) > shared else other).events[shared:]
    assert woven.events[2 * shared :] == rest
    cycled = weave((one, other), cycle=True)
    longest = max(len(one.events), len(other.events))
    assert cycled.events[::2] == tuple(one.events[i % len(one.events)] for i in range(longest))


@quietly
@given(melodies, intervals)
def test_intervals_keep_their_spelling(line: Motif, interval: Interval) -> None:
    """An augmented fourth never turns into a diminished fifth."""

    def melodic(motif: Motif) -> list[tuple[int, int]]:
        lowest = [event.heads[0].pitch for event in motif.events]
        steps = [b - a for a, b in zip(lowest, lowest[1:], strict=False)]
        return [(step.steps, step.semitones) for step in steps]

    with pitches.respellings() as noted:
        higher = pitches.up(line, interval)
    if noted:
        return
    assert [len(e.heads) for e in higher.events] == [len(e.heads) for e in line.events]
    assert melodic(higher) == melodic(line)


@quietly
@given(motifs, st.lists(st.tuples(durations, st.booleans()), min_size=1, max_size=5))
def test_a_rhythm_gives_every_event_its_value(line: Motif, beats: list[tuple[F, bool]]) -> None:
    rhythm = Rhythm(tuple(Beat(duration, is_rest) for duration, is_rest in beats))
    values = [beat.duration for beat in rhythm.beats if not beat.is_rest]
    if not values:
        return
    found = time.in_rhythm(line, rhythm, False)
    rests = len(found.events) - len(line.events)
    given_values = [values[i % len(values)] for i in range(len(line.events))]
    assert [e.heads for e in found.events if e.heads] == [e.heads for e in line.events if e.heads]
    assert rests >= 0
    if not any(is_rest for _, is_rest in beats):
        assert [e.duration for e in found.events] == given_values
    else:
        assert sum(given_values) <= found.duration


@quietly
@given(motifs)
def test_a_chord_broken_again_has_every_pitch_once(line: Motif) -> None:
    if not line.sounding:
        return
    chord = chords.as_chord(line)
    spelled = {head.pitch for event in line.events for head in event.heads}
    assert [head.pitch for event in chords.broken(chord, "up").events for head in event.heads] == sorted(
        spelled, key=lambda p: (p.midi, p.position)
    )
    assert time.lengthened(chord, Selection((TheLast(),)), F(2)).duration == 2


@quietly
@given(st.lists(st.builds(PitchClass, st.integers(0, 6), st.integers(-1, 1)), min_size=1, max_size=8))
def test_a_name_moves_by_a_fourth_at_most(tones: list[PitchClass]) -> None:
    laid = [pitch for pitch in lay_out_octaves(tuple(tones)) if pitch is not None]
    assert laid[0].octave == 4
    assert [pitch.pitch_class for pitch in laid] == tones
    assert all(abs(b.position - a.position) <= 3 for a, b in zip(laid, laid[1:], strict=False))


@quietly
@given(motifs, st.integers(14, 35), st.integers(12, 30))
def test_within_brings_every_note_into_the_range(line: Motif, low: int, size: int) -> None:
    bottom = Pitch(low, 0)
    top = Pitch(low + size, 0)
    for event in pitches.within(line, bottom, top).events:
        for head in event.heads:
            assert bottom.midi <= head.pitch.midi <= top.midi


# ------------------------------------------------------------ what does not matter

whole = settings(
    max_examples=rounds(5), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
REST = (
    "forces\n    low = cello\n    high = violins\n    keys = piano",
    "group outer = inner, keys", "group inner = high, low",
    "movement first\n    meter 5/4\n    section one 30 bars\n"
    "        outer: {0} for 3 bars\n        low, high at bar 9: {1}",
)  # fmt: skip


def _results(parts: list[str]) -> tuple[set[str], str | None, set[tuple[str, str]]]:
    """Values, score and messages; of the messages only what does not depend on places in the text."""
    result = compiled(script(parts))
    assert result.plan is not None
    messages = {(d.code, d.message) for d in result.bag.ordered()}
    return set(plan_text(result.plan).splitlines()), score_text(result.score) if result.score else None, messages


def _script(made: tuple[Line, ...]) -> list[str]:
    return [*declarations(made), *(part.format(made[0].name, made[-1].name) for part in REST)]


@pytest.mark.slow
@whole
@given(lines(5), st.data())
def test_any_order_of_declarations_gives_the_same_score(made: tuple[Line, ...], data: st.DataObject) -> None:
    parts = _script(made)
    shuffled = data.draw(st.permutations(parts))
    assert _results(shuffled) == _results(parts)


@whole
@given(lines(5), st.data())
def test_comments_blank_lines_and_joined_lines_do_not_matter(made: tuple[Line, ...], data: st.DataObject) -> None:
    parts = _script(made)
    changed = []
    for part in parts:
        if data.draw(st.booleans()) and part.startswith("motif"):
            part = part.replace(" -> ", "\n    -> ").replace("weave(", "weave(\n  ")
            part = part.replace(" + ", "  -- a remark -> up P8\n\n  + ")
        if data.draw(st.booleans()):
            part = "-- motif nothing = at all\n\n" + part.replace("\n", "   -- here\n\n", 1)
        changed.append(part + data.draw(st.sampled_from(["", "  ", "\n\n", " -- so it ends"])))
    assert _results(changed) == _results(parts)


def test_shown_values_tell_lines_apart() -> None:
    one = Motif((Event(F(1, 4), (Head(Pitch(28, 0), (Origin(None, SPAN),)),)),))
    assert motif_text(one) != motif_text(pitches.up(one, Interval(1, 1)))
