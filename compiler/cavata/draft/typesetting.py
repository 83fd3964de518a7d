"""Pages and pictures as PDF and PNG, by typst.

In: a document in typst's language that names pictures, and the pictures. Out: the file's bytes, the same for the same
content. Only the fonts of a draft and those of the machine are used, and nothing is fetched.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from cavata.draft.fonts import fonts
from cavata.lilypond.engrave import RESOLUTION, workplace
from cavata.text import plain_text

_BEGINNING = 946_684_800
"""The date that every file bears: the first second of the year 2000, in seconds since 1970."""
_SPECIAL = re.compile(r'["\\]')


def typst_string(text: str) -> str:
    """A string literal: only the quote and the backslash are special in it; control characters become spaces."""
    return '"' + _SPECIAL.sub(r"\\\g<0>", plain_text(text)) + '"'


def pages_document(pictures: Sequence[str], width: float, height: float, title: str, author: str) -> str:
    """A document with a picture on each page, as large as the paper, in millimeters."""
    lines = [
        f"#set document(title: {typst_string(title)}, author: {typst_string(author)})",
        f"#set page(width: {width:g}mm, height: {height:g}mm, margin: 0mm)",
        *(f"#image({typst_string(name)}, width: {width:g}mm, height: {height:g}mm)" for name in pictures),
    ]
    return "\n".join(lines)


def typeset(document: str, pictures: Mapping[str, str], kind: Literal["pdf", "png"]) -> tuple[bytes, ...]:
    """The document as `pdf`, one file, or as `png`, a file for each page.

    Raises RuntimeError if typst cannot make it, and OSError where there is no room for its files.
    """
    import typst

    with workplace() as folder:
        (folder / "fonts").mkdir()
        for number, font in enumerate(fonts()):
            (folder / "fonts" / f"{number}.ttf").write_bytes(font)
        for name, picture in pictures.items():
            (folder / name).write_text(picture, encoding="utf-8")
        main = folder / "main.typ"
        main.write_text(document, encoding="utf-8")
        made: Any = typst.compile(
            str(main), root=str(folder), font_paths=[str(folder / "fonts")], format=kind, timestamp=_BEGINNING,
            ppi=float(RESOLUTION),
        )  # fmt: skip
    return tuple(made) if isinstance(made, list) else (made,)
