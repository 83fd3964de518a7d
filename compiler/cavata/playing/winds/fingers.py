"""Fingers of a wind player: how fast notes follow one another that the tongue does not divide.

Trills and tremolos of two notes go as fast as they can and are looked at by fingerings; what glides, and a rip of the
lip through the harmonics of a brass instrument, is no row of notes. Keys have no smooth glissando, which is told here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cavata.instruments.slide import is_slide
from cavata.instruments.trills import fingered_as
from cavata.music.pitch import parse_pitch
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import chained, fastest_rate

FINGERS = Kind("fingers", "I346", "how many slurred notes a second fingers keep clear, and any low down", "from memory")
GLISSANDO = Kind(
    "glissando of keys", "", "glissandi of woodwinds, whose keys give a row of notes", "players' practice, from memory"
)
KINDS = (FINGERS, GLISSANDO)

CLEAR, CLEAR_FEW = 14.0, 16.0
"""Notes a second that stay clear under a slur, over eight notes and over five. From memory."""
FASTEST, FASTEST_SWEEP = 18.0, 20.5
"""Notes a second over five notes, in a row that turns and in a sweep up or down, that no fingers have. From memory: the
sweeps of strings and winds in the march of Tchaikovsky's Symphony 6 have about 20."""
_SLOW_TO_SPEAK = {
    "contrabassoon": 0.7, "contrabass clarinet": 0.7, "contrabass flute": 0.7, "tuba": 0.75, "cimbasso": 0.75,
    "contrabass trombone": 0.75, "bass saxophone": 0.8,
}  # fmt: skip
"""Large bores, of which each note takes longer to speak, and their share of what stays clear. From memory."""
_SLOW_BELOW = {
    "bassoon": ("F2", 6.5, "the left thumb alone has four keys down there"),
    "horn": ("F3", 7.0, "low notes of a horn speak slowly"),
}
"""Below which sounding note so many notes a second are fast, and why. Of the bassoon by Bassoon Technique
(bandestration.com); its figure, and the horn, from memory."""
ROW, FEW = 8, 5
_SLOWEST = 0.12
"""Seconds from note to note beyond which no row is fast."""


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found: each row once, as it is at worst."""
    for row in chained(line.moments, _goes_on, FEW):
        finding = _fastest(row) or _blurred(row, profile)
        if finding is not None:
            yield finding
    if line.instrument.key in _SLOW_BELOW:
        yield from _low(line, profile)
    if line.instrument.family == "woodwind":
        yield from _glissandi(line)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What no fingers have."""
    for row in chained(line.moments, _goes_on, FEW):
        finding = _fastest(row)
        if finding is not None:
            yield finding


def _goes_on(before: Moment, moment: Moment) -> bool:
    """Whether a note follows quickly, at another pitch than the one before."""
    quick = moment.begins - before.begins <= _SLOWEST and moment.begins - before.ends < 0.02
    return quick and moment.top.midi != before.top.midi and not before.event.event.marks.glides


def _fastest(row: Sequence[Moment]) -> Finding | None:
    """What is beyond all fingers."""
    limits = ((rate, first, FASTEST_SWEEP if sweeps else FASTEST) for rate, first, sweeps in _windows(row, FEW))
    found = [(rate, first, limit) for rate, first, limit in limits if rate > limit]
    if not found:
        return None
    rate, first, limit = max(found, key=lambda each: each[0])
    return _finding(Degree.IMPOSSIBLE, first, rate, f"nobody has more than about {limit:.0f} a second")


def _blurred(row: Sequence[Moment], profile: Profile) -> Finding | None:
    """What is fast enough to blur."""
    share = profile.fingers * _SLOW_TO_SPEAK.get(row[0].state.instrument.key, 1.0)
    for notes, clear in ((ROW, CLEAR * share), (FEW, CLEAR_FEW * share)):
        found = [(rate, first) for rate, first, _ in _windows(row, notes) if rate > clear]
        if found:
            rate, first = max(found, key=lambda each: each[0])
            return _finding(Degree.CARE, first, rate, f"more than about {clear:.0f} blur")
    return None


def _low(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Fast rows in the lowest register, tongued or not."""
    name, most, why = _SLOW_BELOW[line.instrument.key]
    top = parse_pitch(name).midi

    def goes_on(before: Moment, moment: Moment) -> bool:
        keys = before.top.midi, moment.top.midi
        return max(keys) < top and keys[0] != keys[1] and moment.begins - before.begins < 2 / most

    for row in chained(line.moments, goes_on, FEW):
        rate = fastest_rate(row, FEW)
        if rate > most * profile.fingers:
            yield Finding(
                Degree.CARE, FINGERS, row[0].event, "has fast notes in the lowest register",
                f"{rate:.1f} a second; {why}", "longer notes, or another octave",
            )  # fmt: skip


def _windows(row: Sequence[Moment], notes: int) -> Iterator[tuple[float, Moment, bool]]:
    """The notes a second of so many notes of a row, their first, and whether they go one way; no trills, no rips, and
    none of which every note is tongued."""
    for last in range(notes - 1, len(row)):
        several = row[last - notes + 1 : last + 1]
        if not any(moment.state.slurred for moment in several[:-1]):
            continue
        keys = [moment.top.midi for moment in several]
        steps = [after - before for before, after in pairwise(keys)]
        sweeps = min(steps) > 0 or max(steps) < 0
        rips = sweeps and min(map(abs, steps)) > 1 and row[0].state.instrument.family == "brass"
        if not rips and not _trills(keys):
            yield (notes - 1) / (several[-1].begins - several[0].begins), several[0], sweeps


def _trills(keys: Sequence[int]) -> bool:
    """Whether four of them go to and fro."""
    return any(keys[at : at + 2] == keys[at + 2 : at + 4] for at in range(len(keys) - 3))


_BENT = 2
"""Semitones that a lip or a turned head joint bends a note. From memory."""
_SMOOTH_FROM = {"clarinet": parse_pitch("C5").midi, "alto saxophone": parse_pitch("D5").midi}
"""From which note as read clarinets and saxophones slide upward, as Gershwin's Rhapsody in Blue begins. From memory."""


def _glissandi(line: PlayerLine) -> Iterator[Finding]:
    """Glissandi wider than lips have; open holes, as those of recorders, are slid over."""
    smooth = _SMOOTH_FROM.get(fingered_as(line.instrument.key))
    if line.instrument.key.endswith("recorder"):
        return
    for before, event in pairwise(line.events):
        if not before.event.marks.glides or not before.event.heads or not event.event.heads:
            continue
        first, second = before.event.heads[-1].pitch, event.event.heads[-1].pitch
        begins, way = first.midi - line.instrument.transposition.semitones, second.midi - first.midi
        if abs(way) <= _BENT or smooth is not None and way > 0 and begins >= smooth:
            continue
        text = "keys give a row of notes; the lip bends a tone or so"
        if smooth is not None:
            text = "it is smooth upward and in the upper register only; elsewhere keys give a row of notes"
        yield Finding(
            Degree.CARE, GLISSANDO, before, f"has no smooth glissando {first}-{second}", text,
            "write the notes of the run, or a smaller interval",
        )  # fmt: skip


def _finding(degree: Degree, first: Moment, rate: float, text: str) -> Finding:
    by_slide = is_slide(first.state.instrument.key)
    return Finding(
        degree, FINGERS, first.event, f"has {rate:.0f} slurred notes a second", text,
        "longer notes, or a glissando" if by_slide else "longer notes, fewer of them, or a trill",
    )  # fmt: skip
