"""Sheets set by a process of its own are those set here, whatever becomes of that process."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere sheets are set in the one process")
SCRIPT = """language 1
forces
    fiddle = violin
movement first "First Watch"
    meter 4/4
    fiddle: notes(1/4 D5 E5 F5 G5) x 8
"""
BEGIN = """
import os, signal, threading, time
from pathlib import Path
from cavata.emit.lilypond_sheets import whole_sheet
from cavata.engrave.setter import Setter
from cavata.pipeline import compile_script, written
def children():
    return Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
sheet = whole_sheet(written(compile_script(Path("watch.cavata")).score))
setter = Setter(True)
begun = children()
"""
"""In a process of its own, since only one without threads may begin another."""


def said(folder: Path, program: str) -> list[str]:
    """The lines that a program says which has begun a setter."""
    (folder / "watch.cavata").write_text(SCRIPT, "utf-8")
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", BEGIN + program], cwd=folder, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0 and done.stderr == "", done.stderr
    return done.stdout.splitlines()


def test_text_is_the_same_beside_and_here(tmp_path: Path) -> None:
    program = """
beside = setter.text(sheet)
setter.close()
from cavata.emit.lilypond import sheet_text
print(len(begun), len(children()), beside == Setter(False).text(sheet) == sheet_text(sheet))
"""
    assert said(tmp_path, program) == ["1 0 True"]


def test_a_setter_that_is_gone_is_done_without(tmp_path: Path) -> None:
    program = """
os.kill(int(begun[0]), signal.SIGKILL)
from cavata.emit.lilypond import sheet_text
print(setter.text(sheet) == sheet_text(sheet), children())
"""
    assert said(tmp_path, program) == ["True []"]


def test_beside_other_threads_there_is_no_setter(tmp_path: Path) -> None:
    program = """
setter.close()
threading.Thread(target=time.sleep, args=(3,), daemon=True).start()
second = Setter(True)
from cavata.emit.lilypond import sheet_text
print(children(), second.text(sheet) == sheet_text(sheet))
"""
    assert said(tmp_path, program) == ["[] True"]


def test_a_setter_ends_with_whoever_began_it(tmp_path: Path) -> None:
    """Also where that one has no time to tell it: it waits at a pipe whose other end is gone then."""
    (pid,) = said(tmp_path, "print(begun[0], flush=True)\nos._exit(0)")
    patience = time.monotonic() + 20
    while Path("/proc", pid).exists() and time.monotonic() < patience:
        time.sleep(0.02)
    assert not Path("/proc", pid).exists()
