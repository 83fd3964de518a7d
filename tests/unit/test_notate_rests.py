"""Where a player's rests are gathered: what breaks them, each alone. Source: common practice."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction as F

import pytest
from emit_lilypond_scores import bar, leaf, line
from notate_scores import bars_for, events, key, meter, movement

from cavata.music.event import Marks
from cavata.notate.frames import written_spans
from cavata.notate.rests import gathered
from cavata.notate.written import FormWords, Frame, WrittenBar, WrittenStaff
from cavata.record import replace
from cavata.score.score import Staff, Tempo

REST, NOTES = bar(leaf("R:")), bar(*line("D5:1"))
BARS = 7


def counts(
    *staves: tuple[WrittenBar, ...],
    change: Callable[[list[Frame]], None] = lambda _: None,
    tempi: tuple[Tempo, ...] = (),
) -> str:
    """How many bars the rest of each bar stands for, of staves in seven bars of 4/4."""
    made = movement([[Staff("", (events("C4:1 " * BARS),))]], bars_for(F(BARS), [meter("4/4")], [key("")]), tempi)
    spans = written_spans(made)
    frames = [Frame(number, F(1), meter("4/4"), False, (), "", "", False, "single") for number in range(1, BARS + 1)]
    change(frames)
    found = gathered(tuple(WrittenStaff("treble", bars) for bars in staves), frames, spans, made)
    told = {"".join(str(each.rest_bars) for each in staff.bars) for staff in found}
    assert len(told) == 1
    return told.pop()


def test_rests_of_all_staves_are_gathered() -> None:
    silent = (REST,) * BARS
    assert counts(silent) == "7000000"
    assert counts((NOTES, *silent[1:])) == "1600000"
    assert counts((*silent[:6], NOTES)) == "6000001"
    assert counts((*silent[:3], NOTES, *silent[:3])) == "3001300"
    assert counts(silent, (*silent[:3], NOTES, *silent[:3])) == "3001300"
    assert counts((NOTES,) * BARS) == "1111111"
    assert counts((REST, NOTES) * 3 + (REST,)) == "1111111"


BREAKS: dict[str, tuple[Callable[[Frame], Frame], str]] = {
    "a section": (lambda frame: replace(frame, section="So"), "3004000"),
    "a letter": (lambda frame: replace(frame, rehearsal="B"), "3004000"),
    "a meter": (lambda frame: replace(frame, shows_meter=True), "3004000"),
    "a repeat that begins": (lambda frame: replace(frame, repeat_begins=True), "3004000"),
    "an ending": (lambda frame: replace(frame, ending=(1,)), "3004000"),
    "a sign": (lambda frame: replace(frame, opens=("segno",)), "3004000"),
    "a tempo": (lambda frame: replace(frame, tempi=((F(0), Tempo(F(3), F(1, 4), F(60))),)), "3004000"),
    "a tempo that only goes on": (
        lambda frame: replace(frame, tempi=((F(0), Tempo(F(3), F(1, 4), F(60), printed=False)),)), "7000000",
    ),
    "a tempo within": (
        lambda frame: replace(frame, tempi=((F(1, 2), Tempo(F(7, 2), F(1, 4), F(60))),)), "3001300",
    ),
    "a tempo within that only goes on": (
        lambda frame: replace(frame, tempi=((F(1, 2), Tempo(F(7, 2), F(1, 4), F(60), printed=False)),)), "7000000",
    ),
    "a number": (lambda frame: replace(frame, number=9), "3001300"),
    "words at its end": (lambda frame: replace(frame, closes=(FormWords("fine", "Fine"),)), "4000300"),
    "a double bar": (lambda frame: replace(frame, barline="double"), "4000300"),
    "a repeat that ends": (lambda frame: replace(frame, repeat_ends=2), "4000300"),
    "an ending that stops": (lambda frame: replace(frame, ending_stops=(1,)), "4000300"),
    "another length": (lambda frame: replace(frame, duration=F(1, 2)), "3001300"),
    "free time": (lambda frame: replace(frame, meter=None), "3001300"),
    "nothing": (lambda frame: frame, "7000000"),
}  # fmt: skip


@pytest.mark.parametrize("what", BREAKS)
def test_what_the_page_says_breaks_a_rest(what: str) -> None:
    """At the fourth of seven bars: before it, after it, or on both sides."""
    change, expected = BREAKS[what]

    def at_the_fourth(frames: list[Frame]) -> None:
        frames[3] = change(frames[3])

    assert counts((REST,) * BARS, change=at_the_fourth) == expected


@pytest.mark.parametrize(
    ("what", "expected"),
    [
        (replace(REST, key=1), "3004000"), (replace(REST, cue=line("D5:1")), "3001300"),
        (replace(REST, ossia=(line("D5:1"),)), "3001300"), (WrittenBar((line("R:"), line("D5:1"))), "3001300"),
        (WrittenBar((line("r:2 r:2"),)), "3001300"), (WrittenBar((line("r:1"),)), "3001300"),
        (WrittenBar((line("R:"), ())), "7000000"),
        (bar(leaf("R:", articulations=("fermata",))), "3001300"), (bar(replace(leaf("R:"), marks=Marks())), "7000000"),
    ],
)  # fmt: skip
def test_what_stands_in_a_bar_breaks_a_rest(what: WrittenBar, expected: str) -> None:
    bars = [REST] * BARS
    bars[3] = what
    assert counts(tuple(bars)) == expected
    assert counts((REST,) * BARS, tuple(bars)) == expected


@pytest.mark.parametrize(("until", "expected"), [(F(2), "2050000"), (F(5, 2), "2050000"), (F(3), "3004000")])
def test_a_change_of_tempo_is_told_where_it_arrives(until: F, expected: str) -> None:
    changing = Tempo(F(0), F(1, 4), F(60), "rit.", until=until, goal=F(6))
    assert counts((REST,) * BARS, tempi=(changing,)) == expected
    assert counts((REST,) * BARS, tempi=(replace(changing, printed=False),)) == "7000000"
