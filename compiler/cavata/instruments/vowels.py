"""Which vowels singers close: of a syllable, as the spelling of its language has it.

In: the words of a line, and one syllable. Out: the language that they seem to be in, and whether the syllable is sung
on a closed vowel, as *i* or *u*. Of a diphthong the vowel counts that is held, which is the open one nearly always.
Where the language is not known, or its spelling does not tell, nothing is called closed. Rules of spelling as school
grammars have them; from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

_COMMON = {
    "German": "und der die das ist ich nicht ein eine den dem du mein dein sein wie zu mit von dich mich sich wir auf "
    "in im des es so auch doch bist hast kein was wo mir dir ihr ihm uns nur noch wenn aus",
    "English": "the and of in to my is that with for thy shall his he she we you thou this all was are not be but from "
    "our your have him her they it as us who when come let am where day god lord love",
    "French": "le la les et de des un une je que est dans mon ton nous vous il elle pour qui ne pas sur ce au aux du "
    "mes tes ses comme plus toi moi",
    "Italian": "il la in che di e non mi per un con del mio io è lo gli le sei nel al della più ma ed ti si tu mia una",
    "Spanish": "el la que de y en los mi con por se no tu las un una es del al yo su te lo como más",
    "Latin": "et in est qui deus domine dei sanctus gloria pax agnus tuus tua nos nobis ad non cum sancta spiritus "
    "filius pater rex ave maria mater eleison kyrie dominus amen peccata mundi quia lux "
    "perpetua luceat requiem dona eis",
}
"""Words by which a language is known."""
_KNOWN = {language: frozenset(words.split()) for language, words in _COMMON.items()}
_EDGES = " .,;:!?()\"'»«„“”’…-"


@lru_cache(maxsize=64)
def language_of_words(words: tuple[str, ...]) -> str:
    """The language that most of the words are common in; empty where none is, or two are alike."""
    folded = [word.strip(_EDGES).casefold() for word in words]
    (most, name), (second, _), *_ = sorted(
        ((sum(word in known for word in folded), name) for name, known in _KNOWN.items()), reverse=True
    )
    return name if most > second else ""


def whole_words(syllables: Iterable[tuple[str, bool]]) -> tuple[str, ...]:
    """The words of syllables, each with whether its word goes on."""
    words, word = [], ""
    for text, goes_on in syllables:
        word += text
        if not goes_on:
            words.append(word)
            word = ""
    return (*words, word) if word else tuple(words)


_LETTERS = "aeiouyàáâäãåæèéêëìíîïòóôöõøœùúûü"
_VOWELS = re.compile(f"[{_LETTERS}]+")
_OPEN_LETTERS = re.compile("[aeoàáâäãåæèéêëòóôöõøœ]")


def is_closed(syllable: str, language: str = "") -> bool:
    """Whether a syllable is sung on a closed vowel: `kin`, `du`, `see`."""
    return _is_closed(syllable.strip(_EDGES).casefold(), language)


@lru_cache(maxsize=1024)
def _is_closed(text: str, language: str) -> bool:
    silent = re.sub(r"(?<=q)u(?=[aeiouy])|(?<=g)u(?=[ei])", "", text)  # of `qui` and `guerre`
    found = _VOWELS.findall(silent)
    if not found:
        return False
    match language:
        case "German":
            return found[-1] in _GERMAN
        case "English":
            return _in_english(text, found)
        case "French":
            return _in_french(silent, found[-1])
        case "Italian" | "Spanish" | "Latin":
            return not _OPEN_LETTERS.search(found[-1])
        case _:
            return (
                found[-1] in _ANYWHERE and not _ENGLISH_OPEN.search(text) and not _UNTOLD.search(text)
            ) or bool(re.search("[lr]ue$", text))


_GERMAN = frozenset(["i", "ie", "u", "ü", "y"])
"""Closed in German; `ei`, `ai`, `au`, `eu` and `äu` are held on an open vowel."""
_ANYWHERE = frozenset(["i", "ie", "ee", "u", "ü", "oo", "ì", "í", "î", "ù", "ú", "û"])
"""Closed in every language that has them, or nearly."""
_UNTOLD = re.compile("u[^aeiouy]|ir[^aeiouy]")
"""Open in English *us* and *bird*, closed or nearly in German *und*: without a language nothing is said of them."""
_ENGLISH_OPEN = re.compile(r"(igh|ight|ine|ile|ite|ide|ire|ive|ike|ime|ise|ife|ind|ild|igns?|igned|imbs?|y)$|"
                           r"^(christ|whilst|ninth|pint)")  # fmt: skip
"""English syllables whose letter `i` or `y` is a diphthong, as in `light`: it opens with an a."""
_ENGLISH_IR_OR_END = re.compile("ir|i$")
"""Before `r`, as in *bird*, an `i` is a vowel of the middle; at the end of a syllable, as in *Zi-on* or *di-vine*, the
spelling does not tell."""
_ENGLISH_CLOSED = re.compile(
    r"^(he|she|me|we|be|ye|the?[sm]e|thee|to|do|who|whom|two|you|your|youth|soup|group|wound|move|prove|lose|tomb|womb|"
    r"full|put|push|pull|bush|truth|fruit|suit|key|beau|ju|lu|du|tru|ru)$|(?<!a)(?<!e)(?<!o)ew$|[lrtd]ue$|(?<![aeo])u[bcdlmnst]e$"
    r"|^through$|ceive?$|ceit$"
)
_ENGLISH_EA = re.compile(r"(great|break|ear|heart|hearth?|head|dead|death|heav|weath|leath|breath|bread|breast|earth|"
                         r"heard|search|pearl|learn|wealth|health|real|dea|crea)")  # fmt: skip
_ENGLISH_OO = re.compile(r"(blood|flood|door|floor)")
_ENGLISH_IE = re.compile(r"(^|[^aeiou])ie[sd]?$")


def _in_english(text: str, found: list[str]) -> bool:
    if _ENGLISH_CLOSED.search(text):
        return True
    # The last vowel is silent in `love` and `gleame`, unless it is the only one.
    vowel = found[-2] if found[-1] == "e" and len(found) > 1 and text.endswith("e") else found[-1]
    match vowel:
        case "ee":
            return True
        case "ea":
            return not _ENGLISH_EA.search(text)
        case "oo":
            return not _ENGLISH_OO.search(text)
        case "ie":
            return not _ENGLISH_IE.search(text) and "friend" not in text
        case "i":
            unclear = _ENGLISH_OPEN.search(text) or _ENGLISH_IR_OR_END.search(text)
            return len(found) == 1 and not unclear
        case _:
            return False


_FRENCH_NASAL = re.compile(r"([iyu]|ai|ei|ie)[nm]($|[^aeiouyhnmàâéèêîôû])")


def _in_french(text: str, vowel: str) -> bool:
    """Nasal vowels are open, as are `ai`, `ei`, `oi`, `eu` and `au`; `ou` and `ui` are closed, and `ie` at the end."""
    if _FRENCH_NASAL.search(text):
        return False
    if text.endswith("e") and vowel == "e" and len(_VOWELS.findall(text)) > 1:
        vowel = _VOWELS.findall(text)[-2]
    return vowel in ("i", "î", "ï", "y", "u", "û", "ù", "ou", "où", "ui", "oui") or (
        vowel in ("ie", "ue", "oue") and text.endswith(vowel)
    )  # fmt: skip
