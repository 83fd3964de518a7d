"""A message to the composer, and the bag in which the passes collect them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from cavata.source import Span

MOST_SHOWN = 100
"""How many messages one run collects; a broken file of ten thousand lines needs no more."""


class Severity(Enum):
    """Whether the script can be compiled all the same."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One message: its code, one phrase, the exact place, a note for it, and the cure."""

    code: str
    severity: Severity
    message: str
    """One lower-case phrase that can be understood alone, the script's own words in backticks."""
    span: Span | None
    """None where the trouble has no place in a script, as a missing program."""
    label: str = ""
    """What there is to see at the span."""
    cure: str = ""
    """How to mend it; the only place for advice."""
    also: tuple[tuple[Span, str], ...] = ()
    """Other places the reader must look at, each with its note."""


@dataclass
class Diagnostics:
    """Collects messages in any order; gives them back by file and place, each once."""

    collected: list[Diagnostic] = field(default_factory=list)
    overflowed: bool = False

    def report(self, diagnostic: Diagnostic) -> None:
        """Take one in."""
        if len(self.collected) >= MOST_SHOWN:
            self.overflowed = True
            # An error must never be lost behind a hundred warnings.
            if diagnostic.severity is Severity.WARNING or self.has_errors:
                return
        self.collected.append(diagnostic)

    def error(
        self,
        code: str,
        span: Span | None,
        message: str,
        label: str = "",
        cure: str = "",
        also: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Report an error."""
        self.report(Diagnostic(code, Severity.ERROR, message, span, label, cure, also))

    def warning(
        self,
        code: str,
        span: Span | None,
        message: str,
        label: str = "",
        cure: str = "",
        also: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Report a warning."""
        self.report(Diagnostic(code, Severity.WARNING, message, span, label, cure, also))

    @property
    def has_errors(self) -> bool:
        """Whether anything collected is an error."""
        return any(d.severity is Severity.ERROR for d in self.collected)

    def ordered(self) -> tuple[Diagnostic, ...]:
        """All of them by file, place and code, duplicates removed."""

        def key(d: Diagnostic) -> tuple[str, int, int, str, str]:
            if d.span is None:
                return ("", -1, -1, d.code, d.message)
            return (d.span.source.name, d.span.start, d.span.end, d.code, d.message)

        seen: dict[tuple[str, int, int, str, str], Diagnostic] = {}
        for diagnostic in self.collected:
            seen.setdefault(key(diagnostic), diagnostic)
        return tuple(seen[k] for k in sorted(seen))
