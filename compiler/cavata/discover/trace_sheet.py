"""The script of a trace's sheet: each hit as it stands in its score, with the name's letters and what it weighs.

In: hits with the files they are in. Out: the text of a Cavata script. So that any pitch can stand under any letter,
each hit has a name of its own: its letters, one by one, under a cipher made for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.discover.hits import Hit, Spacing
from cavata.discover.script_words import notes_value, quoted
from cavata.discover.subject import Form
from cavata.discover.trace import Weighed
from cavata.discover.trace_text import form_text, how_text, parts_text

_MOST_HITS = 60
_BACKWARDS = (Form.RETROGRADE, Form.RETROGRADE_INVERTED)
_SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MIDDLE_C = 60


def trace_script(title: str, found: Sequence[tuple[str, Weighed]]) -> str:
    """The sheet as a script: hits each with the name of its file, likelier ones before those that chance explains."""
    order = sorted(found, key=lambda pair: pair[1].chance.probability)[:_MOST_HITS]
    rows = ["language 1", "", f"piece {quoted(title)}"]
    rows += ['    subtitle "where it was found, the least likely by chance first"', "    show letters", ""]
    rows += [row for index, (_, weighed) in enumerate(order) for row in _motif(index, weighed.hit)]
    rows += ["", "forces", "    piano = piano"]
    for index, (file, weighed) in enumerate(order):
        hit, chance = weighed.hit, weighed.chance
        where = ", ".join(filter(None, (file, hit.title, parts_text(hit.parts), f"bar {hit.bars}" if hit.bars else "")))
        why = f"{form_text(hit)}, {how_text(hit)}: {chance.verdict}, by chance {chance.probability:.2g}"
        staff = "right" if sum(p.midi for p in hit.pitches) >= _MIDDLE_C * len(hit.pitches) else "left"
        rows += ["", f"cadenza sheet{index} {quoted(f'{index + 1}. {where}')}", "    key none"]
        rows += [f"    section hit{index} {quoted(why)}", f"        piano.{staff}: found{index}"]
    return "\n".join(rows) + "\n"


def _motif(index: int, hit: Hit) -> Iterator[str]:
    letters = hit.subject.letters
    if hit.kind.spacing is Spacing.CHORD:
        heights = " ".join(map(str, sorted(set(hit.pitches), key=lambda p: (p.midi, p.position))))
        yield f"motif found{index} = chord({heights})" if len(set(hit.pitches)) > 1 else _plain(index, hit)
    elif not letters or any(len(text) != 1 or text not in _SIGNS for text in letters):
        yield _plain(index, hit)
    else:
        backwards = hit.kind.form in _BACKWARDS
        yield from _lettered(index, hit, hit.pitches[::-1] if backwards else hit.pitches)
        yield f"motif found{index} = subject{index}{' -> retrograde' if backwards else ''}"


def _plain(index: int, hit: Hit) -> str:
    return f"motif found{index} = {notes_value(hit.pitches)}"


def _lettered(index: int, hit: Hit, pitches: Sequence[object]) -> Iterator[str]:
    """A cipher with every pitch that each letter has here, and the name read by it."""
    choices: dict[str, list[str]] = {}
    readings = []
    for number, (letter, pitch) in enumerate(zip(hit.subject.letters, pitches, strict=True), start=1):
        offered = choices.setdefault(letter, [])
        if str(pitch) not in offered:
            offered.append(str(pitch))
        readings.append(f", letter {number} as {pitch}")
    yield f"cipher letters{index}"
    yield from (f"    {letter} = {' or '.join(offered)}" for letter, offered in choices.items())
    yield f"name subject{index} = {quoted(''.join(hit.subject.letters))} by letters{index}{''.join(readings)}"
