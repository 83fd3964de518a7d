"""Sheets with one thing changed: every field of everything that a sheet holds, one at a time."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from enum import Enum
from fractions import Fraction
from typing import Any

from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import Head, Ornament, Syllable
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, PitchClass
from cavata.notate.written import Beam, Leaf, SungText, WrittenHead
from cavata.score.score import Meter, Tempo, TitlePage
from cavata.source import Source, Span

Step = str | int
Place = tuple[Step, ...]
"""The way from a sheet to a value: names of fields, and indices into tuples."""


def places(value: Any, way: Place = ()) -> Iterator[tuple[Place, tuple[str, str], Any]]:
    """Every value inside another: where it is, its owner's class and field, and the value."""
    if dataclasses.is_dataclass(value) and not isinstance(value, Span):
        for field in dataclasses.fields(value):
            inner = getattr(value, field.name)
            yield (*way, field.name), (type(value).__name__, field.name), inner
            yield from places(inner, (*way, field.name))
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from places(inner, (*way, index))


def at(value: Any, way: Place) -> Any:
    """What stands in a place."""
    for step in way:
        value = value[step] if isinstance(step, int) else getattr(value, step)
    return value


def put(value: Any, way: Place, new: Any) -> Any:
    """The value with another in one place."""
    if not way:
        return new
    step, rest = way[0], way[1:]
    if isinstance(step, int):
        return (*value[:step], put(value[step], rest, new), *value[step + 1 :])
    return dataclasses.replace(value, **{step: put(getattr(value, step), rest, new)})


FITTING: dict[tuple[str, str], tuple[Any, ...]] = {
    ("Leaf", "sung"): ((SungText("la", goes_on=True),), (SungText("", line="ends"), SungText("la", verse=2))),
    ("Leaf", "graces"): (((WrittenHead(Pitch(35, 0), ()),),),),
    ("Leaf", "beams"): ((Beam.BEGIN,), (Beam.CONTINUE, Beam.HOOK_BACKWARD)),
    ("Leaf", "clef"): ("alto", "bass"),
    ("WrittenStaff", "clef"): ("alto", "bass"),
    ("WrittenHead", "color"): ("#0072B2",),
    ("Marks", "articulations"): (("staccato",), ("upbow", "fermata")),
    ("Marks", "dynamic"): ("ff", "pp"),
    ("Marks", "graces"): (((Head(Pitch(35, 0), ()),),),),
    ("Marks", "hairpin"): ("crescendo", "diminuendo", "crescendo from nothing", "diminuendo to nothing", ""),
    ("Marks", "held_notes"): (Fraction(1, 3),),
    ("Marks", "ornaments"): ((Ornament("trill", sign="flat"),), (Ornament("turn"),), (Ornament("trill"),)),
    ("Marks", "sung"): ((Syllable("la"),), (Syllable("la"), Syllable("lu", verse=2))),
    ("Marks", "symbol"): (ChordSymbol(PitchClass(4, 0), "m7b5"), ChordSymbol(PitchClass(1, -1), "", PitchClass(3, 0))),
    ("Marks", "techniques"): (("pizzicato",), ("arco", "muted")),
    ("Marks", "words"): (("farther off",),),
    ("Frame", "barline"): ("double", "repeat ends", "repeat begins", "none", "final"),
    ("Frame", "ending"): ((1,), (1, 2)),
    ("Frame", "key"): (Mode(PitchClass(1, 0), "minor"),),
    ("Frame", "meter"): (Meter(7, 8, (2, 2, 3)), None),
    ("Frame", "tempi"): (((Fraction(0), Tempo(Fraction(0), Fraction(1, 4), Fraction(77), "calm")),),),
    ("WrittenBar", "cue"): ((Leaf(Fraction(1, 2), 0, (WrittenHead(Pitch(35, 0), ()),)),),),
    ("WrittenBar", "key"): (3, -2),
    ("Header", "colors"): ((("tamsin", "#009E73"),),),
    ("Sheet", "title_page"): (TitlePage("fl", (), "about 5 minutes", (), ("Written in C.",)),),
}
"""Values of fields that would else be empty, or that only a few words fit."""


def others(owner: tuple[str, str], value: Any) -> Iterator[Any]:
    """Other values for a field."""
    if owner in FITTING:
        yield from (one for one in FITTING[owner] if one != value)
    else:
        yield from _others(value)


def _others(value: Any) -> Iterator[Any]:
    """Values of the same type that differ."""
    match value:
        case bool():
            yield not value
        case int():
            yield value + 1
            yield value + 9
        case str():
            yield value + "q"
            yield "" if value else "treble"
        case Fraction():
            yield value * 2 if value else Fraction(1, 4)
            yield value / 2 if value else Fraction(3, 2)
        case Enum():
            yield from (one for one in type(value) if one is not value)
        case tuple() if value:
            yield value[:-1]
            yield (*value, value[-1])
        case Span():
            yield Span(Source("elsewhere", "\n\n x"), 2, 3)


def unshared(value: Any) -> Any:
    """The value with every record and tuple in it made anew, so that no two places hold the same one."""
    if isinstance(value, tuple):
        return tuple([unshared(one) for one in value])
    if not dataclasses.is_dataclass(value) or isinstance(value, Span):
        return value
    return dataclasses.replace(value, **{f.name: unshared(getattr(value, f.name)) for f in dataclasses.fields(value)})
