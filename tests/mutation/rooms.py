"""What is mutated, and which tests are asked: patterns of files, a room a line.

A room is a folder of the compiler, or some modules of one. Patterns are those of `Path.glob`, from the compiler's
package on for sources and from `tests` on for tests; a pattern that finds nothing is passed over, so a room may be
named as it was and as it will be. A room that is not in the table is the folder of that name.
"""

from __future__ import annotations

from pathlib import Path

SOURCES = {
    "lilypond": ("**/lilypond/**/*.py", "**/lilypond*.py"),
    "musicxml": ("**/musicxml/**/*.py", "**/musicxml*.py"),
}
DEFAULT = ("place", "notate", "edition", "transforms", "lilypond", "musicxml")
"""The rooms that make the music on the page."""

TELLING = {
    "place": ("golden/test_small.py", "spec/test_suites.py", "unit/test_place*.py", "unit/test_limits.py"),
    "notate": ("golden/*.py", "unit/test_notate*.py", "unit/test_page*.py"),
    "edition": (
        "golden/test_small.py", "unit/test_short_score.py", "unit/test_cues*.py", "unit/test_shared*.py",
        "unit/test_title*.py",
    ),
    "transforms": (
        "spec/test_suites.py", "golden/test_small.py", "unit/test_limits.py", "unit/test_transforms*.py",
        "properties/test_transform*.py",
    ),
    "lilypond": ("golden/*.py", "unit/test_emit_lilypond*.py"),
    "musicxml": ("golden/*.py", "unit/test_emit_musicxml*.py"),
}
"""The tests that are asked first: fast, and about that room."""

NEVER = (
    "**/test_architecture.py",
    "**/test_engrave_killed.py",
    "**/test_packaging.py",
    "browser/*.py",
)
"""Tests that read the text of the sources, or build and start other programs at length: they tell little."""


def sources(package: Path, room: str) -> list[Path]:
    """The modules of a room."""
    patterns = SOURCES.get(room, (f"**/{room}/**/*.py",))
    return sorted({path for pattern in patterns for path in package.glob(pattern)})


def matching(tests: Path, patterns: tuple[str, ...]) -> set[str]:
    """The test files that some patterns find, named from the folder above `tests`."""
    return {str(path.relative_to(tests.parent)) for pattern in patterns for path in tests.glob(pattern)}
