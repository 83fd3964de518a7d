"""Where the signs at notes were said: every dynamic, word, syllable and technique knows its place in the script.

In: a line before and after a step or a row of a movement. Out: the same line, each sign that the step wrote with the
place of the step. A sign that another one replaces stays known, with the place of what replaced it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from cavata.music.event import NOTHING, Event, Marks, Motif, Said
from cavata.record import replace
from cavata.source import Span

SIGNS = (
    "dynamic", "hairpin", "end of hairpin", "articulation", "fermata", "slur", "end of slur", "ornament", "tremolo",
    "technique", "text", "syllable", "grace note", "glissando", "pedal", "end of pedal", "chord symbol", "note head",
    "stem", "division", "figures", "label", "optional note", "string", "harmonic",
)  # fmt: skip
"""The kinds of signs that a script can write at a note."""
SaidSign = tuple[str, str]
"""A kind of SIGNS, and which of its kind."""


def said_signs(marks: Marks) -> Iterator[SaidSign]:
    """Every sign at an event."""
    if not marks:
        return
    yield from (("dynamic", dynamic) for dynamic in (*marks.loud, marks.goal) if dynamic and dynamic != NOTHING)
    if marks.hairpin:
        yield "hairpin", marks.hairpin
    if marks.hairpin_ends:
        yield "end of hairpin", ""
    yield from (("fermata" if name == "fermata" else "articulation", name) for name in marks.articulations)
    yield from ((kind, "") for kind, there in (("slur", marks.slur_begins), ("end of slur", marks.slur_ends)) if there)
    yield from (("tremolo" if o.kind == "tremolo" else "ornament", o.kind) for o in marks.ornaments)
    yield from (("technique", word) for word in marks.techniques)
    yield from (("text", words) for words in marks.words)
    yield from (("syllable", str(syllable)) for syllable in marks.sung)
    yield from (("grace note", " ".join(str(head.pitch) for head in grace)) for grace in marks.graces)
    if marks.glides:
        yield "glissando", ""
    yield from ((k, "") for k, there in (("pedal", marks.pedal_begins), ("end of pedal", marks.pedal_ends)) if there)
    if marks.symbol is not None:
        yield "chord symbol", str(marks.symbol)
    if marks.figures:
        yield "figures", figures_text(marks.figures)
    if marks.label:
        yield "label", marks.label
    if marks.optional:
        yield "optional note", ""
    if marks.string:
        yield "string", marks.string
    if marks.harmonic:
        yield "harmonic", marks.harmonic
    if marks.spoken:
        yield "note head", "spoken"
    if marks.stemless:
        yield "stem", "none"
    if marks.division:
        yield "division", marks.division


def figures_text(figures: tuple[tuple[str, ...], ...]) -> str:
    """The figures under one note as a script writes them: `6/4-5/3`."""
    return "-".join("/".join(stack) for stack in figures)


def dressed_at(before: Sequence[Event], after: Sequence[Event], span: Span) -> tuple[Event, ...]:
    """The events after a place of the script dressed them, one for one, each sign that is new with that place."""
    known: dict[tuple[int, int], Event] = {}
    out = []
    for old, new in zip(before, after, strict=True):
        if new.marks is not old.marks:
            key = id(old), id(new)
            if key not in known:
                known[key] = _with(new, _dressed(old.marks, new.marks, span))
            new = known[key]
        out.append(new)
    return tuple(out)


def _dressed(before: Marks, after: Marks, span: Span) -> tuple[Said, ...]:
    """What was said at an event, a place that dressed it included."""
    old, new = Counter(said_signs(before)), Counter(said_signs(after))
    gone = old - new
    kept = []
    for said in before.said:
        sign = said.kind, said.what
        if said.by is None and gone[sign]:
            gone[sign] -= 1
            said = replace(said, by=span)
        kept.append(said)
    return (*kept, *(Said(kind, what, span) for kind, what in (new - old).elements()))


def moved_at(after: Sequence[Event], span: Span, gathers: bool = False) -> tuple[Event, ...]:
    """The events that a step of another kind made: a sign that it handed from one note to another has the place of the
    step; what it left out on purpose is no longer said. One that `gathers` several notes in one takes the place of the
    signs that this one cannot have.
    """
    known: dict[int, Event] = {}
    out = []
    for event in after:
        if event.marks or event.marks.said:
            key = id(event)
            if key not in known:
                known[key] = _with(event, _moved(event.marks, span, gathers))
            event = known[key]
        out.append(event)
    return tuple(out)


def _moved(marks: Marks, span: Span, gathers: bool) -> tuple[Said, ...]:
    there = Counter(said_signs(marks))
    kept: list[Said] = []
    changed: list[Said] = []
    for said in marks.said:
        sign = said.kind, said.what
        if said.by is None and not there[sign]:
            changed.append(said)
            continue
        if said.by is None:
            there[sign] -= 1
        kept.append(said)
    for kind, what in there.elements():
        # A grace note that was transposed, or a hairpin that was turned round, is the one that was said.
        same = next((said for said in changed if said.kind == kind), None)
        if same is not None:
            changed.remove(same)
        kept.append(Said(kind, what, same.span if same is not None else span))
    if gathers:
        kept += [replace(said, by=span) for said in changed]
    return tuple(kept)


def said_apart(whole: Marks, first: Marks, second: Marks) -> tuple[Marks, Marks]:
    """The marks of both parts of a divided note, each with the places of its signs; what stands at neither is known to
    the first.
    """
    there = Counter(said_signs(second)) - Counter(said_signs(first))
    later = []
    for said in whole.said:
        if said.by is None and there[said.kind, said.what]:
            there[said.kind, said.what] -= 1
            later.append(said)
    kept = tuple(said for said in whole.said if said not in later)
    return replace(first, said=kept), replace(second, said=tuple(later))


def _with(event: Event, said: tuple[Said, ...]) -> Event:
    return event if said == event.marks.said else replace(event, marks=replace(event.marks, said=said))


def line_dressed_at(before: Motif, after: Motif, span: Span) -> Motif:
    """A line that a place of the script dressed."""
    return after.having(dressed_at(before.events, after.events, span))
