"""Notes that are divided so that a marking over bars can begin or end in them keep what was said of them.

What begins stands at the first of the tied notes, what ends at the last, a tremolo at each. Source: common practice.
"""

from __future__ import annotations

from pathlib import Path

from cavata.evaluate.text import event_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import Leaf, leaves
from cavata.pipeline import Compiled, compile_script, written
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n    a = {}\nmovement first\n    section one\n"


def compiled(*rows: str, on: str = "violin") -> Compiled:
    found = compile_script(Path("x.cavata"), text=HEAD.format(on) + "".join(f"        {row}\n" for row in rows))
    assert found.score is not None and not found.bag.ordered(), found.bag.ordered()
    return found


def page(*rows: str, on: str = "violin") -> list[Leaf]:
    score = compiled(*rows, on=on).score
    assert score is not None
    bars = written(score).movements[0].parts[0].staves[0].bars
    return [leaf for bar in bars for leaf in leaves(bar.voices[0])]


def test_tremolo_goes_on_to_the_last_tied_note() -> None:
    rows = ("a: chord(A4) -> tremolo 1/16 -> marked mf held 4 bars", "a bars 1 to 4: crescendo mf ff")
    assert [leaf.strokes for leaf in page(*rows)] == [2, 2, 2, 2]
    score = compiled(*rows).score
    assert score is not None
    document = musicxml_bytes(written(score), "first").decode()
    assert document.count("<tremolo") == 4


def test_what_ends_a_note_stays_at_its_end() -> None:
    signs = "chord(A4) -> marked accent -> fermata last -> sustain_pedal held 4 bars"
    for row in ("a bars 1 to 4: crescendo mf ff", "a bars 3 to 4: marked p"):
        found = page(f"a: {signs}", row, on="vibraphone")
        assert [leaf.marks.articulations for leaf in found] == [("accent",), (), (), ("fermata",)]
        assert [leaf.marks.pedal_begins for leaf in found] == [True, False, False, False]
        assert [leaf.marks.pedal_ends for leaf in found] == [False, False, False, True]


def test_slur_over_a_divided_note_ends_with_it() -> None:
    found = page("a: notes(1/1 C5, 2/1 D5) -> slurred", "a bars 2 to 3: crescendo p f")
    assert [(leaf.marks.slur_begins, leaf.marks.slur_ends) for leaf in found] == [
        (True, False), (False, False), (False, True)
    ]  # fmt: skip


def test_dynamic_that_a_hairpin_reached_stays_where_it_is() -> None:
    score = compiled("a: notes(1/2 C5, 3/2 D5) -> crescendo p f", "a bars 2 to 2: marked p").score
    assert score is not None
    events = [event_text(placed.event) for placed in score.movements[0].events]
    assert events == ["C5:1/2[p,crescendo]", "D5:1/2[f,hairpin-ends]", "D5:1[p]"]


def test_divided_note_sounds_as_one() -> None:
    plain = "a: chord(A4) -> fermata last held 4 bars"
    one, two = compiled(plain).score, compiled(plain, 'a bars 3 to 3: marked "calm"').score
    assert one is not None and two is not None
    assert midi_bytes(one) == midi_bytes(two)
