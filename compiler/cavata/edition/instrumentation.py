"""Who plays, as title pages and catalogs say it.

In: the parts of a score. Out: the short line, `2.2.2.2 - 4.2.3.1 - timp - 2 perc - hp - str`, or for chamber music the
players by name; and the list of forces in full. The order of the short line is that of the trade: flutes, oboes,
clarinets, bassoons; horns, trumpets, trombones, tuba; timpani and percussion; harp and keyboards; strings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

from cavata.instruments.foreign import as_soloist, begins_with_a_capital, printed_abbreviation, printed_name
from cavata.instruments.instrument import WINDS, PageLanguage
from cavata.instruments.table import find
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.percussionists import TIMPANI, is_percussion, percussionists, stands
from cavata.score.score import Part, Score
from cavata.text import capital

# ----------------------------------------------------------------
# Chamber ensembles that have a name.
#
# In: the parts of a piece. Out: `string quartet` and its like, in the language of the page, where the forces are
# exactly
# these, one player each.
# Source of the table: common practice.


_TABLE = (
    ("string trio", ("violin", "viola", "cello")),
    ("string quartet", ("violin", "violin", "viola", "cello")),
    ("piano trio", ("violin", "cello", "piano")),
    ("piano quartet", ("violin", "viola", "cello", "piano")),
    ("piano quintet", ("violin", "violin", "viola", "cello", "piano")),
    ("wind quintet", ("flute", "oboe", "clarinet", "horn", "bassoon")),
    ("brass quintet", ("trumpet", "trumpet", "horn", "trombone", "tuba")),
    ("saxophone quartet", ("soprano saxophone", "alto saxophone", "tenor saxophone", "baritone saxophone")),
    ("mixed choir", ("soprano", "alto", "tenor", "bass voice")),
    ("women's choir", ("soprano", "soprano", "alto", "alto")),
    ("men's choir", ("tenor", "tenor", "baritone", "bass voice")),
)
_SAME = {"trumpet in C": "trumpet", "clarinet in A": "clarinet"}
"""The same player with another instrument."""


def ensemble(parts: Sequence[Part]) -> str:
    """The ensemble's name, or nothing where it has none; a soloist stands outside any."""
    if any(part.soloist for part in parts):
        return ""
    keys = Counter(_SAME.get(part.instrument.key, part.instrument.key) for part in parts)
    found = (name for name, wanted in _TABLE if Counter(wanted) == keys)
    return next((page_words(parts[0].language, "ensembles", name) for name in found), "")


# ----------------------------------------------------------------

SEPARATOR = " - "


@record
class _Desk:
    """One place in a group of figures: its instrument, and those that are named beside the figure."""

    usual: tuple[str, ...]
    beside: tuple[str, ...] = ()

    def figure(self, players: Counter[str], taken_up: Counter[tuple[str, str]], language: PageLanguage) -> str:
        """As `2`, `2+picc` where a player has only that instrument, `2(picc)` where one of the two takes it up."""
        usual = str(sum(players[key] for key in self.usual))
        usual += self._taken_up(self.usual, taken_up, language)
        beside = [
            _counted(players[key], _short(key, language)) + self._taken_up((key,), taken_up, language)
            for key in self.beside if players[key]
        ]  # fmt: skip
        return "+".join([usual, *beside] if usual != "0" or not beside else beside)

    def _taken_up(self, keys: tuple[str, ...], taken_up: Counter[tuple[str, str]], language: PageLanguage) -> str:
        others = [
            _counted(count, _short(other, language))
            for (key, other), count in taken_up.items() if key in keys and not {key, other} <= {*self.usual}
        ]  # fmt: skip
        return f"({','.join(others)})" if others else ""


_WOODWIND = (
    _Desk(("flute",), ("piccolo", "alto flute", "bass flute")),
    _Desk(("oboe",), ("oboe damore", "English horn")),
    _Desk(
        ("clarinet", "clarinet in A", "clarinet in C"),
        ("clarinet in Eb", "clarinet in D", "basset horn", "bass clarinet", "contrabass clarinet"),
    ),
    _Desk(("bassoon",), ("contrabassoon",)),
)
_BRASS = (
    _Desk(("horn",)),
    _Desk(
        ("trumpet", "trumpet in C", "trumpet in D", "trumpet in Eb", "piccolo trumpet"), ("cornet", "flugelhorn"),
    ),
    _Desk(("trombone", "alto trombone", "bass trombone", "contrabass trombone")),
    _Desk(("tuba",), ("euphonium", "cimbasso")),
)  # fmt: skip
_NAMED = frozenset((
    "soprano saxophone", "alto saxophone", "tenor saxophone", "baritone saxophone", "bass saxophone", "harp", "celesta",
    "piano", "harpsichord", "organ", "harmonium", "guitar", "electric guitar", "bass guitar", "mandolin",
))  # fmt: skip
"""What has an abbreviation of its own after the winds and percussion."""
_SHORT = {
    "piccolo": "picc", "flute": "fl", "alto flute": "afl", "bass flute": "bfl", "oboe": "ob", "oboe damore": "obda",
    "English horn": "ca", "clarinet": "cl", "clarinet in Eb": "Ebcl", "clarinet in D": "Dcl", "basset horn": "bhn",
    "bass clarinet": "bcl", "contrabass clarinet": "cbcl", "bassoon": "bn", "contrabassoon": "cbn", "trumpet": "tpt",
    "cornet": "crt", "flugelhorn": "flug", "trombone": "tbn", "tuba": "tuba", "euphonium": "euph", "cimbasso": "cimb",
    "soprano saxophone": "ssax", "alto saxophone": "asax", "tenor saxophone": "tsax", "baritone saxophone": "barsax",
    "bass saxophone": "bsax", "timpani": "timp", "harp": "hp", "celesta": "cel", "piano": "pf", "harpsichord": "hpd",
    "organ": "org", "harmonium": "harm", "guitar": "gtr", "electric guitar": "egtr", "bass guitar": "bgtr",
    "mandolin": "mand",
}  # fmt: skip
"""As English catalogs write them."""
_BODY = frozenset(("violin", "viola", "cello"))
"""With a double bass or without one they are the strings of an orchestra."""
_ORDER = {"harp": 0, "celesta": 1, "piano": 2, "harpsichord": 3, "organ": 4, "harmonium": 5}
_CHOIR = {"soprano": "S", "mezzo soprano": "Mz", "alto": "A", "countertenor": "Ct", "tenor": "T", "baritone": "Bar",
          "bass voice": "B"}  # fmt: skip


def instrumentation(score: Score) -> str:
    """The forces in one line: in figures for an orchestra, by name for chamber music."""
    parts = score.players
    if not parts:
        return ""
    if not _is_orchestra(parts):
        return ensemble(parts) or ", ".join(_in_full(_with_sets(score, lower=True), lower=True))
    standing = {score.parts[place].name for _, places in stands(score) for place in places}
    others = [part for part in parts if part.instrument.key != TIMPANI or part.name not in standing]
    return SEPARATOR.join(_figures(others, percussionists(score), score.header.language))


def forces_list(score: Score, in_sentence: bool = False) -> tuple[str, ...]:
    """Every instrument in full, players of one kind in one line: `2 Flutes`; the percussion with its players.

    A soloist is `Violin, solo` in a list; in a sentence, which has no capitals and whose commas part the players,
    `solo violin`.
    """
    parts = _with_sets(score)
    places = [place for place, part in enumerate(parts) if is_percussion(part)]
    if len(places) < 2:
        return tuple(_in_full(parts, in_sentence=in_sentence))
    inside = _with_sets(score, lower=True)
    names = ", ".join(_in_full([inside[place] for place in places], lower=True))
    count = percussionists(score)
    key = "one_percussionist" if count == 1 else "percussionists"
    line = page_words(score.header.language, "forces", key, count=count, names=names)
    if in_sentence and score.header.language is not PageLanguage.GERMAN:
        line = line[:1].lower() + line[1:]
    after = [part for place, part in enumerate(parts) if place > places[0] and place not in places]
    first = _in_full(parts[: places[0]], in_sentence=in_sentence)
    return (*first, line, *_in_full(after, in_sentence=in_sentence))


def _with_sets(score: Score, lower: bool = False) -> tuple[Part, ...]:
    """The players; a set of percussion is one, its instruments in brackets after the name that the composer gave."""
    found: list[Part] = []
    braces = {place: (brace.label, places) for brace, places in stands(score) for place in places}
    for place, part in enumerate(score.parts):
        called, places = braces.get(place, (part.label, ()))
        is_set = part.instrument.unpitched and len(part.members) > 1
        if not is_set and not places:
            found += part.members or (part,)
        elif not places or place == places[0]:
            members = tuple(score.parts[each] for each in places) or part.members
            names = ", ".join(_lower(member.label, member) for member in members)
            own = called != ", ".join(member.label for member in members)
            label = f"{_lower(called, part) if lower else called} ({names})" if own else names
            # What is counted is the percussionist, whose first instrument may be the timpani.
            player = next((member for member in members if is_percussion(member)), part)
            found.append(replace(player, label=label if own or lower else capital(label), own_label=True))
    return tuple(found)


def players_of(part: Part) -> int:
    """How many play a part: two where winds are named in the plural, as they come in pairs, else one."""
    return 2 if part.section else 1


def _is_orchestra(parts: Sequence[Part]) -> bool:
    """Winds beside a body of strings, strings in sections, or a band."""
    others = [part for part in parts if not part.soloist]
    strings = {part.instrument.key for part in others if part.instrument.family == "strings"}
    winds = [part for part in others if part.instrument.family in WINDS]
    if strings >= _BODY:
        violins = sum(1 for part in others if part.instrument.key == "violin")
        sections = any(part.section for part in others if part.instrument.family == "strings")
        return sections or (violins > 1 and len(winds) > 1)
    return len(winds) > 5 and {part.instrument.family for part in winds}.issuperset(WINDS)


def _figures(parts: Sequence[Part], percussion: int, language: PageLanguage) -> Iterator[str]:
    """The sections of the short line, for so many percussionists."""
    others = [part for part in parts if not part.soloist]
    soloists = [
        replace(part, own_label=False, number="", label=printed_name(part.instrument, False, part.language))
        for part in parts if part.soloist
    ]  # fmt: skip
    if soloists:
        # By instrument, also where the page calls them by the names of their roles.
        yield page_words(language, "forces", "soloists", names=", ".join(_in_full(soloists, lower=True)))
    players: Counter[str] = Counter()
    taken_up: Counter[tuple[str, str]] = Counter()
    for part in others:
        players[part.instrument.key] += players_of(part)
        taken_up.update((part.instrument.key, other.key) for other in part.doublings)
    woodwind, brass = (
        ".".join(desk.figure(players, taken_up, language) for desk in desks) for desks in (_WOODWIND, _BRASS)
    )
    if any(part.instrument.family in WINDS for part in others):
        yield woodwind
        yield brass
    if players["timpani"]:
        yield _counted(players["timpani"], _short("timpani", language))
    if percussion:
        yield _counted(percussion, page_words(language, "forces", "percussion"))
    for key in sorted((key for key in players if key in _NAMED), key=lambda key: (_ORDER.get(key, 9), key)):
        yield _counted(players[key], _short(key, language))
    yield from _rest(others, language)


def _rest(others: Sequence[Part], language: PageLanguage) -> Iterator[str]:
    """Instruments without an abbreviation, the choir, and the strings."""
    strings = [part for part in others if part.instrument.family == "strings"]
    told = {key for desk in (*_WOODWIND, *_BRASS) for key in (*desk.usual, *desk.beside)}
    for part in others:
        family = part.instrument.family
        if family in (*WINDS, "keyboard", "plucked") and part.instrument.key not in (*told, *_NAMED):
            yield part.label if language is PageLanguage.GERMAN else part.label.lower()
    voices = [part for part in others if part.instrument.family == "voice"]
    if voices:
        letters = "".join(_CHOIR.get(part.instrument.key, part.abbreviation) for part in voices)
        yield page_words(language, "forces", "choir", voices=letters)
    if {part.instrument.key for part in strings} >= _BODY:
        yield page_words(language, "forces", "strings")
    elif strings:
        yield ", ".join(_in_full(strings, lower=True))


def _in_full(parts: Sequence[Part], lower: bool = False, in_sentence: bool = False) -> Iterator[str]:
    """Names in full, neighbors of one instrument counted: `2 Flutes`; a name of the composer's own stays as it is.

    A soloist is not counted among those who stand beside him, nor a player among a section. `lower` is for a line
    where soloists stand apart, `in_sentence` for one where they are told with the others.
    """
    small = lower or in_sentence
    alike = groupby(
        parts, key=lambda part: (
            part.instrument.key, part.doublings, part.soloist, part.section, part.own_label and part.label
        )
    )  # fmt: skip
    for (*_, own), run in alike:
        players = list(run)
        first = players[0]
        if own:
            name = first.label
        elif len(players) == 1 and not first.section:
            usual = printed_name(first.instrument, False, first.language)
            if small and not (first.soloist and in_sentence):
                name = _lower(first.label.replace(usual, _lower(usual, first)), first)
            else:
                name = usual if first.soloist else first.label
        else:
            usual = printed_name(first.instrument, True, first.language)
            name = _lower(usual, first) if small else usual
            numbers = ", ".join(part.number for part in players)
            name = f"{name} {numbers}".strip() if first.section else f"{len(players)} {name}"
        role = _role(first) if own else ""
        alone = first.soloist and not lower and not role
        as_on_staff = alone and in_sentence and not own
        if as_on_staff:
            name = _lower(as_soloist(_lower(name, first), first.language), first)
        name = _with_doublings(role or name, first)
        yield page_words(first.language, "forces", "soloist", name=name) if alone and not as_on_staff else name


def _role(part: Part) -> str:
    """A soloist's role with voice or instrument, as `The Keeper (baritone)`; nothing where the name says it itself."""
    usual = printed_name(part.instrument, False, part.language)
    if not part.soloist or part.instrument.key.casefold() in part.label.casefold():
        return ""
    return page_words(part.language, "forces", "role", name=part.label, instrument=_lower(usual, part))


def _with_doublings(name: str, part: Part) -> str:
    """A name, and in brackets what else the player takes up."""
    if not part.doublings:
        return name
    others = ", ".join(
        _lower(printed_name(other, False, part.language), replace(part, instrument=other)) for other in part.doublings
    )
    return page_words(part.language, "forces", "doubling", name=name, others=others)


def _lower(name: str, part: Part) -> str:
    """Inside a sentence; `English horn` keeps its capital, and so does every German noun, but not `große Trommel`."""
    if part.language is PageLanguage.ENGLISH:
        key = part.instrument.key
        keeps = key[:1].isupper() and name.startswith(key)
    else:
        keeps = begins_with_a_capital(part.instrument, part.language)
    return name if keeps else name[:1].lower() + name[1:]


def _short(key: str, language: PageLanguage) -> str:
    """An instrument beside the figures: in English as in catalogs, else as before the staves, but without stops."""
    instrument = find(key)
    if language is PageLanguage.ENGLISH or instrument is None:
        return _SHORT.get(key, key)
    return printed_abbreviation(instrument, language).replace(".", "").replace(" (", " ").rstrip(")")


def _counted(players: int, short: str) -> str:
    return short if players == 1 else f"{players} {short}"
