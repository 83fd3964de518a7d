"""Modes: those of a script checked, and a mode among a step's arguments read.

In: a `mode` declaration, or a reader at such an argument: the name of a script's mode, or a tonic and a name. Out: the
mode. What is no mode was reported, or is a `Mismatch` of the reader.
"""

from __future__ import annotations

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.music.mode import DEGREES, MODES, Mode
from cavata.music.pitch import PitchClass
from cavata.music.refusal import Refusal
from cavata.names.program import Given
from cavata.names.reader import Mismatch, Reader
from cavata.names.scopes import Declared
from cavata.syntax import tree as t
from cavata.transforms.signature import KIND_WORDS, Kind

LEAST, MOST = 2, 12
"""Degrees of a script's own mode."""


def own_mode(tree: t.OwnMode, bag: Diagnostics) -> Mode | None:
    """The mode that a script defines: its degrees rise within an octave from the first. None when that was reported."""
    names = [atom.value for atom in tree.degrees if isinstance(atom.value, PitchClass)]
    if not LEAST <= len(names) <= MOST:
        last = tree.degrees[-1].span
        bag.error(
            "N502", tree.degrees[0].span.to(last), f"a mode has {LEAST} to {MOST} notes, not {len(names)}", "",
            "write its notes once, rising from the first",
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
                "the same note again", "a mode has each note once; the octave goes without saying",
                ((tree.degrees[twin].span, "the first one"),),
            )
            return None
    if heights != sorted(heights):
        wrong = next(n for n in range(1, len(names)) if heights[n] < heights[n - 1])
        rising = " ".join(str(name) for _, name in sorted(zip(heights, names, strict=True), key=lambda pair: pair[0]))
        bag.error(
            "N504", tree.degrees[wrong].span, f"the notes of `{tree.name.text}` do not rise",
            "lower than the one before", f"write `{rising}`",
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
        raise reader.fail(KIND_WORDS[Kind.MODE], _without_tonic(first, reader))
    reader.take()
    name = reader.peek()
    mode = _over(first.value, name, reader) if isinstance(name, t.Word) else None
    if mode is None:
        text = reader.word()
        guess = closest(text, (*MODES, *reader.modes()), 1) if text else ()
        known = ", ".join(f"`{m}`" for m in MODES)
        raise reader.fail("a mode's name", f"did you mean `{guess[0]}`?" if guess else f"modes are {known}")
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
    guess = closest(atom.text, reader.modes(), 1)
    return f"did you mean `{guess[0]}`?" if guess else ""


def no_signature(name: str) -> str:
    """Why a mode cannot be a key, and what can."""
    near = "minor" if name.endswith("minor") else "major"
    return f"write `key D {near}`, or another of " + ", ".join(DEGREES)
