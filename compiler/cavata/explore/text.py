"""What was explored as tables for the terminal, and the lines of script to paste."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.discover.text_table import text_table
from cavata.explore.criteria import CRITERIA
from cavata.explore.explore import Candidate, Explored, reason
from cavata.explore.paste import pasted
from cavata.explore.twelve import Twelve
from cavata.record import dataclass
from cavata.study.shared_by_names import directed


@dataclass(frozen=True, slots=True)
class Row:
    """A candidate of the table, with those that differ only by the octave of the whole line."""

    rank: int
    candidate: Candidate
    also: tuple[Candidate, ...]


def rows_of(explored: Explored, most: int) -> tuple[Row, ...]:
    """The first candidates, whole lines moved by octaves taken together."""
    groups: dict[object, list[Candidate]] = {}
    for candidate in explored.ranked:
        line = candidate.line
        steps = tuple(later - earlier for earlier, later in pairwise(line))
        groups.setdefault((id(candidate.space), candidate.values, line[0].pitch_class, steps), []).append(candidate)
    firsts = list(groups.values())[:most]
    return tuple(Row(rank, same[0], tuple(same[1:])) for rank, same in enumerate(firsts, start=1))


def value_text(value: float) -> str:
    """A count as it is, a correlation with two places."""
    return str(int(value)) if value == int(value) else f"{value:.2f}"


def changes_text(candidate: Candidate) -> str:
    """What the composer would decide: choices taken, notes inflected."""
    stem = candidate.space.stem
    said = [part.strip() for part in stem.row.split(",")[1:] if " as " in part] if stem.row else []
    said += [f"{word} {number}" for number, word in candidate.space.inflected(candidate.index)]
    return ", ".join(said) or "as it is"


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
    rows = rows_of(one, most)
    notes = " ".join(str(pitch.pitch_class) for pitch in one.spaces[0].stem.pitches)
    of = f" of which {one.allowed} meet what is required," if one.allowed != one.readings else ""
    yield f"{one.name} ({notes}): {one.readings} readings,{of} {len(one.ranked)} that nothing beats\n\n" + text_table(
        ("", "score", *one.criteria, "notes", "leaps", "decided", "also from", "why here"),
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
    head = f"ALL NAMES TOGETHER: {twelve.notes} of the twelve notes, {twelve.inflections} inflected (to paste)\n\n"
    return head + "".join(f"    {row}\n" for row in rows)
