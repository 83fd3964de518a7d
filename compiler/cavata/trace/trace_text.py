"""Hits and statements as tables for the terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from cavata.discover.text_table import text_table
from cavata.trace.hits import Hit, Spacing
from cavata.trace.statements import Statement
from cavata.trace.subject import Subject
from cavata.trace.trace import Weighed

MOST_SHOWN = 200


def subjects_text(subjects: Sequence[Subject]) -> str:
    """What is looked for."""
    return text_table(
        ("looked for", "read by", "notes", "steps"),
        [(s.name, s.cipher or "notes as given", s.notes, " ".join(f"{step:+d}" for step in s.steps)) for s in subjects],
    )


def hits_text(found: Sequence[Weighed], every: bool) -> str:
    """The hits of one file; without `every`, those that chance explains are only counted."""
    shown = [w for w in found if every or w.chance.verdict != "chance"]
    blocks = []
    if shown:
        titled = any(w.hit.title for w in shown)
        head = ("name", *(("where",) if titled else ()), "bars", "part", "form", "how", "notes", "by chance", "verdict")
        rows = [
            (w.hit.subject.name, *((w.hit.title[:30],) if titled else ()), w.hit.bars, parts_text(w.hit.parts),
             form_text(w.hit), how_text(w.hit), " ".join(map(str, w.hit.pitches)), chance_text(w), w.chance.verdict)
            for w in shown[:MOST_SHOWN]
        ]  # fmt: skip
        blocks.append(text_table(head, rows))
    if len(shown) > MOST_SHOWN:
        blocks.append(f"and {len(shown) - MOST_SHOWN} more; `--json` has them all\n")
    left = Counter((w.hit.subject.name, form_text(w.hit), w.hit.kind.closeness.value, w.hit.kind.spacing.value)
                   for w in found if not every and w.chance.verdict == "chance")  # fmt: skip
    if left:
        kinds = "; ".join(f"{count} x {', '.join(kind)}" for kind, count in left.items())
        blocks.append(f"{sum(left.values())} more that chance explains (`--all` shows them): {kinds}\n")
    return "\n".join(blocks) if blocks else "nothing found\n"


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


def chance_text(weighed: Weighed) -> str:
    """Found against expected, and how often chance does as well."""
    chance = weighed.chance
    return f"{chance.found} for {chance.expected:.2g}, p {chance.probability:.2g}"


def statements_text(name: str, length: int, found: Sequence[Statement]) -> str:
    """The statements that the compiler knows of."""
    rows = [
        (s.movement, s.section, s.bars, parts_text(s.parts), "".join(s.texts), _whole(s, length),
         " ".join(map(str, s.pitches)), " -> ".join(s.steps) or "-", f"{s.line.source.name}:{s.line.line}")
        for s in found
    ]  # fmt: skip
    head = ("movement", "section", "bars", "part", "letters", "how", "notes", "through", "script")
    table = text_table(head, rows) if rows else "nowhere\n"
    return f"{name}: {len(found)} statement{'s' if len(found) != 1 else ''}, known from the script\n\n{table}"


def _whole(statement: Statement, length: int) -> str:
    said = ["whole" if len(set(statement.letters)) >= length else f"{len(set(statement.letters))} of {length}"]
    if statement.together:
        said.append("chord")
    if statement.foreign:
        said.append(f"{statement.foreign} between")
    if statement.inflected:
        said.append("letter " + " ".join(map(str, statement.inflected)) + " inflected")
    return ", ".join(said)
