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
    from cavata.edition.copies import Wanted, copies
    from cavata.lilypond.copies import Engravers
    from cavata.lilypond.press import usual_at_once
    from cavata.notate.notate import notate
    from cavata.score.score import CopyKind

    known = {part.name for part in score.parts}
    found: dict[str, BarPages] = {}
    with Engravers(frozenset(("svg",)), usual_at_once(), say=say) as in_one, \
            Engravers(frozenset(("pdf",)), usual_at_once(), say=say) as as_built:  # fmt: skip
        wanted = Wanted(parts=tuple(part for part in parts if part in known))
        pages = [(copy.suffix.removeprefix("-"), notate(copy.score)) for copy in copies(score, wanted, Diagnostics())]
        for name, page in pages:
            if page.header.kind is CopyKind.PART:
                found[name] = _of_part(page, as_built)
            else:
                found[name] = _of_score(replace(page, tells_pages=True), in_one)
    return found


def _of_part(page: WrittenScore, engravers: Engravers) -> BarPages:
    """As the part is handed out, its page turns planned."""
    from cavata.lilypond.part_pages import bar_pages, part_set

    first = engravers.deliver(engravers.order(page))
    _, layout, _ = part_set(page, first, lambda planned: engravers.deliver(engravers.order(planned)))
    return {} if layout is None else bar_pages(page, layout)


def _of_score(page: WrittenScore, engravers: Engravers) -> BarPages:
    from cavata.lilypond.engraving import Failure
    from cavata.lilypond.part_pages import bar_pages, layout_of

    made = engravers.deliver(engravers.order(page))
    layout = None if isinstance(made, Failure) else layout_of(made)
    return {} if layout is None else bar_pages(page, layout)
