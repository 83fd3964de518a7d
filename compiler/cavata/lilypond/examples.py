"""Short examples of music as LilyPond text: to be engraved one a picture, or to stand between paragraphs.

In: written scores of one short movement each. Out: for each the block that sets it, without title and names; and what
stands before them. A picture is as high as its music, and says where its note heads are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.lilypond.page import style
from cavata.notate.written import WrittenScore

STAFF_SIZE = 20
"""Points."""
_LAYOUT = (
    "    \\layout",
    "    {",
    "        indent = 0\\mm",
    "        ragged-right = ##t",
    "        \\context { \\Score \\override SpacingSpanner.common-shortest-duration = #(ly:make-moment 1/24) }",
    "        \\context { \\Staff \\omit BarLine }",
    "    }",
)
"""No bar lines, and notes wide enough apart for the letters under them."""


def example_block(score: WrittenScore) -> str:
    """The music of an example."""
    # Late, so that what stands before examples can be had without Abjad.
    from cavata.lilypond.abjad_versions import text_of
    from cavata.lilypond.staves import SystemStyle, score_block

    movement = score.movements[0]
    bare = SystemStyle(full_names=False, short_names=False, letters=True)
    music = text_of(score_block(movement, score.groups, bare))
    lines = ["\\score", "{", *(f"    {line}" if line else line for line in music.splitlines())]
    return "\n".join([*lines, *_LAYOUT, "}"]) + "\n"


def opening(*settings: str) -> str:
    """Version, language and house style; `settings` are lines of paper that stand after it."""
    lines = ['\\version "2.24.0"', '\\language "english"', f"#(set-global-staff-size {STAFF_SIZE})"]
    own = ["\\paper", "{", *(f"    {setting}" for setting in settings), "}"]
    return "\n".join([*lines, style(), *own]) + "\n"


MarkedStretch = tuple[Fraction, Fraction]
"""When a note begins, and how long it is written, in whole notes."""


def picture_text(blocks: Sequence[str], stretches: Sequence[MarkedStretch] = ()) -> str:
    """One text that gives a picture for each block, in their order, 11 cm wide and as high as its music.

    Heads of notes that begin and last as one of `stretches` have colors, which `heads_of` reads and makes black again.
    """
    text = opening(
        "paper-width = 110\\mm", "left-margin = 1\\mm", "right-margin = 1\\mm", "top-margin = 1\\mm",
        "bottom-margin = 1\\mm", "page-breaking = #ly:one-page-breaking", "ragged-bottom = ##t",
        "ragged-last-bottom = ##t", "last-bottom-spacing = #'((padding . 0) (stretchability . 0))",
        "oddHeaderMarkup = ##f", "evenHeaderMarkup = ##f", "oddFooterMarkup = ##f", "evenFooterMarkup = ##f",
    )  # fmt: skip
    return text + _marking(stretches) + "".join(f"\\book\n{{\n{block}}}\n" for block in blocks)


_RED = "0.392157%"
"""One level of it, by which a head that is marked differs from what is black."""
_MARKED = re.compile(
    rf'fill:rgb\({re.escape(_RED)},([\d.]+)%,([\d.]+)%\);fill-opacity:1;">\n'
    r'  <use xlink:href="#([\w-]+)" x="([\d.]+)" y="([\d.]+)"'
)
_COLOR = re.compile(rf"rgb\({re.escape(_RED)},[\d.]+%,[\d.]+%\)")
_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_GLYPH = re.compile(r'<symbol overflow="visible" id="([\w-]+)">\n<path style="[^"]*" d="([^"]*)"')
_NUMBER = re.compile(r"-?[\d.]+")
_LEVELS = 255
"""Of each of a color's parts."""


def _marking(stretches: Sequence[MarkedStretch]) -> str:
    """Gives each head a color that says which of the stretches is its own."""
    if not stretches:
        return ""
    rows = " ".join(f"(({onset} . {length}) . {number})" for number, (onset, length) in enumerate(stretches))
    return (
        "\\layout\n{\n    \\context { \\Voice \\override NoteHead.color = #(lambda (grob)\n"
        "        (let* ((at (ly:moment-main (ly:grob-property (ly:item-get-column grob) 'when)))\n"
        "               (long (ly:moment-main (ly:event-property (event-cause grob) 'length)))\n"
        f"               (found (assoc (cons at long) '({rows}))))\n"
        f"          (if found (rgb-color (/ 1 {_LEVELS}) (/ (quotient (cdr found) {_LEVELS}) {_LEVELS})"
        f" (/ (remainder (cdr found) {_LEVELS}) {_LEVELS})) black))) }}\n}}\n"
    )


def heads_of(picture: str) -> tuple[str, tuple[tuple[float, float, int], ...]]:
    """A picture all in black, and the middle of each head that was marked, in shares of its width and height from the
    left and the top, with the number of its stretch."""
    return _COLOR.sub("rgb(0%,0%,0%)", picture), tuple(_heads(picture))


def _heads(picture: str) -> Iterator[tuple[float, float, int]]:
    box = _BOX.search(picture)
    assert box is not None
    width, height = map(float, box.groups())
    wide = {name: max(map(float, _NUMBER.findall(path)[::2]), default=0.0) for name, path in _GLYPH.findall(picture)}
    for green, blue, glyph, x, y in _MARKED.findall(picture):
        yield (float(x) + wide[glyph] / 2) / width, float(y) / height, _level(green) * _LEVELS + _level(blue)


def _level(percent: str) -> int:
    return round(float(percent) * _LEVELS / 100)
