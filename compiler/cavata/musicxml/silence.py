"""A rest through a whole bar, as every reader understands it.

In: a bar's frame. Out: rests that fill it. Where the bar is as long as its metre says that is one rest for the whole
bar. Elsewhere, in free time and in an upbeat, readers would give such a rest the length of some metre; so
the silence is written in note values, the longest first.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.musicxml.leaf import Bracket
from cavata.notate.written import Frame, Item, Leaf, leaves

_LONGEST, _SHORTEST = Fraction(2), Fraction(1, 1024)
"""A breve, since some readers know no longer value; and the shortest value of `note-type-value` in MusicXML 4.0."""
_TAKEN_FOR_THE_BAR = ((Fraction(1), 0), (Fraction(2), 0))

Silence = tuple[Leaf, tuple[Bracket, ...]]
"""A rest, and the tuplet that shortens it, if one does."""


def may_be_taken_for_the_bar(rest: Leaf, items: tuple[Item, ...]) -> bool:
    """Whether a rest that does not fill its bar looks as if it did: beside chords alone music21 takes it so."""
    plain = (rest.base, rest.dots) in _TAKEN_FOR_THE_BAR
    return plain and all(len(leaf.heads) != 1 for leaf in leaves(items))


def halves(rest: Leaf) -> tuple[Silence, Silence]:
    """A rest in two."""
    half = Leaf(rest.base / 2, 0)
    return (half, ()), (half, ())


def silence(frame: Frame) -> Iterator[Silence]:
    """The rests of a silent bar, each with the tuplet that shortens it, if one does."""
    if frame.meter is not None and frame.duration == frame.meter.duration:
        yield Leaf(Fraction(1), 0, whole_bar=True), ()
        return
    odd = frame.duration.denominator
    while odd % 2 == 0:
        odd //= 2
    # What cannot be said in plain values is less than the finest of them that the bar has room for.
    grain = Fraction(odd, frame.duration.denominator)
    tuplets = frame.duration % grain
    plain = tuple(_values(frame.duration - tuplets))
    if len(plain) == 1 and not tuplets and plain[0] in _TAKEN_FOR_THE_BAR:
        plain = ((plain[0][0] / 2, 0),) * 2
    yield from ((Leaf(value, dots), ()) for value, dots in plain)
    normal = 1 << (odd.bit_length() - 1)
    for value, dots in _values(tuplets * odd / normal):
        yield Leaf(value, dots), (Bracket(odd, normal, value, False, False, False),)


def _values(length: Fraction) -> Iterator[tuple[Fraction, int]]:
    """Note values, with a dot or none, that make up a length; its denominator is a power of two."""
    value = _LONGEST
    while length and value >= _SHORTEST:
        while value <= length:
            dots = int(value * 3 / 2 <= length)
            yield value, dots
            length -= value * 3 / 2 if dots else value
        value /= 2
