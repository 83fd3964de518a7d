"""Two commands in turn, as whole processes: A B A B ...

In: two commands. Out: what each took, and the median of the ratios taken pair by pair, so that a machine whose speed
drifts moves both halves of a pair alike.
"""

from __future__ import annotations

import os
import resource
import subprocess
import time
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

Command = Sequence[str]


@dataclass(frozen=True, slots=True)
class Taken:
    """What one run took: seconds on the clock, and seconds of processor time with its children's."""

    wall: float
    cpu: float


@dataclass(frozen=True, slots=True)
class Pairs:
    """The runs of two commands, the first of each pair with the second."""

    first: tuple[Taken, ...]
    second: tuple[Taken, ...]

    @property
    def ratio(self) -> float:
        """The first's wall time over the second's, the median of the pairs."""
        return median(a.wall / b.wall for a, b in zip(self.first, self.second, strict=True))

    @property
    def cpu_ratio(self) -> float:
        """The same of processor time."""
        return median(a.cpu / b.cpu for a, b in zip(self.first, self.second, strict=True))


def taken(command: Command, environment: dict[str, str]) -> Taken:
    """Run a command to its end; raises CalledProcessError if it fails."""
    surroundings = {**os.environ, **environment}
    # An installed program has its modules compiled; where Python is told to keep none, only one side would be.
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=surroundings)
    wall = time.perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return Taken(wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def pairs(first: Command, second: Command, count: int, environment: dict[str, str]) -> Pairs:
    """So many pairs; one of each is run before and not counted, so that files and caches are warm."""
    taken(first, environment)
    taken(second, environment)
    runs = [(taken(first, environment), taken(second, environment)) for _ in range(count)]
    return Pairs(tuple(a for a, _ in runs), tuple(b for _, b in runs))
