"""What was combined as a table for the terminal, as JSON, and as lines of script."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cavata.combine.combine import Breach, Combined, Placement
from cavata.combine.paste import form_text, interval_text, pasted
from cavata.discover.text_table import text_table
from cavata.music.event import Motif


@dataclass(frozen=True, slots=True)
class Pair:
    """Two lines of a piece and what was found of them."""

    leader: str
    follower: str
    leads: Motif
    follows: Motif
    """As the piece has it."""
    canon: bool
    rules: str
    bar: Fraction
    found: Combined
    mode: str = ""
    """To which answers keep; empty where they are exact."""


def place_text(at: Fraction, bar: Fraction) -> str:
    """`bar 2`, `bar 2 after 1/4`: counted from where the leader begins."""
    number, rest = divmod(at, bar)
    return f"bar {number + 1}" + (f" after {rest}" if rest else "")


def breaches_text(breaches: Sequence[Breach], bar: Fraction, most: int = 3) -> str:
    """The first breaches with their places, and how many more there are."""
    said = [f"{breach.name} in {place_text(breach.at, bar)}" for breach in breaches[:most]]
    if len(breaches) > most:
        said.append(f"and {len(breaches) - most} more")
    return "; ".join(said)


def reason(placement: Placement, pair: Pair) -> str:
    """Why a placement stands where it does."""
    broken = breaches_text(placement.breaches, pair.bar) or "no rule broken"
    thirds = f"{placement.imperfect} imperfect consonance{'s' * (placement.imperfect != 1)}"
    return f"{broken}; together for {placement.together}, {thirds}"


def row_of(pair: Pair, rank: int, word: str) -> str:
    """The line of script of a placement."""
    name = f"{word or 'pair'}_{rank}"
    return pasted(name, pair.leader, pair.follower, pair.found.best[rank - 1], pair.follows, pair.canon)


def combine_text(pair: Pair, word: str) -> str:
    """Everything."""
    best = pair.found.best
    rules = pair.rules + (f", in {pair.mode}" if pair.mode else "")
    head = f"{pair.leader} with {pair.follower}, {rules}: {pair.found.placements} placements, "
    table = text_table(
        ("", "breaches", "after", "moved", "form", "why here"),
        [
            (str(rank), str(len(p.breaches)), str(p.delay), interval_text(p.answer.interval), form_text(p.answer),
             reason(p, pair))
            for rank, p in enumerate(best, start=1)
        ],
        frozenset({0, 1}),
    )  # fmt: skip
    rows = "".join(f"    {row_of(pair, rank, word)}\n" for rank in range(1, len(best) + 1))
    every = Counter(breach.name for p in best for breach in p.breaches)
    broken = f"BREACHES ({', '.join(f'{name} {n}' for name, n in sorted(every.items()))})\n\n" if every else ""
    named = "".join(
        f"    {rank}: {breaches_text(p.breaches, pair.bar, 99)}\n" for rank, p in enumerate(best, 1) if p.breaches
    )
    listed = f"\n{broken}{named}" if broken else ""
    return f"{head}{pair.found.clean} break no rule\n\n{table}\nTO PASTE (one of these)\n\n{rows}{listed}"


def combine_json(pair: Pair, word: str) -> dict[str, Any]:
    """The document."""
    return {
        "leader": pair.leader,
        "follower": pair.follower,
        "rules": pair.rules,
        "mode": pair.mode or None,
        "placements": pair.found.placements,
        "clean": pair.found.clean,
        "candidates": [
            {
                "rank": rank,
                "delay": str(p.delay),
                "interval": str(p.answer.interval),
                "semitones": p.answer.interval.semitones,
                "backwards": p.answer.backwards,
                "upside_down": p.answer.upside_down,
                "slower": str(p.answer.slower),
                "together": str(p.together),
                "imperfect": p.imperfect,
                "breaches": [
                    {"rule": b.name, "at": str(b.at), "place": place_text(b.at, pair.bar)} for b in p.breaches
                ],
                "reason": reason(p, pair),
                "script": [row_of(pair, rank, word)],
            }
            for rank, p in enumerate(pair.found.best, start=1)
        ],
    }
