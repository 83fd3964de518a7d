"""A compiled piece as it is traced: as a listener has it, its notes without their origins; and the statements that it
knows of, from the origins.

In: a score, and for statements a name of the piece. Out: heard scores, one a movement; the statements of the name with
what is printed of their places, in the order of hearing.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.foreign.heard import HeardLine, HeardNote, HeardScore
from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.score.forms import Form
from cavata.score.score import Movement, Score, ScoreBar, ScoreEvent, bar_at
from cavata.score.statements import NameStatement, StatedLetter, StatedName
from cavata.trace.hits import bars_text


def heard_score(score: Score) -> tuple[HeardScore, ...]:
    """Every movement."""
    return tuple(HeardScore(m.title or m.name, tuple(_lines(score, m))) for m in score.movements)


def _lines(score: Score, movement: Movement) -> Iterator[HeardLine]:
    for part, staves in enumerate(movement.staves):
        for staff in staves:
            for number, voice in enumerate(staff.voices, start=1):
                notes = _notes(voice, movement.bars)
                if notes:
                    yield HeardLine(_staff_label(score, part, staff.name), number, notes)


def _staff_label(score: Score, part: int, staff: str) -> str:
    """`Bassoon`, or of a part with several staves `Harp left`."""
    return f"{score.parts[part].label or score.parts[part].name} {staff}".strip()


def _notes(voice: tuple[ScoreEvent, ...], bars: tuple[ScoreBar, ...]) -> tuple[HeardNote, ...]:
    """The notes of a voice; one that is divided so that a marking can begin in it is one."""
    found: list[HeardNote] = []
    for event in voice:
        pitches = tuple(sorted((head.pitch for head in event.event.heads), key=lambda p: (p.midi, p.position)))
        if event.tied_before and found:
            found[-1] = replace(found[-1], duration=event.end - found[-1].onset)
        elif pitches:
            rest = bool(found) and event.onset > found[-1].end
            found.append(HeardNote(event.onset, event.event.duration, pitches, _bar_number(event.onset, bars), rest))
    return tuple(found)


def _bar_number(onset: Fraction, bars: tuple[ScoreBar, ...]) -> str:
    """The printed number of the bar in which an onset lies."""
    return str(bar_at(bars, onset).number) if bars else ""


# ------------------------------------------------------------------ statements


@record
class TracedStatement:
    """A statement, with what is printed of its place."""

    statement: NameStatement
    is_whole: bool
    """Every letter that makes a note is there."""
    forms: tuple[Form, ...]
    letters_of_name: int
    """How many letters make a note."""
    movement: str
    section: str
    parts: tuple[str, ...]
    """As printed; of a part with several staves each that it stands on."""
    first_bar: str
    last_bar: str
    """In which its last letter begins."""
    stated: tuple[StatedLetter, ...]
    """Its letters as they sound, those of one moment from below."""

    @property
    def letters(self) -> tuple[int, ...]:
        """Which letters sound, by their place in the name."""
        return tuple(stated.letter.position for stated in self.stated)

    @property
    def texts(self) -> tuple[str, ...]:
        """The letters as written."""
        return tuple(stated.letter.text for stated in self.stated)

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Their pitches, one for each letter."""
        return tuple(stated.pitch for stated in self.stated)

    @property
    def inflected(self) -> tuple[int, ...]:
        """Letters whose note was changed, by their place in the name."""
        return tuple(stated.letter.position for stated in self.stated if stated.inflection)

    @property
    def together(self) -> bool:
        """Whether several letters sound, and all at once."""
        return len(self.stated) > 1 and self.stated[0].onset == self.stated[-1].onset

    @property
    def bars(self) -> str:
        """`13`, or `1-2`."""
        return bars_text(self.first_bar, self.last_bar)


def traced_statements(score: Score, name: StatedName) -> tuple[TracedStatement, ...]:
    """Every statement of a name of the piece."""
    return tuple(_traced(score, name, statement) for statement in name.statements)


def _traced(score: Score, name: StatedName, statement: NameStatement) -> TracedStatement:
    movement = score.movements[statement.movement]
    stated = tuple(sorted(statement.stated, key=lambda s: (s.onset, s.pitch.midi, s.letter.position)))
    return TracedStatement(
        statement, name.is_whole(statement), name.forms(statement), len(name.letters), movement.name,
        movement.section_of(bar_at(movement.bars, statement.onset)) if movement.bars else "",
        tuple(_staff_label(score, part, staff) for part, staff in statement.staves),
        _bar_number(stated[0].onset, movement.bars), _bar_number(stated[-1].onset, movement.bars), stated,
    )  # fmt: skip
