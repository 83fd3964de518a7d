"""Which engraver draws the pages: LilyPond, or Verovio for a draft where there is none.

In: what was asked for, and what this machine has. Out: the engraver, or why there is none and what would mend that
here.
"""

from __future__ import annotations

import os
from enum import Enum
from importlib.util import find_spec

from cavata.cache import library_stamps
from cavata.diagnostics import Diagnostics
from cavata.lilypond.engrave import OVERRIDE, find_lilypond
from cavata.lilypond.engraving import EngravingFault, Failure
from cavata.lilypond.kept import surroundings
from cavata.record import replace
from cavata.wheels import draft_wheels

_NEEDED = ("verovio", "typst", "fontTools", "brotli")
"""Verovio draws the music, typst makes files of its pictures, and the other two open the fonts that Verovio has."""
AUTO = "auto"


class Engraver(Enum):
    """What draws pages."""

    LILYPOND = "lilypond"
    VEROVIO = "verovio"


CHOICES = (AUTO, *(engraver.value for engraver in Engraver))


def engraver_for(asked: str) -> Engraver | Failure:
    """The engraver for one of CHOICES. `auto` takes LilyPond if it is there, and Verovio where it is not."""
    if asked == Engraver.VEROVIO.value:
        return Engraver.VEROVIO if drafts_can_be_drawn() else Failure(EngravingFault.MISSING, _message(), _advice())
    if asked == AUTO and not os.environ.get(OVERRIDE) and isinstance(found := find_lilypond(), Failure):
        if drafts_can_be_drawn():
            return Engraver.VEROVIO
        drafts = '; drafts of pages need only `pip install "cavata[draft]"`' if draft_wheels() else ""
        return replace(found, advice=f"{found.advice}{drafts}")
    return Engraver.LILYPOND


def drafts_can_be_drawn() -> bool:
    """Whether all is installed that a draft needs; nothing is loaded."""
    return all(_is_there(name) for name in _NEEDED)


def _is_there(name: str) -> bool:
    try:
        return find_spec(name) is not None
    except ValueError:
        return False


def _message() -> str:
    missing = [name for name in _NEEDED if not _is_there(name)]
    verb = "is" if len(missing) == 1 else "are"
    return f"{', '.join(missing)}, which drafts of pages need, {verb} not installed"


def _advice() -> str:
    if draft_wheels():
        return 'install what is missing with `pip install "cavata[draft]"`, or build without `--engraver verovio`'
    return "build without `--engraver verovio`: there is no Verovio for this machine"


def drawn_with() -> bytes:
    """The programs and fonts that decide how a draft looks, for a key."""
    return b"\0".join((surroundings(""), library_stamps((*_NEEDED, "music21"))))


def report_draft(bag: Diagnostics) -> None:
    """Say that the pages are drafts, and what would make more of them."""
    found = find_lilypond()
    bag.warning(
        "O208", None, "the pages are a draft, drawn by Verovio",
        label="every note is there; page turns, spacing, numbers of verses, pedals of harps and the title page are "
        "LilyPond's",
        cure=f"for pages to print: {found.advice}" if isinstance(found, Failure) else
        "LilyPond is here: for pages to print build without `--engraver verovio`",
    )  # fmt: skip
