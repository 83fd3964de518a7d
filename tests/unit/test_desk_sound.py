"""The sound of a desk, held against the MIDI file and the sound of a build, and against a desk that begins anew.

Pitch is held against ISO 16 (A4 = 440 Hz). What a change leaves alone is known by counting what is rendered.
"""

from __future__ import annotations

import json
import wave
from collections.abc import Mapping
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from desks import SCRIPT
from mido import MidiFile, tick2second

from cavata.desk.desk import Desk
from cavata.desk.sound import listening
from cavata.desk.sound.files import mp3_files
from cavata.desk.sound.heard import HeardPiece
from cavata.desk.sound.performed import changed_stretches, performed
from cavata.desk.sound.pieces import pieces_of
from cavata.desk.state import State
from cavata.desk.views import NotThere
from cavata.perform.perform import MovementAlone, movements_alone, perform
from cavata.pipeline import compile_script
from cavata.score.clock import length
from cavata.score.score import Score
from cavata.sound.audio_events import RATE
from cavata.sound.midi import midi_bytes
from cavata.sound.time import PAUSE

pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")
np = pytest.importorskip("numpy", reason="the extra `audio` is not installed")

LONGER = SCRIPT.replace("section closing 2 bars", "section closing 9 bars").replace(
    "violin: hail -> up P8", "violin: (hail -> up P8) for 9 bars\n        cello: (hail -> marked mp) for 9 bars"
)
AT_FIRST, LATE = ("cello:  hail", "cello:  hail -> marked pp"), ("marked mp", "marked ff")
SHORTER = ("cello:  hail", "cello:  hail -> marked staccato"), ("marked mp", "marked staccato mp")


def score_of(text: str) -> Score:
    made = compile_script(Path("lamp.cavata"), text=text).score
    assert made is not None
    return made


def alone(text: str) -> MovementAlone:
    return movements_alone(score_of(text))[0]


def asked(desk: Desk, state: State, view: Any, **wanted: str) -> Any:
    answer = view(desk, state, {"movement": "first", **wanted})
    return json.loads(answer.body) if answer.kind.startswith("application/json") else answer.body


def samples(body: bytes) -> Any:
    """A row for each moment, a column for each channel."""
    with wave.open(BytesIO(body)) as file:
        assert (file.getsampwidth(), file.getframerate()) == (2, RATE)
        return np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, file.getnchannels()).astype(int)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    (tmp_path / "lamp.cavata").write_text(LONGER, "utf-8")
    return Desk(tmp_path / "lamp.cavata")


def saved(desk: Desk, text: str) -> State:
    return desk.save({str(desk.path): text})


# ---------------------------------------------------------------- pieces


def test_pieces_follow_one_another_through_a_movement_and_begin_with_bars() -> None:
    movement = alone(LONGER).movement
    pieces = pieces_of(movement)
    assert pieces[0].begin == 0 and pieces[-1].end == movement.duration
    assert all(piece.end == following.begin for piece, following in zip(pieces, pieces[1:], strict=False))
    assert [piece.begin for piece in pieces] == [bar.onset for bar in movement.bars]  # each lasts 2.1 s


def test_short_bars_are_joined_and_long_ones_divided() -> None:
    fast = pieces_of(alone(LONGER.replace("1/4 at 84", "1/4 at 252")).movement)  # a bar of 0.71 s
    assert {float(piece.end - piece.begin) for piece in fast} == {2.25, 0.75}  # 4 and 9 bars, three by three
    slow = pieces_of(alone(LONGER.replace("1/4 at 84", "1/4 at 30")).movement)  # a bar of 6 s
    assert {float(piece.end - piece.begin) for piece in slow} == {0.5, 0.25}


def test_a_bar_more_in_one_section_moves_the_pieces_of_the_next_and_divides_none_otherwise() -> None:
    fast = LONGER.replace("1/4 at 84", "1/4 at 252")
    before, after = (pieces_of(alone(text).movement) for text in (fast, fast.replace("opening 4", "opening 5")))
    closing = Fraction(3)
    assert [p.begin - closing for p in before if p.begin >= closing] == [
        p.begin - closing - Fraction(3, 4) for p in after if p.begin >= closing + Fraction(3, 4)
    ]


# ---------------------------------------------------------------- a performance that is changed a little


def heard_stretches(before: str, after: str) -> list[tuple[Fraction, Fraction]]:
    return [(each.begin, each.end) for each in changed_stretches(alone(before).movement, alone(after).movement)]


def test_what_sounds_the_same_is_no_change() -> None:
    assert heard_stretches(LONGER, "-- a remark\n\n" + LONGER) == []
    assert heard_stretches(LONGER, LONGER.replace("hail", "call")) == []


def test_only_the_phrases_that_changed_are_played_anew_and_as_the_whole_plays_them() -> None:
    before = alone(LONGER)
    how, _ = performed(before)
    for old, new in SHORTER:
        after = alone(LONGER.replace(old, new))
        made, anew = performed(after, before, how)
        whole, _ = performed(after)
        assert made.touches == whole.touches and made.touches != how.touches
        onsets = {onset for own in made.touches.values() for onset in own}
        length = sum(each.end - each.begin for each in anew)
        assert onsets and 0 < length <= Fraction(27, 4)  # one of the two sections
        steps = [(step.get(onset), dict(whole.curve).get(onset)) for step in [dict(made.curve)] for onset in onsets]
        assert all(a is None or b is None or abs(a - b) < Fraction(1, 50) for a, b in steps)


def test_what_comes_after_a_bar_more_is_moved_and_played_as_before() -> None:
    before = alone(LONGER)
    how, _ = performed(before)
    after = alone(LONGER.replace("opening 4 bars", "opening 5 bars"))
    made, anew = performed(after, before, how)
    (change,) = anew
    assert (change.begin, change.end, change.shift) == (0, Fraction(15, 4), Fraction(3, 4))  # one phrase, five bars
    for key, own in how.touches.items():
        later = {onset: touch for onset, touch in own.items() if onset >= 3}
        assert {onset - change.shift: t for onset, t in made.touches[key].items() if onset >= change.end} == later


@pytest.mark.parametrize(
    "other",
    [
        LONGER.replace("cello  = cello", "cello  = bassoon"),
        LONGER.replace("movement first", 'movement first "Of Light"'),
        LONGER.replace("violin: hail x 2", "violin: hail -> sustain_pedal"),
    ],
    ids=["another player", "another title", "a pedal"],
)
def test_where_more_than_phrases_changed_all_is_played_anew(other: str) -> None:
    before = alone(LONGER)
    after = alone(other)
    how, _ = performed(before)
    assert performed(after, before, how)[0] == performed(after)[0]


# ---------------------------------------------------------------- what is heard


@pytest.mark.slow
def test_a_piece_is_what_a_build_makes_of_that_stretch(desk: Desk) -> None:
    from cavata.sound.audio import wav_bytes

    state = desk.state
    assert state.score is not None
    told = asked(desk, state, listening.heard)
    piece = samples(asked(desk, state, listening.sound, piece="2"))
    begin, end = told["pieces"][2], told["pieces"][3]
    assert len(piece) / RATE == pytest.approx(end - begin + told["seam"], abs=0.002)
    built = samples(wav_bytes(midi_bytes(state.score, perform(state.score))))
    same = built[round(begin * RATE) : round(begin * RATE) + len(piece)]
    ours, theirs = (spectra(each) / np.sqrt((each**2).mean()) for each in (piece, same))
    assert np.abs(ours - theirs).mean() < 0.3 * theirs.mean()
    ours = spectra(samples(asked(desk, state, listening.sound, piece="3"))[: len(piece)]) / np.sqrt((piece**2).mean())
    length = min(len(ours), len(theirs))
    assert np.abs(ours[:length] - theirs[:length]).mean() > theirs.mean()  # another piece is unlike it


def spectra(heard: Any) -> Any:
    """How strong each frequency is, moment by moment; ticks of a MIDI file move phases, which nobody hears."""
    windows = np.lib.stride_tricks.sliding_window_view(heard.sum(axis=1), 4096)[::2048]
    return np.abs(np.fft.rfft(windows * np.hanning(4096), axis=1))[:, :400]


def test_parts_apart_are_together_what_all_are(desk: Desk) -> None:
    state = desk.state
    together = samples(asked(desk, state, listening.sound, piece="1"))
    apart = samples(asked(desk, state, listening.sound, piece="1", parts="apart"))
    assert apart.shape[1] == 4
    length = min(len(together), len(apart))
    difference = apart[:length, :2] + apart[:length, 2:] - together[:length]
    assert np.sqrt((difference**2).mean()) < 0.02 * np.sqrt((together**2).mean())
    cello = samples(asked(desk, state, listening.sound, piece="1", parts="1"))
    assert (cello[:length] == apart[:length, 2:]).all()


def test_the_pitch_of_a_part_alone(desk: Desk) -> None:
    text = LONGER.replace("motif hail = tamsin -> from F4 -> in (1/4)", "motif hail = notes(1/4 A4 A4 A4)")
    heard = samples(asked(desk, saved(desk, text), listening.sound, piece="0", parts="0"))[:, 0]
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(len(heard))))
    lowest = np.flatnonzero(spectrum > spectrum.max() / 4)[0] * RATE / len(heard)
    assert abs(1200 * np.log2(lowest / 440)) < 20  # ISO 16; cents


def test_slower_takes_so_much_longer(desk: Desk) -> None:
    usual = asked(desk, desk.state, listening.heard)
    slower = asked(desk, desk.state, listening.heard, slower="3/2")
    assert slower["pieces"] == pytest.approx([1.5 * second for second in usual["pieces"]], abs=0.002)
    length = len(samples(asked(desk, desk.state, listening.sound, piece="1", slower="3/2"))) / RATE - usual["seam"]
    assert length == pytest.approx(1.5 * (usual["pieces"][2] - usual["pieces"][1]), abs=0.003)


def test_the_last_piece_dies_away(desk: Desk) -> None:
    told = asked(desk, desk.state, listening.heard)
    last = samples(asked(desk, desk.state, listening.sound, piece=str(len(told["pieces"]) - 1)))
    assert len(last) / RATE > told["seconds"] - told["pieces"][-1]
    assert 0 < np.abs(last[-RATE // 1000 :]).max() < np.abs(last).max() / 100


@pytest.mark.slow
def test_after_a_save_only_the_pieces_are_rendered_that_sound_otherwise(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))

    def rendered(state: State) -> int:
        heard: HeardPiece = listening.heard_of(desk)
        before = heard.rendered
        for piece in range(13):
            asked(desk, state, listening.sound, piece=str(piece))
        return heard.rendered - before

    listening.heard_of(desk).level(score_of(LONGER))
    assert rendered(desk.state) == 13
    assert rendered(saved(desk, LONGER + "\n-- a remark\n")) == 0
    assert 9 <= rendered(saved(desk, LONGER.replace(*LATE))) <= 10  # the closing section of nine bars
    assert 4 <= rendered(saved(desk, LONGER.replace(*AT_FIRST))) <= 6  # its cello, four bars; the other as before
    assert rendered(saved(desk, LONGER)) == 0


def test_the_level_stays_until_the_piece_is_played_anew(desk: Desk) -> None:
    quiet = LONGER.replace("hail x 2", "hail -> marked pp x 2").replace("marked mp", "marked pp")
    first = listening.heard_of(desk).level(score_of(LONGER))
    state = saved(desk, quiet)
    asked(desk, state, listening.sound, piece="0")
    assert state.score is not None
    assert listening.heard_of(desk).level(state.score) == first
    asked(desk, state, listening.heard, anew="1")
    assert listening.heard_of(desk).level(state.score).gain > first.gain


def test_played_anew_it_is_what_a_desk_plays_that_has_just_begun(desk: Desk) -> None:
    for text in (LONGER, LONGER.replace(*AT_FIRST), LONGER.replace("opening 4 bars", "opening 5 bars")):
        asked(desk, saved(desk, text), listening.sound, piece="3")
    asked(desk, desk.state, listening.heard, anew="1")
    again = asked(desk, desk.state, listening.sound, piece="3")
    begun = Desk(desk.path)
    assert asked(begun, saved(begun, text), listening.sound, piece="3") == again


# ---------------------------------------------------------------- when notes are heard


def test_of_a_movement_that_is_edited_the_last_two_versions_are_kept(desk: Desk) -> None:
    """And of every other one the last. The second movement goes on in the tempo of the first."""
    two = LONGER + "\nmovement second\n    meter 3/4\n    section only 2 bars\n        cello: hail\n"
    for pace in (84, 85, 86, 87):
        state = saved(desk, two.replace("at 84", f"at {pace}"))
        for movement in ("first", "second"):
            asked(desk, state, listening.heard, movement=movement)
    kept = [each.alone.movement for each in listening.heard_of(desk)._kept]
    found = [(movement.name, float(movement.tempi[0].per_minute)) for movement in kept]
    assert found == [("second", 87.0), ("second", 86.0), ("first", 87.0)]


def struck(score: Score) -> list[float]:
    """The seconds at which keys are struck, by the MIDI file of a build as mido reads it."""
    file = MidiFile(file=BytesIO(midi_bytes(score, perform(score))))
    found, now, tempo = [], 0.0, 500_000
    merged: Any = file.merged_track
    for message in merged:
        now += tick2second(message.time, file.ticks_per_beat, tempo)
        if message.type == "set_tempo":
            tempo = message.tempo
        elif message.type == "note_on" and message.velocity:
            found.append(now)
    return found


def test_notes_are_heard_when_the_midi_file_strikes_them(desk: Desk) -> None:
    state = desk.state
    assert state.score is not None
    pieces = asked(desk, state, listening.heard)["pieces"]
    told = [note for piece in range(len(pieces)) for note in asked(desk, state, listening.times, piece=str(piece))]
    sounding = struck(state.score)
    assert len(told) == len(sounding) == len({name for name, _, _ in told})
    assert sorted(on for _, on, _ in told) == pytest.approx(sounding, abs=0.04)  # players are not exact
    assert {name for name, _, _ in told} == {mark.id for mark in state.marks}


def test_what_is_repeated_is_heard_as_often(desk: Desk) -> None:
    state = saved(desk, LONGER.replace("section opening 4 bars", "section opening 4 bars\n        repeated"))
    assert state.score is not None
    told = asked(desk, state, listening.heard)
    assert [number for number, _, _ in told["bars"]] == [*range(1, 5), *range(1, 14)]
    assert [index for _, index, _ in told["bars"]] == [*range(4), *range(13)]
    notes = [n for piece in range(len(told["pieces"])) for n in asked(desk, state, listening.times, piece=str(piece))]
    often: dict[str, int] = {}
    for name, _, _ in notes:
        often[name] = often.get(name, 0) + 1
    assert {count for name, count in often.items() if "-opening-" in name} == {2}
    assert {count for name, count in often.items() if "-closing-" in name} == {1}
    assert len(notes) == len(struck(state.score))


@pytest.mark.parametrize(
    "wanted",
    [
        {"movement": "second"}, {"piece": "13"}, {"piece": "-1"}, {"piece": "0", "parts": "2"},
        {"piece": "0", "parts": "all,0"}, {"piece": "0", "slower": "1/0"}, {"piece": "0", "slower": "5"},
    ],
    ids=str,
)  # fmt: skip
def test_what_is_not_there_is_said(wanted: Mapping[str, str], desk: Desk) -> None:
    with pytest.raises(NotThere):
        listening.sound(desk, desk.state, {"movement": "first", **wanted})


def test_without_a_synthesizer_the_desk_is_silent_and_says_so(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_SOUNDFONT", "/nonexistent.sf2")
    assert "cannot read `nonexistent.sf2`" in asked(desk, desk.state, listening.heard)["silent"]
    with pytest.raises(NotThere, match="cannot read"):
        asked(desk, desk.state, listening.sound, piece="0")


@pytest.mark.slow
def test_the_files_of_parts_go_along_with_that_of_all() -> None:
    """Sounds that are heard together are added: the files of the parts are, to some hundredths, which is what their
    encoding and the limiter cost. Each movement begins where it is told, after the pause."""
    soundfile = pytest.importorskip("soundfile", reason="the extra `audio` is not installed")
    second = "\nmovement second\n    tempo 1/4 at 60\n    section only 1 bar\n        cello: notes(1/4 C3 D3 E3 F3)\n"
    score = score_of(SCRIPT + second)
    found, starts = mp3_files(HeardPiece(), score, [[0, 1], [0], [1]], lambda share: None)
    whole, violin, cello = (soundfile.read(BytesIO(each), dtype="float32")[0] for each in found)
    assert whole.shape == violin.shape == cello.shape

    def loudness(frames: Any) -> float:
        return float(np.sqrt((frames**2).mean()))

    assert loudness(whole - violin - cello) < 0.15 * loudness(whole)
    assert loudness(whole - violin) > 0.5 * loudness(whole)
    assert starts[0] == 0 and starts[1] == pytest.approx(float(length(score.movements[0]) + PAUSE), abs=0.01)
    begins = round(starts[1] * RATE)
    assert loudness(violin[begins:]) < 0.05 * loudness(cello[begins:])
    assert loudness(cello[begins : begins + RATE // 2]) > 5 * loudness(cello[begins - RATE // 4 : begins])
