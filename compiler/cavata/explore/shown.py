"""The script of an exploration's sheet: each candidate a short staff, its letters under it, the reason over it.

In: what was explored. Out: the text of a Cavata script.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from cavata.explore.criteria import CRITERIA
from cavata.explore.explore import Candidate, Explored, reason
from cavata.explore.space import Space
from cavata.explore.twelve import Twelve
from cavata.record import record
from cavata.study.script_words import notes_value
from cavata.study.sheet import are_plain, hand_for, lettered_name, sheet_head, sheet_stretch
from cavata.study.study import directed
from cavata.text import text_table

# ----------------------------------------------------------------
# A reading as lines of script: pasted into the piece, they are exactly its notes.


def pasted(space: Space, index: int, motif: str) -> tuple[str, ...]:
    """The row of the name, where a choice is taken, and the row of a motif called `motif`."""
    stem = space.stem
    value = _value(space, index) + _inflections(space, index)
    if len(space.runs(index)) == 1:
        value += f" -> from {space.line(index)[0]}"
    return (*filter(None, (stem.row,)), f"motif {motif} = {value}")


def _value(space: Space, index: int) -> str:
    """The letters as they are, or stretch by stretch where the line leaps an octave; inflections come later."""
    stem, line, runs = space.stem, space.line(index), space.runs(index)
    if len(runs) == 1:
        return stem.name
    parts = [_rests(stem.rests[0])]
    for first, last in runs:
        start = f"{stem.pitches[first - 1].pitch_class}{line[first - 1].octave}"
        notes = f"notes {first}..{last}"
        parts += [f"({stem.name} -> {notes} -> from {start})", _rests(stem.rests[last])]
    return " + ".join(filter(None, parts))


def _rests(count: int) -> str:
    return f"notes(1/4{' rest' * count})" if count else ""


def _inflections(space: Space, index: int) -> str:
    """As ` -> raised 1 -> lowered last`."""
    count = len(space.stem.pitches)
    said: dict[str, list[str]] = {}
    for number, word in space.inflected(index):
        said.setdefault(word, []).append("last" if number == count and count > 1 else str(number))
    return "".join(f" -> {word} {' '.join(numbers)}" for word, numbers in said.items())


# ----------------------------------------------------------------
# What was explored as tables for the terminal, and the lines of script to paste.


@record
class CandidateRow:
    """A candidate of the table, with those that differ only by the octave of the whole line."""

    rank: int
    candidate: Candidate
    also: tuple[Candidate, ...]


def candidate_rows(explored: Explored, most: int) -> tuple[CandidateRow, ...]:
    """The first candidates, whole lines moved by octaves taken together."""
    groups: dict[object, list[Candidate]] = {}
    for candidate in explored.ranked:
        line = candidate.line
        steps = tuple(later - earlier for earlier, later in pairwise(line))
        groups.setdefault((id(candidate.space), candidate.values, line[0].pitch_class, steps), []).append(candidate)
    firsts = list(groups.values())[:most]
    return tuple(CandidateRow(rank, same[0], tuple(same[1:])) for rank, same in enumerate(firsts, start=1))


def value_text(value: float) -> str:
    """A count as it is, a correlation with two places."""
    return str(int(value)) if value == int(value) else f"{value:.2f}"


def changes_text(candidate: Candidate) -> str:
    """What the composer would decide: choices taken, notes inflected."""
    stem = candidate.space.stem
    said = [part.strip() for part in stem.row.split(",")[1:] if " as " in part] if stem.row else []
    said += [f"{word} {number}" for number, word in candidate.space.inflected(candidate.index)]
    return ", ".join(said) or "unaltered"


def explore_text(found: Sequence[Explored], most: int, motif: str, twelve: Twelve | None) -> str:
    """Everything, name by name; then all names together."""
    blocks = [block for one in found for block in _name(one, most, motif)]
    if twelve is not None:
        blocks.append(_twelve(twelve, motif))
    said = list(dict.fromkeys(c for one in found for c in one.criteria))
    best = {True: "less is better", False: "more is better"}
    legend = [f"    {c}: {CRITERIA[c].says}; {best[CRITERIA[c].less_is_better]}\n" for c in said]
    return "\n".join([*blocks, "CRITERIA\n\n" + "".join(legend)])


def motif_name(motif: str, explored: Explored, rank: int) -> str:
    """What the pasted motif is called."""
    return f"{motif or explored.name}_{rank}"


def _name(one: Explored, most: int, motif: str) -> Iterator[str]:
    rows = candidate_rows(one, most)
    notes = " ".join(str(pitch.pitch_class) for pitch in one.spaces[0].stem.pitches)
    of = f" of which {one.allowed} meet what is required," if one.allowed != one.readings else ""
    yield f"{one.name} ({notes}): {one.readings} readings,{of} {len(one.ranked)} that nothing beats\n\n" + text_table(
        ("", "score", *one.criteria, "notes", "leaps", "choices", "also from", "ranked by"),
        [
            (str(row.rank), f"{row.candidate.score:.3f}", *map(value_text, row.candidate.values),
             " ".join(map(str, row.candidate.line)),
             " ".join(directed(later - earlier) for earlier, later in pairwise(row.candidate.line)) or "-",
             changes_text(row.candidate), " ".join(str(c.line[0]) for c in row.also) or "-",
             reason(row.candidate, one))
            for row in rows
        ],
        frozenset(range(len(one.criteria) + 2)),
    )  # fmt: skip
    yield f"{one.name}: TO PASTE (one of these)\n\n" + "".join(
        f"    {text}\n"
        for row in rows
        for text in pasted(row.candidate.space, row.candidate.index, motif_name(motif, one, row.rank))
    )


def _twelve(twelve: Twelve, motif: str) -> str:
    rows: list[str] = []
    for space, index in twelve.readings:
        rows += pasted(space, index, f"{motif or space.stem.name}_all")
    head = f"ALL NAMES TOGETHER: {twelve.notes} pitch classes, {twelve.inflections} inflected (to paste)\n\n"
    return head + "".join(f"    {row}\n" for row in rows)


# ----------------------------------------------------------------
# What was explored as one JSON document.


def explore_json(found: Sequence[Explored], most: int, motif: str, twelve: Twelve | None) -> dict[str, Any]:
    """The document's `criteria`, `names` and `together`."""
    said = dict.fromkeys(c for one in found for c in one.criteria)
    return {
        "criteria": {
            c: {"says": CRITERIA[c].says, "better": "less" if CRITERIA[c].less_is_better else "more"} for c in said
        },
        "names": [
            {
                "name": one.name,
                "readings": one.readings,
                "allowed": one.allowed,
                "unbeaten": len(one.ranked),
                "candidates": [_candidate(row, one, motif) for row in candidate_rows(one, most)],
            }
            for one in found
        ],
        "together": None if twelve is None else {
            "notes": twelve.notes,
            "inflections": twelve.inflections,
            "script": [
                row for space, index in twelve.readings
                for row in pasted(space, index, f"{motif or space.stem.name}_all")
            ],
        },
    }  # fmt: skip


def _candidate(row: CandidateRow, one: Explored, motif: str) -> dict[str, Any]:
    candidate = row.candidate
    return {
        "rank": row.rank,
        "score": candidate.score,
        "criteria": dict(zip(one.criteria, candidate.values, strict=True)),
        "pitches": [str(pitch) for pitch in candidate.line],
        "leaps": [directed(later - earlier) for earlier, later in pairwise(candidate.line)],
        "letters": list(candidate.space.stem.letters),
        "inflected": [{"note": n, "how": word} for n, word in candidate.space.inflected(candidate.index)],
        "also_from": [str(other.line[0]) for other in row.also],
        "reason": reason(candidate, one),
        "script": list(pasted(candidate.space, candidate.index, motif_name(motif, one, row.rank))),
    }


# ----------------------------------------------------------------

_MOST_STAVES = 60


def explore_script(found: Sequence[Explored], most: int) -> str:
    """The sheet as a script; at most sixty candidates."""
    shown = [(one, row) for one in found for row in candidate_rows(one, most)][:_MOST_STAVES]
    rows = sheet_head(", ".join(one.name for one in found), "readings that nothing beats")
    rows += [text for index, (_, row) in enumerate(shown) for text in _motif(index, row)]
    rows += ["", "forces", "    piano = piano"]
    for index, (one, row) in enumerate(shown):
        title = f"{row.rank}. {one.name}: {changes_text(row.candidate)}"
        counted = zip(one.criteria, row.candidate.values, strict=True)
        numbers = ", ".join(f"{name} {value_text(value)}" for name, value in counted)
        rows += sheet_stretch(index, title, f"{reason(row.candidate, one)}: {numbers}")
        rows += [f"        piano.{hand_for(row.candidate.line)}: found{index}"]
    return "\n".join(rows) + "\n"


def _motif(index: int, row: CandidateRow) -> Iterator[str]:
    letters, line = row.candidate.space.stem.letters, row.candidate.line
    if are_plain(letters):
        yield from lettered_name(f"letters{index}", f"found{index}", letters, line)
    else:
        yield f"motif found{index} = {notes_value(line)}"
