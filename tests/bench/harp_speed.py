"""How long a plan of all pedal changes takes for a harp part of 300 bars, against importing music21.

    python tests/bench/harp_speed.py [COUNT]

Alternating pairs of fresh processes; each measures the processor time of the one thing alone. The part has eight notes
or chords a bar, goes through six keys, and every thirtieth note lies outside its key. Prints the median of the ratios;
the promise is at most 0.5. Not a timed test.
"""

from __future__ import annotations

import subprocess
import sys
from random import Random
from statistics import median

BARS, KEYS = 300, ("C", "F", "G", "Bb", "D", "Eb")
SCALES = {
    "C": "C D E F G A B", "F": "C D E F G A Bb", "G": "C D E F# G A B", "Bb": "C D Eb F G A Bb",
    "D": "C# D E F# G A B", "Eb": "C D Eb F G Ab Bb",
}  # fmt: skip
OUTSIDE = ("C#", "Eb", "F#", "Ab", "Bb")
_IMPORT = "from time import process_time as t\na = t()\nimport music21\nprint(t() - a)"
_PLAN = """
import sys
from pathlib import Path
from time import process_time as t
from cavata.pipeline import compile_script
from cavata.playing.strings.harp import plan_of
from cavata.playing.line import Line, Timing
score = compile_script(Path("bench.cavata"), text=sys.stdin.read()).score
movement = score.movements[0]
line = Line(score.parts[0], movement, movement.staves[0], score.parts[0].instrument, Timing(movement))
a = t()
plan_of(line)
print(t() - a)
"""


def script() -> str:
    """The part."""
    by, rows = Random(300), []
    for bar in range(BARS):
        scale = SCALES[KEYS[bar // 8 % len(KEYS)]].split()
        notes = [f"{by.choice(scale if by.random() < 29 / 30 else OUTSIDE)}{by.choice('456')}" for _ in range(8)]
        rows.append(f"notes(1/8 {' '.join(notes)})")
    movement = f"movement first\n    tempo 1/4 at 100\n    harp.right: {', '.join(rows)}\n"
    return f"language 2\nforces\n    harp = harp\n{movement}"


def seconds(program: str, text: str = "") -> float:
    """What a fresh process says."""
    run = subprocess.run([sys.executable, "-c", program], input=text, capture_output=True, text=True, check=True)
    return float(run.stdout)


if __name__ == "__main__":
    part = script()
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    print(f"{median(seconds(_PLAN, part) / seconds(_IMPORT) for _ in range(count)):.2f}")
