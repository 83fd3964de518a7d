"""One instrument as the composer and the page need to know it."""

from __future__ import annotations

import unicodedata
from enum import Enum

from cavata.music.pitch import UNISON, Interval, Pitch, PitchClass
from cavata.record import record, replace

# ----------------------------------------------------------------
# The languages in which instruments are named on the page, and how each names the key of a transposing instrument.


class PageLanguage(Enum):
    """A language of the page; English is what holds where nothing is said."""

    ENGLISH = "English"
    ITALIAN = "Italian"
    GERMAN = "German"
    FRENCH = "French"
    SPANISH = "Spanish"


_KEYS = {
    PageLanguage.ITALIAN: {"C": "Do", "D": "Re", "E♭": "Mi♭", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B♭": "Si♭"},
    PageLanguage.GERMAN: {"C": "C", "D": "D", "E♭": "Es", "E": "E", "F": "F", "G": "G", "A": "A", "B♭": "B"},
    PageLanguage.FRENCH: {"C": "ut", "D": "ré", "E♭": "mi♭", "E": "mi", "F": "fa", "G": "sol", "A": "la", "B♭": "si♭"},
    PageLanguage.SPANISH: {"C": "do", "D": "re", "E♭": "mi♭", "E": "mi", "F": "fa", "G": "sol", "A": "la", "B♭": "si♭"},
}
"""Names of notes on the title page of a part. Source: common practice."""


def language_called(word: str) -> PageLanguage | None:
    """The language of an English word, `Italian` or `italian`."""
    return next((language for language in PageLanguage if language.value.casefold() == word.casefold()), None)


def key_in(language: PageLanguage, key: str) -> str:
    """The English name of a note, `E♭`, in another language: `Es`, `mi♭`."""
    return _KEYS[language][key] if language in _KEYS else key


_SIGNS = {-2: "♭♭", -1: "♭", 0: "", 1: "♯", 2: "♯♯"}
_GERMAN_SIGNS = {-2: "eses", -1: "es", 0: "", 1: "is", 2: "isis"}


def note_in(language: PageLanguage, note: PitchClass) -> str:
    """A note as it is called in a language: `E♭`, `Es`, `mi♭`. Source: common practice."""
    letter = "CDEFGAB"[note.letter]
    if language is not PageLanguage.GERMAN:
        natural = "B♭" if letter == "B" else letter
        return key_in(language, natural).removesuffix("♭") + _SIGNS[note.alter]
    if letter == "B":
        return "B" if note.alter == -1 else "Heses" if note.alter == -2 else "H" + _GERMAN_SIGNS[note.alter]
    name = letter + _GERMAN_SIGNS[note.alter]
    return name.replace("e", "", 1) if letter in "AE" and note.alter < 0 else name


def joint_of(language: PageLanguage) -> str:
    """The word between an instrument and its key."""
    return "en" if language in (PageLanguage.FRENCH, PageLanguage.SPANISH) else "in"


# ----------------------------------------------------------------
# How the words for an instrument are compared: capitals, accents, hyphens and apostrophes do not count.


_LEFT_OUT = str.maketrans({"♭": "b", "-": " ", "'": None, "’": None})


def folded(words: str) -> str:
    """The words as they are compared: `Hörner` as `horner`, `tom-tom` as `tom tom`."""
    plain = words.translate(_LEFT_OUT).casefold()
    if not plain.isascii():
        plain = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    return " ".join(plain.split())


def in_a_script(words: str) -> str:
    """The words as a script can write them: without hyphens and apostrophes."""
    return words.replace("-", " ").replace("'", "")


def with_flat_sign(name: str) -> str:
    """`Clarinet in E♭` for `Clarinet in Eb`."""
    return name[:-1] + "♭" if " in " in name and name.endswith("b") else name


# ----------------------------------------------------------------

WINDS = ("woodwind", "brass")
"""The families of wind instruments."""


class Sustain(Enum):
    """How the tone of an unpitched instrument lasts."""

    SHORT = "short"
    """It is struck and gone."""
    RINGS = "rings"
    """It is struck and rings on by itself, as a cymbal."""
    HELD = "held"
    """Its player holds it as long as the note says, as a siren or a voice."""


@record
class Drum:
    """One of a set of timpani: its size, and the pitches it can be tuned to."""

    size: str
    lowest: Pitch
    highest: Pitch

    def has(self, pitch: Pitch) -> bool:
        """Whether it can be tuned to a pitch."""
        return self.lowest.midi <= pitch.midi <= self.highest.midi


@record
class Instrument:
    """An instrument of the table in `stdlib/instruments.toml`. Ranges and strings are sounding pitches."""

    key: str
    """The words a script calls it by, in the singular, as `bass clarinet`."""
    family: str
    """`woodwind`, `brass`, `percussion`, `keyboard`, `plucked`, `voice` or `strings`."""
    order: int
    """Its place in score order, from the top of the page."""
    name: str
    """As printed before the first system, in English."""
    abbreviation: str
    plural: str
    """The words for a section of them, as `violins`; also printed for a part that asks for the section."""
    clefs: tuple[str, ...]
    """The clefs a player reads, the usual first: `treble`, `bass`, `alto`, `tenor`, `treble_8`,
    `percussion`. For an instrument of two staves: the upper staff's, then the lower staff's."""
    lowest: Pitch | None
    """The lowest pitch in professional use; None for an unpitched instrument."""
    highest: Pitch | None
    comfortable: tuple[Pitch, Pitch] | None
    """The range any good player commands."""
    transposition: Interval
    """From the written pitch to the sounding one: down a major second for a clarinet in B flat."""
    program: int
    """General MIDI program, counted from 0; for unpitched percussion 0."""
    percussion_key: int | None
    """Key on MIDI channel 10 for unpitched percussion."""
    staves: tuple[str, ...]
    """`("",)` for one staff; `("right", "left")` for two, and where it can have a third, that one in its place."""
    source: str
    """Where the values come from."""
    extreme: tuple[Pitch, Pitch] | None = None
    """What few players reach, or only on some instruments; the usual range where nothing lies beyond it."""
    section: tuple[Pitch, Pitch] | None = None
    """The range in which several on one line are at ease; None where they are judged as one player is."""
    strings: tuple[Pitch, ...] = ()
    """The open strings from the lowest string; not always in the order of their pitches."""
    drums: tuple[Drum, ...] = ()
    """Of a set of timpani, from the largest."""
    doubles: tuple[str, ...] = ()
    """The keys of other instruments that the same player is often asked to take up."""
    usual_strings: tuple[Pitch, ...] = ()
    """What its strings are where `strings` are not the usual ones: it is in scordatura."""
    frets: int = 0
    """How many each string has; 0 where it has none, or their number differs."""
    third: str = ""
    """The staff that is there only where something is written on it: `middle`, or an organ's `pedal`."""
    pedals: tuple[Pitch, ...] = ()
    """Of a pedal board the ends of its comfortable, its usual and its extreme range; nothing without one."""
    tone: Sustain = Sustain.SHORT
    """Of an unpitched instrument."""

    @property
    def unpitched(self) -> bool:
        """Whether it is written without pitch, on one line of rhythm."""
        return self.percussion_key is not None

    @property
    def reads_fingering(self) -> bool:
        """Whether its player reads what is fingered, not what sounds: a bowed instrument in scordatura."""
        return bool(self.usual_strings) and self.family == "strings" and self.transposition == UNISON

    @property
    def hands(self) -> tuple[str, ...]:
        """The staves that are there in any case."""
        return tuple(staff for staff in self.staves if not self.third or staff != self.third)

    def standing(self, count: int) -> tuple[str, ...]:
        """The names of its staves where so many are printed."""
        return self.staves if count == len(self.staves) else self.hands[:count]

    def is_beyond(self, pitch: Pitch) -> bool:
        """Whether a sounding pitch lies outside its extreme range."""
        return self.extreme is not None and not self.extreme[0].midi <= pitch.midi <= self.extreme[1].midi

    def may_go_with(self, other: Instrument) -> bool:
        """Whether one player can take up both on the same staff: both have pitches, and as many staves."""
        return self.hands == other.hands and not self.unpitched and not other.unpitched

    def on_pedals(self) -> Instrument:
        """As it is with the feet: the range is that of its pedal board."""
        low, high, lowest, highest, under, over = self.pedals
        return replace(self, comfortable=(low, high), lowest=lowest, highest=highest, extreme=(under, over))


PEDAL = "pedal"
"""The staff of an organ that is played with the feet; it stands under the brace of the manuals."""
