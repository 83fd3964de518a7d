"""The MIDI file: time, loudness, lengths, channels and words of short scores made by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction as F
from io import BytesIO
from math import floor
from pathlib import Path
from typing import Any

import mido
import pytest
from emit_midi_scores import METERS, heads, line, movement, one_line, part, score, staff

from cavata.instruments.table import find, instruments
from cavata.music.event import DYNAMICS, Event, Marks
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, parse_pitch, parse_pitch_class
from cavata.score.score import Header, Score, ScoreEvent, Tempo
from cavata.sound.channels import MIDDLE, PITCHED, PortChannel, channels, places, seats
from cavata.sound.dynamics import LEVELS, Loudness
from cavata.sound.midi import midi_bytes
from cavata.sound.notes import midi_key, sounding_length
from cavata.sound.techniques import MUTED_BY
from cavata.sound.time import FALLBACK_RESOLUTION, LONGEST_QUARTER, Timeline, microseconds, timeline

HERE = Path(__file__).resolve().parent
Strike = tuple[F, int, int, F]


def read(made: Score) -> Any:
    return mido.MidiFile(file=BytesIO(midi_bytes(made)), charset="utf-8")


def timed(file: Any, track: int) -> Iterator[tuple[F, Any]]:
    """The messages of a track, each with its moment in whole notes."""
    now = 0
    for message in file.tracks[track]:
        now += message.time
        yield F(now, 4 * file.ticks_per_beat), message


def strikes(made: Score, track: int = 1) -> list[Strike]:
    """Onset, key, velocity, length of every note of a part, in whole notes."""
    sounding: dict[int, tuple[F, int]] = {}
    found: list[Strike] = []
    for now, message in timed(read(made), track):
        if message.type == "note_on":
            assert message.note not in sounding, "a key is struck while it sounds"
            sounding[message.note] = (now, message.velocity)
        elif message.type == "note_off":
            onset, velocity = sounding.pop(message.note)
            found.append((onset, message.note, velocity, now - onset))
    assert not sounding
    return sorted(found)


def velocities(text: str) -> list[int]:
    return [velocity for _, _, velocity, _ in strikes(one_line(text))]


def of_type(file: Any, kind: str, track: int = 0) -> list[tuple[F, Any]]:
    return [(now, message) for now, message in timed(file, track) if message.type == kind]


def test_onsets_keys_and_lengths_are_the_scores() -> None:
    made = one_line("C4 1/4 tenuto, rest 1/8, E4+G4 1/12 tenuto, B3 1/11 tenuto, A4 1/2 tenuto")
    assert [(onset, key, length) for onset, key, _, length in strikes(made)] == [
        (F(0), 60, F(1, 4)),
        (F(3, 8), 64, F(1, 12)),
        (F(3, 8), 67, F(1, 12)),
        (F(11, 24), 59, F(1, 11)),
        (F(11, 24) + F(1, 11), 69, F(1, 2)),
    ]


def test_resolution_makes_common_values_exact_and_never_drifts_otherwise() -> None:
    assert timeline(one_line("C4 1/12, D4 1/20, E4 1/28")).resolution % 105 == 0
    text = ", ".join(f"C4 1/{n} tenuto" for n in (3, 7, 11, 13, 17, 19, 23, 29))
    made = one_line(text, bars=4)
    assert timeline(made).resolution == FALLBACK_RESOLUTION
    onset = F(0)
    for (played, _, _, _), n in zip(strikes(made), (3, 7, 11, 13, 17, 19, 23, 29), strict=True):
        assert abs(played - onset) <= F(1, 2 * 4 * FALLBACK_RESOLUTION)
        onset += F(1, n)


def test_a_movement_by_itself_has_the_ticks_that_it_has_in_the_whole() -> None:
    """Also where no tick lies at its beginning: every moment is rounded from where it lies in the whole."""
    lines = Timeline(480, (F(0), F(22, 13), F(37, 7)), F(9))
    for number, start in enumerate(lines.starts):
        for onset in (F(count, 1100) for count in range(1100)):
            tick = lines.first_tick(number) + lines.alone(number).tick(0, onset)
            assert tick == lines.tick(number, onset) == floor((start + onset) * 1920 + F(1, 2))


@pytest.mark.parametrize(
    ("beat", "rate", "expected"),
    [
        # Standard MIDI Files 1.0, Set Tempo: microseconds per quarter note; 500 000 is 120 quarters a minute.
        (F(1, 4), F(120), 500_000),
        (F(1, 4), F(60), 1_000_000),
        (F(3, 8), F(60), 666_667),
        (F(1, 8), F(96), 1_250_000),
        (F(1, 2), F(145, 2), 413_793),
        (F(1, 4), F(1), LONGEST_QUARTER),
    ],
)
def test_tempo_is_in_microseconds_per_quarter(beat: F, rate: F, expected: int) -> None:
    assert microseconds(Tempo(F(0), beat, rate).seconds_per_whole) == expected
    if expected < LONGEST_QUARTER:
        assert expected == round(mido.bpm2tempo(float(rate * beat * 4)))


def test_seconds_follow_the_tempo_map() -> None:
    tempi = (Tempo(F(0), F(1, 4), F(60)), Tempo(F(1), F(1, 4), F(120)))
    made = one_line("C4 1/1 tenuto, D4 1/1 tenuto", bars=2, tempi=tempi)
    assert read(made).length == pytest.approx(4 + 2)


@pytest.mark.parametrize(("dynamic", "level"), LEVELS.items())
def test_dynamic_holds_until_the_next(dynamic: str, level: int) -> None:
    assert velocities(f"C4 1/4 {dynamic}, D4 1/4, E4 1/4 mf") == [level, level, 75]


def test_every_dynamic_sounds() -> None:
    for dynamic in DYNAMICS:
        struck = velocities(f"C4 1/4 {dynamic} marcato, D4 1/4")
        assert len(struck) == 2 and all(1 <= v <= 127 for v in struck)


def test_attack_dynamics_pass_over() -> None:
    assert velocities("C4 1/4 pp, D4 1/4 sfz, E4 1/4") == [LEVELS["pp"], LEVELS["ff"], LEVELS["pp"]]
    assert velocities("C4 1/4 fp, D4 1/4") == [LEVELS["f"], LEVELS["p"]]
    assert velocities("C4 1/4 fp, D4 1/4 fp") == [LEVELS["f"], LEVELS["f"]]
    assert velocities("C4 1/4 p <, D4 1/4 sfz, E4 1/4, F4 1/4 f !") == [49, LEVELS["ff"], 75, 88]


def test_hairpin_goes_evenly_to_the_dynamic_at_its_end() -> None:
    assert velocities("C4 1/4 p <, D4 1/4, E4 1/4, F4 1/4 f !, G4 1/4") == [49, 62, 75, 88, 88]


def test_hairpin_without_goal_goes_one_step() -> None:
    assert velocities("C4 1/4 f >, D4 1/4, E4 1/4 !, F4 1/4") == [88, 82, 75, 75]
    assert velocities("C4 1/4 f >, D4 1/4") == [88, 88]


def test_accents_are_louder_and_bounded() -> None:
    assert velocities("C4 1/4 mf, D4 1/4 accent, E4 1/4 marcato, F4 1/4 ffff marcato") == [75, 90, 100, 127]


def test_both_staves_follow_the_only_dynamics_there_are() -> None:
    upper, lower = line("C5 1/4 pp, D5 1/4"), line("C3 1/4, D3 1/4")
    made = score((part("harp"),), movement(1, ((staff(upper), staff(lower)),)))
    assert {velocity for _, _, velocity, _ in strikes(made)} == {LEVELS["pp"]}


def test_level_before_any_mark_is_mezzo_forte() -> None:
    assert Loudness(()).velocity(F(3), Marks()) == LEVELS["mf"]


@pytest.mark.parametrize(
    ("articulations", "slurred", "share"),
    [
        ((), False, F(9, 10)),
        ((), True, F(1)),
        (("tenuto",), False, F(1)),
        (("staccato",), True, F(1, 2)),
        (("staccato", "accent"), False, F(1, 2)),
        (("staccatissimo",), False, F(1, 4)),
        (("portato",), True, F(3, 4)),
        (("fermata",), True, F(1)),
    ],
)
def test_articulations_shorten(articulations: tuple[str, ...], slurred: bool, share: F) -> None:
    assert sounding_length(F(1, 8), articulations, slurred) == share / 8


def test_long_note_ends_no_more_than_a_64th_early() -> None:
    assert sounding_length(F(4), (), False) == 4 - F(1, 64)


def test_slur_joins_all_notes_but_its_last() -> None:
    lengths = [length for _, _, _, length in strikes(one_line("C4 1/8 (, D4 1/8, E4 1/8 ), F4 1/8"))]
    assert lengths == [F(1, 8), F(1, 8), F(9, 80), F(9, 80)]


def test_repeated_note_is_struck_again_after_it_ended() -> None:
    events = [m.type for _, m in timed(read(one_line("C4 1/4 tenuto, C4 1/4 tenuto")), 1) if "note" in m.type]
    assert events == ["note_on", "note_off", "note_on", "note_off"]


def test_unison_of_two_voices_is_struck_once_and_lasts_as_the_longer() -> None:
    voices = line("C4 1/4 tenuto p"), line("C4 1/2 tenuto, C4 1/4 tenuto")
    made = score((part("flute"),), movement(1, ((staff(*voices),),)))
    assert [(onset, length) for onset, _, _, length in strikes(made)] == [(F(0), F(1, 2)), (F(1, 2), F(1, 4))]


def test_key_struck_within_a_longer_note_ends_it_and_sounds_on() -> None:
    voices = line("C4 1/1 tenuto"), line("C4 1/4 tenuto", F(1, 4))
    made = score((part("flute"),), movement(1, ((staff(*voices),),)))
    assert [(onset, length) for onset, _, _, length in strikes(made)] == [(F(0), F(1, 4)), (F(1, 4), F(3, 4))]


def test_key_above_the_range_drops_by_octaves() -> None:
    # MIDI 1.0: keys run from 0 to 127, which is G9 where C4 is 60.
    assert [midi_key(parse_pitch(text)) for text in ("C4", "G9", "G#9", "B9", "C0")] == [60, 127, 116, 119, 12]
    assert midi_key(Pitch(69, 2)) == 121


def test_pitch_is_concert_pitch_whatever_the_player_reads() -> None:
    assert [key for _, key, _, _ in strikes(one_line("C4 1/4", "clarinet"))] == [60]


def test_meter_changes_and_pickup_are_signatures() -> None:
    made = one_line("C4 1/4", bars=2, meter="6/8", pickup=F(1, 8))
    found = [(now, m.numerator, m.denominator, m.clocks_per_click) for now, m in of_type(read(made), "time_signature")]
    assert found == [(F(0), 1, 8, 12), (F(1, 8), 6, 8, 36)]
    irregular = of_type(read(one_line("C4 1/4", meter="7/8")), "time_signature")
    assert [(m.numerator, m.denominator, m.clocks_per_click) for _, m in irregular] == [(7, 8, 12)]
    assert METERS["7/8"].duration == F(7, 8)


def test_free_time_has_no_signature() -> None:
    made = one_line("C4 1/4")
    first = made.movements[0]
    free = replace(first, bars=tuple(replace(bar, meter=None) for bar in first.bars))
    assert of_type(read(replace(made, movements=(free,))), "time_signature") == []


@pytest.mark.parametrize(
    ("tonic", "mode", "name"),
    [("D", "minor", "Dm"), ("Eb", "major", "Eb"), ("G", "dorian", "Dm"), ("C", "lydian", "G"), ("F#", "minor", "F#m")],
)
def test_key_signature_is_that_of_the_mode(tonic: str, mode: str, name: str) -> None:
    made = one_line("C4 1/4", key=Mode(parse_pitch_class(tonic), mode))
    assert [m.key for _, m in of_type(read(made), "key_signature")] == [name]


def test_key_beyond_seven_accidentals_is_left_out() -> None:
    made = one_line("C4 1/4", key=Mode(parse_pitch_class("G#"), "major"))
    assert of_type(read(made), "key_signature") == []


def test_movements_follow_with_a_pause_unless_attacca() -> None:
    lines = ((staff(line("C4 1/4")),),)
    first, second = movement(1, lines), movement(1, lines, name="second")
    parted = score((part("flute"),), first, second)
    joined = score((part("flute"),), replace(first, attacca=True), second)
    assert [onset for onset, _, _, _ in strikes(joined)] == [F(0), F(1)]
    assert [onset for onset, _, _, _ in strikes(parted)] == [F(0), F(3, 2)]  # two seconds at a quarter a second
    assert [now for now, m in of_type(read(parted), "marker") if m.text == "First Watch"] == [F(0), F(3, 2)]


def test_end_of_the_file_is_the_end_of_the_music() -> None:
    file = read(one_line("C4 1/4", bars=3))
    assert [F(sum(m.time for m in track), 4 * file.ticks_per_beat) for track in file.tracks] == [3, 3]


def test_parts_have_channels_of_their_own_and_skip_percussion() -> None:
    flute, drum = find("flute"), find("snare drum")
    assert flute is not None and drum is not None
    assert channels([flute] * 9 + [drum] + [flute] * 6) == (*range(9), 9, *range(10, 16))


def test_more_parts_than_channels_share_by_program() -> None:
    everyone = list(instruments().values())
    flute = next(i for i in everyone if i.key == "flute")
    given = channels([flute] * 20)
    assert set(given) == {0}
    programs: dict[int, set[int]] = {}
    for instrument, channel in zip(everyone, channels(everyone), strict=True):
        assert (channel == 9) == instrument.unpitched
        if not instrument.unpitched:
            programs.setdefault(instrument.program, set()).add(channel)
    assert all(len(found) == 1 for found in programs.values())


def test_programs_beyond_fifteen_play_on_a_second_port_with_their_family() -> None:
    """General MIDI Level 1 has families of eight programs; ports as the `midi port` event of a track."""
    everyone = list(instruments().values())
    found = dict(zip(everyone, places(everyone).of_parts, strict=True))
    pitched = {i.program: place for i, place in found.items() if not i.unpitched}
    assert len(set(pitched.values())) == len(pitched) > 2 * len(PITCHED)
    assert {place.port for i, place in found.items() if i.unpitched} == {0}
    fifteen = ["violin", "flute", "oboe", "clarinet", "bassoon", "horn", "trumpet", "trombone", "tuba", "harp"]
    fifteen += ["timpani", "celesta", "piano", "glockenspiel", "soprano"]
    some = [find(words) for words in (*fifteen, "viola")]
    given = places([instrument for instrument in some if instrument is not None]).of_parts
    assert given[:15] == tuple(map(PortChannel, PITCHED)) and given[15] == PortChannel(given[0].channel, 1)


def orchestra(text: str) -> Score:
    """Twenty parts of more than fifteen programs, one line for violins and flutes, the others silent."""
    words = (
        "piccolo", "flute", "oboe", "English horn", "clarinet", "bassoon", "horn", "trumpet", "trombone", "tuba",
        "timpani", "glockenspiel", "xylophone", "celesta", "soprano", "violin", "violin", "viola", "cello",
        "double bass",
    )  # fmt: skip
    plays = {"violin": line(text), "cello": line(text.replace(" pizzicato", "")), "flute": line("C5 1/1")}
    parts = tuple(part(word, f"part{index}") for index, word in enumerate(words))
    staves = tuple(tuple(staff(plays.get(p.instrument.key, ())) for _ in p.instrument.staves) for p in parts)
    return score(parts, movement(4, staves))


def test_plucked_strings_of_a_large_orchestra_sound_plucked_though_channels_are_shared() -> None:
    plucked = line("A4 1/4, B4 1/4, C5 1/4")
    techniques = (("pizzicato",), (), ("arco",))
    voice = tuple(
        replace(event, event=replace(event.event, marks=replace(event.event.marks, techniques=words)))
        for event, words in zip(plucked, techniques, strict=True)
    )
    made = orchestra("A3 1/4, B3 1/4")
    before = zip(made.parts, made.movements[0].staves, strict=True)
    staves = tuple((staff(voice),) if p.name == "part15" else own for p, own in before)
    file = read(replace(made, movements=(replace(made.movements[0], staves=staves),)))
    programs: dict[tuple[int, int], int] = {}
    struck = []
    for track in file.tracks:
        port = next((m.port for m in track if m.type == "midi_port"), 0)
        for message in track:
            if message.type == "program_change":
                programs[port, message.channel] = message.program
            elif message.type == "note_on" and track.name == "Violin" and message.note >= 69:
                struck.append((port, message.channel))
    # General MIDI Level 1: pizzicato strings 46, violin 41, counted from 1.
    assert [programs[place] for place in struck[:3]] == [45, 45, 40]


def test_muted_strings_are_softer_until_the_mute_is_off() -> None:
    plain = one_line("A4 1/4, B4 1/4, C5 1/4", "violin")
    (voice,) = plain.movements[0].staves[0][0].voices
    techniques = (("muted",), (), ("unmuted",))
    muted = tuple(
        replace(event, event=replace(event.event, marks=replace(event.event.marks, techniques=words)))
        for event, words in zip(voice, techniques, strict=True)
    )
    made = replace(plain, movements=(replace(plain.movements[0], staves=((staff(muted),),)),))
    level = LEVELS["mf"]
    assert [velocity for _, _, velocity, _ in strikes(made)] == [level - MUTED_BY, level - MUTED_BY, level]
    assert level - MUTED_BY > LEVELS["mp"]


def expression(made: Score) -> list[tuple[F, int]]:
    return [(now, m.value) for now, m in timed(read(made), 1) if m.type == "control_change" and m.control == 11]


def test_long_note_swells_with_its_hairpin() -> None:
    """Struck as loud as it becomes, and held back at first: the square of the shares is that of loudness."""
    made = one_line("C5 1/1 p <, D5 1/4 f !")
    course = expression(made)
    assert velocities("C5 1/1 p <, D5 1/4 f !")[0] > LEVELS["f"] - 4
    assert course[0][0] == 0 and course[0][1] == pytest.approx(127 * LEVELS["p"] / LEVELS["f"], abs=4)
    assert [value for _, value in course] == sorted(value for _, value in course)
    assert course[-1][1] == 127


def test_fading_note_is_struck_at_its_loudest_and_held_back_until_the_next() -> None:
    course = expression(one_line("C5 1/1 f >, D5 1/4 p !"))
    values = [value for _, value in course]
    assert values[:-1] == sorted(values[:-1], reverse=True) and course[-1] == (F(1), 127)
    assert values[-2] == pytest.approx(127 * LEVELS["p"] / LEVELS["f"], abs=4)


def test_forte_piano_falls_back_at_once() -> None:
    made = one_line("C5 1/1 fp, D5 1/4")
    assert strikes(made)[0][2] == LEVELS["f"]
    assert expression(made) == [(F(1, 16), round(127 * F(LEVELS["p"], LEVELS["f"]))), (F(1), 127)]


@pytest.mark.parametrize(
    ("words", "text"),
    [("flute", "C5 1/1 p, D5 1/4"), ("flute", "C5 1/8 p <, D5 1/8 f !"), ("piano", "C5 1/1 p <, D5 1/4 f !")],
)
def test_even_short_and_struck_notes_need_no_expression(words: str, text: str) -> None:
    if words == "piano":
        made = score((part("piano"),), movement(4, ((staff(line(text)), staff()),)))
        assert expression(made) == []
    else:
        assert expression(one_line(text, words)) == []


def test_two_voices_of_a_staff_do_not_swell_each_other() -> None:
    upper, lower = line("C5 1/1 p <, D5 1/4 f !"), line("C4 1/1, D4 1/4")
    assert expression(score((part("violin"),), movement(4, ((staff(upper, lower),),)))) == []


def test_soloist_and_section_are_louder_than_one_player_and_places_are_those_of_the_stage() -> None:
    """Places by common practice: first violins on the left, basses on the right, one alone in the middle."""
    violin, bass, flute = part("violin"), part("double bass"), part("flute")
    section, solo = replace(violin, section=True), replace(violin, soloist=True)
    found = seats((flute, violin, section, solo, bass))
    assert found[3].volume > found[2].volume > found[1].volume
    assert found[0].volume > found[1].volume
    assert found[1].place < found[2].place < MIDDLE < found[4].place and found[3].place == MIDDLE
    assert seats((bass,))[0].place == MIDDLE
    made = score((part("flute"),), movement(1, ((staff(),),)))
    controls = {m.control: m.value for _, m in timed(read(made), 1) if m.type == "control_change"}
    assert controls == {7: seats(made.parts)[0].volume, 10: MIDDLE}  # General MIDI Level 1: 7 volume, 10 pan


def test_unpitched_part_plays_its_key_on_channel_ten() -> None:
    made = one_line("B4 1/4, B4 1/4", "snare drum")
    messages = [m for _, m in timed(read(made), 1) if m.type == "note_on"]
    # General MIDI Level 1 percussion key map: 38 is the acoustic snare.
    assert [(m.channel, m.note) for m in messages] == [(9, 38), (9, 38)]


def test_names_and_programs() -> None:
    made = score((part("clarinet"), part("harp")), movement(1, ((staff(),), (staff(), staff()))))
    file = read(made)
    assert [track.name for track in file.tracks] == ["Three Watches", "Clarinet in B♭", "Harp"]
    # General MIDI Level 1: clarinet 72, orchestral harp 47, counted from 1.
    programs = [m.program for n in (1, 2) for _, m in timed(file, n) if m.type == "program_change"]
    assert programs == [71, 46]


def test_letters_are_lyrics_only_if_shown() -> None:
    event = ScoreEvent(F(1, 4), Event(F(1, 4), heads("F4", "T")), one_line("C4 1/4").movements[0].span)
    parts, music = (part("flute"),), movement(1, ((staff((event,)),),))
    shown = score(parts, music, header=Header("X", show_letters=True))
    assert [(now, m.text) for now, m in of_type(read(shown), "lyrics", 1)] == [(F(1, 4), "T")]
    assert of_type(read(score(parts, music)), "lyrics", 1) == []


def test_words_are_utf8_whatever_they_hold() -> None:
    made = score((part("flute"),), movement(1, ((staff(),),)), header=Header("Три вахты ♭ \ud800"))
    assert read(made).tracks[0].name == "Три вахты ♭ ?"


def test_score_without_parts_or_notes_is_a_file() -> None:
    assert len(read(score((), movement(1, ()))).tracks) == 1
    assert strikes(score((part("flute"),), movement(1, ((staff(),),)))) == []
