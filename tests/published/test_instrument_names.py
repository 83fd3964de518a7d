"""Names of instruments in other languages: complete, held against music21's dictionaries, clear as words of a script.

Where music21 10.5 says something else it is written down with the reason.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping

import pytest
from music21.languageExcerpts import instrumentLookup
from test_instruments import MUSIC21, MUSIC21_DRUMS, known

from cavata.instruments.foreign import (
    foreign,
    meanings,
    numbered,
    printed_abbreviation,
    printed_name,
    suggestions_in_any_language,
)
from cavata.instruments.instrument import Instrument, PageLanguage, in_a_script, language_called
from cavata.instruments.table import find, instruments, is_ambiguous
from cavata.resources import folder

EVERY = sorted(set(instruments().values()), key=lambda instrument: instrument.order)
OTHERS = tuple(language for language in PageLanguage if language is not PageLanguage.ENGLISH)
CLASSES = {
    **MUSIC21, **MUSIC21_DRUMS, "TempleBlock": "temple blocks", "Castanets": "castanets", "Cymbals": "cymbals",
    "FingerCymbals": "finger cymbals", "SuspendedCymbal": "suspended cymbal", "SizzleCymbal": "sizzle cymbal",
    "HiHatCymbal": "hi-hat", "TamTam": "tam-tam", "SleighBells": "sleigh bells", "TenorDrum": "tenor drum",
    "TomTom": "tom-toms", "Whip": "whip", "Ratchet": "ratchet", "Siren": "siren", "SandpaperBlocks": "sandpaper blocks",
    "WindMachine": "wind machine", "Handbells": "hand bells", "Whistle": "whistle", "Organ": "organ",
    "AcousticGuitar": "guitar", "Percussion": "percussion",
}  # fmt: skip
DICTIONARIES: Mapping[PageLanguage, tuple[Mapping[str, str], int]] = {
    PageLanguage.ITALIAN: (instrumentLookup.italianToClassName, 95),
    PageLanguage.GERMAN: (instrumentLookup.germanToClassName, 90),
    PageLanguage.FRENCH: (instrumentLookup.frenchToClassName, 85),
    PageLanguage.SPANISH: (instrumentLookup.spanishToClassName, 70),
}
"""Words and classes of music21, and how many of its words at least are in our table too."""
MUSIC21_SAYS_OTHERWISE = {
    "batteria": "any percussion; on a score of today it is the drum set",
    "batería": "any percussion; on a score of today it is the drum set",
    "batterie": "any percussion; on a score of today it is the drum set",
    "clarinetti bassi": "clarinets; they are bass clarinets",
    "crótalos": "finger cymbals; `crótalos` are the tuned ones, and `crótalos de dedo` finger cymbals",
    "tamburo militare": "the snare drum; ours has the deeper field drum apart",
    "rührtrommel": "the tenor drum; ours calls the field drum so, and the tenor drum `Tenortrommel`",
}


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.value)
def test_words_of_music21_mean_the_same(language: PageLanguage) -> None:
    words, at_least = DICTIONARIES[language]
    agreeing, differing = 0, set()
    for word, name in words.items():
        ours = [find(meaning.english) for meaning in meanings(word) if meaning.language is language]
        if ours and name in CLASSES and known(CLASSES[name]) in ours:
            agreeing += 1
        elif ours:
            differing.add(word)
    assert agreeing >= at_least
    assert differing == {word for word in MUSIC21_SAYS_OTHERWISE if word in words}


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.value)
def test_every_instrument_has_names_in_every_language(language: PageLanguage) -> None:
    table = tomllib.loads((folder("stdlib") / "instrument_names.toml").read_text(encoding="utf-8"))
    for english, names in table[language.value.lower()].items():
        assert find(english) is not None, english
        assert len(names) >= 3 and all(names), english
    rows = {in_a_script(english) for english in table[language.value.lower()]}
    nameless = [each.key for each in EVERY if not {each.key, each.key.partition(" in ")[0]} & rows]
    assert nameless == [], f"each has its row under [{language.value.lower()}] of stdlib/instrument_names.toml"
    for instrument in EVERY:
        one, several = (printed_name(instrument, plural, language) for plural in (False, True))
        assert one[0] == one[0].upper() and several[0] == several[0].upper()
        assert 0 < len(printed_abbreviation(instrument, language)) <= len(one) + 4


@pytest.mark.parametrize(
    ("words", "plural", "language", "name", "short"),
    [
        ("clarinet", False, PageLanguage.GERMAN, "Klarinette in B", "Klar. (B)"),
        ("clarinet in A", True, PageLanguage.GERMAN, "Klarinetten in A", "Klar. (A)"),
        ("clarinet in Eb", False, PageLanguage.GERMAN, "Kleine Klarinette in Es", "Kl. Klar. (Es)"),
        ("clarinet", True, PageLanguage.ITALIAN, "Clarinetti in Si♭", "Cl. (Si♭)"),
        ("horn", False, PageLanguage.ITALIAN, "Corno in Fa", "Cor. (Fa)"),
        ("horn", True, PageLanguage.FRENCH, "Cors en fa", "Cor (fa)"),
        ("trumpet in C", True, PageLanguage.FRENCH, "Trompettes en ut", "Trp. (ut)"),
        ("violin", True, PageLanguage.ITALIAN, "Violini", "Vl."),
        ("viola", True, PageLanguage.GERMAN, "Bratschen", "Br."),
        ("viola", True, PageLanguage.FRENCH, "Altos", "Alt."),
        ("bassoon", False, PageLanguage.FRENCH, "Basson", "Bn."),
        ("bass drum", False, PageLanguage.GERMAN, "Große Trommel", "Gr. Tr."),
        ("double bass", True, PageLanguage.ITALIAN, "Contrabbassi", "Cb."),
        ("clarinet", True, PageLanguage.SPANISH, "Clarinetes en si♭", "Cl. (si♭)"),
        ("horn", True, PageLanguage.SPANISH, "Trompas en fa", "Tpa. (fa)"),
        ("cello", True, PageLanguage.SPANISH, "Violonchelos", "Vc."),
    ],
)
def test_names_on_the_page(words: str, plural: bool, language: PageLanguage, name: str, short: str) -> None:
    """Source: common practice of scores in these languages."""
    assert printed_name(known(words), plural, language) == name
    assert printed_abbreviation(known(words), language) == short


@pytest.mark.parametrize(
    ("name", "number", "whole"),
    [
        ("Clarinet in B♭", "II", "Clarinet II in B♭"),
        ("Klarinette in B", "I", "Klarinette I in B"),
        ("Cors en fa", "IV", "Cors IV en fa"),
        ("Cl. (B♭)", "II", "Cl. II (B♭)"),
        ("Violini", "I", "Violini I"),
        ("Clarinet in B♭", "", "Clarinet in B♭"),
    ],
)
def test_number_stands_before_the_key(name: str, number: str, whole: str) -> None:
    assert numbered(name, number) == whole


@pytest.mark.parametrize(
    ("words", "english", "section"),
    [
        ("Fagott", "bassoon", False),
        ("Bratschen", "viola", True),
        ("violini", "violin", True),
        ("Klarinette in A", "clarinet in A", False),
        ("Klarinetten in Bb", "clarinet", True),
        ("kleine Klarinette in Eb", "clarinet in Eb", False),
        ("cor anglais", "English horn", False),
        ("cors", "horn", True),
        ("Posaunen", "trombone", True),
        ("grosse Trommel", "bass drum", False),
        ("Flöten", "flute", True),
        ("Floten", "flute", True),
        ("clarinetto basso", "bass clarinet", False),
        ("contrebasses", "double bass", True),
        ("fagotes", "bassoon", True),
        ("fagot", "bassoon", False),
        ("corno inglés", "English horn", False),
    ],
)
def test_foreign_words_find_their_instrument(words: str, english: str, section: bool) -> None:
    meant = foreign(words)
    assert meant is not None and meant.instrument is known(english)
    assert find(words) is meant.instrument or meant.is_section is section


def test_word_that_means_several_instruments_finds_none_and_offers_them() -> None:
    assert foreign("kleine Klarinette") is None
    assert suggestions_in_any_language("kleine Klarinette") == ("clarinet in Eb", "clarinet in D")
    for word in ("Bässe", "basso", "bajo", "bassi", "Blockflöte", "coro"):
        assert is_ambiguous(word) and foreign(word) is None
        assert all(find(offered) is not None for offered in suggestions_in_any_language(word))


MEANS_SOMETHING_ELSE_IN_ENGLISH = {
    "alto": "a voice; in French the viola",
    "altos": "voices; in French violas",
    "timbales": "Latin drums; in French and Spanish the timpani",
}


def test_english_words_that_mean_something_else_elsewhere_are_all_known() -> None:
    """They are taken as English, with a warning where the page is in the other language."""
    found = {
        word
        for word, instrument in instruments().items()
        if any(find(meaning.english) is not instrument for meaning in meanings(word))
    }
    assert found == set(MEANS_SOMETHING_ELSE_IN_ENGLISH)


@pytest.mark.parametrize(
    ("words", "meant"),
    [("violinno", ("violino",)), ("Bratche", ("Bratsche",)), ("kazoo", ())],
)
def test_near_words_are_sought_in_every_language(words: str, meant: tuple[str, ...]) -> None:
    assert suggestions_in_any_language(words)[:1] == meant


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("choir basses", ("bass voices",)), ("Chorus bass", ("bass voice",)), ("choir sopranos", ("sopranos",)),
        ("choir tenor", ("tenor",)), ("choir violin", ()),
    ],
)  # fmt: skip
def test_singers_of_a_choir_are_offered_as_singers(words: str, meant: tuple[str, ...]) -> None:
    """Source: common practice."""
    assert suggestions_in_any_language(words) == meant


def test_languages_are_called_by_their_english_names() -> None:
    assert [language_called(word) for word in ("Italian", "german", "FRENCH", "English", "Klingon")] == [
        PageLanguage.ITALIAN, PageLanguage.GERMAN, PageLanguage.FRENCH, PageLanguage.ENGLISH, None,
    ]  # fmt: skip


def test_no_two_instruments_share_a_printed_name() -> None:
    for language in PageLanguage:
        printed: dict[str, Instrument] = {}
        for instrument in EVERY:
            assert printed.setdefault(printed_name(instrument, False, language), instrument) is instrument
