"""How long a desk takes from a save to the first two seconds of sound from the changed bar.

    python tests/bench/desk_sound.py --old CHECKOUT [-n PAIRS]

CHECKOUT is a checkout of the commit that is measured against, as for `editor_speed.py`. Each pair is one note's dynamic
or length changed, the piece compiled and two seconds rendered, and one `build --to musicxml --fresh` of the same piece
by the old commit, in turn. Each change is another, so that nothing of it was rendered before. Wall times, as ratios of
pairs; all parts together, and each by itself.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path += [str(ROOT / "tests" / "unit"), str(ROOT / "tests" / "bench")]

from editor_speed import asked, built, tell  # noqa: E402  # beside this

from cavata.desk.desk import Desk  # noqa: E402
from cavata.desk.sound import listening  # noqa: E402
from cavata.desk.sound.performed import changed_stretches as stretches  # noqa: E402
from cavata.desk.state import State  # noqa: E402
from cavata.perform.perform import movements_alone  # noqa: E402

WANTED = 2.0
"""Seconds of sound."""
DYNAMICS = ("pp", "p", "mp", "f", "ff", "fff", "ppp")


def changes(text: str) -> Iterator[str]:
    """The script with another dynamic at one note, which moves on through it."""
    at = text.index(" mf", len(text) // 3)
    while True:
        for dynamic in DYNAMICS:
            yield text[:at] + f" {dynamic}" + text[at + 3 :]
        at = text.find(" mf", at + 3)
        at = text.index(" mf", len(text) // 3) if at < 0 else at


def changed_place(before: State, state: State) -> tuple[str, Fraction]:
    """The movement and the moment in which something sounds otherwise for the first time."""
    assert before.score is not None and state.score is not None
    for then, now in zip(movements_alone(before.score), movements_alone(state.score), strict=True):
        for change in stretches(then.movement, now.movement):
            return now.movement.name, change.begin
    raise AssertionError("nothing sounds otherwise")


def sounded(desk: Desk, state: State, place: tuple[str, Fraction], parts: str) -> None:
    """Two seconds from the bar of a place."""
    heard = listening.heard_of(desk)
    assert state.score is not None
    number = [movement.name for movement in state.score.movements].index(place[0])
    sounding, pieces = heard.movement(state.score, number)
    first = max(n for n, piece in enumerate(pieces) if piece.begin <= place[1] or n == 0)
    bar = max(bar.onset for bar in sounding.movement.bars if bar.onset <= place[1] or not bar.onset)
    until, piece = sounding.sample(bar) / 48000 + WANTED, first
    while piece < len(pieces) and (piece == first or sounding.sample(pieces[piece].begin) / 48000 < until):
        listening.sound(desk, state, {"movement": place[0], "piece": str(piece), "parts": parts})
        piece += 1


def saved(desk: Desk, text: str) -> tuple[State, tuple[str, Fraction], float]:
    """The state that a save gives, where it changed, and how long the saving took."""
    before, begun = desk.state, time.perf_counter()
    state = desk.save({str(desk.path): text})
    seconds = time.perf_counter() - begun
    return state, changed_place(before, state), seconds


def measured(name: str, now: Path, then: Path, old: Path, folder: Path, count: int) -> None:
    """Pairs together and apart."""
    desk = Desk(now)
    edits = changes(now.read_text("utf-8"))
    for parts in ("all", "all", "apart"):  # so that everything is loaded
        state, place, _ = saved(desk, next(edits))
        sounded(desk, state, place, parts)
    for parts in ("all", "apart"):
        pairs = []
        for _ in range(count):
            state, place, seconds = saved(desk, next(edits))
            before, begun = listening.heard_of(desk).rendered, time.perf_counter()
            sounded(desk, state, place, parts)
            seconds += time.perf_counter() - begun
            assert listening.heard_of(desk).rendered > before, "nothing was to be rendered"
            pairs.append((seconds, built(old, then, folder)))
        tell(f"{name}, parts {parts}", pairs)


def main() -> None:
    """Measure both pieces."""
    for name, now, then, old, folder, count in asked(__doc__ or "", 7):
        os.environ["CAVATA_CACHE"] = str(folder / "cache")
        measured(name, now, then, old, folder, count)


if __name__ == "__main__":
    main()
