"""The index of names. Source of every place: by hand, from the script beside it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.score.forms import Form, ReadStep, forms_of, read_step
from cavata.tell.index import NameEntry, NameIndex, index_of
from cavata.tell.index_shown import COLUMNS, index_csv, index_json, index_text
from cavata.tell.language import language
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
name corwen = "CORWEN" by french
motif hail  = tamsin -> sharp 1 -> in (1/8)
motif tune  = notes(1/4 D4 E4, 1/2 F4)
forces
    violin = violin
    viola  = viola
    cello  = cello
"""
EN = language("en")


def indexed(text: str, tmp_path: Path) -> NameIndex:
    path = tmp_path / "piece.cavata"
    path.write_text(HEAD + text, "utf-8")
    compiled = compile_script(path, path.name)
    assert compiled.score is not None and compiled.program and compiled.plan, as_text(compiled.bag.ordered())
    return index_of(compiled.program, compiled.plan, compiled.score)


def entries(index: NameIndex, name: str) -> tuple[NameEntry, ...]:
    return next(found.entries for found in index.names if found.name == name)


def letters(entry: NameEntry) -> str:
    return "".join(letter.text for letter in entry.statement.letters)


# ------------------------------------------------------------------ statements


def test_statement_is_one_entry_with_its_place(tmp_path: Path) -> None:
    """6 eighths from beat 2 of bar 2, at a quarter of 60: 5 seconds after the beginning."""
    index = indexed(
        "movement first\n    tempo 1/4 at 60\n    section calling\n        violin at bar 2 beat 2: hail\n", tmp_path
    )
    (entry,) = entries(index, "tamsin")
    assert (entry.place.movement.name, entry.place.section, entry.place.bar, entry.place.beat) == (
        "first",
        "calling",
        2,
        "2",
    )
    assert entry.place.seconds == 5 and entry.whole and letters(entry) == "TAMSIN"
    assert entry.statement.inflections == (("T", "sharp"),) and entry.statement.notes == 6
    assert entry.statement.line.line == HEAD.count("\n") + 4


def test_each_turn_of_a_repeated_item_is_an_entry(tmp_path: Path) -> None:
    """Quarters: six to a turn, so the second begins on beat 3 of bar 2; the third is cut after 4 letters."""
    index = indexed("movement first\n    violin: tamsin for 4 bars\n", tmp_path)
    assert [(e.place.bar, e.place.beat, letters(e), e.whole) for e in entries(index, "tamsin")] == [
        (1, "1", "TAMSIN", True), (2, "3", "TAMSIN", True), (4, "1", "TAMS", False),
    ]  # fmt: skip


def test_item_that_returns_after_a_silence_is_counted_afresh(tmp_path: Path) -> None:
    """Six eighths in bar 2 of three, then in bar 5: 12 quarters later, no multiple of the turn's three and a half."""
    index = indexed(
        "movement first\n    section one 3 bars\n        violin at bar 2: hail -> lengthened last to 1/4\n"
        "    section two = one\n",
        tmp_path,
    )
    found = [(e.place.bar, e.place.beat, letters(e)) for e in entries(index, "tamsin")]
    assert found == [(2, "1", "TAMSIN"), (5, "1", "TAMSIN")]


def test_item_that_fills_sections_which_are_alike_is_counted_afresh_in_each(tmp_path: Path) -> None:
    """Six quarters in two bars of four, twice: the second turn of each section is cut after two letters."""
    index = indexed(
        "movement first\n    section one 2 bars\n        violin: tamsin until end\n    section two = one\n", tmp_path
    )
    assert [letters(e) for e in entries(index, "tamsin")] == ["TAMSIN", "TA", "TAMSIN", "TA"]


def test_passage_placed_again_is_counted_afresh(tmp_path: Path) -> None:
    """Six quarters from bar 1, and again from bar 4 beat 2: 13 quarters later, no multiple of six."""
    index = indexed(
        "passage call(who)\n    who: tamsin\nmovement first\n    section one 6 bars\n"
        "        passage call(violin)\n        passage call(violin) at bar 4 beat 2\n",
        tmp_path,
    )
    found = [(e.place.bar, e.place.beat, letters(e)) for e in entries(index, "tamsin")]
    assert found == [(1, "1", "TAMSIN"), (4, "2", "TAMSIN")]


def test_parts_in_unison_are_one_entry(tmp_path: Path) -> None:
    (entry,) = entries(indexed("movement first\n    violin, viola: tamsin\n", tmp_path), "tamsin")
    assert entry.parts == ("Violin", "Viola") and entry.statement.notes == 12


def test_chord_dealt_out_to_parts_is_one_entry_each_time(tmp_path: Path) -> None:
    index = indexed("movement first\n    violin, viola: tamsin -> first 2 -> as chord x 3\n", tmp_path)
    found = entries(index, "tamsin")
    assert [(e.place.beat, letters(e), e.parts) for e in found] == [
        (beat, "TA", ("Violin", "Viola")) for beat in ("1", "2", "3")
    ]
    assert found[0].forms == (Form.CHORD, Form.IN_PART)


def test_answers_of_a_canon_are_entries_of_their_own(tmp_path: Path) -> None:
    index = indexed("movement first\n    violin, viola, cello: canon(tamsin, after 1 bar, voices 3)\n", tmp_path)
    assert [(e.place.bar, e.parts) for e in entries(index, "tamsin")] == [
        (1, ("Violin",)),
        (2, ("Viola",)),
        (3, ("Cello",)),
    ]
    assert all(e.whole and Form.CANON in e.forms for e in entries(index, "tamsin"))


def test_name_dealt_out_note_by_note_is_one_entry(tmp_path: Path) -> None:
    (entry,) = entries(indexed("movement first\n    violin, viola: hocket(tamsin)\n", tmp_path), "tamsin")
    assert entry.whole and entry.parts == ("Violin", "Viola") and Form.HOCKET in entry.forms


def test_woven_names_are_an_entry_each_with_the_other(tmp_path: Path) -> None:
    index = indexed("movement first\n    violin: weave(tamsin, corwen)\n", tmp_path)
    (one,), (other,) = entries(index, "tamsin"), entries(index, "corwen")
    assert (letters(one), one.statement.with_names) == ("TAMSIN", ("corwen",))
    assert (letters(other), other.place.beat, other.statement.with_names) == ("CORWEN", "2", ("tamsin",))
    assert "woven letter by letter with corwen" in index_text(index, EN)


def test_figured_notes_do_not_end_a_statement(tmp_path: Path) -> None:
    (entry,) = entries(indexed("movement first\n    violin: tamsin -> neighbors in C major\n", tmp_path), "tamsin")
    assert entry.whole and Form.FIGURED in entry.forms


def test_note_divided_for_a_marking_stays_one(tmp_path: Path) -> None:
    index = indexed(
        "movement first\n    section one\n        violin: tamsin -> in (1/1)\n"
        "        violin bars 1 to 1: crescendo p f\n",
        tmp_path,
    )
    (entry,) = entries(index, "tamsin")
    assert entry.whole and entry.statement.notes == 6


def test_repeated_passage_is_one_entry_with_all_its_times(tmp_path: Path) -> None:
    index = indexed(
        "movement first\n    tempo 1/4 at 60\n    section one 2 bars\n"
        "        repeated 2 times\n        violin: tamsin\n",
        tmp_path,
    )
    (entry,) = entries(index, "tamsin")
    assert (entry.place.seconds, entry.place.again) == (0, (8,))


def test_coverage_and_letters_never_heard(tmp_path: Path) -> None:
    index = indexed(
        "movement first\n    violin: tamsin -> first 4\nmovement second\n    violin: tamsin -> notes 3..5\n", tmp_path
    )
    name = next(found for found in index.names if found.name == "tamsin")
    assert [sorted(c.heard) for c in name.coverage] == [[1, 2, 3, 4], [3, 4, 5]]
    assert [letter.text for letter in name.never_heard] == ["N"]
    corwen = next(found for found in index.names if found.name == "corwen")
    assert len(corwen.never_heard) == 6 and "corwen: never heard" in index_text(index, EN)


def test_piece_without_names_says_so(tmp_path: Path) -> None:
    path = tmp_path / "piece.cavata"
    path.write_text("language 2\nforces\n    violin = violin\nmovement first\n    violin: notes(1/4 D4)\n", "utf-8")
    compiled = compile_script(path)
    assert compiled.score is not None and compiled.program and compiled.plan
    index = index_of(compiled.program, compiled.plan, compiled.score)
    assert "No name sounds in this piece." in index_text(index, EN)
    assert index_json(index, EN)["names"] == []


# ------------------------------------------------------------------ themes


def test_theme_sounds_where_it_is_named_and_where_one_made_from_it_is(tmp_path: Path) -> None:
    index = indexed(
        "motif later = hail -> up P4\nmovement first\n    violin: hail, 1/4 rest, later\n    viola: tune\n", tmp_path
    )
    assert [(t.theme, t.by, t.place.beat, t.parts) for t in index.themes] == [
        ("hail", "hail", "1", ("Violin",)), ("tune", "tune", "1", ("Viola",)),
        ("later", "later", "1", ("Violin",)), ("hail", "later", "1", ("Violin",)),
    ]  # fmt: skip


def test_theme_in_a_passage_is_what_it_was_placed_with(tmp_path: Path) -> None:
    index = indexed(
        "passage call(who, m)\n    who: m\nmovement first\n    section one\n        passage call(violin, hail)\n"
        "        passage call(cello, tune -> down P8) at bar 2\n", tmp_path,
    )  # fmt: skip
    assert {(t.theme, t.place.bar) for t in index.themes} >= {("hail", 1), ("tune", 2)}


def test_statements_are_counted_whole_and_in_part(tmp_path: Path) -> None:
    """What lacks letters is in part, whatever took them away: here a step, and the end of the section."""
    index = indexed(
        "movement first\n    violin: tamsin, tamsin -> first 4\n"
        "movement second\n    section one 1 bar\n        violin: tamsin for 3/4\n"
        "movement third\n    violin: tamsin + tamsin -> first 6\n", tmp_path,
    )  # fmt: skip
    told = entries(index, "tamsin")
    assert [entry.whole for entry in told] == [True, False, False, True]
    assert [Form.IN_PART in entry.forms for entry in told] == [False, True, True, False]
    said = index_text(index, EN)
    assert "TAMSIN x1, in part x1" in said and "TAM... in part x1" in said and "TAMSIN x1  " in said
    assert "tamsin: 4 statements, 2 of them whole, 2 in part" in said


# ------------------------------------------------------------------ forms


@pytest.mark.parametrize(
    ("steps", "forms"),
    [
        ((), ()),
        (("retrograde",), (Form.RETROGRADE,)),
        (("retrograde", "retrograde"), ()),
        (("inverted about A3", "retrograde"), (Form.RETROGRADE, Form.INVERSION)),
        (("augmentation 2",), (Form.AUGMENTATION,)),
        (("augmentation 2", "diminution 2"), ()),
        (("augmentation 3:2", "diminution 2"), (Form.DIMINUTION,)),
        (("as chord", "broken ascending"), (Form.BROKEN_CHORD,)),
        (("up P8", "down P15"), ()),
        (("up m3", "marked p"), (Form.TRANSPOSED,)),
        (("weave", "first 5"), (Form.WOVEN, Form.IN_PART)),
        (("echo P8", "crab_canon(hail"), ()),
    ],
)  # fmt: skip
def test_forms_of_steps(steps: tuple[str, ...], forms: tuple[Form, ...]) -> None:
    """Common practice: what is turned back twice, or slowed and quickened by one ratio, is as it was."""
    assert forms_of(steps) == forms


SAMPLES = {
    "COUNT": "2", "RATIO": "3:2", "DURATION": "1/4", "INTERVAL": "m3", "PITCH": "F#4", "CLASS": "F#", "RANGE": "C3..C5",
    "MODE": "D minor", "RHYTHM": "summons", "NOTES": "1 last", "MARKINGS": 'p "calm"', "DYNAMIC": "mf", "SPAN": "1/2",
    "MOTIF": "glint", "INSTRUMENT": "piccolo", "PARTS": "violin viola", "TEXT": '"Hed-da"',
}  # fmt: skip


def test_every_step_of_the_kernel_is_read_back() -> None:
    for patterns in TRANSFORMS.values():
        for transform in patterns:
            bare = [word.strip("[]") for word in transform.pattern.split()]
            words = [SAMPLES.get(word, word.split("|")[0]) for word in bare]
            read = read_step(" ".join(words))
            assert read is not None and read.pattern == transform.pattern, transform.pattern
    assert all(read_step(word) == ReadStep(word) for word in COMBINATIONS)


def test_every_form_has_words() -> None:
    assert all(EN.form(form) for form in Form)


# ------------------------------------------------------------------ for other programs


def test_document_names_the_same_places_as_the_index(tmp_path: Path) -> None:
    index = indexed("movement first\n    violin: hail x 2\n    viola at bar 2: corwen -> first 3\n", tmp_path)
    told = json.loads(json.dumps(index_json(index, EN)))
    tamsin, corwen = told["names"]
    assert told["index_edition"] == 1
    assert [s["letters"] for s in tamsin["statements"]] == [list("TAMSIN")] * 2
    assert tamsin["letters"][0] == {"letter": "T", "position": 1, "statements": [0, 1]}
    assert corwen["never_heard"] == ["W", "E", "N"]
    assert corwen["statements"][0] | {"bar": 2, "file": "piece.cavata", "forms": ["in_part"]} == corwen["statements"][0]


def test_table_is_read_back_whole(tmp_path: Path) -> None:
    index = indexed("movement first\n    violin: hail\n    viola: tune\n", tmp_path)
    rows = list(csv.DictReader(io.StringIO(index_csv(index, EN))))
    assert tuple(rows[0]) == COLUMNS
    assert [(row["kind"], row["name"], row["letters"]) for row in rows] == [
        ("name", "tamsin", "T A M S I N"), ("theme", "hail", ""), ("theme", "tune", ""),
    ]  # fmt: skip


@pytest.mark.parametrize("label", ["=1+1", "+cmd", "-2", "@SUM(A1)"])
def test_no_cell_of_the_table_is_a_formula(label: str, tmp_path: Path) -> None:
    """Source: OWASP, CSV injection: a cell that begins with one of these signs may be computed."""
    script = HEAD.replace("    violin = violin\n", f'    violin = violin, called "{label}"\n')
    path = tmp_path / "piece.cavata"
    path.write_text(script + "movement first\n    violin: hail\n", "utf-8")
    compiled = compile_script(path)
    assert compiled.score is not None and compiled.program and compiled.plan, as_text(compiled.bag.ordered())
    text = index_csv(index_of(compiled.program, compiled.plan, compiled.score), EN)
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert f"'{label}" in cells and not [cell for cell in cells if cell[:1] in "=+-@" and cell]


# ------------------------------------------------------------------ the commands


@pytest.mark.parametrize("form", [[], ["--json"], ["--csv"]])
def test_command_lists_the_examples(form: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["index", str(folder("examples") / "three-watches"), *form]) == 0
    said = capsys.readouterr()
    assert "tamsin" in said.out and said.err == ""
    if form == ["--json"]:
        told = json.loads(said.out)
        assert [name["name"] for name in told["names"]] == ["tamsin", "corwen", "hedda"] and told["messages"] == []
