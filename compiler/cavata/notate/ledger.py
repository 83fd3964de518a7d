"""The ledger of a page: what the score says at its notes, and what of it stands on the page.

In: a copy, and its written bars. Out: an entry for every sign at a note of the copy, and one for every sign on the page
that the copy does not have; and the counts of what stands on the page, ties, hyphens and extenders included.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate

from cavata.music.event import in_verse
from cavata.music.said import SIGNS, SaidSign, said_signs
from cavata.notate.written import Frame, Leaf, WrittenMovement, WrittenPart, WrittenScore, WrittenStaff, leaves
from cavata.score.ledger import Fate, LedgerEntry, fate_counts, said
from cavata.score.score import Score, ScoreEvent, Staff
from cavata.text import printable, text_table

PAGE_SIGNS = (*SIGNS, "tie", "end of tie", "hyphen", "extender", "harp pedals", "tuning")
"""The kinds of signs that stand on a page."""
_AT_EACH = frozenset(("tremolo", "note head", "stem", "optional note"))
"""What stands at each of several tied notes, and counts once."""
_FERMATA: SaidSign = ("fermata", "fermata")
_AT_ONCE = ("string", "harmonic")
"""What is said where a note is struck, and holds as long as it is tied."""
_Place = tuple[int, Fraction]
"""Voice and onset of an event."""


def page_ledger(copy: Score, page: WrittenScore) -> tuple[LedgerEntry, ...]:
    """The entries of a copy, part by part; `said` and `by` are not known here."""
    return tuple(
        LedgerEntry(*sign, fate, movement.name, part.part.name, staff.name, onset, None)
        for movement, written in zip(copy.movements, page.movements, strict=True)
        for part, staves in zip(written.parts, movement.staves, strict=True)
        for staff, its_page, others in _pairs(staves, part)
        for sign, fate, onset in _of_staff(staff, its_page, written.frames, others)
    )  # fmt: skip


def _pairs(staves: Sequence[Staff], part: WrittenPart) -> Iterator[tuple[Staff, WrittenStaff, list[Staff]]]:
    """Each staff of a part with its page and the other staves of its player; an ossia stands for itself."""
    for staff, written in zip(staves, part.staves, strict=True):
        if staff.ossia:
            yield staff.as_ossia, written.as_ossia, []
        yield staff, written, [other for other in staves if other is not staff]


def _of_staff(
    staff: Staff, written: WrittenStaff, frames: Sequence[Frame], others: list[Staff]
) -> Iterator[tuple[SaidSign, Fate, Fraction]]:
    page, rests = _on_page(written)
    beside = _beside(others)
    for voice in staff.voices:
        broken = _broken(voice)
        for event in voice:
            if not event.event.heads:
                continue
            there = page[event.voice, event.onset]
            for sign in said_signs(event.event.marks):
                if there[_read(sign)]:
                    there[_read(sign)] -= 1
                    yield sign, Fate.WRITTEN, event.onset
                else:
                    yield sign, _fate(sign, event, beside, broken), event.onset
            yield from ((sign, Fate.ADDED, event.onset) for sign in there.elements())
    yield from _over_rests(staff, frames, rests)


def _over_rests(staff: Staff, frames: Sequence[Frame], rests: int) -> Iterator[tuple[SaidSign, Fate, Fraction]]:
    """The fermatas over silences; several in one bar may stand over one rest."""
    ends = list(accumulate(frame.duration for frame in frames))
    waits = [
        event for voice in staff.voices for event in voice
        if event.event.is_rest and "fermata" in event.event.marks.articulations
    ]  # fmt: skip
    bars = {bisect_left(ends, event.end) for event in waits}
    for number, event in enumerate(waits):
        fate = Fate.WRITTEN if number < rests else Fate.SHARED if rests >= len(bars) else Fate.LOST
        yield _FERMATA, fate, event.onset
    yield from [(_FERMATA, Fate.ADDED, Fraction(0))] * (rests - len(waits))


def _broken(voice: Sequence[ScoreEvent]) -> set[tuple[Fraction, SaidSign]]:
    """Where a verse would hold a syllable but has none, or one that notes without words came after."""
    found: set[tuple[Fraction, SaidSign]] = set()
    for verse in {syllable.verse for event in voice for syllable in event.event.marks.sung}:
        held = goes_on = False
        for event in voice:
            syllable = in_verse(event.event.marks.sung, verse)
            if syllable is not None and syllable.text:
                held, goes_on = True, syllable.goes_on
            elif syllable is None and event.event.heads and not event.tied_before:
                held = held and goes_on
            if syllable is not None and not held:
                found.add((event.onset, ("syllable", str(syllable))))
    return found


def _fate(
    sign: SaidSign, event: ScoreEvent, beside: dict[Fraction, set[SaidSign]], broken: set[tuple[Fraction, SaidSign]]
) -> Fate:
    """Why a sign of an event is not on the page."""
    marks = event.event.marks
    if sign in beside.get(event.onset, ()) or (marks.led and sign[0] in ("dynamic", "hairpin", "end of hairpin")):
        return Fate.SHARED
    if sign == ("ornament", "rolled") and len(event.event.heads) == 1:
        return Fate.NEEDLESS
    if sign[0] in _AT_ONCE and event.tied_before:
        return Fate.NEEDLESS
    if sign[0] == "tremolo":  # its leaves have as many flags of their own as it would draw strokes
        return Fate.NEEDLESS
    if sign[0] in ("slur", "end of slur") and marks.slur_begins and marks.slur_ends:
        return Fate.CUT
    if sign[0] == "syllable" and sign[1].endswith("_"):  # else a hyphen leads on under the note
        return Fate.CUT if (event.onset, sign) in broken else Fate.WRITTEN
    return Fate.LOST


def _beside(others: list[Staff]) -> dict[Fraction, set[SaidSign]]:
    found: dict[Fraction, set[SaidSign]] = defaultdict(set)
    for staff in others:
        for voice in staff.voices:
            for event in voice:
                found[event.onset].update(said_signs(event.event.marks))
                if event.event.marks.hairpin_ends:
                    found[event.end].add(("end of hairpin", ""))
    return found


def _on_page(written: WrittenStaff) -> tuple[dict[_Place, Counter[SaidSign]], int]:
    """For each event the signs at its leaves; and how many rests have a fermata."""
    found: dict[_Place, Counter[SaidSign]] = defaultdict(Counter)
    rests = 0
    for bar in written.bars:
        for voice in bar.voices:
            for leaf in leaves(voice):
                if leaf.event is None:
                    rests += "fermata" in leaf.marks.articulations
                    continue
                here = found[leaf.event.voice, leaf.event.onset]
                for sign in leaf_signs(leaf):
                    if sign[0] not in SIGNS or (sign[0] in _AT_EACH and here[sign]):
                        continue
                    here[_read(sign)] += 1
    return found, rests


def _read(sign: SaidSign) -> SaidSign:
    """A sign, whatever instrument reads it: a chord symbol is transposed for its player."""
    return (sign[0], "") if sign[0] == "chord symbol" else sign


def leaf_signs(leaf: Leaf) -> Iterator[SaidSign]:
    """Every sign that is printed at a leaf."""
    under = {text.verse for text in leaf.sung}
    hidden = {str(syllable) for syllable in leaf.marks.sung if syllable.verse not in under}
    for sign in said_signs(leaf.marks):
        if sign[0] == "syllable" and sign[1] in hidden:
            continue
        if (sign[0] == "grace note" and not leaf.graces) or (sign[0] == "tremolo" and not leaf.strokes):
            continue
        if sign[0] in _AT_ONCE and all(head.tie_ends for head in leaf.heads):
            continue
        yield sign
    yield from (("tie", "") for head in leaf.heads if head.tie_begins)
    yield from (("end of tie", "") for head in leaf.heads if head.tie_ends)
    if leaf.tuning:
        yield "tuning", leaf.tuning
    for text in leaf.sung:
        if text.goes_on:
            yield "hyphen", ""
        if text.line == "begins":
            yield "extender", ""


def movement_counts(movement: WrittenMovement) -> Counter[SaidSign]:
    """What stands on the page of a movement, whoever said it."""
    bars = [bar for part in movement.parts for staff in part.staves for bar in staff.bars]
    found = Counter(
        sign for bar in bars for voice in (*bar.voices, *bar.ossia) for leaf in leaves(voice)
        for sign in leaf_signs(leaf)
    )  # fmt: skip
    found.update(("harp pedals", "") for bar in bars for _ in bar.pedals)
    return found


_COLUMNS = (
    Fate.WRITTEN, Fate.REPLACED, Fate.NEEDLESS, Fate.SHARED, Fate.CUT, Fate.REPORTED, Fate.LOST, Fate.ADDED,
)  # fmt: skip
_TOLD = (Fate.REPLACED, Fate.CUT, Fate.REPORTED, Fate.LOST)
"""The fates of which the places are told."""


def ledger_text(entries: Sequence[LedgerEntry], page: WrittenScore) -> str:
    """The ledger as a table, a row for each kind that occurs, and the places of what was said but not written."""
    on_page: Counter[str] = Counter()
    for movement in page.movements:
        for (kind, _), count in movement_counts(movement).items():
            on_page[kind] += count
    found = fate_counts(entries)
    rows = []
    for kind in PAGE_SIGNS:
        fates = found.get(kind)
        if fates is not None and fates.total():
            rows.append((kind, str(said(fates)), *(str(fates[fate] or "") for fate in _COLUMNS), str(on_page[kind])))
        elif on_page[kind]:
            rows.append((kind, *[""] * (len(_COLUMNS) + 1), str(on_page[kind])))
    head = ("kind", "said", *(fate.value for fate in _COLUMNS), "full score")
    table = text_table(head, rows, frozenset(range(1, len(head))))
    return "\n".join((table.rstrip("\n"), *_places(entries)))


def _places(entries: Sequence[LedgerEntry]) -> Iterator[str]:
    """A line for each place whose sign was not written, and how often."""
    told = Counter(
        (entry.fate, f"{entry.kind} {entry.what}".strip(), entry.said, entry.by)
        for entry in entries if entry.fate in _TOLD and entry.said is not None
    )  # fmt: skip
    for (fate, sign, span, by), count in sorted(told.items(), key=lambda item: _TOLD.index(item[0][0])):
        replaced = f" by line {by.line}: {printable(by.text)}" if by is not None else ""
        times = f", {count} times" if count > 1 else ""
        yield f"{fate.value}: {printable(sign)}, line {span.line}: {printable(span.text)}{replaced}{times}"
