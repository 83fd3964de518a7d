"""What stands on the page before the music, beside the titles: forces, length, movements, and how to read the score.

In: a score. Out: a `TitlePage`, words only; whether a copy has one is said by `wants_title_page`.
"""

from __future__ import annotations

from cavata.edition.instrumentation import forces_list, instrumentation
from cavata.edition.lengths import length_of_movement, length_of_piece
from cavata.instruments.words import capital
from cavata.record import dataclass
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Score

LONG = 4
"""A score of more pages than this has a title page by itself."""
_BARS_IN_SYSTEM, _STAVES_ON_PAGE = 5, 16
"""What a page holds more or less; only the length of the whole is judged by it."""
_OCTAVES = 12


@dataclass(frozen=True, slots=True)
class TitlePage:
    """The facts of a title page."""

    instrumentation: str
    """In the usual short form."""
    forces: tuple[str, ...]
    """In full, one line each; empty where the short form has said it."""
    length: str
    movements: tuple[tuple[str, str], ...]
    """Titles and lengths; empty for a piece of one movement."""
    notes: tuple[str, ...]
    """How the score is to be read."""


def title_page(score: Score) -> TitlePage:
    """The title page of a score."""
    short = instrumentation(score)
    forces = forces_list(score)
    several = len(score.movements) > 1
    return TitlePage(
        short,
        () if ", ".join(forces).lower() == short.lower() or len(score.players) < 2 else forces,
        length_of_piece(score),
        tuple(
            (movement.title or _capital(movement), length_of_movement(movement, score.header.language))
            for movement in score.movements
        ) if several else (),
        tuple(_notes(score)),
    )  # fmt: skip


def wants_title_page(score: Score) -> bool:
    """The script asks for one, or leaves it to us and the score is long. Parts and short scores have none."""
    header = score.header
    if header.kind is not CopyKind.SCORE:
        return False
    return pages_about(score) > LONG if header.title_page is None else header.title_page


def pages_about(score: Score) -> int:
    """How many pages the music takes, roughly."""
    staves = sum(len(part.instrument.staves) for part in score.parts)
    systems = max(1, _STAVES_ON_PAGE // max(1, staves))
    return sum(-(-len(movement.bars) // (_BARS_IN_SYSTEM * systems)) for movement in score.movements)


def _capital(movement: Movement) -> str:
    return capital(movement.name.replace("_", " "))


def _notes(score: Score) -> list[str]:
    header = score.header
    notes = []
    transposing = [
        part for part in score.parts if part.instrument.transposition.semitones % _OCTAVES
    ]
    if transposing:
        notes.append("sounding" if header.concert_score else "transposing")
    if header.colours:
        notes.append("colours")
    if header.show_letters:
        notes.append("letters")
    said = [page_words(header.language, "reading", note) for note in notes]
    return [*said, header.foot] if header.foot else said
