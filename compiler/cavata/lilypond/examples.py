"""Short examples of music as LilyPond text: to be engraved one a picture, or to stand between paragraphs.

In: written scores of one short movement each. Out: for each the block that sets it, without title and names; and what
stands before them. A picture is as high as its music.
"""

from __future__ import annotations

from collections.abc import Sequence

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


def picture_text(blocks: Sequence[str]) -> str:
    """One text that gives a picture for each block, in their order, 11 cm wide and as high as its music."""
    text = opening(
        "paper-width = 110\\mm", "left-margin = 1\\mm", "right-margin = 1\\mm", "top-margin = 1\\mm",
        "bottom-margin = 1\\mm", "page-breaking = #ly:one-page-breaking", "ragged-bottom = ##t",
        "ragged-last-bottom = ##t", "last-bottom-spacing = #'((padding . 0) (stretchability . 0))",
        "oddHeaderMarkup = ##f", "evenHeaderMarkup = ##f", "oddFooterMarkup = ##f", "evenFooterMarkup = ##f",
    )  # fmt: skip
    return text + "".join(f"\\book\n{{\n{block}}}\n" for block in blocks)
