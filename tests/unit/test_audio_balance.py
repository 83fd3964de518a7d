"""Every instrument is heard beside the others: each alone after a flute, and a flute beside all the strings.

The windows are stated here; there is no standard for them. Loudness is the root mean square of the loudest third of a
second, as NumPy finds it in the WAV file.
"""

from __future__ import annotations

import wave
from dataclasses import replace
from fractions import Fraction as F
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from emit_midi_scores import heads, movement, part, score, staff
from rounds import some_of

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import instruments
from cavata.music.event import Event
from cavata.score.score import Part, ScoreEvent, Staff
from cavata.sound.audio import wav_bytes
from cavata.sound.midi import midi_bytes

pytestmark = pytest.mark.slow

pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")

BESIDE_A_FLUTE = 13.0
"""Decibels by which a pitched instrument may be softer or louder than a flute at the same dynamic."""
SOFTEST_BLOW = -36.0
"""A blow of percussion is short, and some are faint: decibels beside the flute."""
STRINGS_OVER_A_FLUTE = 13.0
"""Five sections together, with their basses, at the flute's own dynamic."""
MEASURED = 1.0
"""How far other versions of the renderer and of NumPy may be from what is written in the table."""
TABLE = Path(__file__).with_suffix(".txt")
"""By how many decibels each instrument was louder than a flute."""
EVERYONE = {(i.program, i.percussion_key): i for i in reversed(instruments().values())}


def one_note(key: str, onset: F, duration: F = F(1, 2)) -> Staff:
    """A note with no dynamic, which is `mf`."""
    made = Event(duration, heads(key))
    return staff((ScoreEvent(onset, made, movement(1, ()).span),))


def middle(instrument: Instrument) -> str:
    if instrument.comfortable is None:
        return "B4"
    key = sum(pitch.midi for pitch in instrument.comfortable) // 2
    return f"{('C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B')[key % 12]}{key // 12 - 1}"


def after_a_flute(players: tuple[tuple[Part, str], ...]) -> float:
    """Decibels by which players together in bar 2 are louder than a flute alone in bar 1, which is silent by then."""
    parts = (part("flute"), *(player for player, _ in players))
    staves = (
        (one_note("A5", F(0)),),
        *((one_note(key, F(1)), *[staff()] * (len(player.instrument.staves) - 1)) for player, key in players),
    )
    made = score(parts, movement(2, staves))
    with wave.open(BytesIO(wav_bytes(midi_bytes(made)))) as file:
        rate = file.getframerate()
        frames = np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2) / 32768
    window = rate * 3 // 10
    bars = [frames[begin * rate : (begin + 4) * rate] for begin in (0, 4)]
    loudness = [
        max(float((bar[n : n + window] ** 2).mean()) for n in range(0, len(bar) - window, window // 3)) for bar in bars
    ]
    return float(10 * np.log10((loudness[1] + 1e-12) / loudness[0]))


def measured(instrument: Instrument) -> float:
    player = Part("other", instrument, "", "", False, movement(1, ()).span)
    return after_a_flute(((player, middle(instrument)),))


def written() -> dict[str, float]:
    return {key: float(louder) for key, _, louder in (row.partition(": ") for row in TABLE.read_text().splitlines())}


def test_every_instrument_is_heard_beside_a_flute(request: pytest.FixtureRequest) -> None:
    """By the table of what was measured, which `--update` makes anew."""
    if request.config.getoption("--update"):
        rows = (f"{instrument.key}: {measured(instrument):+.1f}\n" for instrument in EVERYONE.values())
        TABLE.write_text("".join(rows), "utf-8")
    louder = written()
    assert list(louder) == [instrument.key for instrument in EVERYONE.values()], "pytest --update measures the new ones"
    for instrument in EVERYONE.values():
        least = SOFTEST_BLOW if instrument.unpitched else -BESIDE_A_FLUTE
        heard = least < louder[instrument.key] < BESIDE_A_FLUTE
        assert heard, f"the SoundFont may lack the `midi` of {instrument.key}, or have it at another loudness"


@pytest.mark.parametrize("instrument", some_of([*EVERYONE.values()], 6), ids=lambda instrument: instrument.key)
def test_what_is_written_is_what_is_heard(instrument: Instrument) -> None:
    """In as many rounds of every instrument."""
    assert measured(instrument) == pytest.approx(written()[instrument.key], abs=MEASURED)


def test_key_without_a_recording_is_bent_from_its_neighbor() -> None:
    """The SoundFont that comes along has no E4 for the alto saxophone. Its pitch by ISO 16, within ten cents."""
    player = part("alto saxophone", "other")
    assert -BESIDE_A_FLUTE < after_a_flute(((player, "E4"),)) < BESIDE_A_FLUTE
    made = score((player,), movement(1, ((one_note("E4", F(0), F(1)),),)))
    with wave.open(BytesIO(wav_bytes(midi_bytes(made)))) as file:
        rate = file.getframerate()
        frames = np.frombuffer(file.readframes(3 * rate), "<i2").reshape(-1, 2)[rate:].mean(axis=1)
    expected = 440 * 2 ** (-5 / 12)
    spectrum = np.abs(np.fft.rfft(frames * np.hanning(len(frames)), 8 * len(frames)))
    near = np.arange(int(expected * 16 * 0.95), int(expected * 16 * 1.05))
    assert abs(1200 * np.log2(near[spectrum[near].argmax()] / 16 / expected)) < 10


def test_one_flute_is_not_drowned_by_the_strings() -> None:
    keys = {"violin": "D5", "viola": "F4", "cello": "A3", "double bass": "D2"}
    strings = [(replace(part(word, word), section=True), key) for word, key in keys.items()]
    louder = after_a_flute((*strings, (replace(part("violin", "second"), section=True), "A4")))
    assert 0 < louder < STRINGS_OVER_A_FLUTE
