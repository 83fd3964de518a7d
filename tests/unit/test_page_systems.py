"""Brackets, what is hidden, where free time may break, and how a part's pages are divided: tables that are kept whole.

Source: common practice, for what is asked of page turns and brackets; the costs of pages are choices.
`pytest --update` writes the tables anew.
"""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path
from random import Random

import pytest
from emit_lilypond_scores import SPAN, bar, frame, instrument, leaf, line, movement, part

from cavata.notate.paper.layout import laid_out
from cavata.notate.paper.page_turns import PartLayout, SetSystem, bad_turns, crowded, with_pages_planned
from cavata.notate.paper.systems import BracketNode, line_breaks, tree, with_systems
from cavata.notate.written import (
    Tuplet,
    WrittenBar,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    WrittenStaff,
    length_of,
)
from cavata.record import replace
from cavata.score.score import CopyKind, Group, GroupSign, Header, Part

TABLES = Path(__file__).parent / "test_page_systems"
PARTS = range(24)
_SIGNS = {"[": GroupSign.BRACKET, "{": GroupSign.BRACE, "|": GroupSign.SQUARE}


def shown(nodes: tuple[BracketNode, ...], names: str) -> str:
    """A tree of brackets as it would be drawn: `[a b {c d}]`."""
    signs = {GroupSign.BRACKET: "[]", GroupSign.BRACE: "{}", GroupSign.SQUARE: "||"}
    return " ".join(
        names[node]
        if isinstance(node, int)
        else signs[node[0].sign][0] + shown(node[1], names) + signs[node[0].sign][1]
        for node in nodes
    )


@pytest.mark.parametrize(
    ("parts", "groups", "expected"),
    [
        ("abcd", "", "a b c d"),
        ("abcd", "[ab", "[a b] c d"),
        ("abcd", "[bc", "a [b c] d"),
        ("abcd", "[cd", "a b [c d]"),
        ("abcd", "[abcd", "[a b c d]"),
        ("abcd", "[ab [cd", "[a b] [c d]"),
        ("abcd", "[ac", "a b c d"),
        ("abcd", "[abd", "[a b] c d"),
        ("abcdef", "[abdef", "[a b] c [d e f]"),
        ("abcd", "[a", "a b c d"),
        ("abcd", "[ab [abc", "[a b c] d"),
        ("abcd", "[abc [ab", "[a b c] d"),
        ("abcd", "[ab [bc", "[a b] c d"),
        ("abcd", "[bc [ab", "a [b c] d"),
        ("abcd", "[bcd [ab", "a [b c d]"),
        ("abcd", "{ab", "{a b} c d"),
        ("abcd", "{ab [abcd", "[{a b} c d]"),
        ("abcd", "[abcd {cd", "[a b {c d}]"),
        ("abcd", "[abcd |bc", "[a |b c| d]"),
        ("abcd", "[abcd |abcd", "[a b c d]"),
        ("abcd", "[abcd {abcd", "[{a b c d}]"),
        ("abcd", "[ab {bc", "[a b] c d"),
        ("abcd", "{bc |bc", "a {b c} d"),
        ("abcd", "|bc {bc", "a |{b c}| d"),
        ("abcdef", "[abcdef |ab {de", "[|a b| c {d e} f]"),
        ("abcdef", "[abc {bc |def", "[a {b c}] |d e f|"),
        ("abcdef", "|abc {bc", "|a {b c}| d e f"),
        ("abBcd", "[abBcd", "[a b B c d]"),
        ("aBcd", "[aBcd", "[a B c d]"),
        ("Abcd", "[Abcd", "A [b c d]"),
        ("abcD", "[abcD", "[a b c] D"),
        ("abCDef", "[abCDef", "[a b] C D [e f]"),
    ],
)
def test_brackets(parts: str, groups: str, expected: str) -> None:
    """Capitals are soloists: one amid the others stands under their bracket, all others apart.

    `[` is a bracket, `{` a brace, `|` a square one.
    """
    kind = instrument("Violin", "Vln.", "strings", ("treble",))
    made = tuple(Part(name, kind, name, name, name.isupper(), SPAN) for name in parts)
    asked = tuple(Group(words, tuple(words[1:]), sign=_SIGNS[words[0]]) for words in groups.split())
    assert shown(tree(made, asked), parts) == expected


NOTES, REST = bar(*line("D5:1")), bar(leaf("R:"))


def staves(count: int, bars: tuple[WrittenBar, ...] = (NOTES,) * 5, **more: bool) -> WrittenPart:
    """A part of so many staves."""
    return part(f"p{count}", "P", "P", *(WrittenStaff("treble", bars),) * count, **more)


def music(*parts: WrittenPart) -> WrittenMovement:
    bars = len(parts[0].staves[0].bars)
    return movement("a", "", tuple(frame(number, "4/4") for number in range(1, bars + 1)), parts)


def test_what_is_hidden() -> None:
    """At ten staves, in a short score at five, unless all are silent for more than three bars; soloists, and who asks
    for every staff stay.
    """
    quiet3, quiet4 = (NOTES, *(REST,) * 3, NOTES), (*(REST,) * 4, NOTES)
    idle = staves(1, (REST,) * 5, silent=True)
    cases = (
        ("nine", (staves(1),) * 9, {}), ("ten", (staves(1),) * 10, {}), ("five of two", (staves(2),) * 5, {}),
        ("ten, three bars silent", (staves(1, quiet3),) * 10, {}), ("ten, four bars silent", (staves(1,
        quiet4),) * 10, {}),
        ("ten and a soloist", (*(staves(1),) * 9, staves(1, soloist=True)), {}),
        ("one idle", (staves(1), idle), {}), ("an idle soloist", (staves(1), replace(idle, part=staves(1,
        soloist=True).part)), {}),
        ("all idle", (idle, idle), {}), ("every staff", ((staves(1),) * 10 + (idle,)), {"every_staff": True}),
        ("a part", (staves(1),) * 10, {"kind": CopyKind.PART}), ("a short score", (staves(1),) * 5,
        {"kind": CopyKind.SHORT}), ("a shorter one", (staves(1),) * 4, {"kind": CopyKind.SHORT}),
        ("one idle of a short score", (staves(1), idle), {"kind": CopyKind.SHORT}),
    )  # fmt: skip
    told = {}
    for name, parts, fields in cases:
        for opens in (True, False):
            made = with_systems(music(*parts), Header("T", **fields), opens)  # type: ignore[arg-type]  # fields
            hides = "".join("h" if all(staff.hides for staff in one.staves) else "s" for one in made.parts)
            gone = "".join("p" if one.printed else "-" for one in made.parts)
            told[name, opens] = (hides, gone)
    s, h = "s" * 9, "h" * 10
    every = {
        "nine": (s, "p" * 9), "ten": (h, "p" * 10), "five of two": ("h" * 5, "p" * 5), "ten, three bars silent": (h,
        "p" * 10),
        "ten, four bars silent": (s + "s", "p" * 10), "ten and a soloist": ("h" * 9 + "s", "p" * 10),
        "all idle": ("ss", "pp"),
        "every staff": (s + "ss", "p" * 11), "a part": (s + "s", "p" * 10), "a short score": ("h" * 5, "p" * 5),
        "a shorter one": ("ssss", "pppp"),
    }  # fmt: skip
    for name, found in every.items():
        assert (told[name, True], told[name, False]) == (found, found), name
    for name, hides in (("one idle", "sh"), ("an idle soloist", "ss"), ("one idle of a short score", "sh")):
        assert (told[name, True], told[name, False]) == ((hides, "pp"), (hides, "p-")), name


def free(*voices: str, meter: str | None = None) -> tuple[F, ...]:
    """Where a line may break in free time; `{` before a voice puts its first three leaves into a triplet."""
    bars = []
    for text in voices:
        made = line(text.removeprefix("{"))
        bars.append((Tuplet(3, 2, F(1, 4), made[:3]), *made[3:]) if text.startswith("{") else made)
    length = sum(map(length_of, bars[0]), F(0))
    made = part("p", "P", "P", *(WrittenStaff("treble", (WrittenBar((voice,)),)) for voice in bars))
    return line_breaks(movement("a", "", (frame(1, meter, length),), (made,)))[0]


def test_free_time_breaks_where_all_begin_anew() -> None:
    """At least half a whole note from the last break and from the end, at no beam and no tie."""
    assert free("D5:2 D5:2 D5:2") == (F(1, 2), F(1))
    assert free("D5:4 D5:4 D5:4 D5:4") == (F(1, 2),)
    assert free("D5:4 D5:2 D5:4 D5:4") == (F(3, 4),)
    assert free("D5:2~ D5:2_ D5:2") == (F(1),)
    assert free("D5:2 D5:8[ D5:8- D5:8- D5:8] D5:2") == (F(1, 2), F(1))
    assert free("D5:4. D5:8[ D5:8] D5:4. D5:2") == (F(5, 8),)
    assert free("D5:2 D5:2 D5:2", "D4:4 D4:2 D4:4 D4:2") == (F(1),)
    assert free("D5:2 D5:2 D5:2", "R:") == (F(1, 2), F(1))
    assert free("D5:1", "R:") == ()
    assert free("D5:2 D5:2", "D4:4. D4:4. D4:4") == ()
    assert free("{D5:4 D5:4 D5:4 D5:2 D5:2") == (F(1, 2), F(1))


@pytest.mark.parametrize(("meter", "count", "breaks"), [("4/4", 32, True), ("7/8", 28, False)])
def test_measured_time_breaks_where_all_together_have_more_than_stands_on_a_line(
    meter: str, count: int, breaks: bool
) -> None:
    """Two voices whose notes never begin together have twice as many moments, of which sixty stand on a line."""
    one, other = "D5:32 " * count, "D4:64 " + "D4:32 " * (count - 1) + "D4:64"
    assert free(one, one, meter=meter) == ()
    assert bool(free(one, other, meter=meter)) is breaks


# ---------------------------------------------------------------- pages of a part


def planned(number: int) -> tuple[WrittenScore, PartLayout]:
    """A part by chance and how it was set: rests to turn in, systems of several heights, titles, a silent movement."""
    by = Random(number)
    movements, systems, page, used = [], [], 1, 0.0
    height = 60.0 + 10 * by.randrange(5)
    for which in range(by.randint(1, 3)):
        count = by.randint(10, 90)
        frames = tuple(frame(n + 1, "4/4", may_turn=by.randrange(12) == 0 or n + 1 == count) for n in range(count))
        bars = [bar(*line("D5:4 " * by.randint(1, 8))) for _ in range(count)]
        place = by.randrange(count)
        rest = min(count - place, by.randint(1, 6))
        bars[place : place + rest] = [replace(REST, rest_bars=rest), *(replace(REST, rest_bars=0),) * (rest - 1)]
        made = movement(f"m{which}", "", frames, (part("flute", "Flute", "Fl.", WrittenStaff("treble", tuple(bars))),))
        movements.append(made)
        now, words = 0, 8.0
        while now < count:
            until = min(count, now + by.randint(2, 6))
            tall = by.choice((7.0, 9.5, 12.0, 17.0))
            room = words + max(10.0, tall + 2.5)
            if used and used + room > height:
                page, used = page + 1, 0.0
            systems.append(SetSystem(page, F(now), F(until), tall, words))
            used, now, words = used + room, until, 0.0
        if by.randrange(3) == 0:
            movements.append(replace(made, name=f"t{which}", tacet=True))
    score = laid_out(Header("T", kind=CopyKind.PART), (), tuple(movements))
    return score, PartLayout(tuple(systems), height)


def plan(number: int) -> str:
    """What is made of a part, in words."""
    score, layout = planned(number)
    turns = ", ".join(f"{turn.movement} {turn.bar}" for turn in bad_turns(score, layout))
    made = with_pages_planned(score, layout)
    told = "as it is" if made is None else f"from page {made.first_page}: " + ", ".join(
        f"{one.name} {frame.number}" for one in made.movements for frame in one.frames if frame.ends_page
    )  # fmt: skip
    return f"{layout.systems[-1].page} pages{', crowded' * crowded(layout)}; bad: {turns or 'none'}; {told}"


def test_plans_are_kept(request: pytest.FixtureRequest) -> None:
    if request.config.getoption("--update"):
        TABLES.mkdir(exist_ok=True)
        (TABLES / "plans.txt").write_text("".join(f"{plan(number)}\n" for number in PARTS), "utf-8")
    assert len((TABLES / "plans.txt").read_text("utf-8").splitlines()) == len(PARTS)


@pytest.mark.parametrize("number", PARTS)
def test_pages_of_parts_by_chance(number: int) -> None:
    assert plan(number) == (TABLES / "plans.txt").read_text("utf-8").splitlines()[number]


@pytest.mark.parametrize("number", PARTS)
def test_plans_are_no_worse_than_what_was_set(number: int) -> None:
    """A page is ended only with a bar that stands there, silent movements have none; where the page was turned in
    time, and no page was too full, nothing is changed. Odd pages lie on the right, and are turned: common practice."""
    score, layout = planned(number)
    made = with_pages_planned(score, layout)
    known = bad_turns(score, layout)
    if not known and not crowded(layout):
        assert made is None
    if made is not None:
        assert not made.page.filled
        ends = [frame for one in made.movements for frame in one.frames if frame.ends_page]
        turned = [frame for page, frame in enumerate(ends, made.first_page) if page % 2]
        assert crowded(layout) or len(ends) < 2 or sum(not frame.may_turn for frame in turned) < len(known)
        for one in made.movements:
            ends = [place for place, frame in enumerate(one.frames) if frame.ends_page]
            assert not (one.tacet and ends)
            for place in ends:
                bars = one.parts[0].staves[0].bars
                assert place + 1 == len(bars) or bars[place + 1].rest_bars != 0
