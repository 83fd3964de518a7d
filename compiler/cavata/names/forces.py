"""Binding the forces: instruments found, groups opened."""

from __future__ import annotations

from collections.abc import Mapping

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.instruments import table
from cavata.instruments.instrument import Instrument
from cavata.instruments.language import Language
from cavata.names.labels import in_score_order, labelled, sharing
from cavata.names.program import BoundForce
from cavata.syntax import tree as t
from cavata.syntax.words import ROW_WORDS

MOST_PARTS = 200


Players = Mapping[str, tuple[tuple[str, Instrument], ...]]
"""For each part and group the parts that it stands for, with their instruments."""


def players_of(forces: tuple[BoundForce, ...], groups: Mapping[str, tuple[str, ...]]) -> Players:
    """The parts that each name of the forces stands for."""
    single = {force.name: ((force.name, force.instrument),) for force in forces}
    return {**single, **{name: tuple(single[part][0] for part in parts) for name, parts in groups.items()}}


def bind_forces(main: t.Module, language: Language, bag: Diagnostics) -> tuple[BoundForce, ...]:
    """The parts of the piece in the order of the page; labels are numbered where an instrument comes twice."""
    blocks = [d for d in main.declarations if isinstance(d, t.Forces)]
    for extra in blocks[1:]:
        bag.error("N220", extra.span, "the forces are named twice", "again here", "put them into one block")
    found: dict[str, BoundForce] = {}
    for row in (row for block in blocks[:1] for row in block.rows):
        name = row.name.text
        if name in found or name in ROW_WORDS:
            taken = f"two parts are called `{name}`"
            message = taken if name in found else f"`{name}` begins a row and cannot name a part"
            bag.error("N221", row.name.span, message, "", "choose another name")
            continue
        meant = _instrument(row.instrument, language, bag)
        if meant is not None:
            instrument, plural = meant
            found[name] = BoundForce(
                name, instrument, plural, row.soloist, row.label, row.abbreviation, row.name.span, language,
                bool(row.label), _doublings(row, instrument, language, bag),
            )
    if len(found) > MOST_PARTS:
        row = blocks[0].rows[MOST_PARTS]
        bag.error(
            "N222", row.name.span, f"a piece has {MOST_PARTS} parts at most", f"here are {len(found)}",
            "let players share a part",
        )  # fmt: skip
    ordered, shares = list(found.values()), sharing(main)
    if blocks and blocks[0].in_order:
        ordered = in_score_order(ordered, shares)
    return tuple(labelled(ordered, language, shares))


def _instrument(word: t.Word, language: Language, bag: Diagnostics) -> tuple[Instrument, bool] | None:
    """The instrument that words mean, in English before any other language, and whether they are a plural."""
    words = word.text
    instrument = table.find(words)
    if instrument is not None:
        _warn_of_other_meaning(word, instrument, language, bag)
        return instrument, table.asks_for_section(words)
    # The other languages' names are read only where a script needs them.
    from cavata.instruments.foreign import foreign, suggestions_in_any_language

    meant = foreign(words)
    if meant is not None:
        return meant.instrument, meant.is_section
    guesses = suggestions_in_any_language(words)
    several = table.is_ambiguous(words)
    bag.error(
        "I101", word.span,
        f"`{words}` may be several instruments" if several else f"there is no instrument `{words}`",
        "" if several else "not in the table",
        "did you mean " + " or ".join(f"`{g}`" for g in guesses) + "?" if guesses else
        "the instruments stand in the library's `instruments.toml`",
    )
    return None


def _doublings(row: t.Force, usual: Instrument, language: Language, bag: Diagnostics) -> tuple[Instrument, ...]:
    """The other instruments of a player: pitched, on as many staves as the usual one."""
    found = []
    for word in row.doublings:
        meant = _instrument(word, language, bag)
        if meant is None:
            continue
        other, _ = meant
        if other.staves != usual.staves or other.unpitched or usual.unpitched:
            bag.error(
                "N227", word.span, f"`{row.name.text}` cannot take up `{word.text}`",
                "its music has another kind of staff", "give it a part of its own",
            )
        else:
            found.append(other)
    return tuple(found)


def _warn_of_other_meaning(word: t.Word, instrument: Instrument, language: Language, bag: Diagnostics) -> None:
    """An English word that is another instrument in the language of the page, as `alto` in French, is a warning."""
    if language is Language.ENGLISH:
        return
    from cavata.instruments.foreign import meanings

    there = next((meaning for meaning in meanings(word.text) if meaning.language is language), None)
    if there is not None and table.find(there.english) is not instrument:
        bag.warning(
            "I105", word.span, f"`{word.text}` is taken as English",
            f"{instrument.name}, not the {language.value} word",
            f"if the {language.value} word was meant, write `{there.english}`",
        )


def bind_groups(
    main: t.Module, forces: tuple[BoundForce, ...], bag: Diagnostics
) -> Mapping[str, tuple[str, ...]]:
    """The groups of parts, the highest on the page first; a group may hold others, declared before or after it.

    A part whose instrument is not known was reported in its row. It is a group of nobody, so that its lines are not
    reported too.
    """
    parts = [force.name for force in forces]
    groups: dict[str, tuple[str, ...]] = {name: () for name in _named(main) if name not in parts}
    for group in _inner_first([d for d in main.declarations if isinstance(d, t.Group | t.SharedStaff)]):
        members: list[str] = []
        for word in group.parts:
            if word.text in parts:
                members.append(word.text)
            elif word.text in groups:
                members += groups[word.text]
            else:
                guess = closest(word.text, (*parts, *groups), 1)
                bag.error(
                    "N223", word.span, f"there is no part `{word.text}`", "not among the forces",
                    f"did you mean `{guess[0]}`?" if guess else "name it under `forces`",
                )
        name = group.name.text
        if name in parts or name in groups or name in ROW_WORDS:
            bag.error("N221", group.name.span, f"`{name}` cannot name a group: it is taken", "", "choose another name")
            continue
        groups[name] = tuple(dict.fromkeys(members))

    def on_the_page(group: tuple[str, tuple[str, ...]]) -> tuple[int, int, str]:
        name, members = group
        return min(map(parts.index, members), default=0), -len(members), name

    return dict(sorted(groups.items(), key=on_the_page))


def _named(main: t.Module) -> list[str]:
    """The parts that the forces name, whether they are understood or not."""
    blocks = [d for d in main.declarations if isinstance(d, t.Forces)]
    return [row.name.text for block in blocks[:1] for row in block.rows]


def _inner_first(groups: list[t.Group | t.SharedStaff]) -> list[t.Group | t.SharedStaff]:
    """Groups after those that they hold; groups that hold each other come last, in their order."""
    ordered: list[t.Group | t.SharedStaff] = []
    waiting = groups
    while waiting:
        unmet = {group.name.text for group in waiting}
        ready = [group for group in waiting if not unmet & {word.text for word in group.parts}] or waiting
        ordered += ready
        waiting = [group for group in waiting if group not in ready]
    return ordered
