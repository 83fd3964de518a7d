"""What is wrong with an engraved page: ink on ink, texts outside it, a page filled badly, rows without space.

In: the pages of a copy (`ink`). Out: faults, each of a kind. Source of what may not be: common practice, and for how
full a page is the brief of the project. What may lie on what is said here once: a head stands on its staff and its own
stem, a tie may pass a bar line, and so on; whatever is not allowed is a fault.

    python tests/judge/judge_pages.py examples/three-watches/three-watches.cavata [--parts] [--part NAME] [--short]

judges the pages of a piece by hand; `test_judge.py` judges those of the examples and of pieces made by chance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ink import STEP, Ink, Page, Piece, System

TEXTS = frozenset((
    "TextScript", "MetronomeMark", "RehearsalMark", "TextMark", "BarNumber", "InstrumentName", "LyricText",
    "DynamicText", "TextSpanner", "DynamicTextSpanner", "OttavaBracket", "VoltaBracket", "MultiMeasureRestNumber",
    "MultiMeasureRestText", "TupletNumber", "BassFigure", "StringNumber", "Fingering", "StanzaNumber", "JumpScript",
    "SegnoMark", "CodaMark", "SustainPedal", "SostenutoPedal", "UnaCordaPedal", "CombineTextScript", "SectionLabel",
    "Title", "Head", "Foot",
))  # fmt: skip
MARKS = frozenset((
    "Script", "MultiMeasureRestScript", "BreathingSign", "TrillSpanner", "Arpeggio", "CaesuraScript", "StemTremolo",
    "Divisio",
))  # fmt: skip
NOTES = frozenset((
    "NoteHead", "Accidental", "AccidentalCautionary", "Dots", "Rest", "MultiMeasureRest", "Flag", "TrillPitchHead",
    "TrillPitchAccidental", "Clef", "CueClef", "KeySignature", "KeyCancellation", "TimeSignature",
))  # fmt: skip
LINES = frozenset((
    "Stem", "Beam", "Slur", "PhrasingSlur", "Tie", "LaissezVibrerTie", "RepeatTie", "Hairpin", "TupletBracket",
    "Glissando", "BarLine", "SpanBar", "SpanBarStub", "LedgerLineSpanner", "LyricExtender", "LyricHyphen",
    "SystemStartBar", "SystemStartBracket", "SystemStartBrace", "SystemStartSquare", "PianoPedalBracket",
    "StaffSymbol", "BassFigureContinuation", "BassFigureBracket", "BassFigureLine", "VoiceFollower", "GridLine",
))  # fmt: skip
RESTS = frozenset(("Rest", "MultiMeasureRest"))
CURVES = frozenset(("Slur", "PhrasingSlur", "Tie", "LaissezVibrerTie", "RepeatTie"))
BAR_LINES = frozenset(("BarLine", "SpanBar", "SpanBarStub"))
SPANNING = frozenset(("Hairpin", "TupletBracket", "LyricExtender", "PianoPedalBracket"))
"""Lines that must be as clear of others as texts are."""
IN_A_STAFF = NOTES | BAR_LINES | CURVES | frozenset((
    "Stem", "Beam", "StemTremolo", "Script", "BreathingSign", "CaesuraScript", "Arpeggio", "Glissando", "Divisio",
    "SystemStartBar", "SystemStartBracket", "SystemStartBrace", "SystemStartSquare", "LedgerLineSpanner",
    "MultiMeasureRestScript", "TupletNumber", "TupletBracket", "VoiceFollower",
))  # fmt: skip
"""What may lie on the lines of a staff; a number within a beamed group does where the beam is."""
JOINED = tuple(map(set, (
    ("NoteHead", "Stem"), ("Stem", "Flag"), ("Stem", "StemTremolo"), ("TupletNumber", "TupletBracket"),
    ("TupletBracket", "Beam"),
)))  # fmt: skip
"""What may lie on one another if they belong together."""

LEAST_AREA, LEAST_DEPTH = 0.06, 0.2
"""In square staff spaces and staff spaces: less is no collision to the eye."""
TOUCHING = 2
"""Columns on each side of a text within which no other may stand at its height."""
SHARED = frozenset(("NoteHead", "Dots", "Accidental", "AccidentalCautionary")) | RESTS
AS_ONE = 0.1
"""Two of one sign that are not farther apart are seen as one."""
TRILL_SIGN = 2.5
"""Staff spaces of the letters before a wavy line."""
EDGE_MM = 5.0
"""Nothing is printed so near the edge of the paper."""
LEAST_FILLED, LEAST_FILLED_PART = 0.70, 0.50
"""How far down the lowest staff of a page lies at least, of the paper's height, if its movement goes on.

The part's page may end where it can be turned.
"""
WELL_FILLED = 0.85
LEAST_BETWEEN = 0.4
"""Staff spaces between the ink of two systems."""
ONE_LINE = 0.3
"""Letters whose heights differ by less stand on one line."""


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong."""

    kind: str
    page: int
    bar: str
    what: str
    excuse: str = ""
    """Why nothing can be done; empty where something must be."""

    def __str__(self) -> str:
        return f"page {self.page}, bar {self.bar or '-'}: {self.kind}: {self.what}"


def faults(pages: Sequence[Page], is_part: bool = False) -> list[Fault]:
    """Everything that is wrong with the pages of a copy and has no excuse."""
    found = [fault for page in pages for fault in on_page(page) if not fault.excuse]
    return found + list(_badly_filled(pages, LEAST_FILLED_PART if is_part else LEAST_FILLED))


def on_page(page: Page) -> Iterator[Fault]:
    yield from collisions(page)
    yield from _outside(page)
    for above, below in pairwise(page.systems):
        yield from _without_space(page, above, below)
    for system in page.systems:
        yield from _letters(page, system)


# ---------------------------------------------------------------- ink on ink


def collisions(page: Page) -> Iterator[Fault]:
    """Each two things on a page that may not lie on one another and do."""
    inks = sorted((ink for ink in page.inks if ink.pieces), key=lambda ink: ink.box[0])
    for place, one in enumerate(inks):
        reach = one.box[1] + TOUCHING / STEP
        for other in inks[place + 1 :]:
            if other.box[0] > reach:
                break
            if other.box[2] >= one.box[3] or other.box[3] <= one.box[2]:
                continue
            kind = _kind(one, other)
            if kind and _overlap(one, other, TOUCHING if kind == "text at text" else 0):
                excuse = excuse_of(one, other)
                yield Fault(kind, page.number, one.bar, f"{one.shown} and {other.shown}", excuse)


def _kind(one: Ink, other: Ink) -> str:
    """What it is called if these two lie on one another; empty where they may."""
    first, second = sorted((one, other), key=lambda ink: _order(ink.name))
    names = {one.name, other.name}
    if _may(first, second, names) or _as_one(one, other):
        return ""
    if second.name in TEXTS:
        return "text at text" if first.name in TEXTS else ""
    if first.name in TEXTS:
        return "text on " + _called(second.name)
    if first.name in MARKS:
        return "mark on " + _called(second.name)
    if first.name in NOTES:
        return _of_notes(first, second)
    if names & SPANNING:
        return "line on line"
    return ""


_CALLED = ((TEXTS, "text"), (MARKS, "mark"), (NOTES, "note"), (BAR_LINES, "bar line"), (LINES, "line"))


def _called(name: str) -> str:
    return next((called for names, called in _CALLED if name in names), "line")


def _order(name: str) -> int:
    return next((place for place, (names, _) in enumerate(_CALLED) if name in names), len(_CALLED))


def _of_notes(first: Ink, second: Ink) -> str:
    return "note on note" if second.name in NOTES else "note on line"


def _may(first: Ink, second: Ink, names: set[str]) -> bool:
    """Whether two things may lie on one another."""
    if "StaffSymbol" in names:
        return names != {"StaffSymbol"} and bool(names & IN_A_STAFF)
    if names <= LINES and not names & SPANNING:
        return True
    if names in JOINED:
        return second.number in first.kin or first.number in second.kin
    if "LedgerLineSpanner" in names and not names & TEXTS:
        return True
    if not names & BAR_LINES:
        return False
    if "SpanBar" in names and names & TEXTS:
        return first.interrupts
    return names <= LINES | {"StemTremolo"} or ("TrillSpanner" in names and _goes_over(first, second))


def _as_one(one: Ink, other: Ink) -> bool:
    """Whether two voices share a sign, which each of them has at the same place."""
    apart = (abs(here - there) for here, there in zip(one.box, other.box, strict=True))
    return one.name == other.name in SHARED and one.words == other.words and max(apart) < AS_ONE


def _goes_over(trill: Ink, line: Ink) -> bool:
    """Whether the wavy line of a trill goes on behind a bar line, as its tied note does."""
    return trill.box[0] + TRILL_SIGN < line.box[0] and line.box[1] + 1 < trill.box[1]


EXCUSES = {
    "two voices": "two voices of one staff meet where both have notes, and the composer has written them so",
    "strokes": "the strokes of a tremolo cross the foot of the sign before their own note, which has no other place",
    "tie": "a tie goes from head to head, through what another head or another voice has between them",
}
"""Kinds of collisions that are left, and why. None of what is planted is among them."""


def excuse_of(one: Ink, other: Ink) -> str:
    """Of EXCUSES, or nothing."""
    names = {one.name, other.name}
    apart = bool(one.column and other.column) and one.column != other.column and one.staff == other.staff
    if apart and one.moment == other.moment and names <= (NOTES | LINES | MARKS) - RESTS:
        return "two voices"
    if "StemTremolo" in names and names & {"Accidental", "AccidentalCautionary"} and one.moment == other.moment:
        return "strokes"
    if names & {"Tie", "LaissezVibrerTie"} and names & NOTES:
        return "tie"
    return ""


def _overlap(one: Ink, other: Ink, touching: int = 0) -> bool:
    """Whether two outlines share more than a trace."""
    area = depth = 0.0
    for piece in one.pieces:
        for against in other.pieces:
            if piece.low < against.high and against.low < piece.high:
                more, deepest = _shared(piece, against, touching)
                area, depth = area + more, max(depth, deepest)
    return area >= LEAST_AREA and depth >= LEAST_DEPTH


def _shared(one: Piece, other: Piece, touching: int) -> tuple[float, float]:
    area = depth = 0.0
    first, last = max(one.first, other.first - touching), min(one.last, other.last + touching)
    for place in range(first, last + 1):
        here = one.columns[place - one.first]
        if here is None:
            continue
        at = place - other.first
        for there in other.columns[max(0, at - touching) : at + touching + 1]:
            if there is not None and (shared := min(here[1], there[1]) - max(here[0], there[0])) > 0:
                area += shared / STEP
                depth = max(depth, shared)
                break
    return area, depth


# ---------------------------------------------------------------- the page


def _outside(page: Page) -> Iterator[Fault]:
    """What lies outside, each once in a bar: where one note does, so do most that follow it."""
    edge = EDGE_MM / page.millimeters
    told: set[tuple[str, str]] = set()
    for ink in page.inks:
        if ink.pieces and (ink.name, ink.bar) not in told:
            left, right, low, high = ink.box
            if left < edge or right > page.width - edge or high > -edge or low < edge - page.height:
                told.add((ink.name, ink.bar))
                yield Fault("outside the page", page.number, ink.bar, ink.shown)


def lowest_staff(page: Page) -> float | None:
    """How far down the lowest staff line of a page lies, of the paper's height; None on a page without staves."""
    lowest = [staff.box[2] for system in page.systems for staff in system.staves]
    return -min(lowest) / page.height if lowest else None


def filled(pages: Sequence[Page]) -> list[tuple[Page, float]]:
    """Each page on which a movement does not end, and how far down its lowest staff line lies."""
    found = []
    for page, following in pairwise(pages):
        share = lowest_staff(page)
        if share is not None and _goes_on(page, following):
            found.append((page, share))
    return found


def _goes_on(page: Page, following: Page) -> bool:
    """Whether the movement at a page's end goes on overleaf."""
    before, after = page.systems[-1].bar, following.systems[0].bar
    return before.isdecimal() and after.isdecimal() and int(after) > int(before)


def _badly_filled(pages: Sequence[Page], least: float) -> Iterator[Fault]:
    for page, share in filled(pages):
        if share < least:
            yield Fault("page badly filled", page.number, "", f"the lowest staff lies at {100 * share:.0f} %")


def _without_space(page: Page, above: System, below: System) -> Iterator[Fault]:
    """Two systems whose ink comes too near anywhere."""
    bottom = _edge(above, -1)
    top = _edge(below, 1)
    near = [bottom[place] - top[place] for place in bottom.keys() & top.keys()]
    if near and min(near) < LEAST_BETWEEN:
        yield Fault("rows without space", page.number, below.bar, f"{min(near):.1f} spaces apart")


def _edge(system: System, way: int) -> dict[int, float]:
    """The lowest (-1) or highest (1) ink in each staff space."""
    found: dict[int, float] = {}
    for ink in system.inks:
        for piece in ink.pieces:
            for place, column in enumerate(piece.columns, start=piece.first):
                if column is not None:
                    at, height = place // STEP, column[0] if way < 0 else column[1]
                    if at not in found or (height - found[at]) * way > 0:
                        found[at] = height
    return found


def _letters(page: Page, system: System) -> Iterator[Fault]:
    """Letters over one row of staves that do not stand on one line, or under the tempo that begins with them."""
    marks = [ink for ink in system.inks if ink.name == "RehearsalMark"]
    for one, other in pairwise(sorted(marks, key=lambda ink: ink.box[0])):
        if one.staff == other.staff and abs(_foot(one) - _foot(other)) > ONE_LINE:
            yield Fault("letters at two heights", page.number, other.bar, f"{one.words!r} and {other.words!r}")
    for tempo in (ink for ink in system.inks if ink.name == "MetronomeMark"):
        for mark in marks:
            if mark.bar == tempo.bar and mark.staff == tempo.staff and tempo.box[2] > mark.box[3]:
                yield Fault("tempo over its letter", page.number, mark.bar, f"{tempo.words!r} over {mark.words!r}")


def _foot(mark: Ink) -> float:
    return min(piece.low for piece in mark.pieces)
