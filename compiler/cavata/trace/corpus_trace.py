"""A subject through a whole corpus: its forms, every place, and what chance would give.

In: an index and a subject. Out: for each form the places, with how they lie, and the expected number under the same
null model as for one score, the corpus being the piece.
"""

from __future__ import annotations

import math
from typing import Any

from cavata.music.pitch import Pitch
from cavata.record import dataclass
from cavata.trace.chance import at_least
from cavata.trace.note_arrays import NO_STEP, Address
from cavata.trace.search import CorpusSearch
from cavata.trace.subject import Form, Shape, Subject, shapes


@dataclass(frozen=True, slots=True)
class CorpusPlace:
    """One place in a corpus."""

    address: Address
    first_bar: str
    last_bar: str
    pitches: tuple[Pitch, ...]
    spelled: bool
    """Whether its notes are spelled as the subject's."""
    across_rest: bool


@dataclass(frozen=True, slots=True)
class CorpusForm:
    """Everything found of one form."""

    subject: Subject
    form: Form
    also: tuple[Form, ...]
    steps: tuple[int, ...]
    strict: int
    """How many places have no rest in them."""
    places: tuple[CorpusPlace, ...]
    """All of them, those across rests included."""
    expected: float

    @property
    def probability(self) -> float:
        """How often chance gives as many."""
        return at_least(len(self.places), self.expected)


def corpus_trace(search: CorpusSearch, subject: Subject) -> tuple[CorpusForm, ...]:
    """The subject in each of its forms, transposed or not."""
    return tuple(_form(search, subject, shape) for shape in shapes(subject))


def _form(search: CorpusSearch, subject: Subject, shape: Shape) -> CorpusForm:
    begins = search.begins(shape.steps)
    unbroken = set(search.begins(shape.steps, strict=True).tolist())
    spelled = set(search.spelled(begins, shape.letters).tolist()) if shape.letters else set()
    places = tuple(
        _place(search, place, len(shape.steps), place in spelled, place not in unbroken) for place in begins.tolist()
    )
    return CorpusForm(
        subject, shape.form, shape.also, shape.steps, len(unbroken), places, _expected(search, shape.steps)
    )


def _place(search: CorpusSearch, first: int, steps: int, spelled: bool, across: bool) -> CorpusPlace:
    arrays = search.arrays
    last = first + steps
    pitches = tuple(Pitch(int(arrays.position[n]), int(arrays.alter[n])) for n in range(first, last + 1))
    bars = (arrays.bars[int(arrays.bar[first])], arrays.bars[int(arrays.bar[last])])
    return CorpusPlace(arrays.address(first), *bars, pitches, spelled, across)


def _expected(search: CorpusSearch, steps: tuple[int, ...]) -> float:
    import numpy as np

    shares = search.step_shares()
    gaps = np.flatnonzero(np.concatenate(([True], search.loose == NO_STEP, [True])))
    windows = int(np.maximum(np.diff(gaps) - 1 - len(steps) + 1, 0).sum())
    return windows * math.prod(shares.get(step, 0.0) for step in steps)


def form_json(found: CorpusForm) -> dict[str, Any]:
    """One form as a part of a JSON document."""
    return {
        "name": found.subject.name,
        "form": found.form.value,
        "also": [form.value for form in found.also],
        "steps": list(found.steps),
        "strict": found.strict,
        "loose": len(found.places),
        "spelled": sum(place.spelled for place in found.places),
        "expected": float(f"{found.expected:.6g}"),
        "probability": float(f"{found.probability:.6g}"),
        "places": [
            {
                "file": p.address.file, "title": p.address.title, "part": p.address.part, "voice": p.address.voice,
                "bars": [p.first_bar, p.last_bar], "pitches": [str(pitch) for pitch in p.pitches],
                "spelled": p.spelled, "across_rest": p.across_rest,
            }
            for p in found.places
        ],
    }  # fmt: skip
