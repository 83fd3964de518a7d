"""Where grammar, library and examples lie: beside `compiler/` in a checkout, inside the package in a wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder `grammar`, `stdlib` or `examples`."""
    packaged = _PACKAGE / name
    return packaged if packaged.is_dir() else _PACKAGE.parent.parent / name
