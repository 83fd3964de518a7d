"""Keyboards: what one hand and two hands can strike and hold at once.

What is written for one hand on one stem is meant for that hand; of more notes than it has fingers, and of two voices on
its staff, the other hand may take some. Where a damper pedal is there, it can hold what a hand has left. A rolled chord
is not looked at. What hands do in time is looked at in `keyboards_in_time`, the feet of an organ in `organ`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.instruments.instrument import PEDAL, Instrument
from cavata.instruments.keyboards import CARE, FINGERS, OCTAVES, PIANO_OCTAVE, Hand, divided_hands, hand_of, width
from cavata.music.pitch import Pitch
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent, Staff
from cavata.text import so_many

_SPANS = "hand spans measured on 473 pianists; finger spans of Parncutt and others (1997)"
HAND = Kind("hand span", "I370", "whether what a hand strikes at once lies under it, a finger for each key", _SPANS)
HELD = Kind("held keys", "I371", "whether two hands can strike more while they hold what sounds on", _SPANS)
ONE_KEY = Kind("one key", "I372", "whether an ondes Martenot has several notes at once", "from memory")
SHARED = Kind("shared key", "", "whether a hand strikes a key that the other one holds", "common practice")
KINDS = (HAND, HELD, ONE_KEY, SHARED)

RIGHT, LEFT = "right", "left"
OTHER = {RIGHT: LEFT, LEFT: RIGHT}
_OF_WIND = frozenset(["organ", "chamber organ", "harmonium", "accordion"])
"""On which chords are not rolled: what is struck first sounds on no less than the rest."""
WITHOUT_DAMPER = _OF_WIND | {"harpsichord", "clavichord"}
"""The key alone holds the sound. A celesta has a pedal, as a piano has."""
_WITH_MANUALS = frozenset(["harpsichord", "organ", "chamber organ"])
_ALONE = frozenset(["ondes Martenot"])
_OCTAVE = 12


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    if line.part.section or line.instrument.key in _ALONE:
        return
    wide = reach(profile)
    care = width(round(min(CARE, profile.keyboard_hand - 2)))
    for moment in line.moments:
        if moment.state.rolled:
            continue
        for staff in (RIGHT, LEFT):
            yield from _uneasy(line, moment, staff, wide, care)
        yield from _shared(moment, line.instrument.key in _WITH_MANUALS)
        if moment.held and line.instrument.key not in WITHOUT_DAMPER and not moment.state.pedal:
            yield from _for_the_pedal(moment, wide, octave_of(line.instrument))


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player's hands can do."""
    if line.part.section:
        return
    if line.instrument.key in _ALONE:
        yield from _several(line)
        return
    wide = reach(profile)
    manuals = [staff for staff in line.staves if staff.name != PEDAL]
    for staff in manuals:
        if not is_buttons(line.instrument, staff.name):
            for events in struck_together(line, staff):
                yield from _chord(line, manuals, staff.name, events, wide)
    if line.instrument.key in WITHOUT_DAMPER and sum(len(staff.voices) for staff in manuals) > 1:
        yield from _held(line, wide)


def octave_of(instrument: Instrument) -> int:
    """Millimeters of an octave of its keys."""
    return OCTAVES.get(instrument.key, PIANO_OCTAVE)


def reach(profile: Profile) -> float:
    """Millimeters that a hand opens: what is said of a piano's keys holds for all."""
    return width(round(profile.keyboard_hand))


# ---------------------------------------------------------------- what is struck


def _several(line: PlayerLine) -> Iterator[Finding]:
    for event in line.events:
        if len(event.event.heads) > 1:
            yield Finding(
                Degree.IMPOSSIBLE, ONE_KEY, event, f"cannot play {names_of(pitches(event))} at once",
                "it has one note at a time", "give the other notes to another instrument",
            )  # fmt: skip


def _chord(
    line: PlayerLine, manuals: Sequence[Staff], staff: str, events: Sequence[ScoreEvent], wide: float
) -> Iterator[Finding]:
    """What stands on one staff at one moment."""
    keys = sorted({pitch.midi for event in events for pitch in pitches(event)})
    if len(keys) < 2 or _is_small(keys) or any(map(is_rolled, events)):
        return
    octave = octave_of(line.instrument)
    hand = hand_of(keys, staff == LEFT, octave) if staff in OTHER else None
    if hand is not None and hand.possible(wide):
        return
    if staff in OTHER and len(events) == 1 and len(keys) <= FINGERS:
        yield _beyond_one_hand(line.instrument, events[0], hand, wide, staff)
        return
    found = {pitch.midi: pitch for pitch in _struck_at(manuals, events[0].onset, line.instrument)}
    if divided_hands(sorted(found), wide, octave) is None:
        yield Finding(
            Degree.IMPOSSIBLE, HAND, events[0],
            f"cannot strike {names_of([found[key] for key in sorted(found)])} at once",
            "two hands do not take them, however they divide them",
            f"leave notes out, {_rolled(line.instrument)}, or give notes to another part",
        )  # fmt: skip


def _rolled(instrument: Instrument) -> str:
    """How a chord is brought under a hand without a change of its notes."""
    if instrument.key not in _OF_WIND:
        return "roll the chord with `rolled`"
    return "let the pedals take the lowest" if instrument.pedals else "move the notes nearer together"


def _is_small(keys: Sequence[int]) -> bool:
    """Whether any hand has the keys, as most chords show at a glance."""
    return len(keys) < FINGERS and keys[-1] - keys[0] <= _OCTAVE and all(
        high - low <= _OCTAVE // 2 for low, high in zip(keys, keys[1:], strict=False)
    )  # fmt: skip


def _struck_at(staves: Sequence[Staff], onset: Fraction, instrument: Instrument) -> Iterator[Pitch]:
    for staff in staves:
        for voice in staff.voices if not is_buttons(instrument, staff.name) else ():
            place = bisect_left(voice, onset, key=lambda event: event.onset)
            for event in voice[place : place + 1]:
                if event.onset == onset and not event.tied_before:
                    yield from pitches(event)


def _beyond_one_hand(
    instrument: Instrument, event: ScoreEvent, hand: Hand | None, wide: float, staff: str
) -> Finding:
    if hand is None:
        fact = f"{FINGERS} fingers for {len(event.event.heads)} keys"
    elif hand.open > wide:
        found = pitches(event)
        span = found[-1].midi - found[0].midi
        fact = f"{span} semitones, {hand.open} mm on the keys; a hand opens {round(wide)} mm"
    else:
        fact = f"two fingers would stand {so_many(hand.beyond, 'semitone')} further apart than pianists practice"
    return Finding(
        Degree.IMPOSSIBLE, HAND, event, f"cannot strike {names_of(pitches(event))} with the {staff} hand", fact,
        f"give notes to the {OTHER[staff]} hand, {_rolled(instrument)}, or move a note by an octave",
    )  # fmt: skip


# ---------------------------------------------------------------- what is held


def _held(line: PlayerLine, wide: float) -> Iterator[Finding]:
    """Moments whose keys, held ones included, two hands cannot have, though they have those that are struck."""
    octave = octave_of(line.instrument)
    for moment in line.moments:
        if not moment.held or moment.state.rolled:
            continue
        all_keys = {n.pitch.midi: n.pitch for n in moment.sounding if not _is_elsewhere(line, n.staff)}
        struck = [note.pitch.midi for note in moment.struck if not _is_elsewhere(line, note.staff)]
        keys = sorted(all_keys)
        if not struck or _is_small(keys) or divided_hands(keys, wide, octave) or not divided_hands(
            struck, wide, octave
        ):
            continue
        held = names_of([note.pitch for note in moment.held if not _is_elsewhere(line, note.staff)])
        yield Finding(
            Degree.IMPOSSIBLE, HELD, moment.event,
            f"cannot hold {held} and strike {names_of([all_keys[key] for key in struck])}",
            "two hands do not reach all the keys, and no pedal holds them", "shorten what is held, or leave notes out",
        )  # fmt: skip


def _for_the_pedal(moment: Moment, wide: float, octave: int) -> Iterator[Finding]:
    keys = [note.pitch.midi for note in moment.sounding]
    if divided_hands(keys, wide, octave) is None and divided_hands(
        [note.pitch.midi for note in moment.struck], wide, octave
    ):
        yield Finding(
            Degree.CARE, HELD, moment.event, "needs the pedal for notes that are held",
            f"two hands do not reach {names_of([note.pitch for note in moment.sounding])}",
            "write it with `sustain_pedal`, or shorten what is held",
        )  # fmt: skip


def _shared(moment: Moment, manuals: bool) -> Iterator[Finding]:
    held = {note.pitch.midi: note.staff for note in moment.held}
    for note in moment.struck:
        other = held.get(note.pitch.midi)
        if other in OTHER and note.staff == OTHER[other]:
            yield Finding(
                Degree.CARE, SHARED, note.event, "has keys that one hand holds and the other strikes",
                f"the {other} hand holds {note.pitch}", "shorten the note that is held, or move one of the two"
                + ("; two manuals can have both" if manuals else ""),
            )  # fmt: skip


# ---------------------------------------------------------------- what wants care


def _uneasy(line: PlayerLine, moment: Moment, staff: str, wide: float, care: float) -> Iterator[Finding]:
    mine = moment.struck_by(staff)
    keys = [note.pitch.midi for note in mine]
    if len(keys) < 2 or _is_small(keys) or is_buttons(line.instrument, staff):
        return
    hand = hand_of(keys, staff == LEFT, octave_of(line.instrument))
    if hand is None or not hand.possible(wide):
        if len(keys) > FINGERS or len({id(note.event) for note in mine}) > 1:
            yield Finding(
                Degree.CARE, HAND, moment.event, f"needs both hands for what stands on the {staff} hand's staff",
                f"{names_of([note.pitch for note in mine])} do not lie under one hand",
                f"write what the {OTHER[staff]} hand takes on its own staff",
            )  # fmt: skip
    elif hand.open > care or hand.beyond or hand.shared:
        yield Finding(
            Degree.CARE, HAND, moment.event, f"has wide chords in the {staff} hand",
            f"{names_of([note.pitch for note in mine])}: {_why(hand)}",
            ("give a note to the other hand" if line.instrument.key in _OF_WIND else "roll them")
            + ", or leave notes out; smaller hands do not have them",
        )  # fmt: skip


def _why(hand: Hand) -> str:
    if hand.beyond:
        return f"two fingers stand {so_many(hand.beyond, 'semitone')} further apart than pianists practice"
    return "the thumb has two keys" if hand.shared else f"the hand opens {hand.open} mm"


# ---------------------------------------------------------------- small things


def struck_together(line: PlayerLine, staff: Staff) -> Iterator[list[ScoreEvent]]:
    """The events of a staff that begin at one onset, onset by onset; what a tie goes on from is left out."""
    voices = [voice for voice in staff.voices if voice]
    events = [event for voice in voices for event in voice if event.event.heads and not event.tied_before]
    if line.movement.changes:
        mine = {id(event) for event in line.events}
        events = [event for event in events if id(event) in mine]
    if len(voices) < 2:
        yield from ([event] for event in events)
        return
    events.sort(key=lambda event: event.onset)
    for _, group in groupby(events, key=lambda event: event.onset):
        yield list(group)


def keys_of(moment: Moment, staff: str) -> list[int]:
    """What a staff strikes at a moment, from the lowest."""
    return [note.pitch.midi for note in moment.struck_by(staff)]


def pitches(event: ScoreEvent) -> list[Pitch]:
    """The pitches of an event, from the lowest."""
    return [head.pitch for head in event.event.heads]


def is_rolled(event: ScoreEvent) -> bool:
    """Whether a chord is rolled."""
    return any(ornament.kind == "rolled" for ornament in event.event.marks.ornaments)


def is_buttons(instrument: Instrument, staff: str) -> bool:
    """The left hand of an accordion has buttons, of which one sounds a chord."""
    return instrument.key == "accordion" and staff == LEFT


def _is_elsewhere(line: PlayerLine, staff: str) -> bool:
    return staff == PEDAL or is_buttons(line.instrument, staff)
