"""Wind instruments: fingers and tongue, soft registers, leaps, and an entry with a cold instrument.

Trills and tremolos are looked at by tables of fingerings; speeds and registers by what players keep up. What only brass
players do is in `brass`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.instruments.instrument import Instrument
from cavata.instruments.trills import WIDEST_TRILL, TrillFault, trill_fault
from cavata.instruments.winds import SOFT, Register, hard_at, is_natural, judged_as, wind_of
from cavata.music.event import trilled
from cavata.music.pitch import Pitch
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import chained, fastest_rate
from cavata.score.score import bar_at

TRILL = Kind(
    "trill", "I341", "trills and tremolos that a wind instrument does not have, or has badly",
    "published pages on trills, some of them players' reports; valves and slide by their charts",
)
TONGUE = Kind(
    "tongue", "I342", "how many notes a second are tongued", "players' guides; for most instruments from memory",
)
NATURAL = Kind("natural note", "I343", "notes of an instrument without valves", "acoustics of the tube")
REGISTER = Kind(
    "register", "", "registers that do not speak softly, or not loudly", "players' handbooks; some from memory",
)
LEAP = Kind(
    "leap of a wind", "", "wide leaps at speed, slurred ones over a break, and wide slurs of brass",
    "Rimsky-Korsakov; from memory",
)
ENTRY = Kind("entry", "", "a first note high, or low and soft, after a long rest", "from memory")
KINDS = (TRILL, TONGUE, NATURAL, REGISTER, LEAP, ENTRY)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    moments = line.moments
    yield from _trills(line)
    tremolos = tuple(_tremolos(moments))
    yield from (finding for _, finding in tremolos)
    yield from _tongued(line, profile)
    yield from _unnatural(line)
    yield from _registers(moments)
    told = {moment.onset for row, _ in tremolos for moment in row}
    yield from (leap for leap in (*_leaps(moments), *_slurs(moments)) if leap.event.onset not in told)
    yield from _entries(moments)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no player has."""
    tremolos = (finding for _, finding in _tremolos(line.moments))
    found = (*_trills(line), *tremolos, *_tongued(line, profile), *_unnatural(line))
    yield from only_impossible(found)


# ---------------------------------------------------------------- fingers


def _trills(line: PlayerLine) -> Iterator[Finding]:
    for event in line.events:
        trill = next((each for each in event.event.marks.ornaments if each.kind == "trill"), None)
        if trill is None or event.tied_before:
            continue
        fifths = bar_at(line.movement.bars, event.onset).fifths
        for head in event.event.heads:
            upper = trilled(head.pitch, trill, fifths)
            fault = trill_fault(line.movement.instrument_of(line.part, event.onset), head.pitch, upper)
            if fault is not None:
                yield Finding(
                    _degree(fault), TRILL, event, f"{_has(fault)} trill {head.pitch}-{upper}", fault.why,
                    "another octave, another instrument, or a note between", rests_on=fault.source,
                )  # fmt: skip


def _degree(fault: TrillFault) -> Degree:
    return Degree.IMPOSSIBLE if fault.absent else Degree.CARE


def _has(fault: TrillFault) -> str:
    return "has no" if fault.absent else "has a poor"


_TREMOLO_NOTES, _TREMOLO_SECONDS, _TRILL_SECONDS = 4, 0.13, 0.1
"""So many slurred notes at least, each of so many seconds at most, that go to and fro are a tremolo; as fast as a trill
they need a fingering of their own."""


def _tremolos(moments: Sequence[Moment]) -> Iterator[tuple[Sequence[Moment], Finding]]:
    """Fast changes between two notes that have no good fingering, each with what is said of it."""
    for row in _to_and_fro(moments):
        finding = _tremolo(*row[:2])
        if finding is not None:
            yield row, finding


def _to_and_fro(moments: Sequence[Moment]) -> Iterator[Sequence[Moment]]:
    """Two notes that alternate fast under a slur."""
    begin = 0
    for index in range(1, len(moments) + 1):
        if index < len(moments) and _goes_to_and_fro(moments, begin, index):
            continue
        if index - begin >= _TREMOLO_NOTES:
            yield moments[begin:index]
        begin = max(begin + 1, index - 1)


def _goes_to_and_fro(moments: Sequence[Moment], begin: int, index: int) -> bool:
    before, here = moments[index - 1], moments[index]
    if not before.state.slurred or here.begins - before.begins > _TREMOLO_SECONDS:
        return False
    if index - begin < 2:
        return before.top.midi != here.top.midi
    return moments[index - 2].top.midi == here.top.midi


def _tremolo(first: Moment, second: Moment) -> Finding | None:
    low, high = sorted((first.top, second.top), key=lambda pitch: pitch.midi)
    fault = trill_fault(first.state.instrument, low, high)
    if fault is None:
        return None
    slow = second.begins - first.begins > _TRILL_SECONDS
    degree = Degree.CARE if slow else _degree(fault)
    name = "trill" if high.midi - low.midi <= WIDEST_TRILL else "tremolo"
    return Finding(
        degree, TRILL, first.event, f"{_has(fault)} {name} {low}-{high}", fault.why,
        "other notes of the chord, or divide them between two players", rests_on=fault.source,
    )  # fmt: skip


def _unnatural(line: PlayerLine) -> Iterator[Finding]:
    for event in line.events:
        for head in event.event.heads:
            if not event.tied_before and not is_natural(line.instrument, head.pitch):
                yield Finding(
                    Degree.IMPOSSIBLE, NATURAL, event, f"has no {head.pitch}",
                    "without valves it has the notes of one harmonic series",
                    "a neighboring note of the series, or an instrument with valves",
                )  # fmt: skip


# ---------------------------------------------------------------- the tongue

_ROW, _FEW = 8, 5
"""So many notes in a row are a phrase, and so many a burst, which is quicker."""
NEAR, OVER, BURST, BEYOND = 0.85, 1.15, 1.3, 1.2
"""From which part of what players keep up a long row tires; how far over it care begins, in a phrase and in a burst;
and how far over the fastest tongue it is beyond anybody."""
_LONG_ROW, _LONG_BEYOND = 24, 1.1
"""In a row of so many notes less is beyond the fastest tongue, which has no burst that long. From memory."""
_TIRING_NOTES = 64
"""So many tongued notes in a row, near the limit, slow a tongue down. That long rows tire: Tonguing
(contemporarytuba.com); the number from memory."""


def _tongued(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    wind = wind_of(line.instrument)
    most = max(wind.double, wind.single)
    single, fastest = wind.single * profile.tonguing, most * profile.tonguing
    rows = [(row, fastest_rate(row, min(len(row), _ROW))) for row in chained(line.moments, _is_tongued_on, _FEW)]
    for row, rate in (*rows, *_measured_tremolos(line.moments)):
        usual = fastest if wind.doubles_readily or row[0].state.tongue != "single_tongue" else single
        burst = fastest_rate(row, _FEW) if len(row) >= _FEW else rate
        long = fastest_rate(row, _LONG_ROW) if len(row) >= _LONG_ROW else 0.0
        beyond = burst if burst > most * BEYOND else long if long > most * _LONG_BEYOND else 0.0
        if beyond:
            rate, degree, text = beyond, Degree.IMPOSSIBLE, f"the fastest tongue has about {fastest:.0f} a second"
        elif rate > usual * (OVER if len(row) >= _ROW or len(row) == 1 else BURST) or long > fastest:
            degree, text = Degree.CARE, f"a phrase is kept up at about {usual:.0f} a second"
        elif rate > usual * NEAR and len(row) >= _TIRING_NOTES:
            degree, text = Degree.TIRING, f"{len(row)} of them in a row; the tongue slows down"
        else:
            continue
        yield Finding(
            degree, TONGUE, row[0].event, f"tongues {rate:.1f} notes a second", text,
            "slur them by twos or fours, or share them between two players",
        )  # fmt: skip


def _is_tongued_on(before: Moment, moment: Moment) -> bool:
    """Whether a note is tongued soon after the one before, without a rest between."""
    tongued = not moment.state.under_slur and moment.state.tongue != "flutter_tongue"
    return tongued and moment.begins - before.begins <= _SLOWEST and moment.begins - before.ends < 0.05


def _measured_tremolos(moments: Sequence[Moment]) -> Iterator[tuple[list[Moment], float]]:
    """Notes repeated in a value that the script names, with the repetitions in a second."""
    for moment in moments:
        if moment.strokes >= _ROW:
            yield [moment], float(moment.strokes) / moment.seconds


_SLOWEST = 0.25
"""Seconds from note to note beyond which the tongue has time enough."""


# ---------------------------------------------------------------- registers and leaps


def _registers(moments: Sequence[Moment]) -> Iterator[Finding]:
    """Notes at a dynamic that the instrument hardly has there, once for those that follow one another."""
    before: Register | None = None
    for moment in moments:
        register = hard_at(moment.state.instrument, moment.top, moment.state.dynamic)
        if register is not None and register != before and moment.seconds >= _HELD_SECONDS:
            yield Finding(
                Degree.CARE, REGISTER, moment.event, f"is to play {moment.top} {moment.state.dynamic}",
                register.why, "another dynamic, another octave, or another instrument", rests_on=register.source,
            )  # fmt: skip
        before = register


_HELD_SECONDS = 0.4
"""A shorter note is gone before anybody hears how it spoke."""
_WOODWIND_LEAP, _WOODWIND_SECONDS = 19, 0.15
_BRASS_LEAP, _BRASS_SECONDS = 13, 0.2
_BREAK_LEAP, _BREAK_SECONDS = 12, 0.25
_IN_A_ROW = 2
"""A single leap is taken as it comes; so many one after another are looked at."""


def _leaps(moments: Sequence[Moment]) -> Iterator[Finding]:
    leaps: list[Moment] = []
    for before, moment in pairwise(moments):
        if _is_hard_leap(before, moment):
            leaps.append(before)
            if len(leaps) == _IN_A_ROW:
                slurred, tongued = ("slurred ", "tongue them, ") if before.state.slurred else ("", "")
                yield Finding(
                    Degree.CARE, LEAP, leaps[0].event, f"has wide {slurred}leaps at speed",
                    f"{abs(moment.top.midi - before.top.midi)} semitones "
                    f"in {seconds_in_words(moment.begins - before.begins)}",
                    f"{tongued}give them more time, or divide the line between two players",
                )  # fmt: skip
        elif moment.begins - before.begins > _BREAK_SECONDS:
            leaps = []


def _is_hard_leap(before: Moment, moment: Moment) -> bool:
    wide, seconds = abs(moment.top.midi - before.top.midi), moment.begins - before.begins
    if moment.begins - before.ends > 0.05:
        return False
    if before.state.instrument.family == "brass":
        return wide >= _BRASS_LEAP and seconds < _BRASS_SECONDS and not before.state.slurred
    if before.state.slurred and judged_as(before.state.instrument.key) in ("clarinet", "bass clarinet", "basset horn"):
        return wide >= _BREAK_LEAP and seconds < _BREAK_SECONDS
    return wide >= _WOODWIND_LEAP and seconds < _WOODWIND_SECONDS


SLURRED_UP, SLURRED_DOWN = 17, 13
"""Semitones under a slur from which the lip of a brass player hardly finds the other note: down sooner than up. From
memory."""


def _slurs(moments: Sequence[Moment]) -> Iterator[Finding]:
    """Wide slurs of brass players, however slow."""
    for before, moment in pairwise(moments):
        step = moment.top.midi - before.top.midi
        if not before.state.slurred or before.state.instrument.family != "brass" or before.event.event.marks.glides:
            continue
        quick = abs(step) >= _BRASS_LEAP and moment.begins - before.begins < _BRASS_SECONDS
        if step >= SLURRED_UP or step <= -SLURRED_DOWN or quick:
            yield Finding(
                Degree.CARE, LEAP, before.event, f"slurs far {'up' if step > 0 else 'down'}",
                f"{before.top} to {moment.top}, {abs(step)} semitones for the lip alone",
                "tongue the second note, or put a note between", rests_on="from memory",
            )  # fmt: skip


_LONG_REST = 90.0
"""Seconds after which a tube has gone cold and a lip stiff."""


def _entries(moments: Sequence[Moment]) -> Iterator[Finding]:
    ended = 0.0
    for moment in moments:
        rest, ended = moment.begins - ended, moment.ends
        if rest < _LONG_REST:
            continue
        where = _exposed(moment.state.instrument, moment.top, moment.state.dynamic)
        if where:
            yield Finding(
                Degree.CARE, ENTRY, moment.event, f"enters {where} after a long rest",
                f"{moment.top} after {rest:.0f} s; the instrument is cold and flat, and the lip stiff",
                "a few notes before in the middle register, or a doubling for the first note",
            )  # fmt: skip


def _exposed(instrument: Instrument, pitch: Pitch, dynamic: str) -> str:
    if instrument.comfortable is None:
        return ""
    low, high = (end.midi for end in instrument.comfortable)
    if pitch.midi > high - 2:
        return "high"
    return "low and soft" if pitch.midi < low + 2 and dynamic in SOFT else ""
