"""`cavata trace` as a command: files of every format, names, notes, sheets and documents."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics
from cavata.foreign.foreign_score import read_foreign
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.sound.midi import midi_bytes
from cavata.trace import tracing
from cavata.trace.corpus_index import music21_corpus
from cavata.trace.tracing import Tracing, names_and_files

PIECE = """language 2
use german from ciphers
name bach = "BACH" by german
    remark "as ever"
motif tide = notes(1/8 G4 A4 G4 A4 D5 E5 D5 E5)
forces
    flute = flute
    oboe  = oboe
    horn  = horn
movement first
    meter 4/4
    section one 8 bars
        flute: tide, bach, tide, bach -> from Bb5
        oboe at bar 2: bach -> up P5, bach -> retrograde
        horn at bar 3: bach -> inverted about Bb4 -> in (1/2 1/4)
"""
TUNES = """X:1
T:Harbor
M:4/4
L:1/4
K:C
G A B c|_B A c =B|G4|

X:2
T:Quay
M:4/4
L:1/4
K:C
c d e f|
"""


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a script, what is built of it, and tunes; nobody writes there."""
    folder = tmp_path_factory.mktemp("files")
    (folder / "lantern.cavata").write_text(PIECE)
    score = compile_script(folder / "lantern.cavata").score
    assert score is not None
    (folder / "lantern.musicxml").write_bytes(musicxml_bytes(written(score), "first"))
    (folder / "lantern.mid").write_bytes(midi_bytes(score))
    (folder / "tune.abc").write_text(TUNES)
    (folder / "tune.krn").write_text("**kern\n*M4/4\n=1\n4G\n4A\n4B\n4c\n=2\n4B-\n4A\n4c\n4Bn\n==\n*-\n")
    return folder


@pytest.fixture
def desk(tmp_path: Path, files: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Copies of these files. Scores are read here, and not in children, whose reader takes a second to load: that both
    read the same, and what becomes of bad files, is looked at in `test_trace_messages.py`."""
    shutil.copytree(files, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(tracing, "read_score", read_foreign)
    return tmp_path


def hits(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[dict[str, object]]:
    assert main(["trace", *arguments, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    return [hit for score in document["scores"] for hit in score.get("hits", ())]


def told(hit: dict[str, object]) -> tuple[object, ...]:
    return (hit["parts"], hit["bars"], hit["form"], hit["closeness"], hit["semitones_up"])


EXPECTED = [
    (["Flute"], ["2", "2"], "prime", "exact", 0),
    (["Oboe"], ["2", "2"], "prime", "transposed", 7),
    (["Oboe"], ["3", "3"], "inversion", "transposed", 1),
    (["Horn in F"], ["3", "4"], "inversion", "exact", 0),
    (["Flute"], ["4", "4"], "prime", "exact", 0),
]


@pytest.mark.slow
def test_our_own_page_read_back_gives_every_statement(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """MusicXML written by us and read by music21: the same places as in the script."""
    found = [hit for hit in hits(["BACH", "lantern.musicxml"], capsys) if hit["spacing"] == "consecutive"]
    assert sorted(map(told, found), key=str) == sorted(EXPECTED, key=str)
    assert [hit["even_rhythm"] for hit in found if hit["parts"] == ["Horn in F"]] == [False]


@pytest.mark.slow
def test_by_ear_and_from_the_page_are_the_same(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ear = hits(["BACH", "lantern.cavata", "--by-ear"], capsys)
    page = hits(["BACH", "lantern.musicxml"], capsys)
    keys = ("parts", "bars", "form", "closeness", "spacing", "pitches", "onset", "found", "expected")
    assert [[hit[key] for key in keys] for hit in ear] == [[hit[key] for key in keys] for hit in page]


def test_midi_is_read(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = [h for h in hits(["BACH", "lantern.mid"], capsys) if h["spacing"] == "consecutive"]
    assert len(found) == len(EXPECTED)


def test_collections_of_tunes_say_which(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (hit,) = (h for h in hits(["BACH", "tune.abc"], capsys) if h["spacing"] == "consecutive")
    assert hit["title"] == "no. 1 Harbor" and hit["pitches"] == ["Bb4", "A4", "C5", "B4"]
    assert hit["bars"] == ["1", "1"], "music21's reader of ABC counts this tune's first bar as 0"
    assert len(read_foreign(desk / "tune.abc")) == 2


def test_kern_is_read(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (hit,) = (h for h in hits(["--notes", "Bb A C B", "tune.krn"], capsys) if h["spacing"] == "consecutive")
    assert hit["bars"] == ["2", "2"] and hit["closeness"] == "exact"


def test_names_of_the_script_are_told_from_their_origins(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trace", "BACH", "lantern.cavata", "--json"]) == 0
    (score,) = json.loads(capsys.readouterr().out)["scores"]
    assert score["name"] == "bach" and len(score["statements"]) == 5
    flute, oboe = score["statements"][:2]
    assert flute["letters"] == list("BACH") and flute["script"]["line"] == 13 and flute["bars"] == ["2", "2"]
    assert oboe["steps"] == ["up P5"]


@pytest.mark.slow
def test_a_name_of_the_script_needs_no_cipher_of_the_library(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two letters, and letters that no library cipher knows: origins answer all the same."""
    script = PIECE.replace('name bach = "BACH"', 'name al = "AD" by german\nname bach = "БАХ" written "BACH"')
    (desk / "lantern.cavata").write_text(script.replace("flute: tide, bach,", "flute: tide, al, bach,"))
    assert main(["trace", "AD", "БАХ", "lantern.cavata", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["scores"]
    assert [(score["name"], len(score["statements"])) for score in found] == [("al", 1), ("bach", 5)]
    assert main(["trace", "БАХ", "lantern.musicxml"]) == 1
    assert "O310" in capsys.readouterr().err


def test_a_name_that_the_script_does_not_have_is_sought_by_ear(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = hits(["DSCH", "lantern.cavata", "--all"], capsys)
    assert found == [] or all(hit["name"] == "DSCH" for hit in found)
    assert main(["trace", "DSCH", "lantern.cavata"]) == 0
    assert "lantern.cavata\n\n" in capsys.readouterr().out


def test_every_cipher_under_which_all_letters_sound_is_tried(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """German stands first where it has all letters; T, M, I and N it has not."""
    assert main(["trace", "BACH", "TAMSIN", "lantern.cavata", "--json"]) == 0
    tried: dict[str, list[str]] = {}
    for subject in json.loads(capsys.readouterr().out)["subjects"]:
        tried.setdefault(subject["name"], []).append(subject["cipher"])
    assert tried["BACH"][:2] == ["german", "french"] and {"french_h", "chromatic", "ladder"} <= set(tried["BACH"])
    assert tried["TAMSIN"][0] == "french" and "german" not in tried["TAMSIN"]


def test_names_and_scores_are_told_apart() -> None:
    names, places = names_and_files(["BACH", "a.mxl", "scores/", "Anton Webern", "lantern.cavata", "Mr. X", ""])
    assert names == ["BACH", "Anton Webern", "Mr. X", ""]
    assert places == [Path("a.mxl"), Path("scores"), Path("lantern.cavata")]


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [["BACH", "lantern.musicxml"], ["BACH", "lantern.cavata"], ["--notes", "Bb A C B", "tune.abc"]],
)
def test_sheet_compiles_and_has_the_letters(arguments: list[str], desk: Path) -> None:
    names, places = names_and_files(arguments if arguments[0] != "--notes" else arguments[2:])
    traced = Tracing(Diagnostics(), lambda what: None)
    traced.take(names, arguments[1:2] if arguments[0] == "--notes" else [], None, None)
    traced.run(places, False, between=0, strict=False, every=True, by_ear=False)
    script = traced.sheet_script()
    assert script is not None
    compiled = compile_script(desk / "sheet.cavata", text=script)
    assert compiled.score is not None, [d.message for d in compiled.bag.ordered()]
    letters = {
        "".join(o.letter.text for e in voice for h in e.event.heads for o in h.origins if o.letter)
        for movement in compiled.score.movements for staff in movement.staves[0] for voice in staff.voices
    } - {""}  # fmt: skip
    assert letters <= {"BACH", "HCAB"} and bool(letters) == bool(names)


@pytest.mark.slow
def test_same_bytes_every_time(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for _ in range(2):
        assert main(["trace", "BACH", "lantern.musicxml", "--all", "--between", "1"]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]


@pytest.mark.slow
def test_check_imports_no_numpy(desk: Path) -> None:
    code = (
        "import sys; from cavata.cli.main import main; main(['check', 'lantern.cavata']);"
        "print(sorted(m for m in ('numpy', 'music21', 'cavata.study.study') if m in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("file", ["lantern.musicxml", "lantern.mid", "tune.abc", "tune.krn"])
def test_ties_are_one_note_and_nothing_overlaps(file: str, desk: Path) -> None:
    scores = read_foreign(desk / file)
    assert any(line.notes for score in scores for line in score.lines)
    for score in scores:
        for line in score.lines:
            assert all(later.onset >= earlier.end for earlier, later in zip(line.notes, line.notes[1:], strict=False))


def test_score_in_sixteen_bits_a_letter_is_read(tmp_path: Path) -> None:
    """UTF-16 is one of the two encodings that every reader of XML must know. Source: XML 1.0, 4.3.3."""
    with zipfile.ZipFile(music21_corpus() / "bach" / "bwv66.6.mxl") as archive:
        text = archive.read("bwv66.6.xml").decode("utf-8")
    assert 'encoding="UTF-8"' in text[:60]
    for number, encoding in enumerate(("utf-8", "utf-16-le", "utf-16-be")):
        mark = "" if encoding == "utf-8" else "\ufeff"
        declared = text.replace("UTF-8", "UTF-16", 1) if mark else text
        (tmp_path / f"{number}.musicxml").write_bytes((mark + declared).encode(encoding))
    eight, little, big = (read_foreign(tmp_path / f"{number}.musicxml") for number in range(3))
    assert eight == little == big and eight[0].lines


def test_triplets_in_later_bars_leave_no_rest(tmp_path: Path) -> None:
    """An onset of thirds added to a bar's binary one is exact: no gap opens between notes that follow straight on."""
    bars = " | ".join(["(3cde (3fga"] * 60)
    (tmp_path / "tune.abc").write_text(f"X:1\nT:Thirds\nM:2/4\nL:1/8\nK:C\n{bars} |\n", encoding="utf-8")
    (line,) = read_foreign(tmp_path / "tune.abc")[0].lines
    assert len(line.notes) == 360 and not any(note.after_rest for note in line.notes)
    assert line.notes[-1].end == 30


def test_a_file_that_cannot_be_read_is_named_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """And one file is a file."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scores").mkdir()
    (tmp_path / "scores" / "broken.musicxml").write_text("<broken", "utf-8")
    (tmp_path / "scores" / "tune.abc").write_text(TUNES, "utf-8")
    main(["trace", "BACH", "scores"])
    told = capsys.readouterr().out
    assert "\n1 file could not be read\n    broken.musicxml is no score that can be read: " in told
    assert told.count("broken.musicxml") == 1
