"""A child process that cannot do harm for long: limits, no input, and its group killed at the end.

It ends with us, even if we are killed without warning.

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
from threading import Event

_LAUNCHER = """
import os, resource, select, shutil, signal, sys
cpu, memory, size = map(int, sys.argv[1:4])
woken, wakes = os.pipe()
os.set_blocking(wakes, False)
signal.set_wakeup_fd(wakes, warn_on_full_buffer=False)
signal.signal(signal.SIGCHLD, lambda *_: None)
child = os.fork()
if not child:
    signal.set_wakeup_fd(-1)
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    for what, most in ((resource.RLIMIT_CPU, cpu), (resource.RLIMIT_AS, memory), (resource.RLIMIT_FSIZE, size),
                       (resource.RLIMIT_CORE, 0)):
        hard = resource.getrlimit(what)[1]
        try:
            resource.setrlimit(what, (most, most) if hard == resource.RLIM_INFINITY else (min(most, hard), hard))
        except (ValueError, OSError):
            pass
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    try:
        os.execv(sys.argv[4], sys.argv[4:])
    finally:
        os._exit(127)
while True:
    if 0 in select.select([0, woken], [], [])[0]:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        shutil.rmtree(os.getcwd(), ignore_errors=True)
        os.killpg(0, signal.SIGKILL)
    os.read(woken, 1)
    ended, status = os.waitpid(child, os.WNOHANG)
    if ended:
        status = os.waitstatus_to_exitcode(status)
        if status < 0:
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
            signal.signal(-status, signal.SIG_DFL) if -status not in (signal.SIGKILL, signal.SIGSTOP) else None
            os.kill(os.getpid(), -status)
        os._exit(status & 255)
"""
"""Starts the program within its limits and stays beside it. Its standard input is a pipe whose other end we hold: when
that closes because we are no more, however that came about, it ends the program and takes its folder away."""
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
_SHORTEST_TICK, _LONGEST_TICK = 0.005, 0.05
"""Seconds between two looks at the child: the longer it runs, the less a moment more matters."""
_PATIENCE = 5
"""Seconds for a child to end when it has to."""


@dataclass(frozen=True, slots=True)
class ChildLimits:
    """How much one child may take; the defaults are for an engraving."""

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


def run_limited(
    command: list[str], folder: Path, limits: ChildLimits, heard: Callable[[str], None] | None,
    stop: Event | None = None
) -> Ended:
    """Run a command in a folder until it ends, is out of time, is told to stop, or the caller is interrupted.

    The folder must be the command's own: it is taken away with the command if this process is killed. Raises OSError
    where no process can be started.
    """
    report = folder / "errors.txt"
    lifeline, held = os.pipe()
    child = None
    try:
        with report.open("wb") as errors:
            child = subprocess.Popen(
                _launched(command, limits), cwd=folder, env=_environment(folder), stdin=lifeline,
                stdout=subprocess.DEVNULL, stderr=errors, start_new_session=True, close_fds=True,
            )  # fmt: skip
        return _followed(child, report, limits, heard, stop or Event())
    finally:
        os.close(lifeline)
        os.close(held)
        if child:
            _end(child)


def _followed(
    child: subprocess.Popen[bytes], report: Path, limits: ChildLimits, heard: Callable[[str], None] | None, stop: Event
) -> Ended:
    begun = time.monotonic()
    told = 0
    while (status := child.poll()) is None:
        told = _tell(report, told, heard)
        passed = time.monotonic() - begun
        if passed > limits.seconds or stop.is_set():
            return Ended(-signal.SIGTERM, passed > limits.seconds, _read(report))
        stop.wait(min(max(passed / 25, _SHORTEST_TICK), _LONGEST_TICK))
    _tell(report, told, heard)
    return Ended(status, False, _read(report))


def _launched(command: list[str], limits: ChildLimits) -> list[str]:
    """The command behind a small launcher that sets the limits, since a limit must be set from within.

    Only on POSIX systems; elsewhere the command runs as it is.
    """
    if os.name != "posix":
        return command
    numbers = [str(limits.cpu_seconds), str(limits.memory), str(limits.file_size)]
    return [sys.executable, "-I", "-S", "-c", _LAUNCHER, *numbers, *command]


def _environment(folder: Path) -> dict[str, str]:
    kept = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
    return kept | {"PATH": os.environ.get("PATH", os.defpath), "LC_ALL": "C.UTF-8", "TMPDIR": str(folder)}


def _read(report: Path) -> str:
    return report.read_text(encoding="utf-8", errors="replace")


def _tell(report: Path, told: int, heard: Callable[[str], None] | None) -> int:
    """Pass on what was written since; returns how far that was."""
    if heard is None or report.stat().st_size == told:
        return told
    with report.open("rb") as written:
        written.seek(told)
        news = written.read()
    heard(news.decode("utf-8", errors="replace"))
    return told + len(news)


def _end(child: subprocess.Popen[bytes]) -> None:
    """See that the child is gone, and whatever it started, also after it ended itself.

    With its lifeline closed it ends by itself and leaves no one behind; should it not, it is ended from here.
    """
    if os.name == "posix":
        with suppress(subprocess.TimeoutExpired):
            child.wait(_PATIENCE)
    with suppress(OSError):
        if os.name == "posix":
            os.killpg(child.pid, signal.SIGKILL)
        else:
            child.kill()
    with suppress(subprocess.TimeoutExpired):
        child.wait(_PATIENCE)
