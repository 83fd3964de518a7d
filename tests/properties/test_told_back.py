"""What the guide says of notes, read back from its own words: the durations, intervals and notes that it tells of.

The words are those of English and German for note values and intervals (common practice), in tables of this file. The
sentences are those of the guide, of steps with arguments by chance.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.evaluate.plan import Plan
from cavata.music.event import Motif
from cavata.music.pitch import parse_interval
from cavata.names import program as p
from cavata.pipeline import compile_script
from cavata.tell.guide.derivation import Phrases
from cavata.tell.language import interval_in_words, language, length_in_words

VALUES = {
    "en": {
        "whole": 1, "half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16, "thirty-second": 32, "sixty-fourth": 64,
        "hundred-and-twenty-eighth": 128, "two-hundred-and-fifty-sixth": 256,
    },
    "de": {
        "ganze": 1, "ganzen": 1, "halbe": 2, "halben": 2, "viertel": 4, "achtel": 8, "sechzehntel": 16,
        "zweiunddreißigstel": 32, "vierundsechzigstel": 64, "hundertachtundzwanzigstel": 128,
        "zweihundertsechsundfünfzigstel": 256,
    },
}  # fmt: skip
NUMBERS = {
    "en": ("", "a", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    "de": ("", "eine", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun", "zehn", "elf", "zwölf"),
}
SHARES = {
    "en": {"third": 3, "fifth": 5, "seventh": 7, "ninth": 9, "eleventh": 11, "thirteenth": 13, "fifteenth": 15},
    "de": {"drittel": 3, "fünftel": 5, "siebtel": 7, "neuntel": 9, "elftel": 11, "dreizehntel": 13, "fünfzehntel": 15},
}
QUALITIES = {
    "en": {"perfect": 0, "major": 0, "minor": -1, "augmented": 1, "diminished": -1},
    "de": {"reine": 0, "große": 0, "kleine": -1, "übermäßige": 1, "verminderte": -1},
}
SIZES = {
    "en": "unison second third fourth fifth sixth seventh octave ninth tenth eleventh twelfth thirteenth fourteenth",
    "de": "prime sekunde terz quarte quinte sexte septime oktave none dezime undezime duodezime tredezime quartdezime",
}
MAJOR = (0, 2, 4, 5, 7, 9, 11)
PERFECT = (0, 3, 4)


def number(word: str, code: str) -> int:
    """`two`, `zwei`, `13`; an article is one."""
    articles = {"en": ("a", "an"), "de": ("ein", "eine", "einer")}[code]
    return 1 if word in articles else int(word) if word.isdigit() else NUMBERS[code].index(word)


def note_value(words: str, code: str) -> Fraction:
    """`dotted quarter notes`: that of one of them."""
    found = [word.lower().removesuffix("noten").removesuffix("note") for word in words.split()]
    (value,) = [VALUES[code][word] for word in found if word in VALUES[code]]
    double = "double-dotted" in words or "doppelt punktierte" in words
    dotted = "dotted" in words or "punktierte" in words
    return Fraction(1, value) * (Fraction(7, 4) if double else Fraction(3, 2) if dotted else 1)


def length(words: str, code: str) -> Fraction:
    """`a quarter note`, `five eighth notes`, `two thirds of a quarter note`, `13/45 of a quarter note`."""
    shared = re.fullmatch(r"(.+?) (?:of (an? .+)|(einer .+))", words)
    if shared is None:
        count, _, value = words.partition(" ")
        return number(count, code) * note_value(value, code)
    part, of = shared[1], note_value((shared[2] or shared[3]).partition(" ")[2], code)
    if "/" in part:
        return Fraction(part) * of
    count, _, share = part.partition(" ")
    word = share.lower() if code == "de" else share.removesuffix("s")
    return Fraction(number(count, code), SHARES[code][word]) * of


def rhythm(words: str, code: str) -> list[tuple[Fraction, bool]]:
    """Every value of a rhythm, each with whether it is a rest."""
    found: list[tuple[Fraction, bool]] = []
    for item in re.split(r", | and | und ", words):
        rest = re.fullmatch(r"a rest of (.+)|eine Pause so lang wie (.+)", item)
        many = re.fullmatch(r"(\S+) notes of (.+) each|(\S+) Noten \(jede so lang wie (.+)\)", item)
        if rest is not None:
            found.append((length(rest[1] or rest[2], code), True))
        elif many is not None:
            found += [(length(many[2] or many[4], code), False)] * number(many[1] or many[3], code)
        elif (one := re.fullmatch(r"a note of (.+)|eine Note so lang wie (.+)", item)) is not None:
            found.append((length(one[1] or one[2], code), False))
        else:
            count, _, value = item.partition(" ")
            found += [(note_value(value, code), False)] * number(count, code)
    return found


def semitones(words: str, code: str) -> int:
    """`a minor third`, `three octaves and a minor third`."""
    return sum(_semitones(item.lower(), code) for item in re.split(r" and | und ", words))


def _semitones(words: str, code: str) -> int:
    octaves = re.fullmatch(r"(\S+) (?:octaves|oktaven)", words)
    if octaves is not None:
        return 12 * number(octaves[1], code)
    words = words.replace("double octave", "fifteenth").replace("doppeloktave", "fifteenth")
    *before, size = words.split()
    steps = 14 if size == "fifteenth" else SIZES[code].split().index(size)
    quality = next((word for word in before if word in QUALITIES[code]), "perfect" if code == "en" else "reine")
    by = QUALITIES[code][quality]
    narrow = quality in ("diminished", "verminderte") and steps % 7 not in PERFECT
    return 12 * (steps // 7) + MAJOR[steps % 7] + by - narrow


# ---------------------------------------------------------------- lengths and intervals

codes = st.sampled_from(["en", "de"])
lengths = st.builds(
    lambda numerator, power, odd: Fraction(numerator, 2**power * odd),
    st.integers(1, 40), st.integers(0, 8), st.sampled_from([1, 1, 1, 3, 5, 7, 9, 15, 21, 45, 225]),
)  # fmt: skip
values = st.one_of(lengths, st.builds(lambda n, h: Fraction(h, 2**n), st.integers(2, 8), st.sampled_from([1, 3, 7])))
intervals = st.builds(
    lambda size, quality: f"{quality[(size - 1) % 7 in PERFECT]}{size}",
    st.integers(1, 36), st.sampled_from([("m", "P"), ("M", "P"), ("aug", "aug"), ("dim", "dim")]),
).filter(lambda name: name != "dim1")  # fmt: skip


@given(lengths, codes)
def test_a_length_in_words_is_that_length(wanted: Fraction, code: str) -> None:
    assert length(length_in_words(wanted, language(code)), code) == wanted


@given(intervals, codes)
def test_an_interval_in_words_has_as_many_semitones(name: str, code: str) -> None:
    wanted = parse_interval(name)
    assert semitones(interval_in_words(wanted, language(code)), code) == wanted.semitones


def test_lengths_that_a_reader_of_no_notes_can_follow() -> None:
    """Source: common practice."""
    said = {
        "3/2": ("three half notes", "drei halbe Noten"),
        "1/12": ("a third of a quarter note", "ein Drittel einer Viertelnote"),
        "4": ("four whole notes", "vier ganze Noten"), "1/32": ("a thirty-second note", "eine Zweiunddreißigstelnote"),
    }  # fmt: skip
    for name, words in said.items():
        assert tuple(length_in_words(Fraction(name), language(code)) for code in ("en", "de")) == words


# ---------------------------------------------------------------- sentences of steps


def sentences(steps: list[str], code: str) -> tuple[list[str], Plan]:
    """The sentence of each step of a line, and the values of the line after each, called `a0`, `a1` ..."""
    rows = ["motif a0 = notes(1/4 D4 E4 F4, 1/8 A4 Bb4, 1/2 G4)"]
    rows += [f"motif a{n} = a{n - 1} {'' if step.startswith('x ') else '-> '}{step}" for n, step in enumerate(steps, 1)]
    made = compile_script(Path("a.cavata"), "a.cavata", "\n".join(["language 2", *rows]) + "\n")
    assert made.program is not None and made.plan is not None
    assert not made.bag.has_errors, [message.message for message in made.bag.ordered()]
    phrases = Phrases(language(code), {})
    links = [
        link for definition in made.program.definitions if isinstance(definition, p.ValueDefinition)
        if isinstance(definition.value, p.BoundChain) for link in definition.value.links
    ]  # fmt: skip
    return [phrases.step(link) for link in links if isinstance(link, p.Apply)], made.plan


def as_written(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"


beats = st.lists(st.tuples(values, st.booleans()), min_size=1, max_size=7).filter(
    lambda row: not all(is_rest for _, is_rest in row)
)
RHYTHM = {
    "en": re.compile(r"It takes on (?:a rhythm of (.+)|even notes, each (.+))\."),
    "de": re.compile(r"Die Töne nehmen (?:diese Werte \((.+)\)|gleiche Werte, jeweils (.+),) an\."),
}


@pytest.mark.slow
@settings(max_examples=rounds(12), deadline=None)
@given(beats, codes)
def test_a_rhythm_in_words_has_the_same_durations(row: list[tuple[Fraction, bool]], code: str) -> None:
    written = " ".join(f"{as_written(value)}{' rest' * is_rest}" for value, is_rest in row)
    (said,), _ = sentences([f"in ({written})"], code)
    found = RHYTHM[code].fullmatch(said)
    assert found is not None, said
    if found[1]:
        assert rhythm(found[1], code) == row
    else:
        assert {*row} == {(length(found[2], code), False)}


def test_rhythms_of_the_page() -> None:
    """Source: common practice."""
    said = sentences(["in (1/4. 1/8 1/2)", "in (1/4 1/4 1/2)", "in (1/8 1/8 rest)"], "en")[0]
    assert said == [
        "It takes on a rhythm of a dotted quarter note, an eighth note and a half note.",
        "It takes on a rhythm of two quarter notes and a half note.",
        "It takes on a rhythm of an eighth note and a rest of an eighth note.",
    ]
    assert sentences(["in (1/4. 1/8 1/2)"], "de")[0] == [
        "Die Töne nehmen diese Werte (eine punktierte Viertelnote, eine Achtelnote und eine halbe Note) an."
    ]


Line = list[tuple[Fraction, int]]
"""Of each note its duration and its key, C4 being 60."""


def line(value: object) -> Line:
    assert isinstance(value, Motif)
    return [(event.duration, event.heads[0].pitch.midi) for event in value.events if event.heads]


def told(said: str, before: Line) -> Line:
    """What a line becomes by an English sentence of the guide, worked out from its words alone."""
    count = next((int(n) for n in re.findall(r"\b\d+\b", said)), 1)
    match said.split(" ", 3)[:3], said:
        case ["It", "is", "played"], _ if "from its last note to its first" in said:
            return before[::-1]
        case ["It", "is", "moved"], _:
            words = said.rstrip(".").partition(", by ")[2]
            by = semitones(words, "en") * (1 if "higher" in said else -1)
            return [(duration, key + by) for duration, key in before]
        case ["It", "begins", "elsewhere:"], _:
            return before[count:] + before[:count]
        case ["Only", "its", "first"], _:
            return before[:count]
        case ["Only", "its", "last"], _:
            return before[-count:]
        case ["Of", "its", "notes"], _:
            first, last = map(int, re.findall(r"\d+", said))
            return before[first - 1 : last]
        case ["It", "is", "played"], _ if "each time moved" in said:
            words = re.search(r"moved (up|down)ward by (.+)\.", said)
            assert words is not None, said
            by = semitones(words[2], "en") * (1 if words[1] == "up" else -1)
            return [(duration, key + turn * by) for turn in range(count) for duration, key in before]
        case ["It", "is", "played"], _ if "without" in said:
            return before[:-1] if "last" in said else [n for place, n in enumerate(before, 1) if place != count]
        case ["It", "is", "played"], _:
            return before * count
        case ["It", "is", "diminished:" | "augmented:"], _:
            ratio = Fraction(re.findall(r"[\d./]+\d|\d", said.replace("twice", "2 times"))[0])
            return [(d / ratio if "fast" in said else d * ratio, key) for d, key in before]
        case ["Every", "distance", _], _:
            return [(duration, before[0][1] + count * (key - before[0][1])) for duration, key in before]
        case _:
            raise AssertionError(said)


def told_in_german(said: str, before: Line) -> Line:
    """The same by a German sentence."""
    count = next((int(n) for n in re.findall(r"\b\d+\b", said)), 1)
    if moved := re.fullmatch(r"Alles rückt um (.+) nach (oben|unten)\.", said):
        by = semitones(moved[1].partition(" ")[2], "de") * (1 if moved[2] == "oben" else -1)
        return [(duration, key + by) for duration, key in before]
    if moved := re.fullmatch(r"Es erklingt (\d+)-mal, jedes Mal um (.+) (auf|ab)wärts gerückt\.", said):
        by = semitones(moved[2].partition(" ")[2], "de") * (1 if moved[3] == "auf" else -1)
        return [(duration, key + turn * by) for turn in range(count) for duration, key in before]
    said = said.replace("geht doppelt so", "geht 2-mal so").replace("das Doppelte", "das 2-Fache")
    if ratio := re.fullmatch(r"Es geht ([\d,/]+)-mal so schnell\.|Es wird auf das ([\d,/]+)-Fache .+", said):
        by_ratio = Fraction((ratio[1] or ratio[2]).replace(",", "."))
        return [(d / by_ratio if ratio[1] else d * by_ratio, key) for d, key in before]
    if "vom letzten Ton zum ersten" in said:
        return before[::-1]
    if "wandern vom Anfang ans Ende" in said or "wandert vom Anfang ans Ende" in said:
        return before[count:] + before[:count]
    if taken := re.fullmatch(r"Genommen werden nur die (ersten|letzten) \d+ Töne\.", said):
        return before[:count] if taken[1] == "ersten" else before[-count:]
    if taken := re.fullmatch(r"Genommen wird davon nur: die Töne (\d+) bis (\d+)\.", said):
        return before[int(taken[1]) - 1 : int(taken[2])]
    if said.startswith("Es erklingt ohne"):
        return before[:-1] if "letzten" in said else [n for place, n in enumerate(before, 1) if place != count]
    if re.fullmatch(r"Es erklingt \d+-mal\.", said):
        return before * count
    if said.startswith("Jeder Abstand vom ersten Ton wird"):
        return [(duration, before[0][1] + count * (key - before[0][1])) for duration, key in before]
    raise AssertionError(said)


steps = st.one_of(
    st.builds("{} {}".format, st.sampled_from(["up", "down"]), st.sampled_from(["m2", "M3", "P5", "P8", "M9", "aug4"])),
    st.just("retrograde"), st.builds("rotated {}".format, st.integers(1, 3)),
    st.builds("{} {}".format, st.sampled_from(["first", "last"]), st.integers(2, 5)),
    st.builds("notes {}..{}".format, st.integers(1, 2), st.integers(3, 4)),
    st.builds("x {}".format, st.integers(2, 3)), st.sampled_from(["without last", "without 2", "expanded 2"]),
    st.builds(
        "sequence {} by {} {}".format, st.integers(2, 3), st.sampled_from(["m2", "M2"]), st.sampled_from(["up", "down"])
    ),
    st.builds(
        "{} {}".format, st.sampled_from(["diminution", "augmentation"]), st.sampled_from(["2", "3:2", "4:3", "3"])
    ),
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=rounds(15), deadline=None)
@given(steps, codes)
def test_a_sentence_says_what_its_step_did(step: str, code: str) -> None:
    (said,), plan = sentences([step], code)
    values = {identity.name: value for identity, value in plan.values.items()}
    read = {"en": told, "de": told_in_german}[code]
    assert line(values["a1"]) == read(said, line(values["a0"])), said
