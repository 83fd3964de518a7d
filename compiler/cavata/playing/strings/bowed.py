"""Bowed strings: what one player can stop at once, and what cannot be had on a string at all.

A player stops a note on each of neighboring strings; several who play one line, as `violins`, divide chords among them,
and so nothing is told of their chords. How a hand gets from one stop to the next is told by `moves`, what the bow does
by `bow`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product, zip_longest

from cavata.instruments.harmonics import (
    ON_ONE_STRING,
    artificial_reach,
    natural_strings,
    naturals_at_once,
    trill_reach,
)
from cavata.instruments.instrument import Instrument
from cavata.instruments.stops import (
    HIGHEST_OF_LOWER,
    HIGHEST_STOP,
    LIMITS,
    THUMB_FROM,
    Stop,
    fifths_in,
    is_out_of_reach,
    needs_care,
    reach_between,
    stop_of,
    stops_of,
)
from cavata.instruments.strings import string_named
from cavata.music.event import UNMARKED, Marks, trilled
from cavata.music.pitch import Pitch
from cavata.playing.chords import at_once, names_of, on_one_string, with_other
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent, bar_at
from cavata.text import so_many

STOP = Kind("stop", "I301", "whether strings have the notes of a stop, one note a string", "common practice")
REACH = Kind("reach", "I302", "how far apart the fingers of a stop stand", "measured on solo works and quartets")
DIVIDED = Kind("divided", "I310", "whether there are players to divide among", "common practice")
TRILL = Kind(
    "fingers of a trill", "I311", "whether fingers are left for a trill on a stop, and reach its upper note",
    "geometry of the string; reach from memory",
)  # fmt: skip
HARMONIC = Kind(
    "harmonic", "I312", "whether a string has a harmonic, and how far apart the fingers of an artificial one stand",
    "acoustics of the string; reach from memory",
)  # fmt: skip
OPEN = Kind("open string", "I313", "whether an open string has a note that is marked `open`", "tunings")
TREMOLO = Kind(
    "strings of a tremolo", "I314", "over how many strings a tremolo is bowed", "common practice, from memory"
)
SUSTAINED = Kind(
    "sustained", "", "how many strings a bow holds: two, three if it is loud", "treatises on orchestration"
)
BROKEN = Kind("broken chord", "", "time for chords on three strings and more", "players' handbooks, from memory")
FIFTH = Kind("fifth", "", "fifths that one finger stops low on cello and bass", "players' handbooks, from memory")
EXTENSION = Kind("extension", "", "notes below the lowest string of a double bass", "common practice")
POSITION = Kind(
    "position", "", "how high on a string a note lies", "fingerboards; for amateurs from memory", in_rows=True
)
KINDS = (STOP, REACH, DIVIDED, TRILL, HARMONIC, OPEN, TREMOLO, SUSTAINED, BROKEN, FIFTH, EXTENSION, POSITION)
_DIVIDE = "divide it between players, or leave notes out"
_SOFT = frozenset(["pppp", "ppp", "pp", "p", "mp"])
_BOW_HOLDS, _BROKEN = 2, 0.15
"""Strings, and seconds below which a chord on more of them has no time to be broken."""


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player has."""
    single = line.players == 1
    if single:
        for event, pitches, plucked in at_once(line.events):
            found = _fault(line.instrument, event, pitches, plucked, profile)
            if found is not None:
                kind, text, cure = found
                yield Finding(Degree.IMPOSSIBLE, kind, event, f"cannot play {names_of(pitches)} at once", text, cure)
    for event in line.events:
        if event.event.marks is not UNMARKED and not event.tied_before:
            yield from only_impossible(_marked(line, event, profile, single))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    single = line.players == 1
    for event in line.events:
        if event.event.marks is not UNMARKED and not event.tied_before:
            for finding in _marked(line, event, profile, single):
                if finding.degree is not Degree.IMPOSSIBLE:
                    yield finding
    for moment, following in zip_longest(line.moments, line.moments[1:]):
        yield from _of_a_note(line.instrument, moment, profile)
        if single and following is not None and following.begins - moment.begins < _BROKEN:
            yield from _broken(moment, following)
        if single and not moment.state.divided and len(moment.sounding) > 1:
            yield from _of_a_stop(line.instrument, moment, profile)


def _fault(
    instrument: Instrument, event: ScoreEvent, pitches: tuple[Pitch, ...], plucked: bool, profile: Profile
) -> tuple[Kind, str, str] | None:
    """What is wrong with a stop: its kind, the fact and the cure."""
    marks = event.event.marks
    if marks.asks_harmonic:
        return None
    if pitches[0].midi < min(string.midi for string in instrument.strings):
        return None  # told as beyond the range
    if len(pitches) > len(instrument.strings):
        return STOP, f"{len(pitches)} notes, and {len(instrument.strings)} strings", _DIVIDE
    is_broken = _is_rolled(marks)
    stop = stop_of(instrument, pitches, not (plucked or is_broken))
    if stop is None:
        near = "" if plucked or is_broken else "neighboring "
        names = [string.pitch_class for string in instrument.strings]
        text = on_one_string(pitches, names, lambda pitch: _strings_of(instrument, pitch)) or (
            f"no {near}strings have them, one note a string: {names_of(instrument.strings)}"
        )
        return STOP, text, f"{_octave(instrument, pitches, near, profile)}{_DIVIDE}"
    if is_out_of_reach(instrument, stop, profile.bow_reach) and not is_broken:
        cure = f"{_octave(instrument, pitches, 'near', profile)}break the chord, or divide it"
        return REACH, f"the fingers would stand {stop.spread} mm apart", cure
    return None


def _strings_of(instrument: Instrument, pitch: Pitch) -> set[int]:
    return {stop.strings[0] for stop in stops_of(instrument, (pitch,))}


def _octave(instrument: Instrument, pitches: tuple[Pitch, ...], near: str, profile: Profile) -> str:
    """How one note an octave higher or lower would make a stop that is there; the beginning of a cure, or nothing."""
    for pitch, octaves in product(reversed(pitches), (1, -1)):
        moved = pitch.shifted(octaves)
        others = with_other(pitches, pitch, moved)
        stop = stop_of(instrument, others, bool(near)) if others else None
        if stop is not None and not needs_care(instrument, stop, profile.bow_reach):
            return f"write {pitch} as {moved}, "
    return ""


def _is_rolled(marks: Marks) -> bool:
    return any(ornament.kind == "rolled" for ornament in marks.ornaments)


def _of_a_stop(instrument: Instrument, moment: Moment, profile: Profile) -> Iterator[Finding]:
    """What of a stop needs care."""
    pitches = tuple(note.pitch for note in moment.sounding)
    plucked, rolled = moment.state.bowing == "pizzicato", moment.state.rolled
    stop = stop_of(instrument, pitches, not (plucked or rolled))
    if stop is None or is_out_of_reach(instrument, stop, profile.bow_reach):
        return
    what, is_wide = f"has to stop {names_of(pitches)}", needs_care(instrument, stop, profile.bow_reach)
    if is_wide:
        yield Finding(
            Degree.CARE, REACH, moment.event, what,
            f"the fingers stand {stop.spread} mm apart{_thumb(instrument, stop)}",
            "a closer spacing, an open string, or a broken chord",
        )  # fmt: skip
    yield from _held(moment, len(pitches), plucked or rolled)
    across = [offset for offset in fifths_in(stop) if offset < THUMB_FROM.get(instrument.key, 0)]
    if across and not (plucked or is_wide):  # a wide stop is told already
        yield Finding(
            Degree.CARE, FIFTH, moment.event, what,
            f"one finger lies across two strings, {so_many(across[0], 'semitone')} above the nut",
            "another interval, an open string, or two players",
        )  # fmt: skip


def _thumb(instrument: Instrument, stop: Stop) -> str:
    """What is said of the thumb: on cello and bass it lies on the strings only high."""
    lowest = min((offset for offset in stop.offsets if offset), default=0)
    above = THUMB_FROM.get(instrument.key)
    if above is None:
        return ""
    return ", with the thumb" if lowest >= above else ", too low for the thumb"


def _broken(moment: Moment, following: Moment) -> Iterator[Finding]:
    """A chord on three strings and more for which there is no time to break it."""
    count, state = len(moment.struck), moment.state
    if count > _BOW_HOLDS and state.bowing == "arco" and not state.divided:
        yield Finding(
            Degree.CARE, BROKEN, moment.event, f"has {count} notes at once, and the next "
            f"{seconds_in_words(following.begins - moment.begins)} later",
            "three strings are broken or pressed, which takes time", "two notes, or more time",
        )  # fmt: skip


def _held(moment: Moment, count: int, apart: bool) -> Iterator[Finding]:
    """Three strings and more under one bow."""
    if count <= _BOW_HOLDS or apart or moment.state.tremolo is not None:
        return  # a tremolo is told by its strings
    if moment.held:
        text = f"a bow holds two strings, and {len(moment.held)} of {count} are held from before"
        yield Finding(
            Degree.CARE, SUSTAINED, moment.event, f"holds {count} notes", text,
            "let lower notes end soon, or give a voice to another player",
        )  # fmt: skip
    elif moment.state.dynamic in _SOFT:
        yield Finding(
            Degree.CARE, SUSTAINED, moment.event, f"has {count} notes at once at {moment.state.dynamic}",
            "three strings sound together only loud; it will be broken", "two notes, or a broken chord",
        )  # fmt: skip


# ---------------------------------------------------------------- single notes


def _of_a_note(instrument: Instrument, moment: Moment, profile: Profile) -> Iterator[Finding]:
    """What of the lowest and the highest note needs care."""
    low, high = moment.struck[0].pitch, moment.struck[-1].pitch
    lowest = min(instrument.strings, key=lambda string: string.midi)
    highest = max(string.midi for string in instrument.strings)
    is_there = instrument.extreme is None or low.midi >= instrument.extreme[0].midi
    if instrument.key == "double bass" and low.midi < lowest.midi and is_there:
        yield Finding(
            Degree.CARE, EXTENSION, moment.event, f"has {low}",
            f"its lowest string is {lowest}: only an extension or a fifth string goes lower",
            "an octave higher for those who have none",
        )  # fmt: skip
    name = moment.event.event.marks.string
    if moment.event.event.marks.asks_harmonic:
        return
    string = string_named(instrument, name, high) if name else None
    if string is not None and instrument.strings[string].midi != highest:
        open_ = instrument.strings[string]
        above = high.midi - open_.midi
        if above > HIGHEST_OF_LOWER:
            yield Finding(
                Degree.CARE, POSITION, moment.event, f"has {high} on the {open_} string", f"{above} semitones above it"
                + (", beyond the fingerboard" if above > HIGHEST_STOP
                   else ": so far up a lower string is thin and slow to speak"),
                "a higher string, or an octave lower",
            )  # fmt: skip
    if high.midi - highest > profile.bow_highest:
        yield Finding(
            Degree.CARE, POSITION, moment.event, f"has {high}",
            f"{high.midi - highest} semitones above the highest string", "an octave lower",
        )  # fmt: skip


def _marked(line: PlayerLine, event: ScoreEvent, profile: Profile, single: bool) -> Iterator[Finding]:
    """What the signs at an event ask of the left hand."""
    marks, instrument = event.event.marks, line.instrument
    if single and "divisi" in marks.techniques:
        yield Finding(
            Degree.IMPOSSIBLE, DIVIDED, event, "is to divide", "it is one player",
            "name the part in the plural, as `violins`, or write another part",
        )  # fmt: skip
    if not event.event.heads:
        return
    if "open" in marks.articulations:
        yield from _open(instrument, event)
    if marks.asks_harmonic:
        yield from _harmonic(instrument, event, profile, single)
    if single:
        for ornament in marks.ornaments:
            if ornament.kind == "trill":
                yield from _trill(line, event, profile)
            if ornament.kind == "tremolo" and len(event.event.heads) > _BOW_HOLDS:
                yield _tremolo(len(event.event.heads), event)


def _open(instrument: Instrument, event: ScoreEvent) -> Iterator[Finding]:
    strings = instrument.strings
    without = [head.pitch for head in event.event.heads if head.pitch.midi not in {open_.midi for open_ in strings}]
    if len(without) == len(event.event.heads):
        yield Finding(
            Degree.IMPOSSIBLE, OPEN, event, f"has no open string {names_of(without)}",
            f"its open strings are {names_of(strings)}", "leave `open` out, or write one of these",
        )  # fmt: skip


def _harmonic(instrument: Instrument, event: ScoreEvent, profile: Profile, single: bool) -> Iterator[Finding]:
    pitches, touching = [head.pitch for head in event.event.heads], event.event.marks.harmonic
    if touching == "natural":
        return  # that the string has it was seen when it was placed
    if len(pitches) > 1:
        if single and not naturals_at_once(instrument, pitches):
            yield Finding(
                Degree.IMPOSSIBLE, HARMONIC, event, f"cannot play {names_of(pitches)} as harmonics at once",
                "no neighboring open strings have them, one harmonic a string", _DIVIDE,
            )  # fmt: skip
        return
    if not touching and natural_strings(instrument, pitches[0]):
        return
    reach = artificial_reach(instrument, pitches[0], touching or "P4")
    care, refused = (limit * profile.bow_reach for limit in ON_ONE_STRING.get(instrument.key, (10**6, 10**6)))
    what = f"cannot play {pitches[0]} as a harmonic"
    if reach is None:
        if not touching:  # else it was an error already
            yield Finding(
                Degree.IMPOSSIBLE, HARMONIC, event, what, "no open string has it, and it is too low to be stopped "
                "two octaves below", "write it higher, or as a stopped note",
            )  # fmt: skip
    elif reach > care:
        text = f"the finger that touches stands {reach} mm from the one that stops"
        degree = Degree.IMPOSSIBLE if reach > refused else Degree.CARE
        what = what if reach > refused else f"has to reach far for the harmonic {pitches[0]}"
        yield Finding(degree, HARMONIC, event, what, text, "write it higher, or a harmonic of an open string")
    elif not touching:
        yield Finding(
            Degree.CARE, HARMONIC, event, f"has no natural harmonic {pitches[0]}",
            "no open string has it; stopped two octaves below and touched at the fourth it can be had",
            "say `harmonic touching P4`, or write a harmonic of an open string",
        )  # fmt: skip


def _trill(line: PlayerLine, event: ScoreEvent, profile: Profile) -> Iterator[Finding]:
    """A trill of one note that no hand reaches, or of a stop that leaves no finger for it."""
    instrument, marks = line.instrument, event.event.marks
    if instrument.key not in LIMITS:
        return
    ornament = next(ornament for ornament in marks.ornaments if ornament.kind == "trill")
    fifths = bar_at(line.movement.bars, event.onset).fifths
    pitches = [head.pitch for head in event.event.heads]
    uppers = [trilled(pitch, ornament, fifths) for pitch in pitches]
    if len(pitches) == 1:
        care, refused = (limit * profile.bow_reach for limit in ON_ONE_STRING[instrument.key])
        spread = trill_reach(instrument, pitches[0], uppers[0])
        what, cure = f"trills {pitches[0]} to {uppers[0]}", "a smaller interval, or a tremolo of two players"
    elif len(pitches) == _BOW_HOLDS:
        care, refused = (limit * profile.bow_reach for limit in LIMITS[instrument.key])
        both = [_both(instrument, stop, pitches, uppers) for stop in stops_of(instrument, tuple(pitches))]
        spread = min(both, default=0)
        what, cure = f"trills {names_of(pitches)} to {names_of(uppers)}", "trill one of the two, or divide them"
    else:
        yield Finding(
            Degree.CARE, TRILL, event, f"trills a chord of {len(pitches)} notes", "only the upper note can be trilled, "
            "when the chord has been broken", "write the trill to the upper note alone",
        )  # fmt: skip
        return
    if spread > care:
        degree = Degree.IMPOSSIBLE if spread > refused else Degree.CARE
        yield Finding(degree, TRILL, event, what, f"the fingers would stand {spread} mm apart", cure)


def _both(instrument: Instrument, stop: Stop, pitches: Sequence[Pitch], uppers: Sequence[Pitch]) -> int:
    """Millimeters between the outer fingers where both notes of a stop are trilled."""
    upper = [
        offset + above.midi - pitch.midi
        for offset, pitch, above in zip(stop.offsets, pitches, uppers, strict=True)
    ]  # fmt: skip
    stopped = [offset for offset in (*stop.offsets, *upper) if offset]
    return reach_between(instrument, min(stopped), max(stopped))


def _tremolo(count: int, event: ScoreEvent) -> Finding:
    degree = Degree.IMPOSSIBLE if count > _BOW_HOLDS + 1 else Degree.CARE
    return Finding(
        degree, TREMOLO, event, f"has a tremolo of {count} notes", "a bow goes to and fro on two strings",
        "two notes, or divide it",
    )  # fmt: skip
