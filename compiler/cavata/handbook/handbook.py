"""Where the handbook lies, and where in it something is told.

In: what a reader asks for. Out: the address of a page. A wheel of a release brings the pages; else they are made once
for the documentation as it is, and kept in a folder of the user's own.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from cavata import resources
from cavata.cache import HANDBOOK, compiler_stamps, key_of, library_stamps, stamps
from cavata.handbook.finding import found
from cavata.handbook.gallery import SOUNDS, pieces
from cavata.handbook.making import FOLDERS, NEEDED, PLACES, make
from cavata.handbook.pages import handbook_pages

SHIPPED = "handbook_pages"
"""The folder of the package in which a wheel of a release brings the pages."""


def shipped() -> Path | None:
    """The pages that came with the package."""
    folder = resources.folder(SHIPPED)
    return folder if (folder / PLACES).is_file() else None


def made(
    say: Callable[[str], None], sounds: Callable[[], Mapping[str, bytes]] | None = None, fresh: bool = False
) -> Path:
    """The pages of the documentation as it is now; made only if they are not there yet.

    `sounds` plays the pieces of the gallery for pages that are heard too; it is asked only if there are none with sound
    yet. Without it pages with sound are as good. Raises ModuleNotFoundError where what they are made with is missing,
    OSError where they cannot be written.
    """
    files = sorted(file for name in FOLDERS for file in resources.folder(name).rglob("*") if file.is_file())
    key = key_of(stamps(files), compiler_stamps(), library_stamps(NEEDED))
    silent, heard = (HANDBOOK.made_folder() / f"{key}{kind}" for kind in ("", "-heard"))
    if not fresh:
        for folder in (heard,) if sounds is not None else (heard, silent):
            if (folder / PLACES).is_file():
                return folder
    played = sounds() if sounds is not None else {}
    folder = heard if played else silent
    half = folder.with_name(f"{key}.half")
    shutil.rmtree(half, ignore_errors=True)
    make(half, played, say)
    for old in HANDBOOK.made_folder().iterdir():
        if old != half:
            shutil.rmtree(old, ignore_errors=True)
    half.replace(folder)
    return folder


def is_heard(folder: Path) -> bool:
    """Whether pages have the sound of the gallery's pieces."""
    return (folder / SOUNDS).is_dir()


def address_of(folder: Path, word: str) -> str | None:
    """The address in the book of a word or a message's code, else of the first longer words that begin with it; None
    where it tells of no such thing.
    """
    told, small = known(folder), word.casefold().replace("-", " ")
    return told.get(word.upper()) or told.get(small) or next(
        (told[longer] for longer in told if longer.startswith(f"{small} ")), None
    )  # fmt: skip


def answers(question: str) -> tuple[tuple[str, str], ...]:
    """The titles and addresses in the book of the places that tell most of a question, the best first."""
    return found(handbook_pages({name: resources.folder(name) for name in FOLDERS}), question)


def known(folder: Path) -> Mapping[str, str]:
    """Where everything is told."""
    with suppress(OSError, ValueError):
        told = json.loads((folder / PLACES).read_text("utf-8"))
        return told if isinstance(told, dict) else {}
    return {}


def scripts() -> Iterator[tuple[str, Path]]:
    """The pieces of the gallery that can be heard, by the names of their pages."""
    examples = resources.folder("examples")
    for piece in pieces((examples / "README.md").read_text("utf-8")):
        yield piece.stem, examples / piece.script
