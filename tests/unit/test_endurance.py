"""Named counts of what tires, reckoned by hand, and the stretches that go on too long."""

from __future__ import annotations

import pytest
from looking import line_of, told

from cavata.playing.endurance import counts
from cavata.playing.profile import AMATEURS, PROFESSIONAL

QUICK = "tempo 1/4 at 120"


def test_counts_of_a_line_are_those_reckoned_by_hand() -> None:
    """At 120 a quarter takes half a second: two bars of 4/4 take four."""
    line = line_of(
        "flute = flute",
        "flute: notes(1/8 C5 D5 E5 F5 G5 A5 B5 C6, 1/2 C5, 1/2 rest) -> marked ff, 2 bars rest, notes(1/1 D5)", QUICK,
    )
    found = counts(line)
    assert found is not None
    assert [(bar.bar.number, bar.notes, bar.a_second) for bar in found.bars] == [(1, 8, 4), (2, 1, 0.5), (5, 1, 0.5)]
    assert found.sounding == 2 + 1 + 2 and found.loud == found.sounding
    assert found.fastest == 4
    assert (found.unbroken, found.leaps, found.changes) == (3, 1, 0)


def test_high_is_the_upper_quarter_of_the_comfortable_range() -> None:
    """A flute's is D4 to A6, 31 semitones: from D6 on."""
    line = line_of("flute = flute", "flute: notes(1/4 C#6 D6 Eb6 C5)", QUICK)
    found = counts(line)
    assert found is not None and found.high == 1
    strings = counts(line_of("violin = violin", "violin: notes(1/1 C7)", QUICK))
    assert strings is not None and strings.high == 0


def test_changes_are_counted() -> None:
    rows = "violin: notes(1/2 C5) -> marked pizzicato, notes(1/2 D5) -> marked arco"
    found = counts(line_of("violin = violin", rows))
    assert found is not None and found.changes == 2


def test_a_rest_divides_stretches() -> None:
    line = line_of("flute = flute", "flute: notes(1/1 C5), 1 bar rest, notes(1/1 D5 E5)", QUICK)
    found = counts(line)
    assert found is not None and found.unbroken == 4


@pytest.mark.parametrize(
    ("part", "rows", "kind"),
    [
        ("violin", "notes(1/16 C5 D5 E5 F5) x 124", "fast notes"),
        ("viola", "notes(1/1 C4) -> tremolo", ""),
        ("viola", "(notes(1/1 C4 D4) -> tremolo) x 12", "long tremolo"),
        ("trumpet", "(notes(1/1 C5 D5) -> marked ff) x 16", "loud playing"),
        ("trumpet", "(notes(1/1 C5 D5) -> marked f) x 16", ""),
        ("violin", "notes(1/1 C5 D5) x 125", "no rest"),
        ("violin", "notes(1/1 C5 D5) x 110", ""),
        ("violins", "notes(1/1 C5 D5) x 125", ""),
    ],
)
def test_what_goes_on_too_long_tires(part: str, rows: str, kind: str) -> None:
    tired = {word for degree, word in told(f"one = {part}", f"one: {rows}", QUICK) if degree == "tiring"}
    assert kind in tired if kind else not tired & {"fast notes", "long tremolo", "loud playing", "no rest"}


def test_amateurs_tire_sooner() -> None:
    rows = "one: (notes(1/1 C4 D4) -> tremolo) x 6"
    assert ("tiring", "long tremolo") not in told("one = viola", rows, QUICK, PROFESSIONAL)
    assert ("tiring", "long tremolo") in told("one = viola", rows, QUICK, AMATEURS)


def test_ranges_are_told_in_degrees_and_amateurs_keep_to_the_comfortable_one() -> None:
    """A flute sounds C4 to D7 as a rule, B3 to F7 at the extreme, D4 to A6 with comfort: the table of instruments. What
    no bore has is told for that."""
    for note, usual, amateur in (
        ("E5", [], []),
        ("B6", [], [("impossible", "range")]),
        ("E7", [("care", "range")], [("impossible", "range")]),
        ("Bb3", [("care", "range")], [("impossible", "range")]),
        ("A3", [], []),
    ):
        for profile, expected in ((PROFESSIONAL, usual), (AMATEURS, amateur)):
            found = told("flute = flute", f"flute: notes(1/1 {note})", QUICK, profile)
            assert [each for each in found if each[1] == "range"] == expected, note


def test_amateurs_are_held_to_eight_notes_a_second() -> None:
    for value, expected in (("1/16", 0), ("1/24", 1)):  # at 120: eight, and twelve
        rows = f"viola: notes({value} C4 D4 E4 F4 G4 F4 E4 D4) x 6"
        found = told("viola = viola", rows, QUICK, AMATEURS)
        assert found.count(("impossible", "fastest")) == expected
        assert ("impossible", "fastest") not in told("viola = viola", rows, QUICK)
