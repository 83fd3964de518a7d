"""How much the tests try by chance: a little each time, and as much more as one has time for.

`CAVATA_ROUNDS=10 pytest tests/properties` tries ten times as much.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TypeVar

_Any = TypeVar("_Any")
_TIMES = int(os.environ.get("CAVATA_ROUNDS", "1"))


def rounds(few: int) -> int:
    """How many tries to make where a few are made in an everyday run."""
    return few * _TIMES


def everyday(scripts: Iterable[Path]) -> list[Path]:
    """The scripts without the longest example, which takes as long as most others together; in more rounds all."""
    return [script for script in scripts if _TIMES > 1 or script.stem != "the-long-night"]


def some_of(cases: Sequence[_Any], nth: int) -> Sequence[_Any]:
    """Each so many-th of many cases that are much alike; in as many rounds all of them."""
    return cases[:: max(nth // _TIMES, 1)]
