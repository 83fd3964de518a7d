"""Lines of a texture that wait for bars: the bars become rests, now that there is a metre.

In: a value and the place where it begins. Out: the same value, its lines entering where they should. Each span of
bars is counted in the metre where it begins, so that entries keep step with a changing metre.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.evaluate.plan import Music
from cavata.music.event import Motif, Texture
from cavata.music.refusal import Refusal
from cavata.place.ruler import Ruler
from cavata.syntax import tree as t
from cavata.transforms.canons import delayed


def counted(value: Music, ruler: Ruler, at: Fraction) -> Music:
    """The value with its bars counted from the place `at` in the section."""
    if not isinstance(value, Texture) or not value.waits:
        return value
    lines: list[Motif] = []
    for line, waits in zip(value.lines, value.waits, strict=True):
        entry = at
        for bars in waits:
            before = entry
            entry += ruler.span(t.Bars(bars), entry)
            if value.close and entry - before >= line.duration:
                raise Refusal(
                    "P201", f"an entry after {entry - before} is no stretto", f"the line lasts {line.duration}",
                    "let it enter before the one before is done; a `canon` may come later",
                )
        lines.append(delayed(line, entry - at))
    return Texture(tuple(lines))
