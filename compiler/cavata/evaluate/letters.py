"""Ciphers and names: from their trees to letter tables and lines of notes."""

from __future__ import annotations

import unicodedata
from fractions import Fraction

from cavata.ciphers.cipher import SYLLABLES, Cipher, Tone, lay_out, read_name
from cavata.diagnostics.record import Diagnostics
from cavata.music.event import Event, Head, Motif
from cavata.music.origin import Letter, Origin
from cavata.music.refusal import Refusal
from cavata.source import Span
from cavata.syntax import tree as t

QUARTER = Fraction(1, 4)


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
        "V106", tone.span, f"`{tone.value}` is neither a note nor a syllable", "",
        "syllables are " + " ".join(SYLLABLES) + "; notes run from A to G, the German H is `B`",
    )
    return None


def name_value(tree: t.Name, cipher: Cipher, bag: Diagnostics) -> Motif | None:
    """The name's letters as a line of quarter notes; None when the cipher cannot read it."""
    text = tree.written or tree.letters
    readings: dict[int, Tone] = {}
    for reading in tree.readings:
        value = tone_value(reading.tone, bag)
        if value is None:
            return None
        readings[reading.letter] = value.tone
    try:
        sounding = read_name(text.text, cipher, readings)
        pitches = lay_out(tuple(s.tone for s in sounding))
    except Refusal as refusal:
        place = _place(refusal, tree, text)
        bag.error(refusal.code, place, refusal.message, refusal.label, refusal.cure)
        return None
    events = []
    for sound, pitch in zip(sounding, pitches, strict=True):
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
