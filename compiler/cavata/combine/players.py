"""Whether the parts of a piece can play the lines that were placed: `cavata combine --for`.

In: what was found, and for each follower the part that is to have it. Out: for each placement what goes beyond the
range of that part, and what nobody can play on its instrument, at the tempo with which the piece begins, or that of a
piece without one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from cavata import EDITION
from cavata.combine.shown import Pair, event_source
from cavata.combine.three import Trio
from cavata.music.event import Motif
from cavata.pipeline import compile_script
from cavata.playing.compass import RANGE
from cavata.playing.finding import Degree
from cavata.playing.playing import findings
from cavata.score.score import Part, Score


def not_played(found: Pair | Trio, players: Sequence[tuple[Part, str]], score: Score) -> tuple[tuple[str, ...], ...]:
    """For each placement what its players cannot play, each kind once, as it first comes; `players` are parts with the
    words of their instruments, for B and then for C."""
    text = "\n".join(_script(_followers(found), players, score)) + "\n"
    made = compile_script(Path("players.cavata"), text=text).score
    assert made is not None
    told: dict[str, dict[tuple[str, str], str]] = {movement.name: {} for movement in made.movements}
    names = [part.name for part, _ in players]
    for movement, part, finding in findings(made):
        if finding.degree is Degree.IMPOSSIBLE or finding.kind == RANGE:
            name = names[int(part.name.removeprefix("player"))]
            told[movement.name].setdefault((name, finding.kind.word), f"{name} {finding.what}: {finding.text}")
    return tuple(tuple(each.values()) for each in told.values())


def _followers(found: Pair | Trio) -> Iterator[tuple[Motif, ...]]:
    """The placed lines of each placement, as they sound."""
    if isinstance(found, Pair):
        yield from ((placement.line,) for placement in found.found.best)
    else:
        yield from ((triple.first.line, triple.second.line) for triple in found.found.best)


def _script(lines: Iterable[Sequence[Motif]], players: Sequence[tuple[Part, str]], score: Score) -> Iterator[str]:
    tempo = ""
    if score.movements:
        tempo = f"\n    tempo 1/4 at {max(1, round(240 / score.movements[0].tempi[0].seconds_per_whole))}"
    yield f"language {EDITION}\nforces"
    yield from (f"    player{number} = {words}" for number, (_, words) in enumerate(players))
    for rank, several in enumerate(lines, start=1):
        yield f"movement placement{rank}{tempo}"
        for number, (line, (part, _)) in enumerate(zip(several, players, strict=False)):
            upper = part.instrument.staves[0]
            yield f"    player{number}{upper and '.' + upper}: notes({', '.join(map(event_source, line.events))})"


def played_text(told: Sequence[Sequence[str]], players: Sequence[Part]) -> str:
    """What is told below the placements."""
    who = " and ".join(part.name for part in players)
    rows = "".join(f"    {rank}: {each}\n" for rank, several in enumerate(told, start=1) for each in several)
    return f"\nFOR {who}\n\n{rows or '    all of these can be played' + chr(10)}"
