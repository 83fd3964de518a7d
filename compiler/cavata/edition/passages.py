"""How the players of one staff go together: passage by passage one line, one stem with several heads, or two voices.

In: the events of each player of a movement and its bars. Out: passages, one after another, each with the players of its
voices. Holds after: no note, slur or hairpin goes from one passage into the next; in one voice whoever plays in a bar
has the same rhythm and the same marks. Source: common practice; where players differ is decided by the bar, as
engravers do, so that a reader meets one way of writing in each.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction
from itertools import combinations, pairwise

from cavata.music.event import KIND_OF, KINDS, Marks
from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.score.score import Part, ScoreBar, ScoreEvent, loudness

Player = Sequence[ScoreEvent]
WIDEST_STEM = 24
"""Semitones between the heads of two players on one stem: two octaves."""


class Relation(Enum):
    """How the players who sound in a bar stand to each other."""

    SILENT = "silent"
    UNISON = "unison"
    """The same notes; of one player alone too."""
    CHORDS = "chords"
    """The same rhythm, each player in place: the first on top."""
    CROSSED = "crossed"
    """The same rhythm, but heads on one stem would not tell who plays which."""
    APART = "apart"


@record
class SharedPassage:
    """A stretch of bars in which the players keep to their voices."""

    first: int
    """Index of its first bar."""
    end: int
    """Index of the bar after its last."""
    voices: tuple[tuple[int, ...], ...]
    """For each voice its players, counted from 0; none if the stretch cannot be read on one staff."""


@record
class _Shape:
    """An event without its pitches: players with equal shapes can share a stem."""

    onset: Fraction
    end: Fraction
    tied: tuple[bool, bool]
    loudness: str
    """The dynamic in force, empty if none was given."""
    techniques: tuple[str, ...]
    """Those in force."""
    marks: Marks
    graces: tuple[tuple[Pitch, ...], ...]


class StaffPlayers:
    """The players of one staff through a movement."""

    def __init__(self, players: Sequence[Player], bars: Sequence[ScoreBar], pitched: bool) -> None:
        self.players = players
        self.pitched = pitched
        self.bars = bars
        self._starts = [bar.onset for bar in bars]
        self._in_bars = [_by_bar(player, self._starts) for player in players]
        self._shapes = [_shapes(player) for player in players]

    def sounding(self, bar: int) -> tuple[int, ...]:
        """Who plays in a bar."""
        return tuple(player for player, bars in enumerate(self._in_bars) if bars[bar])

    def within(self, player: int, bar: int) -> Iterator[ScoreEvent]:
        """What a player has in a bar, notes that are held from before included."""
        return (self.players[player][event] for event in self._in_bars[player][bar])

    def beginning(self, player: int, bar: int) -> Iterator[ScoreEvent]:
        """What begins in a bar."""
        return (event for event in self.within(player, bar) if event.onset >= self._starts[bar])

    def relation(self, bar: int, group: Sequence[int]) -> Relation:
        """How those of a group who play in a bar stand to each other."""
        rows = [self._in_bars[player][bar] for player in group if self._in_bars[player][bar]]
        who = [player for player in group if self._in_bars[player][bar]]
        if not rows:
            return Relation.SILENT
        shapes = [[self._shapes[player][event] for event in row] for player, row in zip(who, rows, strict=True)]
        if any(not _alike(one, other) for one, other in combinations(shapes, 2)):
            return Relation.APART
        found = {
            self._chord([self.players[player][event] for player, event in zip(who, column, strict=True)])
            for column in zip(*rows, strict=True)
        }
        return found.pop() if len(found) == 1 else Relation.CROSSED

    def _chord(self, events: Sequence[ScoreEvent]) -> Relation:
        """How the players of one moment stand to each other; more than two need not stand in order."""
        pitches = [tuple(head.pitch for head in event.event.heads) for event in events]
        if not self.pitched:
            return Relation.CHORDS
        if all(chord == pitches[0] for chord in pitches):
            return Relation.UNISON
        ordered = all(high[0].midi > low[-1].midi for high, low in pairwise(pitches))
        near = pitches[0][-1].midi - pitches[-1][0].midi <= WIDEST_STEM
        return Relation.CHORDS if len(events) > 2 or (ordered and near) else Relation.CROSSED

    def passages(self) -> tuple[SharedPassage, ...]:
        """The whole movement in passages."""
        bound = set().union(*(_bound(player, self._starts) for player in self.players))
        edges = [bar for bar in range(len(self.bars)) if bar not in bound] + [len(self.bars)]
        found = [SharedPassage(first, end, self._voices(first, end)) for first, end in pairwise(edges)]
        return tuple(self._steady(found)) if len(self.players) == 2 else tuple(found)

    def _voices(self, first: int, end: int) -> tuple[tuple[int, ...], ...]:
        everybody = tuple(range(len(self.players)))
        return next((voices for voices in _divisions(everybody) if self._readable(voices, first, end)), ())

    def _readable(self, voices: tuple[tuple[int, ...], ...], first: int, end: int) -> bool:
        alone = len(voices) == 1
        wrong = {Relation.APART, Relation.CROSSED} if alone and len(self.players) == 2 else {Relation.APART}
        return all(self.relation(bar, group) not in wrong for bar in range(first, end) for group in voices)

    def _steady(self, passages: Sequence[SharedPassage]) -> Iterator[SharedPassage]:
        """One bar of chords between bars in two voices is written in two voices too, so that stems do not flicker."""
        apart = ((0,), (1,))
        for index, passage in enumerate(passages):
            around = passages[index - 1 : index + 2 : 2] if index else ()
            if (
                len(around) == 2 and all(other.voices == apart for other in around)
                and passage.end - passage.first == 1
                and self.relation(passage.first, (0, 1)) is Relation.CHORDS
            ):  # fmt: skip
                passage = replace(passage, voices=apart)
            yield passage


def _divisions(players: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Everybody in one voice, then in two: first those that part neighbors from neighbors."""
    yield (players,)
    for place in range(1, len(players)):
        yield players[:place], players[place:]
    for mask in range(1, 2 ** (len(players) - 1)):
        upper = tuple(p for p in players if p == players[0] or not mask >> (p - 1) & 1)
        lower = tuple(p for p in players if p not in upper)
        yield upper, lower


def _by_bar(player: Player, starts: Sequence[Fraction]) -> list[tuple[int, ...]]:
    """For each bar the events that sound in it."""
    found: list[list[int]] = [[] for _ in starts]
    for index, event in enumerate(player):
        if event.event.heads:
            first = bisect_right(starts, event.onset) - 1
            for bar in range(first, bisect_left(starts, event.end)):
                found[bar].append(index)
    return [tuple(events) for events in found]


def _bound(player: Player, starts: Sequence[Fraction]) -> set[int]:
    """The bars that something leads into: a note that is held, a slur, a hairpin, a pedal, a word that is sung on."""
    found: set[int] = set()
    for first, last, inclusive in _stretches(player):
        end = (bisect_right if inclusive else bisect_left)(starts, last)
        found.update(range(bisect_right(starts, first), end))
    return found


def _stretches(player: Player) -> Iterator[tuple[Fraction, Fraction, bool]]:
    """From and to, and whether a bar that begins just there is still bound; what begins in a voice ends in it."""
    opened: dict[str, Fraction] = {}
    for index, event in enumerate(player):
        marks, onset = event.event.marks, event.onset
        yield onset, event.end, False
        for line, begins, ends in (
            ("slur", marks.slur_begins, marks.slur_ends),
            ("hairpin", bool(marks.hairpin), marks.hairpin_ends),
            ("pedal", marks.pedal_begins, marks.pedal_ends),
        ):
            within = begins and ends and line not in opened
            if ends and line in opened:
                yield opened.pop(line), onset, True
            if begins and not within:
                opened[line] = onset
        word_goes_on = any(syllable.goes_on for syllable in marks.sung)
        if index + 1 < len(player) and (event.tied_after or marks.glides or word_goes_on):
            yield onset, player[index + 1].onset, True


def _shapes(player: Player) -> list[_Shape]:
    """Each event with what is in force there."""
    shapes = []
    techniques: dict[int, str] = {}
    for event, in_force in zip(player, loudness(player), strict=True):
        marks = event.event.marks
        for technique in marks.techniques:
            techniques[KIND_OF[technique]] = technique
            if technique == KINDS[KIND_OF[technique]][0]:
                del techniques[KIND_OF[technique]]  # what holds where nothing was said
        rest = replace(
            marks, dynamic="", techniques=(), symbol=None, graces=(), figures=(), label=""
        ) if marks else marks  # fmt: skip
        shapes.append(
            _Shape(
                event.onset, event.end, (event.tied_before, event.tied_after), in_force,
                tuple(techniques[kind] for kind in sorted(techniques)), rest,
                tuple(tuple(head.pitch for head in grace) for grace in marks.graces),
            )  # fmt: skip
        )
    return shapes


def _alike(first: Sequence[_Shape], second: Sequence[_Shape]) -> bool:
    """Whether two players of a bar can share its stems; who was given no dynamic yet goes with the other."""
    return len(first) == len(second) and all(
        one == other or (not (one.loudness and other.loudness) and replace(one, loudness=other.loudness) == other)
        for one, other in zip(first, second, strict=True)
    )


# ----------------------------------------------------------------
# Who plays from here: the words over a staff that several players share.
#
# In: the players of a staff and their passages. Out: for each voice and onset the words there. Winds are told `1.`,
# `2.`
# and `a 2`, a section of strings or of singers `div.` and `unis.`, players of different instruments their names.
# What the heads and stems tell is not said. Source: common practice.


LONG_SILENCE = 2
"""After so many silent bars a reader is told again who plays."""
_SECTIONS = frozenset(("strings", "voice"))
_HALVES = ("la metà", "l'altra metà")
_Key = tuple[Relation, tuple[int, ...]]


def _are_alike(part: Part, other: Part) -> bool:
    """Whether they are counted together; a soloist is not counted among those who stand beside him."""
    return part.instrument == other.instrument and part.soloist == other.soloist


@record
class Naming:
    """How the players of a staff are called."""

    numbers: tuple[str, ...]
    """For each player `1.`, `2.` as counted in the whole score, or the short name where they are not counted alike."""
    section: bool
    """They are one body of strings or singers that is divided."""
    alike: bool
    """All have one instrument, and none or all are soloists."""

    @classmethod
    def of(cls, members: Sequence[Part], parts: Sequence[Part]) -> Naming:
        """The names of the members of a staff in a score of these parts."""
        alike = all(_are_alike(member, members[0]) for member in members)
        if alike:
            places = [part.name for part in parts if _are_alike(part, members[0])]
            numbers = tuple(f"{places.index(member.name) + 1}." for member in members)
        else:
            numbers = tuple(member.abbreviation for member in members)
        return cls(numbers, members[0].instrument.family in _SECTIONS, alike)

    def text(self, key: _Key) -> str:
        """The words for those who play, and how; empty where the notes tell it."""
        relation, who = key
        everybody = len(who) == len(self.numbers)
        if relation is Relation.SILENT:
            return ""
        if not everybody:
            if self.section and self.alike and len(self.numbers) == len(_HALVES):
                return _HALVES[who[0]]
            return self.called(who)
        if relation is Relation.UNISON:
            return "unis." if self.section else f"a {len(who)}"
        if not self.section or not self.alike:
            return ""
        return "div." if len(who) == len(_HALVES) else f"div. a {len(who)}"

    def called(self, who: Sequence[int]) -> str:
        """Some of the players."""
        return (" " if self.alike else ", ").join(self.numbers[player] for player in who)


def movement_words(
    ensemble: StaffPlayers, passages: Sequence[SharedPassage], naming: Naming
) -> dict[tuple[int, Fraction], str]:
    """The words of a movement, by voice and onset."""
    everybody = tuple(range(len(ensemble.players)))
    words: dict[tuple[int, Fraction], str] = {}
    in_force: object = (Relation.UNISON, everybody) if naming.section else None
    for passage in passages:
        for bar in range(passage.first, passage.end):
            who = ensemble.sounding(bar)
            struck = tuple(_struck(ensemble, bar, group) for group in passage.voices)
            if not any(onset is not None for onset in struck):
                continue
            state, texts = _state(ensemble, passage, bar, who, naming)
            if state != in_force or (_before(ensemble, bar) >= LONG_SILENCE and not naming.section):
                words |= {
                    (voice, onset): text for voice, (onset, text) in enumerate(zip(struck, texts, strict=True))
                    if onset is not None and text
                }  # fmt: skip
                in_force = state
    return words


def _before(ensemble: StaffPlayers, bar: int) -> int:
    """How many bars just before this one are silent."""
    count = 0
    while count < bar and not ensemble.sounding(bar - 1 - count):
        count += 1
    return count


def _state(
    ensemble: StaffPlayers, passage: SharedPassage, bar: int, who: tuple[int, ...], naming: Naming
) -> tuple[object, tuple[str, ...]]:
    """Who plays how in a bar, and the words for each voice."""
    if len(passage.voices) == 1 or len(ensemble.players) == len(passage.voices):
        relation = ensemble.relation(bar, who) if len(passage.voices) == 1 or len(who) == 1 else Relation.APART
        key = (relation, who) if relation in (Relation.UNISON, Relation.SILENT) else (Relation.CHORDS, who)
        text = naming.text(key)
        first = next((voice for voice, group in enumerate(passage.voices) if set(group) & set(who)), 0)
        return key, tuple(text if voice == first else "" for voice in range(len(passage.voices)))
    return (passage.voices, who), tuple(_of_voice(ensemble, bar, group, naming) for group in passage.voices)


def _of_voice(ensemble: StaffPlayers, bar: int, group: Sequence[int], naming: Naming) -> str:
    return naming.called([player for player in group if player in ensemble.sounding(bar)])


def _struck(ensemble: StaffPlayers, bar: int, group: Sequence[int]) -> Fraction | None:
    """The first onset of some players in a bar."""
    return min(_onsets(ensemble, bar, group), default=None)


def _onsets(ensemble: StaffPlayers, bar: int, group: Sequence[int]) -> Iterator[Fraction]:
    for player in group:
        for event in ensemble.beginning(player, bar):
            if not event.tied_before:
                yield event.onset
