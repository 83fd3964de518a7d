"""How players who share a staff are written, passage by passage.

Source of what engravers do: common practice (one line for the same music, one stem for one rhythm, two voices else).
"""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from compiling import score_from

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.edition.instrumentation import forces_list, instrumentation
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.text import bar_text
from cavata.notate.written import WrittenScore, leaves
from cavata.pipeline import compile_script, written
from cavata.score.percussionists import percussionists
from cavata.score.score import Score

WINDS = "forces\n    one = flute\n    two = flute\nstaff both = one, two\nmovement first\n"
STRINGS = WINDS.replace("= flute", "= violins")


def full(script: str) -> Score:
    return full_score(score_from("language 2\n" + script))


def page(script: str) -> WrittenScore:
    return written(full(script))


def bars(script: str, part: int = 0) -> list[str]:
    """The bars of a part's first staff; an empty upper voice shows as nothing."""
    return [bar_text(bar) for bar in page(script).movements[0].parts[part].staves[0].bars]


def test_same_music_is_one_line_for_two() -> None:
    assert bars(WINDS + "    both: notes(1/2 D5 E5)") == ["D5:2/who a 2 E5:2"]


def test_one_rhythm_is_one_stem_and_needs_no_words() -> None:
    assert bars(WINDS + "    one: notes(1/2 F5 G5)\n    two: notes(1/2 D5 E5)") == ["<D5 F5>:2 <E5 G5>:2"]


def test_two_rhythms_are_two_voices() -> None:
    assert bars(WINDS + "    one: notes(1/2 F5 G5)\n    two: notes(1/1 D5)") == ["F5:2 G5:2 // D5:1"]


@pytest.mark.parametrize(("who", "word"), [("one", "1."), ("two", "2.")])
def test_one_alone_is_named_and_the_other_has_no_rests(who: str, word: str) -> None:
    assert bars(WINDS + f"    {who}: notes(1/2 F5), 1/2 rest") == [f"F5:2/who {word} r:2"]


def test_second_alone_stands_in_one_voice_between_bars_of_two() -> None:
    found = bars(WINDS + "    one: notes(1/2 F5 G5), 1 bar rest, notes(1/2 F5 G5)\n    two: notes(1/1 D5 C5 D5)")
    assert found == ["F5:2 G5:2 // D5:1", "C5:1/who 2.", "F5:2 G5:2 // D5:1"]


def test_words_stand_where_the_writing_changes_only() -> None:
    found = bars(
        WINDS + "    one: notes(1/1 F5 F5 E5 E5 A5)\n    two: 2 bars rest, notes(1/1 E5 E5 F5)"
    )
    assert found == ["F5:1/who 1.", "F5:1", "E5:1/who a 2", "E5:1", "<F5 A5>:1"]


def test_player_is_named_again_after_a_long_rest() -> None:
    found = bars(WINDS + "    one: notes(1/1 F5), 1 bar rest, notes(1/1 F5), 2 bars rest, notes(1/1 F5)")
    assert [("who" in bar) for bar in found] == [True, False, False, False, False, True]


def test_crossing_and_unisons_among_other_notes_are_two_voices() -> None:
    """On one stem nobody could tell who has the upper note, or whether one or two play the unison."""
    assert bars(WINDS + "    one: notes(1/2 C5 G5)\n    two: notes(1/2 D5 E5)") == ["C5:2 G5:2 // D5:2 E5:2"]
    assert bars(WINDS + "    one: notes(1/2 D5 G5)\n    two: notes(1/2 D5 E5)") == ["D5:2 G5:2 // D5:2 E5:2"]


def test_stem_of_two_players_spans_two_octaves_at_most() -> None:
    """How wide is this project's own; beyond it each has a stem."""
    assert bars(WINDS + "    one: notes(1/1 D6)\n    two: notes(1/1 D4)") == ["<D4 D6>:1"]
    assert bars(WINDS + "    one: notes(1/1 E6)\n    two: notes(1/1 D4)") == ["E6:1 // D4:1"]


def test_bar_of_chords_between_bars_of_two_voices_keeps_the_voices() -> None:
    """Else stems would flicker; where chords go on there is one stem. Source: common practice."""
    lower = "notes(1/1 D5), notes(1/2 D5 E5), notes({} D5)"
    rows = WINDS + "    one: notes(1/2 F5 G5 F5 G5 F5 G5)\n    two: "
    voices = "F5:2 G5:2 // D5:1"
    assert bars(rows + lower.format("1/1")) == [voices, "F5:2 G5:2 // D5:2 E5:2", voices]
    assert bars(rows + lower.format("1/2 D5")) == [voices, "<D5 F5>:2 <E5 G5>:2", "<D5 F5>:2 <D5 G5>:2"]


def test_other_marks_are_two_voices_and_a_common_dynamic_stands_once() -> None:
    found = bars(
        WINDS + "    one: notes(1/2 F5 G5) -> marked p -> slurred\n    two: notes(1/2 D5 E5) -> marked p"
    )
    assert found == ["F5:2/( G5:2/) // D5:2/p E5:2"]


@pytest.mark.parametrize(("one", "two"), [("", " -> marked p"), (" -> marked p", ""), (" -> marked p", " -> marked p")])
def test_dynamic_of_either_player_on_one_stem_is_printed_once(one: str, two: str) -> None:
    """A player who was given no dynamic yet shares the stem of the other. Source: common practice."""
    found = bars(WINDS + f"    one: notes(1/2 F5 G5){one}\n    two: notes(1/2 D5 E5){two}")
    assert found == ["<D5 F5>:2/p <E5 G5>:2"]


def test_dynamic_of_the_second_player_alone_is_printed_in_unison_and_where_the_first_joins() -> None:
    assert bars(WINDS + "    one: notes(1/1 F5)\n    two: notes(1/1 F5) -> marked p") == ["F5:1/p/who a 2"]
    joins = "    one: 1 bar rest, notes(1/1 F5) -> marked {}\n    two: notes(1/1 D5 D5) -> marked p"
    assert bars(WINDS + joins.format("p")) == ["D5:1/p/who 2.", "<D5 F5>:1/p"]
    assert bars(WINDS + joins.format("f")) == ["D5:1/p/who 2.", "F5:1/f // D5:1"]


def test_hairpin_and_dynamic_that_both_voices_have_stand_once() -> None:
    """Below the staff for players, with the lower voice; above it for singers, with the upper one."""
    players = "    one: notes(1/4 D5 E5, 1/2 F5) -> crescendo p f\n    two: notes(1/2 D5 C5) -> crescendo p f"
    assert bars(WINDS + players) == ["D5:4 E5:4 F5:2 // D5:2/p/cresc< C5:2/f/|hairpin"]
    other = "    one: notes(1/4 D5 E5, 1/2 F5) -> crescendo p f\n    two: notes(1/2 D5 C5) -> crescendo p ff"
    assert bars(WINDS + other) == ["D5:4 E5:4 F5:2/f // D5:2/p/cresc< C5:2/ff/|hairpin"]
    later = "    one: notes(1/2 D5 E5) -> crescendo p f\n    two: notes(1/4 D5 C5 B4 A4) -> crescendo p f"
    assert bars(WINDS + later) == ["D5:2 E5:2/f // D5:4/p/cresc< C5:4 B4:4 A4:4/f/|hairpin"]
    women = "forces\n    one = sopranos\n    two = altos\nstaff women = one, two\nmovement first\n"
    sung = players.replace("f\n", 'f -> sung "the far lamp"\n') + ' -> sung "far off"'
    (found,) = bars(women + sung)
    assert found.split(" // ") == [
        "D5:4/p/cresc</sung the E5:4/sung far F5:2/f/sung lamp/|hairpin", "D5:2/sung far C5:2/sung off",
    ]  # fmt: skip


def test_attack_of_one_player_needs_a_stem_of_its_own_and_that_of_both_does_not() -> None:
    given = "    one: (notes(1/2 F5) -> marked sf) + notes(1/2 G5)\n    two: {} + notes(1/2 E5)"
    assert bars(WINDS + given.format("notes(1/2 D5)")) == ["F5:2/sf G5:2 // D5:2 E5:2"]
    assert bars(WINDS + given.format("(notes(1/2 D5) -> marked sf)")) == ["<D5 F5>:2/sf <E5 G5>:2"]


@pytest.mark.parametrize(("dynamic", "first"), [("mf", "G5:1/mf/who a 2"), ("pp", "G5:1/pp/who a 2")])
def test_dynamic_after_a_hairpin_to_nothing_is_said_to_both(dynamic: str, first: str) -> None:
    """The goal of the hairpin was cut off, so that nothing is in force where the players meet again."""
    cut = "(notes(1/4 C5 D5 E5 F5) -> diminuendo mf pp -> first 3), 1/4 rest"
    rows = f"    one: {cut}, notes(1/1 G5)\n    two: notes(1/1 C5) -> marked p, notes(1/1 G5) -> marked {dynamic}"
    assert bars(WINDS + rows)[1] == first


def test_dynamic_of_the_upper_player_alone_stands_above() -> None:
    score = page(WINDS + "    one: notes(1/2 F5), notes(1/2 G5) -> marked f\n    two: notes(1/1 D5) -> marked p")
    (bar,) = score.movements[0].parts[0].staves[0].bars
    assert bar_text(bar) == "F5:2 G5:2/f // D5:1/p" and bar.dynamics_above
    assert "\\dynamicUp" in lilypond_text(score)


def test_players_at_other_dynamics_never_share_a_line() -> None:
    """The second bar has no dynamic of its own, but one is loud and the other soft."""
    found = bars(
        WINDS + "    one: notes(1/1 F5 F5) -> marked p\n    two: notes(1/1 F5 F5) -> marked f"
    )
    assert found == ["F5:1/p // F5:1/f", "F5:1 // F5:1"]


def test_slur_over_the_bar_line_keeps_its_voice() -> None:
    """The second bar alone would be one line; the slur of the first player leads into it."""
    found = bars(
        WINDS + "    one: notes(1/2 F5 G5, 1/1 A5) -> slurred\n    two: notes(1/1 D5), notes(1/1 A5)"
    )
    assert found == ["F5:2/( G5:2 // D5:1", "A5:1/) // A5:1"]


def test_halves_of_a_section_are_divided_and_in_unison() -> None:
    found = bars(
        STRINGS + "    both: notes(1/1 D5), chord(F5 A5) held 1 bar, notes(1/1 D5)\n"
        "    one at bar 4: notes(1/1 D5)\n    two at bar 5: notes(1/1 D5)"
    )
    assert found == [
        "D5:1", "<F5 A5>:1/who div.", "D5:1/who unis.", "D5:1/who la metà", "D5:1/who l'altra metà",
    ]  # fmt: skip


FOUR = (
    "forces\n" + "".join(f"    h{n} = horn\n" for n in range(1, 5))
    + "staff high = h1, h2\nstaff low = h3, h4\nmovement first\n"
)


def test_horns_on_two_staves_keep_their_numbers() -> None:
    score = full(FOUR + "    h2: notes(1/1 D4)\n    h4: notes(1/1 D4)")
    assert [part.label for part in score.parts] == ["Horns I, II in F", "Horns III, IV in F"]
    assert [bar_text(part.staves[0].bars[0]) for part in written(score).movements[0].parts] == [
        "A4:1/who 2.", "A4:1/who 4."
    ]  # fmt: skip


def test_three_players_in_two_rhythms_are_told_apart() -> None:
    three = FOUR.replace("staff high = h1, h2\nstaff low = h3, h4", "staff all = h1, h2, h3")
    found = bars(three + "    h1: notes(1/2 F4 E4)\n    h2: notes(1/1 C4)\n    h3: notes(1/1 A3)")
    assert found == ["C5:2/who 1. B4:2 // <E4 G4>:1/who 2. 3."]


def test_section_divided_on_one_staff_has_one_name() -> None:
    score = full(
        "forces\n    a = violins\n    b = violins\n    c = violins\nstaff firsts = a, b\nmovement first\n"
        "    a: notes(1/1 D5)"
    )
    assert [part.label for part in score.parts] == ["Violins I", "Violins II"]
    assert [part.label for part in score.players] == ["Violins I a", "Violins I b", "Violins II"]


BATTERY = (
    "forces\n    bell = triangle\n    jingle = tambourine\n    deep = bass drum\n"
    "staff battery = bell, jingle, deep\nmovement first\n"
    "    bell: (1/2 1/2)\n    jingle: (1/2 1/2)\n    deep: (1/4 1/4 1/2)\n"
)


def test_each_unpitched_instrument_has_its_line() -> None:
    """Lines from E4 up, as a reader of MusicXML counts the lines of a percussion clef."""
    assert bars(BATTERY) == ["<G4 B4>:2 <G4 B4>:2 // E4:4 E4:4 E4:2"]


def test_musicxml_names_the_lines_and_who_strikes() -> None:
    """`staff-lines`, `score-instrument`, `midi-unpitched`, `instrument` as in MusicXML 4.0; General MIDI keys + 1."""
    root = ElementTree.fromstring(musicxml_bytes(page(BATTERY), "first"))
    assert [e.text for e in root.iter("staff-lines")] == ["3"]
    assert [e.findtext("instrument-name") for e in root.iter("score-instrument")] == [
        "Triangle", "Tambourine", "Bass drum",
    ]  # fmt: skip
    assert [e.text for e in root.iter("midi-unpitched")] == ["82", "55", "36"]
    struck = [
        (note.findtext("unpitched/display-step"), note.find("instrument").get("id"))  # type: ignore[union-attr]  # each has one
        for note in root.iter("note") if note.find("unpitched") is not None
    ]  # fmt: skip
    assert set(struck) == {("B", "P1-I1"), ("G", "P1-I2"), ("E", "P1-I3")} and len(struck) == 7


def test_set_of_percussion_is_one_players_part() -> None:
    """Each instrument is there alone too, but only for who asks for it."""
    score = score_from("language 2\n" + BATTERY)
    bag = Diagnostics()
    assert [copy.suffix for copy in copies(score, WantedCopies(score=False, parts=None), bag)] == ["-battery"]
    assert [copy.suffix for copy in copies(score, WantedCopies(score=False, parts=("bell",)), bag)] == ["-bell"]
    (whole,) = copies(score, WantedCopies(score=False, parts=("battery",)), bag)
    text = lilypond_text(written(whole.score))
    assert all(f'"{name}"' in text for name in ("Trgl.", "Tamb.", "B. D.")) and not bag.ordered()


MALLETS = (
    "forces\n    flute = flute\n    vibes = vibraphone\n    drum = bass drum\n"
    'staves second "Percussion 2" short "Perc. 2" = vibes, drum\n'
    "movement first\n    tempo 1/4 at 60\n    flute: notes(1/1 D5) x 8\n"
    "    vibes: notes(1/1 D4)\n    drum at bar 5: (1/1) x 4\n"
)
"""Four bars for mallets, of which three are silent, and four for a drum: one player with two staves."""


def test_percussion_under_one_name_is_one_players_part() -> None:
    """With pitch and without; the other instrument's bars are no rests to be counted."""
    score, bag = score_from("language 2\n" + MALLETS), Diagnostics()
    made = {copy.suffix: copy.score for copy in copies(score, WantedCopies(score=False, parts=None), bag)}
    assert list(made) == ["-flute", "-second"] and not bag.ordered()
    assert [copy.suffix for copy in copies(score, WantedCopies(score=False, parts=("drum",)), bag)] == ["-drum"]
    part = written(made["-second"])
    assert part.header.reader == "Percussion 2"
    counted = [[bar.rest_bars for bar in each.staves[0].bars] for each in part.movements[0].parts]
    assert counted == [[1, 3, 0, 0, 1, 1, 1, 1]] * 2
    text = lilypond_text(part)
    assert all(f'"{name}"' in text for name in ("Vib.", "B. D.")) and "PianoStaff" in text


def test_percussion_under_one_name_counts_one_player_and_keeps_its_names() -> None:
    """The drum follows the vibraphone at once, so that two players would be wanted for two parts."""
    busy = MALLETS.replace("vibes: notes(1/1 D4)", "vibes: notes(1/1 D4) x 4")
    whole = full(busy)
    assert forces_list(whole)[-1] == "Percussion 2 (vibraphone, bass drum)" and percussionists(whole) == 1
    assert percussionists(full(busy.replace('staves second "Percussion 2" short "Perc. 2"', "group second"))) == 2
    text = lilypond_text(written(whole))
    assert all(f'"{name}"' in text for name in ("Percussion 2", "Vibraphone", "Bass drum"))


def test_timpani_under_a_percussionists_name_are_his() -> None:
    """Common practice in small orchestras; the timpani stand first by the order of the page."""
    script = (
        "forces\n    drums = timpani\n    bell = triangle\n    tam = tam tam\n"
        'staves second "Percussion II" = drums, bell, tam\nmovement first\n    drums: notes(1/1 D3)\n    bell: (1/1)\n'
    )
    score, bag = score_from("language 2\n" + script), Diagnostics()
    handed = [copy.suffix for copy in copies(score, WantedCopies(score=False, parts=None), bag)]
    assert handed == ["-second"] and not bag.ordered()
    assert forces_list(full(script)) == ("Percussion II (timpani, triangle, tam-tam)",)
    assert percussionists(full(script)) == 1
    alone = script.replace('staves second "Percussion II"', "group second")
    assert forces_list(full(alone))[0] == "Timpani"
    orchestra = "".join(f"    s{n} = {name}\n" for n, name in enumerate(("violins", "violins", "violas", "cellos")))
    small = script.replace("    tam = tam tam\n", f"    tam = tam tam\n{orchestra}", 1)
    assert instrumentation(full(small)) == "perc - str"
    apart = small.replace('staves second "Percussion II"', "group second")
    assert instrumentation(full(apart)) == "timp - 2 perc - str"


def test_lilypond_has_as_many_lines() -> None:
    text = lilypond_text(page(BATTERY))
    assert "StaffSymbol.line-count = 3" in text and "middleCPosition = #-4" in text


def test_stems_and_beams_of_a_percussion_set_are_as_long_as_elsewhere() -> None:
    """Its lines are two spaces apart, and LilyPond measures these in spaces: half as many are as long."""
    text = lilypond_text(page(BATTERY))
    assert "StaffSymbol.staff-space = 2" in text
    for name in ("Stem.length-fraction", "Beam.length-fraction", "StemTremolo.length-fraction"):
        assert f"{name} = 0.5" in text
    for name in ("Beam.beam-thickness", "StemTremolo.beam-thickness"):
        assert f"{name} = 0.24" in text


def test_names_of_a_percussion_set_have_room_before_the_staff() -> None:
    """The set's own name stands beside those of its instruments, not over the margin.

    A letter of the text face is about half as wide as it is high, which is 11 points (from memory of text faces).
    """
    long = BATTERY.replace("staff battery", 'staff battery "Percussion 1"')
    assert long != BATTERY
    own, theirs = (page(script).page.first_room for script in (long, BATTERY))
    letter = 11 / 2 * 25.4 / 72.27
    assert float(own - theirs) == pytest.approx((len("Percussion 1") + 1) * letter, rel=0.2)


def test_label_given_by_the_composer_stands() -> None:
    score = full(WINDS.replace("both =", 'both "Flutes of the Tower" short "Tow." =') + "    one: notes(1/1 D5)")
    assert [(part.label, part.abbreviation) for part in score.parts] == [("Flutes of the Tower", "Tow.")]


def test_score_order_is_that_of_custom() -> None:
    """Singers stand above the strings, soloists of the orchestra just above them. Source: common practice."""
    forces = (
        "forces in score order\n    cello = cello\n    alto = alto\n    singer = soprano, soloist\n"
        "    player = violin, soloist\n    drum = timpani\n    second = flute\n    first = flute\n"
    )
    score = full(forces + "movement first\n    cello: notes(1/1 D3)")
    order = [part.name for part in score.parts]
    assert order == ["second", "first", "drum", "singer", "alto", "player", "cello"]


def test_parts_on_one_staff_stay_together_in_score_order() -> None:
    """Custom would set the snare drum between the triangle and the tam-tam, and the glockenspiel above them."""
    forces = (
        "forces in score order\n    drum = snare drum\n    tri = triangle\n    gong = tam tam\n"
        "    bells = glockenspiel\nstaff metal = tri, gong\n"
    )
    compiled = compile_script(Path("s.cavata"), text=f"language 2\n{forces}movement first\n    bells: notes(1/1 C6)\n")
    assert compiled.score is not None and not [m for m in compiled.bag.ordered() if m.code == "N243"]
    assert [part.name for part in compiled.score.parts] == ["bells", "tri", "gong", "drum"]


def brackets(forces: str) -> list[tuple[str, str, str]]:
    root = ElementTree.fromstring(musicxml_bytes(page(forces + "movement first\n    a: notes(1/1 D5)"), "first"))
    return [
        (group.get("type", ""), group.findtext("group-symbol", ""), group.findtext("group-barline", ""))
        for group in root.iter("part-group")
    ]


def test_families_are_bracketed_by_custom() -> None:
    """A bracket for the strings, inside it one for both violins; none for a soloist, the piano, or a flute alone."""
    rows = "    solo = viola, soloist\n    f = flute\n    p = piano\n    a = violins\n    b = violins\n    c = cello\n"
    assert brackets("forces\n" + rows) == [
        ("start", "bracket", "yes"), ("start", "square", "yes"), ("stop", "", ""), ("stop", "", ""),
    ]  # fmt: skip


def test_bar_lines_of_a_choir_leave_room_for_words() -> None:
    assert brackets("forces\n    a = sopranos\n    b = altos\n")[0] == ("start", "bracket", "no")


def test_divided_section_has_one_name_and_a_brace_inside_the_bracket() -> None:
    script = "forces\n    a = violins\n    b = violins\n    c = violins\n    d = viola\nstaves firsts = a, b\n"
    assert [kind for kind in brackets(script) if kind[0] == "start"] == [
        ("start", "bracket", "yes"), ("start", "square", "yes"), ("start", "brace", "yes"),
    ]  # fmt: skip
    written_page = page(script + "movement first\n    a: notes(1/1 D5)")
    root = ElementTree.fromstring(musicxml_bytes(written_page, "first"))
    assert [name.text for name in root.iter("group-name")] == ["Violins I"]
    text = lilypond_text(written_page)
    assert text.count('"Violins I"') == 1 and '"Violins I a"' not in text and "PianoStaff" in text


def test_composers_brackets_stand_instead() -> None:
    found = brackets("forces\n    a = violin\n    b = viola\n    c = cello\ngroup upper = a, b\n")
    assert found == [("start", "bracket", "yes"), ("stop", "", "")]


def test_tenors_and_basses_read_the_bass_clef_they_share() -> None:
    score = full("forces\n    a = tenors\n    b = bass voices\nstaff men = a, b\nmovement first\n    a: notes(1/1 D4)")
    assert [part.label for part in score.players] == ["Tenors", "Basses"]
    assert written(score).movements[0].parts[0].staves[0].clef == "bass"


def test_words_that_both_voices_sing_stand_once() -> None:
    found = bars(
        "forces\n    a = sopranos\n    b = altos\nstaff women = a, b\nmovement first\n"
        '    a: notes(1/4 D5 E5, 1/2 F5) -> sung "to the lamp"\n    b: notes(1/4 D5 C5 C5 A4) -> sung "to the far off"'
    )
    assert [bar.split(" // ")[1] for bar in found] == ["D5:4 C5:4 C5:4/sung far A4:4/sung off"]


def test_composers_bracket_holds_shared_staves_too() -> None:
    script = (
        "forces\n    a = flute\n    b = flute\n    c = oboe\n    d = cello\nstaff flutes = a, b\n"
        "group winds = flutes, c\nmovement first\n    winds: notes(1/1 D5)"
    )
    score = full(script)
    named = [group for group in score.groups if not group.customary]
    assert [(group.name, group.parts) for group in named] == [("winds", ("flutes", "c"))]
    assert lilypond_text(written(score)).count("\\context StaffGroup") == 1


def test_sticking_of_an_upper_voice_stands_above_its_notes() -> None:
    """Source: common practice; under the staff it would run into the notes and rests of the lower voice."""
    drums = (
        "forces\n    snare = snare drum\n    big = bass drum\nstaff both = snare, big\nmovement first\n"
        '    snare: (1/4 1/4 1/2), (1/1)\n    big at bar 1: (1/2 1/2)\n    snare bars 1 to 1: labeled "R L R"\n'
    )
    first, second = page(drums).movements[0].parts[0].staves[0].bars
    assert [leaf.label_above for leaf in leaves(first.voices[0]) if leaf.marks.label] == [True] * 3
    assert not any(leaf.label_above for voice in second.voices for leaf in leaves(voice))
    text = lilypond_text(page(drums))
    assert text.count('^ \\markup \\small "R"') == 2
    placed = ElementTree.fromstring(musicxml_bytes(page(drums), "first")).iter("direction")
    assert [d.get("placement") for d in placed if d.findtext("direction-type/words") in ("R", "L")] == ["above"] * 3
