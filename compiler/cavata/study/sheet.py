"""The script of a sheet: places or readings, each on a short staff with the letters of its name under it.

In: what is to be shown. Out: rows of a script. So that a sheet needs nothing of any piece, and any pitch can stand
under any letter, each line of letters has a cipher made for it, in which every letter may have the notes that it has
there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata import EDITION
from cavata.music.pitch import MIDDLE_C, Pitch
from cavata.study.script_words import quoted

_PLAIN = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def sheet_head(title: str, subtitle: str) -> list[str]:
    """The first rows of a sheet."""
    return [
        f"language {EDITION}", "", f"piece {quoted(title)}", f"    subtitle {quoted(subtitle)}", "    show letters", "",
    ]  # fmt: skip


def sheet_stretch(index: int, title: str, reason: str) -> list[str]:
    """The rows above what one place of a sheet shows: its heading, and what is said over it."""
    return ["", f"cadenza sheet{index} {quoted(title)}", "    key none", f"    section reason{index} {quoted(reason)}"]


def hand_for(pitches: Sequence[Pitch]) -> str:
    """The staff of a piano on which a line lies."""
    return "right" if sum(pitch.midi for pitch in pitches) >= MIDDLE_C.midi * len(pitches) else "left"


def are_plain(letters: Sequence[str]) -> bool:
    """Whether there are letters, all of them such as a cipher can be made for."""
    return bool(letters) and _PLAIN.issuperset(letters)


def lettered_name(cipher: str, name: str, letters: Sequence[str], pitches: Sequence[Pitch]) -> Iterator[str]:
    """A cipher with every pitch that each letter has here, and the name that is read by it."""
    offered: dict[str, dict[str, None]] = {}
    for letter, pitch in zip(letters, pitches, strict=True):
        offered.setdefault(letter, {})[str(pitch)] = None
    asked = "".join(f", letter {number} as {pitch}" for number, pitch in enumerate(pitches, start=1))
    yield f"cipher {cipher}"
    yield from (f"    {letter} = {' or '.join(notes)}" for letter, notes in offered.items())
    yield f"name {name} = {quoted(''.join(letters))} by {cipher}{asked}"
