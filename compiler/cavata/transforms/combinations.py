"""Combinations: several values made into one.

Pure functions from lines and textures to a line, or to a texture, the leader first. Those that `table.py` names are
given their arguments by the names that stand in their rows there.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction

from cavata.diagnostics import Refusal
from cavata.music.event import Bars, Event, Marks, Motif, Texture, told
from cavata.music.mode import Mode, moved, native
from cavata.music.pitch import UNISON, Interval, Pitch
from cavata.record import record, replace
from cavata.transforms.order import closed, retrograde
from cavata.transforms.pitches import inverted, inverted_in, lowest, up, with_pitches
from cavata.transforms.selection import bounded
from cavata.transforms.time import augmentation, diminution, filling

MOST_VOICES = 32
"""Voices of one canon or hocket, the leader among them."""
BELOW = "below"
"""The word before an interval downwards, which ends a list of parts."""


class Misfit(Refusal):
    """A refusal of one argument of a combination, which it names by its parameter."""

    def __init__(self, parameter: str, code: str, message: str, label: str = "", cure: str = "") -> None:
        super().__init__(code, message, label, cure)
        self.parameter = parameter


Delay = Fraction | Bars


# ------------------------------------------------------------------ canons: each voice made from the one before


@record
class VoiceAnswer:
    """How a voice answers the one before it.

    What every voice does to the one before is done again by the next: at a fifth below the third voice lies two fifths
    below the leader, and by augmentation it moves four times as slowly.
    """

    interval: Interval = UNISON
    """From the first note of the voice before to that of this one; downward it is negative."""
    mode: Mode | None = None
    """Notes of the mode are answered by its degrees, so many as the interval has, notes foreign to it exactly.

    Without a mode all are answered exactly.
    """
    retrograde: bool = False
    inverted: bool = False
    slower: Fraction = Fraction(1)
    """By how much its durations are multiplied."""

    def to(self, line: Motif) -> Motif:
        """The answering line: in retrograde, then inverted about its first note, in augmentation, transposed."""
        if self.retrograde:
            line = retrograde(line)
        if self.inverted:
            axis = lowest(line)
            line = inverted(line, axis) if self.mode is None else inverted_in(line, self.mode, axis)
        if self.slower != 1:
            line = augmentation(line, self.slower) if self.slower > 1 else diminution(line, 1 / self.slower)
        return up(line, self.interval) if self.mode is None else _by_degrees(line, self.interval, self.mode)


def _by_degrees(line: Motif, interval: Interval, mode: Mode) -> Motif:
    """A raised leading tone is answered by the note a true interval away, whatever the mode has there."""

    def answered(pitch: Pitch) -> Pitch:
        if native(pitch, mode) != pitch:
            return pitch.exactly(interval)
        return moved(pitch, interval.steps, mode)

    return with_pitches(line, answered)


def canon_of(
    line: Motif, after: Delay, at: tuple[Interval, str] = (UNISON, ""), voices: int = 2, mode: Mode | None = None,
    retrograde: bool = False, inverted: bool = False, longer: Fraction = Fraction(1), shorter: Fraction = Fraction(1),
) -> Texture:
    """The canon that a script asks for: the answer `at` an interval above or below, its values longer or shorter."""
    interval, side = at
    if not side and interval != UNISON:
        raise Misfit(
            "at", "V411", f"the answer lies {interval} above or below", "which of both?",
            f"write `at {interval} above` or `at {interval} below`",
        )
    way = -interval if side == BELOW else interval
    answer = VoiceAnswer(way, mode, retrograde, inverted, longer / shorter)
    return canon(line, answer, after, possible(voices))


def possible(voices: int) -> int:
    """A number of voices; refused if there cannot be so many."""
    if not 2 <= voices <= MOST_VOICES:
        raise Misfit(
            "voices", "V405", f"there is no `{{word}}` of {voices} voices", f"2 to {MOST_VOICES}, the leader among them"
        )
    return voices


def canon(line: Motif, answer: VoiceAnswer, after: Delay, voices: int) -> Texture:
    """The line and its answers, each entering after the one before by the span."""
    if not line.sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to be answered", "")
    bounded(len(line.events) * voices)
    lines = [line]
    for _ in range(voices - 1):
        lines.append(answer.to(lines[-1]))
    return entering(tuple(lines), after)


def entering(lines: tuple[Motif, ...], after: Delay) -> Texture:
    """Lines that enter one after another, each after the one before by the span; the leader's upbeat is theirs."""
    leader = lines[0]
    if isinstance(after, Bars):
        waiting = tuple(Motif(line.events, leader.upbeat, leader.bar) for line in lines)
        return Texture(waiting, tuple((after.count,) * number for number in range(len(lines))))
    entries = (delayed(line, after * number) for number, line in enumerate(lines))
    return Texture(tuple(Motif(line.events, leader.upbeat, leader.bar) for line in entries))


def delayed(line: Motif, rest: Fraction) -> Motif:
    """The line after a rest."""
    return Motif((Event(rest), *line.events)) if rest > 0 else line


def aligned(lines: Iterable[Motif]) -> tuple[Motif, ...]:
    """Lines that have their first bar line together: those with a shorter upbeat, or with none, wait for it."""
    found = tuple(lines)
    longest = max(found, key=lambda line: line.upbeat)
    return tuple(
        Motif(delayed(line, longest.upbeat - line.upbeat).events, longest.upbeat, longest.bar) for line in found
    )


def stretto(line: Motif, after: Delay, voices: int = 2) -> Texture:
    """The line against itself at the unison; each entry comes before the one before it is done."""
    possible(voices)
    if isinstance(after, Fraction) and after >= line.duration:
        raise Refusal(
            "V406", f"an entry after {after} is no stretto", f"{{subject}} lasts {line.duration}",
            "let it enter before the voice before it ends; a `canon` may enter later",
        )
    return replace(canon(line, VoiceAnswer(), after, voices), close=isinstance(after, Bars))


# ------------------------------------------------------------------ dialogue


def dialogue(
    line: Motif, phrases: bool = False, length: Delay | None = None, voices: int = 2
) -> Texture:
    """The line in turns: each phrase, which ends at a rest, or each length of it, by the next voice."""
    count = possible(voices)
    if not line.sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to be said in turn", "")
    if phrases and length is not None:
        raise Misfit("length", "V834", "a dialogue goes by phrases or by a length", "both", "leave one of them out")
    bounded(len(line.events) * count)
    if isinstance(length, Bars):
        return Texture((line,) * count, turns=length.count)
    if length is not None:
        places = beginnings(length, line.upbeat, line.duration)
    else:
        places = _phrases(line)
        if len(places) < 2:
            raise Refusal(
                "V833", "{subject} is one phrase, which nobody can answer", "it has no rest inside",
                "a phrase ends at a rest; `by 1 bar` goes bar by bar",
            )  # fmt: skip
    return Texture(in_turns((line,) * count, places))


def beginnings(length: Fraction, upbeat: Fraction, whole: Fraction) -> tuple[Fraction, ...]:
    """Where the turns of a line begin that take so long each; the first has the upbeat."""
    places = [Fraction(0)]
    while (after := upbeat + length * len(places)) < whole:
        places.append(after)
        bounded(len(places))
    return tuple(places)


def _phrases(line: Motif) -> tuple[Fraction, ...]:
    """Where the phrases of a line begin, each after a rest."""
    places: list[Fraction] = []
    onset, rested = Fraction(0), True
    for event in line.events:
        if event.heads and rested:
            places.append(onset)
        rested = not event.heads
        onset += event.duration
    return tuple(places)


def in_turns(lines: tuple[Motif, ...], places: tuple[Fraction, ...]) -> tuple[Motif, ...]:
    """Of each line the notes that begin in its turns, while the others rest; `places` are where turns begin.

    A note that is under way where the turn is over goes on. Who takes a turn is told the dynamic in force; a slur that
    leads over several turns is one over each.
    """
    return tuple(_speaking(line, number, len(lines), places) for number, line in enumerate(lines))


def _speaking(line: Motif, voice: int, voices: int, places: tuple[Fraction, ...]) -> Motif:
    """What one voice says of a line."""
    said: dict[int, list[tuple[Fraction, Event]]] = {}
    onset, in_force, known, slurred = Fraction(0), "", "", False
    for event in line.events:
        turn = max(0, bisect_right(places, onset) - 1)
        under_slur, slurred = slurred, event.marks.slur_begins or (slurred and not event.marks.slur_ends)
        if turn % voices == voice and event.heads:
            if turn not in said:
                unknown = in_force != known and not event.marks.loud
                event = event.marked(told(in_force)) if unknown else event
                event = event.marked(Marks(slur_begins=True)) if under_slur and not event.marks.slur_ends else event
            said.setdefault(turn, []).append((onset, event))
            known = event.marks.in_force_after(in_force)
        in_force = event.marks.in_force_after("" if event.marks.hairpin_ends else in_force)
        onset += event.duration
    made: list[Event] = []
    now = Fraction(0)
    for spoken in said.values():
        begin = spoken[0][0]
        if begin > now:
            made.append(Event(begin - now))
        events: list[Event] = []
        now = begin
        for place, event in spoken:
            if place > now:
                events.append(Event(place - now))
            events.append(event)
            now = place + event.duration
        made += closed(events)
    if now < line.duration:
        made.append(Event(line.duration - now))
    return Motif(tuple(made), line.upbeat, line.bar)


# ------------------------------------------------------------------ hocket, pedal, ostinato


def hocket_of(lines: tuple[Motif, ...], voices: int | None = None) -> Texture:
    """The hocket that a script asks for: of lines against each other, or of one line that is dealt out to voices."""
    many = len(lines)
    if many == 1:
        return dealt_out(lines[0], possible(2 if voices is None else voices))
    if voices is not None and possible(voices) != many:
        raise Misfit(
            "voices", "V405", f"a hocket of {many} lines has {many} voices", "another number",
            "`voices` is for a single line that is dealt out",
        )
    return hocket(lines)


def hocket(lines: tuple[Motif, ...]) -> Texture:
    """Events of the lines in turn, each in its own voice; while one sounds the others rest.

    When one line runs out the others go on.
    """
    if any(not line.events for line in lines):
        raise Refusal("V209", "a line of the hocket has no note", "an empty line", "")
    longest = max(len(line.events) for line in lines)
    turns = [
        (voice, line.events[turn])
        for turn in range(longest)
        for voice, line in enumerate(lines)
        if turn < len(line.events)
    ]
    return _dealt(turns, len(lines))


def dealt_out(line: Motif, voices: int) -> Texture:
    """One line as a hocket: its events to the voices in turn, while the others rest."""
    if not line.events:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    dealt = _dealt([(number % voices, event) for number, event in enumerate(line.events)], voices)
    return dealt.with_lines(tuple(Motif(voice.events, line.upbeat, line.bar) for voice in dealt.lines))


def _dealt(turns: list[tuple[int, Event]], voices: int) -> Texture:
    bounded(len(turns) * voices)
    lines: list[list[Event]] = [[] for _ in range(voices)]
    silent = [Fraction(0)] * voices
    for sounding, event in turns:
        for voice, line in enumerate(lines):
            if voice != sounding or not event.heads:
                silent[voice] += event.duration
                continue
            if silent[voice]:
                line.append(Event(silent[voice]))
                silent[voice] = Fraction(0)
            line.append(event)
    for voice, line in enumerate(lines):
        if silent[voice]:
            line.append(Event(silent[voice]))
    return Texture(tuple(Motif(tuple(line)) for line in lines))


def pedal_point(over: Texture, held: Motif) -> Texture:
    """The lines with a note or chord (a line of one event) held under them as long as they last."""
    if len(held.events) != 1 or not held.events[0].heads:
        raise Misfit(
            "held", "V404", f"a pedal point is one note or chord; `{{argument}}` has {len(held.events)} events",
            "a longer line", "take one note with `first 1`, or let a figure repeat with `ostinato`",
        )
    under = Motif((held.events[0].lasting(_length(over)),), over.upbeat)
    return Texture((*over.lines, under))


def ostinato(over: Texture, figure: Motif) -> Texture:
    """The lines with a figure under them, again and again as long as they last; its first bar is theirs."""
    if not figure.sounding:
        raise Refusal("V209", "the figure has no note", "an empty line", "")
    length = _length(over) + max(Fraction(0), figure.upbeat - over.upbeat)
    waits = max(Fraction(0), over.upbeat - figure.upbeat)
    if waits >= length:
        raise Refusal("V209", "{subject} has no note after its upbeat", "nothing to go under", "")
    return Texture(aligned((*over.lines, Motif(filling(figure, length - waits).events, figure.upbeat))))


def _length(over: Texture) -> Fraction:
    length = over.duration
    if length <= 0:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    return length


# ------------------------------------------------------------------ weave, together


def weave(lines: tuple[Motif, ...], cycle: bool = False) -> Motif:
    """Events in turn as they stand. When one line runs out the others go on; with `cycle` it begins again
    until the longest is done."""
    if any(not line.events for line in lines):
        raise Refusal("V209", "a line to be woven has no note", "an empty line", "")
    longest = max(len(line.events) for line in lines)
    bounded(longest * len(lines))
    events: list[Event] = []
    for turn in range(longest):
        for line in lines:
            if cycle or turn < len(line.events):
                events.append(line.events[turn % len(line.events)])
    return Motif(tuple(events))


def together(values: tuple[Motif | Texture, ...]) -> Texture:
    """Lines that begin together, or have their first bar line together where some have an upbeat; the leader first."""
    lines: list[Motif] = []
    waits: list[tuple[int, ...]] = []
    for value in values:
        lines += value.lines
        waits += value.waits if isinstance(value, Texture) and value.waits else ((),) * len(value.lines)
    return Texture(aligned(lines), tuple(waits) if any(waits) else ())
