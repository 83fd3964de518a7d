"""The placing pass: lines laid along sections, sections along movements.

In: the evaluated plan. Out: the score at concert pitch. Holds after: within a voice events are in
order and do not overlap; bars follow one another without gap and fill the movement exactly.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.plan import Plan
from cavata.place.change_time import report_hurried
from cavata.place.header import header_of
from cavata.place.movement import Carried, MovementPlacer
from cavata.record import replace
from cavata.score.colours import colours
from cavata.score.score import Group, Part, Score, SharedStaff


def place(plan: Plan, bag: Diagnostics) -> Score:
    """Place the whole piece."""
    parts = tuple(
        Part(
            f.name, f.instrument, f.label, f.abbreviation, f.soloist, f.span, f.plural, f.language, f.doublings,
            f.own_label, f.number,
        )
        for f in plan.forces
    )
    movements = []
    carried = Carried(Fraction(1, 4), Fraction(60), False)
    for planned in plan.movements:
        placer = MovementPlacer(planned, parts, carried, bag)
        movement = placer.place()
        if movement is not None:
            movements.append(movement)
            report_hurried(movement, parts, bag)
        carried = placer.carried
    if plan.piece is not None and not plan.movements:
        bag.error(
            "P114", plan.piece.span, "the piece has no movement", "nothing to be played",
            'write `movement first "..."` with its lines under it',
        )
    shared = tuple(SharedStaff(s.name, s.label, s.abbreviation, s.parts, s.span, s.apart) for s in plan.staves)
    on_one = {staff.name for staff in shared}
    groups = tuple(Group(name, members) for name, members in plan.groups.items() if name not in on_one)
    header = replace(header_of(plan.piece, plan.main), colours=colours(plan, movements, bag))
    return Score(header, parts, groups, tuple(movements), shared)
