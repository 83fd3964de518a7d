"""A child process that cannot do harm for long: limits, no input, and its group killed at the end.

In: a command, a folder to work in, limits. Out: how it ended and what it wrote to its error output, which is also shown
line by line to whoever wants to follow.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

_LIMITING = """
import os, resource, sys
cpu, memory, size = map(int, sys.argv[1:4])
for what, most in ((resource.RLIMIT_CPU, cpu), (resource.RLIMIT_AS, memory), (resource.RLIMIT_FSIZE, size),
                   (resource.RLIMIT_CORE, 0)):
    hard = resource.getrlimit(what)[1]
    try:
        resource.setrlimit(what, (most, most) if hard == resource.RLIM_INFINITY else (min(most, hard), hard))
    except (ValueError, OSError):
        pass
os.execv(sys.argv[4], sys.argv[4:])
"""
_PASSED_ON = (
    "HOME",
    "XDG_CACHE_HOME",
    "FONTCONFIG_PATH",
    "FONTCONFIG_FILE",
    "SYSTEMROOT",
    "LOCALAPPDATA",
    "USERPROFILE",
)
"""The variables a child sees besides PATH: what fonts and their cache are found by."""
_TICK = 0.02


@dataclass(frozen=True, slots=True)
class Limits:
    """How much one engraving may take."""

    seconds: float = 300
    """Of wall-clock time."""
    cpu_seconds: int = 600
    memory: int = 4 << 30
    """Bytes of address space; LilyPond needs about 0.25 GB for 32 pages of 10 parts."""
    file_size: int = 512 << 20
    """Bytes of the largest file it may write."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How a child ended."""

    status: int
    """Its exit status; negative for the signal that ended it."""
    timed_out: bool
    errors: str


def run_limited(command: list[str], folder: Path, limits: Limits, heard: Callable[[str], None]) -> Ended:
    """Run a command in a folder until it ends, is out of time, or the caller is interrupted.

    Raises OSError where no process can be started.
    """
    report = folder / "errors.txt"
    with report.open("wb") as errors:
        child = subprocess.Popen(
            _limited(command, limits), cwd=folder, env=_environment(folder), stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL, stderr=errors, start_new_session=True, close_fds=True,
        )  # fmt: skip
    deadline = time.monotonic() + limits.seconds
    told = 0
    try:
        while (status := _status(child)) is None:
            told = _tell(report, told, heard)
            if time.monotonic() > deadline:
                return Ended(-signal.SIGTERM, True, _read(report))
        _tell(report, told, heard)
        return Ended(status, False, _read(report))
    finally:
        _kill_group(child)


def _status(child: subprocess.Popen[bytes]) -> int | None:
    with suppress(subprocess.TimeoutExpired):
        return child.wait(_TICK)
    return None


def _limited(command: list[str], limits: Limits) -> list[str]:
    """The command behind a small launcher that sets the limits, since a limit must be set from within."""
    if os.name != "posix":
        return command
    numbers = [str(limits.cpu_seconds), str(limits.memory), str(limits.file_size)]
    return [sys.executable, "-I", "-S", "-c", _LIMITING, *numbers, *command]


def _environment(folder: Path) -> dict[str, str]:
    kept = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
    return kept | {"PATH": os.environ.get("PATH", os.defpath), "LC_ALL": "C.UTF-8", "TMPDIR": str(folder)}


def _read(report: Path) -> str:
    return report.read_text(encoding="utf-8", errors="replace")


def _tell(report: Path, told: int, heard: Callable[[str], None]) -> int:
    """Pass on what was written since; returns how far that was."""
    with report.open("rb") as written:
        written.seek(told)
        news = written.read()
    if news:
        heard(news.decode("utf-8", errors="replace"))
    return told + len(news)


def _kill_group(child: subprocess.Popen[bytes]) -> None:
    """End the child and whatever it started, also after it ended itself."""
    with suppress(OSError):
        if os.name == "posix":
            os.killpg(child.pid, signal.SIGKILL)
        else:
            child.kill()
    with suppress(subprocess.TimeoutExpired):
        child.wait(5)
