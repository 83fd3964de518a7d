"""Binding the names and steps inside one expression.

In: nodes of values. Out: bound values, with what they refer to; None for one in which something was reported.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from typing import TypeVar

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.instruments.instrument import Instrument
from cavata.music.chord_symbol import QUALITIES, ChordSymbol, parse_chord_symbol
from cavata.music.event import DYNAMICS, TECHNIQUES, Bars
from cavata.music.mode import MODES, Mode
from cavata.music.pitch import PitchClass
from cavata.names.arguments import match_clause, match_step, read_notes, well_formed, written_now
from cavata.names.forces import Players, report_no_part
from cavata.names.loader import brought_by
from cavata.names.modes import Mismatch, Reader, Reported, mode_declared, read_mode
from cavata.names.program import (
    Apply,
    ApplyOwn,
    Bound,
    BoundChain,
    BoundStep,
    CallOwn,
    Clause,
    Combine,
    DefinitionSort,
    Given,
    Identity,
    MelodyOfDigits,
    Parameter,
    Reference,
    RhythmOfLetters,
    SymbolChords,
    Taken,
    TuneFrom,
)
from cavata.names.scopes import Declared, Scope
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.trade_words import here
from cavata.syntax.words import CHANGED_WORDS, OLD_STEPS, one_of
from cavata.text import backticked, fraction_text, so_many
from cavata.transforms.dress import AT_EACH_NOTE
from cavata.transforms.signature import KIND_WORDS, ArgumentKind, Slot
from cavata.transforms.table import COMBINATIONS, LENGTHS, TRANSFORMS, Combination

# ------------------------------------------------------------------ words that stand elsewhere


DRESS = frozenset((*DYNAMICS, *AT_EACH_NOTE, *TECHNIQUES))
"""What `marked` takes without quotes."""
WITHOUT_ARROW = frozenset(["x", "for", "held", "until"])
"""What says how often or how long."""
_VALUES = (DefinitionSort.NAME, DefinitionSort.MOTIF, DefinitionSort.RHYTHM, DefinitionSort.FIGURE)
"""What a word in a value may be called by."""
_HELD = re.compile(r"held +(until +end|\d+ +bars?)\b")
"""A length that edition 1 did not have."""


def in_other_words(word: str, after: str) -> str:
    """The cure for a word that is no transform but names one in the trade; empty where none is known."""
    if word in DRESS:
        return f"markings stand after `marked`: `-> marked {word}`"
    return here(word, "", after)


# ------------------------------------------------------------------ letters, digits, chord symbols


ALPHABETS = (24, 26)
"""How many letters an alphabet may count: of 24, I and J are one letter, and U and V."""
LONGEST_OWNER = 40
"""Characters of a text that has no name of its own and stands for one."""

FindLetters = Callable[[t.Word], str | None]
"""The letters of the name that a word stands for; it reports a word that names none."""


def rhythm_of_letters(
    tree: t.LettersRhythm, owner: str, find: FindLetters, bag: Diagnostics
) -> RhythmOfLetters | None:
    """`morse` or `durations`, its letters known."""
    if tree.alphabet not in ALPHABETS:
        bag.error(
            "N506", tree.span, f"no alphabet here has {tree.alphabet} letters",
            cure="the alphabet has 26 letters; with 24 of them I and J are one, and U and V",
        )  # fmt: skip
        return None
    letters = tree.letters
    if isinstance(letters, t.Text):
        text, called = letters.text, owner or _short(letters.text)
    else:
        found = find(letters)
        if found is None:
            return None
        text, called = found, letters.text
    return RhythmOfLetters(tree, text, called)


def _short(text: str) -> str:
    return " ".join(text.split())[:LONGEST_OWNER]


def melody_of_digits(tree: t.DigitsLiteral, owner: str, reader: Reader, bag: Diagnostics) -> MelodyOfDigits | None:
    """`digits`, its mode found by the reader."""
    called = owner or _short(tree.digits.text)
    mode: Mode | Parameter
    parameter = reader.named()
    if parameter is not None:
        mode = parameter
    else:
        try:
            given = read_mode(reader)
        except Mismatch as mismatch:
            place = mismatch.span or tree.mode[-1].span
            bag.error(
                "N507", place, "`digits` needs a mode to count in",
                label=f"expected {mismatch.wanted}", cure=mismatch.cure,
            )  # fmt: skip
            return None
        except Reported:
            return None
        assert isinstance(given.value, Mode)
        mode = given.value
    return MelodyOfDigits(tree, called, mode)


def symbol_chords(tree: t.ChordsLiteral, bag: Diagnostics) -> SymbolChords | None:
    """`chords(...)`, its symbols read."""
    beats: list[tuple[ChordSymbol | None, Fraction, Span]] = []
    written = [beat for bar in tree.bars for beat in bar]
    for beat in written:
        symbol = None
        if beat.symbol:
            try:
                symbol = parse_chord_symbol(beat.symbol)
            except ValueError:
                _unknown(beat, bag)
                continue
        beats.append((symbol, beat.duration, beat.span))
    return SymbolChords(tuple(beats), tree) if len(beats) == len(written) else None


def _unknown(beat: t.SymbolBeat, bag: Diagnostics) -> None:
    root = beat.symbol[:2] if beat.symbol[1:2] in ("#", "b", "♯", "♭") else beat.symbol[:1]
    known = [root + quality for quality in QUALITIES]
    bag.error(
        "N505", beat.span, f"there is no chord `{beat.symbol}`",
        cure=did_you_mean(beat.symbol, known) or "chords are " + " ".join(known),
    )


# ------------------------------------------------------------------ expressions


LONGEST_CHAIN = 1000
"""Links in one expression."""
_Part = TypeVar("_Part")


def all_bound(found: Iterable[_Part | None]) -> tuple[_Part, ...] | None:
    """All parts of something that is bound; None where one is missing, which was reported."""
    parts = tuple(found)
    good = tuple(part for part in parts if part is not None)
    return good if len(good) == len(parts) else None


def by_place(parameters: Sequence[t.Word], bag: Diagnostics) -> dict[str, int]:
    """The place of each parameter among all, counted from 0; two that are called alike are reported."""
    places = {parameter.text: place for place, parameter in enumerate(parameters)}
    for place, parameter in enumerate(parameters):
        if any(before.text == parameter.text for before in parameters[:place]):
            bag.error(
                "N214", parameter.span, f"two parameters are called `{parameter.text}`",
                cure="give one of them another name",
            )  # fmt: skip
    return places


@dataclass
class Binder:
    """Binds expressions of one definition; collects what it depends on."""

    scope: Scope
    bag: Diagnostics
    parameters: Mapping[str, int] = field(default_factory=dict)
    players: Players = field(default_factory=dict)
    """The parts that each part or group of the forces stands for."""
    uses: dict[Identity, Span] = field(default_factory=dict)
    """What was referred to, and where first."""
    owner: str = ""
    """What is being defined, for notes that come from a text in it; empty in score lines."""

    def value(self, tree: t.Argument | t.Term) -> Bound | None:
        """Bind a value; None when something in it was reported."""
        match tree:
            case t.NotesLiteral() | t.ChordLiteral() | t.RhythmLiteral() | t.FigureLiteral():
                return tree
            case t.LettersRhythm():
                return rhythm_of_letters(tree, self.owner, self.letters_named, self.bag)
            case t.DigitsLiteral():
                return melody_of_digits(tree, self.owner, self.reader(tree.mode), self.bag)
            case t.ForeignTune():
                scores = self.scope.tunes.get(tree.file.text)
                return None if scores is None else TuneFrom(tree, scores)
            case t.ChordsLiteral():
                return symbol_chords(tree, self.bag)
            case t.Word():
                return self.reference(tree)
            case t.Call():
                return self.call(tree)
            case t.Chain():
                return self.chain(tree)
            case t.Atom() | t.NoteList() | t.Text():
                self.bag.error("N211", tree.span, f"`{tree.span.text}` is no motif", label="a value is wanted here")
                return None

    def chain(self, tree: t.Chain) -> Bound | None:
        """Bind a chain link by link; every link is looked at even if one fails."""
        if len(tree.links) > LONGEST_CHAIN:
            self.bag.error(
                "N212", tree.links[LONGEST_CHAIN].span, f"a value has {LONGEST_CHAIN} transforms and additions at most",
                label="too long",
                cure="give its parts names",
            )
            return None
        if self.turned_round(tree):
            return None
        first = self.value(tree.first)
        if first is not None and not tree.links:
            return first
        links: tuple[Bound | BoundStep | ApplyOwn, ...] | None = all_bound(map(self.link, tree.links))
        return None if first is None or links is None else BoundChain(first, links, tree.span)

    def turned_round(self, tree: t.Chain) -> bool:
        """Whether a transform stands where its value should, and the value behind the arrow; reported if so."""
        word = tree.first
        if not isinstance(word, t.Word) or word.text not in TRANSFORMS or self.scope.find(word.text) is not None:
            return False
        steps = [link.word.text for link in tree.links if isinstance(link, t.Step) and not link.arguments]
        value = next((step for step in steps if (own := self.scope.find(step)) and own.sort in _VALUES), None)
        if value is None:
            return False
        self.bag.error(
            "N204", word.span, f"nothing is called `{word.text}`", label="not defined",
            cure=f"`{word.text}` is a transform, and the value goes first: `{value} -> {word.text}`",
        )  # fmt: skip
        return True

    def link(self, link: t.Term | t.ChainStep) -> Bound | BoundStep | ApplyOwn | None:
        """Bind what follows a value in a chain."""
        if isinstance(link, t.ChainStep):
            return self.change(link)
        return self.value(link)

    def change(self, change: t.ChainStep) -> BoundStep | ApplyOwn | None:
        """Bind a step, or how often or how long."""
        match change:
            case t.Step():
                return self.step(change)
            case t.Times(count=count):
                return self.lasting("x", count, change.span)
            case t.ForLength(length=length):
                return self.lasting("for", length, change.span)
            case t.Held(length=length):
                return self.lasting("held", length, change.span)
            case t.LengthOf():
                return self.length_of(change)

    def lasting(self, word: str, length: int | Fraction | Bars | None, span: Span) -> BoundStep:
        """How often or how long a value sounds within an expression."""
        assert isinstance(length, int | Fraction), "bars are counted only at the end of an item"
        written = fraction_text(length) if isinstance(length, Fraction) else str(length)
        return Apply(LENGTHS[word], (Given(length, (span,)),), f"{word} {written}", span)

    def length_of(self, length: t.LengthOf) -> BoundStep | None:
        """A length that a parameter says."""
        transform = LENGTHS[length.word]
        (part,) = transform.parts
        assert isinstance(part, Slot)
        parameter = self.parameter(length.by)
        if parameter is None:
            example = "x 2" if length.word == "x" else f"{length.word} 3/4"
            self.bag.error(
                "N812", length.span, f"`{length.word}` does not know `{length.by.text}`",
                label=f"wanted: {KIND_WORDS[part.kind]}",
                cure=f"write `{example}`; a name here can only be a parameter",
            )  # fmt: skip
            return None
        text = f"{length.word} {length.by.text}"
        return Apply(transform, (Taken(parameter, part.kind.value, length.span),), text, length.span)

    def parameter(self, word: t.Word) -> Parameter | None:
        """The parameter that a word stands for, if it does."""
        index = self.parameters.get(word.text)
        return None if index is None else Parameter(index, word.text, word.span)

    def reference(self, word: t.Word) -> Bound | None:
        """A name that stands for a value."""
        parameter = self.parameter(word)
        if parameter is not None:
            return parameter
        declared = self.look_up(word, *_VALUES)
        return None if declared is None else Reference(declared.identity, word.span)

    def look_up(self, word: t.Word, *sorts: DefinitionSort) -> Declared | None:
        """What a name means, if it is of the right sort; else reported, unless its own fault was."""
        declared = self.scope.find(word.text)
        if declared is None:
            known = (*self.scope.names(*sorts), *self.parameters)
            self.bag.error(
                "N204", word.span, f"nothing is called `{word.text}`", label="not defined",
                cure=brought_by(word.text) or did_you_mean(word.text, known) or self.hint(word, sorts),
            )
            return None
        if declared.sort is None:
            return None
        self.uses.setdefault(declared.identity, word.span)
        if declared.sort not in sorts:
            self.bag.error(
                "N205", word.span, f"`{word.text}` is a {declared.sort.value}",
                label="wanted: " + one_of(f"a {s.value}" for s in sorts), cure=self.other_sort(declared, sorts),
                also=((declared.span, "defined here"),),
            )
            return None
        return declared

    def other_sort(self, declared: Declared, sorts: tuple[DefinitionSort, ...]) -> str:
        """How something of that sort is used, when something else was wanted."""
        name = declared.identity.name
        if declared.sort is DefinitionSort.TRANSFORM:
            return f"a transform stands after `->`, as `-> {name}`"
        if declared.sort is DefinitionSort.PASSAGE:
            return f"a passage stands in a section: `passage {name}(...)`"
        if declared.sort is DefinitionSort.MODE:
            return f"a mode stands after `in`, as `-> step up 1 in {name}`"
        if declared.sort is DefinitionSort.CIPHER:
            return f'a cipher reads names: `name anna = "ANNA" by {name}`'
        known = sorted(self.scope.names(*sorts))
        return "there are " + backticked(known[:6]) if known else ""

    def hint(self, unknown: t.Word, sorts: tuple[DefinitionSort, ...]) -> str:
        """What may have been meant by an unknown name."""
        word = unknown.text
        if word in TRANSFORMS or word in COMBINATIONS:
            return f"`{word}` is a transform; it stands after `->`" if word in TRANSFORMS else f"write `{word}(a, b)`"
        if word in DRESS and DefinitionSort.MOTIF in sorts:
            return f"it is marked at notes, as `hail -> marked {word}`"
        if word in self.players:
            return f"`{word}` is a part: it stands before the colon, or in `voiced across` with spaces between parts"
        if len(word) <= 3 and word[:1] in "HS":
            return "pitches run from A to G; the German H is `B`, its B is `Bb`, its S is `Eb`"
        if meant := here(word):
            return meant
        if DefinitionSort.CIPHER in sorts:
            return "the library's ciphers are brought in by `use french from ciphers`"
        if DefinitionSort.PASSAGE in sorts:
            return f"define it: `passage {word}(part, m)` with its lines under it"
        return f'define it: `motif {word} = ...` or `name {word} = "..." by ...`'

    def letters_named(self, word: t.Word) -> str | None:
        """The letters of the name that a word stands for; reported if it stands for anything else."""
        declared = self.look_up(word, DefinitionSort.NAME)
        if declared is None or not isinstance(declared.tree, t.Name):
            return None
        return declared.tree.spelled.text

    def mode_named(self, word: t.Word) -> Mode | None:
        """The mode of a script that a word stands for, if it does; raises Reported for one that was wrong."""
        declared = self.scope.find(word.text)
        mode = mode_declared(declared)
        if declared is not None and mode is None and declared.sort in (None, DefinitionSort.MODE):
            raise Reported
        if declared is not None and mode is not None:
            self.uses.setdefault(declared.identity, word.span)
        return mode

    def reader(self, atoms: tuple[t.Argument, ...]) -> Reader:
        """A reader of arguments that knows the names of this scope."""
        known = partial(self.scope.names, DefinitionSort.MODE)
        return Reader(atoms, self.value, self.parameter, self.parts_named, self.mode_named, known)

    # -------------------------------------------------------------- steps and calls

    def step(self, step: t.Step) -> BoundStep | ApplyOwn | None:
        """Bind a step: a script's own transform first, then the kernel's."""
        text = " ".join(" ".join((step.word.text, *(a.span.text for a in step.arguments))).split())
        own = self.scope.find(step.word.text) or self.scope.find(step.word.span.text)
        if own is not None and own.sort is DefinitionSort.TRANSFORM:
            self.uses.setdefault(own.identity, step.word.span)
            arguments = self.own_arguments(step.arguments, own, step.word, given=1)
            return None if arguments is None else ApplyOwn(own.identity, arguments, text, step.span)
        candidates = TRANSFORMS.get(step.word.text)
        if candidates is None:
            if own is not None and own.sort is None:
                return None
            self.unknown_step(step, own)
            return None
        matched = match_step(step, candidates, self.reader, self.bag)
        return None if matched is None else Apply(matched[0], matched[1], text, step.span)

    def parts_named(self, word: t.Word) -> tuple[tuple[str, Instrument], ...] | None:
        """The parts that a word of a step stands for; None if it names none, which was reported here or in its row."""
        found = self.players.get(word.text)
        if found is None:
            report_no_part(word, self.players, self.bag)
        return found or None

    def unknown_step(self, step: t.Step, own: Declared | None) -> None:
        """Report a word that is no transform."""
        word = step.word
        was_step = word.text in OLD_STEPS or any(old.split()[0] == word.text for old in CHANGED_WORDS)
        in_bars = _HELD.match(word.span.source.text, word.span.start)
        may_be_old = own is None and was_step and in_bars is None
        # Of `mirrored` alone the table of the trade's words shows what goes with it now.
        if may_be_old and (step.arguments or not here(word.text)) and (now := written_now(step)):
            self.bag.error(
                "N810", step.span, f"`{word.text}` is no transform any more", label="as edition 1 wrote it",
                cure=f"write {now}",
            )  # fmt: skip
            return
        if own is None and word.text in WITHOUT_ARROW:
            self.bag.error(
                "N811", step.span, f"`{word.text}` stands without an arrow", label="it is no transform",
                cure=f"write `{step.span.text if in_bars is None else in_bars[0]}`",
            )  # fmt: skip
            return
        known = (*TRANSFORMS, *self.scope.names(DefinitionSort.TRANSFORM))
        if own is not None and own.sort is not None:
            cure = f"`{word.text}` is a {own.sort.value}; `+ {word.text}` adds it"
        elif word.text in self.parameters:
            cure = f"`{word.text}` stands for a value; write the transform itself, or behind the passage that is placed"
        elif word.text in COMBINATIONS:
            cure = f"it is a combination: `{COMBINATIONS[word.text].pattern}`"
        else:
            meant = in_other_words(word.text, step.span.text[len(word.text) :])
            meant = meant or did_you_mean(word.text, known) or "`cavata why N206` lists the transforms"
            cure = brought_by(word.text, step=True) or meant
        self.bag.error("N206", word.span, f"there is no transform `{word.text}`", label="unknown after `->`", cure=cure)

    def own_arguments(
        self, atoms: tuple[t.Argument | t.Loose, ...], own: Declared, word: t.Word, given: int
    ) -> tuple[Given | Bound, ...] | None:
        """The arguments of a script's own transform, by position."""
        assert isinstance(own.tree, t.OwnTransform)
        atoms = self.with_modes(atoms)
        wanted = own.tree.parameters[given:]
        if len(atoms) != len(wanted):
            place = atoms[len(wanted)].span if len(atoms) > len(wanted) else word.span
            names = ", ".join(p.text for p in own.tree.parameters)
            self.bag.error(
                "N207", place, f"`{word.text}` takes {so_many(len(wanted), 'argument')} here, not {len(atoms)}",
                label="one too many" if len(atoms) > len(wanted) else "too few",
                cure=f"it is `{word.text}({names})`; the value on the left of `->` is the first",
                also=((own.span, "defined here"),),
            )
            return None
        return all_bound(map(self.own_argument, atoms))

    def with_modes(self, atoms: tuple[t.Argument | t.Loose, ...]) -> tuple[t.Argument | t.Loose, ...]:
        """The arguments with a tonic and the name of a mode after it taken as one."""
        joined: list[t.Argument | t.Loose] = []
        for atom in atoms:
            before = joined[-1] if joined else None
            tonic = isinstance(before, t.Atom) and isinstance(before.value, PitchClass)
            if tonic and isinstance(atom, t.Word) and (atom.text in MODES or self.is_mode(atom)):
                assert isinstance(before, t.Atom)
                joined[-1] = t.Loose((before, atom), before.span.to(atom.span))
            else:
                joined.append(atom)
        return tuple(joined)

    def is_mode(self, word: t.Word) -> bool:
        """Whether a word is the name of a script's own mode."""
        declared = self.scope.find(word.text)
        return declared is not None and declared.sort is DefinitionSort.MODE

    def own_argument(self, atom: t.Argument | t.Loose) -> Given | Bound | None:
        """One argument of a script's own transform: a constant, or a value."""
        if isinstance(atom, t.Chain) and not atom.links and isinstance(atom.first, t.Word):
            atom = atom.first
        match atom:
            case t.Atom(value, span):
                match value:
                    case t.Ratio(ratio):
                        return Given(ratio, (span,))
                    case t.PitchRange(low, high):
                        return Given((low, high), (span,))
                    case t.NoteRange():
                        return read_notes(self.reader((atom,)))
                    case _:
                        return Given(value, (span,))
            case t.NoteList():
                return self.note_list(atom)
            case t.Text(text, span):
                return Given(text, (span,))
            case t.Word(text, span) if text in DRESS and self.scope.find(text) is None:
                return Given(text, (span,))
            case t.Loose(atoms=(single,)):
                return self.own_argument(single)
            case t.Word() if self.is_mode(atom) and atom.text not in self.parameters:
                return self.mode_argument((atom,))
            case t.Loose(atoms=(t.Atom(value=PitchClass()), t.Word()) as pair):
                return self.mode_argument(pair)
            case t.Loose(span=span):
                self.bag.error("N211", span, f"`{span.text}` is no single value", cure="give each argument its comma")
                return None
            case _:
                return self.value(atom)

    def note_list(self, notes: t.NoteList) -> Given | None:
        """`(1 3 5..8)` as an argument of a script's own transform."""
        reader = self.reader(notes.notes)
        try:
            given = read_notes(reader)
            if reader.peek() is not None:
                raise reader.fail(KIND_WORDS[ArgumentKind.NOTES])
        except Mismatch as mismatch:
            self.bag.error(
                "N211", mismatch.span or notes.span, "these are no notes", label=f"expected {mismatch.wanted}",
                cure="write `(1 3 5..8)`, `(last)` or `(letter 2)`",
            )  # fmt: skip
            return None
        return given

    def mode_argument(self, words: tuple[t.Argument, ...]) -> Given | None:
        """A mode as an argument of a script's own transform."""
        try:
            return read_mode(self.reader(words))
        except Mismatch as mismatch:
            place = words[0].span.to(words[-1].span)
            self.bag.error(
                "N211", place, f"`{place.text}` is no mode",
                label=f"expected {mismatch.wanted}", cure=mismatch.cure,
            )  # fmt: skip
        except Reported:
            pass
        return None

    def call(self, call: t.Call) -> Bound | None:
        """Bind `word(a, b, ...)`."""
        word = call.word
        own = self.scope.find(word.text)
        if own is not None and own.sort is DefinitionSort.TRANSFORM:
            self.uses.setdefault(own.identity, word.span)
            arguments = self.own_arguments(call.arguments, own, word, given=0)
            return None if arguments is None else CallOwn(own.identity, arguments, call.span)
        combination = COMBINATIONS.get(word.text)
        if combination is None and f"{word.text}(" in CHANGED_WORDS:
            self.bag.error(
                "N810", word.span, f"`{word.text}` is no combination any more", label="as edition 1 wrote it",
                cure=f"write `{CHANGED_WORDS[f'{word.text}(']}...)`",
            )  # fmt: skip
            return None
        if combination is None:
            known = (*COMBINATIONS, *self.scope.names(DefinitionSort.TRANSFORM))
            every = backticked(c.pattern for c in COMBINATIONS.values())
            cure = here(word.text) or did_you_mean(word.text, known) or f"combinations are {every}"
            if word.text in TRANSFORMS:
                cure = f"it is a transform: `value -> {TRANSFORMS[word.text][0].pattern}`"
            elif own is not None and own.sort in _VALUES:
                cure = f"it is a {own.sort.value}: how often it sounds stands behind, as `{word.text} x 3`"
            self.bag.error("N208", word.span, f"there is no combination `{word.text}`", cure=cure)
            return None
        return self.combination(call, combination)

    def combination(self, call: t.Call, combination: Combination) -> Combine | None:
        """Bind a combination of the kernel: values, and among them words and clauses that it knows."""
        operands: list[Bound] = []
        clauses: list[Clause] = []
        taken: set[str] = set()
        options = combination.options
        complete = True
        for argument in call.arguments:
            word = argument.first if isinstance(argument, t.Chain) and not argument.links else None
            if isinstance(word, t.Word) and word.text in options and self.scope.find(word.text) is None:
                taken.add(word.text)
                continue
            if isinstance(argument, t.Loose):
                clause = match_clause(argument, combination, self.reader(argument.atoms), self.bag)
                complete = complete and clause is not None
                if clause is not None:
                    clauses.append(clause)
                continue
            bound = self.value(argument)
            complete = complete and bound is not None
            if bound is not None:
                operands.append(bound)
        if not complete or not well_formed(call, combination, operands, clauses, self.bag):
            return None
        return Combine(combination, tuple(operands), frozenset(taken), tuple(clauses), call.span)
