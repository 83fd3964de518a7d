"""Trees of scripts that were read before, kept in the user's cache folder.

In: a source. Out: its module, from the cache if the very same text was read without a message by the very same
compiler, else read afresh and kept. A file in the cache that cannot be used is passed over and written again.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from cavata import __version__, resources
from cavata.cache import keep, kept
from cavata.diagnostics import Diagnostics
from cavata.source import Source
from cavata.syntax.tree import Module

MOST_KEPT = 200
"""Trees in the cache, or up to twice as many; then the oldest make room."""


def read_module(source: Source, bag: Diagnostics) -> Module:
    """The tree of a source; what cannot be read is reported."""
    file = _file(source)
    module = _kept(file)
    if module is not None:
        return module
    # The parser and its library are loaded only when something has to be read.
    from cavata.syntax.parse import parse

    with bag.within() as own:
        module = parse(source, own)
    if own.is_empty:
        _keep(file, module)
    return module


@lru_cache(maxsize=1)
def _compiler() -> bytes:
    """What tells this compiler's trees from those of any other."""
    rooms = Path(__file__).parent, Path(__file__).parent.parent / "music"
    files = [*(file for room in rooms for file in room.glob("*.py")), resources.folder("grammar") / "cavata.lark"]
    stamps = [(file.name, file.stat().st_mtime_ns, file.stat().st_size) for file in sorted(files)]
    return repr((__version__, sys.version_info[:2], stamps)).encode()


def _file(source: Source) -> Path:
    key = sha256(_compiler())
    key.update(source.name.encode("utf-8", "surrogatepass") + b"\0" + source.text.encode("utf-8", "surrogatepass"))
    return resources.cache_folder("trees") / key.hexdigest()[:32]


def _kept(file: Path) -> Module | None:
    module = kept(file)
    return module if isinstance(module, Module) else None


def _keep(file: Path, module: Module) -> None:
    """Keep a tree, and make room for it."""
    keep(file, module)
    with suppress(OSError):
        trees = list(file.parent.iterdir())
        if len(trees) > 2 * MOST_KEPT:
            for old in sorted(trees, key=lambda path: path.stat().st_mtime_ns)[:-MOST_KEPT]:
                old.unlink()
