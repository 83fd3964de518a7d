"""The index of names as tables for the terminal."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from cavata.music.event import Letter
from cavata.score.forms import Form
from cavata.source import Span
from cavata.tell.index import IndexedName, NameEntry, NameIndex
from cavata.tell.language import LanguageWords
from cavata.tell.places import NamedPlace
from cavata.tell.themes import ThemeEntry
from cavata.text import text_table

NONE = "-"


def index_text(index: NameIndex, language: LanguageWords) -> str:
    """Coverage first, then each name with its places and letters, then the themes."""
    if not index.names:
        return f"{index.title}\n\nNo name sounds in this piece.\n" + _themes(index)
    blocks = [index.title, "WHAT EACH MOVEMENT HAS OF EACH NAME\n\n" + _coverage(index.names)]
    blocks += [block for name in index.names for block in _name_in_words(name, language)]
    return "\n\n".join(block.rstrip("\n") for block in blocks) + "\n" + _themes(index)


def _coverage(names: Sequence[IndexedName]) -> str:
    movements = [movement.movement for movement in names[0].coverage]
    rows = []
    for name in names:
        cells = [
            f"{spelled(name, c.heard)} {_counted(c.whole, c.statements)}" if c.statements else NONE
            for c in name.coverage
        ]  # fmt: skip
        never = " ".join(letter.text for letter in name.never_heard)
        rows.append((name.name, *cells, never or NONE))
    return text_table(("name", *movements, "never heard"), rows)


def _counted(whole: int, statements: int) -> str:
    """`x2` for whole statements; `x1, in part x1` where some lack letters."""
    counts = (("", whole), ("in part ", statements - whole))
    return ", ".join(f"{how}x{count}" for how, count in counts if count)


def spelled(name: IndexedName, heard: frozenset[int]) -> str:
    """The letters of a name, a dot for each that is not heard."""
    return "".join(letter.text if letter.position in heard else "." for letter in name.letters)


def _name_in_words(name: IndexedName, language: LanguageWords) -> Iterator[str]:
    if not name.entries:
        yield f"{name.name}: never heard"
        return
    count = len(name.entries)
    whole = sum(entry.whole for entry in name.entries)
    title = f"{name.name}: {count} statement{'s' * (count > 1)}, {whole} of them whole"
    title += f", {count - whole} in part" if whole < count else ""
    yield f"{title}\n\n" + text_table(
        ("clock", "movement", "section", "bar", "beat", "parts", "letters", "form", "inflected", "line"),
        [_row(entry, language) for entry in name.entries], frozenset({0, 3}),
    )  # fmt: skip
    yield f"{name.name}: letter by letter\n\n" + text_table(
        ("", "letter", "statements", "first heard"), [_letter(letter, name) for letter in name.letters],
        frozenset({0, 2}),
    )  # fmt: skip


def _row(entry: NameEntry, language: LanguageWords) -> tuple[str, ...]:
    place, statement = entry.place, entry.statement
    inflected = ", ".join(f"{letter} {how}" for letter, how in statement.inflections)
    return (
        ", ".join(place.clocks), place.movement.name, place.section or NONE, printed_bar(place), place.beat,
        ", ".join(entry.short_parts), "".join(letter.text for letter in statement.letters),
        form_text(entry, language), inflected or NONE, str(statement.line.line),
    )  # fmt: skip


def printed_bar(place: NamedPlace) -> str:
    """The bar as printed; free time has none, and its beat is what has gone by since it began."""
    return "free" if place.bar is None else str(place.bar)


def form_text(entry: NameEntry, language: LanguageWords, called: Mapping[str, str] | None = None) -> str:
    """The forms in words, with what a name is woven with: as the script calls it, if nothing else is given."""
    others = [(called or {}).get(name, name) for name in entry.statement.with_names]
    words = [
        f"{language.form(form)} with {language.listed(others)}"
        if form is Form.WOVEN and entry.statement.with_names else language.form(form)
        for form in entry.forms
    ]  # fmt: skip
    return ", ".join(words) or language.text("form-prime")


def _letter(letter: Letter, name: IndexedName) -> tuple[str, str, str, str]:
    heard = [e for e in name.entries if letter.position in e.statement.positions]
    first = f"{heard[0].place.clock} {heard[0].place.movement.name}" if heard else "never heard"
    return str(letter.position), letter.text, str(len(heard)), first


def _themes(index: NameIndex) -> str:
    if not index.themes:
        return ""
    rows = []
    for theme in dict.fromkeys(entry.theme for entry in index.themes):
        for entry in index.themes:
            if entry.theme == theme:
                rows.append((
                    theme, NONE if entry.by == theme else entry.by, entry.place.clock, entry.place.movement.name,
                    entry.place.section or NONE, printed_bar(entry.place), entry.place.beat,
                    ", ".join(entry.short_parts), str(entry.line.line),
                ))  # fmt: skip
    head = ("theme", "as", "clock", "movement", "section", "bar", "beat", "parts", "line")
    return "\nTHEMES\n\n" + text_table(head, rows, frozenset({2, 5}))


# ----------------------------------------------------------------
# The index of names for other programs: one JSON document, or a table in CSV.
#
# Both have the edition of their form, which rises when a field changes its meaning; fields may be added in one edition.


FORM_EDITION = 1
COLUMNS = (
    "kind", "name", "as", "letters", "whole", "movement", "section", "bar", "bar_in_section", "beat", "parts",
    "form", "inflections", "seconds", "clock", "heard_again", "file", "line",
)  # fmt: skip
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def index_json(index: NameIndex, language: LanguageWords) -> dict[str, Any]:
    """The document; a letter's `statements` are numbers in its name's `statements`, counted from 0."""
    return {
        "index_edition": FORM_EDITION,
        "title": index.title,
        "seconds": float(index.length),
        "names": [_name_as_data(name, language) for name in index.names],
        "themes": [
            {
                "theme": theme.theme, "as": theme.by, **_place(theme.place), "parts": list(theme.parts),
                **_line(theme.line),
            }
            for theme in index.themes
        ],
    }  # fmt: skip


def _name_as_data(name: IndexedName, language: LanguageWords) -> dict[str, Any]:
    return {
        "name": name.name,
        "letters": [
            {
                "letter": letter.text, "position": letter.position,
                "statements": [n for n, e in enumerate(name.entries) if letter.position in e.statement.positions],
            }
            for letter in name.letters
        ],
        "never_heard": [letter.text for letter in name.never_heard],
        "coverage": [
            {
                "movement": c.movement, "statements": c.statements, "whole": c.whole, "notes": c.notes,
                "letters": sorted(c.heard),
            }
            for c in name.coverage
        ],
        "statements": [_statement(entry, language) for entry in name.entries],
    }  # fmt: skip


def _statement(entry: NameEntry, language: LanguageWords) -> dict[str, Any]:
    said = entry.statement
    return {
        **_place(entry.place),
        "letters": [letter.text for letter in said.letters],
        "positions": [letter.position for letter in said.letters],
        "whole": entry.whole,
        "parts": list(entry.parts),
        "forms": [form.value for form in entry.forms],
        "in_words": form_text(entry, language),
        "steps": list(said.steps),
        "with": list(said.with_names),
        "inflections": [{"letter": letter, "how": how} for letter, how in said.inflections],
        "notes": said.notes,
        **_line(said.line),
    }


def _place(place: NamedPlace) -> dict[str, Any]:
    return {
        "movement": place.movement.name,
        "section": place.section or None,
        "bar": place.bar,
        "bar_in_section": place.bar_in_section,
        "beat": place.beat,
        "seconds": float(place.seconds),
        "clock": place.clock,
        "heard_again": [float(again) for again in place.again],
    }


def _line(span: Span) -> dict[str, Any]:
    return {"file": span.source.name, "line": span.line}


# ------------------------------------------------------------------ CSV


def index_csv(index: NameIndex, language: LanguageWords) -> str:
    """A row for each statement and each theme, under one row of headings; cells that a sheet would compute are quoted.

    The form is that of RFC 4180, with line feeds for line ends.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for name in index.names:
        writer.writerows([_safe(cell) for cell in _statement_row(name.name, entry, language)] for entry in name.entries)
    writer.writerows([_safe(cell) for cell in _theme_row(theme)] for theme in index.themes)
    return out.getvalue()


def _safe(cell: str) -> str:
    """A text that no sheet takes for a formula."""
    return f"'{cell}" if cell.startswith(_STARTS_A_FORMULA) else cell


def _statement_row(name: str, entry: NameEntry, language: LanguageWords) -> list[str]:
    said = entry.statement
    return [
        "name", name, name, " ".join(letter.text for letter in said.letters), "yes" if entry.whole else "no",
        *_place_cells(entry.place), ", ".join(entry.parts), form_text(entry, language),
        ", ".join(f"{letter} {how}" for letter, how in said.inflections), *_times(entry.place),
        said.line.source.name, str(said.line.line),
    ]  # fmt: skip


def _theme_row(entry: ThemeEntry) -> list[str]:
    return [
        "theme", entry.theme, entry.by, "", "", *_place_cells(entry.place), ", ".join(entry.parts), "", "",
        *_times(entry.place), entry.line.source.name, str(entry.line.line),
    ]  # fmt: skip


def _place_cells(place: NamedPlace) -> Iterator[str]:
    yield place.movement.name
    yield place.section
    yield "" if place.bar is None else str(place.bar)
    yield "" if place.bar_in_section is None else str(place.bar_in_section)
    yield place.beat


def _times(place: NamedPlace) -> Iterator[str]:
    yield f"{float(place.seconds):.3f}"
    yield place.clock
    yield ", ".join(f"{float(again):.3f}" for again in place.again)
