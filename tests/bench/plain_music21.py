"""The program one writes with music21 for a score of one movement: notes appended to parts, then `write`.

    python plain_music21.py SCORE.json OUT.musicxml

It stands for what a person would type. The notes come from a file instead of from ten thousand lines.
"""

import json
import sys
from fractions import Fraction
from pathlib import Path

from music21 import clef, dynamics, instrument, key, metadata, meter, note, stream, tempo

INSTRUMENTS = {
    "Flute": instrument.Flute, "Oboe": instrument.Oboe, "Clarinet in B♭": instrument.Clarinet,
    "Bassoon": instrument.Bassoon, "Horn": instrument.Horn, "Violins": instrument.Violin, "Violas": instrument.Viola,
    "Cellos": instrument.Violoncello, "Double basses": instrument.Contrabass,
}  # fmt: skip

data = json.loads(Path(sys.argv[1]).read_text("utf-8"))
score = stream.Score()
score.metadata = metadata.Metadata(title=data["title"], composer=data["composer"])
for number, lines in enumerate(data["parts"]):
    part = stream.Part()
    part.partName = lines["name"]
    made = next((kind for name, kind in INSTRUMENTS.items() if lines["name"].startswith(name)), instrument.Instrument)
    part.append(made())
    part.append(clef.BassClef() if made in (instrument.Bassoon, instrument.Violoncello) else clef.TrebleClef())
    part.append(key.Key("C"))
    part.append(meter.TimeSignature("4/4"))
    if number == 0:
        part.append(tempo.MetronomeMark(number=96))
    for pitch, numerator, denominator in lines["events"]:
        length = Fraction(numerator, denominator)
        part.append(note.Note(pitch, quarterLength=length) if pitch else note.Rest(quarterLength=length))
    for numerator, denominator, word in lines["dynamics"]:
        part.insert(Fraction(numerator, denominator), dynamics.Dynamic(word))
    score.insert(0, part)
score.write("musicxml", fp=sys.argv[2])
