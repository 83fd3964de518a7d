"""Making nodes of statements: score lines, settings, rows and declarations.

The parser calls one method for each rule that it has matched, the one of the rule's name, with what the rule's parts
became; what stands in a block is put into its heading later, by `parse`.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from lark import Token

from cavata.music.pitch import PitchClass, parse_pitch_class
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.build_tempi import TempoBuilder
from cavata.syntax.build_values import LettersBuilder, ValueBuilder, fixed_row, text_row
from cavata.syntax.build_versions import VersionBuilder

# ------------------------------------------------------------------ passages, sections made from others, promises


class FormBuilder(ValueBuilder):
    """Builds the statements of form."""

    # -------------------------------------------------------------- passages

    def passage(self, token: Token, parameters: tuple[t.Word, ...] | None) -> t.Passage:
        word = self.called_word(token)
        return t.Passage(word, parameters or (), (), "", word.span)

    def part_ref(self, part: Token, staff: Token | None) -> t.PartRef:
        word = self.name_word(part)
        side = None if staff is None else t.Word(staff.value, self.at(staff))
        return t.PartRef(word, side, word.span.to(side.span) if side else word.span)

    staff_argument = part_ref

    placed_arguments = ValueBuilder.several

    def placement(
        self, token: Token, arguments: tuple[t.Expression | t.Loose | t.PartRef, ...] | None, place: t.Place | None,
        through: t.ParsedThrough | None,
    ) -> t.Placement:
        word = self.called_word(token)
        return t.Placement(word, arguments or (), place, word.span, through.steps if through else ())

    # -------------------------------------------------------------- rows of sections

    def through(self, *steps: t.Step) -> t.ParsedThrough:
        return t.Through((), steps, steps[0].span.to(steps[-1].span))

    def earlier(self, section: t.PartRef, first: Token | None, last: Token | None, *steps: t.ChainStep) -> t.Earlier:
        span = section.span
        if first is None or last is None:
            return t.Earlier(section, steps, span.to(steps[-1].span) if steps else span)
        bars = self.whole_number(first), self.whole_number(last)
        if not 1 <= bars[0] <= bars[1]:
            place = self.at(first).to(self.at(last))
            self.bag.error(
                "S881", place, f"no section has bars {bars[0]} to {bars[1]}", label="they count from 1",
                cure="write it as `bars 1 to 8`",
            )
        return t.Earlier(section, steps, span.to(steps[-1].span if steps else self.at(last)), bars)

    def tacet(self, parts: tuple[t.PartRef, ...]) -> t.Tacet:
        return t.Tacet(parts, parts[0].span.to(parts[-1].span))

    def repeated(self, times: Token | None) -> t.Repeated:
        if times is None:
            return t.Repeated(2, self.nowhere)
        count = self.whole_number(times)
        if not 2 <= count <= t.MOST_TIMES:
            self.bag.error(
                "S206", self.at(times), f"a section is played 2 to {t.MOST_TIMES} times", label="in all",
                cure="write `repeated 2 times`"
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

    def form_sign(self, *words: Token | None) -> t.FormSign:
        said = [word for word in words if word is not None]
        return t.FormSign(" ".join(map(str, said)), self.at(said[0]).to(self.at(said[-1])))

    # -------------------------------------------------------------- what a piece requires

    def require(self) -> t.Require:
        return t.Require((), self.nowhere)

    require_row = profile_row = ValueBuilder.same

    def heard_everywhere(self, names: tuple[t.PartRef, ...]) -> t.Heard[t.PartRef, t.PartRef]:
        return t.Heard(names, (), _over(names))

    def heard_in(self, names: tuple[t.PartRef, ...], movements: tuple[t.PartRef, ...]) -> t.Heard[t.PartRef, t.PartRef]:
        return t.Heard(names, movements, _over(names + movements))

    def never_before(self, names: tuple[t.PartRef, ...], place: t.PartRef) -> t.NeverBefore[t.PartRef, t.PartRef]:
        return t.NeverBefore(names, place, _over((*names, place)))

    def keeps_within(self, parts: tuple[t.PartRef, ...], low: Token, high: Token) -> t.KeepsWithin[t.PartRef]:
        return t.KeepsWithin(parts, self.pitch_of(low), self.pitch_of(high), parts[0].span.to(self.at(high)))

    def takes(
        self, what: Token, least: tuple[Fraction, Span], most: tuple[Fraction, Span] | None
    ) -> t.Takes[t.Word]:
        shortest, longest, span = self.lasting(least, most)
        word = t.Word(what.value, self.at(what))
        return t.Takes(word, shortest, longest, word.span.to(span))

    def lasting(
        self, least: tuple[Fraction, Span], most: tuple[Fraction, Span] | None
    ) -> tuple[Fraction, Fraction, Span]:
        """How long something lasts, in minutes from and to; reported if that cannot be."""
        upper = most or least
        span = least[1].to(upper[1])
        if not 0 < least[0] <= upper[0]:
            label = "the longer one stands first" if least[0] > upper[0] else "no time at all"
            cure = "write it as `3 min to 5 min`"
            self.bag.error("S210", span, f"`{span.text}` is no length of a piece", label=label, cure=cure)
        return least[0], upper[0], span

    def exact_forces(self, parts: tuple[t.PartRef, ...]) -> t.ExactForces[t.PartRef]:
        return t.ExactForces(parts, _over(parts))

    def fifths(self) -> str:
        return "fifths"

    def octaves(self) -> str:
        return "octaves"

    def no_parallels(
        self, interval: str, parts: tuple[t.PartRef, ...], places: tuple[t.PartRef, ...] | None
    ) -> t.NoParallels[t.PartRef, t.PartRef]:
        return t.NoParallels(interval, parts, places or (), _over(parts + (places or ())))

    def rests(self, parts: tuple[t.PartRef, ...], length: tuple[t.Length, Span], bars: Token) -> t.Rests[t.PartRef]:
        return t.Rests(parts, length[0], self.bar_count(bars), parts[0].span.to(self.at(bars)))

    def bar_count(self, token: Token) -> int:
        """How many bars a span has; reported if none."""
        count = self.whole_number(token)
        if count < 1:
            self.bag.error("S206", self.at(token), "a span of bars is at least one", cure="write `1 bar` or more")
        return max(1, count)

    def all_playable(self, by: Token) -> t.Playable[t.PartRef]:
        word = self.name_word(by)
        return t.Playable((), word, word.span)

    def playable(self, parts: tuple[t.PartRef, ...], by: Token) -> t.Playable[t.PartRef]:
        word = self.name_word(by)
        return t.Playable(parts, word, parts[0].span.to(word.span))

    # -------------------------------------------------------------- who plays

    def profile(self, name: Token, like: Token | None) -> t.Profile:
        word = self.name_word(name)
        return t.Profile(word, self.name_word(like) if like else None, (), "", word.span)

    def limit(self, *tokens: Token | None) -> t.Limit:
        said = [token for token in tokens if token is not None]
        at = next(index for index, token in enumerate(said) if token.type in ("INT", "DECIMAL"))
        words, unit = (" ".join(map(str, part)) for part in (said[:at], said[at + 1 :]))
        return t.Limit(words, self.number(said[at]), unit, self.at(said[0]).to(self.at(said[-1])))


def _over(refs: tuple[t.PartRef, ...]) -> Span:
    return refs[0].span.to(refs[-1].span)


def _definition(kind: str) -> Callable[[ValueBuilder, Token, t.Chain], t.Definition]:
    """The method of a builder for definitions of values of a kind."""

    def definition(builder: ValueBuilder, name: Token, value: t.Chain) -> t.Definition:
        word = builder.name_word(name)
        return t.Definition(kind, word, value, "", word.span)

    return definition


# ------------------------------------------------------------------ whole statements


class Builder(FormBuilder, LettersBuilder, TempoBuilder, VersionBuilder):
    """Builds whole statements."""

    # -------------------------------------------------------------- score lines

    def bars(self, token: Token) -> tuple[t.Length, Span]:
        return t.Bars(self.bar_count(token)), self.at(token)

    def notes_span(self, token: Token) -> tuple[t.Length, Span]:
        return self.length_of(token), self.at(token)

    def place(self, bar: Token, beat: Token | None, offset: Token | None) -> t.Place:
        span = self.at(bar).to(self.at(offset or beat or bar))
        number = self.whole_number(bar)
        count = 1 if beat is None else self.whole_number(beat)
        if number < 0 or count < 1:
            cure = "the bar's first beat is `beat 1`" if number >= 0 else "only a pickup lies before them: `bar 0`"
            self.bag.error("S206", span, "bars and beats count from 1", cure=cure)
        return t.Place(number, max(1, count), Fraction(0) if offset is None else self.length_of(offset), span)

    def after_place(self, after: Token, offset: Token) -> t.Place:
        return t.Place(0, 1, self.length_of(offset), self.at(after).to(self.at(offset)), False)

    def for_bars(self, token: Token) -> t.ForLength:
        return t.ForLength(*self.bars(token))

    def until_end(self, token: Token) -> t.UntilEnd:
        return t.UntilEnd(self.at(token))

    def held_bars(self, head: Token, token: Token) -> t.Held:
        length, span = self.bars(token)
        return t.Held(length, self.at(head).to(span))

    def held_until_end(self, head: Token, until: Token) -> t.Held:
        return t.Held(None, self.at(head).to(self.at(until)))

    def item(self, first: t.Term, *rest: Any) -> t.ParsedItem:
        """A length at its end belongs to the item and not to the expression, since it is the line that repeats."""
        *links, repeat, over = rest
        if repeat is None and links and isinstance(links[-1], t.Times | t.ForLength | t.Held):
            repeat = links.pop()
        value = self.expression(first, *links)
        end = self.at(over) if over is not None else repeat.span if repeat is not None else value.span
        return t.Item(value, repeat, over is not None, value.span.to(end))

    def rest_item(self, length: tuple[t.Length, Span]) -> t.RestItem:
        return t.RestItem(*length)

    def rest_to(self, token: Token) -> t.RestTo:
        return t.RestTo(self.whole_number(token), self.at(token))

    items = part_list = tones = choice = ValueBuilder.several

    def line(
        self,
        parts: tuple[t.PartRef, ...],
        place: t.Place | None,
        kind: Token | None,
        items: tuple[t.ParsedItem, ...],
    ) -> t.ParsedLine:
        return t.Line(parts, place, items, parts[0].span.to(parts[-1].span), kind == "replace", kind == "ossia")

    def marking(self, parts: tuple[t.PartRef, ...], first: Token, last: Token, step: t.Step) -> t.ParsedMarking:
        return t.Marking(
            parts, self.whole_number(first), self.whole_number(last), step, self.at(first).to(self.at(last))
        )

    def doubling_row(
        self, parts: tuple[t.PartRef, ...], model: t.PartRef, first: Token | None, last: Token | None, *steps: t.Step
    ) -> t.ParsedDoubling:
        bars = (0, 0) if first is None or last is None else (self.whole_number(first), self.whole_number(last))
        end = steps[-1].span if steps else model.span if last is None else self.at(last)
        return t.Doubling(parts, (model,), *bars, steps, parts[0].span.to(end))

    # -------------------------------------------------------------- settings

    def meter(self, signature: Token, *groups: Token | None) -> tuple[Any, ...]:
        upper, lower = signature.value.split("/") if "." not in signature.value else ("0", "0")
        numerator, denominator = (int(upper), int(lower)) if len(signature.value) < 9 else (0, 0)
        span = self.at(signature)
        counts = tuple(self.whole_number(g) for g in groups if g is not None)
        if denominator not in (1, 2, 4, 8, 16, 32, 64) or not 1 <= numerator <= 64:
            self.bag.error(
                "S207",
                span,
                f"there is no meter `{signature.value}`",
                label="the lower number is a note value: 1, 2, 4, 8, 16 ...",
                cure="write `3/4` or `6/8`; a meter without bar lines is `meter none`",
            )
            return (4, 4, (), span)
        if counts and (sum(counts) != numerator or min(counts) < 1):
            last = groups[-1]
            assert last is not None
            self.bag.error(
                "S208",
                span.to(self.at(last)),
                f"the beat groups add up to {sum(counts)}, not {numerator}",
                cure=f"let them sum to {numerator}",
            )
            return (numerator, denominator, (), span)
        return (numerator, denominator, counts, span)

    def no_meter(self) -> tuple[Any, ...]:
        return (0, 0, (), None)

    def meter_row(self, place: t.Place | None, meter: tuple[Any, ...]) -> t.MeterRow:
        numerator, denominator, groups, span, *sign = meter
        return t.MeterRow(place, numerator, denominator, groups, span or self.nowhere, *sign)

    def common_time(self) -> tuple[Any, ...]:
        return (4, 4, (), None, "common")

    def alla_breve(self) -> tuple[Any, ...]:
        return (2, 2, (), None, "cut")

    def mode(self, tonic: Token, name: Token) -> tuple[PitchClass, t.Word]:
        return parse_pitch_class(tonic.value), t.Word(name.value, self.at(tonic).to(self.at(name)))

    def no_mode(self) -> tuple[None, None]:
        return (None, None)

    def key_row(self, place: t.Place | None, mode: tuple[PitchClass | None, t.Word | None]) -> t.KeyRow:
        tonic, word = mode
        return t.KeyRow(place, tonic, word, word.span if word else self.nowhere)

    def setting(self, row: t.Setting) -> t.Setting:
        return row

    def pickup(self, token: Token) -> t.PickupRow:
        return t.PickupRow(self.length_of(token), self.at(token))

    def attacca(self, token: Token) -> t.Attacca:
        return t.Attacca(self.at(token))

    def section(
        self, name: Token, title: Token | None, bars: Token | None, made: t.Earlier | t.ParsedThrough | None
    ) -> t.ParsedSection:
        word = self.name_word(name)
        count = None if bars is None else max(1, self.whole_number(bars))
        heading = (made,) if isinstance(made, t.Through) else ()
        earlier = made if isinstance(made, t.Earlier) else None
        return t.Section(word, self.words_of(title), count, heading, word.span, earlier)

    # -------------------------------------------------------------- declarations and their rows

    movement_row = section_row = passage_row = piece_row = cipher_row = ValueBuilder.same
    remark = written = ValueBuilder.string
    alias = parent = ValueBuilder.name_word

    def words(self, *words: Token) -> tuple[t.Word, ...]:
        return tuple(self.name_word(w) for w in words)

    def language(self, token: Token) -> t.Language:
        return t.Language(self.whole_number(token), self.at(token))

    def piece(self, title: Token) -> t.Piece:
        text = self.string(title)
        return t.Piece(text, (), text.span)

    subtitle = text_row("subtitle")
    composer = text_row("composer")
    dedication = text_row("dedication")
    poet = text_row("poet")
    arranger = text_row("arranger")
    copyright = text_row("copyright")
    publisher = text_row("publisher")
    edition_number = text_row("number")
    performance_note = text_row("note")
    library = text_row("library")
    concert_score = fixed_row("concert score")
    title_page = fixed_row("title page")
    no_title_page = fixed_row("title page", "none")
    show_every_staff = fixed_row("show every staff")
    rehearsal_piano = fixed_row("rehearsal piano")
    letters_through = fixed_row("letters through movements")
    no_harp_pedals = fixed_row("harp pedals", "none")
    harp_settings = fixed_row("harp pedals", "settings")
    no_timpani_tuning = fixed_row("timpani tuning", "none")
    show_letters = fixed_row("show letters")

    def minutes(self, minutes: Token, seconds: Token | None) -> tuple[Fraction, Span]:
        extra = Fraction(self.whole_number(seconds), 60) if seconds is not None else Fraction(0)
        return self.whole_number(minutes) + extra, self.at(minutes).to(self.at(seconds or minutes))

    def seconds(self, seconds: Token) -> tuple[Fraction, Span]:
        return Fraction(self.whole_number(seconds), 60), self.at(seconds)

    def length(self, least: tuple[Fraction, Span], most: tuple[Fraction, Span] | None) -> t.PieceRow:
        shortest, longest, span = self.lasting(least, most)
        return t.PieceRow("length", "", (shortest, longest), span)

    def names_in(self, inside: Token, language: Token) -> t.PieceRow:
        return t.PieceRow("names", language.value, (), self.at(language))

    def paper(self, size: Token, landscape: Token | None) -> t.PieceRow:
        return t.PieceRow("paper", size.value + (" landscape" if landscape else ""), (), self.at(size))

    def show_colors(self, token: Token) -> t.PieceRow:
        return t.PieceRow("show colors", "", (), self.at(token))

    def use(self, names: tuple[t.Word, ...], origin: Token, alias: t.Word | None) -> t.Use:
        where = self.string(origin) if origin.type == "STRING" else t.Word(origin.value, self.at(origin))
        return t.Use(names, where, where.span, alias)

    def use_all(self, token: Token) -> t.Use:
        where = self.string(token)
        return t.Use((), where, where.span)

    def reading(self, letter: Token, tone: t.Tone) -> t.Reading:
        return t.Reading(self.whole_number(letter), tone, self.at(letter).to(tone.span))

    def name(
        self, name: Token, letters: Token, written: t.Text | None, cipher: Token, *readings: t.Reading
    ) -> t.Name:
        word = self.name_word(name)
        return t.Name(word, self.string(letters), written, self.name_word(cipher), readings, "", word.span)

    def tone(self, token: Token) -> t.Tone:
        span = self.at(token)
        if token.type == "PITCH":
            return t.Tone(self.pitch_of(token), span)
        if token.type == "PITCH_CLASS":
            return t.Tone(parse_pitch_class(token.value), span)
        return t.Tone(token.value, span)

    def rest_tone(self, token: Token) -> t.Tone:
        return t.Tone(None, self.at(token))

    def letter(self, token: Token) -> t.Text:
        return self.string(token) if token.type == "STRING" else t.Text(token.value, self.at(token))

    def letter_range(self, first: t.Text, last: t.Text, tones: tuple[t.Tone, ...]) -> t.LettersRow:
        span = first.span.to(last.span)
        if len(first.text) != 1 or len(last.text) != 1 or not 0 <= ord(last.text) - ord(first.text) <= 100:
            self.bag.error(
                "S211", span, "a range of letters runs from one letter up to a later one", cure="write it as `A..Z`"
            )
            return t.LettersRow((), tones, span)
        letters = tuple(chr(code) for code in range(ord(first.text), ord(last.text) + 1))
        return t.LettersRow(letters, tones, span)

    def letter_list(self, *parts: t.Text | tuple[t.Tone, ...]) -> t.LettersRow:
        letters = tuple(p for p in parts if isinstance(p, t.Text))
        tones = parts[-1]
        assert isinstance(tones, tuple)
        return t.LettersRow(tuple(p.text for p in letters), tones, letters[0].span.to(letters[-1].span))

    def letter_row(self, letters: t.Text, *choices: tuple[t.Tone, ...]) -> t.LetterRow:
        return t.LetterRow(letters.text, choices, letters.span)

    def others_silent(self) -> t.OthersSilent:
        return t.OthersSilent(self.nowhere)

    def cipher(self, name: Token, description: Token | None, parent: t.Word | None) -> t.Cipher:
        word = self.name_word(name)
        return t.Cipher(word, self.words_of(description), parent, (), "", word.span)

    rhythm, motif, figure = map(_definition, ("rhythm", "motif", "figure"))

    def own_transform(self, token: Token, parameters: tuple[t.Word, ...], value: t.Chain) -> t.OwnTransform:
        word = self.called_word(token)
        return t.OwnTransform(word, parameters, value, "", word.span)

    def forces(self, in_order: Token | None) -> t.Forces:
        return t.Forces((), self.nowhere, in_order is not None)

    def soloist(self) -> tuple[str, str, str]:
        return ("soloist", "", "")

    def called(self, label: Token, short: Token | None) -> tuple[str, str, str]:
        return ("called", self.string(label).text, self.words_of(short))

    def doubling(self, *parts: Token | None) -> t.Word:
        return self._instrument_words([p for p in parts if p is not None])

    def tuned(self, *strings: Token) -> t.Tuning:
        return t.Tuning(tuple(map(self.pitch_of, strings)), self.at(strings[0]).to(self.at(strings[-1])))

    def _instrument_words(self, tokens: list[Token]) -> t.Word:
        words = " ".join(("in " if p.type == "PITCH_CLASS" else "") + p.value for p in tokens)
        return t.Word(words, self.at(tokens[0]).to(self.at(tokens[-1])))

    def force(self, name: Token, *parts: Token | tuple[str, str, str] | t.Word | t.Tuning | None) -> t.Force:
        word = self.name_word(name)
        instrument = self._instrument_words([p for p in parts if isinstance(p, Token)])
        options = [p for p in parts if isinstance(p, tuple)]
        doublings = tuple(p for p in parts if isinstance(p, t.Word))
        labels = [(label, short) for kind, label, short in options if kind == "called"] or [("", "")]
        tuning = next((p for p in reversed(parts) if isinstance(p, t.Tuning)), None)
        soloist = any(kind == "soloist" for kind, _, _ in options)
        return t.Force(word, instrument, soloist, labels[-1][0], labels[-1][1], word.span, doublings, tuning)

    def group(self, name: Token, parts: tuple[t.Word, ...]) -> t.Group:
        word = self.name_word(name)
        return t.Group(word, parts, word.span)

    def shared_staff(
        self, name: Token, label: Token | None, short: Token | None, parts: tuple[t.Word, ...]
    ) -> t.SharedStaff[t.Word]:
        word = self.name_word(name)
        return t.SharedStaff(word, parts, self.words_of(label), self.words_of(short), word.span)

    def divided_staves(
        self, name: Token, label: Token | None, short: Token | None, parts: tuple[t.Word, ...]
    ) -> t.SharedStaff[t.Word]:
        return replace(self.shared_staff(name, label, short, parts), apart=True)

    def movement(self, name: Token, title: Token | None, through: t.ParsedThrough | None) -> t.ParsedMovement:
        word = self.name_word(name)
        called = self.words_of(title)
        return t.Movement(word, called, False, (), (), "", word.span, through)

    def cadenza(self, name: Token, title: Token | None, through: t.ParsedThrough | None) -> t.ParsedMovement:
        return replace(self.movement(name, title, through), is_cadenza=True)
