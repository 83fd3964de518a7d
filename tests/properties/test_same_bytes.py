"""The same script gives the same bytes, whatever the hash seed of the process."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = """language 2
piece "Three Watches"
    show letters
use french, german from ciphers
use summons from rhythms
name tamsin = "TAMSIN" by french
name hedda = "HEDDA" by german
motif lamp = tamsin -> as chord held 3/4
motif glint = tamsin -> in summons -> marked p staccato tenuto "calm" -> crescendo p f
forces
    reed = clarinet in A
    keys = piano
    drum = side drum
    a = violins
    b = violins
    c = violas
    d = cellos
    e = double basses
group strings = a, b, c, d, e
movement first "First Watch"
    meter 3/4
    key D minor
    tempo 1/4 at 96, "With the tide"
    reed: glint, hedda -> in (1/12) until end
    strings: lamp x 2
    keys: lamp -> up P8, hedda
    drum: (1/8 1/16 1/16 1/4 1/4 rest) x 3
cadenza alone
    reed: weave(tamsin, hedda)
"""
FILES = {"watch.ly", "watch.mid", "watch.musicxml", "watch-first.musicxml", "watch-alone.musicxml"}


def _built(folder: Path, seed: str) -> dict[str, bytes]:
    script = folder / "watch.cavata"
    out = folder / f"out-{seed}"
    script.write_text(SCRIPT, encoding="utf-8")
    command = [sys.executable, "-m", "cavata.cli.main", "build", str(script), "--fresh", "--to", "ly,musicxml,midi"]
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    done = subprocess.run(
        [*command, "--out", str(out)], env=environment, capture_output=True, text=True, timeout=900, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return {path.name: path.read_bytes() for path in sorted(out.iterdir())}


@pytest.mark.slow
def test_two_processes_give_the_same_bytes(tmp_path: Path) -> None:
    first, second = _built(tmp_path, "1"), _built(tmp_path, "4711")
    assert set(first) == FILES
    assert first == second
