"""Arguments of a combination that are no values: clauses such as `at P5 below`, and words that it knows.

In: atoms of the syntax tree and the patterns of the combination. Out: bound clauses, or a report that shows how
the combination is written. A pattern of one capital word, as `PITCH`, is a constant without a word before it.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.diagnostics.record import Diagnostics
from cavata.names.arguments import fit_parts, slot
from cavata.names.program import Bound, Clause
from cavata.names.reader import Mismatch, Reader, Reported
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.signature import Kind, read_pattern
from cavata.transforms.table import Combination

_COUNTS = {1: "one value", 2: "two values"}


def match_clause(argument: t.Loose, combination: Combination, reader: Reader, bag: Diagnostics) -> Clause | None:
    """The clause that an argument is; None when what is wrong with it was reported."""
    best: Mismatch | None = None
    for pattern in combination.clauses:
        reader.at = 0
        try:
            return _read(pattern, argument, reader)
        except Mismatch as mismatch:
            if mismatch.at and (best is None or mismatch.at > best.at):
                best = mismatch
        except Reported:
            return None
    if best is None:
        message, label = f"`{argument.span.text}` means nothing in `{combination.word}`", ""
    else:
        message, label = f"this does not fit `{combination.word}`", f"expected {best.wanted}"
    place = argument.span if best is None else best.span or _end(argument.span)
    cure = best.cure if best is not None else ""
    bag.error("N209", place, message, label, cure or f"it is written `{combination.pattern}`")
    return None


def _read(pattern: str, argument: t.Loose, reader: Reader) -> Clause:
    head = pattern.split()[0]
    if head.isupper():
        given = slot(Kind(head), reader)
        if reader.peek() is not None:
            raise reader.fail("nothing more")
        return Clause(pattern, (given,), argument.span)
    if reader.word() != head:
        raise reader.fail(f"`{head}`")
    reader.take()
    return Clause(pattern, fit_parts(read_pattern(pattern), reader), argument.span)


def _end(span: Span) -> Span:
    return Span(span.source, max(span.start, span.end - 1), span.end)


def well_formed(
    call: t.Call, combination: Combination, operands: Sequence[Bound], clauses: Sequence[Clause], bag: Diagnostics
) -> bool:
    """Whether a combination has as many values as it takes, and every clause it needs once; reported if not."""
    written = f"it is written `{combination.pattern}`"
    least, most = combination.least, combination.most
    values = [*operands, *(clause for clause in clauses if clause.pattern.isupper())]
    if len(values) < least or (most is not None and len(values) > most):
        many = _COUNTS[least] + (" or more" if most is None else "")
        place = values[most].span if most is not None and len(values) > most else call.word.span
        bag.error("N209", place, f"`{call.word.text}` takes {many}", "", written)
        return False
    seen: dict[str, Clause] = {}
    for clause in clauses:
        before = seen.setdefault(clause.pattern, clause)
        if before is not clause:
            message = f"`{clause.pattern.split()[0]}` stands twice in `{call.word.text}`"
            bag.error("N209", clause.span, message, "again here", "keep one of them", ((before.span, "first here"),))
            return False
    if any(pattern == "after SPAN" for pattern in combination.clauses) and "after SPAN" not in seen:
        bag.error("N209", call.word.span, f"`{call.word.text}` does not say when the next voice enters", "", written)
        return False
    return True
