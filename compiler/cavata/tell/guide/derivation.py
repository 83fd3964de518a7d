"""How a theme came from names: its value after every step.

In: the definition of a motif, and the plan. Out: steps with their values, as the evaluator computes them. A step that
only dresses notes, as with a dynamic, leaves what sounds as it was.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.plan import Music, Plan
from cavata.instruments.instrument import Instrument
from cavata.music.event import Motif, Rhythm, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.names import program as p
from cavata.record import record
from cavata.score.forms import forms_of
from cavata.syntax import tree as t
from cavata.tell.language import (
    CASES,
    Case,
    LanguageWords,
    each_in_words,
    instrument_in_words,
    interval_in_words,
    length_in_words,
    mode_in_words,
    note_name,
    ratio_in_words,
    rhythm_in_words,
    selection_in_words,
    text_key,
)
from cavata.text import capital, readable
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection, chosen, heads_meant
from cavata.transforms.signature import (
    ArgumentKind,
    Choice,
    Fixed,
    Option,
    OptionalChoice,
    OptionalSlot,
    PatternPart,
    Slot,
)
from cavata.transforms.voicing import ChordParts


@record
class Derived:
    """One step: what was done, and what there is then."""

    done: p.Bound | p.BoundStep | p.ApplyOwn
    """A step; or a value, which the line begins as or which is added to it."""
    begins: bool
    value: Motif | Texture
    changed: bool
    """It sounds otherwise than before the step."""
    inflected_by: frozenset[int] = frozenset()
    """Of `sharp` and `flat`, by how many semitones the notes were raised, or lowered if negative."""


class Deriving:
    """Computes the steps of themes; one for all of a piece, so that its bounds hold for them together."""

    def __init__(self, program: p.Program, plan: Plan) -> None:
        self._evaluator = Evaluator(Diagnostics())
        self._evaluator.values = dict(plan.values)
        self._evaluator.transforms = {
            d.identity: d for d in program.definitions if isinstance(d, p.TransformDefinition)
        }  # fmt: skip

    def steps(self, definition: p.ValueDefinition) -> tuple[Derived, ...]:
        """The steps of a motif's definition, from its beginning; fewer where one cannot be had."""
        return self.steps_of(definition.value)

    def steps_of(self, bound: p.Bound) -> tuple[Derived, ...]:
        """The steps of an expression in which nothing is a parameter."""
        return tuple(self._steps(bound))

    def value_of(self, bound: p.Bound) -> Motif | Texture | None:
        """What such an expression gives, if that can be had and has notes."""
        value = self._music(p.BoundChain(bound, (), bound.span))
        return value if isinstance(value, Motif | Texture) else None

    def _steps(self, bound: p.Bound) -> Iterator[Derived]:
        chain = bound if isinstance(bound, p.BoundChain) else p.BoundChain(bound, (), bound.span)
        before: tuple[object, ...] | None = None
        earlier: Motif | Texture | None = None
        for count in range(len(chain.links) + 1):
            value = self._music(p.BoundChain(chain.first, chain.links[:count], chain.span))
            if not isinstance(value, Motif | Texture):
                return
            sounds = _sounding(value)
            done = chain.links[count - 1] if count else chain.first
            by = _inflected_by(done, earlier) if isinstance(done, p.Apply) and earlier is not None else frozenset()
            yield Derived(done, count == 0, value, sounds != before, by)
            before, earlier = sounds, value

    def _music(self, chain: p.BoundChain) -> Music | None:
        try:
            return self._evaluator.music(chain)
        except Unknown:
            return None


def _sounding(value: Motif | Texture) -> tuple[object, ...]:
    """What is heard: pitches and lengths, without dress and memory."""
    events = (event for line in value.lines for event in line.events)
    return tuple((event.duration, tuple(head.pitch for head in event.heads)) for event in events)


_SIGNS = {"sharp": 1, "flat": -1}


def _inflected_by(step: p.BoundStep, before: Motif | Texture) -> frozenset[int]:
    """By how many semitones a step that sets a sign changes the notes that it speaks of."""
    sign = _SIGNS.get(step.transform.word)
    notes = step.arguments[0].value if sign is not None and isinstance(step.arguments[0], p.Given) else None
    if sign is None or not isinstance(notes, Selection):
        return frozenset()
    return frozenset(
        sign - head.pitch.alter
        for line in lines_of_value(before)
        for index in chosen(line, notes)
        for head in heads_meant(line, index, notes)
    )


def lines_of_value(value: Motif | Texture | Rhythm) -> tuple[Motif, ...]:
    """The lines of a value that has pitches."""
    return () if isinstance(value, Rhythm) else value.lines


# ----------------------------------------------------------------
# What each step of a derivation does, in one plain sentence.
#
# In: steps and combinations of the bound program, and how names are called. Out: sentences of a language. Every step of
# the kernel has its sentence in `words/`; a device that a script defines is told by its name, and its own remark.


@record
class Phrases:
    """The sentences of a language about one piece."""

    language: LanguageWords
    names: Mapping[p.Identity, str]
    """How each name of the piece is called: as its owner writes it."""
    figures: frozenset[p.Identity] = frozenset()
    """The definitions that are figures."""

    def step(self, step: p.BoundStep, inflected_by: frozenset[int] = frozenset()) -> str:
        """A step of the kernel; one that sets a sign as what it does to the notes, if that is the same for all."""
        parts = [part for part in step.transform.parts if not isinstance(part, Fixed)]
        given: dict[str, str | int] = {}
        for name, argument, part in zip(blanks(step.transform.parts), step.arguments, parts, strict=True):
            given[name] = self._argument(argument, part, "accusative")
            given |= {f"{name}-{case}": self._argument(argument, part, case) for case in CASES}
        if inflected_by in _TOLD_INFLECTIONS:
            return self.language.text("inflecting", by=min(inflected_by), **given)
        return self.language.text(text_key("step", step.transform.pattern), **given)

    def combination(self, combine: p.Combine) -> str:
        """A combination of the kernel."""
        listed = self.language.listed([self.thing(operand) for operand in combine.operands])
        return self.language.text(text_key("combination", combine.combination.word), listed=listed,
                                  capital=capital(listed))  # fmt: skip

    def thing(self, bound: p.Bound, case: Case = "nominative") -> str:
        """A value as a thing that has a name, or what kind of thing it is."""
        match bound:
            case p.Reference(to=identity) if identity in self.names:
                return self._said("name", case, name=self.names[identity])
            case p.Reference(to=identity) if identity in self.figures:
                return self._said("figure", case, name=readable(identity.name))
            case p.Reference(to=identity):
                return self._said("theme", case, name=readable(identity.name))
            case p.BoundChain():
                return self._changed(bound, case)
            case t.NotesLiteral() | p.TuneFrom():
                return self._said("notes", case)
            case t.ChordLiteral():
                return self._said("chord", case)
            case p.MelodyOfDigits(text=text):
                return self._said("digits", case, text=text)
            case p.SymbolChords():
                return self._said("symbols", case)
            case p.RhythmOfLetters(text=text):
                return self._said("letters", case, text=text)
            case _:
                return self._said("line", case)

    def _changed(self, chain: p.BoundChain, case: Case) -> str:
        """A line that goes through steps within an expression."""
        forms = forms_of([link.text for link in chain.links if isinstance(link, p.Apply)])
        what = self.thing(chain.first, case)
        if not forms:
            return what
        return self._said("form", case, what=what, how=", ".join(map(self.language.form, forms)))

    def _said(self, key: str, case: Case, **values: object) -> str:
        return self.language.text(f"thing-{key}", case=case, **values)

    def _argument(self, argument: p.BoundArgument, part: PatternPart, case: Case) -> str | int:
        kind = part.kind if isinstance(part, Slot | OptionalSlot) else None
        if isinstance(argument, p.Taken):
            return self._taken(argument.value, kind, case)
        return self._given(argument.value, kind, case)

    def _taken(self, value: p.Bound, kind: ArgumentKind | None, case: Case) -> str:
        match value:
            case p.Reference(to=identity) if identity in self.figures:
                return self.thing(value, case)
            case p.Reference(to=identity):
                key = "rhythm" if kind is ArgumentKind.RHYTHM and identity not in self.names else "motif"
                return self._said(key, case, name=self.names.get(identity, readable(identity.name)))
            case t.RhythmLiteral(beats=beats):
                if len({*beats}) == 1 and not beats[0][1]:
                    return self._said("even", case, values=each_in_words(beats[0][0], self.language))
                return self._said("rhythm-values", case, values=rhythm_in_words(beats, self.language))
            case p.Parameter(name=name):
                return readable(name)
            case _:
                return self.thing(value, case)

    def _given(self, value: object, kind: ArgumentKind | None, case: Case) -> str | int:
        match value:
            case bool():
                return self.language.text("choice-cycle") if value else ""
            case int():
                return value
            case Interval():
                return interval_in_words(value, self.language)
            case Pitch():
                return note_name(value.pitch_class, self.language)
            case PitchClass():
                return note_name(value, self.language)
            case (Pitch() as low, Pitch() as high):
                return self._said("range", case, low=low, high=high)
            case Mode():
                return mode_in_words(value, self.language)
            case Selection():
                return selection_in_words(value, self.language, case)
            case None:
                return self.language.text("selection-every", case=case)
            case Markings():
                signs = (readable(word) for word in (*value.articulations, *value.techniques))
                words = (self.language.text("quoted", text=word) for word in value.words)
                return ", ".join((*filter(None, [value.dynamic]), *signs, *words))
            case Fraction() if kind is ArgumentKind.RATIO:
                return ratio_in_words(value, self.language)
            case Fraction():
                return length_in_words(value, self.language)
            case Instrument():
                return instrument_in_words(value, self.language)
            case ChordParts():
                return self.language.listed([readable(name) for name in value.names])
            case str() if kind is None:
                return self.language.known(text_key("choice", value)) or value
            case str() if kind is ArgumentKind.TEXT:
                return self.language.text("quoted", text=value)
            case _:
                return str(value)


_TOLD_INFLECTIONS = tuple(frozenset([by]) for by in (1, -1, 2, -2))


def blanks(parts: Sequence[PatternPart]) -> tuple[str, ...]:
    """What the arguments of a pattern are called in its sentence: `notes`, `dynamic`, and the second `dynamic2`."""
    found: list[str] = []
    for part in parts:
        match part:
            case Fixed():
                continue
            case Slot(kind) | OptionalSlot(kind):
                name = kind.value.lower()
            case Option(word):
                name = word
            case Choice() | OptionalChoice():
                name = "choice"
        again = sum(known.rstrip("0123456789") == name for known in found)
        found.append(f"{name}{again + 1}" if again else name)
    return tuple(found)


def owner_name(written: str) -> str:
    """A name as its owner writes it, and not all in capitals."""
    return written.title() if written.isupper() else written
