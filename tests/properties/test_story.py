"""Laws of what is told of a piece, over random scripts: no note is lost, none told twice, and all fits in time."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import html5lib
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from random_scripts import HEAD, Line, declarations, lines
from rounds import rounds

from cavata.pipeline import Compiled, compile_script
from cavata.score.clock import length
from cavata.score.score import Score
from cavata.score.statements import statements
from cavata.tell.guide.guide import guide_of
from cavata.tell.guide.html import guide_html
from cavata.tell.guide.pictures import Media
from cavata.tell.guide.words import Telling
from cavata.tell.index import index_of
from cavata.tell.index_shown import index_csv, index_json
from cavata.tell.language import language, languages
from cavata.tell.map.map import map_of
from cavata.tell.map.svg import map_svg
from cavata.tell.stats import stats
from cavata.tell.timings import timings

FORCES = "forces\n    violin = violin\n    viola = viola\n    piano = piano\n"
REPEATS = ("", " x 3", " for 2 bars", " until end")
LAYOUTS = (
    ("violin",),
    ("violin, viola",),
    ("violin", "viola at bar 2", "piano"),
    ("violin, viola", "piano.left at bar 3"),
)
USUAL = settings(
    deadline=None, max_examples=rounds(12), suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)


@st.composite
def pieces(draw: st.DrawFn) -> str:
    """A script of random motifs, of which some are played, repeated and cut, by one part or two."""
    made: tuple[Line, ...] = draw(lines(5))
    places = draw(st.sampled_from(LAYOUTS))
    rows = [
        f"        {place}: {draw(st.sampled_from(made)).name}{draw(st.sampled_from(REPEATS))}\n" for place in places
    ]  # fmt: skip
    repeated = draw(st.sampled_from(("", "        repeated 2 times\n")))
    body = "\n".join((HEAD, *declarations(made), FORCES))
    return f"{body}movement first\n    tempo 1/4 at 72\n    section one\n{repeated}{''.join(rows)}"


def compiled(script: str) -> Compiled:
    made = compile_script(Path("piece.cavata"), "piece.cavata", script)
    assume(made.score is not None)
    return made


def lettered_notes(score: Score) -> dict[str, int]:
    """Notes that are struck, by the names of their letters: counted one by one, with no regard to statements.

    Two letters of one mention that meet on a note are one note, those of two mentions are two.
    """
    counted: dict[str, int] = {}
    for movement in score.movements:
        for staves in movement.staves:
            for staff in staves:
                for voice in staff.voices:
                    for event in voice:
                        for head in () if event.tied_before else event.event.heads:
                            mentions = {(o.letter.name, o.steps) for o in head.origins if o.letter is not None}
                            for name, _ in mentions:
                                counted[name] = counted.get(name, 0) + 1
    return counted


@USUAL
@given(pieces())
def test_statements_hold_every_note_of_every_name_once(script: str) -> None:
    made = compiled(script)
    assert made.score is not None
    told: dict[str, int] = {}
    for statement in statements(made.score):
        told[statement.name] = told.get(statement.name, 0) + statement.notes
        assert 0 <= statement.onset < statement.end <= made.score.movements[statement.movement].duration
        assert len(statement.positions) == len(statement.letters)
    assert told == lettered_notes(made.score)


@USUAL
@given(pieces())
def test_lengths_of_sections_make_the_piece(script: str) -> None:
    score = compiled(script).score
    assert score is not None
    found = timings(score)
    assert found.taken.seconds == sum((length(movement) for movement in score.movements), Fraction(0))
    sections = (section.taken.seconds for movement in found.movements for section in movement.sections)
    assert sum(sections, Fraction(0)) == found.taken.seconds
    assert all(0 <= part.sounding <= found.taken.seconds for part in stats(score).parts)


@pytest.mark.slow
@USUAL
@given(pieces())
def test_whatever_compiles_can_be_told(script: str) -> None:
    made = compiled(script)
    assert made.score and made.plan and made.program and made.loaded
    words = language("en")
    index = index_of(made.program, made.plan, made.score)
    assert index_json(index, words)["names"]
    assert index_csv(index, words).count("\n") >= 1 + sum(len(name.entries) for name in index.names)
    assert map_svg(map_of(made.program, made.plan, made.score), lambda span: "", words).endswith("</svg>\n")
    guide = guide_of(made.program, made.plan, made.score, made.loaded.modules[made.loaded.main])
    for code in languages():
        page = guide_html(guide, Telling(guide, language(code)), Media({}, {}))
        html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
