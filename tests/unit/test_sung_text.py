"""Words under notes and chord symbols over them, from the script to the page and to MIDI."""

from __future__ import annotations

from io import BytesIO
from xml.etree import ElementTree

import music21
import pytest
from compiling import score_from
from mido import MidiFile
from musicxml_schema import faults

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.lilypond.words import symbol_markup
from cavata.music.chord_symbol import parse_chord_symbol
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.written import Leaf, SungText, WrittenScore, leaves
from cavata.sound.midi import midi_bytes
from cavata.transforms.sung import syllables

SCRIPT = """language 2
piece "Light"
    show letters
use french from ciphers
name tamsin = "TAMSIN" by french
motif light = tamsin -> in (1/4 1/4 1/2 3/4) -> sung "Light o-_-pen sea _"
motif low = notes(1/2 C4, 1/1 A3 G3) -> sung "Home at last"
forces
    singer = soprano
    horn   = horn in F
    piano  = piano
    violin = violin
    cello  = cello
movement first
    meter 4/4
    singer: light
    piano.right: together(light -> up P8, low)
    horn: chords(1/2 Dm)
    piano.left: chords(1/2 Dm, 1/2 Bb/D)
    violin, cello at bar 2: chords(1/1 G) -> without_third
transform without_third(m) = m -> broken ascending -> first 2 -> as chord
"""


SCORE = score_from(SCRIPT)
PAGE: WrittenScore = notate(SCORE)


def line(part: int, staff: int = 0, voice: int = 0) -> list[Leaf]:
    bars = PAGE.movements[0].parts[part].staves[staff].bars
    return [leaf for bar in bars if voice < len(bar.voices) for leaf in leaves(bar.voices[voice])]


def test_syllables_are_parted_by_hyphens_and_held_by_underscores() -> None:
    assert [str(s) for s in syllables("Light o-_-pen  sea_ _ --")] == ["Light", "o-", "_", "pen", "sea", "_", "_"]
    assert [s.text for s in syllables("l'é-té")] == ["l'é", "té"]


def test_hyphen_may_have_spaces_beside_it() -> None:
    """`A- _ men` is one word, held over a note: text that was copied from elsewhere is written so."""
    for text in ("A- _ men", "A-_-men", "A -_ men", "A-_ -men"):
        assert [str(s) for s in syllables(text)] == ["A-", "_", "men"], text
    assert [str(s) for s in syllables("for e-")] == ["for", "e-"]


def only(leaf: Leaf) -> SungText | None:
    """The one text at a leaf that has no verses."""
    assert len(leaf.sung) < 2
    return leaf.sung[0] if leaf.sung else None


def sung_of(rows: str, forces: str = "singer = soprano") -> list[list[SungText | None]]:
    """What is sung at each note of the first staff, voice by voice."""
    score = score_from(f"language 2\nforces\n    {forces}\n{rows}")
    bars = notate(full_score(score)).movements[0].parts[0].staves[0].bars
    voices = range(max(len(bar.voices) for bar in bars))
    return [
        [only(leaf) for bar in bars if voice < len(bar.voices) for leaf in leaves(bar.voices[voice]) if leaf.heads]
        for voice in voices
    ]


def test_short_text_is_held_until_the_next_rest() -> None:
    rows = 'movement first\n    singer: notes(1/4 C5 D5 E5 rest F5 G5) -> sung "o sea"\n'
    held = [SungText("sea", line="begins"), SungText("", line="ends")]
    assert sung_of(rows) == [[SungText("o"), *held, None, None]]


def test_line_under_a_held_syllable_ends_where_notes_without_words_begin() -> None:
    rows = 'movement first\n    singer: notes(1/4 C5 D5) -> sung "o", notes(1/2 E5)\n'
    text = lilypond_text(notate(score_from(f"language 2\nforces\n    singer = soprano\n{rows}")))
    assert [line.strip() for line in text.splitlines() if " 1 * 1/" in line and '"' in line] == [
        '"o" 1 * 1/2 __', '"" 1 * 1/2',
    ]  # fmt: skip


def test_word_goes_on_from_one_item_to_the_next() -> None:
    rows = 'movement first\n    singer: notes(1/2 C5) -> sung "e-", notes(1/2 D5) -> sung "ven"\n'
    assert sung_of(rows) == [[SungText("e", False, True), SungText("ven", True, False)]]


def test_second_singer_of_a_staff_has_all_of_a_word_of_which_one_syllable_differs() -> None:
    forces = "one = soprano\n    two = soprano\nstaff both = one, two"
    rows = 'one: notes(1/4 C5 D5 E5 F5) -> sung "A-_-_-ve"\n    two: notes(1/2 A4 B4) -> sung "A-ve"\n'
    (_, lower) = sung_of(f"movement first\n    {rows}", forces)
    assert lower == [SungText("A", False, True), SungText("ve", True, False)]
    voice = 'notes(1/2 {}, 1/4 D5 E5) -> sung "A-ve _"'
    alike = f"movement first\n    one: {voice.format('C5')}\n    two: {voice.format('F4')}, 1/1 rest\n"
    assert [voice for voice in sung_of(alike, forces) if any(voice)] == sung_of(alike, forces)[:1]


def test_hyphens_lead_to_syllables_and_lines_end_at_the_last_note_held() -> None:
    sung = [only(leaf) for leaf in line(0) if leaf.heads]
    assert sung == [
        SungText("Light"), SungText("o", False, True), None, SungText("pen", True, False),
        SungText("sea", line="begins"), SungText("", line="ends"),
    ]  # fmt: skip


def test_tied_notes_are_held_on_one_syllable() -> None:
    """`Home at last`: the second note crosses the bar line."""
    sung = [only(leaf) for leaf in line(2, 0, 1) if leaf.heads]
    assert [s.line if s else None for s in sung] == ["", "begins", "ends", "begins", "ends"]


def test_musicxml_is_valid_and_read_back_with_words_letters_and_symbols() -> None:
    document = musicxml_bytes(PAGE, "first")
    assert faults(document) == []
    score = music21.converter.parseData(document.decode())
    singer = score.parts[0].recurse().notes
    sung = [lyric for note in singer for lyric in note.lyrics]
    words = [(lyric.text, lyric.syllabic) for lyric in sung if lyric.number == 1 and lyric.text]
    assert words == [("Light", "single"), ("o", "begin"), ("pen", "end"), ("sea", "single")]
    assert [lyric.text for lyric in sung if lyric.number == 2] == list("TAMSIN")
    found = [h.figure for h in score.parts[1].recurse().getElementsByClass(music21.harmony.ChordSymbol)]
    assert found == ["Am"]  # as the horn in F reads it
    piano = [h.figure for h in score.parts[2].recurse().getElementsByClass(music21.harmony.ChordSymbol)]
    assert piano == ["Dm", "B-/D"]


def test_musicxml_extends_a_syllable_from_its_note_to_the_last_one() -> None:
    root = ElementTree.fromstring(musicxml_bytes(PAGE, "first"))
    notes = [note for note in root.find("part").iter("note") if note.find("rest") is None]  # type: ignore[union-attr]
    assert [e.get("type") for note in notes for e in note.iter("extend")] == ["start", "stop"]
    assert [e.tag for e in notes[-1]][-2:] == ["lyric", "lyric"]


def test_symbol_stands_over_the_first_of_several_parts_only() -> None:
    assert [leaf.marks.symbol is not None for leaf in line(3) if leaf.heads] == [True]
    assert all(leaf.marks.symbol is None for leaf in line(4))


def test_lilypond_has_words_before_letters_and_symbols_before_the_staff() -> None:
    text = lilypond_text(PAGE)
    for shown in ('"Light" 1 * 1/4\n', '"o" 1 * 3/4 --\n', '"pen" 1 * 3/4\n', '"sea" 1 * 5/4 __\n'):
        assert shown in text, shown
    assert text.index('"Light"') < text.index('"T" 1 *')
    assert text.index('"/" "D"') < text.index("Staff", text.index('"/" "D"')) < text.index("P3S1V1")


def test_markup_of_a_symbol_has_its_accidentals_drawn() -> None:
    assert symbol_markup(parse_chord_symbol("Dm")) == '\\markup \\concat { "D" "m" }'
    shown = symbol_markup(parse_chord_symbol("F#m7b5/Bb"))
    assert shown.count("\\sharp") == 1 and shown.count("\\flat") == 2 and '"7"' in shown


def test_midi_has_words_as_lyrics_and_letters_beside_them_as_texts() -> None:
    singer, horn = MidiFile(file=BytesIO(midi_bytes(SCORE))).tracks[1:3]
    assert [m.text for m in singer if m.type == "lyrics"] == ["Light", "o-", "pen", "sea"]
    assert "".join(m.text for m in singer if m.type == "text") == "TAMSIN"
    assert [m for m in horn if m.type in ("lyrics", "text")] == []


def test_rhythm_of_letters_shows_them_on_an_unpitched_part() -> None:
    score = score_from(
        'language 2\nrhythm knock = morse "AE" unit 1/8\nforces\n    drum = snare drum\n'
        "movement first\n    drum: knock x 2\n"
    )
    events = score.movements[0].staves[0][0].voices[0]
    letters = [origin.letter for event in events for head in event.event.heads for origin in head.origins]
    assert [letter.text for letter in letters if letter] == list("AAEAAE")
    assert {(letter.name, letter.cipher) for letter in letters if letter} == {("knock", "morse")}


def test_piece_without_words_has_no_trace_of_them() -> None:
    plain = "language 2\nforces\n    flute = flute\nmovement first\n    flute: notes(1/4 C5)\n"
    page = notate(score_from(plain))
    assert "yric" not in musicxml_bytes(page, "first").decode()
    assert "lyricmode" not in lilypond_text(page)


@pytest.mark.slow
def test_page_with_words_and_symbols_engraves_without_remark() -> None:
    """LilyPond would remark on a hyphen that leads nowhere, and on a line that it cannot end."""
    result = engrave(lilypond_text(PAGE), frozenset({"pdf"}))
    assert isinstance(result, Engraving), result
    assert [said for said in result.remarks if "compress" not in said] == []


def test_elision_is_a_tie_under_the_words_in_every_output() -> None:
    """MusicXML 4.0, element elision; LilyPond 2.24, Notation Reference 2.1.1: `~` in a lyric is a tie; U+203F is the
    undertie of Unicode.
    """
    script = (
        "language 2\nforces\n    singer = soprano\nmovement first\n"
        '    singer: notes(1/4 C5 D5 E5 F5) -> sung "glo-ri-a~in-to"\n'
    )
    score = score_from(script)
    page = notate(score)
    document = musicxml_bytes(page, "first")
    assert faults(document) == []
    third = list(ElementTree.fromstring(document).iter("lyric"))[2]
    assert [(child.tag, child.text) for child in third] == [
        ("syllabic", "end"), ("text", "a"), ("elision", "\u203f"), ("syllabic", "begin"), ("text", "in"),
    ]  # fmt: skip
    assert '"a~in" 1 * 1/4 --' in lilypond_text(page)
    track = MidiFile(file=BytesIO(midi_bytes(score)), charset="utf-8").tracks[1]
    assert [message.text for message in track if message.type == "lyrics"] == ["glo-", "ri-", "a\u203fin-", "to"]


def test_apostrophes_are_printed_as_printers_have_them() -> None:
    rows = "movement first\n    singer: notes(1/4 C5 D5) -> sung \"'Tis o'er\"\n"
    assert sung_of(rows) == [[SungText("\u2019Tis"), SungText("o\u2019er")]]


def test_marks_that_stand_alone_are_no_syllables() -> None:
    """French sets `!`, `:` and guillemets off by a space: no break there (common practice)."""
    found = [str(s) for s in syllables("\u00ab\u00a0\u00d4 mer ! \u2014 lam - pe ... ( o ) 3")]
    assert found == [
        "\u00ab\u00a0\u00d4", "mer\u00a0!\u00a0\u2014", "lam-", "pe\u00a0...", "(\u00a0o\u00a0)", "3",
    ]  # fmt: skip
    assert [str(s) for s in syllables("e\u0301-t\u00e9 \u0928\u092e\u0938\u094d-\u0924\u0947")] == [
        "e\u0301-", "t\u00e9", "\u0928\u092e\u0938\u094d-", "\u0924\u0947",
    ]  # fmt: skip
