"""The table of what each sign becomes is the one that is made by writing each sign, and names every sign there is."""

from __future__ import annotations

import re

import pytest
from signs_made import BEGIN, END, SAMPLES, in_lilypond, in_midi, in_musicxml, outputs, table

from cavata.music.event import ARTICULATIONS, DIVISIONS, KINDS, ORNAMENTS
from cavata.resources import folder

PAGE = folder("grammar") / "exchange.md"


@pytest.mark.slow
def test_the_table_is_as_the_files_are(request: pytest.FixtureRequest) -> None:
    text = PAGE.read_text("utf-8")
    head, _, rest = text.partition(BEGIN)
    made = f"{head}{BEGIN}{table()}{END}{rest.partition(END)[2]}"
    if request.config.getoption("--update"):
        PAGE.write_text(made, "utf-8", newline="\n")
    assert PAGE.read_text("utf-8") == made, "exchange.md is old: pytest --update tests/spec/test_signs.py"


def test_every_sign_has_a_row() -> None:
    """A technique that is in force where nothing is said ends another, and has no sign of its own."""
    said = " ".join(re.findall(r"[\w]+", " ".join(sample.said for sample in SAMPLES))).split()
    words = [*ARTICULATIONS, *DIVISIONS, *ORNAMENTS, *(word for kind in KINDS for word in kind[1:])]
    assert [word for word in words if word not in said] == []


def test_no_row_of_the_table_says_that_a_sign_is_lost() -> None:
    """Every sign is in MusicXML and on the page."""
    written = PAGE.read_text("utf-8").partition(BEGIN)[2].partition(END)[0]
    rows = re.findall(r"^\| `(.*)` \| (.*?) \| (.*?) \| .*? \|$", written, re.MULTILINE)
    assert len(rows) == len(SAMPLES)
    assert [said for said, musicxml, lilypond in rows if "-" in (musicxml, lilypond)] == []


def test_a_piece_beside_itself_has_nothing_more() -> None:
    plain = outputs(SAMPLES[0].plain, SAMPLES[0].forces)
    assert [side(plain, plain) for side in (in_musicxml, in_lilypond, in_midi)] == ["-"] * 3
