"""The page about playing: its tables are made of the kinds of the families, of the techniques and of the limits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import isfinite

import pytest
from book import GRAMMAR, with_made

from cavata.instruments import bowing, fretboard, keyboards, mallets, pedalboard, singing, stops, timpani
from cavata.instruments import winds as blown
from cavata.instruments.techniques import groups, rows
from cavata.playing import first_look
from cavata.playing.playing import FAMILIES
from cavata.playing.profile import AMATEURS, LIMITS, PROFESSIONAL
from cavata.playing.profiles import in_words
from cavata.playing.winds import breathing, fingers
from cavata.playing.winds import winds as lines

PAGE = GRAMMAR / "playing.md"
MESSAGES = GRAMMAR / "messages"


def _kinds() -> Iterator[str]:
    yield "| of | kind | what is looked at | impossible | rests on |\n|---|---|---|---|---|\n"
    told: set[str] = set()
    for family in FAMILIES:
        for kind in family.load().KINDS:
            if kind.word not in told:
                told.add(kind.word)
                code = f"[{kind.code}](messages/{kind.code}.md)" if kind.code else ""
                yield f"| {family.of} | {kind.word} | {kind.looked_at} | {code} | {kind.rests_on} |\n"


def _techniques() -> Iterator[str]:
    yield "| signs | who has them | who has them with care |\n|---|---|---|\n"
    for _, row in rows():
        signs = " ".join(f"`{sign}`" for sign in row["signs"])
        yield f"| {signs} | {_whom(row['has'])} | {_whom(row.get('care', []))} |\n"
    yield "\nGroups in italics:\n\n"
    yield from (f"- *{name}*: {', '.join(words)}\n" for name, words in groups().items())


def _whom(words: Sequence[str]) -> str:
    return ", ".join(f"*{word}*" if word in groups() else word for word in words)


def _limits() -> Iterator[str]:
    yield "| limit | what it is | unit | professional | amateurs | told as | rests on |\n"
    yield "|---|---|---|---|---|---|---|\n"
    for name, limit in LIMITS.items():
        usual, amateur = (_number(getattr(profile, name)) for profile in (PROFESSIONAL, AMATEURS))
        yield (
            f"| `{in_words(name)}` | {limit.means} | {limit.unit} | {usual} | {amateur} | {limit.told} | "
            f"{limit.rests_on} |\n"
        )


_MEMORY = "from memory"
_STOPS = tuple(
    ("bow reach", f"fingers of a stop on a {name}, in mm", *stops.LIMITS[name], "measured on solo works and quartets")
    for name in ("violin", "viola", "cello", "double bass")
)
_BOWS = tuple(
    ("bow length", f"one bow at {dynamic}, in s", seconds, seconds * bowing.HOPELESS_BOW, _MEMORY)
    for dynamic, seconds in bowing.BOW.items() if dynamic in ("pp", "p", "mf", "f", "ff")
)
_TIMES = (
    ("", "a string mute on, in s", *reversed(bowing.MUTE_ON), _MEMORY),
    ("", "a string mute off, in s", *reversed(bowing.MUTE_OFF), _MEMORY),
    ("", "from bow to finger or back, in s", *reversed(bowing.TO_PLUCK), _MEMORY),
    ("fret reach", "fingers on frets, in mm", *fretboard.REACH, "guitarists' pages"),
)
_WINDS = (
    ("breath", "a note, in breaths", 1 + breathing.SPARE, breathing.BREATHS, _MEMORY),
    ("breath", "a slur, in breaths", 1 + breathing.SPARE, breathing.SLURRED_BREATHS, _MEMORY),
    ("breath", "any of these, in s at least", None, first_look.LONG_SECONDS, _MEMORY),
    ("tonguing", "a row of eight notes, of what a phrase keeps up", lines.OVER, None, _MEMORY),
    ("tonguing", "a row of five notes, of what a phrase keeps up", lines.BURST, None, _MEMORY),
    ("tonguing", "a row of five notes, of the fastest tongue", None, lines.BEYOND, _MEMORY),
    ("fingers", "eight slurred notes, a second", fingers.CLEAR, None, _MEMORY),
    ("fingers", "five slurred notes that turn, a second", fingers.CLEAR_FEW, fingers.FASTEST, _MEMORY),
    ("fingers", "five slurred notes one way, a second", fingers.CLEAR_FEW, fingers.FASTEST_SWEEP, _MEMORY),
    ("", "a slur of brass up, in semitones", lines.SLURRED_UP, None, _MEMORY),
    ("", "a slur of brass down, in semitones", lines.SLURRED_DOWN, None, _MEMORY),
    *(("", f"a mute into a {name}, in s", into, blown.NEVER_SECONDS, "players' pages; some from memory")
      for name, (into, _) in blown.MUTE_SECONDS.items()),
    *(("", f"a mute out of a {name}, in s", out, blown.NEVER_SECONDS, "players' pages; some from memory")
      for name, (_, out) in blown.MUTE_SECONDS.items()),
    ("", "from one mute to another, in s", blown.OTHER_MUTE_SECONDS, blown.NEVER_SECONDS, "a page on mutes"),
    ("", "stopped to open on a horn, in s", blown.STOPPING_SECONDS, None, _MEMORY),
)  # fmt: skip
_VOICES = (
    ("breath", "a breath at mf, in s", blown.SUNG_BREATH, None, _MEMORY),
    ("syllables", "syllables of a soloist, a second", singing.SYLLABLES, singing.FASTEST_SYLLABLES, _MEMORY),
    ("syllables", "syllables of a choir, a second", singing.CHOIR_SYLLABLES, singing.FASTEST_SYLLABLES, _MEMORY),
    ("syllables", "a run of a soloist, in notes a second", singing.RUNS, singing.FASTEST_RUNS, _MEMORY),
    ("syllables", "a run of a choir, in notes a second", singing.CHOIR_RUNS, singing.FASTEST_RUNS, _MEMORY),
)
_HANDS = (
    ("keyboard hand", "keys under one hand, in semitones", keyboards.CARE, keyboards.REACH, "spans of 473 pianists"),
    ("foot time", "a foot to its next pedal, in s", pedalboard.AGAIN, pedalboard.AGAIN / 2, _MEMORY),
    ("drum tuning", "a drum tuned, in s", float(timpani.SAFE), float(timpani.NO_TIME), _MEMORY),
    *(("four mallets", f"two mallets in a hand on a {name}, at its lowest, in semitones",
       mallets.MALLETS[name].easy[0][1], mallets.MALLETS[name].beyond[0][1], "marimbists' pages; some from memory")
      for name in ("marimba", "vibraphone")),
)  # fmt: skip


def _values() -> Iterator[str]:
    yield "| of the limit | what | care from | impossible from | rests on |\n|---|---|---|---|---|\n"
    for limit, what, care, never, source in (*_STOPS, *_BOWS, *_TIMES, *_WINDS, *_VOICES, *_HANDS):
        name = f"`{limit}`" if limit else ""
        yield f"| {name} | {what} | {_value(care)} | {_value(never)} | {source} |\n"


def _value(number: float | None) -> str:
    return "" if number is None else f"{number:g}"


def _winds() -> Iterator[str]:
    often = ", ".join(f"{blown.dynamic_factor(dynamic):g} at {dynamic}" for dynamic in ("pp", "p", "f", "ff"))
    yield f"Of winds and voices a breath lasts so many times as long as at mf: {often}.\n\n"
    yield (
        "| instrument | judged as it | a breath at mf | notes tongued a second | double or triple | more air | "
        "breathes in while sounding |\n|---|---|---|---|---|---|---|\n"
    )
    for key, wind in blown.WIND_PLAYERS.items():
        alike = ", ".join(other for other, like in blown.JUDGED_AS.items() if like == key)
        costly = f"{wind.costly}, loud: a breath is {wind.costs:g} times as long" if wind.costly else ""
        double = f"{wind.double:g}" + ("" if wind.doubles_readily else ", not everybody")
        yield (
            f"| {key} | {alike} | {wind.breath:g} s | {wind.single:g} | {double} | {costly} | "
            f"{'some' if wind.circular else ''} |\n"
        )


def _voices() -> Iterator[str]:
    yield "| voice | first turn | second turn | words are understood up to |\n|---|---|---|---|\n"
    for key, voice in singing.VOICES.items():
        yield f"| {key} | {voice.first_turn} | {voice.second_turn} | {voice.words_up_to} |\n"


def _number(limit: float) -> str:
    return f"{limit:g}" if isfinite(limit) else "none"


def _made(text: str) -> str:
    """The page with its tables made afresh."""
    for begin, made in (
        ("<!-- made from the kinds of the families -->\n", _kinds()),
        ("<!-- made from the table of techniques -->\n", _techniques()),
        ("<!-- made from the table of limits -->\n", _limits()),
        ("<!-- made from the numbers of the families -->\n", _values()),
        ("<!-- made from what wind players have -->\n", _winds()),
        ("<!-- made from what voices have -->\n", _voices()),
    ):
        assert begin in text
        text = with_made(text, "".join(made), begin)
    return text


def test_tables_of_the_page_are_those_of_the_compiler(request: pytest.FixtureRequest) -> None:
    text = PAGE.read_text("utf-8")
    if request.config.getoption("--update"):
        PAGE.write_text(_made(text), "utf-8", newline="\n")
    assert PAGE.read_text("utf-8") == _made(text), "playing.md is old: pytest --update"


def test_every_warning_of_a_kind_has_a_page() -> None:
    codes = [kind.code for family in FAMILIES for kind in family.load().KINDS if kind.code]
    assert codes
    assert [code for code in codes if not (MESSAGES / f"{code}.md").is_file()] == []


def test_phrases_of_the_tables_begin_small_and_end_without_a_stop() -> None:
    phrases = [kind.looked_at for family in FAMILIES for kind in family.load().KINDS]
    phrases += [limit.means for limit in LIMITS.values()]
    assert [phrase for phrase in phrases if not re.match(r"[a-z]", phrase) or phrase.endswith(".")] == []
