"""`cavata recast`: a part given to another instrument.

In: the files of a piece, the name of a part, an instrument. Out: every item of the part as it lies on that instrument,
and the octave that it should take; the rows that say so. The piece is compiled with the new instrument first, so that
every pitch is what sounds there, after the transforms of bars, sections and movements; then once more with the rows,
and what is told of the result is read from that score.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.music.pitch import Interval, Pitch
from cavata.names.loader import Loaded, load
from cavata.pipeline import Compiled, compile_loaded
from cavata.place.ranges import CODES, Reach, reach_of
from cavata.playing.playing import FAMILIES
from cavata.record import record, replace
from cavata.revise.asked import report_unpitched
from cavata.revise.bars_row import BarsRow, bars_row
from cavata.revise.octaves import OCTAVE, Rank, SoundingItem, octaves_for, rank
from cavata.score.score import Movement, Part, Score, ScoreEvent, Staff, events_of, with_ossias
from cavata.score.whereabouts import Whereabouts
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit, applied, without_comment


def _of_the_instrument() -> frozenset[str]:
    """The codes in which a check tells what lies beyond a range, and what nobody can play."""
    return CODES | {kind.code for family in FAMILIES for kind in family.load().KINDS if kind.code}


_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"')
_WORD_LETTERS = "abcdefghijklmnopqrstuvwxyz_"

_Place = tuple[str, int]
_Movable = t.ParsedItem | t.ParsedDoubling


@record
class Recast:
    """One item of the part on the new instrument."""

    span: Span
    text: str
    """What it plays, as the script says it."""
    bars: str
    """Where it sounds, as ` in bars 3 to 5`, with its movement where there are several."""
    low: Pitch
    high: Pitch
    """What it reaches as it is, sounding."""
    rank: Rank
    """How it lies on the instrument as it is."""
    octaves: int
    then: Rank
    """How it lies when it has moved."""
    fixed: str = ""
    """Why it cannot be moved by itself; empty if it can."""


@record
class Recasting:
    """A part on another instrument."""

    part: Part
    before: str
    """The words of the instrument that it had."""
    reach: Reach
    items: tuple[Recast, ...]
    edits: Mapping[str, tuple[Edit, ...]]
    """For each file the edits, by the key of its module."""
    left: tuple[Diagnostic, ...]
    """What is still to be said of the part's range, and of what nobody can play on the instrument."""
    broken: tuple[Diagnostic, ...]
    """Promises that the piece keeps now and will not keep then."""
    followers: tuple[str, ...]
    """Parts that double it: they move with it."""


@record
class _Found:
    """An item of the script, and all that sounds of it in the part."""

    span: Span
    events: list[ScoreEvent]
    bars: str
    begins: bool
    under: _Place | None = None
    """Of an item of an ossia, the one that the player has on the staff below: it moves with that."""


def recasting(
    loaded: Loaded, path: Path, library: Path | None, force: t.Force, words: str, bag: Diagnostics
) -> Recasting | None:
    """The part of a row of the forces on the instrument of these words; None if the piece then does not compile, or
    the instrument has no range, which is reported."""
    main = loaded.modules[loaded.main]
    kept = Diagnostics()
    compile_loaded(loaded, "", Diagnostics(), kept)
    compiled = compile_loaded(_with(loaded, main, force, words), "", Diagnostics(), Diagnostics())
    if compiled.score is None:
        bag.report_all(compiled.bag.ordered())
        return None
    part = next(each for each in compiled.score.parts if each.name == force.name.text)
    reach = reach_of(part)
    if reach is None:
        report_unpitched(words, "an instrument", bag)
        return None
    plan = _planned(loaded, compiled, part, reach)
    while True:
        edits = {loaded.main: (Edit(force.instrument.span.start, force.instrument.span.end, words),)}
        for key, made in plan.edits(loaded).items():
            edits[key] = (*edits.get(key, ()), *made)
        after, said, broken = _after(loaded, path, library, edits)
        astray = _refused(plan, said, edits[loaded.main]) if after is None else _astray(plan, compiled, after, part)
        if after is None and not astray:
            bag.report_all(said)
            return None
        if not astray:
            break
        plan = plan.leaving(astray, reach)
    codes = _of_the_instrument()
    left = tuple(m for m in said if m.code in codes and f"`{part.name}`" in m.message)
    lost = tuple(m for m in broken if (m.code, m.message) not in {(k.code, k.message) for k in kept.ordered()})
    return Recasting(
        part, force.instrument.text, reach, plan.told(loaded, reach), edits, left, lost, _followers(loaded, part)
    )


@record
class _Planned:
    """The items of a part, why those that stay cannot be moved, and the octaves of the others."""

    found: tuple[_Found, ...]
    fixed: tuple[str, ...]
    octaves: tuple[int, ...]
    apart: tuple[BarsRow | None, ...]
    """For items that others play too, the row by which this part's bars move."""

    def placed(self) -> list[SoundingItem]:
        """The items as their octaves are looked for."""
        return [_placed(each, not why) for each, why in zip(self.found, self.fixed, strict=True)]

    def edits(self, loaded: Loaded) -> dict[str, tuple[Edit, ...]]:
        """The edits that move the items, for each file."""
        rows, made = _rows(loaded), dict[str, tuple[Edit, ...]]()
        for each, octaves, apart in zip(self.found, self.octaves, self.apart, strict=True):
            if octaves:
                key, row = rows[_place(each.span)]
                edit = _moved(row, octaves) if apart is None else apart.edit(octave_step(octaves))
                made[key] = (*made.get(key, ()), edit)
        return made

    def leaving(self, places: frozenset[_Place], reach: Reach) -> _Planned:
        """The same without moving the items at these places."""
        why = "a transform of its bars, section or movement puts it elsewhere"
        fixed = tuple(
            why if _place(each.span) in places else before for each, before in zip(self.found, self.fixed, strict=True)
        )
        return replace(self, fixed=fixed).decided(reach)

    def decided(self, reach: Reach) -> _Planned:
        """The same with the octaves that cost least; an ossia stays as far from the staff below as it is."""
        best = octaves_for(self.placed(), reach)
        of = {_place(each.span): octaves for each, octaves in zip(self.found, best, strict=True)}
        octaves = tuple(
            own if each.under is None or why else of[each.under]
            for each, why, own in zip(self.found, self.fixed, best, strict=True)
        )
        return replace(self, octaves=octaves)

    def told(self, loaded: Loaded, reach: Reach) -> tuple[Recast, ...]:
        """What is told of each."""
        rows = _rows(loaded)
        lines = zip(self.found, self.placed(), self.octaves, self.fixed, strict=True)
        return tuple(_told(*each, rows, reach) for each in lines)


def _planned(loaded: Loaded, compiled: Compiled, part: Part, reach: Reach) -> _Planned:
    found = tuple(_items(compiled, part))
    rows, others = _rows(loaded), _others(compiled, part)
    assert compiled.score is not None
    shared = [_place(each.span) in others for each in found]
    apart = tuple(
        bars_row(each.span, part, loaded, compiled.score) if several else None
        for each, several in zip(found, shared, strict=True)
    )
    fixed = tuple(
        "" if row is not None else _fixed(each, rows, others, loaded) for each, row in zip(found, apart, strict=True)
    )
    return _Planned(found, fixed, (), apart).decided(reach)


def _with(loaded: Loaded, main: t.Module, force: t.Force, words: str) -> Loaded:
    """The piece with another instrument in a row of the forces."""
    row = replace(force, instrument=t.Word(words, force.instrument.span))
    declarations = tuple(
        replace(each, rows=tuple(row if old is force else old for old in each.rows))
        if isinstance(each, t.Forces) else each
        for each in main.declarations
    )  # fmt: skip
    return replace(loaded, modules={**loaded.modules, loaded.main: replace(main, declarations=declarations)})


def _after(
    loaded: Loaded, path: Path, library: Path | None, edits: Mapping[str, Sequence[Edit]]
) -> tuple[Score | None, tuple[Diagnostic, ...], tuple[Diagnostic, ...]]:
    """The piece with the edits made, the messages about it, and the promises that it breaks."""
    texts = {key: applied(loaded.modules[key].source.text, made) for key, made in edits.items()}
    bag, broken = Diagnostics(), Diagnostics()
    again = load(path, loaded.modules[loaded.main].source.name, bag, library=library, texts=texts)
    score = None if again is None else compile_loaded(again, "", bag, broken).score
    return score, bag.ordered(), broken.ordered()


def _refused(plan: _Planned, said: Sequence[Diagnostic], edits: Sequence[Edit]) -> frozenset[_Place]:
    """Items that may not move, since the piece does not compile then: those on lines of which an error is reported.

    Else those that moved farthest, as where a heading takes notes out of all range.
    """
    lines = {(m.span.source.name, m.span.line) for m in said if m.span is not None and m.severity is Severity.ERROR}
    moved = [(each.span, abs(octaves)) for each, octaves in zip(plan.found, plan.octaves, strict=True) if octaves]
    more = [edit.start for edit in edits if edit.text.startswith("\n")]  # the rows that stand below their lines
    there = [
        span for span, _ in moved
        if (span.source.name, span.line + sum(1 for at in more if at < span.start)) in lines
    ]  # fmt: skip
    farthest = max((octaves for _, octaves in moved), default=0)
    return frozenset(map(_place, there or [span for span, octaves in moved if octaves == farthest]))


def _astray(plan: _Planned, compiled: Compiled, after: Score, part: Part) -> frozenset[_Place]:
    """The items that have moved otherwise than by their octaves, as where a section is inverted."""
    assert compiled.score is not None
    octaves = {_place(each.span): moved for each, moved in zip(plan.found, plan.octaves, strict=True)}
    number = compiled.score.parts.index(part)
    wrong: set[_Place] = set()
    for old, new in zip(compiled.score.movements, after.movements, strict=True):
        for staff, moved in zip(with_ossias(old.staves[number]), with_ossias(new.staves[number]), strict=True):
            for voice, other in zip(staff.voices, moved.voices, strict=False):
                for event, now in zip(voice, other, strict=False):
                    steps = OCTAVE * octaves.get(_place(event.line), 0)
                    heads = zip(event.event.heads, now.event.heads, strict=False)
                    if any(b.pitch.midi - a.pitch.midi != steps for a, b in heads) and steps:
                        wrong.add(_place(event.line))
    return frozenset(wrong)


def _followers(loaded: Loaded, part: Part) -> tuple[str, ...]:
    """The parts whose rows say that they double a part, in the order of the rows."""
    rows = (row for _, row in _rows(loaded).values() if isinstance(row, t.Doubling))
    return tuple(dict.fromkeys(
        ref.part.text for row in rows if any(model.part.text == part.name for model in row.model) for ref in row.parts
    ))  # fmt: skip


# ------------------------------------------------------------------ what sounds


def _place(span: Span) -> _Place:
    return span.source.name, span.start


def _items(compiled: Compiled, part: Part) -> Iterator[_Found]:
    """The items of the part, staff by staff in the order in which they are first heard."""
    score = compiled.score
    assert score is not None
    number = score.parts.index(part)
    found: dict[_Place, _Found] = {}
    several = len(score.movements) > 1
    for movement in score.movements:
        where = Whereabouts(movement.bars, ())
        for staff, below in _with_what_is_below(movement.staves[number]):
            begins = True
            for event in sorted(events_of((staff,)), key=lambda event: (event.onset, event.voice)):
                if not event.event.heads or event.event.marks.spoken or _on_another(movement, part, event):
                    continue
                place = _place(event.line)
                if place not in found:
                    under = next((_place(e.line) for e in below if e.onset <= event.onset < e.end), None)
                    found[place] = _Found(event.line, [], "", begins, under)
                    begins = False
                found[place].events.append(event)
            for place, each in found.items():
                here = [event for event in events_of((staff,)) if _place(event.line) == place]
                if here:
                    bars = where.bars_of(here)
                    told = f"{each.bars}{',' if each.bars else ''}{bars}{f' of {movement.name}' if several else ''}"
                    found[place] = replace(each, bars=told)
    return iter(found.values())


def _with_what_is_below(staves: Sequence[Staff]) -> Iterator[tuple[Staff, tuple[ScoreEvent, ...]]]:
    """The staves, and after each the small one above it, with the notes of the staff that it stands above."""
    for staff in staves:
        yield staff, ()
        if staff.ossia:
            yield staff.as_ossia, tuple(event for event in events_of((staff,)) if event.event.heads)


def _on_another(movement: Movement, part: Part, event: ScoreEvent) -> bool:
    """Whether the player has taken up another instrument there."""
    return any(c.part == part.name and c.begin <= event.onset < c.end for c in movement.changes)


def _placed(found: _Found, movable: bool) -> SoundingItem:
    keys = tuple((e.event.heads[0].pitch.midi, e.event.heads[-1].pitch.midi) for e in found.events)
    first, last = found.events[0], found.events[-1]
    return SoundingItem(
        keys, first.event.heads[-1].pitch.midi, last.event.heads[-1].pitch.midi, movable, found.begins
    )


def _told(
    found: _Found, placed: SoundingItem, octaves: int, fixed: str, rows: Mapping[_Place, tuple[str, _Movable]],
    reach: Reach,
) -> Recast:  # fmt: skip
    _, row = rows.get(_place(found.span), ("", None))
    text = _whole_text(row.value.span) if isinstance(row, t.Item) else found.span.text
    low = min((e.event.heads[0].pitch for e in found.events), key=lambda pitch: pitch.midi)
    high = max((e.event.heads[-1].pitch for e in found.events), key=lambda pitch: pitch.midi)
    return Recast(
        found.span, " ".join(text.split()), found.bars, low, high, rank(placed, 0, reach), octaves,
        rank(placed, octaves, reach), fixed,
    )  # fmt: skip


def _others(compiled: Compiled, part: Part) -> dict[_Place, str]:
    """For each item that another part plays too, such a part."""
    score = compiled.score
    assert score is not None
    return {
        _place(event.line): other.name
        for movement in score.movements for other, staves in zip(score.parts, movement.staves, strict=True)
        if other is not part for event in events_of(staves)
    }  # fmt: skip


# ------------------------------------------------------------------ what the script says


def _rows(loaded: Loaded) -> dict[_Place, tuple[str, _Movable]]:
    """Every item and every doubling of the script and its files, by its place: the key of its module, and itself."""
    found: dict[_Place, tuple[str, _Movable]] = {}
    for key, module in loaded.modules.items():
        for declaration in module.declarations:
            rows: Sequence[object] = ()
            if isinstance(declaration, t.Passage):
                rows = declaration.rows
            elif isinstance(declaration, t.Movement):
                rows = [row for section in declaration.sections for row in section.rows]
            for row in rows:
                if isinstance(row, t.Line):
                    found.update((_place(item.span), (key, item)) for item in row.items)
                elif isinstance(row, t.Doubling):
                    found[_place(row.span)] = key, row
    return found


def _fixed(
    found: _Found, rows: Mapping[_Place, tuple[str, _Movable]], others: Mapping[_Place, str], loaded: Loaded
) -> str:
    """Why an item cannot be moved by itself; empty if it can."""
    place = _place(found.span)
    if place in others:
        return f"`{others[place]}` plays it too: give the part a line of its own"
    if place not in rows:
        return "no item of a line: move it where it stands"
    key, row = rows[place]
    if key in loaded.borrowed:
        return "it stands in a library"
    return "" if isinstance(row, t.Item | t.Doubling) else "no item of a line: move it where it stands"


def _moved(row: _Movable, octaves: int) -> Edit:
    """The edit that moves an item: its last step up or down by octaves is changed, or a step is added."""
    if isinstance(row, t.Doubling):
        links: Sequence[object] = row.steps
        end = _end_of_row(row.span)
    else:
        assert isinstance(row, t.Item)
        links, end = row.value.links, _outside(row.value.span)
    text, last = row.span.source.text, links[-1] if links else None
    if isinstance(last, t.Step) and last.word.text in ("up", "down") and len(last.arguments) == 1:
        interval = getattr(last.arguments[0], "value", None)
        said = _octaves(interval) if isinstance(interval, Interval) else 0
        total = octaves + (said if last.word.text == "up" else -said)
        if said and total:
            return Edit(last.span.start, last.span.end, octave_step(total))
        before = text[: text.rfind("->", 0, last.span.start)]
        if said and before.rstrip(" ")[-1:] != "\n":  # else what follows could end up in the comment of that line
            return Edit(len(before.rstrip(" ")), last.span.end, "")
    return Edit(end, end, f" -> {octave_step(octaves)}")


def _outside(span: Span) -> int:
    """Where a value of a score line ends: behind the brackets that a span of what stands in them leaves out."""
    text, end = span.source.text, span.end
    while (rest := text[end:].lstrip()).startswith(")"):
        end = len(text) - len(rest) + 1
    return end


def _whole_text(span: Span) -> str:
    """The text of a value with the brackets that its span leaves out, and the word before them, as `notes(1/2 A4)`."""
    text, end, begin = span.source.text, _outside(span), span.start
    missing = _unmatched(text[begin:end])
    while missing and (begin := text.rfind("(", 0, begin)) >= 0:
        missing -= 1
        begin -= len(text[:begin]) - len(text[:begin].rstrip(_WORD_LETTERS))
    return text[max(begin, 0) : end]


def _unmatched(text: str) -> int:
    """How many brackets a text closes that it does not open; those in quotes do not count."""
    bare = _QUOTED.sub("", text)
    return max(0, bare.count(")") - bare.count("("))


def _end_of_row(span: Span) -> int:
    """Where a row ends that stands on one line, before its comment."""
    start = span.source.line_start(span.line)
    return start + len(without_comment(span.source.line_text(span.line)).rstrip())


def _octaves(interval: Interval) -> int:
    """How many octaves an interval is; 0 if it is no whole number of them."""
    steps, half_steps = interval.steps, interval.semitones
    return steps // 7 if steps % 7 == 0 and half_steps == steps // 7 * 12 else 0


def octave_step(octaves: int) -> str:
    """`up P8`, `down P15`."""
    return f"{'up' if octaves > 0 else 'down'} P{7 * abs(octaves) + 1}"
