"""Scripts of any size, and the same score as plain data for a program written by hand.

In: how many notes or lines. Out: the text of a script for ten parts, made of names, rhythms, motifs, a transform of its
own, and sections whose lines vary their motifs by steps; and, compiled from it, what a person would type into a music21
program. The same number gives the same text: every choice is drawn with a fixed seed.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

from cavata.pipeline import compile_script

PARTS = (
    ("flute1", "flute", "D4..D6"), ("oboe1", "oboe", "D4..D6"), ("clarinet1", "clarinet in Bb", "E3..E5"),
    ("bassoon1", "bassoon", "C2..C4"), ("horn1", "horn", "C3..C5"), ("violin1", "violins", "G4..G6"),
    ("violin2", "violins", "G3..G5"), ("violas", "violas", "C3..C5"), ("cellos", "cellos", "C2..C4"),
    ("basses", "double basses", "E1..E3"),
)  # fmt: skip
"""The parts with their instruments, and where each plays."""
NAMES = ("TAMSIN", "CORWEN", "HEDDA", "ISOLDRA", "BRANOC", "MERYN", "ELOWENNA", "PASCO", "JENIFRY", "DERWA")
RHYTHMS = {
    "walking": ("1/4 1/4 1/4 1/4", 4),
    "running": ("1/8 1/8 1/8 1/8 1/8 1/8 1/8 1/8", 8),
    "lilting": ("1/12 1/12 1/12 1/4 1/4. 1/8", 6),
    "rocking": ("1/4. 1/8 1/4. 1/8", 4),
    "syncope": ("1/8 1/4 1/4 1/4 1/8", 5),
    "hurried": ("1/8 1/16 1/16 1/4 1/8 rest 1/8 1/4", 6),
    "broad": ("1/2 1/4. 1/8", 3),
    "triplets": ("1/6 1/6 1/6 1/12 1/12 1/12 1/4", 7),
}
"""Rhythms of one bar of 4/4, each with the notes that it takes."""
STEPS = (
    "", "", "", " -> up M2", " -> down m2", " -> retrograde", " -> rotated 1", " -> rotated -1", " -> sharp 1",
    " -> flat last", " -> up m3 -> marked f", " -> marked staccato", " -> marked p", " -> marked mf accent",
)  # fmt: skip
BARS, SHORT = 12, 4
"""Bars of a section; a long script has short ones, and so lines as people write them."""


def script(notes: int) -> str:
    """A script whose score has so many notes or a few more."""
    chance, motifs, rows, count = random.Random(1), _motifs(1), _movement(), 0
    heading = [*_declarations(), *(row for row, _, _ in motifs), *_forces()]
    while count < notes:
        section, sounding = _section(chance, motifs, len(rows), BARS)
        rows += section
        count += sounding
    return "\n".join([*heading, *rows]) + "\n"


def script_of_movements(movements: int, notes: int, edition: int = 0) -> str:
    """A script of so many movements of so many notes each; another edition differs in one bar of the second."""
    motifs = _motifs(1)
    rows = [*_declarations(), *(row for row, _, _ in motifs), *_forces()]
    for number in range(movements):
        chance, count = random.Random(number), 0
        rows += [f'movement watch{number} "No. {number + 1}"', *_movement()[1:]]
        while count < notes:
            section, sounding = _section(chance, motifs, len(rows), BARS)
            rows += section
            count += sounding
        if number == min(1, movements - 1):
            step = ("P1", "m2", "M2", "m3", "M3", "P4", "P5")[edition % 7]
            rows += ["    section coda 1 bars", f"        flute1: notes(1/4 C5 D5 E5 F5) -> up {step}"]
    return "\n".join(rows) + "\n"


def long_script(lines: int) -> str:
    """A script of so many lines, about half of them motifs."""
    chance, motifs, movement = random.Random(1), _motifs(lines // 160), _movement()
    rows = [*_declarations(), *(row for row, _, _ in motifs), *_forces(), *movement]
    while len(rows) < lines:
        rows += _section(chance, motifs, len(rows), SHORT)[0]
    return "\n".join(rows[:lines]) + "\n"


def _declarations() -> list[str]:
    return [
        "language 2", "", 'piece "Generated"', '    composer "A. Composer"', "", "use french from ciphers", "",
        *(f'name {name.lower()} = "{name}" by french' for name in NAMES), "",
        *(f"rhythm {name} = ({values})" for name, (values, _) in RHYTHMS.items()), "",
        "transform turned(m) = m -> retrograde -> marked mp", "",
    ]  # fmt: skip


def _motifs(rounds: int) -> list[tuple[str, str, int]]:
    """Declarations of motifs of one bar, each with its name and its number of notes."""
    found = []
    for number in range(rounds):
        step = STEPS[number % len(STEPS)]
        for name in NAMES:
            for rhythm, (_, count) in RHYTHMS.items():
                motif = f"{name.lower()}_{rhythm}" + (f"{number}" if number else "")
                whole = f"{name.lower()} x 3 -> first {count}"
                found.append((f"motif {motif} = {whole}{step} -> in {rhythm}", motif, count))
    return found


def _forces() -> list[str]:
    return ["", "forces", *(f"    {name} = {words}" for name, words, _ in PARTS), ""]


def _movement() -> list[str]:
    return ['movement only "Only"', "    meter 4/4", "    key C major", "    tempo 1/4 at 96", ""]


def _section(
    chance: random.Random, motifs: list[tuple[str, str, int]], number: int, length: int
) -> tuple[list[str], int]:
    """The rows of one section, and the notes in it."""
    rows, count = [f"    section stretch{number} {length} bars"], 0
    for part, _, compass in PARTS:
        items: list[str] = []
        bars = 0
        while bars < length:
            _, motif, notes = chance.choice(motifs)
            repeats = min(chance.choice((1, 1, 1, 2)), length - bars)
            kind = chance.randrange(12)
            if kind == 0:
                items.append("1 bar rest")
                repeats = 1
            else:
                value = f"turned({motif})" if kind == 1 else motif
                times = f" x {repeats}" if repeats > 1 else ""
                items.append(f"{value}{chance.choice(STEPS)} -> within {compass}{times}")
                count += notes * repeats
            bars += repeats
        rows.append(f"        {part}: {', '.join(items)}")
    return rows, count


def as_plain_data(path: Path) -> dict[str, Any]:
    """The score of a script as lists: for each part its instrument, its events in order, and its dynamics.

    An event is its pitch as music21 spells it (empty for a rest) and the numerator and denominator of its
    length in quarter notes.
    """
    score = compile_script(path).score
    assert score is not None
    (movement,) = score.movements
    parts: list[dict[str, Any]] = []
    for part, staves in zip(score.parts, movement.staves, strict=True):
        events: list[tuple[str, int, int]] = []
        dynamics: list[tuple[int, int, str]] = []
        now = Fraction(0)
        for placed in staves[0].voices[0]:
            if placed.onset > now:
                events.append(("", *_quarters(placed.onset - now)))
            if placed.event.marks.dynamic:
                dynamics.append((*_quarters(placed.onset), placed.event.marks.dynamic))
            (head,) = placed.event.heads
            events.append((str(head.pitch).replace("b", "-"), *_quarters(placed.event.duration)))
            now = placed.end
        if movement.duration > now:
            events.append(("", *_quarters(movement.duration - now)))
        parts.append({"name": part.label, "events": events, "dynamics": dynamics})
    notes = sum(bool(pitch) for part in parts for pitch, _, _ in part["events"])
    return {"notes": notes, "title": score.header.title, "composer": score.header.composer, "parts": parts}


def _quarters(length: Fraction) -> tuple[int, int]:
    return (length * 4).numerator, (length * 4).denominator


def texture_script(notes: int) -> str:
    """A script of at least so many notes, all of them made by canons, hockets, stretti and pedals for four strings."""
    makings = (
        "canon(theme -> up {i}, at P8 below, after 1/2, voices 4)",
        "stretto(theme -> down {i}, after 1/4, voices 4)",
        "hocket(theme -> up {i}, theme, theme -> down {i}, theme)",
        "together(theme, theme -> up {i}, theme -> retrograde, theme -> inverted about D4)",
    )
    return _for_strings(notes, lambda number, interval: f"        strings: {makings[number % 4].format(i=interval)}")


def plain_script(notes: int) -> str:
    """A script of at least so many notes for four strings, each part with a plain line of its own."""

    def lines(_: int, interval: str) -> str:
        return "\n".join(f"        {part}: theme -> up {interval}" for part in ("one", "two", "three", "four"))

    return _for_strings(notes, lines)


def _for_strings(notes: int, section: Callable[[int, str], str]) -> str:
    theme = "motif theme = notes(1/8 D4 E4 F4 G4, 1/16 A4 Bb4 A4 G4, 1/8 F4 E4, 1/4 D4, 1/8 A4 G4, 1/2 A4)"
    intervals = ("M2", "m3", "M3", "P4", "P5")
    sections = []
    for number in range(-(-notes // (4 * 13))):
        sections += [f"    section s{number}", section(number, intervals[number % len(intervals)])]
    parts = [f"    {name} = violin" for name in ("one", "two", "three", "four")]
    head = ["language 2", theme, "forces", *parts, "group strings = one, two, three, four", "movement only"]
    return "\n".join([*head, *sections]) + "\n"
