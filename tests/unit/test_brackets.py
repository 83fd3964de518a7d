"""Which brackets are drawn, whose bar lines run through, and what stands again above the first violins.

Source: common practice, where nothing else is named; tempi above the first violins are asked for by the guidelines of
the orchestra librarians' association.
"""

from __future__ import annotations

import re

import pytest
from compiling import score_from

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.notate.paper.systems import BracketNode, tree
from cavata.pipeline import written
from cavata.score.score import GroupSign, Score

WINDS = "    fl = flute\n    ob = oboe\n    h1 = horn\n    h2 = horn\n    tp = trumpet\n    tb = trombone\n"
SINGERS = "    s = sopranos\n    a = altos\n"
STRINGS = "    v1 = violins\n    v2 = violins\n    va = violas\n    vc = cellos\n"
PLAYED = "movement one\n    fl, v1: notes(1/1 C5)\n"


def score(forces: str, more: str = "", music: str = PLAYED) -> Score:
    return full_score(score_from(f"language 2\nforces\n{forces}{more}{music}"))


def brackets(made: Score) -> str:
    """The parts of the page: `[ ]` a bracket with its bar lines, `( )` one without, `{ }` the thin one inside."""

    def shown(nodes: tuple[BracketNode, ...]) -> str:
        return " ".join(made.parts[node].name if isinstance(node, int) else _inside(*node) for node in nodes)

    def _inside(group: object, inside: tuple[BracketNode, ...]) -> str:
        assert hasattr(group, "sign") and hasattr(group, "joined")
        left, right = "{}" if group.sign is GroupSign.SQUARE else "[]" if group.joined else "()"
        return f"{left}{shown(inside)}{right}"

    return shown(tree(made.parts, made.groups))


@pytest.mark.parametrize(
    ("groups", "expected"),
    [
        ("", "[fl ob] [{h1 h2} tp tb] (s a) [{v1 v2} va vc]"),
        # A name to write with is no reason to leave the rest of a family without its bracket.
        ("group horns = h1, h2\ngroup upper = v1, v2, va\n", "[fl ob] [{h1 h2} tp tb] (s a) [{v1 v2} va vc]"),
        ("group horns = h1, h2\ngroup heavy = tp, tb\n", "[fl ob] [h1 h2] [tp tb] (s a) [{v1 v2} va vc]"),
        ("group winds = fl, ob, h1, h2, tp, tb\n", "[fl ob {h1 h2} tp tb] (s a) [{v1 v2} va vc]"),
        # A group across the end of a family would tear it; a choir is joined to nobody.
        ("group low = tp, tb, s\n", "[fl ob] [{h1 h2} tp tb] (s a) [{v1 v2} va vc]"),
        ("group choir = s, a\ngroup all = choir, v1, v2, va, vc\n", "[fl ob] [{h1 h2} tp tb] (s a) [{v1 v2} va vc]"),
    ],
)  # fmt: skip
def test_every_family_has_a_bracket_or_the_composers_in_its_place(groups: str, expected: str) -> None:
    assert brackets(score(WINDS + SINGERS + STRINGS, groups)) == expected


def test_bar_lines_stop_at_the_staves_of_a_choir_that_the_composer_named() -> None:
    group = "group choir = s, a\n"
    made = score(SINGERS, group, "movement one\n    s: notes(1/1 C5)\n")
    assert brackets(made) == "(s a)"
    assert "\\context ChoirStaff" in lilypond_text(written(made))


def test_soloist_amid_his_family_stands_under_its_bracket_and_above_it_he_does_not() -> None:
    first, *others = STRINGS.splitlines(keepends=True)
    solo = "    sv = viola, soloist\n"
    music = "movement one\n    sv: notes(1/1 C4)\n"
    assert brackets(score(first + solo + "".join(others), "", music)) == "[v1 sv v2 va vc]"
    assert brackets(score(solo + STRINGS, "", music)) == "sv [{v1 v2} va vc]"


def test_letters_and_tempi_stand_again_above_the_first_violins_of_a_large_score() -> None:
    """Of more than ten staves; a smaller one has them above its top staff only."""
    music = (
        'movement one\n    section here "here" 1 bar\n        tempo 1/4 at 60, "Slow"\n        fl: notes(1/1 C5)\n'
        "    section there 1 bar\n        v1: notes(1/1 C5)\n"
    )
    for forces, times, place in ((WINDS + SINGERS + STRINGS, 2, "v1"), (WINDS + STRINGS, 1, "")):
        page = written(score(forces, "", music))
        assert page.movements[0].marks_above == place
        text = lilypond_text(page)
        assert text.count('\\tempo "Slow" 4 = 60') == text.count('"here"') == times
        assert len(re.findall(r"\\mark \\markup \\bold \\box", text)) == times


def test_strings_of_a_large_score_stand_all_or_none() -> None:
    """So that the second violins do not stand there without the first."""
    page = written(score(WINDS + SINGERS + STRINGS))
    together = {part.part.name for part in page.movements[0].parts if part.staves[0].together}
    assert together == {"v1"}, "the others never play in the movement"
    music = "movement one\n    fl, v1, v2, vc: notes(1/1 C4)\n"
    page = written(score(WINDS + SINGERS + STRINGS, "", music))
    assert {part.part.name for part in page.movements[0].parts if part.staves[0].together} == {"v1", "v2", "vc"}
    assert lilypond_text(page).count("\\consists Keep_alive_together_engraver") == 1


def test_segno_is_printed_at_the_beginning_of_a_movement_too() -> None:
    """LilyPond leaves out one without a number there, as seen on pages of 2.24.3."""
    first, second = "    section a\n        segno\n", "    section b\n        dal segno\n"
    tune = "        v1: notes(1/1 C5)\n"
    text = lilypond_text(written(score(STRINGS, "", f"movement one\n{first}{tune}{second}{tune}")))
    assert text.count("\\segnoMark 1") == 1
