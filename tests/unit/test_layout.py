"""How long music is reckoned to be, and what follows: new pages, a title page, a last page that is not filled."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.paper.layout import length_in_pages
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
RUN = "notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5)"


def page_of(path: Path, text: str | None = None) -> WrittenScore:
    compiled = compile_script(path, text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    return written(full_score(compiled.score))


@lru_cache
def piece(*bars: int, paper: str = "A4", more: str = "") -> WrittenScore:
    """Movements for piano of so many bars, and a row about the piece."""
    music = "".join(
        f"movement watch{number}\n    p.right: {RUN} x {count}\n    p.left: {RUN} -> down P8 x {count}\n"
        for number, count in enumerate(bars)
    )
    return page_of(Path("s.cavata"), f'language 2\npiece "P"\n    paper {paper}\n{more}forces\n    p = piano\n{music}')


@pytest.mark.parametrize(
    ("example", "pages"),
    [
        ("gallery/choir", 2), ("gallery/concerto", 2), ("gallery/piano", 1), ("gallery/string_quartet", 2),
        ("gallery/wind_quintet", 2), ("three-watches/three-watches", 12),
    ],
)  # fmt: skip
def test_length_is_about_that_of_the_engraved_pages(example: str, pages: int) -> None:
    """The pages of music that LilyPond 2.24 made of each example; the measure is coarse."""
    shown = page_of(EXAMPLES / f"{example}.cavata")
    paper = shown.header.paper
    reckoned = sum(length_in_pages(movement, shown.page.staff_size, paper) for movement in shown.movements)
    assert Fraction(5, 8) * pages <= reckoned <= Fraction(8, 5) * pages


@pytest.mark.slow
def test_long_movements_begin_pages_and_short_ones_do_not() -> None:
    """Common practice; the first movement stands under the title whatever its length."""
    begins = [movement.begins_page for movement in piece(4, 90, 4, 90).movements]
    assert begins == [False, False, False, True]
    text = lilypond_text(piece(4, 90, 4, 90)).split("\\score\n")
    assert ["\\pageBreak" in between for between in text[1:]] == [False, False, True, False]


def test_larger_paper_takes_longer_music_on_one_page() -> None:
    """A3 is half as high again as A4 (ISO 216), so that what fills a page of one need not fill one of the other."""
    assert piece(90, 24).movements[1].begins_page
    assert not piece(90, 24, paper="A3").movements[1].begins_page


def test_last_page_of_a_short_piece_is_not_spread_over_it() -> None:
    ragged = "    ragged-last-bottom = ##t\n"
    assert ragged in lilypond_text(piece(8)) and ragged not in lilypond_text(piece(60))


def test_long_score_has_a_title_page_and_a_short_one_none() -> None:
    assert piece(200).title_page is not None and piece(40).title_page is None


@pytest.mark.parametrize("paper", ["A4", "letter landscape"])
def test_margins_are_the_same_on_every_page_and_output(paper: str) -> None:
    """The wider margin is at the binding: left of a right-hand page, which has an odd number. Common practice."""
    shown = piece(4, paper=paper)
    text = lilypond_text(shown)
    printed = {name: float(mm) for name, mm in re.findall(r"    (inner|outer|top|bottom)-margin = ([\d.]+)\\mm", text)}
    assert printed["inner"] > printed["outer"] and len(printed) == 4
    defaults = ElementTree.fromstring(musicxml_bytes(shown, "watch0")).find("defaults")
    assert defaults is not None
    scale = float(defaults.findtext("scaling/millimeters", "")) / float(defaults.findtext("scaling/tenths", ""))
    for side, left, right in (("odd", "inner", "outer"), ("even", "outer", "inner")):
        for name, wanted in (("left", left), ("right", right), ("top", "top"), ("bottom", "bottom")):
            found = defaults.findtext(f"page-layout/page-margins[@type='{side}']/{name}-margin", "")
            assert float(found) * scale == pytest.approx(printed[wanted], abs=0.05)


@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_staff_is_as_high_in_both_outputs(paper: str) -> None:
    """LilyPond counts in printer's points, 72.27 to the inch of 25.4 mm (its Notation Reference on staff size, from
    memory), MusicXML in tenths of the distance between two of the five lines."""
    shown = piece(4, paper=paper)
    (points,) = re.findall(r"set-global-staff-size ([\d.]+)", lilypond_text(shown))
    defaults = ElementTree.fromstring(musicxml_bytes(shown, "watch0")).find("defaults")
    assert defaults is not None
    tenths = float(defaults.findtext("scaling/tenths", ""))
    height = float(defaults.findtext("scaling/millimeters", "")) / tenths * 40
    assert height == pytest.approx(float(points) * 25.4 / 72.27, abs=0.001)


@pytest.mark.parametrize(("paper", "free"), [("A4", "49.5"), ("A3", "70.0")])
def test_titles_stand_in_the_upper_third(paper: str, free: str) -> None:
    """A sixth of the sheet is left free above them: 297 and 420 mm are the heights of A4 and A3 (ISO 216)."""
    assert f"top-margin = {free}\\mm" in lilypond_text(piece(4, paper=paper, more="    title page\n"))
