"""Words for the grammar's terminals, so that no terminal's name ever reaches a person."""

from __future__ import annotations

from collections.abc import Iterable

RESERVED = frozenset(
    [
        "x", "for", "until", "rest", "in", "from", "at", "by", "as", "to", "last", "after", "about",
        "voices", "notes", "chord", "chords", "letter", "over",
    ]  # fmt: skip
)
"""A declaration may not be called by these."""

ROW_WORDS = frozenset(
    ["tempo", "key", "meter", "section", "passage", "pickup", "attacca", "remark", "tacet", "repeated", "ending"]
)
"""A part may not be called by a word that begins a row."""

MOST_NAMED = 4
"""A message names at most so many things that could have come instead."""

# In the order in which a message should name them. Keywords not listed stand for themselves.
DESCRIPTIONS: dict[str, str] = {
    "NAME": "a name",
    "STRING": "a text in quotes",
    "INT": "a number",
    "DECIMAL": "a number",
    "DURATION": "a duration such as `1/4`",
    "RATIO": "a ratio such as `3:2`",
    "PITCH": "a pitch such as `F#4`",
    "PITCH_CLASS": "a note name such as `F#`",
    "INTERVAL": "an interval such as `m3`",
    "CHORD_SYMBOL": "a chord symbol such as `Gm7`",
    "CALL": "a combination such as `weave(a, b)`",
    "ARROW": "`->`",
    "BAR": "`|`",
    "COMMA": "`,`",
    "COLON": "`:`",
    "EQUAL": "`=`",
    "PLUS": "`+`",
    "DOT": "`.`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "$END": "the end of the statement",
}


def describe(terminal: str, pattern: str | None) -> str:
    """A terminal in words; a keyword stands for itself."""
    if terminal in DESCRIPTIONS:
        return DESCRIPTIONS[terminal]
    return f"`{pattern}`" if pattern is not None else terminal.lower()


def one_of(described: Iterable[str]) -> str:
    """`a, b or c`, at most four, the rest left out."""
    known = list(DESCRIPTIONS.values())

    def rank(text: str) -> tuple[int, str]:
        return (known.index(text) if text in known else len(known), text)

    names = sorted(set(described), key=rank)
    more = len(names) > MOST_NAMED
    names = names[:MOST_NAMED]
    if len(names) == 1:
        return names[0]
    return ", ".join(names) + " ..." if more else ", ".join(names[:-1]) + " or " + names[-1]
