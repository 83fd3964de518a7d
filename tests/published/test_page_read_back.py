"""The printed page read back from its PDF by other programs: the size of the paper, and what stands on it.

Poppler's `pdfinfo` and `pdftotext` read; where they are missing the tests are skipped.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from compiling import score_from
from engraving import engraved_together

from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.edition.proof import proof_copy
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import find_lilypond
from cavata.lilypond.engraving import Failure
from cavata.musicxml.document import musicxml_bytes
from cavata.names.paper import find_paper
from cavata.pipeline import compile_script, written
from cavata.score.score import Score

GALLERY = Path(__file__).resolve().parents[2] / "examples" / "gallery"
pytestmark = [
    pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed"),
    pytest.mark.skipif(isinstance(find_lilypond(), Failure), reason="LilyPond is not installed"),
]
POINTS = 72 / 25.4
"""A point of PDF is 1/72 inch (ISO 32000)."""
SIZES_MM = {
    # ISO 216:2007, table 1 and 2.
    "A4": (210, 297), "A3": (297, 420), "B4": (250, 353),
    # JIS P 0138.
    "jis_B4": (257, 364),
    # ANSI/ASME Y14.1: sizes A and B.
    "letter": (8.5 * 25.4, 11 * 25.4), "tabloid": (11 * 25.4, 17 * 25.4),
    "A4 landscape": (297, 210),
}  # fmt: skip


def read(path: Path, *options: str) -> str:
    """The text of a PDF."""
    command = ["pdftotext", "-layout", *options, str(path), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def words_of(path: Path, page: int) -> list[tuple[str, float, float]]:
    """Each word of a page with its left and upper edge in points."""
    command = ["pdftotext", "-bbox", "-f", str(page), "-l", str(page), str(path), "-"]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)"[^>]*>([^<]*)<', text)
    return [(word, float(left), float(top)) for left, top, word in found]


def info(path: Path) -> str:
    return subprocess.run(["pdfinfo", "-box", str(path)], capture_output=True, text=True, check=True).stdout


TUNE = """\
language 2

piece "Paper"
    composer "A. Composer"
{row}

forces
    violin = violin

movement one
    violin: notes(1/4 D5 E5 F5 G5)
"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Pieces of the gallery as their conductors have them, a proof copy of one, and a small piece as it sounds."""
    folder = tmp_path_factory.mktemp("pages")
    made: dict[str, Score] = {}
    for name in ("concerto", "song", "brass_quintet", "wind_quintet"):
        compiled = compile_script(GALLERY / f"{name}.cavata")
        assert compiled.score is not None and compiled.plan is not None
        made[name] = compiled.score
        if name == "song":
            made["proof"] = proof_copy(compiled.score, compiled.plan)
    small = score_from(TUNE.format(row="").replace("violin = violin", "horn = horn").replace("violin:", "horn:"))
    made["sounding"] = replace(small, header=replace(small.header, title_page=True, concert_score=True))
    texts = (lilypond_text(written(full_score(score))) for score in made.values())
    return dict(zip(made, engraved_together(texts, folder), strict=True))


@pytest.mark.slow
def test_pdf_has_the_size_of_its_paper(tmp_path: Path) -> None:
    texts = (
        lilypond_text(written(full_score(score_from(TUNE.format(row=f"    paper {paper}"))))) for paper in SIZES_MM
    )
    for made, (paper, size) in zip(engraved_together(texts, tmp_path), SIZES_MM.items(), strict=True):
        box = re.search(r"MediaBox:\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)", info(made))
        assert box is not None
        wanted = (0, 0, *(side * POINTS for side in size))
        # The engraver's back end rounds a sheet up to whole points, a third of a millimeter.
        assert [float(number) for number in box.groups()] == pytest.approx(wanted, abs=1.0), paper


@pytest.mark.parametrize("paper", SIZES_MM)
def test_musicxml_has_the_size_of_its_paper(paper: str) -> None:
    """Tenths and millimeters as MusicXML 4.0 defines them: a staff of 40 tenths is so many millimeters high."""
    made = score_from(TUNE.format(row=f"    paper {paper}"))
    root = ElementTree.fromstring(musicxml_bytes(written(made), "one"))
    scale = float(root.findtext("defaults/scaling/millimeters", "")) / float(
        root.findtext("defaults/scaling/tenths", "")
    )
    sides = [float(root.findtext(f"defaults/page-layout/page-{side}", "")) * scale for side in ("width", "height")]
    assert sides == pytest.approx(SIZES_MM[paper], abs=0.2)


def test_staves_are_as_high_in_musicxml_as_on_the_page() -> None:
    """Source: LilyPond measures a staff in printer's points, of which 72.27 are an inch (its notation reference)."""
    compiled = compile_script(GALLERY / "concerto.cavata")
    assert compiled.score is not None
    heights = set()
    for copy in copies(compiled.score, WantedCopies(parts=("clarinet", "bass"), short=True), compiled.bag):
        page = written(copy.score)
        points = re.search(r"#\(set-global-staff-size ([\d.]+)\)", lilypond_text(page))
        assert points is not None
        root = ElementTree.fromstring(musicxml_bytes(page, page.movements[0].name))
        height = float(root.findtext("defaults/scaling/millimeters", ""))
        assert height == pytest.approx(float(points[1]) * 25.4 / 72.27, abs=0.005), copy.suffix
        heights.add(height)
    assert len(heights) > 1


def test_paper_of_the_option_stands_before_the_scripts() -> None:
    assert find_paper("LETTER landscape") == replace(
        find_paper("letter"), width=find_paper("letter").height, height=find_paper("letter").width  # type: ignore[type-var, union-attr]  # it is there
    )  # fmt: skip
    assert find_paper("A5") is None and find_paper("A4 sideways") is None


@pytest.mark.slow
def test_title_page_holds_titles_forces_length_and_movements(pages: dict[str, Path]) -> None:
    path = pages["concerto"]
    front = read(path, "-l", "1")
    for words in (
        "for Corwen on the other shore", "A. Composer", "Concertino on a Name", "for clarinet and strings",
        "solo clarinet in B♭ - str", "Violins I, II", "Double basses", "About 1 minute",
        "I. Across", "II. Between the tides", "about 35 seconds", "Transposing score",
    ):  # fmt: skip
        assert words in front, words
    music = read(path, "-f", "2")
    assert "Concertino on a Name" in music and "Proof" not in front + music
    # Page numbers stand on the outer side: the third page is a right-hand one.
    (number,) = (word for word in words_of(path, 3) if word[0] == "3" and word[2] < 60)
    assert number[1] > 180 * POINTS


@pytest.mark.slow
def test_concert_score_says_so(pages: dict[str, Path]) -> None:
    front = read(pages["sounding"], "-l", "1")
    assert "Score in C" in front and "Transposing score" not in front


@pytest.mark.slow
def test_proof_copy_numbers_bars_and_lines_and_names_colors(pages: dict[str, Path]) -> None:
    compiled = compile_script(GALLERY / "song.cavata")
    assert compiled.score is not None
    fair, proof = read(pages["song"]), read(pages["proof"])
    bars = len(compiled.score.movements[0].bars)
    numbers = set(re.findall(r"\b\d+\b", proof))
    assert {str(number) for number in range(1, bars + 1)} <= numbers
    assert not {str(number) for number in range(2, bars + 1)} <= set(re.findall(r"\b\d+\b", fair))
    lines = compiled.score.movements[0].span.source.text.splitlines()
    first = 1 + next(place for place, line in enumerate(lines) if "voice at bar 3" in line)
    assert f"line {first}" in proof and "line" not in fair
    assert "Proof" in proof and "Proof" not in fair
    assert "hedda" in proof and "hedda" not in fair


@pytest.mark.slow
@pytest.mark.parametrize("piece", ["brass_quintet", "wind_quintet", "song"])
def test_no_system_stands_alone_on_the_last_page(piece: str, pages: dict[str, Path]) -> None:
    """Each system but a movement's first begins with the number of its bar."""
    compiled = compile_script(GALLERY / f"{piece}.cavata")
    assert compiled.score is not None
    path = pages[piece]
    count = int(re.search(r"Pages:\s+(\d+)", info(path))[1])  # type: ignore[index]  # pdfinfo says it
    last = read(path, "-f", str(count))
    body = last.split("\n", 1)[1]
    starts = {int(number) for number in re.findall(r"(?<![\w=.])(\d+)(?![\w.)])", re.sub(r"= \d+", "", body))}
    first = max(starts & set(range(2, len(compiled.score.movements[0].bars) + 1)))
    assert count > 1 and len(starts) >= 2 and first > min(starts)


TITLES = (
    ("T" * 30 + " " + "a long title that goes on and on over several lines of the page " * 2, ""),
    ("Plain", f'    subtitle "{"of two hundred letters or so, " * 7}"'),
    ("", ""),
)  # fmt: skip


def with_title_page(title: str, row: str) -> str:
    """The text of a piece of that title, with a page for it."""
    made = score_from(TUNE.format(row=row).replace('"Paper"', f'"{title}"'))
    return lilypond_text(written(full_score(replace(made, header=replace(made.header, title_page=True)))))


@pytest.mark.slow
def test_long_titles_and_none_keep_within_the_page(tmp_path: Path) -> None:
    for path in engraved_together((with_title_page(*title) for title in TITLES), tmp_path):
        boxes = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True)
        found = re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', boxes.stdout)
        assert found
        for left, top, right, bottom in found:
            assert float(left) >= 0 and float(top) >= 0
            assert float(right) <= 210 * POINTS and float(bottom) <= 297 * POINTS
