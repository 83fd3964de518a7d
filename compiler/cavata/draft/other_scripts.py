"""Characters that the fonts of a draft lack, in fonts of the machine that have them.

In: a picture, or texts. Out: the picture with those characters in fonts by name, since a picture is set without looking
for others; and the characters that no font here has. The machine's fonts are looked through only where they are needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from io import BytesIO
from xml.sax.saxutils import quoteattr

from cavata.draft.fonts import fonts
from cavata.lilypond.engraving import MissingGlyph

_WORDS = re.compile(r">([^<>]+)<")
_NOT_DRAWN = frozenset(map(chr, (*range(0x20), 0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2060, 0xFEFF)))
"""Control characters, and those that only join or part others."""


def with_other_fonts(picture: str) -> str:
    """The picture, with what its own fonts lack in others."""
    lacking = _lacking(picture)
    if not lacking:
        return picture
    runs = re.compile("[" + "".join(map(re.escape, sorted(lacking))) + "]+")

    def named(found: re.Match[str]) -> str:
        family = _family(found[0][0])
        return f"<tspan font-family={quoteattr(family)}>{found[0]}</tspan>" if family else found[0]

    return _WORDS.sub(lambda words: f">{runs.sub(named, words[1])}<", picture)


def missing_from(texts: Iterable[str]) -> tuple[MissingGlyph, ...]:
    """Each character that no font here has, once, in the order of their code points."""
    lacking = frozenset[str]().union(*map(_lacking, texts))
    return tuple(MissingGlyph(character, "") for character in sorted(lacking) if not _family(character))


def _lacking(text: str) -> frozenset[str]:
    return frozenset(text) - _own() - _NOT_DRAWN


@lru_cache(maxsize=1)
def _own() -> frozenset[str]:
    """Every character of the text font's upright face and of the music font."""
    from fontTools.ttLib import TTFont

    found = (TTFont(BytesIO(font), lazy=True).getBestCmap() for font in (fonts()[0], fonts()[-1]))
    return frozenset(chr(code) for codes in found for code in codes)


@lru_cache(maxsize=4096)
def _family(character: str) -> str:
    """The first family of the machine's fonts that has the character; empty if none has."""
    return next((name for name, characters in _machine_fonts() if ord(character) in characters), "")


@lru_cache(maxsize=1)
def _machine_fonts() -> tuple[tuple[str, frozenset[int]], ...]:
    import typst
    from fontTools.ttLib import TTFont, TTLibError

    found: list[tuple[str, frozenset[int]]] = []
    for font in typst.Fonts(include_system_fonts=True).fonts():
        # Those without a path are typst's own.
        if font.path and font.style == "normal":
            try:
                codes = TTFont(font.path, fontNumber=font.index, lazy=True).getBestCmap()
            except (OSError, TTLibError):
                continue
            found.append((font.family, frozenset(codes or ())))
    return tuple(found)
