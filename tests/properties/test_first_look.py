"""A check asks a family only where its first look says that there may be something: over lines made by chance, it must
miss nothing of the first degree."""

from __future__ import annotations

from random import Random

import pytest
from looking import score_of

from cavata.instruments.instrument import Sustain
from cavata.instruments.percussion import WAYS, With
from cavata.instruments.table import as_called
from cavata.playing.finding import Degree
from cavata.playing.first_look import ONE_HAND
from cavata.playing.line import Timing, player_lines
from cavata.playing.playing import FAMILIES
from cavata.playing.profile import PROFESSIONAL

NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
PLAYED = {
    "piano": (21, 108, ".right"), "harpsichord": (36, 90, ".right"), "harp": (24, 100, ".right"),
    "timpani": (36, 62, ""), "flute": (59, 96, ""), "tuba": (26, 65, ""), "trombone": (22, 77, ""),
    "alto trombone": (38, 77, ""), "clarinet": (50, 90, ""), "soprano": (57, 89, ""),
}  # fmt: skip
"""From which key to which, as MIDI numbers, and the staff."""
SIGNS = ("", "", " -> slurred", " -> glissando 1", " -> tremolo", " -> marked ff", " -> trill 1")


def _row(chance: Random, low: int, high: int) -> str:
    items = []
    for _ in range(chance.choice([3, 5, 9])):
        first, wide = chance.randrange(low, high), chance.choice([5, 12, 24, 40])
        keys = sorted({min(high, first + chance.randrange(wide)) for _ in range(chance.choice([1, 1, 1, 2, 3, 5]))})
        names = [f"{NAMES[key % 12]}{key // 12 - 1}" for key in keys]
        items.append(names[0] if len(names) == 1 else f"chord({' '.join(names)})")
    if chance.random() < 0.3:
        items = [chance.choice(items[:2]) for _ in items]
    duration = chance.choice(["1/32", "1/16", "1/8", "1/4", "1/1", "4/1"])
    return f"notes({duration} {' '.join(items)}){chance.choice(SIGNS)}"


def _told(name: str, chance: Random) -> list[str]:
    """The modules that found something of the first degree in a line by chance."""
    low, high, staff = PLAYED[name]
    tempo = chance.choice([40, 90, 160, 240, 320])
    score = score_of(f"p = {name}", f"p{staff}: {_row(chance, low, high)}", f"tempo 1/4 at {tempo}")
    movement, told = score.movements[0], []
    (line,) = player_lines(score.parts[0], movement, movement.staves[0], Timing(movement), score.parts)
    for family in FAMILIES:
        if not family.has(line.instrument) or family.whole or family.later:
            continue
        module = family.load()
        quick = [each.what for each in module.impossible(line, PROFESSIONAL)]
        whole = [each.what for each in module.look(line, PROFESSIONAL) if each.degree is Degree.IMPOSSIBLE]
        assert sorted(quick) == sorted(whole), family.module
        assert not quick or family.may is None or family.may(line), (family.module, quick)
        told += [family.module] if quick else []
    return told


@pytest.mark.parametrize("name", PLAYED)
def test_a_first_look_misses_nothing(name: str) -> None:
    chance = Random(f"first look {name}")
    assert [module for _ in range(8) for module in _told(name, chance)]


def test_what_the_quick_look_calls_struck_with_one_hand_is() -> None:
    """The ways of percussion are decided in `instruments.percussion`."""
    for key in ONE_HAND:
        way = WAYS[key]
        assert (way.hands, way.least) == (1, 1) and way.by is not With.ITSELF, key
        assert as_called(key).tone is not Sustain.HELD, key
