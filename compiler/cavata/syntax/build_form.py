"""Making nodes of form: passages, sections made from others, repeats, and the rows of `require`.

The parser calls one method for each rule that it has matched, the one of the rule's name, with what the rule's parts
became.
"""

from __future__ import annotations

from fractions import Fraction

from lark import Token

from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.build_values import ValueBuilder

MOST_TIMES = 100
"""A section is repeated so often at most."""


class FormBuilder(ValueBuilder):
    """Builds the statements of form."""

    def _called(self, token: Token) -> t.Word:
        """The word before a bracket that the lexer took together with it."""
        opening = self.at(token)
        return t.Word(token.value[:-1], Span(self.source, opening.start, opening.end - 1))

    # -------------------------------------------------------------- passages

    def passage(self, token: Token, parameters: tuple[t.Word, ...] | None) -> t.Passage:
        word = self._called(token)
        return t.Passage(word, parameters or (), (), "", word.span)

    def staff_argument(self, part: Token, staff: Token) -> t.PartRef:
        word = self.name_word(part)
        side = t.Word(staff.value, self.at(staff))
        return t.PartRef(word, side, word.span.to(side.span))

    def placed_arguments(self, *arguments: t.Expression | t.Loose | t.PartRef) -> tuple[object, ...]:
        return arguments

    def placement(
        self, token: Token, arguments: tuple[t.Expression | t.Loose | t.PartRef, ...] | None, place: t.Place | None
    ) -> t.Placement:
        word = self._called(token)
        return t.Placement(word, arguments or (), place, word.span)

    # -------------------------------------------------------------- rows of sections

    def earlier(self, section: t.PartRef, *steps: t.Step) -> t.Earlier:
        return t.Earlier(section, steps, section.span.to(steps[-1].span if steps else section.span))

    def tacet(self, parts: tuple[t.PartRef, ...]) -> t.Tacet:
        return t.Tacet(parts, parts[0].span.to(parts[-1].span))

    def repeated(self, times: Token | None) -> t.Repeated:
        if times is None:
            return t.Repeated(2, Span(self.source, 0, 0))
        count = self.whole_number(times)
        if not 2 <= count <= MOST_TIMES:
            self.bag.error(
                "S206", self.at(times), f"a section is played 2 to {MOST_TIMES} times", "in all",
                "write `repeated 2 times`"
            )
            count = 2
        return t.Repeated(count, self.at(times))

    def ending(self, *numbers: Token | None) -> t.Ending:
        *passes, first, last = numbers
        assert first is not None
        begin = self.whole_number(first)
        end = begin if last is None else self.whole_number(last)
        counted = tuple(self.whole_number(number) for number in passes if number is not None)
        head = next(number for number in passes if number is not None)
        return t.Ending(counted, begin, end, self.at(head).to(self.at(last or first)))

    # -------------------------------------------------------------- what a piece requires

    def require(self) -> t.Require:
        return t.Require((), Span(self.source, 0, 0))

    def require_row(self, row: t.Promise | t.Text) -> t.Promise | t.Text:
        return row

    def heard_everywhere(self, names: tuple[t.PartRef, ...]) -> t.Heard:
        return t.Heard(names, (), _over(names))

    def heard_in(self, names: tuple[t.PartRef, ...], movements: tuple[t.PartRef, ...]) -> t.Heard:
        return t.Heard(names, movements, _over(names + movements))

    def never_before(self, names: tuple[t.PartRef, ...], place: t.PartRef) -> t.NeverBefore:
        return t.NeverBefore(names, place, _over((*names, place)))

    def keeps_within(self, parts: tuple[t.PartRef, ...], low: Token, high: Token) -> t.KeepsWithin:
        return t.KeepsWithin(parts, self.pitch_of(low), self.pitch_of(high), parts[0].span.to(self.at(high)))

    def takes(
        self, what: Token, least: tuple[Fraction, Span], most: tuple[Fraction, Span] | None
    ) -> t.Takes:
        upper = most or least
        span = least[1].to(upper[1])
        if not 0 < least[0] <= upper[0]:
            label = "the longer one stands first" if least[0] > upper[0] else "no time at all"
            cure = "write it as `3 min to 5 min`"
            self.bag.error("S210", span, f"`{span.text}` is no length of a piece", label, cure)
        word = t.Word(what.value, self.at(what))
        return t.Takes(word, least[0], upper[0], word.span.to(span))

    def exact_forces(self, parts: tuple[t.PartRef, ...]) -> t.ExactForces:
        return t.ExactForces(parts, _over(parts))

    def fifths(self) -> str:
        return "fifths"

    def octaves(self) -> str:
        return "octaves"

    def no_parallels(
        self, interval: str, parts: tuple[t.PartRef, ...], places: tuple[t.PartRef, ...] | None
    ) -> t.NoParallels:
        return t.NoParallels(interval, parts, places or (), _over(parts + (places or ())))

    def rests(self, parts: tuple[t.PartRef, ...], length: tuple[t.Length, Span], bars: Token) -> t.Rests:
        count = self.whole_number(bars)
        if count < 1:
            self.bag.error("S206", self.at(bars), "a span of bars is at least one", "", "write `1 bar` or more")
        return t.Rests(parts, length[0], max(1, count), parts[0].span.to(self.at(bars)))


def _over(refs: tuple[t.PartRef, ...]) -> Span:
    return refs[0].span.to(refs[-1].span)
