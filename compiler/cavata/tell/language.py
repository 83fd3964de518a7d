"""The words of a language in which a piece is told of, read from their file: another language is one file more.

In: a code such as `de`. Out: its texts. Files lie in `words/`; what one must hold, the tests compare with `en.ftl`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from importlib import resources
from itertools import groupby
from typing import TYPE_CHECKING, Literal, get_args

from cavata.instruments.foreign import begins_with_a_capital, printed_name
from cavata.instruments.instrument import Instrument, PageLanguage
from cavata.music.event import Event
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, PitchClass
from cavata.names.forces import labeled, names_of_staff
from cavata.record import record, replace
from cavata.score.forms import Form
from cavata.score.score import Part, Score, SharedStaff
from cavata.score.whereabouts import listed
from cavata.text import hyphenated, readable
from cavata.transforms.selection import ByLetter, ByNumber, ByText, Selection, TheLast

if TYPE_CHECKING:
    from cavata.tell.texts import Texts

Case = Literal["nominative", "dative", "accusative"]
CASES: tuple[Case, ...] = get_args(Case)
_SOUNDS_I = re.compile(r"\W*h?(?:í|i(?![aeoáéó]))", re.IGNORECASE)
"""The beginning of a word with the vowel i, and not a diphthong: `Isolda`, `Hilda`, but not `hierro`."""


@record
class LanguageWords:
    """One language."""

    code: str
    """As HTML's `lang` wants it."""
    texts: Texts

    def text(self, key: str, **values: object) -> str:
        """A text with its blanks filled in: `small_tonic="d"` is `$small-tonic` in it."""
        return self.texts.text(key, values)

    def known(self, key: str) -> str | None:
        """A text without blanks, if the language has it."""
        return self.texts.text(key, {}) if key in self.texts else None

    def form(self, form: Form) -> str:
        """A form in plain words."""
        return self.text(text_key("form", form.value))

    def listed(self, words: Sequence[str]) -> str:
        """`a, b and c`; the joint sounds well before the last word, as in the Spanish `Corwen e Isolda`."""
        if len(words) < 2:
            return listed(words)
        return listed(words, self.text("list-and", before="i" if _SOUNDS_I.match(words[-1]) else ""))


_ON_THE_PAGE = {
    "en": PageLanguage.ENGLISH, "de": PageLanguage.GERMAN, "es": PageLanguage.SPANISH, "fr": PageLanguage.FRENCH,
    "it": PageLanguage.ITALIAN,
}  # fmt: skip
"""How the page's languages are called here."""


def named_in(score: Score, words: LanguageWords) -> Score:
    """The score with its players named in the language of whoever reads of it, whatever `names in` says; names that
    the composer gave stay."""
    page = _ON_THE_PAGE[words.code]
    shares = {part: staff.name for staff in score.shared for part in staff.parts}
    own = [replace(part, language=page, label=part.label if part.own_label else "",
                   abbreviation=part.abbreviation if part.own_label else "") for part in score.parts]  # fmt: skip
    parts = tuple(labeled(own, page, shares))
    header = replace(score.header, language=page)
    shared = tuple(_named_staff(staff, score.parts, parts) for staff in score.shared)
    return replace(score, parts=parts, shared=shared, header=header)


def _named_staff(staff: SharedStaff, before: tuple[Part, ...], parts: tuple[Part, ...]) -> SharedStaff:
    """A shared staff is called after its players, unless the composer named it."""
    old, new = ([part for part in each if part.name in staff.parts] for each in (before, parts))
    if not old or staff.label != names_of_staff(old, before)[0]:
        return staff
    label, abbreviation = names_of_staff(new, parts)
    return replace(staff, label=label, abbreviation=abbreviation)


def text_key(kind: str, what: str) -> str:
    """The name of a text by what it tells of: `step-up-interval` of `up INTERVAL`."""
    return f"{kind}-{hyphenated(what)}"


def languages() -> tuple[str, ...]:
    """The codes of the languages that are there."""
    folder = resources.files("cavata.tell").joinpath("words")
    return tuple(sorted(file.name.removesuffix(".ftl") for file in folder.iterdir() if file.name.endswith(".ftl")))


@cache
def language(code: str) -> LanguageWords:
    """A language that is there."""
    # Late, since the names of places need no text.
    from cavata.tell.texts import Texts

    text = resources.files("cavata.tell").joinpath("words", f"{code}.ftl").read_text(encoding="utf-8")
    return LanguageWords(code, Texts(code, text))


# ----------------------------------------------------------------
# Notes, intervals, lengths and selections in the words of a language, for readers who read no notes.
#
# In: values of the music. Out: words. A pitch is told without its octave, as people say it.


_INTERVAL = re.compile(r"(P|M|m|aug|dim)(\d+)")
_STEPS_OF_AN_OCTAVE, _UNISON, _OCTAVE, _WIDEST_NAMED = 7, 1, 8, 15
_SHORTEST = 256
"""The shortest note value that has a name: a 256th."""


def note_name(note: PitchClass, language: LanguageWords) -> str:
    """`F sharp`; where the language has its own word, as German for B flat or French for F, that."""
    return language.text("note", letter=str(note)[0], alter=note.alter)


def event_in_words(event: Event, language: LanguageWords) -> str:
    """A note as `T is F sharp`, with its letters if it has any; a chord as its notes together."""
    said: list[str] = []
    for head in event.heads:
        note = note_name(head.pitch.pitch_class, language)
        letters = [letter.text for letter in head.letters]
        words = [language.text("guide-lettered", letter=letter, note=note) for letter in letters]
        said += words or [note]
    return said[0] if len(said) == 1 else language.text("guide-chord", notes=language.listed(said))


def line_in_words(events: Sequence[Event], language: LanguageWords) -> str:
    """A line note by note; rests are left out."""
    return "; ".join(event_in_words(event, language) for event in events if event.heads)


def interval_in_words(interval: Interval, language: LanguageWords) -> str:
    """`a minor third`; beyond two octaves `three octaves and a minor third`."""
    written = str(interval)
    found = _INTERVAL.fullmatch(written)
    if found is None:
        return language.text("interval-other", name=written)
    quality, size = found[1], int(found[2])
    if size <= _WIDEST_NAMED:
        return _named_interval(quality, size, language)
    octaves, beyond = divmod(size - _UNISON, _STEPS_OF_AN_OCTAVE)
    rest = beyond + _UNISON
    if quality == "dim" and rest == _UNISON:
        octaves, rest = octaves - 1, _OCTAVE  # no unison is narrower than a perfect one
    whole = language.text("interval-octaves", count=octaves)
    if rest == _UNISON and quality == "P":
        return whole
    return language.listed([whole, _named_interval(quality, rest, language)])


def _named_interval(quality: str, size: int, language: LanguageWords) -> str:
    return language.text("interval", name=f"{quality}{size}", quality=quality, size=size)


def length_in_words(length: Fraction, language: LanguageWords) -> str:
    """How long something lasts: `a quarter note`, `five eighth notes`, `two thirds of a quarter note`."""
    unit = length.denominator & -length.denominator
    if unit > _SHORTEST:
        unit = 1
    share = length.denominator // unit
    if share > 1:
        return language.text("length-shared", count=length.numerator, share=share, unit=unit)
    return language.text("length", count=length.numerator, unit=unit, dots=0)


def _written(value: Fraction, count: int, language: LanguageWords) -> str | None:
    """So many notes of a value that one note can have, with dots or without; None for any other value."""
    for dots, halves in enumerate((1, 3, 7)):
        unit = value * 2**dots / halves
        if unit.numerator == 1 and unit.denominator.bit_count() == 1 and unit.denominator <= _SHORTEST:
            return language.text("length", count=count, unit=unit.denominator, dots=dots)
    return None


def each_in_words(value: Fraction, language: LanguageWords) -> str:
    """How long each of several notes is: `a dotted quarter note`, `five eighth notes`."""
    return _written(value, 1, language) or length_in_words(value, language)


def rhythm_in_words(beats: Sequence[tuple[Fraction, bool]], language: LanguageWords) -> str:
    """A rhythm, each value with whether it is a rest: `two quarter notes, a rest of a quarter note and a half note`."""
    said = []
    for (value, is_rest), run in groupby(beats):
        count, each = len(list(run)), each_in_words(value, language)
        if is_rest:
            said += [language.text("length-rest", length=each)] * count
        else:
            said.append(_written(value, count, language) or language.text("length-each", count=count, length=each))
    return language.listed(said)


def ratio_in_words(ratio: Fraction, language: LanguageWords) -> str:
    """`two` for 2, for which a language has a word; `3`, `1.5` (`1,5` in German), or a fraction that has no short form
    in tenths."""
    if ratio == 2:
        return "two"
    if 100 % ratio.denominator:
        return str(ratio)
    return f"{float(ratio):g}".replace(".", language.text("number-point"))


def mode_in_words(mode: Mode, language: LanguageWords) -> str:
    """`D minor`; other modes by their names."""
    kind = "other" if mode.own else mode.name
    tonic = note_name(mode.tonic, language)
    small, name = tonic[:1].lower() + tonic[1:], readable(mode.name) if mode.own else str(mode)
    return language.text("mode", kind=kind, tonic=tonic, small_tonic=small, name=name)


def instrument_in_words(instrument: Instrument, language: LanguageWords) -> str:
    """An instrument in the middle of a sentence: `piccolo`, `ottavino`, `Piccoloflöte`."""
    page = _ON_THE_PAGE[language.code]
    if page is PageLanguage.ENGLISH:
        return instrument.key
    name = printed_name(instrument, False, page)
    return name if begins_with_a_capital(instrument, page) else name[:1].lower() + name[1:]


def selection_in_words(selection: Selection, language: LanguageWords, case: Case = "accusative") -> str:
    """`note 1 and the last note`."""
    said: list[str] = []
    for item in selection.items:
        match item:
            case ByNumber(first, last) if first == last:
                said.append(language.text("selection-note", number=first, case=case))
            case ByNumber(first, None):
                said.append(language.text("selection-onward", first=first, case=case))
            case ByNumber(first, last):
                said.append(language.text("selection-range", first=first, last=last, case=case))
            case ByLetter(position):
                said.append(language.text("selection-numbered-letter", number=position, case=case))
            case ByText(letters):
                said.append(language.text("selection-letter", letter=letters, case=case))
            case TheLast():
                said.append(language.text("selection-last", case=case))
    return language.listed(said)
