"""Wind instruments and voices: one player has one note at a time, but where words ask for multiphonics."""

from __future__ import annotations

from collections.abc import Iterator

from cavata.instruments.instrument import WINDS
from cavata.music.event import UNMARKED
from cavata.playing.chords import at_once, names_of
from cavata.playing.finding import Degree, Finding, Kind, verb_of
from cavata.playing.line import PlayerLine
from cavata.playing.profile import Profile

ONE_NOTE = Kind("one note", "I303", "whether one wind player or singer has several notes at once", "common practice")
KINDS = (ONE_NOTE,)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Several notes at once for one player."""
    if line.part.section:
        return
    asked = _asked(line) if line.instrument.family in WINDS else frozenset()
    verb, who = verb_of(line.instrument), "singer" if line.instrument.family == "voice" else "wind player"
    for event, pitches, _ in at_once(line.events):
        if id(event) in asked:
            continue
        yield Finding(
            Degree.IMPOSSIBLE, ONE_NOTE, event, f"cannot {verb} {names_of(pitches)} at once",
            f"a {who} has one note at a time", f"give the notes to several {who.split()[-1]}s, as `voiced across` does",
        )  # fmt: skip


def _asked(line: PlayerLine) -> frozenset[int]:
    """The events at which words ask for several sounds at once, by identity: from `multiphonics` on to `ord.`"""
    asked, found = False, []
    for event in line.events:
        marks = event.event.marks
        if marks is not UNMARKED:
            words = " ".join(marks.words).casefold()
            asked = "multiph" in words or (asked and "ord." not in words)
        if asked:
            found.append(id(event))
    return frozenset(found)
