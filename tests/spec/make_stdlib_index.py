"""The index of the standard library, made from its scripts and its table of instruments.

In: the folder `stdlib`. Out: the text of `stdlib/README.md`. Run by `pytest --update`; a test compares.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterator
from fractions import Fraction

from library_examples import divided
from reference import duration_text

from cavata.ciphers.cipher import Cipher, Tone
from cavata.diagnostics import Diagnostics
from cavata.evaluate.expressions import rhythm_value
from cavata.evaluate.letters import cipher_value
from cavata.instruments.foreign import printed_name
from cavata.instruments.instrument import Instrument, PageLanguage
from cavata.instruments.table import instruments
from cavata.resources import folder
from cavata.source import Source
from cavata.syntax import tree as t
from cavata.syntax.parse import parse

OTHERS = tuple(language for language in PageLanguage if language is not PageLanguage.ENGLISH)
_HEAD = """\
# The standard library

Made from the scripts in this folder by `pytest --update tests/spec/test_stdlib_index.py`; change those, not this page.
The scripts are in the language itself: `use french from ciphers` brings one definition into yours, and what does not
suit can be copied and changed. In the examples `tamsin` is the name by `french`, `tune` is `notes(1/4 D4 E4, 1/2 F4)`,
`hymn` is `notes(1/2. chord(C3 G3 E4) chord(D3 F3 B3))`, and `natural` is the mode C D E F G A B; a test computes
every one.
"""
_INSTRUMENTS = """\
`instruments.toml` is the table: ranges as players read them, with their sources, transpositions, clefs, tunings,
doublings and abbreviations; `instrument_names.toml` has the names in other languages, and `page_words.toml` the other
words of a page in them. A script calls an instrument by any of these words, in small letters or capitals, a key always
with its capital; plural words make a section of it.
The ranges given here are sounding ones: the comfortable range of any good player, the usual one of professionals, and
the extreme. A note outside the extreme is a warning, outside the usual range a gentle one; they are guides, and the
player knows better.
"""


def index_text() -> str:
    """The whole page."""
    parts = [_HEAD, "## Ciphers\n", *_ciphers(), "## Rhythms\n", _rhythms(), "## Figures\n", _figures()]
    parts += ["## Formulas\n", _formulas()]
    parts += ["## Transforms\n", _transforms(), "## Instruments\n", _INSTRUMENTS, *_families()]
    return "\n".join(parts)


def module(name: str) -> t.Module:
    """A script of the library as a tree."""
    bag = Diagnostics()
    text = (folder("stdlib") / f"{name}.cavata").read_text(encoding="utf-8")
    read = parse(Source(f"{name}.cavata", text), bag)
    assert not bag.ordered(), bag.ordered()
    return read


# ---------------------------------------------------------------- ciphers


def _ciphers() -> Iterator[str]:
    known: dict[str, Cipher] = {}
    for tree in module("ciphers").declarations:
        if isinstance(tree, t.Cipher):
            parent = known[tree.parent.text] if tree.parent else None
            value = cipher_value(tree, parent, Diagnostics())
            assert value is not None
            known[value.name] = value
            yield _cipher(value)


def _cipher(cipher: Cipher) -> str:
    letters = [letter for letter in string.ascii_uppercase if cipher.entries.get(letter)]
    rows = [f"### `{cipher.name}`\n", cipher.description[:1].upper() + cipher.description[1:] + ".\n"]
    if letters:
        rows += ["| " + " | ".join(row) + " |" for row in (letters, ["---"] * len(letters), _notes(cipher, letters))]
        rows.append("")
    joined = [key for key in cipher.entries if key not in letters and cipher.entries[key]]
    if joined:
        rows.append("Read as one: " + ", ".join(f"{key} {_choices(cipher, key)}" for key in joined) + ".\n")
    missing = [letter for letter in string.ascii_uppercase if letter not in letters]
    if cipher.others_silent:
        rows.append("Other letters are silent.\n")
    elif missing:
        rows.append(f"No note for {' '.join(missing)}: an error.\n")
    rows.append(_plain(cipher.remark) + "\n")
    return "\n".join(rows)


def _notes(cipher: Cipher, letters: list[str]) -> list[str]:
    return [_choices(cipher, letter) for letter in letters]


def _choices(cipher: Cipher, key: str) -> str:
    return " or ".join(" ".join(_tone(tone) for tone in choice) for choice in cipher.entries[key])


def _tone(tone: Tone) -> str:
    return "rest" if tone is None else str(tone)


# ---------------------------------------------------------------- rhythms and transforms


def _rhythms() -> str:
    rows = ["| name | values | lasts | |", "|---|---|---|---|"]
    for tree in module("rhythms").declarations:
        if isinstance(tree, t.Definition):
            assert isinstance(tree.value.first, t.RhythmLiteral)
            rhythm = rhythm_value(tree.value.first)
            values = " ".join(duration_text(b.duration) + (" rest" if b.is_rest else "") for b in rhythm.beats)
            length = sum((b.duration for b in rhythm.beats), Fraction(0))
            rows.append(f"| `{tree.name.text}` | {values} | {length} | {_plain(tree.remark)} |")
    return "\n".join(rows) + "\n"


def _figures() -> str:
    return _written("figures")


def _formulas() -> str:
    return _written("formulas")


def _written(name: str) -> str:
    """Definitions as they stand in a script of the library."""
    rows = ["| name | is | |", "|---|---|---|"]
    for tree in module(name).declarations:
        if isinstance(tree, t.Definition):
            # A literal's span begins inside its brackets.
            written = tree.span.source.text[tree.name.span.end :].partition("\n    remark")[0]
            body = " ".join(written.lstrip(" =").split()).replace("|", "\\|")
            rows.append(f"| `{tree.name.text}` | `{body}` | {_plain(tree.remark)} |")
    return "\n".join(rows) + "\n"


def _transforms() -> str:
    rows = ["| written | is | |", "|---|---|---|"]
    for tree in module("transforms").declarations:
        if isinstance(tree, t.OwnTransform):
            arguments = "".join(f" {p.text.upper()}" for p in tree.parameters[1:])
            # A chain's span leaves out the brackets at its ends.
            written = tree.span.source.text[tree.span.end :].partition("=")[2].partition("\n    remark")[0]
            body = " ".join(written.split()).replace("|", "\\|")
            rows.append(f"| `-> {tree.name.text}{arguments}` | `{body}` | {_plain(tree.remark)} |")
    return "\n".join(rows) + "\n"


def _plain(remark: str) -> str:
    """The remark, then its example set as code; the bar between the lines of a texture does not end a column."""
    text, example = divided(remark)
    if example is None:
        return text
    shown, claim = (part.replace("|", "\\|") for part in (example.shown, example.claim))
    return f"{text} `{shown}` is `{claim}`."


# ---------------------------------------------------------------- instruments


def _families() -> Iterator[str]:
    words: dict[str, list[str]] = {}
    for word, instrument in instruments().items():
        words.setdefault(instrument.key, []).append(in_a_script(word))
    each = sorted({i.key: i for i in instruments().values()}.values(), key=lambda i: i.order)
    yield f"{len(each)} instruments, found by {len(instruments())} words.\n"
    for family in dict.fromkeys(i.family for i in each):
        members = [i for i in each if i.family == family]
        rows = [
            f"### {family.capitalize()}: {len(members)}\n",
            f"| in a script | comfortable | usual | extreme | {' | '.join(one.value for one in OTHERS)} |",
            "|---" * (4 + len(OTHERS)) + "|",
        ]  # fmt: skip
        for one in members:
            cells = ", ".join(f"`{w}`" for w in words[one.key]), *_ranges(one), *_names(one)
            rows.append(f"| {' | '.join(cells)} |")
        yield "\n".join(rows) + "\n"


def in_a_script(words: str) -> str:
    """An instrument's words with the key as a note name: `clarinet in Eb`."""
    return re.sub(r"(?<= in )[a-g](?=b?$)", lambda m: m[0].upper(), words)


def _ranges(instrument: Instrument) -> Iterator[str]:
    if instrument.unpitched:
        return iter(("", "unpitched", ""))
    assert instrument.comfortable and instrument.extreme
    bands = (instrument.comfortable, (instrument.lowest, instrument.highest), instrument.extreme)
    return (f"{low} to {high}" for low, high in bands)


def _names(instrument: Instrument) -> Iterator[str]:
    return (printed_name(instrument, False, language) for language in OTHERS)
