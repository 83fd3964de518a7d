"""The music of a score as lines that can be compared by any program that compares texts, as git does.

In: a score. Out: a line for each bar of each part, as a script would write it. Bars have no numbers, so that what is
put in makes nothing different that follows it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.compare.marks import mark_words
from cavata.score.score import Movement, Score, ScoreBar, ScoreEvent, Tempo

RULE = "-- music " + "-" * 60


def listing(score: Score) -> str:
    """The lines, under a rule that no script has."""
    lines = [RULE, *(line for movement in score.movements for line in _movement(score, movement))]
    return "\n".join(lines) + "\n"


def _movement(score: Score, movement: Movement) -> Iterator[str]:
    kind = "cadenza" if movement.is_cadenza else "movement"
    yield f"music of {kind} {movement.name}" + (f' "{movement.title}"' if movement.title else "")
    width = max((len(part.name) for part in score.parts), default=0)
    rows = _rows(score, movement)
    before: ScoreBar | None = None
    for number, bar in enumerate(movement.bars):
        if (before is None or before.section != bar.section) and movement.sections[bar.section].name:
            section = movement.sections[bar.section]
            yield f"music of {movement.name}, section {section.name}" + (f' "{section.title}"' if section.title else "")
        if before is None or (before.meter, before.key) != (bar.meter, bar.key):
            yield f"  metre {bar.meter or 'none'}, key {bar.key or 'none'}"
        end = bar.onset + bar.duration
        yield from (f"  {_tempo(tempo)}" for tempo in movement.tempi if bar.onset <= tempo.onset < end)
        yield "  |"
        yield from (f"    {name:{width}}  {text}" for name, text in rows[number])
        before = bar


def _tempo(tempo: Tempo) -> str:
    if not tempo.printed:
        return "tempo as before"
    rate = f" {tempo.beat} at {tempo.per_minute}" if tempo.metronome else ""
    return "tempo" + rate + (f' "{tempo.words}"' if tempo.words else "")


def _rows(score: Score, movement: Movement) -> list[list[tuple[str, str]]]:
    """For each bar the parts that begin notes in it, each with them."""
    rows: list[list[tuple[str, str]]] = [[] for _ in movement.bars]
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in staves:
            name = f"{part.name}.{staff.name}" if staff.name else part.name
            for voice in staff.voices:
                for number, text in _by_bar(voice, movement.bars):
                    rows[number].append((name, text))
    return rows


def _by_bar(voice: tuple[ScoreEvent, ...], bars: tuple[ScoreBar, ...]) -> Iterator[tuple[int, str]]:
    texts: list[str] = []
    number, now = 0, Fraction(0)
    for event in voice:
        while event.onset >= bars[number].onset + bars[number].duration:
            if texts:
                yield number, " ".join(texts)
            number, texts = number + 1, []
            now = bars[number].onset
        if event.onset > now:
            texts.append(f"{event.onset - now} rest")
        if event.event.heads:
            texts.append(_event(event))
        now = event.end
    if texts:
        yield number, " ".join(texts)


def _event(event: ScoreEvent) -> str:
    pitches = "+".join(str(head.pitch) for head in event.event.heads)
    words = " ".join(mark_words(event.event.marks))
    tie = "~" if event.tied_after else ""
    return f"{event.event.duration} {pitches}{tie}" + (f" [{words}]" if words else "")
