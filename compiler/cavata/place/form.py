"""The order of playing that words ask for: segno, coda, fine, da capo and dal segno.

In: the placed sections of a movement with their rows. Out: where signs and words stand, and messages about what cannot
be played. Holds after: there is at most one jump, and what it leads to is there. Source: common practice: a jump is
made once, and what is played after it is played without its repeats.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics, Severity
from cavata.record import record
from cavata.score.score import AT_THE_BEGINNING, CODA, FINE, SEGNO, TO_CODA, is_jump
from cavata.syntax import tree as t


@record
class PlacedSection:
    """A section as far as its form goes: its rows, and from where to where it is played, in the movement."""

    name: str
    signs: tuple[t.FormSign, ...]
    begin: Fraction
    """With its upbeat."""
    end: Fraction
    """Where its last bar ends, or its repeat sign stands; the upbeat of the section after it comes later."""
    lead: Fraction
    """How long its upbeat or pickup is."""


@record
class FormPlaces:
    """Where signs and words of the form stand, in the movement."""

    opens: Mapping[Fraction, tuple[str, ...]]
    """Signs at the beginning of a bar or an upbeat."""
    closes: Mapping[Fraction, tuple[str, ...]]
    """Words at the end of a bar, or of what comes before an upbeat."""


def form_places(sections: Sequence[PlacedSection], sounding: Fraction, bag: Diagnostics) -> FormPlaces:
    """Where all of it stands; nothing where something was reported. `sounding` is where the last sound ends."""
    rows = [(place, sign) for place, section in enumerate(sections) for sign in section.signs]
    if not rows or not _once(rows, bag):
        return FormPlaces({}, {})
    if not (_has_what_it_needs(rows, bag) and _in_order(rows, sections, bag)):
        return FormPlaces({}, {})
    opens: dict[Fraction, tuple[str, ...]] = {}
    closes: dict[Fraction, tuple[str, ...]] = {}
    for place, sign in rows:
        section = sections[place]
        if sign.word in AT_THE_BEGINNING:
            opens[section.begin] = (*opens.get(section.begin, ()), sign.word)
        else:
            end = _jump_place(rows, sections, sounding) if is_jump(sign.word) else section.end
            closes[end] = (*closes.get(end, ()), sign.word)
    return FormPlaces(opens, closes)


def _jump_place(
    rows: Sequence[tuple[int, t.FormSign]], sections: Sequence[PlacedSection], sounding: Fraction
) -> Fraction:
    """Where the jump is made: at a movement's end before its last bar is full, if an upbeat completes that."""
    found = {_kind(sign): place for place, sign in rows}
    place = found["jump"]
    section = sections[place]
    target = sections[found.get(SEGNO, 0)]
    early = section.end - target.lead
    is_last = place == len(sections) - 1
    return early if is_last and target.lead and sounding <= early and section.begin < early else section.end


def _kind(sign: t.FormSign) -> str:
    return "jump" if is_jump(sign.word) else sign.word


def _once(rows: Sequence[tuple[int, t.FormSign]], bag: Diagnostics) -> bool:
    """Whether each of them is there once at most."""
    first: dict[str, t.FormSign] = {}
    good = True
    for _, sign in rows:
        before = first.setdefault(_kind(sign), sign)
        if before is not sign:
            good = False
            what = "a second jump" if is_jump(sign.word) else f"a second `{sign.word}`"
            bag.error(
                "P836", sign.span, f"{what} stands in this movement", label="again here",
                cure="a movement has one of each: write out what comes later, as `section again = earlier`",
                also=((before.span, "first here"),),
            )  # fmt: skip
    return good


def _has_what_it_needs(rows: Sequence[tuple[int, t.FormSign]], bag: Diagnostics) -> bool:
    """Whether the jump finds its signs, and every sign its jump.

    Where a row of the script could not be read, what is missing may stand there, and nothing is said of it.
    """
    there = {_kind(sign): sign for _, sign in rows}
    jump = there.pop("jump", None)
    wanted = {} if jump is None else dict(_wanted(jump.word))
    if any(found.code.startswith("S") and found.severity is Severity.ERROR for found in bag.collected):
        return all(word in there for word in wanted) and all(word in wanted for word in there)
    for word, where in wanted.items():
        if word not in there:
            assert jump is not None
            bag.error(
                "P837", jump.span, f"`{jump.word}` finds no `{word}`", label="it leads nowhere",
                cure=f"write `{word}` into {where}",
            )  # fmt: skip
            return False
    for word, sign in there.items():
        if word not in wanted:
            cure = "write `da capo al fine` into the section after which the playing goes back" if word == FINE else \
                f"write `dal segno{'' if word == SEGNO else ' al coda'}` into the section after which it goes back"
            bag.error("P838", sign.span, f"nothing leads to this `{word}`", label="it has no meaning", cure=cure)
            return False
    return True


def _wanted(jump: str) -> Iterator[tuple[str, str]]:
    """The signs that a jump needs, and where each is written."""
    if jump.startswith("dal segno"):
        yield SEGNO, "the section at whose beginning the sign stands"
    if jump.endswith("al fine"):
        yield FINE, "the section after which the piece ends"
    if jump.endswith("al coda"):
        yield TO_CODA, "the section after which the playing goes on to the coda"
        yield CODA, "the section that is the coda"


def _in_order(rows: Sequence[tuple[int, t.FormSign]], sections: Sequence[PlacedSection], bag: Diagnostics) -> bool:
    """Whether everything stands where it is played, and nothing stands where it is not."""
    found = {_kind(sign): (place, sign) for place, sign in rows}
    jump, sign = found["jump"]
    start = found[SEGNO][0] if SEGNO in found else 0
    wrong: tuple[t.FormSign, str, str] | None = None
    if start > jump:
        wrong = found[SEGNO][1], "the segno stands after the jump to it", "let it stand before, or in the same section"
    for word in (FINE, TO_CODA):
        if word in found and not start <= found[word][0] <= jump:
            wrong = (
                found[word][1], f"`{word}` does not stand between the place that the jump leads to and the jump",
                "only what is played after the jump comes by it",
            )  # fmt: skip
    if FINE in found and found[FINE][0] == jump:
        wrong = found[FINE][1], "the piece would end where the jump is made", f"write `{sign.word}` into a later one"
    if CODA in found and found[CODA][0] != jump + 1:
        after = sections[jump].name
        wrong = found[CODA][1], "the coda does not follow the jump", f"let it be the section after `{after}`"
    if FINE in found and wrong is None and jump + 1 < len(sections):
        wrong = sign, f"nothing leads to `{sections[jump + 1].name}` after this jump", "let the jump be made at the end"
    if wrong is None:
        return True
    bag.error("P839", wrong[0].span, wrong[1], cure=wrong[2])
    return False
