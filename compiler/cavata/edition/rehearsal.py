"""A rehearsal copy: a soloist's line above the rest on two staves, for a pianist.

In: the whole score and the soloist's part. Out: a score of two parts. Holds after: what is on top and what is lowest
wherever something begins in the rest is there; nothing is there that does not sound; no hand spans more than a tenth,
nor has more than four notes. Inner doublings are left out first, and what is held is let go where the hand must move.
It is a guide for the hands, and says so: what the pianist leaves out is the pianist's choice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from cavata.edition.fermatas import with_fermatas
from cavata.edition.reduction import shared_out, voices_of, without_doublings, written_out
from cavata.edition.slices import ReducedBar, SourceLine, lines_of
from cavata.instruments import table
from cavata.instruments.foreign import printed_abbreviation, printed_name
from cavata.music.event import Event, Head
from cavata.record import replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Part, Score, ScoreEvent, Staff, without_ossias

TENTH = 16
"""Semitones one hand spans at most."""
FINGERS = 4
"""Notes in one hand at most."""
_NOT_ON_KEYS = frozenset(("upbow", "downbow", "open", "stopped", "harmonic"))
RIGHT, LEFT, NOWHERE = 0, 1, 2
Place = tuple[int, int]
"""A line by its number, and a bar."""


def rehearsal_score(score: Score, index: int) -> Score:
    """The rehearsal copy for the part of that index."""
    soloist = score.parts[index]
    words = page_words(score.header.language, "reading", "rehearsal", soloist=soloist.label)
    subtitle = f"{score.header.subtitle} \u2013 {words}" if score.header.subtitle else words
    header = replace(
        score.header, kind=CopyKind.REHEARSAL, reader=soloist.label, show_letters=False, colors=(), subtitle=subtitle
    )
    movements = tuple(
        replace(movement, staves=(without_ossias(movement.staves[index]), _hands(score, movement, index)))
        for movement in score.movements
    )
    parts = (replace(soloist, soloist=True), _piano(soloist))
    copy = replace(score, header=header, parts=parts, groups=(), movements=movements, shared=())
    return with_fermatas(copy, score)


def _piano(soloist: Part) -> Part:
    instrument = table.instruments()["piano"]
    return replace(
        soloist, name="reduction", instrument=instrument, label=printed_name(instrument, False, soloist.language),
        abbreviation=printed_abbreviation(instrument, soloist.language), soloist=False, section=False,
        own_label=False, number="", members=(),
    )  # fmt: skip


def _hands(score: Score, movement: Movement, index: int) -> tuple[Staff, ...]:
    lines = [
        line for line in lines_of(score.parts, movement)
        if line.part is not score.parts[index] and not line.part.instrument.unpitched
    ]  # fmt: skip
    bars = len(movement.bars)
    (right, left), fragments = _for_hands(lines, bars)
    plans: tuple[list[tuple[ReducedBar, ...]], ...] = ([], [])
    for bar in range(bars):
        above, below = _voices(right, bar, fragments, RIGHT), _voices(left, bar, fragments, LEFT)
        told = above or below
        for side, voices in enumerate((above, below)):
            plans[side].append(tuple(_plain(voice, voice is not told[0]) for voice in voices))
    return tuple(
        Staff(name, tuple(tuple(map(_on_keys, voice)) for voice in written_out(plan)))
        for name, plan in zip(("right", "left"), plans, strict=True)
    )


def _on_keys(event: ScoreEvent) -> ScoreEvent:
    """The event without what tells a string or a horn player how, as mutes and bows."""
    marks = event.event.marks
    if not marks.techniques and _NOT_ON_KEYS.isdisjoint(marks.articulations):
        return event
    kept = tuple(word for word in marks.articulations if word not in _NOT_ON_KEYS)
    return replace(event, event=replace(event.event, marks=replace(marks, techniques=(), articulations=kept)))


def _voices(lines: Sequence[SourceLine], bar: int, fragments: frozenset[Place], side: int) -> tuple[ReducedBar, ...]:
    """The voices of a hand; single notes of lines that it does not follow join the outer voice."""
    single = tuple(line for line in lines if line.bars[bar] and (line.number, bar) in fragments)
    voices = voices_of([line for line in lines if line not in single], bar)
    if not voices or not single:
        return voices or voices_of(single, bar)
    joins = voices[0] if side == RIGHT else voices[-1]
    return tuple(replace(v, lines=v.lines + single) if v is joins else v for v in voices)


def _plain(voice: ReducedBar, follows: bool) -> ReducedBar:
    """A voice of a hand: how loud it is, and who leads, stands once for both hands, at the voice on top."""
    return replace(voice, parts=() if follows else (voice.lead.part,), quiet=follows)


@dataclass(slots=True)
class _Finger:
    """One head of a line while the hands are being filled."""

    line: SourceLine
    bar: int
    event: ScoreEvent
    head: Head
    end: Fraction
    outer: bool = False
    """On top of everything that sounds, or below it, where it begins."""
    same: list[_Finger] = field(default_factory=list)
    """Heads of other lines that are the same key."""

    @property
    def key(self) -> int:
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


def _for_hands(
    lines: Sequence[SourceLine], bars: int
) -> tuple[tuple[list[SourceLine], list[SourceLine]], frozenset[Place]]:
    """The lines of each hand, without what it cannot play, and those of which only single notes are left in a bar.

    A line that a hand could follow only here and there is left out of the bar, but for its outer notes; then the
    hands are filled again, since they have more room.
    """
    sides = {(line.number, bar): side for line, bar, side in _sides(lines, bars)}
    everything = sorted(
        (event.onset, event.end, head.pitch.midi)
        for line in lines for bar in line.bars for event in bar for head in event.event.heads
    )  # fmt: skip
    while True:
        hands = _filled(lines, sides, everything)
        halting = {place for hand in hands for place in _halting(hand, lines) if sides.get(place, NOWHERE) != NOWHERE}
        if not halting:
            fragments = frozenset(place for place, side in sides.items() if side == NOWHERE)
            return (_as_lines(hands[RIGHT], lines, bars), _as_lines(hands[LEFT], lines, bars)), fragments
        sides |= dict.fromkeys(halting, NOWHERE)


def _filled(
    lines: Sequence[SourceLine], sides: Mapping[Place, int], everything: Sequence[tuple[Fraction, Fraction, int]]
) -> tuple[_Hand, _Hand]:
    """What both hands play."""
    struck: dict[Fraction, list[tuple[_Finger, int]]] = {}
    for line in lines:
        for bar, events in enumerate(line.bars):
            for event in events if (line.number, bar) in sides else ():
                for head in event.event.heads:
                    finger = _Finger(line, bar, event, head, event.end)
                    struck.setdefault(event.onset, []).append((finger, sides[line.number, bar]))
    hands = (_Hand(), _Hand())
    sounding: list[tuple[Fraction, int]] = []
    place = 0
    for onset in sorted(struck):
        while place < len(everything) and everything[place][0] <= onset:
            sounding.append(everything[place][1:])
            place += 1
        sounding = [(end, key) for end, key in sounding if end > onset]
        keys = [key for _, key in sounding]
        _strike(hands, _dealt(struck[onset], min(keys), max(keys)), onset)
    return hands


def _halting(hand: _Hand, lines: Sequence[SourceLine]) -> Iterator[Place]:
    """The lines, each with its bar, of which a hand plays inner notes but not all."""
    played = Counter((finger.line.number, finger.bar) for finger in hand.heads())
    inner = {(finger.line.number, finger.bar) for finger in hand.heads() if not finger.outer}
    by_number = {line.number: line for line in lines}
    for number, bar in inner:
        if played[number, bar] < sum(len(event.event.heads) for event in by_number[number].bars[bar]):
            yield number, bar


def _sides(lines: Sequence[SourceLine], bars: int) -> Iterator[tuple[SourceLine, int, int]]:
    """Each line that is worth playing in a bar, with its hand: not more than two rhythms in each."""
    upper: set[int] = set()
    for bar in range(bars):
        kept = without_doublings([line for line in lines if line.bars[bar]], bar)
        for side, share in enumerate(shared_out(kept, bar, upper)):
            worth = _worth_playing(share, bar, side)
            for line in share:
                yield line, bar, side if line.number in worth else NOWHERE


def _worth_playing(share: Sequence[SourceLine], bar: int, side: int) -> set[int]:
    """The numbers of the lines of a hand that need not be left out: two rhythms, the outer line's and most others'."""
    if not share:
        return set()
    outer = share[0] if side == RIGHT else share[-1]
    counts = Counter(line.rhythms[bar] for line in share if line.rhythms[bar] != outer.rhythms[bar])
    second = counts.most_common(1)[0][0] if counts else None
    return {line.number for line in share if line.rhythms[bar] in (outer.rhythms[bar], second)}


def _dealt(struck: Sequence[tuple[_Finger, int]], lowest: int, highest: int) -> tuple[list[_Finger], list[_Finger]]:
    """What each hand is to strike.

    Top and bass go to different hands where one could not reach both; the chord that has one of them goes with it, as
    far as the hand reaches.
    """
    dealt: tuple[list[_Finger], list[_Finger]] = ([], [])
    wide = highest - lowest > TENTH
    for finger, side in struck:
        finger.outer = finger.key in (lowest, highest)
        chord = [head.pitch.midi for head in finger.event.event.heads]
        if finger.outer and (side == NOWHERE or wide):
            side = RIGHT if finger.key == highest else LEFT
        elif side == LEFT and wide and max(chord) == highest and highest - finger.key <= TENTH:
            side = RIGHT
        elif side == RIGHT and wide and min(chord) == lowest and finger.key - lowest <= TENTH:
            side = LEFT
        struck_already = next((other for hand in dealt for other in hand if other.key == finger.key), None)
        if side != NOWHERE and struck_already is not None:
            struck_already.same.append(finger)
            struck_already.end = max(struck_already.end, finger.end)
        elif side != NOWHERE:
            dealt[side].append(finger)
    return dealt


def _strike(hands: tuple[_Hand, _Hand], dealt: tuple[list[_Finger], list[_Finger]], onset: Fraction) -> None:
    """Let each hand strike what it can reach, and hold what it can beside that; outer notes come first."""
    for side, (hand, wanted) in enumerate(zip(hands, dealt, strict=True)):
        hand.held = [finger for finger in hand.held if finger.end > onset]
        if not wanted:
            continue
        kept = [finger for finger in wanted if finger.outer]
        near = _reachable([finger for finger in hand.held if finger.outer], kept)
        kept += _added([finger for finger in wanted if not finger.outer], [*kept, *near], side)
        near += _reachable([finger for finger in hand.held if not finger.outer], [*kept, *near])
        for finger in hand.held:
            if finger not in near:
                finger.end = onset
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
