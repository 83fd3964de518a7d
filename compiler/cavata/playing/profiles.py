"""The profiles of a script: its limits read into those that the families ask.

In: the profiles that a script declares, each like one before it. Out: each with its limits; a row that names no limit,
or measures it in another unit, was reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.playing.profile import LIMITS, PROFESSIONAL, PROFILES, Profile
from cavata.record import replace
from cavata.syntax import tree as t
from cavata.text import backticked


def profiles_of(declared: Sequence[t.Profile], bag: Diagnostics) -> Mapping[str, Profile]:
    """Every profile that a script knows, by its name."""
    known = dict(PROFILES)
    for profile in declared:
        base = known[profile.like.text] if profile.like is not None else PROFESSIONAL
        limits: dict[str, float] = {}
        for row in profile.rows:
            limit = row.words.replace(" ", "_")
            if _is_there(row, limit, bag):
                limits[limit] = float(row.number)
        known[profile.name.text] = replace(base, name=profile.name.text, **limits)
    return known


def _is_there(row: t.Limit, name: str, bag: Diagnostics) -> bool:
    limit = LIMITS.get(name)
    if limit is None:
        limits = [in_words(each) for each in LIMITS]
        bag.error(
            "I391", row.span, f"players have no limit `{row.words}`", label="not in the table of limits",
            cure=did_you_mean(in_words(name), limits) or f"limits are {backticked(limits)}",
        )  # fmt: skip
    elif row.number <= 0 or row.unit not in ("", limit.unit):
        bag.error(
            "I392", row.span, f"`{row.words}` is counted in {limit.unit}", label="not as it is counted",
            cure=f"write it as `{row.words} {abs(float(row.number)) or 1:g} {limit.unit}`",
        )  # fmt: skip
    return limit is not None


def report_unknown_profile(name: str, known: Iterable[str], bag: Diagnostics) -> None:
    """Say that there is no such profile, and which one may be meant."""
    names = tuple(known)
    bag.error(
        "O960", None, f"there is no profile `{name}`",
        cure=did_you_mean(name, names) or f"profiles are {backticked(names)}",
    )  # fmt: skip


def in_words(limit: str) -> str:
    """A limit as a script writes it: `keyboard hand`."""
    return limit.replace("_", " ")
