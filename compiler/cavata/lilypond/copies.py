"""Copies of a piece engraved: each from what is kept where nothing changed, the rest side by side.

In: written scores, one after the other, and the formats wanted. Out: an engraving for each. A PDF is engraved sheet by
sheet and joined; for pictures, a file a page, a copy is engraved in one run. An engraving is kept under the text that
LilyPond read, and which text a sheet has is remembered by what is read of the sheet (`reads`): so Abjad is loaded only
if there is something to set.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from concurrent.futures import wait as wait_for
from importlib import import_module

from cavata.cache import TEXTS, key_of
from cavata.lilypond.engrave import FORMATS, RESOLUTION, find_lilypond, undated
from cavata.lilypond.engraving import EngravedFile, Engraving, Failure
from cavata.lilypond.kept import keep, kept, surroundings
from cavata.lilypond.press import Press
from cavata.lilypond.sheets import Sheet, frame_text, sheets, whole_sheet
from cavata.lilypond.standing import StandingRuns
from cavata.notate.paper.page import INNER_MM, OUTER_MM
from cavata.notate.written import WrittenScore
from cavata.reads import Remembered
from cavata.record import record
from cavata.score.score import TitlePage

_Result = Engraving | Failure
_PDF = frozenset(("pdf",))
_PAGES_AT_ONCE = 64
"""Heads and feet are set for so many pages at a time, so that one page more seldom needs new ones: most of what a run
for them takes is LilyPond's start."""
_LOOK = 0.1
"""Seconds between two looks at how far the runs have come."""


@record
class Ordered:
    """A copy on its way: a whole engraving that was kept, or one for each sheet, there or to come."""

    opening: Sheet
    title_page: TitlePage | None
    key: str
    pieces: tuple[_Result | Future[_Result], ...]
    thrown_away: tuple[tuple[int, int], ...] = ()
    """Of each piece, how many of its first and last pages."""
    whole: Engraving | None = None


class Engravers:
    """Takes orders for copies and delivers them; to be used in a `with` statement, at whose end no run goes on."""

    def __init__(
        self, formats: frozenset[str], at_once: int, fresh: bool = False,
        say: Callable[[str], None] | None = None, resolution: int = RESOLUTION,
    ) -> None:  # fmt: skip
        self._formats = formats
        self._resolution = resolution
        self._fresh = fresh
        self._at_once = at_once
        self._press = Press(at_once, resolution=resolution)
        self._standing = StandingRuns(at_once, say)
        self._program = find_lilypond()
        self._surroundings = b"" if isinstance(self._program, Failure) else surroundings(self._program)
        self._texts = Remembered(TEXTS, self._surroundings, fresh)
        """Which text each sheet has: a hash of it."""
        self._begun: dict[str, _Result | Future[_Result]] = {}

    def __enter__(self) -> Engravers:
        return self

    def __exit__(self, *_: object) -> None:
        self._press.__exit__()
        self._texts.save()

    def start(self) -> None:
        """Let LilyPond start while the first texts are made: all runs that there may be at once, if all that is kept
        is made again; else one, for what changed.
        """
        if not isinstance(self._program, Failure):
            self._press.start(self._at_once if self._fresh else 1, self._formats, self._standing.watched)

    def order(self, page: WrittenScore) -> Ordered:
        """Look for a copy among what was kept, and begin to engrave what is not there."""
        divided = sheets(page) if self._formats == _PDF else (whole_sheet(page),)
        opening, front = divided[0], page.title_page
        if isinstance(self._program, Failure):
            return Ordered(opening, front, "", (self._program,))
        known = [self._texts.known(sheet) for sheet in divided]
        if len(divided) > 1:
            key = self._joined_key(opening, front, known) if all(known) else ""
            if key and (whole := self._kept(key)) is not None:
                return Ordered(opening, front, key, (), whole=whole)
            # It needs no Abjad, so it is engraved while that is loaded; then LilyPond starts anew for the first sheet.
            if isinstance(self._frame(opening, front, _PAGES_AT_ONCE), Future):
                self._press.start(1, self._formats, self._standing.watched)
        begun = [self._piece(sheet, text) for sheet, text in zip(divided, known, strict=True)]
        pieces = tuple(piece for _, piece in begun)
        if len(divided) == 1:
            return Ordered(opening, front, "", pieces)
        # The joiner is loaded while LilyPond runs.
        import_module("cavata.lilypond.joining")
        key = self._joined_key(opening, front, [text for text, _ in begun])
        return Ordered(opening, front, key, pieces, tuple(sheet.thrown_away for sheet in divided))

    def deliver(self, ordered: Ordered) -> _Result:
        """Wait for the sheets of a copy and join them."""
        if ordered.whole is not None:
            return ordered.whole
        found: list[Engraving] = []
        for piece in ordered.pieces:
            made = self._awaited(piece)
            if isinstance(made, Failure):
                return made
            found.append(made)
        return found[0] if len(found) == 1 else self._joined(ordered, found)

    def _piece(self, sheet: Sheet, known: str | None) -> tuple[str, _Result | Future[_Result]]:
        """A sheet on its way, and the hash of its text, which must be made where that is not known."""

        def text() -> str:
            # Abjad takes longer to load than most builds of an unchanged piece take altogether.
            from cavata.lilypond.document import sheet_text

            return self._texts.watch(lambda: sheet_text(sheet))

        if known is not None:
            return known, self._once(self._key(known, self._formats), text, self._formats)
        made = text()
        known = key_of(made)
        self._texts.learn(sheet, known)
        return known, self._once(self._key(known, self._formats), lambda: made, self._formats)

    def _once(self, key: str, text: Callable[[], str], formats: frozenset[str]) -> _Result | Future[_Result]:
        """What was kept under a key, or is on its way already; else it is begun."""
        if key not in self._begun:
            self._begun[key] = self._kept(key) or self._engraved(text(), key, formats)
        return self._begun[key]

    def _engraved(self, text: str, key: str, formats: frozenset[str]) -> Future[_Result]:
        run = self._standing.begins(text)
        future = self._press.engrave(text, formats, run.hear if self._standing.watched else None)

        def done(future: Future[_Result]) -> None:
            made = None if future.cancelled() or future.exception() else future.result()
            self._standing.ends(run, isinstance(made, Engraving))
            if isinstance(made, Engraving):
                keep(key, made)

        future.add_done_callback(done)
        return future

    def _awaited(self, piece: _Result | Future[_Result]) -> _Result:
        if not isinstance(piece, Future):
            return piece
        while not wait_for((piece,), _LOOK).done:
            self._standing.tell()
        return piece.result()

    def _joined(self, ordered: Ordered, found: list[Engraving]) -> _Result:
        from cavata.lilypond.joining import joined_pages

        drawn = [engraving.files[0].data for engraving in found]
        sheets = list(zip(drawn, ordered.thrown_away, strict=True))
        data, pages, everything = None, 0, found
        while data is None:
            pages += _PAGES_AT_ONCE
            frame = self._awaited(self._frame(ordered.opening, ordered.title_page, pages))
            if isinstance(frame, Failure):
                return frame
            everything = [*found, frame]
            data = joined_pages(sheets, frame.files[0].data, pages, OUTER_MM - INNER_MM)
        missing = tuple(dict.fromkeys(glyph for engraving in everything for glyph in engraving.missing))
        remarks = tuple(dict.fromkeys(text for engraving in everything for text in engraving.remarks))
        made = Engraving((EngravedFile("pdf", ".pdf", undated(data)),), missing, remarks)
        keep(ordered.key, made)
        return made

    def _frame(self, sheet: Sheet, title_page: TitlePage | None, pages: int) -> _Result | Future[_Result]:
        """What stands around so many pages of music: set once for all copies of which it is the same."""
        text = frame_text(sheet, title_page, pages)
        return self._once(self._key(text, _PDF), lambda: text, _PDF)

    def _joined_key(self, sheet: Sheet, title_page: TitlePage | None, texts: Sequence[str | None]) -> str:
        return self._key("\n".join((*map(str, texts), frame_text(sheet, title_page, _PAGES_AT_ONCE))), _PDF)

    def _kept(self, key: str) -> Engraving | None:
        return None if self._fresh else kept(key)

    def _key(self, about: str, formats: frozenset[str]) -> str:
        wanted = [kind for kind in FORMATS if kind in formats]
        return key_of(self._surroundings, repr((wanted, self._resolution)), about)
