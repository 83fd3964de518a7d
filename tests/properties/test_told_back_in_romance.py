"""Lengths and intervals that the guide tells of in French, Italian and Spanish, read back from its own words.

Source of the words: note values and intervals as handbooks of the three languages have them (common practice; the
shortest values from memory).
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavata.music.pitch import parse_interval
from cavata.tell.language import each_in_words, interval_in_words, language, length_in_words

VALUES = {
    "fr": "ronde blanche noire croche double·croche triple·croche quadruple·croche quintuple·croche sextuple·croche",
    "it": "semibreve minima semiminima croma semicroma biscroma semibiscroma fusa semifusa",
    "es": "redonda blanca negra corchea semicorchea fusa semifusa garrapatea semigarrapatea",
}
PLURALS = {
    "fr": "rondes blanches noires croches doubles·croches triples·croches quadruples·croches quintuples·croches "
    "sextuples·croches",
    "it": "semibrevi minime semiminime crome semicrome biscrome semibiscrome fuse semifuse",
    "es": "redondas blancas negras corcheas semicorcheas fusas semifusas garrapateas semigarrapateas",
}
NUMBERS = {
    "fr": "un deux trois quatre cinq six sept huit neuf dix onze douze",
    "it": "un due tre quattro cinque sei sette otto nove dieci undici dodici",
    "es": "un dos tres cuatro cinco seis siete ocho nueve diez once doce",
}
SHARES = {
    "fr": "tiers cinquième septième neuvième onzième treizième quinzième",
    "it": "terzo quinto settimo nono undicesimo tredicesimo quindicesimo",
    "es": "tercio quinto séptimo noveno onceavo treceavo quinceavo",
}
SIZES = {
    "fr": "prime seconde tierce quarte quinte sixte septième octave neuvième dixième onzième douzième treizième "
    "quatorzième double·octave",
    "it": "prima seconda terza quarta quinta sesta settima ottava nona decima undicesima dodicesima tredicesima "
    "quattordicesima doppia·ottava",
    "es": "primera segunda tercera cuarta quinta sexta séptima octava novena décima undécima duodécima decimotercera "
    "decimocuarta doble·octava",
}
QUALITIES = {
    "fr": {"juste": 0, "majeure": 0, "mineure": -1, "augmentée": 1, "diminuée": -1},
    "it": {"giusta": 0, "maggiore": 0, "minore": -1, "aumentata": 1, "diminuita": -1},
    "es": {"justa": 0, "mayor": 0, "menor": -1, "aumentada": 1, "disminuida": -1},
}
PLAIN = {
    "fr": {"un unisson": 0, "deux octaves": 24}, "it": {"un unisono": 0, "due ottave": 24},
    "es": {"un unísono": 0, "dos octavas": 24},
}  # fmt: skip
DOTTED = {
    "fr": r"(.+?)( doublement)? pointées?", "it": r"(.+?) col( doppio)? punto", "es": r"(.+?) con( doble)? puntillo",
}  # fmt: skip
ARTICLE = re.compile(r"une? |una |un’")
MAJOR, PERFECT = (0, 2, 4, 5, 7, 9, 11), (0, 3, 4)
CODES = st.sampled_from(["fr", "it", "es"])


def words(table: dict[str, str], code: str) -> list[str]:
    return [word.replace("·", " ") for word in table[code].split()]


def number(word: str, code: str) -> int:
    return int(word) if word.isdigit() else words(NUMBERS, code).index(word) + 1


def note_value(said: str, code: str) -> Fraction:
    """`noire pointée`, `noires`."""
    dotted = re.fullmatch(DOTTED[code], said)
    name = dotted[1] if dotted else said
    names = words(VALUES, code) if name in words(VALUES, code) else words(PLURALS, code)
    return Fraction(1, 2 ** names.index(name)) * (Fraction(7, 4) if dotted and dotted[2] else
                                                  Fraction(3, 2) if dotted else 1)  # fmt: skip


def length(said: str, code: str) -> Fraction:
    """`une noire`, `cinq croches`, `deux tiers d’une noire`, `13/45 d’une noire`."""
    shared = re.fullmatch(r"(.+?) (?:d’|di |de )(un.+)", said)
    if shared is None:
        one = ARTICLE.match(said)
        if one:
            return note_value(said[one.end() :], code)
        count, _, name = said.partition(" ")
        return number(count, code) * note_value(name, code)
    of = note_value(ARTICLE.sub("", shared[2], count=1), code)
    if "/" in shared[1]:
        return Fraction(shared[1]) * of
    count, _, share = shared[1].partition(" ")
    known = words(SHARES, code)
    singular = next(one for one in known if share in (one, f"{one}s", one[:-1] + "i"))
    return Fraction(number(count, code), 2 * known.index(singular) + 3) * of


def semitones(said: str, code: str) -> int:
    """`une tierce mineure`, `trois octaves et une tierce mineure`."""
    return sum(_semitones(item, code) for item in re.split(r" et | e | y ", said))


def _semitones(said: str, code: str) -> int:
    if said in PLAIN[code]:
        return PLAIN[code][said]
    octaves = re.fullmatch(r"(\S+) (?:octaves|ottave|octavas)", said)
    if octaves:
        return 12 * number(octaves[1], code)
    name = ARTICLE.sub("", said, count=1)
    quality = next((word for word in QUALITIES[code] if name.endswith(f" {word}")), "")
    steps = words(SIZES, code).index(name.removesuffix(f" {quality}") if quality else name)
    by = QUALITIES[code].get(quality, 0)
    narrow = quality[:3] in ("dim", "dis") and steps % 7 not in PERFECT
    return 12 * (steps // 7) + MAJOR[steps % 7] + by - narrow


lengths = st.builds(
    lambda numerator, power, odd: Fraction(numerator, 2**power * odd),
    st.integers(1, 40), st.integers(0, 8), st.sampled_from([1, 1, 1, 3, 5, 7, 9, 11, 13, 15, 21, 45]),
)  # fmt: skip
intervals = st.builds(
    lambda size, quality: f"{quality[(size - 1) % 7 in PERFECT]}{size}",
    st.integers(1, 40), st.sampled_from([("M", "P"), ("m", "P"), ("aug", "aug"), ("dim", "dim")]),
).filter(lambda name: name != "dim1")  # fmt: skip


@given(lengths, CODES)
def test_a_length_is_what_its_words_say(value: Fraction, code: str) -> None:
    assert length(length_in_words(value, language(code)), code) == value


@given(st.integers(1, 8), st.sampled_from([1, 3, 7]), CODES)
def test_a_dotted_value_is_what_its_words_say(power: int, halves: int, code: str) -> None:
    value = Fraction(halves, 2**power)
    assert length(each_in_words(value, language(code)), code) == value


@given(intervals, CODES)
def test_an_interval_is_what_its_words_say(name: str, code: str) -> None:
    interval = parse_interval(name)
    assert semitones(interval_in_words(interval, language(code)), code) == interval.semitones


@pytest.mark.parametrize(
    ("code", "said"),
    [("fr", ["une noire pointée", "un tiers d’une noire", "une tierce mineure"]),
     ("it", ["una semiminima col punto", "un terzo di una semiminima", "una terza minore"]),
     ("es", ["una negra con puntillo", "un tercio de una negra", "una tercera menor"])],
)  # fmt: skip
def test_some_words_as_they_stand(code: str, said: list[str]) -> None:
    words = language(code)
    assert [
        each_in_words(Fraction(3, 8), words), length_in_words(Fraction(1, 12), words),
        interval_in_words(parse_interval("m3"), words),
    ] == said  # fmt: skip
