"""Documents hold against the schema of MusicXML 4.0.

Source: W3C, MusicXML 4.0 (Community Group Final Report), `musicxml.xsd`; see `musicxml_schema.py`.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import music21
import pytest
from musicxml_schema import faults

# The hand-made scores stand beside the unit tests.
sys.path.append(str(Path(__file__).resolve().parent.parent / "unit"))

from emit_musicxml_scores import free_time, full_of_signs, one_bar, rest

from cavata.instruments.table import instruments
from cavata.musicxml.document import musicxml_bytes
from cavata.musicxml.header import SOUNDS
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written


@pytest.mark.parametrize("score", (full_of_signs(), free_time(), one_bar(rest(), rest(), rest(), rest())))
def test_hand_made_scores_are_valid(score: WrittenScore) -> None:
    assert faults(musicxml_bytes(score, "first")) == []


def test_schema_refuses_what_is_wrong() -> None:
    broken = musicxml_bytes(full_of_signs(), "first").replace(b"<step>D</step>", b"<step>H</step>", 1)
    assert faults(broken)


def test_player_who_takes_up_another_instrument_is_valid() -> None:
    script = (
        "language 2\nforces\n    flute = flute, doubling piccolo, doubling alto flute\n"
        "movement first\n    key D major\n"
        "    flute: notes(1/1 D5), 1 bar rest, notes(1/1 D6), 1 bar rest, notes(1/1 D4), 1 bar rest, notes(1/1 D5)\n"
        "    flute bars 3 to 3: on piccolo\n    flute bars 5 to 5: on alto flute\n"
    )
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=script)
    assert compiled.score is not None
    document = musicxml_bytes(written(compiled.score), "first")
    assert document.count(b"<transpose>") == 4
    assert faults(document) == []


def test_sounds_are_standard_ones_and_of_instruments_that_exist() -> None:
    """Source: the standard sounds of MusicXML as music21 10.5 names them for its instruments."""
    known = set()
    for kind in vars(music21.instrument).values():
        if isinstance(kind, type) and issubclass(kind, music21.instrument.Instrument):
            known.add(getattr(kind(), "instrumentSound", None))
    keys = {instrument.key for instrument in instruments().values()}
    assert set(SOUNDS) <= keys and set(SOUNDS.values()) <= known


SIGNS_OF_SETTINGS = """\
language 2
piece "The Ferry"
    composer "A. Lind"
    poet "E. Dickinson"
    arranger "B. Hart"
    copyright "(c) 2026 A. Lind"
    publisher "Lamp Editions"
    number "LE 104"
    note "Softly."
forces
    cello = cello
    piano = piano
    drum = snare drum
motif changes = chords(1/2 Dm, 1/4 Gm7 A7)
movement first
    cello: notes(1/1 D3, 1/2 A3 G3) -> figured "4-#3 7/5/b3 6+" -> diminuendo p nothing
    piano: (changes -> without symbols) x 2, notes(1/1 D5) -> crescendo nothing f
    piano bars 2 to 2: symbols of changes
    drum: notes(1/4 C4 C4 C4 C4) -> labeled "R L R L" -> marked let_ring
    cello at bar 3: notes(1/4 chord(D3 A3), 3/4 D3) -> marked let_ring -> marked 1 breath -> marked last caesura
"""


def test_signs_of_settings_are_valid() -> None:
    """What a script says beside the notes: figures, circles, labels, chord symbols, whose it is."""
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=SIGNS_OF_SETTINGS)
    assert compiled.score is not None, compiled.bag.ordered()
    document = musicxml_bytes(written(compiled.score), "first")
    assert faults(document) == []
    signs = (b"<figured-bass>", b'niente="yes"', b"<harmony", b">R</words>", b"<breath-mark", b"<caesura", b"let-ring")
    for said in (*signs, b"<rights>"):
        assert said in document, said


def test_a_pedal_board_scordatura_and_harmonics_are_valid() -> None:
    script = """language 2
forces
    organ  = organ
    violin = violin, tuned A3 E4 A4 E5
    guitar = guitar
movement first
    organ: notes(1/4 D5 E5)
    organ.pedal: notes(1/2 D2)
    violin: notes(1/4 E6 F#6) -> harmonic touching P4, notes(1/4 A4 B4) -> sul A, notes(1/1 E5) -> harmonic on E
    guitar: notes(1/4 A3 C4) -> played on string 4
"""
    score = compile_script(Path("x.cavata"), text=script).score
    assert score is not None
    assert faults(musicxml_bytes(written(score), "first")) == []


METERS = """language 2
forces
    flute = flute
    oboe = oboe
movement first
    section one
        meter common time
        meter at bar 2: 3/4
        flute: notes(1/1 D5, 3/4 D5 E5)
        oboe: notes(1/4 D5 D5 D5 D5)
    section free
        meter none
        flute: notes(1/4 D5 E5 F5 G5 A5)
    section two
        meter 3/4
        flute: notes(3/4 D5)
        oboe: notes(1/4 D5 D5 D5)
    section three
        meter alla breve
        meter at bar 2: 7/8 as 3+2+2
        meter at bar 3: 7/8 as 2+2+3
        flute: notes(1/1 D5, 7/8 D5 E5)
"""


def test_meters_stand_where_the_page_has_them_and_free_time_breaks_no_reader() -> None:
    """Verovio 6 ended the process at `senza-misura` after measured bars, so it reads in one of its own here."""
    pytest.importorskip("verovio")
    score = compile_script(Path("x.cavata"), text=METERS).score
    assert score is not None
    page = written(score)
    document = musicxml_bytes(page, "first")
    assert faults(document) == []
    for part in ElementTree.fromstring(document).findall("part"):
        found = {
            measure.get("number"): (time.findtext("beats"), time.get("symbol"), time.get("print-object"))
            for measure in part.iter("measure") for time in measure.iterfind("attributes/time")
        }  # fmt: skip
        seen = {number: (beats, symbol) for number, (beats, symbol, there) in found.items() if there != "no"}
        assert seen == {
            "1": ("4", "common"), "2": ("3", None), "5": ("3", None), "6": ("2", "cut"), "7": ("3+2+2", None),
            "8": ("2+2+3", None),
        }  # fmt: skip
        assert [number for number, (*_, there) in found.items() if there == "no"] == ["4"]
        assert [str(f.number) for f in page.movements[0].frames if f.shows_meter] == list(seen)
    reading = "import sys, verovio; print(verovio.toolkit().loadData(sys.stdin.read()))"
    read = subprocess.run([sys.executable, "-c", reading], input=document.decode(), capture_output=True, text=True)
    assert (read.returncode, read.stdout.split()[-1:]) == (0, ["True"])
