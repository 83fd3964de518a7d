"""Many lines on one staff of a short score: two voices at most, the melody and the rest.

In: the lines that a staff is made of. Out: its voices, with marks and with the names of those who play. Bar by bar:
lines that are the same stand once, of lines in octaves the outer two. The line on top leads the upper voice, with all
that moves in its rhythm and lies above the rest; the rest is the lower voice. Where everything moves together there is
one voice. Holds after: wherever something begins among the lines, the same begins on the staff, and nothing else does.
Source: common practice of arrangers; what they would do by ear is not attempted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.edition.slices import HeldNote, ReducedBar, SourceLine, joined, rhythms_of
from cavata.instruments.foreign import printed_abbreviation
from cavata.music.event import AFTERWARD, Marks
from cavata.music.pitch import MIDDLE_C
from cavata.place.voices import VOICES, said_once
from cavata.record import replace
from cavata.score.score import Part, ScoreEvent

# ----------------------------------------------------------------
# Marks on a voice that was made of several lines: those of the line that leads it, and who plays.
#
# In: the voice's events, and for each bar the lines it is made of. Out: the same events, marked. A dynamic stands where
# it changes; a slur or hairpin stands only where one line leads the voice from its beginning to its end.


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
    slurs, hairpins = _ends(_lines_kept(plan, "slur")), _ends(_lines_kept(plan, "hairpin"))
    out = []
    told = ""
    for event in events:
        planned, source = leaders.get(event.onset, (None, None))
        who = names.get(event.onset, "")
        if planned is None or source is None or event.tied_before:
            out.append(_with(event, replace(event.event.marks, who=who)) if who else event)
            continue
        given = source.event.marks
        loudness = planned.lead.loudness.get(event.onset, "")
        goal = event.onset in hairpins[1]
        told = AFTERWARD.get(given.attack, told)
        dynamic = loudness if goal or loudness != told else ""
        told = loudness or told
        marks = replace(
            given, dynamic="" if planned.quiet else dynamic, attack="" if planned.quiet else given.attack,
            hairpin_ends=goal, goal=given.goal if goal or not given.dies_away else "",
            hairpin=given.hairpin if event.onset in hairpins[0] else "",
            slur_begins=event.onset in slurs[0], slur_ends=event.onset in slurs[1],
            glides=False, pedal_begins=False, pedal_ends=False, who=who, string="",
            harmonic="",
        )  # fmt: skip
        out.append(_with(event, marks))
    return tuple(out)


def _ends(stretches: Sequence[_Stretch]) -> tuple[frozenset[Fraction], frozenset[Fraction]]:
    """Where some lines begin, and where they end."""
    return frozenset(begin for begin, _ in stretches), frozenset(end for _, end in stretches)


def _with(event: ScoreEvent, marks: Marks) -> ScoreEvent:
    return replace(event, event=replace(event.event, marks=marks))


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
            if ends and opened is not None:
                found.append((opened[1], event.onset))
                opened = None
            if begins:
                opened = (line, event.onset)
    return found


def names_in(plan: Sequence[tuple[ReducedBar, ...]], voice: int) -> dict[Fraction, str]:
    """Who plays a voice, at the first note of each bar in which somebody joins or leads anew."""
    found: dict[Fraction, str] = {}
    known: tuple[str, ...] = ()
    for bar, voices in enumerate(plan):
        if voice >= len(voices) or not voices[voice].parts:
            continue
        planned = voices[voice]
        others = {called(part) for other in voices if other is not planned for part in other.parts}
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


# ----------------------------------------------------------------

_OCTAVE = 12
_MIDDLE = MIDDLE_C.midi
FOLDING = 12
"""A third rhythm in a staff costs as much as a line an octave beyond middle C."""

Plan = Sequence[tuple[ReducedBar, ...]]
"""For each bar its voices, the upper first; none where nothing begins."""


def written_out(plan: Plan) -> tuple[tuple[ScoreEvent, ...], ...]:
    """The voices of a staff whose bars are planned."""
    voices = []
    for voice in range(max(map(len, plan), default=0)):
        notes = [
            note for bar, planned in enumerate(plan) if voice < len(planned)
            for line in planned[voice].lines for note in notes_of(line, bar)
        ]  # fmt: skip
        events = joined(notes, voice)
        alone = [planned[voice] if voice < len(planned) else None for planned in plan]
        voices.append(marked(events, alone, names_in(plan, voice)))
    if len(voices) < 2:
        return tuple(voices) or ((),)
    return voices[0], said_once(voices[0], voices[1])


def notes_of(line: SourceLine, bar: int) -> Iterator[HeldNote]:
    """The notes of a line that begin in a bar."""
    for event in line.bars[bar]:
        for head in event.event.heads:
            yield HeldNote(event.onset, event.end, head, line.number, event.line, event.tied_before)


def voices_of(lines: Sequence[SourceLine], bar: int) -> tuple[ReducedBar, ...]:
    """The voices of a bar."""
    playing = [line for line in lines if line.bars[bar]]
    if not playing:
        return ()
    kept = sorted(without_doublings(playing, bar), key=lambda line: (-line.heights[bar], line.number))
    upper, lower = _parted(kept, bar)
    doubling = [line for line in playing if line not in kept]
    above = [line for line in doubling if any(in_octaves(line, other, bar) for other in upper)]
    found = [ReducedBar(tuple(upper), _who([*upper, *above]), upper[0])]
    if lower:
        below = [line for line in doubling if line not in above]
        found.append(ReducedBar(tuple(lower), _who([*lower, *below]), lower[-1]))
    return tuple(found)


def shared_out(lines: Sequence[SourceLine], bar: int, before: set[int]) -> tuple[list[SourceLine], list[SourceLine]]:
    """The lines of an upper staff and a lower one, parted by height, so that each has two rhythms at most if possible.

    `before` are the numbers of the lines that were on the upper staff; a line stays there where nothing speaks against.
    """
    playing = sorted((line for line in lines if line.bars[bar]), key=lambda line: (-line.heights[bar], line.number))

    def cost(place: int) -> float:
        shares = playing[:place], playing[place:]
        folded = sum(max(0, rhythms_of(share, bar) - VOICES) for share in shares)
        low = sum(max(0.0, _MIDDLE - float(line.heights[bar])) for line in shares[0])
        high = sum(max(0.0, float(line.heights[bar]) - _MIDDLE) for line in shares[1])
        moved = sum(1 for line in shares[0] if line.number not in before) + sum(
            1 for line in shares[1] if line.number in before
        )
        return FOLDING * folded + low + high + moved

    best = min(range(len(playing) + 1), key=lambda place: (cost(place), place))
    before -= {line.number for line in playing}
    before |= {line.number for line in playing[:best]}
    return playing[:best], playing[best:]


def without_doublings(playing: Sequence[SourceLine], bar: int) -> list[SourceLine]:
    """Equal lines once, and of lines in octaves the highest and the lowest."""
    kept: list[SourceLine] = []
    for line in playing:
        if not any(line.rhythms[bar] == k.rhythms[bar] and line.pitches[bar] == k.pitches[bar] for k in kept):
            kept.append(line)
    return [line for line in kept if not _inside_octaves(line, kept, bar)]


def _inside_octaves(line: SourceLine, others: Sequence[SourceLine], bar: int) -> bool:
    """Whether the line is doubled in octaves both above and below."""
    doubles = [other for other in others if other is not line and in_octaves(line, other, bar)]
    heights = [other.heights[bar] for other in doubles]
    return bool(heights) and min(heights) < line.heights[bar] < max(heights)


def in_octaves(line: SourceLine, other: SourceLine, bar: int) -> bool:
    """Whether two lines go in octaves or in unison through a bar."""
    if line.rhythms[bar] != other.rhythms[bar]:
        return False
    pairs = zip(line.pitches[bar], other.pitches[bar], strict=True)
    return all(
        len(mine) == len(theirs) and all((a.midi - b.midi) % _OCTAVE == 0 for a, b in zip(mine, theirs, strict=True))
        for mine, theirs in pairs
    )


def _parted(kept: Sequence[SourceLine], bar: int) -> tuple[list[SourceLine], list[SourceLine]]:
    """The lines of the upper voice and of the lower one, the highest first."""
    top = kept[0]
    alike = [line for line in kept if line.rhythms[bar] == top.rhythms[bar]]
    if len(alike) == len(kept):
        return list(kept), []
    ceiling = max(line.heights[bar] for line in kept if line not in alike)
    upper = [line for line in alike if line is top or line.heights[bar] > ceiling]
    return upper, [line for line in kept if line not in upper]


def _who(lines: Sequence[SourceLine]) -> tuple[Part, ...]:
    """The parts of some lines, in score order."""
    return tuple({line.part.name: line.part for line in sorted(lines, key=lambda line: line.number)}.values())
