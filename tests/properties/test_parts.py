"""What a player reads fills every movement exactly, and shows no more and no less than the score has for the part."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction as F

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rounds import rounds
from waiting_scripts import score_of, waiting_scripts

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import Copy, WantedCopies, copies
from cavata.edition.cues import CUE_BARS
from cavata.music.event import Head
from cavata.notate.notate import notate
from cavata.notate.written import Leaf, WrittenMovement, leaves, length_of
from cavata.score.score import Movement, Score

SOME = settings(max_examples=rounds(12), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
scores = waiting_scripts().map(score_of)


def parts_of(score: Score) -> list[Copy]:
    return list(copies(score, WantedCopies(score=False, parts=None), Diagnostics()))


def written_pairs(score: Score) -> Iterator[tuple[Movement, WrittenMovement]]:
    for copy in parts_of(score):
        yield from zip(copy.score.movements, notate(copy.score).movements, strict=True)


@pytest.mark.slow
@SOME
@given(scores)
def test_bars_and_rests_of_a_part_fill_the_movement(score: Score) -> None:
    for movement, written in written_pairs(score):
        for staff in written.parts[0].staves:
            total = F(0)
            for place, (bar, frame) in enumerate(zip(staff.bars, written.frames, strict=True)):
                total += bar.rest_bars * frame.duration
                assert len({f.duration for f in written.frames[place : place + max(1, bar.rest_bars)]}) == 1
                for voice in (*bar.voices, bar.cue):
                    if voice and not any(leaf.whole_bar for leaf in leaves(voice)):
                        assert sum(map(length_of, voice)) == frame.duration
            assert total == sum(frame.duration for frame in written.frames)
            assert sum(bar.rest_bars for bar in staff.bars) == len(written.frames)
            assert total >= movement.duration


@pytest.mark.slow
@SOME
@given(scores)
def test_no_cue_stands_where_the_reader_plays(score: Score) -> None:
    for movement, written in written_pairs(score):
        for staff, source in zip(written.parts[0].staves, movement.staves[0], strict=True):
            for bar, spelled in zip(movement.bars, staff.bars, strict=True):
                sounds = [
                    event for voice in source.voices for event in voice
                    if event.event.heads and event.onset < bar.onset + bar.duration and event.end > bar.onset
                ]  # fmt: skip
                assert not (spelled.cue and sounds)
                if spelled.cue:
                    assert not any(leaf.heads for voice in spelled.voices for leaf in leaves(voice))


@pytest.mark.slow
@SOME
@given(scores)
def test_a_cue_leads_to_an_entry_and_sounds_in_the_score(score: Score) -> None:
    for copy in parts_of(score):
        for movement, whole in zip(copy.score.movements, score.movements, strict=True):
            sounding = {
                (event.onset, event.end, tuple(head.pitch for head in event.event.heads))
                for staves in whole.staves for staff in staves for voice in staff.voices for event in voice
            }  # fmt: skip
            ends = {bar.onset for bar in movement.bars}
            for staff in movement.staves[0]:
                for cue in staff.cues:
                    assert {cue.onset, cue.end} <= ends
                    assert sum(cue.onset <= bar.onset < cue.end for bar in movement.bars) in CUE_BARS
                    for event in cue.events:
                        assert cue.onset <= event.onset < event.end <= cue.end
                        pitches = tuple(head.pitch for head in event.event.heads)
                        assert any(
                            onset <= event.onset and event.end <= end and pitches == found
                            for onset, end, found in sounding
                        )


@pytest.mark.slow
@SOME
@given(scores)
def test_a_part_has_every_note_of_the_score_and_no_other(score: Score) -> None:
    for index, part in enumerate(score.parts):
        copy = next((c for c in parts_of(score) if c.suffix == f"-{part.name}"), None)
        for number, movement in enumerate(score.movements):
            notes = _notes(movement, index)
            read = _notes(copy.score.movements[number], 0) if copy else []
            if part.instrument.unpitched:
                _hold_struck(read, notes)
            else:
                assert read == notes


Notes = list[tuple[str, F, F, tuple[Head, ...]]]


def _hold_struck(read: Notes, notes: Notes) -> None:
    """What is struck may be written shorter than the script lets it last, but is no other note."""
    assert [(name, onset, heads) for name, onset, _, heads in read] == [
        (name, onset, heads) for name, onset, _, heads in notes
    ]
    assert all(F(0) < one[2] <= other[2] for one, other in zip(read, notes, strict=True))


def _notes(movement: Movement, index: int) -> Notes:
    """Every note; those that a fermata divides are one."""
    found: Notes = []
    for staff in movement.staves[index]:
        for voice in staff.voices:
            for event in (event for event in voice if event.event.heads):
                name, onset, duration, heads = staff.name, event.onset, event.event.duration, event.event.heads
                if event.tied_before:
                    _, onset, before, heads = found.pop()
                    duration += before
                found.append((name, onset, duration, heads))
    return found


@pytest.mark.slow
@SOME
@given(scores, st.booleans())
def test_a_rest_of_several_bars_covers_no_mark(score: Score, cues: bool) -> None:
    """Source: common practice. Players count from mark to mark."""
    for copy in copies(score, WantedCopies(score=False, parts=None, cues=cues), Diagnostics()):
        for written in notate(copy.score).movements:
            for staff in written.parts[0].staves:
                for place, bar in enumerate(staff.bars):
                    assert bar.rest_bars == 1 or _is_plain(bar.voices)
                    if bar.rest_bars:
                        continue
                    frame, before = written.frames[place], written.frames[place - 1]
                    assert not (frame.rehearsal or frame.section or frame.shows_meter or frame.tempi)
                    assert bar.key is None
                    assert not frame.repeat_begins
                    assert before.barline == "single"


def _is_plain(voices: tuple[tuple[object, ...], ...]) -> bool:
    only = voices[0][0]
    return isinstance(only, Leaf) and only.whole_bar and not only.marks and not any(voices[1:])
