"""Another instrument in a player's hand, as MusicXML says it.

In: the measure as exported, and the written part. Out: the measure with the transposition and the sound that hold from
there on. The words are directions like others.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.notate.transposition import written_interval
from cavata.notate.written import WrittenPart

_BEFORE_ATTRIBUTES = ("print",)


def take_up(measure: Element, part: WrittenPart, place: int, part_id: str, concert: bool) -> None:
    """Tell a measure which instrument is in hand from there on, if it is another one than before."""
    instrument = part.staves[0].bars[place].instrument
    if instrument is None:
        return
    attributes = measure.find("attributes")
    if attributes is None:
        attributes = Element("attributes")
        measure.insert(sum(1 for child in measure if child.tag in _BEFORE_ATTRIBUTES), attributes)
    for old in attributes.findall("transpose"):
        attributes.remove(old)
    sounding = -written_interval(instrument, concert)
    octaves = int(sounding.semitones / 12)
    transpose = SubElement(attributes, "transpose")
    SubElement(transpose, "diatonic").text = str(sounding.steps - 7 * octaves)
    SubElement(transpose, "chromatic").text = str(sounding.semitones - 12 * octaves)
    if octaves:
        SubElement(transpose, "octave-change").text = str(octaves)
    sound = Element("sound")
    player = SubElement(sound, "midi-instrument", id=f"{part_id}-I1")
    SubElement(player, "midi-program").text = str(instrument.program + 1)
    measure.insert(list(measure).index(attributes) + 1, sound)
