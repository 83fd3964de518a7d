"""The fonts of a draft: those that come with Verovio, as font files that others can read.

In: Verovio's own data, where they are packed for browsers (WOFF2). Out: the bytes of TrueType fonts: a text font with
the widths that Verovio reckons with, to which flat, natural and sharp are added from the music font, and the music
font itself, which metronome marks need. They are unpacked once and kept.
"""

from __future__ import annotations

import re
from base64 import b64decode
from collections.abc import Iterator
from functools import lru_cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any

from cavata.cache import PAGES, compiler_stamps, key_of, stamps

TEXT = "Draft Serif"
"""What the text font is called when it has been changed: its license keeps the name Liberation for the original."""
_ORIGINAL = "Liberation Serif"
_ACCIDENTALS = (0x266D, 0x266E, 0x266F)
_ACCIDENTAL_SIZE = 0.95
"""Of the music font's signs beside letters: a flat is as high as a capital."""
_PACKED = re.compile(r"base64,([A-Za-z0-9+/=]+)")


@lru_cache(maxsize=1)
def fonts() -> tuple[bytes, ...]:
    """The text font in its four faces, then the music font."""
    sheets = (_data() / "Liberation.css", _data() / "Leipzig.css")
    key = key_of("fonts of drafts", compiler_stamps(), stamps(sheets))
    kept = PAGES.read_as(key, _divided)
    if kept is None:
        kept = tuple(_unpacked(*sheets))
        PAGES.keep(key, b"".join(len(font).to_bytes(8, "big") + font for font in kept))
    return kept


@lru_cache(maxsize=1)
def font_of_music() -> bytes:
    """The music font as browsers read it, packed (WOFF2)."""
    found = _PACKED.search((_data() / "Leipzig.css").read_text(encoding="utf-8"))
    assert found is not None
    return b64decode(found[1])


def _data() -> Path:
    """Where Verovio keeps its data; it is not loaded for that. Raises ModuleNotFoundError."""
    found = find_spec("verovio")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("there is no Verovio", name="verovio")
    return Path(found.origin).parent / "data"


def _divided(body: bytes) -> tuple[bytes, ...]:
    found: list[bytes] = []
    while body:
        length = int.from_bytes(body[:8], "big")
        found.append(body[8 : 8 + length])
        body = body[8 + length :]
    return tuple(found)


def _unpacked(text: Path, music: Path) -> Iterator[bytes]:
    (signs,) = _opened(music)
    for face in _opened(text):
        _add_accidentals(face, signs)
        _rename(face)
        yield _saved(face)
    yield _saved(signs)


def _opened(sheet: Path) -> Iterator[Any]:
    from fontTools.ttLib import TTFont

    for packed in _PACKED.findall(sheet.read_text(encoding="utf-8")):
        font = TTFont(BytesIO(b64decode(packed)), recalcTimestamp=False)
        font.flavor = None
        yield font


def _saved(font: Any) -> bytes:
    made = BytesIO()
    font.save(made)
    return made.getvalue()


def _rename(face: Any) -> None:
    for record in face["name"].names:
        said = record.toUnicode()
        for old, new in ((_ORIGINAL, TEXT), (_ORIGINAL.replace(" ", ""), TEXT.replace(" ", ""))):
            said = said.replace(old, new)
        record.string = said


def _add_accidentals(face: Any, signs: Any) -> None:
    """Give a text font the signs that it lacks, drawn as in the music font, upright in every face."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.transformPen import TransformPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    scale = face["head"].unitsPerEm / signs["head"].unitsPerEm * _ACCIDENTAL_SIZE
    glyphs, names = signs.getGlyphSet(), signs.getBestCmap()
    order = face.getGlyphOrder()
    for code in _ACCIDENTALS:
        if code in face.getBestCmap():
            continue
        name, drawn, pen = f"uni{code:04X}", DecomposingRecordingPen(glyphs), TTGlyphPen(None)
        glyphs[names[code]].draw(drawn)
        drawn.replay(TransformPen(pen, (scale, 0, 0, scale, 0, 0)))
        glyph = pen.glyph()
        face["glyf"][name] = glyph
        glyph.recalcBounds(face["glyf"])
        # In the music font a flat stands where its line is; here it stands on the line of the letters.
        glyph.coordinates.translate((0, -max(0, glyph.yMin)))
        glyph.recalcBounds(face["glyf"])
        face["hmtx"][name] = (round(glyphs[names[code]].width * scale), glyph.xMin)
        for table in face["cmap"].tables:
            if table.isUnicode():
                table.cmap[code] = name
    face.setGlyphOrder([*order, *(n for n in face.getGlyphOrder() if n not in order)])
