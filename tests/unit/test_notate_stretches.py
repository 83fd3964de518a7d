"""Stretches of a long movement: what each has of the whole, with everything that may be under way at a cut.

The text that LilyPond reads of them is compared with kept files; `pytest --update` writes them anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, frame, leaf, line, movement, part

from cavata.lilypond.document import sheet_text
from cavata.lilypond.sheets import sheets
from cavata.notate.paper import stretches
from cavata.notate.paper.layout import laid_out
from cavata.notate.paper.stretches import crossing, cuts, movement_stretch
from cavata.notate.written import Leaf, WrittenBar, WrittenMovement, WrittenScore, WrittenStaff, leaves
from cavata.pipeline import compile_script, written
from cavata.record import replace

GOLDEN = Path(__file__).parent / "test_notate_stretches_golden"
SCRIPTS = Path(__file__).parent.parent / "golden"


def page(name: str) -> WrittenScore:
    """A script of the kept ones as it is written."""
    score = compile_script(SCRIPTS / name / "script.cavata", "script.cavata").score
    assert score is not None
    return written(score)


@pytest.mark.parametrize(("name", "most"), [("signs", 3), ("returns", 12)])
def test_text_of_every_sheet(
    name: str, most: int, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So few bars are engraved at once: cuts lie where least leads over, sections are preferred."""
    monkeypatch.setattr(stretches, "MOST_BARS", most)
    made = page(name)
    again = laid_out(made.header, made.groups, made.movements, made.colors_note, made.title_page)
    found = sheets(again)
    music = [sheet_text(sheet).partition("\\score\n")[2] for sheet in found]
    told = [f"% cuts {[movement.cuts for movement in again.movements]}"]
    told += [f"% away {sheet.thrown_away}\n{text}" for sheet, text in zip(found, music, strict=True)]
    text = "\n".join(told) + "\n"
    stored = GOLDEN / f"{name}.ly"
    if request.config.getoption("--update", default=False):
        stored.parent.mkdir(exist_ok=True)
        stored.write_bytes(text.encode())
    assert text.splitlines() == stored.read_bytes().decode().splitlines()
    assert [(sheet.has_title, sheet.whole, sheet.title_page) for sheet in found] == [
        (number == 0, False, None) for number in range(len(found))
    ]


@pytest.mark.parametrize(
    ("staves", "bars", "leaves_in_bar", "expected"),
    [
        (1, 400, 1, ()),
        (1, 401, 1, (200,)),
        (1, 800, 1, (400,)),
        (1, 801, 1, (267, 534)),
        (40, 2, 200, ()),
        (1, 4, 4001, (2,)),
        (1, 4, 4000, ()),
        (1, 2, 8001, (1,)),
        (1, 8, 4001, (3, 5)),
    ],
)
def test_limits_of_what_is_engraved_at_once(
    staves: int, bars: int, leaves_in_bar: int, expected: tuple[int, ...]
) -> None:
    """400 bars, or 16,000 notes and rests: beyond it the movement is divided evenly."""
    full = bar(*line("D5:4") * leaves_in_bar)
    made = [part(f"p{n}", "P", "P", WrittenStaff("treble", (full,) * bars)) for n in range(staves)]
    whole = movement("a", "", tuple(frame(number + 1, "4/4") for number in range(bars)), tuple(made))
    assert cuts(whole) == expected


def test_a_cut_lies_an_eighth_of_a_stretch_away_at_most(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two stretches of 32 bars: a section within four bars of the middle is preferred, beyond it is not."""
    monkeypatch.setattr(stretches, "MOST_BARS", 32)
    for begins, cut in ((29, 28), (28, 32), (37, 36), (38, 32), (33, 32), (None, 32)):
        frames = tuple(frame(n, "4/4", section="So" if n == begins else "") for n in range(1, 65))
        staff = WrittenStaff("treble", (bar(*line("D5:1")),) * 64)
        assert cuts(movement("a", "", frames, (part("p", "P", "P", staff),))) == (cut,), begins


@pytest.mark.parametrize("under_way", [1, 7, 8, 9, 12])
def test_eight_bars_at_most_are_only_there_for_what_leads_over(under_way: int) -> None:
    """A slur over so many bar lines before and after the cut; the nearest bar with least under way is taken."""
    notes = [bar(*line("D5:1"))] * 40
    notes[20 - under_way] = bar(leaf("D5:1", slur_begins=True))
    notes[20 + under_way] = bar(leaf("D5:1", slur_ends=True))
    frames = tuple(frame(n, "4/4") for n in range(1, 41))
    whole = movement("a", "", frames, (part("p", "P", "P", WrittenStaff("treble", tuple(notes))),))
    made = movement_stretch(whole, 20, 30, crossing(whole))
    assert made.overlap[0] == (under_way if under_way <= 8 else 1)
    assert movement_stretch(whole, 10, 20, crossing(whole)).overlap[1] == (under_way + 1 if under_way + 1 <= 8 else 1)


@pytest.mark.parametrize("dashed", [True, False])
def test_what_is_under_way_for_longer_begins_and_ends_with_the_stretch(dashed: bool) -> None:
    """A slur, a hairpin, a pedal and an octave sign over nearly forty bars; one slur of the other kind before them."""
    notes = [bar(*line("D5:1"))] * 40
    notes[0] = bar(leaf("D5:2", slur_begins=True, slur_dashed=not dashed), leaf("D5:2", slur_ends=True))
    begins = leaf("D5:1", slur_begins=True, slur_dashed=dashed, hairpin="crescendo", pedal_begins=True)
    notes[1] = bar(replace(begins, ottava=1))
    notes[2] = bar(leaf("r:2"), leaf("E5:2"))
    notes[39] = bar(replace(leaf("D5:1", slur_ends=True, hairpin_ends=True, pedal_ends=True), ottava=0))
    frames = tuple(frame(n, "4/4") for n in range(1, 41))
    whole = movement("a", "", frames, (part("p", "P", "P", WrittenStaff("treble", tuple(notes))),))
    made = movement_stretch(whole, 15, 25, crossing(whole))
    inside = [one for each in made.parts[0].staves[0].bars for one in leaves(each.voices[0])]
    first, last = inside[0], inside[-1]
    assert (first.marks.slur_begins, first.marks.slur_dashed, first.marks.hairpin, first.marks.pedal_begins) == (
        True, dashed, "crescendo", True,
    )  # fmt: skip
    assert (first.ottava, last.ottava) == (1, None)
    assert (last.marks.slur_ends, last.marks.hairpin_ends, last.marks.pedal_ends) == (True, True, True)
    assert all(one == leaf("D5:1") for one in inside[1:-1])


@pytest.mark.parametrize("name", ["signs", "returns", "two_staves", "tempi"])
def test_stretches_are_the_whole_but_for_the_notes_at_the_cut(name: str) -> None:
    """Every bar that has a note before and after it in its stretch is as in the whole movement."""
    for whole in (replace(given, begins_page=True, short=True) for given in page(name).movements):
        under_way = crossing(whole)
        bars = len(whole.frames)
        for first in range(bars):
            for end in range(first + 1, min(bars, first + 4) + 1):
                made = movement_stretch(whole, first, end, under_way)
                before, after = made.overlap
                begin, stop = first - before, end + after
                assert begin >= 0 and stop <= bars and len(made.frames) == stop - begin
                assert (before == 0) == (first == 0) and (after == 0) == (end == bars)
                frames = [replace(frame, ends_page=False, shows_meter=False) for frame in made.frames]
                assert frames == [
                    replace(frame, ends_page=False, shows_meter=False) for frame in whole.frames[begin:stop]
                ]
                shown = [frame.shows_meter for frame in made.frames]
                meters = [frame.shows_meter for frame in whole.frames[begin:stop]]
                assert shown[1:] == meters[1:]
                assert shown[0] == (whole.frames[begin].meter is not None if begin else meters[0])
                assert [place for place, frame in enumerate(made.frames) if frame.ends_page] == sorted(
                    {place for place in (before - 1, before + end - first - 1) if 0 <= place < stop - begin - 1}
                )
                assert made.line_breaks == tuple(
                    whole.line_breaks[place] if first <= place < end else () for place in range(begin, stop)
                )
                assert (made.begins_page, made.short, made.cuts) == (begin == 0, False, ())
                assert (made.title, made.attacca) == (
                    "" if begin else whole.title, whole.attacca and stop == bars
                )  # fmt: skip
                _same_bars(whole, made, begin, stop)


def _same_bars(whole: WrittenMovement, made: WrittenMovement, begin: int, stop: int) -> None:
    for given, own in zip(whole.parts, made.parts, strict=True):
        for staff, cut in zip(given.staves, own.staves, strict=True):
            assert cut.clef == staff.clef_before(begin)
            keys = [each.key for each in staff.bars[: begin + 1] if each.key is not None]
            assert cut.bars[0].key == (keys[-1] if keys else None)
            for voice in range(max(len(each.voices) for each in cut.bars)):
                before, after = (_leaves_of(bars, voice) for bars in (staff.bars[begin:stop], cut.bars))
                notes = [place for place, leaf in enumerate(before) if leaf.heads]
                ends = {*(notes[:1] if begin else ()), *(notes[-1:] if stop < len(staff.bars) else ())}
                for place, (one, other) in enumerate(zip(before, after, strict=True)):
                    assert one == other or (place in ends and _bare(one) == _bare(other))


def _leaves_of(bars: Sequence[WrittenBar], voice: int) -> list[Leaf]:
    return [leaf for each in bars if voice < len(each.voices) for leaf in leaves(each.voices[voice])]


def _bare(leaf: Leaf) -> Leaf:
    """The leaf without what may be under way at a cut."""
    return replace(leaf, marks=replace(leaf.marks, **_NOTHING), ottava=None, string=None, heads=())


_NOTHING = {
    "slur_begins": False, "slur_ends": False, "slur_dashed": False, "hairpin": "", "hairpin_ends": False,
    "pedal_begins": False, "pedal_ends": False, "glides": False,
}  # fmt: skip
