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

    def listed(self, words: Sequence[str]) -> str:
        """`a, b and c`."""
        return listed(words, self.text("lists", "and"))


def languages() -> tuple[str, ...]:
    """The codes of the languages that are there."""
    folder = resources.files("cavata.tell").joinpath("words")
    return tuple(sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml")))


@cache
def language(code: str) -> LanguageWords:
    """A language that is there."""
    text = resources.files("cavata.tell").joinpath("words", f"{code}.toml").read_text(encoding="utf-8")
    return LanguageWords(code, tomllib.loads(text))


# ----------------------------------------------------------------
# Notes, intervals, lengths and selections in the words of a language, for readers who read no notes.
#
# In: values of the music. Out: words. A pitch is told without its octave, as people say it.


_INTERVAL = re.compile(r"(P|M|m|aug|dim)(\d+)")


def note_name(note: PitchClass, language: LanguageWords) -> str:
    """`F sharp`; where the language has its own word, as German for B flat, that."""
    written = str(note)
    names = language.tables["notes"]
    if written in names["names"]:
        return str(names["names"][written])
    return written[:1] + str(names["accidental"].get(written[1:], written[1:]))


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
    """`a minor third`."""
    written = str(interval)
    table = language.tables["intervals"]
    if written in table["plain"]:
        return str(table["plain"][written])
    found = _INTERVAL.fullmatch(written)
    if found is None or found[2] not in table["size"]:
        return language.text("intervals", "other", name=written)
    return language.text("intervals", "said", quality=table["quality"][found[1]], size=table["size"][found[2]])


def length_in_words(length: Fraction, language: LanguageWords) -> str:
    """`a quarter note`, or the fraction of a whole note."""
    plain = language.tables["durations"]["plain"]
    return str(plain.get(str(length)) or language.text("durations", "other", name=str(length)))


def ratio_in_words(ratio: Fraction) -> str:
    """`2`, `1.5`, or a fraction that has no short form in tenths."""
    return f"{float(ratio):g}" if 100 % ratio.denominator == 0 else str(ratio)


def mode_in_words(mode: Mode, language: LanguageWords) -> str:
    """`D minor`; other modes by their names."""
    if mode.own or mode.name not in ("major", "minor"):
        return language.text("modes", "other", name=mode.name if mode.own else str(mode))
    tonic = note_name(mode.tonic, language)
    return language.text("modes", mode.name, tonic=tonic, small_tonic=tonic[:1].lower() + tonic[1:])


def selection_in_words(selection: Selection, language: LanguageWords) -> str:
    """`note 1 and the last note`."""
    said: list[str] = []
    for item in selection.items:
        match item:
            case ByNumber(first, last) if first == last:
                said.append(language.text("selections", "note", number=first))
            case ByNumber(first, last):
                said.append(language.text("selections", "range", first=first, last=last))
            case ByLetter(position):
                said.append(language.text("selections", "numbered_letter", number=position))
            case ByText(letters):
                said.append(language.text("selections", "letter", letter=letters))
            case TheLast():
                said.append(language.text("selections", "last"))
    return language.listed(said)
