"""Programs that stand in for LilyPond: they draw a small page and say something, or come to grief in their own way."""

from __future__ import annotations

from pathlib import Path

import pytest

DRAWS = "printf '%%PDF-1.4 IEND %%%%EOF' > score.pdf\n"
"""With what stands at the end of each kind of file."""
SAYS = "echo '{}' >&2\n"
SLEEPS = "sleep 60\n"
IS_KILLED = "kill -9 $$\n"
FAILS = SAYS.format("error: not today") + "exit 1\n"
HAS_NO_ROOM = SAYS.format("error while writing to output stream") + "exit 1\n"


def engrave_with(commands: str, folder: Path, patch: pytest.MonkeyPatch, at_first: str = "") -> None:
    """Let a shell script of these commands be the LilyPond from now on.

    It runs them when it is told to read a text, and `at_first` when it starts.
    """
    program = folder / "lilypond"
    program.write_text(f"#!/bin/sh\n{at_first}read -r _\n{commands}", "utf-8")
    program.chmod(0o755)
    patch.setenv("CAVATA_LILYPOND", str(program))
