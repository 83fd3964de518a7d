"""Which script a folder stands for."""

from __future__ import annotations

from pathlib import Path

from cavata.names.loader import SUFFIX


def script_of(place: Path) -> Path:
    """The script itself; of a folder the one called like it, else its first by name."""
    if not place.is_dir():
        return place
    named = place / (place.resolve().name + SUFFIX)
    return named if named.is_file() else sorted(place.glob(f"*{SUFFIX}"))[0]
