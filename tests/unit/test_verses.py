"""Several verses under one tune: on the page, in MusicXML, in MIDI, in parts."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import music21
import pytest
from mido import MidiFile
from musicxml_schema import faults

from cavata.edition.copies import full_score
from cavata.edition.parts import part_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.written import Leaf, SungText, leaves
from cavata.pipeline import compile_script
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n    singer = soprano\n"
SONG = HEAD + """movement first
    section verse
        repeated 2 times
        ending 1 bars 3 to 3
        ending 2 bars 4 to 4
        singer: notes(1/4 C5 D5 E5 F5, 1/2 G5, 1/4 A5 G5)
            -> sung "A lamp was lit in the tow-" -> sung "The tide came o-ver _ the"
            , notes(1/1 E5) -> sung "er.", notes(1/1 C5) -> sung "stones."
    section refrain
        singer: notes(1/4 C5 D5 E5 F5, 1/1 G5) -> sung "Watch with me the night"
    section late
        repeated 2 times
        singer: notes(1/2 C5 D5, 1/1 E5) -> sung "Sleep, ship" -> sung "Wake"
"""


def compiled(script: str, codes: tuple[str, ...] = ()) -> Score:
    result = compile_script(Path("song.cavata"), "song.cavata", text=script)
    assert [told.code for told in result.bag.ordered()] == list(codes), [str(t.message) for t in result.bag.ordered()]
    assert result.score is not None
    return result.score


def line_of(score: Score, part: int = 0, voice: int = 0) -> list[Leaf]:
    bars = notate(full_score(score)).movements[0].parts[part].staves[0].bars
    return [leaf for bar in bars if voice < len(bar.voices) for leaf in leaves(bar.voices[voice]) if leaf.heads]


def under(score: Score) -> dict[int, str]:
    """What a reader finds under the notes, verse by verse: numbers, hyphens, a line as `_` at each note under it."""
    found: dict[int, list[str]] = {}
    for leaf in line_of(score):
        for text in leaf.sung:
            word = f"{text.number}{text.text}" + "-" * text.goes_on
            found.setdefault(text.verse, []).append(word or "_")
    return {verse: " ".join(words) for verse, words in found.items()}


def heard(score: Score) -> str:
    """The words of the first part as they are sung."""
    track = MidiFile(file=BytesIO(midi_bytes(score))).tracks[1]
    return " ".join(message.text for message in track if message.type == "lyrics")


def test_verses_are_stacked_and_numbered_where_several_begin_together() -> None:
    """Common practice of hymnals: a number before each verse, none before a refrain."""
    assert under(compiled(SONG)) == {
        1: "1.A lamp was lit in the tow- er. Watch with me the night 1.Sleep, ship _",
        2: "2.The tide came o- ver _ the stones. 2.Wake _ _",
    }


def test_each_time_is_sung_to_its_verse_and_its_ending() -> None:
    assert heard(compiled(SONG)) == (
        "A lamp was lit in the tow- er. The tide came o- ver the stones. Watch with me the night "
        "Sleep, ship Wake"
    )


def test_words_of_an_ending_are_those_of_its_times() -> None:
    rows = (
        "movement first\n    section verse\n        repeated 4 times\n        ending 1, 2 bars 2 to 2\n"
        '        ending 3, 4 bars 3 to 3\n'
        '        singer: notes(1/1 C5) -> sung "a" -> sung "b" -> sung "c" -> sung "d", '
        'notes(1/1 D5) -> sung "one" -> sung "two", notes(1/1 E5) -> sung "three" -> sung "four"\n'
    )
    score = compiled(HEAD + rows)
    assert under(score) == {1: "1.a one", 2: "2.b two", 3: "3.c three", 4: "4.d four"}
    assert heard(score) == "a one b two c three d four"


def test_endings_of_a_refrain_stay_in_its_line() -> None:
    """The last words before the endings are sung every time, and so are those of the endings."""
    rows = (
        "movement first\n    section verse\n        repeated 2 times\n        ending 1 bars 3 to 3\n"
        '        ending 2 bars 4 to 4\n        singer: notes(1/1 C5) -> sung "one" -> sung "two", '
        'notes(1/1 C5) -> sung "o", notes(1/1 D5) -> sung "sea", notes(1/1 E5) -> sung "land"\n'
    )
    score = compiled(HEAD + rows)
    assert under(score) == {1: "1.one o sea land", 2: "2.two"}
    assert heard(score) == "one o sea two o land"


def test_ending_of_a_text_that_is_sung_every_time_stays_in_its_line() -> None:
    rows = (
        "movement first\n    section verse\n        repeated 2 times\n        ending 1 bars 2 to 2\n"
        '        ending 2 bars 3 to 3\n        singer: notes(1/1 C5) -> sung "la", '
        'notes(1/1 D5) -> sung "on", notes(1/1 E5) -> sung "end"\n'
    )
    score = compiled(HEAD + rows)
    assert under(score) == {1: "la on end"}
    assert heard(score) == "la on la end"


def test_last_verse_is_sung_again_where_there_are_more_times_and_that_is_told() -> None:
    rows = (
        "movement first\n    section verse\n        repeated {} times\n"
        '        singer: notes(1/1 C5) -> sung "one" -> sung "two"\n'
    )
    assert heard(compiled(HEAD + rows.format(3), ("P850",))) == "one two two"
    three = rows.format(2).replace('"two"', '"two" -> sung "three"')
    assert heard(compiled(HEAD + three, ("P850",))) == "one two"


def test_verse_begins_where_its_words_do_and_those_without_words_have_the_ones_before() -> None:
    """A third verse after an upbeat has nothing there; a second one is as the first where only a third differs."""
    tune = "notes(1/4 A4 | D5 C5 B4 A4 | 1/2. D5)"
    head = "language 2\nforces\n    voice = soprano\nmovement song\n    section strophe\n        repeated 3 times\n"
    late = '-> sung "The lamp is lit a-far" -> sung "O ships come home now" -> sung 2..last "night is done, done"'
    assert heard(compiled(f"{head}        voice: {tune} {late}\n")) == (
        "The lamp is lit a- far O ships come home now night is done, done"
    )
    alike = '-> sung "The lamp is lit a- far" -> sung 5..6 verse 3 "at last"'
    assert heard(compiled(f"{head}        voice: {tune} {alike}\n")) == (
        "The lamp is lit a- far The lamp is lit a- far The lamp is lit at last"
    )


def test_first_verse_is_heard_where_nothing_is_repeated() -> None:
    rows = 'movement first\n    singer: notes(1/2 C5 D5) -> sung "one lamp" -> sung "two"\n'
    assert heard(compiled(HEAD + rows)) == "one lamp"


def test_rows_over_bars_lay_verses_too() -> None:
    rows = (
        "movement first\n    section verse\n        singer: notes(1/2 C5 D5)\n"
        '        singer bars 1 to 1: sung "one lamp"\n        singer bars 1 to 1: sung "two lamps"\n'
    )
    assert under(compiled(HEAD + rows)) == {1: "1.one lamp", 2: "2.two lamps"}


def test_line_holds_on_over_a_rest_where_the_script_says_so() -> None:
    rows = 'movement first\n    singer: notes(1/4 C5 D5 rest E5 | 1/1 F5) -> sung "O _ _ sea"\n'
    score = compiled(HEAD + rows)
    lines = [text.line for leaf in line_of(score) for text in leaf.sung]
    assert lines == ["begins", "goes on", "ends", ""]
    assert "\\set extendersOverRests = ##t" in lilypond_text(notate(score))


def test_two_voices_of_a_staff_have_their_verses_one_below_the_other() -> None:
    rows = """language 2
forces
    one = soprano
    two = alto
staff both = one, two
movement first
    one: notes(1/2 C5 D5) -> sung "far lamp" -> sung "near lamp"
    two: notes(1/4 A4 A4 B4 B4) -> sung "far, far a lamp" -> sung "near lamp"
"""
    score = compiled(rows)
    page = notate(full_score(score))
    root = ElementTree.fromstring(musicxml_bytes(page, "first"))
    lines = [
        (lyric.get("number"), lyric.findtext("text"))
        for note in root.iter("note") for lyric in note.iter("lyric") if lyric.find("text") is not None
    ]  # fmt: skip
    upper = [("1", "far"), ("2", "near"), ("1", "lamp"), ("2", "lamp")]
    lower = [("3", "far,"), ("3", "far"), ("4", "lamp"), ("3", "a"), ("3", "lamp")]
    assert sorted(lines) == sorted(upper + lower)
    assert faults(musicxml_bytes(page, "first")) == []


def test_words_that_both_voices_sing_stand_once_in_each_verse() -> None:
    rows = """language 2
forces
    one = soprano
    two = alto
staff both = one, two
movement first
    one: notes(1/2 C5 D5) -> sung "far lamp" -> sung "near lamp"
    two: notes(1/2 A4 B4) -> slurred -> sung "far lamp" -> sung "near sea"
"""
    lower = [text for leaf in line_of(compiled(rows), voice=1) for text in leaf.sung]
    assert [(text.verse, text.text) for text in lower if text.text] == [(2, "sea")]


def test_part_has_all_verses() -> None:
    assert "2.Wake" in under(part_score(compiled(SONG), 0))[2]


def test_musicxml_is_valid_and_read_back_verse_by_verse() -> None:
    """`number` of a lyric tells verses apart (MusicXML 4.0, element lyric)."""
    document = musicxml_bytes(notate(compiled(SONG)), "first")
    assert faults(document) == []
    notes = music21.converter.parseData(document.decode()).parts[0].recurse().notes
    found: dict[int, list[str]] = {}
    for lyric in (lyric for note in notes for lyric in note.lyrics if lyric.text):
        found.setdefault(lyric.number, []).append(lyric.text)
    assert " ".join(found[1]) == "A lamp was lit in the tow er. Watch with me the night Sleep, ship"
    assert " ".join(found[2]) == "The tide came o ver the stones. Wake"


@pytest.mark.slow
def test_page_with_verses_engraves_without_remark() -> None:
    """LilyPond would remark on a hyphen that leads nowhere, and on a line that it cannot end."""
    text = lilypond_text(notate(compiled(SONG)))
    assert text.count("\\new Lyrics") == 2
    assert [row.strip() for row in text.splitlines() if "stanza" in row] == [
        f'\\set stanza = "{number}."' for number in (1, 1, 2, 2)
    ]
    result = engrave(text, frozenset({"pdf"}))
    assert isinstance(result, Engraving), result
    assert [said for said in result.remarks if "compress" not in said] == []


def test_short_text_of_a_verse_has_no_number_of_its_own_again() -> None:
    rows = 'movement first\n    singer: notes(1/4 C5 D5 rest E5, 1/1 F5) -> sung "O sea, a lamp" -> sung "Now"\n'
    line = line_of(compiled(HEAD + rows))
    assert [leaf.sung[-1] for leaf in line[:2]] == [
        SungText("Now", line="begins", verse=2, number="2."), SungText("", line="ends", verse=2),
    ]  # fmt: skip
    assert [len(leaf.sung) for leaf in line] == [2, 2, 1, 1]


def test_verse_that_has_the_upbeat_alone_has_its_number_there() -> None:
    words = 'sung "O far lamp" -> sung 2..last "near lamp"'
    rows = f"movement first\n    singer: 3/4 rest, notes(1/4 C5, 1/2 D5 E5) -> {words}\n"
    assert under(compiled(HEAD + rows)) == {1: "1.O far lamp", 2: "2.near lamp"}
