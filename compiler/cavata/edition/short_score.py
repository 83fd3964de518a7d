"""A short score: the whole piece on four to six staves, as it sounds.

In: the whole score. Out: a score of one part for each body of players: woodwind, brass, percussion on one line,
soloists, voices, keyboards, strings. Holds after: in each body something begins on the page wherever it begins in
the whole, and nothing sounds on the page that does not sound in the whole.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.edition.fermatas import with_fermatas
from cavata.edition.reduction import marked, names_in, shared_out, voices_of, written_out
from cavata.edition.slices import HeldNote, ReducedBar, SourceLine, joined, lines_of
from cavata.instruments.instrument import WINDS, Instrument
from cavata.music.event import Head
from cavata.music.pitch import Interval, Pitch
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Part, Score, ScoreEvent, Staff, without_ossias

# ----------------------------------------------------------------
# The bodies of players that a short score has a staff for, or two.
#
# In: the parts of a piece. Out: bodies in the order of the page, so many that four to six staves stand in a system
# where
# the forces give as much, and those of a choir besides. Every part is in one body.


MOST_STAVES = 6
"""Besides those of a choir; the strings of a large orchestra with keyboards have two all the same."""
_OCTAVE = 12
_ORDER = ("woodwind", "brass", "low", "percussion", "keyboard", "voice", "soloist", "strings")
_SPLIT_FIRST = ("strings", "voice", "keyboard", "woodwind", "brass")
"""Which bodies have two staves, as long as there is room."""
_CLEFS = ("treble", "bass")


@record
class PlayerBody:
    """Parts that one staff of a short score is made of, or two."""

    kind: str
    """One of `woodwind`, `brass`, `low` (of both), `percussion`, `keyboard`, `voice`, `soloist`, `strings`."""
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
    """The bodies of a piece."""
    found = sorted(_joined(_gathered(parts)), key=lambda body: min(map(parts.index, body.parts)))
    wide = [body for body in found if body.kind in WINDS and _is_wide(body)]
    if len(wide) > 1 and _counted(found) + len(wide) + _missing(found) > MOST_STAVES:
        found = _without_low_winds(found)
    for kind in _SPLIT_FIRST:
        for place, body in enumerate(found):
            room = kind in ("voice", "strings") or _counted(found) < MOST_STAVES
            if body.kind == kind and not body.alone and _is_wide(body) and room:
                found[place] = replace(body, two_staves=True)
    return tuple(found)


def _counted(found: Sequence[PlayerBody]) -> int:
    """The staves of a system, those of a choir apart."""
    return sum(body.staves for body in found if body.kind != "voice")


def _missing(found: Sequence[PlayerBody]) -> int:
    """How many staves more the strings and keyboards need."""
    return sum(1 for body in found if body.kind in ("strings", "keyboard") and not body.alone and _is_wide(body))


def _without_low_winds(found: Sequence[PlayerBody]) -> list[PlayerBody]:
    """Low woodwind and low brass together on a staff of their own, so that no staff has a forest of ledger lines."""
    low = tuple(part for body in found if body.kind in WINDS for part in body.parts if _is_low(part))
    high = [
        replace(body, parts=tuple(part for part in body.parts if part not in low)) if body.kind in WINDS else body
        for body in found
    ]
    place = max(index for index, body in enumerate(high) if body.kind in WINDS) + 1
    high.insert(place, PlayerBody("low", low))
    return [body for body in high if body.parts]


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
            by_kind[_kind(part.instrument, parts)].append(part)
    found = []
    for kind in _ORDER:
        if kind == "soloist":
            found += [PlayerBody(kind, (part,), alone=True) for part in soloists]
        elif by_kind[kind]:
            members = tuple(by_kind[kind])
            found.append(PlayerBody(kind, members, alone=len(members) == 1 and not members[0].instrument.unpitched))
    return found


def _kind(instrument: Instrument, parts: Sequence[Part]) -> str:
    """The body of an instrument; what has keys, bars or strings to be plucked goes together, timpani with the brass."""
    if instrument.unpitched:
        return "percussion"
    if instrument.key == "timpani":
        families = {part.instrument.family for part in parts if not part.soloist}
        return next((family for family in ("brass", "strings") if family in families), "keyboard")
    return "keyboard" if instrument.family in ("percussion", "plucked", "keyboard") else instrument.family


def _joined(found: list[PlayerBody]) -> list[PlayerBody]:
    """The bodies, soloists together and keyboards with the strings where there would be too many staves."""
    if sum(body.staves for body in found) > MOST_STAVES:
        soloists = [body for body in found if body.kind == "soloist"]
        if len(soloists) > 1:
            first = found.index(soloists[0])
            everybody = tuple(part for body in soloists for part in body.parts)
            found = [body for body in found if body.kind != "soloist"]
            found.insert(first, PlayerBody("soloist", everybody))
    if sum(body.staves for body in found) > MOST_STAVES:
        keys = next((body for body in found if body.kind == "keyboard"), None)
        strings = next((body for body in found if body.kind == "strings"), None)
        if keys is not None and strings is not None:
            found = [body for body in found if body is not keys]
            found[found.index(strings)] = PlayerBody("strings", keys.parts + strings.parts)
    return found


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

_LINE = Pitch(34, 0)
"""Where a note without pitch is kept."""


def short_score(score: Score) -> Score:
    """The short score of a piece."""
    found = bodies(score.parts)
    words = page_words(score.header.language, "reading", "short_score")
    subtitle = f"{score.header.subtitle} \u2013 {words}" if score.header.subtitle else words
    header = replace(
        score.header, kind=CopyKind.SHORT, concert_score=True, show_letters=False, colors=(), subtitle=subtitle,
    )  # fmt: skip
    parts = tuple(map(body_part, found))
    movements = tuple(
        replace(movement, staves=tuple(_staves(score, movement, body) for body in found))
        for movement in score.movements
    )
    short = replace(score, header=header, parts=parts, groups=(), movements=movements, shared=())
    return with_fermatas(short, score)


def _staves(score: Score, movement: Movement, body: PlayerBody) -> tuple[Staff, ...]:
    if body.alone:
        return without_ossias(movement.staves[score.parts.index(body.parts[0])])
    lines = [line for line in lines_of(score.parts, movement) if line.part in body.parts]
    count = len(movement.bars)
    if body.unpitched:
        return (Staff("", (_struck(lines, count),)),)
    if not body.two_staves:
        return (Staff("", written_out([voices_of(lines, bar) for bar in range(count)])),)
    plans: tuple[list[tuple[ReducedBar, ...]], ...] = ([], [])
    upper: set[int] = set()
    for bar in range(count):
        for staff, share in enumerate(shared_out(lines, bar, upper)):
            plans[staff].append(voices_of(share, bar))
    return tuple(Staff(name, written_out(plan)) for name, plan in zip(("right", "left"), plans, strict=True))


def _struck(lines: Sequence[SourceLine], bars: int) -> tuple[ScoreEvent, ...]:
    """All unpitched instruments on one line: a note lasts until the next one at most, for it is on the same line."""
    made = [
        HeldNote(event.onset, event.end, Head(_LINE, head.origins), 0, event.line)
        for line in lines for bar in line.bars for event in bar for head in event.event.heads
    ]  # fmt: skip
    plan = [_beaten([line for line in lines if line.bars[bar]]) for bar in range(bars)]
    return marked(joined(made, 0), [voices[0] if voices else None for voices in plan], names_in(plan, 0))


def _beaten(playing: Sequence[SourceLine]) -> tuple[ReducedBar, ...]:
    """The one voice of a bar of percussion."""
    return (ReducedBar(tuple(playing), tuple(line.part for line in playing), playing[0]),) if playing else ()
