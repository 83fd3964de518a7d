"""What a view or a deed answers."""

from __future__ import annotations

import json
from typing import Any

from cavata.record import record

PICTURE = "image/svg+xml; charset=utf-8"
"""The type of a picture."""


class NotThere(Exception):
    """What was asked for is not in the piece, or not any more; the text says what."""


@record
class Answer:
    """What goes to the page."""

    kind: str
    """The type of its content, as HTTP says it."""
    body: bytes


def as_json(value: Any) -> Answer:
    """A value that JSON knows."""
    return Answer("application/json; charset=utf-8", json.dumps(value, ensure_ascii=False).encode("utf-8"))
