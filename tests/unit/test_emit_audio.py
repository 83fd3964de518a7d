"""The sound: read back with the standard library and measured by NumPy against what the MIDI file says.

Pitch is held against ISO 16 (A4 = 440 Hz); all times against arithmetic from the ticks written here.
"""

from __future__ import annotations

import sys
import wave
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from mido import Message, MetaMessage, MidiFile, MidiTrack

from cavata.sound import audio
from cavata.sound.audio import Rendering, mp3_bytes, wav_bytes
from cavata.sound.audio_events import MOST_NOTES, RATE, happenings, rendered_together
from cavata.sound.soundfont import VARIABLE, AudioFault, MissingSound, soundfont

pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")
pytest.importorskip("soundfile", reason="the extra `audio` is not installed")

Played = tuple[float, float, int]
"""From and to in seconds, and the key."""
TENTH = RATE // 10


def midi(lines: Iterable[tuple[int, Iterable[Played]]], velocity: int = 80, ports: Iterable[int] = ()) -> bytes:
    """Programs with their notes, each on a channel of its own, at 1000 ticks a second."""
    file, places = MidiFile(type=1, ticks_per_beat=500), [*range(9), *range(10, 16)]
    port_of = [*ports, *[0] * 99]
    for index, (program, notes) in enumerate(lines):
        channel = places[index % 15]
        track = MidiTrack([MetaMessage("midi_port", port=port_of[index])])
        track.append(Message("program_change", channel=channel, program=program))
        ends = [(round(end * 1000), 0, Message("note_off", channel=channel, note=key)) for _, end, key in notes]
        begins = [
            (round(begin * 1000), 1, Message("note_on", channel=channel, note=key, velocity=velocity))
            for begin, _, key in notes
        ]
        now = 0
        for tick, _, message in sorted([*ends, *begins], key=lambda it: it[:2]):
            track.append(message.copy(time=tick - now))
            now = tick
        file.tracks.append(track)
    written = BytesIO()
    file.save(file=written)
    return written.getvalue()


def heard(data: bytes) -> Any:
    """The samples between -1 and 1, left and right in rows."""
    with wave.open(BytesIO(data)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (2, 2, RATE)
        frames = file.readframes(file.getnframes())
        assert len(frames) == 4 * file.getnframes()
    return np.frombuffer(frames, "<i2").reshape(-1, 2) / 32768


def loudness(frames: Any, begin: float, end: float) -> float:
    """The root mean square between two moments, in decibels below full scale."""
    part = frames[int(begin * RATE) : int(end * RATE)]
    return float(20 * np.log10(max(np.sqrt((part**2).mean()), 1e-9)))


def partial(frames: Any, near: float, begin: float = 1, seconds: float = 2) -> float:
    """The frequency of the strongest partial within a semitone, from three neighbors of the spectrum's peak."""
    part = frames[int(begin * RATE) : int((begin + seconds) * RATE)].mean(axis=1)
    spectrum = np.log(np.abs(np.fft.rfft(part * np.hanning(len(part)))) + 1e-12)
    lowest = int(near / 1.06 * seconds)
    peak = lowest + int(spectrum[lowest : int(near * 1.06 * seconds) + 1].argmax())
    low, middle, high = spectrum[peak - 1 : peak + 2]
    return float((peak + (low - high) / (2 * (low - 2 * middle + high))) / seconds)


@pytest.mark.parametrize(("key", "frequency"), [(69, 440.0), (57, 220.0), (81, 880.0)])
@pytest.mark.parametrize("program", [71, 19, 0])
def test_long_note_of_clarinet_organ_and_piano_has_its_frequency(program: int, key: int, frequency: float) -> None:
    """ISO 16 for A4; octaves by arithmetic. Within ten cents: the recordings are of instruments that people tuned."""
    found = partial(heard(wav_bytes(midi([(program, [(0, 4, key)])]))), frequency)
    assert abs(1200 * np.log2(found / frequency)) < 10


def test_note_begins_when_it_should_and_a_rest_is_silent() -> None:
    frames = heard(wav_bytes(midi([(0, [(1, 1.5, 60), (6, 6.5, 60)])])))
    first = int(np.flatnonzero(np.abs(frames).max(axis=1) > 0.05)[0])
    assert abs(first / RATE - 1) < 0.02
    assert loudness(frames, 0, 0.99) < -80
    assert loudness(frames, 4.5, 5.99) < -60
    assert loudness(frames, 6, 6.2) > -25


def test_sound_ends_when_the_last_note_has_died_away() -> None:
    frames = heard(wav_bytes(midi([(48, [(0, 3, 60)])])))
    assert 3 < len(frames) / RATE < 3 + 6.1
    assert loudness(frames, len(frames) / RATE - 0.2, len(frames) / RATE) < -50


def test_loudest_sample_is_just_below_full_scale_whatever_the_dynamics() -> None:
    for velocity in (10, 127):
        peak = np.abs(heard(wav_bytes(midi([(48, [(0, 1, 60), (0, 1, 67)])], velocity)))).max()
        assert 0.97 < peak < 0.995


def test_what_would_be_too_loud_is_played_more_quietly_not_cut() -> None:
    """Fifteen brass instruments at full strength on a chord; cut samples would stand at full scale side by side."""
    chord = [(61, [(0, 2, 40 + 3 * index + step) for step in (0, 12, 24)]) for index in range(8)]
    frames = heard(wav_bytes(midi(chord, 127)))
    assert (np.abs(frames) > 0.988).sum() < 20


@pytest.mark.slow
def test_stretches_join_without_a_trace(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same samples as from one stretch, while notes sound on over the seams."""
    line = midi([(0, [(n * 0.7, n * 0.7 + 1.4, 48 + n * 5 % 24) for n in range(30)])])
    monkeypatch.setattr(audio, "_STRETCH", 600 * RATE)
    whole = heard(wav_bytes(line))
    monkeypatch.setattr(audio, "_STRETCH", 5 * RATE)
    cut = heard(wav_bytes(line))
    assert len(whole) == len(cut) > 20 * RATE
    assert np.abs(whole - cut).max() < 0.01


@pytest.mark.slow
def test_drone_of_a_minute_sounds_on_over_every_seam() -> None:
    frames = heard(wav_bytes(midi([(71, [(0, 60, 60)])])))
    levels = [loudness(frames, tenth / 10, tenth / 10 + 0.5) for tenth in range(20, 590)]
    assert max(levels) - min(levels) < 3


def test_pedal_holds_over_a_seam() -> None:
    file = MidiFile(type=0, ticks_per_beat=500)
    track = MidiTrack([Message("control_change", control=64, value=127, time=14_000)])
    track += [Message("note_on", note=48, velocity=100), Message("note_off", note=48, time=200)]
    track += [Message("control_change", control=64, value=0, time=4000), MetaMessage("end_of_track")]
    file.tracks.append(track)
    written = BytesIO()
    file.save(file=written)
    frames = heard(wav_bytes(written.getvalue()))
    assert loudness(frames, 16, 17.5) > -40


def test_stretch_of_a_piece_is_that_part_of_the_whole() -> None:
    line = midi([(73, [(n * 0.5, n * 0.5 + 0.5, 60 + n % 12) for n in range(40)])])
    whole, part = heard(wav_bytes(line)), heard(wav_bytes(line, 10.4, 12.9))
    assert len(part) == round(2.5 * RATE)
    begin = round(10.4 * RATE) // 64 * 64
    same = np.corrcoef(whole[begin : begin + len(part) - TENTH, 0], part[:-TENTH, 0])[0, 1]
    assert same > 0.999


@pytest.mark.parametrize(("begin", "end"), [(0, 0), (50, 60), (2, 1)])
def test_stretch_of_nothing_is_a_file(begin: float, end: float) -> None:
    assert len(heard(wav_bytes(midi([(73, [(0, 1, 60)])]), begin, end))) == 0


def test_no_note_is_a_file_without_sound() -> None:
    assert len(heard(wav_bytes(midi([(73, [])])))) <= 7 * RATE


@pytest.mark.slow
def test_sixty_notes_at_once_all_sound() -> None:
    """Five octaves of keys on six church organs, each of several recordings: each has its frequency in the spectrum."""
    keys = range(36, 96)
    frames = heard(wav_bytes(midi([(19, [(0, 3, key) for key in keys[place::6]]) for place in range(6)], 90)))
    part = frames[RATE : 3 * RATE].mean(axis=1)
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part))))
    floor = float(np.median(spectrum[60:5000]))
    for key in keys[12:]:
        there = round(440 * 2 ** ((key - 69) / 12) * 2)
        assert spectrum[there - 3 : there + 4].max() > 4 * floor, key


def test_channels_are_dealt_out_so_that_no_rendering_has_too_many_notes() -> None:
    lines = [(48, [(0, 1, 40 + 5 * place + n) for n in range(10)]) for place in range(12)]
    groups = rendered_together(happenings(midi(lines)))
    assert all(len(group) * 10 <= MOST_NOTES for group in groups)
    assert sum(len(group) for group in groups) == 12


def test_same_channel_of_two_ports_keeps_its_program() -> None:
    """A flute and a snare-like synth drum would be one instrument if the second port were not heeded."""
    both = midi([(73, [(0, 2, 69)]), *[(0, [])] * 14, (42, [(3, 5, 57)])], ports=[0] * 15 + [1])
    alone = midi([(73, [(0, 2, 69)])])
    a, b = heard(wav_bytes(both))[: 2 * RATE, 0], heard(wav_bytes(alone))[: 2 * RATE, 0]
    assert np.corrcoef(a, b)[0, 1] > 0.99


def test_tempo_changes_move_what_follows() -> None:
    file = MidiFile(type=1, ticks_per_beat=480)
    file.tracks.append(
        MidiTrack([MetaMessage("set_tempo", tempo=1_000_000), MetaMessage("set_tempo", tempo=250_000, time=960)])
    )
    file.tracks.append(
        MidiTrack([Message("note_on", note=60, velocity=90, time=480 * 6), Message("note_off", note=60, time=480)])
    )
    written = BytesIO()
    file.save(file=written)
    assert [event.sample for event in happenings(written.getvalue())] == [3 * RATE, round(3.25 * RATE)]


@pytest.mark.slow
def test_progress_goes_from_nothing_on() -> None:
    seen: list[float] = []
    with Rendering(midi([(73, [(0, 60, 60)])]), watch=seen.append):
        pass
    assert seen[0] == 0 and seen == sorted(seen) and len(seen) >= 3 and seen[-1] < 1


def test_breaking_off_leaves_no_temporary_file(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[Any] = []

    def watched() -> Any:
        kept.append(BytesIO())
        return kept[-1]

    def stop(share: float) -> None:
        if share > 0.2:
            raise KeyboardInterrupt

    monkeypatch.setattr(audio, "TemporaryFile", watched)
    with pytest.raises(KeyboardInterrupt):
        Rendering(midi([(73, [(0, 60, 60)])]), watch=stop)
    assert len(kept) == 1 and kept[0].closed


@pytest.mark.slow
def test_mp3_is_the_same_sound_in_a_tenth_of_the_room() -> None:
    from soundfile import read

    line = midi([(48, [(n * 0.5, n * 0.5 + 0.5, 60 + n % 12) for n in range(8)])])
    wav, mp3 = wav_bytes(line), mp3_bytes(line)
    decoded, rate = read(BytesIO(mp3))
    plain = heard(wav)
    length = min(len(decoded), len(plain))
    assert rate == RATE and abs(len(decoded) - len(plain)) < TENTH
    assert np.corrcoef(decoded[:length, 0], plain[:length, 0])[0, 1] > 0.99
    assert len(mp3) * 10 < len(wav)
    assert mp3 == mp3_bytes(line)


def test_soundfont_of_ones_own_is_played(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "own.sf2"
    own.write_bytes(soundfont())
    expected = wav_bytes(midi([(73, [(0, 1, 60)])]))
    monkeypatch.setenv(VARIABLE, str(own))
    assert wav_bytes(midi([(73, [(0, 1, 60)])])) == expected


@pytest.mark.parametrize("content", [b"", b"ding dong", None, "cut", "holed"])
def test_soundfont_that_cannot_be_used_is_a_fault(
    content: bytes | str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, own = soundfont(), tmp_path / "own.sf2"
    if content == "cut":
        content = whole[: len(whole) // 2]
    if content == "holed":
        content = whole.replace(b"pdtaphdr", b"pdtaxxxx")
    if isinstance(content, bytes):
        own.write_bytes(content)
    monkeypatch.setenv(VARIABLE, str(own))
    with pytest.raises(AudioFault) as fault:
        wav_bytes(midi([(73, [(0, 1, 60)])]))
    assert fault.value.lack is MissingSound.SOUNDFONT


@pytest.mark.parametrize(("package", "make"), [("midirenderer", wav_bytes), ("soundfile", mp3_bytes)])
def test_missing_package_is_a_fault(package: str, make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(AudioFault, match=package) as fault:
        make(midi([(73, [(0, 1, 60)])]))
    assert fault.value.lack is MissingSound.EXTRA
