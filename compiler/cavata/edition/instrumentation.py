"""Who plays, as title pages and catalogues say it.

In: the parts of a score. Out: the short line, `2.2.2.2 - 4.2.3.1 - timp - 2 perc - hp - str`, or for chamber music the
players by name; and the list of forces in full. The order of the short line is that of the trade: flutes, oboes,
clarinets, bassoons; horns, trumpets, trombones, tuba; timpani and percussion; harp and keyboards; strings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from cavata.edition.ensembles import ensemble
from cavata.instruments.language import Language
from cavata.instruments.printed import printed_name
from cavata.place.score import Part, Score
from cavata.value import dataclass

SEPARATOR = " - "


@dataclass(frozen=True, slots=True)
class _Desk:
    """One place in a group of figures: its instrument, and those that are named beside the figure."""

    usual: tuple[str, ...]
    beside: tuple[tuple[str, str], ...] = ()
    """Instrument and abbreviation, as `piccolo` and `picc`."""

    def figure(self, players: Counter[str], taken_up: Counter[tuple[str, str]]) -> str:
        """As `2`, `2+picc` where a player has only that instrument, `2(picc)` where one of the two takes it up."""
        usual = str(sum(players[key] for key in self.usual))
        usual += self._taken_up(self.usual, taken_up)
        beside = [
            _counted(players[key], short) + self._taken_up((key,), taken_up)
            for key, short in self.beside if players[key]
        ]  # fmt: skip
        return "+".join([usual, *beside] if usual != "0" or not beside else beside)

    def _taken_up(self, keys: tuple[str, ...], taken_up: Counter[tuple[str, str]]) -> str:
        shorts = dict(self.beside)
        others = [
            _counted(count, shorts.get(other) or _SHORT.get(other, other))
            for (key, other), count in taken_up.items() if key in keys and not {key, other} <= {*self.usual}
        ]  # fmt: skip
        return f"({','.join(others)})" if others else ""


_SHORT = {"flute": "fl", "oboe": "ob", "clarinet": "cl", "bassoon": "bn", "trumpet": "tpt", "trombone": "tbn",
          "tuba": "tuba"}  # fmt: skip
"""For players whose own instrument is another."""


_WOODWIND = (
    _Desk(("flute",), (("piccolo", "picc"), ("alto flute", "afl"), ("bass flute", "bfl"))),
    _Desk(("oboe",), (("oboe d'amore", "obda"), ("English horn", "ca"))),
    _Desk(("clarinet", "clarinet in A", "clarinet in C"), (
        ("clarinet in Eb", "Ebcl"), ("clarinet in D", "Dcl"), ("basset horn", "bhn"), ("bass clarinet", "bcl"),
        ("contrabass clarinet", "cbcl"),
    )),
    _Desk(("bassoon",), (("contrabassoon", "cbn"),)),
)  # fmt: skip
_BRASS = (
    _Desk(("horn",)),
    _Desk(("trumpet", "trumpet in C", "trumpet in D", "trumpet in Eb", "piccolo trumpet"), (
        ("cornet", "crt"), ("flugelhorn", "flug"),
    )),
    _Desk(("trombone", "alto trombone", "bass trombone", "contrabass trombone")),
    _Desk(("tuba",), (("euphonium", "euph"), ("cimbasso", "cimb"))),
)  # fmt: skip
_NAMED = {
    "soprano saxophone": "ssax", "alto saxophone": "asax", "tenor saxophone": "tsax", "baritone saxophone": "barsax",
    "bass saxophone": "bsax", "harp": "hp", "celesta": "cel", "piano": "pf", "harpsichord": "hpd", "organ": "org",
    "harmonium": "harm", "guitar": "gtr", "electric guitar": "egtr", "bass guitar": "bgtr", "mandolin": "mand",
}  # fmt: skip
_BODY = frozenset(("violin", "viola", "cello"))
"""With a double bass or without one they are the strings of an orchestra."""
_ORDER = {"harp": 0, "celesta": 1, "piano": 2, "harpsichord": 3, "organ": 4, "harmonium": 5}
_CHOIR = {"soprano": "S", "mezzo-soprano": "Mz", "alto": "A", "countertenor": "Ct", "tenor": "T", "baritone": "Bar",
          "bass voice": "B"}  # fmt: skip


def instrumentation(score: Score) -> str:
    """The forces in one line: in figures for an orchestra, by name for chamber music."""
    parts = score.players
    if not parts:
        return ""
    if not _is_orchestra(parts):
        return ensemble(parts) or ", ".join(_in_full(parts, lower=True))
    return SEPARATOR.join(_figures(parts))


def forces_list(score: Score) -> tuple[str, ...]:
    """Every instrument in full, players of one kind in one line: `2 Flutes`."""
    return tuple(_in_full(score.players))


def players_of(part: Part) -> int:
    """How many play a part: two where winds are named in the plural, as they come in pairs, else one."""
    return 2 if part.section else 1


def _is_orchestra(parts: Sequence[Part]) -> bool:
    """Winds beside a body of strings, strings in sections, or a band."""
    others = [part for part in parts if not part.soloist]
    strings = {part.instrument.key for part in others if part.instrument.family == "strings"}
    winds = [part for part in others if part.instrument.family in ("woodwind", "brass")]
    if strings >= _BODY:
        violins = sum(1 for part in others if part.instrument.key == "violin")
        sections = any(part.section for part in others if part.instrument.family == "strings")
        return sections or (violins > 1 and len(winds) > 1)
    return len(winds) > 5 and {part.instrument.family for part in winds} >= {"woodwind", "brass"}


def _figures(parts: Sequence[Part]) -> Iterator[str]:
    """The sections of the short line."""
    others = [part for part in parts if not part.soloist]
    soloists = [replace(part, own_label=False, number="", label=part.instrument.name) for part in parts if part.soloist]
    if soloists:
        # By instrument, also where the page calls them by the names of their roles.
        yield "solo " + ", ".join(_in_full(soloists, lower=True))
    players: Counter[str] = Counter()
    taken_up: Counter[tuple[str, str]] = Counter()
    for part in others:
        players[part.instrument.key] += players_of(part)
        taken_up.update((part.instrument.key, other.key) for other in part.doublings)
    woodwind, brass = (
        ".".join(desk.figure(players, taken_up) for desk in desks) for desks in (_WOODWIND, _BRASS)
    )
    if any(part.instrument.family in ("woodwind", "brass") for part in others):
        yield woodwind
        yield brass
    if players["timpani"]:
        yield _counted(players["timpani"], "timp")
    percussion = sum(1 for part in others if part.instrument.family == "percussion") - players["timpani"]
    if percussion:
        yield _counted(percussion, "perc")
    for key in sorted((key for key in players if key in _NAMED), key=lambda key: (_ORDER.get(key, 9), key)):
        yield _counted(players[key], _NAMED[key])
    yield from _rest(others)


def _rest(others: Sequence[Part]) -> Iterator[str]:
    """Instruments without an abbreviation, the choir, and the strings."""
    strings = [part for part in others if part.instrument.family == "strings"]
    told = {key for desk in (*_WOODWIND, *_BRASS) for key in (*desk.usual, *(key for key, _ in desk.beside))}
    for part in others:
        family = part.instrument.family
        if family in ("woodwind", "brass", "keyboard", "plucked") and part.instrument.key not in (*told, *_NAMED):
            yield part.label.lower()
    voices = [part for part in others if part.instrument.family == "voice"]
    if voices:
        yield "choir " + "".join(_CHOIR.get(part.instrument.key, part.abbreviation) for part in voices)
    if {part.instrument.key for part in strings} >= _BODY:
        yield "str"
    elif strings:
        yield ", ".join(_in_full(strings, lower=True))


def _in_full(parts: Sequence[Part], lower: bool = False) -> Iterator[str]:
    """Names in full, neighbours of one instrument counted: `2 Flutes`; a name of the composer's own stays as it is.

    A soloist is not counted among those who stand beside him, nor a player among a section.
    """
    alike = groupby(
        parts, key=lambda part: (part.instrument.key, part.doublings, part.soloist, part.section, _own_name(part))
    )
    for (*_, own), run in alike:
        players = list(run)
        first = players[0]
        if own or (len(players) == 1 and not first.section):
            name = _lower(first.label, first) if lower and not own else first.label
        else:
            usual = printed_name(first.instrument, True, first.language)
            name = _lower(usual, first) if lower else usual
            numbers = ", ".join(part.number for part in players)
            name = f"{name} {numbers}".strip() if first.section else f"{len(players)} {name}"
        name += _taken_up(first)
        yield f"{name}, solo" if first.soloist and not lower else name


def _taken_up(part: Part) -> str:
    """What else the player takes up, in brackets."""
    names = (_lower(printed_name(other, False, part.language), part) for other in part.doublings)
    return f" (doubling {', '.join(names)})" if part.doublings else ""


def _own_name(part: Part) -> str:
    """The label where the composer gave it, else nothing."""
    return part.label if part.own_label else ""


def _lower(name: str, part: Part) -> str:
    """Inside a sentence; `English horn` keeps its capital, and so does every German noun."""
    keeps = part.instrument.key[:1].isupper() and part.language is Language.ENGLISH
    return name if keeps or part.language is Language.GERMAN else name[:1].lower() + name[1:]


def _counted(players: int, short: str) -> str:
    return short if players == 1 else f"{players} {short}"
