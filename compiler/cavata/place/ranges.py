"""What players are asked to reach, in three degrees.

In: a part's events in one movement. Out: warnings only, since the player knows better. A note beyond the extreme is
told at its item. What else goes beyond the usual range, and what lies long outside the comfortable one, is told once
for a part and direction, so that a score is not flooded. Several on one line are held to the section's range where
the table has one, as for violins and choirs: a soloist reaches higher than sixteen players together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import Enum

from cavata.diagnostics import Diagnostics
from cavata.instruments.instrument import Instrument
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.score import Part, ScoreEvent
from cavata.score.whereabouts import Whereabouts

MANY = 12
"""So many notes outside the comfortable range are worth a word, if they are a third of the part's. A choice of ours."""
SHARE = 3


def guide_words(instrument: Instrument) -> str:
    """The words that end every cure of what is a guide."""
    return f"this is a guide: the {player_of(instrument)} knows better"


def player_of(instrument: Instrument) -> str:
    """Who has an instrument: `player`, `singer`, or `speaker`."""
    if instrument.family == "voice":
        return "speaker" if instrument.key == "narrator" else "singer"
    return "player"


PitchSpan = tuple[Pitch, Pitch]


class RangeSide(Enum):
    """On which side of a range a note lies: the word, the code of what no one plays, which head of a chord."""

    BELOW = ("below", "I201", 0)
    ABOVE = ("above", "I202", -1)

    @property
    def word(self) -> str:
        """`below` or `above`."""
        return self.value[0]

    @property
    def code(self) -> str:
        """The code of what no one plays."""
        return self.value[1]

    def pitch(self, event: ScoreEvent) -> Pitch:
        """The lowest pitch of an event, or its highest."""
        return event.event.heads[self.value[2]].pitch

    def farthest(self, events: Iterable[ScoreEvent]) -> Pitch:
        """The lowest pitch of all, or the highest."""
        pitches = (self.pitch(event) for event in events)
        return (min if self is RangeSide.BELOW else max)(pitches, key=lambda pitch: pitch.midi)


class Band(Enum):
    """The band of a range beyond which a note lies."""

    EASY = "comfortable"
    USUAL = "usual"
    EXTREME = "extreme"


CODES = frozenset(["I103", "I104", *(side.code for side in RangeSide)])
"""In which ranges are told."""


@record
class Reach:
    """What a part reaches, as sounding pitches."""

    easy: PitchSpan
    usual: PitchSpan
    extreme: PitchSpan


def check_ranges(part: Part, events: Sequence[ScoreEvent], where: Whereabouts, bag: Diagnostics) -> None:
    """Warn of what a part does not reach, or not with ease."""
    reach = reach_of(part)
    if reach is None:
        return
    for side, band, outside in beyond(part, reach, events):
        match band:
            case Band.EXTREME:
                _tell_beyond(part, reach, outside, side, where, bag)
            case Band.USUAL:
                _tell_unusual(part, reach, outside, side, where, bag)
            case Band.EASY:
                _tell_uneasy(part, reach, outside, len(events), side, where, bag)


def beyond(
    part: Part, reach: Reach, events: Sequence[ScoreEvent]
) -> Iterator[tuple[RangeSide, Band, list[ScoreEvent]]]:
    """What is worth a word of a part's events: on each side those beyond a band, in order; of the comfortable one only
    where they are many and nothing else is told."""
    low, high = (pitch.midi for pitch in reach.easy)
    outside = [
        e for e in events
        if (e.event.heads[0].pitch.midi < low or e.event.heads[-1].pitch.midi > high) and not e.event.marks.spoken
    ]  # fmt: skip
    outside = [e for e in outside if not _is_told_otherwise(part.instrument, reach, e)]
    for side in RangeSide if outside else ():
        limits = [span[0 if side is RangeSide.BELOW else 1].midi for span in (reach.easy, reach.usual, reach.extreme)]
        uneasy, unusual, extreme = _sorted_out(outside, side, limits)
        if extreme:
            yield side, Band.EXTREME, extreme
        told = {event.line for event in extreme}
        if unusual:
            if rest := [event for event in unusual if event.line not in told]:
                yield side, Band.USUAL, rest
        elif len(uneasy) >= MANY and len(uneasy) * SHARE >= len(events):
            yield side, Band.EASY, uneasy


def _is_told_otherwise(instrument: Instrument, reach: Reach, event: ScoreEvent) -> bool:
    """Whether it is told with more to say why a note is not there: that a slide has no position for it, no string and
    fret, or that a bowed string has no such harmonic."""
    low, high = event.event.heads[0].pitch, event.event.heads[-1].pitch
    if "trombone" in instrument.key:
        from cavata.instruments.slide import is_absent  # few pieces have such notes

        return is_absent(instrument.key, low)
    if instrument.family == "strings" and event.event.marks.asks_harmonic:
        return low.midi >= reach.extreme[0].midi
    if not instrument.frets or event.event.marks.asks_harmonic:
        return False
    if low.midi < reach.extreme[0].midi or high.midi > reach.extreme[1].midi:
        return False
    strings = [string.midi for string in instrument.strings]
    return low.midi < min(strings) or high.midi > max(strings) + instrument.frets


def reach_of(part: Part) -> Reach | None:
    """The bands of the part's instrument; of a section its own range, where the table has it."""
    ours = part.instrument
    if ours.lowest is None or ours.highest is None or ours.comfortable is None or ours.extreme is None:
        return None
    usual = (ours.lowest, ours.highest)
    if part.section and ours.section is not None:
        return Reach(ours.section, ours.section, ours.extreme)
    return Reach(ours.comfortable, usual, ours.extreme)


def is_of_section(part: Part) -> bool:
    """Whether a part is held to what several on one line reach."""
    return part.section and part.instrument.section is not None


def usual_range(part: Part) -> str:
    """What the range is called that a part usually has."""
    return "the range of a section" if is_of_section(part) else "the usual range"


_Sorted = tuple[list[ScoreEvent], list[ScoreEvent], list[ScoreEvent]]


def _sorted_out(events: Sequence[ScoreEvent], side: RangeSide, limits: Sequence[int]) -> _Sorted:
    """Events outside the comfortable, the usual and the extreme range on one side, each in one list."""
    found: _Sorted = ([], [], [])
    below = side is RangeSide.BELOW
    for event in events:
        key = side.pitch(event).midi
        degree = sum(1 for limit in limits if (key < limit if below else key > limit))
        if degree:
            found[degree - 1].append(event)
    return found


def _tell_beyond(
    part: Part, reach: Reach, events: list[ScoreEvent], side: RangeSide, where: Whereabouts, bag: Diagnostics
) -> None:
    """Each item once, with every bar in which it comes back."""
    items: dict[tuple[str, int], list[ScoreEvent]] = {}
    for event in events:
        items.setdefault((event.line.source.name, event.line.start), []).append(event)
    for same in items.values():
        first = same[0]
        here, also = where.bars_of((first,)), where.also_in(first, same[1:])
        low, high = reach.usual
        bag.warning(
            side.code, first.line,
            f"{side.pitch(first)} lies {side.word} the range of `{part.name}`{here}",
            label=f"{part.instrument.name}: sounding range {low} to {high}{extreme_of(reach)}{also}",
            cure=f"move it by octaves with {_within(part, reach, same, where)}; {guide_words(part.instrument)}",
            also=where.sounds_in(first),
        )  # fmt: skip


def _within(part: Part, reach: Reach, events: Sequence[ScoreEvent], where: Whereabouts) -> str:
    """What moves the first of some notes into the usual range: at its item, or where that stands outside the section
    in which it sounds, and may be well elsewhere, over the section's bars."""
    low, high = reach.usual
    within = f"within {low}..{high}"
    first = where.bar(events[0])
    if not where.sounds_in(events[0]) or first.meter is None or first.bar_in_section < 1:
        return f"`{within}`"
    bars = [bar.bar_in_section for bar in map(where.bar, events) if bar.section == first.section]
    return f"`{part.name} bars {min(bars)} to {max(bars)}: {within}` in that section"


def extreme_of(reach: Reach) -> str:
    """How far a range goes at the extreme, as words after it; nothing where that is no farther."""
    return "" if reach.extreme == reach.usual else f", at the extreme {reach.extreme[0]} to {reach.extreme[1]}"


def _tell_unusual(
    part: Part, reach: Reach, events: list[ScoreEvent], side: RangeSide, where: Whereabouts, bag: Diagnostics
) -> None:
    low, high = reach.usual
    several = is_of_section(part)
    what = usual_range(part)
    fits = f"several on one line are at ease from {low} to {high}" if several else f"usual is {low} to {high}"
    asked = "sings" if part.instrument.family == "voice" else "plays"
    octaves = f"ask who {asked} it, or take {_within(part, reach, events, where)}"
    cure = "divide the section, or give it to a soloist" if several else octaves
    bag.warning(
        "I103", events[0].line,
        f"`{part.name}` goes {side.word} {what}{where.bars_of(events)}",
        label=f"as far as {side.farthest(events)}, sounding; {fits}", cure=f"{cure}; {guide_words(part.instrument)}",
        also=where.sounds_in(events[0]),
    )  # fmt: skip


def _tell_uneasy(
    part: Part, reach: Reach, events: list[ScoreEvent], among: int, side: RangeSide, where: Whereabouts,
    bag: Diagnostics
) -> None:
    low, high = reach.easy
    bag.warning(
        "I104", events[0].line, f"much of `{part.name}` lies {side.word} the comfortable range",
        label=f"{len(events)} of {among} notes{where.bars_of(events)}; comfortable is {low} to {high}, sounding",
        cure=f"give the {player_of(part.instrument)} rest from it, or an easier octave; {guide_words(part.instrument)}",
        also=where.sounds_in(events[0]),
    )  # fmt: skip
