"""One script through our passes, then through music21's fast exporter; prints the seconds of each.

    python exported.py SCRIPT.cavata

The first figure is from the text to written bars, the second is what `ScoreExporter(makeNotation=False)` then takes
to make its element tree of the music21 score that the emitter has built. What either needs is imported before.
"""

import gc
import sys
import time
from pathlib import Path

from music21.musicxml.m21ToXml import ScoreExporter

import cavata.notate.notate  # noqa: F401
from cavata.musicxml.score import music21_score
from cavata.pipeline import compile_script, written

gc.disable()  # as the emitter does around the exporter; the command line lets our passes be collected as seldom
script = Path(sys.argv[1])
begun = time.perf_counter()
score = compile_script(script).score
assert score is not None
page = written(score)
passed = time.perf_counter()
made = music21_score(page, page.movements[0]).score
exporting = time.perf_counter()
ScoreExporter(made, makeNotation=False).parse()
print(passed - begun, time.perf_counter() - exporting)
