"""The same script gives the same bytes, whatever the hash seed of the process."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "unit"))

from emit_midi_scores import one_line
from emit_musicxml_scores import full_of_signs

from cavata.cli.main import main
from cavata.musicxml.document import musicxml_bytes
from cavata.perform.perform import perform
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.sound.midi import midi_bytes

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


PROGRAM = "import sys; sys.path.insert(0, sys.argv[1]); import test_same_bytes; test_same_bytes.told(*sys.argv[2:])"


def made(script: str, out: str) -> dict[str, str]:
    """All outputs but pages, by what they are."""
    watches = str(folder("examples") / "three-watches" / "three-watches.cavata")
    assert main(["build", script, "--fresh", "--to", "ly,musicxml,midi", "--out", out]) == 0
    assert main(["map", watches, "--to", "svg", "--out", out]) == 0
    played = compile_script(folder("examples") / "piano" / "lamplight.cavata").score
    assert played is not None
    line = midi_bytes(one_line("C4+E4 1/4 p <, D4 1/12, E4 1/12, F4 1/12 f !"))
    files = {
        "a line": line, "signs": musicxml_bytes(full_of_signs(), "first"),
        "a performance": midi_bytes(played, perform(played)),
    }  # fmt: skip
    if find_spec("midirenderer"):
        from cavata.sound.audio import wav_bytes

        files["sound"] = wav_bytes(line)
    files |= {path.name: path.read_bytes() for path in Path(out).iterdir()}
    return {name: sha256(data).hexdigest() for name, data in sorted(files.items())}


def told(script: str, out: str) -> None:
    """Another process's own."""
    print(json.dumps(made(script, out)))


@pytest.mark.slow
def test_two_processes_give_the_same_bytes(tmp_path: Path) -> None:
    """Text, MusicXML and MIDI of a script and of single scores, a performance, sound, and the pictures of a map: here,
    under the hash seed that chance gave, and in a process with another."""
    script = tmp_path / "watch.cavata"
    script.write_text(SCRIPT, encoding="utf-8")
    here = made(str(script), str(tmp_path / "here"))
    command = [sys.executable, "-c", PROGRAM, str(Path(__file__).parent), str(script), str(tmp_path / "there")]
    environment = {**os.environ, "PYTHONHASHSEED": "4711"}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=900, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert FILES | {"a line", "signs", "a performance", "three-watches-map.svg"} <= set(here)
    assert here == json.loads(done.stdout.splitlines()[-1])
