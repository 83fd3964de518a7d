"""The map: its marks held against the index and the clock, its texts against the widths of a real font."""

from __future__ import annotations

import re
import sys
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates
from lxml import etree
from PIL import Image, ImageFont
from rounds import everyday

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.lilypond.engrave import text_fonts
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.score.colors import PALETTE
from cavata.tell.language import language
from cavata.tell.map.drawing import shortened, width_of
from cavata.tell.map.map import MarkShape, PieceMap, map_of
from cavata.tell.map.svg import map_svg, mark, page_of, patterns

pytestmark = pytest.mark.slow

SVG = {"s": "http://www.w3.org/2000/svg"}
WATCHES = folder("examples") / "three-watches" / "three-watches.cavata"
NIGHT = folder("examples") / "the-long-night" / "the-long-night.cavata"


@lru_cache
def mapped(path: Path) -> PieceMap:
    compiled = compile_script(path, path.name)
    assert compiled.score is not None and compiled.program and compiled.plan, as_text(compiled.bag.ordered())
    return map_of(compiled.program, compiled.plan, compiled.score)


@lru_cache
def drawn(path: Path) -> etree._Element:
    picture = map_svg(mapped(path), lambda span: f"{span.source.name}#L{span.line}", language("en"))
    return etree.fromstring(picture.encode())


def crowded(tmp_path: Path) -> Path:
    """Twenty parts with long names, ten movements with long titles, each of six short sections."""
    parts = [f"part{n}" for n in range(20)]
    forces = "".join(f'    {part} = violin, called "Instrument of the far gallery {part}"\n' for part in parts)
    music = "".join(
        f'movement watch{m} "A movement with a title that is long {m}"\n    tempo 1/4 at 120\n'
        + "".join(
            f'    section s{m}{s} "what is said of it"\n        {parts[m]}, {parts[m + 9]}: tamsin x {m + 1}\n'
            for s in range(6)
        )
        for m in range(10)
    )  # fmt: skip
    path = tmp_path / "crowded.cavata"
    path.write_text(
        'language 2\npiece "Crowded"\nuse french from ciphers\nname tamsin = "TAMSIN" by french\nforces\n'
        f"{forces}{music}",
        "utf-8",
    )
    return path


# ------------------------------------------------------------------ what is drawn


@pytest.mark.parametrize("path", everyday([WATCHES, NIGHT]), ids=lambda path: path.stem)
def test_every_statement_is_marked_in_each_of_its_parts_each_time(path: Path) -> None:
    piece = mapped(path)
    wanted = sum(
        len(entry.parts) * (1 + len(entry.place.again)) for name in piece.index.names for entry in name.entries
    )
    assert len(piece.marks) == wanted == len(drawn(path).findall("s:a", SVG))


def test_mark_lies_where_the_clock_says_and_leads_to_its_line(tmp_path: Path) -> None:
    """Ten bars of 4 s; the name from the beginning of the sixth, 20 s to 26 s, lies across from a half of the width."""
    path = tmp_path / "piece.cavata"
    path.write_text(
        'language 2\nuse french from ciphers\nname tamsin = "TAMSIN" by french\nforces\n    violin = violin\n'
        "movement first\n    tempo 1/4 at 60\n    section one 10 bars\n        violin at bar 6: tamsin\n", "utf-8",
    )  # fmt: skip
    page, tree = page_of(mapped(path)), drawn(path)
    (link,) = tree.findall("s:a", SVG)
    assert link.get("href") == "piece.cavata#L9"
    box, title = link.find("s:rect", SVG), link.find("s:title", SVG)
    assert box is not None and title is not None and title.text is not None
    width = page.right - page.left
    assert float(box.get("x", "")) == pytest.approx(page.left + width / 2, abs=0.01)
    assert float(box.get("width", "")) == pytest.approx(width * 6 / 40, abs=0.01)
    assert "TAMSIN: T A M S I N, prime. Violin, First, bar 6, 0:20." in title.text


def test_names_and_forms_are_never_told_by_color_alone() -> None:
    """Each name has a lane to itself in every part; and each form is drawn differently in one color."""
    piece = mapped(NIGHT)
    page = page_of(piece)
    tops = [page.lane_top(part, name) for part in range(len(piece.parts)) for name in range(len(piece.names))]
    assert all(b - a >= page.lane for a, b in zip(tops, tops[1:], strict=False))
    looks = {mark(shape, 0, 0, 0, 18, 9) for shape in MarkShape}
    assert len(looks) == len(MarkShape)
    hatchings = [re.sub(r'id="[^"]*"', "", pattern) for pattern in patterns(1)]
    assert len(set(hatchings)) == len(hatchings) == 4


def test_colors_are_the_published_ones() -> None:
    """Sources: Okabe and Ito, Color Universal Design, 2008; the last is of P. Tol's scheme "muted", from memory."""
    text = "".join(patterns(9)) + "".join(mark(MarkShape.SOLID, n, 0, 0, 9, 9) for n in range(9))
    assert all(color in text for color in PALETTE)
    assert set(PALETTE) <= {"#E69F00", "#56B4E9", "#009E73", "#0072B2", "#D55E00", "#CC79A7", "#332288"}


def luminance(color: str) -> float:
    """Source: WCAG 2.2, relative luminance."""
    shares = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_no_color_vanishes_on_white_paper() -> None:
    """Black on white is 21 to 1; yellow has 1.3, and heads in it could not be seen. The least is this project's own."""
    assert all(1.05 / (luminance(color) + 0.05) >= 2 for color in PALETTE)


def test_movements_and_sections_are_marked_and_listed() -> None:
    texts = ["".join(text.itertext()) for text in drawn(WATCHES).iterfind(".//s:text", SVG)]
    assert {"First Watch", "Middle Watch", "Morning Watch"} <= set(texts)
    listed = [text for text in texts if "across the water" in text]
    assert listed and "First Watch, 0:00: 1 two names across the water 0:00 · 2 the water goes 0:30" in listed[0]


# ------------------------------------------------------------------ legible


def _boxes(tree: etree._Element) -> list[tuple[float, float, float, float, str]]:
    """The boxes of all texts, as wide as the font that comes with LilyPond makes them."""
    regular = next(path for path in text_fonts() if path.name == "NimbusSans-Regular.otf")
    bold = next(path for path in text_fonts() if path.name == "NimbusSans-Bold.otf")
    boxes = []
    for text in tree.iterfind(".//s:text", SVG):
        size, said = float(text.get("font-size", "")), "".join(text.itertext())
        font = ImageFont.truetype(bold if text.get("font-weight") else regular, 100)
        width = font.getlength(said) * size / 100
        x, y = float(text.get("x", "")), float(text.get("y", ""))
        x -= {"start": 0.0, "middle": width / 2, "end": width}[text.get("text-anchor", "start")]
        boxes.append((x, y - 0.72 * size, x + width, y + 0.2 * size, said))
    return boxes


@pytest.mark.parametrize("which", ["three-watches", "the-long-night", "crowded"])
def test_no_text_lies_on_another_or_leaves_the_page(which: str, tmp_path: Path) -> None:
    path = {"three-watches": WATCHES, "the-long-night": NIGHT}.get(which) or crowded(tmp_path)
    tree = drawn(path)
    boxes = _boxes(tree)
    _, _, width, height = map(float, tree.get("viewBox", "").split())
    assert len(boxes) > 20
    for number, (x, y, right, foot, said) in enumerate(boxes):
        assert x >= 0 and y >= 0 and right <= width and foot <= height, said
        for x2, y2, right2, foot2, other in boxes[:number]:
            assert right <= x2 or right2 <= x or foot <= y2 or foot2 <= y, (said, other)


def test_widths_are_never_taken_for_less_than_the_font_has() -> None:
    font = ImageFont.truetype(next(p for p in text_fonts() if p.name == "NimbusSans-Regular.otf"), 100)
    for text in ("Violins II", "WATCHMAN'S MORNING", "1:02:05", "Illimitable", "Ťťž Œuvre", "Огни на берегу"):
        assert width_of(text, 100) >= font.getlength(text)
    assert shortened("Alone on the gallery", 60, 10) != "Alone on the gallery" and shortened("Alone", 4, 10) == ""


# ------------------------------------------------------------------ bad input, files


def test_hostile_title_is_text(tmp_path: Path) -> None:
    path = tmp_path / "piece.cavata"
    path.write_text(
        'language 2\npiece "<script>alert(1)</script> & ]]>"\n    composer "<b>A</b>"\nforces\n    violin = violin\n'
        'movement first "\\"><script>"\n    section one "<i>"\n        violin: notes(1/4 D4)\n', "utf-8",
    )  # fmt: skip
    tree = drawn(path)
    assert not tree.findall(".//s:script", SVG) and not tree.findall(".//script")
    assert any("<script>alert(1)</script>" in "".join(text.itertext()) for text in tree.iterfind(".//s:text", SVG))


def test_piece_without_names_has_a_map(tmp_path: Path) -> None:
    path = tmp_path / "piece.cavata"
    path.write_text("language 2\nforces\n    violin = violin\nmovement first\n    violin: notes(1/4 D4 E4)\n", "utf-8")
    tree = drawn(path)
    assert not tree.findall("s:a", SVG)
    assert "notes that no name gave" in ["".join(t.itertext()) for t in tree.iterfind(".//s:text", SVG)]


def test_no_more_notes_a_second_are_told_than_begin_in_one(tmp_path: Path) -> None:
    """By hand: at a quarter in a second eight eighths last four seconds, two in each, and a chord at the end has four.

    A short piece has many places on the map for each second, and a note in one of them is no dozen a second.
    """
    path = tmp_path / "short.cavata"
    forces = "language 2\nforces\n    piano = piano\nmovement first\n    tempo 1/4 at 60\n"
    path.write_text(forces + "    piano.right: notes(1/8 C5 D5 E5 F5 G5 A5 B5 C6), notes(1/1 chord(C5 E5 G5 C6))\n")
    told = next(text for text in drawn(path).itertext() if text.endswith("at most"))
    assert told in ("2 at most", "4 at most")


def test_command_writes_both_pictures(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(WATCHES), "--to", "svg,png", "--out", str(tmp_path / "new"), "--links"]) == 0
    svg, png = (Path(line) for line in capsys.readouterr().out.splitlines())
    assert (svg.name, png.name) == ("three-watches-map.svg", "three-watches-map.png")
    assert "leads to its line" in etree.parse(svg).getroot().findtext("s:desc", "", SVG)
    link = etree.parse(svg).getroot().find("s:a", SVG)
    assert link is not None
    leads, _, line = link.get("href", "").partition("#L")
    assert (svg.parent / leads).resolve() == WATCHES and line.isdigit()
    assert Image.open(png).size[0] == 2240


def test_links_lead_into_files_that_the_piece_uses_from_any_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "tide"
    (folder / "more").mkdir(parents=True)
    (folder / "more" / "calls.cavata").write_text(
        'language 2\nuse french from ciphers\nname ada = "ADA" by french\n'
        "passage call(player)\n    player: ada\n", "utf-8",
    )  # fmt: skip
    (folder / "tide.cavata").write_text(
        'language 2\nuse ada, call from "more/calls.cavata"\nforces\n    violin = violin\n'
        "movement first\n    section one 3 bars\n        violin: ada, 1 bar rest\n"
        "        passage call(violin) at bar 3\n", "utf-8",
    )  # fmt: skip
    (tmp_path / "elsewhere").mkdir()
    for here, piece in ((tmp_path, "tide"), (folder, "tide.cavata"), (tmp_path / "elsewhere", "../tide")):
        monkeypatch.chdir(here)
        assert main(["map", piece, "--links", "--out", str(tmp_path / "maps")]) == 0, capsys.readouterr().err
        tree = etree.parse(tmp_path / "maps" / "tide-map.svg").getroot()
        leads = {link.get("href", "").partition("#L")[0] for link in tree.iterfind("s:a", SVG)}
        assert leads == {"../tide/tide.cavata", "../tide/more/calls.cavata"}


OTHERS = """\
language 2
piece "Tide"
use french, german from ciphers
name tide_out = "TIDE" by french
name tide_in = "Tide" by german
name other_one = "ADA" by french
forces
    far_violin = violin
movement low_water
    section ebb_tide
        far_violin: tide_out, tide_in -> up P8, weave(tide_out, other_one)
    section slack "Slack water"
        far_violin: other_one
"""


def test_map_for_others_knows_no_folder_and_no_word_of_the_script(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever gets it never saw the script: names as they are written, titles, and identifiers as people read them."""
    script = tmp_path / "composers_own" / "tide.cavata"
    script.parent.mkdir()
    script.write_text(OTHERS, "utf-8")
    assert main(["map", str(script), "--out", str(tmp_path / "away")]) == 0
    picture = Path(capsys.readouterr().out.strip()).read_text("utf-8")
    assert "href" not in picture and "composers_own" not in picture and ".cavata" not in picture
    told = " ".join(etree.fromstring(picture.encode()).itertext())
    assert not re.search(r"\w_\w|\blane\b", told), told
    assert {"TIDE (tide out), top row", "Tide (tide in), second row", "ADA, third row"} <= {
        "".join(text.itertext()) for text in etree.fromstring(picture.encode()).iterfind(".//s:text", SVG)
    }
    assert "Low water, 0:00: 1 Ebb tide 0:00 · 2 Slack water" in told
    assert "woven letter by letter with ADA" in told and "Violin, Low water, bar 1" in told


def test_png_without_its_library(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    assert main(["map", str(WATCHES), "--to", "png", "--out", str(tmp_path)]) == 1
    assert holds_or_updates("O404", capsys.readouterr().err, request.config.getoption("--update"))
    assert not list(tmp_path.iterdir())


def test_folder_that_cannot_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file, no folder")
    assert main(["map", str(WATCHES), "--out", "taken"]) == 1
    told = capsys.readouterr()
    assert told.out == "" and holds_or_updates("O403", told.err, request.config.getoption("--update"))


def test_unknown_format_is_a_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(WATCHES), "--to", "bmp"]) == 2
    assert "there is no format `bmp`" in capsys.readouterr().err


def test_seconds_of_a_mark_are_exact() -> None:
    marks = mapped(NIGHT).marks
    assert marks and all(isinstance(found.begins, Fraction) and found.ends > found.begins for found in marks)
