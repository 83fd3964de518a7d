"""Copies of a piece as drafts, each drawn from its MusicXML.

In: written scores and the formats wanted. Out: an engraving for each, as LilyPond's are. It is kept by what it is made
of, so that an unchanged copy is not drawn again.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.cache import key_of
from cavata.draft import NotDrawn
from cavata.draft.engravers import drawn_with
from cavata.draft.head import edges, head, margins
from cavata.draft.music import DraftPaper, drawn_pages, finished, for_typesetting
from cavata.draft.other_scripts import missing_from, with_other_fonts
from cavata.draft.typesetting import pages_document, typeset
from cavata.lilypond.engrave import FORMATS
from cavata.lilypond.engraving import EngravedFile, Engraving, EngravingFault, Failure
from cavata.lilypond.kept import keep, kept
from cavata.musicxml.staves import Staves
from cavata.musicxml.whole import Documents
from cavata.notate.paper.page import INNER_MM, millimeters
from cavata.notate.written import WrittenScore


class Drafts:
    """Draws copies, and makes each MusicXML document once, for the draft and for whoever wants it as a file."""

    def __init__(
        self, formats: frozenset[str], fresh: bool = False,
        musicxml: Documents | None = None,
    ) -> None:  # fmt: skip
        """`musicxml` has the document of each movement, where they need not be made for the drafts alone."""
        self._formats = formats
        self._fresh = fresh
        self._musicxml = musicxml or _documents()
        self._documents: dict[tuple[int, str], tuple[WrittenScore, bytes]] = {}
        self._made: dict[int, tuple[WrittenScore, Engraving | Failure]] = {}

    def document(self, page: WrittenScore, movement: str, staves: Staves | None = None) -> bytes:
        """One movement as MusicXML."""
        if staves is not None:
            return self._musicxml(page, movement, staves)
        # A score is kept beside what was made of it, so that no other can get its identity.
        key = id(page), movement
        if key not in self._documents:
            self._documents[key] = page, self._musicxml(page, movement, None)
        return self._documents[key][1]

    def draw(self, page: WrittenScore) -> Engraving | Failure:
        """The pages of a copy."""
        if id(page) not in self._made:
            self._made[id(page)] = page, self._drawn(page)
        return self._made[id(page)][1]

    def _drawn(self, page: WrittenScore) -> Engraving | Failure:
        wanted = [kind for kind in FORMATS if kind in self._formats]
        documents = [self.document(page, movement.name) for movement in page.movements]
        key = key_of("draft", drawn_with(), repr((wanted, page.header, page.page, page.first_page)), *documents)
        before = None if self._fresh else kept(key)
        if before is not None:
            return before
        try:
            drawn = list(_pages(page, documents))
            made = Engraving(tuple(_files(page, drawn, wanted)), missing_from(drawn))
        except NotDrawn:
            return Failure(EngravingFault.ERROR, "Verovio could not read the score's MusicXML")
        except RuntimeError as problem:
            return Failure(EngravingFault.ERROR, f"typst could not set the pages: {str(problem).splitlines()[0][:200]}")
        except OSError as problem:
            return Failure(EngravingFault.DISK, f"the pages could not be drawn: {problem.strerror or problem}")
        keep(key, made)
        return made


def _documents() -> Documents:
    from cavata.musicxml.document import musicxml_bytes

    return musicxml_bytes


def _files(page: WrittenScore, drawn: list[str], wanted: list[str]) -> Iterator[EngravedFile]:
    paper = page.header.paper
    width, height = float(paper.width), float(paper.height)
    pictures = {f"{number}.svg": with_other_fonts(for_typesetting(svg)) for number, svg in enumerate(drawn, start=1)}
    text = pages_document(list(pictures), width, height, page.header.title, page.header.composer)
    for kind in wanted:
        svg = (picture.encode("utf-8") for picture in drawn)
        made = tuple(svg) if kind == "svg" else typeset(text, pictures, "png" if kind == "png" else "pdf")
        for number, data in enumerate(made, start=1):
            yield EngravedFile(kind, f".{kind}" if len(made) == 1 else f"-{number}.{kind}", data)


def _pages(page: WrittenScore, documents: list[bytes]) -> Iterator[str]:
    """The pages of every movement, numbered through."""
    paper = page.header.paper
    width, height = float(paper.width), float(paper.height)
    sheet = DraftPaper(width, height, float(millimeters(page.page.staff_size)))
    names = page.page.full_names, page.page.short_names
    number = page.first_page
    for index, (movement, document) in enumerate(zip(page.movements, documents, strict=True)):
        above = head(page, movement, index == 0, sheet.scale)
        for place, svg in enumerate(drawn_pages(document, sheet, above, names)):
            shift = (margins(number)[0] - INNER_MM) * sheet.per_mm
            yield finished(svg, width, height, shift, edges(page, number, index == place == 0, sheet.per_mm))
            number += 1
