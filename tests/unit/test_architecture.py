"""The compiler is cut into rooms, and a room knows only those below it; the test reads every import, late ones too."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

from cavata.resources import folder

ROOT = folder("compiler") / "cavata"
TABLE = (ROOT.parents[1] / "DEVELOPERS.md").read_text("utf-8").partition("| room |")[2].partition("\n\n")[0]
ROOMS = (*re.findall(r"`(\w+)`", " ".join(re.findall(r"^\|([^|]+)\|", TABLE, re.MULTILINE))), "__main__")
"""As the developers' page tells them, from the ground up."""
FOR_ALL = frozenset(["__init__"])
"""The version: known to every room."""
LIBRARIES_OF = {
    "lilypond": frozenset(["abjad", "lilypond"]),
    "musicxml": frozenset(["music21"]),
    "sound": frozenset(["mido", "midirenderer", "pretty_midi", "soundfile"]),
    "draft": frozenset(["verovio", "typst", "fontTools"]),
    "editor": frozenset(["pygls", "lsprotocol"]),
    "trace": frozenset(["pyarrow", "dask", "distributed"]),
    "desk": frozenset(["starlette", "uvicorn", "watchfiles"]),
    "handbook": frozenset(["sphinx", "furo", "myst_parser"]),
    "tell": frozenset(["fluent"]),
    "foreign": frozenset(["music21"]),  # it reads other people's scores, and writes nothing with it
}
OUTPUT_LIBRARIES = frozenset[str]().union(*LIBRARIES_OF.values())
LONGEST_MODULE, LONGEST_FUNCTION = 600, 60
NAMELESS = frozenset(["util", "utils", "helper", "helpers", "common", "base", "misc", "lib"])
MODULES = sorted(ROOT.rglob("*.py"))


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def _tree(path: Path) -> ast.Module:
    return _parsed(path.read_text(encoding="utf-8"))


@cache
def _parsed(text: str) -> ast.Module:
    return ast.parse(text)


@cache
def _nodes(text: str) -> tuple[ast.AST, ...]:
    """All nodes of a module, from the outer to the inner."""
    return tuple(ast.walk(_parsed(text)))


def _imports(path: Path) -> list[tuple[str, int]]:
    """Every module that a file imports, anywhere in it, with the line."""
    return [imported for node in _nodes(path.read_text("utf-8")) for imported in _imported_by(path, node)]


def _imported_by(path: Path, node: ast.AST) -> Iterator[tuple[str, int]]:
    match node:
        case ast.Import(names):
            yield from ((alias.name, node.lineno) for alias in names)
        case ast.ImportFrom(module=module, names=names, level=0) if module is not None:
            known = module == "cavata"
            yield from ((f"cavata.{alias.name}" if known else module, node.lineno) for alias in names)
        case ast.ImportFrom():
            raise AssertionError(f"{_name(path)}:{node.lineno}: imports are written in full")


def _rooms_imported(path: Path) -> Iterator[tuple[str, int]]:
    """The rooms that a file imports from; a name of the package itself, as its version, is no room."""
    for module, line in _imports(path):
        parts = module.split(".")
        if parts[0] == "cavata" and len(parts) > 1 and not parts[1].startswith("_") and parts[1] != "EDITION":
            yield parts[1], line


def test_every_folder_is_a_room() -> None:
    assert len(ROOMS) == len(set(ROOMS)) > 40
    rooms = {_room(path) for path in MODULES} - FOR_ALL
    assert rooms ^ set(ROOMS) == set(), "each has its row in the table of rooms in DEVELOPERS.md"


def test_module_imports_only_rooms_below_its_own() -> None:
    found = []
    for path in MODULES:
        room = _room(path)
        below = ROOMS[: ROOMS.index(room) + 1] if room in ROOMS else ()
        allowed = FOR_ALL if room in FOR_ALL else {*below, *FOR_ALL}
        found += [(_name(path), other, line) for other, line in _rooms_imported(path) if other not in allowed]
    assert found == []


def test_the_check_of_imports_sees_late_ones(tmp_path: Path) -> None:
    late = tmp_path / "late.py"
    late.write_text("def f():\n    from cavata.cli.main import main\n    import abjad.get\n    return main\n")
    assert list(_rooms_imported(late)) == [("cli", 2)]
    assert [module for module, _ in _imports(late)] == ["cavata.cli.main", "abjad.get"]


def _module(path: Path, root: Path) -> str:
    return ".".join((root.name, *path.relative_to(root).with_suffix("").parts)).removesuffix(".__init__")


def _imported_on_loading(tree: ast.Module) -> Iterator[str]:
    """What a module imports outside of functions, and what it imports for its types only."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        match node := waiting.pop():
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                pass
            case ast.Import(names):
                yield from (alias.name for alias in names)
            case ast.ImportFrom(module=str(module), names=names):
                yield module
                yield from (f"{module}.{alias.name}" for alias in names)
            case _:
                waiting += ast.iter_child_nodes(node)


def _circle(paths: Iterable[Path], root: Path) -> list[str]:
    """Modules each of which imports the one before it, and the first the last; none where there is no circle."""
    known = {_module(path, root): path for path in paths}
    imports: Mapping[str, set[str]] = {
        name: {other for other in _imported_on_loading(_tree(path)) if other in known and other != name}
        for name, path in known.items() if path.stem != "__init__"
    }  # fmt: skip
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_modules_import_each_other() -> None:
    """Not even for their types: who reads one of them must have read the others."""
    assert _circle(MODULES, ROOT) == []


def test_the_check_of_circles_sees_imports_for_types_and_no_late_ones(tmp_path: Path) -> None:
    root = tmp_path / "cavata"
    (root / "room").mkdir(parents=True)
    one, two = root / "room" / "one.py", root / "room" / "two.py"
    one.write_text("from cavata.room import two as other\n")
    two.write_text("def f():\n    from cavata.room.one import g\n    return g\n")
    assert _circle([one, two], root) == []
    two.write_text("from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from cavata.room.one import g\n")
    assert set(_circle([one, two], root)) == {"cavata.room.one", "cavata.room.two"}


def test_libraries_of_output_are_known_to_their_own_room_only() -> None:
    found = {}
    for path in MODULES:
        imported = {module.split(".")[0] for module, _ in _imports(path)}
        found[_name(path)] = (imported & OUTPUT_LIBRARIES) - LIBRARIES_OF.get(_room(path), frozenset())
    assert {name: libraries for name, libraries in found.items() if libraries} == {}


def test_no_room_imports_the_tests() -> None:
    assert not {module.split(".")[0] for path in MODULES for module, _ in _imports(path)} & {"tests", "pytest"}


CHECKING = """
import json, sys
from cavata.cli.main import main
status = main(["check", sys.argv[1]])
print(json.dumps([status, sorted(name.partition(".")[0] for name in sys.modules)]))
"""


def test_checking_a_script_loads_no_library_of_music(tmp_path: Path) -> None:
    """It has to answer while one types; abjad and music21 alone take longer than the whole check."""
    script = tmp_path / "small.cavata"
    script.write_text(
        'language 2\nuse french from ciphers\nname ada = "ADA" by french\nforces\n    violin = violin\n'
        "movement first\n    violin: ada\n",
        encoding="utf-8",
    )
    run = subprocess.run([sys.executable, "-c", CHECKING, str(script)], capture_output=True, text=True, check=True)
    status, loaded = json.loads(run.stdout.splitlines()[-1])
    assert status == 0
    assert set(loaded) & {*OUTPUT_LIBRARIES, "numpy"} == set()
    assert {"cavata", "lark"} <= set(loaded)


# ---------------------------------------------------------------- style


def test_module_is_about_one_idea() -> None:
    lengths = {_name(path): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {name: length for name, length in lengths.items() if length > LONGEST_MODULE} == {}
    assert [_name(path) for path in MODULES if path.stem in NAMELESS] == []
    assert [_name(p) for p in MODULES if p.stem != "__init__" and not ast.get_docstring(_tree(p))] == []


STATED = frozenset(["Cipher", "Group", "Limit", "Movement", "Profile", "Section", "SharedStaff", "Tone"])
"""What a script states: a node of the tree bears the name of the thing, and is `t.Section` where both are known."""


def _types(tree: ast.Module) -> Iterator[str]:
    """Public classes of a module, and names that it gives to types of others."""
    for node in tree.body:
        match node:
            case ast.ClassDef(name=name) if not name.startswith("_"):
                yield name
            case ast.Assign(targets=[ast.Name(id=name)], value=value) if re.match("[A-Z]+[a-z]", name):
                if not (isinstance(value, ast.Call) and ast.unparse(value.func) == "TypeVar"):
                    yield name


def test_a_name_of_a_type_means_one_thing() -> None:
    found: dict[str, list[str]] = {}
    for path in MODULES:
        for name in _types(_tree(path)):
            found.setdefault(name, []).append(_name(path))
    several = {name: paths for name, paths in found.items() if len(paths) > 1}
    assert {name: paths for name, paths in several.items() if name not in STATED} == {}
    for name in STATED:
        assert sorted(path.startswith("syntax/") for path in several[name]) == [False, True], name


def test_functions_are_short() -> None:
    lengths = {
        (_name(path), node.name): (node.end_lineno or node.lineno) - node.lineno + 1
        for path in MODULES for node in _nodes(path.read_text("utf-8"))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    }  # fmt: skip
    assert {name: length for name, length in lengths.items() if length > LONGEST_FUNCTION} == {}


def _undocumented(node: ast.AST, above: str = "") -> Iterator[str]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.ClassDef) and not child.name.startswith("_"):
            if not ast.get_docstring(child):
                yield above + child.name
            if isinstance(child, ast.ClassDef):
                yield from _undocumented(child, child.name + ".")


def test_public_names_say_what_they_mean() -> None:
    """The builders of the tree are left out: their methods are called after the grammar's rules, which tell more."""
    paths = [path for path in MODULES if not _name(path).startswith("syntax/build")]
    assert [(_name(path), name) for path in paths for name in _undocumented(_tree(path))] == []
