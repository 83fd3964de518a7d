"""What explore counts, against published names and values; what combine finds, against Palestrina.

Sources: the names of the Kammerkonzert of Berg, Schönberg and Webern, as its first page has them (Taruskin, Oxford
History of Western Music 4, ch. 6), of which Schönberg's holds the others' notes; correlations of music21's
`KrumhanslSchmuckler` (version 10.5.1), whose weights are those of Krumhansl and Kessler. The Gloria
of the Missa Ad fugam and the Benedictus of the Missa O Rex gloriae in the corpus that comes with music21.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from music21 import corpus, note, stream
from music21.analysis.discrete import KrumhanslSchmuckler

from cavata.combine.combine import combine
from cavata.combine.placement import FORMS, Bounds
from cavata.combine.shown import pasted
from cavata.diagnostics import Diagnostics
from cavata.explore.explore import Explored
from cavata.explore.exploring import Asked, Exploring
from cavata.explore.space import SearchLimits
from cavata.explore.twelve import all_twelve
from cavata.music.event import Event, Head, Motif
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch, parse_pitch_class
from cavata.pipeline import compile_script

NAMES = {"schoenberg": "ADSCHBEG", "webern": "AEBE", "berg": "ABABEG", "bach": "BACH", "haydn": "HADDG", "fae": "FAE"}
SCRIPT = "language 2\nuse german from ciphers\n" + "".join(
    f'name {word} = "{letters}" by german\n' for word, letters in NAMES.items()
)


def found(folder: Path, names: tuple[str, ...], limits: SearchLimits, prefer: str = "") -> tuple[Explored, ...]:
    bag = Diagnostics()
    compiled = compile_script(folder / "names.cavata", text=SCRIPT)
    explored = Exploring(compiled, bag, lambda _: None).run(Asked(names, limits, prefer=prefer))
    assert not bag.has_errors
    return explored


def test_three_viennese_names_have_the_eight_notes_of_the_teachers(tmp_path: Path) -> None:
    names = ("schoenberg", "webern", "berg")
    twelve = all_twelve(found(tmp_path, names, SearchLimits(0, 3, 5, 0)))
    assert (twelve.notes, twelve.inflections) == (8, 0)


@pytest.mark.parametrize("name", ["schoenberg", "bach", "haydn", "fae"])
def test_key_is_the_correlation_that_music21_finds(name: str, tmp_path: Path) -> None:
    best = found(tmp_path, (name,), SearchLimits(0, 0, 9, 0))[0].ranked[0]
    line = stream.Stream([note.Note(str(p).replace("b", "-")) for p in best.line])
    key = KrumhanslSchmuckler().getSolution(line)
    assert best.values[best_column(tmp_path, name)] == pytest.approx(key.correlationCoefficient, abs=1e-9)


def best_column(folder: Path, name: str) -> int:
    return found(folder, (name,), SearchLimits(0, 0, 9, 0))[0].criteria.index("key")


# ------------------------------------------------------------------ Palestrina


def line(part: Any) -> Motif:
    """A part with its ties joined."""
    events = []
    for found in part.stripTies().flatten().notesAndRests:
        heads = () if found.isRest else (Head(parse_pitch(found.pitch.nameWithOctave.replace("-", "b")), ()),)
        events.append(Event(Fraction(found.quarterLength) / 4, heads))
    return Motif(tuple(events))


def cut(whole: Motif, length: Fraction) -> Motif:
    """The line from its first note on, for so long."""
    first = next(number for number, event in enumerate(whole.events) if event.heads)
    events: list[Event] = []
    for event in whole.events[first:]:
        if sum((e.duration for e in events), Fraction(0)) >= length:
            break
        events.append(event)
    return Motif(tuple(events))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("work", "part", "script"),
    [
        ("Benedictus_90_a", 2, "canon(voice, at P8 above, after 4/1)"),
        ("Gloria_00", 3, "canon(voice, at P4 above, after 1/1)"),
    ],
)
def test_the_printed_canon_is_the_only_one_that_its_leader_allows(work: str, part: int, script: str) -> None:
    leader = cut(line(corpus.parse(f"palestrina/{work}.krn").parts[part]), Fraction(20))
    limits = Bounds(Fraction(8), Fraction(1, 2), 12, FORMS[:1], Fraction(1), "strict", True)
    found = combine(leader, leader, limits, 2)
    assert found.placements >= 400 and found.clean == 1
    assert pasted("m", "voice", "voice", found.best[0], leader, True) == f"motif m = {script}"


@pytest.mark.slow
def test_the_printed_canon_by_degrees_is_found_only_within_its_mode() -> None:
    """The soprano of the Gloria answers the alto a fourth above, by degrees: F by B, not by B flat."""
    alto, soprano = (line(corpus.parse("palestrina/Gloria_00.krn").parts[part]) for part in (1, 0))
    leader = cut(alto, Fraction(20))
    printed = [event.heads[0].pitch for event in soprano.sounding[: len(leader.sounding)]]
    same = {}
    for mode in (None, Mode(parse_pitch_class("C"), "major")):
        limits = Bounds(Fraction(2), Fraction(1, 2), 12, FORMS[:4], Fraction(1), "strict", True, mode)
        found = combine(leader, leader, limits, 10_000)
        lines = {pasted("m", "voice", "voice", placed, leader, True): placed.line for placed in found.best}
        same[str(mode)] = [
            row for row, answer in lines.items()
            if "after 1/1" in row and [event.heads[0].pitch for event in answer.sounding] == printed
        ]  # fmt: skip
    assert same == {"None": [], "C major": ["motif m = canon(voice, at P4 above, after 1/1, in C major)"]}
