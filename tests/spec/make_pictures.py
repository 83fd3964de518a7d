"""The pictures of the documentation: first pages as LilyPond drew them, cropped to what is printed; and the map of one.

Run by hand after a change of a page: `python tests/spec/make_pictures.py [NAME ...]`; without a name it makes those
that are old or missing, with `--all` every one. It needs LilyPond and Pillow, and writes into `examples/pictures` each
picture and from what it was made. In: the pages of `pictured.py`. Out: small pictures in sixteen grays, the map in
colors.
"""

from __future__ import annotations

import io
import json
import sys

from pictured import (
    FOLDER,
    GUIDE,
    MADE_FROM,
    MAP,
    OTHERS,
    SCRIPTS,
    compiled_for,
    digest,
    guide_told,
    made_from,
    map_text,
    page_of,
    text_of,
)
from PIL import Image, ImageOps

from cavata.draft.typesetting import typeset
from cavata.lilypond.engrave import engrave, text_fonts
from cavata.lilypond.engraving import Failure
from cavata.pipeline import Compiled
from cavata.tell.guide.pictures import examples_of, media_of
from cavata.tell.guide.tagged_pdf import guide_pictures
from cavata.tell.map.drawing import png_bytes
from cavata.tell.map.svg import IN_A_GUIDE

WIDEST = 720
MARGIN = 12
MAP_WIDTH, MAP_COLORS = 1120, 48
NARROW = 420
"""The pictures of the gallery are whole pages, so many dots wide."""
TALLEST = 720
"""Of a long page only so much is shown, and no piece of a system."""
GAP = 7
"""Rows without ink between systems."""


def picture(name: str, compiled: Compiled) -> Image.Image:
    """The first page with music, cropped and made small."""
    text = text_of(name, compiled)
    if name == MAP:
        return mapped(text)
    if name == GUIDE:
        return guided(text, compiled)
    engraved = engrave(text, frozenset({"png"}))
    assert not isinstance(engraved, Failure), engraved
    # After a title page comes the first page of music.
    after_title = page_of(name, compiled).title_page is not None
    gray = _gray(engraved.files[1 if after_title else 0].data)
    if name.startswith("gallery-"):
        return gray.resize((NARROW, gray.height * NARROW // gray.width), Image.Resampling.LANCZOS).quantize(16)
    return cropped(gray)


def cropped(gray: Image.Image) -> Image.Image:
    """A page without its margins, small and in grays."""
    # The copyright or page line at the foot of a page is not the music's business.
    body = gray.crop((0, 0, gray.width, int(gray.height * 0.95)))
    box = ImageOps.invert(body).getbbox()
    assert box is not None
    inked = body.crop((box[0] - MARGIN, box[1] - MARGIN, box[2] + MARGIN, box[3] + MARGIN))
    scale = min(1.0, WIDEST / (gray.width * 0.9))
    small = inked.resize((round(inked.width * scale), round(inked.height * scale)), Image.Resampling.LANCZOS)
    return small.crop((0, 0, small.width, _foot(small))).quantize(16)


def mapped(drawn: str) -> Image.Image:
    """The map, at the size of its page."""
    png = png_bytes(drawn, text_fonts())
    assert png is not None, "the extra `pictures` is not installed"
    found = Image.open(io.BytesIO(png)).convert("RGB")
    size = (MAP_WIDTH, round(found.height * MAP_WIDTH / found.width))
    return found.resize(size, Image.Resampling.LANCZOS).quantize(MAP_COLORS)


def guided(document: str, compiled: Compiled) -> Image.Image:
    """The first page of the guide on paper."""
    _, telling = guide_told(compiled)
    examples = examples_of(telling.chapters())
    media = media_of(examples, print)
    assert not isinstance(media, Failure), media
    pages = typeset(document, guide_pictures(examples, media, map_text(compiled, width=IN_A_GUIDE)), "png")
    found = Image.open(io.BytesIO(pages[0])).convert("RGB")
    small = found.resize((WIDEST, found.height * WIDEST // found.width), Image.Resampling.LANCZOS)
    return small.quantize(MAP_COLORS, method=Image.Quantize.MAXCOVERAGE)


def _gray(data: bytes) -> Image.Image:
    page = Image.open(io.BytesIO(data)).convert("RGBA")
    return Image.alpha_composite(Image.new("RGBA", page.size, "white"), page).convert("L")


def _foot(page: Image.Image) -> int:
    """Where to end: at the whole height, or below the last system that can be shown whole."""
    if page.height <= TALLEST:
        return page.height
    ink = [min(page.crop((0, y, page.width, y + 1)).getextrema()) < 200 for y in range(TALLEST)]
    blank = [y for y in range(GAP, TALLEST) if not any(ink[y - GAP : y])]
    return blank[-1] if blank and blank[-1] > TALLEST // 2 else TALLEST


def main(given: list[str]) -> None:
    """Make the pictures that are named, all, or those that are old."""
    known = made_from()
    for name in (*SCRIPTS, *OTHERS):
        if given and name not in given and "--all" not in given:
            continue
        compiled = compiled_for(name)
        now = digest(name, compiled)
        path = FOLDER / f"{name}.png"
        if given or known.get(name) != now or not path.is_file():
            picture(name, compiled).save(path, optimize=True)
            known[name] = now
            print(name, flush=True)
    MADE_FROM.write_text(json.dumps(known, indent=2, sort_keys=True) + "\n", "utf-8", newline="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
