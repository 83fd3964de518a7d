"""The index of names for other programs: one JSON document, or a table in CSV.

Both have the edition of their form, which rises when a field changes its meaning; fields may be added in one edition.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from cavata.source import Span
from cavata.tell.index import IndexedName, NameEntry, NameIndex, ThemeEntry
from cavata.tell.index_shown import form_text
from cavata.tell.language import Language
from cavata.tell.places import Place

FORM_EDITION = 1
COLUMNS = (
    "kind", "name", "as", "letters", "whole", "movement", "section", "bar", "bar_in_section", "beat", "parts",
    "form", "inflections", "seconds", "clock", "heard_again", "file", "line",
)  # fmt: skip
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def index_json(index: NameIndex, language: Language) -> dict[str, Any]:
    """The document; a letter's `statements` are numbers in its name's `statements`, counted from 0."""
    return {
        "index_edition": FORM_EDITION,
        "title": index.title,
        "seconds": float(index.length),
        "names": [_name(name, language) for name in index.names],
        "themes": [
            {
                "theme": theme.theme, "as": theme.by, **_place(theme.place), "parts": list(theme.parts),
                **_line(theme.line),
            }
            for theme in index.themes
        ],
    }  # fmt: skip


def _name(name: IndexedName, language: Language) -> dict[str, Any]:
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


def _statement(entry: NameEntry, language: Language) -> dict[str, Any]:
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


def _place(place: Place) -> dict[str, Any]:
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


def index_csv(index: NameIndex, language: Language) -> str:
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


def _statement_row(name: str, entry: NameEntry, language: Language) -> list[str]:
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


def _place_cells(place: Place) -> Iterator[str]:
    yield place.movement.name
    yield place.section
    yield "" if place.bar is None else str(place.bar)
    yield "" if place.bar_in_section is None else str(place.bar_in_section)
    yield place.beat


def _times(place: Place) -> Iterator[str]:
    yield f"{float(place.seconds):.3f}"
    yield place.clock
    yield ", ".join(f"{float(again):.3f}" for again in place.again)
