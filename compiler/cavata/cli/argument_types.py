"""What an option of a command may be: types for argparse that say in words what is wrong."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence


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


def formats(known: Sequence[str]) -> Callable[[str], tuple[str, ...]]:
    """Formats with commas between, each once."""

    def read(text: str) -> tuple[str, ...]:
        wanted = tuple(dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip()))
        unknown = [part for part in wanted if part not in known]
        if unknown or not wanted:
            raise argparse.ArgumentTypeError(
                f"there is no format `{', '.join(unknown)}`; formats are {', '.join(known)}"
            )
        return wanted

    return read
