"""Combinations of values that have been computed: which arithmetic each word asks for.

In: the values, the words and clauses among them. Out: a line or a texture. What does not fit is `Misplaced`, with the
place of the argument at fault, or a refusal of the arithmetic for the whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from cavata.evaluate.plan import Argument, sort_of
from cavata.music.event import Event, Head, Motif, Origin, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch
from cavata.record import record
from cavata.source import Span
from cavata.transforms.combinations import (
    MOST_VOICES,
    Answer,
    Bars,
    canon,
    dealt_out,
    hocket,
    ostinato,
    pedal,
    stretto,
    together,
    weave,
)

UNISON = Interval(0, 0)
QUARTER = Fraction(1, 4)


class Misplaced(Exception):
    """An argument that cannot be used: a message with its place."""

    def __init__(self, code: str, span: Span, message: str, label: str = "", cure: str = "") -> None:
        super().__init__(message)
        self.code = code
        self.span = span
        self.message = message
        self.label = label
        self.cure = cure


@record
class Combination:
    """A combination whose arguments are values."""

    word: str
    operands: tuple[tuple[Argument, Span], ...]
    options: frozenset[str]
    clauses: Mapping[str, tuple[tuple[object, ...], Span]]
    """By their patterns, with what they give and where they stand."""
    has_metre: bool
    """It stands in a score line, where bars can be counted."""

    def has(self, pattern: str) -> bool:
        """Whether a clause stands among the arguments."""
        return pattern in self.clauses

    def line(self, place: int) -> Motif:
        """An operand that must be one line."""
        value, span = self.operands[place]
        if isinstance(value, Motif):
            return value
        raise Misplaced("V201", span, f"`{span.text}` is {sort_of(value)}", "a motif is wanted here")

    @property
    def lines(self) -> tuple[Motif, ...]:
        """The operands, each of which must be one line."""
        return tuple(self.line(place) for place in range(len(self.operands)))

    def texture(self, place: int, counted: bool = True) -> Texture:
        """An operand as lines; `counted` where their length must be known."""
        value, span = self.operands[place]
        if not isinstance(value, Texture):
            return Texture((self.line(place),))
        if counted and value.waits:
            raise Misplaced(
                "V402", span, f"`{self.word}` cannot tell how long this texture lasts", "it waits for bars",
                "give its delay as a duration",
            )
        return value

    def voices(self, otherwise: int) -> int:
        """What `voices COUNT` says."""
        if not self.has("voices COUNT"):
            return otherwise
        (count,), span = self.clauses["voices COUNT"]
        assert isinstance(count, int)
        if not 2 <= count <= MOST_VOICES:
            raise Misplaced(
                "V405", span, f"there is no `{self.word}` of {count} voices",
                f"2 to {MOST_VOICES}, the leader among them",
            )
        return count

    @property
    def after(self) -> Fraction | Bars:
        """What `after SPAN` says; bars only where there is a metre."""
        (after,), span = self.clauses["after SPAN"]
        assert isinstance(after, Fraction | Bars)
        if isinstance(after, Bars) and not self.has_metre:
            raise Misplaced(
                "V403", span, "bars are known only in a score line", "no metre here",
                f"write a duration, as `after 3/4`, or put the `{self.word}` into the score line itself",
            )
        return after


def combined(given: Combination) -> Motif | Texture:
    """The value of a combination."""
    match given.word:
        case "weave":
            return weave(given.lines, "cycle" in given.options)
        case "together":
            return together(tuple(given.texture(place, counted=False) for place in range(len(given.operands))))
        case "canon":
            return canon(given.line(0), answer_of(given), given.after, given.voices(2))
        case "stretto":
            return stretto(given.line(0), given.after, given.voices(2))
        case "hocket":
            return _hocket(given)
        case "pedal":
            return pedal(given.texture(0), _held(given))
        case "ostinato":
            return ostinato(given.texture(0), given.line(1))
        case word:
            raise AssertionError(f"no such combination: {word}")


def answer_of(given: Combination) -> Answer:
    """How each voice of a canon answers the one before."""
    mode = given.clauses["in MODE"][0][0] if given.has("in MODE") else None
    assert mode is None or isinstance(mode, Mode)
    slower = Fraction(1)
    for pattern in ("by augmentation RATIO", "by diminution RATIO"):
        if given.has(pattern):
            ratio = given.clauses[pattern][0][0]
            assert isinstance(ratio, Fraction)
            slower = slower * ratio if "augmentation" in pattern else slower / ratio
    return Answer(_interval(given), mode, given.has("by retrograde"), given.has("by inversion"), slower)


def _interval(given: Combination) -> Interval:
    pattern = "at INTERVAL [above|below]"
    if not given.has(pattern):
        return UNISON
    (interval, side), span = given.clauses[pattern]
    assert isinstance(interval, Interval)
    if not side and interval != UNISON:
        raise Misplaced(
            "V411", span, f"the answer lies {interval} above or below", "which of both?",
            f"write `at {interval} above` or `at {interval} below`",
        )
    return -interval if side == "below" else interval


def _hocket(given: Combination) -> Texture:
    """Lines against each other, or one line dealt out."""
    many = len(given.operands)
    if many == 1:
        return dealt_out(given.line(0), given.voices(2))
    if given.voices(many) != many:
        raise Misplaced(
            "V405", given.clauses["voices COUNT"][1], f"a hocket of {many} lines has {many} voices", "another number",
            "`voices` is for a single line that is dealt out",
        )
    return hocket(given.lines)


def _held(given: Combination) -> Motif:
    """The note or chord of a pedal: a pitch, or a line of one event."""
    if given.has("PITCH"):
        (value,), span = given.clauses["PITCH"]
    else:
        value, span = given.operands[1]
    if isinstance(value, Pitch):
        return Motif((Event(QUARTER, (Head(value, (Origin(None, span),)),)),))
    line = given.line(1)
    if len(line.events) != 1 or not line.events[0].heads:
        raise Misplaced(
            "V404", span, f"a pedal is one note or chord; `{span.text}` has {len(line.events)} events", "a longer line",
            "take one note with `first 1`, or let a figure go round with `ostinato`",
        )
    return line
