"""The head of a MusicXML document: titles, people, credits, and the list of parts.

In: the header and the movement. Out: the elements that stand before the first part. They name no library and no day,
so that the same score gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count
from xml.etree.ElementTree import Element, SubElement

from cavata.emit.plain_text import plain_text
from cavata.musicxml.percussion import list_instruments
from cavata.musicxml.sounds import ask_for_sounds
from cavata.notate.brackets import Node, tree
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import Group, Header
from cavata.sound.channels import channels
from cavata.sound.midi_balance import seats

SOFTWARE = "Cavata"


def titles(header: Header, movement: WrittenMovement, number: int) -> Iterator[Element]:
    """Work, movement, people and credits, in the order of the schema; `defaults` follows them."""
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


def legend(score: WrittenScore) -> Iterator[Element]:
    """Each name in its colour, as words on the first page."""
    colours = score.header.colours
    if not colours:
        return
    credit = Element("credit", page="1")
    _add(credit, "credit-type", "legend")
    for name, colour in colours:
        _add(credit, "credit-words", f"\u25cf {name}  ").set("color", colour)
    if score.colours_note:
        _add(credit, "credit-words", score.colours_note)
    yield credit


def finish_part_list(part_list: Element, score: WrittenScore, movement: WrittenMovement) -> None:
    """Brackets around the groups, and the MIDI channels that the MIDI file has too."""
    parts = part_list.findall("score-part")
    places = channels([part.part.instrument for part in movement.parts])
    for part, channel in zip(parts, places, strict=True):
        for found in part.iter("midi-channel"):
            found.text = str(channel + 1)
    seated = seats([part.part for part in movement.parts])
    for element, written, seat in zip(parts, movement.parts, seated, strict=True):
        list_instruments(element, written.part)
        players = written.part.members if written.part.instrument.unpitched else ()
        ask_for_sounds(element, players if len(players) > 1 else (written.part,), seat)
    part_list[:] = list(_bracketed(parts, tree([part.part for part in movement.parts], score.groups), count(1)))


def _bracketed(parts: Sequence[Element], nodes: Sequence[Node], numbers: Iterator[int]) -> Iterator[Element]:
    """The parts of a stretch, those of each group between the ends of its bracket."""
    for node in nodes:
        if isinstance(node, int):
            yield parts[node]
            continue
        group, inside = node
        number = str(next(numbers))
        yield _bracket(number, group)
        yield from _bracketed(parts, inside, numbers)
        yield Element("part-group", type="stop", number=number)


def _bracket(number: str, group: Group) -> Element:
    made = Element("part-group", type="start", number=number)
    if group.label:
        _add(made, "group-name", group.label)
        _add(made, "group-abbreviation", group.abbreviation)
    _add(made, "group-symbol", group.sign.value)
    _add(made, "group-barline", "yes" if group.joined else "no")
    return made


def _with_text(tag: str, text: str) -> Element:
    made = Element(tag)
    made.text = plain_text(text)
    return made


def _add(parent: Element, tag: str, text: str) -> Element:
    made = _with_text(tag, text)
    parent.append(made)
    return made
