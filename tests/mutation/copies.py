"""Private copies of the checkout, in which mutants live; the checkout itself is only read."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
from pathlib import Path


def files_of(root: Path) -> list[str]:
    """The files of the checkout, those that are not committed yet included."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, cwd=root, capture_output=True, check=True).stdout.decode().split("\0")
    return sorted(name for name in listed if name and (root / name).is_file())


def digest(root: Path, names: list[str]) -> str:
    """What tells the state of these files from any other."""
    whole = hashlib.sha256()
    for name in names:
        whole.update(name.encode() + b"\0" + hashlib.sha256((root / name).read_bytes()).digest())
    return whole.hexdigest()[:16]


def copied(root: Path, copy: Path) -> Path:
    """A copy of the checkout's files."""
    for name in files_of(root):
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(root / name, copy / name)
    return copy


def surroundings(copy: Path, package: str, cache: Path) -> dict[str, str]:
    """The environment in which the copy's own sources are imported, whatever is installed."""
    return {**os.environ, "PYTHONPATH": str((copy / package).parent), "CAVATA_CACHE": str(cache)}


class Changed:
    """A file of a copy, changed for a while. Its time is another one every time: Python keeps what it compiled by time
    and size, and must not take one mutant for another."""

    _turn = 0

    def __init__(self, file: Path, code: str) -> None:
        self.file, self.code = file, code

    def __enter__(self) -> None:
        self.before, self.stat = self.file.read_bytes(), self.file.stat()
        Changed._turn += 1
        self.file.write_text(self.code, "utf-8")
        later = self.stat.st_mtime_ns + Changed._turn * 10_000_000_000
        os.utime(self.file, ns=(later, later))

    def __exit__(self, *_: object) -> None:
        self.file.write_bytes(self.before)
        os.utime(self.file, ns=(self.stat.st_atime_ns, self.stat.st_mtime_ns))
