"""Planned voices of a reduction as events: with the marks of whoever leads, and the names of those who play.

In: for each bar the lines that each voice of a staff has. Out: the staff's voices. A dynamic stands where it changes; a
slur or hairpin stands only where one line leads the voice from its beginning to its end. Holds after: nothing begins on
the staff that does not begin among its lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.edition.slices import HeldNote, ReducedBar, SourceLine, as_one_voice
from cavata.edition.stretches import VoicePlan
from cavata.instruments.foreign import printed_abbreviation
from cavata.music.event import AFTERWARD
from cavata.place.voices import said_once
from cavata.record import replace
from cavata.score.score import Part, ScoreEvent

MOST_NAMED = 3
"""More instruments than these are `tutti`."""
_Stretch = tuple[Fraction, Fraction]


def marked(
    events: Sequence[ScoreEvent], plan: Sequence[ReducedBar | None], names: Mapping[Fraction, str]
) -> tuple[ScoreEvent, ...]:
    """The events with the marks of whoever leads, and with names where others begin to play."""
    leaders = {
        event.onset: (planned, event)
        for bar, planned in enumerate(plan) if planned for event in planned.lead.bars[bar]
    }  # fmt: skip
    swells = _lines_kept(plan, "hairpin")
    slurs, hairpins = _ends(_lines_kept(plan, "slur")), _ends(swells)
    led_to = {end for begin, end in swells if begin < end}
    out = []
    told = ""
    for event in events:
        planned, source = leaders.get(event.onset, (None, None))
        who = names.get(event.onset, "")
        if planned is None or source is None or event.tied_before:
            out.append(event.with_marks(replace(event.event.marks, who=who)) if who else event)
            continue
        given = source.event.marks
        loudness = planned.lead.loudness.get(event.onset, "")
        ends = event.onset in hairpins[1]
        told = AFTERWARD.get(given.attack, told)
        dynamic = loudness if event.onset in led_to or loudness != told else ""
        told = loudness or told
        if ends and given.goal and not given.dies_away:
            told = AFTERWARD.get(given.goal, given.goal)
        marks = replace(
            given, dynamic="" if planned.quiet else dynamic, attack="" if planned.quiet else given.attack,
            hairpin_ends=ends, goal=given.goal if ends else "",
            hairpin=given.hairpin if event.onset in hairpins[0] else "",
            slur_begins=event.onset in slurs[0], slur_ends=event.onset in slurs[1],
            glides=False, pedal_begins=False, pedal_ends=False, who=who, string="",
            harmonic="",
        )  # fmt: skip
        out.append(event.with_marks(marks))
    return tuple(out)


def _ends(stretches: Sequence[_Stretch]) -> tuple[frozenset[Fraction], frozenset[Fraction]]:
    """Where some lines begin, and where they end."""
    return frozenset(begin for begin, _ in stretches), frozenset(end for _, end in stretches)


def _lines_kept(plan: Sequence[ReducedBar | None], kind: str) -> list[_Stretch]:
    """The slurs or hairpins that one leader has from beginning to end, which do not cross."""
    found: list[_Stretch] = []
    opened: tuple[SourceLine, Fraction] | None = None
    for bar, planned in enumerate(plan):
        if planned is None:
            continue
        if planned.quiet and kind == "hairpin":
            opened = None
            continue
        line = planned.lead
        if opened is not None and opened[0] is not line:
            opened = None
        for event in line.bars[bar]:
            marks = event.event.marks
            begins = marks.slur_begins if kind == "slur" else bool(marks.hairpin)
            ends = marks.slur_ends if kind == "slur" else marks.hairpin_ends
            if kind == "hairpin" and begins and ends and marks.goal:  # on one note
                found.append((event.onset, event.onset))
                begins = False
            if ends and opened is not None:
                found.append((opened[1], event.onset))
                opened = None
            if begins:
                opened = (line, event.onset)
    return found


def names_in(plan: VoicePlan, voice: int) -> dict[Fraction, str]:
    """Who plays a voice, at the first note of each bar in which somebody joins or leads anew."""
    found: dict[Fraction, str] = {}
    known: tuple[str, ...] = ()
    for bar, voices in enumerate(plan):
        planned = voices[voice] if voice < len(voices) else None
        if planned is None or not planned.parts:
            continue
        others = {
            called(part) for other in voices if other is not None and other is not planned for part in other.parts
        }
        names = _called_together(planned.parts, others)
        fewer = set(names) < set(known) and names[0] == known[0]
        if names != known and not fewer:
            onset = min(event.onset for line in planned.lines for event in line.bars[bar])
            found[onset] = ", ".join(names) if len(names) <= MOST_NAMED else "tutti"
            known = names
    return found


def _called_together(parts: Sequence[Part], others: set[str]) -> tuple[str, ...]:
    """The instruments of a voice; those that another voice has too with the numbers of their players."""
    numbers: dict[str, list[str]] = {}
    for part in parts:
        number = part.number.partition(" ")[0]
        kept = numbers.setdefault(called(part), [])
        if number and number not in kept:
            kept.append(number)
    return tuple(
        f"{name} {', '.join(own)}" if name in others and own else name for name, own in numbers.items()
    )


def called(part: Part) -> str:
    """A part's short name without the number of its player and the key of its instrument."""
    name = part.abbreviation if part.own_label else printed_abbreviation(part.instrument, part.language)
    return name.partition(" (")[0]


def written_out(plan: VoicePlan) -> tuple[tuple[ScoreEvent, ...], ...]:
    """The voices of a staff whose bars are planned."""
    voices: list[tuple[ScoreEvent, ...]] = []
    count = max(map(len, plan), default=0)
    names = _beside_each_other([names_in(plan, voice) for voice in range(count)])
    for voice in range(count):
        alone = [planned[voice] if voice < len(planned) else None for planned in plan]
        notes = [
            note for bar, planned in enumerate(alone) if planned is not None
            for line in planned.lines for note in notes_of(line, bar)
        ]  # fmt: skip
        events = marked(as_one_voice(notes, voice), alone, names[voice])
        for above in voices:
            events = said_once(above, events)
        voices.append(events)
    return tuple(voices) or ((),)


def _beside_each_other(names: list[dict[Fraction, str]]) -> list[dict[Fraction, str]]:
    """The names of each voice, those of an inner one beside those of the outer one whose stems go the same way."""
    for inner, outer in ((2, 0), (3, 1)):
        if inner < len(names):
            for onset in names[inner].keys() & names[outer].keys():
                both = names[outer][onset], names[inner].pop(onset)
                names[outer][onset] = " / ".join(both if outer == 0 else both[::-1])
    return names


def notes_of(line: SourceLine, bar: int) -> Iterator[HeldNote]:
    """The notes of a line that begin in a bar."""
    for event in line.bars[bar]:
        for head in event.event.heads:
            yield HeldNote(event.onset, event.end, head, line.number, event.line, event.tied_before)
