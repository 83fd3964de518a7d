"""Making nodes of values: words, constants and expressions.

The parser calls one method for each rule that it has matched. Values that cannot exist (`P3`, `E#99`, `1/0`) are
reported at their place, and the statement then counts as broken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any, TypeVar

from lark import Token

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.music.event import VOICES, Stroke
from cavata.music.lengths import LARGEST_ODD, LONGEST, QUARTER
from cavata.music.pitch import MIDDLE_C, Interval, Pitch, parse_interval, parse_pitch, parse_pitch_class
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.words import BRITISH, RESERVED, meant_by_reserved
from cavata.text import backticked

SHORTEST_POWER = 1024
"""The largest power of two in a denominator: nothing is written shorter than such a note."""
LARGEST = 1_000_000_000
MOST_FIGURES = 24

MOST_VOICES = 32
"""The highest number by which a figure names a voice."""


def report_reserved(word: Span, bag: Diagnostics) -> None:
    """Say of a word that something is called by that nothing can be."""
    line = word.source.line_text(word.line)
    bag.error(
        "S205", word, f"`{word.text}` is a word of the language", label="cannot be a name",
        cure=meant_by_reserved(word.text, line, line[: word.column - 1]) or "choose another name",
    )  # fmt: skip


class ValueBuilder:
    """Builds values for one source at a time; `read` says which."""

    def __init__(self) -> None:
        self.source = Source("", "")
        self.bag = Diagnostics()

    def read(self, source: Source, bag: Diagnostics) -> None:
        """Build for this source from now on, and report there."""
        self.source, self.bag = source, bag

    # -------------------------------------------------------------- places and words

    def at(self, token: Token) -> Span:
        assert token.start_pos is not None and token.end_pos is not None
        return Span(self.source, token.start_pos, token.end_pos)

    @property
    def nowhere(self) -> Span:
        """The place of a row that holds no value, until it takes the whole row."""
        return Span(self.source, self.source.at, self.source.at)

    def same(self, node: Any) -> Any:
        """What a rule is that has one part, which says it all."""
        return node

    def several(self, *nodes: Any) -> tuple[Any, ...]:
        """What a rule is that is a list."""
        return nodes

    plus = grouped = same
    arguments = more_notes = several

    def name_word(self, token: Token) -> t.Word:
        """A word that a declaration gives or asks for."""
        span = self.at(token)
        if token.value in RESERVED:
            report_reserved(span, self.bag)
        return t.Word(token.value, span)

    def called_word(self, token: Token) -> t.Word:
        """The word before a bracket that the lexer took together with it."""
        opening = self.at(token)
        return t.Word(token.value[:-1], Span(self.source, opening.start, opening.end - 1))

    def string(self, token: Token) -> t.Text:
        span = self.at(token)
        body = token.value[1:-1]
        return t.Text(_unescape(body, span, self.bag) if "\\" in body else body, span)

    text = string

    def words_of(self, token: Token | None) -> str:
        """What stands in quotes; empty where nothing does."""
        return "" if token is None else self.string(token).text

    def whole_number(self, token: Token) -> int:
        return int(self.number(token))

    def number(self, token: Token) -> Fraction:
        """A number with a point or without; reported and replaced by 1 if it is too large or too long to be read."""
        if len(token.value) > MOST_FIGURES or abs(Fraction(token.value)) > LARGEST:
            self.bag.error(
                "S203", self.at(token), "the number is too large", label=f"more than {LARGEST}",
                cure="write a smaller number"
            )
            return Fraction(1)
        return Fraction(token.value)

    def length_of(self, token: Token) -> Fraction:
        """A duration with its dots; reported and replaced by a quarter if it cannot be."""
        bare = token.value.rstrip(".")
        dots = len(token.value) - len(bare)
        upper, lower = bare.split("/")
        if len(upper) > 7 or len(lower) > 7 or not _writable(int(lower)):
            self.bag.error(
                "S202",
                self.at(token),
                f"`{token.value}` is no duration",
                label="this denominator cannot be written as notes",
                cure="lower numbers are made of 2, 3, 5, 7, 11 and 13, as `1/4`, `1/12` or `1/20`",
            )
            return Fraction(1, 4)
        value = Fraction(int(upper), int(lower)) * (2 - Fraction(1, 2**dots))
        if not 0 < value <= LONGEST:
            self.bag.error(
                "S202",
                self.at(token),
                f"`{token.value}` is no duration",
                label="lasts no time" if value == 0 else f"longer than {LONGEST} whole notes",
                cure="a duration is a fraction of a whole note, as `1/4` or `3/8`",
            )
            return Fraction(1, 4)
        return value

    def pitch_of(self, token: Token) -> Pitch:
        try:
            return parse_pitch(token.value)
        except ValueError:
            self.bag.error(
                "S204", self.at(token), f"there is no pitch `{token.value}`", label="octaves run from 0 to 9",
                cure="middle C is `C4`",
            )
            return MIDDLE_C

    # -------------------------------------------------------------- atoms

    def integer(self, token: Token) -> t.Atom:
        return t.Atom(self.whole_number(token), self.at(token))

    def ratio(self, token: Token) -> t.Atom:
        upper, lower = token.value.split(":")
        if len(token.value) > 12 or int(upper) == 0 or int(lower) == 0:
            self.bag.error(
                "S203", self.at(token), f"`{token.value}` is no ratio", cure="a ratio has two numbers above 0, as `3:2`"
            )
            return t.Atom(t.Ratio(Fraction(1)), self.at(token))
        return t.Atom(t.Ratio(Fraction(int(upper), int(lower))), self.at(token))

    def duration(self, token: Token) -> t.Atom:
        return t.Atom(self.length_of(token), self.at(token))

    def pitch(self, token: Token) -> t.Atom:
        return t.Atom(self.pitch_of(token), self.at(token))

    def pitch_class(self, token: Token) -> t.Atom:
        return t.Atom(parse_pitch_class(token.value), self.at(token))

    def range(self, low: Token, high: Token) -> t.Atom:
        return t.Atom(t.PitchRange(self.pitch_of(low), self.pitch_of(high)), self.at(low).to(self.at(high)))

    def interval(self, token: Token) -> t.Atom:
        try:
            value = parse_interval(token.value)
        except ValueError:
            self.bag.error(
                "S201",
                self.at(token),
                f"there is no interval `{token.value}`",
                label="no such quality of this size",
                cure="unisons, fourths, fifths and octaves are P, dim or aug; the others m, M, dim or aug",
            )
            value = Interval(0, 0)
        return t.Atom(value, self.at(token))

    def word(self, token: Token) -> t.Word:
        return t.Word(token.value, self.at(token))

    # -------------------------------------------------------------- expressions

    reference = name_word

    def expression(self, first: t.Term, *links: t.Term | t.ChainStep) -> t.Chain:
        return t.Chain(first, links, first.span.to(links[-1].span) if links else first.span)

    def _by_parameter(self, word: str, token: Token) -> t.LengthOf:
        span = self.at(token)
        return t.LengthOf(word, t.Word(token.value, span), span)

    def times(self, token: Token) -> t.Times | t.LengthOf:
        if token.type == "NAME":
            return self._by_parameter("x", token)
        count = self.whole_number(token)
        if count < 1:
            self.bag.error("S206", self.at(token), "a repeat counts from 1", cure="write `x 2` or more")
        return t.Times(max(1, count), self.at(token))

    def for_duration(self, token: Token) -> t.ForLength | t.LengthOf:
        if token.type == "NAME":
            return self._by_parameter("for", token)
        return t.ForLength(self.length_of(token), self.at(token))

    def held_duration(self, head: Token, token: Token) -> t.Held | t.LengthOf:
        if token.type == "NAME":
            return self._by_parameter("held", token)
        return t.Held(self.length_of(token), self.at(head).to(self.at(token)))

    def note_range(self, first: Token, last: Token) -> t.Atom:
        end = None if last.type == "LAST" else self.whole_number(last)
        return t.Atom(t.NoteRange(self.whole_number(first), end), self.at(first).to(self.at(last)))

    def note_list(self, *notes: t.Atom | t.Text | t.Word) -> t.NoteList:
        return t.NoteList(notes, notes[0].span.to(notes[-1].span))

    def step_word(self, token: Token) -> t.Word:
        return t.Word(BRITISH.get(token.value, token.value), self.at(token))

    def step(self, word: t.Word, *arguments: t.Argument) -> t.Step:
        return t.Step(word, arguments, word.span.to(arguments[-1].span) if arguments else word.span)

    def loose(self, *atoms: t.Argument) -> t.Loose:
        return t.Loose(atoms, atoms[0].span.to(atoms[-1].span))

    def call(self, token: Token, arguments: tuple[t.Expression | t.Loose, ...] | None = None) -> t.Call:
        opening, word = self.at(token), self.called_word(token)
        return t.Call(word, arguments or (), opening.to(arguments[-1].span) if arguments else opening)

    def beat(self, token: Token) -> tuple[Fraction, bool, Span]:
        return self.length_of(token), False, self.at(token)

    def rest_beat(self, token: Token, rest: Token) -> tuple[Fraction, bool, Span]:
        return self.length_of(token), True, self.at(token).to(self.at(rest))

    def rhythm_literal(self, *beats: tuple[Fraction, bool, Span]) -> t.RhythmLiteral:
        return t.RhythmLiteral(tuple((d, rest) for d, rest, _ in beats), beats[0][2].to(beats[-1][2]))

    # -------------------------------------------------------------- scores of other programs

    def foreign_tune(
        self, head: Token, file: Token, part: Token | None, voice: Token | None, first: Token | None,
        last: Token | None,
    ) -> t.ForeignTune:
        bars = None if first is None or last is None else self.at(first).to(self.at(last))
        named = None if part is None else self.string(part) if part.type == "STRING" else self.integer(part)
        return t.ForeignTune(
            self.string(file), named, None if voice is None else self.integer(voice),
            0 if first is None else self.whole_number(first), 0 if last is None else self.whole_number(last), bars,
            self.at(head).to(self.at(last or voice or part or file)),
        )  # fmt: skip

    # -------------------------------------------------------------- figures

    def voice_word(self, token: Token) -> tuple[tuple[str | int, ...], Span]:
        span = self.at(token)
        if token.value not in VOICES:
            self.bag.error(
                "S870", span, f"no voice of a chord is called `{token.value}`",
                label="voices are " + backticked(VOICES) + " and numbers from the bass",
                cure=did_you_mean(token.value, VOICES) or "the bass is `1`, the highest voice `top`",
            )
            return ("bass",), span
        return (token.value,), span

    def voice_number(self, token: Token) -> tuple[tuple[str | int, ...], Span]:
        number = self.whole_number(token)
        if not 1 <= number <= MOST_VOICES:
            self.bag.error(
                "S870", self.at(token), f"no voice of a chord is called `{token.value}`",
                label=f"voices are counted from 1, the bass, to {MOST_VOICES}", cure="the highest voice is `top`",
            )
            number = 1
        return (number,), self.at(token)

    def voice_range(self, first: Token, last: Token) -> tuple[tuple[str | int, ...], Span]:
        (low,), span = self.voice_number(first)
        (high,), end = self.voice_number(last)
        assert isinstance(low, int) and isinstance(high, int)
        return tuple(range(min(low, high), max(low, high) + 1)), span.to(end)

    def stroke(self, token: Token, *voices: tuple[tuple[str | int, ...], Span]) -> tuple[Stroke, Span]:
        named: list[str | int] = []
        for words, span in voices:
            if len(voices) > 1 and (not words or any(word in named for word in words)):
                self.bag.error(
                    "S871", span, f"`{span.text}` cannot stand beside other voices" if not words else
                    f"`{span.text}` stands twice in one stroke", label="what has one duration sounds together",
                    cure=f"after a comma and a duration the next stroke begins, as `{token.value} bass, "
                    f"{token.value} upper`",
                )  # fmt: skip
            named += words
        return Stroke(self.length_of(token), tuple(named)), self.at(token).to(voices[-1][1])

    def figure_line(self, *strokes: tuple[Stroke, Span]) -> tuple[tuple[Stroke, ...], Span]:
        span = strokes[0][1].to(strokes[-1][1])
        if not any(stroke.voices for stroke, _ in strokes):
            self.bag.error("S872", span, "nothing sounds in this line of the figure", label="rests only",
                           cure="name a voice, as `1/4 bass`, or take the line out")  # fmt: skip
        return tuple(stroke for stroke, _ in strokes), span

    def figure_literal(self, *lines: tuple[tuple[Stroke, ...], Span]) -> t.FigureLiteral:
        return t.FigureLiteral(tuple(strokes for strokes, _ in lines), lines[0][1].to(lines[-1][1]))

    figure_value = expression

    # -------------------------------------------------------------- chords and notes

    def chord(self, duration: Token | None, *pitches: Token) -> t.ChordLiteral:
        lasts = QUARTER if duration is None else self.length_of(duration)
        span = self.at(duration or pitches[0]).to(self.at(pitches[-1]))
        return t.ChordLiteral(tuple(self.pitch_of(p) for p in pitches), lasts, span)

    def sound(self, token: Token) -> tuple[tuple[Pitch, ...], Span]:
        return (self.pitch_of(token),), self.at(token)

    def rest_sound(self, token: Token) -> tuple[tuple[()], Span]:
        return (), self.at(token)

    voice_rest = rest_sound

    def chord_sound(self, *pitches: Token) -> tuple[tuple[Pitch, ...], Span]:
        return tuple(self.pitch_of(p) for p in pitches), self.at(pitches[0]).to(self.at(pitches[-1]))

    def note_group(self, token: Token, *sounds: tuple[tuple[Pitch, ...], Span]) -> tuple[t.Sound, ...]:
        duration = self.length_of(token)
        return tuple(t.Sound(pitches, duration, span) for pitches, span in sounds)

    def notes(self, *parts: tuple[Any, ...] | Token) -> t.NotesLiteral:
        bars = _bars(parts, t.Sound)
        return t.NotesLiteral(bars, bars[0][0].span.to(bars[-1][-1].span))


def text_row(word: str) -> Callable[[ValueBuilder, Token], t.PieceRow]:
    """The method of a builder for a row of `piece` that is this word and a text."""

    def row(builder: ValueBuilder, token: Token) -> t.PieceRow:
        return t.PieceRow(word, builder.string(token).text, (), builder.at(token))

    return row


def fixed_row(word: str, text: str = "") -> Callable[[ValueBuilder], t.PieceRow]:
    """The method of a builder for a row of `piece` in which nothing is chosen."""

    def row(builder: ValueBuilder) -> t.PieceRow:
        return t.PieceRow(word, text, (), builder.nowhere)

    return row


_EntryT = TypeVar("_EntryT", t.Sound, t.SymbolBeat)


def _bars(parts: Iterable[tuple[Any, ...] | Token], entry: type[_EntryT]) -> tuple[tuple[_EntryT, ...], ...]:
    """Groups of entries in the bars that the signs `|` between them part.

    A group goes on behind a bar line with the duration before it.
    """
    bars: list[tuple[_EntryT, ...]] = [()]
    for part in parts:
        if isinstance(part, Token):
            bars.append(())
        elif isinstance(part[0], entry):
            bars[-1] += part
        else:
            duration = bars[-2][-1].duration
            bars[-1] += tuple(entry(sounding, duration, span) for sounding, span in part)
    return tuple(bars)


def _unescape(body: str, span: Span, bag: Diagnostics) -> str:
    """Read `\\"` and `\\\\`; any other backslash is reported."""
    out, position = [], 0
    while position < len(body):
        char = body[position]
        if char == "\\":
            position += 1
            char = body[position]
            if char not in '"\\':
                place = Span(span.source, span.start + position, span.start + position + 2)
                bag.error(
                    "S212", place, f"`\\{char}` means nothing in a string",
                    cure='only `\\"` and `\\\\` are written with `\\`'
                )
        out.append(char)
        position += 1
    return "".join(out)


def _writable(denominator: int) -> bool:
    """Whether notes of this fraction can be written: small primes, and not too many of them."""
    if denominator == 0:
        return False
    power = denominator & -denominator
    odd = rest = denominator // power
    for prime in (3, 5, 7, 11, 13):
        while rest % prime == 0:
            rest //= prime
    return rest == 1 and power <= SHORTEST_POWER and odd <= LARGEST_ODD


# ------------------------------------------------------------------ letters, digits, chord symbols, modes


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

    def symbol(self, symbol: Token) -> tuple[str, Span]:
        return symbol.value, self.at(symbol)

    def silent_symbol(self, rest: Token) -> tuple[str, Span]:
        return "", self.at(rest)

    def chord_group(self, token: Token, *symbols: tuple[str, Span]) -> tuple[t.SymbolBeat, ...]:
        duration = self.length_of(token)
        return tuple(t.SymbolBeat(symbol, duration, span) for symbol, span in symbols)

    more_chords = ValueBuilder.several

    def chords(self, *parts: tuple[Any, ...] | Token) -> t.ChordsLiteral:
        bars = _bars(parts, t.SymbolBeat)
        return t.ChordsLiteral(bars, bars[0][0].span.to(bars[-1][-1].span))
