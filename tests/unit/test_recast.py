"""`cavata recast`. Sources: all choices of octaves, tried one by one; ranges as `stdlib/instruments.toml` has them."""

from __future__ import annotations

import json
import random
from itertools import product
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics
from cavata.music.event import Head
from cavata.music.pitch import parse_pitch
from cavata.names.loader import load
from cavata.pipeline import compile_script
from cavata.place.ranges import Reach
from cavata.resources import folder
from cavata.revise.octaves import SoundingItem, choices, octaves_for, rank, step_cost
from cavata.revise.recast import Recasting, recasting
from cavata.revise.recast_shown import recast_text
from cavata.score.score import Score
from cavata.syntax import tree as t
from cavata.syntax.edits import applied

HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
motif tune = tamsin -> from F4 -> in (1/4)
forces
    violin = violin
    cello  = cello
movement first
    meter 3/4
"""


NARROW = Reach(*((parse_pitch(a), parse_pitch(b)) for a, b in (("E4", "E5"), ("C4", "A5"), ("B3", "C6"))))


def recast(text: str, tmp_path: Path, part: str, words: str) -> tuple[Recasting, str]:
    """What is found, and the script with its rows."""
    path = tmp_path / "piece.cavata"
    path.write_text(text, "utf-8")
    bag = Diagnostics()
    loaded = load(path, path.name, bag)
    assert loaded is not None
    main_module = loaded.modules[loaded.main]
    forces = next(each for each in main_module.declarations if isinstance(each, t.Forces))
    force = next(row for row in forces.rows if row.name.text == part)
    found = recasting(loaded, path, None, force, words, bag)
    assert found is not None, bag.ordered()
    return found, applied(text, found.edits[loaded.main])


# ------------------------------------------------------------------ the search, against all choices


def _random_item(chance: random.Random) -> SoundingItem:
    lows = [chance.randrange(40, 90) for _ in range(chance.randrange(1, 5))]
    keys = tuple((low, low + chance.choice([0, 0, 4, 12])) for low in lows)
    return SoundingItem(keys, keys[0][1], keys[-1][1], chance.random() < 0.9, chance.random() < 0.1)


def test_octaves_cost_least_of_all_choices() -> None:
    chance = random.Random(7)
    for _ in range(60):
        items = [_random_item(chance) for _ in range(chance.randrange(1, 5))]

        def cost(moved: tuple[int, ...], items: list[SoundingItem] = items) -> int:
            total = step_cost(None, 0, items[0], moved[0])
            for number in range(1, len(items)):
                total += step_cost(items[number - 1], moved[number - 1], items[number], moved[number])
            return total

        found = octaves_for(items, NARROW)
        allowed = [choices(item, NARROW) for item in items]
        assert all(octaves in ways for octaves, ways in zip(found, allowed, strict=True))
        assert cost(found) == min(cost(moved) for moved in product(*allowed))


def test_no_octave_lies_better() -> None:
    chance = random.Random(8)
    for _ in range(200):
        item = _random_item(chance)
        (octaves,) = octaves_for([item], NARROW)
        assert not item.movable or rank(item, octaves, NARROW) == min(rank(item, n, NARROW) for n in range(-3, 4))


def test_contour_keeps_neighbors_together() -> None:
    """The first item has to go down from E6; the second, a step below it, reaches both octaves and goes along."""
    items = [SoundingItem(((88, 88),), 88, 88), SoundingItem(((74, 74), (75, 75), (76, 76), (64, 64)), 76, 64)]
    assert octaves_for(items, NARROW) == (-1, 0)
    wide = Reach(*((parse_pitch(a), parse_pitch(b)) for a, b in (("C3", "C6"), ("C3", "C6"), ("C3", "C6"))))
    keys = (((88, 88),), ((86, 86), (83, 83)), ((81, 81),))
    items = [SoundingItem(chord, chord[0][1], chord[-1][1]) for chord in keys]
    assert octaves_for(items, wide) == (-1, -1, -1)


# ------------------------------------------------------------------ the rows


RANGES = ("I201", "I202", "I103")
SHIFTS = [f" -> {way} {size}" for way in ("up", "down") for size in ("P8", "P15", "P22")] + [""]


@pytest.mark.slow
@pytest.mark.parametrize("words", ["flute", "bassoon", "alto flute", "double bass"])
def test_no_other_octaves_would_be_told_less_of(words: str, tmp_path: Path) -> None:
    """Every choice of octaves for two items, compiled: none has fewer warnings of range than the rows of `recast`."""
    lines = ("tune", "tune -> up P8 -> in (1/8)")

    def script(first: str, second: str) -> str:
        return HEAD + f"    violin: {lines[0]}{first}, {lines[1]}{second} x 2\n    cello at bar 1: tune -> down P8\n"

    _, text = recast(script("", ""), tmp_path, "violin", words)

    def told(script: str) -> int:
        made = compile_script(tmp_path / "piece.cavata", "piece.cavata", script)
        assert made.score is not None
        return sum(1 for m in made.bag.ordered() if m.code in RANGES and "`violin`" in m.message)

    other = [script(*shifts).replace("violin = violin", f"violin = {words}") for shifts in product(SHIFTS, repeat=2)]
    assert told(text) == min(told(each) for each in other)


def test_only_the_forces_and_the_items_change(tmp_path: Path) -> None:
    """The cello has nothing to play; the violin's tune is out of the double bass's reach wherever it stands."""
    text = HEAD + (
        "    violin: (tune + tune) x 2       -- a comment\n"
        "            , tune -> up P8         -- another\n"
        "            -> marked p for 2 bars, tune -> up P15   -- a third\n"
    )
    found, written = recast(text, tmp_path, "cello", "clarinet")
    assert written == text.replace("cello  = cello", "cello  = clarinet") and not found.items
    _, written = recast(text, tmp_path, "violin", "double bass")
    assert "violin = double bass\n" in written
    for octaves in (" -> down P8", " -> down P15", " -> up P8", " -> up P15"):
        text, written = text.replace(octaves, ""), written.replace(octaves, "")
    assert written == text.replace("violin = violin", "violin = double bass")


def test_what_nobody_can_play_on_the_instrument_is_said(tmp_path: Path) -> None:
    """A triad for one flute, and a stop that lies on one string of a violin: common practice."""
    text = HEAD + "    violin: notes(3/4 chord(D4 A4) chord(G4 E5))\n    cello: notes(3/4 chord(G3 B3))\n"
    found, _ = recast(text, tmp_path, "violin", "flute")
    assert [(m.code, "`violin` cannot play" in m.message) for m in found.left] == [("I303", True)]
    found, _ = recast(text, tmp_path, "violin", "viola")
    assert not found.left


def test_octaves_that_stand_there_already_change(tmp_path: Path) -> None:
    text = HEAD + "    violin: tune -> up P15, tune -> up P8, (tune + tune), tune -> down P8 -> down P8 x 2\n"
    _, written = recast(text, tmp_path, "violin", "double bass")
    line = next(line for line in written.splitlines() if line.strip().startswith("violin:"))
    assert "up P15" not in line and "-> down P8 -> down P8 -> " not in line
    assert "(tune + tune) -> down P" in line


def test_an_ossia_moves_with_what_stands_below_it(tmp_path: Path) -> None:
    """By itself it would lie well an octave farther down, or stay."""
    text = HEAD + (
        "    violin: notes(1/4 F5 A5 C6) -> marked p, notes(1/4 C5 E5 F5)\n"
        '    violin at bar 1 ossia: notes(1/4 F5 C6 F6) -> marked "high (or not)"\n'
    )
    found, written = recast(text, tmp_path, "violin", "cello")
    assert 'ossia: notes(1/4 F5 C6 F6) -> marked "high (or not)" -> down P8' in written
    assert [item.text for item in found.items] == [
        "notes(1/4 F5 A5 C6) -> marked p", "notes(1/4 C5 E5 F5)", 'notes(1/4 F5 C6 F6) -> marked "high (or not)"',
    ]  # fmt: skip


def test_what_is_still_told_of_many_notes_is_told_once(tmp_path: Path) -> None:
    text = HEAD + "    violin: tune -> up P15, tune -> up P15, tune -> up P15\nrequire\n    violin within C5..C7\n"
    found, _ = recast(text, tmp_path, "violin", "cello")
    shown = recast_text(found, load(tmp_path / "piece.cavata", "piece.cavata", Diagnostics()))  # type: ignore[arg-type]  # it was read
    told = [line for line in shown.splitlines() if line.startswith("still told then")]
    assert len(found.broken) > 1 and len(told) == len(set(told)) < len(found.broken)


def test_item_that_others_play_stays(tmp_path: Path) -> None:
    """The tunes meet in the middle of a bar, so that no row for whole bars moves one of them."""
    text = HEAD + "    violin, cello: tune -> down P8 -> in (1/8 1/16), tune -> in (1/8)\n"
    found, written = recast(text, tmp_path, "violin", "flute")
    assert [item.octaves for item in found.items] == [0, 0] and "`cello` plays it too" in found.items[0].fixed
    assert found.left and text.replace("violin = violin", "violin = flute") == written


def test_bars_in_which_others_play_too_have_a_row(tmp_path: Path) -> None:
    """Down to G2 the first tune is too low for the flute by two octaves; the second, in reach, follows by one."""
    text = HEAD + (
        "    section a 4 bars\n        violin, cello: tune -> down P8, tune -> up P8  -- so\n"
        "    section b 4 bars = a\n"
    )
    found, written = recast(text, tmp_path, "violin", "flute")
    assert written == text.replace("violin = violin", "violin = flute").replace(
        "-- so\n", "-- so\n        violin bars 1 to 2: up P15\n        violin bars 3 to 4: up P8\n"
    )
    assert not found.left and not any(item.fixed for item in found.items)


def test_item_in_an_inverted_section_stays_where_the_octave_would_turn(tmp_path: Path) -> None:
    """About C3 the tune lies in the second octave; an octave up before the inversion is an octave down after it."""
    text = HEAD + "    section low 2 bars -> inverted about C3\n        violin: tune\n"
    found, written = recast(text, tmp_path, "violin", "flute")
    assert [item.octaves for item in found.items] == [0] and "elsewhere" in found.items[0].fixed
    assert "violin: tune\n" in written


def test_doubling_is_an_item_and_moves_along(tmp_path: Path) -> None:
    text = HEAD + "    section a 2 bars\n        cello: tune -> down P8\n        violin doubles cello    -- so\n"
    found, written = recast(text, tmp_path, "violin", "flute")
    assert "violin doubles cello -> up P" in written and written.count("-- so") == 1
    found, _ = recast(text, tmp_path, "cello", "flute")
    assert found.followers == ("violin",)


def test_passage_is_written_where_it_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("house.cavata").write_text("language 2\npassage answer(who, m)\n    who: m  -- the tune\n", "utf-8")
    text = HEAD.replace("forces", 'use answer from "house.cavata"\nforces') + "    passage answer(violin, tune)\n"
    Path("piece.cavata").write_text(text, "utf-8")
    assert main(["recast", "piece.cavata", "violin", "double bass", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["rows"]
    assert [row["where"].split()[0] for row in rows] == ["line", "house.cavata"]
    assert main(["recast", "piece.cavata", "violin", "double bass", "--write"]) == 0
    assert capsys.readouterr().out.split() == ["piece.cavata", "house.cavata"]
    assert "who: m -> down P" in Path("house.cavata").read_text() and "-- the tune" in Path("house.cavata").read_text()
    assert Path("piece.cavata").read_text() == text.replace("violin = violin", "violin = double bass")


@pytest.mark.parametrize(
    ("piece", "part", "words"),
    [("string_quartet", "violin2", "double bass"), ("saxophones", "soprano", "double bass"),
     ("concerto", "violin1", "tuba"), ("wind_quintet", "bassoon", "flute")],
)  # fmt: skip
def test_the_part_moves_by_octaves_and_no_other_part(piece: str, part: str, words: str) -> None:
    path = folder("examples") / "gallery" / f"{piece}.cavata"
    text = path.read_text("utf-8")
    before, bag = compile_script(path).score, Diagnostics()
    loaded = load(path, path.name, bag)
    assert loaded is not None and before is not None
    declarations = loaded.modules[loaded.main].declarations
    force = next(
        row for each in declarations if isinstance(each, t.Forces) for row in each.rows if row.name.text == part
    )
    found = recasting(loaded, path, None, force, words, bag)
    assert found is not None and any(item.octaves for item in found.items)
    after = compile_script(path, path.name, applied(text, found.edits[loaded.main])).score
    assert after is not None
    for number, each in enumerate(before.parts):
        new = next(place for place, other in enumerate(after.parts) if other.name == each.name)
        steps = [
            b.pitch.midi - a.pitch.midi for a, b in zip(_heads(before, number), _heads(after, new), strict=True)
        ]
        assert all(step % 12 == 0 for step in steps) and (each.name == part or not any(steps))


def _heads(score: Score, part: int) -> list[Head]:
    """The notes of a part, those of chords from the lowest, in the order of its voices."""
    return [
        head for movement in score.movements for staff in movement.staves[part] for voice in staff.voices
        for event in voice for head in event.event.heads
    ]
