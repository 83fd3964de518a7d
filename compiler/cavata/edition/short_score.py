"""A short score: the whole piece on a few staves, as it sounds, for a conductor at the desk and a pianist.

In: the whole score. Out: a score of one part for each body of players: woodwind, brass, timpani, percussion on one
line, soloists, voices, keyboards and harp, strings; each family stands on staves of its own, on two where it reaches
from the treble to the bass. Holds after: in each body something begins on the page wherever it begins in the whole, and
nothing sounds on the page that does not sound in the whole; what is left out is told at the foot.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.again import Again
from cavata.diagnostics import Diagnostics
from cavata.edition.fermatas import with_fermatas
from cavata.edition.left_out import LeftOut, left_out
from cavata.edition.reduction import marked, names_in, written_out
from cavata.edition.slices import HeldNote, ReducedBar, SourceLine, as_one_voice, source_lines
from cavata.edition.stretches import MOST_VOICES, Voices, shared_out, stretches
from cavata.instruments.instrument import WINDS, Instrument
from cavata.music.event import Head
from cavata.music.pitch import MIDDLE_LINE, Interval
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Part, Score, ScoreEvent, Staff, without_ossias
from cavata.text import dashed

MOST_SOLOISTS = 3
"""Staves of soloists; more of them stand together."""
_OCTAVE = 12
_ORDER = ("woodwind", "brass", "timpani", "percussion", "keyboard", "voice", "soloist", "strings")
_CLEFS = ("treble", "bass")


@record
class PlayerBody:
    """Parts that one staff of a short score is made of, or two."""

    kind: str
    """One of `woodwind`, `brass`, `timpani`, `percussion`, `keyboard`, `voice`, `soloist`, `strings`."""
    parts: tuple[Part, ...]
    two_staves: bool = False
    alone: bool = False
    """One player, whose staves are taken as they are."""

    @property
    def unpitched(self) -> bool:
        """Whether it stands on a single line."""
        return all(part.instrument.unpitched for part in self.parts)

    @property
    def staves(self) -> int:
        """How many it takes."""
        return len(self.parts[0].instrument.hands) if self.alone else 2 if self.two_staves else 1


def bodies(parts: Sequence[Part]) -> tuple[PlayerBody, ...]:
    """The bodies of a piece, in the order of the page; every part is in one."""
    found = sorted(_joined(_gathered(parts)), key=lambda body: min(map(parts.index, body.parts)))
    return tuple(replace(body, two_staves=not body.alone and _is_wide(body)) for body in found)


def _is_low(part: Part) -> bool:
    """By the clef, or because it sounds an octave lower than it is read, or more, as a bass clarinet."""
    instrument = part.instrument
    return instrument.clefs[0].startswith("bass") or (
        instrument.family in WINDS and instrument.transposition.semitones <= -_OCTAVE
    )


def _is_wide(body: PlayerBody) -> bool:
    """Whether it reaches from the treble to the bass."""
    low = [_is_low(part) for part in body.parts]
    return (any(low) and not all(low)) or any(len(part.instrument.staves) > 1 for part in body.parts)


def _gathered(parts: Sequence[Part]) -> list[PlayerBody]:
    """The parts by kind, each soloist for itself."""
    by_kind: dict[str, list[Part]] = {kind: [] for kind in _ORDER}
    soloists = []
    for part in parts:
        if part.soloist:
            soloists.append(part)
        else:
            by_kind[_kind(part.instrument)].append(part)
    found = []
    for kind in _ORDER:
        if kind == "soloist":
            found += [PlayerBody(kind, (part,), alone=True) for part in soloists]
        elif by_kind[kind]:
            members = tuple(by_kind[kind])
            found.append(PlayerBody(kind, members, alone=len(members) == 1 and not members[0].instrument.unpitched))
    return found


def _kind(instrument: Instrument) -> str:
    """The body of an instrument; what has keys, bars or strings to be plucked goes together."""
    if instrument.unpitched:
        return "percussion"
    if instrument.drums:
        return "timpani"
    return "keyboard" if instrument.family in ("percussion", "plucked", "keyboard") else instrument.family


def _joined(found: list[PlayerBody]) -> list[PlayerBody]:
    """The bodies, soloists together where there are many."""
    soloists = [body for body in found if body.kind == "soloist"]
    if sum(body.staves for body in soloists) <= MOST_SOLOISTS:
        return found
    together = PlayerBody("soloist", tuple(part for body in soloists for part in body.parts))
    return [together, *(body for body in found if body.kind != "soloist")]


def body_part(body: PlayerBody) -> Part:
    """The part that stands for a body on the page."""
    first = body.parts[0]
    if body.alone:
        return first
    name = page_words(first.language, "bodies", body.kind)
    return replace(
        first, name=body.kind, instrument=_instrument(body), label=name, abbreviation=name, soloist=False, members=(),
    )  # fmt: skip


def _instrument(body: PlayerBody) -> Instrument:
    """An instrument that is written as it sounds, in the clefs of its staves."""
    first = body.parts[0].instrument
    if body.unpitched:
        return replace(first, staves=("",), third="")
    low = not body.two_staves and all(map(_is_low, body.parts))
    clefs = ("bass", "treble") if low else _CLEFS
    return replace(
        first, transposition=Interval(0, 0), clefs=clefs, staves=("right", "left") if body.two_staves else ("",),
        percussion_key=None, third="",
    )  # fmt: skip


# ----------------------------------------------------------------


class KeptReductions:
    """What a piece was reduced to, body by body, for when it is reduced again."""

    def __init__(self) -> None:
        self.staves, self.lacks = Again[tuple[Staff, ...]](), Again[LeftOut]()

    def next_round(self) -> None:
        """The piece is about to be reduced."""
        self.staves.next_round()
        self.lacks.next_round()


def short_score(score: Score, kept: KeptReductions | None = None) -> Score:
    """The short score of a piece. What is `kept` from the time before and would be the same is taken from there."""
    kept = kept or KeptReductions()
    kept.next_round()
    found = bodies(score.parts)
    words = page_words(score.header.language, "reading", "short_score")
    subtitle = dashed(score.header.subtitle, words)
    movements = tuple(
        replace(movement, staves=tuple(_kept_staves(score, movement, body, kept) for body in found))
        for movement in score.movements
    )
    foot = left_out(score, movements, (), score.parts, kept.lacks)
    header = replace(
        score.header, kind=CopyKind.SHORT, concert_score=True, show_letters=False, colors=(), subtitle=subtitle,
        foot=dashed(score.header.foot, foot),
    )  # fmt: skip
    parts = tuple(map(body_part, found))
    short = replace(score, header=header, parts=parts, groups=(), movements=movements, shared=())
    return with_fermatas(short, score)


def _kept_staves(score: Score, movement: Movement, body: PlayerBody, kept: KeptReductions) -> tuple[Staff, ...]:
    """The staves of a body, made of what it plays itself."""
    own = tuple(
        staves for part, staves in zip(score.parts, movement.staves, strict=True) if part in body.parts
    )
    parts = tuple(part for part in score.parts if part in body.parts)
    made_of = replace(movement, staves=own)
    key = movement.name, body.kind, tuple(part.name for part in parts)
    return kept.staves.of(key, (body, made_of), Diagnostics(), lambda _: _staves(parts, made_of, body))


def _staves(parts: Sequence[Part], movement: Movement, body: PlayerBody) -> tuple[Staff, ...]:
    """The staves of a body in a movement that has its parts alone, in score order."""
    if body.alone:
        return without_ossias(movement.staves[0])
    lines = list(source_lines(parts, movement))
    count = len(movement.bars)
    if body.unpitched:
        return (Staff("", (_struck(lines, count),)),)
    upper, lower = Voices(count), Voices(count)
    above: dict[int, bool] = {}
    for stretch in stretches(lines, movement):
        high, low = list(stretch.lines), list[SourceLine]()
        if body.two_staves and body.kind == "voice":
            men = _lower_voices(body)
            high, low = [[line for line in high if (line.part in men) is lower] for lower in (False, True)]
        elif body.two_staves:
            high, low = shared_out(stretch, stretch.lines, above, MOST_VOICES)
        upper.take(stretch, high)
        lower.take(stretch, low)
    if not body.two_staves:
        return (Staff("", written_out(upper.plan)),)
    return Staff("right", written_out(upper.plan)), Staff("left", written_out(lower.plan))


def _lower_voices(body: PlayerBody) -> tuple[Part, ...]:
    """The singers of the lower staff: the men of a mixed choir, the basses of one of men, however high they sing."""
    men = tuple(part for part in body.parts if part.instrument.clefs[0] != "treble")
    return men if len(men) < len(body.parts) else tuple(part for part in men if _is_low(part))


def _struck(lines: Sequence[SourceLine], bars: int) -> tuple[ScoreEvent, ...]:
    """All unpitched instruments on one line: a note lasts until the next one at most, for it is on the same line."""
    made = [
        HeldNote(event.onset, event.end, Head(MIDDLE_LINE, head.origins), 0, event.line)
        for line in lines for bar in line.bars for event in bar for head in event.event.heads
    ]  # fmt: skip
    plan = [_beaten([line for line in lines if line.bars[bar]]) for bar in range(bars)]
    return marked(as_one_voice(made, 0), [voices[0] if voices else None for voices in plan], names_in(plan, 0))


def _beaten(playing: Sequence[SourceLine]) -> tuple[ReducedBar, ...]:
    """The one voice of a bar of percussion."""
    return (ReducedBar(tuple(playing), tuple(line.part for line in playing), playing[0]),) if playing else ()
