"""Words that are sung, under a staff, and chord symbols, over it.

In: one voice of a staff through a movement. Out: lines of lyrics with a length for each syllable or symbol, so that
they are aligned by time and owe nothing to ties and slurs. Symbols stand in such a line too, for LilyPond then keeps
them at one height.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from cavata.lilypond.literals import ly_string
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.pitch import LETTERS, PitchClass
from cavata.notate.written import Frame, Leaf, WrittenStaff, leaves, timed_leaves
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
_OVER = (
    "\\override VerticalAxisGroup.staff-affinity = #DOWN",
    "\\override LyricText.font-size = #0",
    "\\override LyricText.self-alignment-X = #LEFT",
    "\\override LyricSpace.minimum-distance = #0.8",
)


def sung_lines(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, voice_name: str) -> list[str]:
    """The lines of a context with the words of one voice; none if it has no words."""

    def text(leaf: Leaf) -> str:
        if leaf.sung is None or not leaf.sung.text:
            return ""
        return ly_string(plain_text(leaf.sung.text[:_LONGEST_SYLLABLE]))

    def joint(leaf: Leaf) -> str:
        return "" if leaf.sung is None else " --" if leaf.sung.goes_on else " __" if leaf.sung.line == "begins" else ""

    return _context(staff, frames, voice, (f'\\set associatedVoice = "{voice_name}"',), _SUNG, text, joint)


def symbol_lines(staves: tuple[WrittenStaff, ...], frames: tuple[Frame, ...]) -> list[str]:
    """The lines of contexts with the chord symbols of a part, one for each voice that has some."""

    def text(leaf: Leaf) -> str:
        return "" if leaf.marks.symbol is None else symbol_markup(leaf.marks.symbol)

    return [
        line for staff in staves for voice in range(max((len(bar.voices) for bar in staff.bars), default=0))
        for line in _context(staff, frames, voice, (), _OVER, text, lambda leaf: "")
    ]  # fmt: skip


def figure_lines(staff: WrittenStaff, frames: tuple[Frame, ...], voice: int) -> list[str]:
    """The lines of a context with the figures under one voice; none if it has none."""
    found = []
    for onset, leaf in voice_leaves(staff, frames, voice):
        figures = leaf.marks.figures
        length = leaf.event.event.duration if leaf.event is not None else Fraction(0)
        found += [(onset + length * n / len(figures), _figure_text(stack), "") for n, stack in enumerate(figures)]
    if not found:
        return []
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
    staff: WrittenStaff, frames: tuple[Frame, ...], voice: int, commands: tuple[str, ...], style: tuple[str, ...],
    text: Callable[[Leaf], str], joint: Callable[[Leaf], str],
) -> list[str]:  # fmt: skip
    voices = (bar.voices[voice] for bar in staff.bars if voice < len(bar.voices))
    if not any(text(leaf) for items in voices for leaf in leaves(items)):
        return []
    found: list[tuple[Fraction, str, str]] = []
    held = False
    for onset, leaf in voice_leaves(staff, frames, voice):
        if text(leaf):
            found.append((onset, text(leaf), joint(leaf)))
        elif held and leaf.heads and leaf.sung is None:
            found.append((onset, _NOTHING, ""))  # or the line would go on to the next syllable, however far
        held = joint(leaf) == " __" or (held and (leaf.sung is not None or not leaf.heads))
    lines = ["\\new Lyrics \\with", "{", *(f"    {line}" for line in style), "}", "\\lyricmode", "{"]
    return [*lines, *(f"    {command}" for command in commands), *syllable_lines(found, frames), "}"]


def syllable_lines(found: Sequence[tuple[Fraction, str, str]], frames: Sequence[Frame]) -> Iterator[str]:
    """A line for each syllable, which lasts until the next: its onset, its literal, and what joins it to the next."""
    moments = [onset for onset, _, _ in found] + [sum((frame.duration for frame in frames), Fraction(0))]
    if moments[0]:
        yield f"    \\skip 1 * {fraction_text(moments[0])}"
    for (onset, words, mark), end in zip(found, moments[1:], strict=True):
        yield f"    {words} 1 * {fraction_text(end - onset)}{mark}"


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
    found = [
        (onset, ly_string(leaf.letters[:_LONGEST_LETTERS]), "")
        for onset, leaf in voice_leaves(staff, frames, voice)
        if leaf.letters.strip()
    ]
    if not found:
        return []
    above = f'    \\set associatedVoice = "{voice_name}"'
    return ["\\new Lyrics \\lyricmode", "{", above, *syllable_lines(found, frames), "}"]
