"""Combine: the same placements in the same order as a plain loop, and pasted lines that are exactly the placement.

Source: a plain search written out again in `tests/bench/combine_plain.py`; the compiler itself for what is pasted.
"""

from __future__ import annotations

import json
import random
import sys
from fractions import Fraction
from functools import lru_cache
from itertools import combinations
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates
from rounds import rounds

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "bench"))
import combine_plain

from cavata.cli.main import main
from cavata.combine.combine import combine
from cavata.combine.placement import FORMS, Bounds, FollowerPlacement
from cavata.combine.shown import Pair, combine_script, pasted
from cavata.combine.telling import place_text
from cavata.music.event import Event, Head, Motif, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, parse_pitch_class
from cavata.pipeline import compile_script

D_MINOR = Mode(parse_pitch_class("D"), "minor")
LANTERN = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
motif hail = tamsin -> sharp 1 -> in (1/4. 1/8 1/4)
motif tide = notes(1/4 rest D4, 1/8 F4 E4, 1/4 D4 rest, 1/2 A3, 1/8 Bb3 G3)
motif still = notes(1/1 D4)
motif tune = notes(1/2 D4 F4, 1/4 E4 D4, 1/2 C#4 | 1/2 D4 A4, 1/4 G4 F4, 1/2 E4)
motif plain = notes(1/2 D4 F4, 1/4 E4 D4, 1/2 C4 | 1/2 D4 A4, 1/4 G4 F4, 1/2 E4)
motif hush = notes(1/4 rest)
motif blaze = chord(C4 E4)
"""


@lru_cache(1)
def _of_the_lantern() -> dict[str, object]:
    return values()


def values(script: str = LANTERN) -> dict[str, object]:
    compiled = compile_script(Path("lantern.cavata"), "lantern.cavata", script)
    assert not compiled.bag.has_errors, [d.message for d in compiled.bag.ordered()]
    plan = compiled.plan
    assert plan is not None
    return {i.name: value for i, value in plan.values.items() if i.module == plan.main}


def motif(name: str) -> Motif:
    value = _of_the_lantern()[name]
    assert isinstance(value, Motif)
    return value


def bounds(
    rules: str, canon: bool = False, forms: int = 12, reach: int = 9, mode: Mode | None = None
) -> Bounds:
    return Bounds(Fraction(3, 2), Fraction(3, 8), reach, FORMS[:forms], Fraction(1, 2), rules, canon, mode)


# ------------------------------------------------------------------ the oracle


@pytest.mark.slow
@pytest.mark.parametrize(
    ("leader", "follower", "limits"),
    [
        ("hail", "tide", bounds("strict", reach=3)),
        ("tide", "hail", bounds("free", forms=6, reach=5)),
        ("tide", "tide", bounds("canon", canon=True, forms=5, reach=13)),
        ("tune", "tide", bounds("octave", forms=3, reach=5)),
        ("tune", "hail", bounds("tenth", forms=2, reach=5)),
        ("still", "tune", bounds("twelfth", forms=2)),
        ("tune", "tune", bounds("stretto", canon=True, forms=1)),
        ("tune", "tide", bounds("quodlibet", forms=1, reach=24)),
        ("tune", "tune", bounds("canon", canon=True, forms=5, reach=8, mode=D_MINOR)),
        ("tide", "tide", bounds("strict", canon=True, reach=5, mode=Mode(parse_pitch_class("D"), "minor_pentatonic"))),
        ("hail", "tide", bounds("free", forms=6, mode=D_MINOR)),
    ],
    ids=lambda value: f"{value.rules} in {value.mode}" if isinstance(value, Bounds) else value,
)
def test_same_placements_in_the_same_order_as_a_plain_loop(leader: str, follower: str, limits: Bounds) -> None:
    leads, follows = motif(leader), motif(follower)
    plain = combine_plain.search(leads, follows, limits)
    found = combine(leads, follows, limits, len(plain) + 1)
    assert len(plain) > 8
    assert [
        (p.answer, p.delay, p.line, [(b.name, b.at) for b in p.faults], p.together, p.imperfect) for p in found.best
    ] == plain
    assert found.clean == sum(not faults for _, _, _, faults, _, _ in plain)


def test_forms_that_cannot_be_written_are_left_out() -> None:
    odd = values('language 2\nmotif odd = notes(1/4 Cb4 F##4 C##4 Bbb3)\n')["odd"]
    assert isinstance(odd, Motif)
    plain = combine_plain.search(motif("still"), odd, bounds("free"))
    found = combine(motif("still"), odd, bounds("free"), len(plain) + 1).best
    assert [(p.answer, p.delay) for p in found] == [placed[:2] for placed in plain]
    assert plain and not any(placed[0].inverted for placed in plain)


@pytest.mark.slow
def test_faults_of_every_kind_are_found_somewhere() -> None:
    names = {
        b.name
        for rules in ("strict", "twelfth")
        for p in combine(motif("tune"), motif("tide"), bounds(rules), 5000).best
        for b in p.faults
    }
    same = combine(motif("tune"), motif("tune"), bounds("strict", forms=1, reach=12), 5000).best
    names |= {b.name for p in same for b in p.faults}
    assert {
        "parallel fifths", "parallel octaves", "direct fifth", "direct octave",
        "dissonance on a strong beat", "leapt dissonance", "inverted: dissonance on a strong beat",
    } <= names  # fmt: skip


def random_line(seed: int, values: tuple[Fraction, ...], count: int) -> Motif:
    """A line of the white keys, mostly by step."""
    chance = random.Random(seed)
    position, events = 29, []
    for _ in range(count):
        position = min(36, max(24, position + chance.choice((-2, -1, -1, -1, 1, 1, 1, 2, 4, -3))))
        heads = () if chance.random() < 0.05 and len(values) > 1 else (Head(Pitch(position, 0), ()),)
        events.append(Event(chance.choice(values), heads))
    return Motif(tuple(events))


WHOLE, HALVES = (Fraction(1),), (Fraction(1, 2),)
MIXED = (Fraction(1, 4), Fraction(1, 4), Fraction(1, 2), Fraction(1, 8), Fraction(3, 4))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(rounds(1)))
@pytest.mark.parametrize("values", [(WHOLE, WHOLE), (WHOLE, HALVES), (WHOLE, MIXED), (MIXED, MIXED), (MIXED, WHOLE)])
def test_free_accepts_what_strict_accepts(values: tuple[tuple[Fraction, ...], ...], seed: int) -> None:
    """A rule of `free` that `strict` has not would condemn some of its suspensions."""
    lines = random_line(seed, values[0], 5), random_line(seed + 100, values[1], 9)
    clean = {}
    for rules in ("strict", "free"):
        limits = Bounds(Fraction(2), Fraction(1, 4), 9, FORMS[:2], Fraction(1, 2), rules)
        found = combine(*lines, limits, 100_000, least=Fraction(0)).best
        clean[rules] = {(p.answer, p.delay) for p in found if not p.faults}
    assert clean["strict"] <= clean["free"]
    assert len(clean["strict"]) < len(clean["free"])


@pytest.mark.parametrize("rules", ["free", "strict"])
@pytest.mark.parametrize("varied", [False, True])
def test_offers_differ_in_two_of_form_delay_and_interval(rules: str, varied: bool) -> None:
    limits = Bounds(Fraction(3, 2), Fraction(1, 4), 24, FORMS, Fraction(1, 2), rules)
    found = combine(motif("tune"), motif("plain"), limits, 8, varied=varied).best
    forms = [(p.answer.retrograde, p.answer.inverted, p.answer.slower) for p in found]
    kinds = [(p.delay, p.answer.interval.steps % 7, form) for p, form in zip(found, forms, strict=True)]
    alike = [(a, b) for a, b in combinations(kinds, 2) if sum(x == y for x, y in zip(a, b, strict=True)) > 1]
    assert len(found) == 8 and bool(alike) != varied
    # The best is offered first either way.
    best = combine(motif("tune"), motif("plain"), limits, 1).best[0]
    assert (found[0].answer, found[0].delay) == (best.answer, best.delay)


# ------------------------------------------------------------------ pasting


def check(texture: object, leader: Motif, placement: FollowerPlacement) -> None:
    assert isinstance(texture, Texture) and len(texture.lines) == 2

    def heard(line: Motif, onset: Fraction) -> list[object]:
        return [(n.onset, n.end, n.pitch) for n in combine_plain.notes_of(line, onset)]

    assert heard(texture.lines[0], Fraction(0)) == heard(leader, Fraction(0))
    assert heard(texture.lines[1], Fraction(0)) == heard(placement.line, placement.delay)


@pytest.mark.slow
@pytest.mark.parametrize("mode", [None, D_MINOR], ids=str)
@pytest.mark.parametrize(
    ("leader", "follower"), [("hail", "tide"), ("tide", "plain"), ("tide", "tide"), ("tune", "tune")]
)
def test_what_is_pasted_compiles_to_exactly_the_placement(leader: str, follower: str, mode: Mode | None) -> None:
    """A canon answers what is foreign to its mode exactly; other followers keep to it, as the command asks."""
    canon = leader == follower
    limits = bounds("canon" if canon else "free", canon, reach=14, mode=mode)
    found = combine(motif(leader), motif(follower), limits, 4000, least=Fraction(1, 4)).best
    chosen = found[:: 1 + len(found) // 40]
    assert len({p.answer.slower for p in chosen}) == 3 and len({p.answer.retrograde for p in chosen}) == 2
    rows = [
        pasted(f"pasted{n}", leader, follower, placement, motif(follower), canon) for n, placement in enumerate(chosen)
    ]
    made = values(LANTERN + "\n".join(rows) + "\n")
    for number, placement in enumerate(chosen):
        check(made[f"pasted{number}"], motif(leader), placement)


# ------------------------------------------------------------------ the command


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(LANTERN)
    return tmp_path


@pytest.mark.parametrize(
    "words",
    [
        ["hail", "tune"], ["tune"], ["tune", "--in", "D minor"], ["tune", "--rules", "stretto", "--delay", "1/1"],
    ],
)  # fmt: skip
def test_command_prints_lines_that_compile(words: list[str], desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["combine", "lantern.cavata", *words, "--top", "4"]) == 0
    text = capsys.readouterr().out
    assert main(["combine", "lantern.cavata", *words, "--top", "4", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    rows = [row for candidate in document["candidates"] for row in candidate["script"]]
    assert len(rows) == 4 and all(f"    {row}\n" in text for row in rows)
    made = values(LANTERN + "\n".join(rows) + "\n")
    assert all(isinstance(made[row.split()[1]], Texture) for row in rows)
    counts = [len(candidate["faults"]) for candidate in document["candidates"]]
    assert counts == sorted(counts) and document["clean"] >= counts.count(0)


FAULTS = {
    "octaves on strong beats": ("D4 F4 E4 D4", "1/2 rest D5 | 1/2 A4 F4 | 1/2 E5 F5 | 1/1 D5", "direct octave"),
    "fifths on strong beats": (
        "D4 F4 E4 D4 C4 D4", "1/2 A4 D5 | 1/2 C5 D5 | 1/2 B4 G4 | 1/2 A4 B4 | 1/2 C5 B4 | 1/1 D5", "successive fifths",
    ),
    "crossing": ("G4 A4 G4", "1/1 B4 F4 G4", "voices cross"),
    "a melodic seventh": ("D4 F4 E4 D4", "1/1 D4 C5 C#5 D5", "leap of a seventh"),
    "an end on a sixth": ("D4 F4 E4", "1/1 D5 D5 C5", "ending on no octave or unison"),
    "a unison inside": ("D4 E4 G4 F4 E4 D4", "1/1 A4 C5 G4 A4 C#5 D5", "unison on a strong beat"),
    "a cross-relation": ("D4 F4 D4", "1/1 A4 A4 F#4", "cross-relation"),
}
"""Faults of every textbook; cantus firmus in whole notes, counterpoint, and the rule that names it."""


@pytest.mark.parametrize("case", FAULTS)
def test_strict_names_the_faults_of_textbooks(case: str, desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cantus, counterpoint, name = FAULTS[case]
    (desk / "two.cavata").write_text(
        f"language 2\nmotif cantus = notes(1/1 {cantus})\nmotif point = notes({counterpoint})\n"
    )
    words = ["combine", "two.cavata", "cantus", "point", "--rules", "strict", "--plain", "--reach", "0"]
    assert main([*words, "--delay", "1/4", "--grid", "1/1", "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["candidates"]
    told = [fault for fault in found["faults"] + found["licenses"] if name in fault["rule"]]
    assert told and all(fault["source"] and fault["notes"] for fault in told)
    assert {note["line"] for fault in told for note in fault["notes"]} <= {"A", "B"}
    assert found["what"] == "`point` from the beginning"


def test_what_a_placement_is(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["combine", "lantern.cavata", "tune", "--top", "60", "--json"]) == 0
    canons = json.loads(capsys.readouterr().out)["candidates"]
    assert {c["what"] for c in canons if c["delay"] == "1" and c["interval"] == "P5"} <= {
        f"canon{form} at the fifth {way} after a bar" for way in ("above", "below")
        for form in ("", " by inversion", " by retrograde", " by retrograde and inversion", " by augmentation")
    }  # fmt: skip
    assert len(canons) > 12 and any(c["what"].endswith("after half a bar") for c in canons)
    assert main(["combine", "lantern.cavata", "tune", "tide", "--json"]) == 0
    offered = json.loads(capsys.readouterr().out)["candidates"]
    assert len(offered) == 5 and all(c["what"].startswith("`tide` ") for c in offered)


def test_all_shows_the_rest(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["combine", "lantern.cavata", "tune", "tide", "--all", "--json"]) == 0
    every = json.loads(capsys.readouterr().out)["candidates"]
    assert len(every) == 60
    assert main(["combine", "lantern.cavata", "tune", "tide", "--json"]) == 0
    offered = json.loads(capsys.readouterr().out)["candidates"]
    assert offered[0]["script"] == every[0]["script"]


def test_options_of_the_strict_rules(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def clean(*words: str) -> int:
        assert main(["combine", "lantern.cavata", "tune", "--rules", "strict", "--plain", *words, "--json"]) == 0
        found: int = json.loads(capsys.readouterr().out)["clean"]
        return found

    usual = clean()
    assert clean("--avoid", "tritone cross-relation") < usual < clean("--allow", "Leapt Dissonance")
    assert clean("--species", "imitation") == usual
    assert clean("--allow", "direct fifth", "--allow", "direct octave", "--allow", "leapt dissonance") > usual


def test_sheet_compiles_with_letters_and_rests(desk: Path) -> None:
    found = combine(motif("tide"), motif("hail"), bounds("free"), 3)
    pair = Pair("tide", "hail", motif("tide"), motif("hail"), False, "free", Fraction(1), found)
    script = combine_script(pair)
    compiled = compile_script(desk / "sheet.cavata", "sheet.cavata", script)
    assert compiled.score is not None, [d.message for d in compiled.bag.ordered()]
    made = values(script)
    for number, placement in enumerate(found.best):
        line = made[f"follower{number}"]
        assert isinstance(line, Motif)
        assert combine_plain.notes_of(line, Fraction(0)) == combine_plain.notes_of(placement.line, Fraction(0))


def test_places_are_counted_in_bars() -> None:
    assert [place_text(Fraction(n, 4), Fraction(3, 4)) for n in (0, 3, 4)] == ["bar 1", "bar 2", "bar 2, beat 2"]


CASES = [
    ("O340", ["hail", "blaze"]),
    ("O341", ["hail", "tide", "--rules", "canon"]),
    ("O342", ["tide", "--delay", "4/1", "--grid", "4/1"]),
    ("O343", ["hail", "tide", "--delay", "1000/1", "--grid", "1/16"]),
    ("O344", ["tide", "hail", "--in", "D minor"]),
]


@pytest.mark.parametrize(("code", "words"), CASES)
def test_message_is_the_one_of_its_page(
    code: str, words: list[str], desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(["combine", "lantern.cavata", *words]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert holds_or_updates(code, told.err, request.config.getoption("--update"))


@pytest.mark.parametrize(
    ("words", "status", "code"),
    [
        (["nobody"], 1, "O332"), (["hail", "hush"], 1, "O340"), (["hail", "--delay", "x"], 2, "O100"),
        (["hail", "--in", "D miner"], 1, "O334"), (["hail", "tide", "tune", "--in", "D minor"], 1, "O344"),
        (["hail", "tide", "--in", "D minor", "--rules", "quodlibet"], 1, "O344"),
        (["hail", "--grid", "0/4"], 2, "O100"), (["hail", "--rules", "loose"], 2, "O100"),
        (["hail", "--avoid", "crossings"], 2, "O100"), (["hail", "--rules", "free", "--allow", "cambiata"], 2, "O100"),
    ],
)  # fmt: skip
def test_bad_words_are_named(
    words: list[str], status: int, code: str, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["combine", "lantern.cavata", *words]) == status
    assert code in capsys.readouterr().err


PLAYED = """language 2
use french from ciphers
name hail = "HAYDN" by french
forces
    flute = flute
    piano = piano
    snare = snare drum
movement first
    tempo 1/4 at 100
    flute: hail -> from A5 -> in (1/4)
"""


def test_what_the_part_cannot_play_is_said_of_a_placement(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A flute goes no lower than B3: the table of instruments."""
    path = tmp_path / "piece.cavata"
    motifs = "motif high = notes(1/4 C6 D6 E6 F6 G6 A6)\nmotif low = notes(1/4 C3 D3 E3 F3 G3 A3)\n"
    path.write_text(PLAYED.replace("forces", f"{motifs}forces", 1), "utf-8")
    words = ["combine", str(path), "high", "low", "--plain", "--reach", "0", "--top", "2"]
    assert main([*words, "--for", "flute"]) == 0
    assert capsys.readouterr().out.endswith("\n    1: flute has no C3: its lowest note is B3, sounding\n")
    begun = PLAYED.partition("movement")[0]
    path.write_text(begun.replace("forces", f"{motifs}forces", 1), "utf-8")
    assert main([*words, "--for", "flute"]) == 0
    assert "\n    1: flute has no C3: its lowest note is B3, sounding\n" in capsys.readouterr().out
    path.write_text(PLAYED.replace("forces", f"{motifs}forces", 1), "utf-8")
    assert main([*words, "--for", "piano", "--json"]) == 0
    assert [each["not_played"] for each in json.loads(capsys.readouterr().out)["candidates"]] == [[]]
    for part, code in (("snare", "O897"), ("nobody", "O895")):
        assert main([*words, "--for", part]) == 1
        assert code in capsys.readouterr().err
    assert main([*words, "--for", "flute", "--for", "piano"]) == 2
