"""A cipher: for each letter, or letters read as one, the notes it may have."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from itertools import groupby

from cavata.diagnostics import Refusal
from cavata.music.pitch import Interval, Pitch, PitchClass, parse_pitch_class
from cavata.record import record

# ----------------------------------------------------------------
# Letters as a cipher sees them: capitals, accents folded, ligatures opened.
#
# Source of the folding: the decompositions of the Unicode standard; the letters it does not decompose
# are written out as is customary (common practice).


PASSED_OVER = frozenset(" \u00a0-\u2010\u2011\u2013'\u2019\u02bc")
"""Spaces, hyphens and apostrophes make no sound and are not counted."""

_WRITTEN_OUT = {
    "ß": "SS", "ẞ": "SS", "Æ": "AE", "Œ": "OE", "Ĳ": "IJ", "Ø": "O", "Ł": "L", "Đ": "D", "Ð": "D",
    "Þ": "TH", "Ħ": "H", "ı": "I", "İ": "I", "Ŋ": "NG", "ſ": "S",
    "ﬀ": "FF", "ﬁ": "FI", "ﬂ": "FL", "ﬃ": "FFI", "ﬄ": "FFL", "ﬅ": "ST", "ﬆ": "ST",
}  # fmt: skip


@record
class NameSign:
    """One letter of a written name."""

    text: str
    """As written, in capitals where it has one."""
    folded: str
    """Its base letter, or the two letters it stands for."""
    position: int
    """Which letter of the name it is, counted from 1."""
    offset: int
    """Where it stands in the text, counted from 0."""
    begins_word: bool


def name_signs(text: str) -> tuple[NameSign, ...]:
    """The letters of a name in order; signs that are no letters come along, for the cipher to refuse."""
    found: list[NameSign] = []
    begins = True
    for offset, char in enumerate(unicodedata.normalize("NFC", text)):
        if char in PASSED_OVER:
            begins = True
            continue
        written = char if len(char.upper()) > 1 else char.upper()
        found.append(NameSign(written, _fold(char), len(found) + 1, offset, begins))
        begins = False
    return tuple(found)


def _fold(char: str) -> str:
    if char in _WRITTEN_OUT or char.upper() in _WRITTEN_OUT:
        return _WRITTEN_OUT.get(char) or _WRITTEN_OUT[char.upper()]
    bare = "".join(c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c))
    return bare.upper() or char


# ----------------------------------------------------------------

Tone = PitchClass | Pitch | None
"""A note name, an exact pitch, or None for a rest."""

SYLLABLES: dict[str, PitchClass] = {
    syllable: parse_pitch_class(note)
    for syllable, note in {
        "ut": "C", "do": "C", "re": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B", "ti": "B",
    }.items()
}  # fmt: skip
"""Solmization on C, the natural hexachord with si. Source: common practice (Guido's hexachord)."""


@record
class Cipher:
    """A letter table. Keys are in capitals."""

    name: str
    description: str
    entries: Mapping[str, tuple[tuple[Tone, ...], ...]]
    """For each letter or letters its choices, each of one tone or more; the first is the usual one."""
    others_silent: bool = False
    remark: str = ""


@record
class SoundingLetter:
    """One letter, or letters read as one, with the tone it got."""

    letters: str
    position: int
    """Of its first letter in the written name, counted from 1."""
    tone: Tone


@record
class _Unit:
    """What is matched as one letter: a sign, or one of the letters that a sign is written out as."""

    sign: NameSign
    text: str
    """The sign as written, or its letter."""
    folded: str
    begins_word: bool


def _units(text: str, cipher: Cipher) -> tuple[_Unit, ...]:
    """The letters of a name; Weiß and Weiss are the same, unless the cipher has a row with a sharp s."""
    found: list[_Unit] = []
    for sign in name_signs(text):
        if len(sign.folded) < 2 or any(sign.text in key for key in cipher.entries):
            found.append(_Unit(sign, sign.text, sign.folded, sign.begins_word))
            continue
        for number, letter in enumerate(sign.folded):
            found.append(_Unit(sign, letter, letter, sign.begins_word and number == 0))
    return tuple(found)


def _as_written(units: tuple[_Unit, ...]) -> str:
    """Letters read together: signs as they are written, but of one that is read in part the letters read."""
    if len(units) == 1:
        return units[0].sign.text
    said = []
    for sign, group in groupby(units, key=lambda unit: unit.sign):
        texts = [unit.text for unit in group]
        said.append(sign.text if len(texts) == len(sign.folded) else "".join(texts))
    return "".join(said)


def read_name(text: str, cipher: Cipher, readings: Mapping[int, Tone] | None = None) -> tuple[SoundingLetter, ...]:
    """The tones of a name, the longest match first; `readings` picks other choices by letter position.

    Refuses with V101 (a letter without a note), V102 (a sign that is no letter), V103 (no sound at
    all), V104 and V105 (a reading of a letter that is not there, or that the cipher does not offer).
    """
    wanted = dict(readings or {})
    written = _units(text, cipher)
    longest = max((len(key) for key in cipher.entries), default=1)
    found: list[SoundingLetter] = []
    index = 0
    while index < len(written):
        count, choices = _match(written, index, longest, cipher)
        letters = _as_written(written[index : index + count])
        tones = _chosen(letters, written[index].sign.position, choices, wanted, cipher)
        # Letters read as one but with a note for each keep the letter beside its note.
        apart = len(tones) == count and len(tones) > 1
        for number, tone in enumerate(tones):
            sign = written[index + number].sign if apart else written[index].sign
            found.append(SoundingLetter(sign.text if apart else letters, sign.position, tone))
        index += count
    for position in wanted:
        raise Refusal(
            "V104",
            f"there is no letter {position} to read another way",
            f"the letters run 1 to {written[-1].sign.position if written else 0}",
            "count letters only, no spaces",
            (0, position),
        )
    if not any(sounding.tone is not None for sounding in found):
        raise Refusal("V103", "the name has no note at all", "every letter is silent", "choose another cipher")
    return tuple(found)


def _match(
    written: tuple[_Unit, ...], index: int, longest: int, cipher: Cipher
) -> tuple[int, tuple[tuple[Tone, ...], ...]]:
    """How many letters are read as one here, and the choices for them; no choices for silence."""
    word_end = index + 1
    while word_end < len(written) and not written[word_end].begins_word:
        word_end += 1
    for count in range(min(longest, word_end - index), 0, -1):
        run = written[index : index + count]
        for key in ("".join(unit.text for unit in run), "".join(unit.folded for unit in run)):
            if key in cipher.entries:
                return count, cipher.entries[key]
    sign = written[index].sign
    if not sign.folded.isalpha():
        raise Refusal(
            "V102",
            f"`{sign.text}` is no letter",
            "",
            "write the name out in letters; spaces, hyphens and apostrophes are ignored",
            (0, sign.offset),
        )
    known = [letter for letter in written[index].folded if letter in cipher.entries]
    if known and (len(known) == len(written[index].folded) or cipher.others_silent):
        return 1, (tuple(tone for letter in known for tone in cipher.entries[letter][0]),)
    if cipher.others_silent:
        return 1, ()
    raise Refusal(
        "V101",
        f"`{cipher.name}` has no note for the letter `{sign.text}`",
        "",
        "write it out with `written`, or give the cipher a row for it, or `other letters silent`",
        (0, sign.offset),
    )


def _chosen(
    letters: str,
    position: int,
    choices: tuple[tuple[Tone, ...], ...],
    wanted: dict[int, Tone],
    cipher: Cipher,
) -> tuple[Tone, ...]:
    if position not in wanted:
        return choices[0] if choices else ()
    tone = wanted.pop(position)
    for choice in choices:
        if choice == (tone,) or (isinstance(tone, PitchClass) and [_class_of(t) for t in choice] == [tone]):
            return choice
    offered = " or ".join(" ".join("rest" if t is None else str(t) for t in c) for c in choices) or "nothing"
    raise Refusal(
        "V105",
        f"`{cipher.name}` does not read `{letters}` as {'a rest' if tone is None else tone}",
        f"it offers {offered}",
        "inflect the note with `raised` or `lowered`, or give the cipher this choice",
        (0, position),
    )


def _class_of(tone: Tone) -> PitchClass | None:
    return tone.pitch_class if isinstance(tone, Pitch) else tone


def laid_out(
    text: str, cipher: Cipher, readings: Mapping[int, Tone] | None = None
) -> tuple[tuple[SoundingLetter, Pitch | None], ...]:
    """The tones of a name, each with its pitch in the line, None for a rest. Refuses as `read_name` does."""
    sounding = read_name(text, cipher, readings)
    return tuple(zip(sounding, lay_out_octaves(tuple(each.tone for each in sounding)), strict=True))


def lay_out_octaves(tones: tuple[Tone, ...]) -> tuple[Pitch | None, ...]:
    """Octaves for a line of tones: the first from C4 up, each next nearest on the staff.

    Accidentals do not count: the next note is a fourth away at most. Exact pitches keep their place.
    Refuses with V211 a line that climbs or falls beyond C0 to B9.
    """
    laid: list[Pitch | None] = []
    previous: Pitch | None = None
    for tone in tones:
        match tone:
            case None:
                laid.append(None)
                continue
            case Pitch():
                previous = tone
            case PitchClass():
                previous = Pitch.of(tone, 4) if previous is None else nearest(tone, previous)
                previous += Interval(0, 0)  # refuses what leaves the range
        laid.append(previous)
    return tuple(laid)


def nearest(pitch_class: PitchClass, previous: Pitch) -> Pitch:
    """The pitch of that class at most three staff steps from the previous one."""
    away = (pitch_class.letter - previous.letter + 3) % 7 - 3
    return Pitch(previous.position + away, pitch_class.alter)
