"""What an option of a command may be: types for argparse that say in words what is wrong."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable


def number(lowest: int, highest: int) -> Callable[[str], int]:
    """A whole number within bounds."""

    def read(text: str) -> int:
        if not text.isdigit() or not lowest <= int(text) <= highest:
            raise argparse.ArgumentTypeError(f"`{text}` is no number from {lowest} to {highest}")
        return int(text)

    return read


def motif_name(text: str) -> str:
    """A word that may name a motif in a line to be pasted."""
    if not re.fullmatch(r"[a-z][a-z0-9_]{0,39}", text):
        raise argparse.ArgumentTypeError(f"`{text}` is no name for a motif: small letters, digits, underscores")
    return text
