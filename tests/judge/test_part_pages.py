"""What a player finds on the pages of a part, by LilyPond's own reckoning. Source: common practice."""

from __future__ import annotations

import pytest
from compiling import score_from
from ink import Page, drawn, find_lilypond, pages_in, pages_of
from judging import collisions, faults

from cavata.edition.parts import part_score
from cavata.lilypond.document import sheet_text
from cavata.lilypond.engraving import Engraving, Failure
from cavata.lilypond.part_pages import layout_of
from cavata.lilypond.sheets import whole_sheet
from cavata.notate.written import WrittenScore
from cavata.pipeline import written
from cavata.record import replace

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(isinstance(find_lilypond(), Failure), reason="LilyPond is not installed"),
]
WAITING = """language 2
piece "Lantern"
    composer "A. Composer"
forces
    flute = flute
    clarinet = clarinet
movement first
    section a "when lamps are lit" 9 bars
        tempo 1/4 at 72, "As the tide"
        clarinet: notes(1/4 D5 E5 F5 G5) x 9
    section b "and put out" 3 bars
        clarinet: notes(1/4 D5 E5 F5 G5) x 3
    section c "again" 4 bars
        tempo 1/4 at 92, "Faster"
        flute, clarinet: notes(1/4 A6 E5 F5 G5) x 4
"""


def part(script: str, index: int = 0) -> WrittenScore:
    return written(part_score(score_from(script), index))


def bottoms(page: Page, name: str) -> list[float]:
    """The lowest ink of each sign of a kind, from the left, in the first system that has it."""
    for system in page.systems:
        found = sorted((ink.box[0], ink.box[2]) for ink in system.inks if ink.name == name)
        if found:
            return [round(bottom, 1) for _, bottom in found]
    return []


def test_letters_stand_on_one_line_over_rests_as_wide_as_their_titles() -> None:
    (page,) = pages_of(part(WAITING))
    letters = bottoms(page, "RehearsalMark")
    assert len(letters) == 2 and len(set(letters)) == 1
    system = next(system for system in page.systems if system.bar)
    marks = sorted((ink for ink in system.inks if ink.name in ("RehearsalMark", "MetronomeMark")), key=lambda i: i.box)
    rests = sorted(ink.box for ink in system.inks if ink.name == "MultiMeasureRest")
    over_first = [mark for mark in marks if mark.box[0] < rests[0][1]]
    assert len(over_first) == 2 and all(mark.box[1] < rests[1][0] for mark in over_first)


ROLLED = """language 2
forces
    harp = harp
movement first
    tempo 1/4 at 66, "Freely"
    harp.right: chord(1/2 F4 A4 C5) -> rolled -> marked p, notes(1/2 C5)
        , chord(1/4 F4 A4 C5) -> rolled -> marked mp, chord(1/4 F4 A4 C5) -> rolled -> marked fff, notes(1/2 C5)
    harp.left: notes(1/2 F3 C3), chord(1/4 F2 A2) -> rolled, chord(1/4 F2 A2) -> rolled, notes(1/2 F3)
"""


def test_a_rolled_chord_with_a_dynamic_stands_under_its_tempo_and_beside_the_next_roll() -> None:
    """A tempo begins over the meter or its first note, which is not moved for it. Source: common practice."""
    (page,) = pages_of(part(ROLLED))
    inks = [ink for system in page.systems for ink in system.inks]
    tempo = next(ink for ink in inks if ink.name == "MetronomeMark")
    first = min(ink.box for ink in inks if ink.name == "NoteHead")
    assert first[1] < tempo.box[1]
    assert not [fault for fault in collisions(page) if not fault.excuse]


def test_a_part_that_begins_on_the_left_has_a_page_before() -> None:
    """Page 1 lies on the right: without it, a print on both sides would have its left pages on the right."""
    page = replace(part(WAITING), first_page=2)
    made = drawn(sheet_text(whole_sheet(page)))
    assert isinstance(made, Engraving)
    front, music = pages_in(made)
    assert not [staff for system in front.systems for staff in system.staves]
    assert {ink.words for ink in front.inks} >= {"Lantern", "A. Composer", "Flute"}
    assert music.number == 2 and music.systems[-1].staves
    layout = layout_of(made)
    assert layout is not None and layout.first_page == 2


@pytest.mark.parametrize(
    "line",
    ["notes(1/4 D5 A5 D5 A5) -> glissando x 12", "notes(1/32 Db5 Eb5 Gb5 Ab5) -> crescendo p f x 32"],
    ids=["a glissando over every bar line", "bars wider than a line"],
)
def test_no_music_runs_off_the_page(line: str) -> None:
    pages = pages_of(part(f"language 2\nforces\n    flute = flute\nmovement first\n    flute: {line}\n"))
    assert not faults(pages, is_part=True)
    assert sum(bool(system.staves) for page in pages for system in page.systems) > 1


TUNED_WHILE_BROADENING = """language 2
forces
    drum = timpani
movement first
    tempo 1/4 at 100
    drum: notes(1/4 E2 E2 F2 C3, 1/1 E2), 1/2 rest, notes(1/2 F2), 1 bar rest, notes(1/1 D2)
    tempo at bar 3: broadening to 1/4 at 60 over 2 bars
"""


def test_words_for_a_change_of_tempo_keep_clear_of_what_a_player_is_told_there() -> None:
    (page,) = pages_of(part(TUNED_WHILE_BROADENING))
    inks = [ink for system in page.systems for ink in system.inks]
    dashes = next(ink for ink in inks if ink.name == "TextSpanner")
    told = next(ink for ink in inks if ink.name == "TextScript" and ink.words.startswith("change"))
    assert told.box[0] < dashes.box[1] and told.box[3] + 0.6 <= dashes.box[2]


SILENT_AT_THE_END = """language 2
forces
    violin = violin
    flute = flute
movement first
    tempo 1/4 at 100
    violin: notes(1/4 D5 E5 F5 G5) x 15
    flute: notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5) x 2, 3 bars rest, notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5) x 2
    tempo at bar 12: broadening to 1/4 at 60 over 4 bars
"""


def test_words_for_a_change_of_tempo_do_not_pass_the_end_of_a_line_of_rests() -> None:
    (page,) = pages_of(part(SILENT_AT_THE_END, 1))
    system = next(system for system in page.systems if any(ink.name == "TextSpanner" for ink in system.inks))
    dashes = next(ink for ink in system.inks if ink.name == "TextSpanner")
    assert "broadening" in dashes.words and dashes.box[1] <= system.staves[0].box[1]
