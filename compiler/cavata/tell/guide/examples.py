"""Short examples: a line of notes as a small score of its own, to be engraved and played.

In: a value of the piece. Out: a score of one movement in free time, a staff for each line, its letters shown. Long
values are cut. Where a note stood in the script is left out, so that an example is the same wherever its line stands.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.instruments.table import find
from cavata.music.event import Event, Head, Marks, Motif, Origin, Texture
from cavata.record import replace
from cavata.score.score import Header, Movement, Part, Score, ScoreBar, ScoreEvent, Section, Staff, Tempo
from cavata.source import Source, Span
from cavata.tell.guide.derivation import lines_of_value

MOST_EVENTS, MOST_LINES = 16, 4
"""Of one line, and of one example."""
_NOWHERE = Span(Source("example", ""), 0, 0)
_TEMPO = Fraction(72)


def example_events(line: Motif) -> tuple[tuple[Event, ...], bool]:
    """The events of a line that an example shows, and whether it is cut."""
    events: list[Event] = []
    count = 0
    for event in line.events:
        count += bool(event.heads)
        if count > MOST_EVENTS:
            return tuple(events), True
        events.append(event)
    while events and not events[-1].heads:
        events.pop()
    return tuple(events), False


def is_cut(value: Motif | Texture) -> bool:
    """Whether an example shows only the beginning of a value."""
    lines = lines_of_value(value)
    return len(lines) > MOST_LINES or any(example_events(line)[1] for line in lines)


def example_score(value: Motif | Texture, dressed: bool = False) -> Score:
    """A value as a score; `dressed` with all that is said to players too."""
    lines = [example_events(line)[0] for line in lines_of_value(value)[:MOST_LINES]]
    length = max(sum((event.duration for event in line), Fraction(0)) for line in lines)
    bar = ScoreBar(1, Fraction(0), length, None, None, 0, 1)
    movement = Movement(
        "example", "", True, False, length, (bar,), (Section("", "", Fraction(0), 0),),
        (Tempo(Fraction(0), Fraction(1, 4), _TEMPO, printed=False),),
        tuple((Staff("", (_voice(line, dressed),)),) for line in lines), _NOWHERE,
    )  # fmt: skip
    parts = tuple(_part(number) for number in range(len(lines)))
    return Score(Header("example", show_letters=True), parts, (), (movement,))


def _part(number: int) -> Part:
    piano = find("piano")
    assert piano is not None
    instrument = replace(piano, clefs=("treble", "bass"), staves=("",))
    return Part(f"line{number}", instrument, "", "", False, _NOWHERE)


def _voice(events: tuple[Event, ...], dressed: bool) -> tuple[ScoreEvent, ...]:
    now = Fraction(0)
    voice: list[ScoreEvent] = []
    for event in events:
        if event.heads:
            voice.append(ScoreEvent(now, _plain(event, dressed), _NOWHERE))
        now += event.duration
    return tuple(voice)


def _plain(event: Event, dressed: bool) -> Event:
    """The event as an example shows it: if it is not dressed, without dynamics, words and what else concerns players
    only."""
    graces = tuple(tuple(map(_head, grace)) for grace in event.marks.graces)
    marks = replace(event.marks, graces=graces) if dressed else Marks(
        articulations=event.marks.articulations, ornaments=event.marks.ornaments, graces=graces
    )  # fmt: skip
    return Event(event.duration, tuple(map(_head, event.heads)), marks)


def _head(head: Head) -> Head:
    return Head(head.pitch, tuple(Origin(origin.letter, _NOWHERE) for origin in head.origins))
