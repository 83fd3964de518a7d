"""Trees of scripts kept between runs: the same as if read afresh, and never in the way."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cavata.cache import TREES
from cavata.diagnostics import Diagnostics
from cavata.record import SLOTS
from cavata.resources import folder
from cavata.source import Source
from cavata.syntax import tree, tree_cache, tree_values
from cavata.syntax.parse import parse, parser_and_builder
from cavata.syntax.tree_cache import packed, unpacked

GOLDEN = Path(__file__).parent.parent / "golden"
EXAMPLES = folder("examples").glob("*/*.cavata")
SCRIPTS = sorted((*folder("stdlib").glob("*.cavata"), *EXAMPLES, *GOLDEN.glob("[!e]*/*.cavata")))
TEXT = (folder("stdlib") / "ciphers.cavata").read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    return tmp_path / "cavata" / "trees"

VERSION = """version solo "for one"
    cello plays horn
    without drum
    cello -> down P8
    tempi x 9:8
    without require cello within C2..C4
"""


PROFILE = """profile small_hands like amateurs
    breath 0.5 times
require
    cello playable by small_hands
"""


def _shape(value: object) -> object:
    """A tree with every span as its offsets, so that trees of two sources can be compared."""
    if isinstance(value, Source):
        return value.name, value.text
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return type(value).__name__, [_shape(getattr(value, f.name)) for f in dataclasses.fields(value)]
    return [_shape(v) for v in value] if isinstance(value, tuple) else value


def test_kept_tree_is_the_tree_read_afresh(own_cache: Path) -> None:
    first = tree_cache.read_module(Source("library", TEXT), Diagnostics())
    assert len(list(own_cache.iterdir())) == 1
    second = tree_cache.read_module(Source("library", TEXT), Diagnostics())
    assert second is not first
    assert _shape(second) == _shape(parse(Source("library", TEXT), Diagnostics()))


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_every_kind_of_node_comes_back(own_cache: Path, script: Path) -> None:
    source, bag = Source(script.name, script.read_text(encoding="utf-8")), Diagnostics()
    module = parse(source, bag)
    assert not bag.collected
    assert _shape(unpacked(packed(module), source)) == _shape(module)


def test_scripts_have_every_kind_of_node() -> None:
    """But what could not be read; a mode of one's own, a scordatura, a version and a profile are read here."""
    sources = [Source(script.name, script.read_text(encoding="utf-8")) for script in SCRIPTS]
    sources.append(Source("mode", "mode lamp = D F G A C\nforces\n    a = viola, tuned C3 F3 C4 F4\n"))
    sources.append(Source("tune", 'motif tide = from "sketch.musicxml" part 1 bars 1 to 8\n'))
    sources.append(Source("version", VERSION))
    sources.append(Source("profile", PROFILE))
    sources.append(Source("list", "transform own(m, n) = m -> sharp n\nmotif a = m -> own (1 2..last)\n"))
    modules = [parse(source, Diagnostics()) for source in sources]
    kept = b"".join(map(packed, modules)).decode()
    rooms = (tree.__name__, tree_values.__name__)
    known = {kind.__qualname__ for kind in SLOTS if kind.__module__ in rooms}
    assert known - set(re.findall(r"cavata\.syntax\.\w+\.(\w+)", kept)) == {"Broken"}
    assert _shape(unpacked(packed(modules[-1]), sources[-1])) == _shape(modules[-1])


def test_the_grammar_kept_reads_as_the_grammar_built(own_cache: Path) -> None:
    """The parser of a process that finds nothing in the cache, and that of the next one."""
    trees, built = [], []
    for _ in range(2):
        parser_and_builder.cache_clear()
        bag = Diagnostics()
        trees.append((_shape(parse(Source("a", TEXT + "\nmotif x = y z\n"), bag)), bag.ordered()))
        built.append({path.name for path in (own_cache.parent / "grammars").iterdir()})
    parser_and_builder.cache_clear()
    assert built[0] == built[1] != set()
    assert trees[0][0] == trees[1][0]
    assert [str(d.message) for d in trees[0][1]] == [str(d.message) for d in trees[1][1]] != []


LOADS_LARK = "import sys; from cavata.cli.main import main; main(sys.argv[1:]); print('lark' in sys.modules)"


@pytest.mark.slow
def test_a_script_that_was_read_before_does_not_load_the_parser(tmp_path: Path) -> None:
    script = tmp_path / "small.cavata"
    script.write_text("language 2\nuse french from ciphers\nname ada = \"ADA\" by french\n", "utf-8")
    command = [sys.executable, "-c", LOADS_LARK, "check", str(script)]
    said = [subprocess.run(command, capture_output=True, text=True, check=True).stdout.split() for _ in range(2)]
    assert [one[-1] for one in said] == ["True", "False"]


@pytest.mark.parametrize(
    "body",
    [b"", b"null", b"[]", b"[[],[[],[]],[[],[]],[]]", b"[[1],[[],[]],[[],[]],[]]", b"[" * 100_000,
     b'[[],[[1],[0]],[[],[]],[]]', b'[[],[[],[]],[[],[]],[["os.system",[[0]]]]]',
     b'[[],[[],[]],[[],[]],[["cavata.syntax.tree.Module",[[0],[99]]]]]',
     b'[[],[[],[]],[[],[]],[["cavata.syntax.tree.Module",[[0]]]]]', b"\xff"],
)  # fmt: skip
def test_what_is_no_tree_is_read_afresh(own_cache: Path, body: bytes) -> None:
    """Also where the checksum is right."""
    tree_cache.read_module(Source("library", TEXT), Diagnostics())
    (kept,) = own_cache.iterdir()
    TREES.write(kept.name, body)
    module = tree_cache.read_module(Source("library", TEXT), Diagnostics())
    assert _shape(module) == _shape(parse(Source("library", TEXT), Diagnostics()))
    assert TREES.read(kept.name) == packed(module)


def test_damaged_file_is_read_again_and_written_again(own_cache: Path) -> None:
    tree_cache.read_module(Source("library", TEXT), Diagnostics())
    (kept,) = own_cache.iterdir()
    whole = kept.read_bytes()
    for damage in (b"", whole[: len(whole) // 2], b"\x80\x05N.", b"no pickle"):
        kept.write_bytes(damage)
        module = tree_cache.read_module(Source("library", TEXT), Diagnostics())
        assert _shape(module) == _shape(parse(Source("library", TEXT), Diagnostics()))
        assert kept.read_bytes() == whole


def test_script_with_a_message_is_not_kept(own_cache: Path) -> None:
    for _ in range(2):
        bag = Diagnostics()
        tree_cache.read_module(Source("library", TEXT + "\nmotiff x = y\n"), bag)
        assert [d.code for d in bag.ordered()] == ["S110"]
    assert not own_cache.exists()


def test_another_text_or_name_has_another_tree(own_cache: Path) -> None:
    for name, text in (("a", TEXT), ("b", TEXT), ("a", TEXT + "-- more\n")):
        assert tree_cache.read_module(Source(name, text), Diagnostics()).source.text == text
    assert len(list(own_cache.iterdir())) == 3
