"""A child process that cannot do harm for long: limits, no input but one text, and its group killed at the end.

It ends with us, even if we are killed without warning.

In: a command, a folder to work in, limits. Out: how it ended and what it wrote to its error output, which is also shown
line by line to whoever wants to follow. One that is told something may be started before it is known what.
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
import os, resource, select, signal, sys
cpu, memory, size, told = map(int, sys.argv[1:5])
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
    os.dup2(told if told else os.open(os.devnull, os.O_RDONLY), 0)
    try:
        os.execv(sys.argv[5], sys.argv[5:])
    finally:
        os._exit(127)
if told:
    os.close(told)
while True:
    if 0 in select.select([0, woken], [], [])[0]:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        import shutil
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
    """Bytes of address space; LilyPond needs less than 0.8 GB for half a megabyte of text, which few sheets have."""
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
    with LimitedChild(command, folder, limits) as child:
        return child.followed(heard, stop)


class LimitedChild:
    """A command that runs in a folder of its own, to be used in a `with` statement, after which it does not.

    Raises OSError where no process can be started.
    """

    def __init__(self, command: list[str], folder: Path, limits: ChildLimits, listens: bool = False) -> None:
        """`listens`: it reads from its standard input what it will be told; else there is nothing."""
        self._report = folder / "errors.txt"
        self._limits = limits
        self._child: subprocess.Popen[bytes] | None = None
        self._ours: list[int] = []
        """The ends that we hold: of its lifeline, and of the pipe by which it is told something."""
        theirs: list[int] = []
        posix = os.name == "posix"
        try:
            for _ in range(1 + listens):
                reads, writes = os.pipe()
                theirs.append(reads)
                self._ours.append(writes)
            with self._report.open("wb") as errors:
                self._child = subprocess.Popen(
                    _launched(command, limits, theirs[1] if listens else 0), cwd=folder, env=_environment(folder),
                    stdin=theirs[0 if posix else -1], stdout=subprocess.DEVNULL, stderr=errors,
                    start_new_session=True, close_fds=True, pass_fds=theirs[1:] if posix else (),
                )  # fmt: skip
        except BaseException:
            self.__exit__()
            raise
        finally:
            for end in theirs:
                os.close(end)

    def __enter__(self) -> LimitedChild:
        return self

    def __exit__(self, *_: object) -> None:
        while self._ours:
            os.close(self._ours.pop())
        child, self._child = self._child, None  # once: its number may be another's by then
        if child is not None:
            _end(child)

    def tell(self, text: str) -> None:
        """All that it is told, some words in one line; if it has ended already, nobody hears them."""
        with suppress(BrokenPipeError):
            os.write(self._ours[-1], text.encode("utf-8"))
        os.close(self._ours.pop())

    def followed(self, heard: Callable[[str], None] | None, stop: Event | None = None) -> Ended:
        """How it ends, or is ended."""
        assert self._child is not None
        stop = stop or Event()
        begun = time.monotonic()
        told = 0
        while (status := self._child.poll()) is None:
            told = _tell(self._report, told, heard)
            passed = time.monotonic() - begun
            if passed > self._limits.seconds or stop.is_set():
                return Ended(-signal.SIGTERM, passed > self._limits.seconds, _read(self._report))
            stop.wait(min(max(passed / 25, _SHORTEST_TICK), _LONGEST_TICK))
        _tell(self._report, told, heard)
        return Ended(status, False, _read(self._report))


def _launched(command: list[str], limits: ChildLimits, told: int) -> list[str]:
    """The command behind a small launcher that sets the limits, since a limit must be set from within.

    `told` is the descriptor at which it will be told something, or 0.

    Only on POSIX systems; elsewhere the command runs as it is.
    """
    if os.name != "posix":
        return command
    numbers = [str(limits.cpu_seconds), str(limits.memory), str(limits.file_size), str(told)]
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
