"""Values that come from letters, digits and chord symbols.

In: bound values. Out: rhythms and lines whose every note remembers the letter, digit or symbol that gave it. What a
text cannot give is a refusal of the arithmetic.
"""

from __future__ import annotations

import unicodedata
from fractions import Fraction

from cavata.ciphers.cipher import lay_out
from cavata.ciphers.codes import signals
from cavata.ciphers.folding import PASSED_OVER
from cavata.ciphers.numbers import numbers
from cavata.music.event import Beat, Event, Head, Marks, Motif, Rhythm
from cavata.music.mode import Mode
from cavata.music.origin import Letter, Origin
from cavata.music.pitch import PitchClass
from cavata.music.refusal import Refusal
from cavata.names import program as p
from cavata.source import Span
from cavata.transforms.limits import bounded
from cavata.transforms.time import LONGEST, SHORTEST

QUARTER = Fraction(1, 4)
SEPARATORS = PASSED_OVER | frozenset(".,:/")
"""What may stand between digits."""


def rhythm_of_letters(bound: p.RhythmOfLetters) -> Rhythm:
    """The rhythm that letters give: by Morse code, or each as long as its number in the alphabet."""
    beats: list[Beat] = []
    if bound.kind == "morse":
        for signal in signals(bound.text):
            origins = () if signal.sign is None else (_origin(bound, signal.sign.text, signal.sign.position),)
            beats.append(Beat(_checked(bound.unit * signal.units), signal.sign is None, origins))
            bounded(len(beats))
    else:
        for sign, number in numbers(bound.text, bound.alphabet):
            beats.append(Beat(_checked(bound.unit * number), False, (_origin(bound, sign.text, sign.position),)))
            bounded(len(beats))
    return Rhythm(tuple(beats))


def _origin(bound: p.RhythmOfLetters, text: str, position: int) -> Origin:
    return Origin(Letter(bound.owner, text, position, bound.kind), bound.letters)


def _checked(duration: Fraction) -> Fraction:
    if SHORTEST <= duration <= LONGEST:
        return duration
    message = f"a letter would last {duration} whole notes"
    raise Refusal("V219", message, f"longer than {LONGEST}", "take a shorter unit")


def melody_of_digits(bound: p.MelodyOfDigits, mode: Mode) -> Motif:
    """Digits as degrees of a mode, laid out as the letters of a name are: 1 is its first note, 0 a rest."""
    found: list[tuple[str, PitchClass | None]] = []
    for offset, char in enumerate(unicodedata.normalize("NFC", bound.text)):
        if char in SEPARATORS:
            continue
        if char not in "0123456789":
            raise Refusal("V604", f"`{char}` is no digit", "", "digits run 0 to 9; a 0 is a rest", (0, offset))
        number = int(char)
        found.append((char, mode.degrees[(number - 1) % len(mode.degrees)] if number else None))
    if not any(tone for _, tone in found):
        raise Refusal("V605", "there is no digit that gives a note", "a 0 is a rest" if found else "no digit", "")
    bounded(len(found))
    events = []
    pitches = lay_out(tuple(tone for _, tone in found))
    for position, ((char, _), pitch) in enumerate(zip(found, pitches, strict=True), 1):
        origin = Origin(Letter(bound.owner, char, position, str(mode)), bound.digits)
        events.append(Event(QUARTER, (Head(pitch, (origin,)),) if pitch is not None else ()))
    return Motif(tuple(events))


def symbol_chords(bound: p.SymbolChords) -> Motif:
    """Chord symbols as chords, each under its symbol."""
    events = []
    for symbol, duration, span in bound.beats:
        if symbol is None:
            events.append(Event(duration))
            continue
        heads = tuple(Head(pitch, (Origin(None, span),)) for pitch in symbol.pitches)
        events.append(Event(duration, heads, Marks(symbol=symbol)))
    return Motif(tuple(events))


def sign_place(letters: Span, text: str, refusal: Refusal) -> Span:
    """The sign of a text in quotes that a refusal speaks of; the whole where signs do not lie as they were counted."""
    whole = letters.text
    if refusal.at is None or whole[:1] != '"' or "\\" in whole or unicodedata.normalize("NFC", text) != text:
        return letters
    start = letters.start + 1 + refusal.at[1]
    return Span(letters.source, start, start + 1)
