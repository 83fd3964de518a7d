"""What a player finds on the pages of a part, by LilyPond's own reckoning. Source: common practice."""

from __future__ import annotations

import pytest
from compiling import score_from
from ink import STEP, Page, draw_together, drawn, drawn_at_first, find_lilypond, pages_in, pages_of, pages_of_text
from judging import collisions, faults

from cavata.edition.parts import part_score
from cavata.lilypond.document import sheet_text
from cavata.lilypond.engraving import Engraving, Failure
from cavata.lilypond.page import style
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


def on_the_left() -> str:
    """The sheet of a part that begins on a left page."""
    return sheet_text(whole_sheet(replace(part(WAITING), first_page=2)))


def test_a_part_that_begins_on_the_left_has_a_page_before() -> None:
    """Page 1 lies on the right: without it, a print on both sides would have its left pages on the right."""
    made = drawn(on_the_left())
    assert isinstance(made, Engraving)
    front, music = pages_in(made)
    assert not [staff for system in front.systems for staff in system.staves]
    assert {ink.words for ink in front.inks} >= {"Lantern", "A. Composer", "Flute"}
    assert music.number == 2 and music.systems[-1].staves
    layout = layout_of(made)
    assert layout is not None and layout.first_page == 2


WIDE = tuple(
    f"language 2\nforces\n    flute = flute\nmovement first\n    flute: {line}\n"
    for line in ("notes(1/4 D5 A5 D5 A5) -> glissando x 12", "notes(1/32 Db5 Eb5 Gb5 Ab5) -> crescendo p f x 32")
)


@pytest.mark.parametrize("script", WIDE, ids=["a glissando over every bar line", "bars wider than a line"])
def test_no_music_runs_off_the_page(script: str) -> None:
    pages = pages_of(part(script))
    assert not faults(pages, is_part=True)
    assert sum(bool(system.staves) for page in pages for system in page.systems) > 1


INDEPENDENT = """language 2
forces
    piano = piano
cadenza alone
    tempo 1/4 at 60
    piano.right: together(notes(1/16 Eb5 Gb5 Ab5 Bb5) x 16, notes(3/5 C4) x 6)
    piano.left: notes(5/7 C3 D3 E3 F3 G3 A3)
"""


def test_free_time_in_which_no_two_voices_move_together_does_not_run_off_the_page() -> None:
    """Where even the busiest voice has no beam under way, the line ends. Source: common practice."""
    pages = pages_of(part(INDEPENDENT))
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


SQUEEZED = """language 2
forces
    flute = flute
movement first
    tempo 1/4 at 120
    flute: notes(1/1 C5) x 14
    tempo at bar 2: broadening to 1/4 at 100 over 1 bar
    tempo at bar 12: broadening to 1/4 at 60 over 1/2
    tempo at bar 14: broadening to 1/4 at 40 over 1 bar
"""


def test_words_for_a_change_of_tempo_have_their_dashes_however_many_bars_a_line_would_hold() -> None:
    """A dashed line leads from the words to the tempo that it arrives at. Source: common practice."""
    (page,) = pages_of(part(SQUEEZED))
    found = [(system, ink) for system in page.systems for ink in system.inks if ink.name == "TextSpanner"]
    assert [ink.words for _, ink in found] == ["broadening"] * 3
    for system, line in found:
        _, dashes = sorted(line.pieces, key=lambda piece: piece.first)
        assert len(dashes.columns) > STEP
        ends = [ink.box[0] for ink in system.inks if ink.name == "MetronomeMark" and ink.box[0] > line.box[0]]
        assert line.box[1] < min(ends, default=system.staves[0].box[1])


TWO_VOICES = """language 2
forces
    viola = viola
    horns = horn
movement first
    key A major
    viola: together(notes(1/4 C5 rest rest E5, 1/2 rest F#5), notes(1/4 rest C5 B#4 rest, 1/2 G#4 rest))
    horns: together(notes(1/4 rest rest C5 F5, 1/1 rest), notes(1/4 Eb5 Bb4 rest rest, 1/4 Gb4 Cb5 D5 A#4))
"""


@pytest.mark.parametrize(("index", "rests"), [(0, 6), (1, 2)])
def test_the_rests_of_one_voice_keep_off_the_notes_of_the_other(index: int, rests: int) -> None:
    """Source: common practice."""
    (page,) = pages_of(part(TWO_VOICES, index))
    assert sum(ink.name == "Rest" for ink in page.inks) == rests
    assert not [fault for fault in collisions(page) if not fault.excuse]


CLUSTERS = """language 2
forces
    piano = piano
movement first
    piano.right: notes(1/1 chord(A4 Bb4 B4 C5), 1/2 chord(D4 Eb4 E4 F4) chord(A4 Bb4 B4 C5))
        , notes(1/1 chord(C5 C#5 D5 Eb5 E5))
    piano.left: notes(1/1 C3 C3 C3)
"""


def test_two_inflections_of_a_step_stand_beside_each_other_in_a_chord() -> None:
    """No head of a chord hides another. Source: common practice."""
    (page,) = pages_of(part(CLUSTERS))
    assert sum(ink.name == "NoteHead" for ink in page.inks) == 20
    assert not [fault for fault in collisions(page) if not fault.excuse]


LEAPS = """language 2
forces
    violin = violin
movement first
    violin: notes(1/16 Eb4 Bb5) -> slurred, notes(1/8 A#4 F##5) -> slurred, notes(1/4 A#4 F#5) -> slurred
"""


def test_a_slur_goes_over_an_accidental() -> None:
    """Source: common practice."""
    (page,) = pages_of(part(LEAPS))
    assert sum(ink.name == "Slur" for ink in page.inks) == 3
    assert not list(collisions(page))


PEDALS = """language 2
forces
    vibes = vibraphone
    piano = piano
movement first
    piano.right: notes(1/16 C5 E5 F5 E5) x 4
    piano.left: (notes(1/16 C2 E3 C3) -> sustain_pedal) x 5, notes(1/16 C2)
    vibes: (notes(1/16 C4 E4) -> sustain_pedal) x 8
"""


@pytest.mark.parametrize(("index", "sign"), [(0, "PianoPedalBracket"), (1, "SustainPedal")])
def test_pedals_have_signs_with_room_or_are_a_line(index: int, sign: str) -> None:
    """Signs and lines are not mixed, and no sign runs into the next. Source: common practice."""
    (page,) = pages_of(part(PEDALS, index))
    assert {ink.name for ink in page.inks if "Pedal" in ink.name} == {sign}
    assert not list(collisions(page))


CLOSE = """language 2
forces
    violin = violin
    voice = soprano
movement first
    violin: notes(1/16 chord(F4 G4) rest chord(D4 E4 F4) rest, 1/32 chord(F4 G4), 7/32 rest, 1/8 chord(E4 F4), 3/8 rest)
movement second
    meter 5/16
    key E major
    voice: notes(1/12 G#4 E#4 D##5) -> turn last -> mordent 1 x 12 -> sung "o-pen _ sea, o-_"
"""


@pytest.mark.parametrize(("index", "sign", "count"), [(0, "Flag", 4), (1, "TupletNumber", 19)])
def test_flags_hang_clear_of_heads_and_ornaments_stand_outside_tuplets(index: int, sign: str, count: int) -> None:
    """Source: common practice."""
    (page,) = pages_of(part(CLOSE, index))
    assert sum(ink.name == sign for ink in page.inks) == count
    assert not list(collisions(page))


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


THROUGH_A_LINE = """language 2
forces
    flute = flute
    cello = cello
movement first
    flute: notes(1/128 D5 E5 F5 G5) x 60, rest to bar 3, notes(1/1 C5)
    cello: notes(1/4 C3, 9/4 D3, 1/2 E3)
"""


def test_a_tie_goes_on_through_lines_that_its_note_does_not_begin() -> None:
    (page,) = pages_of(written(score_from(THROUGH_A_LINE)))
    assert len(page.systems) > 6
    assert all(any(ink.name == "Tie" for ink in system.inks) for system in page.systems[2:])
    assert not list(collisions(page))


BOWED = """language 2
forces
    voice = soprano
movement first
    meter 5/8
    voice: notes(1/28 A4 G4 chord(A4 B4)) -> trill last to m2 -> marked upbow x 18 -> sung "o-pen _ sea, o-_"
"""


def test_marks_stand_outside_tuplets_under_a_slur() -> None:
    """Source: common practice."""
    (page,) = pages_of(part(BOWED))
    assert sum(ink.name == "TupletNumber" for ink in page.inks) > 6
    assert not list(collisions(page))


CLOSE_BARS = (
    ("Beam", r"<< { \voiceOne bf'''!8->--[ cs''!8->--] f''->--[ e'''->--] e'''->--[ bf'''!->--] cs''->--[ f''->--] }"
             r" \new Voice { \voiceTwo e'4 cs'! gs'' bf' } >>"),
    ("TupletNumber", r"\clef bass <df, ff, af,>4.~ \tuplet 3/2 { <df, ff, af,>8 <ef gf! cf'!>4~ } <ef gf cf'>4 r8"),
    ("Rest", r"\clef treble << { \voiceOne \tuplet 3/2 { g''16\fermata r8 } r8 r8 r4 r4. }"
             r" \new Voice { \voiceTwo fs'''8[ cs''''!8] \tuplet 3/2 { a''''8 r16 } r4 r4. } >>"),
)  # fmt: skip
"""Bars in which LilyPond by itself sets such a sign on another, where it has little room."""
NARROW = r"""
\paper { indent = 0 ragged-right = ##t }
\layout { \context { \Score
    \override SpacingSpanner.spacing-increment = #0.6
    \override SpacingSpanner.shortest-duration-space = #1
} }
"""


def narrow(bar: str) -> str:
    """The text of a bar that has little room."""
    furnished = f'\\version "2.24.0"\n\\language "english"\n#(set-global-staff-size 20)\n{style()}{NARROW}'
    return f"{furnished}\\score {{ \\new Staff {{ {bar} }} }}\n"


@pytest.mark.parametrize(("sign", "bar"), CLOSE_BARS, ids=[sign for sign, _ in CLOSE_BARS])
def test_marks_keep_off_beams_and_numbers_and_rests_off_accidentals(sign: str, bar: str) -> None:
    """Source: common practice."""
    (page,) = pages_of_text(narrow(bar))
    assert any(ink.name == sign for ink in page.inks)
    assert not list(collisions(page))


NESTED = r"\tuplet 3/2 { c'8[ \tuplet 5/4 { e'32 \tuplet 3/2 { d'64 e' c' } d'32 e' c' } a8] } r2."


def test_pages_are_broken_with_room_for_brackets_inside_brackets() -> None:
    """LilyPond does not find afterward that it has set too much on a page. Source: common practice."""
    furnished = f'\\version "2.24.0"\n\\language "english"\n#(set-global-staff-size 20)\n{style()}'
    staff = f"\\new Staff {{ \\stemDown \\repeat unfold 6 {{ {NESTED} \\break }} }}"
    ((made, said),) = drawn_at_first([f"{furnished}\\score {{ \\new StaffGroup << {staff * 4} >> }}\n"])
    assert sum(ink.name == "TupletBracket" for page in pages_in(made) for ink in page.inks) == 48
    assert "over-full" not in said


SUNG = """language 2
forces
    soprano = soprano
motif tune = notes(1/4 C5 D5 E5 F5)
movement first
    section one 6 bars
        soprano: tune x 6
    section two 4 bars
        soprano: tune -> marked mf -> sung "sing a song, a" x 4
"""


def test_the_number_of_a_bar_stands_over_a_singers_dynamic_with_room_between() -> None:
    """A number between a dynamic and its staff, or near enough to touch it, would be read as one. Common practice."""
    (page,) = pages_of(written(score_from(SUNG)))
    system = next(system for system in page.systems if any(ink.name == "DynamicText" for ink in system.inks))
    number = next(ink for ink in system.inks if ink.name == "BarNumber" and ink.words == "7")
    first = min((ink for ink in system.inks if ink.name == "DynamicText"), key=lambda ink: ink.box[0])
    tops = {at: column[1] for piece in first.pieces for at, column in enumerate(piece.columns, piece.first) if column}
    gaps = [
        column[0] - tops[at]
        for piece in number.pieces for at, column in enumerate(piece.columns, piece.first) if column and at in tops
    ]  # fmt: skip
    assert gaps and min(gaps) > 0.8, "of a staff space"


@pytest.fixture(scope="module", autouse=True)
def together() -> None:
    """What is drawn above; what is missing here is drawn alone."""
    scripts = (
        WAITING, ROLLED, INDEPENDENT, TUNED_WHILE_BROADENING, SQUEEZED, TWO_VOICES, CLUSTERS, LEAPS, PEDALS, CLOSE,
        BOWED, *WIDE,
    )  # fmt: skip
    second = (TWO_VOICES, PEDALS, CLOSE, SILENT_AT_THE_END)
    pages = [*(part(script) for script in scripts), *(part(script, 1) for script in second)]
    pages.append(written(score_from(THROUGH_A_LINE)))
    texts = [sheet_text(whole_sheet(page)) for page in pages]
    draw_together([*texts, on_the_left(), *(narrow(bar) for _, bar in CLOSE_BARS)])
