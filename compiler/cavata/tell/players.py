"""A page for each player: what is found of the part, bar by bar, with its cure, and the counts of what tires.

In: a score, and the profile to which it is held. Out: pages as one text, and as one JSON document. Everything is a
guide and says on what it rests.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any

from cavata.diagnostics import Diagnostic
from cavata.place.ranges import CODES
from cavata.playing.compass import RANGE
from cavata.playing.endurance import Counts, counts
from cavata.playing.finding import Degree, Finding, PlanStep
from cavata.playing.playing import looks
from cavata.playing.profile import PROFESSIONAL, Profile
from cavata.record import record, replace
from cavata.score.score import Movement, Part, Score
from cavata.score.whereabouts import Whereabouts, in_bars
from cavata.source import Span
from cavata.tell.places import NamedPlace, PlaceFinder
from cavata.text import text_table, wrapped

_HEADINGS = {Degree.IMPOSSIBLE: "impossible", Degree.CARE: "needs care", Degree.TIRING: "tires"}
_CAUTION = (
    "What tires is a caution for health, and no medical limit: warm up, rest before it hurts, and ask a professional "
    "about pain that stays."
)
WIDTH = 100
ROW = 1
"""Seconds from one finding to the next within which they are of one row."""


@record
class ToldFinding:
    """One thing that is found of a part in a movement, wherever it comes back in it."""

    degree: Degree
    finding: Finding
    """The first."""
    movement: Movement
    places: tuple[NamedPlace, ...]
    """Each of them, in order."""
    bars: str
    """` in bars 3 to 5`, or nothing in free time."""


@record
class PlayerPage:
    """What is told of one part."""

    part: Part
    told: tuple[ToldFinding, ...]
    """By degree, then by movement and onset."""
    counts: tuple[tuple[Movement, Counts], ...]
    """Of the movements in which it plays."""
    plan: tuple[tuple[Movement, PlanStep, tuple[NamedPlace, ...]], ...] = ()
    """What the player does between the notes, as moving pedals, with the places."""

    def of(self, degree: Degree) -> tuple[ToldFinding, ...]:
        """What is told of one degree."""
        return tuple(told for told in self.told if told.degree is degree)


@record
class Pages:
    """The pages of a piece."""

    title: str
    profile: Profile
    several: bool
    """It has several movements."""
    pages: tuple[PlayerPage, ...]
    told: frozenset[tuple[str, Span]] = frozenset()
    """What a check tells of the same: the code and the place of each message."""

    def untold(self, messages: Iterable[Diagnostic]) -> Iterator[Diagnostic]:
        """The messages that say what no page says."""
        yield from (each for each in messages if each.span is None or (each.code, each.span) not in self.told)


def pages(score: Score, parts: Collection[str] = (), profile: Profile = PROFESSIONAL) -> Pages:
    """The pages of these parts, or of all that play."""
    places = PlaceFinder(score)
    found: dict[str, list[tuple[int, Finding]]] = {}
    counted: dict[str, list[tuple[Movement, Counts]]] = {}
    planned: dict[str, list[tuple[Movement, PlanStep, tuple[NamedPlace, ...]]]] = {}
    stands: dict[str, str] = {}
    numbers = {id(movement): number for number, movement in enumerate(score.movements)}
    for look in looks(score, parts):
        number, name = numbers[id(look.movement)], look.part.name
        for owner, finding in look.findings(profile):
            found.setdefault(owner.name, []).append((number, finding))
        for step in look.steps(stands):
            where = tuple(places.at(number, onset) for onset in step.onsets)
            planned.setdefault(name, []).append((look.movement, step, where))
        of_line = counts(look.whole) if look.whole is not None else None
        if of_line is not None:
            counted.setdefault(name, []).append((look.movement, of_line))
    told = frozenset(_messages(each for several in found.values() for _, each in several))
    return Pages(
        score.header.title, profile, len(score.movements) > 1,
        tuple(
            PlayerPage(
                part, tuple(_gathered(places, found.get(part.name, []))), tuple(counted[part.name]),
                tuple(planned.get(part.name, [])),
            )
            for part in score.parts if part.name in counted
        ),
        told,
    )  # fmt: skip


def _messages(found: Iterable[Finding]) -> Iterator[tuple[str, Span]]:
    for finding in found:
        codes = CODES if finding.kind == RANGE else (finding.kind.code,)
        yield from ((code, finding.event.line) for code in codes)


def _gathered(places: PlaceFinder, found: Sequence[tuple[int, Finding]]) -> Iterator[ToldFinding]:
    """What is said in the same words of one movement is told together, and so is what goes on in one row."""
    for degree in Degree:
        items: dict[tuple[int, str, str], list[Finding]] = {}
        rows: dict[tuple[int, str], tuple[Finding, str]] = {}
        for number, finding in found:
            if finding.degree is not degree:
                continue
            what = finding.what
            if finding.kind.in_rows:
                row = number, finding.kind.word
                before, first = rows.get(row, (finding, what))
                if places.clocks[number].between(before.event.onset, finding.event.onset) < ROW:
                    what = first
                rows[row] = finding, what
            items.setdefault((number, finding.kind.word, what), []).append(finding)
        for (number, _, _), several in items.items():
            movement = places.score.movements[number]
            where = Whereabouts(movement.bars, ())
            events = list({finding.event.onset: finding.event for finding in several}.values())
            yield ToldFinding(
                degree, _with_the_like(several), movement, tuple(places.at(number, event.onset) for event in events),
                where.bars_of(events),
            )  # fmt: skip


def _with_the_like(several: Sequence[Finding]) -> Finding:
    """The first of several; where others are said in other words, it says so."""
    first = several[0]
    others = len({finding.what for finding in several}) - 1
    if not others:
        return first
    follow = "one more like it follows" if others == 1 else f"{others} more like it follow"
    return replace(first, text=f"{first.text}; {follow}")


# ---------------------------------------------------------------- as text


def pages_text(told: Pages, bars: bool = False) -> str:
    """The pages as one text; with `bars` the counts of each bar as well."""
    who, better = _who(told)
    blocks = [f"{told.title}, as its {who} find it (held to what is usual for: {told.profile.name})"]
    blocks += [block for page in told.pages for block in _page(told, page, bars)]
    if any(page.of(Degree.TIRING) for page in told.pages):
        blocks.append("\n".join(wrapped(_CAUTION, WIDTH)))
    sources: dict[str, dict[str, None]] = {}
    for finding in (each.finding for page in told.pages for each in page.told):
        sources.setdefault(finding.kind.word, {})[finding.source] = None
    if sources:
        said = (f"{word}: {'; '.join(several)}" for word, several in sorted(sources.items()))
        rests = (f"  {line}" for each in said for line in wrapped(each, WIDTH - 2))
        blocks.append("\n".join(["on what it rests", *rests]))
    return "\n\n".join([*blocks, f"This is a guide: {better} better. What is repeated counts once."]) + "\n"


def _who(told: Pages) -> tuple[str, str]:
    """What those are called who have the pages, and who it is that knows."""
    sung = {page.part.instrument.family == "voice" for page in told.pages}
    if sung == {True}:
        return "singers", "the singer knows"
    return ("players and singers", "players and singers know") if True in sung else ("players", "the player knows")


def _page(told: Pages, page: PlayerPage, bars: bool) -> Iterator[str]:
    lines = [f"{page.part.name}"]
    for degree in Degree:
        several = page.of(degree)
        if several:
            lines.append(f"  {_HEADINGS[degree]}")
            lines += [line for each in several for line in _told(told, each)]
    if not page.told:
        lines.append("  nothing to be told")
    yield "\n".join(lines)
    if page.plan:
        yield "\n".join(["  plan", *(line for step in page.plan for line in _step(told, *step))])
    rows = [_row(movement, found) for movement, found in page.counts]
    table = text_table(
        ("movement", "notes a second", "sounds", "high", "without a rest", "leaps", "changes", "ff"), rows,
        frozenset(range(1, 8)),
    )
    yield _indented(table)
    if bars:
        for movement, found in page.counts:
            yield _indented(_bar_table(movement, found))


def _told(told: Pages, each: ToldFinding) -> Iterator[str]:
    where = each.bars.removeprefix(" in ") or "free time"
    movement = f"{each.movement.name}, " if told.several else ""
    finding = each.finding
    yield from _block("    ", f"{movement}{where}: {finding.what}")
    yield from _block("        ", finding.text)
    yield from _block("        ", f"to mend: {finding.cure}")


def _step(told: Pages, movement: Movement, step: PlanStep, places: Sequence[NamedPlace]) -> Iterator[str]:
    """One thing that a player does; where it is done once, at its beat."""
    if len(places) > 1:
        bars = list(dict.fromkeys(place.bar for place in places if place.bar is not None))
        where = in_bars(bars).removeprefix(" in ")
    else:
        where = f"bar {places[0].bar}, beat {places[0].beat}" if places[0].bar is not None else places[0].beat
    yield from _block("    ", f"{movement.name + ', ' if told.several else ''}{where}: {step.words}")


def _block(margin: str, text: str) -> Iterator[str]:
    first, *rest = wrapped(text, WIDTH - len(margin) - 2)
    yield margin + first
    yield from (f"{margin}  {line}" for line in rest)


def _row(movement: Movement, found: Counts) -> tuple[str, ...]:
    return (
        movement.name, f"{found.fastest:.1f}", _seconds(found.sounding), _seconds(found.high),
        _seconds(found.unbroken), str(found.leaps), str(found.changes), _seconds(found.loud),
    )  # fmt: skip


def _bar_table(movement: Movement, found: Counts) -> str:
    rows = [
        (
            str(bar.bar.number), str(bar.notes), f"{bar.a_second:.1f}", _seconds(bar.high), str(bar.leaps),
            str(bar.changes),
        )
        for bar in found.bars
    ]  # fmt: skip
    head = (f"{movement.name}, bar", "notes", "a second", "high", "leaps", "changes")
    return text_table(head, rows, frozenset(range(1, 6)))


def _seconds(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds >= 0.5 else "-"


def _indented(text: str) -> str:
    return "\n".join(f"  {line}".rstrip() for line in text.splitlines())


# ---------------------------------------------------------------- as a document


def pages_json(told: Pages) -> dict[str, Any]:
    """Everything, each place of each finding and the counts of each bar included."""
    return {"title": told.title, "profile": told.profile.name, "parts": [_page_as_data(page) for page in told.pages]}


def _page_as_data(page: PlayerPage) -> dict[str, Any]:
    return {
        "part": page.part.name, "label": page.part.label,
        "findings": [_told_as_data(each) for each in page.told],
        "plan": [
            {
                "movement": movement.name, "words": step.words,
                "places": [_place_as_data(place) for place in places],
            }
            for movement, step, places in page.plan
        ],
        "counts": [_counts_as_data(movement, found) for movement, found in page.counts],
    }  # fmt: skip


def _told_as_data(each: ToldFinding) -> dict[str, Any]:
    finding, line = each.finding, each.finding.event.line
    return {
        "degree": each.degree.value, "kind": finding.kind.word, "movement": each.movement.name,
        "what": finding.what, "why": finding.text, "cure": finding.cure, "rests_on": finding.source,
        "file": line.source.name, "line": line.line,
        "places": [_place_as_data(place) for place in each.places],
    }  # fmt: skip


def _place_as_data(place: NamedPlace) -> dict[str, Any]:
    return {"bar": place.bar, "beat": place.beat, "seconds": float(place.seconds)}


def _counts_as_data(movement: Movement, found: Counts) -> dict[str, Any]:
    return {
        "movement": movement.name, "notes_a_second": found.fastest, "sounding_seconds": round(found.sounding, 3),
        "high_seconds": round(found.high, 3), "seconds_without_rest": round(found.unbroken, 3),
        "leaps": found.leaps, "changes": found.changes, "loud_seconds": round(found.loud, 3),
        "bars": [
            {
                "bar": bar.bar.number, "notes": bar.notes, "notes_a_second": round(bar.a_second, 3),
                "high_seconds": round(bar.high, 3), "leaps": bar.leaps, "changes": bar.changes,
            }
            for bar in found.bars
        ],
    }  # fmt: skip
