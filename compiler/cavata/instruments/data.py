"""Reading a table of the standard library, each file once, and kept as read from one run to the next."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import cast

from cavata import resources
from cavata.cache import keep, kept

Tables = Mapping[str, Mapping[str, object]]


@lru_cache(maxsize=4)
def table_of(name: str) -> Tables:
    """The tables of `stdlib/NAME.toml` by their headings."""
    file = resources.folder("stdlib") / f"{name}.toml"
    stamp = (str(file), file.stat().st_mtime_ns, file.stat().st_size)
    copy = resources.cache_folder("tables") / name
    match kept(copy):
        case (before, dict(tables)) if before == stamp:
            return cast(Tables, tables)
    # Reading this much of the format takes longer than all else that a check does with instruments.
    import tomllib

    read = tomllib.loads(file.read_text(encoding="utf-8"))
    keep(copy, (stamp, read))
    return read
