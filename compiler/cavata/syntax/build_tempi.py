"""Making nodes of the rows of tempo."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from lark import Token

from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.build_values import ValueBuilder


class TempoBuilder(ValueBuilder):
    """Builds tempi and their changes."""

    def tempo(self, beat: Token, rate: Token, fixed: Token | None, words: Token | None) -> tuple[Any, ...]:
        per_minute = Fraction(rate.value) if len(rate.value) < 9 else Fraction(0)
        if not 1 <= per_minute <= 1000:
            self.bag.error(
                "S209", self.at(rate), f"there is no tempo of {rate.value}", label="beats in a minute",
                cure="write a number from 1 to 1000",
            )
            per_minute = Fraction(60)
        text = self.string(words) if words is not None else None
        span = self.at(beat).to(self.at(words or fixed or rate))
        return (self.length_of(beat), per_minute, text.text if text else "", span, "", None, False, None, bool(fixed))

    def tempo_equation(self, before: Token, now: Token, words: Token | None) -> tuple[Any, ...]:
        values = [self.length_of(token) for token in (before, now)]
        for place, (value, token) in enumerate(zip(values, (before, now), strict=True)):
            if value.numerator not in (1, 3, 7) or value.denominator & (value.denominator - 1) or value > 2:
                self.bag.error(
                    "S831", self.at(token), f"`{token.value}` is no single note", label="its sign cannot be printed",
                    cure="write note values on both sides, dotted or not: `tempo 1/4. = 1/4`",
                )  # fmt: skip
                values[place] = Fraction(1, 4)
        text = self.string(words).text if words is not None else ""
        span = self.at(before).to(self.at(words or now))
        return (values[1], None, text, span, "", None, False, values[0])

    def tempo_words(self, words: Token) -> tuple[Any, ...]:
        text = self.string(words)
        return (None, None, text.text, text.span)

    def tempo_bend(
        self, how: tuple[str, str], to: Token, beat: Token, rate: Token, fixed: Token | None, over: Token,
        length: tuple[t.Length, Span],
    ) -> tuple[Any, ...]:
        _, per_minute, _, span, *_ = self.tempo(beat, rate, None, None)
        keyword, words = how
        span = span.to(length[1])
        return (self.length_of(beat), per_minute, words, span, keyword, length[0], False, None, bool(fixed))

    def broadening(self) -> tuple[str, str]:
        return "broadening", ""

    def pressing_on(self) -> tuple[str, str]:
        return "pressing on", ""

    def own_bend(self, words: Token) -> tuple[str, str]:
        return "", self.string(words).text

    def tempo_back(self, inside: Token, words: Token | None) -> tuple[Any, ...]:
        text = self.string(words).text if words is not None else ""
        return (None, None, text, self.at(inside).to(self.at(words or inside)), "", None, True)

    def tempo_row(self, place: t.Place | None, tempo: tuple[Any, ...]) -> t.TempoRow:
        return t.TempoRow(place, *tempo)
