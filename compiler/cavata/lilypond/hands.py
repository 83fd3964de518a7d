"""The pedals of an instrument with two staves.

In: the written staves of a keyboard or a harp. Out: the lines of a context under the lower staff with every sign of the
pedal, or of a harp's pedals, at its moment, whatever stands there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.instruments.harp_pedals import LEFT, PEDALS, RIGHT
from cavata.lilypond.literals import ly_string
from cavata.lilypond.words import Syllabled, syllable_lines
from cavata.music.pitch import LETTERS
from cavata.notate.written import Frame, Item, Leaf, PedalSign, Tuplet, WrittenStaff, length_of, timed_leaves
from cavata.record import replace

_PLACES = {-1: "^", 0: "-", 1: "v"}
_GLYPHS = {"♭": "flat", "♮": "natural", "♯": "sharp"}
_UNDER = (
    "\\override VerticalAxisGroup.staff-affinity = #UP",
    "\\override LyricText.font-family = #'roman",
    "\\override LyricText.font-size = #-1",
    "\\override LyricText.self-alignment-X = #LEFT",
)
PEDAL_LINE = "pedalSustainStyle = #'bracket"
"""For a context whose pedals stand as a line."""
_SOON = Fraction(1, 32)
"""Before the end of the music the last pedal goes up on the page."""


def without_pedal(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items of a voice without the signs of the pedal."""
    return tuple(_without_pedal(item) for item in items)


def _without_pedal(item: Item) -> Item:
    if isinstance(item, Tuplet):
        return replace(item, items=without_pedal(item.items))
    if not item.marks.pedal_begins and not item.marks.pedal_ends:
        return item
    return replace(item, marks=replace(item.marks, pedal_begins=False, pedal_ends=False))


def pedal_lines(staves: Sequence[WrittenStaff], frames: Sequence[Frame], as_line: bool = False) -> list[str]:
    """The lines of the context; none where the pedal is not used. What goes up does so before it goes down again."""
    signs: dict[Fraction, list[str]] = {}
    for staff in staves:
        for begin, end, leaf in _sounding(staff, frames):
            if leaf.marks.pedal_begins:
                signs.setdefault(begin, []).append("\\sustainOn")
            if leaf.marks.pedal_ends:
                signs.setdefault(end, []).insert(0, "\\sustainOff")
    if not signs:
        return []
    own = ["    \\override VerticalAxisGroup.staff-affinity = #UP", *([f"    {PEDAL_LINE}"] if as_line else ())]
    lines = ["\\new Dynamics \\with", "{", *own, "}", "{"]
    over = sum((frame.duration for frame in frames), Fraction(0))
    if over in signs:  # nothing is printed where the music is over
        signs[over - min(_SOON, (over - max(moment for moment in signs if moment < over)) / 2)] = signs.pop(over)
    moments = sorted({Fraction(0), *signs})
    for moment, following in zip(moments, [*moments[1:], over], strict=True):
        length = following - moment
        lines.append("    " + " ".join([f"s1 * {length.numerator}/{length.denominator}", *signs.get(moment, ())]))
    return [*lines, "}"]


def harp_lines(staves: Sequence[WrittenStaff], frames: Sequence[Frame]) -> list[str]:
    """The lines of a context with a harp's pedals; none where nothing is said of them.

    It is one for words under notes, which LilyPond keeps at one height and out of each other's way.
    """
    signs: dict[Fraction, list[str]] = {}
    start = Fraction(0)
    for bar, frame in zip(staves[0].bars, frames, strict=True):
        for sign in bar.pedals:
            signs.setdefault(start + sign.offset, []).append(_pedals_markup(sign))
        start += frame.duration
    if not signs:
        return []
    found: list[Syllabled] = [
        (moment, f"\\markup \\line {{ {' '.join(parts)} }}", "", "") for moment, parts in sorted(signs.items())
    ]
    lines = ["\\new Lyrics \\with", "{", *(f"    {line}" for line in _UNDER), "}", "\\lyricmode", "{"]
    return [*lines, *syllable_lines(found, frames), "}"]


def _pedals_markup(sign: PedalSign) -> str:
    """All pedals as a diagram, or the names of those that are moved, the right foot's above the left one's."""
    if sign.setting is not None:
        marks = {letter: _PLACES[sign.setting[LETTERS.index(letter)]] for letter in PEDALS}
        diagram = f"{''.join(map(marks.__getitem__, LEFT))}|{''.join(map(marks.__getitem__, RIGHT))}"
        return f'\\harp-pedal "{diagram}"'
    names = " ".join(f"\\concat {{ {_pedal_name(name)} }}" for *_, name in sign.moved)
    return f"\\override #'(baseline-skip . 2) \\left-column {{ {names} }}"


def _pedal_name(name: str) -> str:
    """A name with the sign of its accidental drawn from the music font."""
    if name[-1:] not in _GLYPHS:
        return ly_string(name)
    return f"{ly_string(name[:-1])} \\hspace #0.1 \\raise #0.6 \\fontsize #-3 \\{_GLYPHS[name[-1]]}"


def _sounding(staff: WrittenStaff, frames: Sequence[Frame]) -> Iterator[tuple[Fraction, Fraction, Leaf]]:
    """The beginning and the end of every note and chord."""
    start = Fraction(0)
    for bar, frame in zip(staff.bars, frames, strict=True):
        for voice in bar.voices:
            found = list(timed_leaves(voice, start))
            over = start + sum(map(length_of, voice), Fraction(0))
            ends = [*(onset for onset, _ in found[1:]), over]
            yield from ((onset, end, leaf) for (onset, leaf), end in zip(found, ends, strict=False) if leaf.heads)
        start += frame.duration
