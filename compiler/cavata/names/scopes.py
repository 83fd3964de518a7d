"""Which names each module knows: its own, and those it uses from others."""

from __future__ import annotations

from dataclasses import dataclass, field

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.foreign.heard import HeardScore
from cavata.names.loader import Loaded
from cavata.names.program import DefinitionSort, Identity
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import backticked

DefinitionTree = t.Cipher | t.Name | t.Definition | t.OwnTransform | t.Passage | t.OwnMode


@dataclass(frozen=True, slots=True)
class Declared:
    """A definition before its own names are bound; no tree where it was broken."""

    identity: Identity
    sort: DefinitionSort | None
    tree: DefinitionTree | None
    span: Span


@dataclass
class Scope:
    """The names of one module."""

    module: str
    own: dict[str, Declared] = field(default_factory=dict)
    used: dict[str, Declared] = field(default_factory=dict)
    whole: dict[str, bool] = field(default_factory=dict)
    """Of what is used, whether a whole file brought it along."""
    tunes: dict[str, tuple[HeardScore, ...]] = field(default_factory=dict)
    """The scores of other programs that its tunes come from, by their files."""

    def find(self, name: str) -> Declared | None:
        """What a name means here."""
        return self.own.get(name) or self.used.get(name)

    def names(self, *sorts: DefinitionSort) -> tuple[str, ...]:
        """The names known here, of some sorts or of all."""
        everything = {**self.used, **self.own}
        return tuple(n for n, d in everything.items() if not sorts or d.sort in sorts)


def sort_of(tree: DefinitionTree) -> DefinitionSort:
    """What kind of definition a tree is."""
    match tree:
        case t.Cipher():
            return DefinitionSort.CIPHER
        case t.Name():
            return DefinitionSort.NAME
        case t.OwnTransform():
            return DefinitionSort.TRANSFORM
        case t.Passage():
            return DefinitionSort.PASSAGE
        case t.OwnMode():
            return DefinitionSort.MODE
        case t.Definition(kind="rhythm"):
            return DefinitionSort.RHYTHM
        case t.Definition(kind="figure"):
            return DefinitionSort.FIGURE
        case t.Definition():
            return DefinitionSort.MOTIF


def scopes(loaded: Loaded, bag: Diagnostics) -> dict[str, Scope]:
    """The scope of every module; names given twice and names not there are reported."""
    found = {key: _own(key, module, bag) for key, module in loaded.modules.items()}
    for key, file, scores in loaded.tunes:
        found[key].tunes[file] = scores
    for key, uses in loaded.uses.items():
        for use, target in uses:
            _bring(found[key], use, found[target], bag)
        followed = {id(use) for use, _ in uses}
        for row in loaded.modules[key].declarations:
            if isinstance(row, t.Use) and id(row) not in followed:
                _miss(found[key], row)
    return found


def _miss(scope: Scope, use: t.Use) -> None:
    """A file that could not be read was reported; what it should have brought is not reported again."""
    for word in use.names:
        called = (use.alias or word).text
        scope.used.setdefault(called, Declared(Identity("", word.text), None, None, word.span))


def _own(key: str, module: t.Module, bag: Diagnostics) -> Scope:
    scope = Scope(key)
    for declaration in module.declarations:
        match declaration:
            case t.Cipher() | t.Name() | t.Definition() | t.OwnTransform() | t.Passage() | t.OwnMode():
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
                "N201", declared.span, f"`{declared.identity.name}` is defined twice", label="again here",
                cure="give one of them another name", also=((before.span, "first here"),),
            )
    return scope


def _bring(scope: Scope, use: t.Use, source: Scope, bag: Diagnostics) -> None:
    if use.alias is not None and len(use.names) > 1:
        bag.error(
            "N605", use.alias.span, "`as` gives one name another one", label=f"{len(use.names)} names are brought in",
            cure=f"a row for each: `use {use.names[0].text} from {use.origin.span.text} as {use.alias.text}`",
        )  # fmt: skip
        return
    for word in use.names or tuple(t.Word(name, use.origin.span) for name in source.own):
        declared = source.own.get(word.text)
        called = use.alias or word
        if declared is None:
            if source.own:
                bag.error(
                    "N203", word.span, f"`{use.origin.text}` has no `{word.text}`", label="not defined there",
                    cure=did_you_mean(word.text, source.own) or "it has " + some(source.own),
                )
                scope.used.setdefault(called.text, Declared(_unknown(called), None, None, word.span))
            continue
        other = scope.find(called.text)
        if other is None or other.identity in (declared.identity, _unknown(called)):
            scope.used[called.text] = declared
            scope.whole[called.text] = not use.names
        elif called.text not in scope.own:
            _meet(scope, use, called, declared, other, bag)
        elif use.names:
            bag.error(
                "N202", called.span, f"`{called.text}` is defined here and used from elsewhere",
                label="brought in here",
                cure=f"rename the one that is yours, or bring the other as `{_otherwise(use, called)}`",
                also=((other.span, "the other one"),),
            )
        # A name of the script's own stands before one that a whole file brings along.


def _unknown(called: t.Word) -> Identity:
    """What stands for a name that a file was asked for and lacks: that was said, and another file may bring it yet."""
    return Identity("", called.text)


def _meet(scope: Scope, use: t.Use, called: t.Word, declared: Declared, other: Declared, bag: Diagnostics) -> None:
    """A name that two files bring: what is asked for by name stands before what a whole file brings along."""
    also = ((other.span, "the other one"),)
    if use.names and scope.whole[called.text]:
        scope.used[called.text] = declared
        scope.whole[called.text] = False
    elif use.names:
        bag.error(
            "N604", called.span, f"`{called.text}` is used from two files", label="brought in again here",
            cure=f"bring this one as `{_otherwise(use, called)}`", also=also,
        )  # fmt: skip
    elif scope.whole[called.text]:
        bag.warning(
            "N606", called.span, f"two whole files bring `{called.text}`", label="the first one's is taken",
            cure=f"`use {called.text} from {use.origin.span.text}` takes this one's", also=also,
        )  # fmt: skip


def _otherwise(use: t.Use, called: t.Word) -> str:
    """The row that brings a definition under another name."""
    name = use.names[0].text if len(use.names) == 1 else called.text
    return f"use {name} from {use.origin.span.text} as other_{called.text}"


def some(names: dict[str, Declared]) -> str:
    """At most eight names, in the alphabet's order."""
    listed = sorted(names)
    return backticked(listed[:8]) + (" ..." if len(listed) > 8 else "")
