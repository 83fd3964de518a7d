"""For which machines the engravers are packaged, so that no cure is shown where it does not work.

In: the machine this runs on. Out: yes or no. Looked up in the package index on 2026-11-30; `pyproject.toml` says the
same in its markers, and a test compares them.
"""

from __future__ import annotations

import platform
import sys

_LILYPOND = frozenset([("linux", "x86_64"), ("darwin", "x86_64"), ("win32", "AMD64")])
_DRAFTS = _LILYPOND | {("linux", "aarch64"), ("darwin", "arm64")}
_PLAYERS = _DRAFTS - {("linux", "aarch64")}


def lilypond_wheel() -> bool:
    """Whether `pip` can install LilyPond here."""
    return _machine() in _LILYPOND


def draft_wheels() -> bool:
    """Whether `pip` can install Verovio and typst here."""
    return _machine() in _DRAFTS


def player_wheel() -> bool:
    """Whether `pip` can install what plays MIDI files here."""
    return _machine() in _PLAYERS


def _machine() -> tuple[str, str]:
    return sys.platform, platform.machine()
