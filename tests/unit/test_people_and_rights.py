"""Poet, arranger, rights, publisher, number and notes stand where the trade puts them, in score, parts and MusicXML.

Sources: the places on the page are common practice; the page is read with Poppler's `pdftotext`. MusicXML: the
standard types of `creator` are composer, lyricist and arranger (W3C, MusicXML 4.0, element `creator`, from memory);
the document is held against its schema in `tests/published` and read with music21 here.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from xml.etree import ElementTree

import music21
import pytest

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave, find_lilypond
from cavata.lilypond.engraving import Engraving
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script

ROWS = {
    "composer": "Ada Lind", "poet": "Emily Dickinson", "arranger": "Bo Hart", "copyright": "© 2026 Ada Lind",
    "publisher": "Lamp Editions", "number": "LE 104", "note": "Grace notes stand before the beat.",
}  # fmt: skip
SCRIPT = """\
language 2
piece "The Ferry"
{rows}forces
    violin = violin
    viola = viola
movement first
    tempo 1/4 at 60
    violin, viola: notes(1/4 D5 E5 F#5 A5) x {times}
"""


def pages(rows: dict[str, str], times: int = 4) -> dict[str, WrittenScore]:
    """Score and parts by their suffix."""
    said = "".join(f'    {word} "{text}"\n' for word, text in rows.items())
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=SCRIPT.format(rows=said, times=times))
    assert compiled.score is not None, compiled.bag.ordered()
    made = copies(compiled.score, WantedCopies(parts=None), Diagnostics())
    return {copy.suffix: notate(copy.score) for copy in made}


def printed(page: WrittenScore, folder: Path) -> list[str]:
    """The text of each engraved page, laid out as it stands there."""
    made = engrave(lilypond_text(page), frozenset(("pdf",)))
    assert isinstance(made, Engraving), made
    path = folder / "page.pdf"
    path.write_bytes(made.of("pdf")[0].data)
    read = subprocess.run(("pdftotext", "-layout", str(path), "-"), capture_output=True, text=True, check=True)
    return read.stdout.split("\f")[:-1]


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs Poppler")
@pytest.mark.skipif(find_lilypond() is None, reason="needs LilyPond")
def test_they_stand_in_their_places_on_the_page(tmp_path: Path) -> None:
    made = pages(ROWS, 120)
    title, *music = printed(made[""], tmp_path)
    for text in ("Words: Emily Dickinson", "Arrangement: Bo Hart", *map(ROWS.get, ("note", "publisher", "number"))):
        assert text and text in title, text
    for shown in (music, printed(made["-viola"], tmp_path)):
        lines = shown[0].splitlines()
        (people,) = [line for line in lines if "Emily Dickinson" in line]
        assert people.index("Emily Dickinson") < people.index("Ada Lind")
        arranged = next(number for number, line in enumerate(lines) if "arr. Bo Hart" in line)
        assert arranged > lines.index(people)
        filled = [line.strip() for line in lines if line.strip()]
        assert filled[-3:] == ["© 2026 Ada Lind", "Lamp Editions", "LE 104"]
        assert len(shown) > 1
        for later in shown[1:]:
            assert "© 2026" not in later and "Lamp Editions" not in later
            assert [line.strip() for line in later.splitlines() if line.strip()][-1] == "LE 104"


def test_musicxml_names_them() -> None:
    document = musicxml_bytes(pages(ROWS)[""], "first")
    read = music21.converter.parseData(document.decode(), format="musicxml")
    assert read.metadata.composer == "Ada Lind"
    assert read.metadata.lyricist == "Emily Dickinson"
    assert read.metadata.arranger == "Bo Hart"
    assert str(read.metadata.copyright) == "© 2026 Ada Lind"
    root = ElementTree.fromstring(document)
    found = list(root.iter("credit"))
    credits = {(c.findtext("credit-type"), c.findtext("credit-words")): c.find("credit-words") for c in found}
    poet, composer = credits["lyricist", "Emily Dickinson"], credits["composer", "Ada Lind"]
    assert poet is not None and composer is not None
    assert poet.get("default-y") == composer.get("default-y") and poet.get("justify") == "left"
    assert ("rights", "© 2026 Ada Lind") in credits and ("arranger", "arr. Bo Hart") in credits
    fields = {f.get("name"): f.text for f in root.iter("miscellaneous-field")}
    assert fields == {
        "publisher": "Lamp Editions", "edition number": "LE 104", "performance note": ROWS["note"],
    }  # fmt: skip


def test_score_with_a_note_has_a_title_page_however_short() -> None:
    assert pages({"note": "Softly."})[""].title_page is not None
    assert pages({"poet": "Emily Dickinson"})[""].title_page is None


@pytest.mark.parametrize("word", ROWS)
def test_each_row_alone_is_told_by_compare_and_seen_in_an_output(word: str) -> None:
    bare, changed = pages({})[""], pages({word: ROWS[word]})[""]
    assert lilypond_text(bare) != lilypond_text(changed)
    assert musicxml_bytes(bare, "first") != musicxml_bytes(changed, "first")
