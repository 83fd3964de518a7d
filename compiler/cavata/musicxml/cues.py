"""Cues and rests of several bars in a part's document, which the exporter cannot write.

In: a measure's element and the written bars it stands for. Out: the same measure: the notes of a cue marked as such,
small and without `tie`, which MusicXML keeps for what sounds; a `multiple-rest` where a rest of several bars begins.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.notate.written import WrittenPart


def mark_cues(measure: Element, part: WrittenPart, place: int) -> None:
    """Make the notes of a cue small and silent."""
    for number, staff in enumerate(part.staves, start=1):
        bar = staff.bars[place]
        if bar.cue:
            start = f"p1s{number}b{place + 1}v{len(bar.voices) + 1}n"
            for note in measure.iter("note"):
                if note.get("id", "").startswith(start):
                    _make_cue(note)


def _make_cue(note: Element) -> None:
    for tie in note.findall("tie"):
        note.remove(tie)
    note.insert(0, Element("cue"))
    kind = note.find("type")
    if kind is not None:
        kind.set("size", "cue")


def gather_rests(measure: Element, part: WrittenPart, place: int) -> None:
    """Say how many bars the rest stands for that begins here."""
    count = part.staves[0].bars[place].rest_bars
    if count < 2:
        return
    found = measure.findall("attributes")
    if found:
        attributes = found[-1]
    else:
        attributes = Element("attributes")
        measure.insert(next((i for i, child in enumerate(measure) if child.tag != "print"), len(measure)), attributes)
    style = SubElement(attributes, "measure-style")
    SubElement(style, "multiple-rest").text = str(count)
