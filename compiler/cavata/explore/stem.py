"""A name's letters before anything is done to their notes: one stem for every way of taking a cipher's choices.

In: a name of a script and its cipher. Out: stems, the script's own way of reading first. A choice of several notes for
one letter cannot be asked for in a script, so only the first choice may have several.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from math import prod

from cavata.ciphers.cipher import Cipher, Sounding, Tone, lay_out, read_name
from cavata.ciphers.folding import signs
from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.letters import tone_value
from cavata.music.pitch import Pitch
from cavata.music.refusal import Refusal
from cavata.record import dataclass
from cavata.study.script_words import quoted
from cavata.syntax import tree as t

MOST_STEMS = 512
"""Ways of taking the choices of one name."""


@dataclass(frozen=True, slots=True)
class Stem:
    """One way of taking the choices, laid out as the cipher lays it."""

    name: str
    pitches: tuple[Pitch, ...]
    letters: tuple[str, ...]
    """For each note the letter or letters that gave it."""
    positions: tuple[int, ...]
    """For each note which letter of the name gave it."""
    rests: tuple[int, ...]
    """How many rests stand before each note, and after the last: one number more than there are notes."""
    row: str
    """The row that reads the name so; empty where the script does already."""


def stem_count(tree: t.Name, cipher: Cipher) -> int:
    """In how many ways the choices can be taken, before any is found to be silent."""
    return prod(len(tones) for tones in _choices(tree, cipher).values())


def stems_of(tree: t.Name, cipher: Cipher) -> tuple[Stem, ...]:
    """Every way of reading a name that gives a note."""
    own = _own_readings(tree)
    choices = _choices(tree, cipher)
    found: list[Stem] = []
    for taken in product(*choices.values()):
        readings = dict(zip(choices, taken, strict=True))
        usual = {position: tones[0] for position, tones in choices.items()}
        changed = readings != usual
        stem = _stem(tree, cipher, {**own, **readings}, changed)
        if stem is not None and all(stem.pitches != s.pitches or stem.rests != s.rests for s in found):
            found.append(stem)
    return tuple(found)


def _own_readings(tree: t.Name) -> dict[int, Tone]:
    read = ((reading.letter, tone_value(reading.tone, Diagnostics())) for reading in tree.readings)
    return {letter: value.tone for letter, value in read if value is not None}


def _choices(tree: t.Name, cipher: Cipher) -> dict[int, tuple[Tone, ...]]:
    """By the position of a letter the notes that a script may ask for there, the script's own first."""
    own = _own_readings(tree)
    text = (tree.written or tree.letters).text
    found: dict[int, tuple[Tone, ...]] = {}
    for sounding in read_name(text, cipher, own):
        offered = _entry(sounding, cipher)
        tones = list(dict.fromkeys(choice[0] for choice in offered if len(choice) == 1))
        if len(offered) > 1 and sounding.position not in found:
            good = [tone for tone in tones if _is_offered(text, cipher, own, sounding.position, tone)]
            ordered = sorted(good, key=lambda tone, s=sounding: tone != s.tone)  # type: ignore[misc]  # bound here
            if len(ordered) > 1:
                found[sounding.position] = tuple(ordered)
    return found


def _entry(sounding: Sounding, cipher: Cipher) -> tuple[tuple[Tone, ...], ...]:
    folded = "".join(sign.folded for sign in signs(sounding.letters))
    return cipher.entries.get(sounding.letters) or cipher.entries.get(folded) or ()


def _is_offered(text: str, cipher: Cipher, own: Mapping[int, Tone], position: int, tone: Tone) -> bool:
    try:
        read_name(text, cipher, {**own, position: tone})
    except Refusal as refusal:
        return refusal.code == "V103"
    return True


def _stem(tree: t.Name, cipher: Cipher, readings: Mapping[int, Tone], changed: bool) -> Stem | None:
    try:
        soundings = read_name((tree.written or tree.letters).text, cipher, readings)
        laid = lay_out(tuple(sounding.tone for sounding in soundings))
    except Refusal:
        return None
    sounding = [(s, pitch) for s, pitch in zip(soundings, laid, strict=True) if pitch is not None]
    rests = [0]
    for pitch in laid:
        if pitch is None:
            rests[-1] += 1
        else:
            rests.append(0)
    return Stem(
        tree.name.text,
        tuple(pitch for _, pitch in sounding),
        tuple(s.letters for s, _ in sounding),
        tuple(s.position for s, _ in sounding),
        tuple(rests),
        _row(tree, cipher, readings) if changed else "",
    )


def _row(tree: t.Name, cipher: Cipher, readings: Mapping[int, Tone]) -> str:
    text = (tree.written or tree.letters).text
    written = f" written {quoted(tree.written.text)}" if tree.written else ""
    usual = {s.position: s.tone for s in reversed(read_name(text, cipher))}
    asked = "".join(
        f", letter {position} as {'rest' if tone is None else tone}"
        for position, tone in sorted(readings.items())
        if usual.get(position) != tone
    )
    return f"name {tree.name.text} = {quoted(tree.letters.text)}{written} by {tree.cipher.text}{asked}"
