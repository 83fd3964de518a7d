"""Sheets set by a process of its own are those set here, whatever becomes of that process."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cavata.emit.lilypond import sheet_text
from cavata.emit.lilypond_sheets import Sheet, whole_sheet
from cavata.engrave.setter import Setter
from cavata.pipeline import compile_script, written

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere sheets are set in the one process")
SCRIPT = """language 1
forces
    fiddle = violin
movement first "First Watch"
    meter 4/4
    fiddle: notes(1/4 D5 E5 F5 G5) x 8
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Sheet:
    (tmp_path / "watch.cavata").write_text(SCRIPT, "utf-8")
    score = compile_script(tmp_path / "watch.cavata").score
    assert score is not None
    return whole_sheet(written(score))


def children() -> set[int]:
    """The processes that this one has begun and that still are."""
    told = Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
    return {int(number) for number in told}


def test_text_is_the_same_beside_and_here(sheet: Sheet) -> None:
    before = children()
    beside, here = Setter(True), Setter(False)
    assert len(children() - before) == 1
    assert beside.text(sheet) == here.text(sheet) == sheet_text(sheet)
    beside.close()
    here.close()
    assert children() <= before


def test_a_setter_that_is_gone_is_done_without(sheet: Sheet) -> None:
    before = children()
    setter = Setter(True)
    (process,) = children() - before
    os.kill(process, signal.SIGKILL)
    assert setter.text(sheet) == sheet_text(sheet)
    setter.close()


def test_a_setter_ends_with_whoever_began_it() -> None:
    """Also where that one is killed outright: it waits at a pipe whose other end is gone then."""
    program = (
        "import os, time; from cavata.engrave.setter import Setter; setter = Setter(True); "
        "print(open(f'/proc/self/task/{os.getpid()}/children').read(), flush=True); time.sleep(60)"
    )
    owner = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
    assert owner.stdout is not None
    setter = Path("/proc") / owner.stdout.readline().strip()
    assert setter.name.isdecimal() and setter.exists()
    owner.kill()
    owner.wait()
    patience = time.monotonic() + 20
    while setter.exists() and time.monotonic() < patience:
        time.sleep(0.02)
    assert not setter.exists()
