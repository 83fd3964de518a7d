"""How large a value may grow, so that every script ends soon."""

from __future__ import annotations

from cavata.music.refusal import Refusal

MOST_EVENTS = 200_000
"""Events in one value: ten hours of quarter notes."""


def bounded(events: int) -> None:
    """Refuses with V301 a value that would be too large, before it is made."""
    if events > MOST_EVENTS:
        raise Refusal(
            "V301",
            f"this would make {events} notes and rests",
            f"a value holds {MOST_EVENTS} at most",
            "repeat less often; `for` and `until end` in a score line repeat as far as needed",
        )
