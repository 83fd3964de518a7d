"""Slurs and hairpins of one voice: where each begins and ends.

In: the leaves of a voice in order, with their ids. Out: for the leaves concerned, what to write at them. Every line
that is written begins before it ends, and none stays open: music21's own spanners are searched anew for every note,
so lines are added to the finished document instead.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import TO_NOTHING, Marks, Ornament
from cavata.music.pitch import LETTERS, PitchClass
from cavata.notate.written import Leaf, SungText
from cavata.text import plain_text

HIGHEST_NUMBER = 16
"""`number-level` in MusicXML 4.0 runs from 1 to 16."""

PLAYED = {
    "pizzicato": "yes", "arco": "no", "muted": "on", "unmuted": "off", "straight_mute": "straight", "cup_mute": "cup",
    "harmon_mute": "harmon-no-stem", "plunger": "plunger", "practice_mute": "practice",
}  # fmt: skip
"""Techniques that MusicXML 4.0 has words for besides those that are printed: of `sound` the attribute `pizzicato`, and
by `mute` which mute is on."""

VOICES_PER_STAFF = 4
"""The lower staff's voices are numbered from 5, whatever the upper staff has."""


@dataclass(slots=True)
class LineEnds:
    """What begins and ends at one leaf. A hairpin ends before the leaf, or after it if nothing follows."""

    number: int
    """Tells apart what runs at the same time in other voices of the part."""
    staff: int
    """The staff counted from 1; 0 in a part of one staff."""
    slur_ends: bool = False
    slur_begins: bool = False
    slur_dashed: bool = False
    hairpin_ends: bool = False
    hairpin: str = ""
    hairpin_ends_after: bool = False
    dies_away: bool = False
    """The hairpin that ends leads to silence."""
    goal: str = ""
    """The dynamic where it ends after the leaf."""
    above: bool = False
    """Hairpins stand above the staff."""
    ottava_ends: bool = False
    ottava: int = 0
    """1 where an octave bracket begins above, -1 below; 0 for neither."""
    ottava_ends_after: bool = False
    glide_ends: bool = False
    glide_begins: bool = False
    pedal_begins: bool = False
    pedal_ends: bool = False
    """The pedal goes up after the leaf."""
    division: str = ""
    """The division of chant that stands after the leaf."""
    signed: tuple[Ornament, ...] = ()
    """The ornaments that have accidentals."""
    wavy: str = ""
    """The wavy line of a trill: `start` or `stop`."""
    string: int = 0
    """Its number from the highest."""
    fret: int | None = None
    string_label: str = ""
    """What stands over the first note on a string, as `sul G`."""
    label_lasts: bool = False
    """A dashed line leads on from the label."""
    label_ends: bool = False
    """The dashed line ends after the leaf."""
    harmonic: tuple[str, ...] = ()
    """Of a head of a harmonic: natural or artificial, and which of its pitches the head is, as MusicXML calls them."""
    symbol: ChordSymbol | None = None
    rings_on: bool = False
    techniques: tuple[str, ...] = ()
    """Those that begin here and that players of the file can be told."""
    figures: tuple[tuple[str, ...], ...] = ()
    figures_length: Fraction = Fraction(0)
    """How long the note lasts under which they stand."""
    label: str = ""
    label_above: bool = False
    optional: bool = False
    sung: tuple[SungText, ...] = ()
    sung_below: int = 0
    """How many lines of lyrics stand above these words: those of other voices of the staff."""


class VoiceLines:
    """Follows one voice through the movement and notes its lines in `at`, by the ids of the leaves."""

    def __init__(self, at: dict[str, LineEnds], voice: int, staff: int, sung_below: int = 0) -> None:
        self._at = at
        self._number = (voice - 1) % HIGHEST_NUMBER + 1
        self._staff = staff
        self._sung_below = sung_below
        self.above = False
        """From here on hairpins stand above the staff."""
        self._slur = ""
        self._hairpin = ""
        """Which one is open."""
        self._last = ""
        self._last_sounding = ""
        self._gliding = False
        self._under_ottava = False

    def pass_leaf(self, leaf: Leaf, identifier: str) -> None:
        """Take note of the next leaf."""
        marks = leaf.marks
        if marks.slur_begins or marks.slur_ends:
            self._pass_slur(marks, identifier)
        if leaf.ottava is not None:
            lines = self._lines(identifier)
            lines.ottava_ends, lines.ottava = self._under_ottava, leaf.ottava
            self._under_ottava = bool(leaf.ottava)
        if marks.hairpin or marks.hairpin_ends:
            self._pass_hairpin(marks.hairpin, identifier)
        if leaf.hairpin_alone:
            lines = self._lines(identifier)
            lines.hairpin_ends_after, lines.goal, self._hairpin = True, marks.goal, ""
        if marks.dies_away:
            lines = self._lines(identifier)
            lines.hairpin_ends, lines.hairpin_ends_after, lines.goal, lines.dies_away = False, True, "", True
        if leaf.heads:
            self._pass_signs(leaf, identifier)
        if marks.symbol is not None:
            self._lines(identifier).symbol = marks.symbol
        if marks.techniques and not PLAYED.keys().isdisjoint(marks.techniques):
            self._lines(identifier).techniques = marks.techniques
        if marks.optional and leaf.heads:
            self._lines(identifier).optional = True
        if marks.figures or marks.label:
            lines = self._lines(identifier)
            lines.figures, lines.label, lines.label_above = marks.figures, marks.label, leaf.label_above
            lines.figures_length = leaf.figured_for
        if leaf.sung:
            lines = self._lines(identifier)
            lines.sung, lines.sung_below = leaf.sung, self._sung_below
        self._last = identifier
        if leaf.heads:
            self._last_sounding = identifier

    def close(self) -> None:
        """End at the voice's last leaf what is still open."""
        if self._slur and self._slur != self._last_sounding:
            self._lines(self._last_sounding).slur_ends = True
        elif self._slur:
            self._lines(self._slur).slur_begins = False
        if self._hairpin:
            lines = self._lines(self._last)
            lines.hairpin_ends_after, lines.dies_away = True, self._hairpin == TO_NOTHING
        if self._under_ottava:
            self._lines(self._last).ottava_ends_after = True

    def _pass_signs(self, leaf: Leaf, identifier: str) -> None:
        marks = leaf.marks
        if self._gliding:
            self._lines(identifier).glide_ends = True
        self._gliding = marks.glides
        if marks.division:
            self._lines(identifier).division = marks.division
        if marks.glides or marks.pedal_begins or marks.pedal_ends:
            lines = self._lines(identifier)
            lines.glide_begins = marks.glides
            lines.pedal_begins, lines.pedal_ends = marks.pedal_begins, marks.pedal_ends
        if "let_ring" in marks.articulations:
            self._lines(identifier).rings_on = True
        if leaf.string is not None:
            lines = self._lines(identifier)
            lines.string, lines.fret = leaf.string.number, leaf.string.fret
            if leaf.string.label and leaf.string.begins:
                lines.string_label, lines.label_lasts = leaf.string.label, not leaf.string.ends
            lines.label_ends = bool(leaf.string.label) and leaf.string.ends and not leaf.string.begins
        if marks.harmonic and not all(head.tie_ends for head in leaf.heads):
            kind = "natural" if marks.harmonic == "natural" else "artificial"
            for number, head in enumerate(leaf.heads):
                own = identifier if number == 0 else f"{identifier}h{number + 1}"
                self._lines(own).harmonic = kind, "touching-pitch" if head.diamond else "base-pitch"
        if leaf.trill:
            self._lines(identifier).wavy = "start" if leaf.trill == "begins" else "stop"
        for ornament in marks.ornaments:
            if ornament.sign or ornament.sign_below:
                self._lines(identifier).signed += (ornament,)

    def _pass_slur(self, marks: Marks, identifier: str) -> None:
        lines = self._lines(identifier)
        if self._slur and marks.slur_ends:
            lines.slur_ends, self._slur = True, ""
        if not self._slur and marks.slur_begins:
            lines.slur_begins, lines.slur_dashed, self._slur = True, marks.slur_dashed, identifier

    def _pass_hairpin(self, begins: str, identifier: str) -> None:
        lines = self._lines(identifier)
        if self._hairpin:
            lines.hairpin_ends, lines.dies_away, self._hairpin = True, self._hairpin == TO_NOTHING, ""
        if begins:
            lines.hairpin = self._hairpin = begins

    def _lines(self, identifier: str) -> LineEnds:
        return self._at.setdefault(identifier, LineEnds(self._number, self._staff, above=self.above))


# ----------------------------------------------------------------
# Chord symbols and sung words in MusicXML.
#
# In: what stands at a leaf. Out: `harmony` and `lyric` elements for the finished document: music21 writes neither lines
# under held syllables nor symbols that stay as they were read.


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


_PREFIXES = {"##": "sharp-sharp", "#": "sharp", "bb": "flat-flat", "b": "flat", "n": "natural"}


def figured_bass(found: LineEnds, divisions: int) -> Iterator[Element]:
    """The figures under a note; where they change under it each says how long it stands."""
    for stack in found.figures:
        made = Element("figured-bass")
        for text in stack:
            accidental = text.rstrip("0123456789+")
            number = text.removeprefix(accidental)
            figure = SubElement(made, "figure")
            if accidental:
                SubElement(figure, "prefix").text = _PREFIXES[accidental]
            if number:
                SubElement(figure, "figure-number").text = number.rstrip("+")
            if number.endswith("+"):
                SubElement(figure, "suffix").text = "plus"
        if len(found.figures) > 1:
            length = found.figures_length * 4 * divisions / len(found.figures)
            SubElement(made, "duration").text = str(length.numerator // length.denominator)
        yield made


def label(found: LineEnds) -> Element:
    """A word of a note's own, below it or, of an upper voice, above."""
    direction = Element("direction", placement="above" if found.label_above else "below")
    words = SubElement(SubElement(direction, "direction-type"), "words", {"font-style": "normal"})
    words.text = plain_text(found.label)
    if found.staff:
        SubElement(direction, "staff").text = str(found.staff)
    return direction


def _name(parent: Element, tag: str, name: PitchClass) -> None:
    SubElement(parent, f"{tag}-step").text = LETTERS[name.letter]
    if name.alter:
        SubElement(parent, f"{tag}-alter").text = str(name.alter)


def add_words(part: Element, lines: dict[str, LineEnds]) -> None:
    """Put the words of a part under its notes, and the letters of its names into lines of lyrics below them."""
    if not any(found.sung for found in lines.values()):
        return
    notes = [(note, lines.get(note.get("id", ""))) for note in part.iter("note")]
    most = max((n for _, found in notes if found is not None for n, _ in _lines_of(found)), default=0)
    if not most:
        return
    for note, found in notes:
        letters = note.findall("lyric")
        for lyric in letters:
            below = str(int(lyric.get("number", "1")) + most)
            lyric.attrib.update({"name": below, "number": below})
        place = list(note).index(letters[0]) if letters else len(note)
        for number, text in reversed(_lines_of(found) if found is not None else ()):
            note.insert(place, _lyric(text, number))


def _lines_of(found: LineEnds) -> tuple[tuple[int, SungText], ...]:
    """The texts at a leaf, each with the number of its line."""
    return tuple((found.sung_below + text.verse, text) for text in found.sung)


def _lyric(sung: SungText, line: int) -> Element:
    made = Element("lyric", number=str(line))
    kinds = {(False, False): "single", (False, True): "begin", (True, True): "middle", (True, False): "end"}
    texts = sung.text.split("~") if sung.text else []
    for place, text in enumerate(texts):
        first, last = place == 0, place == len(texts) - 1
        if not first:
            SubElement(made, "elision").text = "\u203f"
        SubElement(made, "syllabic").text = kinds[sung.comes_on and first, sung.goes_on and last]
        SubElement(made, "text").text = plain_text(text)
    if sung.line:
        SubElement(made, "extend", type=_LINES[sung.line])
    return made
