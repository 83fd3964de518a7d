"""An errata list between two versions as they are printed: both engraved, to know their pages.

In: two versions compared. Out: the list as text. Where nothing here engraves, it is made without pages, and a message
says so.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from cavata.diagnostics import Diagnostics
from cavata.record import replace

if TYPE_CHECKING:  # the help of a command engraves nothing
    from cavata.cli.compare_sides import Together
    from cavata.compare.errata import BarPages
    from cavata.lilypond.copies import Engravers
    from cavata.lilypond.engraving import Engraving, Failure
    from cavata.notate.paper.page_turns import PartLayout
    from cavata.notate.written import WrittenScore
    from cavata.score.score import Score

SUFFIX = "-errata.txt"
"""What follows the piece's name in the name of its list."""


def errata(versions: Together, bag: Diagnostics, say: Callable[[str], None]) -> str:
    """The list of what changed, with pages and bars of the score and of each part that a change concerns."""
    from cavata.compare.errata import PrintedCopy, concerned, errata_text
    from cavata.lilypond.engrave import find_lilypond
    from cavata.lilypond.engraving import Failure

    assert versions.score is not None and versions.old_score is not None
    parts = concerned(versions.comparison, [part.name for part in versions.score.parts])
    was: dict[str, BarPages] = {}
    now: dict[str, BarPages] = {}
    if isinstance(find_lilypond(), Failure):
        bag.warning(
            "O920", None, "the errata list has no page numbers", label="only LilyPond tells where a bar is printed",
            cure="install LilyPond, as `cavata build` says; bars are told in any case",
        )  # fmt: skip
    else:
        was, now = (_pages(score, parts, say) for score in (versions.old_score, versions.score))
    labels = {"": "Full score", **{part.name: part.label for part in versions.score.parts}}
    copies = [PrintedCopy(labels[name], name, was.get(name, {}), now.get(name, {})) for name in ("", *parts)]
    return errata_text(versions.comparison, copies, versions.old.title, versions.new.title)


def _pages(score: Score, parts: Sequence[str], say: Callable[[str], None]) -> dict[str, BarPages]:
    """On which page each bar stands in the score, under an empty name, and in each part."""
    from cavata.edition.copies import WantedCopies, copies
    from cavata.lilypond.copies import Engravers
    from cavata.lilypond.part_pages import bar_pages, begin_again
    from cavata.lilypond.press import usual_at_once
    from cavata.notate.notate import notate
    from cavata.score.score import CopyKind

    known = {part.name for part in score.parts}
    wanted = WantedCopies(parts=tuple(part for part in parts if part in known))
    with Engravers(frozenset(("svg",)), usual_at_once(), say=say) as in_one, \
            Engravers(frozenset(("pdf",)), usual_at_once(), say=say) as as_built:  # fmt: skip
        begun = []
        for copy in copies(score, wanted, Diagnostics()):
            page, engravers = notate(copy.score), as_built
            if page.header.kind is not CopyKind.PART:
                page, engravers = replace(page, tells_pages=True), in_one
            begun.append((copy.suffix.removeprefix("-"), page, engravers, engravers.order(page)))
        made = [(name, page, engravers, engravers.deliver(ordered)) for name, page, engravers, ordered in begun]
        for _, page, engravers, first in made:
            if engravers is as_built:
                begin_again(page, first, as_built.order)
        layouts = [(name, page, _layout(page, first, engravers)) for name, page, engravers, first in made]
    return {name: bar_pages(page, layout) for name, page, layout in layouts if layout is not None}


def _layout(page: WrittenScore, first: Engraving | Failure, engravers: Engravers) -> PartLayout | None:
    """Where the systems of a copy stand; those of a part as it is handed out, its page turns planned."""
    from cavata.lilypond.engraving import Failure
    from cavata.lilypond.part_pages import layout_of, part_set
    from cavata.score.score import CopyKind

    if page.header.kind is CopyKind.PART:
        return part_set(page, first, lambda planned: engravers.deliver(engravers.order(planned)))[1]
    return None if isinstance(first, Failure) else layout_of(first)
