"""The systems of a movement: which parts and staves stand in them, under which brackets, and where free time may break.

In: a movement as it is written, or its parts from the top with the groups of the piece. Out: the movement with what
is shown said of each part and staff; a tree of brackets; moments inside bars. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import accumulate, pairwise

from cavata.notate.written import Accidental, Beam, Leaf, WrittenItem, WrittenMovement, leaves, length_of, timed_leaves
from cavata.record import record, replace
from cavata.score.score import CopyKind, Group, GroupSign, Header, Part

Voice = tuple[WrittenItem, ...]
BracketNode = int | tuple[Group, "tuple[BracketNode, ...]"]
"""A part by its place, or a group with what stands under its bracket."""

MANY_STAVES = 10
"""A full score of so many staves leaves out those that are silent through a whole system."""
MANY_IN_SHORT = 5
"""A short score, whose staves are families, does so from so many on."""
LONGEST_SILENCE = 3
"""Where everybody is silent for more bars than this, a system might have no staff left."""
_STRINGS = "strings"
_FULL_LINE = 40
"""So many notes of one voice stand on a line of a part, if each is by itself."""
_NOTE, _HAIRPIN, _GLIDE, _SIGN = 2, 8, 6, 1
"""What a note takes, and beside it a hairpin with the letters at its ends, a glissando, an accidental: in halves
of a note."""
_LINE = _NOTE * _FULL_LINE
_BEYOND = _LINE * 3 // 2
"""What stands on no line, however closely, between the bar lines of measured time."""
_QUICK = _LINE // 3
"""What a voice takes at least that has much to do with so many moments in a bar."""
_NEAREST, _CROWDED = Fraction(1, 2), Fraction(1, 8)
"""Breaks closer than this, in whole notes, are of no use to anyone; in a bar too full for a line they are closer."""


def with_systems(
    movement: WrittenMovement, header: Header, opens: bool, groups: Sequence[Group] = ()
) -> WrittenMovement:
    """The movement with what its systems show.

    The movement that opens the copy has every part; a later one is without those that never play in it, unless none
    does. From its second system on a full or short score of many staves leaves out what is silent there, and any copy
    a part that never plays in the movement; a soloist stays there. Where the piece says `show every staff`, nothing is
    left out anywhere. The strings of a score of many stand there all or none; those that never play in the movement are
    not counted among them.
    """
    may_hide = not header.every_staff
    some_play = not all(part.silent for part in movement.parts)
    staves = sum(len(part.staves) for part in movement.parts)
    enough = {CopyKind.SCORE: MANY_STAVES, CopyKind.SHORT: MANY_IN_SHORT}.get(header.kind)
    many = enough is not None and staves >= enough and _longest_silence(movement) <= LONGEST_SILENCE
    strings = _strings(movement, groups) if many else frozenset()
    parts = []
    for part in movement.parts:
        idle = may_hide and some_play and part.silent
        hides = not part.part.soloist and (idle or (may_hide and many))
        together = hides and not idle and part.part.name in strings
        staves_shown = tuple(replace(staff, hides=hides, together=together) for staff in part.staves)
        parts.append(replace(part, staves=staves_shown, printed=opens or not idle))
    shown = replace(movement, parts=tuple(parts))
    return replace(shown, marks_above=_marks_above(shown) if header.kind is CopyKind.SCORE else "")


def _strings(movement: WrittenMovement, groups: Sequence[Group]) -> frozenset[str]:
    """The parts under a bracket in which all are strings."""
    parts = [part.part for part in movement.parts]
    found: set[str] = set()
    for node in tree(parts, groups):
        inside = [parts[place] for place in places_in((node,))]
        if not isinstance(node, int) and all(part.instrument.family == _STRINGS for part in inside):
            found.update(part.name for part in inside)
    return frozenset(found)


def _marks_above(movement: WrittenMovement) -> str:
    """The first violins, or who leads the strings, where their staves are far from the top of the page.

    Source: the guidelines of the orchestra librarians' association, who ask for tempi above the top staff and above the
    first violins.
    """
    parts = movement.printed
    if sum(len(part.staves) for part in parts) <= MANY_STAVES:
        return ""
    strings = [part.part.instrument.family == _STRINGS and not part.part.soloist for part in parts]
    first = next((place for place, here in enumerate(pairwise(strings)) if all(here)), 0)
    return parts[first].part.name if first else ""


def _longest_silence(movement: WrittenMovement) -> int:
    """The most bars in a row in which nobody plays."""
    silent = longest = 0
    for place in range(len(movement.frames)):
        bars = (staff.bars[place] for part in movement.parts for staff in part.staves)
        plays = any(leaf.heads for bar in bars for voice in bar.voices for leaf in leaves(voice))
        silent = 0 if plays else silent + 1
        longest = max(longest, silent)
    return longest


def line_breaks(movement: WrittenMovement) -> tuple[tuple[Fraction, ...], ...]:
    """For each frame the offsets inside it at which a line may break; none in measured time, but for bars that would
    not fit on a line.

    At such a moment every part begins something new, and no beam is under way; nor a tie or a tuplet, but where there
    is more than a line without such a moment; and where there is still more than a line, not every part.
    """
    return tuple(
        () if frame.meter is not None and not _is_crowded(movement, index) else _frame_breaks(movement, index)
        for index, frame in enumerate(movement.frames)
    )


def _is_crowded(movement: WrittenMovement, index: int) -> bool:
    """Whether some staff has more in a bar than surely stands on one line, or all of them together have."""
    voices = [voice for part in movement.printed for staff in part.staves for voice in staff.bars[index].voices]
    taken = [sum(map(_room, leaves(voice))) for voice in voices]
    if any(each > _LINE for each in taken):
        return True
    # When each note begins is asked only where some voice is quick: it is every bar that is looked at here.
    many = max(taken, default=0) > _QUICK and sum(taken) > _BEYOND
    return many and _taken_together(_onsets(voices), Fraction(0), movement.frames[index].duration) > _BEYOND


def _onsets(voices: Sequence[Voice]) -> set[Fraction]:
    """The moments of a bar at which any of these voices has a new note."""
    return {onset for voice in voices for onset, _ in timed_leaves(voice, Fraction(0))}


def _taken_together(onsets: Collection[Fraction], begin: Fraction, end: Fraction) -> int:
    """What those of such moments that lie between two others take of a line."""
    return _NOTE * sum(begin <= onset < end for onset in onsets)


def _taken(voice: Voice, begin: Fraction, end: Fraction) -> int:
    """What the notes that begin between two moments of a bar take of a line."""
    return sum(_room(leaf) for onset, leaf in timed_leaves(voice, Fraction(0)) if begin <= onset < end)


def _room(leaf: Leaf) -> int:
    """What a leaf takes of a line, measured in halves of a note."""
    signs = sum(head.accidental is not Accidental.NONE for head in leaf.heads)
    return _NOTE + _HAIRPIN * bool(leaf.marks.hairpin) + _GLIDE * leaf.marks.glides + _SIGN * signs


def _frame_breaks(movement: WrittenMovement, index: int) -> tuple[Fraction, ...]:
    frame = movement.frames[index]
    voices = [
        voice for part in movement.printed for staff in part.staves for voice in staff.bars[index].voices
        if voice and not all(leaf.whole_bar for leaf in leaves(voice))
    ]  # fmt: skip
    onsets = _onsets(voices)
    chosen: list[Fraction] = []
    most_of_all = _LINE if frame.meter is None else _BEYOND
    if frame.meter is None:
        chosen = _apart(_common(voices, False), Fraction(0), frame.duration, _NEAREST)
    for most, moments in ((_LINE, partial(_common, voices, True)), (most_of_all, partial(_unbeamed, voices))):
        edges = [Fraction(0), *chosen, frame.duration]
        crowded = [
            stretch for stretch in pairwise(edges)
            if any(_taken(voice, *stretch) > most for voice in voices) or _taken_together(onsets, *stretch) > _BEYOND
        ]  # fmt: skip
        for begin, end in crowded:
            chosen += _apart(moments(), begin, end, _CROWDED)
        chosen.sort()
    return tuple(chosen)


def _common(voices: Sequence[Voice], under_way: bool) -> list[Fraction]:
    """The moments at which all voices begin something new."""
    points = [_resting_points(voice, under_way) for voice in voices]
    return sorted(set.intersection(*points)) if points else []


def _unbeamed(voices: Sequence[Voice]) -> list[Fraction]:
    """The moments at which some voice begins something new, and no beam is under way."""
    found = set().union(*(_resting_points(voice, True) for voice in voices))
    beams = [beam for voice in voices for beam in _beams(voice)]
    return sorted(moment for moment in found if not any(begin < moment < end for begin, end in beams))


def _beams(voice: Voice) -> Iterator[tuple[Fraction, Fraction]]:
    """The beginning of the first and of the last note of each beam."""
    begin = Fraction(0)
    for onset, leaf in timed_leaves(voice, Fraction(0)):
        match leaf.beams[:1]:
            case (Beam.BEGIN,):
                begin = onset
            case (Beam.END,):
                yield begin, onset
            case _:
                pass


def _apart(moments: Sequence[Fraction], begin: Fraction, end: Fraction, nearest: Fraction) -> list[Fraction]:
    """Those between two others that are not nearer to one another than that."""
    chosen: list[Fraction] = []
    for moment in moments:
        if moment - (chosen[-1] if chosen else begin) >= nearest and end - moment >= nearest:
            chosen.append(moment)
    return chosen


def _resting_points(voice: Voice, under_way: bool) -> set[Fraction]:
    """The ends of items at which no beam goes on, and no tie or tuplet unless these are let through."""
    timed = list(timed_leaves(voice, Fraction(0)))
    outside = set(accumulate(map(length_of, voice)))
    ends = [*(onset for onset, _ in timed[1:]), sum(map(length_of, voice), Fraction(0))]
    points = set()
    for (_, leaf), end in zip(timed, ends, strict=True):
        beamed = leaf.beams and leaf.beams[0] in (Beam.BEGIN, Beam.CONTINUE)
        whole = end in outside and not any(head.tie_begins for head in leaf.heads)
        if not beamed and (under_way or whole):
            points.add(end)
    return points


def tree(parts: Sequence[Part], groups: Sequence[Group]) -> tuple[BracketNode, ...]:
    """The parts of a system under their brackets.

    A bracket spans neighbors only, two at least, and no soloist but one amid the others; it stands inside another or
    beside it, and never across its end.
    """
    runs = [_Run(first, end, group) for group in groups for first, end in _runs(group, parts)]
    kept = _brackets([run for run in runs if run.group.sign is GroupSign.BRACKET])
    thin = [run for run in runs if run.group.sign is not GroupSign.BRACKET]
    for run in sorted(thin, key=lambda run: run.first - run.end):
        around = [other for other in kept if other.overlaps(run)]
        inside = all(other.holds(run) for other in around)
        if inside and (run.group.sign is GroupSign.BRACE or not any(run.holds(other) for other in around)):
            kept.append(run)
    return _nodes(0, len(parts), sorted(kept, key=lambda run: (run.first, -run.end)))


def places_in(nodes: Sequence[BracketNode]) -> Iterator[int]:
    """The places of all parts under some brackets, from the top."""
    for node in nodes:
        if isinstance(node, int):
            yield node
        else:
            yield from places_in(node[1])


@record
class _Run:
    """Neighbors of a group, by the places of the first and of the one after the last."""

    first: int
    end: int
    group: Group

    def overlaps(self, other: _Run) -> bool:
        """Whether they have a part in common."""
        return self.first < other.end and other.first < self.end

    def holds(self, other: _Run) -> bool:
        """Whether it has all parts of the other."""
        return self.first <= other.first and other.end <= self.end


def _brackets(runs: Sequence[_Run]) -> list[_Run]:
    """The brackets that are drawn: of families by custom, or of the composer's groups in their place.

    Of the composer's groups, which are also names to write with, only the largest are drawn, and none that would tear a
    family: that has a part of it and others, or leaves some of it without a bracket. One that joins whole families
    stands for them, but singers, whose bar lines stop at each staff, are joined to nobody.
    """
    families = [run for run in runs if run.group.customary]
    drawn: list[_Run] = []
    for run in sorted((run for run in runs if not run.group.customary), key=lambda run: run.first - run.end):
        touched = [family for family in families if family.overlaps(run)]
        tears = any(not (family.holds(run) or run.holds(family)) for family in touched)
        mixes = any(not family.group.joined and not family.holds(run) for family in touched)
        if not tears and not mixes and not any(other.overlaps(run) for other in drawn):
            drawn.append(run)
    for family in families:
        inside = [run for run in drawn if run.overlaps(family)]
        if not all(any(run.first <= place < run.end for run in inside) for place in range(family.first, family.end)):
            drawn = [run for run in drawn if run not in inside] + [family]
    return drawn


def _runs(group: Group, parts: Sequence[Part]) -> list[tuple[int, int]]:
    """The stretches of neighbors of a group, the second number after its last; a part alone has no bracket."""
    named = [part.name in group.parts for part in parts]
    inside = [
        here and (not part.soloist or (0 < place < len(parts) - 1 and _amid(parts, named, place)))
        for place, (part, here) in enumerate(zip(parts, named, strict=True))
    ]
    edges = [place for place, (before, here) in enumerate(pairwise([False, *inside, False])) if before != here]
    return [(first, end) for first, end in zip(edges[::2], edges[1::2], strict=True) if end - first > 1]


def _amid(parts: Sequence[Part], named: Sequence[bool], place: int) -> bool:
    """Whether a soloist stands between two of a group who are none."""
    return all(named[beside] and not parts[beside].soloist for beside in (place - 1, place + 1))


def _nodes(first: int, end: int, runs: Sequence[_Run]) -> tuple[BracketNode, ...]:
    nodes: list[BracketNode] = []
    place = first
    while place < end:
        run = next((run for run in runs if run.first == place and run.end <= end), None)
        if run is None:
            nodes.append(place)
            place += 1
        else:
            rest = [other for other in runs if other is not run]
            nodes.append((run.group, _nodes(run.first, run.end, rest)))
            place = run.end
    return tuple(nodes)
