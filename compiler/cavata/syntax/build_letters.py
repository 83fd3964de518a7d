"""Making nodes of modes, and of values that come from letters, digits and chord symbols.

The parser calls one method for each rule that it has matched, the one of the rule's name, with what the rule's parts
became.
"""

from __future__ import annotations

from lark import Token

from cavata.music.pitch import parse_pitch_class
from cavata.syntax import tree as t
from cavata.syntax.build_values import ValueBuilder

WHOLE_ALPHABET = 26


class LettersBuilder(ValueBuilder):
    """Builds modes and what letters, digits and symbols give."""

    def own_mode(self, name: Token, *degrees: Token) -> t.OwnMode:
        word = self.name_word(name)
        return t.OwnMode(word, tuple(t.Atom(parse_pitch_class(d.value), self.at(d)) for d in degrees), "", word.span)

    def _letters(self, token: Token) -> t.Text | t.Word:
        return self.string(token) if token.type == "STRING" else self.name_word(token)

    def morse(self, head: Token, letters: Token, unit: Token) -> t.LettersRhythm:
        span = self.at(head).to(self.at(unit))
        return t.LettersRhythm("morse", self._letters(letters), self.length_of(unit), WHOLE_ALPHABET, span)

    def durations(self, head: Token, letters: Token, unit: Token, alphabet: Token | None) -> t.LettersRhythm:
        count = WHOLE_ALPHABET if alphabet is None else self.whole_number(alphabet)
        span = self.at(head).to(self.at(alphabet or unit))
        return t.LettersRhythm("durations", self._letters(letters), self.length_of(unit), count, span)

    def scale(self, *tokens: Token | None) -> tuple[t.Atom | t.Word, ...]:
        return tuple(
            t.Atom(parse_pitch_class(token.value), self.at(token)) if token.type == "PITCH_CLASS"
            else t.Word(token.value, self.at(token))
            for token in tokens if token is not None
        )  # fmt: skip

    def digits(self, head: Token, digits: Token, _: Token, mode: tuple[t.Atom | t.Word, ...]) -> t.DigitsLiteral:
        return t.DigitsLiteral(self.string(digits), mode, self.at(head).to(mode[-1].span))

    def chord_beat(self, symbol: Token, duration: Token) -> t.SymbolBeat:
        return t.SymbolBeat(symbol.value, self.length_of(duration), self.at(symbol))

    def silent_beat(self, duration: Token) -> t.SymbolBeat:
        return t.SymbolBeat("", self.length_of(duration), self.at(duration))

    def chords(self, *beats: t.SymbolBeat) -> t.ChordsLiteral:
        return t.ChordsLiteral(beats, beats[0].span.to(beats[-1].span))
