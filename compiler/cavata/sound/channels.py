"""Which of the sixteen MIDI channels each part plays on.

In: the parts in score order. Out: a place for each: a port, and a channel counted from 0; 9 (printed as 10) only for
unpitched percussion, as General MIDI Level 1 has it. The MIDI file and the `midi-instrument` elements of MusicXML use
the same channels while fifteen hold all pitched parts; beyond that sections of strings share one where the score is
performed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set

from cavata.instruments.instrument import Instrument
from cavata.record import record, replace
from cavata.score.score import Part

# ----------------------------------------------------------------
# How loud each part is beside the others, and where it sits, as volumes and places of MIDI channels.
#
# In: the parts in score order. Out: a volume and a place for each. Dynamics are the notes' own; this is what makes one
# flute heard beside the strings. The numbers are this project's own, after common practice: what carries least is
# helped
# most, several on a line are a little louder than one, a soloist stands before the others. Places are those of an
# orchestra as the audience sees it, first violins on the left and basses on the right; one part alone is in the middle.


MIDDLE, HIGHEST = 64, 127
"""Of a place, from 0 on the left to 127 on the right (General MIDI Level 1); the highest value of a control."""
_VOLUMES = {
    "woodwind": 98, "brass": 82, "percussion": 82, "keyboard": 88, "plucked": 96, "voice": 100, "strings": 74,
}  # fmt: skip
_SECTION, _SOLOIST = 4, 16
"""What is added where several play the part, and for a soloist."""
_FAMILY_PLACES = {
    "woodwind": 58, "brass": 76, "percussion": 44, "keyboard": 38, "plucked": 36, "voice": 64, "strings": 64,
}  # fmt: skip
_PLACES = {
    "piccolo": 50, "flute": 54, "oboe": 70, "English horn": 74, "clarinet": 56, "bass clarinet": 52, "bassoon": 72,
    "contrabassoon": 78, "horn": 46, "trumpet": 74, "trombone": 82, "bass trombone": 86, "tuba": 90, "timpani": 52,
    "violin": 34, "viola": 78, "cello": 88, "double bass": 98, "soprano": 44, "mezzo soprano": 54, "alto": 60,
    "tenor": 72, "baritone": 80, "bass voice": 84, "harp": 30,
}  # fmt: skip
_APART = 10
"""How far each further part of an instrument sits from the one before, toward the right."""


@record
class Balance:
    """A volume and a place, both from 0 to 127."""

    volume: int
    place: int


def seats(parts: Sequence[Part]) -> tuple[Balance, ...]:
    """For each part its volume and its place."""
    return tuple(_seats(parts))


def _seats(parts: Sequence[Part]) -> Iterator[Balance]:
    seated: dict[str, int] = {}
    for part in parts:
        instrument = part.instrument
        volume = _VOLUMES[instrument.family] + (_SECTION if part.section else 0) + (_SOLOIST if part.soloist else 0)
        before = seated.get(instrument.key, 0)
        seated[instrument.key] = before + 1
        place = _PLACES.get(instrument.key, _FAMILY_PLACES[instrument.family]) + _APART * before
        alone = len(parts) == 1 or part.soloist
        yield Balance(min(volume, HIGHEST), MIDDLE if alone else min(place, HIGHEST))


# ----------------------------------------------------------------

PERCUSSION = 9
PITCHED = tuple(channel for channel in range(16) if channel != PERCUSSION)
_FAMILY = 8
"""General MIDI Level 1 puts the 128 programs in families of eight."""


@record
class PortChannel:
    """A channel of a port. Ports beyond the first are for what sixteen channels do not hold."""

    channel: int
    port: int = 0


@record
class ChannelPlan:
    """Where everything plays."""

    of_parts: tuple[PortChannel, ...]
    of_programs: Mapping[int, PortChannel]
    """Where parts share channels, by their programs; empty if each has its own."""

    def place_for(self, part: int, program: int) -> PortChannel:
        """Where a part's notes with a program play: its own place, or on its port that of the program."""
        own = self.of_parts[part]
        place = self.of_programs.get(program, own)
        return place if place.port == own.port else own

    def is_own(self, part: int) -> bool:
        """Whether no other part plays on the channel of a part."""
        return self.of_parts.count(self.of_parts[part]) == 1


def channels(instruments: Sequence[Instrument]) -> tuple[int, ...]:
    """A channel for each part, whatever the port."""
    return tuple(place.channel for place in places(instruments).of_parts)


def places(instruments: Sequence[Instrument], further: Sequence[Sequence[int]] = ()) -> ChannelPlan:
    """A place for each part: a channel of its own while the fifteen last, else one for all parts of a program.

    `further` are for each part the programs that its techniques ask for, as plucked strings; where channels are
    shared they have one too, on the port of the part, which is the first.
    What fifteen channels do not hold plays on a second port, on the channel of a program of its family: a player
    that knows no ports gives it a relative's sound.
    """
    pitched = [instrument.program for instrument in instruments if not instrument.unpitched]
    percussion = PortChannel(PERCUSSION)
    if len(pitched) <= len(PITCHED):
        free = iter(PITCHED)
        return ChannelPlan(tuple(percussion if i.unpitched else PortChannel(next(free)) for i in instruments), {})
    changing = [
        program
        for instrument, others in zip(instruments, further, strict=False)
        for program in ((instrument.program, *others) if others else ())
    ]
    shared = _shared([*changing, *pitched])
    return ChannelPlan(tuple(percussion if i.unpitched else shared[i.program] for i in instruments), shared)


def places_apart(parts: Sequence[Part], only: Set[int] | None = None) -> ChannelPlan:
    """A channel of its own for each pitched part, on as many ports as it takes; of some parts only, if they are given.

    So nothing is shared, for players that know ports, and for files of so few parts that they need one.
    """
    count = 0
    found: list[PortChannel] = []
    for index, part in enumerate(parts):
        if part.instrument.unpitched or (only is not None and index not in only):
            found.append(PortChannel(PERCUSSION))
            continue
        found.append(PortChannel(PITCHED[count % len(PITCHED)], count // len(PITCHED)))
        count += 1
    return ChannelPlan(tuple(found), {})


def families(parts: Sequence[Part]) -> Mapping[str, frozenset[int]]:
    """The parts of a piece that sixteen channels do not hold, by families of which each fits; nothing if they do.

    By what their files are called: `strings`, and `strings-2` for what fifteen channels do not hold of one.
    """
    if sum(not part.instrument.unpitched for part in parts) <= len(PITCHED):
        return {}
    of_families: dict[str, list[int]] = {}
    for index, part in enumerate(parts):
        of_families.setdefault(part.instrument.family, []).append(index)
    found: dict[str, frozenset[int]] = {}
    for family, numbers in of_families.items():
        pitched = [number for number in numbers if not parts[number].instrument.unpitched]
        unpitched = [number for number in numbers if parts[number].instrument.unpitched]
        for place in range(0, max(len(pitched), 1), len(PITCHED)):
            suffix = family if not place else f"{family}-{place // len(PITCHED) + 1}"
            found[suffix] = frozenset(pitched[place : place + len(PITCHED)] + (unpitched if not place else []))
    return found


_ENSEMBLE = 48
"""String Ensemble 1 of General MIDI, counted from 0."""
_SOLO_STRINGS = frozenset([40, 41, 42, 43])


def with_sections(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The parts, those that several string players play with the sound of a section."""
    return tuple(
        replace(part, instrument=replace(part.instrument, program=_ENSEMBLE))
        if part.section and part.instrument.program in _SOLO_STRINGS else part
        for part in parts
    )  # fmt: skip


def _shared(programs: Sequence[int]) -> dict[int, PortChannel]:
    shared: dict[int, PortChannel] = {}
    for program in dict.fromkeys(programs):
        number = len(shared)
        if number < len(PITCHED):
            shared[program] = PortChannel(PITCHED[number])
            continue
        port = number // len(PITCHED)
        taken = {place.channel for place in shared.values() if place.port == port}
        family = [p.channel for other, p in shared.items() if not p.port and other // _FAMILY == program // _FAMILY]
        shared[program] = PortChannel(next(channel for channel in (*family, *PITCHED) if channel not in taken), port)
    return shared
