"""The index of names as tables for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.discover.text_table import text_table
from cavata.music.origin import Letter
from cavata.score.clock import clock_text
from cavata.tell.forms import Form
from cavata.tell.index import IndexedName, NameEntry, NameIndex
from cavata.tell.language import Language
from cavata.tell.places import Place

NONE = "-"


def index_text(index: NameIndex, language: Language) -> str:
    """Coverage first, then each name with its places and letters, then the themes."""
    if not index.names:
        return f"{index.title}\n\nNo name sounds in this piece.\n" + _themes(index)
    blocks = [index.title, "WHAT EACH MOVEMENT HAS OF EACH NAME\n\n" + _coverage(index.names)]
    blocks += [block for name in index.names for block in _name(name, language)]
    return "\n\n".join(block.rstrip("\n") for block in blocks) + "\n" + _themes(index)


def _coverage(names: Sequence[IndexedName]) -> str:
    movements = [movement.movement for movement in names[0].coverage]
    rows = []
    for name in names:
        cells = [
            f"{spelled(name, c.heard)} x{c.statements}" if c.statements else NONE for c in name.coverage
        ]  # fmt: skip
        never = " ".join(letter.text for letter in name.never_heard)
        rows.append((name.name, *cells, never or NONE))
    return text_table(("name", *movements, "never heard"), rows)


def spelled(name: IndexedName, heard: frozenset[int]) -> str:
    """The letters of a name, a dot for each that is not heard."""
    return "".join(letter.text if letter.position in heard else "." for letter in name.letters)


def _name(name: IndexedName, language: Language) -> Iterator[str]:
    if not name.entries:
        yield f"{name.name}: never heard"
        return
    count = len(name.entries)
    whole = sum(entry.whole for entry in name.entries)
    title = f"{name.name}: {count} statement{'s' * (count > 1)}, {whole} of them whole"
    yield f"{title}\n\n" + text_table(
        ("clock", "movement", "section", "bar", "beat", "parts", "letters", "form", "inflected", "line"),
        [_row(entry, language) for entry in name.entries], frozenset({0, 3}),
    )  # fmt: skip
    yield f"{name.name}: letter by letter\n\n" + text_table(
        ("", "letter", "statements", "first heard"), [_letter(letter, name) for letter in name.letters],
        frozenset({0, 2}),
    )  # fmt: skip


def _row(entry: NameEntry, language: Language) -> tuple[str, ...]:
    place, statement = entry.place, entry.statement
    clock = place.clock + "".join(f", {clock_text(again)}" for again in place.again)
    inflected = ", ".join(f"{letter} {how}" for letter, how in statement.inflections)
    return (
        clock, place.movement.name, place.section or NONE, bar_text(place), place.beat, ", ".join(entry.short_parts),
        "".join(letter.text for letter in statement.letters), form_text(entry, language), inflected or NONE,
        str(statement.line.line),
    )  # fmt: skip


def bar_text(place: Place) -> str:
    """The bar as printed; free time has none, and its beat is what has gone by since it began."""
    return "free" if place.bar is None else str(place.bar)


def form_text(entry: NameEntry, language: Language) -> str:
    """The forms in plain words, with what a name is woven with."""
    words = [
        f"{language.form(form)} with {language.listed(entry.statement.with_names)}"
        if form is Form.WOVEN and entry.statement.with_names else language.form(form)
        for form in entry.forms
    ]  # fmt: skip
    return ", ".join(words) or language.text("forms", "plain")


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
                    entry.place.section or NONE, bar_text(entry.place), entry.place.beat, ", ".join(entry.short_parts),
                    str(entry.line.line),
                ))  # fmt: skip
    head = ("theme", "as", "clock", "movement", "section", "bar", "beat", "parts", "line")
    return "\nTHEMES\n\n" + text_table(head, rows, frozenset({2, 5}))
