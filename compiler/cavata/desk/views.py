"""What the page asks for, and what it has done: the forms of a question and of an answer.

A view is asked for a state of the piece and answers with bytes; it changes nothing. A deed writes or shows something.
`routes` has the tables of both; the server knows no single one of them, and the folder that opens without a server is
filled by the same views.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from cavata.record import record

if TYPE_CHECKING:
    from cavata.desk.desk import Desk
    from cavata.desk.state import State


class NotThere(Exception):
    """What was asked for is not in the piece, or not any more; the text says what."""


@record
class Answer:
    """What goes to the page."""

    kind: str
    """The type of its content, as HTTP says it."""
    body: bytes


View = Callable[["Desk", "State", Mapping[str, str]], Answer]
"""From the desk, the state that is asked about and what was asked besides, by its names in the address. Raises
NotThere."""
Deed = Callable[["Desk", Mapping[str, Any]], Answer]
"""From the desk and what the page sent. Raises NotThere."""


def as_json(value: Any) -> Answer:
    """A value that JSON knows."""
    return Answer("application/json; charset=utf-8", json.dumps(value, ensure_ascii=False).encode("utf-8"))
