"""Who plays from here: the words over a staff that several players share.

In: the players of a staff and their passages. Out: for each voice and onset the words there. Winds are told `1.`, `2.`
and `a 2`, a section of strings or of singers `div.` and `unis.`, players of different instruments their names.
What the heads and stems tell is not said. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.edition.passages import Ensemble, Passage, Relation
from cavata.record import dataclass
from cavata.score.score import Part

LONG_SILENCE = 2
"""After so many silent bars a reader is told again who plays."""
_SECTIONS = frozenset(("strings", "voice"))
_HALVES = ("la metà", "l'altra metà")
_Key = tuple[Relation, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Naming:
    """How the players of a staff are called."""

    numbers: tuple[str, ...]
    """For each player `1.`, `2.` as counted in the whole score, or the instrument where they differ."""
    section: bool
    """They are one body of strings or singers that is divided."""
    alike: bool
    """All have one instrument."""

    @classmethod
    def of(cls, members: Sequence[Part], parts: Sequence[Part]) -> Naming:
        """The names of the members of a staff in a score of these parts."""
        alike = all(member.instrument == members[0].instrument for member in members)
        if alike:
            places = [part.name for part in parts if part.instrument == members[0].instrument]
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


def words_of(ensemble: Ensemble, passages: Sequence[Passage], naming: Naming) -> dict[tuple[int, Fraction], str]:
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


def _before(ensemble: Ensemble, bar: int) -> int:
    """How many bars just before this one are silent."""
    count = 0
    while count < bar and not ensemble.sounding(bar - 1 - count):
        count += 1
    return count


def _state(
    ensemble: Ensemble, passage: Passage, bar: int, who: tuple[int, ...], naming: Naming
) -> tuple[object, tuple[str, ...]]:
    """Who plays how in a bar, and the words for each voice."""
    if len(passage.voices) == 1 or len(ensemble.players) == len(passage.voices):
        relation = ensemble.relation(bar, who) if len(passage.voices) == 1 or len(who) == 1 else Relation.APART
        key = (relation, who) if relation in (Relation.UNISON, Relation.SILENT) else (Relation.CHORDS, who)
        text = naming.text(key)
        first = next((voice for voice, group in enumerate(passage.voices) if set(group) & set(who)), 0)
        return key, tuple(text if voice == first else "" for voice in range(len(passage.voices)))
    return (passage.voices, who), tuple(_of_voice(ensemble, bar, group, naming) for group in passage.voices)


def _of_voice(ensemble: Ensemble, bar: int, group: Sequence[int], naming: Naming) -> str:
    return naming.called([player for player in group if player in ensemble.sounding(bar)])


def _struck(ensemble: Ensemble, bar: int, group: Sequence[int]) -> Fraction | None:
    """The first onset of some players in a bar."""
    return min(_onsets(ensemble, bar, group), default=None)


def _onsets(ensemble: Ensemble, bar: int, group: Sequence[int]) -> Iterator[Fraction]:
    for player in group:
        for event in ensemble.beginning(player, bar):
            if not event.tied_before:
                yield event.onset
