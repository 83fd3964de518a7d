"""What other programs read in a player's part is what the score has for that player.

Sources: music21's reader, MusicXML 4.0 (W3C Community Group Report), and Poppler's `pdftotext`; none is this project's.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, Phase, given, settings

sys.path += [str(Path(__file__).resolve().parent.parent / folder) for folder in ("unit", "properties")]

from musicxml_schema import faults
from rounds import rounds
from test_reading_back import sounds_of, sounds_read_by_music21
from waiting_scripts import score_of, waiting_scripts

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave, find_lilypond
from cavata.lilypond.engraving import Engraving
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script
from cavata.score.score import Movement, Score

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
FEW = settings(
    max_examples=rounds(4), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.generate),
)  # fmt: skip


def part_scores(score: Score) -> list[Score]:
    return [copy.score for copy in copies(score, WantedCopies(score=False, parts=None), Diagnostics())]


def without_cues(document: bytes) -> bytes:
    """The document with what MusicXML marks as a cue taken out, which is not played."""
    root = ElementTree.fromstring(document)
    for measure in root.iter("measure"):
        for note in [note for note in measure.findall("note") if note.find("cue") is not None]:
            measure.remove(note)
    return ElementTree.tostring(root)


@FEW
@given(waiting_scripts().map(score_of))
def test_music21_reads_every_sound_of_a_part(score: Score) -> None:
    for copy in part_scores(score):
        document = musicxml_bytes(notate(copy), copy.movements[0].name)
        read, own = sounds_read_by_music21(without_cues(document)), sounds_of(copy)
        assert (own - read, read - own) == (Counter(), Counter())


@FEW
@given(waiting_scripts().map(score_of))
def test_every_voice_of_a_parts_musicxml_fills_its_bars(score: Score) -> None:
    """The durations of each voice in a measure sum to it, rests and notes alike, and the measures to the movement."""
    for copy in part_scores(score):
        for movement in copy.movements:
            document = musicxml_bytes(notate(copy), movement.name)
            assert faults(document) == []
            root = ElementTree.fromstring(document)
            assert sum(measure_lengths(root), Fraction(0)) == movement.duration


def measure_lengths(root: ElementTree.Element) -> list[Fraction]:
    """For each measure the length of its voices in whole notes, which must all be as long."""
    divisions = int(root.findtext(".//divisions") or 0)
    lengths = []
    for measure in root.iter("measure"):
        voices: Counter[str] = Counter()
        for note in measure.findall("note"):
            if note.find("chord") is None and note.find("grace") is None:
                voices[note.findtext("voice") or "1"] += int(note.findtext("duration") or 0)
        assert len(set(voices.values())) == 1, (measure.get("number"), voices)
        lengths.append(Fraction(next(iter(voices.values())), 4 * divisions))
    return lengths


@FEW
@given(waiting_scripts().map(score_of))
def test_rests_of_several_bars_cover_empty_measures_only(score: Score) -> None:
    """MusicXML 4.0, `multiple-rest`: the number of measures, this one counted, that the rest stands for."""
    for copy in part_scores(score):
        root = ElementTree.fromstring(musicxml_bytes(notate(copy), copy.movements[0].name))
        measures = list(root.iter("measure"))
        for place, measure in enumerate(measures):
            for rest in measure.iter("multiple-rest"):
                covered = measures[place : place + int(rest.text or 0)]
                assert len(covered) == int(rest.text or 0) > 1
                assert all(note.find("rest") is not None for one in covered for note in one.iter("note"))
                assert not any(one.find("direction") is not None for one in covered[1:])


def piece(name: str) -> Score:
    script = EXAMPLES / name / f"{name}.cavata"
    score = compile_script(script).score
    assert score is not None
    return score


@pytest.mark.parametrize("name", ["three-watches", "the-long-night"])
def test_music21_reads_every_sound_of_an_examples_parts(name: str) -> None:
    """Of the long piece every sixth part, of the other every second; `test_foreign_readers.py` has their scores read,
    that of the long piece in more rounds than one."""
    for copy in part_scores(piece(name))[:: 6 if name == "the-long-night" else 2]:
        written = notate(copy)
        for movement in copy.movements:
            document = musicxml_bytes(written, movement.name)
            assert faults(document) == []
            if copy.parts[0].instrument.unpitched or any(bar.meter is None for bar in movement.bars):
                continue  # music21 takes a silent measure of free time for one of 4/4
            read = sounds_read_by_music21(without_cues(document))
            assert struck(read) == keys_struck(movement)


def struck(sounds: Counter[tuple[int, Fraction, int, Fraction]]) -> Counter[tuple[Fraction, int]]:
    """When each key is struck; notes of a grace have no length and are left out."""
    found: Counter[tuple[Fraction, int]] = Counter()
    for (_, onset, key, length), count in sounds.items():
        if length:
            found[onset, key] += count
    return found


def keys_struck(movement: Movement) -> Counter[tuple[Fraction, int]]:
    """The same of the score; a note that is divided for a marking goes on without being struck again."""
    return Counter(
        (event.onset, head.pitch.midi)
        for staff in movement.staves[0] for voice in staff.voices for event in voice if not event.tied_before
        for head in event.event.heads
    )  # fmt: skip


# ------------------------------------------------------------------ the printed page


@pytest.fixture(scope="module")
def bassoon() -> tuple[WrittenScore, str]:
    """The bassoon's part of Three Watches as Poppler reads it."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (Poppler) is not installed")
    if not isinstance(find_lilypond(), str):
        pytest.skip("LilyPond is not installed")
    score = piece("three-watches")
    (copy,) = copies(score, WantedCopies(score=False, parts=("bassoon",)), Diagnostics())
    page = notate(copy.score)
    engraved = engrave(lilypond_text(page), frozenset({"pdf"}))
    assert isinstance(engraved, Engraving)
    command = ["pdftotext", "-", "-"]
    read = subprocess.run(command, input=engraved.files[0].data, capture_output=True, check=True)
    return page, read.stdout.decode()


def test_the_readers_name_stands_first_and_on_every_page(bassoon: tuple[WrittenScore, str]) -> None:
    _, text = bassoon
    pages = text.split("\f")[:-1]
    assert pages[0].split()[0] == "Bassoon"
    assert all("Bassoon" in page for page in pages)


def test_the_page_has_the_numbers_of_bars_and_of_rests(bassoon: tuple[WrittenScore, str]) -> None:
    page, text = bassoon
    numbers = set(re.findall(r"\b\d+\b", text))
    rests = {str(b.rest_bars) for m in page.movements for b in m.parts[0].staves[0].bars if b.rest_bars > 1}
    assert rests and rests <= numbers | {digit for number in numbers for digit in number}
    begins = [line.split()[0] for line in text.splitlines() if re.match(r" *\d+ *$", line)]
    assert len(begins) >= 3, "bar numbers at the beginnings of lines"


def test_the_page_has_every_title_and_tempo(bassoon: tuple[WrittenScore, str]) -> None:
    """A note of a metronome mark is a glyph so high that Poppler reads it amid the words of the section above it."""
    page, text = bassoon
    words = set(re.sub("[\ue000-\uf8ff]", " ", text.replace(",", " ")).split())
    for movement in page.movements:
        assert set(movement.title.split()) <= words
        for frame in movement.frames:
            said = " ".join([frame.rehearsal, frame.section, *(tempo.words for _, tempo in frame.tempi)])
            assert set(said.replace(",", " ").split()) <= words
