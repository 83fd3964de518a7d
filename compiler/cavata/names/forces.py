"""Binding the forces: instruments found, groups opened, shared staves formed, names made as they are printed.

In: the main script. Out: parts in the order of the page, each with its name before the first and before later systems,
the groups, and the staves that several parts share. What cannot be was reported and is left out. Holds after: the parts
of a staff stand next to each other on the page, none stands on two, and all of them are read alike.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from itertools import pairwise

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.instruments import table
from cavata.instruments.foreign import as_soloist, numbered, printed_abbreviation, printed_name
from cavata.instruments.instrument import Instrument, PageLanguage
from cavata.instruments.strings import tuned
from cavata.names.program import Part
from cavata.record import replace
from cavata.syntax import tree as t
from cavata.syntax.trade_words import as_group, here
from cavata.syntax.words import ROW_WORDS

# ------------------------------------------------------------------ numerals


_GROUPED = re.compile(r"(?:group|staff|staves)\b")
_NUMERALS = ((100, "C"), (90, "XC"), (50, "L"), (40, "XL"), (10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def roman(number: int) -> str:
    """A number from 1 to 399: `IV` for 4."""
    text = ""
    for value, numeral in _NUMERALS:
        while number >= value:
            text, number = text + numeral, number - value
    return text


# ------------------------------------------------------------------ printed names, and score order


def labeled(forces: list[Part], language: PageLanguage, shares: Mapping[str, str]) -> list[Part]:
    """Printed names: the composer's own, else the instrument's, numbered where it comes more than once.

    A section that is divided on one staff has one number, its halves a letter each: `Violins I a`. A soloist beside
    others with the same instrument is called so, and is not counted among them.
    """
    around = {force.instrument.key for force in forces if not force.soloist}
    printed, short = [], []
    for force in forces:
        name = printed_name(force.instrument, force.section, language)
        abbreviation = printed_abbreviation(force.instrument, language)
        if force.soloist and force.instrument.key in around:
            name, abbreviation = as_soloist(name, language), as_soloist(abbreviation, language)
        printed.append(force.label or name)
        short.append(force.abbreviation or force.label or abbreviation)
    staves = [shares.get(f.name, "") if f.section else "" for f in forces]
    together = Counter(zip(printed, staves, strict=True))
    units = [
        staff if staff and together[label, staff] > 1 else force.name
        for label, staff, force in zip(printed, staves, forces, strict=True)
    ]
    alike: dict[str, list[str]] = {}
    for label, unit, force in zip(printed, units, forces, strict=True):
        if not force.label and unit not in alike.setdefault(label, []):
            alike[label].append(unit)
    seen: Counter[str] = Counter()
    found = []
    for label, abbreviation, unit, force in zip(printed, short, units, forces, strict=True):
        number = ""
        if not force.label:
            count = [roman(alike[label].index(unit) + 1)] if len(alike[label]) > 1 else []
            seen[unit] += 1
            number = " ".join([*count, *([half(seen[unit])] if unit != force.name else [])])
            label, abbreviation = numbered(label, number), numbered(abbreviation, number)
        found.append(replace(force, label=label, abbreviation=abbreviation, number=number))
    return found


def half(place: int) -> str:
    """How a division of a section is called: `a`, `b`, counted from 1."""
    return chr(ord("a") + place - 1)


def sharing(main: t.Module) -> Mapping[str, str]:
    """For each part that a staff names, that staff."""
    return {
        word.text: staff.name.text for staff in main.declarations if isinstance(staff, t.SharedStaff)
        for word in staff.parts
    }  # fmt: skip


def in_score_order(forces: list[Part], shares: Mapping[str, str]) -> list[Part]:
    """As the families stand on the page: singers above the strings, a soloist just above those he is heard with.

    Players of one instrument keep their order, and those that share a staff stand together where the highest of them
    belongs. Source: common practice.
    """
    staves: dict[str, list[tuple[int, int, int]]] = {}
    for listed, force in enumerate(forces):
        staves.setdefault(shares.get(force.name, force.name), []).append((*_customary_place(force), listed))
    highest = {name: min(places) for name, places in staves.items()}
    return sorted(forces, key=lambda force: highest[shares.get(force.name, force.name)])


def _customary_place(force: Part) -> tuple[int, int]:
    family = force.instrument.family
    if force.soloist:
        return (1 if family == "voice" else 3), force.instrument.order
    return {"voice": 2, "strings": 4}.get(family, 0), force.instrument.order


# ------------------------------------------------------------------ parts and groups


MOST_PARTS = 200


Players = Mapping[str, tuple[tuple[str, Instrument], ...]]
"""For each part and group the parts that it stands for, with their instruments."""
Named = t.Group | t.SharedStaff[t.Word]
"""What gives several parts a name."""


def players_of(forces: tuple[Part, ...], groups: Mapping[str, tuple[str, ...]]) -> Players:
    """The parts that each name of the forces stands for."""
    single = {force.name: ((force.name, force.instrument),) for force in forces}
    return {**single, **{name: tuple(single[part][0] for part in parts) for name, parts in groups.items()}}


def bind_forces(main: t.Module, language: PageLanguage, bag: Diagnostics) -> tuple[Part, ...]:
    """The parts of the piece in the order of the page; labels are numbered where an instrument comes twice."""
    blocks = [d for d in main.declarations if isinstance(d, t.Forces)]
    for extra in blocks[1:]:
        bag.error("N220", extra.span, "the forces are named twice", label="again here", cure="put them into one block")
    found: dict[str, Part] = {}
    for row in (row for block in blocks[:1] for row in block.rows):
        name = row.name.text
        if name in found or name in ROW_WORDS:
            taken = f"two parts are called `{name}`"
            message = taken if name in found else f"`{name}` begins a row and cannot name a part"
            bag.error("N221", row.name.span, message, cure="choose another name")
            continue
        meant = _instrument(row.instrument, language, bag)
        if meant is not None:
            usual, plural = meant
            instrument = _tuned(row, usual, bag)
            found[name] = Part(
                name, instrument, row.label, row.abbreviation, row.soloist, row.name.span, section=plural,
                language=language, doublings=_doublings(row, instrument, language, bag), own_label=bool(row.label),
            )
    if len(found) > MOST_PARTS:
        row = blocks[0].rows[MOST_PARTS]
        bag.error(
            "N222", row.name.span, f"a piece has {MOST_PARTS} parts at most", label=f"here are {len(found)}",
            cure="let players share a part",
        )  # fmt: skip
    ordered, shares = list(found.values()), sharing(main)
    if blocks and blocks[0].in_order:
        ordered = in_score_order(ordered, shares)
    return tuple(labeled(ordered, language, shares))


def _instrument(word: t.Word, language: PageLanguage, bag: Diagnostics) -> tuple[Instrument, bool] | None:
    """The instrument that words mean, in English before any other language, and whether they are a plural."""
    words = word.text
    instrument = table.find(words)
    if instrument is not None:
        _warn_of_other_meaning(word, instrument, language, bag)
        return table.as_called(words), table.asks_for_section(words)
    # The other languages' names are read only where a script needs them.
    from cavata.instruments.foreign import foreign, suggestions_in_any_language

    meant = foreign(words)
    if meant is not None:
        return meant.instrument, meant.is_section
    guesses = suggestions_in_any_language(words)
    several = table.is_ambiguous(words)
    usual = "the instruments stand in the library's `instruments.toml`"
    if begun := next((word for word in words.split()[1:] if word in FORCE_WORDS), ""):
        usual = f"a comma stands before it, as `, {begun}`"
    bag.error(
        "I101", word.span,
        f"`{words}` may be several instruments" if several else f"there is no instrument `{words}`",
        label="" if several else "not in the table",
        cure="did you mean " + " or ".join(f"`{g}`" for g in guesses) + "?" if guesses else
        usual,
    )
    return None


def _tuned(row: t.Force, usual: Instrument, bag: Diagnostics) -> Instrument:
    """The instrument as the row tunes its strings; what does not fit is reported."""
    if row.tuning is None:
        return usual
    given, count = row.tuning.strings, len(usual.strings)
    if not count:
        bag.error(
            "N860", row.tuning.span, f"`{row.name.text}` has no strings to tune", label="none in the table",
            cure="leave `tuned` out",
        )  # fmt: skip
    elif len(given) != count:
        bag.error(
            "N861", row.tuning.span, f"`{row.name.text}` has {count} strings", label=f"here are {len(given)}",
            cure="name all from the lowest, as they sound; usual is `tuned " + " ".join(map(str, usual.strings)) + "`",
        )
    else:
        return tuned(usual, given)
    return usual


def _doublings(row: t.Force, usual: Instrument, language: PageLanguage, bag: Diagnostics) -> tuple[Instrument, ...]:
    """The other instruments of a player: pitched, on as many staves as the usual one."""
    found = []
    for word in row.doublings:
        meant = _instrument(word, language, bag)
        if meant is None:
            continue
        other, _ = meant
        if not usual.may_go_with(other):
            bag.error(
                "N227", word.span, f"`{row.name.text}` cannot take up `{word.text}`",
                label="its music has another kind of staff", cure="give it a part of its own" + (
                    f", and name both as one player's: `staves percussion = {row.name.text}, ...`"
                    if usual.unpitched else ""
                ),
            )
        else:
            found.append(other)
    return tuple(found)


def _warn_of_other_meaning(word: t.Word, instrument: Instrument, language: PageLanguage, bag: Diagnostics) -> None:
    """An English word that is another instrument in the language of the page, as `alto` in French, is a warning."""
    if language is PageLanguage.ENGLISH:
        return
    from cavata.instruments.foreign import meanings

    there = next((meaning for meaning in meanings(word.text) if meaning.language is language), None)
    if there is not None and table.find(there.english) is not instrument:
        bag.warning(
            "I105", word.span, f"`{word.text}` is taken as English",
            label=f"{instrument.name}, not the {language.value} word",
            cure=f"if the {language.value} word was meant, write `{there.english}`",
        )


def bind_groups(
    main: t.Module, forces: tuple[Part, ...], bag: Diagnostics
) -> Mapping[str, tuple[str, ...]]:
    """The groups of parts, the highest on the page first; a group may hold others, declared before or after it.

    A part whose instrument is not known was reported in its row, and so was a group that could not be read. Both are
    groups of nobody, so that their lines are not reported too.
    """
    parts = [force.name for force in forces]
    groups: dict[str, tuple[str, ...]] = {name: () for name in _named(main) if name not in parts}
    groups |= {
        d.name: () for d in main.declarations
        if isinstance(d, t.Broken) and d.name and d.name not in parts and _GROUPED.match(d.span.text)
    }  # fmt: skip
    for group in _inner_first([d for d in main.declarations if isinstance(d, t.Group | t.SharedStaff)]):
        members: list[str] = []
        for word in group.parts:
            if word.text in parts:
                members.append(word.text)
            elif word.text in groups:
                members += groups[word.text]
            else:
                report_no_part(word, (*parts, *groups), bag)
        name = group.name.text
        if name in parts or name in groups or name in ROW_WORDS:
            why = "begins a row and cannot name a group" if name in ROW_WORDS else "cannot name a group: it is taken"
            bag.error("N221", group.name.span, f"`{name}` {why}", cure="choose another name")
            continue
        groups[name] = tuple(dict.fromkeys(members))

    def on_the_page(group: tuple[str, tuple[str, ...]]) -> tuple[int, int, str]:
        name, members = group
        return min(map(parts.index, members), default=0), -len(members), name

    return dict(sorted(groups.items(), key=on_the_page))


def report_no_part(word: t.Word, known: Iterable[str], bag: Diagnostics) -> None:
    """Say that no part and no group of the forces has a name."""
    bag.error(
        "N223", word.span, f"there is no part `{word.text}`", label="not among the forces",
        cure=as_group(word.text) or here(word.text) or did_you_mean(word.text, known)
        or "name it under `forces`; several parts are named together by `group`",
    )


def _named(main: t.Module) -> list[str]:
    """The parts that the forces name, whether they are understood or not."""
    blocks = [d for d in main.declarations if isinstance(d, t.Forces)]
    return [name for block in blocks[:1] for name in (*(row.name.text for row in block.rows), *block.unread)]


def _inner_first(groups: list[Named]) -> list[Named]:
    """Groups after those that they hold; groups that hold each other come last, in their order."""
    ordered: list[Named] = []
    waiting = groups
    while waiting:
        unmet = {group.name.text for group in waiting}
        ready = [group for group in waiting if not unmet & {word.text for word in group.parts}] or waiting
        ordered += ready
        waiting = [group for group in waiting if group not in ready]
    return ordered


# ------------------------------------------------------------------ shared staves


FORCE_WORDS = ("soloist", "called", "doubling", "tuned")
"""What may follow the instrument of a part, after a comma."""
MOST_PLAYERS = 4
"""More than four parts on a staff cannot be told apart: two voices of two. Source: common practice."""
MOST_LINES = 5


def bind_staves(
    main: t.Module, forces: tuple[Part, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics
) -> tuple[t.SharedStaff[str], ...]:
    """The shared staves in the order of the page."""
    order = {force.name: place for place, force in enumerate(forces)}
    taken: dict[str, t.Word] = {}
    staves: list[t.SharedStaff[str]] = []
    for staff in (d for d in main.declarations if isinstance(d, t.SharedStaff)):
        parts = sorted(groups.get(staff.name.text, ()), key=order.__getitem__)
        members = [forces[order[part]] for part in parts]
        double = next((part for part in parts if part in taken), None)
        if double is not None:
            bag.error(
                "N240", staff.name.span, f"`{double}` stands on two staves", label="the second one",
                cure="leave it out of one of them", also=((taken[double].span, "the first one"),),
            )
            continue
        taken |= dict.fromkeys(parts, staff.name)
        if _can_share(staff, members, order, bag):
            label, abbreviation = names_of_staff(members, forces)
            label, short = staff.label or label, staff.abbreviation or staff.label or abbreviation
            staves.append(t.SharedStaff(
                staff.name.text, tuple(parts), label=label, abbreviation=short, span=staff.name.span, apart=staff.apart
            ))  # fmt: skip
    return tuple(sorted(staves, key=lambda staff: order[staff.parts[0]]))


def _can_share(staff: t.SharedStaff[t.Word], members: list[Part], order: Mapping[str, int], bag: Diagnostics) -> bool:
    """Whether the parts can stand on one staff; the first reason why not is reported."""
    name, span = staff.name.text, staff.name.span
    if len(members) < 2:
        if len(staff.parts) == 1 and members:
            bag.error(
                "N241", span, f"the staff `{name}` has one part", label="nothing to share",
                cure="name two parts or more; a part alone has a staff of its own",
            )
        return False
    drums = members[0].instrument.unpitched
    most = MOST_LINES if drums else MOST_PLAYERS
    if len(members) > most:
        bag.error(
            "N242", span, f"the staff `{name}` has {len(members)} parts", label=f"{most} at most can be read",
            cure="make two staves, as horns 1 and 2 and horns 3 and 4",
        )
        return False
    places = [order[member.name] for member in members]
    gap = next((forces for forces in pairwise(members) if order[forces[1].name] - order[forces[0].name] > 1), None)
    if gap is not None and places[-1] - places[0] >= len(places):
        bag.error(
            "N243", span, f"`{gap[0].name}` and `{gap[1].name}` stand apart on the page", label="not neighbors",
            cure="put them next to each other under `forces`",
        )
        return False
    if staff.apart:
        return True
    other = next((m for m in members[1:] if not _read_alike(members[0].instrument, m.instrument)), None)
    if other is not None or len(members[0].instrument.staves) > 1:
        second = other or members[1]
        cure = "parts on one staff are in one key, and each of them needs one staff only; give them staves of their own"
        if all(member.instrument.family == "percussion" for member in members):
            own = ", ".join(word.text for word in staff.parts)
            cure = f"write `staves {name} = {own}`: each has a staff, under the name of one player, who has one part"
        bag.error(
            "N244", span, f"`{members[0].name}` and `{second.name}` cannot share a staff",
            label=f"{members[0].instrument.key} and {second.instrument.key}",
            cure=cure,
        )
        return False
    return True


def _read_alike(first: Instrument, second: Instrument) -> bool:
    """Whether two players can read one staff: in one key and tuning, both pitched or not, neither on two staves."""
    return (
        first.transposition == second.transposition
        and (first.strings == second.strings or not (first.reads_fingering or second.reads_fingering))
        and first.unpitched == second.unpitched
        and len(second.staves) == 1
    )


def names_of_staff(members: list[Part], forces: tuple[Part, ...]) -> tuple[str, str]:
    """Both names of a staff: `Flutes I, II` and `Fl. I, II`.

    The names of different instruments, and of a soloist and another, stand one after another.
    """
    first = members[0]
    labels, shorts = [member.label for member in members], [member.abbreviation for member in members]
    kind = first.instrument, first.soloist
    if any(member.own_label or (member.instrument, member.soloist) != kind for member in members):
        return ", ".join(labels), ", ".join(dict.fromkeys(shorts))
    name = printed_name(first.instrument, True, first.language)
    short = printed_abbreviation(first.instrument, first.language)
    units = {member.number.removesuffix(half(place)).strip() for place, member in enumerate(members, start=1)}
    if first.section and first.number.endswith(half(1)) and len(units) == 1:
        number = units.pop()
    else:
        alike = [force for force in forces if (force.instrument, force.soloist) == kind]
        number = _numbers([alike.index(member) + 1 for member in members])
    return numbered(name, number), numbered(short, number)


def _numbers(numbers: list[int]) -> str:
    """`I, II`; from three on `I–III`."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{roman(numbers[0])}–{roman(numbers[-1])}"
    return ", ".join(map(roman, numbers))
