"""How the MIDI file is performed, read by mido: tempo curve, loudness curve, articulation, pedals, sections.

The figures of the rules have their sources in `tests/published/test_performance_rules.py`; here they are looked for in
the file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction as F
from io import BytesIO
from itertools import pairwise
from statistics import mean
from typing import Any

import mido
import pytest
from compiling import score_from
from emit_midi_scores import FORCES, scores
from hypothesis import given, settings
from rounds import rounds

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies
from cavata.perform import touch
from cavata.perform.perform import perform
from cavata.pipeline import Build, build, compile_script
from cavata.record import replace
from cavata.resources import folder
from cavata.score.clock import Clock
from cavata.score.score import Score
from cavata.sound.channels import PERCUSSION, families
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n"


def piece(rows: str, forces: str = "violin = violin", head: str = "") -> Score:
    """One section; rows and forces stand on lines of their own."""
    players = "".join(f"    {line}\n" for line in forces.split("\n"))
    lines = "".join(f"        {line}\n" for line in rows.split("\n"))
    return score_from(f"{HEAD}{players}movement first\n    tempo 1/4 at 120\n{head}    section one\n{lines}")


@dataclass
class Note:
    """A note of the file: onset and end in ticks and in seconds."""

    key: int
    velocity: int
    begins: int
    ends: int
    at: float
    until: float

    @property
    def ms(self) -> float:
        return (self.until - self.at) * 1000


class File:
    """A MIDI file with every note at its second."""

    def __init__(self, made: bytes) -> None:
        self.midi = mido.MidiFile(file=BytesIO(made), charset="utf-8")
        self.tempi = [(tick, message.tempo) for tick, message in self.messages(0) if message.type == "set_tempo"]

    def messages(self, track: int) -> Iterator[tuple[int, Any]]:
        now = 0
        for message in self.midi.tracks[track]:
            now += message.time
            yield now, message

    def seconds(self, tick: int) -> float:
        found = 0.0
        for (begin, tempo), (end, _) in pairwise([*self.tempi, (10**9, 0)]):
            if begin < tick:
                found += mido.tick2second(min(end, tick) - begin, self.midi.ticks_per_beat, tempo)
        return found

    def notes(self, track: int = 1) -> list[Note]:
        sounding: dict[int, tuple[int, int]] = {}
        found: list[Note] = []
        for tick, message in self.messages(track):
            if message.type == "note_on":
                assert message.note not in sounding
                sounding[message.note] = tick, message.velocity
            elif message.type == "note_off":
                begins, velocity = sounding.pop(message.note)
                found.append(Note(message.note, velocity, begins, tick, self.seconds(begins), self.seconds(tick)))
        assert not sounding
        return sorted(found, key=lambda note: (note.begins, note.key))


def played(score: Score) -> File:
    return File(midi_bytes(score, perform(score)))


@pytest.fixture
def unmoved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without what no player controls, so that the rules are seen alone."""
    monkeypatch.setattr(touch, "noise", lambda seed: 0.0)


# ---------------------------------------------------------------- time

def test_tempo_is_an_arch_over_a_phrase_of_one_player() -> None:
    """The group's list of rules has quantity 1.5 and the turn at 0.3: first 15 % longer, least there, last 30 %, and at
    the end of a section 1.3 times that. What is common to all is given back."""
    score = piece("violin: notes(1/4 C5 D5 C5 D5 | C5 D5 C5 D5 | C5 D5 C5 rest)")
    file = played(score)
    beat = file.midi.ticks_per_beat
    lengths = [file.seconds((place + 1) * beat) - file.seconds(place * beat) for place in range(11)]
    longer = [length / min(lengths) for length in lengths]
    assert lengths.index(min(lengths)) == 3
    assert longer[0] == pytest.approx(1.15, abs=0.01)
    assert longer[10] == pytest.approx(1.39, abs=0.02)
    assert longer[5] == pytest.approx(1 + 0.39 * (0.2 / 0.7) ** 2, abs=0.01)


@pytest.mark.slow
def test_every_movement_takes_the_time_that_the_script_says() -> None:
    for name in ("three-watches/three-watches", "piano/lamplight"):
        whole = compile_script(folder("examples") / f"{name}.cavata").score
        assert whole is not None
        for movement in whole.movements:
            score = replace(whole, movements=(movement,))
            file = played(score)
            assert len(file.tempi) > 20
            # not only the whole: printed timings of its sections stay near as well
            assert file.midi.length == pytest.approx(float(Clock(movement).length), rel=0.02)


def test_a_movement_ends_with_a_ritard_unless_the_script_says_how() -> None:
    line = "violin: notes(1/4 C5 D5 C5 D5 | C5 D5 C5 D5) x 6, notes(1/1 C5)"
    steady, told = piece(line), piece(line.replace("notes(1/1 C5)", "notes(1/1 C5) -> fermata last"))
    last = [factor for onset, factor in perform(steady).movements[0].curve if F(47, 4) <= onset < 12]
    other = [factor for onset, factor in perform(told).movements[0].curve if F(47, 4) <= onset < 12]
    assert last[-1] > F(5, 4) * other[-1]


def test_a_fermata_is_held_as_long_as_the_script_says() -> None:
    score = piece("violin: notes(1/4 C5 D5 E5 F5 | 1/1 G5) -> fermata last by 1/2")
    file = played(score)
    begin, end = (file.seconds(tick * file.midi.ticks_per_beat) for tick in (7, 8))
    assert end - begin == pytest.approx(0.5 + 1.0, abs=0.01)  # a quarter, and a half more, at 120 quarters a minute


def test_all_parts_have_one_tempo() -> None:
    score = piece(
        "violin: notes(1/4 C5 D5 E5 F5 | G5 F5 E5 D5)\ncello: notes(1/2 C3 G3 | E3 G3)",
        "violin = violin\ncello = cello",
    )
    file = played(score)
    beat = file.midi.ticks_per_beat
    for place, low in enumerate(file.notes(2)):
        high = file.notes(1)[2 * place]
        assert abs(high.begins - low.begins) < beat / 8 and abs(high.at - low.at) < 0.05


# ---------------------------------------------------------------- loudness


@pytest.mark.usefixtures("unmoved")
def test_the_first_note_of_a_bar_is_two_decibels_louder() -> None:
    """20 log (v1 / v2)^2 for velocities by the square law: Dannenberg (2006); 2 dB: the group's rules of meter."""
    file = played(piece("violin: notes(1/4 C5 rest C5 rest | C5 rest C5 rest | C5 rest C5 rest)"))
    strong, weak = file.notes()[2].velocity, file.notes()[3].velocity
    assert strong == round(weak * 10 ** (2 / 40))


@pytest.mark.usefixtures("unmoved")
def test_an_octave_higher_is_three_decibels_louder() -> None:
    file = played(piece("violin: notes(1/2 C5 rest | rest C6 | rest C5 | rest C6)"))
    _, high, low, higher = (note.velocity for note in file.notes())
    assert abs(high - higher) == 1  # two notes of a key are never the same
    assert higher / low == pytest.approx(10 ** (3 / 40), abs=0.02)


@pytest.mark.usefixtures("unmoved")
def test_loudness_is_an_arch_over_a_phrase_but_not_under_a_hairpin() -> None:
    line = "violin: notes(1/4 C5 B4 C5 B4 | C5 B4 C5 B4 | C5 B4 C5 B4 | C5 B4 C5 B4)"
    weak = [note.velocity for note in played(piece(line)).notes()][1::2]
    assert weak == sorted(weak[:3]) + sorted(weak[3:], reverse=True) and weak[-1] < max(weak)
    growing = [note.velocity for note in played(piece(f"{line} -> crescendo 1..last p f")).notes()]
    assert growing[1::2] == sorted(growing[1::2])


def test_dynamics_stay_in_their_order() -> None:
    rows = "violin: " + ", ".join(f"notes(1/4 C5 D5 E5 F5) -> marked {loud}" for loud in ("pp", "p", "mf", "f", "ff"))
    struck = [note.velocity for note in played(piece(rows)).notes()]
    means = [mean(struck[place : place + 4]) for place in range(0, 20, 4)]
    assert means == sorted(means) and all(1 <= velocity <= 127 for velocity in struck)


@pytest.mark.usefixtures("unmoved")
def test_chord_symbols_make_remote_chords_louder() -> None:
    """Harmonic charge of the table in use, over C major: C 0, D 4.0, so 0 and 3.0 dB; on top of each chord its fifth,
    of melodic charge 1, so 0.2 dB more. Without symbols the rules are off."""
    def levels(row: str) -> list[float]:
        score = piece(f"guitar: {row}", "guitar = guitar", "    key C major\n")
        (voice,) = perform(score).movements[0].touches.values()
        return [voice[F(bar)].level for bar in range(3)]

    with_symbols = levels("chords(1/1 C D C C)")
    without = levels("notes(1/1 chord(C3 E3 G3) chord(D3 F#3 A3) chord(C3 E3 G3) chord(C3 E3 G3))")
    more = [one - other for one, other in zip(with_symbols, without, strict=True)]
    assert more == pytest.approx([0.2, 3.2, 0.2])


# ---------------------------------------------------------------- articulation


@pytest.mark.usefixtures("unmoved")
def test_lengths_follow_their_signs() -> None:
    """Staccato 40 % of the time (Bresin and Battel 2000), the same key again 35 ms apart, slurs without a gap."""
    short = played(piece("violin: notes(1/4 C5 D5 C5 D5) -> marked staccato")).notes()
    assert short[1].ms / ((short[2].at - short[1].at) * 1000) == pytest.approx(0.4, abs=0.01)
    again = played(piece("violin: notes(1/4 C5 C5 C5 C5) -> marked tenuto")).notes()
    assert (again[2].at - again[1].until) * 1000 == pytest.approx(35, rel=0.2)
    bound = played(piece("violin: notes(1/4 C5 D5 E5 F5) -> slurred")).notes()
    assert all(a.until > b.at for a, b in pairwise(bound[:4]))
    piano = played(piece("piano.right: notes(1/4 C5 D5 E5 F5) -> slurred", "piano = piano")).notes()
    assert (piano[1].until - piano[2].at) * 1000 == pytest.approx(59, rel=0.2)  # 500 ms at the piano: 59 ms


@pytest.mark.usefixtures("unmoved")
def test_phrases_end_with_a_breath() -> None:
    """80 ms at the end of a phrase or a part of one, 60 after a short slur: rules part II and articulation rules."""
    found = played(piece("violin: notes(1/4 C5 D5 E5 F5 | G5 A5 B5 C6) -> slurred 1..4 5..8")).notes()
    assert (found[4].at - found[3].until) * 1000 == pytest.approx(80, rel=0.25)
    found = played(piece("violin: notes(1/4 C5 D5 E5 F5 | G5 A5 B5 C6) -> slurred 1..2 3..4 5..6 7..8")).notes()
    assert (found[2].at - found[1].until) * 1000 == pytest.approx(60, rel=0.25)


def test_slurs_are_bound_however_late_their_notes_come() -> None:
    found = played(piece("violin: notes(1/16 C5 D5 E5 F5 G5 F5 E5 D5) x 8 -> slurred")).notes()
    assert all(a.ends >= b.begins for a, b in pairwise(found))


# ---------------------------------------------------------------- what no player controls


def same(notes: Sequence[Note], beat: int) -> list[tuple[int, int, int]]:
    return [(note.velocity, note.begins % beat, note.ends - note.begins) for note in notes]


@pytest.mark.parametrize("line", [
    "violin: notes(1/4 C5 C5 C5 C5) x 10", "violin: notes(1/1 C5) -> tremolo 1/16", "drum: rhythm(1/16 x 16) x 4",
])  # fmt: skip
def test_repeated_notes_are_never_the_same(line: str) -> None:
    if line.startswith("drum"):
        score = piece("drum: notes(" + " ".join(["1/16", *["C5"] * 16]) + ")", "drum = snare drum")
    else:
        score = piece(line)
    file = played(score)
    found = same(file.notes(), file.midi.ticks_per_beat // 4)
    assert len(found) > 15 and all(a != b for a, b in pairwise(found))


def test_percussion_is_even() -> None:
    score = piece("drum: notes(" + " ".join(["1/8", *["C5"] * 8]) + ") x 4", "drum = snare drum")
    file = played(score)
    found = file.notes()
    assert {note.begins % (file.midi.ticks_per_beat // 2) for note in found} == {0}
    assert max(note.velocity for note in found) - min(note.velocity for note in found) <= 7
    assert len({tempo for _, tempo in file.tempi}) == 1


def test_a_note_keeps_its_own_irregularity_whatever_else_changes() -> None:
    def late(bars: int) -> list[tuple[int, int]]:
        score = score_from(
            f"{HEAD}    violin = violin\nmovement first\n    section one\n"
            f"        violin: notes(1/4 C5 D5 E5 F5) x {bars}\n    section two\n"
            "        violin: notes(1/4 C5 D5 E5 F5 | G5 A5 B5 C6)\n"
        )
        file = played(score)
        return [(note.begins - 4 * bars * file.midi.ticks_per_beat) for note in file.notes()[-8:]]  # type: ignore[misc]

    assert late(2) == late(3)


def test_players_of_one_sound_are_never_struck_as_one() -> None:
    score = piece(
        "flutes: notes(1/8 C5 C5 C5 C5 C5 C5 C5 C5) x 20".replace("flutes", "flute1, flute2"),
        "flute1 = flute\nflute2 = flute",
    )
    file = played(score)
    one, two = ([note.begins for note in file.notes(track)] for track in (1, 2))
    assert len(one) == len(two) == 160 and not set(one) & set(two)


# ---------------------------------------------------------------- what sounds on, and with which sound


def pedal(file: File, track: int = 1) -> list[tuple[float, int]]:
    return [
        (file.seconds(tick), message.value) for tick, message in file.messages(track)
        if message.type == "control_change" and message.control == 64
    ]  # fmt: skip


@pytest.mark.usefixtures("unmoved")
def test_a_piano_has_a_pedal_that_changes_with_the_harmony() -> None:
    """Down 30 ms after the first chord, at a change up with the chord and down 100 ms after (articulation rules)."""
    file = played(piece("piano.right: notes(1/4 C4 E4 G4 C5 | D4 F4 A4 D5 | 1/8 C4 D4 E4 F4, 1/2 G4)", "piano = piano"))
    feet, notes = pedal(file), file.notes()
    assert [value for _, value in feet[:3]] == [127, 0, 127]
    assert (feet[0][0] - notes[0].at) * 1000 == pytest.approx(30, rel=0.2)
    assert feet[1][0] == pytest.approx(notes[4].at, abs=0.002)
    assert (feet[2][0] - notes[4].at) * 1000 == pytest.approx(100, rel=0.2)
    assert feet[3] == (pytest.approx(notes[8].at, abs=0.002), 0)  # a scale is played without it
    assert pedal(played(piece("piano.right: notes(1/4 C4 E4 G4 C5)", "piano = piano")))[-1][1] == 0  # up at the end
    own = played(piece("piano.right: notes(1/4 C4 E4 G4 C5 | D4 F4 A4 D5) -> sustain_pedal", "piano = piano"))
    assert [value for _, value in pedal(own)] == [127, 0]


def test_strings_of_a_harp_ring_until_they_are_struck_again_or_damped() -> None:
    found = played(piece("harp.right: notes(1/4 C5 E5 Eb5 rest | C5 rest G5 rest)", "harp = harp")).notes()
    by_key = {(note.key, place): note for place, note in enumerate(found)}
    assert by_key[72, 0].ends >= by_key[72, 3].begins - 40  # C rings to the next C
    assert abs(by_key[76, 1].ends - by_key[75, 2].begins) < 40  # the string of E is that of E flat
    assert by_key[79, 4].ms > 800
    damped = played(piece("harp.right: notes(1/4 C5 E5 G5 rest) -> marked staccato", "harp = harp")).notes()
    assert all(note.ms < 300 for note in damped)


def programs(file: File) -> list[int]:
    return [m.program for track in (1, 2) for _, m in file.messages(track) if m.type == "program_change"]


def test_sections_of_strings_have_the_sound_of_a_section() -> None:
    """General MIDI Level 1: 41 Violin, 49 String Ensemble 1; counted from 0."""
    file = played(piece("one: notes(1/1 C5)\nsome: notes(1/1 C5)", "one = violin\nsome = violins"))
    assert programs(file) == [40, 48]


@pytest.mark.slow
def test_families_have_files_in_which_no_two_sounds_share_a_channel() -> None:
    compiled_piece = compile_script(folder("examples") / "gallery/orchestra_and_choir.cavata")
    score = compiled_piece.score
    assert score is not None and sum(not part.instrument.unpitched for part in score.parts) > 15
    order = Build(("midi",), WantedCopies(True, (), True, False, ()), "piece")
    files = build(compiled_piece, order, Diagnostics(), lambda words: None)
    suffixes = families(score.parts)
    assert set(files) == {"piece.mid", *(f"piece.{suffix}.mid" for suffix in suffixes)}
    assert sorted(number for numbers in suffixes.values() for number in numbers) == list(range(len(score.parts)))
    whole = mido.MidiFile(file=BytesIO(files["piece.mid"]))  # type: ignore[arg-type]
    for suffix, numbers in suffixes.items():
        file = mido.MidiFile(file=BytesIO(files[f"piece.{suffix}.mid"]))  # type: ignore[arg-type]
        channels = [{m.channel for m in track if m.type == "note_on"} for track in file.tracks[1:]]
        own = [next(iter(found)) for found in channels if found and found != {PERCUSSION}]
        assert len(own) == len(set(own)) and len(file.tracks) == len(numbers) + 1
        assert not any(m.type == "midi_port" for track in file.tracks for m in track)
        assert list(file.tracks[0]) == list(whole.tracks[0])


def test_strict_time_is_the_score_itself() -> None:
    made = compile_script(folder("examples") / "piano/lamplight.cavata")
    assert made.score is not None
    order = Build(("midi",), WantedCopies(True, (), True, False, ()), "piece")
    strict = build(made, replace(order, strict_time=True), Diagnostics(), lambda words: None)["piece.mid"]
    performed = build(made, order, Diagnostics(), lambda words: None)["piece.mid"]
    assert strict == midi_bytes(made.score) and performed == midi_bytes(made.score, perform(made.score)) != strict


@pytest.mark.usefixtures("unmoved")
def test_a_division_of_chant_is_a_breath() -> None:
    """80 ms, as at the end of every phrase; just as the score says, the notes go on."""
    score = score_from(
        f"{HEAD}    singer = soprano\nmovement first\n    meter none\n    section one\n"
        "        singer: notes(1/4 D4 F4 G4 A4 G4 F4) -> division 3 full\n"
    )
    found = played(score).notes()
    assert (found[3].at - found[2].until) * 1000 == pytest.approx(80, rel=0.25)
    assert found[2].at - found[1].until < 0.07


@pytest.mark.slow
@settings(max_examples=rounds(12), deadline=None)
@given(scores(forces=(*FORCES, "piano", "timpani", "violins"), marked=True))
def test_any_score_is_performed_in_its_time(score: Score) -> None:
    """Marks in any disorder, tuplets, several voices: every note ends, and the movement takes its time."""
    made = midi_bytes(score, perform(score))
    assert made == midi_bytes(score, perform(score))
    file = File(made)
    assert file.midi.length == pytest.approx(float(Clock(score.movements[0]).length), rel=0.02, abs=0.05)
    for track in range(1, len(file.midi.tracks)):
        assert all(note.ends > note.begins and 1 <= note.velocity <= 127 for note in file.notes(track))
