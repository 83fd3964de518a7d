"""Music drawn by Verovio: MusicXML to pages, each an SVG picture.

In: a MusicXML document of ours, the paper and the height of the staves. Out: pictures as high as the paper, or one as
high as its music. Nothing depends on chance, and the same document gives the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Any

from cavata.draft import NotDrawn
from cavata.draft.fonts import TEXT
from cavata.notate.paper.page import HEAD_MM, INNER_MM, OUTER_MM
from cavata.record import record

UNIT = 9
"""Verovio's unit, half the distance between two staff lines; we let the paper grow instead of it."""
PER_UNIT = 10
"""Units of the picture for one of the page."""
_TOP_MM = HEAD_MM + 4
_HEAD = re.compile(r"<pgHead\b.*?</pgHead>|<pgHead\b[^>]*/>", re.DOTALL)
_NAMES = tuple(re.compile(rf"<{tag}\b[^>]*>.*?</{tag}>", re.DOTALL) for tag in ("label", "labelAbbr"))
_FIRST_DEFINITION = re.compile(r"<scoreDef\b[^>]*>")
_OPENING = re.compile(r'<svg width="[^"]*" height="[^"]*"')
_SIZE = re.compile(r'<svg width="([0-9.]+)px" height="([0-9.]+)px"')
_CLEF_BEFORE_REST = re.compile(r"<clef\b[^>]*/>\s*(?=<multiRest\b)")
_PARTS = re.compile(r"<part id=[^>]*>(.*?)</part>", re.DOTALL)
_MEASURES = re.compile(r'<measure [^>]*\bid="([^"]*)"[^>]*>(.*?)</measure>', re.DOTALL)
_STAVES, _FIFTHS = re.compile(r"<staves>([0-9]+)"), re.compile(r"<fifths>(-?[0-9]+)")
_CHANGED_DEFINITION = re.compile(r"(?<=</measure>).*?(?=<measure\b)", re.DOTALL)
_KEY_SIGNATURE = re.compile(r"<keySig\b[^>]*/>")
_BAR_LINE = re.compile(r'(<measure\b[^>]*?) right="[^"]*"')
_INNER = re.compile(r'<svg class="definition-scale"[^>]*>')
_EMBEDDED = re.compile(r'<style type="text/css">@font-face.*?</style>', re.DOTALL)
_MARGIN = re.compile(r'(<g class="page-margin" transform="translate\()(-?[0-9.]+)')
_NOTE_AFTER_WORDS = re.compile(r"(?<=\w)(?=</rend>\s*<rend\b[^>]*glyph\.auth)")
_ARRANGED = ("<metronome", "<multiple-rest")
"""What stands in a document that Verovio reads with faults that are mended."""
_DRAWING = Lock()
"""Verovio's numbering of what it draws is one for the process."""
_ALWAYS: Mapping[str, Any] = {
    "unit": UNIT, "scale": 100, "xmlIdSeed": 1, "footer": "none", "svgFormatRaw": True,
    "smuflTextFont": "embedded", "spacingStaff": 8, "spacingSystem": 8, "lyricTopMinMargin": 5.0,
    "lyricWordSpace": 2.0, "lyricHeightFactor": 1.3,
}  # fmt: skip


@record
class DraftPaper:
    """The paper of a draft, in millimeters."""

    width: float
    height: float
    staff: float
    """How high a staff is."""

    @property
    def scale(self) -> float:
        """Verovio's units, as they are by default a tenth of a millimeter, for a tenth of a millimeter of the paper."""
        return UNIT * 8 / 10 / self.staff

    @property
    def per_mm(self) -> float:
        """Units of the picture for a millimeter."""
        return self.scale * 10 * PER_UNIT


def drawn_pages(document: bytes, sheet: DraftPaper, head: str, names: tuple[bool, bool]) -> tuple[str, ...]:
    """Every page of a movement as SVG; `head` is MEI's `pgHead` for the first.

    `names` says whether the first system has the names of the parts, and whether later ones have them in short.
    """
    length = partial(_units, sheet)
    options = {
        "header": "encoded", "pageWidth": length(sheet.width), "pageHeight": length(sheet.height),
        "pageMarginTop": length(_TOP_MM), "pageMarginBottom": length(_TOP_MM),
        "pageMarginLeft": length(INNER_MM), "pageMarginRight": length(OUTER_MM),
        "justifyVertically": True, "shrinkToFit": True,
    }  # fmt: skip
    with _DRAWING:
        kit = _reading(document.decode("utf-8"), options)
        music = _arranged(kit.getMEI(), document.decode("utf-8"), head, names)
        if not kit.loadData(music):
            raise NotDrawn
        return tuple(kit.renderToSVG(number) for number in range(1, kit.getPageCount() + 1))


def drawn_example(document: bytes, sheet: DraftPaper) -> str:
    """A short example as one picture, as high as its music, without names and bar lines."""
    length = partial(_units, sheet)
    options = {
        "header": "none", "pageWidth": length(sheet.width), "pageHeight": 60_000, "adjustPageHeight": True,
        "lyricTopMinMargin": 7.0,
        **dict.fromkeys(("pageMarginTop", "pageMarginBottom", "pageMarginLeft", "pageMarginRight"), length(1)),
    }  # fmt: skip
    with _DRAWING:
        kit = _reading(document.decode("utf-8"), options)
        music = _arranged(kit.getMEI(), document.decode("utf-8"), "", (False, False))
        music = _BAR_LINE.sub(r'\1 right="invis"', music)
        if not kit.loadData(music):
            raise NotDrawn
        drawn = str(kit.renderToSVG(1))
    size = _SIZE.search(drawn)
    assert size is not None
    width, height = (float(number) / 10 / sheet.scale for number in size.groups())
    return finished(drawn, width, height, 0, "")


def drawn_system(document: bytes, width: float, page: int) -> str:
    """One page of a document in which new pages are said, as high as its music, `width` heights of a staff wide.

    The fonts of its texts are named and not in it.
    """
    options = {
        "header": "none", "breaks": "encoded", "pageWidth": round(width * UNIT * 8), "pageHeight": 60_000,
        "adjustPageHeight": True, "svgViewBox": True, "smuflTextFont": "none", "minLastJustification": 0.0,
        **dict.fromkeys(("pageMarginTop", "pageMarginBottom", "pageMarginLeft", "pageMarginRight"), UNIT),
    }  # fmt: skip
    text = document.decode("utf-8")
    with _DRAWING:
        kit = _reading(text, options)
        arranged = any(sign in text for sign in _ARRANGED) or _changes_of_key(text)
        if arranged and not kit.loadData(_arranged(kit.getMEI(), text, "", (True, True))):
            raise NotDrawn
        return str(kit.renderToSVG(page))


def load_verovio() -> None:
    """Load it with its fonts, before anything is to be drawn in this thread."""
    with _DRAWING:
        _toolkit()


def _toolkit() -> Any:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    verovio.setDefaultResourcePath(str(Path(verovio.__file__).parent / "data"))  # it is known to one thread only
    return verovio.toolkit()


def _reading(document: str, options: Mapping[str, Any]) -> Any:
    kit = _toolkit()
    kit.setOptions({**_ALWAYS, **options})
    if not kit.loadData(document):
        raise NotDrawn
    return kit


def _units(sheet: DraftPaper, millimeters: float) -> int:
    return round(millimeters * 10 * sheet.scale)


def _arranged(mei: str, document: str, head: str, names: tuple[bool, bool]) -> str:
    """The same music under a head of our own, with the names that the copy has."""
    made = _with_signatures(_HEAD.sub("", mei), document)
    for unwanted in (pattern for pattern, wanted in zip(_NAMES, names, strict=True) if not wanted):
        made = unwanted.sub("", made)
    # Verovio writes the first clef once more where a part begins with a rest of several bars.
    first, end, rest = made.partition("</measure>")
    made = _CLEF_BEFORE_REST.sub("", first) + end + rest
    # A metronome mark after words touches them.
    made = _NOTE_AFTER_WORDS.sub("\u00a0", made)
    return _FIRST_DEFINITION.sub(lambda found: found[0] + head, made, count=1)


def _with_signatures(mei: str, document: str) -> str:
    """The music with the signature of each staff where it changes: Verovio gives all staves that of the first part."""
    changes = _changes_of_key(document)
    if not changes:
        return mei
    made = _CHANGED_DEFINITION.sub(lambda found: _KEY_SIGNATURE.sub("", found[0]), mei)
    for measure, staves in changes.items():
        signed = "".join(
            f'<staffDef n="{staff}"><keySig sig="{_signature(fifths)}"/></staffDef>' for staff, fifths in staves
        )
        at = re.search(rf'<measure\b[^>]*xml:id="{re.escape(measure)}"', made)
        if at is not None:
            told = f"<scoreDef><staffGrp>{signed}</staffGrp></scoreDef>"
            made = made[: at.start()] + told + made[at.start() :]
    return made


def _changes_of_key(document: str) -> Mapping[str, list[tuple[int, int]]]:
    """For the measures after the first in which a signature changes, by their ids in the first part: each staff that
    changes, counted from 1, and its fifths."""
    parts = [_MEASURES.findall(part) for part in _PARTS.findall(document)]
    found: dict[str, list[tuple[int, int]]] = {}
    staff = 1
    for measures in parts:
        first = _STAVES.search(measures[0][1]) if measures else None
        count = int(first[1]) if first else 1
        for (measure, _), (_, inside) in zip(parts[0][1:], measures[1:], strict=True):
            for key in _FIFTHS.findall(inside)[:1]:
                found.setdefault(measure, []).extend((staff + lower, int(key)) for lower in range(count))
        staff += count
    return found


def _signature(fifths: int) -> str:
    return f"{abs(fifths)}{'s' if fifths > 0 else 'f'}" if fifths else "0"


def finished(svg: str, width: float, height: float, shift: float, more: str) -> str:
    """A page whose size is said in millimeters, moved to the right by `shift` units, with `more` drawn on it."""
    made = _OPENING.sub(f'<svg width="{width:g}mm" height="{height:g}mm"', svg, count=1)
    made = _INNER.sub(lambda found: found[0] + more, made, count=1)
    return _MARGIN.sub(lambda found: f"{found[1]}{float(found[2]) + shift:.0f}", made, count=1)


def for_typesetting(svg: str) -> str:
    """The picture as it names fonts that stand beside it, instead of those in it or of the machine."""
    return _EMBEDDED.sub("", svg).replace("Times, serif", TEXT)
