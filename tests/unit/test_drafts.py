"""Pages where there is no LilyPond. It is hidden from the commands, as on a machine that has none.

Checked against what others read: Verovio's own numbers, the text that pypdf finds in a PDF, the size of a PNG in
Pillow, and our own MusicXML, note by note.
"""

from __future__ import annotations

import re
import sys
import tomllib
from io import BytesIO
from itertools import product
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import verovio
from fake_engravers import DRAWS
from fontTools.ttLib import TTFont
from packaging.requirements import Requirement
from PIL import Image
from pypdf import PdfReader

from cavata import wheels
from cavata.cli.main import main
from cavata.draft.engravers import Engraver, engraver_for
from cavata.draft.fonts import fonts
from cavata.draft.other_scripts import _family, missing_from, with_other_fonts
from cavata.draft.typesetting import typst_string
from cavata.lilypond.engrave import _on_path, how_to_get_it
from cavata.lilypond.engraving import Failure
from cavata.resources import folder

PIECE = r"""language 2

piece "Lamps \"#{1}$x\\ & <b>"
    composer "Ada B."
    poet "C. Dee"
    arranger "E. Eff"
    copyright "© 2026 Ada B."
    publisher "Lamp Press"
    number "LP 7"
    show letters
    show colors

use french from ciphers
name ada = "ADA" by french

forces
    clarinet = clarinet
    cello = cello

movement first "First Light"
    meter 3/4
    tempo 1/4 at 60, "With care"
    section a 90 bars
        clarinet: ada x 90
        cello: ada x 90

movement coda "Last Light"
    meter 2/4
    section a 3 bars
        cello: ada x 2
"""


@pytest.fixture
def hidden(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with a script on a machine without LilyPond."""
    (tmp_path / "no-programs").mkdir()
    monkeypatch.setenv("PATH", str(tmp_path / "no-programs"))
    monkeypatch.delenv("CAVATA_LILYPOND", raising=False)
    monkeypatch.setitem(sys.modules, "lilypond", None)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lamps.cavata").write_text(PIECE, encoding="utf-8")
    return tmp_path


def notes_in(document: bytes | str) -> list[str]:
    """The ids of the notes of one of our MusicXML documents."""
    root = ElementTree.fromstring(document)
    return [note.get("id", "") for note in root.iter("note") if note.find("rest") is None]


def notes_drawn(pictures: list[Path]) -> list[str]:
    found = (re.findall(r'<g id="([^"]*)" class="note"', picture.read_text()) for picture in pictures)
    return [note for picture in found for note in picture]


@pytest.mark.slow
def test_build_without_lilypond_draws_every_note_of_score_and_parts(
    hidden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", "lamps.cavata", "--parts", "--to", "pdf,svg,png,musicxml,midi"]) == 0
    told = capsys.readouterr()
    assert "O208" in told.err and "draft" in told.err
    assert {Path(line).name for line in told.out.splitlines()} == {
        path.name for path in hidden.iterdir() if path.suffix not in (".cavata", "")
    }
    for copy in ("", "-clarinet", "-cello"):
        pictures = sorted(hidden.glob(f"lamps{copy}-[0-9].svg"))
        documents = [(hidden / f"lamps-{name}{copy}.musicxml").read_bytes() for name in ("first", "coda")]
        wanted = [note for document in documents for note in notes_in(document)]
        assert wanted and sorted(notes_drawn(pictures)) == sorted(wanted)
        assert len(PdfReader(hidden / f"lamps{copy}.pdf").pages) == len(pictures)
        assert len(list(hidden.glob(f"lamps{copy}-[0-9].png"))) == len(pictures)
    assert (hidden / "lamps.mid").read_bytes().startswith(b"MThd")


@pytest.mark.slow
def test_pages_of_a_draft_have_titles_numbers_letters_and_colors(hidden: Path) -> None:
    assert main(["build", "lamps.cavata", "--to", "pdf,png,svg", "--parts"]) == 0
    score = PdfReader(hidden / "lamps.pdf")
    first, second, third = (" ".join(score.pages[number].extract_text().split()) for number in range(3))
    titles = (r"Lamps “#{1}$x\ & <b>", "Ada B.", "C. Dee", "arr. E. Eff", "2026 Ada B.", "Lamp Press", "LP 7")
    for words in (*titles, "First Light", "Clarinet in B♭", "With care", "= 60", "● ada"):
        assert words in first.replace("\u00a0", " ")
    assert "A D A" in first
    assert second.startswith("2 Lamps") or second.endswith("2") or " 2 " in second
    assert "3" in third and "LP 7" in third and "Lamp Press" not in third
    # A page on the right has its number at the right, one on the left at the left.
    sides = [re.search(r'class="edge" x="(\d+)"', (hidden / f"lamps-{page}.svg").read_text()) for page in (2, 3)]
    assert sides[0] and sides[1] and int(sides[0][1]) < int(sides[1][1])
    assert score.metadata is not None and score.metadata.title == titles[0]
    # Okabe and Ito's blue, the first of the seven colors that everyone can tell apart.
    assert "#0072B2" in (hidden / "lamps-1.svg").read_text()
    named = "".join(page.extract_text() for page in PdfReader(hidden / "lamps-clarinet.pdf").pages)
    assert "Clarinet in B♭" in named and "Cl. (B♭)" not in named
    silent = PdfReader(hidden / "lamps-clarinet.pdf").pages[-1].extract_text()
    assert "Last Light: tacet" in silent
    # One clef, also where the part begins with a rest of three bars.
    last = max(hidden.glob("lamps-clarinet-[0-9].svg")).read_text()
    assert last.count('class="clef"') == 1 and 'class="multiRest"' in last
    # A4 at 144 dots an inch.
    assert Image.open(hidden / "lamps-1.png").size in {(1191, 1684), (1190, 1684), (1191, 1683)}


def fonts_of(pdf: Path) -> set[str]:
    found: set[str] = set()
    for page in PdfReader(pdf).pages:
        resources: Any = page["/Resources"]
        waiting = [resources]
        while waiting:
            now = waiting.pop().get_object()
            found |= {str(font.get_object()["/BaseFont"]).partition("+")[2] for font in now.get("/Font", {}).values()}
            for drawn in now.get("/XObject", {}).values():
                if "/Resources" in drawn.get_object():
                    waiting.append(drawn.get_object()["/Resources"])
    return found


@pytest.mark.slow
def test_a_draft_is_set_in_its_own_fonts_and_the_same_twice(hidden: Path) -> None:
    """Another text font would be wider or narrower than what Verovio left room for."""
    assert main(["build", "lamps.cavata", "--to", "pdf"]) == 0
    pdf = hidden / "lamps.pdf"
    before = pdf.read_bytes()
    used = fonts_of(pdf)
    assert used and all(name.startswith(("DraftSerif", "Leipzig")) for name in used) and "Leipzig" in " ".join(used)
    assert main(["build", "lamps.cavata", "--to", "pdf", "--fresh"]) == 0
    assert pdf.read_bytes() == before


@pytest.mark.slow
def test_guide_without_lilypond(hidden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["guide", "lamps.cavata"]) == 0
    assert "O208" in capsys.readouterr().err
    page = (hidden / "lamps-guide.html").read_text(encoding="utf-8")
    assert "data:image/svg+xml" in page
    pdf = hidden / "lamps-guide.pdf"
    said = " ".join("".join(page.extract_text() for page in PdfReader(pdf).pages).split())
    assert r"Lamps “#{1}$x\ & <b>" in said and "by Ada B." in said
    assert all(name.startswith(("DraftSerif", "Leipzig")) for name in fonts_of(pdf))


@pytest.mark.slow
def test_characters_that_no_font_has_are_told_and_others_found(
    hidden: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    script = (hidden / "lamps.cavata").read_text(encoding="utf-8")
    # Private-use characters have no meaning, so no font of the machine can be sure to have them; Hebrew may be there.
    (hidden / "lamps.cavata").write_text(script.replace("Ada B.", "\U0010fffd Лампа Ωδή"), encoding="utf-8")
    assert main(["build", "lamps.cavata", "--to", "pdf", "--movement", "coda"]) == 0
    told = capsys.readouterr().err
    assert "O206" in told and "U+10FFFD" in told
    assert "Лампа Ωδή" in PdfReader(hidden / "lamps-coda.pdf").pages[0].extract_text().replace("\u00a0", " ")
    monkeypatch.setattr("cavata.draft.other_scripts._machine_fonts", lambda: (("A & B", frozenset([0x5D0])),))
    _family.cache_clear()
    assert with_other_fonts("<text>a \u05d0</text>") == '<text>a <tspan font-family="A &amp; B">\u05d0</tspan></text>'
    assert [missing.character for missing in missing_from(["a \u05d0 \u05d1"])] == ["\u05d1"]
    _family.cache_clear()


@pytest.mark.slow
def test_sheets_are_drafts_too(hidden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["study", "ADA", "--sheet", "ada.pdf"]) == 0
    assert "O208" in capsys.readouterr().err
    assert all(name.startswith(("DraftSerif", "Leipzig")) for name in fonts_of(hidden / "ada.pdf"))


def without(monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    for name in names:
        monkeypatch.setitem(sys.modules, name, None)


def test_without_any_engraver_all_else_is_written(
    hidden: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    without(monkeypatch, "typst")
    (hidden / "lamps.pdf").write_bytes(b"as it was before")
    assert main(["build", "lamps.cavata"]) == 1
    told = capsys.readouterr()
    assert [Path(line).name for line in told.out.splitlines()] == [
        "lamps.mid", "lamps-first.musicxml", "lamps-coda.musicxml", "lamps.musicxml",
    ]  # fmt: skip
    assert "O201" in told.err and "no pages were written" in told.err
    assert len(notes_in((hidden / "lamps-first.musicxml").read_bytes())) == 540
    assert (hidden / "lamps.pdf").read_bytes() == b"as it was before"


def test_an_engraver_that_was_asked_for_and_is_not_here_is_told(
    hidden: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", "lamps.cavata", "--to", "pdf", "--engraver", "lilypond"]) == 1
    assert "LilyPond, which draws the pages, is not installed" in capsys.readouterr().err
    without(monkeypatch, "typst")
    assert main(["build", "lamps.cavata", "--to", "pdf", "--engraver", "verovio"]) == 1
    assert "typst, which drafts of pages need, is not installed" in capsys.readouterr().err
    assert not (hidden / "lamps.pdf").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in for LilyPond is a shell script")
def test_a_lilypond_on_the_path_is_taken_before_a_draft(hidden: Path) -> None:
    assert engraver_for("auto") is Engraver.VEROVIO
    program = hidden / "no-programs" / "lilypond"
    program.write_text("#!/bin/sh\necho 'GNU LilyPond 2.24.3'\n" + DRAWS)
    program.chmod(0o755)
    assert engraver_for("auto") is Engraver.LILYPOND


# ---------------------------------------------------------------- fonts


@pytest.mark.slow
def test_letters_are_as_wide_as_verovio_reckons_with() -> None:
    """Source: Verovio's own table of its text font, `data/text/Times.xml` and the like."""
    data = Path(verovio.__file__).parent / "data" / "text"
    for face, table in zip(fonts(), ("Times", "Times-bold", "Times-italic", "Times-bold-italic"), strict=False):
        font = TTFont(BytesIO(face))
        names, reckoned = font.getBestCmap(), ElementTree.parse(data / f"{table}.xml").getroot()
        units = font["head"].unitsPerEm / int(reckoned.get("units-per-em", "0"))
        widths = {int(glyph.get("c", ""), 16): float(glyph.get("h-a-x", "0")) for glyph in reckoned}
        # A few of the table's rows are without a width.
        letters = [code for code in range(0x21, 0x7F) if widths.get(code)]
        assert len(letters) > 40
        assert all(abs(font["hmtx"][names[code]][0] - widths[code] * units) <= 1 for code in letters)


def test_every_face_has_flat_natural_and_sharp_and_a_name_of_its_own() -> None:
    """The Open Font License, 3, keeps a reserved name, here Liberation, for the unchanged font."""
    *faces, _ = fonts()
    assert len(faces) == 4
    for face in faces:
        font = TTFont(BytesIO(face))
        for sign in "♭♮♯":
            glyph = font["glyf"][font.getBestCmap()[ord(sign)]]
            # As high as a capital, within a fifth, and not further below the line than a quarter of one.
            capital = font["glyf"]["B"].yMax
            assert 0.8 * capital < glyph.yMax < 1.2 * capital and glyph.yMin > -0.25 * capital
        assert not any("Liberation" in font["name"].getDebugName(kind) for kind in (1, 4, 6))


def test_strings_for_typst_are_literals() -> None:
    assert typst_string('a 5" \\c\n#d') == '"a 5\\" \\\\c #d"'  # inches: other quotes become those of print


# ---------------------------------------------------------------- machines

MACHINES = tuple(product(("linux", "darwin", "win32"), ("x86_64", "aarch64", "arm64", "AMD64", "ARM64")))


def wanted_by(name: str, requirements: list[str], system: str, machine: str) -> bool:
    found = [made for made in map(Requirement, requirements) if made.name == name]
    where = {"sys_platform": system, "platform_machine": machine}
    return any(made.marker is None or made.marker.evaluate(where) for made in found)


@pytest.mark.parametrize(("system", "machine"), MACHINES)
def test_the_project_asks_for_what_each_machine_can_have(
    system: str, machine: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", system)
    monkeypatch.setattr("platform.machine", lambda: machine)
    project = tomllib.loads((folder("compiler").parent / "pyproject.toml").read_text())["project"]
    needed, extras = project["dependencies"], project["optional-dependencies"]
    assert wanted_by("lilypond", needed, system, machine) == wheels.lilypond_wheel()
    for name in ("verovio", "typst", "fonttools"):
        assert wanted_by(name, needed, system, machine) == (wheels.draft_wheels() and not wheels.lilypond_wheel())
        assert any(Requirement(made).name == name for made in extras["draft"])
    assert wanted_by("midirenderer", extras["audio"], system, machine) == wheels.player_wheel()


@pytest.mark.parametrize(
    ("system", "machine", "said", "unsaid"),
    [
        ("linux", "x86_64", "pip install \"lilypond", "brew"),
        ("darwin", "arm64", "brew install lilypond", "pip install"),
        ("linux", "aarch64", "apt install lilypond", "pip install"),
        ("win32", "ARM64", "lilypond.org", "pip install"),
    ],
)
def test_a_cure_works_on_the_machine_that_it_is_shown_on(
    system: str, machine: str, said: str, unsaid: str, hidden: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _on_path.cache_clear()
    without(monkeypatch, "typst")
    with monkeypatch.context() as patch:
        patch.setattr("shutil.which", lambda name: None)  # asks Windows itself where it takes this to be Windows
        patch.setattr("sys.platform", system)
        patch.setattr("platform.machine", lambda: machine)
        assert said in how_to_get_it() and unsaid not in how_to_get_it()
        failure = engraver_for("auto")
        asked = engraver_for("verovio")
        draft = wheels.draft_wheels()
    _on_path.cache_clear()
    assert isinstance(failure, Failure) and said in failure.advice
    assert ('pip install "cavata[draft]"' in failure.advice) == draft
    assert isinstance(asked, Failure) and ('pip install "cavata[draft]"' in asked.advice) == draft
