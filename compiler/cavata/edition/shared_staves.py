"""Several players on one staff of the full score.

In: a score with a staff for every part, and the staves that are shared. Out: the score with one part for each shared
staff. Holds after: every note of the players stands on the staff, with its origins, its line and its marks; only
what all of them would be told alike stands once.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.edition.passages import Naming, Player, SharedPassage, StaffPlayers, movement_words
from cavata.instruments.instrument import Instrument
from cavata.music.event import Event, Head, Marks, Syllable, in_verse
from cavata.music.pitch import Pitch
from cavata.place.voices import said_once
from cavata.record import replace
from cavata.score.percussionists import brace_of, stands
from cavata.score.score import (
    Group,
    Movement,
    Part,
    Score,
    ScoreEvent,
    SharedStaff,
    Staff,
    bar_at,
    events_of,
)
from cavata.source import Span

BOTTOM_LINE = 30
"""The staff position of the lowest line, where several unpitched instruments have a line each: E4."""


def with_shared_staves(score: Score) -> Score:
    """The score as the conductor reads it; a staff that could not be read is left as parts of their own."""
    everybody = score.parts
    braces = {brace.name: brace for brace, _ in stands(score)}
    for staff in score.shared:
        if staff.apart:
            score = replace(score, groups=(*score.groups, braces.get(staff.name) or brace_of(staff)))
        elif _unreadable(score, staff) is None:
            score = _on_one_staff(score, staff, everybody)
    return replace(score, shared=())


def with_percussion_sets(score: Score) -> Score:
    """The score as its players share it: unpitched instruments on one staff are one player's, who reads all of them."""
    sets = tuple(staff for staff, parts in score.percussion_sets if len(parts) == len(staff.parts))
    if not sets:
        return score
    apart = tuple(staff for staff in score.shared if staff.apart)
    return replace(with_shared_staves(replace(score, shared=sets)), shared=apart)


def report_unreadable(score: Score, bag: Diagnostics) -> None:
    """A warning for each staff that no reader could untangle, at its statement and the first such place."""
    for staff in score.shared:
        found = _unreadable(score, staff)
        if found is not None:
            movement, number, line, why = found
            bag.warning(
                "P130", staff.span, f"the parts of `{staff.name}` cannot be read on one staff", label=why,
                cure="in the score each of them has a staff of its own; make two staves of it, or let them play alike",
                also=((line, f"bar {number} of `{movement.name}`"),),
            )  # fmt: skip


def _unreadable(score: Score, staff: SharedStaff) -> tuple[Movement, int, Span, str] | None:
    """The first bar with more than two rhythms at once: its movement, number and line, and the reason."""
    if staff.apart:
        return None
    for movement in score.movements:
        places = _places(score, staff)
        for change in movement.changes:
            if change.part in staff.parts:
                bar = bar_at(movement.bars, change.begin)
                why = f"`{change.part}` takes up the {change.instrument.key}"
                return movement, bar.number, change.span, why
        for place in places:
            if movement.staves[place][0].ossia:
                event = next(events_of((movement.staves[place][0].as_ossia,)))
                bar = bar_at(movement.bars, event.onset)
                return movement, bar.number, event.line, f"`{score.parts[place].name}` has an ossia"
            if sum(1 for voice in movement.staves[place][0].voices if voice) > 1:
                event = next(voice[0] for voice in reversed(movement.staves[place][0].voices) if voice)
                bar = bar_at(movement.bars, event.onset)
                return movement, bar.number, event.line, f"`{score.parts[place].name}` has two voices of its own"
        ensemble = _ensemble(score, movement, places)
        for passage in ensemble.passages():
            if not passage.voices:
                line = next(
                    event.line for player in ensemble.players for event in player
                    if event.end > movement.bars[passage.first].onset
                )  # fmt: skip
                return movement, movement.bars[passage.first].number, line, "more than two rhythms at once"
    return None


def _places(score: Score, staff: SharedStaff) -> list[int]:
    return [place for place, part in enumerate(score.parts) if part.name in staff.parts]


def _ensemble(score: Score, movement: Movement, places: Sequence[int]) -> StaffPlayers:
    players = [_single(movement.staves[place][0]) for place in places]
    return StaffPlayers(players, movement.bars, not score.parts[places[0]].instrument.unpitched)


def _single(staff: Staff) -> Player:
    """The only voice of a staff that sounds."""
    return next((voice for voice in staff.voices if voice), ())


def _on_one_staff(score: Score, staff: SharedStaff, everybody: Sequence[Part]) -> Score:
    """The score with a staff in the place of its players, who are counted among all parts of the piece."""
    places = _places(score, staff)
    first, last = places[0], places[-1]
    members = tuple(score.parts[place] for place in places)
    part = Part(
        staff.name, _read_by_all(members), staff.label, staff.abbreviation,
        all(member.soloist for member in members), staff.span, members=members,
    )  # fmt: skip
    naming = Naming.of(members, everybody)
    movements = tuple(
        replace(
            movement,
            staves=(
                *movement.staves[:first],
                (_merged(_ensemble(score, movement, places), members, naming),),
                *movement.staves[last + 1 :],
            ),
        )
        for movement in score.movements
    )
    parts = (*score.parts[:first], part, *score.parts[last + 1 :])
    groups = tuple(_regrouped(group, part) for group in score.groups)
    return replace(score, parts=parts, groups=groups, movements=movements)


def _read_by_all(members: Sequence[Part]) -> Instrument:
    """The first player's instrument in the clefs that all of them read, as tenors and basses share the bass clef."""
    first = members[0].instrument
    clefs = tuple(clef for clef in first.clefs if all(clef in member.instrument.clefs for member in members))
    return replace(first, clefs=clefs) if clefs and clefs != first.clefs else first


def _regrouped(group: Group, part: Part) -> Group:
    """The group with the staff in the place of its players."""
    inside = {member.name for member in part.members}
    return replace(group, parts=tuple(dict.fromkeys(part.name if p in inside else p for p in group.parts)))


def _merged(ensemble: StaffPlayers, members: Sequence[Part], naming: Naming) -> Staff:
    """The staff of a movement, in one voice or two."""
    passages = ensemble.passages()
    lines = {} if ensemble.pitched else {player: _line(player, len(members)) for player in range(len(members))}
    voices: list[list[ScoreEvent]] = [[], []]
    for passage in passages:
        for number, group in enumerate(passage.voices):
            voices[number] += _together(ensemble, passage, group, number, lines)
    words = movement_words(ensemble, passages, naming) if ensemble.pitched else {}
    upper, lower = (tuple(_worded(voice, number, words)) for number, voice in enumerate(voices))
    if not lower:
        return Staff("", (upper,))
    if members[0].instrument.family == "voice":  # dynamics stand above, words below
        return Staff("", (upper, _sung_once(upper, said_once(upper, lower))))
    return Staff("", (said_once(lower, upper), lower))


def _sung_once(upper: Sequence[ScoreEvent], lower: Sequence[ScoreEvent]) -> tuple[ScoreEvent, ...]:
    """The lower voice without the words that the upper one sings at the same moments: they stand below both.

    A word of which one syllable differs, or comes at another time, is written for each of them.
    """
    words = frozenset(_words(upper))
    known = {(onset, syllable.verse) for word in _words(lower) if word in words for onset, syllable in word}
    return tuple(_without(event, known) for event in lower)


def _without(event: ScoreEvent, known: Container[tuple[Fraction, int]]) -> ScoreEvent:
    """The event without the syllables of these onsets and verses."""
    sung = event.event.marks.sung
    kept = tuple(syllable for syllable in sung if (event.onset, syllable.verse) not in known)
    if kept == sung:
        return event
    return event.with_marks(replace(event.event.marks, sung=kept))


def _words(voice: Sequence[ScoreEvent]) -> Iterator[tuple[tuple[Fraction, Syllable], ...]]:
    """The words of a voice, verse by verse, each with its syllables and the notes over which they are held."""
    for verse in sorted({syllable.verse for event in voice for syllable in event.event.marks.sung}):
        yield from _words_of_verse(voice, verse)


def _words_of_verse(voice: Sequence[ScoreEvent], verse: int) -> Iterator[tuple[tuple[Fraction, Syllable], ...]]:
    word: list[tuple[Fraction, Syllable]] = []
    goes_on = False
    for event in voice:
        sung = in_verse(event.event.marks.sung, verse)
        if sung is None:
            continue
        if sung.text and not goes_on and word:
            yield tuple(word)
            word = []
        word.append((event.onset, sung))
        goes_on = sung.goes_on if sung.text else goes_on
    if word:
        yield tuple(word)


def _line(player: int, count: int) -> Pitch:
    """The line of an unpitched instrument: the first has the highest."""
    return Pitch(BOTTOM_LINE + 2 * (count - 1 - player), 0)


def _worded(
    voice: Sequence[ScoreEvent], number: int, words: Mapping[tuple[int, Fraction], str]
) -> Iterator[ScoreEvent]:
    for event in voice:
        who = words.get((number, event.onset))
        yield event.marked(Marks(who=who)) if who else event


def _together(
    ensemble: StaffPlayers, passage: SharedPassage, group: Sequence[int], voice: int, lines: Mapping[int, Pitch]
) -> Iterator[ScoreEvent]:
    """The events of one voice through a passage."""
    moments: dict[Fraction, list[ScoreEvent]] = {}
    for player in group:
        for bar in range(passage.first, passage.end):
            for event in ensemble.beginning(player, bar):
                if lines:
                    event = _struck(event, lines[player])
                moments.setdefault(event.onset, []).append(event)
    for onset in sorted(moments):
        yield _joined(moments[onset], voice)


def _struck(event: ScoreEvent, line: Pitch) -> ScoreEvent:
    heads = tuple(Head(line, head.origins) for head in event.event.heads)
    return replace(event, event=event.event.with_heads(heads))


def _joined(events: Sequence[ScoreEvent], voice: int) -> ScoreEvent:
    """Several players' events of one rhythm as one; equal pitches are one head with all its origins."""
    first = events[0]
    if len(events) == 1:
        return replace(first, voice=voice)
    heads: dict[Pitch, Head] = {}
    for event in events:
        for head in event.event.heads:
            known = heads.get(head.pitch)
            origins = head.origins if known is None else tuple(dict.fromkeys(known.origins + head.origins))
            heads[head.pitch] = Head(head.pitch, origins)
    chord = tuple(sorted(heads.values(), key=lambda head: (head.pitch.midi, head.pitch.position)))
    marks = [event.event.marks for event in events]
    joint = replace(
        marks[0],
        dynamic=next((each.dynamic for each in marks if each.dynamic), ""),
        techniques=tuple(dict.fromkeys(technique for each in marks for technique in each.techniques)),
        figures=next((each.figures for each in marks if each.figures), ()),
        label=next((each.label for each in marks if each.label), ""),
        symbol=next((each.symbol for each in marks if each.symbol is not None), None),
        graces=_graces(marks),
    )
    return replace(first, event=Event(first.event.duration, chord, joint if joint else first.event.marks), voice=voice)


def _graces(marks: Sequence[Marks]) -> tuple[tuple[Head, ...], ...]:
    """The grace notes that all of them have, each head with all its origins."""
    return tuple(
        tuple(
            Head(heads[0].pitch, tuple(dict.fromkeys(origin for head in heads for origin in head.origins)))
            for heads in zip(*chords, strict=True)
        )
        for chords in zip(*(each.graces for each in marks), strict=True)
    )
