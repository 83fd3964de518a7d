"""What a commissioner asks on the second day takes one row each, in pieces that were written without it.

The music is read back by mido and music21: intervals and lengths by common practice.
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import mido
import pytest

from cavata.compare.comparing import compared
from cavata.compare.text import change_text
from cavata.diagnostics import Severity
from cavata.pipeline import compile_script
from cavata.record import replace
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

EXAMPLES = Path(__file__).parents[2] / "examples"
LONG = EXAMPLES / "the-long-night" / "the-long-night.cavata"
WATCHES = EXAMPLES / "three-watches" / "three-watches.cavata"
DRUMS = 9


@lru_cache
def compiled(path: Path, change: tuple[str, str] = ("", ""), version: str = "") -> Score:
    """A piece in which a row was changed, or a version of it that was added as one row."""
    script = path.read_text(encoding="utf-8")
    assert change[0] in script
    script = script.replace(*change, 1) if change[0] else script + change[1]
    made = compile_script(path, path.name, text=script, version=version)
    wrong = [message.message for message in made.bag.ordered() if message.severity is Severity.ERROR]
    assert made.score is not None, wrong
    return made.score


def notes(score: Score, movement: str) -> Counter[tuple[int, int]]:
    """How often each note of each channel sounds in a movement, drums left out; read by mido."""
    alone = replace(score, movements=tuple(m for m in score.movements if m.name == movement))
    read = mido.MidiFile(file=BytesIO(midi_bytes(alone)))
    return Counter(
        (message.channel, message.note) for track in read.tracks for message in track
        if message.type == "note_on" and message.velocity and message.channel != DRUMS
    )  # fmt: skip


def seconds(score: Score) -> float:
    """How long a piece takes, as mido counts it."""
    return float(mido.MidiFile(file=BytesIO(midi_bytes(score))).length)


def told(old: Score, new: Score) -> list[str]:
    return [f"{change.movement} {change_text(change)}".strip() for change in compared(old, new).changes]


@pytest.mark.slow
def test_the_second_movement_a_tone_lower() -> None:
    old = compiled(LONG)
    new = compiled(LONG, ('movement boat_out "The Boat"', 'movement boat_out "The Boat" -> down M2'))
    lower = Counter({(channel, note - 2): count for (channel, note), count in notes(old, "boat_out").items()})
    assert notes(new, "boat_out") == lower
    assert notes(new, "night") == notes(old, "night")
    keys = [[bar.fifths for bar in m.bars if bar.key] for s in (old, new) for m in s.movements if m.name == "boat_out"]
    # A whole tone lower is two fifths lower: common practice.
    assert keys[1] == [fifths - 2 for fifths in keys[0]]
    (change,) = told(old, new)
    assert change.endswith("everything a major second lower, keys too")


@pytest.mark.slow
def test_twelve_percent_shorter() -> None:
    old, new = compiled(WATCHES), compiled(WATCHES, ("", "\nversion short\n    tempi x 25:22\n"), "short")
    assert seconds(new) / seconds(old) == pytest.approx(0.88, abs=0.005)
    changes = told(old, new)
    assert all("tempi" in change or "tempo" in change for change in changes)
    assert len(changes) <= 2 * len(new.movements)


@pytest.mark.slow
def test_the_soloist_is_now_a_cello() -> None:
    old, new = compiled(WATCHES), compiled(WATCHES, ("", "\nversion cello\n    bassoon = cello, soloist\n"), "cello")
    assert told(old, new) == ["bassoon is played by cello instead of bassoon"]
    assert [part.label for part in new.parts if part.name == "bassoon"] == ["Solo Cello"]
