"""Profiles that a script declares: who is to play it.

In: the declarations. Out: those that are like one before them, or like one that every script knows. What their limits
are, `playing/profile.py` says.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.names.versions import report_twice
from cavata.record import replace
from cavata.syntax import tree as t
from cavata.text import backticked

PROFILES = ("professional", "amateurs")
"""The profiles that every script knows; what they are stands in `playing/profile.py`."""


def bind_profiles(profiles: Sequence[t.Profile], bag: Diagnostics) -> tuple[t.Profile, ...]:
    """The profiles of a script; each is like one before it, or like one that every script knows."""
    report_twice((profile.name for profile in profiles), "profile", bag)
    known: dict[str, t.Profile] = {}
    for profile in profiles:
        if profile.name.text in PROFILES:
            bag.error(
                "N960", profile.name.span, f"every script has a profile `{profile.name.text}`",
                label="it is there already", cure="give yours another name",
            )  # fmt: skip
            continue
        if profile.like is not None and not find_profile(profile.like, known, bag):
            profile = replace(profile, like=None)
        known.setdefault(profile.name.text, profile)
    return tuple(known.values())


def find_profile(word: t.Word, known: Iterable[str], bag: Diagnostics) -> bool:
    """Whether there is a profile of this name; reported if not."""
    names = (*PROFILES, *known)
    if word.text in names:
        return True
    bag.error(
        "N961", word.span, f"there is no profile `{word.text}`", label="nobody is called so here",
        cure=did_you_mean(word.text, names) or f"profiles are {backticked(names)}",
    )  # fmt: skip
    return False
