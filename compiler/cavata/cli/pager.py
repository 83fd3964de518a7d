"""Long texts on a terminal, page by page, by the program that the user reads with elsewhere.

In: a text. Out: whether it was shown.
"""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from contextlib import suppress

VARIABLE = "PAGER"


def can_page() -> bool:
    """Whether there is somebody who reads and turns pages, and a program that shows them."""
    return sys.stdout.isatty() and sys.stdin.isatty() and os.environ.get("TERM") != "dumb" and bool(_command())


def _command() -> list[str]:
    """What `PAGER` names, else `less`; empty where that is not there, and where `PAGER` is empty or `cat`."""
    words = shlex.split(os.environ.get(VARIABLE, "less"))
    return words if words and words[0] != "cat" and shutil.which(words[0]) else []


def paged(text: str) -> bool:
    """Show a text page by page, where that can be, if it is longer than the screen; false where it was not shown."""
    if text.count("\n") < shutil.get_terminal_size().lines:
        return False
    import subprocess

    # As git asks `less`: end at once if all fits, keep colors, leave the screen as it is.
    environment = {"LESS": "FRX", **os.environ}
    try:
        pager = subprocess.Popen(_command(), stdin=subprocess.PIPE, env=environment, text=True, encoding="utf-8")
    except OSError:
        return False
    # A reader who has seen enough closes the pager before the end; an interruption is the pager's business.
    with suppress(BrokenPipeError, KeyboardInterrupt):
        pager.communicate(text)
    pager.wait()
    return True
