"""Everything that is said on a page around the music, at the limits of each line; compared with kept text.

`pytest --update` writes it anew. The widths are choices, and what the lines say is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction as F
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, frame, leaf, line, movement, part, tempo

from cavata import resources
from cavata.lilypond.document import lilypond_text, sheet_text
from cavata.lilypond.frames import tempo_command
from cavata.lilypond.page import blank_pages, feet, preamble, text_settings, unnumbered
from cavata.lilypond.part import front_page, part_preamble, tacet_block
from cavata.lilypond.sheets import frame_text, whole_sheet
from cavata.lilypond.title_page import title_page_text
from cavata.lilypond.words import symbol_markup
from cavata.music.chord_symbol import parse_chord_symbol
from cavata.music.event import Marks
from cavata.names.paper import find_paper
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import Leaf, PageSetting, SungText, WrittenMovement, WrittenStaff
from cavata.record import replace
from cavata.score.score import CopyKind, Group, Header, Tempo, TitlePage

GOLDEN = Path(__file__).parent / "test_emit_lilypond_golden"
PAGE = PageSetting(F(20), 1, F(31, 2), F(7), True, True, True)
SMALL = replace(PAGE, staff_size=F(12), separated=False, later_room=F(0))
A3 = find_paper("A3")
assert A3 is not None


def letters(count: int) -> str:
    """Words of seven letters with a space between, so many letters in all."""
    return ("letters " * 100)[: count - 1] + "!"


def header(width: int = 20, **more: object) -> Header:
    """A header with text in every field, each so many letters long."""
    values: dict[str, object] = {
        name: letters(width) for name in (
            "title", "subtitle", "composer", "dedication", "poet", "arranger", "arranged_by", "copyright", "publisher",
            "number",
        )
    } | more  # fmt: skip
    return Header(**values)  # type: ignore[arg-type]  # fields


EVERYTHING = TitlePage(
    "2.2.2.2 - str", tuple(f"Player {n} of {letters(48)}" for n in range(10)), "about 3 min",
    (("One", "1 min"), (letters(60), "2 min")), ("How to read it.", letters(70)), ("Words: B. Poet", letters(60)),
)  # fmt: skip
BARE = TitlePage("", (), "", (), ())


def title_pages() -> Iterator[tuple[str, str]]:
    for width in (20, 24, 25, 44, 45, 54, 55, 60, 61):
        yield f"titles of {width} letters", title_page_text(BARE, header(width), F(20))
    for number in (1, 9, 10, 11):
        page = replace(BARE, forces=tuple(f"Player {n}" for n in range(number)))
        yield f"{number} lines of forces", title_page_text(page, Header("T"), F(16))
    for width in (56, 57, 112, 113, 168, 169):
        page = replace(BARE, forces=(letters(width),), movements=((letters(width), "1 min"),))
        yield f"a list of {width} letters", title_page_text(page, Header("T"), F(20))
    yield "everything", title_page_text(EVERYTHING, header(), F(20))
    yield "everything for small staves on A3", title_page_text(EVERYTHING, replace(header(), paper=A3), F(12))
    for width in (84, 85, 168, 169):
        yield f"notes of {width} letters", title_page_text(BARE, Header("T", notes=(letters(width), "so")), F(20))
        yield f"rights of {width} letters", title_page_text(BARE, Header("T", publisher=letters(width)), F(20))
    for width in (144, 145, 176, 177, 216, 217, 240, 241):
        page = replace(BARE, instrumentation=letters(2 * width), people=(letters(width),))
        yield f"titles of {width} letters", title_page_text(page, header(width), F(20))
    yield "nothing", title_page_text(BARE, Header(""), F(20))
    yield "forces in short", title_page_text(replace(BARE, instrumentation="str", length="long"), Header("T"), F(20))
    yield "length", title_page_text(replace(BARE, length="long"), Header("T"), F(20))
    yield "notes on reading", title_page_text(replace(BARE, notes=("One.",)), Header("T"), F(20))


def without_style(text: str) -> str:
    """The text without the blocks that never change."""
    before, _, after = text.partition("}\n\\paper\n{\n    top-margin")
    kept = re.split(r"^\\paper\n\{\n    oddFooterMarkup", after, flags=re.MULTILINE)
    return f"{before}}}\n...\n\\paper\n{{\n    oddFooterMarkup{kept[-1]}"


def heads_and_feet() -> Iterator[tuple[str, str]]:
    for width in (32, 33, 36, 37, 64, 65, 70, 71, 110, 111):
        yield f"a score's heads of {width} letters", without_style(preamble(header(width), PAGE, True))
    for width in (40, 41, 48, 49, 50, 51, 70, 71):
        part = header(width, kind=CopyKind.PART, reader=letters(width), foot=letters(width))
        yield f"a part's heads of {width} letters", without_style(part_preamble(part, PAGE, False))
    yield "a part that tells its pages", without_style(part_preamble(header(kind=CopyKind.PART), PAGE, True))
    for width in (28, 29, 36, 37, 54, 55):
        before = header(width, kind=CopyKind.PART, reader=letters(width))
        yield f"a page of {width} letters before a part that begins on the left", front_page(before)
    yield "without names", without_style(preamble(Header("T", reader="Horn"), SMALL, False))
    yield "on A3", without_style(preamble(header(37, paper=A3), SMALL, True))
    yield "very long titles", without_style(preamble(header(300), PAGE, True))
    for fields in ({}, {"copyright": "(c)"}, {"publisher": "P"}, {"number": "N"}, {"foot": "F"}, {"proof": True},
                   {"copyright": "(c)", "foot": "F"}):  # fmt: skip
        yield f"feet {fields}", feet(Header("T", **fields))  # type: ignore[arg-type]  # fields
    for size in ("20", "18", "16", "14", "12", "10.5", "9", "8"):
        yield f"settings for staves of {size} points", text_settings(F(size))
    yield "a sheet that is joined", unnumbered(True) + unnumbered(False)
    yield "empty pages", blank_pages(1) + blank_pages(3)
    for width in (50, 51):
        silent = WrittenMovement("a", letters(width), False, False, (frame(1, "4/4"),), (), tacet=True,
                                 heading=letters(width))  # fmt: skip
        yield f"a silent movement's heading of {width} letters", tacet_block(silent)


def tempi() -> Iterator[tuple[str, str]]:
    for beat in ("1/4", "3/8", "7/16", "1/16", "2", "3/2", "3", "5/8", "9/8", "1/12", "15/16", "1", "11/8"):
        for rate in ("60", "185/2") if beat != "1/4" else ("60", "185/2", "1000/3", "599/10", "6001/100", "1199/20"):
            yield f"{beat} = {rate}", "\n".join(tempo_command(tempo(beat, rate, words)) for words in ("", "So"))
    for width in (56, 57, 112, 168, 169):
        made = tempo("1/4", "60", letters(width))
        yield f"words of {width} letters", "\n".join((
            tempo_command(made), tempo_command(replace(made, per_minute=F(121, 2))),
            tempo_command(replace(made, metronome=False)),
            tempo_command(replace(made, metronome=False, until=F(3))),
            tempo_command(replace(made, equals=F(3, 8))),
        ))  # fmt: skip
    yield "an equation alone", tempo_command(Tempo(F(0), F(1, 4), F(60), equals=F(5, 8)))


def symbols() -> Iterator[tuple[str, str]]:
    qualities = ("", "m", "7", "maj7", "m7", "mmaj7", "dim", "dim7", "m7b5", "aug", "sus2", "sus4", "6", "m6", "9",
        "maj9",
                 "m9", "add9")  # fmt: skip
    for text in (*(f"C{quality}" for quality in qualities), "F#m7", "Bb", "C##", "Ebb", "C/E", "F#m7b5/A", "C/Bb"):
        yield text, symbol_markup(parse_chord_symbol(text))


def long_words() -> Iterator[tuple[str, str]]:
    """Names, letters, syllables and words at notes, as long as they may be and one letter longer."""

    def of(
        dressed: Leaf, label: str = "V", short: str = "V", group: str = "", title: str = "", **more: object
    ) -> str:  # fmt: skip
        staff = WrittenStaff("treble", (bar(dressed),))
        made = [part(name, label, short, staff) for name in ("one", "two")]
        frames = (frame(1, "4/4", **more),)
        groups = (Group("g", ("one", "two"), label=group, abbreviation=group),) if group else ()
        score = laid_out(Header("T", show_letters=True), groups, (movement("a", title, frames, tuple(made)),))
        text = lilypond_text(score).partition("\\score\n")[2]
        return "\n".join(row for row in text.splitlines() if "ett" in row)

    plain = leaf("D5:1")
    for width in (40, 41):
        yield f"letters of {width}", of(replace(plain, letters="letter" * 6 + "x" * (width - 36)))
        yield f"words of {width}", of(leaf("D5:1", words=(letters(width),)))
        yield f"who of {width}", of(leaf("D5:1", who=letters(width)))
        yield f"a section of {width}", of(plain, section=letters(width))
    for width in (80, 81):
        text = "letter" * 13 + "x" * (width - 78)
        yield f"a syllable of {width}", of(replace(plain, sung=(SungText(text),)))
    for width in (20, 21):
        yield f"a rehearsal mark of {width}", of(plain, rehearsal="letters" * 2 + "x" * (width - 14))
    for width in (50, 51, 150, 151):
        yield f"a title of {width}", of(plain, title=letters(width))
    for width in (120, 121):
        yield f"a section of {width}", of(plain, section=letters(width))
    for width in (160, 161):
        yield f"words of {width}", of(leaf("D5:1", words=(letters(width),), who=letters(width)))
    for width in (16, 17, 48, 49):
        yield f"a name of {width}", of(plain, label=letters(width), short=letters(width))
        yield f"a group of {width}", of(plain, group=letters(width))
    yield "a string", of(replace(plain, label_above=True, marks=Marks(label="letters", techniques=("pizzicato",))))
    yield "a line of the script", of(replace(plain, script_line="letters 12"))


@pytest.mark.parametrize("about", [title_pages, heads_and_feet, tempi, symbols, long_words])
def test_words_are_kept(about: object, request: pytest.FixtureRequest) -> None:
    text = "".join(f"% {name}\n{made.rstrip()}\n" for name, made in about())  # type: ignore[operator]  # those above
    stored = GOLDEN / f"{about.__name__}.ly"  # type: ignore[attr-defined]  # those above
    if request.config.getoption("--update"):
        stored.write_bytes(text.encode())
    assert text.splitlines() == stored.read_bytes().decode().splitlines()


def test_a_part_reports_its_layout_to_the_engraver_only() -> None:
    """A person who reads the text of a part need not see what only page turns are found by."""
    staff = WrittenStaff("treble", (bar(*line("D5:1")),))
    music = movement("first", "", (frame(1, "4/4"),), (part("v", "Violin", "Vln.", staff),))
    made = laid_out(Header("T", kind=CopyKind.PART), (), (music,))
    report = (Path(resources.__file__).parent / "lilypond" / "part_report.ily").read_text("utf-8")
    assert report in sheet_text(whole_sheet(made)) and report not in lilypond_text(made)
    assert lilypond_text(made) == sheet_text(whole_sheet(made), reports=False)


@pytest.mark.parametrize("pages", [1, 2, 32])
def test_what_stands_around_joined_music(pages: int) -> None:
    """The title page, if there is one, then so many empty pages; no room for names, and no sign between systems."""
    staff = WrittenStaff("treble", (bar(*line("D5:1")),))
    music = movement("first", "", (frame(1, "4/4"),), (part("v", "Violin", "Vln.", staff),))
    sheet = whole_sheet(laid_out(Header("T"), (), (music,)))
    plain, titled = frame_text(sheet, None, pages), frame_text(sheet, BARE, pages)
    empty = blank_pages(pages)
    assert plain.endswith(empty) and empty.count("\\markup \\null") == pages and empty.count("\\pageBreak") == pages - 1
    assert titled == plain.removesuffix(empty) + title_page_text(BARE, sheet.header, sheet.page.staff_size) + empty
    assert "    indent = 0\\mm\n    short-indent = 0\\mm\n}" in plain and "slashSeparator" not in plain
