"""Guitars and other fretted instruments: what a left hand has and gets to in time, and what a right hand plucks.

In: a line of an instrument with frets. Out: notes that no string has, chords beyond four fingers or their reach, moves
for which there is less time than they take, notes that must be let go for the next, runs too fast for the fingers, and
notes that are gone before they end. A barre, open strings and every choice of strings are tried.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise, product

from cavata.instruments.fretboard import PLUCKED_AT_ONCE, REACH, place_of, shape_of, shapes_of
from cavata.instruments.instrument import Instrument
from cavata.instruments.left_hand import HandPosition, Move, StoppedMoment, late_moves
from cavata.music.pitch import Pitch
from cavata.playing import first_look
from cavata.playing.chords import names_of, on_one_string, with_other
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import SHORT, Fast, Pace, runs, too_fast
from cavata.score.score import ScoreEvent

STRING = Kind("string and fret", "I330", "whether a string and a fret have a note", "tunings and frets")
CHORD = Kind(
    "chord on frets", "I331", "whether four fingers and a barre have a chord, and how far they stand apart",
    "guitarists' pages for composers; distances from the length of the string",
)  # fmt: skip
MOVE = Kind(
    "move on frets", "I332", "whether the left hand gets from one chord to the next in time",
    "geometry of the string; speed of the hand from memory", in_rows=True,
)  # fmt: skip
FAST = Kind(
    "plucking", "I333", "how fast notes and chords are plucked", "guitarists' pages for composers; limits from memory"
)
STRUM = Kind("strum", "", "how many strings the right hand takes one by one", "guitarists' pages, from memory")
LET_GO = Kind("let go", "", "whether what is held can be held while the hand takes the next", "geometry of the string")
BARRE = Kind("barre", "", "how long chords lie under a barre", "guitarists' pages name the strain; seconds from memory")
DECAY = Kind("decay", "", "whether a plucked note sounds as long as it is written", "guitarists' pages, from memory")
SLUR = Kind(
    "slur on frets", "", "slurs of the left hand over more than one string", "guitarists' practice, from memory"
)
KINDS = (STRING, CHORD, MOVE, FAST, STRUM, LET_GO, BARRE, DECAY, SLUR)

_FRAME_FRETS = 3
"""A hand lies over four frets, one finger each."""
_HEARD = 5.0
"""Seconds that a plucked string is heard at most."""
_SCALES, _STEP = 0.75, 2
"""The share of their speed at which two fingers take turns, and semitones of the steps of a scale. A tremolo of thumb
and three fingers goes at about 11 notes a second."""
_PAIRS = 0.55
"""The same of two notes at once, as thirds, for which the left hand is set anew each time. From memory."""
_CHORD = 3
_CHORD_EASE = 0.5
_SLOW = 0.5
"""The shares of a limit from which on chords want care, and below which a note does not go on with a run."""
_SET_ANEW = 0.2
"""Seconds in which a hand lets go of a chord of many fingers and takes another, a barre among them. From memory."""
_FEWER = "leave notes out, or give some to a second player"
_SPREAD = "another octave, an open string, fewer notes, or another inversion"


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player has."""
    yield from _at_once(line, profile)
    if first_look.has_voices(line) or first_look.strikes_soon(line):
        yield from only_impossible(_in_time(line, profile))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from _at_once(line, profile)
    for moment in line.moments:
        yield from _of_a_moment(line.instrument, moment, profile)
    yield from _in_time(line, profile)
    yield from _barres(line, profile)
    yield from _slurs(line)


# ---------------------------------------------------------------- at once


def _at_once(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Notes that are not there, and chords that no hand has, of all that is struck together."""
    for _, group in groupby(line.events, key=lambda event: event.onset):
        events = [event for event in group if not event.tied_before and not event.event.marks.asks_harmonic]
        if events:
            notes = {head.pitch.midi: head.pitch for event in events for head in event.event.heads}
            yield from _struck(line.instrument, events[0], tuple(notes[key] for key in sorted(notes)), profile)


def _struck(
    instrument: Instrument, event: ScoreEvent, pitches: tuple[Pitch, ...], profile: Profile
) -> Iterator[Finding]:
    """What is wrong with notes that are struck together; of several that are nowhere, the lowest."""
    for pitch in pitches:
        if shape_of(instrument, (pitch,)) is None:
            if instrument.is_beyond(pitch):
                return  # told as beyond the range
            low = min(instrument.strings, key=lambda string: string.midi)
            high = max(instrument.strings, key=lambda string: string.midi)
            if pitch.midi < low.midi:
                text, cure = f"its lowest string is {low}", "write it higher, or tune a string down with `tuned`"
            else:
                text, cure = f"the last fret of its highest string, {high}, is {instrument.frets}", "write it lower"
            yield Finding(Degree.IMPOSSIBLE, STRING, event, f"has no {pitch}", text, cure)
            return
    if len(pitches) > 1 and shape_of(instrument, pitches, profile.fret_reach) is None:
        strings = instrument.strings
        if len(pitches) > len(strings):
            text = f"{len(pitches)} notes, and {len(strings)} strings"
        else:
            far = REACH[1] * profile.fret_reach
            text = on_one_string(pitches, strings, lambda pitch: _strings_of(instrument, pitch)) or (
                f"on no choice of strings do four fingers have them within {far:.0f} mm"
            )
        too_many = len(pitches) > len(strings)
        cure = _octave(instrument, pitches, profile) or (_FEWER if too_many else _SPREAD)
        yield Finding(Degree.IMPOSSIBLE, CHORD, event, f"cannot play {names_of(pitches)} at once", text, cure)


def _strings_of(instrument: Instrument, pitch: Pitch) -> set[int]:
    return {shape.strings[0] for shape in shapes_of(instrument, (pitch,))}


def _octave(instrument: Instrument, pitches: tuple[Pitch, ...], profile: Profile) -> str:
    """How one note an octave higher or lower would make a chord that a hand has at ease; empty where none would."""
    for pitch, octaves in product(pitches, (1, -1)):
        moved = pitch.shifted(octaves)
        others = with_other(pitches, pitch, moved)
        shape = shape_of(instrument, others, profile.fret_reach) if others else None
        if shape is not None and shape.spread <= REACH[0] * profile.fret_reach:
            drawn = shape.drawn(len(instrument.strings))
            return f"write {pitch} as {moved}, which lies as {drawn}; or leave a note out"
    return ""


def _of_a_moment(instrument: Instrument, moment: Moment, profile: Profile) -> Iterator[Finding]:
    """What of a chord needs care, and notes that do not last."""
    pitches = tuple(note.pitch for note in moment.struck)
    shape = shape_of(instrument, pitches, profile.fret_reach)
    if shape is None:
        return
    if shape.spread > REACH[0] * profile.fret_reach:
        yield Finding(
            Degree.CARE, CHORD, moment.event, f"has to stretch for {names_of(pitches)}",
            f"the fingers stand {shape.spread} mm apart, as {shape.drawn(len(instrument.strings))}", _SPREAD,
        )  # fmt: skip
    elif len(pitches) > PLUCKED_AT_ONCE and not moment.state.rolled and not _lie_together(instrument, pitches):
        yield Finding(
            Degree.CARE, STRUM, moment.event, f"has {len(pitches)} notes at once, {names_of(pitches)}",
            "the thumb and three fingers pluck four; these strings do not lie side by side, to be strummed",
            "four notes, or a rolled chord",
        )  # fmt: skip
    if moment.seconds > _HEARD:
        yield Finding(
            Degree.CARE, DECAY, moment.event, f"holds {names_of(pitches)} for {moment.seconds:.1f} s",
            f"a plucked string is heard for about {_HEARD:g} s", "pluck it again, or write a tremolo",
        )  # fmt: skip


def _lie_together(instrument: Instrument, pitches: tuple[Pitch, ...]) -> bool:
    """Whether some way to take a chord has all its strings side by side."""
    return any(
        max(shape.strings) - min(shape.strings) == len(pitches) - 1 for shape in shapes_of(instrument, pitches)
    )


# ---------------------------------------------------------------- in time


def _frame(instrument: Instrument) -> int:
    """Millimeters from the first fret on that a hand has under its fingers without a stretch."""
    return place_of(instrument, 1 + _FRAME_FRETS) - place_of(instrument, 1)


def _ways(line: PlayerLine, pitches: tuple[Pitch, ...], profile: Profile) -> tuple[HandPosition | None, ...]:
    shapes = shapes_of(line.instrument, pitches, profile.fret_reach)
    return tuple(dict.fromkeys(HandPosition(shape.low, shape.high) if shape.fingers else None for shape in shapes))


def _in_time(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Moves of the left hand, what it must let go, and runs of the right hand."""
    here: list[tuple[Moment, tuple[Pitch, ...]]] = []
    held: list[StoppedMoment] = []
    for moment in line.moments:
        if moment.event.event.marks.asks_harmonic:
            continue
        pitches = tuple(note.pitch for note in moment.struck)
        ways = _ways(line, pitches, profile) if len(pitches) <= len(line.instrument.strings) else ()
        if ways:
            here.append((moment, pitches))
            held.append(StoppedMoment(moment.begins, moment.ends, ways))
            yield from _let_go(line.instrument, moment, profile)
    told = set()
    for now, move, hopeless in late_moves(held, _frame(line.instrument), profile.slowness):
        told.add(now)
        yield _late(here[now][0], here[now - 1][1], here[now][1], move, hopeless)
    chords = [(now, *each) for now, each in enumerate(here) if len(each[1]) >= _CHORD]
    for (_, before, old), (now, moment, new) in pairwise(chords):
        if now not in told and old != new:
            yield from _set_anew(line.instrument, moment, old, new, moment.begins - before.begins, profile)
    yield from _runs(line, profile)


def _late(moment: Moment, before: Sequence[Pitch], pitches: Sequence[Pitch], move: Move, hopeless: bool) -> Finding:
    return Finding(
        Degree.IMPOSSIBLE if hopeless else Degree.CARE, MOVE, moment.event,
        f"gets from {names_of(before)} to {names_of(pitches)} in {seconds_in_words(move.whole)}",
        f"the hand moves {move.distance} mm, which takes about {seconds_in_words(move.needed)}{move.cut}",
        "more time, a rest, open strings between, or another octave",
    )  # fmt: skip


def _set_anew(
    instrument: Instrument, moment: Moment, old: tuple[Pitch, ...], new: tuple[Pitch, ...], time: float,
    profile: Profile,
) -> Iterator[Finding]:
    """A chord of many fingers after another: all of them are set anew, near as they may lie, if the one does not slide
    to the other."""
    if time >= _SET_ANEW * profile.slowness:
        return
    shapes, others = (shapes_of(instrument, chord, profile.fret_reach) for chord in (old, new))
    fingers = [min(shape.fingers for shape in ways) for ways in (shapes, others)]
    if min(fingers) >= _CHORD and not any(shape.slides_to(other) for shape in shapes for other in others):
        yield Finding(
            Degree.IMPOSSIBLE if time < _SET_ANEW * profile.slowness / 2 else Degree.CARE, MOVE, moment.event,
            f"gets from {names_of(old)} to {names_of(new)} in {seconds_in_words(time)}",
            f"{fingers[1]} fingers are set anew, which takes about {_SET_ANEW * profile.slowness:.2g} s",
            "more time, open strings, or fewer notes",
        )  # fmt: skip


_PAUSE = 2.0
"""Seconds from one chord to the next in which a hand recovers."""


def _barres(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Chords that all want a barre, one after another."""
    def wants_one(moment: Moment) -> bool:
        shapes = shapes_of(line.instrument, tuple(note.pitch for note in moment.struck), profile.fret_reach)
        return bool(shapes) and all(shape.has_barre for shape in shapes)

    for run in runs(line.moments, 1 / _PAUSE, wants_one):
        lasting = run[-1].ends - run[0].begins
        if lasting > profile.barre:
            yield Finding(
                Degree.TIRING, BARRE, run[0].event, "has a barre for long",
                f"{len(run)} chords in {lasting:.0f} s; it strains thumb and wrist",
                "chords with open strings between, single notes, or a capo",
            )  # fmt: skip


def _let_go(instrument: Instrument, moment: Moment, profile: Profile) -> Iterator[Finding]:
    """A chord for which what is held from before has to end."""
    if not moment.held:
        return
    both = tuple(note.pitch for note in moment.sounding)
    if len(both) > len(instrument.strings) or shape_of(instrument, both, profile.fret_reach) is None:
        held, struck = (names_of([note.pitch for note in notes]) for notes in (moment.held, moment.struck))
        yield Finding(
            Degree.CARE, LET_GO, moment.event, f"holds {held} while it takes {struck}",
            "on no choice of strings does a hand have all of them", "let the held notes end there, or an open string",
        )  # fmt: skip


def _runs(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Notes, or chords, that follow one another faster than they are plucked."""
    pairs, hurried = Pace(profile.guitar_notes * _PAIRS), set[float]()
    for run in runs(line.moments, pairs.most * _SLOW, lambda moment: len(moment.struck) == 2):
        fast = too_fast(run, pairs, _set_anew_each_time)
        hurried |= {moment.begins for moment in run} if fast is not None else set()
        yield from _run(fast, len(run), "pairs of notes")
    notes = Pace(profile.guitar_notes)
    for run in runs(line.moments, notes.most * _SLOW, lambda _: True, lambda _, after: not after.state.under_slur):
        fast = too_fast(run, notes, lambda row: _share_of(row, profile))
        if fast is not None and fast.moment.begins not in hurried:
            yield from _run(fast, len(run), "notes")
    chords = Pace(profile.guitar_chords, SHORT, 1.0, _CHORD_EASE)
    for run in runs(line.moments, chords.most * _SLOW, lambda moment: len(moment.struck) >= _CHORD):
        yield from _run(too_fast(run, chords), len(run), "chords")


def _set_anew_each_time(row: Sequence[Moment]) -> float:
    """Pairs that change go slower than those that are plucked again."""
    again = sum(before.top == after.top for before, after in pairwise(row))
    return 1.0 if 2 * again < len(row) - 1 else 1 / _PAIRS


def _share_of(row: Sequence[Moment], profile: Profile) -> float:
    """A tremolo or an arpeggio has a finger for each note; in a scale two of them take turns on one string. Where every
    second one is a chord, the hand goes no faster than in chords."""
    chords = sum(len(moment.struck) >= _CHORD for moment in row)
    if len(row) > chords >= len(row) / 2:
        return profile.guitar_chords / profile.guitar_notes
    steps = [abs(after.top.midi - before.top.midi) for before, after in pairwise(row)]
    in_turn = sum(0 < step <= _STEP for step in steps)
    return _SCALES if 2 * in_turn > len(steps) else 1.0


_UNDER_THE_HAND = 5
"""Frets from one stopped note to the next that the left hand hammers or pulls off, a stretch included."""


def _slurs(line: PlayerLine) -> Iterator[Finding]:
    """Where the left hand cannot slur two notes, which lie on two strings or too far apart on one: once a slur. Of two
    voices, or chords, nobody knows which is meant."""
    told = False
    for before, moment in pairwise(() if first_look.has_voices(line) else line.moments):
        told = told and before.state.under_slur
        if before.event.event.marks.glides:
            yield from _slide(line.instrument, before, moment)
        is_single = len(before.struck) == len(moment.struck) == 1
        if told or not is_single or not before.state.slurred or before.event.event.marks.glides:
            continue
        if not _is_on_one_string(line.instrument, before.top.midi, moment.top.midi):
            told = True
            yield Finding(
                Degree.CARE, SLUR, before.event, f"slurs from {before.top} to {moment.top}",
                "the left hand slurs on one string, and has both on none: the second note is plucked",
                "leave the slur out, `let_ring` if they are to sound on, or a closer note",
            )  # fmt: skip


def _slide(instrument: Instrument, before: Moment, moment: Moment) -> Iterator[Finding]:
    """A glissando that no string has from end to end."""
    if not _is_on_one_string(instrument, before.top.midi, moment.top.midi, instrument.frets):
        yield Finding(
            Degree.CARE, SLUR, before.event, f"slides from {before.top} to {moment.top}", "no string has both of them",
            "a narrower glissando, or the notes of the run",
        )  # fmt: skip


def _is_on_one_string(instrument: Instrument, one: int, other: int, frets: int = _UNDER_THE_HAND) -> bool:
    """Whether a string has two notes, so many frets apart or with the lower one open."""
    for string in instrument.strings:
        low, high = sorted((one - string.midi, other - string.midi))
        if low >= 0 and high <= instrument.frets and (low == 0 or high - low <= frets):
            return True
    return False


def _run(fast: Fast | None, count: int, called: str) -> Iterator[Finding]:
    if fast is not None:
        yield Finding(
            fast.degree, FAST, fast.moment.event, f"plucks {count} {called}, {fast.rate:.1f} a second",
            f"about {fast.most:.0f} a second are the most of virtuosos",
            "longer notes, or slurs of the left hand" if called == "notes" else "longer notes, or single ones",
        )  # fmt: skip
