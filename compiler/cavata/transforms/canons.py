"""Canons: further voices made from the one before, entering after it.

In: a line, how each voice answers the one before, and after how long. Out: a texture, the leader first. What
every voice does to the one before is done again by the next: at a fifth below the third voice lies two fifths below
the leader, and by augmentation it moves four times as slowly.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.event import Event, Motif, Texture
from cavata.music.mode import Mode, moved, native
from cavata.music.pitch import Interval, Pitch
from cavata.music.refusal import Refusal
from cavata.record import dataclass, replace
from cavata.transforms.limits import bounded
from cavata.transforms.order import retrograde
from cavata.transforms.pitches import checked, inverted, lowest, mirrored, up, with_pitches
from cavata.transforms.time import augmentation, diminution

MOST_VOICES = 32
"""Voices of one canon or hocket, the leader among them."""
UNISON = Interval(0, 0)


@dataclass(frozen=True, slots=True)
class Bars:
    """A span of so many bars, known only where there is a metre."""

    count: int


Span = Fraction | Bars


@dataclass(frozen=True, slots=True)
class Answer:
    """How a voice answers the one before it."""

    interval: Interval = UNISON
    """From the first note of the voice before to that of this one; downwards it is negative."""
    mode: Mode | None = None
    """Notes of the mode are answered by its degrees, so many as the interval has, notes foreign to it exactly.

    Without a mode all are answered exactly.
    """
    backwards: bool = False
    upside_down: bool = False
    slower: Fraction = Fraction(1)
    """By how much its durations are multiplied."""

    def to(self, line: Motif) -> Motif:
        """The answering line: turned round, then turned over about its first note, stretched, moved."""
        if self.backwards:
            line = retrograde(line)
        if self.upside_down:
            axis = lowest(line)
            line = inverted(line, axis) if self.mode is None else mirrored(line, self.mode, axis)
        if self.slower != 1:
            line = augmentation(line, self.slower) if self.slower > 1 else diminution(line, 1 / self.slower)
        return up(line, self.interval) if self.mode is None else _by_degrees(line, self.interval, self.mode)


def _by_degrees(line: Motif, interval: Interval, mode: Mode) -> Motif:
    """A raised leading note is answered by the note a true interval away, whatever the mode has there."""

    def answered(pitch: Pitch) -> Pitch:
        if native(pitch, mode) != pitch:
            return pitch + interval
        return checked(moved(pitch, interval.steps, mode))

    return with_pitches(line, answered)


def canon(line: Motif, answer: Answer, after: Span, voices: int) -> Texture:
    """The line and its answers, each entering after the one before by the span."""
    if not line.sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to be answered", "")
    bounded(len(line.events) * voices)
    lines = [line]
    for _ in range(voices - 1):
        lines.append(answer.to(lines[-1]))
    return entering(tuple(lines), after)


def entering(lines: tuple[Motif, ...], after: Span) -> Texture:
    """Lines that enter one after another, each after the one before by the span."""
    if isinstance(after, Bars):
        return Texture(lines, tuple((after.count,) * number for number in range(len(lines))))
    return Texture(tuple(delayed(line, after * number) for number, line in enumerate(lines)))


def delayed(line: Motif, rest: Fraction) -> Motif:
    """The line after a rest."""
    return Motif((Event(rest), *line.events)) if rest > 0 else line


def stretto(line: Motif, after: Span, voices: int) -> Texture:
    """The line against itself at the unison; each entry comes before the one before it is done."""
    if isinstance(after, Fraction) and after >= line.duration:
        raise Refusal(
            "V406", f"an entry after {after} is no stretto", f"{{subject}} lasts {line.duration}",
            "let it enter before the one before is done; a `canon` may come later",
        )
    return replace(canon(line, Answer(), after, voices), close=isinstance(after, Bars))
