"""A name through a whole corpus: its forms, every place, and how it stands against names made by chance.

In: an index and a name. Out: the name weighed as in one score, the corpus being the score, and for each form by each
cipher the places with how they lie. Only whole lines are sought, at any pitch: steps are compared as they are, octaves
and repeated notes included; a chord breaks a line; `strict`: a rest breaks it too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import record
from cavata.text import text_table
from cavata.trace.chance import Weighed
from cavata.trace.hits import Chance, Closeness, HitKind, Spacing, bars_text
from cavata.trace.note_arrays import AFTER_REST, BEGINS_LINE, IS_CHORD, NO_STEP, Address, NoteArrays
from cavata.trace.sounds import Countable, Sounds, no_chords
from cavata.trace.subject import FormedSubject, LineForm, Subject, shapes

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

    @cached_property
    def sounds(self) -> Sounds:
        """The single notes of the corpus, for weighing a name; nothing in it sounds together."""
        import numpy as np

        single = (self.arrays.flags & IS_CHORD) == 0
        keys = self.arrays.midi[single].astype(np.int64)
        begins = np.flatnonzero(self.loose[single] == NO_STEP)
        ends = np.append(begins[1:], len(keys))
        room = np.repeat(ends, np.diff(np.append(begins, len(keys)))) - np.arange(len(keys))
        plain = Sounds(keys, room, np.zeros(1, np.uint16), no_chords(), False)
        return replace(plain, seed=seed_of(plain))


def seed_of(sounds: Countable) -> bytes:
    """By what decoys are drawn for a corpus: its sums, which parts of it have of their own."""
    return sounds.classes().tobytes() + sounds.steps().tobytes()


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
    form: LineForm
    also: tuple[LineForm, ...]
    steps: tuple[int, ...]
    strict: int
    """How many places have no rest in them."""
    places: tuple[CorpusPlace, ...]
    """All of them, those across rests included."""


def corpus_trace(search: CorpusSearch, subject: Subject) -> tuple[CorpusForm, ...]:
    """The subject in each of its forms, transposed or not."""
    return tuple(_form(search, subject, shape) for shape in shapes(subject))


def chance_of(form: CorpusForm, found: Weighed) -> Chance:
    """How the places of a form stand among those of decoys."""
    return found.chances[form.subject.cipher, HitKind(form.form, Closeness.TRANSPOSED, Spacing.ADJACENT)]


def _form(search: CorpusSearch, subject: Subject, shape: FormedSubject) -> CorpusForm:
    begins = search.begins(shape.steps)
    unbroken = set(search.begins(shape.steps, strict=True).tolist())
    spelled = set(search.spelled(begins, shape.letters).tolist()) if shape.letters else set()
    places = tuple(
        _place(search, place, len(shape.steps), place in spelled, place not in unbroken) for place in begins.tolist()
    )
    return CorpusForm(subject, shape.form, shape.also, shape.steps, len(unbroken), places)


def _place(search: CorpusSearch, first: int, steps: int, spelled: bool, across: bool) -> CorpusPlace:
    arrays = search.arrays
    last = first + steps
    pitches = tuple(Pitch(int(arrays.position[n]), int(arrays.alter[n])) for n in range(first, last + 1))
    bars = (arrays.bars[int(arrays.bar[first])], arrays.bars[int(arrays.bar[last])])
    return CorpusPlace(arrays.address(first), *bars, pitches, spelled, across)


def form_json(found: CorpusForm, weighed: Weighed) -> dict[str, Any]:
    """One form as a part of a JSON document."""
    chance = chance_of(found, weighed)
    return {
        "name": found.subject.name,
        "cipher": found.subject.cipher or None,
        "form": found.form.value,
        "also": [form.value for form in found.also],
        "steps": list(found.steps),
        "strict": found.strict,
        "loose": len(found.places),
        "spelled": sum(place.spelled for place in found.places),
        "expected": float(f"{chance.expected:.6g}"),
        "probability": float(f"{chance.probability:.6g}"),
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
# Tables for the terminal.

MOST_PLACES = 100


def corpus_text(found: Sequence[tuple[CorpusForm, Weighed]], every: bool) -> str:
    """Counts of each form; then the places, those spelled as the name first, at most a hundred unless `every`."""
    counts = text_table(
        ("name", "cipher", "form", "semitones", "found", "no rest within", "spelled so", "by chance"),
        [
            (f.subject.name, f.subject.cipher or "-", " = ".join(form.value for form in (f.form, *f.also)),
             " ".join(f"{step:+d}" if step else "0" for step in f.steps), str(len(f.places)), str(f.strict),
             str(sum(place.spelled for place in f.places)), f"{chance_of(f, weighed).expected:.4g}")
            for f, weighed in found
        ],
        frozenset({4, 5, 6, 7}),
    )  # fmt: skip
    places = [(f, place) for f, _ in found for place in f.places]
    places.sort(key=lambda pair: not pair[1].spelled)
    shown = places if every else places[:MOST_PLACES]
    if not shown:
        return counts
    table = text_table(
        ("name", "form", "file", "part", "bars", "notes", ""),
        [
            (f.subject.name, f.form.value, " ".join(filter(None, (p.address.file, p.address.title[:30]))), _part(p),
             bars_text(p.first_bar, p.last_bar), " ".join(map(str, p.pitches)), _note(p))
            for f, p in shown
        ],
    )  # fmt: skip
    more = f"\nand {len(places) - len(shown)} more (`--all` shows them)\n" if len(shown) < len(places) else ""
    return f"{counts}\n{table}{more}"


def _part(place: CorpusPlace) -> str:
    return place.address.part if place.address.voice == 1 else f"{place.address.part}, voice {place.address.voice}"


def _note(place: CorpusPlace) -> str:
    return ", ".join(("spelled so",) * place.spelled + ("across a rest",) * place.across_rest)
