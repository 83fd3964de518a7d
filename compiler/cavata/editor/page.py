"""A script as an editor shows it: its statements, and what each of its words means.

In: the text, and what the compiler made of the piece. Out: for any word the thing that it stands for, with the place
where that is defined. A statement that cannot be read is answered as far as it goes.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from functools import cached_property
from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.editor.tokens import ReadStatement, ScriptRow, WordToken, read, row_at, script_rows
from cavata.names.loader import SUFFIX, Loaded, ModuleLibrary, standard_library
from cavata.names.program import DefinitionSort
from cavata.names.scopes import Scope, scopes
from cavata.pipeline import Compiled
from cavata.record import record
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.parse import NAMES
from cavata.transforms.signature import ArgumentKind as Given
from cavata.transforms.signature import Slot
from cavata.transforms.table import COMBINATIONS, TRANSFORMS


class WordKind(Enum):
    """What a word of a script can stand for, beside what definitions give."""

    STEP = "transform of the language"
    COMBINATION = "combination"
    MODULE = "module"
    PARAMETER = "parameter"
    PART = "part"
    GROUP = "group"
    STAFF = "staff"
    MOVEMENT = "movement"
    SECTION = "section"
    VERSION = "version"
    INSTRUMENT = "instrument"
    WORD = "word"


@record
class Meaning:
    """The thing that a word stands for."""

    kind: WordKind | DefinitionSort
    name: str
    """As it is called where it is defined."""
    within: str = ""
    """The file that defines it; for a section its movement, for a parameter its transform."""
    declared: Span | None = None
    """The name in its definition."""

    @property
    def key(self) -> tuple[WordKind | DefinitionSort, str, str]:
        """The same for every word that stands for this."""
        return self.kind, self.within, self.name


class ScriptPage:
    """One file of a piece."""

    def __init__(self, source: Source, key: str, compiled: Compiled) -> None:
        self.source = source
        self.key = key
        """The path by which the compiler knows it."""
        self.compiled = compiled
        self.rows = script_rows(source)

    # -------------------------------------------------------------- what the compiler knows

    @cached_property
    def loaded(self) -> Loaded | None:
        """The piece's files."""
        return self.compiled.loaded

    @cached_property
    def known(self) -> dict[str, Scope]:
        """The names of every file."""
        return {} if self.loaded is None else scopes(self.loaded, Diagnostics())

    @property
    def scope(self) -> Scope:
        """The names of this file."""
        return self.known.get(self.key) or Scope(self.key)

    @cached_property
    def module(self) -> t.Module:
        """The tree of this file."""
        found = None if self.loaded is None else self.loaded.modules.get(self.key)
        return found or t.Module(self.source, ())

    @cached_property
    def players(self) -> dict[str, Meaning]:
        """Parts, groups and shared staves by name."""
        found: dict[str, Meaning] = {}
        for declaration in self.module.declarations:
            match declaration:
                case t.Forces(rows=rows):
                    for row in rows:
                        found[row.name.text] = Meaning(WordKind.PART, row.name.text, self.key, row.name.span)
                case t.Group(name=name):
                    found[name.text] = Meaning(WordKind.GROUP, name.text, self.key, name.span)
                case t.SharedStaff(name=name):
                    found.setdefault(name.text, Meaning(WordKind.STAFF, name.text, self.key, name.span))
                case _:
                    pass
        return found

    @cached_property
    def movements(self) -> dict[str, tuple[Meaning, dict[str, Meaning]]]:
        """Movements by name, each with its sections."""
        found: dict[str, tuple[Meaning, dict[str, Meaning]]] = {}
        for movement in self.module.declarations:
            if isinstance(movement, t.Movement):
                called = movement.name.text
                sections = {
                    s.name.text: Meaning(WordKind.SECTION, s.name.text, f"{self.key} {called}", s.name.span)
                    for s in movement.sections if s.name is not None
                }  # fmt: skip
                found[called] = Meaning(WordKind.MOVEMENT, called, self.key, movement.name.span), sections
        return found

    # -------------------------------------------------------------- words

    def row_at(self, offset: int) -> ScriptRow | None:
        """The statement in which an offset lies, or the last one before it."""
        return row_at(self.rows, offset)

    def read(self, row: ScriptRow) -> ReadStatement:
        """The tokens of a statement."""
        return read(row.span, row.start)

    def token_at(self, offset: int) -> tuple[ScriptRow, ReadStatement, int] | None:
        """The word at an offset, or the one that ends there."""
        row = self.row_at(offset)
        if row is None:
            return None
        found = self.read(row)
        touching = [n for n, token in enumerate(found.tokens) if token.start <= offset <= token.end]
        return (row, found, touching[-1]) if touching else None

    def meaning_at(self, offset: int) -> tuple[WordToken, Meaning] | None:
        """What the word at an offset stands for; of two that touch there, the one that begins, if it is a name."""
        row = self.row_at(offset)
        if row is None:
            return None
        tokens = self.read(row).tokens
        for number in reversed(range(len(tokens))):
            token = tokens[number]
            if token.start <= offset <= token.name_end:
                meaning = self.meaning(row, tokens, number)
                if meaning is not None:
                    return token, meaning
        return None

    def meanings(self) -> Iterator[tuple[WordToken, Meaning]]:
        """Every word of the file that stands for something."""
        for row in self.rows:
            tokens = self.read(row).tokens
            for number, token in enumerate(tokens):
                meaning = self.meaning(row, tokens, number)
                if meaning is not None:
                    yield token, meaning

    def meaning(self, row: ScriptRow, tokens: tuple[WordToken, ...], number: int) -> Meaning | None:
        """What a token stands for; None for a keyword, a number and the like."""
        token = tokens[number]
        if token.kind not in NAMES:
            return self._step(tokens, number) if token.kind in _STEP_WORDS else None
        before = tokens[number - 1].kind if number else ""
        if row.start == "declaration":
            found = self._declared(tokens, number)
            if found is not None:
                return found
        if row.start == "force_row" or (row.start == "version_row" and tokens[1:2] and tokens[1].kind == "EQUAL"):
            return self.players.get(token.name) if number == 0 else Meaning(WordKind.INSTRUMENT, token.name)
        if before == "ARROW":
            return self._step(tokens, number)
        return (
            self._parameter(row, token) or self._row_word(row, tokens, number) or self._value(token)
            or self._player_of_step(tokens, number) or Meaning(WordKind.WORD, token.name)
        )  # fmt: skip

    def _step(self, tokens: tuple[WordToken, ...], number: int) -> Meaning | None:
        """A word after an arrow, or after the colon of a marking."""
        if not number or tokens[number - 1].kind not in ("ARROW", "COLON"):
            return None
        own = self._definition(tokens[number].name)
        if own is not None and own.kind in (DefinitionSort.TRANSFORM, DefinitionSort.PASSAGE):
            return own
        word = tokens[number].name
        return Meaning(WordKind.STEP, word) if word in TRANSFORMS else None

    def _player_of_step(self, tokens: tuple[WordToken, ...], number: int) -> Meaning | None:
        """A part or group among the arguments of a step that takes some."""
        arrows = [n for n, token in enumerate(tokens[:number]) if token.kind in ("ARROW", "COLON")]
        word = tokens[arrows[-1] + 1].name if arrows else ""
        takes = any(Slot(Given.PARTS) in transform.parts for transform in TRANSFORMS.get(word, ()))
        return self.players.get(tokens[number].name) if takes else None

    def _declared(self, tokens: tuple[WordToken, ...], number: int) -> Meaning | None:
        """A name in the heading of a declaration."""
        head, token = tokens[0].kind, tokens[number]
        if head == "USE":
            kinds = [each.kind for each in tokens[:number]]
            if "FROM" in kinds and "AS" not in kinds:
                return Meaning(WordKind.MODULE, token.name)
            return self._definition(tokens[-1].name if "AS" in [each.kind for each in tokens] else token.name)
        if head in ("GROUP", "STAFF", "STAVES"):
            return self.players.get(token.name)
        if head in ("MOVEMENT", "CADENZA") and number == 1:
            return self.movements[token.name][0] if token.name in self.movements else None
        if head == "VERSION" and number == 1:
            return Meaning(WordKind.VERSION, token.name, self.key, Span(self.source, token.start, token.end))
        return self._definition(token.name) if number == 1 else None

    def _parameter(self, row: ScriptRow, token: WordToken) -> Meaning | None:
        """A parameter of the transform or passage in which a statement stands."""
        for each in self._parameters(row.top):
            if each.text == token.name:
                place = Span(self.source, each.start, each.end)
                transform = self.read(row.top).tokens[1].name
                return Meaning(WordKind.PARAMETER, each.text, f"{self.key} {transform}", place)
        return None

    def _parameters(self, top: ScriptRow) -> Iterator[WordToken]:
        if not top.span.text.startswith(("transform", "passage")):
            return
        for each in self.read(top).tokens[2:]:
            if each.kind == "RPAR":
                return
            if each.kind == "NAME":
                yield each

    def parameters(self, top: ScriptRow) -> tuple[str, ...]:
        """The parameters of a declaration, if it is a transform or a passage."""
        return tuple(each.text for each in self._parameters(top))

    def called(self, name: str) -> tuple[str, ...]:
        """The parameters of a transform or a passage that this file knows by a name."""
        declared = self.scope.find(name)
        tree = None if declared is None else declared.tree
        return tuple(each.text for each in tree.parameters) if isinstance(tree, t.OwnTransform | t.Passage) else ()

    def module_named(self, row: ScriptRow) -> Path | None:
        """The file that a row `use` names, beside the script or in the standard library, though the row may be half
        written; None where there is none."""
        tokens = self.read(row).tokens
        words = [token.text for token in tokens]
        named = tokens[words.index("from") + 1 :] if "from" in words else ()
        if not named or named[0].kind not in ("NAME", "STRING"):
            return None
        beside, name = ModuleLibrary(Path(self.key).parent, ""), named[0].text.strip('"').removesuffix(SUFFIX)
        for library in (beside, standard_library()) if named[0].kind == "NAME" else (beside,):
            found = library.module(name)
            if found.is_file() and found.is_relative_to(library.folder):
                return found
        return None

    def _row_word(self, row: ScriptRow, tokens: tuple[WordToken, ...], number: int) -> Meaning | None:
        """A part, a group, a movement or a section, as a row names them."""
        name = tokens[number].name
        kinds = [token.kind for token in tokens[:number]]
        head = tokens[0].kind
        if head == "SECTION" and row.start == "movement_row" and number == 1:
            return self._section(self._movement_of(row), name)
        if "COLON" in kinds or ("ARROW" in kinds and head != "NAME"):
            return None
        if kinds[-1:] == ["DOT"]:
            return self._section(tokens[number - 2].name, name) or Meaning(WordKind.WORD, name)
        if head in ("SECTION", "WITHOUT", "MOVEMENT", "TEMPI", "LENGTH") or "IN" in kinds or "OF" in kinds:
            if name in self.movements:
                return self.movements[name][0]
            found = self._section(self._movement_of(row), name)
            if found is not None:
                return found
        if row.start not in _WITH_PARTS or "ARROW" in kinds:
            return None
        found = self.players.get(name)
        if found is None and row.start in ("require_row", "version_row"):
            found = self.movements[name][0] if name in self.movements else self._section("", name)
        return found

    def _movement_of(self, row: ScriptRow) -> str:
        """The name of the movement in which a statement stands; empty outside of one."""
        top = row.top
        tokens = self.read(top).tokens
        return tokens[1].name if len(tokens) > 1 and tokens[0].kind in ("MOVEMENT", "CADENZA") else ""

    def _section(self, movement: str, name: str) -> Meaning | None:
        """A section of a movement; without one, the first of that name."""
        chosen = [self.movements[movement]] if movement in self.movements else self.movements.values()
        return next((sections[name] for _, sections in chosen if name in sections), None)

    def _value(self, token: WordToken) -> Meaning | None:
        if token.kind == "CALL" and token.name in COMBINATIONS:
            return Meaning(WordKind.COMBINATION, token.name)
        return self._definition(token.name)

    def _definition(self, name: str) -> Meaning | None:
        """What a name of this file's scope stands for."""
        declared = self.scope.find(name)
        if declared is None or declared.sort is None or declared.tree is None:
            return None
        return Meaning(declared.sort, declared.identity.name, declared.identity.module, declared.tree.name.span)


_STEP_WORDS = frozenset(["IN", "FROM", "AS", "LAST", "NOTES"])
_WITH_PARTS = frozenset(["movement_row", "section_row", "passage_row", "require_row", "version_row"])
