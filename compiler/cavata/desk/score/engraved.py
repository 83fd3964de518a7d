"""One system as a picture: a few written bars through the one MusicXML emitter and Verovio to SVG.

In: some frames of a movement with what reaches into them, and how wide the system is. Out: SVG in which every note has
the place that it has in these bars, and nothing has an id of Verovio's. Holds after: the picture is kept by what is
written in it, between runs too, so that a system is engraved once. It has no styles of its own: the page has them.
"""

from __future__ import annotations

import re
from functools import lru_cache

from cavata.cache import PAGES, TEXTS, compiler_stamps, library_stamps
from cavata.draft.music import drawn_system
from cavata.musicxml.single import Single
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.reads import RememberedFiles
from cavata.record import record, replace
from cavata.score.score import Header

_NOT_OURS = re.compile(
    r'<style\b.*?</style>|<desc>.*?</desc>|<g\b[^>]*class="[^"]*placeholder[^"]*">[^g]*?</g>', re.DOTALL
)
"""Among it signs that Verovio draws for editors where a section or a page begins."""
_GLYPH = re.compile(r'((?:id="|href="#)[0-9A-F]{4,5})-\w+"')
_GOES_ON = re.compile(r"(?<=[\w\"]) id-\w+ (?=spanning)")
"""At what goes on from another system its id in that one."""
_IDS = re.compile(r' id="([^"]*)"')
_OURS = re.compile(r"[0-9A-F]{4,5}|p\d+(?:s\d+b\d+v\d+n\d+\w*|b\d+)")
_ROOT = re.compile(r"<svg ([^>]*)>")
_FIRST_PART = re.compile(r"<part id=.*?</part>", re.DOTALL)
_MEASURE = re.compile(r"<measure [^>]*>\n?")
_NEW_SYSTEM, _NEW_PAGE = '<print new-system="yes"/>', '<print new-page="yes"/>'
_TIME = re.compile(r"<time(?=[ >])")
_FIRST_MEASURES = re.compile(r'<part id="[^"]*">\n<measure .*?</measure>', re.DOTALL)
"""The first of each part."""


@record
class Cut:
    """What a picture of a system is made of."""

    score: WrittenScore
    """With these bars as its only movement."""
    before: bool
    """The first bar is only there for what leads on from it."""
    after: bool
    """So is the last."""
    shows_meter: bool
    """The meter stands at the beginning; else it only holds."""
    width: float
    """In heights of a staff."""


def cut_of(
    score: WrittenScore, movement: WrittenMovement, frames: int, before: bool, shows_meter: bool, width: float
) -> Cut:
    """The cut of an excerpt that has so many frames of its own; of the piece's header only what is seen in a system."""
    header = Header(
        "", concert_score=score.header.concert_score, show_letters=score.header.show_letters, kind=score.header.kind,
        paper=score.header.paper, language=score.header.language, every_staff=True,
    )  # fmt: skip
    bare = replace(
        movement, title="", attacca=False, begins_page=False, cuts=(), line_breaks=(), overlap=(0, 0), marks_above=""
    )  # fmt: skip
    whole = replace(score, header=header, movements=(bare,), colors_note="", title_page=None)
    return Cut(whole, before, len(movement.frames) > frames + before, shows_meter, width)


def drawn_and_kept(cut: Cut) -> bytes:
    """The picture in UTF-8, in this thread."""
    kept = RememberedFiles(TEXTS, PAGES, about())
    made = kept.of(cut, lambda: _drawn(cut))
    kept.save()
    return made


@lru_cache(maxsize=1)
def about() -> bytes:
    """What decides with a cut how its picture looks."""
    return b"\0".join((b"systems", compiler_stamps(), library_stamps(("music21", "verovio"))))


def _drawn(cut: Cut) -> bytes:
    from cavata.musicxml.document import document

    text = _on_pages(document(Single(cut.score, 1)).decode("utf-8"), cut)
    return _plain(drawn_system(text.encode("utf-8"), cut.width, 2 if cut.before else 1)).encode("utf-8")


def _on_pages(document: str, cut: Cut) -> str:
    """The document on one line, with the bars before and after on pages of their own, and without a meter that only
    holds."""
    frames = cut.score.movements[0].frames
    if not cut.before and not cut.shows_meter:
        document = _FIRST_MEASURES.sub(lambda found: _TIME.sub('<time print-object="no"', found[0]), document)
    # Where a document has no break at all, Verovio breaks by itself: so the line is said to begin with its first bar.
    breaks = {0: _NEW_SYSTEM}
    breaks |= {place: _NEW_PAGE for place in (1 if cut.before else 0, len(frames) - 1 if cut.after else 0) if place}
    part = _FIRST_PART.search(document)
    assert part is not None
    pieces, done = [], 0
    for place, found in enumerate(_MEASURE.finditer(part[0])):
        if place in breaks:
            pieces += [part[0][done : found.end()], breaks[place]]
            done = found.end()
    return document[: part.start()] + "".join((*pieces, part[0][done:])) + document[part.end() :]


def _plain(svg: str) -> str:
    """A picture without Verovio's styles and ids; glyphs are called alike in all pictures."""
    made = _GOES_ON.sub(" ", _GLYPH.sub(r'\1"', _NOT_OURS.sub("", svg)))
    return _IDS.sub(lambda found: found[0] if _OURS.fullmatch(found[1]) else "", made)
