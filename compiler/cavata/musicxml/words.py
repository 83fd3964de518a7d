"""Chord symbols and sung words in MusicXML.

In: what stands at a leaf. Out: `harmony` and `lyric` elements for the finished document: music21 writes neither lines
under held syllables nor symbols that stay as they were read.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.emit.plain_text import plain_text
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.pitch import LETTERS, PitchClass
from cavata.musicxml.lines import Lines
from cavata.notate.written import SungText

_KINDS = {
    "": "major", "m": "minor", "7": "dominant", "maj7": "major-seventh", "m7": "minor-seventh", "mmaj7": "major-minor",
    "dim": "diminished", "dim7": "diminished-seventh", "m7b5": "half-diminished", "aug": "augmented",
    "sus2": "suspended-second", "sus4": "suspended-fourth", "6": "major-sixth", "m6": "minor-sixth",
    "9": "dominant-ninth", "maj9": "major-ninth", "m9": "minor-ninth", "add9": "major",
}  # fmt: skip
"""Qualities by the names of `kind-value` in MusicXML 4.0; `add9` is a major chord with one degree more."""
_LINES = {"begins": "start", "goes on": "continue", "ends": "stop"}


def harmony(symbol: ChordSymbol, staff: int) -> Element:
    """A chord symbol; the staff counted from 1, or 0 in a part of one staff."""
    made = Element("harmony", placement="above")
    root = SubElement(made, "root")
    _name(root, "root", symbol.root)
    SubElement(made, "kind", text=symbol.quality).text = _KINDS[symbol.quality]
    if symbol.bass is not None:
        _name(SubElement(made, "bass"), "bass", symbol.bass)
    if symbol.quality == "add9":
        degree = SubElement(made, "degree", {"print-object": "no"})
        SubElement(degree, "degree-value").text = "9"
        SubElement(degree, "degree-alter").text = "0"
        SubElement(degree, "degree-type").text = "add"
    if staff:  # over the part's upper staff, whatever staff the notes stand on
        SubElement(made, "staff").text = "1"
    return made


def _name(parent: Element, tag: str, name: PitchClass) -> None:
    SubElement(parent, f"{tag}-step").text = LETTERS[name.letter]
    if name.alter:
        SubElement(parent, f"{tag}-alter").text = str(name.alter)


def add_words(part: Element, lines: dict[str, Lines]) -> None:
    """Put the words of a part under its notes, and the letters of its names into lines of lyrics below them."""
    if not any(found.sung_line for found in lines.values()):
        return
    notes = [(note, lines.get(note.get("id", ""))) for note in part.iter("note")]
    most = max((found.sung_line for _, found in notes if found is not None), default=0)
    if not most:
        return
    for note, found in notes:
        letters = note.findall("lyric")
        for lyric in letters:
            number = str(int(lyric.get("number", "1")) + most)
            lyric.attrib.update({"name": number, "number": number})
        if found is not None and found.sung is not None:
            note.insert(list(note).index(letters[0]) if letters else len(note), _lyric(found.sung, found.sung_line))


def _lyric(sung: SungText, line: int) -> Element:
    made = Element("lyric", number=str(line))
    if sung.text:
        kinds = {(False, False): "single", (False, True): "begin", (True, True): "middle", (True, False): "end"}
        SubElement(made, "syllabic").text = kinds[sung.comes_on, sung.goes_on]
        SubElement(made, "text").text = plain_text(sung.text)
    if sung.line:
        SubElement(made, "extend", type=_LINES[sung.line])
    return made
