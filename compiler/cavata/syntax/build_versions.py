"""Making nodes of the rows of a version."""

from __future__ import annotations

from fractions import Fraction

from lark import Token

from cavata.record import replace
from cavata.syntax import tree as t
from cavata.syntax.build_values import ValueBuilder, text_row

LEAST, MOST = Fraction(1, 10), 10
"""Tempi are scaled by no less and no more."""


class VersionBuilder(ValueBuilder):
    """Builds versions and their rows."""

    def version(self, name: Token, text: Token | None) -> t.Version:
        word = self.name_word(name)
        return t.Version(word, self.words_of(text), (), "", word.span)

    version_row = ValueBuilder.same

    other_title = text_row("title")

    # -------------------------------------------------------------- what goes through transforms

    def piece_moved(self, through: t.ParsedThrough) -> t.Moved:
        return t.Moved("piece", (), through, through.span)

    def movement_moved(self, name: Token, through: t.ParsedThrough) -> t.Moved:
        word = self.name_word(name)
        return t.Moved("movement", (t.PartRef(word, None, word.span),), through, word.span.to(through.span))

    def section_moved(self, section: t.PartRef, through: t.ParsedThrough) -> t.Moved:
        return t.Moved("section", (section,), through, section.span.to(through.span))

    def part_moved(self, parts: tuple[t.PartRef, ...], through: t.ParsedThrough) -> t.Moved:
        return t.Moved("part", parts, replace(through, parts=parts), parts[0].span.to(through.span))

    # -------------------------------------------------------------- who plays, what is left out

    def plays(self, part: t.PartRef, others: tuple[t.PartRef, ...]) -> t.Plays:
        return t.Plays(part, others, part.span.to(others[-1].span))

    def without_parts(self, parts: tuple[t.PartRef, ...]) -> t.Without:
        return t.Without("part", parts, parts[0].span.to(parts[-1].span))

    def without_movements(self, words: tuple[t.Word, ...]) -> t.Without:
        refs = tuple(t.PartRef(word, None, word.span) for word in words)
        return t.Without("movement", refs, refs[0].span.to(refs[-1].span))

    def without_sections(self, sections: tuple[t.PartRef, ...]) -> t.Without:
        return t.Without("section", sections, sections[0].span.to(sections[-1].span))

    def without_subtitle(self) -> t.Without:
        return t.Without("subtitle", (), self.nowhere)

    def without_dedication(self) -> t.Without:
        return t.Without("dedication", (), self.nowhere)

    def without_length(self) -> t.Without:
        return t.Without("length", (), self.nowhere)

    # -------------------------------------------------------------- tempi and promises

    def tempi(self, movement: Token | None, ratio: Token) -> t.Tempi:
        span = self.at(ratio)
        text = ratio.value
        upper, lower = text.split(":") if ":" in text else (text, "1")
        found = Fraction(upper) / Fraction(lower) if len(text) < 12 and Fraction(lower) else Fraction(0)
        if not LEAST <= found <= MOST:
            self.bag.error(
                "S882", span, f"tempi cannot be {text} times as fast", label="from 1:10 to 10:1",
                cure="more than 1 is faster: `tempi x 9:8`, `tempi x 1.12`",
            )
            found = Fraction(1)
        return t.Tempi(None if movement is None else t.Word(movement.value, self.at(movement)), found, span)

    def promised(self, promise: t.Promise) -> t.Promised:
        return t.Promised(promise, True, promise.span)

    def not_promised(self, promise: t.Promise) -> t.Promised:
        return t.Promised(promise, False, promise.span)
