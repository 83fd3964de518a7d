"""Judge the pages of a piece: every fault, and how many pages are filled as far down as they should be.

    python tests/judge/judge_pages.py examples/three-watches/three-watches.cavata --parts

judges the score and all parts; `--part NAME` that part alone, `--short` the short score too, `--rehearsal PART` that
copy too. The compiler of the first `PYTHONPATH` is judged. Nothing here is a test; `test_judge.py` is.
"""

from __future__ import annotations

import argparse
from collections import Counter
from pathlib import Path

from ink import pages_of
from judging import WELL_FILLED, faults, filled

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import WantedCopies, copies
from cavata.pipeline import compile_script, written
from cavata.score.score import CopyKind


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("scripts", nargs="+", type=Path)
    asked.add_argument("--parts", action="store_true", help="every part too")
    asked.add_argument("--part", action="append", help="this part, and no score", default=[])
    asked.add_argument("--short", action="store_true", help="the short score too")
    asked.add_argument("--rehearsal", action="append", default=[], help="the copy to rehearse this part")
    given = asked.parse_args()
    kinds: Counter[str] = Counter()
    pages = well = 0
    for script in given.scripts:
        compiled = compile_script(script)
        assert compiled.score is not None, as_text(compiled.bag.ordered())
        parts = tuple(given.part) if given.part else None if given.parts else ()
        above = tuple((part,) for part in given.rehearsal)
        wanted = WantedCopies(not given.part, parts, short=given.short, rehearsal=above)
        for copy in copies(compiled.score, wanted, Diagnostics()):
            copy_pages = pages_of(written(copy.score))
            is_part = copy.score.header.kind is CopyKind.PART
            found = faults(copy_pages, is_part)
            print(f"{script.stem}{copy.suffix}: {len(copy_pages)} pages, {len(found)} faults", flush=True)
            for fault in found:
                print(f"    {fault}")
                kinds[fault.kind] += 1
            if not is_part:
                shares = filled(copy_pages)
                pages, well = pages + len(shares), well + sum(share >= WELL_FILLED for _, share in shares)
    print(f"{well} of {pages} pages that go on are filled to {100 * WELL_FILLED:.0f} % or more")
    for kind, count in kinds.most_common():
        print(f"{count:5} {kind}")


if __name__ == "__main__":
    main()
