"""Binding rhythms of letters, melodies of digits, and chord symbols.

In: their nodes, and what finds names and modes. Out: bound values, all of whose parts are constants; None when
something in them was reported.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.music.chord_symbol import QUALITIES, ChordSymbol, parse_chord_symbol
from cavata.music.mode import Mode
from cavata.names.modes import read_mode
from cavata.names.program import MelodyOfDigits, Parameter, RhythmOfLetters, SymbolChords
from cavata.names.reader import Mismatch, Reader, Reported
from cavata.source import Span
from cavata.syntax import tree as t

ALPHABETS = (24, 26)
"""How many letters an alphabet may count: of 24, I and J are one letter, and U and V."""
LONGEST_OWNER = 40
"""Characters of a text that has no name of its own and stands for one."""

FindLetters = Callable[[t.Word], str | None]
"""The letters of the name that a word stands for; it reports a word that names none."""


def rhythm_of_letters(
    tree: t.LettersRhythm, owner: str, find: FindLetters, bag: Diagnostics
) -> RhythmOfLetters | None:
    """`morse` or `durations`, its letters known."""
    if tree.alphabet not in ALPHABETS:
        bag.error(
            "N506", tree.span, f"no alphabet here has {tree.alphabet} letters", "",
            "the alphabet has 26 letters; with 24 of them I and J are one, and U and V",
        )  # fmt: skip
        return None
    letters = tree.letters
    if isinstance(letters, t.Text):
        text, called = letters.text, owner or _short(letters.text)
    else:
        found = find(letters)
        if found is None:
            return None
        text, called = found, letters.text
    return RhythmOfLetters(tree.kind, text, called, tree.unit, tree.alphabet, letters.span, tree.span)


def _short(text: str) -> str:
    return " ".join(text.split())[:LONGEST_OWNER]


def melody_of_digits(tree: t.DigitsLiteral, owner: str, reader: Reader, bag: Diagnostics) -> MelodyOfDigits | None:
    """`digits`, its mode found by the reader."""
    called = owner or _short(tree.digits.text)
    mode: Mode | Parameter
    word = reader.peek()
    parameter = reader.parameter(word) if isinstance(word, t.Word) else None
    if parameter is not None:
        mode = parameter
    else:
        try:
            given = read_mode(reader)
        except Mismatch as mismatch:
            place = mismatch.span or tree.mode[-1].span
            bag.error("N507", place, "`digits` needs a mode to count in", f"expected {mismatch.wanted}", mismatch.cure)
            return None
        except Reported:
            return None
        assert isinstance(given.value, Mode)
        mode = given.value
    return MelodyOfDigits(tree.digits.text, called, mode, tree.digits.span, tree.span)


def symbol_chords(tree: t.ChordsLiteral, bag: Diagnostics) -> SymbolChords | None:
    """`chords(...)`, its symbols read."""
    beats: list[tuple[ChordSymbol | None, Fraction, Span]] = []
    for beat in tree.beats:
        symbol = None
        if beat.symbol:
            try:
                symbol = parse_chord_symbol(beat.symbol)
            except ValueError:
                _unknown(beat, bag)
                continue
        beats.append((symbol, beat.duration, beat.span))
    return SymbolChords(tuple(beats), tree.span) if len(beats) == len(tree.beats) else None


def _unknown(beat: t.SymbolBeat, bag: Diagnostics) -> None:
    root = beat.symbol[:2] if beat.symbol[1:2] in ("#", "b", "♯", "♭") else beat.symbol[:1]
    known = [root + quality for quality in QUALITIES]
    guess = closest(beat.symbol, known, 1)
    bag.error(
        "N505", beat.span, f"there is no chord `{beat.symbol}`", "",
        f"did you mean `{guess[0]}`?" if guess else "chords are " + " ".join(known),
    )
