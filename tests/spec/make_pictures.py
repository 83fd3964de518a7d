"""The pictures beside the examples: first pages as LilyPond drew them, cropped to what is printed; and the map of one.

Run by hand after a change of a page: `python tests/spec/make_pictures.py [NAME ...]`. It needs LilyPond and Pillow, and
writes `examples/pictures/NAME.png`. In: the scripts named below. Out: small pictures in sixteen grays, the map in
colors.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

from PIL import Image, ImageOps

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import Wanted, copies, full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave, text_fonts
from cavata.lilypond.engraving import Failure
from cavata.pipeline import compile_loaded, compile_script, written
from cavata.tell.guide.guide import guide_of
from cavata.tell.guide.pdf import guide_ly
from cavata.tell.guide.pictures import examples_of
from cavata.tell.guide.words import Telling
from cavata.tell.language import language
from cavata.tell.map.drawing import png_bytes
from cavata.tell.map.map import map_of
from cavata.tell.map.svg import map_svg

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
WIDEST = 720
MARGIN = 12

SCRIPTS = {
    **{f"tutorial-{path.name[:2]}": path for path in sorted((EXAMPLES / "tutorial").glob("[0-9]*.cavata"))},
    **{path.parent.name: path for path in sorted(EXAMPLES.glob("*/*.cavata")) if path.stem == path.parent.name},
    "piano": EXAMPLES / "piano" / "lamplight.cavata",
    **{f"gallery-{path.stem}": path for path in sorted((EXAMPLES / "gallery").glob("*.cavata"))},
}
MAP, GUIDE, PART = "map", "guide", "part"
VERSIONS = {"tutorial-11-cello": ("tutorial-11", "cello")}
"""Pages of versions: of which script, and which one."""
TOLD = EXAMPLES / "three-watches" / "three-watches.cavata"
READER = "bassoon"
"""Whose part of it is shown."""
MAP_WIDTH, MAP_COLORS = 1120, 48
NARROW = 420
"""The pictures of the gallery are whole pages, so many dots wide."""
TALLEST = 720
"""Of a long page only so much is shown, and no piece of a system."""
GAP = 7
"""Rows without ink between systems."""


def picture(script: Path, version: str = "") -> Image.Image:
    """The first page of a script, or of a version that it tells of, cropped and made small."""
    compiled = compile_script(script)
    if version:
        assert compiled.loaded is not None, script
        compiled = compile_loaded(compiled.loaded, version, Diagnostics())
    assert compiled.score is not None, script
    page = written(full_score(compiled.score))
    engraved = engrave(lilypond_text(page), frozenset({"png"}))
    assert not isinstance(engraved, Failure), engraved
    # After a title page comes the first page of music.
    gray = _gray(engraved.files[1 if page.title_page else 0].data)
    if script.parent.name == "gallery":
        return gray.resize((NARROW, gray.height * NARROW // gray.width), Image.Resampling.LANCZOS).quantize(16)
    return cropped(gray)


def parted(script: Path) -> Image.Image:
    """The first page of one player's part."""
    compiled = compile_script(script)
    assert compiled.score is not None
    (copy,) = copies(compiled.score, Wanted(score=False, parts=(READER,)), Diagnostics())
    engraved = engrave(lilypond_text(written(copy.score)), frozenset({"png"}))
    assert not isinstance(engraved, Failure), engraved
    return cropped(_gray(engraved.files[0].data))


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


def mapped(script: Path) -> Image.Image:
    """The map of a script, at the size of its page."""
    compiled = compile_script(script)
    assert compiled.score is not None and compiled.program is not None and compiled.plan is not None
    drawn = map_svg(map_of(compiled.program, compiled.plan, compiled.score), lambda span: "", language("en"))
    png = png_bytes(drawn, text_fonts())
    assert png is not None, "the extra `pictures` is not installed"
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    size = (MAP_WIDTH, round(picture.height * MAP_WIDTH / picture.width))
    return picture.resize(size, Image.Resampling.LANCZOS).quantize(MAP_COLORS)


def _gray(data: bytes) -> Image.Image:
    page = Image.open(io.BytesIO(data)).convert("RGBA")
    return Image.alpha_composite(Image.new("RGBA", page.size, "white"), page).convert("L")


def guided(script: Path) -> Image.Image:
    """The first page of the guide to a script."""
    compiled = compile_script(script)
    assert compiled.score is not None and compiled.program is not None and compiled.plan is not None and compiled.loaded
    tree = compiled.loaded.modules[compiled.loaded.main]
    guide = guide_of(compiled.program, compiled.plan, compiled.score, tree)
    telling = Telling(guide, language("en"))
    text = guide_ly(guide, telling, examples_of(telling.chapters()))
    engraved = engrave(text, frozenset({"png"}))
    assert not isinstance(engraved, Failure), engraved
    return cropped(_gray(engraved.files[0].data))


def _foot(page: Image.Image) -> int:
    """Where to end: at the whole height, or below the last system that can be shown whole."""
    if page.height <= TALLEST:
        return page.height
    ink = [min(page.crop((0, y, page.width, y + 1)).getextrema()) < 200 for y in range(TALLEST)]
    blank = [y for y in range(GAP, TALLEST) if not any(ink[y - GAP : y])]
    return blank[-1] if blank and blank[-1] > TALLEST // 2 else TALLEST


if __name__ == "__main__":
    special = {MAP: mapped, GUIDE: guided, PART: parted}
    for name in sys.argv[1:] or (*SCRIPTS, *VERSIONS, *special):
        script, version = VERSIONS.get(name, (name, ""))
        made = special[name](TOLD) if name in special else picture(SCRIPTS[script], version)
        made.save(EXAMPLES / "pictures" / f"{name}.png", optimize=True)
        print(name)
