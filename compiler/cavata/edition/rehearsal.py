"""A rehearsal copy: soloists above the rest on two staves, for a pianist; or those staves under a choir.

In: the whole score and the parts of the soloists, or none. Out: a score of their parts and the piano's, or that
alone. Stretch by stretch the top line and the bass line are played whole, and beside them the lines that fit: two
rhythms in each hand, and of what is struck together a tenth and four notes at most. A line that a hand could follow
only here and there is left out of the bar. What is held is held in its voice, with the pedal where the hand must
move. Holds after: nothing is there that does not sound; what is left out is told at the foot. It is a guide for the
hands, and says so: what the pianist leaves out is the pianist's choice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from cavata.edition.fermatas import with_fermatas
from cavata.edition.left_out import left_out
from cavata.edition.reduction import written_out
from cavata.edition.slices import ReducedBar, SourceLine, source_lines
from cavata.edition.stretches import Stretch, VoicePlan, Voices, shared_out, stretches, without_doublings
from cavata.instruments import table
from cavata.instruments.foreign import printed_abbreviation, printed_name
from cavata.music.event import Event, Head
from cavata.record import replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Part, Score, ScoreEvent, Staff, without_ossias
from cavata.text import dashed

TENTH = 16
"""Semitones one hand spans at most."""
FINGERS = 4
"""Notes in one hand at most."""
RHYTHMS = 2
"""In one hand at most."""
_NOT_ON_KEYS = frozenset(("upbow", "downbow", "open", "stopped", "harmonic"))
RIGHT, LEFT = 0, 1
LineBar = tuple[int, int]
"""A line by its number, and a bar."""


def rehearsal_score(score: Score, *places: int) -> Score:
    """The rehearsal copy for the parts in these places, in score order."""
    soloists = [score.parts[place] for place in places]
    names = ", ".join(soloist.label for soloist in soloists)
    words = page_words(score.header.language, "reading", "rehearsal", soloist=names)
    subtitle = dashed(score.header.subtitle, words)
    hands = tuple(_hands(score, movement, soloists) for movement in score.movements)
    movements = tuple(
        replace(movement, staves=(*(without_ossias(movement.staves[place]) for place in places), staves))
        for movement, staves in zip(score.movements, hands, strict=True)
    )
    header = replace(
        score.header, kind=CopyKind.REHEARSAL, reader=names, show_letters=False, colors=(), subtitle=subtitle,
        foot=dashed(score.header.foot, _left_out(score, hands, soloists)),
    )  # fmt: skip
    parts = (*(replace(soloist, soloist=True) for soloist in soloists), _piano(soloists[0]))
    copy = replace(score, header=header, parts=parts, groups=(), movements=movements, shared=())
    return with_fermatas(copy, score)


def _piano(soloist: Part) -> Part:
    instrument = table.instruments()["piano"]
    return replace(
        soloist, name="reduction", instrument=instrument, label=printed_name(instrument, False, soloist.language),
        abbreviation=printed_abbreviation(instrument, soloist.language), soloist=False, section=False,
        own_label=False, number="", members=(),
    )  # fmt: skip


def with_rehearsal_piano(score: Score) -> Score:
    """The score with a piano under it that plays with everybody in rehearsals, and is no part of the piece."""
    first = score.parts[0]
    words = page_words(first.language, "playing", "rehearsal_only")
    piano = _piano(first)
    piano = replace(piano, label=f"{piano.label} ({words})", own_label=True)
    movements = tuple(
        replace(movement, staves=(*movement.staves, _hands(score, movement, ()))) for movement in score.movements
    )
    return replace(score, parts=(*score.parts, piano), movements=movements)


def _left_out(score: Score, hands: Sequence[tuple[Staff, ...]], soloists: Sequence[Part]) -> str:
    """What the hands leave out, in words."""
    made = tuple(
        replace(movement, staves=(staves,)) for movement, staves in zip(score.movements, hands, strict=True)
    )
    others = [part for part in score.parts if part not in soloists]
    return left_out(score, made, [part for part in others if part.instrument.unpitched], others)


def _hands(score: Score, movement: Movement, soloists: Sequence[Part]) -> tuple[Staff, ...]:
    lines = [
        line for line in source_lines(score.parts, movement)
        if line.part not in soloists and not line.part.instrument.unpitched
    ]  # fmt: skip
    bars = len(movement.bars)
    plans = []
    for own in _for_hands(lines, movement):
        voices = Voices(bars, RHYTHMS)
        for stretch in stretches(own, movement):
            voices.take(stretch, stretch.lines)
        plans.append(voices.plan)
    return tuple(
        Staff(name, tuple(tuple(map(_on_keys, voice)) for voice in written_out(plan)))
        for name, plan in zip(("right", "left"), _told_once(plans[RIGHT], plans[LEFT]), strict=True)
    )


def _told_once(right: VoicePlan, left: VoicePlan) -> tuple[VoicePlan, VoicePlan]:
    """The plans of both hands: how loud it is, and who leads, stands at the voice on top."""
    found: tuple[list[tuple[ReducedBar | None, ...]], ...] = ([], [])
    for bars in zip(right, left, strict=True):
        told = next((voice for voices in bars for voice in voices if voice is not None), None)
        for side, voices in enumerate(bars):
            found[side].append(tuple(
                None if voice is None
                else replace(voice, parts=(voice.lead.part,) if voice is told else (), quiet=voice is not told)
                for voice in voices
            ))  # fmt: skip
    return found[RIGHT], found[LEFT]


def _on_keys(event: ScoreEvent) -> ScoreEvent:
    """The event without what tells a string or a horn player how, as mutes and bows."""
    marks = event.event.marks
    if not marks.techniques and _NOT_ON_KEYS.isdisjoint(marks.articulations):
        return event
    kept = tuple(word for word in marks.articulations if word not in _NOT_ON_KEYS)
    return event.with_marks(replace(marks, techniques=(), articulations=kept))


@dataclass(slots=True)
class _Finger:
    """One head of a line while the hands are being filled."""

    line: SourceLine
    bar: int
    event: ScoreEvent
    head: Head
    end: Fraction
    leading: bool = False
    """Of the top line or the bass line, outermost in its chord."""
    outer: bool = False
    """On top of everything that is played, or below it, where it begins; or leading."""
    same: list[_Finger] = field(default_factory=list)
    """Heads of other lines that are the same key."""

    @property
    def key(self) -> int:
        """Which key it is on, by the MIDI standard."""
        return self.head.pitch.midi


@dataclass(slots=True)
class _Hand:
    """What a hand holds at a moment, and all it has played."""

    held: list[_Finger] = field(default_factory=list)
    played: list[_Finger] = field(default_factory=list)

    def heads(self) -> Iterator[_Finger]:
        """All it has played; a key that several lines have counts for each of them."""
        for finger in self.played:
            for each in (finger, *finger.same):
                yield replace(each, end=min(each.event.end, finger.end), outer=finger.outer)


@dataclass(slots=True)
class _Sides:
    """Which hand plays a line in a bar, and which lines lead."""

    of: dict[LineBar, int] = field(default_factory=dict)
    leading: dict[LineBar, int] = field(default_factory=dict)
    """The top line and the bass line, with their hands."""


def _for_hands(lines: Sequence[SourceLine], movement: Movement) -> tuple[list[SourceLine], list[SourceLine]]:
    """The lines of each hand, without what it cannot play.

    A line that a hand could follow only here and there is left out of the bar, unless nothing would be struck there at
    all; then the hands are filled again, since they have more room.
    """
    sides = _sides(lines, movement)
    by_number = {line.number: line for line in lines}
    while True:
        hands = _filled(lines, sides)
        halting = {place for hand in hands for place in _halting(hand, by_number) if place not in sides.leading}
        others = {bar for number, bar in sides.of.keys() - halting if by_number[number].bars[bar]}
        halting = {place for place in halting if place[1] in others}
        if not halting:
            bars = len(movement.bars)
            return _as_lines(hands[RIGHT], lines, bars), _as_lines(hands[LEFT], lines, bars)
        for place in halting:
            del sides.of[place]


def _filled(lines: Sequence[SourceLine], sides: _Sides) -> tuple[_Hand, _Hand]:
    """What both hands play."""
    struck: dict[Fraction, list[tuple[_Finger, int]]] = {}
    for line in lines:
        for bar, events in enumerate(line.bars):
            place = line.number, bar
            for event in events if place in sides.of else ():
                leads = sides.leading.get(place)
                heads = sorted(event.event.heads, key=lambda head: head.pitch.midi)
                chief = None if leads is None else heads[-1] if leads == RIGHT else heads[0]
                for head in event.event.heads:
                    finger = _Finger(line, bar, event, head, event.end, leading=head is chief)
                    struck.setdefault(event.onset, []).append((finger, sides.of[place]))
    hands = (_Hand(), _Hand())
    sounding: list[tuple[Fraction, int]] = []
    for onset in sorted(struck):
        sounding = [(end, key) for end, key in sounding if end > onset]
        sounding += [(finger.end, finger.key) for finger, _ in struck[onset]]
        keys = [key for _, key in sounding]
        _strike(hands, _dealt(struck[onset], min(keys), max(keys)), onset)
    return hands


def _halting(hand: _Hand, by_number: Mapping[int, SourceLine]) -> Iterator[LineBar]:
    """The lines, each with its bar, of which a hand plays inner notes but not all."""
    played = Counter((finger.line.number, finger.bar) for finger in hand.heads())
    inner = {(finger.line.number, finger.bar) for finger in hand.heads() if not finger.outer}
    for number, bar in inner:
        if played[number, bar] < sum(len(event.event.heads) for event in by_number[number].bars[bar]):
            yield number, bar


def _sides(lines: Sequence[SourceLine], movement: Movement) -> _Sides:
    """Each line that is worth playing in a bar, with its hand."""
    sides = _Sides()
    above: dict[int, bool] = {}
    for stretch in stretches(lines, movement):
        kept = without_doublings(stretch, stretch.lines)
        for side, share in enumerate(shared_out(stretch, kept, above, RHYTHMS)):
            if not share:
                continue
            outer = share[0] if side == RIGHT else share[-1]
            for line in _worth_playing(stretch, share, side):
                sides.of |= {(line.number, bar): side for bar in stretch.bars}
            sides.leading |= {(outer.number, bar): side for bar in stretch.bars}
    return sides


def _worth_playing(stretch: Stretch, share: Sequence[SourceLine], side: int) -> list[SourceLine]:
    """The lines of a hand that need not be left out, from outside inward: those of the outer line's rhythm, and inside
    them those of the rhythm that most others have; more would have to be folded into each other.
    """
    inward = share if side == RIGHT else share[::-1]
    own = stretch.rhythm(inward[0])
    counts = Counter(stretch.rhythm(line) for line in share if stretch.rhythm(line) != own)
    second = counts.most_common(1)[0][0] if counts else own
    kept: list[SourceLine] = []
    inside = False
    for line in inward:
        rhythm = stretch.rhythm(line)
        inside = inside or rhythm == second != own
        if rhythm == (second if inside else own):
            kept.append(line)
    return kept


def _dealt(struck: Sequence[tuple[_Finger, int]], lowest: int, highest: int) -> tuple[list[_Finger], list[_Finger]]:
    """What each hand is to strike.

    Top and bass go to different hands where one could not reach both; the chord that has one of them goes with it, as
    far as the hand reaches.
    """
    dealt: tuple[list[_Finger], list[_Finger]] = ([], [])
    wide = highest - lowest > TENTH
    for finger, side in struck:
        extreme = finger.key in (lowest, highest)
        finger.outer = extreme or finger.leading
        chord = [head.pitch.midi for head in finger.event.event.heads]
        if extreme and wide:
            side = RIGHT if finger.key == highest else LEFT
        elif side == LEFT and wide and max(chord) == highest and highest - finger.key <= TENTH:
            side = RIGHT
        elif side == RIGHT and wide and min(chord) == lowest and finger.key - lowest <= TENTH:
            side = LEFT
        struck_already = next((other for hand in dealt for other in hand if other.key == finger.key), None)
        if struck_already is not None:
            struck_already.same.append(finger)
            struck_already.end = max(struck_already.end, finger.end)
            struck_already.outer |= finger.outer
        else:
            dealt[side].append(finger)
    return dealt


def _strike(hands: tuple[_Hand, _Hand], dealt: tuple[list[_Finger], list[_Finger]], onset: Fraction) -> None:
    """Let each hand strike what it can reach; outer notes come first. What it cannot hold beside, the pedal holds."""
    for side, (hand, wanted) in enumerate(zip(hands, dealt, strict=True)):
        hand.held = [finger for finger in hand.held if finger.end > onset]
        if not wanted:
            continue
        kept: list[_Finger] = []
        for finger in sorted(wanted, key=lambda finger: not finger.leading):
            kept += _reachable([finger], kept) if finger.outer else []
        near = _reachable([finger for finger in hand.held if finger.outer], kept)
        kept += _added([finger for finger in wanted if not finger.outer], [*kept, *near], side)
        near += _reachable([finger for finger in hand.held if not finger.outer], [*kept, *near])
        hand.held = near + kept
        hand.played += kept


def _added(wanted: Sequence[_Finger], there: Sequence[_Finger], side: int) -> list[_Finger]:
    """What a hand can take besides, from the outside in: first what no other finger doubles."""
    kept: list[_Finger] = []
    order = sorted(wanted, key=lambda finger: -finger.key if side == RIGHT else finger.key)
    for doubled in (False, True):
        for finger in order:
            hand = [*there, *kept]
            doubles = any((finger.key - other.key) % 12 == 0 for other in hand)
            if finger not in kept and doubles == doubled and _reachable([finger], hand):
                kept.append(finger)
    return kept


def _reachable(fingers: Sequence[_Finger], there: Sequence[_Finger]) -> list[_Finger]:
    """Those of some notes, one after another, that a hand can have beside what it has."""
    near: list[_Finger] = []
    for finger in fingers:
        hand = [*there, *near]
        free = all(finger.key != other.key for other in hand)
        if free and len(hand) < FINGERS and _reach([*hand, finger]) <= TENTH:
            near.append(finger)
    return near


def _reach(fingers: Sequence[_Finger]) -> int:
    keys = [finger.key for finger in fingers]
    return max(keys) - min(keys)


def _as_lines(hand: _Hand, lines: Sequence[SourceLine], bars: int) -> list[SourceLine]:
    """The lines again, with what the hand plays of them."""
    found = []
    for line in lines:
        events: dict[Fraction, list[_Finger]] = {}
        for finger in hand.heads():
            if finger.line is line:
                events.setdefault(finger.event.onset, []).append(finger)
        if events:
            kept = tuple(
                tuple(_event(events[event.onset]) for event in line.bars[bar] if event.onset in events)
                for bar in range(bars)
            )
            found.append(SourceLine.of(line.number, line.part, kept, line.loudness))
    return found


def _event(fingers: Sequence[_Finger]) -> ScoreEvent:
    """An event as the hand plays it: its heads, as long as all of them can be held."""
    event = fingers[0].event
    heads = tuple(head for head in event.event.heads if any(finger.head is head for finger in fingers))
    end = min(finger.end for finger in fingers)
    marks = replace(event.event.marks, sung=(), symbol=None, figures=(), label="")
    return replace(event, event=Event(end - event.onset, heads, marks), tied_after=False)
