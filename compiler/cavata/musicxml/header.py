"""The head of a MusicXML document: titles, people, credits, and the list of parts.

In: the header and the movement. Out: the elements that stand before the first part. They name no library and no day,
so that the same score gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import count
from xml.etree.ElementTree import Element, SubElement

from cavata.instruments.instrument import Instrument
from cavata.musicxml.directions import decimal
from cavata.musicxml.percussion import list_instruments
from cavata.notate.paper.systems import BracketNode, tree
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import Group, Header, Part
from cavata.sound.channels import HIGHEST, MIDDLE, Balance, channels, seats
from cavata.text import plain_text

# ----------------------------------------------------------------
# Which sound each instrument asks for, how loud and from where, for programs that play the page.
#
# In: the list of parts as exported. Out: the same list with `instrument-sound` by the names of the standard sounds of
# MusicXML 4.0, `solo` or `ensemble`, and the volume and place that the MIDI file has.


_RIGHT = 90
"""Degrees of a place at the right hand; 0 is straight ahead."""
_FLUTE, _REED, _BRASS, _DRUM, _METAL = "wind.flutes.", "wind.reed.", "brass.", "drum.", "metal."
SOUNDS = {
    "piccolo": _FLUTE + "piccolo", "flute": _FLUTE + "flute", "alto flute": _FLUTE + "flute",
    "bass flute": _FLUTE + "flute", "contrabass flute": _FLUTE + "flute", "sopranino recorder": _FLUTE + "recorder",
    "soprano recorder": _FLUTE + "recorder", "alto recorder": _FLUTE + "recorder",
    "tenor recorder": _FLUTE + "recorder", "bass recorder": _FLUTE + "recorder", "oboe": _REED + "oboe",
    "oboe damore": _REED + "oboe", "English horn": _REED + "english-horn", "clarinet in Eb": _REED + "clarinet",
    "clarinet in D": _REED + "clarinet", "clarinet in C": _REED + "clarinet", "clarinet": _REED + "clarinet",
    "clarinet in A": _REED + "clarinet", "bass clarinet": _REED + "clarinet.bass",
    "soprano saxophone": _REED + "saxophone.soprano", "alto saxophone": _REED + "saxophone.alto",
    "tenor saxophone": _REED + "saxophone.tenor", "baritone saxophone": _REED + "saxophone.baritone",
    "bassoon": _REED + "bassoon", "contrabassoon": _REED + "bassoon", "horn": _BRASS + "french-horn",
    "trumpet": _BRASS + "trumpet", "trumpet in Eb": _BRASS + "trumpet", "trumpet in D": _BRASS + "trumpet",
    "trumpet in C": _BRASS + "trumpet", "trombone": _BRASS + "trombone", "bass trombone": _BRASS + "trombone.bass",
    "tuba": _BRASS + "tuba", "timpani": _DRUM + "timpani", "glockenspiel": "pitched-percussion.glockenspiel",
    "xylophone": "pitched-percussion.xylophone", "vibraphone": "pitched-percussion.vibraphone",
    "marimba": "pitched-percussion.marimba", "tubular bells": "pitched-percussion.tubular-bells",
    "hand bells": "pitched-percussion.handbells", "steel drum": _METAL + "steel-drums",
    "triangle": _METAL + "triangle", "finger cymbals": _METAL + "cymbal.finger",
    "sleigh bells": _METAL + "bells.sleigh-bells", "cowbell": _METAL + "bells.cowbell",
    "agogo bells": _METAL + "bells.agogo", "castanets": "wood.castanets", "wood block": "wood.wood-block",
    "temple blocks": "wood.temple-block", "whip": "effect.whip", "ratchet": "rattle.ratchet",
    "maracas": "rattle.maraca", "vibraslap": "rattle.vibraslap", "sandpaper blocks": "wood.sand-block",
    "wind machine": "effect.wind", "siren": "effect.siren", "tambourine": _DRUM + "tambourine",
    "bongos": _DRUM + "bongo", "congas": _DRUM + "conga", "timbales": _DRUM + "timbale",
    "snare drum": _DRUM + "snare-drum", "tom toms": _DRUM + "tom-tom", "tenor drum": _DRUM + "tenor-drum",
    "taiko": _DRUM + "taiko", "hi hat": _METAL + "hi-hat", "suspended cymbal": _METAL + "cymbal.suspended",
    "sizzle cymbal": _METAL + "cymbal.sizzle", "ride cymbal": _METAL + "cymbal.ride",
    "splash cymbal": _METAL + "cymbal.splash", "cymbals": _METAL + "cymbal.crash", "gong": _METAL + "gong",
    "tam tam": _METAL + "tamtam", "bass drum": _DRUM + "bass-drum", "celesta": "keyboard.celesta",
    "piano": "keyboard.piano", "upright piano": "keyboard.piano", "harpsichord": "keyboard.harpsichord",
    "clavichord": "keyboard.clavichord", "organ": "keyboard.organ.pipe", "chamber organ": "keyboard.organ.pipe",
    "harmonium": "keyboard.organ.reed", "accordion": "keyboard.accordion", "harp": "pluck.harp",
    "guitar": "pluck.guitar", "electric guitar": "pluck.guitar.electric", "bass guitar": "pluck.bass.electric",
    "lute": "pluck.lute", "mandolin": "pluck.mandolin", "banjo": "pluck.banjo", "ukulele": "pluck.ukulele",
    "soprano": "voice.soprano", "mezzo soprano": "voice.mezzo-soprano", "alto": "voice.alto",
    "tenor": "voice.tenor", "baritone": "voice.baritone", "bass voice": "voice.bass", "violin": "strings.violin",
    "viola": "strings.viola", "cello": "strings.cello", "double bass": "strings.contrabass",
}  # fmt: skip
"""By the keys of our instruments; an instrument that is not here leaves the choice to who plays."""


def ask_for_sounds(score_part: Element, players: Sequence[Part], seat: Balance) -> None:
    """Put in what each instrument of a part sounds like; a shared percussion staff has several."""
    for named, player in zip(score_part.iter("score-instrument"), players, strict=True):
        sound = _sound(player.instrument)
        if sound:
            SubElement(named, "instrument-sound").text = sound
        named.append(Element("ensemble" if player.section else "solo"))
    for played in score_part.iter("midi-instrument"):
        SubElement(played, "volume").text = decimal(Fraction(seat.volume * 100, HIGHEST))
        SubElement(played, "pan").text = str(round(Fraction((seat.place - MIDDLE) * _RIGHT, HIGHEST - MIDDLE)))


def _sound(instrument: Instrument) -> str:
    return SOUNDS.get(instrument.key, "")


# ----------------------------------------------------------------

SOFTWARE = "Cavata"


def titles(header: Header, movement: WrittenMovement | None = None, number: int = 1) -> Iterator[Element]:
    """Work, movement and people, in the order of the schema; `defaults` follows them. No movement for a whole piece."""
    work = Element("work")
    _add(work, "work-title", header.title)
    yield work
    if movement is not None:
        yield _with_text("movement-number", str(number))
        yield _with_text("movement-title", movement.title or movement.name)
    yield _identification(header)


def _identification(header: Header) -> Element:
    identification = Element("identification")
    people = (
        ("composer", header.composer), ("lyricist", header.poet), ("arranger", header.arranger),
        ("dedicatee", header.dedication),
    )  # fmt: skip
    for kind, text in people:
        if text:
            _add(identification, "creator", text).set("type", kind)
    if header.copyright:
        _add(identification, "rights", header.copyright)
    encoding = SubElement(identification, "encoding")
    _add(encoding, "software", SOFTWARE)
    for element in ("accidental", "beam"):
        SubElement(encoding, "supports", element=element, type="yes")
    facts = [("publisher", header.publisher), ("edition number", header.number)]
    facts += [("performance note", note) for note in header.notes]
    known = [(name, text) for name, text in facts if text]
    if known:
        miscellaneous = SubElement(identification, "miscellaneous")
        for name, text in known:
            _add(miscellaneous, "miscellaneous-field", text).set("name", name)
    return identification


def legend(score: WrittenScore) -> Iterator[Element]:
    """Each name in its color, as words on the first page."""
    colors = score.header.colors
    if not colors:
        return
    credit = Element("credit", page="1")
    _add(credit, "credit-type", "legend")
    for name, color in colors:
        _add(credit, "credit-words", f"\u25cf {name}  ").set("color", color)
    if score.colors_note:
        _add(credit, "credit-words", score.colors_note)
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


def _bracketed(parts: Sequence[Element], nodes: Sequence[BracketNode], numbers: Iterator[int]) -> Iterator[Element]:
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
