"""The same script gives the same bytes, whatever the hash seed of the process."""

from __future__ import annotations

import json
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
SCORES = Path(__file__).resolve().parent.parent / "unit"
"""Where the scores of the tests of emitters lie."""
FILES = {"watch.ly", "watch.mid", "watch.musicxml", "watch-first.musicxml", "watch-alone.musicxml"}


PROGRAM = """
import json, sys
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

sys.path.insert(0, sys.argv[1])
from emit_midi_scores import one_line
from emit_musicxml_scores import full_of_signs

from cavata.cli.main import main
from cavata.musicxml.document import musicxml_bytes
from cavata.perform.perform import perform
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.sound.midi import midi_bytes

script, out = sys.argv[2:]
watches = str(folder("examples") / "three-watches" / "three-watches.cavata")
assert main(["build", script, "--fresh", "--to", "ly,musicxml,midi", "--out", out]) == 0
assert main(["map", watches, "--to", "svg", "--out", out]) == 0
played = compile_script(folder("examples") / "piano" / "lamplight.cavata").score
line = midi_bytes(one_line("C4+E4 1/4 p <, D4 1/12, E4 1/12, F4 1/12 f !"))
made = {
    "a line": line, "signs": musicxml_bytes(full_of_signs(), "first"),
    "a performance": midi_bytes(played, perform(played)),
}
if find_spec("midirenderer"):
    from cavata.sound.audio import wav_bytes

    made["sound"] = wav_bytes(line)
made |= {path.name: path.read_bytes() for path in Path(out).iterdir()}
print(json.dumps({name: sha256(data).hexdigest() for name, data in sorted(made.items())}))
"""
"""Makes all outputs but pages, and prints what they are."""


def _made(folder: Path, seed: str) -> dict[str, str]:
    script = folder / "watch.cavata"
    script.write_text(SCRIPT, encoding="utf-8")
    command = [sys.executable, "-c", PROGRAM, str(SCORES), str(script), str(folder / f"out-{seed}")]
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=900, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    digests: dict[str, str] = json.loads(done.stdout.splitlines()[-1])
    return digests


@pytest.mark.slow
def test_two_processes_give_the_same_bytes(tmp_path: Path) -> None:
    """Text, MusicXML and MIDI of a script and of single scores, a performance, sound, and the pictures of a map."""
    first, second = _made(tmp_path, "1"), _made(tmp_path, "4711")
    assert FILES | {"a line", "signs", "a performance", "three-watches-map.svg"} <= set(first)
    assert first == second
