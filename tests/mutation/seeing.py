"""A plugin of pytest: which test runs which line, and how long it takes.

`pytest -p seeing` with `MUTATION_SEEN` naming a folder and `MUTATION_PACKAGE` the sources. Every process of xdist
writes files of its own there: `lines.*` for coverage, a context a test, and `times.*.jsonl`.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

import coverage
import pytest

_FOLDER = Path(os.environ["MUTATION_SEEN"])
_WHO = os.environ.get("PYTEST_XDIST_WORKER", "alone")
_WATCH = coverage.Coverage(
    data_file=str(_FOLDER / f"lines.{_WHO}"),
    include=[os.environ["MUTATION_PACKAGE"] + "/*"],
    config_file=False,
)
_WATCH.start()


def _spent() -> float:
    """Seconds of the processor so far, of this process and of the children that have ended."""
    return sum(os.times()[:4])


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """A context for each test, its fixtures included."""
    _WATCH.switch_context(item.nodeid)
    begun = _spent()
    yield
    seconds = _spent() - begun
    _WATCH.switch_context("")
    with (_FOLDER / f"times.{_WHO}.jsonl").open("a") as times:
        times.write(json.dumps([item.nodeid, round(seconds, 4)]) + "\n")


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test that fails on the unchanged tree says nothing about a mutant."""
    if report.failed:
        with (_FOLDER / f"failed.{_WHO}.txt").open("a") as failed:
            failed.write(report.nodeid + "\n")


def pytest_sessionfinish() -> None:
    """Keep what was seen."""
    _WATCH.stop()
    _WATCH.save()
