"""What a version leaves out, and what it gives to others, once every name of it is bound.

In: the bound program of a version's script. Out: the program without the movements and sections that are out; in it
parts that leave are silent, or others have their lines. A silent part keeps its lines, so that chords and textures are
dealt out, and sections last, as before; it goes when everything is placed. Promises that speak of what is out go too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import WINDS
from cavata.names.forces import bind_forces, bind_groups, bind_staves
from cavata.names.program import BoundDoubling, BoundPromise, BoundRow, PartStaff, Placed, Program, Where
from cavata.names.resolve import page_language
from cavata.names.rows import RowBinder
from cavata.names.taken_over import silenced, sounding
from cavata.names.versions import report_no_movement, section_meant
from cavata.record import record, replace
from cavata.syntax import tree as t


def without_leavings(program: Program, main: t.Module, version: t.Version, bag: Diagnostics) -> Program:
    """The program of a version, once what it leaves out is gone; `main` is its script."""
    staves = staves_left_out(version)
    rows = RowBinder(program.forces, program.groups, bag, staves)
    given, leaving = _given(version, rows, bag)
    out = (
        *(PartStaff(name, "", version.span) for name in sorted(leaving)),
        *(PartStaff(part, staff, version.span) for part, staff in sorted(staves)),
    )
    program = _without_music(program, main, version, bag)
    movements = tuple(
        movement.having(
            movement.settings,
            tuple(section.having(tuple(_rows(section.rows, given, out, bag))) for section in movement.sections),
        )
        for movement in program.movements
    )
    changed = any(isinstance(row, t.Force | t.Plays) or (isinstance(row, t.Without) and row.sort == "part")
                  for row in version.rows)  # fmt: skip
    promises = tuple(
        kept for promise in program.promises
        if not (changed and isinstance(promise, t.ExactForces))
        and (kept := _of_parts(promise, leaving)) is not None
    )  # fmt: skip
    program = replace(program, movements=movements, promises=promises)
    return _with_forces(program, main, leaving) if leaving else program


# ------------------------------------------------------------------ parts


def staves_left_out(version: t.Version) -> frozenset[tuple[str, str]]:
    """Parts and their staves, as `without organ.pedal` says them: what is written there is left out."""
    gone = (row for row in version.rows if isinstance(row, t.Without) and row.sort == "part")
    return frozenset((ref.part.text, ref.staff.text) for row in gone for ref in row.what if ref.staff is not None)


@record
class _Given:
    """A part, or one staff of it, that another part has."""

    staff: str
    to: PartStaff
    staves: tuple[str, ...]
    """The staves of that other part, if it is given all of them: what names one of them stays there."""

    def place(self, part: PartStaff) -> PartStaff:
        """Where what the part has is played."""
        return replace(self.to, staff=part.staff) if part.staff in self.staves else self.to


def _given(
    version: t.Version, rows: RowBinder, bag: Diagnostics
) -> tuple[Mapping[str, Sequence[_Given]], frozenset[str]]:
    """Which parts others have, and all parts that leave."""
    given: dict[str, list[_Given]] = {}
    leaving: set[str] = set()
    for row in version.rows:
        if isinstance(row, t.Without) and row.sort == "part":
            leaving |= {target.part for target in rows.part_list(row.what) or () if not target.staff}
        elif isinstance(row, t.Plays):
            to, others = rows.part_list((row.part,)), rows.part_list(row.others)
            if to is None or others is None:
                continue
            if len(to) > 1 or any(other.part == to[0].part for other in others):
                bag.error(
                    "N887", row.span, "the lines of some parts go to one other part",
                    label=f"`{row.part.span.text}` is several" if len(to) > 1 else "it has its own lines anyway",
                    cure="write it as `horn plays clarinet, bassoon`",
                )
                continue
            for other in others:
                staves = () if to[0].staff else rows.parts[to[0].part].instrument.staves
                given.setdefault(other.part, []).append(_Given(other.staff, to[0], staves))
            leaving |= {other.part for other in others}
    return _in_two_voices(given, rows), frozenset(leaving)


def _in_two_voices(given: Mapping[str, Sequence[_Given]], rows: RowBinder) -> Mapping[str, Sequence[_Given]]:
    """The same, where one staff is given the lines of just two parts with those of the second as its lower voice.

    Who has one note at a time, and who reads no pitches, has no second voice.
    """
    by_staff: dict[tuple[str, str], list[_Given]] = {}
    for each in (each for several in given.values() for each in several if len(each.staves) < 2):
        instrument = rows.parts[each.to.part].instrument
        if instrument.unpitched or instrument.family in (*WINDS, "voice"):
            continue
        by_staff.setdefault((each.to.part, each.to.staff), []).append(each)
    second = [pair[1] for pair in by_staff.values() if len(pair) == 2]
    return {
        part: [replace(each, to=replace(each.to, voice=1)) if any(each is lower for lower in second) else each
               for each in several]
        for part, several in given.items()
    }  # fmt: skip


def _rows(
    rows: Sequence[BoundRow], given: Mapping[str, Sequence[_Given]], out: tuple[PartStaff, ...], bag: Diagnostics
) -> Iterator[BoundRow]:
    """The rows of a section with others in the place of parts, and with what is `out`, parts and staves, silent."""
    unplayed = _staves_of(out)
    for row in rows:
        match row:
            case t.Line():
                yield replace(row, parts=_targets(row.parts, given, (*row.tacet, *unplayed)), tacet=(*row.tacet, *out))
            case t.Marking():
                on = row.step.transform.word == "on"
                parts = sounding(row.parts, out) if on else row.parts
                kept = sounding(_targets(parts, given, unplayed), out)
                if kept:
                    yield replace(row, parts=kept)
            case t.Doubling():
                doubled = _doubling(row, given, out, bag)
                if doubled is not None:
                    yield doubled
            case t.Through() if row.parts:
                kept = sounding(row.parts, out)
                if kept:
                    yield replace(row, parts=kept)
            case Placed():
                inner = tuple(_rows(row.rows, given, out, bag))
                kinds = (t.Line, t.Marking, t.Doubling, Placed)
                yield replace(row, rows=tuple(each for each in inner if isinstance(each, kinds)))
            case t.Excerpt(section=section):
                yield row.having(tuple(_rows(section.rows, given, out, bag)))
            case _:
                yield row


def _doubling(
    row: BoundDoubling, given: Mapping[str, Sequence[_Given]], out: tuple[PartStaff, ...], bag: Diagnostics
) -> BoundDoubling | None:
    """A doubling among those who stay; reported if what it doubles leaves."""
    unplayed = _staves_of(out)
    parts = sounding(_targets(row.parts, given, unplayed), out)
    model = _targets(row.model, given, unplayed)
    if any(silenced(part.part, part.staff, out) for part in model):
        if parts:
            bag.error(
                "N889", row.span, f"`{parts[0].part}` doubles `{model[0].part}`, which this version is without",
                label="nothing to double", cure=f"let a part play what it had: `{parts[0].part} plays {model[0].part}`",
            )
        return None
    parts = tuple(part for part in parts if part.part not in {each.part for each in model})
    return replace(row, parts=parts, model=model) if parts else None


def _staves_of(out: tuple[PartStaff, ...]) -> tuple[PartStaff, ...]:
    """The single staves that are left out: nobody has what was written there."""
    return tuple(target for target in out if target.staff)


def _targets(
    parts: Sequence[PartStaff], given: Mapping[str, Sequence[_Given]], tacet: Sequence[PartStaff]
) -> tuple[PartStaff, ...]:
    """Who plays a line: for a part that others have, those; each once."""
    found: dict[tuple[str, str], PartStaff] = {}
    for part in parts:
        by = [each.place(part) for each in given.get(part.part, ()) if each.staff in ("", part.staff)]
        silent = silenced(part.part, part.staff, tuple(tacet))
        for target in by if by and not silent else [part]:
            found.setdefault((target.part, target.staff), replace(target, span=part.span))
    return tuple(found.values())


def _with_forces(program: Program, main: t.Module, leaving: frozenset[str]) -> Program:
    """The program, its parts named as they are without those that leave."""
    left = t.Module(main.source, tuple(_declared(main, leaving)))
    unsaid = Diagnostics()  # whatever is wrong was reported for all parts together
    forces = bind_forces(left, page_language(program.piece, unsaid), unsaid)
    groups = bind_groups(left, forces, unsaid)
    called = {part.name: part for part in forces}
    return replace(
        program,
        forces=tuple(called.get(part.name, part) for part in program.forces),
        groups={name: parts for name, parts in groups.items() if parts},
        staves=bind_staves(left, forces, groups, unsaid),
        silent=leaving,
    )


def _declared(main: t.Module, leaving: frozenset[str]) -> Iterator[t.Declaration]:
    """The declarations without parts that leave; a staff that one part is left of is no staff."""
    for declaration in main.declarations:
        match declaration:
            case t.Forces():
                rows = tuple(row for row in declaration.rows if row.name.text not in leaving)
                yield replace(declaration, rows=rows)
            case t.Group() | t.SharedStaff():
                parts = tuple(word for word in declaration.parts if word.text not in leaving)
                if parts:
                    yield replace(declaration, parts=parts)
            case _:
                yield declaration


# ------------------------------------------------------------------ movements and sections


def _without_music(program: Program, main: t.Module, version: t.Version, bag: Diagnostics) -> Program:
    """The program without the movements and sections that are out, and without promises that speak of them."""
    trees = {d.name.text: d for d in main.declarations if isinstance(d, t.Movement)}
    out: set[tuple[str, str]] = set()
    for row in version.rows:
        if not isinstance(row, t.Without) or row.sort not in ("movement", "section"):
            continue
        for ref in row.what:
            if row.sort == "section":
                meant = section_meant(ref, trees, bag)
                if meant is not None and meant[1].name is not None:
                    out.add((meant[0].name.text, meant[1].name.text))
            elif ref.part.text in trees:
                out.add((ref.part.text, ""))
            else:
                report_no_movement(ref.part, trees, bag)
    if not out:
        return program
    movements = []
    for movement in program.movements:
        name = movement.name.text
        sections = tuple(s for s in movement.sections if (name, "") not in out and (name, s.called) not in out)
        if sections:
            movements.append(movement.having(movement.settings, sections))
        out |= set() if sections else {(name, "")}
    promises = tuple(kept for promise in program.promises if (kept := _of_places(promise, out)) is not None)
    return replace(program, movements=tuple(movements), promises=promises)


# ------------------------------------------------------------------ promises


def _of_places(promise: BoundPromise, out: set[tuple[str, str]]) -> BoundPromise | None:
    """A promise without the places that are out; None if it speaks of nothing else."""

    def left(where: Where) -> bool:
        return (where.movement, "") not in out and (where.movement, where.section) not in out

    match promise:
        case t.Heard(movements=movements):
            kept = tuple(filter(left, movements))
            return replace(promise, movements=kept) if kept or not movements else None
        case t.NoParallels(places=places):
            kept = tuple(filter(left, places))
            return replace(promise, places=kept) if kept or not places else None
        case t.NeverBefore(place=place):
            return promise if left(place) else None
        case t.Takes(what=what):
            return promise if left(what) else None
        case _:
            return promise


def _of_parts(promise: BoundPromise, leaving: frozenset[str]) -> BoundPromise | None:
    """A promise without the parts that leave; None if it speaks of no others."""
    match promise:
        case t.Playable(parts=()):
            return promise
        case t.KeepsWithin() | t.Rests() | t.NoParallels() | t.ExactForces() | t.Playable():
            kept = tuple(part for part in promise.parts if part.part not in leaving)
            enough = len(kept) > 1 if isinstance(promise, t.NoParallels) else bool(kept)
            return replace(promise, parts=kept) if enough else None
        case _:
            return promise
