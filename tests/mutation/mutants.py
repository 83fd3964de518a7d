"""Mutants of a module: small changes, each of which a test should notice.

Cosmic Ray's operators make them. Left out are the changes that no test could be asked to notice, or that every test
would: those in annotations, decorators, `if TYPE_CHECKING`, `isinstance` and `zip(strict=...)`; `is` for `==`,
which mostly means the same; and operators of another kind (`<<` for `+`), which only raise a TypeError.
"""

from __future__ import annotations

import ast
import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import parso  # noqa: F401 (before Cosmic Ray, which cannot load it by itself)
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

_ARITHMETIC = {"Add", "Sub", "Mul", "Div", "FloorDiv", "Mod"}
_SETS = {"BitOr", "BitAnd", "BitXor", "Sub"}
_IDENTITY = {"Is", "IsNot"}


@dataclass(frozen=True, slots=True)
class Place:
    """Where a mutant could be made: the operator's occurrence, counted over the module as Cosmic Ray counts."""

    operator: str
    occurrence: int
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one change."""

    room: str
    file: str
    """From the root of the checkout."""
    function: str
    place: Place
    source: str
    """The line as it is, stripped."""
    changed: str
    """The line as it becomes."""
    code: str
    """The whole module with the change."""

    @property
    def key(self) -> str:
        """What tells it from every other mutant of this tree."""
        place = self.place
        return f"{self.file}:{place.line}:{place.operator}:{place.occurrence}:{self.source}"


def _operators() -> list[str]:
    """The operators that need nothing told, without those that only break a type or change nothing."""
    chosen = []
    for name in operator_names():
        kind, _, change = name.partition("/")[2].partition("_")
        before, _, after = change.partition("_")
        if kind.startswith("Variable"):
            continue
        if kind == "ReplaceBinaryOperator" and not any({before, after} <= kinds for kinds in (_ARITHMETIC, _SETS)):
            continue
        if {before, after} & _IDENTITY and not {before, after} <= _IDENTITY:
            continue
        chosen.append(name)
    return chosen


OPERATORS = {name: get_operator(name)() for name in _operators()}


class Sources:
    """What the syntax tree of a module says about its lines."""

    def __init__(self, text: str) -> None:
        self.lines = text.splitlines()
        self.tree = ast.parse(text)
        self.functions: dict[int, str] = {}
        self.reaches: dict[int, range] = {}
        self.left_out: list[tuple[tuple[int, int], tuple[int, int]]] = []
        self._walk(self.tree, "")

    def _walk(self, node: ast.AST, name: str) -> None:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            name = f"{name}.{node.name}".lstrip(".")
            for line in range(node.lineno, (node.end_lineno or node.lineno) + 1):
                self.functions[line] = name
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            end = body[0].lineno - 1 if isinstance(body, list) and body else node.end_lineno or node.lineno
            for line in range(node.lineno, max(end, node.lineno) + 1):
                self.reaches[line] = range(node.lineno, max(end, node.lineno) + 1)
        for part in _left_out(node):
            self.left_out.append(((part.lineno, part.col_offset), (part.end_lineno or 0, part.end_col_offset or 0)))
        for child in ast.iter_child_nodes(node):
            self._walk(child, name)

    def leaves_out(self, line: int, column: int) -> bool:
        """Whether no mutant is made there; columns count bytes to Python and letters to Cosmic Ray."""
        column = len(self.lines[line - 1][:column].encode())
        return any(begin <= (line, column) < end for begin, end in self.left_out)


def _left_out(node: ast.AST) -> Iterator[ast.expr | ast.stmt | ast.keyword]:
    """The parts of a node that are not mutated."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        yield from node.decorator_list
    for name in ("annotation", "returns"):
        if isinstance(part := getattr(node, name, None), ast.expr):
            yield part
    if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
        yield node.test
        yield from node.body
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id in ("isinstance", "issubclass", "cast", "NewType", "TypeVar"):
            yield from node.args
        if node.func.id == "zip":
            yield from (keyword for keyword in node.keywords if keyword.arg == "strict")
    if isinstance(node, ast.Assign) and _is_type(node.value):
        yield node.value


def _is_type(value: ast.expr) -> bool:
    """Whether a value is a union of types: names with capitals or None, with bars between."""
    if isinstance(value, ast.BinOp) and isinstance(value.op, ast.BitOr):
        return all(_is_type(side) or _names_a_type(side) for side in (value.left, value.right))
    return False


def _names_a_type(value: ast.expr) -> bool:
    name = ast.unparse(value).partition("[")[0].rpartition(".")[2]
    return name[:1].isupper() or name in ("int", "str", "bytes", "bool", "float", "tuple", "list", "dict")


def places(text: str, about: Sources) -> dict[int, list[Place]]:
    """Every place for a mutant, by line."""
    counts: dict[str, int] = defaultdict(int)
    found: dict[int, list[Place]] = defaultdict(list)
    decorated: set[int] = set()
    for node in ast_nodes(get_ast(text)):
        if node.type == "decorator":
            decorated.update(range(node.start_pos[0], node.end_pos[0] + 1))
        for name, operator in OPERATORS.items():
            for (line, column), _ in operator.mutation_positions(node):
                occurrence, counts[name] = counts[name], counts[name] + 1
                if line not in decorated and not about.leaves_out(line, column):
                    found[line].append(Place(name, occurrence, line, column))
    return found


def drawn(root: Path, rooms: dict[str, list[Path]], count: int, seed: int) -> list[Mutant]:
    """So many mutants, at most one a line, of each function in proportion to its lines."""
    chance = random.Random(seed)
    functions: list[list[tuple[str, Path, int, list[Place]]]] = []
    texts: dict[Path, str] = {}
    about: dict[Path, Sources] = {}
    for room, files in rooms.items():
        for file in files:
            texts[file] = file.read_text("utf-8")
            about[file] = Sources(texts[file])
            by_function = defaultdict(list)
            for line, found in sorted(places(texts[file], about[file]).items()):
                by_function[about[file].functions.get(line, "")].append((room, file, line, found))
            functions += by_function.values()
    chance.shuffle(functions)
    lines = [line for function in functions for line in function]
    step = max(1.0, len(lines) / count)
    begin = chance.random() * step
    chosen = [lines[int(begin + n * step)] for n in range(count) if int(begin + n * step) < len(lines)]
    made = []
    for room, file, _, found in chosen:
        mutant = _made(root, room, file, texts[file], about[file], _one_of(found, chance))
        if mutant is not None:
            made.append(mutant)
    chance.shuffle(made)
    return made


def _one_of(found: list[Place], chance: random.Random) -> Place:
    """One place of a line: first where, then what, so that an operator with many changes is not drawn more often."""
    where = chance.choice(sorted({place.column for place in found}))
    return chance.choice([place for place in found if place.column == where])


def _made(root: Path, room: str, file: Path, text: str, about: Sources, place: Place) -> Mutant | None:
    code = mutate_code(text, OPERATORS[place.operator], place.occurrence)
    if code is None or code == text:
        return None
    lines, source = code.splitlines(), about.lines[place.line - 1].strip()
    same = next((n for n, (a, b) in enumerate(zip(about.lines, lines, strict=False)) if a != b), place.line - 1)
    changed = lines[same].strip() if same < len(lines) else ""
    function = about.functions.get(place.line, "")
    return Mutant(room, str(file.relative_to(root)), function, place, source, changed, code)
