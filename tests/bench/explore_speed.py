"""How long a search takes against the plain loop of `explore_plain.py` over the same readings and criteria.

    python tests/bench/explore_speed.py [NAME] [INFLECTIONS] [JUMPS]

Both give the same set in the same order, or it stops. Prints medians and their ratio; the promise is at least 200 on a
search of some size. Not a timed test.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

import explore_plain

from cavata.ciphers.cipher import Cipher
from cavata.explore.criteria import Wishes
from cavata.explore.explore import Explored, explore
from cavata.explore.space import SearchLimits, stems_of
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch_class
from cavata.names.program import NameDefinition
from cavata.pipeline import compile_script

CRITERIA = ("few-inflections", "singable", "few-awkward-leaps", "key", "in-mode", "consonant", "comfortable", "near")


def main(letters: str = "TAMSIN", inflections: str = "2", jumps: str = "3") -> None:
    script = f'language 2\nuse french from ciphers\nname asked = "{letters}" by french\nmotif m = asked\n'
    compiled = compile_script(Path("bench.cavata"), "bench.cavata", script)
    assert compiled.program is not None and compiled.plan is not None
    name = next(d for d in compiled.program.definitions if isinstance(d, NameDefinition))
    cipher = compiled.plan.values[name.cipher]
    assert isinstance(cipher, Cipher)
    stems = stems_of(name.tree, cipher)
    limits = SearchLimits(int(inflections), 3, 5, int(jumps))
    wishes = Wishes(Mode(parse_pitch_class("D"), "minor"), (52, 84), (54, 57, 53, 52, 47, 44))
    weights = {"singable": 3.0}
    seconds = []
    for _ in range(7):
        start = time.process_time()
        found = explore(stems, limits, CRITERIA, wishes, (), weights)
        seconds.append(time.process_time() - start)
    assert isinstance(found, Explored)
    ours = statistics.median(seconds)
    start = time.process_time()
    plain = explore_plain.search(stems, limits, CRITERIA, wishes, lambda _: True, weights)
    slow = time.process_time() - start
    assert [(c.line, c.values, c.score) for c in found.ranked] == plain
    print(f"{letters}: {found.readings} readings, {len(plain)} that nothing beats")
    print(f"search {ours * 1000:.1f} ms   plain {slow * 1000:.0f} ms   ratio {slow / ours:.0f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
