"""Dynamics: their order, and what is in force after each. Source: common practice."""

from __future__ import annotations

LASTING = ("pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff")
"""From the softest to the loudest; each holds until the next."""
DYNAMICS = (*LASTING, "fp", "sf", "sfz", "sfp", "rf", "rfz")
MOMENTARY = frozenset(DYNAMICS).difference(LASTING)
"""Those of one attack."""
AFTERWARDS = {"fp": "p", "sfp": "p"}
"""What an attack leaves in force; after any other the dynamic before goes on."""


def in_force_after(dynamic: str, before: str) -> str:
    """The lasting dynamic in force after one of DYNAMICS, where `before` was; either may be empty for none."""
    return AFTERWARDS.get(dynamic, before if dynamic in MOMENTARY or not dynamic else dynamic)
