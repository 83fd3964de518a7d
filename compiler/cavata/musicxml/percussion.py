"""Unpitched instruments in MusicXML: the lines of their staff, and on a shared one which of them strikes each note.

In: the exported elements of a part. Out: the same elements with `staff-lines`, a `score-instrument` and a
`midi-unpitched` for each player, and an `instrument` at each note.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from cavata.edition.shared_staves import BOTTOM_LINE
from cavata.music.pitch import LETTERS
from cavata.score.score import Part
from cavata.text import plain_text

_BEFORE_INSTRUMENT = frozenset(("grace", "cue", "chord", "unpitched", "duration", "tie"))


def staff_lines(attributes: Element, part: Part) -> None:
    """Say how many lines the staff has."""
    details = Element("staff-details")
    SubElement(details, "staff-lines").text = str(part.percussion_lines)
    after = [place for place, child in enumerate(attributes) if child.tag in ("transpose", "measure-style")]
    attributes.insert(after[0] if after else len(attributes), details)


def list_instruments(score_part: Element, part: Part) -> None:
    """Put every instrument of a shared percussion staff into the list of parts."""
    if part.percussion_lines < 2:
        return
    children = list(score_part)
    kept = [child for child in children if child.tag not in ("score-instrument", "midi-instrument")]
    channel = next(score_part.iter("midi-channel")).text
    names, sounds = [], []
    for number, member in enumerate(part.members, 1):
        identifier = f"{score_part.get('id')}-I{number}"
        names.append(Element("score-instrument", id=identifier))
        SubElement(names[-1], "instrument-name").text = plain_text(member.instrument.name)
        sounds.append(Element("midi-instrument", id=identifier))
        SubElement(sounds[-1], "midi-channel").text = channel
        SubElement(sounds[-1], "midi-unpitched").text = str((member.instrument.percussion_key or 0) + 1)
    score_part[:] = [*kept, *names, *sounds]


def name_strikers(root: Element, part: Part) -> None:
    """At each note of a shared percussion staff say which instrument strikes it."""
    if part.percussion_lines < 2:
        return
    for note, position in _struck(root):
        line = (position - BOTTOM_LINE) // 2
        striker = Element("instrument", id=f"{root.get('id')}-I{len(part.members) - line}")
        place = next((n for n, child in enumerate(note) if child.tag not in _BEFORE_INSTRUMENT), len(note))
        note.insert(place, striker)


def _struck(root: Element) -> Iterator[tuple[Element, int]]:
    """Every note and its place on the staff."""
    for note in root.iter("note"):
        unpitched = note.find("unpitched")
        if unpitched is not None:
            step, octave = unpitched.findtext("display-step", "E"), unpitched.findtext("display-octave", "4")
            yield note, LETTERS.index(step) + 7 * int(octave)
