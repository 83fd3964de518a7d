"""Every way in which a name may lie in a score is found and told for what it is. Source: by construction."""

from __future__ import annotations

from fractions import Fraction

import pytest
from trace_lines import line, score

from cavata.foreign.heard import HeardBar, HeardScore
from cavata.record import replace
from cavata.trace.hits import Closeness, Hit, Spacing
from cavata.trace.subject import LineForm, Sought, Subject, subject_of_notes
from cavata.trace.trace import Freedom, hits_of

BACH, DSCH, FACE = subject_of_notes("Bb A C B"), subject_of_notes("D Eb C B"), subject_of_notes("F A E C")
FILL = "G4 G4 G4 G4 D4 D4 D4"


def hits(heard: HeardScore, subject: Subject = DSCH, **freedom: int | bool) -> list[Hit]:
    name = Sought(subject.name, (subject,), (None,))
    return list(hits_of([heard], name, Freedom(**freedom)))  # type: ignore[arg-type]


def only(heard: HeardScore, subject: Subject = DSCH, **freedom: int | bool) -> Hit:
    found = hits(heard, subject, **freedom)
    assert len(found) == 1, [(h.kind, h.bars) for h in found]
    return found[0]


@pytest.mark.parametrize(
    ("numbers", "where"),
    [
        (["1", "2", "1", "2"], "movement 2"),  # two movements in one file, each counted from 1
        (["1", "1", "0", "1"], "movement 3"),  # one bar of free time, then a movement with an upbeat
        (["0", "1", "2", "3"], ""), (["1", "2", "2", "3"], ""), (["5", "6", "X1", "7"], ""),
    ],
)  # fmt: skip
def test_a_file_of_several_movements_says_in_which_a_name_is(numbers: list[str], where: str) -> None:
    heard = score(line("G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 D4 Eb4 C4 B3"))
    bars = tuple(HeardBar(number, Fraction(place), Fraction(1)) for place, number in enumerate(numbers))
    assert only(replace(heard, bars=bars)).title == where


@pytest.mark.parametrize("voices", [("D4 Eb4 C4 B3",), ("D4 G4 Eb4 G4 C4 G4 B3",), ("D4 r Eb4 r C4", "r r r r r r B3")])
def test_a_statement_lies_within_one_movement(voices: tuple[str, ...]) -> None:
    """In one run of bars the name is there, in a row, woven or over voices; over the end of a movement it is not."""
    heard = score(*(line(voice) for voice in voices))

    def numbered(*numbers: str) -> HeardScore:
        bars = tuple(HeardBar(number, Fraction(place, 2), Fraction(1, 2)) for place, number in enumerate(numbers))
        return replace(heard, bars=bars)

    assert hits(numbered("1", "2", "3", "4"))
    assert not hits(numbered("1", "1", "2", "3"))


@pytest.mark.parametrize(
    ("notes", "form", "closeness", "shift"),
    [
        ("D4 Eb4 C4 B3", LineForm.PRIME, Closeness.AT_PITCH, 0),
        ("D5 Eb5 C5 B4", LineForm.PRIME, Closeness.AT_PITCH, 0),
        ("D4 D#4 C4 B3", LineForm.PRIME, Closeness.AT_PITCH, 0),
        ("A4 Bb4 G4 F#4", LineForm.PRIME, Closeness.TRANSPOSED, 7),
        ("D4 C#4 E4 F4", LineForm.INVERSION, Closeness.AT_PITCH, 0),
        ("G4 F#4 A4 Bb4", LineForm.INVERSION, Closeness.TRANSPOSED, 5),
        ("B3 C4 Eb4 D4", LineForm.RETROGRADE, Closeness.AT_PITCH, 0),
        ("C4 Db4 Fb4 Eb4", LineForm.RETROGRADE, Closeness.TRANSPOSED, 1),
        ("F4 E4 C#4 D4", LineForm.RETROGRADE_INVERSION, Closeness.AT_PITCH, 0),
        ("D4 Eb5 C4 B4", LineForm.PRIME, Closeness.OCTAVES, 0),
        ("E4 F5 D4 C#4", LineForm.PRIME, Closeness.OCTAVES, 2),
        ("D4 E4 C4 B3", LineForm.PRIME, Closeness.INFLECTED, 0),
        ("B3 C#4 Eb4 D4", LineForm.RETROGRADE, Closeness.INFLECTED, 0),
        ("A4 B4 G4 F#4", LineForm.PRIME, Closeness.MOVED_INFLECTED, 7),
        ("C4 D4 Fb4 Eb4", LineForm.RETROGRADE, Closeness.MOVED_INFLECTED, 1),
        ("E5 F4 D5 C4", LineForm.PRIME, Closeness.MOVED_INFLECTED, 2),
    ],
)
def test_form_and_closeness(notes: str, form: LineForm, closeness: Closeness, shift: int) -> None:
    hit = only(score(line(f"{FILL} {notes} {FILL}")))
    assert (hit.kind.form, hit.kind.closeness, hit.shift) == (form, closeness, shift)
    assert hit.kind.spacing is Spacing.ADJACENT and " ".join(map(str, hit.pitches)) == notes
    assert hit.notes == ((0, 7), (0, 8), (0, 9), (0, 10)) and hit.bars == "2-3"


def test_inflected_notes_are_numbered() -> None:
    assert only(score(line("D4 E4 C4 Bb3"))).inflected == (2, 4)
    assert not hits(score(line("D4 F4 C4 B3"))), "a third away is no inflection"


def test_elsewhere_a_few_notes_may_be_inflected() -> None:
    """One in three: of four notes one, of six two, of three none. Source: by counting."""
    assert only(score(line("A4 B4 G4 F#4"))).inflected == (2,)
    assert not hits(score(line("A4 B4 G4 F4"))), "two of four"
    tamsin = subject_of_notes("F A F E B G")
    # A fourth higher, with B and Cb for Bb and C.
    assert only(score(line("B4 D5 Bb4 A4 E4 Cb5")), tamsin).inflected == (1, 6)
    assert not hits(score(line("B4 D5 B4 A4 E4 Cb5")), tamsin), "three of six"
    assert not hits(score(line("C5 E5 G5")), subject_of_notes("F A C#")), "of three notes"


def test_forms_that_are_the_same_notes_are_told_once() -> None:
    """B A C H backwards is B A C H upside down. Source: by counting."""
    found = hits(score(line("B4 C5 A4 Bb4")), BACH)
    assert [(h.kind.form, h.also) for h in found] == [(LineForm.INVERSION, (LineForm.RETROGRADE,))]


def test_rhythm_is_told() -> None:
    assert only(score(line("D4 Eb4 C4 B3"))).even
    assert not only(score(line("D4/1:2 Eb4 C4/1:8 B3"))).even


def test_rests_are_passed_over_unless_strict() -> None:
    heard = score(line("D4 Eb4 r C4 B3"))
    assert only(heard).across_rest
    assert hits(heard, strict=True, together=False) == []
    assert not only(score(line("G4 r D4 Eb4 C4 B3"))).across_rest


def test_a_chord_breaks_a_line() -> None:
    assert hits(score(line("D4 Eb4 C4+G4 C4 B3")), together=False) == []


@pytest.mark.parametrize(
    ("notes", "between", "foreign", "spacing"),
    [
        ("D4 G5 Eb4 C4 B3", 0, 1, None),
        ("D4 G5 Eb4 C4 B3", 1, 1, Spacing.BETWEEN),
        ("D4 G5 G5 Eb4 C4 F5 B3", 1, 3, None),
        ("D4 G5 G5 Eb4 C4 F5 B3", 2, 3, Spacing.BETWEEN),
        ("D4 G5 Eb4 G5 C4 G5 B3", 0, 3, Spacing.WOVEN),
        ("D4 G5 A5 Eb4 G5 A5 C4 G5 A5 B3", 0, 6, Spacing.WOVEN),
    ],
)
def test_notes_between(notes: str, between: int, foreign: int, spacing: Spacing | None) -> None:
    found = [h for h in hits(score(line(notes)), between=between, together=False) if h.kind.form is LineForm.PRIME]
    assert [h.kind.spacing for h in found] == ([] if spacing is None else [spacing])
    assert all(h.foreign == foreign and h.kind.closeness is Closeness.AT_PITCH for h in found)


def test_split_over_voices() -> None:
    hit = only(score(line("D5 r C5 r", "Flute"), line("r Eb4 r B3", "Oboe")))
    assert hit.kind.spacing is Spacing.SPLIT and hit.parts == ("Flute", "Oboe")
    assert [str(p) for p in hit.pitches] == ["D5", "Eb4", "C5", "B3"]


def test_what_one_voice_has_alone_is_not_split() -> None:
    found = hits(score(line("D5 Eb5 C5 B4", "Flute"), line("D4 Eb4 C4 B3", "Oboe")))
    assert [h.kind.spacing for h in found] == [Spacing.ADJACENT, Spacing.ADJACENT]


def test_chord_in_one_part_and_among_parts() -> None:
    one = only(score(line("G4 F3+A3+C4+E4 G4")), FACE)
    assert one.kind.spacing is Spacing.CHORD and one.bars == "1"
    among = only(score(line("G4 E5/1:2", "Flute"), line("G4 C4+A3 r", "Horn"), line("G4 F2/1:2", "Bass")), FACE)
    assert among.kind.spacing is Spacing.CHORD and set(among.parts) == {"Flute", "Horn", "Bass"}
    assert hits(score(line("G4 F3+A3+C4+E4+G4 G4")), FACE) == [], "one note more is another chord"


def test_bars_and_parts_are_told() -> None:
    heard = score(line("G4 G4 G4", "Flute"), line("G3 G3 G3 G3 G3 G3 D4 Eb4 C4 B3", "Oboe"))
    hit = only(heard)
    assert (hit.first_bar, hit.last_bar, hit.parts) == ("2", "3", ("Oboe",))
