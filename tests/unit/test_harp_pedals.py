"""The pedals of a harp. Sources beside each; the schedules are tried against all orders."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import permutations
from xml.etree import ElementTree

import pytest
from compiling import score_from
from hypothesis import given
from hypothesis import strategies as st

from cavata.edition.short_score import short_score
from cavata.instruments.harp_pedals import (
    ENOUGH,
    FAST,
    LEFT,
    PEDALS,
    RIGHT,
    PedalSetting,
    WantedStrings,
    most_time,
    pedaling,
)
from cavata.lilypond.document import lilypond_text
from cavata.music.pitch import LETTERS, PitchClass, parse_pitch_class
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import written

NATURAL: PedalSetting = (0, 0, 0, 0, 0, 0, 0)


def struck(*chords: str, seconds: F = F(1, 2)) -> list[WantedStrings]:
    """Chords of pitch classes, each so many seconds long."""
    found = []
    for number, names in enumerate(chords):
        letters = tuple((tone.letter, tone.alter) for tone in map(parse_pitch_class, names.split()))
        found.append(WantedStrings(number * seconds, (number + 1) * seconds, letters))
    return found


windows = st.lists(
    st.tuples(st.integers(0, 16), st.integers(1, 12)).map(lambda pair: (F(pair[0], 4), F(pair[0] + pair[1], 4))),
    min_size=1, max_size=5,
)  # fmt: skip


def best_of_all_orders(found: list[tuple[F, F]], enough: F) -> F:
    """By each order in turn; in one order the time of each is bounded by every run of neighbors."""
    best = F(-100)
    for order in permutations(found):
        runs = [(order[j][1] - order[i][0]) / (j - i + 1) for i in range(len(order)) for j in range(i, len(order))]
        best = max(best, min(runs))
    return max(F(0), min(best, enough))


@given(windows)
def test_most_pressed_change_has_as_much_time_as_any_order_gives(found: list[tuple[F, F]]) -> None:
    time, order = most_time(found, F(1))
    assert time == best_of_all_orders(found, F(1))
    now = F(0)
    for place in order:
        now = max(now, found[place][0]) + time
        assert now <= found[place][1]


def test_one_order_only_leaves_time() -> None:
    """The short window stands inside the long one, which begins first: by deadlines alone they would collide."""
    assert most_time([(F(0), F(4)), (F(1, 4), F(5, 4))], F(1)) == (F(1), (1, 0))


@st.composite
def music(draw: st.DrawFn) -> list[WantedStrings]:
    """Notes of seven letters with accidentals, half a second each."""
    notes = draw(st.lists(st.tuples(st.integers(0, 6), st.integers(-1, 1)), min_size=1, max_size=12))
    return [WantedStrings(F(n, 2), F(n + 1, 2), (note,)) for n, note in enumerate(notes)]


@given(music())
def test_as_few_changes_as_the_spelling_allows(found: list[WantedStrings]) -> None:
    """A letter that comes with another accidental needs a change, and nothing else does; every string is in tune."""
    made = pedaling(found, NATURAL)
    last: dict[int, int] = {}
    needed = 0
    for want in found:
        letter, alter = want.letters[0]
        needed += letter in last and last[letter] != alter
        last[letter] = alter
        assert made.at(want.onset)[letter] == alter
    assert len(made.changes) == needed
    for change in made.changes:
        assert change.since <= change.begins <= change.until


@given(music())
def test_one_pedal_a_foot_at_once(found: list[WantedStrings]) -> None:
    """The rule: sites.siba.fi, "Pedaling"."""
    made = pedaling(found, NATURAL)
    for foot in (LEFT, RIGHT):
        own = [change for change in made.changes if LETTERS[change.letter] in foot]
        for one, other in zip(own, own[1:], strict=False):
            assert other.begins >= one.begins + one.time


def test_first_setting_is_what_comes_first() -> None:
    """The diminished seventh C Eb F# A as a glissando: D# C B#, Eb F# Gb A (worked out from the strings)."""
    made = pedaling(struck("C B# D# Eb F# Gb A"), NATURAL)
    assert made.first == (0, 1, -1, 1, -1, 0, 1)
    assert not made.changes and not made.impossible


def test_two_feet_at_one_moment() -> None:
    """Mozart K 299, iii, bar 231: F#-F and D#-D at one onset, right foot and left (encoding of the Mutopia project)."""
    made = pedaling(struck("F# D#", "A", "F D"), NATURAL)
    assert [(LETTERS[change.letter], change.after, change.left) for change in made.changes] == [
        ("D", 0, True), ("F", 0, False),
    ]  # fmt: skip
    assert all(change.time == F(1, 2) for change in made.changes)


def test_two_pedals_of_one_foot_share_the_time() -> None:
    """B and D are both the left foot's: Bb-B and Db-D in one gap of half a second have a quarter each."""
    made = pedaling(struck("Bb Db", "A", "B D"), NATURAL)
    assert [change.time for change in made.changes] == [F(1, 4), F(1, 4)]
    assert [change.begins for change in made.changes] == [F(1, 2), F(3, 4)]


def test_change_soon_before_its_note_where_there_is_time() -> None:
    made = pedaling([WantedStrings(F(0), F(1), ((3, 0),)), WantedStrings(F(60), F(61), ((3, 1),))], NATURAL)
    assert [(change.begins, change.time) for change in made.changes] == [(F(56), ENOUGH)]


@pytest.mark.parametrize(("low", "until", "begins"), [(0, 6, 2), (1, 6, 3), (1, 3, 2), (1, 30, 26)])
def test_pedal_waits_for_a_low_string_that_rings(low: int, until: int, begins: int) -> None:
    """Wire rings for seconds, from memory: three of them are waited for, if a second is left for the change."""
    found = [WantedStrings(F(0), F(1), ((4, 0),), low), WantedStrings(F(until), F(until + 1), ((4, 1),))]
    assert [(change.begins, change.time) for change in pedaling(found, NATURAL).changes] == [(begins, ENOUGH)]


@pytest.mark.parametrize("chord", ["C C#", "F##", "Ebb G", "G G# A", "G Ab A", "D Eb E F"])
def test_what_no_pedal_can_do_is_told(chord: str) -> None:
    """C and C# need the C pedal in two places; there are three places for each. Of three tones only G, G# and A cannot
    be had at once, however they are spelled (a sheet on composing for harp, scribd.com/document/385283385)."""
    assert pedaling(struck(chord, "D"), NATURAL).impossible
    assert not pedaling(struck("B# C# D"), NATURAL).impossible


def test_chromatic_scale_is_too_fast_for_one_foot() -> None:
    """Sixteenths at a quarter of 120 last an eighth of a second: F-F#-G-G# moves a pedal in each (worked out)."""
    found = pedaling(struck("E", "F", "F#", "G", "G#", "A", "A#", "B", seconds=F(1, 8)), NATURAL)
    assert len(found.changes) == 3 and all(change.time < FAST for change in found.changes)


def test_note_that_sounds_on_is_cut_where_nothing_else_is_possible() -> None:
    """F to F# at once: the pedal is moved while the first still sounds."""
    change, = pedaling(struck("F", "F#"), NATURAL).changes
    assert F(0) < change.begins < change.until == F(1, 2)


SCRIPT = """\
language 2
piece "P"
{row}forces
    harp  = harp
    flute = flute
movement first
    key   D minor
    tempo 1/4 at 60
    section one
        repeated
        harp.right: notes(1/4 D5 F5 A5 C#6), 2 bars rest, notes(1/2 F#5 C6)
        flute: 4 bars rest
    section two
        harp.right: notes(1/1 C5 C6) -> glissando 1
        flute: 2 bars rest
"""


def said(page: WrittenScore) -> list[tuple[int, F, str]]:
    """Bar, offset and what is told there: all pedals from the left, or those that are moved."""
    found = []
    for frame, bar in zip(page.movements[0].frames, page.movements[0].parts[0].staves[0].bars, strict=True):
        for sign in bar.pedals:
            setting = sign.setting
            pedals = [PitchClass(n, setting[n]) for n in map(LETTERS.index, PEDALS)] if setting else ()
            names = " ".join(map(str, pedals)) or " ".join(name for *_, name in sign.moved)
            found.append((frame.number, sign.offset, names))
    return found


def test_page_has_the_setting_and_every_change() -> None:
    """Worked out: F# for bar 4 and C natural in it, four seconds before; both back in time; a glissando in D minor."""
    page = written(score_from(SCRIPT.format(row="")))
    assert said(page) == [
        (1, F(0), "D C# Bb E F G A"), (3, F(0), "F♯"), (3, F(1, 2), "C♮"), (4, F(1, 2), "F♮"),
        (4, F(13, 16), "C♯"), (5, F(0), "C♮"), (5, F(0), "D C Bb E F G A"),
    ]  # fmt: skip


def test_outputs_have_what_the_page_has() -> None:
    page = written(score_from(SCRIPT.format(row="")))
    assert '\\harp-pedal "-v^|----"' in lilypond_text(page)
    root = ElementTree.fromstring(musicxml_bytes(page, "first"))
    told = [[t.findtext("pedal-step", "") + t.findtext("pedal-alter", "") for t in d.iter("pedal-tuning")]
            for d in root.iter("harp-pedals")]  # fmt: skip
    assert told[0] == ["D0", "C1", "B-1", "E0", "F0", "G0", "A0"] and told[1] == ["F1"]


@pytest.mark.parametrize(("row", "signs"), [("    show harp settings\n", 2), ("    show no harp pedals\n", 0)])
def test_changes_are_for_the_player_to_write_where_the_script_says_so(row: str, signs: int) -> None:
    """Harpists ask for it: a setting where it helps, the changes left to them ("Composing for harp", a sheet)."""
    assert len(said(written(score_from(SCRIPT.format(row=row))))) == signs


def test_other_copies_say_nothing_of_it() -> None:
    short = short_score(score_from(SCRIPT.format(row="")))
    assert not said(written(short))


def test_pedals_of_one_foot_that_are_told_at_one_moment_stand_as_they_are_moved() -> None:
    """The right foot's names stand above the left one's; no page divides a beat further for a foot without time."""
    script = (
        "language 2\nforces\n    harp = harp\nmovement first\n    tempo 1/4 at 60\n"
        "    harp.right: notes(1/64 chord(C5 F5 A5) chord(C#5 F#5 A#5), 1/4 G5)\n"
    )
    assert said(written(score_from(script)))[1:] == [(1, F(1, 64), "F♯ A♯ C♯")]


@pytest.mark.parametrize(
    ("tune", "at"),
    [("1/96 F5 F#5 G5 A5, 1/4 B5", F(1, 96)), ("1/96 G5 F5 G5 F#5, 1/4 B5", F(1, 48)), ("1/112 F5 G5 F#5", F(1, 112))],
)  # fmt: skip
def test_change_between_the_parts_of_a_beat_is_told_at_a_note_and_not_after_its_own(tune: str, at: F) -> None:
    """Source: common practice."""
    script = (
        "language 2\nforces\n    harp = harp\nmovement first\n    tempo 1/4 at 60\n"
        f"    harp.right: notes({tune}), 1/4 rest\n"
    )
    assert said(written(score_from(script)))[1:] == [(1, at, "F♯")]
