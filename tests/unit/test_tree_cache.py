"""Trees of scripts kept between runs: the same as if read afresh, and never in the way."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics
from cavata.resources import folder
from cavata.source import Source
from cavata.syntax import tree_cache
from cavata.syntax.parse import parse

TEXT = (folder("stdlib") / "ciphers.cavata").read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    return tmp_path / "cavata" / "trees"


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
