"""The LilyPond text of written scores: the same from every Abjad, and what its commands say."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from compiling import score_from
from emit_lilypond_scores import (
    REST,
    bar,
    cadenza_between,
    frame,
    leaf,
    line,
    movement,
    part,
    piano_with_drum,
    quintet_and_soloist,
    tempo,
)

from cavata import pipeline
from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import find_lilypond
from cavata.lilypond.frames import tempo_command
from cavata.lilypond.leaves import duration_text, key_command, pitch_text
from cavata.music.pitch import parse_pitch
from cavata.musicxml.document import musicxml_bytes
from cavata.names.paper import USUAL
from cavata.notate.paper.layout import laid_out
from cavata.notate.paper.page import staff_size
from cavata.notate.written import Leaf, WrittenItem, WrittenMovement, WrittenStaff, length_of
from cavata.score.score import Header
from cavata.text import without_short_tail

GOLDEN = Path(__file__).parent / "test_emit_lilypond_golden"


@pytest.mark.parametrize("build", [quintet_and_soloist, piano_with_drum, cadenza_between])
def test_text_is_the_same_from_every_abjad(build: object, request: pytest.FixtureRequest) -> None:
    """One stored text for Abjad 3.19 and 3.31: the test runs under both."""
    text = lilypond_text(build())  # type: ignore[operator]  # one of the three above
    stored = GOLDEN / f"{build.__name__}.ly"  # type: ignore[attr-defined]
    if request.config.getoption("--update", default=False):
        stored.parent.mkdir(exist_ok=True)
        stored.write_bytes(text.encode())
    assert text == stored.read_bytes().decode()


def one_staff(*bars: object, frames: tuple[object, ...] = (), **header: object) -> str:
    """The text of a violin alone."""
    staff = WrittenStaff("treble", bars)  # type: ignore[arg-type]  # bars
    made = frames or tuple(frame(number, "4/4") for number in range(1, len(bars) + 1))
    music = movement("first", "", made, (part("violin", "Violin", "Vln.", staff),))  # type: ignore[arg-type]  # frames
    return lilypond_text(laid_out(Header("Title", **header), (), (music,)))  # type: ignore[arg-type]  # fields


def tokens(text: str) -> str:
    """The text with each run of blanks as one."""
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize(
    ("fifths", "key"),
    [(-7, "cf"), (-6, "gf"), (-5, "df"), (-4, "af"), (-3, "ef"), (-2, "bf"), (-1, "f"), (0, "c"),
     (1, "g"), (2, "d"), (3, "a"), (4, "e"), (5, "b"), (6, "fs"), (7, "cs"), (8, "gs"), (-8, "ff")],
)  # fmt: skip
def test_signatures_follow_the_circle_of_fifths(fifths: int, key: str) -> None:
    """Source: common practice."""
    assert key_command(fifths) == f"\\key {key} \\major"


@pytest.mark.parametrize(
    ("pitch", "text"),
    [("C4", "c'"), ("C3", "c"), ("B2", "b,"), ("F#5", "fs''"), ("Bb1", "bf,,"), ("G##4", "gss'"), ("Ebb4", "eff'")],
)
def test_pitches_are_absolute_with_english_names(pitch: str, text: str) -> None:
    """Source: LilyPond Notation Reference 2.24, 1.1.1, "Absolute octave entry" and "Note names in other languages"."""
    assert pitch_text(parse_pitch(pitch)) == text


def test_values_longer_than_a_whole_note_have_names() -> None:
    """Source: LilyPond Notation Reference 2.24, 1.2.1."""
    assert duration_text(Fraction(2), 0) == "\\breve"
    assert duration_text(Fraction(1, 8), 2) == "8.."


def test_printed_accidentals_are_forced_and_courtesies_bracketed() -> None:
    text = tokens(one_staff(bar(*line("F#4!:4 F4?:4 F#4+A4!:2"))))
    assert "fs'!4 f'?4 <fs' a'!>2" in text


def test_inner_beams_are_broken_where_written() -> None:
    broken = tokens(one_staff(bar(*line("C5:16[[ D5:16-] E5:16-[ F5:16]] r:2."))))
    assert "\\set stemRightBeamCount = #1 d''16 \\set stemLeftBeamCount = #1 e''16" in broken
    whole = one_staff(bar(*line("C5:16[[ D5:16-- E5:16-- F5:16]] r:2.")))
    assert "BeamCount" not in whole


def test_hook_inside_a_beam_points_where_written() -> None:
    text = tokens(one_staff(bar(*line("C5:8.[ D5:16-< E5:8- F5:8] r:2"))))
    assert "\\set stemLeftBeamCount = #2 \\set stemRightBeamCount = #1 d''16" in text


def test_tuplets_show_a_ratio_where_one_figure_says_too_little() -> None:
    """A duplet of compound time is told by its figure. Source: common practice."""
    text = tokens(lilypond_text(piano_with_drum()))
    assert "\\tuplet 2/3" in text
    assert "\\tweak text #tuplet-number::calc-fraction-text \\tuplet 11/8" in text
    assert text.count("calc-fraction-text") == 1
    assert text.count("\\tuplet") == 5


@pytest.mark.parametrize(
    ("beat", "per_minute", "words", "command"),
    [
        ("1/4", "96", "", "\\tempo 4 = 96"),
        ("3/8", "60", "Rocking", '\\tempo "Rocking" 4. = 60'),
        ("1/4", "185/2", "", '\\tempo \\markup \\normal-text \\concat '
         '{ \\smaller \\general-align #Y #DOWN \\note {4} #UP " = 92.5" }'),
        ("5/8", "40", "", '\\tempo \\markup \\normal-text \\concat { \\smaller \\general-align #Y #DOWN \\note {2} #UP '
         '" + " \\smaller \\general-align #Y #DOWN \\note {8} #UP " = 40" }'),
        ("1/12", "40", "", '\\tempo \\markup \\normal-text \\concat { "1/12" " = 40" }'),
    ],
)  # fmt: skip
def test_tempo_says_beat_and_figure(beat: str, per_minute: str, words: str, command: str) -> None:
    assert tempo_command(tempo(beat, per_minute, words)) == command


def test_tempo_inside_a_bar_stands_at_its_offset() -> None:
    inside = ((Fraction(3, 4), tempo("1/4", "60")),)
    text = tokens(one_staff(REST, frames=(frame(1, "4/4", tempi=inside),)))
    assert "s1 * 3/4 \\tempo 4 = 60 s1 * 1/4" in text


def test_tempo_that_only_goes_on_is_not_printed() -> None:
    going_on = ((Fraction(0), replace(tempo("1/4", "60"), printed=False)),)
    assert "\\tempo" not in one_staff(REST, frames=(frame(1, "4/4", tempi=going_on),))


def test_hairpin_ends_at_a_dynamic_or_by_itself() -> None:
    rising = leaf("C5:2", hairpin="crescendo")
    at_dynamic = one_staff(bar(rising, leaf("D5:2", dynamic="f", hairpin_ends=True)))
    alone = one_staff(bar(rising, leaf("D5:2", hairpin_ends=True)))
    assert "\\<" in at_dynamic and "\\!" not in at_dynamic and "\\f" in at_dynamic
    assert "\\!" in alone


def test_later_movements_leave_out_parts_that_never_play() -> None:
    text = lilypond_text(cadenza_between())
    opening, alone, last = text.split("\\score\n")[1:]
    assert opening.count("instrumentName =") == 7 and '"Bassoon"' in opening
    assert alone.count("instrumentName =") == 1 and '"Bassoon"' not in alone and '"Bn."' in alone
    assert '"Hp."' not in last and last.count("instrumentName =") == 6


def test_soloists_stand_outside_the_bracket_of_their_group() -> None:
    score = quintet_and_soloist(2)
    everyone = tuple(one.part.name for one in score.movements[0].parts)
    wide = replace(score, groups=(*score.groups, replace(score.groups[0], parts=everyone)))
    assert lilypond_text(score) == lilypond_text(wide)
    assert lilypond_text(score).count("\\context StaffGroup") == 1


def test_letters_are_given_by_time_and_only_if_asked_for() -> None:
    """A letter lasts until the next one, whatever ties, rests and tuplets lie between."""
    shown = tokens(lilypond_text(quintet_and_soloist(3)))
    assert '\\set associatedVoice = "P1S1V1" "T" 1 * 3/8 "A" 1 * 1/8 "M" 1 * 1/4 "S"' in shown
    assert '"N" 1 * 1/4 "T" 1 * 3/4 }' in shown
    score = quintet_and_soloist(3)
    assert "Lyrics {" not in tokens(lilypond_text(replace(score, header=Header("Three Watches")))).split("\\score")[1]


def test_free_time_has_no_bar_lines_and_may_break_between_notes() -> None:
    cadenza = cadenza_between().movements[1]
    breaks = cadenza.line_breaks
    assert breaks[0] == tuple(Fraction(n, 8) for n in (5, 9))
    assert breaks[1] == tuple(Fraction(n, 2) for n in range(1, 9))
    block = lilypond_text(cadenza_between()).split("\\score\n")[2]
    assert "\\time" not in block and "\\once \\omit Score.TimeSignature" in block and "\\omit Score.BarNumber" in block


def test_measured_time_breaks_only_at_bar_lines() -> None:
    assert set(quintet_and_soloist(6).movements[0].line_breaks) == {()}


def test_pickup_is_counted_as_nought() -> None:
    text = tokens(lilypond_text(piano_with_drum()))
    assert "currentBarNumber = #0 \\time 6/8 \\set Timing.measureLength = #(ly:make-moment 1/8)" in text


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("Horns III, IV in F", ["Horns III, IV", "in F"]),
        ("Clarinet III in B♭", ["Clarinet III", "in B♭"]),
        ("Horns I, II in F", ["Horns I, II in F"]),
        ("Flute", ["Flute"]),
    ],
)
def test_key_of_an_instrument_is_not_left_alone_in_a_line(name: str, lines: list[str]) -> None:
    assert without_short_tail(name, 16) == lines


def test_staves_grow_smaller_as_there_are_more() -> None:
    sizes = [staff_size(staves, USUAL) for staves in range(1, 40)]
    assert sizes[0] == 20 and sizes == sorted(sizes, reverse=True) and sizes[-1] >= 8


def test_unknown_clef_is_never_passed_on() -> None:
    staff = WrittenStaff('treble" #(system "ls', (REST,))
    music = movement("first", "", (frame(1, "4/4"),), (part("violin", "Violin", "Vln.", staff),))
    assert '\\clef "treble"' in lilypond_text(laid_out(Header("T"), (), (music,)))


def test_piece_for_one_part_names_it_once() -> None:
    text = one_staff(REST)
    assert text.count('"Violin"') == 1 and '"Vln."' not in text
    assert "short-indent = 0\\mm" in text


def test_only_a_very_short_movement_stops_before_the_margin() -> None:
    """A last system that is not stretched may hold a single bar; only music of less than a line gains by it."""
    assert "ragged-last" in one_staff(REST)
    assert "ragged-last = ##t" not in lilypond_text(quintet_and_soloist())


def begun(item: WrittenItem, now: Fraction, scale: Fraction) -> set[tuple[Fraction, int]]:
    """Onset in whole notes and MIDI key of every note that begins in an item."""
    if isinstance(item, Leaf):
        return {(now, head.pitch.midi) for head in item.heads if not head.tie_ends}
    scale *= Fraction(item.normal, item.actual)
    notes: set[tuple[Fraction, int]] = set()
    for inner in item.items:
        notes |= begun(inner, now, scale)
        now += length_of(inner) * scale
    return notes


def written_notes(movement: WrittenMovement) -> set[tuple[Fraction, int]]:
    notes: set[tuple[Fraction, int]] = set()
    for staff in (staff for one in movement.parts for staff in one.staves):
        start = Fraction(0)
        for written, shared in zip(staff.bars, movement.frames, strict=True):
            for voice in written.voices:
                now = start
                for item in voice:
                    notes |= begun(item, now, Fraction(1))
                    now += length_of(item)
            start += shared.duration
    return notes


@pytest.mark.slow
def test_lilypond_reads_every_note_at_its_time(tmp_path: Path) -> None:
    """LilyPond's own reading of the texts, by the MIDI files it makes of them, against the written bars."""
    movements: dict[str, WrittenMovement] = {}
    for text, build in (("quintet", quintet_and_soloist), ("piano", piano_with_drum), ("cadenza", cadenza_between)):
        score = build()
        with_midi = lilypond_text(score).replace("    \\layout\n", "    \\midi { }\n    \\layout\n")
        (tmp_path / f"{text}.ly").write_text(with_midi)
        names = [f"{text}.midi", *(f"{text}-{number}.midi" for number in range(1, len(score.movements)))]
        movements |= zip(names, score.movements, strict=True)
    program = find_lilypond()
    assert isinstance(program, str), program
    texts = [path.name for path in tmp_path.glob("*.ly")]
    subprocess.run([program, "--loglevel=ERROR", "-dno-print-pages", *texts], cwd=tmp_path, check=True)
    for name, one in movements.items():
        midi = mido.MidiFile(tmp_path / name)
        read: set[tuple[Fraction, int]] = set()
        for track in midi.tracks:
            now = 0
            for message in track:
                now += message.time
                if message.type == "note_on" and message.velocity:
                    read.add((Fraction(now), message.note))
        expected = {(round(onset * 4 * midi.ticks_per_beat), key) for onset, key in written_notes(one)}
        # A tick is 1/1536 of a whole note: elevenths of a beat do not fall on one.
        near = {(tick + shift, key) for tick, key in expected for shift in (-1, 0, 1)}
        assert len(expected) > 10 and len(read) == len(expected) and read <= near


@pytest.mark.slow
def test_first_use_says_nothing(tmp_path: Path) -> None:
    """In a home folder where Abjad has never been used its parser would warn about tables."""
    program = (
        "from emit_lilypond_scores import piano_with_drum; from cavata.lilypond.document import lilypond_text; "
        "lilypond_text(piano_with_drum())"
    )
    path = os.pathsep.join((str(Path(__file__).parent), os.environ.get("PYTHONPATH", "")))
    environment = os.environ | {"HOME": str(tmp_path), "PYTHONPATH": path}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, check=True)
    assert (done.stdout, done.stderr) == (b"", b"")


@pytest.mark.parametrize(
    ("meter", "shown"), [("7/8 as 2+2+3", "'((2 2 3 8))"), ("5/4 as 3+2", "'((3 2 4))"), ("5/4", "")]
)  # fmt: skip
def test_groups_of_a_bar_stand_in_its_time_signature_where_the_script_says_them(meter: str, shown: str) -> None:
    """Source: MusicXML 4.0, `beats`: "a composite time signature such as 3+2 over 8"."""
    script = f"language 2\nforces\n    v = violin\nmovement one\n    meter {meter}\n    v: notes(1/4 D5) x 10\n"
    text = lilypond_text(pipeline.written(score_from(script)))
    assert text.count("#:compound-meter") == bool(shown) and shown in text


def test_key_after_none_has_a_double_bar_before_it() -> None:
    """A clarinet's signature changes there though the violin's does not. Source: common practice."""
    parts = "forces\n    c = clarinet\n    v = violin\nmovement one\n"
    first, second = "    section a 1 bar\n        v: notes(1/1 D5)\n", "    section b 1 bar\n        c: notes(1/1 D5)\n"
    page = pipeline.written(score_from(f"language 2\n{parts}{first}{second}        key C major\n"))
    assert [frame.barline for frame in page.movements[0].frames] == ["double", "final"]


def test_rests_of_two_voices_stand_on_the_outer_lines_of_a_set_of_percussion() -> None:
    """Source: common practice."""
    forces = "forces\n    t = triangle\n    c = claves\n    d = bass drum\nstaff kit = t, c, d\n"
    music = "movement one\n    t: (1/4 1/4 rest 1/2)\n    d: (1/2 1/2 rest)\n"
    text = lilypond_text(pipeline.written(full_score(score_from(f"language 2\n{forces}{music}"))))
    assert "\\override Rest.staff-position = #2" in text and "\\override Rest.staff-position = #-2" in text


def test_musicxml_shows_the_ratio_where_the_page_does() -> None:
    """`show-number` of MusicXML 4.0."""
    line = "notes(3/16 C5 D5 E5 F5, 3/40 C5 D5 E5 F5 G5, 3/8 C5)"
    rows = f"movement one\n    meter 6/8\n    v: {line}\n"
    page = pipeline.written(score_from(f"language 2\nforces\n    v = violin\n{rows}"))
    begun = re.findall(r'<tuplet type="start"[^>]*>', musicxml_bytes(page, "one").decode())
    assert ['show-number="both"' in tuplet for tuplet in begun] == [False, False, True]
