"""How much the tests try by chance: a little each time, and as much more as one has time for.

`CAVATA_ROUNDS=10 pytest tests/properties` tries ten times as much.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

_TIMES = int(os.environ.get("CAVATA_ROUNDS", "1"))


def rounds(few: int) -> int:
    """How many tries to make where a few are made in an everyday run."""
    return few * _TIMES


def everyday(scripts: Iterable[Path]) -> list[Path]:
    """The scripts without the longest example, which takes as long as most others together; in more rounds all."""
    return [script for script in scripts if _TIMES > 1 or script.stem != "the-long-night"]
