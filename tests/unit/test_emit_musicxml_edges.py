"""The edges of what MusicXML says: silences, tempi between notes, numbers of measures, instruments that are taken up.

Sources: MusicXML 4.0 for the elements, arithmetic for what they add up to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

import pytest
from emit_musicxml_scores import COMMON, bar, frame, full, note, part, rest, score
from test_emit_musicxml import tree
from test_notate_tables import players

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find, instruments
from cavata.music.chord_symbol import parse_chord_symbol
from cavata.music.event import Marks
from cavata.musicxml.directions import decimal
from cavata.musicxml.document import musicxml_bytes
from cavata.musicxml.finish import measure_numbers, take_up
from cavata.musicxml.header import SOUNDS
from cavata.musicxml.lines import LineEnds, figured_bass, harmony
from cavata.musicxml.score import may_be_taken_for_the_bar, silence
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import Frame, Leaf, SungText, Tuplet, WrittenBar, WrittenScore
from cavata.score.score import Header, Meter, Tempo

GOLDEN = Path(__file__).parent / "test_emit_musicxml_edges"


def sounding(leaf: Leaf, brackets: tuple[object, ...]) -> F:
    scale = F(1)
    for bracket in brackets:
        scale *= F(bracket.normal, bracket.actual)  # type: ignore[attr-defined]  # a share of a tuplet
    return leaf.written * scale


SILENCES = (F(1, 4), F(3, 8), F(1, 2), F(5, 8), F(1), F(9, 8), F(3, 2), F(2), F(5, 2), F(3), F(7, 2), F(4), F(6), F(1,
    1024),
            F(1, 3), F(1, 6), F(5, 6), F(7, 12), F(1, 5), F(9, 10), F(2, 7), F(13, 9), F(4, 15))  # fmt: skip


def test_silence_in_free_time_has_the_longest_values_first() -> None:
    """Each as long as fits, with a dot where that fits; what remains stands in a tuplet of values without brackets."""
    told = []
    for length in SILENCES:
        found = list(silence(frame(1, None, duration=length)))
        assert sum(sounding(*one) for one in found) == length
        told.append(f"{length}: " + " ".join(
            f"{leaf.base}{'.' * leaf.dots}{''.join(f' in {b.actual}:{b.normal} of {b.unit}' for b in brackets)}"
            for leaf, brackets in found
        ))  # fmt: skip
        for _, brackets in found:
            assert all((b.begins, b.ends, b.printed) == (False, False, False) for b in brackets)
    assert told == [
        "1/4: 1/4", "3/8: 1/4.", "1/2: 1/2", "5/8: 1/2 1/8", "1: 1/2 1/2", "9/8: 1 1/8", "3/2: 1.", "2: 1 1",
        "5/2: 2 1/2",
        "3: 2.", "7/2: 2. 1/2", "4: 2. 1", "6: 2. 2.", "1/1024: 1/1024", "1/3: 1/2 in 3:2 of 1/2",
        "1/6: 1/4 in 3:2 of 1/4",
        "5/6: 1/2 1/2 in 3:2 of 1/2", "7/12: 1/2 1/8 in 3:2 of 1/8", "1/5: 1/4 in 5:4 of 1/4",
        "9/10: 1/2 1/2 in 5:4 of 1/2",
        "2/7: 1/2 in 7:4 of 1/2", "13/9: 1 1/2 in 9:8 of 1/2", "4/15: 1/2 in 15:8 of 1/2",
    ]  # fmt: skip


def test_a_silent_bar_of_its_meter_is_one_rest_for_the_bar() -> None:
    for meter, length in ((COMMON, F(1)), (Meter(3, 4, (1, 1, 1)), F(3, 4)), (Meter(6, 8, (3, 3)), F(3, 4))):
        assert list(silence(frame(1, meter, duration=length))) == [(Leaf(F(1), 0, whole_bar=True), ())]
    assert [leaf.base for leaf, _ in silence(frame(1, COMMON, duration=F(3, 4)))] == [F(1, 2)]


def values(root: Element) -> list[tuple[str | None, str | None, str | None, str | None]]:
    """Type, duration, whether it is a rest for the bar, and id of each note."""
    return [
        (found.findtext("type"), found.findtext("duration"), "rest" if found.find("rest") is not None else None,
         found.get("id"))
        for found in root.iter("note") if found.find("chord") is None
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("items", "meter", "rests"),
    [
        ((note("C5 E5", F(1, 2)), rest(F(1))), Meter(3, 2, (1, 1, 1)), ["half", "half"]),
        ((note("C5 E5", F(1, 2)), rest(F(2))), Meter(5, 2, (3, 2)), ["whole", "whole"]),
        ((note("C5", F(1, 2)), rest(F(1))), Meter(3, 2, (1, 1, 1)), ["whole"]),
        ((note("C5 E5", F(1, 2)), rest(F(1, 2))), COMMON, ["half"]),
        ((note("C5 E5", F(1, 2)), note("C5", F(1, 2)), rest(F(1))), Meter(4, 2, (2, 2)), ["whole"]),
    ],
)
def test_rest_beside_chords_alone_is_never_taken_for_the_bar(
    items: tuple[Leaf, ...], meter: Meter, rests: list[str]
) -> None:
    """music21 takes a whole rest or a breve for one through the bar where no single note stands beside it."""
    root = tree(score([frame(1, meter, duration=F(meter.numerator, meter.denominator))], part("flute", [bar(*items)])))
    found = [value for value in values(root) if value[2]]
    assert [kind for kind, *_ in found] == rests
    assert {rest.get("measure") for rest in root.iter("rest")} == {None}
    ids = [identifier for *_, identifier in found]
    assert ids == [ids[0], f"{ids[0]}r2"][: len(ids)]
    assert sum(int(length or 0) for _, length, _, _ in values(root)) == sum(
        int(leaf.written * 4 * int(root.findtext("part/measure/attributes/divisions", "0"))) for leaf in items
    )
    assert may_be_taken_for_the_bar(items[-1], items) is (len(rests) == 2)


def test_numbers_have_three_places_at_most() -> None:
    assert [decimal(value) for value in (F(0), F(7), F(1, 2), F(1, 8), F(1, 16), F(2, 3), F(1, 1000), F(1, 2001),
        F(999, 1000),
                                          F(19999, 10000), F(120), F(1001, 10))] == [
        "0", "7", "0.5", "0.125", "0.062", "0.667", "0.001", "0", "0.999", "2", "120", "100.1",
    ]  # fmt: skip


def test_what_goes_on_after_a_sign_within_a_bar_has_a_number_of_its_own() -> None:
    def of(number: int, pickup: bool = False) -> Frame:
        return frame(number, pickup=pickup)

    assert measure_numbers([of(0, True), of(1), of(1, True), of(2), of(3), of(3, True), of(3, True), of(4)]) == (
        "0", "1", "X1", "2", "3", "X2", "X3", "4",
    )  # fmt: skip
    assert measure_numbers([of(1), of(1), of(2, True)]) == ("1", "1", "2")


# ---------------------------------------------------------------- where tempi stand


OFFSETS = [F(n, 8) for n in range(8)] + [F(1, 12), F(5, 16), F(15, 16)]


@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize("lines", ["one", "two", "chords", "late"])
def test_a_tempo_stands_at_its_exact_moment(offset: F, lines: str) -> None:
    """The time of the direction is that of the notes before it and its own offset: read as any program would."""
    voices: dict[str, tuple[tuple[Leaf, ...], ...]] = {
        "one": ((note("C5"), note("D5"), note("E5"), note("F5")),),
        "two": ((note("C5", F(1, 2)), note("D5", F(1, 2))), (note("C4"), note("D4"), note("E4"), note("F4"))),
        "chords": ((note("C5 E5"), note("D5 F5", F(1, 2)), note("E5 G5")),),
        "late": ((rest(F(1, 2)), note("C5", F(1, 8)), note("C5", F(3, 8) / F(3, 2), 1)),),
    }
    made = score(
        [frame(1, tempi=((F(0), Tempo(F(0), F(1, 4), F(60))), (offset, Tempo(offset, F(1, 4), F(90)))))
         if offset else frame(1, tempi=((F(0), Tempo(F(0), F(1, 4), F(90))),))],
        part("flute", [WrittenBar(voices[lines])]),
    )  # fmt: skip
    root = tree(made)
    divisions = int(root.findtext("part/measure/attributes/divisions", "0"))
    measure = root.find("part/measure")
    assert measure is not None
    now, at = 0, {}
    for child in measure:
        if child.tag == "note" and child.find("chord") is None:
            now += int(child.findtext("duration", "0"))
        elif child.tag == "backup":
            now -= int(child.findtext("duration", "0"))
        elif child.tag == "direction" and child.find("sound") is not None:
            at[child.find("sound").get("tempo")] = now + int(child.findtext("offset", "0"))  # type: ignore[union-attr]
            names = [inner.tag for inner in child]
            assert names == sorted(names, key=["direction-type", "offset", "sound"].index)
    assert at["90"] == offset * 4 * divisions


# ---------------------------------------------------------------- instruments


@pytest.mark.parametrize("player", players(), ids=lambda player: player.key)
@pytest.mark.parametrize("concert", [False, True])
def test_instrument_that_is_taken_up_says_how_it_sounds(player: Instrument, concert: bool) -> None:
    """Source: MusicXML 4.0, `transpose`: the steps and semitones within an octave, and how many octaves beside them."""
    written = replace(part("flute", [bar(full())]).staves[0].bars[0], instrument=player)
    made = part("flute", [bar(full())])
    made = replace(made, staves=(replace(made.staves[0], bars=(written,)),))
    measure = Element("measure")
    SubElement(measure, "print")
    old = SubElement(SubElement(measure, "attributes"), "transpose")
    take_up(measure, made, 0, "P3", concert)
    (transpose,) = measure.iter("transpose")
    assert transpose is not old
    assert [child.tag for child in measure] == ["print", "attributes", "sound"]
    diatonic, chromatic, octaves = (
        int(transpose.findtext(name, "0")) for name in ("diatonic", "chromatic", "octave-change")
    )
    sounds = player.transposition
    if concert and (sounds.steps % 7 or sounds.semitones % 12):
        assert (diatonic, chromatic, octaves) == (0, 0, 0)
    else:
        assert (diatonic + 7 * octaves, chromatic + 12 * octaves) == (sounds.steps, sounds.semitones)
    assert abs(chromatic) < 12 and abs(diatonic) < 7 and (transpose.find("octave-change") is None) == (octaves == 0)
    assert measure.findtext("sound/midi-instrument/midi-program") == str(player.program + 1)
    assert measure.find("sound/midi-instrument").get("id") == "P3-I1"  # type: ignore[union-attr]  # it is there


def test_instrument_is_told_where_there_are_no_attributes_yet() -> None:
    made = part("flute", [bar(full()), bar(full())])
    piccolo = find("piccolo")
    assert isinstance(piccolo, Instrument)
    bars = (made.staves[0].bars[0], replace(made.staves[0].bars[1], instrument=piccolo))
    made = replace(made, staves=(replace(made.staves[0], bars=bars),))
    measure = Element("measure")
    take_up(measure, made, 0, "P1", False)
    assert len(measure) == 0
    for name in ("print", "direction", "note"):
        SubElement(measure, name)
    take_up(measure, made, 1, "P1", False)
    assert [child.tag for child in measure] == ["print", "attributes", "sound", "direction", "note"]
    assert measure.findtext("attributes/transpose/octave-change") == "1"


def test_every_sound_is_one_of_an_instrument() -> None:
    known = {instrument.key for instrument in instruments().values()}
    assert set(SOUNDS) <= known


# ---------------------------------------------------------------- symbols and figures


def test_every_chord_symbol_has_a_kind() -> None:
    """Source: MusicXML 4.0, `kind-value`."""
    told = []
    for text in ("C", "F#m", "Bb7", "Cmaj7", "Dm7", "Cmmaj7", "Bdim", "Bdim7", "Bm7b5", "Caug", "Gsus2", "Gsus4",
        "C6", "Am6",
                 "G9", "Cmaj9", "Dm9", "Cadd9", "C/E", "Ebm/Gb", "C##"):  # fmt: skip
        for staff in (0, 2):
            told.append(f"{text} {staff} " + ElementTree.tostring(harmony(parse_chord_symbol(text), staff), "unicode"))
    _kept("symbols", told)


def test_every_figure_has_its_number_and_signs() -> None:
    told = []
    for figures in ((("6",),), (("6", "4"),), (("4",), ("3",)), (("#",),), (("b6", "n3"),), (("##4", "bb7"),),
        (("6+",),),
                    (("#4+", "2"), ("6",), ("5", "3"))):  # fmt: skip
        for length in (F(1, 4), F(3, 8)):
            found = figured_bass(LineEnds(1, 0, figures=figures, figures_length=length), 24)
            told.append(f"{figures} {length} " + "".join(ElementTree.tostring(one, "unicode") for one in found))
    _kept("figures", told)


# ---------------------------------------------------------------- pages


def pages() -> Iterator[tuple[str, WrittenScore]]:
    everything = {
        name: f"The {name}" for name in (
            "title", "subtitle", "composer", "dedication", "poet", "arranger", "copyright", "publisher", "number",
        )
    }  # fmt: skip
    for name in ("", *everything):
        fields = {**({"title": "T"} if name else everything), **({name: f"The {name}"} if name else {})}
        made = score([frame(1)], part("flute", [bar(full())]), header=Header(**fields))  # type: ignore[arg-type]  # fields
        yield name or "everything", laid_out(made.header, (), made.movements)
    for count in (1, 5, 8, 11, 30):
        made = score([frame(1)], *(part("flute", [bar(full())], name=f"f{n}") for n in range(count)))
        yield f"{count} staves", laid_out(Header("T"), (), made.movements)


def test_heads_of_pages_are_kept() -> None:
    told = []
    for name, made in pages():
        root = ElementTree.fromstring(musicxml_bytes(made, "first"))
        told.append(f"-- {name}")
        for child in root:
            if child.tag not in ("part", "part-list"):
                told += ElementTree.tostring(child, "unicode").splitlines()
    _kept("heads", told)


def _kept(name: str, told: list[str]) -> None:
    file = GOLDEN / f"{name}.txt"
    if UPDATE:
        GOLDEN.mkdir(exist_ok=True)
        file.write_text("\n".join(told) + "\n", "utf-8")
    assert told == file.read_text("utf-8").splitlines()


UPDATE = False


@pytest.fixture(autouse=True)
def update(request: pytest.FixtureRequest) -> None:
    """Whether the kept files are written anew."""
    global UPDATE
    UPDATE = request.config.getoption("--update")


# ---------------------------------------------------------------- lines of voices


def ends(*items: Leaf | Tuplet) -> list[str]:
    """What begins and ends at the notes of a bar, and the bar after it."""
    root = tree(score([frame(1), frame(2)], part("flute", [bar(*items), bar(full())])))
    told = []
    for child in next(root.iter("measure")):
        if child.tag == "direction":
            for kind in child.iter("direction-type"):
                told += [" ".join([inner.tag, *map(str, inner.attrib.values())]) for inner in kind]
        elif child.tag == "note":
            signs = [f"{s.tag} {s.get('type')}" for n in child.iter("notations") for s in n]
            told.append(f"{child.findtext('pitch/step') or 'rest'}: {', '.join(signs)}")
    return told


def test_words_of_a_lower_voice_stand_below_a_line_for_each_verse_above() -> None:
    """A line is left for an upper voice without words, too, as many as the most verses of one with them."""
    low = replace(note("C4", F(1)), sung=(SungText("lu"), SungText("la", verse=2)))
    for above, numbers in (
        ((), ["2", "3"]), ((SungText("a"),), ["1", "2", "3"]),
        ((SungText("a"), SungText("b", verse=3)), ["1", "3", "4", "5"]),
    ):  # fmt: skip
        high = replace(note("C5", F(1)), sung=above)
        root = tree(score([frame(1)], part("soprano", [WrittenBar(((high,), (low,)))])))
        assert [lyric.get("number") for lyric in root.iter("lyric")] == numbers


def test_lines_begin_and_end_at_their_notes() -> None:
    begins, stops = Marks(slur_begins=True), Marks(slur_ends=True)
    assert ends(note("C5", marks=begins), note("D5", marks=replace(stops, slur_begins=True)), note("E5", marks=stops),
        note("F5")) == [
        "C: slur start", "D: slur stop, slur start", "E: slur stop", "F: ",
    ]  # fmt: skip
    assert ends(note("C5"), note("D5", marks=begins), note("E5"), note("F5")) == [
        "C: ", "D: slur start", "E: ", "F: slur stop",
    ]  # fmt: skip
    assert ends(note("C5"), note("D5"), note("E5"), note("F5", marks=begins)) == ["C: ", "D: ", "E: ", "F: "]
    assert ends(note("C5", marks=stops), note("D5", marks=begins), note("E5", marks=begins), note("F5",
        marks=stops)) == [
        "C: ", "D: slur start", "E: ", "F: slur stop",
    ]  # fmt: skip
    swells = Marks(hairpin="crescendo")
    assert ends(note("C5", marks=swells), note("D5", marks=replace(swells, hairpin="diminuendo", hairpin_ends=False)),
                note("E5", marks=Marks(hairpin_ends=True)), note("F5")) == [
        "wedge crescendo 1", "C: ", "wedge stop 1", "wedge diminuendo 1", "D: ", "wedge stop 1", "E: ", "F: ",
    ]  # fmt: skip
    glides = Marks(glides=True)
    assert ends(note("C5", marks=glides), note("D5", marks=glides), rest(), note("F5")) == [
        "C: glissando start", "D: glissando stop, glissando start", "rest: ", "F: glissando stop",
    ]  # fmt: skip
