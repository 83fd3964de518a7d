"""Wind instruments and voices: one player has one note at a time."""

from __future__ import annotations

from collections.abc import Iterator

from cavata.playing.bowed import at_once
from cavata.playing.finding import Degree, Finding, Kind
from cavata.playing.line import Line
from cavata.playing.profile import Profile

ONE_NOTE = Kind("one note", "I303", "whether one wind player or singer has several notes at once", "common practice")
KINDS = (ONE_NOTE,)


def look(line: Line, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)


def impossible(line: Line, profile: Profile) -> Iterator[Finding]:
    """Several notes at once for one player."""
    if line.part.section:
        return
    who = "a singer" if line.instrument.family == "voice" else "a wind player"
    for event, pitches, _ in at_once(line.events):
        notes = " ".join(str(pitch) for pitch in pitches)
        yield Finding(
            Degree.IMPOSSIBLE, ONE_NOTE, event, f"cannot play {notes} at once", f"{who} has one note at a time",
            "give the notes to several players, as `voiced across` does",
        )  # fmt: skip
