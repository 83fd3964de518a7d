"""Ornaments and the like as the suites and the reference write them beside a note."""

from __future__ import annotations

from collections.abc import Iterator

from cavata.music.event import Marks
from cavata.music.said import figures_text


def dress(marks: Marks) -> Iterator[str]:
    """Signs in one word each.

    They are `trill`, `trill-m2`, `tremolo-16`, techniques, `graced-C4-D4`, `figures-6/4`, `label-R`,
    `optional`, `glissando`, `held-1:4`, `string-G`, `harmonic-P4`, `pedal`, `pedal-ends`.
    """
    for ornament in marks.ornaments:
        unit = str(ornament.unit.denominator) if ornament.unit else ""
        yield "-".join(text for text in (ornament.kind, str(ornament.to) if ornament.to else "", unit) if text)
    yield from marks.techniques
    if marks.graces:
        yield "graced-" + "-".join("+".join(str(head.pitch) for head in grace) for grace in marks.graces)
    yield from [f"figures-{figures_text(marks.figures)}"] if marks.figures else []
    yield from [f"label-{marks.label}"] if marks.label else []
    yield from ["optional"] * marks.optional
    yield from ["glissando"] * marks.glides
    yield from [f"held-{marks.held.numerator}:{marks.held.denominator}"] if marks.held else []
    yield from [f"string-{marks.string}"] if marks.string else []
    yield from [f"harmonic-{marks.harmonic}"] if marks.harmonic else []
    yield from ["spoken"] * marks.spoken + ["no stem"] * marks.stemless
    yield from [f"{marks.division} division"] if marks.division else []
    yield from ["pedal"] * marks.pedal_begins + ["pedal-ends"] * marks.pedal_ends
