"""The words of a language in which a piece is told of, read from their file: another language is one file more.

In: a code such as `de`. Out: its texts. Files lie in `words/`; what one must hold, the tests compare with `en.toml`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import cache
from importlib import resources
from itertools import groupby
from typing import Any

from cavata.music.event import Event
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, PitchClass
from cavata.record import record
from cavata.score.forms import Form
from cavata.score.whereabouts import listed
from cavata.transforms.selection import ByLetter, ByNumber, ByText, Selection, TheLast


@record
class LanguageWords:
    """One language."""

    code: str
    """As HTML's `lang` wants it."""
    tables: Mapping[str, Any]

    def text(self, table: str, key: str, **values: object) -> str:
        """A text with its blanks filled in."""
        words: Any = self.tables
        for part in table.split("."):
            words = words[part]
        return str(words[key]).format(**values)

    def form(self, form: Form) -> str:
        """A form in plain words."""
        return self.text("forms", form.value)

    def number(self, number: int) -> str:
        """A number in words up to twelve, then in figures."""
        return str(self.tables["numbers"].get(str(number), number))

    def listed(self, words: Sequence[str]) -> str:
        """`a, b and c`; the joint sounds well before the last word, as in the Spanish `Corwen e Isolda`."""
        table = self.tables["lists"]
        other = len(words) > 1 and table["before"] and re.match(table["before"], words[-1], re.IGNORECASE)
        return listed(words, table["and_before" if other else "and"])


def languages() -> tuple[str, ...]:
    """The codes of the languages that are there."""
    folder = resources.files("cavata.tell").joinpath("words")
    return tuple(sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml")))


@cache
def language(code: str) -> LanguageWords:
    """A language that is there."""
    text = resources.files("cavata.tell").joinpath("words", f"{code}.toml").read_text(encoding="utf-8")
    return LanguageWords(code, tomllib.loads(text))


def theme_name(identifier: str) -> str:
    """An identifier as people read it: `hedda_back` as `hedda back`."""
    return identifier.replace("_", " ")


# ----------------------------------------------------------------
# Notes, intervals, lengths and selections in the words of a language, for readers who read no notes.
#
# In: values of the music. Out: words. A pitch is told without its octave, as people say it.


_INTERVAL = re.compile(r"(P|M|m|aug|dim)(\d+)")
_STEPS_OF_AN_OCTAVE, _UNISON, _OCTAVE, _WIDEST_NAMED = 7, 1, 8, 15
_DOTTED = ("", "dotted", "double_dotted")
"""By the number of dots."""


def note_name(note: PitchClass, language: LanguageWords) -> str:
    """`F sharp`; where the language has its own word, as German for B flat or French for F, that."""
    written = str(note)
    names, accidentals = language.tables["notes"]["names"], language.tables["notes"]["accidental"]
    if written in names:
        return str(names[written])
    return str(names.get(written[:1], written[:1])) + str(accidentals.get(written[1:], written[1:]))


def event_in_words(event: Event, language: LanguageWords, lettered: bool) -> str:
    """A note as `T is F sharp`, with its letters where they are wanted; a chord as its notes together."""
    said: list[str] = []
    for head in event.heads:
        note = note_name(head.pitch.pitch_class, language)
        letters = [origin.letter.text for origin in head.origins if origin.letter]
        words = [language.text("guide", "lettered", letter=letter, note=note) for letter in letters if lettered]
        said += words or [note]
    return said[0] if len(said) == 1 else language.text("guide", "chord", notes=language.listed(said))


def notes_in_words(events: Sequence[Event], language: LanguageWords, lettered: bool = True) -> str:
    """A line note by note; rests are left out."""
    return "; ".join(event_in_words(event, language, lettered) for event in events if event.heads)


def interval_in_words(interval: Interval, language: LanguageWords) -> str:
    """`a minor third`; beyond two octaves `three octaves and a minor third`."""
    written = str(interval)
    found = _INTERVAL.fullmatch(written)
    if found is None:
        return language.text("intervals", "other", name=written)
    quality, size = found[1], int(found[2])
    if size <= _WIDEST_NAMED:
        return _named_interval(quality, size, language)
    octaves, beyond = divmod(size - _UNISON, _STEPS_OF_AN_OCTAVE)
    rest = beyond + _UNISON
    if quality == "dim" and rest == _UNISON:
        octaves, rest = octaves - 1, _OCTAVE  # no unison is narrower than a perfect one
    whole = language.text("intervals", "octaves", count=language.number(octaves))
    if rest == _UNISON and quality == "P":
        return whole
    return language.listed([whole, _named_interval(quality, rest, language)])


def _named_interval(quality: str, size: int, language: LanguageWords) -> str:
    table = language.tables["intervals"]
    plain = table["plain"].get(f"{quality}{size}")
    return str(plain) if plain is not None else language.text(
        "intervals", "said", quality=table["quality"][quality], size=table["size"][str(size)]
    )  # fmt: skip


def length_in_words(length: Fraction, language: LanguageWords) -> str:
    """How long something lasts: `a quarter note`, `five eighth notes`, `two thirds of a quarter note`."""
    table = language.tables["durations"]
    unit = length.denominator & -length.denominator
    share = length.denominator // unit
    if str(unit) not in table["one"]:
        share, unit = length.denominator, 1
    if share > 1:
        part = table["share"].get(str(share), {}).get("one" if length.numerator == 1 else "many")
        if part is None:
            part = f"{length.numerator}/{share}"
        elif length.numerator > 1:
            part = language.text("durations", "counted", count=language.number(length.numerator), notes=part)
        return language.text("durations", "shared", part=part, note=table["of"][str(unit)])
    if length.numerator == 1:
        return str(table["a"][str(unit)])
    return _so_many(length.numerator, table["many"][str(unit)], language)


def _so_many(count: int, notes: str, language: LanguageWords) -> str:
    return language.text("durations", "counted", count=language.number(count), notes=notes)


def _written(value: Fraction, count: int, language: LanguageWords) -> str | None:
    """So many notes of a value that one note can have, with dots or without; None for any other value."""
    table = language.tables["durations"]
    for dots, halves in enumerate((1, 3, 7)):
        unit = value * 2**dots / halves
        key = str(unit.denominator)
        if unit.numerator == 1 and key in table["one"]:
            dotted = _DOTTED[dots]
            if count == 1:
                return language.text("durations", dotted, note=table["one"][key]) if dotted else str(table["a"][key])
            notes = str(table["many"][key])
            several = language.text("durations", f"{dotted}_many", notes=notes) if dotted else notes
            return _so_many(count, several, language)
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
            said += [language.text("durations", "rest", length=each)] * count
            continue
        other = "single" if count == 1 else "times"
        said.append(
            _written(value, count, language)
            or language.text("durations", other, count=language.number(count), length=each)
        )
    return language.listed(said)


def ratio_in_words(ratio: Fraction, language: LanguageWords) -> str:
    """`2`, `1.5` (`1,5` in German), or a fraction that has no short form in tenths."""
    if 100 % ratio.denominator:
        return str(ratio)
    return f"{float(ratio):g}".replace(".", language.text("numbers", "point"))


def mode_in_words(mode: Mode, language: LanguageWords) -> str:
    """`D minor`; other modes by their names."""
    if mode.own or mode.name not in ("major", "minor"):
        return language.text("modes", "other", name=theme_name(mode.name) if mode.own else str(mode))
    tonic = note_name(mode.tonic, language)
    return language.text("modes", mode.name, tonic=tonic, small_tonic=tonic[:1].lower() + tonic[1:])


def selection_in_words(selection: Selection, language: LanguageWords) -> str:
    """`note 1 and the last note`."""
    said: list[str] = []
    for item in selection.items:
        match item:
            case ByNumber(first, last) if first == last:
                said.append(language.text("selections", "note", number=first))
            case ByNumber(first, None):
                said.append(language.text("selections", "onward", first=first))
            case ByNumber(first, last):
                said.append(language.text("selections", "range", first=first, last=last))
            case ByLetter(position):
                said.append(language.text("selections", "numbered_letter", number=position))
            case ByText(letters):
                said.append(language.text("selections", "letter", letter=letters))
            case TheLast():
                said.append(language.text("selections", "last"))
    return language.listed(said)
