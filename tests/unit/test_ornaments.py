"""Ornaments, techniques and colors, from the script to what other programs read in the files.

Sources: the parsers of music21 and mido, and LilyPond itself, none of which is this project's.
"""

from __future__ import annotations

import re
from fractions import Fraction as F
from io import BytesIO
from itertools import groupby, pairwise
from pathlib import Path
from xml.etree import ElementTree

import mido
import music21
import pytest
from compiling import score_from
from hypothesis import given, settings
from hypothesis import strategies as st
from musicxml_schema import faults
from rounds import rounds

from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.music.event import Event, Head, Letter, Motif, Origin, neighbor
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, PitchClass, parse_pitch
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore, leaves
from cavata.pipeline import compile_script, written
from cavata.score.clock import Clock, paces
from cavata.score.colors import PALETTE
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes
from cavata.source import Source, Span
from cavata.transforms.figuration import neighbors, passing

HEAD = """language 2
use french, german from ciphers
name tamsin = "TAMSIN" by french
name hedda = "HEDDA" by german
motif tune = notes(1/4 D5 E5 F5 G5)
forces
    violin = violin
    cello = cello
    harp = harp

"""


def placed(rows: str, head: str = HEAD) -> Score:
    return score_from(head + rows)


def page(rows: str, head: str = HEAD) -> WrittenScore:
    return written(placed(rows, head))


def played(score: Score, part: int = 0) -> list[tuple[F, int, F]]:
    """Onset and length in whole notes, and key, of what sounds on a part's track."""
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    found, begun, now = [], {}, 0
    for message in file.tracks[part + 1]:
        now += message.time
        if message.type == "note_on":
            begun[message.note] = now
        elif message.type == "note_off":
            start = begun.pop(message.note)
            found.append((F(start, 4 * file.ticks_per_beat), message.note, F(now - start, 4 * file.ticks_per_beat)))
    return sorted(found)


def line(steps: str, part: str = "violin") -> str:
    return f"movement first\n    {part}: {steps}\n"


# ------------------------------------------------------------------ neighbors


def test_neighbor_is_the_next_place_of_the_staff_in_the_signature() -> None:
    assert neighbor(parse_pitch("A4"), 1, -1) == parse_pitch("Bb4")
    assert neighbor(parse_pitch("E4"), -1, 2) == parse_pitch("D4")


def heads(*places: int) -> list[Event]:
    span = Span(Source("x", "x"), 0, 1)
    return [
        Event(F(1, 4), (Head(Pitch(p, 0), (Origin(Letter("tamsin", "T", n, "french"), span),)),))
        for n, p in enumerate(places, 1)
    ]


def without_repeats(pitches: list[Pitch]) -> list[Pitch]:
    return [pitch for pitch, _ in groupby(pitches)]


@settings(max_examples=rounds(9), deadline=None)
@given(st.lists(st.integers(20, 40), max_size=8), st.sampled_from((neighbors, passing)))
def test_figuration_keeps_length_order_and_letters(places: list[int], figure: object) -> None:
    assert callable(figure)
    motif = Motif(tuple(heads(*places)))
    result = figure(motif, Mode(PitchClass(1, 0), "minor"))
    assert result.duration == motif.duration
    added = [e for e in result.events if e.heads[0].origins[0].steps]
    kept = [e.heads[0].pitch for e in result.events if e not in added]
    assert without_repeats(kept) == without_repeats([event.heads[0].pitch for event in motif.events])
    positions = [o.letter.position for e in result.events for h in e.heads for o in h.origins if o.letter]
    assert positions == sorted(positions) and set(positions) == set(range(1, len(places) + 1))


# ------------------------------------------------------------------ as they are played


def test_trill_alternates_with_the_note_of_the_signature_and_ends_on_the_note() -> None:
    score = placed("movement first\n    key D minor\n    violin: notes(1/2 A4) -> trill 1\n")
    keys = [key for _, key, _ in played(score)]
    assert len(keys) == 17 and keys == [69, 70] * 8 + [69]


def test_trill_to_an_interval_goes_there() -> None:
    assert {key for _, key, _ in played(placed(line("notes(1/2 A4) -> trill 1 to M2")))} == {69, 71}


@pytest.mark.parametrize(
    ("note", "interval", "sign"),
    [("E5", "M2", ""), ("E5", "m2", "natural"), ("A4", "M2", ""), ("A4", "m2", "flat"), ("C#5", "M2", "sharp")],
)
def test_trill_shows_an_accidental_that_the_signature_has_not(note: str, interval: str, sign: str) -> None:
    """In D major F and C are sharp: F# needs no sign, F a natural. Source: common practice."""
    made = page(f"movement first\n    key D major\n    violin: notes(1/2 {note}) -> trill 1 to {interval}\n")
    (part, *_) = made.movements[0].parts
    leaf = next(leaves(part.staves[0].bars[0].voices[0]))
    assert [ornament.sign for ornament in leaf.marks.ornaments] == [sign]


def signs_of(rows: str, instrument: str) -> list[tuple[str, str]]:
    """The accidentals above and below the ornaments of a part."""
    score = score_from(f"language 2\nforces\n    player = {instrument}\nmovement first\n    player: {rows}\n")
    (part, *_) = written(score).movements[0].parts
    return [
        (ornament.sign, ornament.sign_below)
        for bar in part.staves[0].bars for leaf in leaves(bar.voices[0]) for ornament in leaf.marks.ornaments
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("instrument", "line", "signs"),
    [
        # E and F sound where G and A flat are read, E and D where G and F are.
        ("clarinet in A", "notes(1/2 E5) -> trill", [("flat", "")]),
        ("clarinet in A", "notes(1/2 E5) -> trill to M2", [("", "")]),
        ("clarinet in A", "notes(1/2 E5 B4) -> turn", [("flat", ""), ("flat", "")]),
        ("clarinet in A", "notes(1/2 E5 D5) -> mordent", [("", ""), ("", "flat")]),
        ("violin", "notes(1/2 E5 F5) -> turn", [("", ""), ("", "")]),
        # F sharp holds for the rest of the bar, and a reader would take it again.
        ("violin", "notes(1/2 F#5 E5) -> trill 2", [("natural", "")]),
        ("violin", "notes(1/2 F#5 G5) -> turn 2", [("", "natural")]),
        ("violin", "notes(1/1 F#5 E5) -> trill 2", [("", "")]),
        ("snare drum", "notes(1/2 E5) -> trill", [("", "")]),
    ],
)  # fmt: skip
def test_ornament_says_which_neighbors_are_played(instrument: str, line: str, signs: list[tuple[str, str]]) -> None:
    """Played are naturals where there is no signature, read at the player's pitch: a clarinet in A reads a minor third
    higher. Source: common practice, of accidentals above and below the sign."""
    assert signs_of(line, instrument) == signs


TURNED = "notes(1/4 D#3 F#3 E3 E3) -> turn 3 -> mordent 4"


def test_accidentals_of_a_turn_stand_above_and_below_it() -> None:
    """Source: MusicXML 4.0, `accidental-mark` after the ornament that it belongs to, with its placement."""
    made = page(line(TURNED, "cello"))
    data = musicxml_bytes(made, "first")
    ornaments = ElementTree.fromstring(data).iter("ornaments")
    found = [[(each.tag, each.get("placement"), each.text) for each in group] for group in ornaments]
    above, below = ("accidental-mark", "above", "natural"), ("accidental-mark", "below", "natural")
    assert found == [[("turn", "above", None), above, below], [("mordent", "above", None), below]]
    assert not faults(data)
    columns = re.findall(r"\\center-column \{(.*?)\}", lilypond_text(made))
    drawn = [re.findall(r"scripts\.(?:turn|mordent)|natural", column) for column in columns]
    assert drawn == [["natural", "scripts.turn", "natural"], ["scripts.mordent", "natural"]]


def test_turn_and_mordent() -> None:
    keys = [key for _, key, _ in played(placed(line("notes(1/4 A4 A4) -> turn 1 -> mordent 2")))]
    assert keys == [71, 69, 67, 69, 69, 67, 69]


def test_tremolo_repeats_its_value() -> None:
    strokes = played(placed(line("notes(1/4 A4) -> tremolo 1/16")))
    assert [(onset, key) for onset, key, _ in strokes] == [(F(n, 16), 69) for n in range(4)]


def test_grace_notes_take_their_time_from_the_note_before() -> None:
    strokes = played(placed(line("notes(1/4 D5 E5) -> graced 2 by notes(1/8 A4 B4)")))
    assert [(onset, key) for onset, key, _ in strokes] == [(F(0), 74), (F(3, 16), 69), (F(7, 32), 71), (F(1, 4), 76)]
    assert strokes[0][2] <= F(3, 16)


def test_grace_notes_at_the_very_beginning_are_on_the_beat() -> None:
    strokes = played(placed(line("notes(1/4 D5) -> graced 1 by notes(1/8 A4)")))
    assert [(onset, key) for onset, key, _ in strokes] == [(F(0), 69), (F(1, 32), 74)]


def test_rolled_chord_begins_with_its_lowest_note_and_ends_together() -> None:
    strokes = played(placed(line("notes(1/2 chord(C5 E5 G5)) -> rolled", "harp")), 2)
    assert [key for _, key, _ in strokes] == [72, 76, 79]
    assert all(a[0] < b[0] for a, b in pairwise(strokes))
    assert len({onset + length for onset, _, length in strokes}) == 1


@pytest.mark.parametrize("value", ["1/2", "1/8", "1/32", "1/64"])
def test_short_rolled_chord_has_all_its_notes_before_its_half(value: str) -> None:
    """However short it is, every note sounds, one after another, and all of them together at its end."""
    strokes = played(placed(line(f"notes({value} chord(C5 E5 G5 C6)) -> rolled", "harp")), 2)
    assert [key for _, key, _ in strokes] == [72, 76, 79, 84]
    assert all(a[0] < b[0] for a, b in pairwise(strokes))
    assert strokes[-1][0] < F(value) / 2
    assert len({onset + length for onset, _, length in strokes}) == 1


def test_glissando_runs_to_the_next_note() -> None:
    keys = [key for _, key, _ in played(placed(line("notes(1/4 C5 E5) -> glissando 1")))]
    assert keys == [72, 73, 74, 75, 76]


@pytest.mark.parametrize(
    ("player", "key", "notes", "keys"),
    [
        ("harp", "key D minor", "D5 D6", "74 76 77 79 81 82 84 86"),
        ("harp", "key none", "C5 G5", "72 74 76 77 79"),
        ("harp", "key A major", "A5 A4", "81 80 78 76 74 73 71 69"),
        ("piano", "key A major", "C5 G5", "72 74 76 77 79"),
        ("piano", "key none", "F#5 C#6", "78 80 82 85"),
        ("marimba", "key none", "G4 C4", "67 65 64 62 60"),
        ("piano", "key none", "C5 D#5", "72 73 74 75"),
        ("trombone", "key none", "C4 A3", "60 59 58 57"),
        ("timpani", "key none", "G2 B2", "43 44 45 46 47"),
    ],
)
def test_glissando_passes_what_the_instrument_has_between(player: str, key: str, notes: str, keys: str) -> None:
    """Strings of a harp as the pedals have them, keys of one color, else semitones. Source: common practice."""
    script = (
        f"language 2\nforces\n    a = {player}\nmovement first\n    {key}\n    a: notes(1/2 {notes}) -> glissando 1\n"
    )
    assert [key for _, key, _ in played(score_from(script))] == list(map(int, keys.split()))


def test_pizzicato_has_its_program_and_the_pedal_its_control() -> None:
    score = placed(line("tune -> marked pizzicato, tune -> marked arco") + "    harp: tune -> sustain_pedal\n")
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    assert [m.program for m in file.tracks[1] if m.type == "program_change"] == [40, 45, 40]
    assert [m.value for m in file.tracks[3] if m.type == "control_change" and m.control == 64] == [127, 0]


# ------------------------------------------------------------------ time


def test_a_change_of_tempo_takes_its_length_times_the_mean_beat() -> None:
    """Twelve beats from 60 to 48 in a minute: the first lasts 1 s, what follows the last 1.25 s."""
    rows = "    meter 3/4\n    tempo 1/4 at 60\n    tempo at bar 1: broadening to 1/4 at 48 over 4 bars\n"
    movement = placed(line("notes(3/4 D5) x 4") + rows).movements[0]
    clock = Clock(movement)
    assert clock.between(F(0), movement.duration) == clock.length == F(27, 2)
    beats = [clock.between(F(n, 4), F(n + 1, 4)) for n in range(12)]
    assert len({b - a for a, b in pairwise(beats)}) == 1


def test_a_fermata_lengthens_by_what_it_says_and_the_longest_of_several_counts() -> None:
    rows = "movement first\n    tempo 1/4 at 60\n    violin: notes(1/2 D5 E5) -> fermata last by 1/4\n"
    movement = placed(rows).movements[0]
    assert Clock(movement).between(F(0), F(1)) == 5
    both = placed(rows + "    cello: notes(3/4 D3, 1/4 E3) -> fermata last by 1/2\n").movements[0]
    assert Clock(both).between(F(0), F(1)) == 6
    assert Clock(both).between(F(0), F(3, 4)) == 3


def test_the_midi_file_lasts_as_long_as_the_clock_says() -> None:
    rows = """cadenza alone
    tempo 1/4 at 72
    tempo after 1/4: broadening to 1/4 at 30 over 3/4
    tempo after 1/1: pressing on to 1/8 at 200 over 1/3
    violin: tamsin -> fermata 2 4 by 1/8, tune
    cello after 1/2: hedda -> fermata last by 1/2
"""
    score = placed(rows)
    movement = score.movements[0]
    clock = sum((pace.seconds for pace in paces(movement)), F(0))
    assert mido.MidiFile(file=BytesIO(midi_bytes(score))).length == pytest.approx(float(clock), abs=0.001)


# ------------------------------------------------------------------ on the page


ALL_SIGNS = """movement first
    violin: tune -> trill 1 to m2 -> turn 2 -> mordent 3 -> graced 1 by notes(1/8 C5 D5)
        , tune -> tremolo 1/32 -> glissando 1 -> fermata last by 1/4
        , tune -> marked harmonic pizzicato muted -> graced 2 by notes(1/8 C5)
    cello: notes(1/1 C3)
    harp: chord(C4 E4 G4) held 1/1 -> rolled -> sustain_pedal, notes(1/60 C5 D5 E5, 1/20 F5 G5 A5 B5, 3/4 C5)
"""


def test_music21_reads_every_sign() -> None:
    read = music21.converter.parse(musicxml_bytes(page(ALL_SIGNS), "first"), format="musicxml")
    violin = list(read.parts[0].flatten().notes)
    real = [note for note in violin if not note.duration.isGrace]
    assert [type(real[n].expressions[0]).__name__ for n in range(3)] == ["Trill", "Turn", "Mordent"]
    signs = [sign for note in real[4:8] for sign in note.expressions]
    assert [sign.numberOfMarks for sign in signs if type(sign).__name__ == "Tremolo"] == [3, 3, 3, 3]
    assert [n.nameWithOctave for n in violin if n.duration.isGrace] == ["C5", "D5", "C5"]
    assert [n.duration.slash for n in violin if n.duration.isGrace] == [False, False, True]
    assert [len(real[n].getSpannerSites("Glissando")) for n in (4, 5, 6)] == [1, 1, 0]
    assert "StringHarmonic" in {type(sign).__name__ for sign in real[8].articulations}
    texts = [text.content for text in read.parts[0].flatten().getElementsByClass("TextExpression")]
    assert texts == ["pizz., con sord."]
    harp = next(iter(read.parts[2].flatten().notes))
    assert "ArpeggioMark" in {type(sign).__name__ for sign in harp.expressions}
    nested = [note for note in read.parts[2].flatten().notes if len(note.duration.tuplets) == 2]
    assert [note.quarterLength for note in nested] == [F(1, 15)] * 3


@pytest.mark.slow
def test_lilypond_engraves_every_sign_without_remarks() -> None:
    rows = ALL_SIGNS.replace("movement first", "movement first\n    key D minor").replace("notes(1/1 C3)", TURNED)
    text = lilypond_text(page(rows, COLORED))
    assert "scripts.turn" in text and "scripts.mordent" in text
    assert "\\slashedGrace" in text and ":32" in text and "\\arpeggio" in text and "\\sustainOn" in text
    made = engrave(text, frozenset(("svg",)))
    assert isinstance(made, Engraving), made
    assert made.remarks == ()


# ------------------------------------------------------------------ colors


COLORED = HEAD.replace("name tamsin", 'piece "Signal"\n    show colors\nname tamsin', 1)


def test_heads_have_the_color_of_their_name_and_others_none() -> None:
    written_page = page(line("tamsin -> first 1, hedda -> first 1, tune -> first 1"), COLORED)
    read = music21.converter.parse(musicxml_bytes(written_page, "first"), format="musicxml")
    assert [note.style.color for note in read.parts[0].flatten().notes] == [PALETTE[0], PALETTE[1], None]
    assert written_page.header.colors == (("tamsin", PALETTE[0]), ("hedda", PALETTE[1]))
    assert not written_page.colors_note
    legend = next(e for e in lilypond_text(written_page).split("\\markup \\fill-line") if PALETTE[1] in e)
    assert '"tamsin"' in legend and '"hedda"' in legend


def test_a_head_of_two_names_takes_the_first_and_the_legend_says_so() -> None:
    written_page = page(line("tamsin + hedda -> as chord", "harp"), COLORED)
    assert written_page.colors_note
    assert "color of the first" in lilypond_text(written_page)
    assert "color of the first" in musicxml_bytes(written_page, "first").decode()


def test_nothing_is_colored_unless_the_piece_says_so() -> None:
    assert "color" not in musicxml_bytes(page(line("tamsin")), "first").decode()


def test_single_note_has_nothing_to_roll() -> None:
    """The wavy line stands before chords only: a chord of one note in a rolled line has none (common practice)."""
    text = SINGLE_NOTES_ROLLED
    written_score = written(compile_script(Path("rolled.cavata"), text=text).score)  # type: ignore[arg-type]
    staff = written_score.movements[0].parts[0].staves[0]
    sounding = [leaf for bar in staff.bars for leaf in leaves(bar.voices[0]) if leaf.heads]
    signs = [[ornament.kind for ornament in leaf.marks.ornaments] for leaf in sounding]
    assert signs == [["rolled"], []]


SINGLE_NOTES_ROLLED = """language 2
forces
    harp = harp
movement only
    harp.right: notes(1/2 chord(C4 E4 G4) A4) -> rolled
"""


@pytest.mark.parametrize(("ornaments", "kept"), [("", []), (" -> trill 1", ["trill"])])
def test_note_of_a_rolled_chord_that_is_dealt_out_has_no_wavy_line(ornaments: str, kept: list[str]) -> None:
    """Each of two players has one note of the chord; a trill of theirs stays. Source: common practice."""
    line = f"motif swept = notes(1/1 chord(G4 D5)) -> rolled{ornaments}\n"
    text = f"language 2\n{line}forces\n    one = violin\n    two = viola\nmovement only\n    one, two: swept\n"
    compiled = compile_script(Path("rolled.cavata"), text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    page_of_it = written(compiled.score)
    for part in page_of_it.movements[0].parts:
        (leaf,) = leaves(part.staves[0].bars[0].voices[0])
        assert [ornament.kind for ornament in leaf.marks.ornaments] == kept
    assert b"arpeggiate" not in musicxml_bytes(page_of_it, "only")
    assert "arpeggio" not in lilypond_text(page_of_it)


def test_rolled_chord_of_two_notes_has_its_wavy_line() -> None:
    text = SINGLE_NOTES_ROLLED.replace("chord(C4 E4 G4) A4", "chord(C4 E4) A4")
    compiled = compile_script(Path("rolled.cavata"), text=text)
    assert compiled.score is not None
    assert lilypond_text(written(compiled.score)).count("\\arpeggio") == 1


def test_pedal_that_lost_its_end_goes_up_before_the_next_goes_down() -> None:
    """The handbook: where one pedal follows another the first goes up in time; at the latest after the last note."""
    line = "motif ringing = notes(1/4 C5 D5 E5 F5) -> sustain_pedal\n"
    rows = "    harp.right: ringing, {}\n    harp.right at bar 1 beat 4 replace: notes(1/4 G5)\n"
    text = f"language 2\n{line}forces\n    harp = piano\nmovement only\n{rows}"
    for following, signs in (("ringing", "(..)(..)"), ("notes(1/4 C5 D5 E5 F5)", "(......)")):
        compiled = compile_script(Path("pedal.cavata"), text=text.format(following))
        assert compiled.score is not None, compiled.bag.ordered()
        bars = written(compiled.score).movements[0].parts[0].staves[0].bars
        marks = [leaf.marks for bar in bars for leaf in leaves(bar.voices[0])]
        found = ["(" if each.pedal_begins else ")" if each.pedal_ends else "." for each in marks]
        assert "".join(found) == signs


@pytest.mark.parametrize(
    ("line", "strokes"),
    [
        ("notes(1/2 D5, 1/4 D5, 1/8 D5, 1/16 D5 D5) -> tremolo", [3, 3, 2, 1, 1]),
        ("notes(1/2 D5, 1/4 D5, 1/8 D5 D5) -> tremolo 1/16", [2, 2, 1, 1]),
        ("notes(1/2. D5, 1/4 D5) -> tremolo 1/8", [1, 1]),
    ],
    ids=["as fast as can be", "sixteenths", "eighths"],
)
def test_strokes_of_a_tremolo_add_to_the_flags_of_the_note(line: str, strokes: list[int]) -> None:
    """Strokes and flags together are the beams of the repeated value: three for thirty-seconds. Common practice."""
    text = f"language 2\nforces\n    player = violin\nmovement only\n    player: {line}\n"
    compiled = compile_script(Path("tremolo.cavata"), text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    page_of_it = written(compiled.score)
    found = re.findall(r"<tremolo[^>]*>(\d)</tremolo>", musicxml_bytes(page_of_it, "only").decode())
    assert [int(count) for count in found] == strokes
    value = {3: 32, 2: 16, 1: 8}[strokes[0]]
    assert re.findall(r":(\d+)", lilypond_text(page_of_it).split("\\score")[-1]).count(str(value)) == len(strokes)


@pytest.mark.parametrize(("graces", "sixteenths"), [("C5", 2), ("C5 D5", 2), ("C5 D5 E5", 3)])
def test_other_hand_waits_as_long_as_the_grace_notes_before_a_bar(graces: str, sixteenths: int) -> None:
    """One is a slashed eighth, several are sixteenths. Source: common practice."""
    rows = f"    piano.right: notes(1/1 F5) -> graced 1 by notes(1/8 {graces})\n    piano.left: notes(1/1 F3)\n"
    text = f"language 2\nforces\n    piano = piano\nmovement only\n{rows}"
    compiled = compile_script(Path("graces.cavata"), text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    assert f"\\grace {{ s16*{sixteenths} }}" in lilypond_text(written(compiled.score))


@pytest.mark.parametrize(
    ("beat", "before", "offset"), [("3", 2, None), ("2 + 1/8", 2, "-{eighth}"), ("1 + 1/8", 1, "-{eighth}")]
)
def test_tempo_within_a_bar_stands_before_the_note_at_its_moment(beat: str, before: int, offset: str | None) -> None:
    """`offset` in MusicXML 4.0 counts divisions from where the direction stands to where it belongs."""
    head = "language 2\nforces\n    player = violin\nmovement only\n    section one 2 bars\n"
    rows = f"        tempo at bar 2 beat {beat}: 1/4 at 90\n        player: notes(1/4 C5 D5 E5 F5) x 2\n"
    compiled = compile_script(Path("tempo.cavata"), text=head + rows)
    assert compiled.score is not None, compiled.bag.ordered()
    root = ElementTree.fromstring(musicxml_bytes(written(compiled.score), "only"))
    eighth = int(root.findtext(".//divisions", "0")) // 2
    _, bar = root.iter("measure")
    tags = [child.tag for child in bar if child.tag in ("note", "direction")]
    assert tags.index("direction") == before
    direction = bar.find("direction")
    assert direction is not None
    assert direction.findtext("offset") == (None if offset is None else offset.format(eighth=eighth))


def test_trill_over_tied_notes_has_its_wavy_line() -> None:
    """From its sign to the end of the last note, on the page and in MusicXML. Source: common practice."""
    line = "notes(1/1 D5) -> trill held 3 bars, notes(1/4 E5) -> trill, notes(1/1 E5) -> trill to M2 held 9/8"
    # In its second bar the note is divided, so that a marking begins there.
    rows = f"movement one\n    v: {line}\n    v bars 2 to 2: marked f\n"
    page = written(score_from(f"language 2\nforces\n    v = violin\n{rows}"))
    text = lilypond_text(page)
    assert text.count("\\startTrillSpan") == text.count("<>\\stopTrillSpan") == 2
    assert "- \\tweak bound-details.left.text \\markup" in text and text.count("\\trill") == 1
    root = ElementTree.fromstring(musicxml_bytes(page, "one"))
    waves = [(note.findtext("pitch/step"), wave) for note in root.iter("note") for wave in note.iter("wavy-line")]
    lines = [(step, wave.get("type")) for step, wave in waves]
    assert lines == [("D", "start"), ("D", "stop"), ("E", "start"), ("E", "stop")]


@pytest.mark.parametrize(
    ("notes", "waits"),
    [
        ("1/4 D5 E5 F5 G5", "2"), ("1/12 D5 E5 F5, 3/4 G5", "3"),
        ("1/20 D5, 1/60 E5 F5 G5, 1/20 A5 B5 C6, 3/4 D6", "5/2"),
    ],
)  # fmt: skip
def test_a_tuplet_waits_as_long_as_the_grace_notes_of_another_part(notes: str, waits: str) -> None:
    """All staves wait for the same time, or clef and meter would be printed twice; what stands inside a tuplet of five
    in the time of four is pressed together to four fifths. Source: LilyPond's handbook, on grace notes and timing."""
    made = written(score_from(
        "forces\n    flute = flute\n    cello = cello\nmovement first\n"
        f"    flute: notes({notes})\n    cello: notes(1/1 D3) -> graced 1 by notes(1/8 C3)\n"
    ))  # fmt: skip
    (opening,) = re.findall(r"\\grace \{ s16\*(\S+) \}", lilypond_text(made).split('Staff = "P1S1"')[1])
    assert opening == waits
