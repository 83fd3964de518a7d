"""Words that are sung, under a staff, and chord symbols, over it.

In: one voice of a staff through a movement. Out: lines of lyrics with a length for each syllable or symbol, so that
they are aligned by time and owe nothing to ties and slurs. Symbols stand in such a line too, for LilyPond then keeps
them at one height.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.lilypond.literals import ly_string
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.pitch import LETTERS, PitchClass
from cavata.notate.written import Frame, Leaf, SungText, WrittenStaff, leaves, timed_leaves
from cavata.text import fraction_text, plain_text

_LONGEST_SYLLABLE = 80
"""Characters of one syllable."""
_NOTHING = '""'
"""A syllable that is not seen."""
_ACCIDENTALS = {-2: "doubleflat", -1: "flat", 1: "sharp", 2: "doublesharp"}
_SUNG = (
    "\\override LyricText.font-family = #'roman",
    "\\override LyricText.font-size = #0",
    "\\override LyricHyphen.minimum-distance = #1.2",
    "\\override LyricSpace.minimum-distance = #0.8",
)
"""Room for every hyphen and between words, which LilyPond would else leave out or press together."""
Syllabled = tuple[Fraction, str, str, str]
"""An onset, the literal there, what joins it to the next, and a command before it; either of these may be empty."""
_OVER = (
    "\\override VerticalAxisGroup.staff-affinity = #DOWN",
    "\\override LyricText.font-size = #0",
    "\\override LyricText.self-alignment-X = #LEFT",
    "\\override LyricSpace.minimum-distance = #0.8",
)


def sung_lines(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, voice_name: str) -> list[str]:
    """The lines of contexts with the words of one voice, one for each verse; none if it has no words."""
    if not has_leaf(staff, voice, lambda leaf: leaf.sung):
        return []
    placed = tuple(voice_leaves(staff, frames, voice))
    verses = sorted({text.verse for _, leaf in placed for text in leaf.sung})
    above = f'\\set associatedVoice = "{voice_name}"'
    return [line for verse in verses for line in _verse_lines(placed, frames, verse, above)]


def _verse_lines(
    placed: Sequence[tuple[Fraction, Leaf]], frames: Sequence[Frame], verse: int, above: str
) -> list[str]:
    """The context of one verse. A line under a held syllable goes over a rest only where the syllable does."""
    texts = [(onset, leaf, _text(leaf, verse)) for onset, leaf in placed]
    over_rests = any(
        not leaf.heads and before.line in ("begins", "goes on") and not before.goes_on
        for (_, _, before), (_, leaf, _) in pairwise(texts)
    )
    found: list[Syllabled] = []
    line = ""
    for onset, leaf, text in texts:
        if text.text:
            joint = " --" if text.goes_on else " __" if text.line else ""
            number = f"\\set stanza = {ly_string(text.number)}" if text.number else ""
            found.append((onset, ly_string(plain_text(text.text[:_LONGEST_SYLLABLE])), joint, number))
            line = text.line
        elif text.line:
            line = text.line
        elif line and (leaf.heads or (over_rests and line == "ends")):
            found.append((onset, _NOTHING, "", ""))  # or the line would go on to the next syllable, however far
            line = ""
    commands = (above, *(("\\set extendersOverRests = ##t",) if over_rests else ()))
    return _context(found, frames, commands, _SUNG)


def _text(leaf: Leaf, verse: int) -> SungText:
    return next((text for text in leaf.sung if text.verse == verse), SungText("", verse=verse))


def symbol_lines(staves: tuple[WrittenStaff, ...], frames: tuple[Frame, ...]) -> list[str]:
    """The lines of contexts with the chord symbols of a part, one for each voice that has some."""
    lines: list[str] = []
    for staff in staves:
        for voice in range(max((len(bar.voices) for bar in staff.bars), default=0)):
            if not has_leaf(staff, voice, lambda leaf: leaf.marks.symbol is not None):
                continue
            found = [
                (onset, symbol_markup(leaf.marks.symbol), "", "")
                for onset, leaf in voice_leaves(staff, frames, voice) if leaf.marks.symbol is not None
            ]  # fmt: skip
            lines += _context(found, frames, (), _OVER)
    return lines


def figure_lines(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int) -> list[str]:
    """The lines of a context with the figures under one voice; none if it has none."""
    if not has_leaf(staff, voice, lambda leaf: leaf.marks.figures):
        return []
    found = []
    for onset, leaf in voice_leaves(staff, frames, voice):
        figures = leaf.marks.figures
        for number, stack in enumerate(figures):
            found.append((onset + leaf.figured_for * number / len(figures), _figure_text(stack), "", ""))
    lines = ["\\new FiguredBass \\figuremode", "{", "    \\set figuredBassAlterationDirection = #LEFT"]
    return [*lines, *syllable_lines(found, frames), "}"]


_FIGURE_SIGNS = {"##": "++", "#": "+", "bb": "--", "b": "-", "n": "!"}


def _figure_text(stack: Sequence[str]) -> str:
    """Figures one above the other; an accidental alone is a third's."""
    texts = []
    for figure in stack:
        accidental = figure.rstrip("0123456789+")
        number = figure.removeprefix(accidental)
        raised = "\\+" if number.endswith("+") else ""
        texts.append((number.rstrip("+") or "_") + _FIGURE_SIGNS.get(accidental, "") + raised)
    return f"<{' '.join(texts)}>"


def symbol_markup(symbol: ChordSymbol) -> str:
    """A chord symbol with real accidentals, its quality raised."""
    parts = [_name_markup(symbol.root)]
    minor = symbol.quality.startswith("m") and not symbol.quality.startswith("maj")
    quality = symbol.quality[1:] if minor else symbol.quality
    if minor:
        parts.append('"m"')
    if quality:
        before, flat, after = quality.partition("b")
        sign = f" \\hspace #0.3 \\raise #0.5 \\fontsize #-2 \\flat \\hspace #0.1 {ly_string(after)}" if flat else ""
        parts.append(f"\\hspace #0.1 \\raise #0.6 \\fontsize #-2 \\concat {{ {ly_string(before)}{sign} }}")
    if symbol.bass is not None:
        parts += ['"/"', _name_markup(symbol.bass)]
    return f"\\markup \\concat {{ {' '.join(parts)} }}"


def _name_markup(name: PitchClass) -> str:
    letter = ly_string(LETTERS[name.letter])
    if not name.alter:
        return letter
    return f"{letter} \\hspace #0.1 \\raise #0.6 \\fontsize #-3 \\{_ACCIDENTALS[name.alter]}"


def _context(
    found: Sequence[Syllabled], frames: Sequence[Frame], commands: tuple[str, ...], style: tuple[str, ...]
) -> list[str]:
    if not any(literal != _NOTHING for _, literal, _, _ in found):
        return []
    lines = ["\\new Lyrics \\with", "{", *(f"    {line}" for line in style), "}", "\\lyricmode", "{"]
    return [*lines, *(f"    {command}" for command in commands), *syllable_lines(found, frames), "}"]


def syllable_lines(found: Sequence[Syllabled], frames: Sequence[Frame]) -> Iterator[str]:
    """A line for each syllable, which lasts until the next, and one for a command before it."""
    moments = [onset for onset, _, _, _ in found] + [sum((frame.duration for frame in frames), Fraction(0))]
    if moments[0]:
        yield f"    \\skip 1 * {fraction_text(moments[0])}"
    for (onset, words, joint, command), end in zip(found, moments[1:], strict=True):
        if command:
            yield f"    {command}"
        yield f"    {words} 1 * {fraction_text(end - onset)}{joint}"


def has_leaf(staff: WrittenStaff, voice: int, such: Callable[[Leaf], object]) -> bool:
    """Whether a voice has such a leaf; much cheaper than to reckon where its leaves stand."""
    return any(
        such(leaf) for bar in staff.bars if voice < len(bar.voices) for leaf in leaves(bar.voices[voice])
    )  # fmt: skip


def voice_leaves(staff: WrittenStaff, frames: Sequence[Frame], voice: int) -> Iterator[tuple[Fraction, Leaf]]:
    """Every leaf of a voice with its onset from the movement's beginning."""
    start = Fraction(0)
    for bar, frame in zip(staff.bars, frames, strict=True):
        if voice < len(bar.voices):
            yield from timed_leaves(bar.voices[voice], start)
        start += frame.duration


# ----------------------------------------------------------------
# The letters of names under the notes they became.
#
# In: one voice of a staff through a movement. Out: a line of lyrics with a length for each syllable, so that it is
# aligned by time and owes nothing to ties and slurs.


_LONGEST_LETTERS = 40
"""Characters under one note; more than any chord of names needs."""


def lyrics(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, voice_name: str) -> list[str]:
    """The lines of a lyrics context for one voice; none if no letter stands under it."""
    if not has_leaf(staff, voice, lambda leaf: leaf.letters.strip()):
        return []
    found = [
        (onset, ly_string(leaf.letters[:_LONGEST_LETTERS]), "", "")
        for onset, leaf in voice_leaves(staff, frames, voice)
        if leaf.letters.strip()
    ]
    above = f'    \\set associatedVoice = "{voice_name}"'
    return ["\\new Lyrics \\lyricmode", "{", above, *syllable_lines(found, frames), "}"]
