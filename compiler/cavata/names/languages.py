"""The language in which a piece names its instruments on the page."""

from __future__ import annotations

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.instruments.language import Language, language_called
from cavata.syntax import tree as t


def language_of(piece: t.Piece | None, bag: Diagnostics) -> Language:
    """What the row `names in ...` says; English where it is missing, or was reported."""
    row = next((row for row in piece.rows if row.word == "names"), None) if piece else None
    if row is None:
        return Language.ENGLISH
    language = language_called(row.text)
    if language is None:
        known = [language.value for language in Language]
        guess = closest(row.text, known, 1)
        cure = f"did you mean `{guess[0]}`?" if guess else "languages are " + ", ".join(f"`{name}`" for name in known)
        bag.error("N226", row.span, f"instruments have no names in `{row.text}`", "", cure)
    return language or Language.ENGLISH
