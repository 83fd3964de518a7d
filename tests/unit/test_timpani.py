"""The tuning of timpani. Places in the repertory as the encodings of the Mutopia project have them; the search is tried
against every way to tune.
"""

from __future__ import annotations

from fractions import Fraction as F
from itertools import product

import pytest
from compiling import score_from
from hypothesis import given
from hypothesis import strategies as st

from cavata.instruments.table import instruments
from cavata.instruments.timpani import NEAR, NO_TIME, NO_TIME_NEAR, SAFE, TimpaniStroke, tuning
from cavata.lilypond.document import lilypond_text
from cavata.music.pitch import Pitch, parse_pitch
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.text import score_text
from cavata.pipeline import written

DRUMS = instruments()["timpani"].drums


def strokes(text: str, seconds: F = F(1)) -> list[TimpaniStroke]:
    """Pitches one after another, each so many seconds long; `-` is as much silence."""
    return [
        TimpaniStroke(number * seconds, (number + 1) * seconds, (parse_pitch(word),))
        for number, word in enumerate(text.split()) if word != "-"
    ]  # fmt: skip


def names(pitches: tuple[Pitch, ...]) -> str:
    return " ".join(map(str, pitches))


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Eb3 Bb2 Eb3 Bb2", "Bb2 Eb3"),  # Beethoven, Symphony no. 3, i
        ("C3 G2 C3", "G2 C3"),  # its ii, and Coriolan throughout
        ("D2 A2 D3 A3", "D2 A2 D3 A3"),  # a set of four from D2 to A3 (inmusica.fr)
        ("C4 F2", "F2 C4"),  # the smallest of five (vsl.co.at)
    ],
)
def test_drums_at_the_beginning(text: str, first: str) -> None:
    found = tuning(strokes(text), DRUMS)
    assert names(found.first) == first and not found.changes


def test_fifth_pitch_takes_the_drum_that_has_been_free_for_long() -> None:
    """Worked out: of the four drums only those of A2 and D3 can have B2, and that of D3 is struck again."""
    found = tuning(strokes("G2 A2 D3 F3 G2 D3 F3 G2 D3 F3 B2"), DRUMS)
    change, = found.changes
    assert (str(change.old), str(change.new), change.since, change.until) == ("A2", "B2", F(2), F(10))
    assert not change.hurried


def test_glissando_leaves_the_drum_where_it_ends() -> None:
    """The foot does it in the sound; nothing is told, and the next change is from there."""
    first, second = strokes("A2 D3")
    slid = TimpaniStroke(second.onset, second.end, second.pitches, slid_to=True)
    found = tuning([first, slid], DRUMS)
    assert names(found.first) == "A2" and not found.changes


def test_two_changes_in_a_hurry_come_before_one_without_time() -> None:
    """Worked out: with C3 on the drum of Bb2 there would be no time at all; D3 has gone by for a second and a half."""
    line = [(F(0), "D3"), (F(1, 2), "A2"), (F(3, 2), "Bb2"), (F(2), "C3"), (F(5, 2), "F#3"), (F(4), "D3")]
    found = tuning([TimpaniStroke(onset, onset + F(1, 2), (parse_pitch(name),)) for onset, name in line], DRUMS)
    assert [(str(each.old), str(each.new)) for each in found.changes] == [("D3", "C3"), ("C3", "D3")]
    assert not any(change.has_no_time for change in found.changes)


def ways(found: list[TimpaniStroke]) -> tuple[int, int, int, int]:
    """The fewest changes without time, then with a note cut, then in a hurry, and then at all, over every way to deal
    strokes to drums."""
    able = [
        [d for d, drum in enumerate(DRUMS[:4]) if drum.lowest.midi <= stroke.pitches[0].midi <= drum.highest.midi]
        for stroke in found
    ]
    best = (99, 99, 99, 99)
    for dealt in product(*able):
        has: dict[int, tuple[Pitch, F, F]] = {}
        never = cut = hurried = changes = 0
        for stroke, drum in zip(found, dealt, strict=True):
            if any(pitch == stroke.pitches[0] for other, (pitch, _, _) in has.items() if other != drum):
                break  # two drums have no pitch in common
            old = has.get(drum)
            if old is not None and old[0] != stroke.pitches[0]:
                changes += 1
                hurried += stroke.onset - old[1] < SAFE
                least = NO_TIME_NEAR if abs(stroke.pitches[0].midi - old[0].midi) <= NEAR else NO_TIME
                never += stroke.onset - (old[1] + old[2]) / 2 < least
                cut += stroke.onset - old[1] < least
            has[drum] = stroke.pitches[0], stroke.end, stroke.onset
        else:
            best = min(best, (never, cut, hurried, changes))
    return best


PITCHES = ["D2", "G2", "A2", "B2", "C3", "D3", "E3", "F3", "A3"]


@given(st.lists(st.tuples(st.sampled_from(PITCHES), st.integers(0, 3)), max_size=6))
def test_no_way_to_deal_the_strokes_is_better(line: list[tuple[str, int]]) -> None:
    found = []
    now = F(0)
    for name, gap in line:
        now += F(1, 4) + gap
        found.append(TimpaniStroke(now, now + F(1, 4), (parse_pitch(name),)))
    made = tuning(found, DRUMS)
    changes = made.changes
    pressed = sum(each.has_no_time for each in changes), sum(each.is_cut for each in changes)
    assert (*pressed, sum(each.hurried for each in changes), len(changes)) == ways(found) or not found


SCRIPT = """\
language 2
piece "P"
{row}forces
    drums = timpani
    flute = flute
movement first
    tempo 1/4 at 60
    drums: notes(1/4 G2 A2 D3 F3 | 1/4 G2 D3 F3 G2), 3 bars rest, notes(1/4 B2 D3 F3 G2)
    flute: 6 bars rest
"""


def test_page_says_it_at_the_beginning_and_where_the_player_is_free() -> None:
    page = written(score_from(SCRIPT.format(row="")))
    said = [line.split("|")[1].strip() for line in score_text(page).splitlines() if "drums" in line]
    assert "tuning in G, A, D, F" in said[0]
    assert said[2] == "R/tuning change A to B"
    text = lilypond_text(page)
    assert '"in G, A, D, F"' in text and '"change A to B"' in text
    document = musicxml_bytes(page, "first").decode()
    assert ">in G, A, D, F</words>" in document and ">change A to B</words>" in document


def test_nothing_is_said_where_the_script_says_so() -> None:
    page = written(score_from(SCRIPT.format(row="    show no timpani tuning\n")))
    assert "tuning" not in score_text(page)

