"""Which names each module knows: its own, and those it uses from others."""

from __future__ import annotations

from dataclasses import dataclass, field

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.names.loader import Loaded
from cavata.names.program import Identity, Sort
from cavata.source import Span
from cavata.syntax import tree as t

DefinitionTree = t.Cipher | t.Name | t.Definition | t.OwnTransform


@dataclass(frozen=True, slots=True)
class Declared:
    """A definition before its own names are bound; no tree where it was broken."""

    identity: Identity
    sort: Sort | None
    tree: DefinitionTree | None
    span: Span


@dataclass
class Scope:
    """The names of one module."""

    module: str
    own: dict[str, Declared] = field(default_factory=dict)
    used: dict[str, Declared] = field(default_factory=dict)

    def find(self, name: str) -> Declared | None:
        """What a name means here."""
        return self.own.get(name) or self.used.get(name)

    def names(self, *sorts: Sort) -> tuple[str, ...]:
        """The names known here, of some sorts or of all."""
        everything = {**self.used, **self.own}
        return tuple(n for n, d in everything.items() if not sorts or d.sort in sorts)


def sort_of(tree: DefinitionTree) -> Sort:
    """What kind of definition a tree is."""
    match tree:
        case t.Cipher():
            return Sort.CIPHER
        case t.Name():
            return Sort.NAME
        case t.OwnTransform():
            return Sort.TRANSFORM
        case t.Definition(kind="rhythm"):
            return Sort.RHYTHM
        case t.Definition():
            return Sort.MOTIF


def scopes(loaded: Loaded, bag: Diagnostics) -> dict[str, Scope]:
    """The scope of every module; names given twice and names not there are reported."""
    found = {key: _own(key, module, bag) for key, module in loaded.modules.items()}
    for key, uses in loaded.uses.items():
        for use, target in uses:
            _bring(found[key], use, found[target], bag)
    return found


def _own(key: str, module: t.Module, bag: Diagnostics) -> Scope:
    scope = Scope(key)
    for declaration in module.declarations:
        match declaration:
            case t.Cipher() | t.Name() | t.Definition() | t.OwnTransform():
                name = declaration.name
                declared = Declared(Identity(key, name.text), sort_of(declaration), declaration, name.span)
            case t.Broken(name=text) if text:
                declared = Declared(Identity(key, text), None, None, declaration.span)
            case _:
                continue
        before = scope.own.get(declared.identity.name)
        if before is None:
            scope.own[declared.identity.name] = declared
        elif declared.tree is not None:
            bag.error(
                "N201", declared.span, f"`{declared.identity.name}` is defined twice", "again here",
                "give one of them another name", ((before.span, "first here"),),
            )
    return scope


def _bring(scope: Scope, use: t.Use, source: Scope, bag: Diagnostics) -> None:
    wanted = use.names or tuple(t.Word(name, use.origin.span) for name in source.own)
    for word in wanted:
        declared = source.own.get(word.text)
        if declared is None:
            if source.own:
                guess = closest(word.text, source.own, 1)
                bag.error(
                    "N203", word.span, f"`{use.origin.text}` has no `{word.text}`", "not defined there",
                    f"did you mean `{guess[0]}`?" if guess else "it has " + some(source.own),
                )
                scope.used.setdefault(word.text, Declared(Identity("", word.text), None, None, word.span))
            continue
        other = scope.find(word.text)
        if other is None or other.identity == declared.identity:
            scope.used[word.text] = declared
        elif use.names:
            bag.error(
                "N202", word.span, f"`{word.text}` is defined here and used from elsewhere", "brought in here",
                "rename the one that is yours", ((other.span, "the other one"),),
            )
        # A name of the script's own stands before one that a whole file brings along.


def some(names: dict[str, Declared]) -> str:
    """At most eight names, in the alphabet's order."""
    listed = sorted(names)
    return ", ".join(f"`{n}`" for n in listed[:8]) + (" ..." if len(listed) > 8 else "")
