"""Pedals of a harp that cannot be as its notes want them.

In: the placed score. Out: a warning for each item of a harp's line with a letter in two accidentals at once, or with a
double accidental; and one for each before whose note a foot has no time. This is a guide: the player knows better.
"""

from __future__ import annotations

from cavata.diagnostics import Diagnostics
from cavata.instruments.harp_pedals import FAST
from cavata.music.pitch import LETTERS, PitchClass
from cavata.score.clock import Clock
from cavata.score.harp import harp_pedaling, is_harp
from cavata.score.score import Movement, Part, Score, ScoreEvent, Staff, bar_at, events_of
from cavata.score.whereabouts import in_bars
from cavata.source import Span


def report_pedals(score: Score, bag: Diagnostics) -> None:
    """Warn of what the pedals of a harp cannot do."""
    for movement in score.movements:
        for part, staves in zip(score.parts, movement.staves, strict=True):
            if is_harp(part):
                _of_part(movement, part, staves, bag)


def _of_part(movement: Movement, part: Part, staves: tuple[Staff, ...], bag: Diagnostics) -> None:
    clock = Clock(movement)
    struck: dict[object, ScoreEvent] = {}
    for event in events_of(staves):
        if event.event.heads:
            struck.setdefault(clock.between(event.onset * 0, event.onset), event)
    told: set[tuple[str, Span]] = set()

    def tell(code: str, onset: object, message: str, label: str, cure: str) -> None:
        event = struck.get(onset)
        if event is None or (code, event.line) in told:
            return
        told.add((code, event.line))
        bar = bar_at(movement.bars, event.onset)
        where = in_bars([bar.number] if bar.meter is not None else [])
        bag.warning(code, event.line, f"{message}{where}", label=label, cure=cure)

    made = harp_pedaling(movement, staves, repeats=False)
    for found in made.impossible:
        names = " and ".join(str(PitchClass(found.letter, alter)) for alter in found.accidentals)
        at_once = " at once" if len(found.accidentals) > 1 else ""
        tell(
            "P920", found.onset, f"no pedal of `{part.name}` gives {names}{at_once}",
            f"all strings of {LETTERS[found.letter]} have one pedal",
            "spell a note as another string has it, as Db for C#; the page has the notes as they are",
        )  # fmt: skip
    for change in made.changes:
        if change.time < FAST:
            name = PitchClass(change.letter, change.after)
            tell(
                "P921", change.until, f"`{part.name}` has {float(change.time):.2f} s to move a pedal to {name}",
                "the first note that needs it", "give it a rest before, or spell the note as another string has it; "
                "this is a guide: the player knows better",
            )  # fmt: skip
