"""Binding every name of a piece and putting its definitions in order.

In: the loaded modules. Out: a `Program`. Holds after: every reference leads to a definition that
stands before it, every step has its transform and arguments; whatever could not be bound was reported and left out.
"""

from __future__ import annotations

from collections.abc import Mapping

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.instruments.instrument import PageLanguage, language_called
from cavata.names.bind import Binder, by_place
from cavata.names.forces import Players, bind_forces, bind_groups, bind_staves, players_of
from cavata.names.loader import Loaded
from cavata.names.modes import own_mode
from cavata.names.movements import MovementBinder
from cavata.names.paper import find_paper, report_no_paper
from cavata.names.profiles import bind_profiles
from cavata.names.program import (
    BoundDefinition,
    CipherDefinition,
    DefinitionSort,
    Identity,
    ModeDefinition,
    NameDefinition,
    Program,
    TransformDefinition,
    ValueDefinition,
)
from cavata.names.scopes import Declared, Scope, scopes
from cavata.names.versions import report_twice, versions_of
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import backticked

# ------------------------------------------------------------------ the language of the page


def page_language(piece: t.Piece | None, bag: Diagnostics) -> PageLanguage:
    """What the row `names in ...` says; English where it is missing, or was reported."""
    row = next((row for row in piece.rows if row.word == "names"), None) if piece else None
    if row is None:
        return PageLanguage.ENGLISH
    language = language_called(row.text)
    if language is None:
        known = [language.value for language in PageLanguage]
        cure = did_you_mean(row.text, known) or "languages are " + backticked(known)
        bag.error("N226", row.span, f"instruments have no names in `{row.text}`", cure=cure)
    return language or PageLanguage.ENGLISH


# ------------------------------------------------------------------ the whole


def resolve(loaded: Loaded, bag: Diagnostics, without: frozenset[tuple[str, str]] | None = None) -> Program:
    """Bind the piece whose main script was loaded; `without` are the staves that a version of it leaves out."""
    known = scopes(loaded, bag)
    main = loaded.modules[loaded.main]
    report_twice((version.name for version in versions_of(main)), "version", bag)
    piece = _piece(main, bag)
    forces = bind_forces(main, page_language(piece, bag), bag)
    groups = bind_groups(main, forces, bag)
    players = players_of(forces, groups)
    binding = _Definitions(known, players, bag)
    for key, scope in known.items():
        if key not in loaded.borrowed:
            for declared in scope.own.values():
                binding.bind(declared)
    profiles = bind_profiles([d for d in main.declarations if isinstance(d, t.Profile)], bag)
    movements = MovementBinder(known[loaded.main], forces, groups, bag, known, without)
    bound = movements.bind([d for d in main.declarations if isinstance(d, t.Movement)])
    promises, promised = movements.promises(
        [d for d in main.declarations if isinstance(d, t.Require)], [profile.name.text for profile in profiles]
    )
    for identity in (*movements.uses, *promised):
        binding.bind_identity(identity)
    unused = _unused(known[loaded.main], {*binding.used, *movements.uses}) if bound else ()
    staves = bind_staves(main, forces, groups, bag)
    return Program(
        loaded.main, binding.ordered(), piece, forces, groups, bound, promises, staves, unused, profiles=profiles,
        unread=any(isinstance(d, t.Broken) and d.span.text.startswith(_MOVING) for d in main.declarations),
    )  # fmt: skip


_MOVING = ("movement", "cadenza")


def _piece(main: t.Module, bag: Diagnostics) -> t.Piece | None:
    pieces = [d for d in main.declarations if isinstance(d, t.Piece)]
    for extra in pieces[1:]:
        bag.error(
            "N213", extra.span, "a file holds one piece", label="a second one", cure="put it into a file of its own",
            also=((pieces[0].span, "the first one"),),
        )
    for piece in pieces[:1]:
        rows: dict[str, t.PieceRow] = {}
        for row in piece.rows:
            if row.word in rows and row.word not in _SEVERAL:
                bag.error(
                    "N225", row.span, f"`{row.word}` is given twice", label="again here", cure="keep one of them",
                    also=((rows[row.word].span, "first here"),),
                )  # fmt: skip
            rows.setdefault(row.word, row)
            if row.word == "paper" and find_paper(row.text) is None:
                report_no_paper(row.text, row.span, bag)
        page, note = rows.get("title page"), rows.get("note")
        if note is not None and page is not None and page.text == "none":
            bag.error(
                "N840", note.span, "a performance note stands on the title page, and there is to be none",
                label="nowhere to print it", cure="leave out `title page none`, or the note",
                also=((page.span, "no page for it"),),
            )  # fmt: skip
    return pieces[0] if pieces else None


_SEVERAL = frozenset(("note",))
"""Rows that a piece may have several of."""


class _Definitions:
    """Binds definitions when they are asked for, and notes what each depends on."""

    def __init__(self, known: Mapping[str, Scope], players: Players, bag: Diagnostics) -> None:
        self.known = known
        self.players = players
        self.bag = bag
        self.bound: dict[Identity, BoundDefinition | None] = {}
        self.depends: dict[Identity, dict[Identity, Span]] = {}

    @property
    def used(self) -> set[Identity]:
        """Everything that some definition refers to."""
        return {identity for uses in self.depends.values() for identity in uses}

    def bind_identity(self, identity: Identity) -> None:
        """Bind a definition by its identity."""
        if identity.module in self.known:
            declared = self.known[identity.module].own.get(identity.name)
            if declared is not None:
                self.bind(declared)

    def bind(self, declared: Declared) -> None:
        """Bind a definition and everything it leads to."""
        waiting = [declared]
        while waiting:
            current = waiting.pop()
            identity = current.identity
            if identity in self.bound or current.tree is None or isinstance(current.tree, t.Passage):
                continue
            binder = Binder(self.known[identity.module], self.bag, players=self.players)
            self.bound[identity] = self.one(identity, current.tree, binder)
            self.depends[identity] = binder.uses
            for other in binder.uses:
                found = self.known[other.module].own.get(other.name)
                if found is not None:
                    waiting.append(found)

    def one(
        self, identity: Identity, tree: t.Cipher | t.Name | t.Definition | t.OwnTransform | t.OwnMode, binder: Binder
    ) -> BoundDefinition | None:
        """A definition bound; None where something in it was reported."""
        binder.owner = identity.name
        match tree:
            case t.OwnMode():
                mode = own_mode(tree, self.bag)
                return None if mode is None else ModeDefinition(identity, mode)
            case t.Cipher(parent=parent):
                above = None if parent is None else binder.look_up(parent, DefinitionSort.CIPHER)
                if parent is not None and above is None:
                    return None
                return CipherDefinition(identity, above.identity if above else None, tree)
            case t.Name(cipher=cipher):
                by = binder.look_up(cipher, DefinitionSort.CIPHER)
                return None if by is None else NameDefinition(identity, by.identity, tree)
            case t.OwnTransform(parameters=parameters):
                binder.parameters = by_place(parameters, self.bag)
                body = binder.value(tree.value)
                names = tuple(parameter.text for parameter in parameters)
                return None if body is None else TransformDefinition(identity, names, body, tree)
            case t.Definition(kind=kind):
                value = binder.value(tree.value)
                sort = DefinitionSort(kind)
                return None if value is None else ValueDefinition(identity, sort, value, tree)

    def ordered(self) -> tuple[BoundDefinition, ...]:
        """Definitions after those they use; circles are reported and left out, with all that lead to them."""
        order: list[BoundDefinition] = []
        good: dict[Identity, bool] = {}
        for start in self.bound:
            stack: list[tuple[Identity, list[Identity]]] = [(start, list(self.depends.get(start, {})))]
            path = {start: 0}
            while stack:
                identity, rest = stack[-1]
                if identity in good or not rest:
                    stack.pop()
                    path.pop(identity, None)
                    self.finish(identity, good, order)
                    continue
                following = rest.pop()
                if following in path:
                    self.report_circle([i for i, _ in stack], following)
                    good[identity] = False
                elif following not in good and following in self.depends:
                    path[following] = len(stack)
                    stack.append((following, list(self.depends[following])))
        return tuple(order)

    def finish(self, identity: Identity, good: dict[Identity, bool], order: list[BoundDefinition]) -> None:
        """Put a definition next in order; it is not good if it, or what it depends on, was not bound."""
        if identity in good:
            return
        definition = self.bound.get(identity)
        whole = definition is not None and all(good.get(d, False) for d in self.depends.get(identity, {}))
        good[identity] = whole
        if whole and definition is not None:
            order.append(definition)

    def report_circle(self, path: list[Identity], back_to: Identity) -> None:
        """Report names that are defined by each other, at the one that closes the circle."""
        circle = path[path.index(back_to) :]
        names = " -> ".join(f"`{i.name}`" for i in (*circle, back_to))
        place = self.depends[circle[-1]][back_to]
        self.bag.error(
            "N215", place, f"`{back_to.name}` is defined by itself", label=f"the circle is {names}",
            cure="one of them must be defined without the others",
        )


def _unused(scope: Scope, used: set[Identity]) -> tuple[tuple[Identity, Span], ...]:
    sorts = (
        DefinitionSort.NAME, DefinitionSort.MOTIF, DefinitionSort.RHYTHM, DefinitionSort.FIGURE, DefinitionSort.PASSAGE
    )
    return tuple((d.identity, d.span) for d in scope.own.values() if d.identity not in used and d.sort in sorts)


def report_unused(program: Program, bag: Diagnostics) -> None:
    """Warn of what is defined and never heard; of a script with errors not, where the use may be what is wrong."""
    for identity, span in program.unused:
        bag.warning(
            "N301", span, f"`{identity.name}` is never heard", label="defined, but used nowhere",
            cure="use it, or take it out",
        )  # fmt: skip
