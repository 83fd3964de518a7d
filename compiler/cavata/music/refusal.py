"""How pure arithmetic says no to what a script asks for.

Nothing in `music`, `ciphers` or `transforms` knows of scripts or messages. What cannot be done is
a `Refusal`; the evaluator catches it at the step that asked and gives it a place in the text.
"""

from __future__ import annotations


class Refusal(Exception):
    """A request that has no answer: a message code, one phrase, a note for the spot, a cure."""

    def __init__(self, code: str, message: str, label: str = "", cure: str = "", at: tuple[int, int] | None = None):
        super().__init__(message)
        self.code = code
        self.message = message
        self.label = label
        self.cure = cure
        self.at = at
        """Which argument of the step is at fault, and which of its words, counted from 0; None for the step."""
