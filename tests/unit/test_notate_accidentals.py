"""Which accidentals are printed. Source: common practice, and music21 where a test names it."""

from __future__ import annotations

import random
from fractions import Fraction as F

import pytest
from notate_scores import all_leaves, events, free, shown, written

from cavata.music.event import signature_alteration
from cavata.music.pitch import parse_pitch
from cavata.notate.accidentals import BarMemory
from cavata.notate.written import Accidental

CASES = [
    ("", "F#4:4 F#4:4 F4:4 F#4:4", "F#4!:4 F#4:4 F4!:4 F#4!:4"),
    ("D major", "F#4:4 F4:4 C#5:4 C5:4", "key+2 F#4:4 F4!:4 C#5:4 C5!:4"),
    ("", "F#4:1 F4:4 F4:2.", "F#4!:1 | F4?:4 F4:2."),
    ("", "F#4:2 F4:2 F4:1", "F#4!:2 F4!:2 | F4:1"),
    ("", "F#4:1 F#4:1", "F#4!:1 | F#4!:1"),
    ("", "F#4:1 G4:1 F4:1", "F#4!:1 | G4:1 | F4:1"),
    ("", "F#4:2 F5:2 F5:1", "F#4!:2 F5?:2 | F5:1"),
    ("", "C4:4 C#5:4 C4:4 C4:4", "C4:4 C#5!:4 C4?:4 C4:4"),
    ("", "F#4:2/1 F4:1", "F#4!:1~ | F#4:1 | F4?:1"),
    ("", "F#4:5/4 F4:4 F#4:2", "F#4!:1~ | F#4:4 F4!:4 F#4!:2"),
    ("", "F#4:5/4 F#4:4 F4:2", "F#4!:1~ | F#4:4 F#4!:4 F4!:2"),
    ("D major", "F4:1 F#4:4 F4:2.", "key+2 F4!:1 | F#4?:4 F4!:2."),
    ("", "F4+F#4:2 F4:2", "<F4! F#4!>:2 F4!:2"),
    ("", "C4+Eb4:2 C4+Eb4:2", "<C4 Eb4!>:2 <C4 Eb4>:2"),
    ("", "C##4:4 C#4:4 Cbb4:2", "C##4!:4 C#4!:4 Cbb4!:2"),
]


@pytest.mark.parametrize(("key", "line", "expected"), CASES)
def test_accidental_holds_to_the_bar_line(key: str, line: str, expected: str) -> None:
    assert " | ".join(shown(written(line, keys=key))) == expected


def test_signature_returns_without_courtesy_when_the_key_changes_to_it() -> None:
    assert " | ".join(shown(written("F4:1 F#4:1 F4:1", keys="C major, G major, C major"))) == (
        "key+0 F4:1 | key+1 F#4:1 | key+0 F4:1"
    )


def test_voices_of_a_staff_share_the_bar() -> None:
    assert shown(written("F#4:2 F#4:2", "r:4 F#4:4 F4:2")) == ["F#4!:2 F#4!:2 // r:4 F#4:4 F4!:2"]


def test_free_time_shows_every_altered_note_but_an_immediate_repetition() -> None:
    assert shown(free("F#4:4 F#4:4 G4:8 F#4:8 F4:4 F4:4 G4:4")) == [
        "F#4!:4 F#4:4 G4:8[ F#4!:8] F4!:4 F4:4 G4:4"
    ]  # fmt: skip


def test_accidentals_of_free_time_end_with_it() -> None:
    """Source: common practice."""
    memory, sharp = BarMemory(), parse_pitch("F#4")
    memory.begin_bar(0, free=True, continues=False)
    memory.heads((sharp,))
    memory.begin_bar(None, free=False, continues=False)
    assert memory.in_force(sharp.position) == 0


def test_unpitched_part_has_no_accidentals() -> None:
    assert shown(written("F#4:2 Db4:2", player="side drum", keys="D major")) == ["B4:2 B4:2"]


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_signatures_agree_with_music21(fifths: int) -> None:
    from music21 import key

    ours = [signature_alteration(fifths, letter) for letter in range(7)]
    theirs = [key.KeySignature(fifths).accidentalByStep(step) for step in "CDEFGAB"]
    assert ours == [int(sign.alter) if sign else 0 for sign in theirs]


@pytest.mark.parametrize("seed", range(12))
def test_plain_bar_memory_agrees_with_music21(seed: int) -> None:
    """Random bars within one octave; music21's makeAccidentals without its courtesy signs is the judge."""
    from music21 import key, meter, note, stream

    chosen = random.Random(seed)
    pitches = [chosen.choice("CDEFGAB") + chosen.choice(("", "", "", "#", "b")) + "4" for _ in range(32)]
    fifths = chosen.choice((-3, -1, 0, 2, 4))
    name = {-3: "C minor", -1: "F major", 0: "C major", 2: "D major", 4: "E major"}[fifths]
    leaves = all_leaves(written(" ".join(f"{pitch}:4" for pitch in pitches), keys=name))
    part = stream.Part([key.KeySignature(fifths), meter.TimeSignature("4/4")])
    for pitch in pitches:
        part.append(note.Note(pitch.replace("b", "-"), quarterLength=1))
    part.makeMeasures(inPlace=True)
    for bar in part.getElementsByClass(stream.Measure):
        bar.makeAccidentals(
            inPlace=True, useKeySignature=key.KeySignature(fifths), cautionaryPitchClass=False, cautionaryAll=False,
            overrideStatus=True, cautionaryNotImmediateRepeat=False,
        )  # fmt: skip
    signs = [found.pitch.accidental for found in part.recurse().getElementsByClass(note.Note)]
    theirs = [bool(sign and sign.displayStatus) for sign in signs]
    assert [leaf.heads[0].accidental is Accidental.SHOWN for leaf in leaves] == theirs


def test_events_of_the_helper_follow_one_another() -> None:
    assert [event.onset for event in events("C4:4 r:8 D4:8")] == [F(0), F(3, 8)]
