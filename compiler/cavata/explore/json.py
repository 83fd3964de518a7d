"""What was explored as one JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from cavata.explore.criteria import CRITERIA
from cavata.explore.explore import Explored, reason
from cavata.explore.paste import pasted
from cavata.explore.text import Row, motif_name, rows_of
from cavata.explore.twelve import Twelve
from cavata.study.shared_by_names import directed


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
                "candidates": [_candidate(row, one, motif) for row in rows_of(one, most)],
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


def _candidate(row: Row, one: Explored, motif: str) -> dict[str, Any]:
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
