"""Whether a line may have something that nobody can play, told so quickly that a check can ask it of every line.

Each is true of every line in which the module of its family finds something of the first degree, and of others too.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.instruments.instrument import PEDAL
from cavata.music.event import KIND_OF, MUTES, UNMARKED
from cavata.playing.line import Line

LONG_SECONDS = 2.6
"""No note or slur is longer than anybody's breath that is shorter, on whatever instrument and however loud."""
_QUICK_SECONDS = 0.14
"""Nothing is too fast for a tongue or for words whose notes last longer, those of amateurs included."""
_ROW, _FEW = 6, 4
"""So many quick notes are a row; and so many with one more after them are what fingers or a tongue do at once."""
_MUTES = KIND_OF[MUTES[0]]


FOR_ALL = frozenset((
    "staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato", "breath", "caesura", "fermata", "arco",
    "unmuted", "ordinary", "single_tongue", "solo", "tutti", "divisi", "unison",
))  # fmt: skip
"""Signs that no instrument lacks."""


def has_signs(line: Line) -> bool:
    """There is a sign that not every instrument has."""
    for event in line.events:
        marks = event.event.marks
        if marks is UNMARKED:
            continue
        if marks.ornaments or marks.glides or marks.pedal_begins:
            return True
        if not (FOR_ALL.issuperset(marks.articulations) and FOR_ALL.issuperset(marks.techniques)):
            return True
    return False


def has_several(line: Line) -> bool:
    """One player has several notes at once."""
    return not line.part.section and has_chords(line)


def sounds_long(line: Line) -> bool:
    """A note, or notes that a slur or a word binds together, last long."""
    if sum(bool(voice) for staff in line.staves for voice in staff.voices) > 1:
        return True
    slowest, at, longest = _slowest(line), line.timing.at, LONG_SECONDS
    least = Fraction(longest) / slowest
    begin, end, slur, bound = Fraction(0), Fraction(0), False, False
    for event in line.events:
        marks = event.event.marks
        if not (bound or marks.sung) or event.onset > end:
            begin = event.onset
        end = max(end, event.end)
        if end - begin > least and at(end) - at(begin) > longest:
            if longest > LONG_SECONDS:
                return True
            from cavata.instruments.winds import goes_round, shortest_breath  # many lines do not come so far

            if goes_round(line.instrument):
                return False
            longest = max(longest + 0.01, 2 * shortest_breath(line.instrument))
            least = Fraction(longest) / slowest
            if end - begin > least and at(end) - at(begin) > longest:
                return True
        if marks is not UNMARKED:
            slur = marks.slur_begins or (slur and not marks.slur_ends)
        bound = slur or event.tied_after
    return False


def trills_or_hurries(line: Line) -> bool:
    """There is a trill, an instrument without valves, or a row of fast notes."""
    if line.instrument.key == "bugle":
        return True
    if any(event.event.marks is not UNMARKED and event.event.marks.ornaments for event in line.events):
        return True
    return hurries(line, _FEW)


def is_muted(line: Line) -> bool:
    """There is a mute."""
    return any(
        KIND_OF[word] == _MUTES for event in line.events if event.event.marks is not UNMARKED
        for word in event.event.marks.techniques
    )  # fmt: skip


_LOW_NOTES = {"alto trombone": 45, "trombone": 24, "bass trombone": 24}
"""Below these some notes have no position of the slide."""


def glides(line: Line) -> bool:
    """There is a glissando, or a very low note of a slide."""
    low = _LOW_NOTES.get(line.instrument.key, 0)
    return any(event.event.marks.glides or event.event.heads[0].pitch.midi < low for event in line.events)


def hurries(line: Line, notes: int = _ROW) -> bool:
    """There is a row of so many fast notes."""
    longest, row = float(_QUICK_SECONDS / _fastest(line)), 0
    for event in line.events:
        duration = event.event.duration
        row = row + 1 if duration.numerator < longest * duration.denominator else 0
        if row >= notes:
            return True
    return False


def slurs_fast(line: Line) -> bool:
    """There is a slur, and a row of fast notes."""
    return hurries(line, _FEW) and any(
        event.event.marks.slur_begins for event in line.events if event.event.marks is not UNMARKED
    )


def _seconds(line: Line) -> Sequence[Fraction]:
    tempi = line.movement.tempi
    return [*(tempo.seconds_per_whole for tempo in tempi), *(tempo.goal for tempo in tempi if tempo.until is not None)]


def _fastest(line: Line) -> Fraction:
    """Seconds of a whole note where the movement is fastest."""
    return min(_seconds(line))


def _slowest(line: Line) -> Fraction:
    """The same where it is slowest, fermatas at twice the length."""
    return 2 * max(_seconds(line))


# ---------------------------------------------------------------- strings, harp and guitar

_FAR_SECONDS = 0.21
"""A hand goes from end to end of the longest string in twice the time."""
_SLUR_SECONDS = 4.5
"""No bow is at an end so many times over under a shorter slur."""
_HAND_STRINGS, _HAND_NOTES = 12, 5
_AGAIN_SECONDS = 0.16
_LOWEST_D = 8
_ON_STRINGS = frozenset(["open", "harmonic"])
_ORNAMENTS = frozenset(["trill", "tremolo"])


def stops_or_signs(line: Line) -> bool:
    """Several notes of a single player at once, or a sign that asks something of a left hand."""
    single = line.players == 1
    if single and has_voices(line):
        return True
    for event in line.events:
        if single and len(event.event.heads) > 1:
            return True
        marks = event.event.marks
        if marks is not UNMARKED and (
            marks.harmonic or not _ON_STRINGS.isdisjoint(marks.articulations)
            or (single and ("divisi" in marks.techniques or any(o.kind in _ORNAMENTS for o in marks.ornaments)))
        ):
            return True
    return False


def bows_or_plucks(line: Line) -> bool:
    """A long slur or a change between ways of playing of a single player, or notes that are plucked fast."""
    single, slur, plucked, row = line.players == 1, Fraction(0), False, 0
    long, fast = Fraction(_SLUR_SECONDS) / _slowest(line), Fraction(1, 10) / _fastest(line)
    for event in line.events:
        marks = event.event.marks
        if marks is not UNMARKED:
            if single and marks.techniques or single and marks.slur_ends and event.end - slur > long:
                return True
            slur = event.onset if marks.slur_begins else slur
            for word in marks.techniques:
                plucked = word == "pizzicato" if word in ("arco", "pizzicato") else plucked
            if plucked and has_voices(line):
                return True  # notes of two voices may follow each other more quickly than they are long
        row = row + 1 if plucked and event.event.duration < fast else 0
        if row >= _ROW - 1:
            return True
    return False


def leaps(line: Line) -> bool:
    """Two notes far apart, or chords, that follow each other very quickly."""
    if has_voices(line):
        return True  # notes of two voices may follow each other more quickly than they are long
    soon = float(_FAR_SECONDS / _fastest(line))
    strings = [string.midi for string in line.instrument.strings]
    far = max(strings) - min(strings)  # at no more, two strings have both notes under one hand
    before, was_fast, was_chord = 0, False, False
    for event in line.events:
        heads, duration = event.event.heads, event.event.duration
        key, chord = heads[0].pitch.midi, len(heads) > 1
        if was_fast and (abs(key - before) > far or chord or was_chord or event.event.marks.string):
            return True
        before, was_fast, was_chord = key, duration.numerator < soon * duration.denominator, chord
    return False


def has_voices(line: Line) -> bool:
    """Some staff has two voices."""
    return any(sum(1 for voice in staff.voices if voice) > 1 for staff in line.staves)


def moves_pedals(line: Line) -> bool:
    """A letter with two accidentals, or one that no pedal gives."""
    known: dict[int, int] = {}
    for event in line.events:
        graces = (head for grace in event.event.marks.graces for head in grace) if event.event.marks.graces else ()
        for head in (*event.event.heads, *graces):
            alter = head.pitch.alter
            if known.setdefault(head.pitch.letter, alter) != alter or abs(alter) > 1:
                return True
    return any(bar.key is not None for bar in line.movement.bars) and any(
        event.event.marks.glides for event in line.events
    )


def spans_or_repeats(line: Line) -> bool:
    """A wide or full chord of a hand, a string that is struck again soon, or two voices in one hand."""
    if has_voices(line):
        return True
    soon = Fraction(_AGAIN_SECONDS) / _fastest(line)
    for staff in line.staves:
        before: tuple[int, Fraction] | None = None
        for event in (event for voice in staff.voices for event in voice if event.event.heads):
            heads, marks = event.event.heads, event.event.marks
            span = heads[-1].pitch.position - heads[0].pitch.position
            if span >= _HAND_STRINGS or len(heads) > _HAND_NOTES or (marks is not UNMARKED and marks.ornaments):
                return True
            key = heads[0].pitch.midi
            if before is not None and key == before[0] and event.onset - before[1] < soon:
                return True
            before = key, event.onset
    return False


def has_lowest_strings(line: Line) -> bool:
    """The lowest C or D of a harp, or notes below."""
    return any(event.event.heads[0].pitch.position <= _LOWEST_D for event in line.events)


def harp(line: Line) -> bool:
    """Any of these."""
    return moves_pedals(line) or spans_or_repeats(line) or has_lowest_strings(line)


# ---------------------------------------------------------------- keyboards and percussion

_LEAP_SECONDS = 0.27
"""Half of what the farthest leap on any keyboard wants, and more than a key needs to come back."""
VERY_SHORT = Fraction(1, 20)
"""A value that no tempo up to a quarter at 360 makes too short for a hand or two sticks."""


def has_chords(line: Line) -> bool:
    """Several notes sound at once, on one stem or in two voices."""
    return any(len(staff.voices) > 1 for staff in line.staves) or any(len(e.event.heads) > 1 for e in line.events)


def strikes_soon(line: Line) -> bool:
    """A note lasts less than the time of a far leap."""
    longest = Fraction(_LEAP_SECONDS) / _fastest(line)
    return any(event.event.duration < longest for event in line.events)


def has_very_short(line: Line) -> bool:
    """A value is very short."""
    return any(event.event.duration < VERY_SHORT for event in line.events)


def has_pedals(line: Line) -> bool:
    """Something stands on the pedal staff of an organ."""
    return any(voice for staff in line.staves if staff.name == PEDAL for voice in staff.voices)


def has_chords_or_changes(line: Line) -> bool:
    """Of drums that are tuned: several notes at once, or different ones."""
    return has_chords(line) or len({event.event.heads[0].pitch for event in line.events}) > 1


def has_chords_or_signs(line: Line) -> bool:
    """Several notes at once, or a roll or words at one."""
    return has_chords(line) or any(event.event.marks is not UNMARKED for event in line.events)
