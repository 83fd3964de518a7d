"""What a composer asks of a revision, in words: a part of the piece, an instrument, a length."""

from __future__ import annotations

import re
from fractions import Fraction

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.instruments import table
from cavata.instruments.instrument import folded
from cavata.names.loader import Loaded
from cavata.syntax import tree as t
from cavata.text import backticked

_LENGTH = re.compile(r"(?:(\d{1,4})\s*min)?\s*(?:(\d{1,5})\s*s)?")
_CLOCK = re.compile(r"(\d{1,4}):([0-5]\d)")


def force_of(name: str, loaded: Loaded, bag: Diagnostics) -> t.Force | None:
    """The row of the forces for a part; reported if there is none."""
    declarations = loaded.modules[loaded.main].declarations
    rows = {row.name.text: row for each in declarations if isinstance(each, t.Forces) for row in each.rows}
    if name in rows:
        return rows[name]
    known = backticked(rows)
    bag.error(
        "O895", None, f"there is no part `{name}`",
        cure=did_you_mean(name, rows) or (f"parts are {known}" if known else "the script has no forces"),
    )
    return None


def report_unpitched(called: str, what: str, bag: Diagnostics) -> None:
    """Say that what was named plays no pitches; `what`, a part or an instrument, is to be named that does."""
    bag.error(
        "O897", None, f"`{called}` has no range of pitches", label="it is unpitched",
        cure=f"name {what} that plays pitches",
    )  # fmt: skip


def instrument_words(given: str, bag: Diagnostics) -> str:
    """The words of an instrument as a script says them; empty where there is none, which is reported."""
    words = " ".join(given.split())
    if not table.is_ambiguous(words) and table.find(words) is not None:
        return table.script_words()[folded(words)][0]
    meant = backticked(table.suggestions(words))
    bag.error(
        "O896", None, f"there is no instrument `{words}`", cure=f"did you mean {meant}?" if meant else
        "stdlib/README.md lists every instrument",
    )  # fmt: skip
    return ""


def lengths_of(text: str) -> tuple[Fraction, Fraction] | None:
    """One length twice, or two with `to` between, in seconds: `5 min`, `4 min 30 s`, `4:30`; None if it is none."""
    found = [_seconds(part.strip()) for part in re.split(r"\bto\b", text)]
    lengths = [seconds for seconds in found if seconds is not None]
    if len(lengths) != len(found) or len(found) > 2 or lengths != sorted(lengths):
        return None
    return lengths[0], lengths[-1]


def _seconds(text: str) -> Fraction | None:
    clock, words = _CLOCK.fullmatch(text), _LENGTH.fullmatch(text)
    parts = clock.groups() if clock else words.groups() if words else ()
    minutes, seconds = (int(part or 0) for part in parts or ("0", "0"))
    return Fraction(minutes * 60 + seconds) or None
