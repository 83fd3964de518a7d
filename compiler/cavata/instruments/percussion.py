"""How the unpitched instruments of percussion are played: how many hands they want, with what, and whether they roll.

In: an instrument of the table. Out: its row here. Out also: which sticks or mallets some words on the page name, and
how long it takes to change them. One player has two hands; a stroke with one stick needs one of them, a roll on a drum
both; a pair of clash cymbals is held in both. What is held in the hand is played with it: a player lays down sticks to
take it up, and takes them up again afterward.

Source: common practice, as players' handbooks tell it; all of it from memory. That a player must be given time to
change sticks and to walk is also said in the guide of the BBC National Orchestra of Wales to writing for percussion.
"""

from __future__ import annotations

import re
from enum import Enum

from cavata.instruments.instrument import Instrument
from cavata.record import record


class With(Enum):
    """With what an instrument is struck."""

    STICKS = "drum sticks"
    SOFT = "soft beaters"
    METAL = "a metal beater"
    HAMMER = "a hammer"
    HANDS = "the bare hands"
    ITSELF = "both hands on it"
    """It is its own beater: shaken, cranked, clashed or blown; nothing else is in the hands that hold it."""
    ANY = ""
    """Nobody knows which: `percussion`, a drum set."""


@record
class PlayingWay:
    """How one instrument is played."""

    hands: int
    """That one stroke needs."""
    by: With
    least: int = 1
    """That it needs if the instrument stands or hangs before the player as well as it can."""
    rolls: bool = True
    """Whether it can be rolled or shaken for as long as its note lasts."""


_DRUM, _SOFT, _TRIANGLE = PlayingWay(1, With.STICKS), PlayingWay(1, With.SOFT), PlayingWay(1, With.METAL)
_HANDS, _HELD, _SHAKEN = PlayingWay(1, With.HANDS), PlayingWay(2, With.ITSELF), PlayingWay(1, With.ITSELF)
_SINGLE, _HAMMER = PlayingWay(2, With.ITSELF, rolls=False), PlayingWay(1, With.HAMMER)
WAYS = {
    "triangle": _TRIANGLE, "finger cymbals": _SINGLE, "sleigh bells": _SHAKEN, "bell tree": _TRIANGLE,
    "wind chimes": _SHAKEN, "cowbell": _DRUM, "agogo bells": _DRUM, "anvil": _HAMMER, "brake drum": _HAMMER,
    "claves": _HELD, "castanets": _SHAKEN, "wood block": _DRUM, "temple blocks": _DRUM, "log drum": _SOFT,
    "whip": _SINGLE, "ratchet": _HELD, "hammer": PlayingWay(2, With.ITSELF, 2, rolls=False), "maracas": _HELD,
    "guiro": _HELD,
    "cabasa": _HELD, "shaker": _SHAKEN, "sandpaper blocks": PlayingWay(2, With.ITSELF, 2), "rainstick": _HELD,
    "vibraslap": _SINGLE, "wind machine": _SHAKEN, "thunder sheet": _SHAKEN, "siren": _SHAKEN, "whistle": _SHAKEN,
    "lions roar": _HELD, "tambourine": _HELD, "bongos": _HANDS, "congas": _HANDS, "timbales": _DRUM, "cajon": _HANDS,
    "snare drum": _DRUM, "field drum": _DRUM, "tabor": _DRUM, "tom toms": _DRUM, "tenor drum": _DRUM, "taiko": _DRUM,
    "rute": _DRUM, "hi hat": _DRUM, "suspended cymbal": _SOFT, "sizzle cymbal": _SOFT, "Chinese cymbal": _SOFT,
    "ride cymbal": _DRUM, "splash cymbal": _DRUM, "cymbals": PlayingWay(2, With.ITSELF, 2), "gong": _SOFT,
    "tam tam": _SOFT, "bass drum": _SOFT, "drum set": PlayingWay(1, With.ANY), "percussion": PlayingWay(1, With.ANY),
}  # fmt: skip
"""By the key of the table of instruments."""
KIT = frozenset(["hi hat", "ride cymbal"])
"""What makes a drum kit of a set: its player sits, and has pedals for the bass drum and the hi-hat."""
PEDALS = {"bass drum": (0, 0), "hi hat": (1, 0)}
"""Of a drum kit: how many hands a stroke needs, and how many at least."""
HANDS = 2
AT_ONCE = 0.3
"""Seconds in which nobody lays down one thing and takes up another."""


def hands_for(way: PlayingWay, is_roll: bool) -> tuple[int, int]:
    """How many hands a stroke or a roll needs, and how many at least."""
    if not is_roll or way.by in (With.METAL, With.ITSELF):  # one hand shakes it, or rolls in a corner of the triangle
        return way.hands, way.least
    return HANDS, 1 if way.by in (With.SOFT, With.ANY) else HANDS


def way_of(instrument: Instrument) -> PlayingWay | None:
    """How an instrument is played; None for one that is no unpitched percussion."""
    return WAYS.get(instrument.key)


# ----------------------------------------------------------------
# Sticks and mallets, as words on the page name them.

_THING = r"\b(sticks?|mallets?|beaters?|brush|brushes|fingers|hands|bow|rods|rutes?|switch)\b"
"""Compiled when there are words: many pieces have none."""
_HOW = ("wood", "wooden", "felt", "yarn", "cord", "rubber", "plastic", "metal", "brass", "leather", "sponge")
_HARDNESS = ("soft", "medium", "hard")


def beaters(words: str) -> frozenset[str]:
    """What words on the page ask a player to strike with, as `hard rubber mallets`; nothing if they ask for nothing.

    Two are the same if they are the same set: `with soft mallets` and `soft mallets`.
    """
    plain = words.casefold().replace("-", " ")
    thing = re.search(_THING, plain)
    if thing is None:
        return frozenset()
    said = [word for word in re.findall(r"[a-z]+", plain) if word in (*_HOW, *_HARDNESS)]
    return frozenset([thing.group().removesuffix("es" if thing.group() == "brushes" else "s"), *said])
