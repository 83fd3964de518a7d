"""The pages of `cavata playing`, what is written over the score on proof copies, and what is playable by whom."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.edition.proof import proof_copy
from cavata.instruments import timpani
from cavata.names.profiles import PROFILES as KNOWN
from cavata.pipeline import compile_script
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import PROFILES
from cavata.tell.players import pages

SCRIPT = """language 2

piece "Three Players"

profile small_hands like amateurs
    keyboard hand 9 semitones

forces
    violin = violin
    viola = viola
    piano = piano

movement first
    tempo 1/4 at 60
    violin: notes(1/2 chord(G3 A3) D4 | 1/2 chord(G3 A3) E4 | 1/2 chord(B3 G4) D4)
    viola: (notes(1/1 C4 D4) -> tremolo) x 8
    piano.right: notes(1/1 chord(C5 C6))
"""


CHILDREN = """profile children like small_hands
    breath 0.4 times
    remark "ten years old"
"""


@pytest.fixture
def piece(tmp_path: Path) -> Path:
    path = tmp_path / "two.cavata"
    path.write_text(SCRIPT, "utf-8")
    return path


def test_a_page_has_bars_facts_cures_and_counts(piece: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["playing", str(piece)]) == 0
    said = capsys.readouterr().out
    assert "bars 1 and 2: cannot play G3 A3 at once" in said
    assert "G3 and A3 both lie on the G string alone" in said and "to mend: " in said
    assert "bar 1: has a tremolo for 1 min 4 s" in said and "caution for health" in said
    assert said.index("on what it rests") < said.index("the player knows better")
    assert "notes a second" in said and ", bar" not in said


RANGES = """language 2

forces
    flute = flute
    oboe = oboe

movement first
    flute: notes(1/1 chord(C5 E5) | 1/1 F7)
    oboe: notes(1/1 A3 C5)
"""


def test_a_page_and_a_check_tell_of_ranges_alike_and_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "ranges.cavata"
    path.write_text(RANGES, "utf-8")
    codes_of = ("I303", "I103", "I201")
    assert main(["check", str(path)]) == 0
    checked = capsys.readouterr().err
    assert all(code in checked for code in codes_of)
    assert main(["playing", str(path)]) == 0
    said = capsys.readouterr()
    assert "goes above the usual range" in said.out and "goes below its range" in said.out
    assert "nothing to be told" not in said.out and said.err == ""
    assert main(["playing", str(path), "oboe"]) == 0
    said = capsys.readouterr()
    assert [code for code in codes_of if code in said.err] == ["I303", "I103"]


@pytest.mark.parametrize(
    ("name", "row", "code"),
    [("guitar", "notes(1/1 D2)", "I330"), ("timpani", "notes(1/1 chord(B1 F2))", "I201"),
     ("alto trombone", "notes(1/1 F2)", "I347"), ("guitar", "notes(1/1 C2)", "I201")],
)  # fmt: skip
def test_a_note_that_is_not_there_is_told_once(name: str, row: str, code: str) -> None:
    script = f"language 2\nforces\n    p = {name}\nmovement first\n    p: {row}\n"
    assert codes(script) == [code]


def test_a_page_of_one_part_can_tell_each_bar(piece: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["playing", str(piece), "viola", "--bars"]) == 0
    said = capsys.readouterr().out
    assert "violin" not in said and "first, bar  notes" in said
    assert sum(line.split()[1:2] == ["1"] for line in said.splitlines()) == 16


def test_the_document_has_every_place(piece: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["playing", str(piece), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    violin, viola, _ = document["parts"]
    stop = next(each for each in violin["findings"] if each["kind"] == "stop")
    assert [(place["bar"], place["beat"]) for place in stop["places"]] == [(1, "1"), (2, "1")]
    assert (stop["degree"], stop["line"], stop["rests_on"] != "") == ("impossible", 15, True)
    assert len(viola["counts"][0]["bars"]) == 16


def test_a_profile_of_the_script_is_held_to(piece: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["playing", str(piece), "piano"])
    assert "impossible" not in capsys.readouterr().out
    assert main(["playing", str(piece), "piano", "--by", "small_hands"]) == 0
    assert "impossible" in capsys.readouterr().out


@pytest.mark.parametrize(("given", "code"), [(["nobody"], "O121"), (["--by", "nobody"], "O960")])
def test_what_is_not_there_is_told(
    piece: Path, capsys: pytest.CaptureFixture[str], given: list[str], code: str
) -> None:
    assert main(["playing", str(piece), *given]) == 1
    assert code in capsys.readouterr().err


def test_a_broken_promise_is_told_after_the_pages(piece: Path, capsys: pytest.CaptureFixture[str]) -> None:
    piece.write_text(SCRIPT + "\nrequire\n    violin playable by professional\n", "utf-8")
    assert main(["playing", str(piece), "violin"]) == 1
    said = capsys.readouterr()
    assert "bars 1 and 2: cannot play G3 A3 at once" in said.out and "R108" in said.err


def test_what_goes_on_in_one_row_is_told_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "row.cavata"
    fast = "notes(1/16 chord(A3 A4) chord(C4 C5) chord(B3 B4) chord(D4 D5) chord(C4 C5) chord(E4 E5))"
    script = f"language 2\nforces\n    p = violin\nmovement m\n    tempo 1/4 at 100\n    p: {fast}, 3/8 rest, {fast}\n"
    path.write_text(script, "utf-8")
    assert main(["playing", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert said.count(" gets from ") == 1 and "one more like it follows" in said
    assert main(["playing", str(path), "--json"]) == 0
    shifts = [each for each in json.loads(capsys.readouterr().out)["parts"][0]["findings"] if each["kind"] == "shift"]
    assert [len(each["places"]) for each in shifts] == [4]


def test_the_drums_of_a_page_are_searched_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    searched: list[object] = []
    search = timpani._tuned
    monkeypatch.setattr(timpani, "_tuned", lambda strokes, drums: searched.append(drums) or search(strokes, drums))
    path = tmp_path / "drums.cavata"
    line = "notes(1/2 F2 G2 C3 D3 F3 G3 A2)"
    path.write_text(f"language 2\nforces\n    p = timpani\nmovement m\n    p: {line}\n", "utf-8")
    assert main(["playing", str(path)]) == 0
    assert len(searched) == 1


def test_a_proof_copy_has_what_is_found_over_the_notes() -> None:
    compiled = compile_script(Path("two.cavata"), text=SCRIPT)
    assert compiled.score is not None and compiled.plan is not None
    copy = proof_copy(compiled.score, compiled.plan)
    words = [event.event.marks.words for event in copy.movements[0].events if event.event.marks.words]
    assert words == [
        ("[stop: cannot play G3 A3 at once]",), ("[stop]",), ("[long tremolo: has a tremolo for 1 min 4 s]",)
    ]  # fmt: skip
    assert not any(event.event.marks.words for event in compiled.score.movements[0].events)


def codes(script: str) -> list[str]:
    return [message.code for message in compile_script(Path("two.cavata"), text=script).bag.ordered()]


def test_what_is_not_playable_breaks_the_promise() -> None:
    assert codes(SCRIPT + "require\n    playable by professional\n").count("R108") == 1
    assert "R108" not in codes(SCRIPT + "require\n    viola playable by professional\n")
    easy = SCRIPT.replace("chord(G3 A3)", "G3")
    assert "R108" not in codes(easy + "require\n    playable by professional\n    viola playable by small_hands\n")
    assert "R108" in codes(easy + "require\n    piano playable by small_hands\n")


def test_a_version_without_a_part_has_no_promise_about_it() -> None:
    script = SCRIPT + "require\n    violin playable by professional\nversion alone\n    without violin\n"
    assert "R108" in codes(script)
    compiled = compile_script(Path("two.cavata"), text=script, version="alone")
    assert "R108" not in [message.code for message in compiled.bag.ordered()]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("profile a like nobody", "N961"),
        ("profile amateurs", "N960"),
        ("profile a\nprofile a", "N216"),
        ("profile a\n    breadth 3", "I391"),
        ("profile a\n    breath 3 s", "I392"),
        ("profile a\n    breath 0", "I392"),
        ("require\n    playable by nobody", "N961"),
    ],
)
def test_mistakes_in_profiles_are_told(row: str, code: str) -> None:
    assert code in codes(SCRIPT + row + "\n")


def test_a_profile_may_be_like_one_before_it() -> None:
    assert codes(SCRIPT + CHILDREN) == codes(SCRIPT)


def test_the_profiles_that_every_script_knows_are_those_of_the_table() -> None:
    assert tuple(PROFILES) == KNOWN


def test_each_line_is_read_once_for_a_page(piece: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found, what is planned and what is counted come of the same moments."""
    score = compile_script(piece, str(piece)).score
    assert score is not None
    made: list[str] = []
    reading = PlayerLine._made

    def counted(line: PlayerLine) -> Iterator[Moment]:
        made.append(line.part.name)
        return reading(line)

    monkeypatch.setattr(PlayerLine, "_made", counted)
    assert [page.part.name for page in pages(score).pages] == ["violin", "viola", "piano"]
    assert made == ["violin", "viola", "piano"]
