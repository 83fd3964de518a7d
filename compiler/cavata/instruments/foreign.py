"""Instruments in Italian, German, French and Spanish: as words of a script, and as they are printed.

In: `stdlib/instrument_names.toml`, read only when a script asks for it. Out: the instrument that a foreign word means,
if it means only one; and its names on the page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from typing import cast

from cavata.instruments.instrument import Instrument, PageLanguage, folded, in_a_script, joint_of, key_in
from cavata.instruments.table import find, is_ambiguous, nearest_of, script_words, suggestions, table_of
from cavata.record import record
from cavata.text import capital


@record
class ForeignWord:
    """A word of another language, and what it means there."""

    words: str
    """As a script can write it."""
    language: PageLanguage
    english: str
    """The row of the instrument."""
    is_plural: bool


@record
class Meant:
    """What the words of a script mean, in whatever language they are."""

    instrument: Instrument
    is_section: bool


def foreign(words: str) -> Meant | None:
    """The instrument that foreign words mean; None if they mean none, or may mean several.

    English words go before: `alto` is a voice, whatever it is in French. A key stands after its English `in`, as in
    `Klarinette in A`.
    """
    if is_ambiguous(words):
        return None
    head, joint, key = words.partition(" in ")
    meant: dict[Instrument, bool] = {}
    for word in _words().get(folded(head), ()):
        instrument = find(word.english.removesuffix(joint + key) + joint + key)
        if instrument is not None:
            meant[instrument] = meant.get(instrument, True) and word.is_plural
    return Meant(*meant.popitem()) if len(meant) == 1 else None


def meanings(words: str) -> tuple[ForeignWord, ...]:
    """Everything that a word means in other languages, one meaning a language."""
    return _words().get(folded(words), ())


_VOICES = {
    "high voice": ("soprano", "tenor"), "medium voice": ("mezzo soprano", "baritone"),
    "low voice": ("alto", "bass voice"),
}  # fmt: skip
"""As songs are published, for whoever sings them: a part is for one voice. Source: common practice."""


def suggestions_in_any_language(words: str) -> tuple[str, ...]:
    """What unknown words may have been meant for: the meanings of a foreign one that has several, else near words.

    Of `choir basses` it is what both words may mean.
    """
    if is_ambiguous(words):
        return suggestions(words)
    if meant := _VOICES.get(folded(words)):
        return meant
    if both := _of_both(words):
        return both
    english = tuple(dict.fromkeys(in_a_script(word.english) for word in meanings(words)))
    if english:
        return english
    elsewhere = {word: (found[0].words, found[0].english) for word, found in _words().items()}
    return nearest_of(words, {**elsewhere, **script_words()})


def _of_both(words: str) -> tuple[str, ...]:
    """What a word that may mean several instruments and the words after it both may mean."""
    first, _, rest = words.partition(" ")
    if not is_ambiguous(first) or not rest:
        return ()
    among = {find(offered) for offered in suggestions(first)}
    offered = suggestions(rest) if is_ambiguous(rest) else (in_a_script(rest),) if find(rest) else ()
    return tuple(word for word in offered if find(word) in among)


def foreign_name(instrument: Instrument, plural: bool, language: PageLanguage) -> str:
    """As before the first system: `Klarinette in B`, `Violini`."""
    key = _key(instrument)
    name = capital(_row(instrument, language)[1 if plural else 0])
    return f"{name} {joint_of(language)} {key_in(language, key)}" if key else name


def begins_with_a_capital(instrument: Instrument, language: PageLanguage) -> bool:
    """Whether a foreign name has a capital in the middle of a sentence too, as a German noun."""
    return _row(instrument, language)[0][:1].isupper()


def foreign_abbreviation(instrument: Instrument, language: PageLanguage) -> str:
    """As before later systems: `Klar. (B)`; the key stands there where it does in English."""
    short = _row(instrument, language)[2]
    return f"{short} ({key_in(language, _key(instrument))})" if instrument.abbreviation.endswith(")") else short


def _key(instrument: Instrument) -> str:
    return instrument.name.partition(" in ")[2]


def _row(instrument: Instrument, language: PageLanguage) -> list[str]:
    """Names in a language; an instrument in another key is called as the usual one if it has no name of its own."""
    rows = _names(language)
    return rows.get(instrument.key) or rows[instrument.key.partition(" in ")[0]]


@cache
def _names(language: PageLanguage) -> Mapping[str, list[str]]:
    rows = cast(Mapping[str, list[str]], table_of("instrument_names")[language.value.casefold()])
    return {in_a_script(english): names for english, names in rows.items()}


@lru_cache(maxsize=1)
def _words() -> Mapping[str, tuple[ForeignWord, ...]]:
    """What every foreign word means, in each language in which it means something."""
    found: dict[str, tuple[ForeignWord, ...]] = {}
    for word in _every_word():
        before = found.get(folded(word.words), ())
        if all((word.language, word.english) != (other.language, other.english) for other in before):
            found[folded(word.words)] = (*before, word)
    return found


def _every_word() -> Iterator[ForeignWord]:
    for language in PageLanguage:
        if language is not PageLanguage.ENGLISH:
            for english, (one, several, _, *others) in _names(language).items():
                for words in (one, *others):
                    yield ForeignWord(in_a_script(words), language, english, False)
                yield ForeignWord(in_a_script(several), language, english, True)


# ----------------------------------------------------------------
# What is printed beside the staves of an instrument.


def printed_name(instrument: Instrument, plural: bool, language: PageLanguage = PageLanguage.ENGLISH) -> str:
    """The name before the first system: `Violin`, or `Violins` for a section; `Clarinets in B♭`."""
    if language is not PageLanguage.ENGLISH:

        return foreign_name(instrument, plural, language)
    if not plural:
        return instrument.name
    if instrument.key.startswith(instrument.name.lower() + " "):
        # A script says `bass voices`, so that nobody takes them for double basses; the page need not.
        return f"{instrument.name}es"
    _, joint, key = instrument.name.partition(" in ")
    return capital(instrument.plural.partition(" in ")[0]) + joint + key


def numbered(name: str, number: str) -> str:
    """A printed name with its number before the key: `Clarinet II in B♭`, `Cl. II (B♭)`; without a number as it is.

    Behind the key the number would be read as part of it, as in a German `B I`.
    """
    if not number:
        return name
    for joint in (" in ", " en ", " ("):
        head, found, key = name.rpartition(joint)
        if found:
            return f"{head} {number}{joint}{key}"
    return f"{name} {number}"


def as_soloist(name: str, language: PageLanguage) -> str:
    """The printed name of a soloist beside others of his instrument: `Solo Vla.`, in other languages `Vla. solo`."""
    return f"Solo {name}" if language is PageLanguage.ENGLISH else numbered(name, "solo")


def printed_abbreviation(instrument: Instrument, language: PageLanguage = PageLanguage.ENGLISH) -> str:
    """The name before later systems."""
    if language is not PageLanguage.ENGLISH:

        return foreign_abbreviation(instrument, language)
    return instrument.abbreviation
