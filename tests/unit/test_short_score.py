"""What a short score and a rehearsal copy look like: staves, voices, names, and the commands that make them.

Source of what arrangers do: common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from compiling import score_from

from cavata.cli.main import main
from cavata.edition.copies import full_score
from cavata.edition.rehearsal import rehearsal_score
from cavata.edition.short_score import bodies, short_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.text import bar_text
from cavata.notate.written import leaves
from cavata.perform.perform import perform
from cavata.pipeline import written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes


def score_of(script: str) -> Score:
    return score_from("language 2\n" + script)


def forces(*instruments: str) -> str:
    return "forces\n" + "".join(f"    p{n} = {words}\n" for n, words in enumerate(instruments, 1))


def staves(score: Score, part: int = 0) -> list[str]:
    """The first bar of each staff of a part."""
    return [bar_text(staff.bars[0]) for staff in written(score).movements[0].parts[part].staves]


def short(script: str) -> list[str]:
    return staves(short_score(score_of(script)))


def test_lines_that_are_the_same_stand_once() -> None:
    tune = "movement first\n    p1, p2: notes(1/2 D5 E5)"
    assert short(forces("flute", "oboe") + tune) == ["D5:2/who Fl., Ob. E5:2"]


def test_of_lines_in_octaves_the_outer_two_stand() -> None:
    rows = "movement first\n    p1: notes(1/1 D6)\n    p2: notes(1/1 D5)\n    p3: notes(1/1 D4)"
    assert short(forces("flute", "oboe", "clarinet") + rows) == ["<D4 D6>:1/who Fl., Ob., Cl."]


def test_lines_that_exchange_their_octaves_both_stand() -> None:
    """Neither is doubled above and below. Source: common practice."""
    rows = "movement first\n    p1: notes(1/2 D5 D4)\n    p2: notes(1/2 D4 D5)"
    assert short(forces("flute", "oboe") + rows) == ["<D4 D5>:2/who Fl., Ob. <D4 D5>:2"]


def bars(script: str) -> list[str]:
    """The bars of the first staff of the short score."""
    movement = written(short_score(score_of(script))).movements[0]
    return [bar_text(bar) for bar in movement.parts[0].staves[0].bars]


@pytest.mark.parametrize(
    ("first", "second", "names"),
    [
        ("notes(1/1 D5 E5)", "notes(1/1 D5)", ["Fl., Ob.", ""]),
        ("notes(1/1 D5)", "notes(1/1 D5 E5)", ["Fl., Ob.", "Ob."]),
        ("notes(1/1 D5 E5)", "1 bar rest, notes(1/1 E5)", ["Fl.", "Fl., Ob."]),
    ],
    ids=["one stops", "the leader stops", "one joins"],
)
def test_players_are_named_where_somebody_joins_or_leads_anew(first: str, second: str, names: list[str]) -> None:
    """Who only stops playing is not worth a word. Source: common practice."""
    found = bars(forces("flute", "oboe") + f"movement first\n    p1: {first}\n    p2: {second}")
    assert [bar.partition("/who ")[2] for bar in found] == names


def test_dynamic_at_the_end_of_a_hairpin_stands_though_it_is_the_one_before_it() -> None:
    rows = (
        "movement first\n    p1: notes(1/4 D5 E5 F5 G5) -> crescendo p f\n"
        "    p1 at bar 1 beat 4 replace: notes(1/4 G5) -> marked p\n"
    )
    assert bars(forces("flute", "oboe") + rows) == ["D5:4/p/cresc</who Fl. E5:4 F5:4 G5:4/p/|hairpin"]


def test_hairpin_on_one_note_stands_with_its_goal() -> None:
    """And the dynamic that it has come to is not said again. Source: common practice."""
    tune = "movement first\n    p1, p2: notes(1/2 D5) -> crescendo p f, notes(1/2 E5) -> marked f"
    assert short(forces("flute", "oboe") + tune) == ["D5:2/p/cresc</who Fl., Ob./|hairpin/at f E5:2"]


def test_melody_and_the_rest_are_two_voices() -> None:
    rows = "movement first\n    p1: notes(1/2 F5 G5)\n    p2: notes(1/1 C5)\n    p3: notes(1/1 A4)"
    assert short(forces("flute", "oboe", "clarinet") + rows) == ["F5:2/who Fl. G5:2 // <A4 C5>:1/who Ob., Cl."]


def test_third_rhythm_has_a_voice_of_its_own() -> None:
    """The half note is held while the quarters move below it: no ties, and its stem goes up beside the melody's."""
    rows = "movement first\n    p1: notes(1/1 F5)\n    p2: notes(1/2 C5 D5)\n    p3: notes(1/4 A4 G4, 1/2 A4)"
    found = short(forces("flute", "oboe", "clarinet") + rows)
    assert found == ["F5:1/who Fl. / Ob. // A4:4/who Cl. G4:4 A4:2 // C5:2 D5:2"]


def test_fifth_rhythm_is_folded_into_an_inner_voice_by_ties() -> None:
    """A staff has four voices at most; half notes are held over the quarters of the line next to them."""
    rows = (
        "movement first\n    p1: notes(1/1 F5)\n    p2: notes(1/2 C5 D5)\n    p3: notes(1/4 A4 G4, 1/2 A4)\n"
        "    p4: notes(3/4 F4, 1/4 E4)\n    p5: notes(1/8 C4 D4 C4 D4 C4 D4 C4 D4)"
    )
    (found,) = short(forces("flute", "oboe", "clarinet", "alto flute", "English horn") + rows)
    voices = found.split(" // ")
    assert len(voices) == 4 and voices[2] == "<A4 C5>:4~ <G4 C5>:4 <A4 D5>:2"


def test_voice_keeps_its_stem_while_the_same_lines_play() -> None:
    """Bar by bar the one or the other lies higher; the stems of neither change."""
    rows = "movement first\n    p1: notes(1/2 F5 F5 C5 C5 F5 F5)\n    p2: notes(1/1 D5 E5 D5)"
    found = bars(forces("flute", "oboe") + rows)
    assert [bar.split(" // ")[1].partition("/")[0] for bar in found] == ["D5:1", "E5:1", "D5:1"]


def test_players_of_one_instrument_in_both_voices_have_their_numbers() -> None:
    rows = "movement first\n    p1: notes(1/2 F5 G5)\n    p2: notes(1/1 C5)"
    assert short(forces("flute", "flute") + rows) == ["F5:2/who Fl. I G5:2 // C5:1/who Fl. II"]


def test_everything_is_written_as_it_sounds() -> None:
    rows = "movement first\n    p1: notes(1/1 D4)\n    p2: notes(1/1 F4)"
    assert short(forces("clarinet", "clarinet in A") + rows) == ["<D4 F4>:1/who Cl."]


@pytest.mark.parametrize(
    ("instruments", "tune", "staff"),
    [
        ("clarinet", ("D4",), "D4:1"),
        ("piccolo, flute", ("D6", "F5"), "<F5 D6>:1/who Picc., Fl."),
        ("cello, double bass", ("D3", "D2"), "<D2 D3>:1/who Vc., D. B."),
        ("double bass, double bass", ("D3", "D2"), "<D2 D3>:1/who D. B."),
    ],
    ids=["one player", "an octave higher", "an octave lower", "all an octave lower"],
)
def test_short_score_is_in_c(instruments: str, tune: tuple[str, ...], staff: str) -> None:
    """One player's staff too; and an octave stays an octave on a staff that piccolo and flute share. Source: common
    practice of condensed scores in C."""
    rows = "".join(f"    p{n}: notes(1/1 {pitch})\n" for n, pitch in enumerate(tune, 1))
    assert short(forces(*instruments.split(", ")) + "movement first\n" + rows) == [staff]


def kinds(*instruments: str) -> list[tuple[str, int]]:
    parts = score_of(forces(*instruments) + "movement first\n    p1: notes(1/1 D4)").parts
    return [(body.kind, body.staves) for body in bodies(parts)]


STRINGS = ("violins", "violins", "violas", "cellos", "double basses")
WINDS = ("flute", "oboe", "clarinet", "bassoon", "horn", "trumpet", "trombone", "tuba", "timpani", "snare drum")


def test_every_family_has_staves_of_its_own() -> None:
    """Timpani are no brass, and nobody stands among strangers for want of room. Source: common practice."""
    orchestra = [("woodwind", 2), ("brass", 2), ("timpani", 1), ("percussion", 1), ("strings", 2)]
    assert kinds(*WINDS, *STRINGS) == orchestra
    choir = ("sopranos", "altos", "tenors", "bass voices")
    assert kinds(*WINDS, *choir, *STRINGS) == [*orchestra[:4], ("voice", 2), orchestra[4]]


def test_harp_and_celesta_stand_together_and_not_among_the_strings() -> None:
    found = kinds(*WINDS, "harp", "celesta", *STRINGS)
    assert found[-2:] == [("keyboard", 2), ("strings", 2)]


def test_men_sing_on_the_lower_staff_however_high() -> None:
    rows = "movement first\n    p1: notes(1/1 A4)\n    p2: notes(1/1 F4)\n    p3: notes(1/1 G4)\n    p4: notes(1/1 D4)"
    assert short(forces("sopranos", "altos", "tenors", "bass voices") + rows) == [
        "<F4 A4>:1/who S., A.", "<D4 G4>:1/who T., B.",
    ]  # fmt: skip


def test_fewer_players_have_two_staves_for_a_wide_body() -> None:
    assert kinds("flute", "bassoon", *STRINGS) == [("woodwind", 2), ("strings", 2)]
    assert kinds("violin, soloist", "piano") == [("soloist", 1), ("keyboard", 2)]


def test_soloist_is_taken_as_written() -> None:
    """A pianist keeps both hands, under the instrument's own name: nothing is gathered from one player. Source: common
    practice."""
    script = forces("piano, soloist", "violins", "violins") + (
        "movement first\n    p1.right: notes(1/2 D5 E5)\n    p1.left: notes(1/1 D3)\n    p2: notes(1/1 D4)"
    )
    shown = short_score(score_of(script))
    assert [part.label for part in shown.parts] == ["Piano", "Strings"]
    assert staves(shown) == ["D5:2 E5:2", "D3:1"]


def test_unpitched_instruments_stand_on_one_line() -> None:
    rows = "movement first\n    p1: (1/2 1/2)\n    p2: (1/4 1/4 1/2)"
    assert short(forces("triangle", "snare drum") + rows) == ["B4:4/who Trgl., S. D. B4:4 B4:2"]
    (percussion,) = written(short_score(score_of(forces("triangle", "snare drum") + rows))).movements[0].parts
    assert (percussion.part.percussion_lines, [staff.clef for staff in percussion.staves]) == (1, ["percussion"])


def test_strings_without_a_bass_have_one_staff() -> None:
    assert kinds("violins", "violins", "violas") == [("strings", 1)]


def rehearsal(script: str) -> list[str]:
    return staves(rehearsal_score(score_of(script), 0), 1)


def test_soloist_stands_above_two_hands() -> None:
    rows = "movement first\n    p1: notes(1/1 D5)\n    p2: notes(1/1 E5)\n    p3: notes(1/1 C3)"
    copy = rehearsal_score(score_of(forces("horn", "violin", "cello") + rows), 0)
    assert staves(copy) == ["A5:1"]
    assert staves(copy, 1) == ["E5:1/who Vln.", "C3:1"]
    assert "guide" in copy.header.subtitle


def test_pianist_is_not_told_how_a_string_player_does_it() -> None:
    """Mutes, plucking and bows are left out of the hands; how loud and how short a note is stays."""
    rows = (
        "movement first\n    p1: notes(1/1 D5)\n"
        "    p2: notes(1/1 E5) -> marked p pizzicato muted downbow accent\n    p3: notes(1/1 C3)"
    )
    copy = rehearsal_score(score_of(forces("horn", "violin", "cello") + rows), 0)
    ((event,),) = copy.movements[0].staves[1][0].voices
    marks = event.event.marks
    assert (marks.techniques, marks.articulations, marks.dynamic) == ((), ("accent",), "p")


def test_inner_doubling_gives_way_where_a_hand_cannot_reach() -> None:
    """From C5 down to E4 a hand reaches all; a fifth note, C4 in octaves with the top, is left out."""
    low = "notes(1/1 C2)"
    high = [f"notes(1/1 {pitch})" for pitch in ("C5", "A4", "F4", "E4", "C4")]
    rows = "movement first\n" + "".join(f"    p{n}: {line}\n" for n, line in enumerate([low, *high, low], 1))
    found = rehearsal(forces("tuba", *["violin"] * 5, "cello") + rows)
    assert found == ["<E4 F4 A4 C5>:1/who Vln.", "C2:1"]


def test_hand_takes_four_notes_and_no_fifth() -> None:
    """The handbook: a tenth and four notes at most; D4 lies within a tenth of the top too."""
    low = "notes(1/1 C2)"
    high = [f"notes(1/1 {pitch})" for pitch in ("C5", "A4", "F4", "E4", "D4")]
    rows = "movement first\n" + "".join(f"    p{n}: {line}\n" for n, line in enumerate([low, *high, low], 1))
    assert rehearsal(forces("tuba", *["violin"] * 5, "cello") + rows) == ["<E4 F4 A4 C5>:1/who Vln.", "C2:1"]


@pytest.mark.parametrize(
    ("top", "hand"), [("F#5", "<D4 F#5!>:1/who Vln."), ("G5", "G5:1/who Vln.")], ids=["a tenth", "more"]
)
def test_hand_takes_an_inner_note_a_tenth_below_the_top_and_no_wider(top: str, hand: str) -> None:
    """The handbook: `each hand has what it can reach, a tenth`; D4 to F#5 is a major tenth."""
    rows = f"movement first\n    p2: notes(1/1 {top})\n    p3: notes(1/1 D4)\n    p4: notes(1/1 C3)"
    assert rehearsal(forces("horn", "violin", "viola", "cello") + rows) == [hand, "C3:1"]


@pytest.mark.parametrize(
    ("bass", "hands"),
    [("D4", ["<D4 F#5!>:1/who Vln.", "R"]), ("Db4", ["F#5!:1/who Vln.", "Db4!:1"])], ids=["a tenth", "more"],
)  # fmt: skip
def test_top_and_bass_a_tenth_apart_lie_in_one_hand(bass: str, hands: list[str]) -> None:
    """Both must be there, says the handbook; only what one hand cannot reach is given to two."""
    rows = f"movement first\n    p2: notes(1/1 F#5)\n    p3: notes(1/1 {bass})"
    assert rehearsal(forces("horn", "violin", "viola") + rows) == hands


def test_chord_goes_with_its_top_to_the_right_hand() -> None:
    """An organist's feet lie too low for one hand; the third and the root above them are in the other's reach."""
    rows = (
        "movement first\n    p1: notes(1/1 B5)\n    p2.right: notes(1/1 chord(G3 B3 D4))\n"
        "    p2.left: notes(1/1 D3)\n    p2.pedal: notes(1/1 D2)\n"
    )
    right, left = rehearsal(forces("violin", "organ") + rows)
    assert right.startswith("<G3 B3 D4>:1") and left.startswith("<D2 D3>:1")


def test_held_note_is_held_also_where_the_hand_moves_out_of_its_reach() -> None:
    """The handbook: `what is held is held`, with the pedal; from D4 F#5 can be reached, G5 cannot."""
    rows = "movement first\n    p2: notes(1/2 E5 {})\n    p3: notes(1/1 D4)\n    p4: notes(1/1 C3)"
    found = [rehearsal(forces("horn", "violin", "viola", "cello") + rows.format(top))[0] for top in ("F#5", "G5")]
    assert [hand.split(" // ")[1] for hand in found] == ["D4:1", "D4:1"]


def test_held_note_ends_where_its_neighbor_in_the_chord_is_struck_again() -> None:
    """A tie over a chord of which one note is struck again would say that both go on. Source: common practice."""
    rows = (
        "movement first\n    p1: notes(1/1 F5)\n    p2: notes(1/4 C5 {}, 1/2 D5)\n    p3: notes(1/2 A4 B4)\n"
        "    p4: notes(3/4 F4, 1/4 E4)\n    p5: notes(1/8 C4 D4 C4 D4 C4 D4 C4 D4)"
    )
    players = forces("flute", "oboe", "clarinet", "alto flute", "English horn")
    found = [short(players + rows.format(second))[0] for second in ("C5", "B4")]
    assert [staff.split(" // ")[2] for staff in found] == [
        "<A4 C5>:4 C5:4 <B4 D5>:2", "<A4 C5>:4~ <A4 B4>:4 <B4 D5>:2",
    ]  # fmt: skip


def test_bass_is_held_where_the_hand_must_leap() -> None:
    """The new bass lies more than a tenth below the note that is held, which the pedal keeps."""
    high = "movement first\n    p1: notes(1/1 D6)\n    p2: notes(1/1 C6)\n"
    rows = high + "    p3: notes(1/1 G3)\n    p4: 1/2 rest, notes(1/2 C2)"
    found = rehearsal(forces("flute", "violin", "cello", "double bass") + rows)
    assert found[1] == "G3:1 // r:2 C2:2"


def test_key_of_two_lines_is_held_as_long_as_the_longer() -> None:
    rows = "movement first\n    p1: notes(1/1 D6)\n    p2: notes(1/2 C4), 1/2 rest\n    p3: notes(1/1 C4)"
    found = rehearsal(forces("flute", "harp", "viola") + rows)
    assert found == ["R", "C4:2/who Hp. r:2 // C4:1"]


ARGUMENTS = {
    ("--short",): "s-first-short.musicxml",
    ("--rehearsal", "p1"): "s-first-rehearsal-p1.musicxml",
    ("--rehearsal", "p3,p1"): "s-first-rehearsal-p3-p1.musicxml",
    ("--rehearsal", "both"): "s-first-rehearsal-both.musicxml",
}


@pytest.mark.parametrize("options", ARGUMENTS, ids=lambda options: options[0])
def test_command_writes_the_copy_alone(
    options: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    script = forces("horn", "violin", "cello") + "group both = p1, p3\nmovement first\n    p1, p2, p3: notes(1/1 D4)\n"
    Path("s.cavata").write_text("language 2\n" + script)
    assert main(["build", "s.cavata", *options, "--to", "musicxml,midi"]) == 0
    assert capsys.readouterr().out.split() == [ARGUMENTS[options]]


def test_soloists_stand_together_above_the_rest() -> None:
    """As the piano reduction of a double concerto. Source: common practice."""
    lines = zip(("p1", "p2", "p3", "p4"), ("D5", "F4", "B3", "G2"), strict=True)
    rows = "movement first\n" + "".join(f"    {part}: notes(1/1 {pitch})\n" for part, pitch in lines)
    copy = rehearsal_score(score_of(forces("violin", "viola", "cello", "double bass") + rows), 0, 2)
    assert [(part.name, part.soloist) for part in copy.parts] == [("p1", True), ("p3", True), ("reduction", False)]
    assert (copy.header.reader, copy.header.subtitle) == (
        "Violin, Cello", "Violin, Cello and a reduction, a guide for the hands"
    )
    assert [staves(copy, place) for place in range(3)] == [["D5:1"], ["B3:1"], ["F4:1/who Vla.", "G2:1"]]


def test_what_the_hands_leave_out_is_told_at_the_foot() -> None:
    """A drum, and a third rhythm in a hand; in the short score the middle one of three lines in octaves."""
    rows = (
        "movement first\n    p1: notes(1/1 D6)\n    p2: notes(1/2 C6 B5)\n    p3: notes(1/4 G5 E5 G5 E5)\n"
        "    p4: notes(1/8 A4 F4 A4 F4 A4 F4 A4 F4)\n    p5: notes(1/1 C3)\n    p6: (1/1)\n"
    )
    players = forces("flute", "violin", "violin", "violin", "cello", "triangle")
    copy = rehearsal_score(score_of(players + rows), 0)
    assert copy.header.foot == "Left out: Triangle; notes in bar 1"
    doubled = "movement first\n    p1: notes(1/1 D6)\n    p2: notes(1/1 D5)\n    p3: notes(1/1 D4)"
    shown = short_score(score_of(forces("flute", "oboe", "clarinet") + doubled))
    assert shown.header.foot == "Left out: octave doublings"
    assert short_score(score_of(forces("flute") + "movement first\n    p1: notes(1/1 D6)")).header.foot == ""


def test_piano_stands_under_a_choir_and_does_not_sound() -> None:
    """Common practice of choral scores: `for rehearsal only`, no part of the forces."""
    rows = "movement first\n    p1: notes(1/1 A4)\n    p2: notes(1/1 F4)\n    p3: notes(1/1 C4)\n    p4: notes(1/1 F3)"
    script = forces("sopranos", "altos", "tenors", "bass voices") + rows
    plain = score_of('piece "P"\n' + script)
    score = score_of('piece "P"\n    rehearsal piano\n    title page\n' + script)
    full = full_score(score)
    assert full.parts[-1].label == "Piano (for rehearsal only)"
    assert staves(full, 4) == ["<F4 A4>:1/who S.", "<F3 C4>:1"]
    assert full.title_page is not None and full.title_page.instrumentation == "mixed choir"
    assert midi_bytes(score, perform(score)) == midi_bytes(plain, perform(plain))


def test_inner_voice_stands_beside_a_wide_head_and_its_rests_are_not_seen() -> None:
    """A stem would go through the whole note above it; a rest would stand in its way. Source: common practice."""
    rows = "movement first\n    p1: notes(1/1 D5)\n    p2: notes(1/2 C5), 1/2 rest\n    p3: notes(1/4 F4 E4 F4 E4)\n"
    page = written(short_score(score_of(forces("flute", "oboe", "clarinet") + rows)))
    inner = page.movements[0].parts[0].staves[0].bars[0].voices[2]
    assert [(leaf.beside, leaf.unseen) for leaf in leaves(inner)] == [(True, False), (False, True)]
    text = lilypond_text(page)
    assert "\\once \\override NoteColumn.force-hshift = #1.7" in text and "s2" in text
    assert 'print-object="no"' in musicxml_bytes(page, "first").decode()
