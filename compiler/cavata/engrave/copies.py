"""Copies of a piece engraved: each from what is kept where nothing changed, the rest side by side.

In: written scores, one after the other, and the formats wanted. Out: an engraving for each. A PDF is engraved sheet by
sheet and joined; for pictures, a file a page, a copy is engraved in one run. Abjad is loaded only if there is something
to set. What was engraved is kept under a key made of all that a page depends on (`content`, `surroundings`).
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures import wait as wait_for
from hashlib import sha256

from cavata.emit.lilypond_content import content
from cavata.emit.lilypond_page import BOUND_MM, OUTER_MM, numbers_alone
from cavata.emit.lilypond_sheets import Sheet, sheets, whole_sheet
from cavata.engrave.engrave import FORMATS, RESOLUTION, undated
from cavata.engrave.engraver import find_lilypond
from cavata.engrave.engraving import EngravedFile, Engraving, Failure
from cavata.engrave.kept import keep, kept
from cavata.engrave.press import Press
from cavata.engrave.standing import Standing
from cavata.engrave.surroundings import surroundings
from cavata.notate.written import WrittenScore
from cavata.value import dataclass

_Result = Engraving | Failure
_PDF = frozenset(("pdf",))
_HEADS_AT_ONCE = 32
"""Pages are numbered by so many at a time, so that one page more seldom needs new numbers."""
_LOOK = 0.1
"""Seconds between two looks at how far the runs have come."""


@dataclass(frozen=True, slots=True)
class Ordered:
    """A copy on its way: a whole engraving that was kept, or one for each sheet, there or to come."""

    opening: Sheet
    key: str
    pieces: tuple[_Result | Future[_Result], ...]
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
        self._press = Press(at_once, resolution=resolution)
        self._standing = Standing(at_once, say)
        self._program = find_lilypond()
        self._surroundings = b"" if isinstance(self._program, Failure) else surroundings(self._program)
        self._heads_known: dict[str, _Result | Future[_Result]] = {}

    def __enter__(self) -> Engravers:
        return self

    def __exit__(self, *_: object) -> None:
        self._press.__exit__()

    def order(self, page: WrittenScore) -> Ordered:
        """Look for a copy among what was kept, and begin to engrave what is not there."""
        divided = sheets(page) if self._formats == _PDF else (whole_sheet(page),)
        if isinstance(self._program, Failure):
            return Ordered(divided[0], "", (self._program,))
        keys = [self._key(content(sheet), self._formats) for sheet in divided]
        key = self._key("\n".join(keys).encode(), self._formats) if len(keys) > 1 else keys[0]
        whole = self._kept(key)
        if whole is not None:
            return Ordered(divided[0], key, (), whole)
        pieces = tuple(self._piece(sheet, key) for sheet, key in zip(divided, keys, strict=True))
        if len(divided) > 1:
            # Hardly any title page needs two pages, and few scores more than these.
            self._heads(divided[0], 1 + (divided[0].title_page is not None), _HEADS_AT_ONCE)
        return Ordered(divided[0], key, pieces)

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

    def _piece(self, sheet: Sheet, key: str) -> _Result | Future[_Result]:
        known = self._kept(key)
        if known is not None:
            return known
        # Abjad takes longer to load than most builds of an unchanged piece take altogether.
        from cavata.emit.lilypond import sheet_text

        return self._engraved(sheet_text(sheet), key, self._formats)

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
        from cavata.engrave.joining import joined, page_count

        pdfs = [engraving.files[0].data for engraving in found]
        pages = [page_count(pdf) for pdf in pdfs]
        front = pages[0] if ordered.opening.title_page else 0
        wanted = -(-(sum(pages) - front) // _HEADS_AT_ONCE) * _HEADS_AT_ONCE
        heads = self._awaited(self._heads(ordered.opening, front + 1, wanted))
        if isinstance(heads, Failure):
            return heads
        data = undated(joined(pdfs, heads.files[0].data, front, OUTER_MM - BOUND_MM))
        missing = tuple(dict.fromkeys(glyph for engraving in found for glyph in engraving.missing))
        remarks = tuple(dict.fromkeys(text for engraving in found for text in engraving.remarks))
        made = Engraving((EngravedFile("pdf", ".pdf", data),), missing, remarks)
        keep(ordered.key, made)
        return made

    def _heads(self, sheet: Sheet, first: int, pages: int) -> _Result | Future[_Result]:
        """What stands at the head and foot of so many pages: set once, and kept for every copy of the same make-up."""
        text = numbers_alone(sheet.header, sheet.staff_size, first, pages)
        key = self._key(text.encode("utf-8", "replace"), _PDF)
        if key not in self._heads_known:
            self._heads_known[key] = kept(key) or self._engraved(text, key, _PDF)
        return self._heads_known[key]

    def _kept(self, key: str) -> Engraving | None:
        return None if self._fresh else kept(key)

    def _key(self, about: bytes, formats: frozenset[str]) -> str:
        made = sha256(self._surroundings)
        made.update(repr(([kind for kind in FORMATS if kind in formats], self._resolution)).encode())
        made.update(about)
        return made.hexdigest()[:40]
