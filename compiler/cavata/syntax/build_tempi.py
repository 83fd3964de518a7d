"""Making nodes of the rows of tempo."""

from __future__ import annotations

from fractions import Fraction

from lark import Token

from cavata.music.lengths import is_plain
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.build_values import ValueBuilder


class TempoBuilder(ValueBuilder):
    """Builds tempi and their changes."""

    def tempo(self, beat: Token, rate: Token, fixed: Token | None, words: Token | None) -> t.TempoRow:
        per_minute = Fraction(rate.value) if len(rate.value) < 9 else Fraction(0)
        if not 1 <= per_minute <= 1000:
            self.bag.error(
                "S209", self.at(rate), f"there is no tempo of {rate.value}", label="beats in a minute",
                cure="write a number from 1 to 1000",
            )
            per_minute = Fraction(60)
        span = self.at(beat).to(self.at(words or fixed or rate))
        return t.TempoRow(None, self.length_of(beat), per_minute, self.words_of(words), span, fixed=fixed is not None)

    def tempo_equation(self, before: Token, now: Token, words: Token | None) -> t.TempoRow:
        values = [self.length_of(token) for token in (before, now)]
        for place, (value, token) in enumerate(zip(values, (before, now), strict=True)):
            if value.numerator not in (1, 3, 7) or not is_plain(value) or value > 2:
                self.bag.error(
                    "S831", self.at(token), f"`{token.value}` is no single note", label="its sign cannot be printed",
                    cure="write note values on both sides, dotted or not: `tempo 1/4. = 1/4`",
                )  # fmt: skip
                values[place] = Fraction(1, 4)
        span = self.at(before).to(self.at(words or now))
        return t.TempoRow(None, values[1], None, self.words_of(words), span, equals=values[0])

    def tempo_words(self, words: Token) -> t.TempoRow:
        return t.TempoRow(None, None, None, self.words_of(words), self.at(words))

    def tempo_bend(
        self, how: tuple[str, str], to: Token, beat: Token, rate: Token, fixed: Token | None, over: Token,
        length: tuple[t.Length, Span],
    ) -> t.TempoRow:
        goal = self.tempo(beat, rate, fixed, None)
        keyword, words = how
        return replace(goal, words=words, span=goal.span.to(length[1]), bend=keyword, over=length[0])

    def broadening(self) -> tuple[str, str]:
        return "broadening", ""

    def pressing_on(self) -> tuple[str, str]:
        return "pressing on", ""

    def own_bend(self, words: Token) -> tuple[str, str]:
        return "", self.string(words).text

    def tempo_back(self, inside: Token, words: Token | None) -> t.TempoRow:
        span = self.at(inside).to(self.at(words or inside))
        return t.TempoRow(None, None, None, self.words_of(words), span, back=True)

    def tempo_row(self, place: t.Place | None, tempo: t.TempoRow) -> t.TempoRow:
        return replace(tempo, place=place)
