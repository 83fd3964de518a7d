"""Rows of script to paste: names turned into identifiers and quoted letters."""

from __future__ import annotations

import re
from collections.abc import Sequence

from cavata.ciphers.cipher import PASSED_OVER, name_signs
from cavata.diagnostics import Diagnostics, closest, did_you_mean
from cavata.evaluate.plan import Plan
from cavata.music.event import Motif
from cavata.music.mode import MODES, Mode
from cavata.music.pitch import INTERVAL_PATTERN, PITCH_PATTERN, Pitch, parse_pitch_class
from cavata.names.loader import Loaded
from cavata.names.modes import own_mode
from cavata.names.program import Identity
from cavata.study.library_ciphers import LIBRARY
from cavata.study.reading import NameReading
from cavata.syntax import tree as t
from cavata.syntax.words import RESERVED
from cavata.text import backticked


def identifier(name: str) -> str:
    """A name for a script, made of a person's name: small plain letters, never a word that means something else."""
    spaced = "".join(" " if char in PASSED_OVER else char for char in name)
    words = ["".join(s.folded for s in name_signs(word)) for word in spaced.split()]
    word = re.sub(r"[^a-z0-9_]", "", "_".join(words).lower()).strip("_")[:40]
    if not word or not word[0].isalpha():
        word = f"name_{word}".rstrip("_")
    taken = word in RESERVED or PITCH_PATTERN.fullmatch(word.upper()) or INTERVAL_PATTERN.fullmatch(word)
    return f"{word}_name" if taken else word


def quoted(text: str) -> str:
    """A string of the language."""
    plain = "".join(" " if ord(char) < 32 else char for char in text)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def name_row(name: str, cipher: str) -> str:
    """The row that gives a name its notes."""
    return f"name {identifier(name)} = {quoted(name)} by {cipher}"


def notes_value(pitches: Sequence[Pitch]) -> str:
    """A line of quarter notes as the language writes it."""
    return f"notes(1/4 {' '.join(map(str, pitches))})"


def use_rows(readings: Sequence[NameReading]) -> list[str]:
    """The rows that bring the ciphers of readings into a script."""
    library = list(dict.fromkeys(r.cipher.cipher.name for r in readings if not r.cipher.file))
    files = dict.fromkeys(r.cipher.file for r in readings if r.cipher.file)
    return [f"use {', '.join(library)} from {LIBRARY}"] * bool(library) + [f"use {quoted(file)}" for file in files]


def motif_of(word: str, plan: Plan, bag: Diagnostics) -> Motif | None:
    """The line that a name or motif of a piece is; None when it was reported that there is none."""
    value = plan.values.get(Identity(plan.main, word))
    if isinstance(value, Motif):
        return value
    known = sorted(i.name for i, v in plan.values.items() if isinstance(v, Motif) and i.module == plan.main)
    report_absent(word, known, "name or motif", bag)
    return None


def report_absent(word: str, known: Sequence[str], what: str, bag: Diagnostics) -> None:
    """Say that a piece has no name, or no motif, of those that are asked for."""
    bag.error(
        "O332", None, f"the piece has no {what} `{word}`",
        cure=did_you_mean(word, known)
        or (f"it has {backticked(known[:12])}" if known else 'give it one, as `name tamsin = "TAMSIN" by french`'),
    )


# ----------------------------------------------------------------
# A mode as the command line names it: `D minor`, or one that the piece defines by its name.
#
# In: the words, and the piece's own module. Out: the mode; a ValueError that says what is wrong with the words.


def mode_of(text: str, loaded: Loaded) -> Mode:
    """The mode of those words."""
    for row in loaded.modules[loaded.main].declarations:
        if isinstance(row, t.OwnMode) and row.name.text == text and (own := own_mode(row, Diagnostics())):
            return own
    tonic, _, name = " ".join(text.split()).partition(" ")
    if name not in MODES:
        guess = closest(name, MODES, 1)
        raise ValueError(f"`{text}` is no mode" + (f"; did you mean `{tonic} {guess[0]}`?" if guess else ""))
    try:
        return Mode(parse_pitch_class(tonic), name)
    except ValueError:
        raise ValueError(f"`{tonic}` is no note to found a mode on") from None
