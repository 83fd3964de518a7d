"""A compiled piece as a listener has it: the notes of each movement without their origins."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.music.event import Origin
from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.score.score import Movement, Score, ScoreBar, ScoreEvent, bar_at
from cavata.source import Span
from cavata.trace.heard import HeardLine, HeardNote, HeardScore


def heard_score(score: Score) -> tuple[HeardScore, ...]:
    """Every movement."""
    return tuple(HeardScore(m.title or m.name, tuple(_lines(score, m))) for m in score.movements)


def _lines(score: Score, movement: Movement) -> Iterator[HeardLine]:
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in staves:
            name = f"{part.label or part.name} {staff.name}".strip()
            for number, voice in enumerate(staff.voices, start=1):
                notes = tuple(_notes(voice, movement.bars))
                if notes:
                    yield HeardLine(name, number, notes)


def _notes(voice: tuple[ScoreEvent, ...], bars: tuple[ScoreBar, ...]) -> Iterator[HeardNote]:
    end: Fraction | None = None
    for event in voice:
        pitches = tuple(sorted((head.pitch for head in event.event.heads), key=lambda p: (p.midi, p.position)))
        if not pitches:
            continue
        rest = end is not None and event.onset > end
        yield HeardNote(event.onset, event.event.duration, pitches, bar_number(event.onset, bars), rest)
        end = event.end


def bar_number(onset: Fraction, bars: tuple[ScoreBar, ...]) -> str:
    """The printed number of the bar in which an onset lies."""
    return str(bar_at(bars, onset).number) if bars else ""


# ----------------------------------------------------------------
# Where a compiled piece states its names, exactly: read from what every note remembers.
#
# In: a score and a name. Out: its statements in the order of the music. A statement is what one item of one score line
# puts into one voice, from one going through the letters to the next.


@record
class Statement:
    """One going through the letters of a name, or through some of them."""

    movement: str
    section: str
    parts: tuple[str, ...]
    """One, or those among which a chord is dealt."""
    first_bar: str
    last_bar: str
    onset: Fraction
    letters: tuple[int, ...]
    """Which letters sound, by their place in the name, in the order in which they sound; of a chord from below."""
    texts: tuple[str, ...]
    pitches: tuple[Pitch, ...]
    together: bool
    """Whether they sound at once."""
    foreign: int
    """How many other notes of the voice lie between."""
    inflected: tuple[int, ...]
    """Letters whose note was changed, by their place in the name."""
    steps: tuple[str, ...]
    """What the notes went through, as the script says it."""
    line: Span
    """The item of the script that put them there."""

    @property
    def bars(self) -> str:
        """`13`, or `1-2`."""
        return self.first_bar if self.first_bar == self.last_bar else f"{self.first_bar}-{self.last_bar}"


_Told = tuple[int, ScoreEvent, list[tuple[Pitch, Origin]]]


def statements(score: Score, name: str) -> tuple[Statement, ...]:
    """Every statement of a name, by its identifier in the script."""
    found = [
        statement
        for movement in score.movements
        for part, staves in zip(score.parts, movement.staves, strict=True)
        for staff in staves
        for voice in staff.voices
        for statement in _in_voice(movement, f"{part.label or part.name} {staff.name}".strip(), voice, name)
    ]
    order = {movement.name: number for number, movement in enumerate(score.movements)}
    return tuple(sorted(_gathered(found), key=lambda s: (order[s.movement], s.onset, s.parts)))


def _gathered(found: list[Statement]) -> list[Statement]:
    """Chords that are dealt among parts put together again: one item, one onset, and different letters."""
    gathered: dict[object, list[Statement]] = {}
    for statement in found:
        key = (statement.movement, statement.onset, id(statement.line.source), statement.line.start)
        whole = gathered.setdefault(key, [])
        for index, other in enumerate(whole):
            if _is_moment(other) and _is_moment(statement) and not set(other.letters) & set(statement.letters):
                whole[index] = _both(other, statement)
                break
        else:
            whole.append(statement)
    return [statement for whole in gathered.values() for statement in whole]


def _is_moment(statement: Statement) -> bool:
    return statement.together or len(statement.letters) == 1


def _both(one: Statement, other: Statement) -> Statement:
    """Two parts of one chord, from below."""
    notes = sorted(
        zip(one.pitches + other.pitches, one.letters + other.letters, one.texts + other.texts, strict=True),
        key=lambda note: (note[0].midi, note[1]),
    )
    return replace(
        one,
        parts=one.parts + tuple(part for part in other.parts if part not in one.parts),
        pitches=tuple(pitch for pitch, _, _ in notes),
        letters=tuple(letter for _, letter, _ in notes),
        texts=tuple(text for _, _, text in notes),
        inflected=tuple(sorted({*one.inflected, *other.inflected})),
        together=True,
    )


def _in_voice(
    movement: Movement, part: str, voice: tuple[ScoreEvent, ...], name: str
) -> Iterator[Statement]:
    held: list[_Told] = []
    for number, event in enumerate(voice):
        own = [
            (head.pitch, origin) for head in event.event.heads for origin in head.origins
            if origin.letter is not None and origin.letter.name == name
        ]  # fmt: skip
        if not own:
            continue
        if held and not _goes_on(held, event, own):
            yield _statement(movement, part, held)
            held = []
        held.append((number, event, own))
    if held:
        yield _statement(movement, part, held)


def _goes_on(held: list[_Told], event: ScoreEvent, own: list[tuple[Pitch, Origin]]) -> bool:
    """Whether an event belongs to the statement before it: the same item, and a letter not yet heard."""
    _, last, before = held[-1]
    heard = {_place(origin) for _, _, told in held for _, origin in told}
    return (
        last.line == event.line
        and len(last.event.heads) == len(event.event.heads) == 1
        and before[0][1].span == own[0][1].span
        and not heard & {_place(origin) for _, origin in own}
    )


def _place(origin: Origin) -> tuple[int, str]:
    assert origin.letter is not None
    return origin.letter.position, origin.letter.text


def _statement(movement: Movement, part: str, held: list[_Told]) -> Statement:
    told = [pair for _, _, own in held for pair in own]
    origins = [origin for _, origin in told]
    first, last = held[0][1], held[-1][1]
    return Statement(
        movement=movement.name,
        section=_section(movement, first.onset),
        parts=(part,),
        first_bar=bar_number(first.onset, movement.bars),
        last_bar=bar_number(last.onset, movement.bars),
        onset=first.onset,
        letters=tuple(_place(origin)[0] for origin in origins),
        texts=tuple(_place(origin)[1] for origin in origins),
        pitches=tuple(pitch for pitch, _ in told),
        together=len(held) == 1 and len(told) > 1,
        foreign=held[-1][0] - held[0][0] + 1 - len(held),
        inflected=tuple(_place(origin)[0] for origin in origins if origin.inflection),
        steps=max((origin.steps for origin in origins), key=len),
        line=first.line,
    )


def _section(movement: Movement, onset: Fraction) -> str:
    begun = [section for section in movement.sections if section.onset <= onset]
    return begun[-1].name if begun else ""
