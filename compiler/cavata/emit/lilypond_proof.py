"""What a proof copy has on every page and at every bar; a fair copy has nothing of it.

In: the header, or the number of a script's line. Out: LilyPond text.
"""

from __future__ import annotations

from cavata.place.score import Header

MARK = "Proof"
_FOOT = f'\\markup \\fill-line {{ \\abs-fontsize #9 \\italic "{MARK}" }}'
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
    foot = _FOOT if header.proof else "##f"
    paper = f"\\paper\n{{\n    oddFooterMarkup = {foot}\n    evenFooterMarkup = {foot}\n}}\n"
    return paper + (_EVERY_BAR if header.proof else "")


def script_line(number: int) -> str:
    """The number of a line of the script, small and grey."""
    return f'\\markup \\with-color #(x11-color "grey50") \\abs-fontsize #6 \\sans "line {number}"'
