"""What a statement of a name is. Source of every count and place: by hand, from the script beside it, after the
definition in `grammar/commands/index.md`."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from rounds import everyday

from cavata.diagnostics import Diagnostics, as_text
from cavata.pipeline import Compiled, compile_script
from cavata.resources import folder
from cavata.score.forms import Form
from cavata.score.statements import NameStatement, statements
from cavata.tell.index import NameEntry, index_of
from cavata.tell.map.map import map_of
from cavata.tell.stats import stats
from cavata.trace.tracing import Tracing

F = Fraction
HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
name corwen = "CORWEN" by french
forces
    violin = violin
    viola  = viola
    cello  = cello
    piano  = piano
    drum   = snare drum
movement first
    meter 4/4
"""
EXAMPLES = everyday(sorted(folder("examples").rglob("*.cavata")))


def stated(rows: str, name: str = "tamsin", head: str = HEAD) -> list[tuple[str, Fraction]]:
    """The letters of each statement, and where it begins, in quarters."""
    return [("".join(letter.text for letter in said.letters), 4 * said.onset) for said in found(rows, name, head)]


def found(rows: str, name: str = "tamsin", head: str = HEAD) -> list[NameStatement]:
    compiled = compile_script(Path("piece.cavata"), "piece.cavata", head + rows)
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    return [said for said in statements(compiled.score) if said.name == name]


# ------------------------------------------------------------------ one player's line


def test_name_twice_in_a_line_is_two() -> None:
    """Quarters: six, and from the second bar's third beat six more."""
    assert stated("    violin: tamsin, tamsin -> retrograde\n") == [("TAMSIN", 0), ("NISMAT", 6)]


def test_name_twice_in_one_item_is_two() -> None:
    """The second mention begins with the letter with which the first one ends."""
    assert stated("    violin: tamsin + tamsin -> retrograde\n") == [("NISMAT", 0), ("NISMAT", 6)]
    assert stated("    violin: tamsin + (tamsin -> retrograde)\n") == [("TAMSIN", 0), ("NISMAT", 6)]


def test_two_fragments_are_two_even_if_they_make_the_name() -> None:
    rows = "    violin: (tamsin -> first 3) + (tamsin -> last 3)\n"
    assert stated(rows) == [("TAM", 0), ("SIN", 3)]


def test_each_turn_of_a_repeat_is_one_and_the_last_may_be_cut() -> None:
    assert stated("    violin: tamsin x 3\n") == [("TAMSIN", 0), ("TAMSIN", 6), ("TAMSIN", 12)]
    assert stated("    violin: tamsin for 2 bars\n") == [("TAMSIN", 0), ("TA", 6)]


def test_each_turn_of_one_letter_is_one() -> None:
    """A letter that is struck again at once goes on within a turn, and only there."""
    assert stated("    violin: tamsin -> first 1 x 3\n") == [("T", 0), ("T", 1), ("T", 2)]
    assert stated("    violin: (tamsin -> first 1 x 3)\n") == [("T", 0)]
    head = HEAD.replace("movement", "passage call(who)\n    who: tamsin -> first 1\nmovement")
    rows = "    section one 1 bars\n        passage call(violin)\n        passage call(violin) at bar 1 beat 2\n"
    assert stated(rows, head=head) == [("T", 0), ("T", 1)]


def test_turns_are_told_apart_where_no_letter_comes_again_at_once() -> None:
    """A turn of TA and AMSIN: the T of the second turn is no further letter of AMSIN."""
    rows = "    violin: ((tamsin -> first 2) + (tamsin -> last 5)) x 2\n"
    assert stated(rows) == [("TA", 0), ("AMSIN", 2), ("TA", 7), ("AMSIN", 9)]


def test_a_passage_placed_again_at_once_begins_anew() -> None:
    """Eight quarters of a turn of six are cut after TA; the passage again follows without a gap."""
    head = HEAD.replace("movement", "passage call(who)\n    who: tamsin for 2 bars\nmovement")
    rows = "    section one 4 bars\n        passage call(violin)\n        passage call(violin) at bar 3\n"
    assert stated(rows, head=head) == [("TAMSIN", 0), ("TA", 6), ("TAMSIN", 8), ("TA", 14)]


def test_fragment_is_a_statement_of_its_letters() -> None:
    (said,) = found("    violin: tamsin -> notes 3..5 -> in (1/2)\n")
    assert [letter.position for letter in said.letters] == [3, 4, 5] and said.end == F(3, 2)
    assert said.forms == (Form.RHYTHM, Form.IN_PART)


def test_woven_names_are_one_each_with_the_others_notes_between() -> None:
    (said,) = found("    violin: weave(tamsin, corwen)\n")
    assert (said.between, said.with_names, said.end) == (5, ("corwen",), F(11, 4))
    assert stated("    violin: weave(tamsin, corwen)\n", "corwen") == [("CORWEN", 1)]


def test_a_name_woven_with_itself_backwards_is_two() -> None:
    rows = "    violin: weave(tamsin, tamsin -> retrograde)\n"
    assert stated(rows) == [("TAMSIN", 0), ("NISMAT", 1)]


def test_a_letter_struck_again_at_once_goes_on() -> None:
    """Of a quarter `neighbors` makes three notes; four such letters are twelve notes."""
    rows = "    violin: tamsin -> first 4 -> neighbors in C major\n"
    (said,) = found(rows)
    assert stated(rows) == [("TAMS", 0)] and said.notes == 12


def test_letters_in_morse_signs_are_one_statement_a_turn() -> None:
    """A is dot and dash, E a dot: three strokes each time. Source: ITU-R M.1677-1."""
    head = HEAD.replace("forces", 'name ae = "AE" by french\nrhythm signs = morse ae unit 1/16\nforces')
    compiled = compile_script(Path("piece.cavata"), "piece.cavata", head + "    drum: signs x 2\n")
    if compiled.score is None:
        pytest.fail(as_text(compiled.bag.ordered()))
    said = statements(compiled.score)
    assert [("".join(letter.text for letter in s.letters), s.notes) for s in said] == [("AE", 3), ("AE", 3)]


def test_note_divided_for_a_marking_stays_one() -> None:
    rows = (
        "    section one 6 bars\n        violin: tamsin -> in (1/1)\n"
        "        violin bars 1 to 3: crescendo p f\n        violin bars 4 to 6: diminuendo f p\n"
    )
    assert stated(rows) == [("TAMSIN", 0)] and found(rows)[0].notes == 6
    rows = "    violin: tamsin -> in (3/2)\n"
    divided = "    section one 9 bars\n        violin: tamsin -> in (3/2)\n        violin bars 2 to 3: crescendo p f\n"
    assert stated(divided) == stated(rows) == [("TAMSIN", 0)]


# ------------------------------------------------------------------ chords, and several players


def test_chord_is_one_each_time_it_is_struck() -> None:
    """F A F E B G: two of the six letters are one note of the chord."""
    rows = "    piano: tamsin -> as chord x 2\n"
    assert stated(rows) == [("TAMSIN", 0), ("TAMSIN", 1)]
    assert [said.notes for said in found(rows)] == [5, 5]
    assert stated("    piano: tamsin -> as chord x 3\n") == [("TAMSIN", 0), ("TAMSIN", 1), ("TAMSIN", 2)]


def test_chord_dealt_out_to_players_is_one() -> None:
    rows = "    violin, viola, cello: tamsin -> notes 2..4 -> as chord x 2\n"
    assert stated(rows) == [("AMS", 0), ("AMS", 1)] and found(rows)[0].parts == (0, 1, 2)


def test_doubled_line_is_one() -> None:
    (said,) = found("    violin, viola: tamsin\n")
    assert (said.parts, said.notes) == ((0, 1), 12)
    (said,) = found("    piano: tamsin -> doubled at P8 below\n")
    assert (len(said.letters), said.notes) == (6, 12)


def test_line_of_chords_that_hands_share_is_one() -> None:
    """Thirds and wide chords around middle C: the left hand has a share of some."""
    rows = "    piano: tamsin -> doubled at M17 below\n"
    assert stated(rows) == [("TAMSIN", 0)] and found(rows)[0].staves == ((3, "right"), (3, "left"))


def test_two_mentions_that_sound_together_are_two() -> None:
    assert len(stated("    violin: tamsin\n    viola: tamsin\n")) == 2
    assert len(stated("    violin, viola: together(tamsin, tamsin -> up P8)\n")) == 2


def test_hocket_of_one_name_is_one_in_the_order_of_the_name() -> None:
    rows = "    violin, viola: hocket(tamsin)\n"
    assert stated(rows) == [("TAMSIN", 0)] and found(rows)[0].parts == (0, 1)
    assert stated("    violin, viola, cello: hocket(tamsin -> first 3, voices 3)\n") == [("TAM", 0)]


def test_hocket_of_an_odd_line_repeated_is_one_each_time() -> None:
    """Five notes to two players in turn: the second time round each has the other's letters."""
    rows = "    violin, viola: hocket(tamsin -> first 5 x 2)\n"
    assert stated(rows) == [("TAMSI", 0), ("TAMSI", 5)]


def test_hocket_of_two_names_is_one_of_each() -> None:
    rows = "    violin, viola: hocket(tamsin, corwen)\n"
    (one,), (other,) = found(rows), found(rows, "corwen")
    assert (one.parts, other.parts) == ((0,), (1,))
    assert stated(rows) == [("TAMSIN", 0)] and stated(rows, "corwen") == [("CORWEN", 1)]


def test_answers_of_a_canon_are_their_own() -> None:
    rows = "    violin, viola, cello: canon(tamsin, at P5 below, after 1/2, voices 3)\n"
    assert stated(rows) == [("TAMSIN", 0), ("TAMSIN", 2), ("TAMSIN", 4)]
    assert [said.parts for said in found(rows)] == [(0,), (1,), (2,)]


def test_each_letter_keeps_what_was_done_to_it() -> None:
    (said,) = found("    violin: tamsin -> sharp 1 -> flat last -> from F#4\n")
    assert said.inflections == (("T", "sharp"), ("N", "flat"))
    assert [str(letter.pitch) for letter in said.stated][:2] == ["F#4", "A4"]


# ------------------------------------------------------------------ what is played again

REPEATED = """\
    section one 4 bars
        {signs}
        violin: tamsin -> in (1/2), 1/1 rest
    section two 4 bars
        viola: tamsin -> in (1/2)
"""


def heard(signs: str, rows: str = REPEATED) -> list[tuple[str, list[Fraction]]]:
    """The letters of each statement, and when it is heard, in seconds at 60 quarters a minute."""
    compiled = compile_script(Path("piece.cavata"), "piece.cavata", HEAD + rows.format(signs=signs))
    assert compiled.score and compiled.program and compiled.plan, as_text(compiled.bag.ordered())
    names = index_of(compiled.program, compiled.plan, compiled.score).names
    (name,) = (each for each in names if each.name == "tamsin")
    assert name.coverage[0].notes == dict(stats(compiled.score).of_names)["tamsin"]
    return [
        ("".join(letter.text for letter in entry.statement.letters), [entry.place.seconds, *entry.place.again])
        for entry in name.entries
    ]


@pytest.mark.parametrize(
    ("signs", "played"),
    [
        ("repeated", [("TAMSIN", [0, 16]), ("TAMSIN", [32])]),
        # The first bar, with T and A, is played again, and then the fourth.
        ("ending 1 bars 2 to 3\n        ending 2 bar 4", [("TAMSIN", [0]), ("TA", [12]), ("TAMSIN", [20])]),
        # Nobody hears the third bar after the second.
        ("ending 1 bar 2\n        ending 2 bars 3 to 4", [("TAMS", [0]), ("TA", [8]), ("IN", [12]), ("TAMSIN", [20])]),
        ("ending 1, 2 bars 2 to 3\n        ending 3 bar 4", [("TAMSIN", [0, 12]), ("TA", [24]), ("TAMSIN", [32])]),
    ],
)
def test_only_what_is_played_again_is_heard_again(signs: str, played: list[tuple[str, list[int]]]) -> None:
    """In 4/4 with letters of two beats; which bars follow one another is common practice."""
    assert heard(signs) == played


def test_a_pickup_that_is_not_played_again_is_missing_then() -> None:
    rows = "    pickup 1/2\n    repeated\n    violin: tamsin -> in (1/2), 1/2 rest\n"
    assert heard("", rows) == [("TAMSIN", [0]), ("AMSIN", [14])]


# ------------------------------------------------------------------ everybody who tells of them agrees


@cache
def compiled(path: Path) -> Compiled:
    return compile_script(path)


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_index_and_trace_agree_on_every_example(path: Path) -> None:
    """How many statements each name has, where each begins, which letters it has, and in what forms."""
    made = compiled(path)
    if made.score is None:
        pytest.skip("a module, which holds no music")
    assert made.program and made.plan
    names = index_of(made.program, made.plan, made.score).names
    tracing = Tracing(Diagnostics(), lambda what: None)
    tracing.take([name.name for name in names], [], None, None)
    tracing.run([path], False, between=0, strict=False, every=False, by_ear=False)
    traced = {score["name"]: score["statements"] for score in tracing.document["scores"] if "name" in score}
    assert {name.name: [_indexed(entry) for entry in name.entries] for name in names} == {
        name: [_traced(said) for said in found] for name, found in traced.items()
    }


def _indexed(entry: NameEntry) -> tuple[object, ...]:
    place, said = entry.place, entry.statement
    letters = sorted(letter.position for letter in said.letters)
    return (
        place.movement.name, place.section, str(said.onset), letters, entry.whole,
        [form.value for form in entry.forms], said.line.line,
    )  # fmt: skip


def _traced(said: dict[str, Any]) -> tuple[object, ...]:
    return (
        said["movement"], said["section"], said["onset"], sorted(said["letter_places"]), said["whole"], said["forms"],
        said["script"]["line"],
    )  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_figures_and_map_count_as_the_statements_do(path: Path) -> None:
    """Every note of a name stands in one statement; every statement is drawn in each of its parts."""
    made = compiled(path)
    if made.score is None:
        pytest.skip("a module, which holds no music")
    assert made.program and made.plan
    said = statements(made.score)
    notes: Counter[str] = Counter()
    for one in said:
        notes[one.name] += 0 if one.again else one.notes
    assert dict(notes) == dict(stats(made.score).of_names)
    drawn = {(mark.name, mark.entry.statement.onset, mark.part, mark.entry.statement.line, mark.place.movement.name)
             for mark in map_of(made.program, made.plan, made.score).marks}  # fmt: skip
    assert drawn == {
        (one.name, one.onset, part, one.line, made.score.movements[one.movement].name)
        for one in said for part in one.parts
    }  # fmt: skip
