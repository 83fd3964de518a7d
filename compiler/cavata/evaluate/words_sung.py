"""Words that a second `sung` takes the place of: which text each syllable came from, and a warning with both places.

In: a line before and after a step. Out: nothing changes; where syllables are gone that the step did not take away on
purpose, that is told at the step, with the step that had put them there.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import Music
from cavata.music.event import Motif, Syllable, Texture
from cavata.names import program as p
from cavata.source import Span

SUNG = "sung"


class WordsSung:
    """Which `sung` each syllable came from."""

    def __init__(self) -> None:
        self._spans: dict[int, tuple[Syllable, Span]] = {}
        """By the identity of the syllable, which every text makes anew and which is kept here, so that it stays."""

    def follow(self, step: p.BoundStep, before: Music, after: Music, bag: Diagnostics) -> None:
        """Note what a `sung` has put down, and tell what it has put out."""
        if step.transform.word != SUNG:
            return
        kept = {id(syllable) for syllable in _syllables(after)}
        gone = [syllable for syllable in _syllables(before) if id(syllable) not in kept]
        if gone:
            known = (self._spans[id(syllable)][1] for syllable in gone if id(syllable) in self._spans)
            others = tuple((span, "the other text") for span in dict.fromkeys(known) if span != step.span)
            words = " ".join(syllable.text + "-" * syllable.goes_on for syllable in gone[:3])
            bag.warning(
                "V609", step.span, "these notes have words already, which this text replaces",
                label=f"`{words}{' ...' if len(gone) > 3 else ''}` is not sung",
                cure="take one of the texts away, or give it to another line", also=others,
            )  # fmt: skip
        for syllable in _syllables(after):
            self._spans.setdefault(id(syllable), (syllable, step.span))


def _syllables(music: Music) -> Iterator[Syllable]:
    """The syllables of lines, those that only hold the one before left out."""
    lines = music.lines if isinstance(music, Texture) else (music,) if isinstance(music, Motif) else ()
    for line in lines:
        for event in line.events:
            if event.marks.sung is not None and event.marks.sung.text:
                yield event.marks.sung
