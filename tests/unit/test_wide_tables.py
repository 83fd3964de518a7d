"""Tables on a narrow terminal: none is wider than it, no word of one is lost, and files hold them as they are.

The tables are those of the commands' pages, which a test keeps to what the commands print.
"""

from __future__ import annotations

import io
import os
import re
import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.cli import pager, speaking
from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.lilypond.press import usual_at_once
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.text import columns, fitted_tables, folded, text_table, wrapped_text

TUTORIAL = folder("examples") / "tutorial" / "05-two-names.cavata"
RULE = re.compile(r"-+(?:  -+)+")
_CONSOLE = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PAGES = {path.stem: path.read_text("utf-8") for path in sorted((folder("grammar") / "commands").glob("*.md"))}


def tables(text: str) -> list[str]:
    """Every table of a text: its head, its rule and the rows up to an empty line."""
    lines = text.split("\n")
    found = []
    for at, line in enumerate(lines):
        if RULE.fullmatch(line):
            end = next((n for n in range(at, len(lines)) if not lines[n].strip()), len(lines))
            found.append("\n".join(lines[at - 1 : end]))
    return found


SHOWN = [(name, table) for name, page in PAGES.items() for block in _CONSOLE.findall(page) for table in tables(block)]


def test_commands_show_tables_that_are_too_wide() -> None:
    wide = {name for name, table in SHOWN if max(map(columns, table.split("\n"))) > 80}
    assert len(SHOWN) > 15 and len(wide) > 4, "or the tests below see nothing"


@pytest.mark.parametrize("width", [80, 60, 40])
def test_no_table_of_the_pages_is_wider_than_the_terminal(width: int) -> None:
    for name, table in SHOWN:
        made = fitted_tables(table, width)
        longest = max(map(columns, table.split()))
        assert max(map(columns, made.split("\n"))) <= max(width, longest + 20), (name, made)
        assert width < 80 or max(map(columns, made.split("\n"))) <= 80, (name, made)
        assert not Counter(letters(table)) - Counter(letters(made)), (name, made)
        assert made == table if max(map(columns, table.split("\n"))) <= width else made != table


def letters(table: str) -> str:
    """What is written in a table; its rules are hyphens, which are not counted."""
    return re.sub(r"[-\s]", "", table)


WORDS = st.text("abc1é漢", max_size=9)
CELLS = st.lists(WORDS, max_size=6).map(" ".join).map(str.strip)


@settings(max_examples=rounds(12))
@given(st.data())
def test_no_word_of_a_table_is_lost(data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 8))
    head = data.draw(st.lists(st.text("abcdef", min_size=1, max_size=9), min_size=count, max_size=count))
    rows = data.draw(st.lists(st.lists(CELLS, min_size=count, max_size=count), min_size=1, max_size=4))
    rows = [row for row in rows if any(row)]
    right = frozenset(data.draw(st.sets(st.integers(0, count - 1))))
    table = text_table(head, rows, right)
    width = data.draw(st.integers(24, 90))
    made = fitted_tables(table, width)
    assert max(map(columns, made.split("\n"))) <= width
    for row in rows:
        assert not Counter(letters("".join(row))) - Counter(letters(made))
    assert fitted_tables(table, 10_000) == table


def test_forms_in_which_a_table_is_laid_out_again() -> None:
    head = ("bar", "what", "why")
    table = text_table(head, [("12", "a long story of a note", "it came from a name")], frozenset({0}))
    assert fitted_tables(table, 48) == table
    assert fitted_tables(table, 40).splitlines() == [
        "bar  what              why",
        "---  ----------------  -----------------",
        " 12  a long story of   it came from a",
        "     a note            name",
    ]
    many = text_table(head * 3, [("12", "a long story of a note", "it came from a name") * 3], frozenset({0, 3, 6}))
    assert fitted_tables(many, 60).splitlines()[0] == "bar  what                    why                  bar"
    listed = fitted_tables(many, 30).splitlines()
    assert listed[:3] == ["bar   12", "what  a long story of a note", "why   it came from a name"]


# ------------------------------------------------------------------ sentences


def test_sentences_are_folded_at_words_and_stay_under_their_own() -> None:
    told = "a title\n\n    bar 1: cannot play G3 A3 at once\nFree time is counted as if strict.\n"
    assert wrapped_text(told, 80) == told
    assert wrapped_text(told, 24) == (
        "a title\n\n    bar 1: cannot play\n      G3 A3 at once\nFree time is counted as\nif strict.\n"
    )


@pytest.mark.parametrize("command", ["timings", "stats", "playing"])
def test_what_is_told_of_a_piece_fits_a_terminal(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main([command, str(TUTORIAL)]) == 0
    wide = capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "60")
    assert main([command, str(TUTORIAL)]) == 0
    told = capsys.readouterr().out
    assert max(map(columns, told.splitlines())) <= 60 < max(map(columns, wide.splitlines()))
    assert Counter(letters(told)) == Counter(letters(wide))


# ------------------------------------------------------------------ where the width comes from, and the pager


@pytest.fixture
def piece(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    monkeypatch.chdir(tmp_path)
    return ["study", "TAMSIN", "CORWEN"]


def test_width_is_that_of_the_terminal_or_of_columns(
    piece: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def widest() -> int:
        main(piece)
        return max(max(map(columns, table.split("\n"))) for table in tables(capsys.readouterr().out))

    monkeypatch.delenv("COLUMNS", raising=False)
    assert widest() > 100, "into a file a table goes as it is"
    monkeypatch.setenv("COLUMNS", "80")
    assert widest() <= 80
    monkeypatch.setenv("COLUMNS", "wide")
    assert widest() > 100
    monkeypatch.delenv("COLUMNS")
    monkeypatch.setattr("cavata.cli.speaking.sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.setattr(speaking.shutil, "get_terminal_size", lambda: os.terminal_size((70, 9999)))
    assert widest() <= 70


@pytest.mark.parametrize(
    ("words", "text"),
    [(["study", "TAMSIN", "CORWEN"], "WHAT THE NAMES SHARE"), (["playing", str(TUTORIAL)], "This is a guide")],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_long_text_goes_to_the_pager(
    words: list[str], text: str, capfd: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shown = tmp_path / "shown.txt"
    reader = tmp_path / "reader.py"
    reader.write_text(f"import sys; open({str(shown)!r}, 'wb').write(sys.stdin.buffer.read())", "utf-8")
    for stream in ("stdout", "stdin"):
        monkeypatch.setattr(f"sys.{stream}.isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("PAGER", f"{sys.executable} {reader}")
    for lines, paged in ((10, True), (100_000, False)):
        monkeypatch.setattr(pager.shutil, "get_terminal_size", lambda lines=lines: os.terminal_size((80, lines)))
        shown.unlink(missing_ok=True)
        assert main(words) == 0
        out = capfd.readouterr().out
        assert (shown.exists(), text in out) == (paged, not paged)
    monkeypatch.setattr(pager.shutil, "get_terminal_size", lambda: os.terminal_size((80, 10)))
    for none in ("", "cat", "no-such-program"):
        monkeypatch.setenv("PAGER", none)
        assert main(words) == 0
        assert text in capfd.readouterr().out


@pytest.mark.parametrize(("value", "colored"), [(None, True), ("", True), ("1", False)])
def test_no_color_counts_if_it_is_not_empty(value: str | None, colored: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Source: the convention of that name, by which an empty variable is none."""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    if value is not None:
        monkeypatch.setenv("NO_COLOR", value)
    assert speaking.in_color() is colored


# ------------------------------------------------------------------ messages

LONG = (
    "language 2\nforces\n    violin = violin\nmotif lamp = notes(1/4 C4 D4 E4 F4 G4 A4 B4 C5) -> retrograde -> up P5 "
    "-> from nowhere_at_all_in_this_script_or_any\n"
)


def messages(folder: Path, width: int | None) -> list[str]:
    script = folder / "long.cavata"
    script.write_text(LONG, "utf-8")
    return as_text(compile_script(script).bag.ordered(), width=width).splitlines()


@pytest.mark.parametrize("width", [40, 52, 66, 80, 100])
def test_a_message_fits_the_terminal_and_marks_the_same_word(width: int, tmp_path: Path) -> None:
    told, wide = messages(tmp_path, width), messages(tmp_path, None)
    assert max(map(len, told)) <= width < max(map(len, wide))
    for lines in (told, wide):
        mark = next(n for n, line in enumerate(lines) if "~" in line)
        begin = lines[mark].index("~")
        assert lines[mark - 1][begin:].startswith("nowhere_at_all"[: width - begin])
    heads = [" ".join(" ".join(lines).partition("to mend:")[2].split()) for lines in (told, wide)]
    assert heads[0] == heads[1] != ""


def test_what_is_quoted_is_broken_only_where_it_fits_no_line() -> None:
    text = "did you mean `cavata fit lantern` or `a very long command that no line holds`?"
    assert folded(text, 26, 10) == [
        "did you mean", "`cavata fit lantern` or `a", "very long command that no", "line holds`?"
    ]  # fmt: skip
    assert folded("see /a/path/that/is/longer/than/the/line now", 20) == [
        "see", "/a/path/that/is/longer/than/the/line", "now"
    ]  # fmt: skip
    assert folded("", 20) == [""]


def test_messages_are_folded_on_a_terminal_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def widest() -> int:
        assert main(["check", "long.cavata"]) == 1
        return max(map(len, capsys.readouterr().err.splitlines()))

    monkeypatch.chdir(tmp_path)
    Path("long.cavata").write_text(LONG, "utf-8")
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setenv("NO_COLOR", "1")
    assert widest() > 100
    monkeypatch.setattr("cavata.cli.check.Progress", lambda _: speaking.Progress(io.StringIO()))
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    assert widest() <= 60


@pytest.mark.parametrize("given", ["9" * 5000, "²", "-80", "0"])
def test_a_width_that_is_none_does_not_count(given: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", given)
    assert speaking.room() is None
    monkeypatch.setenv("CAVATA_AT_ONCE", given)
    assert usual_at_once() < 10_000


@pytest.mark.parametrize("command", ["", "combine", "explore", "completion", "manpage"])
def test_help_fits_a_terminal(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    with pytest.raises(SystemExit):
        main([*command.split(), "--help"])
    told = capsys.readouterr().out.splitlines()
    to_copy = "    cavata "  # and what argparse does not break
    assert [line for line in told if len(line) > 80 and not line.startswith(to_copy) and "[--rules" not in line] == []
