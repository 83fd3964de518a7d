"""The frame of `playing`: moments, their time and what holds; the table of kinds; profiles."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields
from fractions import Fraction
from pathlib import Path

import pytest
from looking import found, line_of, score_of

from cavata.pipeline import Kept, compile_script
from cavata.playing import playing
from cavata.playing.finding import Degree, Finding
from cavata.playing.line import PlayerLine, Timing, player_lines, whole_line
from cavata.playing.playing import FAMILIES, Family, findings
from cavata.playing.profile import LIMITS, PROFESSIONAL, PROFILES, Profile
from cavata.resources import folder
from cavata.score.clock import Clock
from cavata.score.score import Movement, Part, Score, Staff


def test_a_moment_has_what_is_struck_and_what_is_held() -> None:
    line = line_of("piano = piano", "piano.right: notes(1/4 C5 D5, 1/2 E5)\npiano.left: notes(1/1 C3)")
    assert [([str(n.pitch) for n in m.struck], [str(n.pitch) for n in m.held]) for m in line.moments] == [
        (["C3", "C5"], []), (["D5"], ["C3"]), (["E5"], ["C3"]),
    ]  # fmt: skip
    assert [note.staff for note in line.moments[1].sounding] == ["left", "right"]
    assert [moment.end for moment in line.moments] == [1, Fraction(1, 2), 1]


def test_tied_notes_are_struck_once() -> None:
    line = line_of("flute = flute", "flute: notes(3/2 C5, 1/2 D5)")
    assert [(moment.onset, moment.end) for moment in line.moments] == [(0, Fraction(3, 2)), (Fraction(3, 2), 2)]


def test_what_holds_is_known_at_each_moment() -> None:
    line = line_of(
        "violin = violin", "violin: notes(1/4 G4 A4 B4 C5) -> marked pp, notes(1/4 D5 E5 F5 G5) -> marked pizzicato",
    )
    states = [moment.state for moment in line.moments]
    assert {state.dynamic for state in states} == {"pp"}
    assert [state.bowing for state in states] == ["arco"] * 4 + ["pizzicato"] * 4
    assert [state.new for state in states].count(("pizzicato",)) == 1


def test_a_slur_leads_from_each_of_its_notes_but_the_last() -> None:
    line = line_of("flute = flute", "flute: notes(1/4 C5 D5 E5 F5) -> slurred 1..3")
    assert [moment.state.slurred for moment in line.moments] == [True, True, False, False]
    assert [moment.state.under_slur for moment in line.moments] == [False, True, True, False]


def test_seconds_are_those_of_the_clock() -> None:
    movement = score_of("flute = flute", "flute: notes(1/4 C5 D5 E5 F5 G5 A5 B5 C6)", "tempo 1/4 at 96").movements[0]
    timing, clock = Timing(movement), Clock(movement)
    for eighth in range(17):
        place = Fraction(eighth, 8)
        assert timing.at(place) == pytest.approx(float(clock.between(Fraction(0), place)))


def test_each_instrument_in_hand_has_a_line() -> None:
    score = score_of(
        "flute = flute, doubling piccolo",
        "flute: notes(1/1 C5), 4 bars rest, notes(1/1 D6)\nflute bars 6 to 6: on piccolo",
    )  # fmt: skip
    movement = score.movements[0]
    timing = Timing(movement)
    lines = list(player_lines(score.parts[0], movement, movement.staves[0], timing))
    assert [(line.instrument.key, len(line.moments)) for line in lines] == [("flute", 1), ("piccolo", 1)]
    whole = whole_line(score.parts[0], movement, movement.staves[0], timing)
    assert [moment.state.instrument.key for moment in whole.moments] == ["flute", "piccolo"]


def test_no_two_kinds_have_one_word_and_no_two_one_code() -> None:
    kinds = [kind for family in FAMILIES for kind in family.load().KINDS]
    distinct = list(dict.fromkeys(kinds))
    assert len({kind.word for kind in distinct}) == len(distinct)
    codes = [kind.code for kind in distinct if kind.code]
    assert len(set(codes)) == len(codes)
    assert all(kind.looked_at and kind.rests_on for kind in distinct)


def test_every_limit_is_told_and_every_profile_has_a_name() -> None:
    assert [each.name for each in fields(Profile)] == ["name", *LIMITS]  # type: ignore[arg-type]
    assert all(name == profile.name for name, profile in PROFILES.items())


@pytest.mark.parametrize("path", sorted(folder("examples").rglob("*.cavata"))[:6], ids=lambda path: path.stem)
def test_a_check_tells_the_first_degree_of_what_is_found(path: Path) -> None:
    score = compile_script(path).score
    if score is None:
        return
    for movement, part, finding in findings(score):
        assert finding.event in list(movement.events) and part in score.parts
        assert (finding.degree is not Degree.IMPOSSIBLE) or finding.kind.code


def test_a_finding_is_found_by_a_script() -> None:
    assert [each.kind.word for each in found("violin = violin", "violin: notes(1/1 chord(G3 A3))")] == ["stop"]


SMALL = sorted((Path(__file__).parent.parent / "golden" / "small").glob("*.md"))


def _is_asked(family: Family, line: PlayerLine) -> bool:
    return family.has(line.instrument) and not family.whole and not family.later


def _lines(text: str) -> Iterator[tuple[Family, PlayerLine]]:
    score = compile_script(Path("a.cavata"), text=text).score
    for movement in score.movements if score else ():
        timing = Timing(movement)
        for part, staves in zip(score.parts, movement.staves, strict=True) if score else ():
            for line in player_lines(part, movement, staves, timing):
                yield from ((family, line) for family in FAMILIES if _is_asked(family, line))


@pytest.mark.slow
def test_a_check_misses_nothing_of_the_first_degree_and_adds_nothing() -> None:
    """Over all small golden scripts: what is found quickly is what is found of that degree among all."""
    looked = 0
    for path in SMALL:
        for script in re.findall(r"^```cavata\n(.*?)^```$", path.read_text("utf-8"), re.MULTILINE | re.DOTALL):
            for family, line in _lines(f"language 2\n{script}"):
                module = family.load()
                whole = [each for each in module.look(line, PROFESSIONAL) if each.degree is Degree.IMPOSSIBLE]
                quick = list(module.impossible(line, PROFESSIONAL))
                assert sorted(map(_said, quick)) == sorted(map(_said, whole)), (path.stem, family.module)
                assert not quick or family.may is None or family.may(line), (path.stem, family.module)
                looked += bool(quick)
    assert looked > 3


def _said(finding: Finding) -> tuple[Fraction, str, str]:
    return finding.event.onset, finding.kind.word, finding.what


def test_a_part_that_nobody_changed_is_not_looked_at_again(monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[tuple[str, str]] = []
    real = playing._of_part

    def noted(
        score: Score, movement: Movement, part: Part, staves: tuple[Staff, ...], timing: Timing
    ) -> Iterator[playing._Shown]:
        looked.append((movement.name, part.name))
        yield from real(score, movement, part, staves, timing)

    monkeypatch.setattr(playing, "_of_part", noted)
    script = (
        "language 2\nforces\n    violin = violin\n    oboe = oboe\n"
        "movement first\n    violin: notes(1/1 chord(G3 A3))\n    oboe: notes(1/1 C5)\n"
        "movement second\n    violin: notes(1/1 chord(G3 B3))\n    oboe: notes(1/1 D5)\n"
    )
    every = [("first", "violin"), ("first", "oboe"), ("second", "violin"), ("second", "oboe")]
    slower = "movement second\n    tempo 1/4 at 50\n"
    kept = Kept()
    for text, expected in (
        (script, every), (script, []), (script.replace("G3 B3", "G3 C4"), [("second", "violin")]),
        (script.replace("movement second\n", slower), every[2:]),
    ):  # fmt: skip
        looked.clear()
        bag = compile_script(Path("a.cavata"), text=text, kept=kept).bag
        assert looked == expected
        assert [message.code for message in bag.ordered()] == ["I301", "I301"]


@pytest.mark.parametrize(("meter", "told"), [("4/4", "alone; also in bar 2"), ("none", "alone")])
def test_other_bars_are_told_where_there_are_any_that_one_counts(meter: str, told: str) -> None:
    script = (
        "language 2\nforces\n    violin = violin\nmovement whole\n    section first\n"
        f"        meter {meter}\n        violin: notes(1/1 chord(G3 A3))\n    section again = first\n"
    )
    (message,) = compile_script(Path("a.cavata"), text=script).bag.ordered()
    assert message.code == "I301" and message.label.endswith(told)
