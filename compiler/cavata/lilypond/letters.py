"""The letters of names under the notes they became.

In: one voice of a staff through a movement. Out: a line of lyrics with a length for each syllable, so that it is
aligned by time and owes nothing to ties and slurs.
"""

from __future__ import annotations

from cavata.lilypond.string import ly_string
from cavata.lilypond.words import syllable_lines, voice_leaves
from cavata.notate.written import Frame, WrittenStaff

_LONGEST = 40
"""Characters under one note; more than any chord of names needs."""


def lyrics(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, voice_name: str) -> list[str]:
    """The lines of a lyrics context for one voice; none if no letter stands under it."""
    found = [
        (onset, ly_string(leaf.letters[:_LONGEST]), "")
        for onset, leaf in voice_leaves(staff, frames, voice)
        if leaf.letters.strip()
    ]
    if not found:
        return []
    above = f'    \\set associatedVoice = "{voice_name}"'
    return ["\\new Lyrics \\lyricmode", "{", above, *syllable_lines(found, frames), "}"]
