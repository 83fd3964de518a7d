"""Transforms of the library, note by note with their marks; `tests/spec/test_stdlib_index.py` tries every one."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics
from cavata.evaluate.evaluate import evaluate
from cavata.music.event import Event, Motif
from cavata.names.loader import load
from cavata.names.program import Identity
from cavata.names.resolve import resolve

TUNE = "notes(1/4 D4 F4, 1/2 A4)"


def shown(event: Event) -> str:
    """`A4:1/4` for a note, `D4+A4:1/2 p` for a marked chord."""
    pitches = "+".join(str(head.pitch) for head in event.heads)
    return f"{pitches}:{event.duration} {event.marks.dynamic}".strip()


def line(form: str) -> str:
    bag = Diagnostics()
    script = f"language 2\nuse {', '.join(CASES)} from transforms\nmotif tune = {TUNE}\nmotif line = tune -> {form}\n"
    loaded = load(Path("piece.cavata"), "piece.cavata", bag, text=script)
    assert loaded is not None
    plan = evaluate(resolve(loaded, bag), bag)
    assert bag.ordered() == (), bag.ordered()
    value = plan.values[Identity(plan.main, "line")]
    assert isinstance(value, Motif)
    return ", ".join(map(shown, value.events))


CASES = {
    "retrograde_inversion": ("retrograde_inversion D4", "G3:1/2, B3:1/4, D4:1/4"),
    "palindrome": ("palindrome", "D4:1/4, F4:1/4, A4:1/2, F4:1/4, D4:1/4"),
    "four_forms": (
        "four_forms D4",
        "D4:1/4, F4:1/4, A4:1/2, D4:1/4, B3:1/4, G3:1/2, A4:1/2, F4:1/4, D4:1/4, G3:1/2, B3:1/4, D4:1/4",
    ),
    "call_and_reply": ("call_and_reply D4", "D4:1/4, F4:1/4, A4:1/2, D4:1/4, B3:1/4, G3:1/2"),
    "echo": ("echo P8", "D4:1/4, F4:1/4, A4:1/2, D5:1/4 pp, F5:1/4, A5:1/2"),
    "fading_echoes": (
        "fading_echoes M2",
        "D4:1/4 mf, F4:1/4, A4:1/2, E4:1/4 p, G4:1/4, B4:1/2, F#4:1/4 pp, A4:1/4, C#5:1/2",
    ),
    "arch": ("arch M2", "D4:1/4, F4:1/4, A4:1/2, E4:1/4, G4:1/4, B4:1/2, D4:1/4, F4:1/4, A4:1/2"),
    "sigh": ("sigh m2", "D4:1/4, F4:1/4, A4:1/2, G#4:1/2 p"),
    "in_octaves": ("in_octaves", "D3+D4:1/4, F3+F4:1/4, A3+A4:1/2"),
    "organum": ("organum", "G3+D4:1/4, Bb3+F4:1/4, D4+A4:1/2"),
    "gathered": ("gathered 3/4", "D4+F4+A4:3/4"),
    "drone": ("drone 2/1", "D4:2"),
}


@pytest.mark.parametrize("name", CASES)
def test_library_transform(name: str) -> None:
    form, expected = CASES[name]
    assert line(form) == expected
