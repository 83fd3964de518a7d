"""A hairpin on a single note: it ends within the note, in every output."""

from __future__ import annotations

import re
from pathlib import Path

from cavata.emit.lilypond import lilypond_text
from cavata.emit.musicxml import musicxml_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written

SCRIPT = """\
language 1
forces
    drum = timpani
movement first
    drum: notes(1/1 A2) -> tremolo -> crescendo p f, notes(1/1 A2), notes(1/1 D3)
"""


def page() -> WrittenScore:
    compiled = compile_script(Path("lone.cavata"), text=SCRIPT)
    assert compiled.score is not None and not compiled.bag.ordered()
    return written(compiled.score)


def test_lilypond_ends_it_before_the_next_note() -> None:
    text = " ".join(lilypond_text(page()).split())
    assert re.search(r"\\after 1\*7/8 \\! a,1 :32 \\p \\<", text), text


def test_musicxml_stops_the_wedge_after_its_note() -> None:
    text = musicxml_bytes(page(), "first").decode()
    signs = re.findall(r'wedge type="(\w+)"|<(note)[ >]|<measure number="(\d)"', text)
    assert ["".join(sign) for sign in signs] == ["1", "crescendo", "note", "stop", "2", "note", "3", "note"]
