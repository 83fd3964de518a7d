"""Try the compiler with texts by chance, bounded by a number or by minutes; goes on where it was broken off.

    python tests/fuzz/fuzz.py --state fuzz.json --minutes 60

The state is a file of JSON: the seed, the number of the next text, how many of each kind were tried, and for each fault
the number that shows it first; the smallest text that still shows it is written beside the state. Exit status 1 if any
fault is known.
"""

from __future__ import annotations

import argparse
import gc
import hashlib
import json
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from foreign_scores import broken_score
from grammar_scripts import grammar_script
from judge import TEXTS, Fault, command_fault, foreign_fault, script_fault
from mutations import bytes_by_chance, changed_script, tokens_by_chance

SCRIPTS: dict[str, Callable[[Random], bytes]] = {
    "bytes": bytes_by_chance,
    "tokens": tokens_by_chance,
    "changed": changed_script,
    "grammar": lambda by: grammar_script(by).encode(),
}
KINDS = (*SCRIPTS, "foreign")
SHARES = {"bytes": 3, "tokens": 3, "changed": 3, "grammar": 1, "foreign": 1}
"""How often each kind comes."""
COMMAND_EVERY, COPIES_EVERY, COLLECTED_EVERY, SAVED_EVERY = 50, 5, 50, 200
_MEMORY = 4_000_000_000


def text_of(seed: int, number: int, kinds: tuple[str, ...] = KINDS) -> tuple[str, str, bytes]:
    """The kind, the file name and the bytes of a number."""
    by = Random(f"{seed} {number}")
    kind = by.choices(kinds, [SHARES[kind] for kind in kinds])[0]
    if kind == "foreign":
        return kind, *broken_score(by)
    return kind, "example.cavata", SCRIPTS[kind](by)


def fault_of(kind: str, name: str, content: bytes, number: int, folder: Path, pictures: int = 0) -> Fault | None:
    """What is wrong with the compiler, as this text shows."""
    if kind == "foreign":
        return foreign_fault(name, content, folder)
    engraved = pictures and kind == "grammar" and number % pictures == 0
    every_copy = number % COPIES_EVERY == 0
    fault = script_fault(content, folder, (*TEXTS, "pdf") if engraved else TEXTS, every_copy)
    if fault is None and number % COMMAND_EVERY == 0:
        fault = command_fault(content, folder)
    return fault


def smallest(content: bytes, shows: Callable[[bytes], bool], tries: int = 400) -> bytes:
    """The text with as many rows, then runs of bytes, left out as can be while the fault still shows."""
    for cut in (content.splitlines(keepends=True), None):
        pieces: list[bytes] = list(cut) if cut is not None else [bytes([byte]) for byte in content]
        size = max(1, len(pieces) // 2)
        while size and tries > 0:
            place = 0
            while place < len(pieces) and tries > 0:
                less = pieces[:place] + pieces[place + size :]
                tries -= 1
                if shows(b"".join(less)):
                    pieces = less
                else:
                    place += size
            size //= 2
        content = b"".join(pieces)
    return content


class Running:
    """A run and its state."""

    def __init__(self, state: Path, seed: int, kinds: tuple[str, ...], pictures: int) -> None:
        self._state, self._kinds, self._pictures = state, kinds, pictures
        found = json.loads(state.read_text()) if state.exists() else {}
        self.seed = found.get("seed", seed)
        self.number: int = found.get("next", 0)
        self.tried: dict[str, int] = found.get("tried", {})
        self.faults: dict[str, dict[str, object]] = found.get("faults", {})

    def step(self, folder: Path) -> None:
        """Try the next text."""
        kind, name, content = text_of(self.seed, self.number, self._kinds)
        fault = fault_of(kind, name, content, self.number, folder, self._pictures)
        if fault is not None:
            self._take(fault, kind, name, content, folder)
        self.tried[kind] = self.tried.get(kind, 0) + 1
        self.number += 1
        if self.number % COLLECTED_EVERY == 0:
            # The command lets Python's collector rest, since a process of its own ends soon; this one does not.
            gc.collect()
        if self.number % SAVED_EVERY == 0:
            self.save()

    def _take(self, fault: Fault, kind: str, name: str, content: bytes, folder: Path) -> None:
        known = self.faults.setdefault(fault.kind, {"first": self.number, "count": 0, "told": fault.told})
        known["count"] = int(str(known["count"])) + 1
        if known["count"] != 1:
            return

        def shows(less: bytes) -> bool:
            again = fault_of(kind, name, less, self.number, folder, self._pictures)
            return again is not None and again.kind == fault.kind

        content = smallest(content, shows) if "too" not in fault.kind else content
        mark = hashlib.sha256(fault.kind.encode()).hexdigest()[:8]
        kept = self._state.with_name(f"{self._state.stem}-{mark}{Path(name).suffix}")
        kept.write_bytes(content)
        known["smallest"] = kept.name
        print(f"{self.number}: {fault.kind} ({kept.name})", flush=True)
        self.save()

    def save(self) -> None:
        """Write the state, whole."""
        state = {"seed": self.seed, "next": self.number, "tried": self.tried, "faults": self.faults}
        fresh = self._state.with_suffix(".new")
        fresh.write_text(json.dumps(state, indent=1) + "\n")
        fresh.replace(self._state)


def main() -> int:
    """Run until the number or the minutes are reached."""
    asking = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asking.add_argument("--state", type=Path, required=True, help="file that remembers how far it came")
    asking.add_argument("--seed", type=int, default=1, help="of a new state")
    asking.add_argument("--number", type=int, help="try so many texts")
    asking.add_argument("--minutes", type=float, help="try for so long")
    asking.add_argument("--kinds", default=",".join(KINDS), help=f"of {', '.join(KINDS)}; commas between")
    asking.add_argument("--pictures", type=int, default=0, help="the PDF of one in so many grammar scripts; 0 for none")
    given = asking.parse_args()
    _limited()
    running = Running(given.state, given.seed, tuple(given.kinds.split(",")), given.pictures)
    began, first = time.monotonic(), running.number
    with tempfile.TemporaryDirectory() as folder:
        os.environ["CAVATA_CACHE"] = str(Path(folder) / "cache")
        try:
            while (given.number is None or running.number - first < given.number) and (
                given.minutes is None or time.monotonic() - began < given.minutes * 60
            ):
                running.step(Path(folder))
        finally:
            running.save()
    took = time.monotonic() - began
    print(f"{running.number - first} texts in {took:.0f} s; in all {running.tried}; faults: {len(running.faults)}")
    return int(bool(running.faults))


def _limited() -> None:
    """No text may take all the memory of the machine."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))


if __name__ == "__main__":
    raise SystemExit(main())
