"""Messages for the programs that look after a repository: annotations beside a script, and a SARIF document.

In: messages, each with the script that was checked. Out: lines, or a document for JSON. A message leads to the file in
which it stands, by its path as seen from here; one about a file that is not there by that name has no place.

Sources: the workflow commands of GitHub Actions, as its toolkit escapes them; Static Analysis Results Interchange
Format (SARIF) version 2.1.0, OASIS.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from cavata import __version__, resources
from cavata.diagnostics import Diagnostic, said
from cavata.source import Span

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


FoundMessage = tuple[Path, Diagnostic]
"""A message, and the script that it came of."""


def file_of(span: Span, script: Path) -> Path | None:
    """The file in which a place lies, as seen from here; None if it is not there by the name that messages give it.

    What a script uses is named as seen from the folder of the script.
    """
    name = span.source.name
    if name == str(script):
        return script
    return next((path for path in (script.parent / name, Path(name)) if path.is_file()), None)


def _text(message: Diagnostic) -> str:
    """The whole message without its place."""
    cure = f"to mend: {message.cure}" if message.cure else ""
    return "\n".join(said(part) for part in (message.message, message.label, cure) if part)


# ----------------------------------------------------------------
# Annotations.


def annotated(found: Sequence[FoundMessage]) -> str:
    """A line for each message, `::error file=...,line=...::TEXT`."""
    return "".join(f"{_annotation(each)}\n" for each in found)


def _annotation(found: FoundMessage) -> str:
    (script, message), span = found, found[1].span
    fields: dict[str, object] = {}
    file = None if span is None else file_of(span, script)
    if span is not None and file is not None:
        last = span.source.line_of(span.end)
        fields = {"file": file.as_posix(), "line": span.line, "endLine": last}
        if last == span.line:
            fields |= {"col": span.column, "endColumn": span.source.column_of(span.end)}
    fields["title"] = message.code
    listed = ",".join(f"{name}={_escaped(str(value), inside=True)}" for name, value in fields.items())
    return f"::{message.severity.value} {listed}::{_escaped(_text(message))}"


def _escaped(text: str, inside: bool = False) -> str:
    """What would end the line, or inside the fields a field, by its number."""
    for sign in "%\r\n:," if inside else "%\r\n":
        text = text.replace(sign, f"%{ord(sign):02X}")
    return text


# ----------------------------------------------------------------
# SARIF.


def sarif(found: Sequence[FoundMessage]) -> dict[str, Any]:
    """The document, with a rule for each code of message that came."""
    codes = sorted({message.code for _, message in found})
    program = {"name": "Cavata", "version": __version__, "rules": [_rule(code) for code in codes]}
    return {
        "$schema": _SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {"driver": program},
                "columnKind": "unicodeCodePoints",
                "results": [_result(each, codes.index(each[1].code)) for each in found],
            }
        ],
    }


def _rule(code: str) -> dict[str, Any]:
    """The page of the catalog that explains a message."""
    page = (resources.folder("grammar") / "messages" / f"{code}.md").read_text("utf-8")
    title = page.split("\n", 1)[0].partition(": ")[2]
    return {
        "id": code,
        "shortDescription": {"text": title[0].upper() + title[1:]},
        "help": {"text": f"`cavata why {code}` explains it.", "markdown": page},
    }


def _result(found: FoundMessage, rule: int) -> dict[str, Any]:
    (script, message), span = found, found[1].span
    made: dict[str, Any] = {
        "ruleId": message.code,
        "ruleIndex": rule,
        "level": message.severity.value,
        "message": {"text": _text(message)},
    }
    if span is not None and (places := list(_location(span, script))):
        made["locations"] = places
    others = [
        {**place, "message": {"text": said(note)}}
        for where, note in message.also for place in _location(where, script)
    ]  # fmt: skip
    return {**made, "relatedLocations": others} if others else made


def _location(span: Span, script: Path) -> Iterator[dict[str, Any]]:
    """The place, if its file is one that can be opened from here."""
    file = file_of(span, script)
    if file is None:
        return
    source = span.source
    region = {
        "startLine": span.line, "startColumn": span.column,
        "endLine": source.line_of(span.end), "endColumn": source.column_of(span.end),
    }  # fmt: skip
    uri = file.as_uri() if file.is_absolute() else quote(file.as_posix())
    yield {"physicalLocation": {"artifactLocation": {"uri": uri}, "region": region}}
