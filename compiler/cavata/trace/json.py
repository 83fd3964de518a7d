"""Hits, statements and corpus places as parts of one JSON document."""

from __future__ import annotations

from typing import Any

from cavata.study.script_words import notes_value
from cavata.trace.statements import Statement
from cavata.trace.subject import Subject
from cavata.trace.trace import Weighed


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


def statement_json(statement: Statement) -> dict[str, Any]:
    """One statement that the compiler knows of."""
    return {
        "movement": statement.movement,
        "section": statement.section,
        "parts": list(statement.parts),
        "bars": [statement.first_bar, statement.last_bar],
        "onset": str(statement.onset),
        "letters": list(statement.texts),
        "letter_places": list(statement.letters),
        "pitches": [str(pitch) for pitch in statement.pitches],
        "together": statement.together,
        "notes_between": statement.foreign,
        "inflected": list(statement.inflected),
        "steps": list(statement.steps),
        "script": {"file": statement.line.source.name, "line": statement.line.line, "column": statement.line.column},
    }
