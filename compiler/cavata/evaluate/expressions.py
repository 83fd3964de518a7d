"""Computing one expression, step by step from left to right.

In: bound expressions. Out: their values, every note of which remembers the steps that it went through. A refusal of the
arithmetic becomes a message at the step that asked; the value is then given up, and with it, silently, all that depends
on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import TypeVar, assert_never

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.combining import Misplaced, combined
from cavata.evaluate.fitting import fit, of_rhythm, to_rhythm
from cavata.evaluate.letters import melody_of_digits, rhythm_of_letters, sign_place, symbol_chords
from cavata.evaluate.plan import ArgumentValue, Music, Value, sort_of
from cavata.evaluate.respelled import tell_respellings
from cavata.evaluate.written_bars import report_uneven_join, report_uneven_turns, upbeat_of
from cavata.music.event import (
    Beat,
    Event,
    Figure,
    Head,
    Motif,
    Origin,
    Rhythm,
    Texture,
)
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch
from cavata.music.said import dressed_at, moved_at
from cavata.names import program as p
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.figures import scaled
from cavata.transforms.pitches import joined_heads, respellings
from cavata.transforms.selection import bounded
from cavata.transforms.signature import KIND_WORDS, ArgumentKind

# ------------------------------------------------------------------ notes, chords and rhythms as they are written




def notes_value(tree: t.NotesLiteral) -> Motif:
    """`notes(...)`; Misplaced, at the bar that differs, when its bars are not equally long."""
    upbeat, length = upbeat_of(tree.bars)
    return Motif(tuple(Event(s.duration, _heads(s.pitches, s.span)) for bar in tree.bars for s in bar), upbeat, length)


def rhythm_value(tree: t.RhythmLiteral) -> Rhythm:
    """`(1/4 1/8 rest)`."""
    return Rhythm(tuple(Beat(duration, is_rest) for duration, is_rest in tree.beats))


def _heads(pitches: tuple[Pitch, ...], span: Span) -> tuple[Head, ...]:
    return joined_heads([Head(pitch, (Origin(None, span),)) for pitch in pitches])


# ------------------------------------------------------------------ what notes remember


AnyMusic = TypeVar("AnyMusic", Motif, Texture, Rhythm, Motif | Texture | Rhythm)



def remembering(value: AnyMusic, *steps: str) -> AnyMusic:
    """The same value, every note of which remembers further steps."""
    if not steps:
        return value
    match value:
        case Motif(events):
            return value.having(_stepped(events, steps))
        case Texture(lines):
            return value.with_lines(tuple(line.having(_stepped(line.events, steps)) for line in lines))
        case _:
            return value


def _stepped(events: tuple[Event, ...], steps: tuple[str, ...]) -> tuple[Event, ...]:
    """Events with the steps added; an event that comes several times stays one object."""
    known: dict[int, Event] = {}
    out = []
    for event in events:
        if not event.heads:
            out.append(event)
            continue
        found = known.get(id(event))
        if found is None:
            heads = tuple(Head(h.pitch, tuple(o.through(*steps) for o in h.origins)) for h in event.heads)
            found = Event(event.duration, heads, event.marks)
            if event.marks.graces:
                found = found.with_graces(lambda h: Head(h.pitch, tuple(o.through(*steps) for o in h.origins)))
            known[id(event)] = found
        out.append(found)
    return tuple(out)


# ------------------------------------------------------------------ where signs were said


def said_at(before: Music, after: Music, step: p.BoundStep) -> Music:
    """What a step made, each sign of which knows where it was said."""
    match before, after:
        case Motif(old), Motif(new):
            return after.having(_said(old, new, step))
        case Texture(old_lines), Texture(new_lines) if len(old_lines) == len(new_lines):
            pairs = zip(old_lines, new_lines, strict=True)
            return after.with_lines(tuple(new.having(_said(old.events, new.events, step)) for old, new in pairs))
        case _, Texture(lines):
            return after.with_lines(tuple(line.having(moved_at(line.events, step.span)) for line in lines))
        case _, Motif(events):
            return after.having(moved_at(events, step.span))
        case _:
            return after


def signs_moved(value: Motif | Texture, span: Span) -> Motif | Texture:
    """What a combination made, each sign of which knows where it was said: signs that it gave were said there."""
    if isinstance(value, Motif):
        return value.having(moved_at(value.events, span))
    return value.with_lines(tuple(line.having(moved_at(line.events, span)) for line in value.lines))


def _said(before: tuple[Event, ...], after: tuple[Event, ...], step: p.BoundStep) -> tuple[Event, ...]:
    if step.transform.family == "dress" and len(before) == len(after):
        return dressed_at(before, after, step.span)
    return moved_at(after, step.span, step.transform.gathers)


# ------------------------------------------------------------------ expressions


MOST_WORK = 5_000_000
"""Events that all values of a script may make together."""
STEP_COST = 60
"""What a step counts beside the events it makes, so that short values cannot be computed without end either."""
DEEPEST_CALLS = 60
"""Transforms of a script inside each other."""
SCALES = ("diminution", "augmentation")
"""Transforms that a figure goes through."""
MOVES_TIME = ("order", "time", "length")
"""Families of steps that move events in time."""
MOST_ASKED = 2
"""How many places inside transforms a message shows beside the line that asked for them."""


class Unknown(Exception):
    """A value that cannot be had; why was reported."""


class Evaluator:
    """Computes expressions over the values of definitions."""

    def __init__(self, bag: Diagnostics) -> None:
        self.bag = bag
        self.values: dict[p.Identity, Value] = {}
        self.transforms: dict[p.Identity, p.TransformDefinition] = {}
        self.work = 0
        self.given_up = False
        self.has_meter = False
        """What is computed stands in a score line, where bars are known in the end."""
        self.calls: list[Span] = []
        """Where the transforms of scripts that are under way were asked for, the outermost first."""
        self.placed: Span | None = None
        """Where the passage was placed whose row is being computed."""
        self.asked: dict[p.Identity, Value | p.TransformDefinition | None] = {}
        """The definitions that were asked for, with what they were."""

    def known(self, identity: p.Identity) -> Value | None:
        """The value of a definition, if it has one."""
        value = self.asked[identity] = self.values.get(identity)
        return value

    def still(self, asked: Mapping[p.Identity, object], work: int) -> bool:
        """Whether definitions are what they were, and there is room for so much work."""
        return self.work + work <= MOST_WORK and all(
            found is (self.values.get(identity) or self.transforms.get(identity)) for identity, found in asked.items()
        )

    def fail(self, code: str, span: Span, message: str, label: str = "", cure: str = "") -> Unknown:
        """Report, and give what to raise."""
        self.bag.error(code, span, message, label=label, cure=cure, also=tuple(self.on_the_way()))
        return Unknown()

    def on_the_way(self) -> Iterator[tuple[Span, str]]:
        """What led to the value that is being computed: of a long way the nearest places and the outermost one."""
        inward = self.calls if len(self.calls) <= MOST_ASKED else [self.calls[0], *self.calls[-MOST_ASKED:]]
        yield from ((span, "asked for here") for span in reversed(inward))
        if self.placed is not None:
            yield self.placed, "placed here"

    def misplaced(self, wrong: Misplaced) -> Unknown:
        """Report what cannot be used at its place, and give what to raise."""
        return self.fail(wrong.code, wrong.span, wrong.message, wrong.label, wrong.cure)

    # -------------------------------------------------------------- values

    def music(self, bound: p.Bound, parameters: tuple[ArgumentValue, ...] = ()) -> Music:
        """The value of an expression, which must be music."""
        return self.as_music(self.value(bound, parameters), bound.span)

    def value(self, bound: p.Bound, parameters: tuple[ArgumentValue, ...]) -> ArgumentValue:
        """The value of an expression or parameter."""
        match bound:
            case p.Reference(to=identity):
                known = self.known(identity)
                if known is None:
                    raise Unknown
                return known
            case p.Parameter(index=index):
                return parameters[index]
            case t.NotesLiteral():
                try:
                    return notes_value(bound)
                except Misplaced as wrong:
                    raise self.misplaced(wrong) from None
            case t.ChordLiteral(pitches=pitches, duration=duration, span=span):
                return Motif((Event(duration, _heads(pitches, span)),))
            case t.RhythmLiteral():
                return rhythm_value(bound)
            case t.FigureLiteral(lines=lines):
                return Figure(lines)
            case p.RhythmOfLetters() | p.MelodyOfDigits() | p.SymbolChords():
                return self.lettered(bound, parameters)
            case p.TuneFrom():
                return self.tune(bound)
            case p.Combine():
                return self.combine(bound, parameters)
            case p.CallOwn():
                arguments = tuple(self.argument(a, parameters) for a in bound.arguments)
                return remembering(self.call(bound.to, arguments, bound.span), bound.span.text)
            case p.BoundChain():
                return self.chain(bound, parameters)
            case _:
                assert_never(bound)

    def tune(self, bound: p.TuneFrom) -> Motif:
        """A line of another program's score."""
        from cavata.evaluate.foreign_tune import tune_value

        try:
            return tune_value(bound)
        except Misplaced as wrong:
            raise self.misplaced(wrong) from None
        except Refusal as refusal:
            raise self.refused(refusal, bound.span, (), "this tune", "from") from None

    def lettered(
        self, bound: p.RhythmOfLetters | p.MelodyOfDigits | p.SymbolChords, parameters: tuple[ArgumentValue, ...]
    ) -> Music:
        """What letters, digits or chord symbols give."""
        place = bound.span
        try:
            match bound:
                case p.RhythmOfLetters():
                    place = bound.tree.letters.span
                    return rhythm_of_letters(bound)
                case p.MelodyOfDigits(mode=mode):
                    place = bound.tree.digits.span
                    found = mode if isinstance(mode, Mode) else parameters[mode.index]
                    if isinstance(found, Mode):
                        return melody_of_digits(bound, found)
                    assert isinstance(mode, p.Parameter)
                    message = f"`{mode.span.text}` is {sort_of(found)}"
                    raise self.fail("V201", mode.span, message, "`digits` wants a mode")
                case p.SymbolChords():
                    upbeat, length = upbeat_of(bound.tree.bars)
                    with respellings() as noted:
                        chords = Motif(symbol_chords(bound).events, upbeat, length)
                    tell_respellings(noted, chords, place, self.bag)
                    return chords
        except Misplaced as wrong:
            raise self.misplaced(wrong) from None
        except Refusal as refusal:
            place = place if isinstance(bound, p.SymbolChords) else sign_place(place, bound.text, refusal)
            raise self.fail(refusal.code, place, refusal.message, refusal.label, refusal.cure) from None

    def chain(self, chain: p.BoundChain, parameters: tuple[ArgumentValue, ...]) -> ArgumentValue:
        """A first value, then each link on what came before it.

        Notes remember steps of the kernel all at once where their run ends, since every note is made anew for it.
        """
        value = self.value(chain.first, parameters)
        subject = named(chain.first)
        steps: list[str] = []
        for link in chain.links:
            if chain.spares_rhythms and isinstance(value, Rhythm) and _needs_notes(link):
                continue
            if not isinstance(link, p.Apply) or any(isinstance(a, p.Taken) for a in link.arguments):
                # Other notes join here, which did not go through the steps so far.
                value, steps = self.remembered(value, steps), []
            match link:
                case p.Apply() if isinstance(value, Figure):
                    value = self.scaled(value, link, parameters)
                case p.Apply():
                    value = self.apply(self.as_music(value, chain.first.span), link, parameters, subject)
                    steps.append(link.text)
                case p.ApplyOwn():
                    arguments = (value, *(self.argument(a, parameters) for a in link.arguments))
                    value = remembering(self.call(link.to, arguments, link.span), link.text)
                case _:
                    value = self.add(self.as_music(value, chain.first.span), self.music(link, parameters), link.span)
                    subject = "this line"
            self.spend(value, link.span)
        return self.remembered(value, steps)

    def remembered(self, value: ArgumentValue, steps: list[str]) -> ArgumentValue:
        """The value, its notes remembering these steps."""
        return remembering(value, *steps) if isinstance(value, Motif | Texture) else value

    def as_music(self, value: ArgumentValue, span: Span) -> Music:
        """The value if it is music; else it is reported at that place."""
        if isinstance(value, Motif | Texture | Rhythm):
            return value
        raise self.fail("V201", span, f"`{span.text}` is {sort_of(value)}, not a motif", "no music")

    def spend(self, value: ArgumentValue, span: Span) -> None:
        """Count the events made; a script that makes too many is stopped."""
        self.work += STEP_COST
        match value:
            case Motif(events):
                self.work += len(events)
            case Texture(lines):
                self.work += sum(len(line.events) for line in lines)
            case _:
                self.work += 1
        if self.given_up:
            raise Unknown
        if self.work > MOST_WORK:
            self.given_up = True
            raise self.fail(
                "V302", span, f"this script computes more than {MOST_WORK} notes", "the compiler stops here",
                "let score lines repeat with `x`, `for` and `until end` instead",
            )

    def add(self, value: Music, more: Music, span: Span) -> Music:
        """One value after another; textures of as many lines are joined line by line."""
        try:
            match value, more:
                case Motif(first), Motif(second):
                    bounded(len(first) + len(second))
                    report_uneven_join(value, more, span, self.bag, self.on_the_way())
                    return value.having(first + second)
                case Rhythm(first_beats), Rhythm(second_beats):
                    bounded(len(first_beats) + len(second_beats))
                    return Rhythm(first_beats + second_beats)
                case Texture(upper, turns=0), Texture(lower, (), turns=0) if len(upper) == len(lower):
                    report_uneven_join(upper[0], lower[0], span, self.bag, self.on_the_way())
                    lines = zip(upper, lower, strict=True)
                    return value.with_lines(tuple(a.having(a.events + b.events) for a, b in lines))
                case _:
                    pass
        except Refusal as refusal:
            raise self.refused(refusal, span, (), "this line", "+") from None
        raise self.fail(
            "V216", span, f"{sort_of(more)} cannot follow {sort_of(value)}", "",
            "motifs follow motifs, rhythms rhythms, and textures those with as many lines",
        )

    # -------------------------------------------------------------- steps

    def scaled(self, value: Figure, step: p.BoundStep, parameters: tuple[ArgumentValue, ...]) -> Figure:
        """A figure goes through the transforms that make it faster or slower, and no others."""
        if step.transform.word not in SCALES:
            raise self.fail(
                "V872", step.span, f"`{step.transform.word}` can do nothing with a figure", "this is a figure",
                "a figure goes through `diminution` and `augmentation`; give it to chords by `in`",
            )  # fmt: skip
        (ratio,) = self.given(step, parameters).arguments
        assert isinstance(ratio, Fraction)
        try:
            return scaled(value, ratio, step.transform.word == "augmentation")
        except Refusal as refusal:
            raise self.refused(refusal, step.span, step.arguments, "this figure", step.transform.word) from None

    def apply(self, value: Music, step: p.BoundStep, parameters: tuple[ArgumentValue, ...], subject: str) -> Music:
        """A step of the kernel; on a texture it works line by line."""
        arguments = self.given(step, parameters).arguments
        try:
            with respellings() as noted:
                result = self.applied(value, step, arguments)
        except Refusal as refusal:
            raise self.refused(refusal, step.span, step.arguments, subject, step.transform.word) from None
        if step.transform.family == "length":
            report_uneven_turns(value, result, step.span, self.bag, self.on_the_way())
        tell_respellings(noted, result, step.span, self.bag)
        return said_at(value, result, step)

    def applied(self, value: Music, step: p.BoundStep, arguments: tuple[object, ...]) -> Music:
        """What a step of the kernel makes of a value; it may refuse."""
        function = step.transform.apply
        match value:
            case Motif():
                return in_its_bars(value, _line_or_lines(function(value, *arguments)), step, arguments)
            case Texture(lines):
                if value.is_open and step.transform.family in MOVES_TIME:
                    raise Refusal(
                        "V402", f"`{step.transform.word}` cannot change a texture that waits for bars",
                        "its bars are not counted yet",
                        "give its delay as a duration, or change the lines before they are combined",
                    )
                if step.transform.on_texture is not None:
                    return step.transform.on_texture(value, *arguments)
                made = (
                    step.transform.on_lines(lines, *arguments) if step.transform.on_lines is not None else
                    tuple(_motif(function(line, *arguments)) for line in lines)
                )  # fmt: skip
                return in_its_bars(value, value.with_lines(made), step, arguments)
            case Rhythm():
                if not step.transform.on_rhythm:
                    raise self.fail(
                        "V215", step.span, f"`{step.transform.word}` needs notes", "this is a rhythm",
                        f"mark the bars of its part, as `drum bars 1 to 2: {step.text}`"
                        if step.transform.family == "dress" else "give the rhythm to a motif with `in`",
                    )
                return to_rhythm(remembering(_motif(function(of_rhythm(value), *arguments)), step.text))
            case _:
                assert_never(value)

    def refused(
        self, refusal: Refusal, span: Span, arguments: tuple[p.BoundArgument, ...], subject: str, word: str
    ) -> Unknown:
        """Report a refusal at the argument it speaks of."""
        place = span
        if refusal.at is not None and refusal.at[0] < len(arguments):
            argument = arguments[refusal.at[0]]
            if isinstance(argument, p.Given):
                place = argument.spans[refusal.at[1]] if refusal.at[1] < len(argument.spans) else span
            else:
                place = argument.span
        why = refusal.told(subject, word)
        return self.fail(why.code, place, why.message, why.label, why.cure)

    def given(self, step: p.BoundStep, parameters: tuple[ArgumentValue, ...]) -> p.Apply[object]:
        """A step of the kernel with the values of its arguments."""
        return step.given(tuple(self.taken(a, parameters, step.transform.word) for a in step.arguments))

    def taken(self, argument: p.BoundArgument, parameters: tuple[ArgumentValue, ...], word: str) -> object:
        """An argument's value, of the kind that the pattern asks for."""
        if isinstance(argument, p.Given):
            return argument.value
        value = self.value(argument.value, parameters)
        kind = ArgumentKind(argument.wanted)
        fitting = fit(kind, value)
        if fitting is None:
            raise self.fail(
                "V201", argument.span, f"`{argument.span.text}` is {sort_of(value)}",
                f"`{word}` wants {KIND_WORDS[kind]}", "",
            )
        return fitting

    def argument(self, argument: p.Given | p.Bound, parameters: tuple[ArgumentValue, ...]) -> ArgumentValue:
        """An argument of a script's own transform, of any kind."""
        if isinstance(argument, p.Given):
            return argument.value
        return self.value(argument, parameters)

    def call(self, identity: p.Identity, arguments: tuple[ArgumentValue, ...], span: Span) -> Music:
        """A script's own transform, its body computed with these arguments."""
        definition = self.asked[identity] = self.transforms.get(identity)
        if definition is None:
            raise Unknown
        if len(self.calls) >= DEEPEST_CALLS:
            raise self.fail(
                "V303", span, f"transforms are nested more than {DEEPEST_CALLS} deep", "",
                "give the values in between names of their own",
            )
        self.calls.append(span)
        try:
            value = self.music(definition.body, arguments)
        finally:
            self.calls.pop()
        self.spend(value, span)
        return value

    def combine(self, combine: p.Combine, parameters: tuple[ArgumentValue, ...]) -> Music:
        """A combination of the kernel."""
        word = combine.combination.word
        values = tuple(self.value(operand, parameters) for operand in combine.operands)
        clauses = tuple(
            tuple(self.taken(argument, parameters, word) for argument in clause.arguments)
            for clause in combine.clauses
        )
        try:
            with respellings() as noted:
                value = combined(combine, values, clauses, self.has_meter)
        except Misplaced as wrong:
            raise self.misplaced(wrong) from None
        except Refusal as refusal:
            raise self.refused(refusal, combine.span, (), named(combine.operands[0]), word) from None
        tell_respellings(noted, value, combine.span, self.bag)
        self.spend(value, combine.span)
        return remembering(signs_moved(value, combine.span), word)


def in_its_bars(
    before: Motif | Texture, after: Motif | Texture, step: p.BoundStep, arguments: tuple[object, ...]
) -> Motif | Texture:
    """What a step made of lines: with their upbeat, unless the step moves events in time; a figure moves no chord."""
    if not before.upbeat:
        return after
    leader = before.lines[0]
    stays = step.transform.keeps_places or any(isinstance(argument, Figure) for argument in arguments)
    family = "" if stays else step.transform.family
    keeps = family == "length" or (family not in MOVES_TIME and after.duration == before.duration)
    upbeat, bar = (leader.upbeat, leader.bar) if keeps else (Fraction(0), Fraction(0))
    if isinstance(after, Motif):
        return Motif(after.events, upbeat, bar)
    return after.with_lines(tuple(Motif(line.events, upbeat, bar) for line in after.lines))


def _needs_notes(link: p.Bound | p.BoundStep | p.ApplyOwn) -> bool:
    """Whether a step may be one that a rhythm cannot take: one of pitch, or a script's own."""
    return not isinstance(link, p.Apply) or not link.transform.on_rhythm


def _motif(result: object) -> Motif:
    if isinstance(result, Texture):
        raise Refusal("V401", "{subject} is a texture already", "`{word}` makes one of a single line", "")
    assert isinstance(result, Motif)
    return result


def _line_or_lines(result: object) -> Motif | Texture:
    assert isinstance(result, Motif | Texture)
    return result


def named(bound: p.Bound) -> str:
    """How a message speaks of a value: by its name if it has one."""
    if isinstance(bound, p.Reference | p.Parameter):
        return f"`{bound.span.text}`"
    return "this line"
