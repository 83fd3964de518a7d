"""Nothing a script says can act on the page or beyond it: every word of the user stays inside a string literal."""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.instruments.instrument import Instrument
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.lilypond.literals import ly_string
from cavata.music.event import Marks
from cavata.music.pitch import Interval, parse_pitch
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import (
    Frame,
    Leaf,
    WrittenBar,
    WrittenHead,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    WrittenStaff,
)
from cavata.score.score import Group, Header, Meter, Part, Tempo
from cavata.source import Source, Span

FIELDS = (
    "title", "subtitle", "composer", "dedication", "label", "abbreviation", "movement", "section", "rehearsal",
    "tempo", "words", "letters",
)  # fmt: skip
PIECES = (
    '"', "\\", '\\"', '"}', "}#(", '#(system "touch x")', "$(exit 3)", "#{ c4 #}", "\\include", "%{", "%}", "%", "\n",
    "\r", "\x00", "\x85", "\u2028", "\u2029", "\x1b[2J", "\ud800", "\udfff", "\ufffe", "\u202e", "日", "שלום", "a",
    " ", "{", "}", "<<", ">>", "\\times 2/3", "\\markup", "\\break", "'", "`", "é", "😀", "#", "$", "\\\\", "~", "|",
)  # fmt: skip
WORST = (
    '"}#(system "touch FILE")', '\\"}#(system "touch FILE")', '#(system "touch FILE")', '$(system "touch FILE")',
    '\\"#(system \\"touch FILE\\")', '"} \\include "FILE" {"', '%{ "} #(system "touch FILE")', '" #(exit 3) "', "\\\\",
    '\\', '"', '\\\\"', '} } } >> }', '\\markup { \\column { "', "#{ c4 #}", "\\verbatim-file \"FILE\"", "%", "%}",
    "\\times 2/3", "'(a . b)", "\\\\\\", '\\"\\"', "| % 1", "\\break \\score {", "a\nb", "tab\tbed", "x\x00y",
    "\ud800 lone", "bell\x07", "\x1b[2J clear", "next\x85line", "line\u2028parted", "&lt;&amp;", "<b>&nbsp;",
    "%s %d {0}",
)  # fmt: skip
SURELY_SHOWN = {"letters": 40, "label": 24, "abbreviation": 24, "rehearsal": 20}
"""Characters that are never cut, where there is little room."""


def score_saying(say: Callable[[str], str], staves: int = 2) -> WrittenScore:
    """One bar a movement, with something said in every field there is; `say` is asked field by field."""
    span = Span(Source("x.cavata", ""), 0, 0)
    pitch = parse_pitch("C5")
    violin = Instrument(
        "violin", "strings", 0, "Violin", "Vln.", "Violins", ("treble",), pitch, pitch, None, Interval(0, 0), 40, None,
        ("",), "test",
    )  # fmt: skip
    parts = []
    for number in range(staves):
        marks = Marks(dynamic="p", words=(say("words"),))
        note = Leaf(Fraction(1), 0, (WrittenHead(pitch, ()),), marks, letters=say("letters"))
        part = Part(f"v{number}", violin, say("label"), say("abbreviation"), False, span)
        parts.append(WrittenPart(part, (WrittenStaff("treble", (WrittenBar(((note,),), 0),)),), False))
    frame = Frame(
        1, Fraction(1), Meter(4, 4, (1, 1, 1, 1)), True,
        ((Fraction(0), Tempo(Fraction(0), Fraction(1, 4), Fraction(60), say("tempo"))),),
        say("section"), say("rehearsal"), False, "final",
    )  # fmt: skip
    header = Header(say("title"), say("subtitle"), say("composer"), say("dedication"), show_letters=True)
    movement = WrittenMovement("first", say("movement"), False, False, (frame,), tuple(parts))
    groups = (Group("all", tuple(one.part.name for one in parts)),)
    return laid_out(header, groups, (movement,))


def only(field: str, words: str) -> Callable[[str], str]:
    """Says the words in one field and something harmless in the others."""
    return lambda asked: words if asked == field else "harmless"


def cut(text: str) -> tuple[str, list[str]]:
    """The .ly without what its string literals say, and what they say, by LilyPond's rules for a literal."""
    outside, inside = [], []
    place = 0
    while place < len(text):
        if text[place] == "%":
            assert not text.startswith("%{", place)
            place = text.index("\n", place)
        elif text[place] == '"':
            literal = re.compile(r'"((?:[^"\\]|\\["\\])*)"', re.DOTALL).match(text, place)
            assert literal, text[place : place + 80]
            inside.append(re.sub(r"\\(.)", r"\1", literal[1]))
            outside.append('""')
            place = literal.end()
        else:
            outside.append(text[place])
            place += 1
    return "".join(outside), inside


def shape(text: str) -> str:
    """The .ly outside its literals; lines of one text, and the room that its length asks for, count as one."""
    outside, _ = cut(text)
    outside = re.sub(r'\\(?:center-|right-)?column \{(?: "")+ \}', '""', outside)
    outside = re.sub(r"indent = [\d.]+", "indent = 0", outside)
    outside = re.sub(r" *\\once \\override TextScript\.extra-spacing-width = #'\(0 \. 0\.3\)\n", "", outside)
    return re.sub(r'\\tempo \\markup \\general-align #Y #DOWN ""', '\\\\tempo ""', outside)


HARMLESS = shape(lilypond_text(score_saying(lambda field: "harmless")))


def test_harmless_words_are_found_where_they_were_put() -> None:
    """The tokenizer sees them all: each field once, title and composer again as the PDF's own."""
    _, inside = cut(lilypond_text(score_saying(lambda field: f"~{field}")))
    said = [text for text in inside if text.startswith("~")]
    assert sorted(set(said)) == sorted(f"~{field}" for field in FIELDS)


def test_unescaped_words_would_change_the_shape() -> None:
    """The check can fail: what it is meant to catch it does catch."""
    text = lilypond_text(score_saying(lambda field: "harmless"))
    assert shape(text.replace('"harmless"', '"harm" #(system "touch x") "less"', 1)) != HARMLESS


@pytest.mark.slow
@settings(max_examples=rounds(72), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=12).map("".join), st.sampled_from((*FIELDS, "all")))
def test_words_made_of_syntax_stay_in_their_literals(words: str, where: str) -> None:
    words = "q" + words
    text = lilypond_text(score_saying(lambda field: words if where in (field, "all") else "harmless"))
    assert shape(text) == HARMLESS
    text.encode("utf-8")


@settings(max_examples=rounds(36), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(st.characters(exclude_categories=()), max_size=80))
@example("%!")
@example("a tide %! of 3")
def test_any_words_stay_in_their_literals(words: str) -> None:
    text = lilypond_text(score_saying(lambda field: "q" + words))
    assert shape(text) == HARMLESS
    text.encode("utf-8")


@given(st.text(st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp"))))
@example("\uf900")
def test_literal_gives_back_its_text(words: str) -> None:
    """By LilyPond's rules: a backslash takes the next sign as it is. Letters and their marks come composed (NFC).

    Quotes are those of print.
    """
    shape_of, (given_back,) = cut(ly_string(words))
    assert shape_of == '""' and typed(given_back) == typed(unicodedata.normalize("NFC", words))


@pytest.mark.parametrize("field", FIELDS)
def test_ten_thousand_signs_leave_the_page_whole(field: str) -> None:
    for words in ("x" * 10_000, "word " * 2_000, '"' * 10_000):
        text = lilypond_text(score_saying(only(field, words)))
        assert shape(text) == HARMLESS
        assert len(text) < len(lilypond_text(score_saying(only(field, "x")))) + 1_000


def test_blank_words_leave_out_their_line() -> None:
    text = lilypond_text(score_saying(lambda field: " \t\n"))
    assert "subtitle =" not in text and "dedication =" not in text and "piece =" not in text


def typed(text: str) -> str:
    """The text as a typewriter has it, whose quotes and apostrophes are one sign each."""
    return text.translate(str.maketrans("\u2018\u2019\u201c\u201d", "''\"\""))


def squeezed(text: str) -> str:
    """The text as a page may give it back: no blanks, no ligatures, no signs that do not print, typewriter's quotes."""
    kept = (sign for sign in typed(unicodedata.normalize("NFKC", text)) if unicodedata.category(sign)[0] not in "ZC")
    return "".join(kept)


@pytest.fixture
def short_folder() -> Iterator[Path]:
    """A folder with a path so short that no line of the page is broken in it."""
    with tempfile.TemporaryDirectory(prefix="v") as folder:
        yield Path(folder)


@pytest.mark.slow
def test_the_worst_words_engrave_as_words(short_folder: Path) -> None:
    """A few dozen at once, in every field: nothing is run, and the page says all of them."""
    touched = short_folder / "t"
    said: list[str] = []

    def say(field: str) -> str:
        words = f"{WORST[len(said) % len(WORST)].replace('FILE', str(touched))} q{len(said)}."
        said.append(words[: SURELY_SHOWN.get(field)])
        return words

    score = score_saying(say, staves=9)
    assert len(said) > len(WORST)
    text = lilypond_text(replace(score, movements=score.movements * 3))
    engraving = engrave(text, frozenset({"pdf"}))
    assert isinstance(engraving, Engraving), engraving
    assert not touched.exists()
    assert list(short_folder.iterdir()) == []
    reader = shutil.which("pdftotext")
    if reader:
        page = short_folder / "page.pdf"
        page.write_bytes(engraving.files[0].data)
        read = subprocess.run([reader, "-raw", page, "-"], capture_output=True, check=True).stdout.decode()
        lost = [words for words in said if squeezed(words.replace("\ud800", "")) not in squeezed(read)]
        assert lost == []
