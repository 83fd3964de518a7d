"""A version of the piece: its script as it would stand if it had been written so.

In: the main script's tree, and one of its versions. Out: a tree without versions, in which texts, names, forces,
headings, tempi and promises are as the version says. What leaves the piece - parts, movements, sections - is still
there, since others may be made from it; `leavings` takes it away once names are bound.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from cavata.diagnostics import Diagnostic, Diagnostics, did_you_mean
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import backticked

USUAL_SUBTITLE = "subtitle"
_CURES = {
    "P102": "leave one of the parts out of the version, as `without harp`, or let each have a staff, as `piano.right "
    "plays violin` and `piano.left plays harp`",
}
"""What mends in a version, which has no lines of its own, what is mended in a line elsewhere."""


def versions_of(main: t.Module) -> tuple[t.Version, ...]:
    """The versions that a script tells of, in order."""
    return tuple(declaration for declaration in main.declarations if isinstance(declaration, t.Version))


def said_of_version(message: Diagnostic, version: Span) -> Diagnostic:
    """A message that comes in a version alone, with the version and with what mends it there."""
    also = (*message.also, (version, "in this version"))
    return replace(message, also=also, cure=_CURES.get(message.code, message.cure))


def written_for_others(version: t.Version) -> frozenset[str]:
    """The parts that play what another instrument had: by `plays`, or since they are another instrument now."""
    found = set()
    for row in version.rows:
        match row:
            case t.Plays():
                found.add(row.part.part.text)
            case t.Force():
                found.add(row.name.text)
            case _:
                pass
    return frozenset(found)


def report_no_version(name: str, main: t.Module, bag: Diagnostics) -> None:
    """Say that a script has no such version."""
    known = [version.name.text for version in versions_of(main)]
    bag.error(
        "O881", None, f"there is no version `{name}`",
        cure=did_you_mean(name, known) or
        ("versions are " + backticked(known) if known else
        'write `version NAME "..."` at the left margin, with rows that say how it differs'),
    )


def rewritten(main: t.Module, version: t.Version, bag: Diagnostics) -> t.Module:
    """The script as it stands in a version."""
    return _Rewriting(main, version, bag).module()


class _Rewriting:
    """Writes one version into the tree."""

    def __init__(self, main: t.Module, version: t.Version, bag: Diagnostics) -> None:
        self.version = version
        self.bag = bag
        self.declarations: list[t.Declaration] = [d for d in main.declarations if not isinstance(d, t.Version)]
        self.source = main.source

    def module(self) -> t.Module:
        """Every row in turn."""
        self.texts()
        for row in self.version.rows:
            match row:
                case t.Name():
                    self.name(row)
                case t.Force():
                    self.force(row)
                case t.Moved():
                    self.moved(row)
                case t.Tempi():
                    self.tempi(row)
                case t.Promised():
                    self.promised(row)
                case t.PieceRow() | t.Plays() | t.Without():
                    pass
        return t.Module(self.source, tuple(self.declarations))

    # -------------------------------------------------------------- texts

    def texts(self) -> None:
        """The piece's title and rows; without a `subtitle` the version's own text follows the piece's."""
        rows = [row for row in self.version.rows if isinstance(row, t.PieceRow)]
        gone = {row.sort: row for row in self.version.rows if isinstance(row, t.Without)}
        piece = next((d for d in self.declarations if isinstance(d, t.Piece)), None)
        if piece is None:
            if rows:
                self.bag.error(
                    "N882", rows[0].span, "the script has no `piece` that a version could call otherwise",
                    cure='write `piece "..."` before it',
                )
            return
        said = _by_words(piece.rows)
        for word in ("subtitle", "dedication", "length"):
            if word in gone and said.pop(word, None) is None:
                self.bag.error("N883", gone[word].span, f"the piece has no {word}", cure="take this row out")
        if self.version.text:
            before = said[USUAL_SUBTITLE][-1].text + ", " if USUAL_SUBTITLE in said else ""
            said[USUAL_SUBTITLE] = [t.PieceRow(USUAL_SUBTITLE, before + self.version.text, (), self.version.span)]
        for row in rows:
            if row.word == "library":
                self.bag.error(
                    "N888", row.span, "a version has the library of its piece", label="what it uses was read before",
                    cure="name the library under `piece`",
                )
        said |= _by_words(rows)
        titles = said.pop("title", None)
        text = piece.title if titles is None else t.Text(titles[-1].text, titles[-1].span)
        self.put(piece, replace(piece, title=text, rows=tuple(row for each in said.values() for row in each)))

    def put(self, old: t.Declaration, new: t.Declaration) -> None:
        """Put one declaration in the place of another."""
        self.declarations = [new if declaration is old else declaration for declaration in self.declarations]

    # -------------------------------------------------------------- names and forces

    def name(self, row: t.Name) -> None:
        """Other letters for a name of the script."""
        names = {d.name.text: d for d in self.declarations if isinstance(d, t.Name)}
        if row.name.text in names:
            self.put(names[row.name.text], row)
            return
        self.bag.error(
            "N884", row.name.span, f"the piece has no name `{row.name.text}` to be replaced", label="not a name here",
            cure=did_you_mean(row.name.text, names) or "a version gives other letters to names that are there",
        )

    def force(self, row: t.Force) -> None:
        """Another player for a part, or a part more."""
        forces = next((d for d in self.declarations if isinstance(d, t.Forces)), None)
        if forces is None:
            self.declarations.append(t.Forces((row,), row.span))
            return
        names = [before.name.text for before in forces.rows]
        rows = list(forces.rows)
        if row.name.text in names:
            rows[names.index(row.name.text)] = row
        else:
            rows.append(row)
        self.put(forces, replace(forces, rows=tuple(rows)))

    # -------------------------------------------------------------- movements and sections

    def movements(self) -> dict[str, t.ParsedMovement]:
        """The movements by their names."""
        return {d.name.text: d for d in self.declarations if isinstance(d, t.Movement)}

    def movement(self, word: t.Word) -> t.ParsedMovement | None:
        """A movement; reported if there is none."""
        found = self.movements()
        if word.text in found:
            return found[word.text]
        report_no_movement(word, found, self.bag)
        return None

    def moved(self, row: t.Moved) -> None:
        """Transforms that a heading did not have, or further ones."""
        match row.sort:
            case "piece":
                for movement in self.movements().values():
                    self.through(movement, row)
            case "movement":
                found = self.movement(row.where[0].part)
                if found is not None:
                    self.through(found, row)
            case "section":
                where = section_meant(row.where[0], self.movements(), self.bag)
                if where is not None:
                    movement, section = where
                    after = replace(section, rows=(*section.rows, row.through))
                    sections = tuple(after if each is section else each for each in movement.sections)
                    self.put(movement, replace(movement, sections=sections))
            case _:  # parts: before whatever a heading says
                for movement in self.movements().values():
                    sections = tuple(replace(s, rows=_first(row.through, s.rows)) for s in movement.sections)
                    self.put(movement, replace(movement, sections=sections))

    def through(self, movement: t.ParsedMovement, row: t.Moved) -> None:
        """A movement whose heading has further transforms."""
        before = movement.through
        steps = (*(before.steps if before else ()), *row.through.steps)
        self.put(movement, replace(movement, through=t.Through((), steps, row.through.span)))

    # -------------------------------------------------------------- tempi

    def tempi(self, row: t.Tempi) -> None:
        """All metronome numbers of a movement or of the piece, by a ratio."""
        if row.movement is None:
            chosen = list(self.movements().values())
        else:
            found = self.movement(row.movement)
            chosen = [] if found is None else [found]
        for movement in chosen:
            begins = row.movement is not None or movement.name.text == next(iter(self.movements()))
            if begins and not _begins_with_tempo(movement):
                self.bag.error(
                    "N885", row.span, f"`{movement.name.text}` begins without a tempo of its own",
                    label="nothing to multiply", cure="give the movement one, as `tempo 1/4 at 60`",
                    also=((movement.name.span, "this movement"),),
                )  # fmt: skip
            self.put(movement, _scaled(movement, row.ratio))

    # -------------------------------------------------------------- promises

    def promised(self, row: t.Promised) -> None:
        """A promise more, or one less."""
        if row.holds:
            self.declarations.append(t.Require((row.promise,), row.span))
            return
        for block in [d for d in self.declarations if isinstance(d, t.Require)]:
            kept = tuple(promise for promise in block.rows if _said(promise) != _said(row.promise))
            if len(kept) < len(block.rows):
                self.put(block, replace(block, rows=kept))
                return
        self.bag.error(
            "N886", row.span, "the piece does not require this", label="no row of `require` says so",
            cure="write the promise as it stands under `require`",
        )


def _by_words(rows: Iterable[t.PieceRow]) -> dict[str, list[t.PieceRow]]:
    """Rows of `piece` by what they say; of `note` there may be several, and all of them hold."""
    said: dict[str, list[t.PieceRow]] = {}
    for row in rows:
        said.setdefault(row.word, []).append(row)
    return said


def _first(row: t.ParsedThrough, rows: tuple[t.ParsedRow, ...]) -> tuple[t.ParsedRow, ...]:
    """The rows of a section with another one before what its heading says."""
    return (*(each for each in rows if not isinstance(each, t.Through) or each.parts), row,
            *(each for each in rows if isinstance(each, t.Through) and not each.parts))  # fmt: skip


def _said(promise: t.Promise) -> tuple[object, ...]:
    """A promise as it is written, wherever that is."""
    return type(promise), getattr(promise, "interval", ""), " ".join(promise.span.text.split())


# ------------------------------------------------------------------ movements and sections by their names


def report_twice(names: Iterable[t.Word], what: str, bag: Diagnostics) -> None:
    """Report movements, sections or versions that are called alike; `what` is the word for one of them."""
    first: dict[str, t.Word] = {}
    for name in names:
        if name.text in first:
            bag.error(
                "N216", name.span, f"two {what}s are called `{name.text}`", label="again here",
                cure="choose another name", also=((first[name.text].span, "first here"),),
            )
        first.setdefault(name.text, name)


def report_no_movement(word: t.Word, known: Iterable[str], bag: Diagnostics) -> None:
    """Say that there is no such movement."""
    names = tuple(known)
    bag.error(
        "N407", word.span, f"there is no movement `{word.text}`",
        cure=did_you_mean(word.text, names) or "movements are " + backticked(names),
    )


def section_meant(
    ref: t.PartRef, movements: Mapping[str, t.ParsedMovement], bag: Diagnostics
) -> tuple[t.ParsedMovement, t.ParsedSection] | None:
    """`movement.section`, or a section whose name only one movement has; reported if there is none."""
    if ref.staff is not None and ref.part.text not in movements:
        report_no_movement(ref.part, movements, bag)
        return None
    name = ref.staff or ref.part
    chosen = [movements[ref.part.text]] if ref.staff is not None else list(movements.values())
    named = [(m, s, s.name.text) for m in chosen for s in m.sections if s.name is not None]
    found = {m.name.text: (m, s) for m, s, called in reversed(named) if called == name.text}
    if len(found) > 1:
        bag.error(
            "N408", name.span, f"several movements have a section `{name.text}`", label="which of them?",
            cure="write " + " or ".join(f"`{movement}.{name.text}`" for movement in reversed(found)),
        )
    elif not found:
        where = f"`{ref.part.text}` has" if ref.staff is not None else "there is"
        known = tuple(dict.fromkeys(called for _, _, called in named))
        bag.error(
            "N407", name.span, f"{where} no section `{name.text}`",
            cure=did_you_mean(name.text, known) or (f"sections are {backticked(known[:8])}" if known else ""),
        )
    return next(iter(found.values())) if len(found) == 1 else None


# ------------------------------------------------------------------ tempi


def whole(per_minute: Fraction, ratio: Fraction) -> Fraction:
    """A metronome number times a ratio, to the nearest whole number; halves go up."""
    return Fraction(max(1, (per_minute * ratio + Fraction(1, 2)).__floor__()))


def _scaled(movement: t.ParsedMovement, ratio: Fraction) -> t.ParsedMovement:
    def row(each: t.ParsedRow) -> t.ParsedRow:
        if isinstance(each, t.TempoRow) and each.per_minute is not None and not each.fixed:
            return replace(each, per_minute=whole(each.per_minute, ratio))
        return each

    settings = tuple(each for each in map(row, movement.settings) if isinstance(each, t.Setting))
    sections = tuple(replace(section, rows=tuple(map(row, section.rows))) for section in movement.sections)
    return replace(movement, settings=settings, sections=sections)


def _begins_with_tempo(movement: t.ParsedMovement) -> bool:
    rows = (*movement.settings, *movement.sections[0].rows) if movement.sections else movement.settings
    return any(isinstance(row, t.TempoRow) and row.place is None and row.per_minute is not None for row in rows)
