"""Figures of the library against pieces that are known for them.

Source: the left hand of Mozart, Piano Sonata K. 545, first movement, bars 1 to 4, as music21's corpus has it: the
usual example of an Alberti bass. The chords are those of its half bars.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from cavata.music.event import Motif
from cavata.names.program import Identity
from cavata.pipeline import compile_script

pytestmark = pytest.mark.slow

HALF_BARS = ("C4 E4 G4", "C4 E4 G4", "D4 F4 G4", "C4 E4 G4", "C4 F4 A4", "C4 E4 G4", "B3 D4 G4", "C4 E4 G4")


def test_alberti_bass_is_the_left_hand_of_mozarts_easy_sonata() -> None:
    from music21 import corpus

    left = corpus.parse("mozart/k545/movement1_exposition").parts[1]
    bars = list(left.getElementsByClass("Measure"))[:4]
    published = [(n.nameWithOctave, Fraction(n.quarterLength) / 4) for bar in bars for n in bar.recurse().notes]
    chords = " ".join(f"chord({chord})" for chord in HALF_BARS)
    script = f"language 2\nuse alberti from figures\nmotif left = notes(1/2 {chords}) -> in alberti\n"
    compiled = compile_script(Path("k545.cavata"), "k545.cavata", text=script)
    assert compiled.plan is not None
    value = compiled.plan.values[Identity(compiled.plan.main, "left")]
    assert isinstance(value, Motif)
    assert [(str(event.heads[0].pitch), event.duration) for event in value.events] == published
