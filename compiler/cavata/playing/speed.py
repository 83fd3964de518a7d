"""Keyboards and percussion: how many notes a second one hand on keys, or two sticks, strike in a row.

In: a line. Out: rows that want care, and those that nobody strikes. Tremolos and trills are not measured: they go as
fast as they can. What stands on a staff of one hand is that hand's, but of two voices the other hand may take one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from cavata.instruments.instrument import PEDAL, Instrument
from cavata.instruments.mallets import is_struck_with_mallets
from cavata.playing.finding import Degree, Finding, Kind, only_impossible
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import SHORT, Fast, Pace, runs, too_fast
from cavata.record import replace

SPEED = Kind("speed", "I385", "how many notes a second one hand, or two sticks, strike in a row", "from memory")
KINDS = (SPEED,)

_BURST = 1.4
"""So many times as fast go five notes under five fingers; octaves and chords have no such help."""
_DOUBLE = 0.8
"""The share of a hand's speed at which it strikes two keys that lie near, as thirds."""
_BOTH = 0.6
"""The share of the speed of two mallets at which both strike at once."""
_ON_A_DRUM = 1.25
"""So many times as fast go two sticks that stay on one drum, as in a roll."""
_OCTAVE = 12
_SLOW = 0.5
"""The share of a limit below which a note does not go on with a run."""
_OPEN_ROLL = 0.55
"""From this share of it on, a row on drums is an open roll, which sticks bounce."""
_TWO_HAMMERS = frozenset(["tubular bells", "tuned gongs"])
_SKINS = frozenset((
    "snare drum", "field drum", "tabor", "tenor drum", "tom toms", "timbales", "bongos", "congas", "cajon", "drum set",
    "percussion",
))  # fmt: skip
"""On which sticks bounce, or fingers roll; elsewhere each stroke is made."""
_CLASHED = frozenset(["cymbals", "finger cymbals", "whip", "hammer"])
_NO_ROLL = _CLASHED | _TWO_HAMMERS


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Rows that nobody strikes."""
    yield from only_impossible(look(line, profile))


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    if line.part.section:
        return
    if line.instrument.family == "keyboard":
        for staff in line.staves:
            if staff.name != PEDAL:
                yield from _of_a_hand(line, staff.name, profile)
        return
    pace, share = pace_of(line.instrument, profile)
    for run in runs(line.moments, _SLOW * pace.most, _is_single):
        yield from _told(line.instrument, too_fast(run, pace, share), "")


def pace_of(
    instrument: Instrument, profile: Profile
) -> tuple[Pace, Callable[[Sequence[Moment]], float] | None]:
    """How fast an instrument of percussion is struck, and what share of that some notes have."""
    if instrument.key in _TWO_HAMMERS:
        return Pace(profile.bell_speed, 4, 1.0), None
    if instrument.key in _CLASHED:
        return Pace(profile.cymbal_speed, 4, 1.0), None
    if instrument.key == "triangle":
        return Pace(profile.triangle_speed, strokes=True), None
    if instrument.drums:
        return Pace(profile.timpani_speed, strokes=True), _on_drums
    if instrument.key in _SKINS:
        return Pace(profile.stroke_speed, burst=1.0, ease=_OPEN_ROLL), None
    return Pace(profile.mallet_speed, strokes=True), _both_at_once if is_struck_with_mallets(instrument) else None


def _both_at_once(row: Sequence[Moment]) -> float:
    return _BOTH if all(len(moment.struck) > 1 for moment in row) else 1.0


def _on_drums(row: Sequence[Moment]) -> float:
    """Two sticks go faster where they stay on one drum."""
    return _ON_A_DRUM if all(moment.top == row[0].top for moment in row) else _both_at_once(row)


def _is_single(moment: Moment) -> bool:
    return not moment.state.is_to_and_fro


# ---------------------------------------------------------------- one hand on keys


def _of_a_hand(line: PlayerLine, staff: str, profile: Profile) -> Iterator[Finding]:
    mine = [moment for moment in line.moments if moment.struck_by(staff)]
    by_chords = profile.octave_speed / profile.hand_speed

    def share(row: Sequence[Moment]) -> float:
        keys = [[note.pitch.midi for note in moment.struck_by(staff)] for moment in row]
        if any(len(each) < 2 for each in keys):
            return 1.0
        if all(len(each) > 2 or each[-1] - each[0] >= _OCTAVE for each in keys):
            return by_chords if len(row) > SHORT else by_chords / _BURST
        return _DOUBLE

    for run in runs(mine, _SLOW * profile.octave_speed, _is_single):
        fast = too_fast(run, Pace(profile.hand_speed, burst=_BURST), share)
        if fast is None:
            continue
        if any(_has_voices(moment, staff) for moment in run):
            fast = replace(fast, degree=Degree.CARE)
        struck = {tuple(note.pitch.midi for note in moment.struck_by(staff)) for moment in run}
        if len(struck) == 1 and (fast.degree is Degree.CARE or len(struck.pop()) == 1):
            continue  # told as a repeated key, or a chord
        yield from _told(line.instrument, fast, staff)


def _has_voices(moment: Moment, staff: str) -> bool:
    """Whether a staff has more than one voice there."""
    struck = {id(note.event) for note in moment.struck_by(staff)}
    return len(struck) > 1 or any(note.staff == staff for note in moment.held)


def _cure(instrument: Instrument) -> str:
    if instrument.key in _NO_ROLL:
        return "take longer values, or share them between two players"
    if instrument.drums or instrument.unpitched:
        return "take longer values, or write a roll with `tremolo`"
    return "take longer values, or write a tremolo, a trill or a glissando"


def _told(instrument: Instrument, fast: Fast | None, staff: str) -> Iterator[Finding]:
    if fast is not None:
        cannot = fast.degree is Degree.IMPOSSIBLE
        hand = f" with the {staff} hand" if staff in ("left", "right") else ""
        yield Finding(
            fast.degree, SPEED, fast.moment.event, f"{'cannot play so fast' if cannot else 'plays fast rows'}{hand}",
            fast.fact, _cure(instrument),
        )  # fmt: skip
