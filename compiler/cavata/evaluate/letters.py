"""Values that come from letters, digits and chord symbols: ciphers, names, and what expressions write with them.

In: trees of ciphers and names, and bound values. Out: letter tables, lines and rhythms; every note remembers the
letter, digit or symbol that gave it. What a text cannot give was reported, or is a refusal of the arithmetic.
"""

from __future__ import annotations

import unicodedata
from fractions import Fraction

from cavata.ciphers.cipher import PASSED_OVER, SYLLABLES, Cipher, Tone, laid_out, lay_out_octaves
from cavata.ciphers.codes import numbers, signals
from cavata.diagnostics import Diagnostics, Refusal
from cavata.music.event import Beat, Event, Head, Letter, Marks, Motif, Origin, Rhythm, Said
from cavata.music.lengths import LONGEST, QUARTER
from cavata.music.mode import Mode
from cavata.music.pitch import PitchClass
from cavata.names import program as p
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.pitches import checked
from cavata.transforms.selection import bounded
from cavata.transforms.time import SHORTEST

# ------------------------------------------------------------------ letters, digits, chord symbols


SEPARATORS = PASSED_OVER | frozenset(".,:/")
"""What may stand between digits."""


def rhythm_of_letters(bound: p.RhythmOfLetters) -> Rhythm:
    """The rhythm that letters give: by Morse code, or each as long as its number in the alphabet."""
    beats: list[Beat] = []
    if bound.tree.kind == "morse":
        for signal in signals(bound.text):
            origins = () if signal.sign is None else (_origin(bound, signal.sign.text, signal.sign.position),)
            beats.append(Beat(_checked(bound.tree.unit * signal.units), signal.sign is None, origins))
            bounded(len(beats))
    else:
        for sign, number in numbers(bound.text, bound.tree.alphabet):
            beats.append(Beat(_checked(bound.tree.unit * number), False, (_origin(bound, sign.text, sign.position),)))
            bounded(len(beats))
    return Rhythm(tuple(beats))


def _origin(bound: p.RhythmOfLetters, text: str, position: int) -> Origin:
    return Origin(Letter(bound.owner, text, position, bound.tree.kind), bound.tree.letters.span)


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
    pitches = lay_out_octaves(tuple(tone for _, tone in found))
    for position, ((char, _), pitch) in enumerate(zip(found, pitches, strict=True), 1):
        origin = Origin(Letter(bound.owner, char, position, str(mode)), bound.tree.digits.span)
        events.append(Event(QUARTER, (Head(pitch, (origin,)),) if pitch is not None else ()))
    return Motif(tuple(events))


def symbol_chords(bound: p.SymbolChords) -> Motif:
    """Chord symbols as chords, each under its symbol."""
    events = []
    for symbol, duration, span in bound.beats:
        if symbol is None:
            events.append(Event(duration))
            continue
        heads = tuple(Head(checked(pitch), (Origin(None, span),)) for pitch in symbol.pitches)
        events.append(Event(duration, heads, Marks(symbol=symbol, said=(Said("chord symbol", str(symbol), span),))))
    return Motif(tuple(events))


def sign_place(letters: Span, text: str, refusal: Refusal) -> Span:
    """The sign of a text in quotes that a refusal speaks of; the whole where signs do not lie as they were counted."""
    whole = letters.text
    if refusal.at is None or whole[:1] != '"' or "\\" in whole or unicodedata.normalize("NFC", text) != text:
        return letters
    start = letters.start + 1 + refusal.at[1]
    return Span(letters.source, start, start + 1)


# ------------------------------------------------------------------ ciphers and names


def cipher_value(tree: t.Cipher, parent: Cipher | None, bag: Diagnostics) -> Cipher | None:
    """The letter table: the parent's, and then this cipher's rows over it."""
    entries = dict(parent.entries) if parent else {}
    silent = parent.others_silent if parent else False
    good = True
    for row in tree.rows:
        match row:
            case t.LettersRow(letters, tones):
                values = [tone_value(tone, bag) for tone in tones]
                good = good and None not in values
                for index, letter in enumerate(letters):
                    value = values[index % len(values)]
                    entries[key(letter)] = ((value.tone,),) if value else ()
            case t.LetterRow(letters, choices):
                read = [[tone_value(tone, bag) for tone in choice] for choice in choices]
                good = good and all(value is not None for choice in read for value in choice)
                entries[key(letters)] = tuple(tuple(v.tone for v in choice if v) for choice in read)
            case t.OthersSilent():
                silent = True
    return Cipher(tree.name.text, tree.description, entries, silent, tree.remark) if good else None


def key(letters: str) -> str:
    """How a letter table writes its letters: in capitals where they have one of the same length."""
    return "".join(c.upper() if len(c.upper()) == 1 else c for c in letters)


class _Value:
    """A tone that was read; so that a rest, which is None, differs from a tone that could not be."""

    __slots__ = ("tone",)

    def __init__(self, tone: Tone) -> None:
        self.tone = tone


def tone_value(tone: t.Tone, bag: Diagnostics) -> _Value | None:
    """A tone with its syllable read; None when that was reported."""
    if not isinstance(tone.value, str):
        return _Value(tone.value)
    if tone.value in SYLLABLES:
        return _Value(SYLLABLES[tone.value])
    bag.error(
        "V106", tone.span, f"`{tone.value}` is neither a note nor a syllable",
        cure="syllables are " + " ".join(SYLLABLES) + "; notes run from A to G, the German H is `B`",
    )
    return None


def name_value(tree: t.Name, cipher: Cipher, bag: Diagnostics) -> Motif | None:
    """The name's letters as a line of quarter notes; None when the cipher cannot read it."""
    text = tree.spelled
    readings: dict[int, Tone] = {}
    for reading in tree.readings:
        value = tone_value(reading.tone, bag)
        if value is None:
            return None
        readings[reading.letter] = value.tone
    try:
        laid = laid_out(text.text, cipher, readings)
    except Refusal as refusal:
        place = _place(refusal, tree, text)
        bag.refused(place, refusal)
        return None
    events = []
    for sound, pitch in laid:
        letter = Letter(tree.name.text, sound.letters, sound.position, cipher.name)
        heads = (Head(pitch, (Origin(letter, tree.name.span),)),) if pitch is not None else ()
        events.append(Event(QUARTER, heads))
    return Motif(tuple(events))


def _place(refusal: Refusal, tree: t.Name, text: t.Text) -> Span:
    """The letter, or the reading, that a refusal speaks of."""
    if refusal.at is None:
        return text.span
    number = refusal.at[1]
    if refusal.code in ("V104", "V105"):
        for reading in tree.readings:
            if reading.letter == number:
                return reading.span
    start = text.span.start + 1 + number
    if "\\" in text.span.text or unicodedata.normalize("NFC", text.text) != text.text:
        # The letters do not lie in the text as they were counted.
        return text.span
    return Span(text.span.source, start, start + 1)
