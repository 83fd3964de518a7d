"""The script of a trace's sheet: each place as it stands in its score, with the name's letters and what is said of it.

In: places to draw. Out: the text of a Cavata script. So that any pitch can stand under any letter, each place has a
name of its own: its letters, one by one, under a cipher made for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.study.script_words import notes_value, quoted
from cavata.text import text_table
from cavata.trace.hits import Hit, Spacing
from cavata.trace.own_score import TracedStatement
from cavata.trace.subject import Form, Subject
from cavata.trace.trace import Weighed

# ----------------------------------------------------------------
# Hits and statements as tables for the terminal.


MOST_SHOWN = 200


def subjects_text(subjects: Sequence[Subject]) -> str:
    """What is looked for."""
    return text_table(
        ("looked for", "read by", "notes", "steps"),
        [(s.name, s.cipher or "notes as given", s.notes, " ".join(f"{step:+d}" for step in s.steps)) for s in subjects],
    )


def hits_text(found: Sequence[Weighed], every: bool) -> str:
    """The hits of one file; without `every`, those that chance explains are only counted."""
    shown = [w for w in found if every or w.chance.verdict != "chance"]
    blocks = []
    if shown:
        titled = any(w.hit.title for w in shown)
        head = ("name", *(("where",) if titled else ()), "bars", "part", "form", "how", "notes", "by chance", "verdict")
        rows = [
            (w.hit.subject.name, *((w.hit.title[:30],) if titled else ()), w.hit.bars, parts_text(w.hit.parts),
             form_text(w.hit), how_text(w.hit), " ".join(map(str, w.hit.pitches)), chance_text(w), w.chance.verdict)
            for w in shown[:MOST_SHOWN]
        ]  # fmt: skip
        blocks.append(text_table(head, rows))
    if len(shown) > MOST_SHOWN:
        blocks.append(f"and {len(shown) - MOST_SHOWN} more; `--json` has them all\n")
    left = Counter((w.hit.subject.name, form_text(w.hit), w.hit.kind.closeness.value, w.hit.kind.spacing.value)
                   for w in found if not every and w.chance.verdict == "chance")  # fmt: skip
    if left:
        kinds = "; ".join(f"{count} x {', '.join(kind)}" for kind, count in left.items())
        blocks.append(f"{sum(left.values())} more that chance explains (`--all` shows them): {kinds}\n")
    return "\n".join(blocks) if blocks else "nothing found\n"


def parts_text(parts: Sequence[str]) -> str:
    """The parts, at most three by name."""
    return ", ".join(parts) if len(parts) <= 3 else f"{parts[0]}, {parts[1]} and {len(parts) - 2} more"


def form_text(hit: Hit) -> str:
    """The form, with the others that are the same notes."""
    return " = ".join(form.value for form in (hit.kind.form, *hit.also))


def how_text(hit: Hit) -> str:
    """Everything that differs from the name as it is laid out."""
    said = [hit.kind.closeness.value if not hit.shift else f"up {hit.shift}"]
    if hit.shift and hit.kind.closeness.value == "octaves changed":
        said.append("octaves changed")
    if hit.inflected:
        said.append(("inflected at " if hit.shift else "at ") + " ".join(map(str, hit.inflected)))
    if hit.kind.spacing is not Spacing.ADJACENT:
        said.append(hit.kind.spacing.value)
    if hit.foreign:
        said.append(f"{hit.foreign} between")
    if hit.across_rest:
        said.append("across a rest")
    if not hit.even and hit.kind.spacing is not Spacing.CHORD:
        said.append("rhythm changed")
    return ", ".join(said)


def chance_text(weighed: Weighed) -> str:
    """Found against expected, and how often chance does as well."""
    chance = weighed.chance
    return f"{chance.found} for {chance.expected:.2g}, p {chance.probability:.2g}"


def statements_text(name: str, found: Sequence[TracedStatement]) -> str:
    """The statements that the compiler knows of."""
    rows = [
        (s.movement, s.section, s.bars, parts_text(s.parts), "".join(s.texts), _how(s),
         " ".join(map(str, s.pitches)), " -> ".join(s.statement.steps) or "-",
         f"{s.statement.line.source.name}:{s.statement.line.line}")
        for s in found
    ]  # fmt: skip
    head = ("movement", "section", "bars", "part", "letters", "how", "notes", "through", "script")
    table = text_table(head, rows) if rows else "nowhere\n"
    return f"{name}: {len(found)} statement{'s' if len(found) != 1 else ''}, known from the script\n\n{table}"


def _how(statement: TracedStatement) -> str:
    """How much of the name it is, and its forms by the names that the index has for other programs."""
    said = ["whole" if statement.is_whole else f"{len(statement.letters)} of {statement.letters_of_name}"]
    said += [form.value.replace("_", " ") for form in statement.statement.forms]
    if statement.statement.between:
        said.append(f"{statement.statement.between} between")
    if statement.inflected:
        said.append("letter " + " ".join(map(str, statement.inflected)) + " inflected")
    return ", ".join(said)


# ----------------------------------------------------------------
# Hits, statements and corpus places as parts of one JSON document.


def subject_json(subject: Subject) -> dict[str, Any]:
    """What is looked for."""
    return {
        "name": subject.name, "cipher": subject.cipher or None, "notes": subject.notes.split(),
        "steps": list(subject.steps),
    }  # fmt: skip


def hit_json(weighed: Weighed) -> dict[str, Any]:
    """One hit."""
    hit, chance = weighed.hit, weighed.chance
    return {
        "name": hit.subject.name,
        "title": hit.title,
        "bars": [hit.first_bar, hit.last_bar],
        "onset": str(hit.onset),
        "parts": list(hit.parts),
        "form": hit.kind.form.value,
        "also": [form.value for form in hit.also],
        "closeness": hit.kind.closeness.value,
        "spacing": hit.kind.spacing.value,
        "semitones_up": hit.shift,
        "notes_between": hit.foreign,
        "inflected": list(hit.inflected),
        "across_rest": hit.across_rest,
        "even_rhythm": hit.even,
        "pitches": [str(pitch) for pitch in hit.pitches],
        "found": chance.found,
        "expected": float(f"{chance.expected:.6g}"),
        "probability": float(f"{chance.probability:.6g}"),
        "verdict": chance.verdict,
        "script": f"motif found = {notes_value(hit.pitches)}",
    }


def statement_json(statement: TracedStatement) -> dict[str, Any]:
    """One statement that the compiler knows of."""
    said, line = statement.statement, statement.statement.line
    return {
        "movement": statement.movement,
        "section": statement.section,
        "parts": list(statement.parts),
        "bars": [statement.first_bar, statement.last_bar],
        "onset": str(said.onset),
        "letters": list(statement.texts),
        "letter_places": list(statement.letters),
        "pitches": [str(pitch) for pitch in statement.pitches],
        "together": statement.together,
        "whole": statement.is_whole,
        "forms": [form.value for form in said.forms],
        "notes_between": said.between,
        "inflected": list(statement.inflected),
        "steps": list(said.steps),
        "script": {"file": line.source.name, "line": line.line, "column": line.column},
    }


# ----------------------------------------------------------------

_MOST_PLACES = 60
_BACKWARDS = (Form.RETROGRADE, Form.RETROGRADE_INVERTED)
_SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MIDDLE_C = 60
_LONGEST_REASON = 120


@record
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


def place_of_statement(file: str, statement: TracedStatement) -> Place:
    """A statement in a piece of our own."""
    where = f"{file}, {statement.movement}, {parts_text(statement.parts)}, bar {statement.bars}"
    why = " -> ".join(statement.statement.steps) or "as the cipher has it"
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
