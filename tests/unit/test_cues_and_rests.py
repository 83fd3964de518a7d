"""What a player's part shows of the others, and how it counts rests. Source: common practice."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from compiling import score_from

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.edition.cues import LONG_WAIT_BARS, LONG_WAIT_SECONDS
from cavata.lilypond.document import lilypond_text
from cavata.notate.notate import notate
from cavata.notate.written import WrittenBar, WrittenMovement, leaves
from cavata.score.score import Cue, Score

FORCES = (
    "flute = flute\nclarinet = clarinet in A\nhorn = horn\ndrum = side drum\nviolin = violin, soloist\nbass = cello"
)


def piece(*rows: str, forces: str = FORCES, head: str = "") -> Score:
    body = "\n".join(f"    {row}" for row in rows)
    names = "\n".join(f"    {row}" for row in forces.split("\n"))
    text = f"language 2\n{head}forces\n{names}\nmovement first\n{body}\n"
    return score_from(text)


def part(score: Score, name: str, cues: bool = True) -> Score:
    (copy,) = copies(score, WantedCopies(score=False, parts=(name,), cues=cues), Diagnostics())
    return copy.score


def cues_of(score: Score, name: str) -> tuple[Cue, ...]:
    return part(score, name).movements[0].staves[0][0].cues


def bars_of(score: Score, name: str, cues: bool = False) -> tuple[WrittenMovement, tuple[WrittenBar, ...]]:
    written = notate(part(score, name, cues)).movements[0]
    return written, written.parts[0].staves[0].bars


def counts(score: Score, name: str) -> list[int]:
    return [bar.rest_bars for bar in bars_of(score, name)[1] if bar.rest_bars]


# ------------------------------------------------------------------ cues


@pytest.mark.parametrize(("waits", "has_cue"), [(LONG_WAIT_BARS - 1, False), (LONG_WAIT_BARS, True)])
def test_a_cue_after_so_many_bars(waits: int, has_cue: bool) -> None:
    score = piece("tempo 1/4 at 200", "violin: notes(1/4 D5 E5 F5 G5) x 20", f"flute at bar {waits + 1}: notes(1/1 D5)")
    assert bool(cues_of(score, "flute")) is has_cue


@pytest.mark.parametrize(("tempo", "has_cue"), [(41, False), (40, True)])
def test_a_cue_after_so_long_a_silence(tempo: int, has_cue: bool) -> None:
    """Five bars of 4/4 last 5 x 4 x 60 / tempo seconds: 29.3 at 41, 30 at 40."""
    assert (5 * 4 * F(60, tempo) >= LONG_WAIT_SECONDS) is has_cue
    score = piece(f"tempo 1/4 at {tempo}", "violin: notes(1/4 D5 E5 F5 G5) x 20", "flute at bar 6: notes(1/1 D5)")
    assert bool(cues_of(score, "flute")) is has_cue


def test_a_note_that_is_held_is_no_wait() -> None:
    """Who plays one note through eight bars has not counted them as rests."""
    held = "flute: notes(8/1 D5), 1 bar rest, notes(1/1 E5)"
    assert cues_of(piece("tempo 1/4 at 200", "violin: notes(1/4 D5 E5 F5 G5) x 20", held), "flute") == ()


def test_a_cue_ends_with_the_bar_before_the_entry() -> None:
    score = piece("violin: notes(1/4 D5 E5 F5 G5) x 20", "flute at bar 11 beat 3: notes(1/2 D5)")
    (cue,) = cues_of(score, "flute")
    assert cue.end == 10
    assert cue.end - cue.onset in (1, 2, 3)
    assert cue.label == "Vln."


def test_the_soloist_is_heard_before_others() -> None:
    score = piece(
        "violin: notes(1/4 D5 E5 F5 G5) x 20", "bass: notes(1/4 D3 E3 F3 G3) x 20", "horn at bar 12: notes(1/1 D4)"
    )
    assert cues_of(score, "horn")[0].label == "Vln."


def test_the_family_and_the_register_decide_without_a_soloist() -> None:
    forces = FORCES.replace(", soloist", "")
    score = piece(
        "flute: notes(1/4 D5 E5 F5 G5) x 20", "bass: notes(1/4 D3 E3 F3 G3) x 20", "clarinet at bar 12: notes(1/1 D5)",
        forces=forces,
    )  # fmt: skip
    assert cues_of(score, "clarinet")[0].label == "Fl."


QUARTERS = "notes(1/4 D5 E5 F5 G5)"
OBOE_AND_VIOLIN = "oboe = oboe\nhorn = horn\nviolin = violin"


@pytest.mark.parametrize(
    ("oboe", "violin", "heard"),
    [
        (f": {QUARTERS} x 20", f": {QUARTERS} x 20", "Ob."),
        (f": {QUARTERS} x 20", f" at bar 10: {QUARTERS} x 10", "Vln."),
        (f": {QUARTERS} x 20", f": {QUARTERS} x 8, 1 bar rest, {QUARTERS} x 4", "Vln."),
        (f": {QUARTERS} -> marked f x 20", f" at bar 10: {QUARTERS} x 10", "Vln."),
        (f": {QUARTERS} x 20", f": {QUARTERS} -> marked f x 20", "Vln."),
        (f": {QUARTERS} -> marked p x 20", f": {QUARTERS} x 20", "Vln."),
        (": notes(1/2 D5 G5) x 20", f": {QUARTERS} x 20", "Vln."),
        (f": {QUARTERS} x 20", ": notes(1/4 E5 F5 G5 A5) x 20", "Vln."),
        (": notes(1/4 E5) x 80", ": notes(1/4 D5 F#5) x 40", "Vln."),
        (": notes(1/4 D5 chord(A4 E5) F5 G5) x 20", f": {QUARTERS} x 20", "Vln."),
        (": 1/8 rest, notes(1/4 D5 F#5 E5 E5) x 19", ": notes(1/4 D5 F#5 E5 E5) x 19", "Vln."),
        (": notes(1/4 D5 E5) x 2", f": {QUARTERS} x 9, notes(2/1 D5)", "Vln."),
    ],
    ids=[
        "alike", "enters", "enters again", "enters beside a louder one", "louder", "the other softer", "livelier",
        "on top", "the other on one note", "chords", "begins with the cue", "last note",
    ],
)  # fmt: skip
def test_a_cue_is_the_line_that_is_heard_best(oboe: str, violin: str, heard: str) -> None:
    """The handbook: moving, on top of the others, or one that begins just there; of equals the first in the score."""
    rows = (f"oboe{oboe}", f"violin{violin}", "horn at bar 12: notes(1/1 D5)")
    score = piece(*rows, forces=OBOE_AND_VIOLIN)
    assert cues_of(score, "horn")[0].label == heard


def test_a_player_of_the_same_family_is_heard_before_one_who_enters() -> None:
    forces = "oboe = oboe\nhorn = horn\ntrumpet = trumpet"
    rows = (f"oboe at bar 10: {QUARTERS} x 10", f"trumpet: {QUARTERS} x 20", "horn at bar 12: notes(1/1 D5)")
    assert cues_of(piece(*rows, forces=forces), "horn")[0].label.startswith("Tpt.")


@pytest.mark.parametrize(
    ("entry", "heard"),
    [
        ("notes(1/1 D5)", "Vln."),
        ("notes(1/1 Eb5)", "Ob."),
        ("chord(A4 D5) held 1/1", "Vln."),
        ("chord(A4 Eb5) held 1/1", "Ob."),
        ("notes(1/2 D5 F5)", "Vln."),
        ("1/2 rest, notes(1/2 Eb5)", "Ob."),
    ],
)
def test_of_two_lines_inside_the_one_is_heard_that_lies_nearer_to_the_entry(entry: str, heard: str) -> None:
    """The oboe goes round Ab5 and the violin round A4, under the flute's short notes; D5 is a fifth above the violin
    and six semitones below the oboe. The handbook: a line near to the entry; a chord's key is its highest."""
    rows = (
        "flute: notes(1/8 C7 rest, 3/4 rest) x 20", "oboe: notes(1/4 A5 G5 A5 G5) x 20",
        "violin: notes(1/4 Bb4 Ab4 Bb4 Ab4) x 20", f"horn at bar 12: {entry}",
    )  # fmt: skip
    score = piece(*rows, forces=f"flute = flute\n{OBOE_AND_VIOLIN}")
    assert cues_of(score, "horn")[0].label == heard


def test_a_cue_leads_straight_to_the_entry() -> None:
    """No repeat sign stands in it or after it, and no pickup: a player would not know how often it is played."""
    repeated = ("section one 9 bars", "    repeated", f"    violin: {QUARTERS} x 9")
    at_once = piece(*repeated, "section two 4 bars", f"    violin: {QUARTERS} x 4", "    flute: notes(1/1 D5)")
    assert cues_of(at_once, "flute") == ()
    later = piece(*repeated, "section two 4 bars", f"    violin: {QUARTERS} x 4", "    flute at bar 2: notes(1/1 D5)")
    assert [(cue.onset, cue.end) for cue in cues_of(later, "flute")] == [(F(9), F(10))]
    slow = ("tempo 1/4 at 10", "pickup 1/4", f"violin: notes(1/4 C5), {QUARTERS} x 2", "flute at bar 2: notes(1/1 D5)")
    assert [(cue.onset, cue.end) for cue in cues_of(piece(*slow), "flute")] == [(F(1, 4), F(5, 4))]


def test_no_cue_from_a_drum_or_from_silence() -> None:
    score = piece("drum: notes(1/4 C4) x 80", "flute at bar 12: notes(1/1 D5)")
    assert cues_of(score, "flute") == ()


def test_a_cue_is_written_as_the_reader_reads() -> None:
    """A clarinet in A sounds a minor third lower than written, so a sounding D5 is its F5."""
    score = piece("violin: notes(1/4 D5 E5 F5 G5) x 20", "clarinet at bar 12: notes(1/1 D5)")
    _, bars = bars_of(score, "clarinet", cues=True)
    first = next(bar.cue for bar in bars if bar.cue)
    heads = [str(leaf.heads[0].pitch) for leaf in leaves(first)]
    assert heads == ["F5", "G5", "Ab5", "Bb5"]


def test_a_cue_far_off_is_written_in_another_octave_and_says_so() -> None:
    """As over any staff: what sounds two octaves lower than it is written stands under `15mb`. Common practice."""
    score = piece("bass: notes(1/4 D2 E2 F2 G2) x 20", "flute at bar 12: notes(1/1 D5)")
    _, bars = bars_of(score, "flute", cues=True)
    first = next(leaf for bar in bars for leaf in leaves(bar.cue))
    assert first.marks.words == ("Vc. (15mb)",)
    assert str(first.heads[0].pitch) == "D4"


def test_a_cue_on_a_staff_of_one_line_is_its_rhythm() -> None:
    """The handbook: a player of an unpitched instrument sees the rhythm of what others play."""
    score = piece("violin: notes(1/4 D5 F#5, 1/8 G5 Ab5, 1/4 A5) x 20", "drum at bar 12: notes(1/1 C4)")
    _, bars = bars_of(score, "drum", cues=True)
    cue = [leaf for bar in bars for leaf in leaves(bar.cue)]
    assert [str(leaf.heads[0].pitch) for leaf in cue[:5]] == ["B4"] * 5
    assert [leaf.base for leaf in cue[:5]] == [F(1, 4), F(1, 4), F(1, 8), F(1, 8), F(1, 4)]


@pytest.mark.parametrize(
    ("notes", "below"), [("A4 C5 A4 C5", False), ("A4 B4 A4 C5", True), ("A4 C5 B4 C5", False)]
)
def test_a_cue_below_the_middle_line_stands_below_the_rest(notes: str, below: bool) -> None:
    """In small notes above or below the player's own rest, says the handbook; B4 is the middle line."""
    score = piece(f"violin: notes(1/4 {notes}) x 20", "flute at bar 12: notes(1/1 D5)")
    _, bars = bars_of(score, "flute", cues=True)
    assert {bar.cue_below for bar in bars if bar.cue} == {below}


def test_dynamics_words_and_signs_of_others_stay_out_of_a_cue() -> None:
    score = piece(
        'violin: notes(1/4 D5 E5 F5 G5) -> marked ff staccato "calm" -> slurred x 20', "flute at bar 12: notes(1/1 D5)"
    )
    (cue,) = cues_of(score, "flute")
    for event in cue.events:
        marks = event.event.marks
        assert (marks.dynamic, marks.words, marks.sung, marks.ornaments) == ("", (), (), ())
        assert "staccato" in marks.articulations


def test_cues_can_be_left_out() -> None:
    score = piece("violin: notes(1/4 D5 E5 F5 G5) x 20", "flute at bar 12: notes(1/1 D5)")
    assert part(score, "flute", cues=False).movements[0].staves[0][0].cues == ()


# ------------------------------------------------------------------ rests of several bars


def test_a_rest_is_counted_from_mark_to_mark() -> None:
    score = piece(
        "section one 20 bars", "    tempo at bar 5: 1/4 at 90", "    meter at bar 9: 3/4", "    key at bar 12: E major",
        "    flute: notes(1/1 D5)", "section two 6 bars", "    flute at bar 6: notes(1/2. D5)",
    )  # fmt: skip
    assert counts(score, "flute") == [1, 3, 4, 3, 9, 5, 1]


def test_repeats_break_a_rest() -> None:
    score = piece(
        "section one 4 bars", "    flute: notes(1/1 D5)", "section two 4 bars", "    repeated", "section three 5 bars",
        "    flute at bar 5: notes(1/1 D5)",
    )  # fmt: skip
    assert counts(score, "flute") == [1, 3, 4, 4, 1]


def test_a_change_of_tempo_breaks_a_rest_where_it_begins_and_arrives() -> None:
    score = piece(
        "tempo 1/4 at 100", "section one 20 bars", "    tempo at bar 5: broadening to 1/4 at 50 over 4 bars",
        "    flute: notes(1/1 D5)", "    violin: notes(1/1 D5) x 20",
    )  # fmt: skip
    assert counts(score, "flute") == [1, 3, 4, 12]


def test_a_tempo_within_a_bar_stands_alone_and_a_double_bar_breaks_a_rest() -> None:
    """Of the new key a drummer sees the double bar alone."""
    score = piece(
        "section one 12 bars", "    tempo at bar 5 beat 3: 1/4 at 90", "    key at bar 9: E major",
        "    flute: notes(1/1 D5)", "    drum: notes(1/1 C4)",
    )  # fmt: skip
    assert counts(score, "flute") == counts(score, "drum") == [1, 3, 1, 3, 4]


def test_lilypond_gets_one_rest_and_no_bar_line_in_it() -> None:
    score = piece("section one 12 bars", "    flute: notes(1/1 D5), 10 bars rest, notes(1/1 E5)")
    text = lilypond_text(notate(part(score, "flute", cues=False)))
    assert "R1 * 10/1" in text
    assert text.count("R1") == 1


# ------------------------------------------------------------------ what everyone must know


def test_a_fermata_of_one_stands_in_every_part() -> None:
    score = piece(
        "violin: notes(1/4 D5 E5, 1/2 F5) -> fermata last, notes(1/1 D5) x 3", "flute: notes(1/4 D5 E5 F5 G5)",
        "bass: notes(1/4 D3)",
    )  # fmt: skip
    _, playing = bars_of(score, "flute")
    assert "fermata" in list(leaves(playing[0].voices[0]))[-1].marks.articulations
    _, resting = bars_of(score, "bass")
    silence = list(leaves(resting[0].voices[0]))[-1]
    assert not silence.heads
    assert "fermata" in silence.marks.articulations
    assert part(score, "bass").movements[0].staves[0][0].voices[0][0].event.heads  # the note itself is as it was


def test_a_bar_of_silence_that_is_held_stands_alone_in_the_rest() -> None:
    score = piece(
        "violin: notes(1/1 D5) x 2, notes(1/1 E5) -> fermata last, notes(1/1 D5) x 3", "flute at bar 6: notes(1/1 D5)"
    )
    _, bars = bars_of(score, "flute")
    assert [bar.rest_bars for bar in bars] == [2, 0, 1, 2, 0, 1]
    assert list(leaves(bars[2].voices[0]))[0].marks.articulations == ("fermata",)


def test_a_part_is_transposed_even_if_the_score_is_not() -> None:
    score = piece("horn: notes(1/1 C4)", "flute: notes(1/1 C5)", head='piece "Harbor"\n    concert score\n')
    _, bars = bars_of(score, "horn")
    assert str(next(leaves(bars[0].voices[0])).heads[0].pitch) == "G4"


def test_a_silent_movement_has_its_heading_and_says_tacet() -> None:
    text = (
        "language 2\nforces\n    flute = flute\n    horn = horn\n"
        'movement first "At the Quay"\n    horn: notes(1/1 C4)\n'
        'movement home "Home"\n    flute: notes(1/1 D5)\n'
    )
    score = score_from(text)
    written = notate(part(score, "flute"))
    assert [movement.tacet for movement in written.movements] == [True, False]
    lines = lilypond_text(written)
    assert lines.index('"At the Quay"') < lines.index('"tacet"') < lines.index('"Home"')


@pytest.mark.parametrize(
    ("notes", "rest"),
    [("C4 D4 E4 F4", 6), ("C4 D4 E4 C5", 6), ("C4 D4 E4 E5", 8), ("B5 C6 D6 B5", -6), ("B5 C6 D6 F4", -8)],
)
def test_the_rest_beside_a_cue_stands_beyond_its_notes(notes: str, rest: int) -> None:
    """In steps from the middle line, B4: outside the staff at least, and two and a half spaces from any note."""
    score = piece(f"violin: notes(1/4 {notes}) x 20", "flute at bar 12: notes(1/1 D5)")
    _, bars = bars_of(score, "flute", cues=True)
    assert {bar.cue_rest for bar in bars if bar.cue} == {rest}


# ------------------------------------------------------------------ cues in free time, and what is sung in them


SINGING = "keeper = baritone\nviolin = violin, soloist\nclarinet1 = clarinet\nclarinet2 = clarinet\nviola = viola"
CADENZA = (
    "section counted 1 bar", "    viola: notes(1/1 D4)",
    "section free", "    meter none", "    tempo 1/4 at 60, \"Freely\"",
    "    tempo after 2/1: pressing on to 1/4 at 104 over 1/2",
    "    violin: notes(1/4 D5 E5 F5 G5) x 4",
    "section back 2 bars", "    meter 4/4", "    viola at bar 2: notes(1/1 E4)",
)  # fmt: skip


def moments_of_tempi(written: WrittenMovement) -> list[F]:
    found, now = [], F(0)
    for frame in written.frames:
        found += [now + offset for offset, tempo in frame.tempi if tempo.printed]
        now += frame.duration
    return found


def test_in_free_time_the_end_of_the_leading_line_is_a_cue() -> None:
    """Cadenzas in parts: a cue of the last notes of who plays alone. Common practice."""
    score = piece(*CADENZA, forces=SINGING)
    (cue,) = cues_of(score, "viola")
    assert (cue.onset, cue.end, cue.label) == (3, 5, "Vln.")
    assert [event.onset for event in cue.events] == [3 + F(place, 4) for place in range(8)]
    written, bars = bars_of(score, "viola", cues=True)
    lengths = [frame.duration for frame in written.frames]
    assert lengths == [1, 2, 2, 1, 1]
    assert [bool(bar.cue) for bar in bars] == [False, False, True, False, False]
    assert [frame.barline for frame in written.frames][1] == "none"


def test_a_cue_leaves_the_tempi_of_free_time_where_they_are() -> None:
    score = piece(*CADENZA, forces=SINGING)
    with_cue, _ = bars_of(score, "viola", cues=True)
    without, _ = bars_of(score, "viola")
    assert moments_of_tempi(with_cue) == moments_of_tempi(without) == [1, 3, F(7, 2), 5]


def test_no_cue_in_free_time_after_which_a_player_has_nothing_to_play() -> None:
    score = piece(*CADENZA[:-1], "    violin: notes(1/1 E5) x 2", forces=SINGING)
    assert cues_of(score, "viola") == ()


def test_a_line_of_few_notes_is_shown_whole_in_free_time() -> None:
    rows = ["    violin: notes(1/1 D5 E5 F5 G5)" if "violin" in row else row for row in CADENZA]
    (cue,) = cues_of(piece(*rows, forces=SINGING), "viola")
    assert (cue.onset, cue.end, len(cue.events)) == (1, 5, 4)


def test_a_singer_in_a_cue_has_the_words() -> None:
    score = piece('keeper at bar 8: notes(1/2 D3 E3) x 3 -> sung "Keep the lamp to-night, love"',
                  "viola at bar 11: notes(1/1 D4)", forces=SINGING)  # fmt: skip
    text = lilypond_text(notate(part(score, "viola")))
    under = text[text.index("\\lyricmode") :]
    assert [word in under for word in ('"to" 1 * 1/2 --', '"night," 1 * 1/2', '"love"')] == [True] * 3


def test_a_word_that_a_cue_cuts_keeps_its_hyphen() -> None:
    """A hyphen that leads to no other syllable is not drawn; the player would read a word that is none."""
    score = piece('keeper at bar 8: notes(1/2 D3 E3) x 4 -> sung "Keep the lamp to-night, re-mem-ber"',
                  "viola at bar 11: notes(1/1 D4)", forces=SINGING)  # fmt: skip
    (cue,) = cues_of(score, "viola")
    last = cue.events[-1].event.marks.sung
    assert [(one.text, one.goes_on) for one in last] == [("re-", False)]


def test_a_cue_is_called_by_its_player_alone() -> None:
    """Without the key of the instrument: `Cl. I`, and not `Cl. I (B♭)`."""
    score = piece("clarinet1: notes(1/4 D5 E5 F5 G5) x 20", "viola at bar 12: notes(1/1 D4)", forces=SINGING)
    assert [cue.label for cue in cues_of(score, "viola")] == ["Cl. I"]
