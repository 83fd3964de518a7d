"""What the page asks for, and what it has done: the forms of both, and of the numbers in them.

A view is asked for a state of the piece and answers with bytes; it changes nothing. A deed writes or shows something.
`routes` has the tables of both; the server knows no single one of them, and the folder that opens without a server is
filled by the same views.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from cavata.desk.answers import Answer, NotThere, as_json
from cavata.text import whole

if TYPE_CHECKING:
    from cavata.desk.desk import Desk
    from cavata.desk.state import State

View = Callable[["Desk", "State", Mapping[str, str]], Answer]
"""From the desk, the state that is asked about and what was asked besides, by its names in the address. Raises
NotThere."""
Deed = Callable[["Desk", Mapping[str, Any]], Answer]
"""From the desk and what the page sent. Raises NotThere."""
__all__ = ["Answer", "Deed", "NotThere", "View", "as_json", "number_of", "whole_number"]


def number_of(text: str) -> int | None:
    """A number as the page says it; None if it is none. Those of states that are only tried are below 0."""
    found = whole(text.removeprefix("-"))
    return -found if found is not None and text.startswith("-") else found


def whole_number(text: str, count: int, what: str) -> int:
    """Which of so many, counted from 0; `what` they are. Raises NotThere."""
    number = whole(text)
    if number is None or number >= count:
        raise NotThere(f"there is no {what} `{text}`")
    return number
