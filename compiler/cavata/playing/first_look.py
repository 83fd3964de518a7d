"""Whether a line may have something that nobody can play, told so quickly that a check can ask it of every line.

Each is true of every line in which the module of its family finds something of the first degree, and of others too.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.instruments.instrument import PEDAL, Instrument
from cavata.music.event import KIND_OF, MUTES, UNMARKED
from cavata.playing.line import PlayerLine
from cavata.score.score import Part, Staff

LONG_SECONDS, LONG_SUNG = 9.0, 12.0
"""No note or slur is called longer than anybody's breath that is shorter, however loud: of winds, and of voices."""
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


def has_signs(line: PlayerLine) -> bool:
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


def has_several(line: PlayerLine) -> bool:
    """One player has several notes at once."""
    return not line.part.section and has_chords(line)


GO_ROUND = frozenset([
    "oboe", "English horn", "clarinet", "clarinet in A", "bass clarinet", "bassoon", "horn", "trumpet", "trumpet in C",
    "trombone",
])  # fmt: skip
"""Usual instruments some of whose players breathe in while they sound."""


def longest_breath(instrument: Instrument) -> float:
    """Seconds up to which no sound of an instrument is called longer than a breath."""
    return LONG_SUNG if instrument.family == "voice" else LONG_SECONDS


def sounds_long(line: PlayerLine) -> bool:
    """A note, or notes that a slur or a word binds together, last long, and one player or singer has them."""
    if line.instrument.key in GO_ROUND:
        return False
    if line.part.section and not any("solo" in event.event.marks.techniques for event in line.events):
        return False
    if sum(bool(voice) for staff in line.staves for voice in staff.voices) > 1:
        return True
    slowest, at = line.timing.slowest, line.timing.at
    longest, asked = longest_breath(line.instrument), False
    begin, end, slur, bound, first = 0.0, 0.0, False, False, Fraction(0)
    for event in line.events:
        marks, onset = event.event.marks, event.onset.numerator / event.onset.denominator
        if not (bound or marks.sung) or onset > end:
            begin, first = onset, event.onset
        end = max(end, onset + event.event.duration.numerator / event.event.duration.denominator)
        if (end - begin) * slowest > longest and at(event.end) - at(first) > longest:
            if asked or longest == LONG_SUNG:
                return True
            asked = True
            from cavata.instruments.winds import goes_round, shortest_breath  # many lines do not come so far

            if goes_round(line.instrument):
                return False
            longest = max(longest, 2 * shortest_breath(line.instrument))
            if at(event.end) - at(first) > longest:
                return True
        if marks is not UNMARKED:
            slur = marks.slur_begins or (slur and not marks.slur_ends)
        bound = slur or event.tied_after
    return False


def trills_or_hurries(line: PlayerLine) -> bool:
    """There is a trill, an instrument without valves, or a row of fast notes."""
    if line.instrument.key == "bugle":
        return True
    if any(event.event.marks is not UNMARKED and event.event.marks.ornaments for event in line.events):
        return True
    return hurries(line, _FEW)


def is_muted(line: PlayerLine) -> bool:
    """There is a mute."""
    return any(
        KIND_OF[word] == _MUTES for event in line.events if event.event.marks is not UNMARKED
        for word in event.event.marks.techniques
    )  # fmt: skip


_LOW_NOTES = {"alto trombone": 45, "trombone": 24, "bass trombone": 24}
"""Below these some notes have no position of the slide."""


def glides(line: PlayerLine) -> bool:
    """There is a glissando, or a very low note of a slide."""
    low = _LOW_NOTES.get(line.instrument.key, 0)
    return any(event.event.marks.glides or event.event.heads[0].pitch.midi < low for event in line.events)


def hurries(line: PlayerLine, notes: int = _ROW) -> bool:
    """There is a row of so many fast notes."""
    longest, row = float(_QUICK_SECONDS / _fastest(line)), 0
    for event in line.events:
        duration = event.event.duration
        row = row + 1 if duration.numerator < longest * duration.denominator else 0
        if row >= notes:
            return True
    return False


def slurs_fast(line: PlayerLine) -> bool:
    """There is a slur, and a row of fast notes."""
    return hurries(line, _FEW) and any(
        event.event.marks.slur_begins for event in line.events if event.event.marks is not UNMARKED
    )


def _seconds(line: PlayerLine) -> Sequence[Fraction]:
    tempi = line.movement.tempi
    return [*(tempo.seconds_per_whole for tempo in tempi), *(tempo.goal for tempo in tempi if tempo.until is not None)]


def _fastest(line: PlayerLine) -> Fraction:
    """Seconds of a whole note where the movement is fastest."""
    return min(_seconds(line))


def _slowest(line: PlayerLine) -> Fraction:
    """The same where it is slowest, fermatas at twice the length."""
    return 2 * max(_seconds(line))


# ---------------------------------------------------------------- strings, harp and guitar

_FAR_SECONDS = 0.21
"""A hand goes from end to end of the longest string in twice the time."""
_SLUR_SECONDS = 4.5
"""No bow is at an end so many times over under a shorter slur."""
_BOWED_SECONDS, _HARP_SECONDS = 0.08, 0.15
"""In a row that nobody plays some note is shorter."""
_HAND_STRINGS, _HAND_NOTES = 12, 5
_AGAIN_SECONDS = 0.16
_LOWEST_D = 8
_ON_STRINGS = frozenset(["open", "harmonic"])
_ORNAMENTS = frozenset(["trill", "tremolo"])


def stops_or_signs(line: PlayerLine) -> bool:
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


def bows_or_plucks(line: PlayerLine) -> bool:
    """A long slur or a change between ways of playing of a single player, or notes that are plucked fast."""
    single, slur, plucked = line.players == 1, Fraction(0), False
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
        if plucked and event.event.duration < fast:
            return True
    return False


def hurries_on_strings(line: PlayerLine) -> bool:
    """A note that is shorter than those of a fast row, or two voices."""
    return _is_quick(line, _BOWED_SECONDS)


def hurries_on_a_harp(line: PlayerLine) -> bool:
    """The same for a hand on a harp; chords want more time."""
    return _is_quick(line, _HARP_SECONDS)


def _is_quick(line: PlayerLine, seconds: float) -> bool:
    """A note is shorter than so many seconds, or is followed sooner by one of another voice."""
    shortest = float(seconds / _fastest(line))
    for staff in line.staves if has_voices(line) else ():
        events = (event for voice in staff.voices for event in voice if event.event.heads)
        onsets = sorted({event.onset.numerator / event.onset.denominator for event in events})
        if any(after - before < shortest for before, after in pairwise(onsets)):
            return True
    for event in line.events:
        duration = event.event.duration
        if duration.numerator < shortest * duration.denominator:
            return True
    return False


def leaps(line: PlayerLine) -> bool:
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


def has_voices(line: PlayerLine) -> bool:
    """Some staff has two voices."""
    return any(sum(1 for voice in staff.voices if voice) > 1 for staff in line.staves)


def moves_pedals(line: PlayerLine) -> bool:
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


def spans_or_repeats(line: PlayerLine) -> bool:
    """A wide or full chord of a hand, a string that is struck again soon, or two voices in one hand."""
    if has_voices(line):
        return True
    soon = Fraction(_AGAIN_SECONDS) / _fastest(line)
    for staff in line.staves:
        before: tuple[int, Fraction] | None = None
        for event in (event for voice in staff.voices for event in voice if event.event.heads):
            heads, marks = event.event.heads, event.event.marks
            span = heads[-1].pitch.position - heads[0].pitch.position
            if span >= _HAND_STRINGS or len(heads) > _HAND_NOTES:
                return True
            if marks is not UNMARKED and any(ornament.kind != "rolled" for ornament in marks.ornaments):
                return True
            key = heads[0].pitch.midi
            if before is not None and key == before[0] and event.onset - before[1] < soon:
                return True
            before = key, event.onset
    return False


def has_lowest_strings(line: PlayerLine) -> bool:
    """The lowest C or D of a harp, or notes below."""
    return any(event.event.heads[0].pitch.position <= _LOWEST_D for event in line.events)


def harp_pedals(line: PlayerLine) -> bool:
    """Pedals that move, or the lowest strings."""
    return moves_pedals(line) or has_lowest_strings(line)


def harp_hands(line: PlayerLine) -> bool:
    """What spans, repeats or hurries."""
    return spans_or_repeats(line) or hurries_on_a_harp(line)


# ---------------------------------------------------------------- keyboards and percussion

_SLOW_TO_STRIKE = frozenset(["tubular bells", "tuned gongs", "cymbals", "finger cymbals", "whip", "hammer"])
_LEAP_SECONDS = 0.27
"""Half of what the farthest leap on any keyboard wants, and more than a key needs to come back."""
_STRUCK_SECONDS, _HELD_SECONDS = 0.11, 0.26
"""In a row that nobody strikes some note is shorter; the second of bells and of cymbals."""


_DAMPED = frozenset(["piano", "upright piano", "electric piano", "celesta"])
"""Keyboards on which nothing is held by the fingers alone."""
_SMALL, _SMALL_STEP, _SMALL_KEYS = 12, 6, 4
"""So many semitones at most in all and from key to key, and so many keys, are under any hand."""
_KEY_SECONDS, _STROKES = 0.07, 3
"""A key comes back in less time; and so many strokes are a repeated key."""
_FAR_POSITIONS = 20
"""Places of the staff without which no leap of a hand is impossible."""


def has_wide_chords(line: PlayerLine) -> bool:
    """Keys at once that do not lie under any hand, or any keys at once where fingers hold what sounds."""
    if line.instrument.key not in _DAMPED:
        return has_chords(line)
    for staff in line.staves:
        if len(staff.voices) > 1:
            at: dict[Fraction, set[int]] = {}
            for event in (event for voice in staff.voices for event in voice):
                at.setdefault(event.onset, set()).update(head.pitch.midi for head in event.event.heads)
            several = [sorted(keys) for keys in at.values() if len(keys) > 1]
        else:
            chords = (event.event.heads for voice in staff.voices for event in voice if len(event.event.heads) > 1)
            several = [[head.pitch.midi for head in heads] for heads in chords]
        for keys in several:
            if len(keys) > _SMALL_KEYS or keys[-1] - keys[0] > _SMALL:
                return True
            if any(high - low > _SMALL_STEP for low, high in pairwise(keys)):
                return True
    return False


def leaps_or_repeats(line: PlayerLine) -> bool:
    """A hand goes far at once, or strikes a key again and again very fast."""
    if has_voices(line):
        return strikes_soon(line)
    fastest = _fastest(line)
    soon, again = float(_LEAP_SECONDS / fastest), float(_KEY_SECONDS / fastest)
    for staff in line.staves:
        before, quick, strokes = None, False, 0
        for event in (event for voice in staff.voices for event in voice if event.event.heads):
            heads, duration = event.event.heads, event.event.duration
            if before is not None and quick:
                if heads[-1].pitch.position - before[0].pitch.position > _FAR_POSITIONS:
                    return True
                if before[-1].pitch.position - heads[0].pitch.position > _FAR_POSITIONS:
                    return True
            strokes = strokes + 1 if duration.numerator < again * duration.denominator else 0
            if strokes >= _STROKES - 1:
                return True
            before, quick = heads, duration.numerator < soon * duration.denominator
    return False


def has_chords(line: PlayerLine) -> bool:
    """Several notes sound at once, on one stem or in two voices."""
    return any(len(staff.voices) > 1 for staff in line.staves) or any(len(e.event.heads) > 1 for e in line.events)


def strikes_soon(line: PlayerLine) -> bool:
    """A note lasts less than the time of a far leap."""
    longest = Fraction(_LEAP_SECONDS) / _fastest(line)
    return any(event.event.duration < longest for event in line.events)


def hurries_on_keys_or_drums(line: PlayerLine) -> bool:
    """A note is shorter than those of a fast row."""
    return _is_quick(line, _HELD_SECONDS if line.instrument.key in _SLOW_TO_STRIKE else _STRUCK_SECONDS)


def has_pedals(line: PlayerLine) -> bool:
    """Something stands on the pedal staff of an organ."""
    return any(voice for staff in line.staves if staff.name == PEDAL for voice in staff.voices)


def has_chords_or_changes(line: PlayerLine) -> bool:
    """Of drums that are tuned: several notes at once, a glissando, or more notes than the drums have together."""
    if has_chords(line) or any(event.event.marks.glides for event in line.events):
        return True
    free = sorted(line.instrument.drums, key=lambda drum: drum.highest.midi)
    for key in sorted({event.event.heads[0].pitch.midi for event in line.events}):
        drum = next((drum for drum in free if drum.lowest.midi <= key <= drum.highest.midi), None)
        if drum is None:
            return True
        free.remove(drum)
    return False


_HANDS = 2
ONE_HAND = frozenset([
    "bass drum", "field drum", "gong", "snare drum", "suspended cymbal", "tam tam", "tenor drum", "tom toms",
    "triangle", "wood block",
])  # fmt: skip
"""Usual instruments of sets of which each stroke takes one hand, and nothing is held in the other."""


def fills_hands(parts: Sequence[tuple[Part, Sequence[Staff]]]) -> bool:
    """Of a set of percussion: more strokes at once than hands, a roll, or something that takes both hands."""
    struck: dict[tuple[int, int], int] = {}
    playing = 0
    for part, staves in parts:
        events = [event for staff in staves for voice in staff.voices for event in voice if event.event.heads]
        if not events:
            continue
        playing += 1
        if part.instrument.key not in ONE_HAND:
            return True
        for event in events:
            if event.event.marks is not UNMARKED and event.event.marks.ornaments:
                return True
            place = event.onset.numerator, event.onset.denominator
            struck[place] = struck.get(place, 0) + 1
    return playing > 1 and max(struck.values()) > _HANDS


SINGLE_STROKES = frozenset(["finger cymbals", "hammer", "vibraslap", "whip"])
"""What cannot be rolled."""


def has_chords_or_signs(line: PlayerLine) -> bool:
    """Several notes at once, words that may name sticks, or a roll on what has none."""
    return has_chords(line) or any(
        event.event.marks is not UNMARKED and (
            event.event.marks.words or line.instrument.key in SINGLE_STROKES and event.event.marks.ornaments
        )
        for event in line.events
    )  # fmt: skip
