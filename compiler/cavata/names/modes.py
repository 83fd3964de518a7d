"""Modes: those of a script checked, and a mode among a step's arguments read.

In: a `mode` declaration, or a reader at such an argument: the name of a script's mode, or a tonic and a name. Out: the
mode. What is no mode was reported, or is a `Mismatch` of the reader.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from cavata.diagnostics import Diagnostics, Refusal, did_you_mean
from cavata.instruments.instrument import Instrument
from cavata.music.mode import DEGREES, MODES, Mode
from cavata.music.pitch import PitchClass
from cavata.names.program import Bound, Given, Parameter
from cavata.names.scopes import Declared
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.trade_words import here
from cavata.text import backticked
from cavata.transforms.signature import KIND_WORDS, ArgumentKind

# ----------------------------------------------------------------
# Reading the atoms after a word from left to right.
#
# In: atoms of the syntax tree. Out: whoever reads takes one after another; what does not fit is a `Mismatch` that knows
# how far the reading came.


Bind = Callable[[t.Argument], Bound | None]
"""Binds an argument that is a value; it reports what it cannot bind."""
FindParameter = Callable[[t.Word], Parameter | None]
"""The parameter that a word stands for, if it does."""
FindPlayers = Callable[[t.Word], tuple[tuple[str, Instrument], ...] | None]
"""The parts that a word names, with their instruments; it reports a word that names none."""


FindMode = Callable[[t.Word], Mode | None]
"""The mode of a script that a word names, if it does; raises Reported for one that was wrong."""


class Mismatch(Exception):
    """The atoms do not fit this pattern: how far they did, where not, and what was wanted there."""

    def __init__(self, at: int, wanted: str, span: Span | None, cure: str = "") -> None:
        super().__init__(wanted)
        self.at = at
        self.wanted = wanted
        self.span = span
        self.cure = cure


class Reported(Exception):
    """A value among the arguments could not be bound, and was reported."""


@dataclass
class Reader:
    """Reads the atoms of one step from left to right."""

    atoms: tuple[t.Argument, ...]
    bind: Bind
    parameter: FindParameter
    players: FindPlayers
    mode: FindMode
    modes: Callable[[], tuple[str, ...]]
    """The names of the script's modes."""
    at: int = 0

    def peek(self) -> t.Argument | None:
        """The next atom, if there is one."""
        return self.atoms[self.at] if self.at < len(self.atoms) else None

    def word(self) -> str:
        """The next atom's text if it is a word; else nothing."""
        atom = self.peek()
        return atom.text if isinstance(atom, t.Word) else ""

    def fail(self, wanted: str, cure: str = "") -> Mismatch:
        """What to raise when the next atom does not fit."""
        atom = self.peek()
        return Mismatch(self.at, wanted, atom.span if atom is not None else None, cure)

    def named(self) -> Parameter | None:
        """The parameter that the next atom stands for, if it does."""
        atom = self.peek()
        return self.parameter(atom) if isinstance(atom, t.Word) else None

    def expect(self, word: str) -> None:
        """Read a word that must stand next."""
        if self.word() != word:
            raise self.fail(f"`{word}`")
        self.take()

    def take(self) -> t.Argument:
        """The next atom, read."""
        self.at += 1
        return self.atoms[self.at - 1]


# ----------------------------------------------------------------

LEAST, MOST = 2, 12
"""Degrees of a script's own mode."""


def own_mode(tree: t.OwnMode, bag: Diagnostics) -> Mode | None:
    """The mode that a script defines: its degrees rise within an octave from the first. None when that was reported."""
    names = [atom.value for atom in tree.degrees if isinstance(atom.value, PitchClass)]
    if not LEAST <= len(names) <= MOST:
        last = tree.degrees[-1].span
        bag.error(
            "N502", tree.degrees[0].span.to(last), f"a mode has {LEAST} to {MOST} notes, not {len(names)}",
            cure="write its notes once, rising from the first",
        )
        return None
    heights = [(name.semitone - names[0].semitone) % 12 for name in names]
    for number in range(1, len(names)):
        if heights[number] in heights[:number]:
            twin = heights.index(heights[number])
            same = names[number] == names[twin]
            bag.error(
                "N503", tree.degrees[number].span,
                f"{names[number]} stands twice in the mode" if same else
                f"{names[number]} sounds as {names[twin]} does",
                label="the same note again", cure="a mode has each note once; the octave goes without saying",
                also=((tree.degrees[twin].span, "the first one"),),
            )
            return None
    if heights != sorted(heights):
        wrong = next(n for n in range(1, len(names)) if heights[n] < heights[n - 1])
        rising = " ".join(str(name) for _, name in sorted(zip(heights, names, strict=True), key=lambda pair: pair[0]))
        bag.error(
            "N504", tree.degrees[wrong].span, f"the notes of `{tree.name.text}` do not rise",
            label="lower than the one before", cure=f"write `{rising}`",
        )
        return None
    return Mode(names[0], tree.name.text, tuple(names))


def mode_declared(declared: Declared | None) -> Mode | None:
    """The mode that a name stands for; None for any other name, and for a wrong mode, which is reported where it is."""
    if declared is None or not isinstance(declared.tree, t.OwnMode):
        return None
    return own_mode(declared.tree, Diagnostics())


def read_mode(reader: Reader) -> Given:
    """A script's own mode by its name, or a tonic and the name of a mode."""
    first = reader.peek()
    if isinstance(first, t.Word) and (found := reader.mode(first)) is not None:
        return Given(found, (reader.take().span,))
    if not (isinstance(first, t.Atom) and isinstance(first.value, PitchClass)):
        raise reader.fail(KIND_WORDS[ArgumentKind.MODE], _without_tonic(first, reader))
    reader.take()
    name = reader.peek()
    mode = _over(first.value, name, reader) if isinstance(name, t.Word) else None
    if mode is None:
        text = reader.word()
        meant = text and (here(text) or did_you_mean(text, (*MODES, *reader.modes())))
        raise reader.fail("a mode's name", meant or f"modes are {backticked(MODES)}")
    return Given(mode, (first.span.to(reader.take().span),))


def _over(tonic: PitchClass, name: t.Word, reader: Reader) -> Mode | None:
    if name.text in MODES:
        return Mode(tonic, name.text)
    own = reader.mode(name)
    if own is None:
        return None
    try:
        return own.over(tonic)
    except Refusal:
        raise Mismatch(reader.at, "a tonic that the mode can be written over", name.span) from None


def _without_tonic(atom: t.Argument | None, reader: Reader) -> str:
    """The cure for a word that is no mode by itself."""
    if not isinstance(atom, t.Word):
        return ""
    if atom.text in MODES:
        return f"give it a tonic, as `D {atom.text}`"
    return did_you_mean(atom.text, reader.modes())


def no_signature(name: str) -> str:
    """Why a mode cannot be a key, and what can."""
    near = "minor" if name.endswith("minor") else "major"
    return f"write `key D {near}`, or another of " + ", ".join(DEGREES)
