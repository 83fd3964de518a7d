"""The ledger of a piece: what its script says at notes, and what became of it in the score.

In: a score. Out: an entry for every sign that was said at a note, with the place that said it and its fate, and one for
every sign that nobody said but the compiler wrote. Nothing is lost: said = written + replaced + in force + shared +
cut + reported. Where a step takes notes away, or repeats them, what stands at them goes or comes with them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from fractions import Fraction
from itertools import zip_longest

from cavata.diagnostics import Diagnostics
from cavata.music.event import AFTERWARD, KIND_OF, LASTING, Marks, Said
from cavata.music.said import SIGNS, SaidSign, said_signs
from cavata.record import record, replace
from cavata.score.score import Movement, Score, ScoreEvent, Staff, with_ossias
from cavata.source import Span


class Fate(Enum):
    """What became of a sign."""

    WRITTEN = "written"
    REPLACED = "replaced"
    """Another sign was said in its place later."""
    NEEDLESS = "in force"
    """It holds already, or was said by an earlier turn of the same repeated item, which says it once. Where that one
    was replaced, so are the later ones."""
    SHARED = "shared"
    """Another voice or hand of the player has the same at the same moment."""
    CUT = "cut"
    """It leads nowhere: a slur, hairpin or pedal that begins on the last note of an item, a slur before another that
    begins on the next note, a `_` that has no syllable to hold."""
    REPORTED = "reported"
    """A message says that it cannot be."""
    LOST = "lost"
    """Nobody knows why it is not there: a fault of the compiler."""
    ADDED = "added"
    """Nobody said it; the compiler writes it, as a dynamic again after a long rest, the end of an open slur, or a slur
    over the notes of one syllable."""


_LEADING = frozenset(("slur", "hairpin", "pedal"))
"""What leads from one note to another."""
TOLD_ONCE = ("dynamic", "text")
"""What a repeated item says in its first turn only."""


@record
class LedgerEntry:
    """One sign, and its fate."""

    kind: str
    """One of `SIGNS` in `music/said.py`."""
    what: str
    fate: Fate
    movement: str
    part: str
    staff: str
    onset: Fraction
    """In whole notes from the movement's beginning."""
    said: Span | None
    """None for what was added."""
    by: Span | None = None
    """Where that was said which replaced it."""


def ledger(score: Score, bag: Diagnostics) -> tuple[LedgerEntry, ...]:
    """The entries of a score, part by part; `bag` has what was reported while it was made."""
    reported = frozenset(found.span for found in bag.ordered() if found.span is not None)
    return tuple(
        entry
        for movement in score.movements
        for part, staves in zip(score.parts, movement.staves, strict=True)
        for staff in with_ossias(staves)
        for entry in _of_staff(movement, part.name, staff, staves if staff in staves else (staff,), reported)
    )  # fmt: skip


def _of_staff(
    movement: Movement, part: str, staff: Staff, staves: Sequence[Staff], reported: frozenset[Span]
) -> Iterator[LedgerEntry]:
    for voice in staff.voices:
        elsewhere = _signs_at([other for each in staves for other in each.voices if other is not voice])
        pedal = _signs_at([other for each in staves for other in each.voices]) if len(staves) > 1 else {}
        state = _State()
        for event, following in zip_longest(voice, voice[1:]):
            state.at_end = following is None or (following.line, following.turn) != (event.line, event.turn)
            state.slur_follows = following is not None and any(
                said.kind == "slur" and said.by is None for said in following.event.marks.said
            )
            heard = []
            for sign, fate, said in _fates(event, state, (elsewhere, pedal), reported):
                if sign[0] == "dynamic" and fate in (Fate.WRITTEN, Fate.SHARED, Fate.ADDED):
                    heard.append(sign[1])
                yield LedgerEntry(
                    *sign, fate, movement.name, part, staff.name, event.onset, said.span if said else None,
                    said.by if said else None,
                )  # fmt: skip
            state.passes(event, heard)


def _signs_at(voices: Sequence[Sequence[ScoreEvent]]) -> dict[Fraction, set[SaidSign]]:
    found: dict[Fraction, set[SaidSign]] = {}
    for voice in voices:
        for event in voice:
            found.setdefault(event.onset, set()).update(said_signs(event.event.marks))
            if event.event.marks.hairpin_ends:
                found.setdefault(event.end, set()).add(("end of hairpin", ""))
    return found


class _State:
    """What holds in a voice as one comes to its next event."""

    def __init__(self) -> None:
        self.dynamic = ""
        self.techniques: dict[int, str] = {}
        self.told: dict[tuple[Span, Span, SaidSign], Said] = {}
        """By item, place and sign what was said first."""
        self.slur, self.hairpin, self.pedal = False, False, False
        self.inner = 0
        """So many slurs are one with the slur that is open."""
        self.at_end = False
        """The next event is the last of a turn of its item."""
        self.slur_follows = False
        """A slur begins on the one after it."""

    def passes(self, event: ScoreEvent, heard: Sequence[str]) -> None:
        """Go past an event; `heard` are the dynamics there, those that another voice has included."""
        marks = event.event.marks
        for told in marks.said:
            if told.kind in TOLD_ONCE:
                self.told.setdefault((event.line, told.span, (told.kind, told.what)), told)
        for dynamic in sorted(heard, key=lambda word: word in LASTING):  # an attack comes first
            self.dynamic = dynamic if dynamic in LASTING else AFTERWARD.get(dynamic, self.dynamic)
        self.dynamic = "" if marks.dies_away else marks.goal or (
            "" if marks.hairpin_ends and not heard else self.dynamic
        )
        self.techniques.update({KIND_OF[word]: word for word in marks.techniques})
        said = [told.kind for told in marks.said if told.by is None]
        self.inner += self.slur and "slur" in said and not marks.slur_begins
        self.inner -= self.inner > 0 and "end of slur" in said and not marks.slur_ends
        self.slur = marks.slur_begins or (self.slur and not marks.slur_ends)
        self.inner = self.inner if self.slur else 0
        alone = marks.hairpin_ends and (bool(marks.goal) or not self.hairpin)
        self.hairpin = (bool(marks.hairpin) and not alone) or (self.hairpin and not marks.hairpin_ends)
        self.pedal = (self.pedal or marks.pedal_begins) and not marks.pedal_ends


_SignsAt = dict[Fraction, set[SaidSign]]
"""What stands at each moment."""


def _fates(
    event: ScoreEvent, state: _State, around: tuple[_SignsAt, _SignsAt], reported: frozenset[Span]
) -> Iterator[tuple[SaidSign, Fate, Said | None]]:
    """The fate of each sign; `around` is what the other voices have, and what all hands of an instrument have."""
    elsewhere, hands = around
    marks = event.event.marks
    there = Counter(said_signs(marks))
    for said in marks.said:
        sign = said.kind, said.what
        if said.by is not None:
            yield sign, Fate.REPLACED, said
        elif there[sign]:
            there[sign] -= 1
            yield sign, Fate.WRITTEN, said
        elif sign in elsewhere.get(event.onset, ()) or _is_other_hands_pedal(said, event.onset, hands):
            yield sign, Fate.SHARED, said
        elif _is_needless(said, marks, state):
            yield sign, Fate.NEEDLESS, said
        elif (first := state.told.get((event.line, said.span, sign))) is not None:
            yield sign, Fate.NEEDLESS if first.by is None else Fate.REPLACED, replace(said, by=first.by)
        elif said.kind in _LEADING and (state.at_end or (said.kind == "slur" and state.slur_follows)):
            yield sign, Fate.CUT, said
        elif said.kind == "glissando" and event.line in reported:
            yield sign, Fate.REPORTED, said
        else:
            yield sign, Fate.LOST, said
    yield from ((sign, Fate.ADDED, None) for sign in there.elements())


def _is_other_hands_pedal(said: Said, onset: Fraction, hands: _SignsAt) -> bool:
    """Whether the pedal, which belongs to both hands, is down already, or goes up only later."""
    if said.kind == "pedal":
        return any(("pedal", "") in there for moment, there in hands.items() if moment <= onset)
    return said.kind == "end of pedal" and any(
        ("end of pedal", "") in there for moment, there in hands.items() if moment >= onset
    )


def _is_needless(said: Said, marks: Marks, state: _State) -> bool:
    """Whether a sign that is not there says only what holds anyway."""
    match said.kind:
        case "dynamic":
            return said.what in LASTING and said.what == AFTERWARD.get(marks.attack, state.dynamic)
        case "technique":
            return state.techniques.get(KIND_OF[said.what], said.what) == said.what
        case "slur":
            return state.slur
        case "end of slur":
            return not state.slur or state.inner > 0
        case "end of hairpin":
            return not state.hairpin
        case "end of pedal":
            return not state.pedal
        case _:
            return False


def fate_counts(entries: Iterable[LedgerEntry]) -> dict[str, Counter[Fate]]:
    """For each kind how many of its signs had each fate."""
    found: dict[str, Counter[Fate]] = {kind: Counter() for kind in SIGNS}
    for entry in entries:
        found[entry.kind][entry.fate] += 1
    return found


def said(fates: Counter[Fate]) -> int:
    """How many of some signs the script said."""
    return fates.total() - fates[Fate.ADDED]
