"""Scripts that use each other: a composer's own library, modules of one name, definitions under another name."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_messages import compare

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.music.event import Motif, Rhythm
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script

BELLS = "language 2\nrhythm knell = (1/2 1/4)\n"
CALL = 'language 2\nuse knell from bells\nmotif call = notes(1/4 C5 D5) -> in knell\n'


def piece(folder: Path, files: dict[str, str], library: str | None = None) -> Compiled:
    """Write the files of a folder and compile `piece/piece.cavata`."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return compile_script(folder / "piece/piece.cavata", library=folder / library if library else None)


def codes(compiled: Compiled) -> list[str]:
    """What was said, but that there is no movement."""
    return [message.code for message in compiled.bag.ordered() if message.code != "P114"]


def knell(compiled: Compiled) -> str:
    """The durations of the motif `call`, with everything else in order."""
    assert compiled.plan is not None
    value = compiled.plan.values[Identity(compiled.plan.main, "call")]
    assert isinstance(value, Motif)
    return " ".join(str(event.duration) for event in value.events)


def in_library(row: str) -> str:
    return f'language 2\npiece "P"\n    library "{row}"\n' + CALL.removeprefix("language 2\n")


# ------------------------------------------------------------------ where modules lie


def test_module_beside_the_script(tmp_path: Path) -> None:
    found = piece(tmp_path, {"piece/piece.cavata": CALL, "piece/bells.cavata": BELLS})
    assert codes(found) == [] and knell(found) == "1/2 1/4"


@pytest.mark.parametrize(("row", "place"), [("../mine", "mine"), ("mine", "piece/mine"), (".", "piece"), ("..", ".")])
def test_library_that_the_piece_names(row: str, place: str, tmp_path: Path) -> None:
    found = piece(tmp_path, {"piece/piece.cavata": in_library(row), f"{place}/bells.cavata": BELLS})
    assert codes(found) == [] and knell(found) == "1/2 1/4"


@pytest.mark.parametrize("row", ["../..", "../../elsewhere", "/", "/etc", "../mine/../../elsewhere", "~", "\\\\server"])
def test_script_cannot_open_the_disk_by_its_library(row: str, tmp_path: Path) -> None:
    files = {"a/piece/piece.cavata": in_library(row), "elsewhere/bells.cavata": BELLS, "piece/piece.cavata": ""}
    piece(tmp_path, files)
    found = compile_script(tmp_path / "a/piece/piece.cavata")
    assert codes(found)[0] in ("N601", "N602") and "N103" in codes(found)


def test_link_out_of_a_library_is_not_followed(tmp_path: Path) -> None:
    files = {"piece/piece.cavata": in_library("../mine"), "elsewhere/bells.cavata": BELLS, "mine/x.cavata": BELLS}
    piece(tmp_path, files)
    (tmp_path / "mine/bells.cavata").symlink_to(tmp_path / "elsewhere/bells.cavata")
    assert codes(compile_script(tmp_path / "piece/piece.cavata")) == ["N104"]
    (tmp_path / "linked").symlink_to(tmp_path.parent)
    assert codes(piece(tmp_path, {"piece/piece.cavata": in_library("../linked")}))[0] == "N601"


def test_library_given_from_outside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = {"piece/piece.cavata": CALL, "far/away/bells.cavata": BELLS}
    assert codes(piece(tmp_path, files)) == ["N103"]
    assert codes(piece(tmp_path, files, "far/away")) == []
    assert main(["check", str(tmp_path / "piece"), "--library", str(tmp_path / "far/away")]) == 0
    monkeypatch.setenv("CAVATA_LIBRARY", str(tmp_path / "far/away"))
    assert codes(piece(tmp_path, files)) == []
    assert codes(piece(tmp_path, files, "piece")) == ["N103"], "the option stands before the environment"


def test_files_of_a_library_use_each_other_but_no_piece(tmp_path: Path) -> None:
    files = {
        "piece/piece.cavata": in_library("../mine"),
        "mine/bells.cavata": 'language 2\nuse "low/toll.cavata"\nuse slow from pace\nrhythm knell = toll + slow\n',
        "mine/low/toll.cavata": "language 2\nuse slow from pace\nrhythm toll = slow -> augmentation 2\n",
        "mine/pace.cavata": "language 2\nrhythm slow = (1/2)\n",
        "piece/pace.cavata": "language 2\nrhythm slow = (1/16)\n",
    }
    found = piece(tmp_path, files)
    assert codes(found) == [] and knell(found) == "1 1/2"
    files["mine/bells.cavata"] = 'language 2\nuse "../piece/pace.cavata"\nrhythm knell = slow\n'
    assert codes(piece(tmp_path, files))[0] == "N104"


def test_what_a_piece_does_not_use_of_a_library_is_not_computed(tmp_path: Path) -> None:
    broken = BELLS + "motif wrong = notes(1/4 C5) -> first 9\n"
    assert codes(piece(tmp_path, {"piece/piece.cavata": in_library("../mine"), "mine/bells.cavata": broken})) == []
    assert codes(compile_script(tmp_path / "mine/bells.cavata")) == ["V203"]


# ------------------------------------------------------------------ names that meet


def test_nearest_module_is_taken(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    own = "language 2\nuse summons from rhythms\nrhythm knell = summons -> augmentation 2\n"
    script = CALL.replace("bells", "rhythms")
    found = piece(tmp_path, {"piece/piece.cavata": script, "piece/rhythms.cavata": own})
    assert codes(found) == ["N603"] and knell(found) == "3/4 1/4", "the library's `rhythms` is found by its namesake"
    compare("N603", as_text(found.bag.ordered()), request)
    meant = script.replace("from rhythms", 'from "rhythms.cavata"')
    assert codes(piece(tmp_path, {"piece/piece.cavata": meant})) == []


def test_own_library_stands_before_the_standard_one(tmp_path: Path) -> None:
    files = {"piece/piece.cavata": in_library("../mine").replace("bells", "rhythms"), "mine/rhythms.cavata": BELLS}
    assert codes(piece(tmp_path, files)) == ["N603"]
    files["piece/rhythms.cavata"] = BELLS.replace("1/2", "1/1")
    found = piece(tmp_path, files)
    assert knell(found) == "1 1/4"


def test_two_libraries_meet(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    files = {
        "piece/piece.cavata": CALL.replace("motif", "use knell from chimes\nmotif"),
        "piece/bells.cavata": BELLS,
        "piece/chimes.cavata": "language 2\nrhythm knell = (1/8)\n",
    }
    found = piece(tmp_path, files)
    assert codes(found) == ["N604"]
    compare("N604", as_text(found.bag.ordered()), request)
    files["piece/piece.cavata"] = files["piece/piece.cavata"].replace("chimes", "chimes as other_knell")
    files["piece/piece.cavata"] += "rhythm both = knell + other_knell\n"
    found = piece(tmp_path, files)
    assert codes(found) == [] and found.plan is not None
    both = found.plan.values[Identity(found.plan.main, "both")]
    assert isinstance(both, Rhythm) and [str(beat.duration) for beat in both.beats] == ["1/2", "1/4", "1/8"]


def test_two_whole_files_bring_one_name(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    files = {
        "piece/piece.cavata": CALL.replace("use knell from bells", 'use "bells.cavata"\nuse "chimes.cavata"'),
        "piece/bells.cavata": BELLS,
        "piece/chimes.cavata": "language 2\nrhythm knell = (1/8)\n",
    }
    found = piece(tmp_path, files)
    assert codes(found) == ["N606"] and knell(found) == "1/2 1/4"
    compare("N606", as_text(found.bag.ordered()), request)
    asked = 'use "bells.cavata"\nuse knell from "chimes.cavata"'
    files["piece/piece.cavata"] = files["piece/piece.cavata"].replace('use "bells.cavata"\nuse "chimes.cavata"', asked)
    found = piece(tmp_path, files)
    assert codes(found) == [] and knell(found) == "1/8 1/8"


def test_a_name_of_ones_own_needs_the_other_under_another_name(tmp_path: Path) -> None:
    script = 'language 2\nuse french from ciphers\ncipher french = french\n    H = B\n'
    found = piece(tmp_path, {"piece/piece.cavata": script})
    assert codes(found)[0] == "N202"
    cure = found.bag.ordered()[0].cure
    assert "use french from ciphers as other_french" in cure
    mended = script.replace("from ciphers", "from ciphers as salon").replace("= french", "= salon")
    assert codes(piece(tmp_path, {"piece/piece.cavata": mended})) == []


# ------------------------------------------------------------------ editions


@pytest.mark.parametrize(
    ("edition", "cure"),
    [(3, "get a newer compiler"), (1, "cavata format --renew bells.cavata"), (0, "language 2")],
)
def test_file_of_another_edition_than_the_piece(edition: int, cure: str, tmp_path: Path) -> None:
    bells = BELLS.replace("language 2", f"language {edition}")
    found = piece(tmp_path, {"piece/piece.cavata": CALL, "piece/bells.cavata": bells})
    (message,) = found.bag.ordered()
    assert message.code == "N101" and cure in message.cure
    assert message.span is not None and message.span.source.name == "bells.cavata"
    ((used, note),) = message.also
    assert used.source.name == "piece.cavata" and used.line == 2 and note == "used here"
