"""What other programs read in the files is what stands in the score.

Sources: the parsers of music21 and of Verovio, and LilyPond's performance of the printed page, which are not this
project's; Verovio and LilyPond share no code with the writers.
"""

from __future__ import annotations

import base64
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from xml.etree import ElementTree

import mido
import music21
import pytest
from hypothesis import HealthCheck, Phase, given, settings

# The hand-made scores stand beside the unit tests.
sys.path.append(str(Path(__file__).resolve().parent.parent / "unit"))

from emit_midi_scores import FORCES, scores
from musicxml_schema import faults
from rounds import rounds

from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import find_lilypond
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

pytestmark = pytest.mark.slow

AS_WRITTEN = ("flute", "bassoon", "viola")
"""They sound as written, which is what LilyPond plays, and have one staff, so that no unison is struck once only."""
PITCHED = tuple(words for words in FORCES if words != "snare drum")
SLOW = settings(
    max_examples=rounds(5),
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.generate),  # a reading takes too long for shrinking
)

Sounds = Counter[tuple[int, Fraction, int, Fraction]]
"""Part, onset, key and length of every sounding head, in whole notes."""


def sounds_of(score: Score) -> Sounds:
    """Every sound of the first movement; notes that are tied, as by a fermata within one, are one."""
    found: Sounds = Counter()
    for index, part in enumerate(score.movements[0].staves):
        for voice in (voice for staff in part for voice in staff.voices):
            whole: list[tuple[Fraction, Fraction, tuple[int, ...]]] = []
            for event in voice:
                onset = whole.pop()[0] if event.tied_before else event.onset
                whole.append((onset, event.end, tuple(head.pitch.midi for head in event.event.heads)))
            found.update((index, onset, key, end - onset) for onset, end, keys in whole for key in keys)
    return found


def sounds_read_by_music21(document: bytes) -> Sounds:
    """Of several staves of one part music21 makes parts called `P1-Staff2`."""
    read = music21.converter.parse(document, format="musicxml")
    read.toSoundingPitch(inPlace=True)
    found: Sounds = Counter()
    part = -1
    for staff in read.parts:
        part += not re.search(r"-Staff[2-9]$", str(staff.id))
        begun: dict[tuple[int, Fraction], list[Fraction]] = {}
        for note in staff.flatten().notes:
            onset, end = whole(note.offset), whole(note.offset + note.quarterLength)
            for head in note.notes if note.isChord else (note,):
                key = head.pitch.midi if isinstance(head, music21.note.Note) else 71
                tie = head.tie.type if head.tie else ""
                first = begun[key, onset].pop() if tie in ("stop", "continue") else onset
                if tie in ("start", "continue"):
                    begun.setdefault((key, end), []).append(first)
                else:
                    found[part, first, key, end - first] += 1
        assert not any(begun.values())
    return found


def whole(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(10000) / 4


@SLOW
@given(scores(marked=True))
def test_random_scores_hold_against_the_schema(score: Score) -> None:
    assert faults(musicxml_bytes(notate(score), "first")) == []


@SLOW
@given(scores(marked=True))
def test_every_line_in_the_musicxml_ends_after_it_began(score: Score) -> None:
    root = ElementTree.fromstring(musicxml_bytes(notate(score), "first"))
    for part in root.iter("part"):
        assert_paired(part.iter("wedge"))
        assert_paired(part.iter("slur"))


def assert_paired(lines: Iterable[ElementTree.Element]) -> None:
    """In the order of the document, which is that of time within each number."""
    begun: set[str | None] = set()
    for line in lines:
        number = line.get("number")
        if line.get("type") == "stop":
            begun.remove(number)
        else:
            assert number not in begun
            begun.add(number)
    assert not begun


@SLOW
@given(scores())
def test_music21_reads_every_sound_of_the_musicxml(score: Score) -> None:
    document = musicxml_bytes(notate(score), "first")
    read, written = sounds_read_by_music21(document), sounds_of(score)
    assert (written - read, read - written) == (Counter(), Counter())


def played_by_verovio(document: bytes) -> list[tuple[float, int]]:
    """Onsets in whole notes and keys, in order."""
    verovio = pytest.importorskip("verovio")
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(document.decode())
    file = mido.MidiFile(file=BytesIO(base64.b64decode(toolkit.renderToMIDI())))
    return sorted(
        (tick / file.ticks_per_beat / 4, message.note)
        for track in file.tracks
        for tick, message in timed(track)
        if message.type == "note_on" and message.velocity
    )


def timed(track: Iterable[Any]) -> Iterator[tuple[int, Any]]:
    now = 0
    for message in track:
        now += message.time
        yield now, message


@SLOW
@given(scores(PITCHED))
def test_verovio_reads_every_onset_and_key_of_the_musicxml(score: Score) -> None:
    read = played_by_verovio(musicxml_bytes(notate(score), "first"))
    written = sorted((float(onset), key) for _, onset, key, _ in sounds_of(score).elements())
    assert sorted(key for _, key in read) == sorted(key for _, key in written)
    tick = 1 / 480  # Verovio's files have 120 ticks to the quarter
    for read_note, written_note in zip(by_key(read), by_key(written), strict=True):
        assert read_note[0] == written_note[0]
        assert read_note[1] == pytest.approx(written_note[1], abs=2 * tick)


def by_key(notes: list[tuple[float, int]]) -> list[tuple[int, float]]:
    return sorted((key, onset) for onset, key in notes)


@SLOW
@given(scores(PITCHED))
def test_midi_has_every_onset_and_key_of_the_score(score: Score) -> None:
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    for index, track in enumerate(file.tracks[1:]):
        read = Counter(
            (Fraction(tick, 4 * file.ticks_per_beat), message.note)
            for tick, message in timed(track)
            if message.type == "note_on"
        )
        struck = {(onset, key) for part, onset, key, _ in sounds_of(score) if part == index}
        assert read == Counter(struck)


@SLOW
@given(scores(PITCHED))
def test_music21_reads_every_onset_and_key_of_the_midi(score: Score) -> None:
    """By its reader of bytes: its notation of what it read joins neighboring onsets into chords."""
    file = music21.midi.MidiFile()
    file.readstr(midi_bytes(score))
    for index, track in enumerate(file.tracks[1:]):
        now, read = 0, Counter[tuple[Fraction, int]]()
        for event in track.events:
            if event.isDeltaTime():
                now += event.time
            elif event.isNoteOn() and event.velocity:
                read[Fraction(now, 4 * file.ticksPerQuarterNote), event.pitch] += 1
        assert read == Counter({(onset, key) for part, onset, key, _ in sounds_of(score) if part == index})


def performed_by_lilypond(text: str, folder: Path) -> list[tuple[float, int]]:
    """Onsets in whole notes and keys, in order, of LilyPond's own MIDI file for a page."""
    program = find_lilypond()
    if not isinstance(program, str):
        pytest.skip("LilyPond is not installed")
    head, layout, tail = text.rpartition("    \\layout\n")
    assert layout and "\\score" not in tail
    source = folder / "page.ly"
    source.write_text(head + "    \\midi\n" + tail, encoding="utf-8")
    subprocess.run([program, "--loglevel=ERROR", "-o", str(folder / "page"), str(source)], check=True, timeout=600)
    file = mido.MidiFile(next(folder.glob("page.mid*")))
    return sorted(
        (tick / file.ticks_per_beat / 4, message.note)
        for track in file.tracks
        for tick, message in timed(track)
        if message.type == "note_on" and message.velocity
    )


@settings(SLOW, max_examples=rounds(2))
@given(scores(AS_WRITTEN))
def test_lilyponds_midi_of_the_page_and_the_midi_of_the_score_agree(score: Score) -> None:
    with TemporaryDirectory() as folder:
        page = performed_by_lilypond(lilypond_text(notate(score)), Path(folder))
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    ours = sorted(
        (tick / file.ticks_per_beat / 4, message.note)
        for track in file.tracks
        for tick, message in timed(track)
        if message.type == "note_on"
    )
    tick = 1 / (4 * 384)  # LilyPond's files have 384 ticks to the quarter
    for (page_key, page_onset), (key, onset) in zip(by_key(page), by_key(ours), strict=True):
        assert page_key == key
        assert page_onset == pytest.approx(onset, abs=2 * tick)
