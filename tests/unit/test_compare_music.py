"""How changes of music are told, case by case: what a composer did, and the words for it."""

from __future__ import annotations

import random
from functools import lru_cache
from pathlib import Path

import pytest

from cavata.compare.align import as_early_as_can_be, as_late_as_can_be, in_blocks, shortest
from cavata.compare.comparing import compared
from cavata.compare.notes import interval_words
from cavata.compare.text import change_text, comparison_text
from cavata.music.pitch import Interval, parse_interval
from cavata.pipeline import compile_script
from cavata.score.score import Score

HEAD = (
    "language 2\nuse french from ciphers\nname tamsin = \"TAMSIN\" by french\nforces\n    violin = violin\n"
    "    cello  = cello\n    piano  = piano\ngroup duo = violin, cello\n"
    "motif tune = notes(1/4 D4 E4 F4 A4, 1/4 G4 C5 B4 A4)\n"
)  # fmt: skip


def score(rows: str) -> Score:
    made = compile_script(Path("lantern.cavata"), "lantern.cavata", HEAD + rows)
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    return made.score


def told(old: str, new: str) -> list[str]:
    comparison = compared(score(old), score(new))
    return [change_text(change, comparison.groups) for change in comparison.changes]


PICCOLO = "movement first\n    reed: notes(1/1 D4) x 6\n    flute: notes(1/1 D5) x 6\n"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("", "flute bars 1 to 6: on piccolo", ["bars 1 to 6, flute: on piccolo instead of the usual instrument"]),
        ("flute bars 1 to 6: on piccolo", "flute bars 1 to 4: on piccolo",
         ["bars 5 to 6, flute: on the usual instrument instead of piccolo"]),
        ("flute bars 2 to 2: on piccolo", "flute bars 2 to 2: on alto flute",
         ["bar 2, flute: on alto flute instead of piccolo"]),
        ("flute bars 2 to 2: on piccolo", "flute bars 2 to 2: on piccolo", []),
    ],
)  # fmt: skip
def test_another_instrument_in_hand_is_told(old: str, new: str, said: list[str]) -> None:
    """The same notes at concert pitch, by hand from the bars of the marking."""
    head = (
        "language 2\nforces\n    reed = clarinet\n    flute = flute, doubling piccolo, doubling alto flute\n" + PICCOLO
    )
    versions = [compile_script(Path("p.cavata"), "p.cavata", f"{head}    {row}\n").score for row in (old, new)]
    assert versions[0] is not None and versions[1] is not None
    assert [change_text(change) for change in compared(versions[0], versions[1]).changes] == said


def test_what_players_must_bring_is_told() -> None:
    head = "language 2\nforces\n    flute = flute{0}\nmovement first\n    flute: notes(1/1 D5)\n"
    versions = [
        compile_script(Path("p.cavata"), "p.cavata", head.format(more)).score
        for more in ("", ", doubling piccolo, doubling alto flute")
    ]
    assert versions[0] is not None and versions[1] is not None
    comparison = compared(versions[0], versions[1])
    assert comparison.same  # nobody takes one up, and no page says what to bring
    (change,) = comparison.in_script
    assert change_text(change) == "flute takes up piccolo, alto flute instead of nothing else"


def test_neighboring_bars_with_the_same_change_are_told_as_one_stretch() -> None:
    old = "movement first\n    violin: notes(1/4 D4 E4 F4 A4) x 6\n"
    new = old.replace(
        "notes(1/4 D4 E4 F4 A4) x 6", "notes(1/4 D4 E4 F4 A4), notes(1/4 D4 E4 F4 G4) x 4, notes(1/4 D4 E4 F4 A4)"
    )
    (said,) = told(old, new)
    assert said == "bars 2 to 5, beat 4, violin: A4 is now G4"


def line(step: str) -> str:
    return f"movement first\n    violin: tune{step}\n"


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (" -> up M3", ["bars 1 to 2, violin: a major third higher"]),
        (" -> down P8", ["bars 1 to 2, violin: an octave lower"]),
        (" -> up aug1", ["bars 1 to 2, violin: an augmented unison higher"]),
        (" -> step up 2 in C major", ["bars 1 to 2, violin: a third higher within the mode"]),
        (" -> inverted about A4", ["bars 1 to 2, violin: inverted about A4"]),
        (" -> inverted in C major about A4", ["bars 1 to 2, violin: inverted about A4 within the mode"]),
        (" -> retrograde", ["bars 1 to 2, violin: in retrograde"]),
        (" -> marked staccato", ["bars 1 to 2, violin: now staccato (8 notes)"]),
        (" -> slurred", ["bars 1 to 2, violin: now slur"]),
        (" -> crescendo p f", ["bars 1 to 2, violin: now p, crescendo, f"]),
        (" -> trill last", ["bar 2 beat 4, violin: now trill"]),
        (" -> first 7", ["bar 2 beat 4, violin: A4 is gone"]),
        (", 1 bar rest, tune", ["bars 3 to 5 are new"]),
    ],
)
def test_what_a_step_did_is_told(step: str, said: list[str]) -> None:
    assert told(line(""), line(step)) == said


def test_a_line_that_begins_later_is_told_as_later() -> None:
    old = "movement first\n    section one 5 bars\n        violin: tune\n"
    assert told(old, old.replace("violin:", "violin at bar 1 beat 3:")) == ["bars 1 to 3, violin: 1/2 later"]
    assert told(old, old.replace("violin:", "violin at bar 3:")) == ["bars 3 to 4, violin: 2 bars later"]


def test_a_line_twice_as_slow_is_told_as_that() -> None:
    old = "movement first\n    section one 5 bars\n        violin: tune\n"
    assert told(old, old.replace("tune", "tune -> augmentation 2")) == ["bars 1 to 4, violin: twice as long"]


@pytest.mark.slow
@pytest.mark.parametrize("bars", [5, 15, 250])
def test_a_note_put_in_takes_the_rest_of_a_line_along(bars: int) -> None:
    """Two changes, however long the line, and that it takes a bar more; not one for every note, nor other pitches."""
    chance = random.Random(bars)
    pitches = [f"{chance.choice('CDEFGAB')}{chance.choice('45')}" for _ in range(8 * bars)]

    def rows(notes: list[str]) -> str:
        return f"movement first\n    violin: notes(1/8 {' '.join(notes)})\n"

    longer = f"bars 1 to {bars + 1}: {bars + 1} bars where there were {bars}"
    rest = f"bars 1 to {bars + 1}, violin: 1/8 later"
    assert told(rows(pitches), rows(["C6", *pitches])) == [longer, "bar 1 beat 1, violin: C6 is new", rest]
    assert told(rows(pitches), rows(["rest", *pitches])) == [longer, rest]
    assert told(rows(pitches), rows(pitches[1:])) == [
        f"bars 1 to {bars}, violin: 1/8 earlier", f"bar 1 beat 1, violin: {pitches[0]} is gone",
    ]  # fmt: skip


def test_another_meter_is_not_told_as_other_notes() -> None:
    old = "movement first\n    meter 4/4\n    violin: tune\n"
    assert told(old, old.replace("4/4", "2/4")) == ["bars 1 to 4: meter 2/4 instead of 4/4"]


def test_the_same_in_several_parts_is_one_change() -> None:
    old = "movement first\n    section one\n        violin: tune\n        cello: 1/2 rest, tune -> down P8\n"
    new = old.replace("tune", "tune -> up P4")
    assert told(old, new) == ["bars 1 to 3, duo: a perfect fourth higher"]


def test_the_same_in_several_places_is_one_change() -> None:
    old = "motif call = notes(1/2 D4 A4)\nmovement first\n    violin: call, tune, call, tune, call\n"
    assert told(old, old.replace("D4 A4", "D4 Bb4")) == ["bars 1, 4 and 7, beat 3, violin: A4 is now Bb4"]


def test_a_line_on_the_other_staff_is_the_same_line() -> None:
    old = "movement first\n    piano.right: tune\n"
    assert told(old, old.replace("right", "left")) == ["bars 1 to 2, piano: now on the lower staff"]


def test_a_passage_without_a_section_is_told_as_moved() -> None:
    old = "motif call = notes(1/2 D4 A4, 1/4 B4 D5 E5 F5)\nmovement first\n    violin: call, tune, tune -> up P4\n"
    new = old.replace("call, tune, tune -> up P4", "tune, tune -> up P4, call")
    assert told(old, new) == ["bars 5 to 6 moved here from bars 1 to 2"]


def test_a_section_divided_in_two_keeps_its_music() -> None:
    old = "movement first\n    section one\n        violin: tune\n"
    new = (
        "movement first\n    section one 1 bar\n        violin: tune -> first 4\n"
        "    section two 1 bar\n        violin: tune -> last 4\n"
    )
    assert told(old, new) == ["bar 2: section two begins here now"]


def test_other_letters_under_the_same_notes_are_told_last() -> None:
    old = "movement first\n    violin: tamsin\n"
    new = "movement first\n    violin: notes(1/4 F4 A4 F4 E4 B3 G3)\n"
    said = "bars 1 to 2, violin: the same notes; 6 notes come from other letters"
    comparison = compared(score(old), score(new))
    assert comparison.same and [change_text(change) for change in comparison.in_script] == [said]
    assert comparison_text(comparison).splitlines() == [
        "lantern: the music is the same", "score, parts and sound are the same; the script has otherwise", "first",
        f"  {said}",
    ]  # fmt: skip
    printed = 'piece "P"\n    show letters\n'
    assert told(printed + old, printed + new) == [said]


def test_movements_are_told_by_name_and_by_music() -> None:
    one, two = line(""), "movement second\n    cello: tune -> down P8\n"
    assert told(one + two, two + one) == [
        "moved: number 1 instead of 2", "moved: number 2 instead of 1",
    ]  # fmt: skip
    assert told(one, one + two) == ["this movement is new, 2 bars with 8 notes"]
    assert told(one, one.replace("first", 'opening "At sea"')) == ["was called first", 'title "At sea" instead of none']


def test_parts_are_told() -> None:
    old = line("")
    drum = HEAD.replace("    cello  = cello\n", "    cello  = cello\n    drum   = snare drum\n")
    made = compile_script(Path("lantern.cavata"), "lantern.cavata", drum + old)
    assert made.score is not None
    assert [change.said for change in compared(score(old), made.score).changes] == [
        "drum (snare drum) is new, with 0 notes"
    ]


def test_repeats_are_told() -> None:
    old = "movement first\n    section one\n        violin: tune\n"
    new = old.replace("section one\n", "section one\n        repeated 3 times\n")
    found = told(old, new)
    assert "bar 1: the repeat begins here instead of no repeat sign" in found
    assert "bar 2: played 3 times up to here instead of no repeat sign" in found


# ------------------------------------------------------------------ alignment


def longest_common(a: list[int], b: list[int]) -> int:
    """By the textbook recurrence."""

    @lru_cache(None)
    def best(i: int, j: int) -> int:
        if i == len(a) or j == len(b):
            return 0
        return 1 + best(i + 1, j + 1) if a[i] == b[j] else max(best(i + 1, j), best(i, j + 1))

    return best(0, 0)


def test_alignment_pairs_as_many_as_can_be() -> None:
    """Against the longest common subsequence by dynamic programming (common practice)."""
    chance = random.Random(5)
    for _ in range(300):
        a, b = ([chance.randrange(4) for _ in range(chance.randrange(12))] for _ in range(2))
        pairs = shortest(a, b, 40)
        assert pairs is not None and len(pairs) == longest_common(a, b)
        for way in (pairs, as_early_as_can_be(a, b, pairs), as_late_as_can_be(a, b, pairs), in_blocks(a, b)):
            assert all(a[i] == b[j] for i, j in way)
            assert all(p[0] < q[0] and p[1] < q[1] for p, q in zip(way, way[1:], strict=False))
        assert shortest(a, b, len(a) + len(b) - 2 * len(pairs)) is not None
        if len(pairs) * 2 < len(a) + len(b):
            assert shortest(a, b, len(a) + len(b) - 2 * len(pairs) - 1) is None


@pytest.mark.parametrize(
    ("interval", "words"),
    [
        ("m2", "a minor second higher"), ("P1", "a perfect unison higher"), ("aug4", "an augmented fourth higher"),
        ("P8", "an octave higher"), ("dim8", "a diminished octave higher"), ("M10", "a major tenth higher"),
        ("P15", "a double octave higher"), ("P11", "a perfect eleventh higher"),
    ],
)  # fmt: skip
def test_intervals_have_the_names_of_the_trade(interval: str, words: str) -> None:
    """Names of intervals: common practice."""
    found = parse_interval(interval)
    assert interval_words(found) == words
    if found.steps:
        assert interval_words(-found) == words.replace("higher", "lower")
    assert interval_words(Interval(0, -1)) == "an augmented unison lower"


def test_change_of_tempo_after_an_equation_is_told_by_its_words() -> None:
    """The change says its words and where it leads, and not the equation again; one bar at two places is two bars."""
    head = "movement first\n    tempo 1/4 at 60\n"
    first = f"{head}    section a\n        violin: notes(1/1 D5 E5)\n    section b\n        tempo 1/4 = 1/4.\n"
    line = "        violin: notes(1/1 D5 E5)\n"
    bend = '        tempo at bar 1 beat 3: "rit." to 1/4. at 40 over 1/2\n'
    assert told(first + line, first + bend + line) == [
        'bar 3 beat 3: tempo "rit.", leading to 3/8 at 40 over 1/2 is new', "bar 4 beat 1: tempo 3/8 at 40 is new",
    ]  # fmt: skip
    twice = "{}    section a\n        violin: notes(1/1 D5 E5{} G5)\n    section b = a -> up M2\n"
    assert told(twice.format(head, ""), twice.format(head, " A4")) == ["bars 3 and 7 are new"]
