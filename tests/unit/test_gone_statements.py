"""What is still told of a statement that is no longer in a file that is being edited."""

from __future__ import annotations

from cavata.diagnostics import Diagnostics
from cavata.source import Source
from cavata.syntax.kept import KeptFiles

GONE = 'name corwen = "CORWEN"'
FILE = f"""\
language 2

name tamsin = "TAMSIN"

{GONE}  -- whose place is asked for
"""


def test_a_statement_that_is_gone_keeps_its_text_and_its_line_but_not_the_file() -> None:
    kept = KeptFiles()

    def read(text: str) -> Source:
        return kept.module("piece.cavata", Source("piece", text), Diagnostics(), borrowed=False).source

    read(FILE)
    module = kept.module("piece.cavata", Source("piece", "-- a line above\n" + FILE), Diagnostics(), borrowed=False)
    span = next(each.span for each in module.declarations if "CORWEN" in each.span.text)
    told = span.text, span.line, span.column, span.source.line_text(span.line)
    assert told == (GONE, 6, 1, f"{GONE}  -- whose place is asked for")
    for number in range(12):
        file = read(f"-- {number}\n" * number + FILE.replace(GONE, f'name corwen = "CORWEN {"A" * number}"'))
    assert (span.text, span.line, span.column, span.source.line_text(span.line)) == told
    assert len(span.source.text) < len(file.text)
