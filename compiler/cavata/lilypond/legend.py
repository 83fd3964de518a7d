"""The legend under the title: each name in the colour of its notes.

In: a sheet of the sheet. Out: a markup to stand before the music; none where colours are not shown.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.lilypond.sheets import Sheet
from cavata.lilypond.string import ly_string


def legend(sheet: Sheet) -> Iterator[str]:
    """The legend's lines."""
    if not sheet.header.colours:
        return
    names = [
        f'\\line {{ \\with-color "{colour}" \\raise #0.6 \\musicglyph "noteheads.s2" {ly_string(name)} }}'
        for name, colour in sheet.header.colours
    ]
    lines = ["\\markup \\abs-fontsize #10.5 \\fill-line", "{"]
    lines += ["    \\center-column", "    {", "        \\line", "        {"]
    lines += [f"            {name} \\hspace #1" for name in names]
    lines += ["        }"]
    if sheet.colours_note:
        lines.append(f"        \\small \\italic {ly_string(sheet.colours_note)}")
    yield "\n".join([*lines, "        \\vspace #0.5", "    }", "}"]) + "\n"
