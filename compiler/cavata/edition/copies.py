"""The copies that one build hands out, each a score of its own: drawn from the whole before anything is notated.

In: the score at concert pitch, and what is wanted. Out: copies in the order in which they are made; the notation
pass and the emitters treat each like any score, and see by `Header.kind` for whom it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.edition.fermatas import with_fermatas
from cavata.edition.parts import has_notes, part_score, stand_score
from cavata.edition.rehearsal import rehearsal_score, with_rehearsal_piano
from cavata.edition.shared_staves import with_percussion_sets, with_shared_staves
from cavata.edition.short_score import KeptReductions, short_score
from cavata.edition.struck import with_struck_notes
from cavata.edition.title_page import title_page
from cavata.record import record, replace
from cavata.score.percussionists import stands
from cavata.score.score import Group, GroupSign, Part, Score
from cavata.text import backticked

_BRACED = frozenset(("keyboard", "plucked"))
_VOICES = "voice"


@record
class Copy:
    """One score to be notated and written."""

    suffix: str
    """What follows the name of the piece in its files' names: empty for the full score, `-horn1` for a part."""
    score: Score


@record
class WantedCopies:
    """Which copies are asked for."""

    score: bool = True
    """The full score."""
    parts: tuple[str, ...] | None = ()
    """The parts, by their names in the script; None for all."""
    cues: bool = True
    """Parts show what others play before entries that are long awaited."""
    short: bool = False
    """A short score."""
    rehearsal: tuple[tuple[str, ...], ...] = ()
    """For the parts of each row together, by the names of parts or groups, a copy to rehearse with a pianist."""


def copies(
    score: Score, wanted: WantedCopies, bag: Diagnostics, kept: KeptReductions | None = None
) -> Iterator[Copy]:
    """The copies asked for, the full score first, then the parts in score order. What is `kept` of the short score from
    the time before is not reduced again."""
    score = with_struck_notes(score)
    if wanted.score:
        yield Copy("", full_score(score))
    if wanted.short:
        yield Copy("-short", short_score(score, kept))
    yield from _rehearsals(score, wanted.rehearsal, bag)
    yield from _parts(score, wanted, bag)


def _parts(score: Score, wanted: WantedCopies, bag: Diagnostics) -> Iterator[Copy]:
    """A part for each player; the percussion of one is one, unless one of its instruments is asked for."""
    known = parts_handed_out(score)
    single = {part.name: (score, (index,), None) for index, part in enumerate(score.parts) if part.name not in known}
    for name in wanted.parts or ():
        if name not in known and name not in single:
            report_unknown_part(name, [*known, *single], bag)
    for name, (whole, places, brace) in {**known, **(single if wanted.parts is not None else {})}.items():
        if wanted.parts is not None and name not in wanted.parts:
            continue
        if not any(has_notes(whole, place) for place in places):
            bag.warning(
                "O120", whole.parts[places[0]].span, f"`{name}` has no note to play, so it gets no part",
                label="not a note is placed in this part", cure="place a line in it, or take it out of the forces",
            )  # fmt: skip
        elif brace is None:
            yield Copy(f"-{name}", part_score(whole, places[0], wanted.cues))
        else:
            yield Copy(f"-{name}", stand_score(whole, brace, places, wanted.cues))


def parts_handed_out(score: Score) -> dict[str, tuple[Score, tuple[int, ...], Group | None]]:
    """Whoever gets a part, in score order: its name, the score to draw it from, the places of what is in it, and the
    brace over several instruments of a percussionist."""
    played = with_percussion_sets(score)
    braces = {score.parts[place].name: brace for brace, places in stands(score) for place in places}
    found: dict[str, tuple[Score, tuple[int, ...], Group | None]] = {}
    for index, part in enumerate(played.parts):
        brace = braces.get(part.name)
        name = brace.name if brace is not None else part.name
        _, before, _ = found.get(name, (played, (), None))
        found[name] = played, (*before, index), brace
    return found


def _rehearsals(score: Score, wanted: tuple[tuple[str, ...], ...], bag: Diagnostics) -> Iterator[Copy]:
    names = [part.name for part in score.parts]
    groups = {group.name: group.parts for group in score.groups}
    for row in dict.fromkeys(wanted):
        unknown = [name for name in row if name not in names and name not in groups]
        for name in unknown:
            report_unknown_part(name, [*names, *groups], bag)
        soloists = {part for name in row for part in groups.get(name, (name,))}
        if unknown:
            continue
        places = [place for place, name in enumerate(names) if name in soloists]
        if len(places) == len(names):
            label, cure = ("the only part", "a rehearsal copy is for a piece of two parts or more")
            if len(names) > 1:
                label, cure = ("all parts are named", "name fewer, so that the piano has something to play")
            said = f"there is nothing to reduce beside {backticked(row)}"
            bag.error("P131", score.parts[0].span, said, label=label, cure=cure)
        else:
            yield Copy(f"-rehearsal-{'-'.join(row)}", rehearsal_score(score, *places))


def report_unknown_part(name: str, names: list[str], bag: Diagnostics) -> None:
    """Say that there is no such part, and which one may be meant."""
    cure = did_you_mean(name, names) or "parts are " + backticked(names)
    bag.error("O121", None, f"there is no part `{name}`", cure=cure)


def full_score(score: Score) -> Score:
    """The score as the conductor reads it: shared staves, brackets for families, fermatas for all, its title page."""
    score = with_struck_notes(score)
    shared = with_families(with_shared_staves(score))
    page = None if score.header.title_page is False else title_page(shared)
    played = with_rehearsal_piano(shared) if score.header.rehearsal_piano and score.parts else shared
    return replace(with_fermatas(played, score), title_page=page)


def with_families(score: Score) -> Score:
    """The score with the brackets of custom; which of them and of the composer's are drawn is told with the systems.

    Each family of two parts or more that stand together has a bracket, and inside it players of one instrument a thin
    one. Keyboards and harps have their braces; soloists stand alone, but for one who stands amid his own family. The
    bar lines of singers are not drawn through, for their words stand between the staves. Source: common practice.
    """
    added: list[Group] = []
    families = _families(score.parts)
    for family, run in groupby(zip(families, score.parts, strict=True), key=lambda pair: pair[0]):
        parts = [part for _, part in run]
        if family and len(parts) > 1:
            added += _brackets(family, parts)
    return replace(score, groups=(*score.groups, *added)) if added else score


def _families(parts: Sequence[Part]) -> list[str]:
    """The family whose bracket each part stands under; empty for none."""
    families = [
        "" if part.soloist or part.instrument.family in _BRACED else part.instrument.family for part in parts
    ]
    places = zip(parts, families, ["", *families[:-1]], [*families[1:], ""], strict=True)
    return [
        before if part.soloist and before == after == part.instrument.family else own
        for part, own, before, after in places
    ]


def _brackets(family: str, parts: Sequence[Part]) -> Iterator[Group]:
    names = tuple(part.name for part in parts)
    yield Group(family, names, joined=family != _VOICES, customary=True)
    for key, run in groupby(parts, key=lambda part: "" if part.soloist else part.instrument.key):
        alike = tuple(part.name for part in run)
        if key and 1 < len(alike) < len(parts) and family != _VOICES:
            yield Group(f"{family} {key}", alike, GroupSign.SQUARE, customary=True)
