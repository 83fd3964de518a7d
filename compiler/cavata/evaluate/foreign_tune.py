"""A tune taken from another program's score: one voice of one part, in some bars, as a line.

In: the score as it was read, and what the script says of it. Out: a motif whose notes no name gave. What is not there,
or is more than one line, is `Misplaced` at the word that asks for it. Grace notes are left out, tied notes are one,
pitches are as they sound; in a MIDI file, which has no names for them, they are spelled by the key of the line.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.evaluate.combining import Misplaced
from cavata.foreign.heard import HeardBar, HeardLine, HeardScore
from cavata.foreign.score_file import FORMATS
from cavata.music.event import Event, Head, Motif, Origin
from cavata.names import program as p
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.respelling import respelled_simply
from cavata.transforms.selection import bounded

MOST_LISTED = 8
"""So many parts a message lists."""


def tune_value(bound: p.TuneFrom) -> Motif:
    """The line; raises Misplaced, and Refusal where it would be too long."""
    tree = bound.tree
    if len(bound.scores) > 1:
        raise Misplaced(
            "V874", tree.file.span, f"`{tree.file.text}` holds {len(bound.scores)} tunes", "a collection",
            "save the one that is meant as a file of its own",
        )
    (score,) = bound.scores
    begin, end = _from_to(tree, score)
    line = _voice(tree, [each for each in score.lines if each.number == _part(tree, score)], begin, end)
    motif = _with_upbeat(_events(tree, line, begin, end), score, begin)
    is_midi = FORMATS.get("." + tree.file.text.rpartition(".")[2].lower()) == "midi"
    return motif.having(respelled_simply(motif).events) if is_midi else motif


def _part(tree: t.ForeignTune, score: HeardScore) -> int:
    """The number of the part that is meant."""
    parts = score.parts
    listed = ", ".join(
        str(number) if name == f"part {number}" else f"{number} {name}"
        for number, name in enumerate(parts[:MOST_LISTED], 1)
    )
    label = f"its parts: {listed}" + " ..." * (len(parts) > MOST_LISTED)
    match tree.part:
        case None if len(parts) == 1:
            return 1
        case None:
            raise Misplaced(
                "V874", tree.file.span, f"`{tree.file.text}` has {len(parts)} parts", label,
                f'write which, as `from "{tree.file.text}" part 1`',
            )
        case t.Text(name):
            found = [number for number, other in enumerate(parts, 1) if other.casefold() == name.strip().casefold()]
        case t.Atom(number):
            found = [number] if isinstance(number, int) and 1 <= number <= len(parts) else []
    if not found:
        raise Misplaced("V874", tree.part.span, f"`{tree.file.text}` has no part {tree.part.span.text}", label)
    return found[0]


def _from_to(tree: t.ForeignTune, score: HeardScore) -> tuple[Fraction, Fraction | None]:
    """From when to when; None for the end of the line."""
    if tree.bars is None:
        return Fraction(0), None
    first = _bar(tree, score, tree.first, Fraction(0))
    last = _bar(tree, score, tree.last, first.onset)
    return first.onset, last.onset + last.duration


def _bar(tree: t.ForeignTune, score: HeardScore, number: int, since: Fraction) -> HeardBar:
    """The bar with that number on the page, the first one from a moment on."""
    assert tree.bars is not None
    found = next((bar for bar in score.bars if bar.name == str(number) and bar.onset >= since), None)
    if found is None:
        label = f"its bars are {score.bars[0].name} to {score.bars[-1].name}" if score.bars else "it has no bars"
        message = (
            f"bars {tree.first} to {tree.last} of `{tree.file.text}` run backwards"
            if any(bar.name == str(number) for bar in score.bars) else f"`{tree.file.text}` has no bar {number}"
        )
        raise Misplaced("V875", tree.bars, message, label, "bars are counted as they are numbered on its page")
    return found


def _with_upbeat(motif: Motif, score: HeardScore, begin: Fraction) -> Motif:
    """The line, its first bar an upbeat where the score begins with a shorter one and the line with it."""
    if len(score.bars) < 2 or begin != score.bars[0].onset or score.bars[0].duration >= score.bars[1].duration:
        return motif
    upbeat, bar = score.bars[0].duration, score.bars[1].duration
    return Motif(motif.events, upbeat, bar) if motif.duration > upbeat else motif


def _voice(tree: t.ForeignTune, voices: list[HeardLine], begin: Fraction, end: Fraction | None) -> HeardLine:
    """The voice that is meant: the one that is named, or the only one that sounds there."""
    sounding = [
        voice for voice in voices
        if any(note.end > begin and (end is None or note.onset < end) for note in voice.notes)
    ]  # fmt: skip
    place: Span = tree.bars or (tree.part.span if tree.part is not None else tree.file.span)
    if tree.voice is not None:
        found = [voice for voice in sounding if voice.voice == tree.voice.value]
        if not found:
            known = ", ".join(str(voice.voice) for voice in sounding) or "none"
            raise Misplaced(
                "V876", tree.voice.span, f"there is no voice {tree.voice.span.text} here", f"voices that sound: {known}"
            )
        return found[0]
    if not sounding:
        raise Misplaced("V877", place, "nothing sounds there", "rests only", "look at the part and the bars")
    if len(sounding) > 1:
        listed = " and ".join(str(voice.voice) for voice in sounding)
        raise Misplaced(
            "V876", place, f"{len(sounding)} voices sound there", f"voices {listed}",
            "write which after the part, as `voice 1`",
        )
    return sounding[0]


def _events(tree: t.ForeignTune, line: HeardLine, begin: Fraction, end: Fraction | None) -> Motif:
    """The notes and rests from one moment to another; a note that sounds into the bars or out of them is cut."""
    origins = (Origin(None, tree.span),)
    events: list[Event] = []
    at = begin
    for note in line.notes:
        onset, until = max(note.onset, at), note.end if end is None else min(note.end, end)
        if until <= onset:
            continue
        if onset > at:
            events.append(Event(onset - at))
        events.append(Event(until - onset, tuple(Head(pitch, origins) for pitch in note.pitches)))
        at = until
    if end is not None and end > at:
        events.append(Event(end - at))
    bounded(len(events))
    return Motif(tuple(events))
