"""The script of an exploration's sheet: each candidate a short staff, its letters under it, the reason over it.

In: what was explored. Out: the text of a Cavata script. So that the sheet needs nothing of the piece, each candidate
has a cipher made for it, in which every letter may have the notes that it has there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from cavata.explore.explore import Explored, reason
from cavata.explore.text import Row, changes_text, rows_of, value_text
from cavata.study.script_words import notes_value, quoted

_MOST_STAVES = 60
_MIDDLE_C = 60
_PLAIN = re.compile(r"[A-Z]")


def explore_script(found: Sequence[Explored], most: int) -> str:
    """The sheet as a script; at most sixty candidates."""
    shown = [(one, row) for one in found for row in rows_of(one, most)][:_MOST_STAVES]
    rows = ["language 1", "", f"piece {quoted(', '.join(one.name for one in found))}"]
    rows += ['    subtitle "readings that nothing beats"', "    show letters", ""]
    rows += [text for index, (_, row) in enumerate(shown) for text in _motif(index, row)]
    rows += ["", "forces", "    piano = piano"]
    for index, (one, row) in enumerate(shown):
        line = row.candidate.line
        staff = "right" if sum(pitch.midi for pitch in line) >= _MIDDLE_C * len(line) else "left"
        title = f"{row.rank}. {one.name}: {changes_text(row.candidate)}"
        counted = zip(one.criteria, row.candidate.values, strict=True)
        numbers = ", ".join(f"{name} {value_text(value)}" for name, value in counted)
        rows += ["", f"cadenza sheet{index} {quoted(title)}", "    key none"]
        rows += [f"    section reason{index} {quoted(f'{reason(row.candidate, one)}: {numbers}')}"]
        rows += [f"        piano.{staff}: found{index}"]
    return "\n".join(rows) + "\n"


def _motif(index: int, row: Row) -> Iterator[str]:
    letters, line = row.candidate.space.stem.letters, row.candidate.line
    if not all(_PLAIN.fullmatch(letter) for letter in letters):
        yield f"motif found{index} = {notes_value(line)}"
        return
    offered: dict[str, list[str]] = {}
    for letter, pitch in zip(letters, line, strict=True):
        if str(pitch) not in offered.setdefault(letter, []):
            offered[letter].append(str(pitch))
    asked = [f", letter {number} as {pitch}" for number, pitch in enumerate(line, start=1)]
    yield f"cipher letters{index}"
    yield from (f"    {letter} = {' or '.join(pitches)}" for letter, pitches in offered.items())
    yield f"name found{index} = {quoted(''.join(letters))} by letters{index}{''.join(asked)}"
