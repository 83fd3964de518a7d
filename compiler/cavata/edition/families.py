"""Brackets that custom gives to a score whose composer gave none.

In: a score. Out: the same score with a group for each family of two parts or more that stand together, and inside it a
thin bracket for players of one instrument. Keyboards and harps have their braces, soloists stand alone; the bar lines
of singers are not drawn through, for their words stand between the staves. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from cavata.record import replace
from cavata.score.score import Group, GroupSign, Part, Score

_BRACED = frozenset(("keyboard", "plucked"))
_VOICES = "voice"


def with_families(score: Score) -> Score:
    """The score with its families bracketed; one that the composer's groups touch is left as it is."""
    taken = {name for group in score.groups if group.sign is GroupSign.BRACKET for name in group.parts}
    added: list[Group] = []
    for family, run in groupby(score.parts, key=_family):
        parts = list(run)
        if family and len(parts) > 1 and not any(part.name in taken for part in parts):
            added += _brackets(family, parts)
    return replace(score, groups=(*score.groups, *added)) if added else score


def _family(part: Part) -> str:
    """The family whose bracket a part stands under; empty for none."""
    return "" if part.soloist or part.instrument.family in _BRACED else part.instrument.family


def _brackets(family: str, parts: Sequence[Part]) -> Iterator[Group]:
    names = tuple(part.name for part in parts)
    yield Group(family, names, joined=family != _VOICES)
    for key, run in groupby(parts, key=lambda part: part.instrument.key):
        alike = tuple(part.name for part in run)
        if 1 < len(alike) < len(parts) and family != _VOICES:
            yield Group(f"{family} {key}", alike, GroupSign.SQUARE)
