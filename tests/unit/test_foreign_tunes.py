"""Tunes taken from scores of other programs: the right notes, only from the piece's folder, and always the file's own.

What the score holds is read here a second time by another reader, straight from its XML.
"""

from __future__ import annotations

import os
import shutil
import zipfile
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

from cavata.evaluate.text import motif_text
from cavata.foreign import kept
from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.heard import HeardScore
from cavata.music.event import Motif
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script

SKETCH = Path(__file__).parents[1] / "spec" / "sketch" / "sketch.musicxml"
ABC = "X:1\nT:Tide\nM:3/4\nL:1/4\nK:C\nc|f2 g-|g z e|]\n"
KERN = "**kern\n*M3/4\n=0\n4cc\n=1\n2ff\n[4gg\n=2\n4gg]\n4r\n4ee\n*-\n"
CLARINET = "C5:1/4 F5:1/2 G5:1/2 rest:1/4 E5:1/4"
"""The clarinet of the sketch, as it sounds."""


def tune(folder: Path, value: str) -> Compiled:
    text = f"language 2\nmotif tide = {value}\n"
    return compile_script(folder / "piece.cavata", "piece.cavata", text=text)


def notes(folder: Path, value: str) -> str:
    compiled = tune(folder, value)
    assert compiled.plan is not None
    wrong = [d.code for d in compiled.bag.ordered() if d.code not in ("P114", "N301")]
    assert wrong == []
    found = compiled.plan.values[Identity(compiled.plan.main, "tide")]
    assert isinstance(found, Motif)
    assert all(o.letter is None and o.span.text for e in found.events for h in e.heads for o in h.origins)
    return motif_text(found)


def codes(folder: Path, value: str) -> list[str]:
    return [d.code for d in tune(folder, value).bag.ordered() if d.code not in ("P114", "N301")]


@pytest.fixture(autouse=True)
def read_in_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """A child takes a second to load its reader; that it reads the same is looked at in `test_trace_messages.py`."""
    monkeypatch.setattr(kept, "read_score", read_foreign)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(SKETCH, tmp_path)
    return tmp_path


# ------------------------------------------------------------------ the notes


def straight_from_the_xml(part: int, bars: range) -> str:
    """The single notes of a part as they are written, by a reader of a few lines."""
    found: list[tuple[str, Fraction]] = []
    measures = {m.get("number"): m for m in ElementTree.parse(SKETCH).getroot().findall("part")[part - 1]}
    for note in (note for bar in bars for note in measures[str(bar)].findall("note")):
        duration = note.findtext("duration")
        if duration is None:  # a grace note
            continue
        step, alter, octave = (note.findtext(f"pitch/{what}") for what in ("step", "alter", "octave"))
        name = "rest" if step is None else step + {None: "", "1": "#", "-1": "b"}[alter] + str(octave)
        length = Fraction(int(duration), 8)  # two divisions a quarter
        if any(tie.get("type") == "stop" for tie in note.findall("tie")) and found and found[-1][0] == name:
            length += found.pop()[1]
        found.append((name, length))
    return " ".join(f"{name}:{length}" for name, length in found)


def test_tune_is_what_stands_in_the_file(folder: Path) -> None:
    """The clarinet in B flat sounds a major second lower than it is written."""
    written = straight_from_the_xml(1, range(3))
    assert notes(folder, '(from "sketch.musicxml" part 1) -> up M2') == written
    assert written == "D5:1/4 G5:1/2 A5:1/2 rest:1/4 F#5:1/4"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ('from "sketch.musicxml" part 1', CLARINET),
        ('from "sketch.musicxml" part "clarinet"', CLARINET),
        ('from "sketch.musicxml" part 1 bars 1 to 2', "F5:1/2 G5:1/2 rest:1/4 E5:1/4"),
        ('from "sketch.musicxml" part 1 bars 1 to 1', "F5:1/2 G5:1/4"),
        ('from "sketch.musicxml" part 1 bars 2 to 2', "G5:1/4 rest:1/4 E5:1/4"),
        ('from "sketch.musicxml" part 2 bars 0 to 1', "rest:1/4 C4/E4:1/4 D4:1/2"),
        ('from "sketch.musicxml" part 2 voice 2 bars 2 to 2', "E4:3/4"),
        ('from "sketch.musicxml" part 2 voice 2 bars 1 to 2', "rest:3/4 E4:3/4"),
    ],
)
def test_part_voice_and_bars(value: str, expected: str, folder: Path) -> None:
    assert notes(folder, value) == expected


def test_upbeat_of_the_score_is_one_of_the_line(folder: Path) -> None:
    """The sketch begins with a quarter before its first bar of 3/4."""
    upbeats = {
        'from "sketch.musicxml" part 1': (Fraction(1, 4), Fraction(3, 4)),
        'from "sketch.musicxml" part 1 bars 0 to 1': (Fraction(1, 4), Fraction(3, 4)),
        'from "sketch.musicxml" part 1 bars 1 to 2': (Fraction(0), Fraction(0)),
    }
    for value, expected in upbeats.items():
        compiled = tune(folder, value)
        assert compiled.plan is not None
        motif = compiled.plan.values[Identity(compiled.plan.main, "tide")]
        assert isinstance(motif, Motif)
        assert (motif.upbeat, motif.bar) == expected, value


@pytest.mark.slow
def test_same_tune_from_every_format(folder: Path) -> None:
    """Middle C is `C` in ABC and `c` in Humdrum; the octave above is `c` and `cc`. Source: both formats' standards."""
    (folder / "tide.abc").write_text(ABC)
    (folder / "tide.krn").write_text(KERN)
    with zipfile.ZipFile(folder / "tide.mxl", "w") as archive:
        archive.write(SKETCH, "score.musicxml")
    assert notes(folder, 'from "tide.abc"') == CLARINET
    assert notes(folder, 'from "tide.krn"') == CLARINET
    assert notes(folder, 'from "tide.mxl" part 1') == CLARINET


def test_midi_is_spelled_by_its_key(folder: Path) -> None:
    """In MIDI a B flat is key 70, which has no name; a line in F has it as B flat. Source: common practice."""
    from mido import Message, MidiFile, MidiTrack

    file, track = MidiFile(ticks_per_beat=480), MidiTrack()
    file.tracks.append(track)
    for key in (65, 67, 69, 70, 72, 70, 69, 67, 65):
        track += [Message("note_on", note=key, velocity=64, time=0), Message("note_off", note=key, time=480)]
    file.save(folder / "tide.mid")
    assert notes(folder, 'from "tide.mid"') == "F4:1/4 G4:1/4 A4:1/4 Bb4:1/4 C5:1/4 Bb4:1/4 A4:1/4 G4:1/4 F4:1/4"


# ------------------------------------------------------------------ what cannot be had


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ('from "none.musicxml"', "N872"), ('from "piece.txt"', "N872"), ('from "folder.abc"', "N872"),
        ('from "notes.txt"', "N873"), ('from "broken.musicxml"', "N873"), ('from "bomb.musicxml"', "N873"),
        ('from "../outside.abc"', "N104"), ('from "/etc/passwd"', "N104"), ('from "link.abc"', "N104"),
        ('from "pipe.mid"', "N872"), ('from "sketch.musicxml"', "V874"), ('from "sketch.musicxml" part 0', "V874"),
        ('from "sketch.musicxml" part 3', "V874"), ('from "sketch.musicxml" part "Oboe"', "V874"),
        ('from "two.abc"', "V874"), ('from "sketch.musicxml" part 1 bars 2 to 1', "V875"),
        ('from "sketch.musicxml" part 1 bars 1 to 3', "V875"), ('from "sketch.musicxml" part 2', "V876"),
        ('from "sketch.musicxml" part 1 voice 2', "V876"), ('from "sketch.musicxml" part 2 bars 0 to 0', "V877"),
    ],
)  # fmt: skip
def test_message(value: str, code: str, folder: Path) -> None:
    (folder / "notes.txt").write_text(ABC)
    (folder / "broken.musicxml").write_text("<score-partwise>")
    (folder / "bomb.musicxml").write_text('<!DOCTYPE x [<!ENTITY a "b">]><score-partwise>&a;</score-partwise>')
    (folder / "folder.abc").mkdir()
    (folder / "two.abc").write_text(ABC + "\n" + ABC.replace("X:1", "X:2"))
    (folder.parent / "outside.abc").write_text(ABC)
    os.symlink(folder.parent / "outside.abc", folder / "link.abc")
    os.mkfifo(folder / "pipe.mid")
    assert codes(folder, value) == [code]


def test_missing_score_is_told_once(folder: Path) -> None:
    assert codes(folder, '(from "none.abc") + (from "none.abc")') == ["N872"]


# ------------------------------------------------------------------ kept by content


@pytest.mark.slow
def test_score_is_read_once_as_long_as_it_is_the_same(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path_factory.mktemp("cache")))
    reads: list[Path] = []
    plain = kept.read_score

    def noticed(path: Path) -> tuple[HeardScore, ...]:
        reads.append(path)
        return plain(path)

    monkeypatch.setattr(kept, "read_score", noticed)
    value = 'from "sketch.musicxml" part 1'
    assert notes(folder, value) == notes(folder, value) == CLARINET
    assert len(reads) == 1
    file = folder / "sketch.musicxml"
    before = file.stat()
    file.write_text(file.read_text("utf-8").replace("<step>G</step>", "<step>B</step>"), "utf-8")
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert notes(folder, value) == CLARINET.replace("F5:1/2", "A5:1/2")
    assert len(reads) == 2
