"""Free time: no bar lines, no beats. Source: common practice, but for where the lines may break (choice)."""

from __future__ import annotations

from fractions import Fraction as F

from notate_scores import events, frames, free, free_bar, instrument, movement, score, shown

from cavata.notate.frames import written_spans
from cavata.notate.notate import notate
from cavata.score.score import Staff


def test_note_is_one_value_wherever_it_stands() -> None:
    assert shown(free("C4:8 C4:2 C4:4. C4:1 C4:5/8")) == ["C4:8 C4:2 C4:4. C4:1 C4:2~ C4:8"]


def test_tuplet_closes_on_a_plain_length() -> None:
    assert shown(free("C4:16 C4:1/12 C4:1/12 C4:1/12 C4:2")) == ["C4:16 {3:2 C4:8[ C4:8- C4:8]} C4:2"]


def test_beams_hold_a_quarter_or_three_eighths() -> None:
    assert shown(free("C4:4 C4:8 C4:8 C4:8 C4:2 C4:8 C4:8 C4:8 C4:8 C4:4")) == [
        "C4:4 C4:8[ C4:8- C4:8] C4:2 C4:8[ C4:8] C4:8[ C4:8] C4:4"
    ]


def test_long_free_time_is_cut_where_every_voice_begins_a_note() -> None:
    result = free("C4:2 C4:2 C4:2 C4:1 C4:4 C4:4 C4:2 C4:2 C4:1")
    assert [frame.duration for frame in frames(result)] == [F(5, 2), F(5, 2)]
    assert [frame.barline for frame in frames(result)] == ["none", "final"]
    assert {frame.number for frame in frames(result)} == {1}
    assert not any(frame.shows_meter for frame in frames(result))


def test_cut_waits_for_the_other_voice() -> None:
    staves = [[Staff("", (events("C4:1 C4:1 C4:1 C4:1 C4:1"),))], [Staff("", (events("C4:3/1 C4:1 C4:1"),))]]
    spans = written_spans(movement(staves, free_bar(F(5))))
    assert [span.duration for span in spans] == [3, 2]


def test_free_time_of_no_plain_length_is_made_up_with_a_rest() -> None:
    assert shown(free("C4:2 C4:1/12")) == ["C4:2 {3:2 C4:8 r:4}"]


def test_silent_part_in_free_time_has_one_rest() -> None:
    staves = [[Staff("", (events("C4:1"),))], [Staff("", ((),))]]
    result = notate(score([movement(staves, free_bar(F(1)))], [instrument("flute"), instrument("oboe")]))
    leaf = result.movements[0].parts[1].staves[0].bars[0].voices[0][0]
    assert leaf.whole_bar  # type: ignore[union-attr]
