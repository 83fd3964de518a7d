"""The guide to a piece: what is told to those it honors and to the audience, in the order of first hearing.

In: a compiled piece. Out: facts, values and places; no words of any language yet, but those of the script.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import PurePath

from cavata.ciphers.cipher import SYLLABLES, Cipher, name_signs
from cavata.edition.instrumentation import forces_list
from cavata.edition.shared_staves import with_percussion_sets
from cavata.evaluate.plan import Plan
from cavata.music.event import ALTERATIONS, Motif, Texture
from cavata.music.pitch import Pitch, PitchClass
from cavata.names import program as p
from cavata.record import record
from cavata.resources import folder
from cavata.score.forms import Form
from cavata.score.score import Header, Score
from cavata.syntax import tree as t
from cavata.tell.guide.derivation import Derived, Deriving, owner_name
from cavata.tell.index import IndexedName, NameIndex, index_of
from cavata.tell.places import NamedPlace
from cavata.tell.themes import ThemeEntry, references
from cavata.tell.timings import Timings, timings


@record
class GuideLetter:
    """One letter of a name, over its note."""

    text: str
    motif_event: int | None
    """Which event of the name's line it is; None for a letter that is silent."""


@record
class GuideName:
    """A name."""

    identity: p.Identity
    called: str
    remark: str
    cipher: str
    cipher_description: str
    cipher_is_library: bool
    """It is one of the standard library, whose ciphers each language explains."""
    chosen: tuple[tuple[str, PitchClass | None], ...]
    """Letters for which the script took another of the cipher's choices, each with the note; None for a rest."""
    letters: tuple[GuideLetter, ...]
    line: Motif
    first: NamedPlace | None
    first_parts: tuple[str, ...]
    forms: tuple[tuple[tuple[Form, ...], int], ...]
    """The forms in which it is heard, with how often, repeats counted, the most frequent first."""
    is_repeated: bool
    """Some of it is heard again, the passage being repeated."""
    inflections: tuple[tuple[str, str], ...]
    """Letters that are heard inflected, each with how, once each."""


@record
class GuideTheme:
    """A theme, and how it came about."""

    identity: p.Identity
    remark: str
    steps: tuple[Derived, ...]
    names: tuple[str, ...]
    """The names in it, as they are called; none for a tune that no name gave."""
    first: NamedPlace
    first_parts: tuple[str, ...]


@record
class Guide:
    """Everything that is told."""

    main: str
    """The piece's own file."""
    header: Header
    forces: tuple[str, ...]
    """As the title page names them, players of one kind together."""
    timings: Timings
    index: NameIndex
    names: tuple[GuideName, ...]
    themes: tuple[GuideTheme, ...]
    tunes: tuple[GuideTheme, ...]
    called: Mapping[p.Identity, str]
    """How each name is called."""
    figures: frozenset[p.Identity]
    """The definitions that are figures."""
    remarks: tuple[str, ...]
    """The composer's, on the piece."""
    movement_remarks: Mapping[str, str]
    transform_remarks: Mapping[p.Identity, str]


def guide_of(program: p.Program, plan: Plan, score: Score, tree: t.Module) -> Guide:
    """Gather what is told of a piece; `tree` is its own script, which holds the remarks."""
    index = index_of(program, plan, score)
    definitions = [d for d in program.definitions if isinstance(d, p.NameDefinition)]
    called = {d.identity: owner_name(d.tree.letters.text) for d in definitions}
    indexed = {name.name: name for name in index.names}
    names = [_name(d, plan, indexed.get(d.identity.name)) for d in definitions if _is_told(d, plan, indexed)]
    themes = tuple(_themes(program, plan, index, called))
    return Guide(
        program.main, score.header, forces_list(with_percussion_sets(score), in_sentence=True), timings(score), index,
        tuple(sorted(names, key=lambda name: name.first.seconds if name.first else index.length)),
        tuple(theme for theme in themes if theme.names), tuple(theme for theme in themes if not theme.names),
        called,
        frozenset(
            d.identity for d in program.definitions if isinstance(
                d, p.ValueDefinition
            ) and d.sort is p.DefinitionSort.FIGURE
        ),
        tuple(d.remark for d in tree.declarations if isinstance(d, t.Piece) and d.remark),
        {d.name.text: d.remark for d in tree.declarations if isinstance(d, t.Movement) and d.remark},
        {
            d.identity: d.tree.remark for d in program.definitions
            if isinstance(d, p.TransformDefinition) and d.identity.module == program.main and d.tree.remark
        },
    )  # fmt: skip


# ------------------------------------------------------------------ names


def _is_told(definition: p.NameDefinition, plan: Plan, indexed: Mapping[str, IndexedName]) -> bool:
    """Whether a name belongs into the guide: one that is heard."""
    found = indexed.get(definition.identity.name)
    return isinstance(plan.values.get(definition.identity), Motif) and found is not None and bool(found.entries)


def _name(definition: p.NameDefinition, plan: Plan, found: IndexedName | None) -> GuideName:
    line, cipher, tree = plan.values[definition.identity], plan.values.get(definition.cipher), definition.tree
    assert isinstance(line, Motif)
    entries = found.entries if found else ()
    first = entries[0] if entries else None
    counted: dict[tuple[Form, ...], int] = {}
    inflected: dict[tuple[str, str], None] = {}
    for entry in entries:
        counted[entry.forms] = counted.get(entry.forms, 0) + 1 + len(entry.place.again)
        told = ((letter, _told(letter, how, line)) for letter, how in entry.statement.inflections)
        inflected.update(dict.fromkeys(pair for pair in told if pair[1]))
    return GuideName(
        definition.identity, owner_name(tree.letters.text), tree.remark, definition.cipher.name,
        cipher.description if isinstance(cipher, Cipher) else "",
        _is_library(definition.cipher), _chosen(tree), _spelled(tree, line), line,
        first.place if first else None, first.parts if first else (),
        tuple(sorted(counted.items(), key=lambda item: -item[1])), any(entry.place.again for entry in entries),
        tuple(inflected),
    )  # fmt: skip


def _is_library(identity: p.Identity) -> bool:
    """Whether a definition stands in the standard library, whose remarks are for those who write scripts."""
    return PurePath(identity.module).parent == folder("stdlib")


def _told(letter: str, how: str, line: Motif) -> str:
    """An inflection as what it does to the letter's own note: `sharp` raises F, but leaves F sharp as it is."""
    heads = (head for event in line.events for head in event.heads)
    own = (head.pitch.alter for head in heads if letter in (given.text for given in head.letters))
    alter = next(own, None)
    told: list[str] = []
    for word in how.split(", "):
        sign = ALTERATIONS.get(word)
        if word in ("raised", "lowered"):
            told.append(word)
            alter = None if alter is None else alter + (1 if word == "raised" else -1)
        elif sign is None or alter is None:
            # Respelled: by what, is not remembered.
            told.append(word)
            alter = sign
        elif sign != alter:
            told.append(word if word == "natural" else "raised" if sign > alter else "lowered")
            alter = sign
    return ", ".join(told)


def _chosen(tree: t.Name) -> tuple[tuple[str, PitchClass | None], ...]:
    """The readings that the script asks for, by their letters; None for a rest."""
    written = name_signs(tree.spelled.text)
    return tuple(
        (written[reading.letter - 1].text, _note(reading.tone.value))
        for reading in tree.readings
        if reading.letter <= len(written)
    )


def _note(tone: PitchClass | Pitch | str | None) -> PitchClass | None:
    match tone:
        case Pitch():
            return tone.pitch_class
        case str():
            return SYLLABLES.get(tone)
        case _:
            return tone


def _spelled(tree: t.Name, line: Motif) -> tuple[GuideLetter, ...]:
    """Each letter of the name over the event that it gave; letters read as one stand together."""
    by_position: dict[int, tuple[str, int]] = {}
    for number, event in enumerate(line.events):
        for head in event.heads:
            for letter in head.letters:
                by_position.setdefault(letter.position, (letter.text, number))
    spelled: list[GuideLetter] = []
    written = name_signs(tree.spelled.text)
    position = 1
    while position <= len(written):
        if position in by_position:
            text, number = by_position[position]
            spelled.append(GuideLetter(text, number))
            position += max(1, len(name_signs(text)))
        else:
            spelled.append(GuideLetter(written[position - 1].text, None))
            position += 1
    return tuple(spelled)


# ------------------------------------------------------------------ themes


def _themes(
    program: p.Program, plan: Plan, index: NameIndex, called: Mapping[p.Identity, str]
) -> Iterator[GuideTheme]:
    """The motifs that are heard, in the order of first hearing; one that others are made from before those."""
    deriving = Deriving(program, plan)
    first: dict[str, ThemeEntry] = {}
    for entry in index.themes:
        first.setdefault(entry.theme, entry)
    motifs = [d for d in program.definitions if isinstance(d, p.ValueDefinition) and d.sort is p.DefinitionSort.MOTIF]
    order = {d.identity.name: number for number, d in enumerate(motifs)}
    heard = [d for d in motifs if d.identity.name in first]
    for definition in sorted(heard, key=lambda d: (first[d.identity.name].place.seconds, order[d.identity.name])):
        steps = deriving.steps(definition)
        if steps:
            entry = first[definition.identity.name]
            names = tuple(dict.fromkeys(_names_in(steps[-1].value, called)))
            yield GuideTheme(
                definition.identity, "" if _is_library(definition.identity) else definition.tree.remark, steps, names,
                entry.place, entry.parts,
            )  # fmt: skip


def _names_in(value: Motif | Texture, called: Mapping[p.Identity, str]) -> Iterator[str]:
    by_name = {identity.name: text for identity, text in called.items()}
    for event in (event for line in value.lines for event in line.events):
        for head in event.heads:
            yield from (by_name.get(letter.name, letter.name) for letter in head.letters)


def made_of(theme: GuideTheme) -> tuple[p.Identity, ...]:
    """What a theme's definition names itself."""
    begins = theme.steps[0].done
    return references(begins) if not isinstance(begins, p.Apply | p.ApplyOwn) else ()
