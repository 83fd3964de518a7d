"""What a proof copy has on every page and at every bar; a fair copy has nothing of it.

In: the header, or the words for a line of the script. Out: LilyPond text.
"""

from __future__ import annotations

from cavata.lilypond.string import ly_string
from cavata.score.score import Header

_EVERY_BAR = """\
\\layout
{
    \\context
    {
        \\Score
        barNumberVisibility = #all-bar-numbers-visible
        \\override BarNumber.break-visibility = #end-of-line-invisible
    }
}
"""


def feet(header: Header) -> str:
    """What stands at the foot of the pages, and which bars are numbered."""
    words = f"\\markup \\fill-line {{ \\abs-fontsize #9 \\italic {ly_string(header.foot)} }}"
    foot = words if header.foot else "##f"
    paper = f"\\paper\n{{\n    oddFooterMarkup = {foot}\n    evenFooterMarkup = {foot}\n}}\n"
    return paper + (_EVERY_BAR if header.proof else "")


def script_line(words: str) -> str:
    """A line of the script, small and grey."""
    return f'\\markup \\with-color #(x11-color "grey50") \\abs-fontsize #6 \\sans {ly_string(words)}'
