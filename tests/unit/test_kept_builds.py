"""A build of which nothing has changed is that of the time before: its files, its messages, and nothing is computed."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

import pytest
from fake_engravers import DRAWS, FAILS, engrave_with

from cavata import kept_outputs, pipeline
from cavata.cache import BUILDS, FILES, Store
from cavata.cli.main import main
from cavata.reads import RememberedFiles
from cavata.resources import folder

SCRIPT = """language 2
use french from ciphers
use tune from "tunes.cavata"
piece "Lamp"
forces
    flute = flute
    other = oboe
movement first
    flute: tune -> marked p
version low "Low"
    piece -> down M2
"""
TUNES = "language 2\nmotif tune = notes(1/4 C5 D5 E5 F5)\nmotif idle = notes(1/4 C5)\n"
COMPILES = "cavata.pipeline.compile_loaded"


@pytest.fixture(autouse=True)
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a script and what it uses, and a cache of its own; an engraver that only seems to draw."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.delenv("CAVATA_TRACE", raising=False)
    engrave_with(DRAWS, tmp_path, monkeypatch)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lamp.cavata").write_text(SCRIPT, "utf-8")
    (tmp_path / "tunes.cavata").write_text(TUNES, "utf-8")
    return tmp_path


def built(*options: str) -> dict[str, bytes]:
    """The files of a build, by their names."""
    out = Path("out")
    for old in out.glob("*"):
        old.unlink()
    assert main(["build", "lamp.cavata", "--out", "out", *options]) == 0
    return {path.name: path.read_bytes() for path in out.iterdir()}


def never(*_: object, **__: object) -> None:
    raise AssertionError("something is computed")


def test_what_is_unchanged_is_not_computed_again(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its messages are said again, with the rows that they point at: here that the oboe has no note."""
    files = built("--parts")
    said = capsys.readouterr()
    assert "O120" in said.err and "other = oboe" in said.err and len(files) == 5
    monkeypatch.setattr(COMPILES, never)
    assert built("--parts") == files and capsys.readouterr() == said
    assert built("--parts", "--at-once", "1") == files


def counting(monkeypatch: pytest.MonkeyPatch) -> list[None]:
    """Grows by one whenever something is compiled."""
    count: list[None] = []
    before = pipeline.compile_loaded

    def counted(*args: object) -> object:
        count.append(None)
        return before(*args)  # type: ignore[arg-type]  # whatever it is given

    monkeypatch.setattr(COMPILES, counted)
    return count


CHANGES = {
    "the script": lambda desk: (desk / "lamp.cavata").write_text(SCRIPT.replace("marked p", "marked f")),
    "a file that it uses": lambda desk: (desk / "tunes.cavata").write_text(TUNES.replace("C5 D5", "C5 B4")),
    "a file that hides another": lambda desk: (desk / "ciphers.cavata").write_text("language 2\n"),
    "the engraver": lambda desk: os.utime(desk / "lilypond", (1, 1)),
    "what is kept": lambda desk: [path.unlink() for path in (desk / "cache/cavata/files").iterdir()],
    "what is said of it": lambda desk: [path.write_bytes(b"{}") for path in (desk / "cache/cavata/builds").iterdir()],
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_has_changed_is_computed(change: str, desk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    built()
    count = counting(monkeypatch)
    built()
    assert not count
    CHANGES[change](desk)
    built()
    assert count


@pytest.mark.parametrize(
    "options", [("--fresh",), ("--parts",), ("--strict-time",), ("--for", "low"), ("--paper", "A3"), ("--to", "midi"),
                ("--movement", "first"), ("--proof",), ("--concert",)],
    ids=" ".join,
)  # fmt: skip
def test_what_is_asked_for_otherwise_is_computed(options: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    built("--to", "pdf,midi")
    count = counting(monkeypatch)
    built(*(options if "--to" in options else ("--to", "pdf,midi", *options)))
    assert count


@pytest.mark.slow
def test_a_draft_is_not_taken_for_engraved_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("verovio", "typst"):
        pytest.importorskip(name)
    engraved = built("--to", "pdf")
    drawn = [built("--to", "pdf", "--engraver", "verovio") for _ in range(2)]
    assert drawn[0] == drawn[1] != engraved == built("--to", "pdf")


def test_what_went_wrong_is_not_kept(desk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with(FAILS, desk, monkeypatch)
    for _ in range(2):
        assert main(["build", "lamp.cavata"]) == 1
    assert not list((desk / "cache/cavata").glob("builds/*"))


def test_a_long_file_is_not_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cavata.kept_outputs.LARGEST", 100)
    assert built("--to", "midi") and built("--to", "midi")
    assert BUILDS.folder() is not None and not list((BUILDS.folder() or Path()).glob("*"))


@pytest.mark.slow
def test_what_is_kept_of_sound_is_not_rendered_again(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("midirenderer", "pretty_midi", "soundfile"):
        pytest.importorskip(name)
    files = built("--to", "mp3,wav")
    (Path("lamp.cavata")).write_text("-- a remark\n" + SCRIPT)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("cavata.sound.audio.Rendering", never)
        assert built("--to", "mp3,wav") == files
        assert built("--to", "wav").items() <= files.items()


def test_files_are_made_once_for_values_that_are_not_told_apart(tmp_path: Path) -> None:
    """And again where what is kept under their name is no longer that."""
    store, made = Store("texts", 1 << 20), list[str]()

    def of(value: str) -> bytes:
        files = RememberedFiles(store, FILES, b"function")

        def make() -> bytes:
            made.append(value)
            return value.encode()

        found = files.of(value, make)
        files.save()
        return found

    assert [of("a"), of("a"), of("b"), of("b")] == [b"a", b"a", b"b", b"b"] and made == ["a", "b"]
    names = {body: FILES.keep_content(body) for body in (b"a", b"b")}
    FILES.write(names[b"a"], b"b")
    assert FILES.read_content(names[b"a"]) is None and of("a") == b"a" and made == ["a", "b", "a"]


# ---------------------------------------------------------------- nothing is forgotten

ROOMS = ("foreign", "names", "evaluate", "place", "require", "edition", "notate", "lilypond", "perform", "sound",
         "musicxml", "draft", "kept_outputs", "pipeline", "instruments", "ciphers", "transforms", "score")  # fmt: skip
"""What a build goes through."""
PACKAGE = folder("compiler") / "cavata"


def sources() -> str:
    paths = [path for room in ROOMS for path in (*PACKAGE.glob(f"{room}.py"), *PACKAGE.glob(f"{room}/**/*.py"))]
    return "\n".join(path.read_text("utf-8") for path in paths)


def test_every_library_that_makes_files_is_part_of_a_builds_key() -> None:
    """LilyPond and the SoundFont are told by themselves, the grammar by its file."""
    found = re.findall(r"^ *(?:from (\w+)[.\w]* import |import (\w+)[.\w]*(?: as \w+)?$)", sources(), re.MULTILINE)
    imported = {name for names in found for name in names if name}
    others = {name for name in imported if name not in sys.stdlib_module_names} - {"cavata", "lilypond", "lark"}
    assert others <= set(kept_outputs.LIBRARIES) and {"music21", "abjad", "mido", "verovio"} <= others


def test_every_setting_that_a_build_reads_is_part_of_its_key() -> None:
    """Variables that name a program, a font or a folder count by what they name; how many run at once counts not."""
    known = {"CAVATA_LILYPOND", "CAVATA_SOUNDFONT", "CAVATA_LIBRARY", "CAVATA_AT_ONCE", *kept_outputs.SETTINGS}
    text = sources()
    assert set(re.findall(r"\bCAVATA_\w+", text)) == known
    for read in re.findall(r"os\.(?:environ\.get|getenv)\(([^,)]*)", text):
        assert read in ("name", "VARIABLE", "OVERRIDE", "AT_ONCE", '"CAVATA_TRACE"'), read
