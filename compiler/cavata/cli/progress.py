"""One line on a terminal that says what is being done; nothing where nobody watches."""

from __future__ import annotations

from typing import TextIO


class Progress:
    """Rewrites one line."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.shows = stream.isatty()

    def say(self, what: str) -> None:
        """Replace the line."""
        if self.shows:
            self.stream.write(f"\r\x1b[K{what} ...")
            self.stream.flush()

    def done(self) -> None:
        """Take the line away."""
        if self.shows:
            self.stream.write("\r\x1b[K")
            self.stream.flush()
