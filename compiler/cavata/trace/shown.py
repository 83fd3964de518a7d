"""The script of a trace's sheet: each place as it stands in its score, with the name's letters and what is said of it.

In: places to draw. Out: the text of a Cavata script. So that any pitch can stand under any letter, each place has a
name of its own: its letters, one by one, under a cipher made for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.music.pitch import Pitch
from cavata.record import dataclass
from cavata.study.script_words import notes_value, quoted
from cavata.trace.hits import Spacing
from cavata.trace.statements import Statement
from cavata.trace.subject import Form
from cavata.trace.trace import Weighed
from cavata.trace.trace_text import form_text, how_text, parts_text

_MOST_PLACES = 60
_BACKWARDS = (Form.RETROGRADE, Form.RETROGRADE_INVERTED)
_SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MIDDLE_C = 60
_LONGEST_REASON = 120


@dataclass(frozen=True, slots=True)
class Place:
    """What one short staff of the sheet shows."""

    where: str
    why: str
    pitches: tuple[Pitch, ...]
    """In the order in which they sound."""
    letters: tuple[str, ...]
    """One for each pitch, in the same order; empty where no letters stand under them."""
    together: bool
    likelihood: float
    """How often chance would do as well; the least comes first on the sheet."""


def place_of_hit(file: str, weighed: Weighed) -> Place:
    """A hit in a foreign score."""
    hit, chance = weighed.hit, weighed.chance
    where = ", ".join(filter(None, (file, hit.title, parts_text(hit.parts), f"bar {hit.bars}" if hit.bars else "")))
    why = f"{form_text(hit)}, {how_text(hit)}: {chance.verdict}, by chance {chance.probability:.2g}"
    letters = hit.subject.letters[::-1] if hit.kind.form in _BACKWARDS else hit.subject.letters
    together = hit.kind.spacing is Spacing.CHORD
    return Place(where, why, hit.pitches, () if together else letters, together, chance.probability)


def place_of_statement(file: str, statement: Statement) -> Place:
    """A statement in a piece of our own."""
    where = f"{file}, {statement.movement}, {parts_text(statement.parts)}, bar {statement.bars}"
    why = " -> ".join(statement.steps) or "as the cipher has it"
    return Place(where, why, statement.pitches, statement.texts, statement.together, 0.0)


def trace_script(title: str, places: Sequence[Place]) -> str:
    """The sheet as a script; at most sixty places, those that chance explains least first."""
    order = sorted(places, key=lambda place: place.likelihood)[:_MOST_PLACES]
    rows = ["language 1", "", f"piece {quoted(title)}"]
    rows += ['    subtitle "where it was found, the least likely by chance first"', "    show letters", ""]
    rows += [row for index, place in enumerate(order) for row in _motif(index, place)]
    rows += ["", "forces", "    piano = piano"]
    for index, place in enumerate(order):
        staff = "right" if sum(p.midi for p in place.pitches) >= _MIDDLE_C * len(place.pitches) else "left"
        rows += ["", f"cadenza sheet{index} {quoted(f'{index + 1}. {place.where}')}", "    key none"]
        rows += [f"    section place{index} {quoted(place.why[:_LONGEST_REASON])}"]
        rows += [f"        piano.{staff}: found{index}"]
    return "\n".join(rows) + "\n"


def _motif(index: int, place: Place) -> Iterator[str]:
    heights = sorted(set(place.pitches), key=lambda p: (p.midi, p.position))
    lettered = bool(place.letters) and all(len(text) == 1 and text in _SIGNS for text in place.letters)
    if lettered:
        yield from _lettered(index, place)
        yield f"motif found{index} = subject{index}{' -> as chord' if place.together else ''}"
    elif place.together and len(heights) > 1:
        yield f"motif found{index} = chord({' '.join(map(str, heights))})"
    else:
        yield f"motif found{index} = {notes_value(place.pitches)}"


def _lettered(index: int, place: Place) -> Iterator[str]:
    """A cipher with every pitch that each letter has here, and the letters read by it."""
    choices: dict[str, list[str]] = {}
    readings = []
    for number, (letter, pitch) in enumerate(zip(place.letters, place.pitches, strict=True), start=1):
        offered = choices.setdefault(letter, [])
        if str(pitch) not in offered:
            offered.append(str(pitch))
        readings.append(f", letter {number} as {pitch}")
    yield f"cipher letters{index}"
    yield from (f"    {letter} = {' or '.join(offered)}" for letter, offered in choices.items())
    yield f"name subject{index} = {quoted(''.join(place.letters))} by letters{index}{''.join(readings)}"
