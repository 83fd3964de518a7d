"""The rows of a version: how it differs from the piece."""

from __future__ import annotations

from fractions import Fraction

from cavata.record import record
from cavata.source import Span
from cavata.syntax.tree_rows import PartRef, Through
from cavata.syntax.tree_values import Step, Word


@record
class Moved:
    """`movement first -> down M2`, `section first.waltz -> up P4`, `piece -> down M2`, `cello -> down P8`."""

    sort: str
    """`movement`, `section`, `piece` or `part`."""
    where: tuple[PartRef, ...]
    """The movement or section, or the parts; none for the piece."""
    through: Through[PartRef, Step]
    span: Span


@record
class Plays:
    """`horn plays clarinet, bassoon`: a part has the lines of others besides its own, and these have no part."""

    part: PartRef
    others: tuple[PartRef, ...]
    span: Span


@record
class Without:
    """`without harp, drum`, `without movement second`, `without section first.waltz`, `without subtitle`."""

    sort: str
    """`part`, `movement`, `section`, or the word of a row of `piece`."""
    what: tuple[PartRef, ...]
    span: Span


@record
class Tempi:
    """`tempi x 9:8`, `tempi of first x 1.12`: all metronome numbers of the piece, or of one movement, by a ratio."""

    movement: Word | None
    ratio: Fraction
    span: Span
