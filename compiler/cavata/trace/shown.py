"""What was traced, as tables for the terminal, as parts of a JSON document, and as the script of a sheet.

The sheet draws each place as it stands in its score, with the name's letters and what is said of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.study.script_words import notes_value
from cavata.study.sheet import are_plain, hand_for, lettered_name, sheet_head, sheet_stretch
from cavata.text import readable, so_many, text_table
from cavata.trace.chance import Verdict, Weighed, verdict
from cavata.trace.hits import Hit, Spacing
from cavata.trace.own_score import TracedStatement
from cavata.trace.subject import LineForm, Subject
from cavata.trace.trace import Traced

MOST_SHOWN = 200
_UNUSUAL = 0.05
"""Of a name that stands out, the hits of kinds in which so few decoys or fewer do as well are shown."""


@record
class Judged:
    """One name in one file when all of the run is known."""

    traced: Traced
    probability: float
    """Corrected over the names of the run."""
    verdict: Verdict

    @property
    def cipher(self) -> str:
        """By which the name stands out most, else the first; empty for notes written out."""
        return self.traced.weighed.cipher or self.traced.first_cipher

    def hits(self, every: bool) -> list[Hit]:
        """The hits by that cipher; `every`: by all."""
        return [hit for hit in self.traced.hits if every or hit.subject.cipher == self.cipher]

    def shows(self, hit: Hit) -> bool:
        """Whether a hit is one of those that make the name stand out."""
        stands_out = self.verdict is not Verdict.AS_EXPECTED and hit.subject.cipher == self.cipher
        return stands_out and self.traced.chance(hit).probability <= _UNUSUAL


# ----------------------------------------------------------------
# Tables for the terminal.



def subjects_text(subjects: Sequence[Subject]) -> str:
    """What is looked for."""
    return text_table(
        ("name", "cipher", "notes", "semitones"),
        [(s.name, s.cipher or "notes as given", s.notes, " ".join(f"{step:+d}" for step in s.steps)) for s in subjects],
    )


def names_text(rows: Sequence[tuple[Weighed, float]]) -> str:
    """What is said of each name in one file: its corrected p, and where it stands out most."""
    head = ("name", "verdict", "p", "as good", "cipher", "strongest", "found", "by chance")
    return text_table(head, [_name_row(weighed, probability) for weighed, probability in rows])


def _name_row(weighed: Weighed, probability: float) -> tuple[str, ...]:
    as_good = f"{weighed.as_good} of {weighed.decoys} names"
    told = (weighed.name, verdict(probability).value, f"{probability:.2g}", as_good)
    kind, chance = weighed.kind, weighed.chance
    if kind is None or chance is None:
        return (*told, "-", "not found", "0", "-")
    how = ", ".join((kind.form.value, kind.closeness.value, kind.spacing.value))
    return (*told, weighed.cipher or "notes as given", how, str(chance.found), f"{chance.expected:.2g}")


def hits_text(found: Sequence[Judged], every: bool) -> str:
    """What is said of the names in one file, and the hits that make them stand out; the others are only counted."""
    blocks = [names_text([(judged.traced.weighed, judged.probability) for judged in found])]
    every_hit = [(judged, hit) for judged in found for hit in judged.traced.hits]
    shown = [(judged, hit) for judged, hit in every_hit if every or judged.shows(hit)]
    if shown:
        titled = any(hit.title for _, hit in shown)
        head = ("name", "cipher", *(("where",) if titled else ()), "bars", "part", "form", "how", "notes", "by chance")
        rows = [
            (hit.subject.name, hit.subject.cipher or "-", *((hit.title[:30],) if titled else ()), hit.bars,
             parts_text(hit.parts), form_text(hit), how_text(hit), " ".join(map(str, hit.pitches)),
             f"{chance.expected:.2g} of these {chance.found}")
            for judged, hit in shown[:MOST_SHOWN] for chance in (judged.traced.chance(hit),)
        ]  # fmt: skip
        blocks.append(text_table(head, rows))
    if len(shown) > MOST_SHOWN:
        blocks.append(f"and {len(shown) - MOST_SHOWN} more; `--json` has them all\n")
    if len(shown) < len(every_hit):
        blocks.append(f"{len(every_hit) - len(shown)} more places that chance explains (`--all` shows them)\n")
    return "\n".join(blocks)


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


def statements_text(name: str, found: Sequence[TracedStatement]) -> str:
    """The statements that the compiler knows of."""
    rows = [
        (s.movement, s.section, s.bars, parts_text(s.parts), "".join(s.texts), _how(s),
         " ".join(map(str, s.pitches)), " -> ".join(s.statement.steps) or "-",
         f"{s.statement.line.source.name}:{s.statement.line.line}")
        for s in found
    ]  # fmt: skip
    head = ("movement", "section", "bars", "part", "letters", "how", "notes", "transforms", "script")
    table = text_table(head, rows) if rows else "nowhere\n"
    return f"{name}: {so_many(len(found), 'statement')}, known from the script\n\n{table}"


def _how(statement: TracedStatement) -> str:
    """How much of the name it is, and its forms by the names that the index has for other programs."""
    said = ["whole" if statement.is_whole else f"{len(statement.letters)} of {statement.letters_of_name}"]
    said += [readable(form.value) for form in statement.forms]
    if statement.statement.between:
        said.append(f"{statement.statement.between} between")
    if statement.inflected:
        said.append("letter " + " ".join(map(str, statement.inflected)) + " inflected")
    return ", ".join(said)


# ----------------------------------------------------------------
# Parts of one JSON document.


def subject_json(subject: Subject) -> dict[str, Any]:
    """What is looked for."""
    return {
        "name": subject.name, "cipher": subject.cipher or None, "notes": subject.notes.split(),
        "steps": list(subject.steps),
    }  # fmt: skip


def weighed_json(weighed: Weighed, probability: float) -> dict[str, Any]:
    """A name against its decoys; `probability` is the corrected one."""
    kind, chance = weighed.kind, weighed.chance
    return {
        "name": weighed.name,
        "verdict": verdict(probability).value,
        "probability": float(f"{probability:.6g}"),
        "uncorrected": float(f"{weighed.probability:.6g}"),
        "decoys": weighed.decoys,
        "decoys_as_good": weighed.as_good,
        "cipher": weighed.cipher or None,
        "form": kind.form.value if kind is not None else None,
        "closeness": kind.closeness.value if kind is not None else None,
        "spacing": kind.spacing.value if kind is not None else None,
        "found": chance.found if chance is not None else 0,
        "expected": float(f"{chance.expected:.6g}") if chance is not None else None,
    }


def hit_json(judged: Judged, hit: Hit) -> dict[str, Any]:
    """One hit; how many of its kind were found and are expected, and what is said of its name."""
    chance = judged.traced.chance(hit)
    return {
        "name": hit.subject.name,
        "cipher": hit.subject.cipher or None,
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
        "kind_probability": float(f"{chance.probability:.6g}"),
        "probability": float(f"{judged.probability:.6g}"),
        "verdict": judged.verdict.value,
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
        "forms": [form.value for form in statement.forms],
        "notes_between": said.between,
        "inflected": list(statement.inflected),
        "steps": list(said.steps),
        "script": {"file": line.source.name, "line": line.line, "column": line.column},
    }


# ----------------------------------------------------------------
# The sheet.

_MOST_PLACES = 60
_REVERSED = (LineForm.RETROGRADE, LineForm.RETROGRADE_INVERSION)
_LONGEST_REASON = 120


@record
class SheetStaff:
    """What one short staff of the sheet shows."""

    where: str
    why: str
    pitches: tuple[Pitch, ...]
    """In the order in which they sound."""
    letters: tuple[str, ...]
    """One for each pitch, in the same order; empty where no letters stand under them."""
    together: bool
    likelihood: float
    """How often a name made by chance has its kind as well; the least comes first on the sheet."""


def place_of_hit(file: str, judged: Judged, hit: Hit) -> SheetStaff:
    """A hit in a foreign score."""
    where = ", ".join(filter(None, (file, hit.title, parts_text(hit.parts), f"bar {hit.bars}" if hit.bars else "")))
    why = f"{form_text(hit)}, {how_text(hit)}: {judged.verdict.value}, p {judged.probability:.2g}"
    letters = hit.subject.letters[::-1] if hit.kind.form in _REVERSED else hit.subject.letters
    together = hit.kind.spacing is Spacing.CHORD
    likelihood = judged.traced.chance(hit).probability
    return SheetStaff(where, why, hit.pitches, () if together else letters, together, likelihood)


def place_of_statement(file: str, statement: TracedStatement) -> SheetStaff:
    """A statement in a piece of our own."""
    where = f"{file}, {statement.movement}, {parts_text(statement.parts)}, bar {statement.bars}"
    why = " -> ".join(statement.statement.steps) or "as the cipher has it"
    return SheetStaff(where, why, statement.pitches, statement.texts, statement.together, 0.0)


def trace_script(title: str, places: Sequence[SheetStaff]) -> str:
    """The sheet as a script; at most sixty places, those that chance explains least first."""
    order = sorted(places, key=lambda place: place.likelihood)[:_MOST_PLACES]
    rows = sheet_head(title, "where it was found, the least likely by chance first")
    rows += [row for index, place in enumerate(order) for row in _motif(index, place)]
    rows += ["", "forces", "    piano = piano"]
    for index, place in enumerate(order):
        rows += sheet_stretch(index, f"{index + 1}. {place.where}", place.why[:_LONGEST_REASON])
        rows += [f"        piano.{hand_for(place.pitches)}: found{index}"]
    return "\n".join(rows) + "\n"


def _motif(index: int, place: SheetStaff) -> Iterator[str]:
    heights = sorted(set(place.pitches), key=lambda p: (p.midi, p.position))
    if are_plain(place.letters):
        yield from lettered_name(f"letters{index}", f"subject{index}", place.letters, place.pitches)
        yield f"motif found{index} = subject{index}{' -> as chord' if place.together else ''}"
    elif place.together and len(heights) > 1:
        yield f"motif found{index} = chord({' '.join(map(str, heights))})"
    else:
        yield f"motif found{index} = {notes_value(place.pitches)}"
