"""The profiles of a script: its limits read into those that the families ask.

In: the profiles that a script declares, each like one before it. Out: each with its limits; a row that names no limit,
or measures it in another unit, was reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from cavata.diagnostics import Diagnostics, closest
from cavata.playing.profile import LIMITS, PROFESSIONAL, PROFILES, Profile
from cavata.record import replace
from cavata.syntax import tree as t


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
        guess = closest(name, LIMITS, 1)
        bag.error(
            "I391", row.span, f"players have no limit `{row.words}`", label="not in the table of limits",
            cure=f"did you mean `{in_words(guess[0])}`?" if guess else
            "limits are " + ", ".join(f"`{in_words(each)}`" for each in LIMITS),
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
    guess = closest(name, names, 1)
    bag.error(
        "O960", None, f"there is no profile `{name}`",
        cure=f"did you mean `{guess[0]}`?" if guess else f"profiles are {', '.join(f'`{one}`' for one in names)}",
    )  # fmt: skip


def in_words(limit: str) -> str:
    """A limit as a script writes it: `keyboard hand`."""
    return limit.replace("_", " ")
