"""What wind players cannot do is told, and what real works ask of them is not called impossible.

The source stands beside each row; `from memory` where it was not verified, and such rows are no figure of anything.
Works by their bars in public encodings (Mutopia), unless another source is named; `reasoned` is what follows from the
tube, the keys or the seconds.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from fractions import Fraction
from random import Random

import pytest
from looking import found, score_of, told
from music21 import converter, corpus
from music21.note import Note
from music21.stream import Score
from real_passages import PASSAGES

from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import Instrument
from cavata.instruments.slide import glissando, places, slurs_cleanly, widest_steps
from cavata.instruments.table import find, instruments
from cavata.instruments.trills import trill_fault
from cavata.instruments.winds import breath_seconds, filled, goes_round, is_wind, shortest_breath
from cavata.music.pitch import Pitch, parse_interval, parse_pitch
from cavata.playing.finding import Degree
from cavata.playing.first_look import GO_ROUND, longest_breath
from cavata.playing.playing import findings, report_impossible
from cavata.playing.profile import AMATEURS
from cavata.playing.winds.breathing import BREATHS


def instrument(name: str) -> Instrument:
    made = find(name)
    assert made is not None
    return made


# ---------------------------------------------------------------- the slide

POSITIONS = "7654321 7654321 7654321 54321 4321 321 32 321 21 21 221"
"""E1 to B flat 1, then E2 to F5. Source: OEIS A309909, after Kennan, The Technique of Orchestration (1952), and a chart
of positions by Norman Bewley."""
RANGES = (
    "E2-Bb2 B2-F3 E3-Bb3 Ab3-D4 B3-F4 D4-G4 E4-Bb4 F#4-C5 Ab4-D5 E1-Bb1",  # the slide alone
    "C2-F2 G2-C3 C3-F3 E3-A3 G3-C4 Bb3-D4 C4-F4",  # with the valve in F
)
"""The widest glissandi: a tritone, and a fourth with the valve. Sources: michaelclayville.com, 2011/10/24; a paper on
studies for double valves (chesserresources.com.au)."""
NO_GLISSANDO = (
    ("B1-F2", "Bartók, Concerto for Orchestra iv: the same sources"), ("Bb2-F3", "over a seam: the same sources"),
    ("E2-B2", "wider than a tritone: the same sources"), ("F3-C4", "over a seam, and too wide"),
)  # fmt: skip


def test_positions_are_those_of_a_published_chart() -> None:
    notes = [*range(28, 35), *range(40, 78)]
    chart = [int(digit) for digit in POSITIONS.replace(" ", "")]
    assert [min(place.position for place in places("trombone", note) if place.tube == 0) for note in notes] == chart


def pair(text: str) -> tuple[Pitch, Pitch]:
    low, high = text.split("-")
    return parse_pitch(low), parse_pitch(high)


@pytest.mark.parametrize(("ranges", "valves"), [(RANGES[0], ("",)), (RANGES[1], ("", "F valve"))])
def test_every_published_glissando_is_there_in_both_directions(ranges: str, valves: tuple[str, ...]) -> None:
    for text in ranges.split():
        low, high = pair(text)
        assert glissando("trombone", low, high) == glissando("trombone", high, low), text
        assert glissando("trombone", low, high) in valves, text


@pytest.mark.parametrize(("text", "source"), NO_GLISSANDO)
def test_a_glissando_over_a_seam_is_not_there(text: str, source: str) -> None:
    assert glissando("trombone", *pair(text)) is None, source


SLURS = (("Bb3-D4", True), ("F4-Bb4", True), ("Bb2-F3", True), ("D4-F4", True), ("C#2-D2", False), ("E2-F2", False))
"""Crossing partials slurs without the tongue; along one partial it smears. Source: Trombone slide position
(playingbrass.com); the notes by the chart above."""


@pytest.mark.parametrize(("text", "clean"), SLURS)
def test_a_slur_is_clean_where_the_lip_changes_the_partial(text: str, clean: bool) -> None:
    low, high = pair(text)
    assert slurs_cleanly("trombone", low, high) is slurs_cleanly("trombone", high, low) is clean


def test_as_many_glissandi_are_there_as_were_counted_by_hand() -> None:
    """Both ends in E2 to B flat 4, of 1 to 6 semitones; reasoned from the chart of positions."""
    for valves, counted in (((""), (29, 27, 24, 20, 13, 6)), (("", "F valve"), (30, 29, 26, 23, 15, 6))):
        for size, expected in enumerate(counted, start=1):
            made = (glissando("trombone", _at(low), _at(low + size)) for low in range(40, 71 - size))
            assert sum(valve is not None and valve in valves for valve in made) == expected


def _at(key: int) -> Pitch:
    return parse_pitch(f"{('C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B')[key % 12]}{key // 12 - 1}")


def test_the_slide_takes_the_way_that_hurries_it_least() -> None:
    """Against every way there is, on short rows by chance."""
    by = Random("slide")
    for _ in range(60):
        keys = [by.randrange(47, 66) for _ in range(4)]
        ways: list[list[int]] = [[place.position] for place in places("alto trombone", keys[0])]
        for key in keys[1:]:
            ways = [[*way, place.position] for way in ways for place in places("alto trombone", key)]
        least = min(max(abs(a - b) for a, b in zip(way, way[1:], strict=False)) for way in ways)
        assert max(widest_steps("alto trombone", keys, [0.1] * 4)) == least, keys


# ---------------------------------------------------------------- trills

ORR, BAND = "Oboe and English Horn (orchestrationresources.com)", "Bassoon Technique (bandestration.com)"
INST = "Saxophone Trill Fingerings (theinstrumentalist.com, 2020)"
ABSENT = (
    ("oboe", "Bb3-B3", ORR), ("oboe", "F6-G6", ORR), ("bassoon", "Db2-Eb2", BAND),
    ("alto saxophone", "Bb3-B3", INST), ("tenor saxophone", "Bb3-B3", INST), ("alto saxophone", "C4-Eb4", INST),
    ("oboe", "Ab6-Bb6", ORR),
    ("trombone", "C3-D3", "reasoned: a slide does not trill, and no lip has two partials there"),
)  # fmt: skip
"""As read."""
_CONTRARY = "G3-A3 G#3-A#3 D4-E4 Eb4-F4 G#4-A#4 G3-G#3 G#3-A3 D4-Eb4 Eb4-E4 G#4-A4"
_FOOT = "B3-C4 B3-C#4 C4-Db4 C4-D4 Db4-Eb4 C4-Eb4"
_SEAMS = "B3-C#4 C4-C#4 C4-D4 F#4-G#4 G4-G#4 G4-A4 B4-C#5 C5-C#5"
AWKWARD = (
    ("flute", "G6-A6", "Trills (brannenflutes.com)"), ("flute", "B4-C#5", "Trills (brannenflutes.com)"),
    ("bassoon", "B2-C#3", "a player's report (idrs.org, topic 14322)"),
    ("clarinet", "A4-B4", "from memory"), ("clarinet", "Bb4-C5", "from memory"),
    *(("flute", text, "from memory: the right little finger has the keys of the foot") for text in _FOOT.split()),
    ("oboe", "Db4-Eb4", "from memory"), ("alto saxophone", "B3-C#4", "from memory"),
    ("oboe", "E6-F6", ORR + ": about there"),
    ("contrabassoon", "Db2-Eb2", "as of the bassoon, but its keys differ; from memory"),
    *(("trumpet", text, "fingers that move against each other, by a public chart of fingerings") for text in
      _CONTRARY.split()),
    *(("trumpet", text, "a seam of the same chart") for text in
      _SEAMS.split()),
)  # fmt: skip
THERE = (
    ("clarinet in A", "G3 Ab4 B4 D5 E5 F5 G5 A5 B5", "Mozart K 581"),
    ("bassoon", "Eb3 G3 Ab3 A3 Bb3 C4 D4 Eb4 E4 F4 G4", "Mozart K 191"),
    ("flute", "D5 E5 G#5", "Bach BWV 1013"), ("horn", "G4 Bb4 C5", "Mozart K 447"),
    ("trumpet", "A4 E4 D5 E5", "from memory"),
)  # fmt: skip
"""Trills that stand in works, as read: the lower notes; the upper may be a semitone or a whole tone away."""


def fault_of(name: str, low: Pitch, high: Pitch) -> bool | None:
    """Whether what the player reads so is absent, or awkward; None where it is there."""
    played = instrument(name)
    fault = trill_fault(played, low + played.transposition, high + played.transposition)
    return None if fault is None else fault.absent


@pytest.mark.parametrize(("name", "text", "source"), ABSENT)
def test_a_trill_without_a_fingering_is_absent(name: str, text: str, source: str) -> None:
    assert fault_of(name, *pair(text)) is True, source


@pytest.mark.parametrize(("name", "text", "source"), AWKWARD)
def test_an_awkward_trill_is_care_and_no_more(name: str, text: str, source: str) -> None:
    assert fault_of(name, *pair(text)) is False, source


@pytest.mark.parametrize(("name", "notes", "work"), THERE)
def test_trills_of_real_works_are_there(name: str, notes: str, work: str) -> None:
    for note in notes.split():
        low = parse_pitch(note)
        uppers = [low + parse_interval(interval) for interval in ("m2", "M2")]
        assert any(fault_of(name, low, upper) is None for upper in uppers), (work, note)


# ---------------------------------------------------------------- planted, and told

WIKI = "encyclopedia text on the trombone (pinocchiopedia.com), with a chart of its range"
HOME = "an orchestra's introduction (Home of Orchestra World): four pedal notes; those down to E are difficult"

IMPOSSIBLE, CARE, TIRING = (degree.value for degree in Degree)
SIXTEENTHS = "notes(1/16 C3 D3 E3 F3 G3 F3 E3 D3 C3 D3 E3 F3 G3 F3 E3 D3)"
PLANTED = (
    # ---- woodwind
    ("fl = flute", "fl: notes(1/2 D5 D6) -> glissando 1", "", CARE, "glissando of keys", "from memory"),
    ("cl = clarinet", "cl: notes(1/2 F3 Bb5) -> glissando 1", "", CARE, "glissando of keys", "from memory"),
    ("sax = alto saxophone", "sax: notes(1/1 Db3) -> trill to m2", "", IMPOSSIBLE, "trill", INST),
    ("oboe = oboe", "oboe: notes(1/1 Bb3) -> trill to m2", "", IMPOSSIBLE, "trill", ORR),
    ("oboe = oboe", "oboe: notes(1/1 F6) -> trill to M2", "", IMPOSSIBLE, "trill", ORR),
    ("oboe = oboe", "oboe: notes(3/2 Bb3) -> marked pp", "tempo 1/4 at 60", CARE, "register", ORR),
    ("fg = bassoon", f"fg: {SIXTEENTHS}", "tempo 1/4 at 240", IMPOSSIBLE, "tongue", "from memory"),
    ("fl = flute", "fl: notes(1/1 C5) -> marked ff held 12 bars", "tempo 1/4 at 64", IMPOSSIBLE, "breath",
     "from memory"),
    ("fg = bassoon", "fg: notes(1/1 Db2) -> trill to M2", "", IMPOSSIBLE, "trill", BAND),
    ("sax = tenor saxophone", "sax: notes(1/16 Bb2 Db3 Bb2 Db3 Bb2 Db3) -> slurred 1..6", "tempo 1/4 at 160",
     IMPOSSIBLE, "trill", INST),
    ("fl = flute", "fl: notes(1/16 C5 D5 E5 F5 G5 F5 E5 D5) x 4", "tempo 1/4 at 270", IMPOSSIBLE, "tongue",
     "from memory"),
    ("cl = clarinet", "cl: notes(1/1 D4) -> marked ff held 6 bars", "tempo 1/4 at 60", CARE, "breath", "from memory"),
    ("fl = flute", "fl: notes(1/1 C5) -> marked mf held 8 bars", "tempo 1/4 at 60", IMPOSSIBLE, "breath",
     "a section leader: more than two full breaths on one note"),
    ("tb = tuba", "tb: notes(1/1 Bb1) -> marked ff held 2 bars", "tempo 1/4 at 64", CARE, "breath",
     "the same, but it is 7.5 s, which a player who saves air may have; from memory"),
    ("fl = flute", "fl: notes(1/1 C5) -> marked mf held 5 bars", "tempo 1/4 at 60", CARE, "breath", "the same"),
    ("cl = clarinet", "cl: notes(1/16 C4 D4 E4 F4 G4 A4 B4 C5 D5 C5 B4 A4) -> slurred 1..12", "tempo 1/4 at 220",
     CARE, "fingers", "a section leader: 14 to 16 notes a second blur"),
    ("cl = clarinet", "cl: notes(1/16 C4 D4 E4 F4 G4 A4 B4 C5 D5 C5 B4 A4) -> slurred 1..12", "tempo 1/4 at 300",
     IMPOSSIBLE, "fingers", "the same: faster is the end"),
    ("fl = flute", "fl: notes(1/16 C5 D5 E5 F5, 1/4 G5) -> slurred 1..5", "tempo 1/4 at 320", IMPOSSIBLE, "fingers",
     "the same: even for a short run"),
    ("tp = trumpet", "tp: notes(1/16 C5 D5 C5 D5, 1/4 E5)", "tempo 1/4 at 260", IMPOSSIBLE, "tongue",
     "double tonguing has about 14: from memory"),
    ("cl = clarinet", "cl: notes(1/16 C5 D5 C5 D5, 1/4 E5)", "tempo 1/4 at 180", CARE, "tongue",
     "a burst of 12 a second; from memory"),
    ("ob = oboe", "ob: notes(1/1 chord(E5 G5))", "", IMPOSSIBLE, "one note", "common practice"),
    ("cl = clarinet in C", "cl: notes(1/16 A4 C5 A4 C5 A4 C5 A4 C5) -> slurred 1..8", "tempo 1/4 at 130",
     CARE, "trill", "from memory"),
    ("cl = clarinet in C", "cl: notes(1/16 E3 E4 C4 C5 G3 G4 E4 E5) -> slurred 1..8", "tempo 1/4 at 110",
     CARE, "leap of a wind", "Rimsky-Korsakov, Principles of Orchestration"),
    ("fl = flute", "fl: notes(1/1 C4) -> marked ff", "", CARE, "register", "from memory"),
    ("fl = flute\nvc = cello", "fl: notes(1/1 D5), 30 bars rest, notes(1/1 C7)\nvc: 1 bar rest", "tempo 1/4 at 72",
     CARE, "entry", "from memory"),
    # ---- brass
    ("tb = trombone", "tb: notes(1/2 B1 F2) -> glissando 1", "", IMPOSSIBLE, "glissando", NO_GLISSANDO[0][1]),
    ("tb = trombone", "tb: notes(1/2 A2 B2) -> glissando 1", "", CARE, "glissando", "reasoned: only with the valve"),
    ("tp = trumpet", "tp: notes(1/2 C4 Bb5) -> slurred 1..2", "tempo 1/4 at 80", CARE, "leap of a wind",
     "a section leader: a slurred fourteenth"),
    ("hn = horn", "hn: notes(1/2 C5 Bb3) -> slurred 1..2", "tempo 1/4 at 80", CARE, "leap of a wind",
     "a section leader: wide slurs downward"),
    ("tb = trombone", "tb: notes(1/1 G1)", "", CARE, "low note", WIKI), ("tb = trombone", "tb: notes(1/1 E1)", "", CARE,
     "low note", HOME),
    ("tb = trombone", "tb: notes(1/1 D2)", "", CARE, "low note", WIKI + ": only with the F attachment"),
    ("tb = trombone", "tb: notes(1/1 B1)", "", CARE, "low note", WIKI + ": with the valve slide pulled out to E"),
    ("tb = alto trombone", "tb: notes(1/1 F2)", "", IMPOSSIBLE, "low note", "reasoned: positions of a slide in E flat"),
    ("tp = trumpet", "tp: notes(1/1 chord(C5 E5 G5))", "", IMPOSSIBLE, "one note", "common practice"),
    ("tp = trumpet in C", "tp: notes(1/1 C4) -> trill to M2", "", CARE, "trill", "a player's report (bgoff.org)"),
    ("tp = trumpet", "tp: notes(1/4 C5 D5 E5, 1/16 F5, 1/16 rest, 1/8 G5) -> marked 5 straight_mute",
     "tempo 1/4 at 50", IMPOSSIBLE, "mute", "Mutes, part one (themoderntrumpet.com): three to four seconds"),
    ("tb = tuba", "tb: notes(1/1 Bb1) -> marked ff held 4 bars", "tempo 1/4 at 64",
     IMPOSSIBLE, "breath", "a player's report (forums.chisham.com): some 3 seconds flat out"),
    ("tb = trombone", "tb: notes(1/1 C3) -> trill to M2", "", IMPOSSIBLE, "trill", "reasoned"),
    ("tb = trombone", "tb: notes(1/2 F3 C4) -> glissando 1", "", IMPOSSIBLE, "glissando", "reasoned"),
    ("tb = bass trombone", "tb: notes(1/2 B1 F2) -> glissando 1", "", CARE, "glissando", NO_GLISSANDO[0][1]),
    ("bg = bugle", "bg: notes(1/2 Bb3 C4)", "", IMPOSSIBLE, "natural note", "acoustics of the tube"),
    ("tp = trumpet", "tp: notes(1/2 C5, 1/4 rest, 1/4 D5) -> marked 2 cup_mute", "tempo 1/4 at 40", CARE, "mute",
     "Mutes, part one (themoderntrumpet.com)"),
    ("hn = horn", "hn: notes(1/16 F4 F4 F4 F4) -> marked 2 stopped", "tempo 1/4 at 120", CARE, "stopped",
     "from memory"),
    ("hn = horn", "hn: notes(1/2 D3 F4) -> marked 1 stopped", "", CARE, "stopped", "from memory"),
    ("tp = trumpet", "tp: notes(1/1 F5) x 30", "tempo 1/4 at 72", TIRING, "lip",
     "Orchestrating for Brass (tamingthesaxophone.com) that it tires; the seconds from memory"),
    ("tb = alto trombone", "tb: notes(1/16 A2 Bb3 A2 Bb3 A2 Bb3 A2 Bb3)", "tempo 1/4 at 120", CARE, "leap of a wind",
     "from memory"),
    ("tb = alto trombone", "tb: notes(1/16 Eb3 E3 Eb3 E3 Eb3 E3 Eb3 E3)", "tempo 1/4 at 120", CARE, "slide",
     "reasoned: first and seventh position; the speed of the slide from memory"),
    ("tb = alto trombone", "tb: notes(1/8 A2 Bb2 B2 C3) -> slurred 1..4", "tempo 1/4 at 120", CARE, "smear",
     "Trombone slide position (playingbrass.com)"),
    ("hn1 = horn\nhn2 = horn", "hn2: notes(1/1 D5 Eb5 D5)\nhn1: 1 bar rest", "tempo 1/4 at 72", CARE, "horn",
     "common practice; the limit from memory"),
    ("fl = flute, doubling piccolo", "fl: notes(1/1 C5), notes(1/4 rest D6, 1/2 D6)\nfl bars 2 to 2: on piccolo",
     "tempo 1/4 at 100", CARE, "change of instrument", "Time required for instrument switches (bretpimentel.com)"),
)  # fmt: skip


@pytest.mark.parametrize(("forces", "rows", "settings", "degree", "kind", "source"), PLANTED)
def test_what_was_planted_is_told(forces: str, rows: str, settings: str, degree: str, kind: str, source: str) -> None:
    score = score_of(forces, rows, settings)
    made = [finding for _, _, finding in findings(score)]
    assert (degree, kind) in [(each.degree.value, each.kind.word) for each in made], source
    # A check looks quickly first whether there may be something; it must miss nothing of the first degree.
    bag = Diagnostics()
    report_impossible(score, bag)
    first = {each.kind.code for each in made if each.degree is Degree.IMPOSSIBLE}
    assert {each.code for each in bag.ordered()} == first


# ---------------------------------------------------------------- real, and let through

ALLEMANDE = "notes(1/16 A5 E6 C6 A5 E5 A5 C6 E6 A6 E6 C6 A5 E6 C6 A5 E5) x 15"
REAL = (
    ("fl = flute", f"fl: {ALLEMANDE}", "tempo 1/4 at 72", "BWV 1013, Allemande 16-31: sixteenths without a rest"),
    ("cl = clarinet in A", "cl: notes(1/4 A5 Eb3 A5 Eb3)", "tempo 1/4 at 130", "K 581 i 188: C6 to F#3 as read"),
    ("fg = bassoon", "fg: notes(1/4 Bb1 F4 Bb1 F4)", "tempo 1/4 at 120", "K 191 i 115: Bb1 to F4"),
    ("fg = bassoon", f"fg: {SIXTEENTHS}", "tempo 1/4 at 160", "Beethoven, Symphony 4 iv; from memory"),
    ("fl = flute", "fl: notes(1/16 G5 A5 B5 C6 D6 C6 B5 A5) x 20", "tempo 1/4 at 128",
     "Mendelssohn, Midsummer Night's Dream, scherzo; from memory"),
    ("cl = clarinet", "cl: notes(1/16 C5 D5 E5 F5 G5 F5 E5 D5) x 20", "tempo 1/4 at 126", "K 581 iv 126-136: no rest"),
    ("hn1 = horn\nhn2 = horn", "hn2: notes(1/8 Bb2 Eb4 Bb2 F4 Bb2 Eb4 Bb2 F4)\nhn1: 1 bar rest", "tempo 1/4 at 120",
     "Beethoven op. 81b i 95-96: the leaps of the second horn, in E flat"),
    ("hn = horn", "hn: notes(1/4 Eb3 Eb1) x 2", "tempo 1/4 at 120", "Brahms op. 40 iv 253: Bb3 to Bb1 as read in F"),
    ("hn = horn", "hn: notes(1/4 F4 G4 A4) x 48", "tempo 1/4 at 200", "Brahms op. 40 ii 13-60: 48 bars without a rest"),
    ("tb = trombone", "tb: notes(1/4 C5 Eb4 D5 Bb4)", "tempo 1/4 at 80", "Beethoven WoO 30 iii 12: C5 to Eb4"),
    ("tp = piccolo trumpet", "tp: notes(1/8 C6 G6 F6 E6, 1/2 D6)", "tempo 1/4 at 96", "BWV 1047 i 76: G6 sounds"),
    ("hn = horn in F", "hn: notes(1/8 F4 Bb4 F4 D4 Bb3 F3, 1/4 Bb1)", "tempo 1/4 at 110",
     "Strauss, Till Eulenspiegel: down over the whole horn; from memory"),
    ("tb = trombone", "tb: notes(1/4 Db5 C5 Bb4 Ab4)", "tempo 1/4 at 72", "Ravel, Boléro; from memory"),
    ("tp = trumpet in C", "tp: notes(1/16 C5 C5 C5 C5 C5 C5 C5 C5) x 4", "tempo 1/4 at 144",
     "Rossini, William Tell overture; from memory"),
    ("tb = trombone", "tb: notes(1/2 E2 Bb2) -> glissando 1", "", "the source of the glissandi above"),
    ("cl = clarinet in A", "cl: notes(1/2 E3) -> trill to M2", "", "K 581: a trill on G3 as read"),
)  # fmt: skip


@pytest.mark.parametrize(("forces", "rows", "settings", "work"), REAL)
def test_what_works_ask_for_is_not_called_impossible(forces: str, rows: str, settings: str, work: str) -> None:
    assert [row for row in told(forces, rows, settings) if row[0] == IMPOSSIBLE] == [], work


@pytest.mark.parametrize(("work", "name", "tempo", "row"), PASSAGES, ids=lambda value: str(value)[:24])
def test_passages_of_real_works_are_hardly_told(work: str, name: str, tempo: int, row: str) -> None:
    """Nothing is impossible, and at most one row of tongued notes is told, beside what a check tells of ranges: K 191
    has 9.8 a second."""
    made = [each for each in told(f"p = {name}", f"p: {row}", f"tempo 1/4 at {tempo}") if each[1] != "range"]
    assert made in ([], [(CARE, "tongue")], [(TIRING, "tongue")]), work


CONCERTINO_TEMPI = ((0, 60), (113, 90), (199, 110), (251, 100), (343, 120), (459, 60), (548, 100))
"""Of the encoding in music21's corpus: from which quarter on, and how many a minute."""


def _concertino() -> Iterator[tuple[str, str]]:
    """The solo of Weber's op. 26 as rows of a script, with its slurs, a stretch for each tempo."""
    path = next(path for path in corpus.getPaths() if "concertino_clarinet" in str(path))
    score = converter.parse(path)
    assert isinstance(score, Score)
    part = score.parts[0]
    slurs = [
        (slur.getFirst().getOffsetInHierarchy(part), slur.getLast().getOffsetInHierarchy(part))
        for slur in part.recurse().getElementsByClass("Slur")
    ]  # fmt: skip
    notes = [each for each in part.stripTies().flatten().notesAndRests if each.duration.quarterLength > 0]
    for (begin, tempo), end in zip(CONCERTINO_TEMPI, [*(at for at, _ in CONCERTINO_TEMPI[1:]), 9999], strict=True):
        here = [note for note in notes if begin <= note.offset < end]
        # Graces stretch some notes of the encoding; a 192nd of a whole note is near enough for breath and tongue.
        items = [f"{Fraction(max(1, round(note.duration.quarterLength * 48)), 192)} {_name(note)}" for note in here]
        sounding = [note for note in here if isinstance(note, Note)]
        within = [
            [index for index, note in enumerate(sounding, start=1) if first <= note.offset <= last]
            for first, last in slurs if begin <= first and last < end
        ]  # fmt: skip
        ranges = " ".join(f"{each[0]}..{each[-1]}" for each in _apart(within))
        yield f"cl: notes({', '.join(map(_whole, items))})" + (f" -> slurred {ranges}" if ranges else ""), str(tempo)


def _whole(item: str) -> str:
    length, name = item.split()
    return item if "/" in length else f"{length}/1 {name}"


def _apart(ranges: list[list[int]]) -> Iterator[list[int]]:
    last = 0
    for each in sorted(each for each in ranges if len(each) > 1):
        if each[0] > last:
            last = each[-1]
            yield each


def _name(note: object) -> str:
    return note.pitch.nameWithOctave.replace("-", "b") if isinstance(note, Note) else "rest"


@pytest.mark.slow
@pytest.mark.skipif("CAVATA_CORPUS" not in os.environ, reason="reads a whole score: CAVATA_CORPUS=1")
def test_a_concertino_for_clarinet_can_be_played() -> None:
    """Weber op. 26, 1,164 notes as read by a clarinetist."""
    counted = 0
    for rows, tempo in _concertino():
        counted += rows.count("/") - rows.count(" rest")
        made = found("cl = clarinet in C", rows, f"tempo 1/4 at {tempo}")
        assert [each for each in made if each.degree is Degree.IMPOSSIBLE] == []
        assert len(made) <= 8
    assert counted > 1000


# ---------------------------------------------------------------- it must object, and it must not flood


@pytest.mark.parametrize("name", ["flute", "clarinet", "horn", "tuba", "soprano"])
@pytest.mark.parametrize("size", [2, 3, 4])
def test_every_chord_by_chance_is_told(name: str, size: int) -> None:
    count = 3000 if "CAVATA_CORPUS" in os.environ else 20
    played, by = instrument(name), Random(f"{name} {size}")
    assert played.lowest is not None and played.highest is not None
    chords = [sorted(by.sample(range(played.lowest.midi, played.highest.midi + 1), size)) for _ in range(count)]
    row = " ".join(f"chord({' '.join(str(_at(key)) for key in chord)})" for chord in chords)
    made = [each for each in found(f"p = {name}", f"p: notes(1/4 {row})") if each.kind.word == "one note"]
    assert len(made) == count


@pytest.mark.parametrize(
    ("forces", "rows"),
    [
        ("fl = flutes", "fl: notes(1/1 C5) -> marked ff held 12 bars"),  # they breathe by turns
        ("fg = bassoon", "fg: notes(1/16 E3 B3 G3 B3 E3 B3 G3 B3) -> marked staccato x 30"),  # a gap after each note
        ("ob = oboe", "ob: notes(1/4 C5 D5 E5 F5, 1/2 G5, 1/4 rest, 1/4 G5) x 12"),
        ("cl = clarinet", "cl: notes(1/8 C5 D5 E5 F5 G5 A5 B5 C6) -> slurred 1..8 x 20"),
        ("tp = trumpet", "tp: notes(1/4 C5 C5 G4 E4, 1/1 C5) x 8"),
        ("tp = trumpet", "tp: notes(1/4 C5 C5 G4 E4), 2 bars rest, notes(1/2 C5 E5) -> marked straight_mute"),
        ("hn = horn", "hn: notes(1/4 C4 E4 G4, 1/4 C4) x 12"),
        ("tb = trombone", "tb: notes(1/8 Bb2 C3 D3 Eb3 F3 Eb3 D3 C3) x 8"),
        ("tb = tuba", "tb: notes(1/4 Bb1 F2 Bb1 F2) -> marked f x 12"),
        ("fg = bassoon", "fg: notes(1/8 F2 A2 C3 F3 A3 F3 C3 A2) -> marked p x 8"),
    ],
)
def test_ordinary_music_is_not_told(forces: str, rows: str) -> None:
    assert told(forces, rows, "tempo 1/4 at 100") == []


def test_multiphonics_are_several_notes_for_one_player() -> None:
    """Common practice: words ask for them, and `ord.` ends them."""
    row = 'fl: notes(1/4 chord(C5 D#5) chord(C5 E5) chord(C5 D#5) F5)'
    assert told("fl = flute", f'{row} -> marked 1 "multiphonics"') == []
    asked = f'{row} -> marked 1 "multiphonics" -> marked 3 "ord."'
    assert told("fl = flute", asked) == [(IMPOSSIBLE, "one note")]


def test_the_quick_look_is_shorter_than_the_shortest_impossible_sound() -> None:
    winds = [each for each in instruments().values() if is_wind(each) and each.lowest is not None]
    assert len(winds) > 40
    for each in winds:
        shortest = min(breath_seconds(each, pitch, "ffff") for pitch in (each.lowest, each.highest) if pitch)
        assert 2 * shortest_breath(each) <= BREATHS * shortest, each.key
    assert all(goes_round(instrument(key)) for key in GO_ROUND)
    assert longest_breath(instrument("soprano")) <= 2 * shortest_breath(instrument("soprano"))


@pytest.mark.parametrize(
    ("forces", "rows", "tempo"),
    [
        ("cl = clarinet", "cl: notes(1/32 C5 D5 C5 D5 C5 D5 C5 D5, 1/4 E5) -> slurred 1..9", 160),  # a trill, written
        ("hn = horn", "hn: notes(1/32 C3 G3 C4 E4 G4, 1/4 C5) -> slurred 1..6", 160),  # a rip
        ("fl = flutes", "fl: notes(1/32 C5 D5 E5 F5 G5 A5 B5, 1/4 C6) -> slurred 1..8", 100),  # 13 a second
        ("hn = horn", "hn: notes(1/2 C4 E5, 1/2 C5 C4) -> slurred 1..2 3..4", 80),  # a tenth up, an octave down
        ("tb = trombone", "tb: notes(1/1 E2 F2)", 80),
    ],
)  # fmt: skip
def test_what_is_no_row_of_fingers_and_no_wide_slur_is_not_told(forces: str, rows: str, tempo: int) -> None:
    assert told(forces, rows, f"tempo 1/4 at {tempo}") == []


@pytest.mark.parametrize(
    ("forces", "notes"),
    [("p = clarinet", "C5 Bb5"), ("p = oboe", "D5 E5"), ("p = alto recorder", "G4 D5"),
     ("p = alto saxophone", "F4 C5")],
)  # fmt: skip
def test_what_glides_on_keys_is_not_told(forces: str, notes: str) -> None:
    """The slide of Gershwin's Rhapsody in Blue in the upper register, a note that the lip bends, open holes; from
    memory."""
    assert told(forces, f"p: notes(1/2 {notes}) -> glissando 1") == []


LOWEST = (
    ("flute", "A3", "impossible"), ("clarinet", "B2", "impossible"), ("bassoon", "G1", "impossible"),
    ("English horn", "C3", "impossible"), ("flute", "Bb3", "care"), ("bassoon", "A1", "care"), ("horn", "A1", "care"),
    ("tuba", "A0", "care"), ("alto recorder", "E4", "impossible"),
)  # fmt: skip
"""Below the rare foot of B flat, the keys of a full-Boehm clarinet and the bell of Wagner's A1 a bore has nothing; lips
have. From memory."""


@pytest.mark.parametrize(("name", "note", "degree"), LOWEST)
def test_a_woodwind_has_no_note_below_all_holes_closed(name: str, note: str, degree: str) -> None:
    assert {each for each, kind in told(f"p = {name}", f"p: notes(1/1 {note})") if kind in ("range", "too low")} == {
        degree
    }


def test_a_sweep_may_be_faster_than_a_row_that_turns() -> None:
    """Tchaikovsky, Symphony 6 iii: sweeps of strings and winds, 20 notes a second; from memory."""
    sweep = "fl: notes(1/32 C5 D5 E5 F5 G5 A5 B5, 1/4 C6) -> slurred 1..8"
    assert told("fl = flute", sweep, "tempo 1/4 at 152") == [(CARE, "fingers")]
    assert told("fl = flute", sweep, "tempo 1/4 at 176") == [(IMPOSSIBLE, "fingers")]


def test_a_trill_from_a_flat_is_to_b_flat() -> None:
    """Common practice: no trill is wider than a whole tone, whatever the signature."""
    (made,) = found("tp = trumpet in C", "tp: notes(1/1 Ab4) -> trill")
    assert made.what == "has a poor trill Ab4-Bb4"


def test_no_time_is_called_so() -> None:
    made = found("tp = trumpet", "tp: notes(1/4 C5 D5) -> marked 2 straight_mute", "tempo 1/4 at 100")
    assert [each.what for each in made] == ["has no time to put the mute in"]


def test_circular_breathing_is_asked_for_in_words() -> None:
    """When no breath is possible, a last resort, or asked for by the composer: bretpimentel.com on breathing."""
    row = "cl: notes(1/1 D4) -> marked ff {}held 6 bars"
    assert told("cl = clarinet", row.format(""), "tempo 1/4 at 60") == [(CARE, "breath")]
    made = found("cl = clarinet", row.format('"circular breathing" '), "tempo 1/4 at 60")
    assert [each.what for each in made] == ["is asked for circular breathing"]


def test_con_sordino_is_the_straight_mute_of_a_trumpet() -> None:
    """Common practice: no time is needed from one word to the other."""
    row = "tp: notes(1/4 C5 D5 E5 F5) -> marked 1 muted -> marked 3 {}"
    assert told("tp = trumpet", row.format("straight_mute"), "tempo 1/4 at 120") == []
    assert told("tp = trumpet", row.format("cup_mute"), "tempo 1/4 at 120") == [(IMPOSSIBLE, "mute")]


def test_a_measured_tremolo_is_tongued_and_of_one_that_is_not_it_is_asked_what_is_meant() -> None:
    rows = ("tp: notes(1/1 C5) -> tremolo 1/32", "tp: notes(1/1 C5) -> tremolo", "tp: notes(1/1 C5) -> tremolo 1/16")
    assert [told("tp = trumpet", row, "tempo 1/4 at 150") for row in rows] == [
        [(IMPOSSIBLE, "tongue")], [(CARE, "technique")], []
    ]  # fmt: skip


def test_amateurs_have_shorter_breath_and_slower_tongues() -> None:
    slur = "fl: notes(1/2 C5 D5 E5 F5 G5 F5) -> slurred 1..6"
    assert found("fl = flute", slur, "tempo 1/4 at 64") == []
    assert [each.kind.word for each in found("fl = flute", slur, "tempo 1/4 at 64", AMATEURS)] == ["breath"]
    row = "cl: notes(1/16 C5 D5 E5 F5 G5 F5 E5 D5)"
    assert found("cl = clarinet", row, "tempo 1/4 at 112") == []
    assert [each.kind.word for each in found("cl = clarinet", row, "tempo 1/4 at 112", AMATEURS)] == ["tongue"]


def test_an_oboist_must_breathe_out_first() -> None:
    """Source: Oboe and English Horn (orchestrationresources.com); oboeinsight.com, 2006/10/26."""
    assert filled(instrument("oboe"), 0.6) < filled(instrument("clarinet"), 0.6)
    assert filled(instrument("oboe"), 0.15) == 0 and filled(instrument("oboe"), 2) == 1


def test_the_time_for_a_breath_counts_and_not_the_phrase_alone() -> None:
    """A breath is a cycle: Woodwinds: note durations and breathing (orchestrationonline.com)."""
    phrase = "notes(1/2 C5 D5 E5 F5 G5, 3/8 A5, 1/8 G5) -> marked ff -> slurred 1..7"
    short, long = (f"fl: {phrase}, {rest} rest, {phrase}" for rest in ("1/32", "1/2"))
    assert [each.text for each in found("fl = flute", short, "tempo 1/4 at 100")] == [
        "14 s with one short breath; a full one lasts about 7.2 s"
    ]
    assert told("fl = flute", long, "tempo 1/4 at 100") == []

@pytest.mark.parametrize(("tempo", "hurried"), [(100, False), (152, True)])
def test_the_slide_is_slower_than_the_tongue(tempo: int, hurried: bool) -> None:
    """From C3 with the valve to D3 is three positions; from memory."""
    row = "t: notes(1/16 Bb2 C3 D3 Eb3 F3 Eb3 D3 C3) x 4"
    assert (("care", "slide") in told("t = trombone", row, f"tempo 1/4 at {tempo}")) is hurried


@pytest.mark.parametrize(("name", "blurs"), [("contrabassoon", True), ("bassoon", False)])
def test_large_bores_speak_more_slowly(name: str, blurs: bool) -> None:
    """Thirteen slurred notes a second; from memory."""
    row = "b: notes(1/32 C2 D2 E2 F2 G2 A2 B2 C3) x 4 -> slurred"
    assert (("care", "fingers") in told(f"b = {name}", row, "tempo 1/4 at 100")) is blurs
