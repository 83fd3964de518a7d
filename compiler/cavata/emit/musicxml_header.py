"""The head of a MusicXML document: titles, people, credits, and the list of parts.

In: the header and the movement. Out: the elements that stand before the first part. They name no library and no day,
so that the same score gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from cavata.emit.midi_channels import channels
from cavata.emit.musicxml_text import xml_text
from cavata.notate.written import SHARED, WrittenMovement, WrittenScore
from cavata.place.score import Group, Header

SOFTWARE = "Cavata"


def titles(header: Header, movement: WrittenMovement, number: int) -> Iterator[Element]:
    """Work, movement, people and credits, in the order of the schema; `defaults` is left to the exporter."""
    work = Element("work")
    _add(work, "work-title", header.title)
    yield work
    yield _with_text("movement-number", str(number))
    yield _with_text("movement-title", movement.title or movement.name)
    yield _identification(header)


def _identification(header: Header) -> Element:
    identification = Element("identification")
    for kind, text in (("composer", header.composer), ("dedicatee", header.dedication)):
        if text:
            _add(identification, "creator", text).set("type", kind)
    encoding = SubElement(identification, "encoding")
    _add(encoding, "software", SOFTWARE)
    for element in ("accidental", "beam"):
        SubElement(encoding, "supports", element=element, type="yes")
    return identification


def credits_of(header: Header) -> Iterator[Element]:
    """What the title page says."""
    for kind, text, justify in (
        ("title", header.title, "center"),
        ("subtitle", header.subtitle, "center"),
        ("dedication", header.dedication, "center"),
        ("composer", header.composer, "right"),
    ):
        if text:
            credit = Element("credit", page="1")
            _add(credit, "credit-type", kind)
            words = _add(credit, "credit-words", text)
            words.set("justify", justify)
            words.set("halign", justify)
            yield credit


def legend(score: WrittenScore) -> Iterator[Element]:
    """Each name in its colour, as words on the first page."""
    colours = score.header.colours
    if not colours:
        return
    credit = Element("credit", page="1")
    _add(credit, "credit-type", "legend")
    for name, colour in colours:
        _add(credit, "credit-words", f"\u25cf {name}  ").set("color", colour)
    if score.shares_colours:
        _add(credit, "credit-words", SHARED)
    yield credit


def finish_part_list(part_list: Element, score: WrittenScore, movement: WrittenMovement) -> None:
    """Brackets around the groups, and the MIDI channels that the MIDI file has too."""
    parts = part_list.findall("score-part")
    places = channels([part.part.instrument for part in movement.parts])
    for part, channel in zip(parts, places, strict=True):
        for found in part.iter("midi-channel"):
            found.text = str(channel + 1)
    names = [part.part.name for part in movement.parts]
    runs = [run for group in score.groups for run in _runs(group, names)]
    begins = {run[0]: n for n, run in enumerate(runs, 1)}
    ends = {run[1]: n for n, run in enumerate(runs, 1)}
    part_list[:] = []
    for index, part in enumerate(parts):
        if index in begins:
            part_list.append(_bracket(begins[index]))
        part_list.append(part)
        if index in ends:
            SubElement(part_list, "part-group", type="stop", number=str(ends[index]))


def _runs(group: Group, names: list[str]) -> Iterator[tuple[int, int]]:
    """The stretches of neighbours of a group, first and last; a lone part has no bracket."""
    places = sorted(names.index(name) for name in group.parts if name in names)
    start = 0
    for end in range(len(places)):
        if end + 1 == len(places) or places[end + 1] != places[end] + 1:
            if end > start:
                yield places[start], places[end]
            start = end + 1


def _bracket(number: int) -> Element:
    made = Element("part-group", type="start", number=str(number))
    _add(made, "group-symbol", "bracket")
    _add(made, "group-barline", "yes")
    return made


def _with_text(tag: str, text: str) -> Element:
    made = Element(tag)
    made.text = xml_text(text)
    return made


def _add(parent: Element, tag: str, text: str) -> Element:
    made = _with_text(tag, text)
    parent.append(made)
    return made
