"""What holds for the whole suite: the options `--update` and `--quick`, the order of the files, and the usual desk.

`--update` rewrites what the tests compare with; `--quick` leaves out what is marked `slow`.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings
from rounds import rounds

if TYPE_CHECKING:
    from cavata.desk.server import Server

# What a composer keeps at home must not reach the tests, nor how the window is in which they run.
for name in ("CAVATA_LIBRARY", "COLUMNS", "NO_COLOR", "PAGER"):
    os.environ.pop(name, None)

# How busy the machine is must not decide whether a test passes.
settings.register_profile(
    "calm", deadline=None, max_examples=rounds(24), suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("calm")

TESTS = Path(__file__).parent
LONGEST = (
    "test_part_pages", "test_foreign_readers", "test_desk_score_page", "test_trace_messages", "test_trace_chance",
    "test_engrave", "test_packaging", "test_desk_sound_page", "test_story_guide", "test_messages", "test_guide_page",
    "test_bad_input", "test_trace_library", "test_desk_offers_page", "test_combine", "test_desk_page",
    "test_kept_pages", "test_emit_audio", "test_renewed", "test_desk_folder", "test_engrave_sheets",
    "test_page_read_back", "test_engrave_killed", "test_compare_git", "test_errata", "test_stretches",
)
"""The files that take longest, which come first, so that the processes end together."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update", action="store_true", help="rewrite what is compared with")
    parser.addoption("--quick", action="store_true", help="leave out the tests that are marked slow")


def pytest_configure(config: pytest.Config) -> None:
    """One of the processes begins with the last folder: of a file that was never looked into, `assert` is made ready
    by one of them and found so by the others."""
    if os.environ.get("PYTEST_XDIST_WORKER") == "gw1" and [Path(each).resolve() for each in config.args] == [TESTS]:
        config.args[:] = sorted((str(folder) for folder in TESTS.iterdir() if folder.is_dir()), reverse=True)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--quick"):
        slow = [item for item in items if item.get_closest_marker("slow")]
        config.hook.pytest_deselected(items=slow)
        items[:] = [item for item in items if not item.get_closest_marker("slow")]
    if "PYTEST_XDIST_WORKER" in os.environ:  # where xdist says that there are no other processes
        turns = {name: turn for turn, name in enumerate(LONGEST)}
        items.sort(key=lambda item: (turns.get(item.path.stem, len(turns)), item.path))


def pytest_collection_finish() -> None:
    """What was collected stays to the end; collected as seldom as on the command line, garbage costs a fifth less."""
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)


@pytest.fixture(scope="module", autouse=True)
def left_by_the_files_before() -> None:
    """What tests of earlier files keep is looked through no more, or each `gc.collect` of the compiler took seconds."""
    gc.freeze()


@pytest.fixture
def script(tmp_path: Path) -> Path:
    """A small piece in a folder of its own."""
    from desks import SCRIPT  # only tests of desks load them

    path = tmp_path / "lamp.cavata"
    path.write_text(SCRIPT, "utf-8")
    return path


@pytest.fixture
def server(script: Path) -> Iterator[Server]:
    """Its desk."""
    from desks import served

    with served(script) as server:
        yield server
