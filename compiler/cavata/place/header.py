"""The title page's facts, from the rows of `piece`."""

from __future__ import annotations

from pathlib import PurePath

from cavata.instruments.language import Language, language_called
from cavata.names.paper import USUAL, find_paper
from cavata.score.score import Header
from cavata.syntax import tree as t


def header_of(piece: t.Piece | None, main: str) -> Header:
    """The header; a script without `piece` is called by its file."""
    if piece is None:
        return Header(PurePath(main).stem)
    texts = {row.word: row.text for row in piece.rows}
    lengths = [row.minutes for row in piece.rows if row.word == "length"]
    shortest, longest = lengths[-1] if lengths else (None, None)
    return Header(
        piece.title.text,
        texts.get("subtitle", ""),
        texts.get("composer", ""),
        texts.get("dedication", ""),
        shortest,
        longest,
        "concert score" in texts,
        "show letters" in texts,
        find_paper(texts.get("paper", "")) or USUAL,
        texts["title page"] != "none" if "title page" in texts else None,
        every_staff="show every staff" in texts,
        language=language_called(texts.get("names", "")) or Language.ENGLISH,
    )
