"""The third staff of a keyboard: an organ's pedal, and a staff between the hands.

Source: the documentation of MusicXML 4.0 on `part-symbol` ("in a 3-staff organ part, the top-staff will typically be 1
for the right hand, while the bottom-staff will typically be 2 for the left hand. Staff 3 for the pedals is usually
outside the brace"); bar lines that stop before the pedal, and its bass clef: common practice.
"""

from __future__ import annotations

from pathlib import Path
from xml.etree.ElementTree import fromstring

from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.score.score import Score

FORCES = "    organ = organ\n    piano = piano\n    violin = violin\n"


def score_of(*rows: str) -> Score:
    block = "".join(f"    {row}\n" for row in rows)
    return score_from(f"language 2\nforces\n{FORCES}movement first\n{block}")


def page_of(score: Score) -> str:
    return " ".join(lilypond_text(written(score)).split())


def test_the_pedal_stands_outside_the_brace() -> None:
    score = score_of("organ: notes(1/4 D5)", "organ.pedal: notes(1/4 C2)")
    text = page_of(score)
    manuals = text[text.index('\\context PianoStaff = "P1"') : text.index('\\context Staff = "P1S3"')]
    # The music of both hands has been opened and closed before the third staff begins, and so has the brace.
    assert manuals.count("<<") == manuals.count(">>") == 1
    assert '"P1S1"' in manuals and '"P1S2"' in manuals
    whole = musicxml_bytes(written(score), "first")
    attributes = fromstring(whole).find("part/measure/attributes")
    assert attributes is not None
    symbol = attributes.find("part-symbol")
    assert symbol is not None and symbol.text == "brace" and attributes.findtext("staves") == "3"
    assert (symbol.get("top-staff"), symbol.get("bottom-staff")) == ("1", "2")
    assert [clef.findtext("sign") for clef in attributes.findall("clef")] == ["G", "F", "F"]
    struck = [note for note in fromstring(whole).iter("note") if note.find("pitch") is not None]
    assert [note.findtext("staff") for note in struck] == ["1", "3"]


def test_a_third_staff_stands_only_where_it_is_used() -> None:
    first = "organ: notes(1/4 D5)", "movement second", "    organ.pedal: notes(1/4 C2)"
    found = score_of("organ: notes(1/4 D5)")
    assert [staff.name for staff in found.movements[0].staves[0]] == ["right", "left"]
    found = compile_script(
        Path("x.cavata"), text="language 2\nforces\n" + FORCES + "movement first\n    " + "\n".join(first) + "\n"
    ).score  # type: ignore[assignment]
    assert [len(movement.staves[0]) for movement in found.movements] == [2, 3]
    assert [len(movement.parts[0].staves) for movement in written(found).movements] == [2, 3]


def test_a_middle_staff_is_inside_the_brace_and_the_sustain_pedal_under_all() -> None:
    score = score_of("piano.middle: notes(1/4 D4 E4) -> sustain_pedal", "piano.left: notes(1/4 D3)")
    root = fromstring(musicxml_bytes(written(score), "first"))
    part = root.findall("part")[1]
    assert part.find("measure/attributes/part-symbol") is None
    assert part.findtext("measure/attributes/staves") == "3"
    signs = [direction for direction in part.iter("direction") if direction.find("direction-type/pedal") is not None]
    assert [sign.findtext("staff") for sign in signs] == ["3", "3"]
    text = page_of(score)
    assert text.index('"P2S3"') < text.index("sustainOn")


def test_hands_share_a_dynamic_and_the_feet_have_their_own() -> None:
    row = "notes(1/4 D4) -> marked f"
    score = score_of(f"organ.right: {row}", f"organ.left: {row}", "organ.pedal: notes(1/4 D3) -> marked f")
    root = fromstring(musicxml_bytes(written(score), "first"))
    said = [direction.findtext("staff") for direction in root.iter("direction") if direction.find(".//f") is not None]
    assert said == ["1", "3"]
