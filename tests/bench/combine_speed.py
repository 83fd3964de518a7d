"""How long a search for placements takes against the plain loop of `combine_plain.py` over the same placements.

    python tests/bench/combine_speed.py [RULES]

Two tunes of two bars of 4/4, within two octaves and four bars, in twelve forms. Delays by half notes are given to
both, and they must agree in every place, moved exactly and by degrees of a mode; then the search by quarters is timed.
Not a timed test; the promise is a ratio of at least 100 under the rules `free`. Under the strict rules, where both ask
the same judge of a placement, it is about 50.
"""

from __future__ import annotations

import statistics
import sys
import time
from fractions import Fraction
from pathlib import Path

import combine_plain

from cavata.combine.combine import combine
from cavata.combine.placement import FORMS, Bounds
from cavata.music.event import Motif
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch_class
from cavata.names.program import Identity
from cavata.pipeline import compile_script

SCRIPT = """language 2
motif one = notes(1/4 D4 F4 E4 D4, 1/2 G4, 1/4 F4 A4)
motif two = notes(1/2 A4, 1/4 B4 C5, 1/8 D5 C5 B4 A4, 1/2 G4)
"""


def motif(name: str) -> Motif:
    compiled = compile_script(Path("bench.cavata"), "bench.cavata", SCRIPT)
    assert compiled.plan is not None
    value = compiled.plan.values[Identity(compiled.plan.main, name)]
    assert isinstance(value, Motif)
    return value


def main(rules: str = "strict") -> None:
    for mode in (None, Mode(parse_pitch_class("C"), "major")):
        measure(rules, mode)


def measure(rules: str, mode: Mode | None) -> None:
    one, two = motif("one"), motif("two")
    sample = Bounds(Fraction(4), Fraction(1, 2), 24, FORMS, Fraction(1, 2), rules, mode=mode)
    start = time.process_time()
    plain = combine_plain.search(one, two, sample)
    slow = time.process_time() - start
    seconds = []
    for _ in range(5):
        start = time.process_time()
        found = combine(one, two, sample, 10)
        seconds.append(time.process_time() - start)
    every = combine(one, two, sample, len(plain)).best
    assert [(p.answer, p.delay) for p in every] == [(p[0], p[1]) for p in plain]
    ours = statistics.median(seconds)
    how = f"in {mode}" if mode else "exactly"
    print(f"{rules}, {how}: {found.placements} placements, {found.clean} clean: search {ours * 1000:.0f} ms, "
          f"plain {slow * 1000:.0f} ms, ratio {slow / ours:.0f}")  # fmt: skip
    whole = Bounds(Fraction(4), Fraction(1, 4), 24, FORMS, Fraction(1, 2), rules, mode=mode)
    start = time.perf_counter()
    found = combine(one, two, whole, 10)
    print(f"all delays by quarters: {found.placements} placements in {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main(*sys.argv[1:])
