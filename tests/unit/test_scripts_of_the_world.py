"""Cyrillic, Greek, Hebrew, Arabic, Chinese, Japanese and Korean, and accents: widths, names, words, files and fonts."""

from __future__ import annotations

import io
import shutil
import subprocess
import unicodedata
from pathlib import Path

import mido
import pytest
import wcwidth
from music21 import converter

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Engraving, MissingGlyph
from cavata.lilypond.fonts import CJK, CORE, lacking
from cavata.lilypond.reports import engraved_files
from cavata.notate.sung_text import JOINER, joined
from cavata.pipeline import compile_script
from cavata.text import columns, shortened, wrapped

SAMPLES = (
    "Three Watches", "Три вахты", "Φάρος", "מִגְדַּלּוֹר", "مَنَارَة", "灯台の光", "ﾄｳﾀﾞｲ", "등대", "प्रकाशस्तम्भ", "ประภาคาร",
    "e\u0301le\u0301gie", "Žluťoučký kůň", "Việt Nam", "a\u200bb", "1/4 ♭ ♯ — …",
)  # fmt: skip


@pytest.mark.parametrize("text", SAMPLES)
def test_columns_are_those_of_a_terminal(text: str) -> None:
    """Source: the package wcwidth, which follows Unicode's tables; it reckons vowels beside a letter otherwise."""
    beside = sum(1 for sign in text if unicodedata.category(sign) == "Mc")
    assert columns(text) in (wcwidth.wcswidth(text), wcwidth.wcswidth(text) + beside)


@pytest.mark.parametrize("text", SAMPLES)
@pytest.mark.parametrize("width", [4, 7, 16])
def test_lines_keep_their_width_their_letters_and_their_accents(text: str, width: int) -> None:
    whole = f"{text} {text}{text} x"
    lines = wrapped(whole, width)
    assert all(0 < columns(line) <= width for line in lines)
    assert all(columns(line[0]) for line in lines)
    assert "".join(lines).replace(" ", "") == whole.replace(" ", "")
    assert columns(shortened(whole, width)) <= width


def test_chinese_is_broken_between_any_two_letters_but_a_word_is_not() -> None:
    assert wrapped("灯台の光 lighthouse", 10) == ["灯台の光", "lighthouse"]
    assert wrapped("灯台の光三つ", 8) == ["灯台の光", "三つ"]


DECOMPOSED = unicodedata.normalize("NFD", "élan")
COMPOSED = unicodedata.normalize("NFC", "élan")


def test_names_are_the_same_however_their_accents_were_typed() -> None:
    text = (
        f"language 2\nmotif {DECOMPOSED} = notes(1/4 C5 D5)\n"
        f"transform {COMPOSED}er(m) = m + m\nforces\n    fl\u00fbte = flute\n"
        f"movement first\n    flu\u0302te: {COMPOSED} -> {DECOMPOSED}er\n"
    )
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=text)
    assert compiled.bag.ordered() == () and compiled.score is not None
    assert [part.name for part in compiled.score.parts] == ["fl\u00fbte"]


def test_letter_typed_in_two_ways_has_one_note() -> None:
    text = (
        "language 2\ncipher own\n    letters A .. Z onto (C D E F G A B)\n    \u00c9 = F#\n"
        'name one = "\u00c9A" by own\nname two = "E\u0301A" by own\n'
        "forces\n    flute = flute\nmovement first\n    flute: one, two\n"
    )
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=text)
    assert compiled.score is not None, compiled.bag.ordered()
    heads = [str(e.event.heads[0].pitch) for e in compiled.score.movements[0].staves[0][0].voices[0]]
    assert heads[0] == heads[2] == "F#4"


def test_mark_that_is_decomposed_is_no_note() -> None:
    """`Á` typed as A and an accent is a name, though A alone is a note."""
    text = "language 2\nmotif A\u0301 = notes(1/4 C5)\nforces\n    flute = flute\nmovement m\n    flute: \u00c1\n"
    assert compile_script(Path("x.cavata"), "x.cavata", text=text).bag.ordered() == ()


PIECE = """language 2

piece "Маяк · Φάρος · מגדלור · منارة · 灯台"

forces
    сопрано = soprano, called "Сопрано 소프라노"

movement первая "第一楽章"
    сопрано: notes(1/4 C5 D5 E5 F5) -> sung "ма-як e\u0301-té"
"""


@pytest.fixture
def built(tmp_path: Path) -> Path:
    (tmp_path / "маяк.cavata").write_text(PIECE, encoding="utf-8")
    assert main(["build", str(tmp_path), "--to", "musicxml,midi,ly"]) == 0
    return tmp_path


def test_files_are_called_in_the_script_of_their_piece(built: Path) -> None:
    assert {path.name for path in built.iterdir()} == {
        "маяк.cavata", "маяк.mid", "маяк.ly", "маяк-первая.musicxml",
    }  # fmt: skip


def test_musicxml_says_the_words(built: Path) -> None:
    """Read back by music21."""
    score = converter.parse(built / "маяк-первая.musicxml", format="musicxml")
    assert score.metadata.title == "Маяк · Φάρος · מגדלור · منارة · 灯台"
    assert score.parts[0].partName == "Сопрано 소프라노"
    assert [note.lyric for note in score.recurse().notes] == ["ма", "як", "\u00e9", "té"]


def test_midi_says_the_words_as_utf_8(built: Path) -> None:
    """Read back by mido."""
    file = mido.MidiFile(file=io.BytesIO((built / "маяк.mid").read_bytes()), charset="utf-8")
    messages = [message for track in file.tracks for message in track]
    assert "Сопрано 소프라노" in [m.name for m in messages if m.type == "track_name"]
    assert [m.text for m in messages if m.type == "lyrics"] == ["ма-", "як", "\u00e9-", "té"]


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_page_says_the_words_or_the_message_names_what_is_missing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cyrillic and Greek are in LilyPond's own fonts; for the others there are fonts, or a message."""
    (tmp_path / "piece.cavata").write_text(PIECE, encoding="utf-8")
    assert main(["build", str(tmp_path), "--to", "pdf"]) == 0
    told = capsys.readouterr().err
    done = subprocess.run(["pdftotext", str(tmp_path / "piece.pdf"), "-"], capture_output=True, check=True)
    page = done.stdout.decode("utf-8")
    assert "Маяк" in page and "Φάρος" in page
    assert "灯台" in page or (CJK in told and "灯" in told)
    assert "소" in page or (CJK in told and "소" in told)
    assert "Hebrew" in told or "מגדלור"[0] in page
    assert "Arabic" in told or set(page) & set("منارة" + "\ufee3\ufee8\ufe8e\ufead\ufe93")


# ------------------------------------------------------------------------------------------ missing fonts


@pytest.mark.parametrize(
    ("character", "script", "package"),
    [
        ("日", "Chinese, Japanese or Korean", CJK), ("か", "Chinese, Japanese or Korean", CJK),
        ("빛", "Chinese, Japanese or Korean", CJK), ("ｱ", "Chinese, Japanese or Korean", CJK),
        ("「", "Chinese, Japanese or Korean", CJK), ("מ", "Hebrew", CORE), ("م", "Arabic", CORE),
        ("क", "Devanagari", CORE), ("ा", "Devanagari", CORE), ("ค", "Thai", CORE), ("ա", "Armenian", CORE),
        ("\u0301", "", CORE), ("☃", "", CORE), ("\ue123", "", ""), ("\U000f1234", "", ""),
    ],
)  # fmt: skip
def test_package_goes_by_the_script(character: str, script: str, package: str) -> None:
    """Source: the lists of files of Debian 12's packages fonts-noto-core and fonts-noto-cjk."""
    assert [(group.script, group.package) for group in lacking(character)] == [(script, package)]


def test_one_message_for_each_script() -> None:
    missing = tuple(MissingGlyph(sign, "") for sign in sorted(set("灯台の光三つの見張り夜警鐘海波מגדלור")))
    bag = Diagnostics()
    list(engraved_files(Engraving((), missing), "x", bag))
    said = [(d.code, d.message, d.cure) for d in bag.ordered()]
    assert [code for code, *_ in said] == ["O206", "O206"]
    assert "Chinese, Japanese or Korean characters" in said[0][1] and said[0][1].endswith("and 2 more")
    assert CJK in said[0][2]
    assert "Hebrew characters" in said[1][1] and CORE in said[1][2]


def test_mark_without_a_font_is_shown_on_a_circle() -> None:
    bag = Diagnostics()
    list(engraved_files(Engraving((), (MissingGlyph("\u093e", ""),)), "x", bag))
    assert "`\u25cc\u093e` (U+093E)" in bag.ordered()[0].message


# ------------------------------------------------------------------------------------------ joined letters


@pytest.mark.parametrize(
    ("text", "before", "goes_on", "whole"),
    [
        ("مَ", "", True, "مَ" + JOINER),
        ("نا", "مَ", True, JOINER + "نا"),
        ("رَة", "نا", False, "رَة"),
        ("تُ", "بَيْ", True, JOINER + "تُ" + JOINER),
        ("ма", "", True, "ма"),
        ("גְ", "מִ", True, "גְ"),
    ],
)
def test_arabic_syllables_keep_the_forms_of_their_word(text: str, before: str, goes_on: bool, whole: str) -> None:
    """Alif, dal, ra, waw and their kin are not joined to the next letter. Source: the Unicode Standard, 9.2."""
    assert joined(text, before, goes_on) == whole
