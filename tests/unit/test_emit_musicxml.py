"""MusicXML of written bars made by hand: every sign where it belongs, and nothing that was not asked for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path
from xml.etree import ElementTree

import pytest
from emit_musicxml_scores import bar, frame, free_time, full, full_of_signs, note, one_bar, part, rest, score
from music21 import defaults

from cavata.music.event import DYNAMICS, Marks, told
from cavata.musicxml.directions import decimal
from cavata.musicxml.document import musicxml_bytes
from cavata.musicxml.score import silence
from cavata.notate.written import Beam, Tuplet, WrittenBar, WrittenScore, note_value
from cavata.score.score import Group, Header, Meter, Tempo
from cavata.text import plain_text

HERE = Path(__file__).resolve().parent


def tree(made: WrittenScore) -> ElementTree.Element:
    return ElementTree.fromstring(musicxml_bytes(made, "first"))


def texts(root: ElementTree.Element, path: str) -> list[str | None]:
    return [found.text for found in root.iterfind(path)]


def by_id(root: ElementTree.Element, identifier: str) -> ElementTree.Element:
    return next(found for found in root.iter("note") if found.get("id") == identifier)


def test_head_says_title_people_and_the_program_alone() -> None:
    document = musicxml_bytes(full_of_signs(), "first")
    root = ElementTree.fromstring(document)
    assert root.findtext("work/work-title") == "Three Watches"
    assert (root.findtext("movement-number"), root.findtext("movement-title")) == ("1", "First Watch")
    assert [(c.get("type"), c.text) for c in root.iterfind("identification/creator")] == [
        ("composer", "A. Composer"),
        ("dedicatee", "for the keepers of the lamp"),
    ]
    assert texts(root, "identification/encoding/software") == ["Cavata"]
    assert root.find("identification/encoding/encoding-date") is None
    assert b"music21" not in document.lower()
    assert texts(root, "credit/credit-type") == [
        "title", "subtitle", "dedication", "composer", "movement title",
    ]  # fmt: skip


def test_parts_have_names_brackets_and_midi() -> None:
    root = tree(full_of_signs())
    parts = root.find("part-list")
    assert parts is not None
    assert [(child.tag, child.get("type")) for child in parts] == [
        ("part-group", "start"),
        ("score-part", None),
        ("score-part", None),
        ("part-group", "stop"),
        ("score-part", None),
        ("score-part", None),
    ]
    assert texts(parts, "score-part/part-name") == ["Flute", "Clarinet in B♭", "Harp", "Snare drum"]
    assert [found.get("id") for found in root.iter("score-instrument")] == ["P1-I1", "P2-I1", "P3-I1", "P4-I1"]
    assert texts(parts, "score-part/midi-instrument/midi-channel") == ["1", "2", "3", "10"]
    assert texts(parts, "score-part/midi-instrument/midi-unpitched") == ["39"]


def test_group_with_a_gap_is_bracketed_where_its_parts_are_neighbors() -> None:
    names = ["a", "b", "c", "d"]
    parts = [part("flute", [bar(full())], name=name) for name in names]
    root = tree(score([frame(1)], *parts, groups=(Group("some", ("a", "b", "d")),)))
    assert len(root.findall("part-list/part-group")) == 2


def test_accidentals_are_printed_only_where_asked() -> None:
    root = tree(one_bar(note("F#4!"), note("F#4"), note("F4?"), note("Bbb4!")))
    found = [(n.findtext("pitch/alter"), n.find("accidental")) for n in root.iter("note")]
    assert [alter for alter, _ in found] == ["1", "1", "0", "-2"]
    shown = [None if sign is None else (sign.text, dict(sign.attrib)) for _, sign in found]
    brackets = {"parentheses": "yes", "cautionary": "yes"}
    assert shown == [("sharp", {}), None, ("natural", brackets), ("flat-flat", {})]


def test_nested_tuplets_have_two_brackets_and_exact_lengths() -> None:
    root = tree(full_of_signs())
    notes = list(root.findall("part")[0].findall("measure")[2].iter("note"))
    divisions = int(root.findtext("part/measure/attributes/divisions", ""))
    assert [F(int(n.findtext("duration", "")), divisions) for n in notes] == [
        2, F(2, 5), F(2, 15), F(2, 15), F(2, 15), F(2, 5), F(4, 5),
    ]  # fmt: skip
    signs = [(t.get("type"), t.get("number")) for n in notes for t in n.iterfind("notations/tuplet")]
    assert signs == [("start", "1"), ("start", "2"), ("stop", "2"), ("stop", "1")]


@pytest.mark.parametrize("actual", (7, 9, 11, 13))
def test_tuplets_lose_no_time(actual: int) -> None:
    inside = Tuplet(actual, 8, F(1, 16), tuple(note("C5", F(1, 16)) for _ in range(actual)))
    root = tree(one_bar(inside, rest(F(1, 2))))
    divisions = int(root.findtext("part/measure/attributes/divisions", ""))
    assert sum(int(n.findtext("duration", "")) for n in root.iter("note")) == 4 * divisions


def test_export_leaves_the_library_as_it_was() -> None:
    before = defaults.divisionsPerQuarter
    musicxml_bytes(full_of_signs(), "first")
    with pytest.raises(KeyError):
        musicxml_bytes(full_of_signs(), "second")
    assert defaults.divisionsPerQuarter == before


def test_beamed_tuplet_has_a_number_without_bracket() -> None:
    beams = ((Beam.BEGIN,), (Beam.CONTINUE,), (Beam.END,))
    beamed = Tuplet(3, 2, F(1, 8), tuple(note("C5", F(1, 8), beams=b) for b in beams))
    loose = Tuplet(3, 2, F(1, 8), tuple(note("C5", F(1, 8)) for _ in range(3)))
    root = tree(one_bar(beamed, loose, rest(F(1, 2))))
    assert [t.get("bracket") for t in root.iter("tuplet") if t.get("type") == "start"] == ["no", "yes"]


def test_beams_of_every_level_are_written() -> None:
    begin, hook, end = (Beam.BEGIN,), (Beam.CONTINUE, Beam.HOOK_FORWARD), (Beam.END, Beam.HOOK_BACKWARD)
    root = tree(one_bar(*(note("C5", F(1, 8), beams=b) for b in (begin, hook, end)), rest(F(1, 2)), rest(F(1, 8))))
    assert [(b.get("number"), b.text) for b in root.iter("beam")] == [
        ("1", "begin"), ("1", "continue"), ("2", "forward hook"), ("1", "end"), ("2", "backward hook"),
    ]  # fmt: skip


def test_slur_and_hairpin_begin_and_end_at_their_notes() -> None:
    root = tree(full_of_signs())
    slurs = {n.get("id"): s.get("type") for n in root.iter("note") for s in n.iterfind("notations/slur")}
    assert slurs == {"first-flute-bar0.2-n1": "start", "first-flute-bar0.2-n5": "stop"}
    measure = root.findall("part/measure")[1]
    order = [child.get("id") or next(iter(child.iter("wedge"))).get("type") for child in measure
             if child.tag == "note" or child.find("direction-type/wedge") is not None]  # fmt: skip
    assert order[:2] == ["crescendo", "first-flute-bar0.2-n1"]
    assert order[5:7] == ["stop", "first-flute-bar0.2-n5"]


def test_lines_left_open_are_closed_at_the_end() -> None:
    root = tree(one_bar(note("C5", marks=Marks(hairpin="diminuendo", slur_begins=True)), note("D5"), rest(F(1, 2))))
    assert [w.get("type") for w in root.iter("wedge")] == ["diminuendo", "stop"]
    assert [s.get("type") for s in root.iter("slur")] == ["start", "stop"]


def test_line_that_never_began_is_not_ended() -> None:
    root = tree(one_bar(note("C5", F(1), marks=Marks(hairpin_ends=True, slur_ends=True))))
    assert list(root.iter("wedge")) == [] and list(root.iter("slur")) == []


@pytest.mark.parametrize("dynamic", DYNAMICS)
def test_every_dynamic_is_an_element_of_its_own(dynamic: str) -> None:
    root = tree(one_bar(note("C5", F(1), marks=told(dynamic))))
    assert [child.tag for d in root.iter("dynamics") for child in d] == [dynamic]


def test_signs_of_articulation() -> None:
    names = ("staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato")
    signs = (*names, "upbow", "downbow", "stopped", "fermata")
    root = tree(one_bar(note("C5", F(1), marks=Marks(articulations=signs))))
    found = [child.tag for group in root.iter("articulations") for child in group]
    assert sorted(found) == sorted(
        ("staccato", "staccatissimo", "tenuto", "accent", "strong-accent", "detached-legato")
    )  # fmt: skip
    assert {child.tag for found in root.iter("technical") for child in found} == {"up-bow", "down-bow", "stopped"}
    assert [f.get("type") for f in root.iter("fermata")] == ["upright"]


def test_transposing_part_says_how_it_sounds() -> None:
    words = ("clarinet", "horn", "bass clarinet", "piccolo", "double bass", "alto saxophone", "glockenspiel")
    root = tree(score([frame(1)], *(part(w, [bar(full())], name=w) for w in words)))
    found = [tuple(int(t.findtext(tag, "0")) for tag in ("diatonic", "chromatic", "octave-change"))
             for t in root.iter("transpose")]  # fmt: skip
    # MusicXML 4.0, `transpose`: octaves are left to octave-change. Intervals: the table of instruments.
    assert found == [(-1, -2, 0), (-4, -7, 0), (-1, -2, -1), (0, 0, 1), (0, 0, -1), (-5, -9, 0), (0, 0, 2)]


def test_concert_score_keeps_only_octaves() -> None:
    parts = [part(w, [bar(full())], name=w) for w in ("clarinet", "double bass")]
    root = tree(score([frame(1)], *parts, header=Header("X", concert_score=True)))
    assert [t.findtext("octave-change") for t in root.iter("transpose")] == ["-1"]


def test_two_staves_are_one_part_with_voices_of_their_own() -> None:
    root = tree(full_of_signs())
    harp = root.findall("part")[2]
    assert harp.findtext("measure/attributes/staves") == "2"
    third = harp.findall("measure")[2]
    places = [(n.findtext("staff"), n.findtext("voice")) for n in third.iter("note")]
    assert places == [("1", "1"), ("1", "2"), ("2", "5")]
    whole = str(4 * int(harp.findtext("measure/attributes/divisions", "")))
    assert [b.findtext("duration") for b in third.iter("backup")] == [whole, whole]


def test_clef_changes_within_the_bar_on_its_own_staff() -> None:
    second = tree(full_of_signs()).findall("part")[2].findall("measure")[1]
    order = [child.tag for child in second]
    assert order == ["attributes", "note", "backup", "note", "attributes", "note", "barline"]
    clef = second.findall("attributes")[1].find("clef")
    assert clef is not None and (clef.get("number"), clef.findtext("sign")) == ("2", "G")


def test_meter_in_groups_tempo_and_letter() -> None:
    root = tree(full_of_signs())
    first = root.find("part")
    assert first is not None
    assert texts(first, "measure/attributes/time/beats")[-1] == "2+2+3"
    marks = [(m.findtext("beat-unit"), len(m.findall("beat-unit-dot")), m.findtext("per-minute"))
             for m in first.iter("metronome")]  # fmt: skip
    assert marks == [("quarter", 1, "72"), ("quarter", 0, "72.5")]
    assert [s.get("tempo") for s in first.iter("sound") if s.get("tempo")] == ["108", "72.5"]
    assert texts(first, "measure/direction/direction-type/rehearsal") == ["A"]
    assert {"With the tide", "two names across the water", "attacca"} <= set(
        texts(first, "measure/direction/direction-type/words")
    )
    assert [list(p.iter("metronome")) for p in root.findall("part")[1:]] == [[], [], []]


def test_tempo_between_two_notes_has_an_exact_offset() -> None:
    change = (F(1, 3), Tempo(F(1, 3), F(1, 4), F(60)))
    root = tree(score([frame(1, tempi=(change,))], part("flute", [bar(note("C5", F(1, 2)), rest(F(1, 2)))])))
    direction = next(d for d in root.iter("direction") if d.find("direction-type/metronome") is not None)
    divisions = int(root.findtext("part/measure/attributes/divisions", ""))
    assert F(int(direction.findtext("offset", "")), 4 * divisions) == F(1, 3) - F(1, 2)


def test_pickup_and_free_time_are_not_counted() -> None:
    measures = tree(full_of_signs()).findall("part")[0].findall("measure")
    assert [(m.get("number"), m.get("implicit")) for m in measures[:2]] == [("0", "yes"), ("1", "no")]
    free = tree(free_time())
    bassoon, harp = free.findall("part")
    assert [m.get("implicit") for m in bassoon.iter("measure")] == ["yes", "yes"]
    assert len(list(bassoon.iter("senza-misura"))) == 1 and not list(free.iter("beats"))
    assert texts(bassoon, "measure/barline/bar-style") == ["none", "light-heavy"]
    assert [s.get("tempo") for s in bassoon.iter("sound")] == ["60", "45"]
    assert {r.get("measure") for r in harp.iter("rest")} == {None}


@pytest.mark.parametrize(
    "length", [F(1, 4), F(1), F(2), F(9, 4), F(7, 2), F(5, 12), F(1, 28), F(23, 20), F(35, 44), F(100, 3)]
)
def test_silence_in_free_time_is_written_in_values_that_fill_it(length: F) -> None:
    """And never as one whole rest or breve: readers take that for a rest through the bar of some meter."""
    found = list(silence(frame(1, None, duration=length)))
    sounding = [
        leaf.written * (F(brackets[0].normal, brackets[0].actual) if brackets else 1) for leaf, brackets in found
    ]
    assert sum(sounding) == length
    assert not (len(found) == 1 and found[0][0].written in (1, 2) and not found[0][1])


def test_change_of_clef_on_two_staves_says_which() -> None:
    """So that no reader takes it for all of them."""
    root = tree(full_of_signs())
    two = [part for part in root.iter("part") if part.findtext("measure/attributes/staves") == "2"]
    assert two and all(clef.get("number") in ("1", "2") for part in two for clef in part.iter("clef"))


def test_silent_pickup_is_a_rest_of_its_own_value() -> None:
    pickup = frame(0, duration=F(3, 8), pickup=True)
    root = tree(score([pickup, frame(1)], part("flute", [bar(full()), bar(full())])))
    assert [(n.findtext("type"), len(n.findall("dot"))) for n in root.iter("note")] == [("quarter", 1), (None, 0)]


def test_unpitched_part_stands_on_one_line() -> None:
    drum = tree(full_of_signs()).findall("part")[3]
    assert drum.findtext("measure/attributes/clef/sign") == "percussion"
    assert drum.findtext("measure/attributes/staff-details/staff-lines") == "1"
    assert {(u.findtext("display-step"), u.findtext("display-octave")) for u in drum.iter("unpitched")} == {("E", "4")}


def test_letters_stand_under_notes_only_if_shown() -> None:
    made = full_of_signs()
    assert texts(tree(made), "part/measure/note/lyric/text") == ["T"]
    assert texts(tree(replace(made, header=Header("X"))), "part/measure/note/lyric/text") == []


def test_ids_are_places_and_unique() -> None:
    root = tree(full_of_signs())
    ids = [found.get("id") for found in root.iter("note")]
    assert len(set(ids)) == len(ids) and None not in ids
    assert by_id(root, "first-clarinet-bar0.2-n1h3").findtext("pitch/step") == "F"


def test_hostile_words_stay_words() -> None:
    words = '<&">]]>\x00\x1b\ud800\ufffe é 日本 \U0001d11e'
    root = tree(one_bar(note("C5", F(1), marks=Marks(words=(words,))), header=Header(words, composer=words)))
    clean = '<&\u201d>]]>  \ufffd\ufffd é 日本 \U0001d11e'
    assert root.findtext("work/work-title") == clean
    assert texts(root, "part/measure/direction/direction-type/words") == [clean]
    assert plain_text(words) == clean


def test_empty_voices_print_nothing() -> None:
    only_lower = WrittenBar(((), (note("C4", F(1)),)))
    root = tree(score([frame(1), frame(2)], part("flute", [only_lower, WrittenBar(((), ()))])))
    assert [(n.findtext("voice"), n.find("rest") is None) for n in root.iter("note")] == [("2", True), (None, False)]


def test_numbers_and_note_values() -> None:
    assert [decimal(x) for x in (F(96), F(145, 2), F(200, 3))] == ["96", "72.5", "66.667"]
    assert note_value(3, 8) == (F(1, 4), 1) and note_value(7, 16) == (F(1, 4), 2) and note_value(5, 8) is None


def test_beat_of_no_single_value_is_counted_in_quarters() -> None:
    tempo = (F(0), Tempo(F(0), F(5, 8), F(40)))
    root = tree(score([frame(1, Meter(5, 8, (3, 2)), tempi=(tempo,))], part("flute", [bar(full())])))
    assert [(m.findtext("beat-unit"), m.findtext("per-minute")) for m in root.iter("metronome")] == [("quarter", "100")]
