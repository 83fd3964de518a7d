"""What changed in the instruments that players take up.

In: two versions of a movement, and the parts that both have. Out: a change for each run of bars in which a player has
another instrument in hand than before, if there is a note of his in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.compare.bars import Block
from cavata.compare.changes import Change, Kind
from cavata.compare.frame import Versions
from cavata.record import replace
from cavata.score.score import Movement, Part


def instrument_changes(versions: Versions, players: Sequence[tuple[Part, Part]]) -> Iterator[Change]:
    """Each player as he was and as he is."""
    for was, now in players:
        if was.doublings or now.doublings:
            yield from _of_player(versions, was, now)


def _of_player(versions: Versions, was: Part, now: Part) -> Iterator[Change]:
    run: list[Block] = []
    said = ""
    for block in (*versions.alignment.blocks, None):
        became = "" if block is None else _became(versions, block, was, now)
        if run and (became != said or block is None or block.old[0] != run[-1].old[1]):
            first, last = run[0].new[0], run[-1].new[1] - 1
            if any(now.name in bar for bar in versions.new.parts[first : last + 1]):
                yield replace(versions.change(Kind.INSTRUMENT, said, first, last), parts=(now.name,))
            run = []
        said = became
        if block is not None and became:
            run.append(block)


def _became(versions: Versions, block: Block, was: Part, now: Part) -> str:
    before = _in_hand(versions.old.movement, was, block.old[0])
    after = _in_hand(versions.new.movement, now, block.new[0])
    return "" if before == after else f"on {after} instead of {before}"


def _in_hand(movement: Movement, part: Part, bar: int) -> str:
    instrument = movement.instrument_of(part, movement.bars[bar].onset)
    return "the usual instrument" if instrument == part.instrument else instrument.key
