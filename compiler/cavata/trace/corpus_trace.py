"""A subject through a whole corpus: its forms, every place, and what chance would give.

In: an index and a subject. Out: for each form the places, with how they lie, and the expected number under the same
null model as for one score, the corpus being the piece.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import record
from cavata.text import text_table
from cavata.trace.chance import at_least
from cavata.trace.heard import AFTER_REST, BEGINS_LINE, IS_CHORD, NO_STEP, Address, NoteArrays
from cavata.trace.subject import Form, Shape, Subject, shapes

# ----------------------------------------------------------------
# A subject in all notes of a corpus at once.
#
# In: the notes as arrays, and the semitone steps of a shape. Out: the notes at which it begins. Steps are compared as
# they are, octaves and repeated notes included; a chord breaks a line; `strict`: a rest breaks it too.


if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Places = NDArray[np.intp]


@dataclass(frozen=True)
class CorpusSearch:
    """A corpus ready for searching: the step to each note from the one before, a byte each."""

    arrays: NoteArrays

    @cached_property
    def loose(self) -> NDArray[np.int8]:
        """Steps with rests passed over; NO_STEP where there is none."""
        import numpy as np

        midi = self.arrays.midi
        steps = np.full(len(midi), NO_STEP, np.int8)
        if len(midi) > 1:
            # Nothing but a broken file leaps by more than ten octaves.
            steps[1:] = np.clip(np.diff(midi), -120, 120)
        chords = (self.arrays.flags & IS_CHORD) != 0
        steps[(self.arrays.flags & BEGINS_LINE) != 0] = NO_STEP
        steps[chords] = NO_STEP
        steps[1:][chords[:-1]] = NO_STEP
        return steps

    @cached_property
    def strict(self) -> NDArray[np.int8]:
        """Steps, and NO_STEP after a rest."""
        steps = self.loose.copy()
        steps[(self.arrays.flags & AFTER_REST) != 0] = NO_STEP
        return steps

    def begins(self, steps: Sequence[int], strict: bool = False) -> Places:
        """The notes at which these steps begin, in order; at least one step."""
        import numpy as np

        array = self.strict if strict else self.loose
        length = len(steps)
        if len(array) <= length or any(abs(step) > 120 for step in steps):
            return np.zeros(0, np.intp)
        # The rarest of the steps is sought in all notes, the others only where that was found.
        order = sorted(range(length), key=lambda i: (-abs(steps[i]), i))
        rare = order[0]
        end = len(array) - length + 1
        found = np.flatnonzero(array[1 + rare : end + rare] == steps[rare])
        for other in order[1:]:
            found = found[array[found + 1 + other] == steps[other]]
        return found

    def spelled(self, places: Places, letters: Sequence[PitchClass]) -> Places:
        """Of the places those whose notes are spelled so, in any octave."""
        import numpy as np

        good = np.ones(len(places), bool)
        for number, letter in enumerate(letters):
            good &= (self.arrays.position[places + number] % 7 == letter.letter) & (
                self.arrays.alter[places + number] == letter.alter
            )
        return places[good]

    def step_shares(self) -> dict[int, float]:
        """How often each step comes among all that the loose arrays have."""
        import numpy as np

        values, counts = np.unique(self.loose[self.loose != NO_STEP], return_counts=True)
        every = int(counts.sum())
        return {int(v): int(c) / every for v, c in zip(values, counts, strict=True)}


# ----------------------------------------------------------------

@record
class CorpusPlace:
    """One place in a corpus."""

    address: Address
    first_bar: str
    last_bar: str
    pitches: tuple[Pitch, ...]
    spelled: bool
    """Whether its notes are spelled as the subject's."""
    across_rest: bool


@record
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


# ----------------------------------------------------------------
# What was found in a corpus, as tables for the terminal.


MOST_PLACES = 100


def corpus_text(found: Sequence[CorpusForm], every: bool) -> str:
    """Counts of each form; then the places, those spelled as the name first, at most a hundred unless `every`."""
    counts = text_table(
        ("name", "form", "steps", "found", "no rest within", "spelled so", "chance expects", "p"),
        [
            (f.subject.name, " = ".join(form.value for form in (f.form, *f.also)),
             " ".join(f"{step:+d}" if step else "0" for step in f.steps), str(len(f.places)), str(f.strict),
             str(sum(place.spelled for place in f.places)), f"{f.expected:.4g}", f"{f.probability:.2g}")
            for f in found
        ],
        frozenset({3, 4, 5, 6, 7}),
    )  # fmt: skip
    places = [(f, place) for f in found for place in f.places]
    places.sort(key=lambda pair: not pair[1].spelled)
    shown = places if every else places[:MOST_PLACES]
    if not shown:
        return counts
    table = text_table(
        ("name", "form", "file", "part", "bars", "notes", ""),
        [
            (f.subject.name, f.form.value, " ".join(filter(None, (p.address.file, p.address.title[:30]))), _part(p),
             bars_text(p), " ".join(map(str, p.pitches)), _note(p))
            for f, p in shown
        ],
    )  # fmt: skip
    more = f"\nand {len(places) - len(shown)} more (`--all` shows them)\n" if len(shown) < len(places) else ""
    return f"{counts}\n{table}{more}"


def bars_text(place: CorpusPlace) -> str:
    """`13`, or `1-2`."""
    return place.first_bar if place.first_bar == place.last_bar else f"{place.first_bar}-{place.last_bar}"


def _part(place: CorpusPlace) -> str:
    return place.address.part if place.address.voice == 1 else f"{place.address.part}, voice {place.address.voice}"


def _note(place: CorpusPlace) -> str:
    return ", ".join(("spelled so",) * place.spelled + ("across a rest",) * place.across_rest)
